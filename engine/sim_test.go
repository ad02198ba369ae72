package engine_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"woodruff/engine"
)

// The simulator makes up the life of machines hour by hour: jobs with a start
// and a length, weather, lay-offs and seasons, and the people who read the
// meters with more or less care. It knows nothing of the forecast and shares no
// code with it; nothing in it is drawn from a gamma process.

// pattern is how a simulated machine is used.
type pattern string

const (
	busy     pattern = "busy"
	weekly   pattern = "weekly"
	idle     pattern = "idle"
	seasonal pattern = "seasonal mower"
	harvest  pattern = "harvest"
	rental   pattern = "rental"
	bought   pattern = "newly bought"
	frostFan pattern = "frost fan"
)

var patterns = []pattern{busy, weekly, idle, seasonal, harvest, rental, bought, frostFan}

// horizons are the days after the origin at which the truth is told.
var horizons = [...]int{3, 14, 60}

// simulated is one machine with its log up to an origin and the truth after it.
type simulated struct {
	pattern pattern
	machine engine.Machine
	entries []engine.Entry
	origin  engine.Instant
	at      [len(horizons)]engine.Instant
	// truth is what the meter shows at those instants, as it reads.
	truth [len(horizons)]float64
}

// run is one run of the engine, in days since the simulation's first midnight.
type run struct{ start, hours float64 }

// life is one machine being simulated.
type life struct {
	r       *rand.Rand
	knobs   uint64 // seed by which the simulator's knobs are turned
	runs    []run
	before  []float64 // engine hours before run i
	first   int       // day of the first midnight, since 1970
	days    int
	cold    []float64 // lowest of the night, °C
	rain    []bool
	reading reader
}

// reader is how a machine's meter is read.
type reader struct {
	every  float64 // days between readings
	fixed  int     // weekday on which it is read, -1 for none
	skip   float64 // share of readings that are left out
	whole  float64 // share of readings that are rounded to whole hours
	odd    float64 // share at odd times of the day
	late   float64 // share written down later than read
	guess  float64 // share not read but guessed
	slip   float64 // share with a slip of the thumb
	after  float64 // share of readings taken at the end of a working day
	longer float64 // share of gaps four times as long
}

// simulate draws n machines of a pattern from a seed, with a share of readings
// that have a slip of the thumb.
func simulate(p pattern, n int, seed uint64, slips float64) []simulated {
	return simulateTurned(p, n, seed, slips, 0)
}

func simulateTurned(p pattern, n int, seed uint64, slips float64, knobs uint64) []simulated {
	out := make([]simulated, 0, n)
	for i := range n {
		r := rand.New(rand.NewPCG(seed, uint64(i)*2654435761+uint64(len(p))*97+uint64(p[0])))
		out = append(out, live(p, r, slips, knobs))
	}
	return out
}

func live(p pattern, r *rand.Rand, slips float64, knobs uint64) simulated {
	l := &life{r: r, knobs: knobs, first: int(engine.DayOf(2021, time.January, 1)) + r.IntN(1500)}
	log := l.between(150, 800)
	switch p {
	case seasonal, harvest, frostFan:
		log = l.between(300, 1000)
	case bought:
		log = l.between(6, 40)
	}
	l.days = int(log) + 62
	l.weather()
	work := p
	if p == bought {
		work = []pattern{busy, weekly, rental, weekly}[r.IntN(4)]
	}
	l.work(work)
	l.tally()
	l.reads(p, slips)
	start := l.between(5, 4000)
	if p == bought {
		start = l.between(0, 60)
	}
	m := engine.Machine{ID: 1, Tag: "M1", Kind: l.kindOf(p), Reads: engine.ReadsTenths}
	if r.Float64() < 0.15 || p == frostFan {
		m.Reads = engine.ReadsWhole
	}
	origin := log + l.clock(0.25, 0.75)
	s := simulated{pattern: p, machine: m, origin: l.instant(origin)}
	s.entries = l.log(m, start, origin)
	for i, h := range horizons {
		s.at[i] = l.instant(origin + float64(h))
		s.truth[i] = shows(m, start+l.ran(origin+float64(h)))
	}
	return s
}

func (l *life) kindOf(p pattern) string {
	kinds := map[pattern][]string{
		busy: {"loader", "excavator", "tractor", "telehandler"}, weekly: {"tractor", "loader", "chipper", "sprayer"},
		idle: {"generator", "pump", "splitter", "tractor"}, seasonal: {"mower"}, harvest: {"tractor", "loader"},
		rental: {"excavator", "chipper", "loader", "generator"}, bought: {"tractor", "loader", "excavator", ""}, frostFan: {"frost fan"},
	}[p]
	return kinds[l.r.IntN(len(kinds))]
}

