package engine

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// The simple forecast's figures.
const (
	paceWindow = 120.0 // days of readings that make the pace, in season
	paceSpan   = 7.0   // days that they must span
	pacePoints = 3     // and how many there must be
	paceMost   = 40    // points used at most, evenly thinned

	z80 = 1.2815515655446004 // standard normal quantile of 0.9: an 80 % band

	estimateOff = 4.0         // h that an estimated figure may be too low [common practice]
	leastSpread = 0.1         // h per root day: no log is so steady that the band closes
	twoLow      = 0.25        // pace from two readings: a quarter of it ...
	twoHigh     = 2.5         // ... to two and a half times, at least [common practice]
	horizon     = 50 * 365.25 // days; what takes longer counts as never
)

// Pace is how many hours a day a machine runs, with an 80 % band.
type Pace struct{ Low, Mid, High float64 }

// PaceFrom says what a pace rests on.
type PaceFrom string

// What a pace can rest on.
const (
	PaceOwn    PaceFrom = "own readings" // at least three over a week, last 120 days
	PaceTwo    PaceFrom = "two readings"
	PaceOfKind PaceFrom = "usual for its kind"
)

// Basis is what a forecast rests on.
type Basis struct {
	From     PaceFrom
	Readings int // how many made the pace
	Last     Point
}

// Band is a figure with the ends of its 80 % band, in machine hours.
type Band struct{ Low, Mid, High float64 }

// Crossing is when machine hours reach a figure: the 10 %, 50 % and 90 % times.
// 0 is never, as far as can be seen.
type Crossing struct{ Early, Median, Late Instant }

// Forecast tells where a machine's hours stand and when they reach a figure.
// Between readings it interpolates, after the last it projects. It depends on
// the readings only, not on when it is asked.
type Forecast struct {
	Pace  Pace
	Basis Basis

	points []Point
	floor  []Tenths // per point the lowest machine hours from there on: a later, lower figure outweighs a slip
	spread float64  // hours per root day
	coarse float64  // hours that the last reading may stand too low by what it can tell apart
	pause  pause
}

// pause is a spell in which the machine is laid up; until 0 is still.
type pause struct{ from, until Instant }

// ForecastOf makes the forecast from a machine's own readings of the 120 days
// up to the last: the Theil-Sen slope, with Sen's limits for the pace and the
// spread of the gains around it. With fewer than three points over a week it
// takes the last two, and with fewer than two the usual pace of the machine's
// kind, both with a wide band.
func ForecastOf(meter Meter) Forecast {
	f := Forecast{points: meter.Points, floor: floors(meter.Points)}
	usual := usualPace(meter.Kind)
	f.Pace, f.Basis.From, f.spread = usual, PaceOfKind, usual.Mid
	last, ok := meter.Last()
	if !ok {
		return f
	}
	f.Basis.Last, f.Basis.Readings = last, 1
	f.coarse = (last.Grain - 1).Hours()
	if last.Known == Estimated {
		f.coarse += estimateOff
	}
	days, hours := pacePointsOf(meter.Points)
	n := len(days)
	switch {
	case n >= pacePoints && days[n-1]-days[0] >= paceSpan:
		s := theilSen(days, hours, z80)
		f.Pace = Pace{Low: possible(s.low), Mid: possible(s.mid), High: possible(s.high)}
		f.spread = max(spreadOf(days, hours, s.mid), leastSpread)
		f.Basis.From, f.Basis.Readings = PaceOwn, n
	default:
		if pace, ok := lastTwo(meter.Points); ok {
			f.Pace = Pace{Low: pace * twoLow, Mid: pace, High: max(pace*twoHigh, usual.High/2)}
			f.spread = max(pace, leastSpread)
			f.Basis.From, f.Basis.Readings = PaceTwo, 2
		}
	}
	return f
}

func floors(points []Point) []Tenths {
	floor := make([]Tenths, len(points))
	for i := len(points) - 1; i >= 0; i-- {
		floor[i] = points[i].Hours
		if i+1 < len(points) {
			floor[i] = min(floor[i], floor[i+1])
		}
	}
	return floor
}

