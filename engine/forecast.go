package engine

import (
	"math"
	"slices"
	"sort"
)

const (
	paceWindow = 120.0 // days of readings that make the pace, in season
	paceSpan   = 7.0   // days that they must span
	pacePoints = 3     // and how many there must be
	paceMost   = 16    // points used at most, evenly thinned
	paceAhead  = 14.0  // days of the forecast that stand for the pace where the readings make none

	z80 = 1.2815515655446004 // standard normal quantile of 0.9: an 80 % band

	estimateOff = 4.0         // h that an estimated figure may be too low [common practice]
	toldOff     = 1.0         // h that one may be that somebody passed on: read earlier, tenths left out [common practice]
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
	Readings int   // how many it was made from, slips left out
	Last     Point // the last of them
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
	Pace  Pace // of the last weeks, by Sen's slope; see paceOf
	Basis Basis

	points []Point // without slips: hours never go back
	curve  curve
	rhythm rhythm
	coarse float64 // hours that the last reading may stand too low by what it can tell apart
	pause  pause
}

// pause is a spell in which the machine is laid up; until 0 is still.
type pause struct{ from, until Instant }

// ForecastOf makes the forecast from a machine's readings, in a shop on UTC;
// see Fold for one in its own zone.
//
// Figures that cannot be are left out as slips. What the machine will gain is
// then weighed from its level, which is made of its pace of the last days, of the
// last weeks and since the first reading; from what it gained over spells as long
// in its own past; from the same weeks of the years before; and, while it is new,
// from what is usual for its kind. The work scatters around each of these as a
// gamma process that may stand still (see workOf). What counts how much is decided
// by how well each would have told the machine's own past, and the band is made
// as wide as would have been right there (see recall).
func ForecastOf(meter Meter) Forecast { return forecastIn(meter, Calendar{}) }

func forecastIn(meter Meter, cal Calendar) Forecast {
	usual := usualOf(meter.Kind)
	f := Forecast{Pace: usual.pace, Basis: Basis{From: PaceOfKind}, points: sound(meter.Points)}
	if len(f.points) == 0 {
		return f
	}
	last := f.points[len(f.points)-1]
	f.Basis.Last = last
	f.coarse = (last.Grain - 1).Hours()
	switch last.Known {
	case Estimated:
		f.coarse += estimateOff
	case Told:
		f.coarse += toldOff
	}
	points := moments(f.points)
	f.rhythm = rhythmSeen(points, cal)
	p := pastOf(points, &f.rhythm, usual)
	f.Basis.Readings = p.readings
	f.curve = p.fit(max(last.Grain.Hours(), 0.1))
	f.paceOf()
	switch share, few := p.clockwork(); {
	case len(p.days) < 2:
	case few:
		f.curve.lean(p.line(), share, true)
	case f.Basis.From == PaceOwn:
		f.curve.lean(f.Pace.Mid, share, false)
	}
	if f.Basis.From == PaceTwo {
		f.paceAhead()
	}
	return f
}

// paceOf is the pace of the last 120 days: the Theil-Sen slope with Sen's
// limits. With fewer than three points over a week it is what the forecast says
// of the next two weeks.
func (f *Forecast) paceOf() {
	days, hours := pacePointsOf(f.points)
	n := len(days)
	if n >= pacePoints && days[n-1]-days[0] >= paceSpan {
		s := theilSen(days, hours, z80)
		f.Pace = Pace{Low: possible(s.low), Mid: possible(s.mid), High: possible(s.high)}
		f.Basis.From = PaceOwn
		return
	}
	if f.Basis.Readings >= 2 {
		f.Basis.From = PaceTwo
	}
}

// paceAhead is the pace of the next two weeks.
func (f *Forecast) paceAhead() {
	b := f.curve.gain(paceAhead)
	f.Pace = Pace{Low: b.Low / paceAhead, Mid: b.Mid / paceAhead, High: b.High / paceAhead}
}

// windowOf are the points of the last 120 days as days before the last and
// machine hours, one per instant, the higher of two.
func windowOf(points []Point) (days, hours []float64) {
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
	return days, hours
}