func (l *life) instant(day float64) engine.Instant {
	return engine.Instant(l.first)*engine.DayLength + engine.Instant(day*float64(engine.DayLength))
}

func (l *life) weekday(day int) time.Weekday { return engine.Day(l.first + day).Weekday() }

// yearDay is the day of the year, from 0.
func (l *life) yearDay(day int) float64 {
	y, _, _ := engine.Day(l.first + day).Date()
	return float64(l.first + day - int(engine.DayOf(y, time.January, 1)))
}

func (l *life) weather() {
	off, wet := 0.0, false
	for d := range l.days {
		off = 0.75*off + 2.6*l.r.NormFloat64()
		l.cold = append(l.cold, 4-11*math.Cos(2*math.Pi*(l.yearDay(d)-20)/365.25)+off)
		wet = l.r.Float64() < map[bool]float64{true: 0.55, false: 0.2}[wet]
		l.rain = append(l.rain, wet)
	}
}

func (l *life) add(day int, clock, hours float64) {
	if hours > 0.02 {
		l.runs = append(l.runs, run{float64(day) + clock/24, hours})
	}
}

// about is a length around a middle, log-normal.
func (l *life) about(middle, spread float64) float64 {
	return middle * math.Exp(spread*l.r.NormFloat64())
}

// between is a figure from low to high, turned as the knob that they stand for.
func (l *life) between(low, high float64) float64 {
	return (low + (high-low)*l.r.Float64()) * l.turn(low, high, 0.3)
}

// clock is a time of the day, in hours or days, which no knob turns.
func (l *life) clock(low, high float64) float64 { return low + (high-low)*l.r.Float64() }

// season is a day of the year, which its knob turns a third as far.
func (l *life) season(low, high float64) float64 {
	return (low + (high-low)*l.r.Float64()) * l.turn(low, high, 0.1)
}

// turn is how far a knob is turned, up to a share to either side: each by itself,
// and the same for all machines. Knobs of 0 are not turned.
func (l *life) turn(low, high, most float64) float64 {
	if l.knobs == 0 {
		return 1
	}
	r := rand.New(rand.NewPCG(l.knobs, math.Float64bits(low)^math.Float64bits(high)<<7))
	return 1 + most*(2*r.Float64()-1)
}

func (l *life) work(p pattern) {
	switch p {
	case busy:
		l.busy()
	case weekly:
		l.weekly()
	case idle:
		l.idle()
	case seasonal:
		l.mow()
	case harvest:
		l.harvest()
	case rental:
		l.hire()
	case frostFan:
		l.frost()
	}
}

// busy is a machine in work on most working days, on one site after another.
func (l *life) busy() {
	middle, chance := l.between(2.5, 8), l.between(0.8, 0.98)
	saturday, sites := l.r.Float64() < 0.35, l.between(0, 0.3)
	left, site, off := 0.0, 1.0, 0
	for d := range l.days {
		if left--; left <= 0 {
			left, site = l.about(45, 0.6), l.about(1, sites)
		}
		if off--; off < 0 && l.r.Float64() < 1.0/140 {
			off = 4 + l.r.IntN(8)
		}
		w := l.weekday(d)
		if off > 0 || w == time.Sunday || (w == time.Saturday && !saturday) || l.r.Float64() > chance {
			continue
		}
		hours := min(l.about(middle*site, 0.3), 13)
		pause := l.between(0.3, 0.7)
		start := l.clock(6.5, 9)
		l.add(d, start, hours*pause)
		l.add(d, start+hours*pause+0.7, hours*(1-pause))
	}
}

// weekly is a machine with one or two days a week.
func (l *life) weekly() {
	days := []time.Weekday{time.Weekday(1 + l.r.IntN(6))}
	if l.r.Float64() < 0.5 {
		days = append(days, time.Weekday(1+l.r.IntN(6)))
	}
	middle, skip, fussy := l.between(1, 6), l.between(0.05, 0.35), l.r.Float64() < 0.5
	loose := l.r.Float64() < 0.4 // not on set days
	for d := range l.days {
		on := slices.Contains(days, l.weekday(d))
		if loose {
			on = l.weekday(d) != time.Sunday && l.r.Float64() < float64(len(days))/6
		}
		if !on || l.r.Float64() < skip || (fussy && l.rain[d]) {
			continue
		}
		l.add(d, l.clock(7, 13), min(l.about(middle, 0.45), 10))
	}
}