// pacePointsOf are the points of the window as days before the last and
// machine hours, one per instant, evenly thinned to paceMost.
func pacePointsOf(points []Point) (days, hours []float64) {
	last := points[len(points)-1]
	first := len(points) - 1
	for first > 0 && span(points[first-1].At, last.At) <= paceWindow {
		first--
	}
	days, hours = make([]float64, 0, len(points)-first), make([]float64, 0, len(points)-first)
	for _, p := range points[first:] {
		d, h := -span(p.At, last.At), p.Hours.Hours()
		if n := len(days); n > 0 && days[n-1] == d {
			hours[n-1] = max(hours[n-1], h)
			continue
		}
		days, hours = append(days, d), append(hours, h)
	}
	n := len(days)
	if n <= paceMost {
		return days, hours
	}
	for i := range paceMost {
		from := i * (n - 1) / (paceMost - 1)
		days[i], hours[i] = days[from], hours[from]
	}
	return days[:paceMost], hours[:paceMost]
}

// spreadOf is the spread of the gains around the pace per root day, as 1.4826
// times the median absolute deviation, so that a slip does not blow it up.
func spreadOf(days, hours []float64, pace float64) float64 {
	off := make([]float64, 0, len(days)-1)
	for i := 1; i < len(days); i++ {
		d := days[i] - days[i-1]
		off = append(off, math.Abs(hours[i]-hours[i-1]-pace*d)/math.Sqrt(d))
	}
	slices.Sort(off)
	return 1.4826 * quantile(off, 0.5)
}

// possible is a pace that a machine can keep: no day has more than 24 hours.
func possible(pace float64) float64 { return min(max(pace, 0), mostPerDay) }

// lastTwo is the pace between the last point and the one before it that is at
// least a day older.
func lastTwo(points []Point) (pace float64, ok bool) {
	last := points[len(points)-1]
	for i := len(points) - 2; i >= 0; i-- {
		if days := span(points[i].At, last.At); days >= 1 {
			return possible((last.Hours - points[i].Hours).Hours() / days), true
		}
	}
	return 0, false
}

// HoursAt is where machine hours stand at an instant, with an 80 % band. Low is
// never below the last reading, and the band never narrows by waiting. ok is
// false where nothing is known: without readings, or before the first.
func (f Forecast) HoursAt(at Instant) (b Band, ok bool) {
	n := len(f.points)
	if n == 0 || at < f.points[0].At {
		return Band{}, false
	}
	if at < f.points[n-1].At {
		i := sort.Search(n, func(i int) bool { return f.points[i].At > at }) - 1
		low, high := f.floor[i].Hours(), f.floor[i+1].Hours()
		part := span(f.points[i].At, at) / span(f.points[i].At, f.points[i+1].At)
		return Band{Low: low, Mid: low + part*(high-low), High: high}, true
	}
	h, days := f.points[n-1].Hours.Hours(), f.running(at)
	return Band{
		Low:  h + max(0, f.Pace.Mid*days-f.reach(f.Pace.Mid-f.Pace.Low, days)),
		Mid:  h + f.Pace.Mid*days,
		High: h + f.coarse + f.Pace.Mid*days + f.reach(f.Pace.High-f.Pace.Mid, days),
	}, true
}

// reach is how far the band goes to one side after some days: what is not known
// of the pace grows with time, the spread of the work with its root.
func (f Forecast) reach(pace, days float64) float64 {
	work := z80 * f.spread
	return math.Sqrt(pace*pace*days*days + work*work*days)
}

// running are the days since the last reading, without those laid up.
func (f Forecast) running(at Instant) float64 {
	from := f.points[len(f.points)-1].At
	days := span(from, at)
	if p := f.pause; p.from != 0 && at > p.from {
		end := at
		if p.until != 0 {
			end = min(at, p.until)
		}
		days -= span(max(p.from, from), max(end, from))
	}
	return days
}

// after is the instant some running days after the last reading.
func (f Forecast) after(days float64) Instant {
	if !(days <= horizon) {
		return 0
	}
	from := f.points[len(f.points)-1].At
	at := from + Instant(math.Floor(days*float64(DayLength)))
	if p := f.pause; p.from != 0 && at > p.from {
		if p.until == 0 {
			return 0
		}
		if p.until > from {
			at += p.until - max(p.from, from)
		}
	}
	return at
}

