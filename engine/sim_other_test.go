package engine_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"woodruff/engine"
)

// The other simulator draws the same kinds of use by other laws, day by day:
// renewals and exponential spells, levels that drift, seasons without an edge,
// regular readers. What is tuned to the first one alone shows here.

// other is one machine being simulated by it.
type other struct {
	*life
	hours []float64 // worked on each day
}

func simulateOther(p pattern, n int, seed uint64, knobs uint64) []simulated {
	out := make([]simulated, 0, n)
	for i := range n {
		r := rand.New(rand.NewPCG(seed^0x9e3779b9, uint64(i)*7919+uint64(len(p))*131+uint64(p[1])))
		l := &life{r: r, knobs: knobs, first: int(engine.DayOf(2022, time.January, 1)) + r.IntN(1000)}
		out = append(out, (&other{life: l}).live(p))
	}
	return out
}

func (o *other) live(p pattern) simulated {
	log := o.between(90, 730)
	switch p {
	case seasonal, harvest, frostFan:
		log = o.between(250, 1100)
	case bought:
		log = o.between(8, 60)
	}
	o.days = int(log) + 63
	o.hours = make([]float64, o.days)
	work := p
	if p == bought {
		work = []pattern{busy, weekly, rental, harvest}[o.r.IntN(4)]
	}
	o.work(work)
	for d, h := range o.hours {
		o.add(d, o.clock(6.5, 10), h)
	}
	o.tally()
	m := engine.Machine{ID: 1, Tag: "M1", Kind: o.kindOf(p), Reads: engine.ReadsTenths}
	if o.r.Float64() < 0.1 {
		m.Reads = engine.ReadsWhole
	}
	start, origin := o.between(0, 5000), math.Floor(log)+o.clock(0.25, 0.75)
	s := simulated{pattern: p, machine: m, origin: o.instant(origin)}
	s.entries = o.read(p, m, start, origin)
	for i, h := range horizons {
		s.at[i] = o.instant(origin + float64(h))
		s.truth[i] = shows(m, start+o.ran(origin+float64(h)))
	}
	return s
}

func (o *other) work(p pattern) {
	switch p {
	case busy:
		o.busy()
	case weekly:
		o.weekly()
	case idle:
		o.idle()
	case seasonal:
		o.mow()
	case harvest:
		o.harvest()
	case rental:
		o.hire()
	case frostFan:
		o.frost()
	}
}

func (o *other) spell(mean float64) float64 { return -mean * math.Log(1-o.r.Float64()) }

// day is a day's work around a middle.
func (o *other) day(middle, spread float64) float64 {
	return min(max(middle+spread*o.r.NormFloat64(), 0.3), 14)
}

// busy works every working day, at a level that drifts, with holidays.
func (o *other) busy() {
	middle, spread, days, drift, off := o.between(3, 8), o.between(0.5, 2), 5+o.r.IntN(2), 0.0, 0
	for d := range o.hours {
		drift = 0.995*drift + 0.03*o.r.NormFloat64()
		if off--; off < 0 && o.r.Float64() < 1.5/365 {
			off = 7 + o.r.IntN(8)
		}
		if weekday := (int(o.weekday(d)) + 6) % 7; weekday < days && off <= 0 && o.r.Float64() < 0.93 {
			o.hours[d] = o.day(middle*math.Exp(drift), spread)
		}
	}
}

// weekly works once a week, by the clock or give or take a day or two.
func (o *other) weekly() {
	least, more, give := o.between(1, 3), o.between(1, 4), o.r.IntN(3)
	for d := o.r.IntN(7); d < len(o.hours); d += 7 {
		if o.r.Float64() < 0.15 {
			continue
		}
		on := min(max(d+o.r.IntN(2*give+1)-give, 0), len(o.hours)-1)
		o.hours[on] += o.between(least, least+more)
	}
}

func (o *other) idle() {
	chance, mean := o.between(0.2, 2.5)/30, o.between(0.4, 2.5)
	for d := range o.hours {
		if o.r.Float64() < chance {
			o.hours[d] = max(o.spell(mean), 0.1)
		}
	}
}

// mow comes and goes with the growth.
func (o *other) mow() {
	peak, week, mean := o.season(150, 190), o.between(0.4, 2), o.between(1.5, 5)
	for d := range o.hours {
		growth := math.Cos(2*math.Pi*(o.yearDay(d)-peak)/365.25) + 0.15
		if growth > 0 && o.r.Float64() < week/7*math.Sqrt(growth) {
			o.hours[d] = mean * o.between(0.5, 1.5)
		}
	}
}

func (o *other) harvest() {
	middle, from, rest := o.between(0.8, 2.5), o.season(200, 250), o.between(0.1, 0.3)
	for d := range o.hours {
		times := 1.0
		if y := o.yearDay(d); y >= from && y < from+70 {
			times = 3
		}
		if o.weekday(d) != time.Sunday && o.r.Float64() >= rest {
			o.hours[d] = min(middle*times*o.between(0.5, 1.5), 16)
		}
	}
}

func (o *other) hire() {
	out, in, middle := o.between(4, 25), o.between(4, 25), o.between(3, 8)
	on, left := o.r.Float64() < 0.5, 0.0
	for d := range o.hours {
		if left--; left <= 0 {
			on = !on
			left = 1 + o.spell(map[bool]float64{true: out, false: in}[on])
		}
		if on && o.weekday(d) != time.Sunday {
			o.hours[d] = o.day(middle, 1.5)
		}
	}
}

func (o *other) frost() {
	for d := range o.hours {
		if y := o.yearDay(d); (y > 90 && y < 150 || y > 260 && y < 315) && o.r.Float64() < 0.3 {
			o.hours[d] = o.between(1, 7)
		}
		if d%30 == 0 {
			o.hours[d] += 0.2
		}
	}
}

// read is a log of readings by chance, about every so many days, or once a week.
func (o *other) read(p pattern, m engine.Machine, start, origin float64) (out []engine.Entry) {
	every := o.between(2, 14)
	if p == bought {
		every = o.between(2, 10)
	}
	reader := o.r.IntN(3)
	for day := 0.35; day < origin; {
		at := o.instant(day)
		out = append(out, engine.Entry{
			Seq: engine.Seq(len(out) + 1), Kind: engine.KindReading, Machine: m.ID, At: at, Said: at, Written: at, Known: engine.Seen,
			Day: engine.Day(at / engine.DayLength), Hours: engine.Known(engine.Tenths(math.Round(shows(m, start+o.ran(day)) * 10))),
		})
		gap := []float64{1 + o.spell(every-1), every * o.between(0.5, 1.5), 7}[reader]
		day = math.Floor(day) + max(math.Round(gap), 1) + o.clock(0.28, 0.75)
	}
	return slices.Clip(out)
}