// idle is a standby or hardly used machine.
func (l *life) idle() {
	every, middle := l.between(18, 200), l.between(0.3, 3)
	test := l.r.Float64() < 0.3 // a short run once a month
	never := l.r.Float64() < 0.25
	for d := range l.days {
		if test && d%30 == 11 {
			l.add(d, 10, l.between(0.2, 0.5))
		}
		if !never && l.r.Float64() < 1/every {
			l.add(d, l.clock(7, 20), min(l.about(middle, 0.8), 20))
		}
	}
}

// mow is an orchard mower: spring to autumn, by the growth, on dry days.
func (l *life) mow() {
	from, to := l.season(90, 125), l.season(270, 310)
	middle, gap := l.between(2, 7), l.between(3, 11)
	next := 0.0
	for d := range l.days {
		if l.yearDay(d) == 0 || d == 0 {
			from, to = from+6*l.r.NormFloat64(), to+6*l.r.NormFloat64()
		}
		y := l.yearDay(d)
		if y < from || y > to {
			if l.r.Float64() < 0.004 {
				l.add(d, 11, l.between(0.1, 0.5))
			}
			next = 0
			continue
		}
		if next--; next > 0 || l.rain[d] || l.weekday(d) == time.Sunday {
			continue
		}
		l.add(d, l.clock(7, 11), min(l.about(middle, 0.35), 11))
		next = l.about(gap*(1+0.6*math.Abs(y-150)/100), 0.3)
	}
}

// harvest is a machine with a steady load that triples for ten weeks.
func (l *life) harvest() {
	from := l.season(195, 265)
	middle, chance := l.between(1, 3), l.between(0.45, 0.9)
	for d := range l.days {
		if d == 0 || l.yearDay(d) == 0 {
			from += 5 * l.r.NormFloat64()
		}
		in := l.yearDay(d) >= from && l.yearDay(d) < from+70
		w := l.weekday(d)
		if w == time.Sunday && (!in || l.r.Float64() < 0.5) || w == time.Saturday && !in && l.r.Float64() < 0.7 {
			continue
		}
		if l.r.Float64() > chance {
			continue
		}
		hours := l.about(middle, 0.45)
		if in {
			hours = min(3*hours, 15)
		}
		l.add(d, l.clock(6, 9), hours)
	}
}

// hire is a machine that is out for a spell, and in the yard for another.
func (l *life) hire() {
	out, in := l.between(3, 25), l.between(3, 30)
	middle, on, left := l.between(2, 8), l.r.Float64() < 0.5, 0.0
	site, sunday := 1.0, false
	for d := range l.days {
		if left--; left <= 0 {
			on = !on
			left, site, sunday = l.about(in, 0.7), l.about(1, 0.3), l.r.Float64() < 0.2
			if on {
				left = l.about(out, 0.7)
			}
		}
		rest := l.weekday(d) == time.Sunday || (l.weekday(d) == time.Saturday && l.r.Float64() < 0.5)
		if !on || (rest && !sunday) || l.r.Float64() < 0.12 {
			continue
		}
		l.add(d, l.clock(6.5, 10), min(l.about(middle*site, 0.35), 14))
	}
}

// frost is a frost fan: it starts by itself on freezing nights while there is
// something to save, and is tried once a month.
func (l *life) frost() {
	limit := l.between(-2, 1)
	for d := range l.days {
		y := l.yearDay(d)
		if d%30 == 4 {
			l.add(d, 9, l.between(0.1, 0.3))
		}
		if (y > 85 && y < 155 || y > 255 && y < 320) && l.cold[d] < limit {
			l.add(d, l.clock(0.5, 4), min(1+l.about(1.2*(limit-l.cold[d]), 0.3), 9))
		}
	}
}

// tally puts runs in order, one at a time.
func (l *life) tally() {
	slices.SortFunc(l.runs, func(a, b run) int { return cmp.Compare(a.start, b.start) })
	sum := 0.0
	for i := range l.runs {
		if i > 0 {
			before := l.runs[i-1]
			l.runs[i].start = max(l.runs[i].start, before.start+before.hours/24)
		}
		l.before = append(l.before, sum)
		sum += l.runs[i].hours
	}
}