// Crossing is when machine hours reach a figure. Where readings already stand
// at or above it, that is between the readings on both sides of it.
func (f Forecast) Crossing(hours Tenths) Crossing {
	n := len(f.points)
	if n == 0 {
		return Crossing{}
	}
	left := (hours - f.points[n-1].Hours).Hours()
	if left <= 0 {
		return f.crossed(hours)
	}
	var c Crossing
	c.Early = f.after(f.soonest(left - f.coarse))
	if f.Pace.Mid > 0 {
		c.Median = f.after(left / f.Pace.Mid)
	}
	c.Late = f.after(f.latest(left))
	return c
}

// soonest solves high(t) = left for t in days: r t + sqrt(a t² + b t) = left,
// with a the unknown pace squared and b the spread of the work squared.
func (f Forecast) soonest(left float64) float64 {
	if left <= 0 {
		return 0
	}
	r, a, b := f.terms(f.Pace.High - f.Pace.Mid)
	lin := 2*left*r + b
	return 2 * left * left / (lin + math.Sqrt(lin*lin-4*(r*r-a)*left*left))
}

// latest solves low(t) = left for t in days: r t - sqrt(a t² + b t) = left,
// which is never where the low pace is nothing.
func (f Forecast) latest(left float64) float64 {
	r, a, b := f.terms(f.Pace.Mid - f.Pace.Low)
	if r*r <= a {
		return math.Inf(1)
	}
	lin := 2*left*r + b
	return (lin + math.Sqrt(lin*lin-4*(r*r-a)*left*left)) / (2 * (r*r - a))
}

func (f Forecast) terms(pace float64) (r, a, b float64) {
	work := z80 * f.spread
	return f.Pace.Mid, pace * pace, work * work
}

// crossed is when readings passed a figure: at the first point where they stood
// at or above it for good, between it and the one before.
func (f Forecast) crossed(hours Tenths) Crossing {
	i := len(f.points) - 1
	for i > 0 && f.floor[i-1] >= hours {
		i--
	}
	at := f.points[i].At
	if i == 0 {
		return Crossing{Early: at, Median: at, Late: at}
	}
	from, low := f.points[i-1].At, f.floor[i-1]
	part := float64(hours-low) / float64(f.floor[i]-low)
	return Crossing{Early: from, Median: from + Instant(part*float64(at-from)), Late: at}
}

// From is the forecast as if the meter had been read at an instant: it starts
// anew from there, at the same pace.
func (f Forecast) From(at Instant, hours Tenths) Forecast {
	p := f.Basis.Last
	p.At, p.Hours = at, hours
	f.points, f.floor, f.coarse = []Point{p}, []Tenths{hours}, 0
	return f
}

//go:embed paces.csv
var pacesCSV string

type kindPace struct {
	kind string
	pace Pace
}

var usualPaces = sync.OnceValue(func() []kindPace {
	paces, err := parsePaces(pacesCSV)
	if err != nil {
		panic(err) // the file is embedded and a test reads it
	}
	return paces
})

// usualPace is the usual pace of a kind of machine, by common practice.
func usualPace(kind string) Pace {
	paces := usualPaces()
	for _, p := range paces {
		if strings.EqualFold(p.kind, kind) {
			return p.pace
		}
	}
	return paces[0].pace
}

func parsePaces(text string) ([]kindPace, error) {
	rows, err := readTable(strings.NewReader(text), []string{"kind", "low", "mid", "high", "class", "note"}, nil)
	if err != nil {
		return nil, err
	}
	paces := make([]kindPace, 0, len(rows))
	for _, row := range rows {
		var v [3]float64
		for i, name := range []string{"low", "mid", "high"} {
			if v[i], err = strconv.ParseFloat(row.cell[name], 64); err != nil {
				return nil, fmt.Errorf("line %d, column %s: %w", row.line, name, err)
			}
		}
		if !(0 <= v[0] && v[0] <= v[1] && v[1] <= v[2] && v[2] <= 24) {
			return nil, fmt.Errorf("line %d: a pace is low, mid, high in that order, up to 24 h a day", row.line)
		}
		paces = append(paces, kindPace{row.cell["kind"], Pace{v[0], v[1], v[2]}})
	}
	return paces, nil
}
