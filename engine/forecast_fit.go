package engine

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// knots are the days of work after the last reading at which the forecast is
// worked out; between them it is a straight line, after them it goes on at the
// pace to there.
var knots = [...]float64{3, 7, 14, 21, 30, 45, 60, 75, 100, 150, 365}

const knotCount = len(knots)

// curve is how many hours are gained by the knots: the ends and the middle of
// the 80 % band, and the chance that the meter reads what it read.
type curve struct {
	low, mid, high, still [knotCount]float64
	drawn                 bool
}

// fit works the curve out for a meter that can tell apart some hours. It begins
// at the first knot that is no shorter than the usual gap: what the past shows
// there has to do for the shorter ones too.
func (p *past) fit(grain float64) (c curve) {
	var d draw
	var steady, seen, steadyFirst, seenFirst tally
	first := 0
	for first < knotCount-1 && knots[first] < p.gap {
		first++
	}
	for i := range knotCount {
		k := first + i
		if k >= knotCount {
			k = knotCount - 1 - i
			steady, seen = steadyFirst, seenFirst.unseen()
		}
		var buf [mostStarts]start
		starts := p.starts(knots[k], buf[:0])
		w := p.weigh(k, starts, &steady)
		p.fill(&d, k, starts, &w)
		p.recall(&d, knots[k], grain/2, starts, &w, &seen)
		if i == 0 {
			steadyFirst, seenFirst = steady, seen
		}
		wide := 1 + (1-w.kind)*(math.Sqrt(seen.against(recallCounts))-1)
		low := distuv.UnitNormal.CDF(-z80 * wide)
		c.low[k], c.mid[k], c.high[k] = d.quantile(low), d.quantile(0.5), d.quantile(1-low)
		c.still[k] = d.below(grain / 2)
	}
	c.drawn = true
	c.straighten()
	return c
}

const leanNarrows = 0.3 // by how much at most

// lean draws the middle of the curve towards a pace, by a share: a log that runs
// like a clock is read off the line, and its band goes along and is narrower.
// Where there are few readings the band goes half the way and stays as wide.
func (c *curve) lean(pace, share float64, few bool) {
	along, keep := 1.0, 1-share*leanNarrows
	if few {
		along, keep = 0.5, 1
	}
	for k, days := range knots {
		mid := share * (pace*days - c.mid[k])
		from := c.mid[k] + along*mid
		low, high := from-(c.mid[k]-c.low[k])*keep, from+(c.high[k]-c.mid[k])*keep
		c.mid[k] += mid
		c.low[k], c.high[k] = max(0, min(low, c.mid[k])), max(high, c.mid[k])
	}
	c.straighten()
}

// straighten sees to it that waiting never takes hours back nor narrows the
// band.
func (c *curve) straighten() {
	for k := 1; k < knotCount; k++ {
		c.low[k] = max(c.low[k], c.low[k-1])
		c.high[k] = max(c.high[k], c.low[k]+c.high[k-1]-c.low[k-1])
		c.mid[k] = min(max(c.mid[k], c.mid[k-1], c.low[k]), c.high[k])
		c.still[k] = min(c.still[k], c.still[k-1])
	}
}

// at is a pace at a normal quantile: log-normal on both sides of the middle.
func (u Pace) at(z float64) float64 {
	switch {
	case u.Mid == 0:
		return 0
	case z < 0:
		return u.Mid * math.Pow(u.Low/u.Mid, -z/z80)
	}
	return u.Mid * math.Pow(u.High/u.Mid, z/z80)
}

// part is the knot at or after some days and how far they are from the one
// before it to it; a day before the first knot counts from nothing.
func part(days float64) (k int, part float64) {
	for k < knotCount-1 && knots[k] < days {
		k++
	}
	if k == 0 {
		return 0, days / knots[0]
	}
	return k, (days - knots[k-1]) / (knots[k] - knots[k-1])
}

// along is the value of one end some days after the last reading.
func along(v *[knotCount]float64, days float64) float64 {
	k, part := part(days)
	switch {
	case k == 0:
		return part * v[0]
	case part > 1:
		return v[k] * days / knots[k]
	}
	return v[k-1] + part*(v[k]-v[k-1])
}

// reached is the inverse of along: after how many days some hours are gained.
func reached(v *[knotCount]float64, hours float64) float64 {
	if hours <= 0 {
		return 0
	}
	k := 0
	for k < knotCount && v[k] < hours {
		k++
	}
	switch k {
	case 0:
		return knots[0] * hours / v[0]
	case knotCount:
		return knots[k-1] * hours / v[k-1] // never, at no pace
	}
	return knots[k-1] + (hours-v[k-1])/(v[k]-v[k-1])*(knots[k]-knots[k-1])
}

func (c *curve) gain(days float64) Band {
	return Band{Low: along(&c.low, days), Mid: along(&c.mid, days), High: along(&c.high, days)}
}

// standing is the chance that nothing is gained in some days.
func (c *curve) standing(days float64) float64 {
	if !c.drawn {
		return 0
	}
	k, part := part(days)
	if k == 0 {
		return 1 + part*(c.still[0]-1)
	}
	return c.still[k-1] + min(part, 1)*(c.still[k]-c.still[k-1])
}

// from is the curve for a start some days of work later: what is gained from
// then on. A season that begins or ends on the way does so as many days sooner.
// How far it may be off is what it would be over as many days, more or less of
// it by as much more or less as there is to gain.
func (c *curve) from(days float64) curve {
	if !c.drawn {
		return *c
	}
	then := *c
	start := c.gain(days)
	var was Band
	for k, knot := range knots {
		first, end := c.gain(knot), c.gain(days+knot)
		b := Band{Mid: max(end.Mid-start.Mid, was.Mid)}
		b.Low = b.Mid - apart(first.Mid-first.Low, first.Mid, b.Mid, start.Mid-start.Low, end.Mid-end.Low)
		b.High = b.Mid + apart(first.High-first.Mid, first.Mid, b.Mid, start.High-start.Mid, end.High-end.Mid)
		was = Band{Low: max(b.Low, was.Low), Mid: b.Mid, High: max(b.High, was.High)}
		then.low[k], then.mid[k], then.high[k] = was.Low, was.Mid, was.High
	}
	return then
}

// apart is how far a band's end is from its middle over some days that start
// later. width is how far it is over the first days, in which mid is gained;
// later is gained over those that start later. Work scatters with the root of
// what is gained, and a level is off by a share of it. Where the first days tell
// nothing, it is what the band widens by between then and the end.
func apart(width, mid, later, then, end float64) float64 {
	const nothing = 0.1 // h
	if mid < nothing {
		return max(width, math.Sqrt(max(end*end-then*then, 0)))
	}
	r := later / mid
	return width * max(r, math.Sqrt(r))
}