// ran is how many hours the engine has run by a time.
func (l *life) ran(day float64) float64 {
	i, _ := slices.BinarySearchFunc(l.runs, day, func(r run, d float64) int { return cmp.Compare(r.start, d) })
	if i == 0 {
		return 0
	}
	last := l.runs[i-1]
	return l.before[i-1] + min(last.hours, 24*(day-last.start))
}

// shows is what the meter shows: the drums go on whole.
func shows(m engine.Machine, hours float64) float64 {
	if m.Reads == engine.ReadsWhole {
		return math.Floor(hours)
	}
	return math.Floor(hours*10+1e-6) / 10
}

func (l *life) reads(p pattern, slips float64) {
	r := l.r
	l.reading = reader{
		every: l.between(4, 11), fixed: -1, skip: l.between(0, 0.3), whole: l.between(0, 0.1), odd: l.between(0, 0.2),
		late: l.between(0, 0.1), guess: l.between(0, 0.03), slip: slips, longer: l.between(0, 0.1), after: l.between(0, 0.6),
	}
	if r.Float64() < 0.4 {
		l.reading.fixed, l.reading.every = r.IntN(7), 7
	}
	if r.Float64() < 0.1 {
		l.reading.whole = 0.95
	}
	switch p {
	case idle, frostFan:
		l.reading.every *= l.between(1, 3)
	case bought:
		l.reading.every, l.reading.fixed, l.reading.longer = l.between(3, 9), -1, 0
	}
}

// log is what the readers write down up to the origin.
func (l *life) log(m engine.Machine, start, origin float64) []engine.Entry {
	var out []engine.Entry
	last := 0.0
	write := func(day, figure float64, known engine.Knowledge) {
		at := l.instant(day)
		out = append(out, engine.Entry{
			Seq: engine.Seq(len(out) + 1), Kind: engine.KindReading, Machine: m.ID, At: at, Said: at, Written: at,
			Day: engine.Day(at / engine.DayLength), Hours: engine.Known(engine.Tenths(math.Round(figure * 10))), Known: known,
		})
	}
	write(0.3, shows(m, start), engine.Seen)
	last = shows(m, start)
	for day := 0.3; ; {
		day = l.next(day)
		if day >= origin {
			return out
		}
		if l.r.Float64() < l.reading.skip {
			continue
		}
		figure, when, known := l.figure(m, start, day)
		if figure < last { // they would have been asked
			continue
		}
		if when < origin {
			write(when, figure, known)
		}
		if l.r.Float64() > l.reading.slip {
			last = figure
			continue
		}
		last = figure
		if when < origin {
			out[len(out)-1].Hours.Value = l.slipped(out[len(out)-1].Hours.Value)
		}
	}
}

// next is when the meter is read next.
func (l *life) next(day float64) float64 {
	rd, r := l.reading, l.r
	gap := rd.every * l.between(0.4, 1.6)
	if r.Float64() < rd.longer {
		gap *= 4
	}
	d := int(day + max(gap, 1))
	if rd.fixed >= 0 {
		d = int(day) + 1
		for int(l.weekday(d)) != rd.fixed {
			d++
		}
	}
	clock := l.clock(6.7, 17)
	switch {
	case r.Float64() < rd.odd:
		clock = l.clock(0, 23.9)
	case r.Float64() < rd.after:
		clock = l.clock(16, 18.5)
	}
	return float64(d) + clock/24
}

// figure is what is written for a reading, and when it is said to have been.
func (l *life) figure(m engine.Machine, start, day float64) (figure, when float64, known engine.Knowledge) {
	r, rd := l.r, l.reading
	figure, when = shows(m, start+l.ran(day)), day
	switch {
	case r.Float64() < rd.guess:
		week := l.ran(day) - l.ran(day-7)
		figure = math.Round(start + l.ran(day-5) + week*5/7*l.between(0.6, 1.4))
		if r.Float64() < 0.5 {
			known = engine.Estimated
		}
	case r.Float64() < rd.whole:
		figure = math.Round(figure)
	}
	if r.Float64() < rd.late {
		when += l.between(0.1, 1.5)
	}
	return figure, when, known
}

// slipped is a figure that has lost its point or has two digits swapped.
func (l *life) slipped(f engine.Tenths) engine.Tenths {
	if l.r.Float64() < 0.4 {
		return f * 10
	}
	unit := []engine.Tenths{1, 10, 100}[l.r.IntN(3)]
	a, b := f/unit%10, f/unit/10%10
	return f + unit*(b-a) + 10*unit*(a-b)
}