// pacePointsOf is windowOf, evenly thinned to paceMost.
func pacePointsOf(points []Point) (days, hours []float64) {
	days, hours = windowOf(points)
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

// possible is a pace that a machine can keep: no day has more than 24 hours.
func possible(pace float64) float64 { return min(max(pace, 0), mostPerDay) }

// sound are the points without slips: the longest row of figures that never go
// back nor gain more than 24 h a day, and of two as long the one that ends
// later. A figure that the next ones deny is left out, and so is a last one
// that no machine can have reached.
func sound(points []Point) []Point {
	clean := true
	for i := 1; i < len(points) && clean; i++ {
		clean = follows(points[i-1], points[i])
	}
	if clean {
		return points
	}
	const reach = 60 // points that a slip's neighbours are looked for in
	length, before, end := make([]int, len(points)), make([]int, len(points)), 0
	for i := range points {
		length[i], before[i] = 1, -1
		for j := i - 1; j >= max(0, i-reach); j-- {
			if length[j] >= length[i] && follows(points[j], points[i]) {
				length[i], before[i] = length[j]+1, j
			}
		}
		if length[i] >= length[end] {
			end = i
		}
	}
	row := make([]Point, 0, length[end])
	for i := end; i >= 0; i = before[i] {
		row = append(row, points[i])
	}
	slices.Reverse(row)
	return row
}

// moments are the points with those left out that another follows so soon that
// the two are one reading: a figure and the job that was done with it.
func moments(points []Point) []Point {
	soon := func(i int) bool { return i+1 < len(points) && span(points[i].At, points[i+1].At) < sameMoment }
	for i := range points {
		if !soon(i) {
			continue
		}
		apart := make([]Point, 0, len(points))
		for i := range points {
			if !soon(i) {
				apart = append(apart, points[i])
			}
		}
		return apart
	}
	return points
}

// follows says whether a machine can have got from one figure to the next.
// Meters are read at any time of the day and written later: a day counts whole.
func follows(a, b Point) bool {
	gain := (b.Hours - a.Hours).Hours()
	return gain >= 0 && gain <= mostPerDay*max(span(a.At, b.At), 1)
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
		low, high := f.points[i].Hours.Hours(), f.points[i+1].Hours.Hours()
		part := span(f.points[i].At, at) / span(f.points[i].At, f.points[i+1].At)
		return Band{Low: low, Mid: low + part*(high-low), High: high}, true
	}
	h, gain := f.points[n-1].Hours.Hours(), f.gain(f.running(at))
	return Band{Low: h + gain.Low, Mid: h + gain.Mid, High: h + gain.High + f.coarse}, true
}

// ReadAt is HoursAt as the meter will read, in machine hours: a whole-hour meter
// shows no tenths. It too never narrows by waiting.
func (f Forecast) ReadAt(at Instant) (b Band, ok bool) {
	if b, ok = f.HoursAt(at); !ok {
		return b, false
	}
	last, grain := f.Basis.Last.Hours.Hours(), max(f.Basis.Last.Grain.Hours(), 0.1)
	const whole = 1e-6 // what a float may be off a whole number
	low := math.Floor((b.Low-last)/grain + whole)
	high := low + math.Round((b.High-b.Low)/grain)
	mid := min(max(math.Round((b.Mid-last)/grain), low), high)
	return Band{Low: last + low*grain, Mid: last + mid*grain, High: last + high*grain}, true
}

// Still is the chance that the meter at an instant reads what it read last. It
// is 0 where nothing is known, and before the last reading.
func (f Forecast) Still(at Instant) float64 {
	if n := len(f.points); n == 0 || at < f.points[n-1].At {
		return 0
	}
	return f.curve.standing(f.running(at))
}

// gain is what is gained in some days of work after the last reading: by the
// curve, or by the pace alone where there is no other.
func (f *Forecast) gain(days float64) Band {
	if f.curve.drawn {
		return f.curve.gain(days)
	}
	return Band{Low: f.Pace.Low * days, Mid: f.Pace.Mid * days, High: f.Pace.High * days}
}

// running are the days of work since the last reading, without those laid up.
func (f *Forecast) running(at Instant) float64 {
	from := f.points[len(f.points)-1].At
	days := f.rhythm.between(from, at)
	if p := f.pause; p.from != 0 && at > p.from {
		end := at
		if p.until != 0 {
			end = min(at, p.until)
		}
		days -= f.rhythm.between(max(p.from, from), max(end, from))
	}
	return days
}

// after is the instant some days of work after the last reading.
func (f *Forecast) after(days float64) Instant {
	if !(days <= horizon) {
		return 0
	}
	from := f.points[len(f.points)-1].At
	at := f.rhythm.later(from, days)
	if p := f.pause; p.from != 0 && at > p.from && (p.until == 0 || p.until > from) {
		if p.until == 0 {
			return 0
		}
		at = f.rhythm.later(p.until, days-f.rhythm.between(from, max(p.from, from)))
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
	soon := left - f.coarse
	if !f.curve.drawn {
		return Crossing{Early: f.after(within(soon, f.Pace.High)), Median: f.after(within(left, f.Pace.Mid)), Late: f.after(within(left, f.Pace.Low))}
	}
	c := &f.curve
	return Crossing{Early: f.after(reached(&c.high, soon)), Median: f.after(reached(&c.mid, left)), Late: f.after(reached(&c.low, left))}
}

// within are the days to some hours at a pace, or never.
func within(hours, pace float64) float64 {
	if hours <= 0 {
		return 0
	}
	return hours / pace
}

// crossed is when readings passed a figure: at the first point where they stood
// at or above it, between it and the one before.
func (f *Forecast) crossed(hours Tenths) Crossing {
	i := sort.Search(len(f.points), func(i int) bool { return f.points[i].Hours >= hours })
	at := f.points[i].At
	if i == 0 {
		return Crossing{Early: at, Median: at, Late: at}
	}
	was := f.points[i-1]
	part := float64(hours-was.Hours) / float64(f.points[i].Hours-was.Hours)
	return Crossing{Early: was.At, Median: was.At + Instant(part*float64(at-was.At)), Late: at}
}

// From is the forecast as if the meter had been read at an instant: it starts
// anew from there, with what the season brings from then on.
func (f Forecast) From(at Instant, hours Tenths) Forecast {
	p := f.Basis.Last
	if len(f.points) > 0 && at > p.At {
		f.curve = f.curve.from(f.running(at))
	}
	p.At, p.Hours = at, hours
	f.points, f.coarse, f.Basis.Last = []Point{p}, 0, p
	return f
}
