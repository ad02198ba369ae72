package engine

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// The band at a knot is tried on the machine's own past: it is as wide as would
// have been right there. Where a gain falls in what would have been told is its
// probability integral transform (Dawid, "Statistical theory: the prequential
// approach", J. R. Statist. Soc. A 147, 1984), and on the scale of a standard
// normal its square is 1 on average where the width is right.

const (
	recallCounts = 2.0  // spells that a right width counts for
	recallKeeps  = 0.9  // of what the knot before has seen of it
	recallShort  = 1.15 // times what the past shows: the ways were weighed on it too
	recallMost   = 2.4  // standard deviations: being off by more says no more
	recallAlike  = 0.5  // how far a level may be off today's, as the sigma of a log-normal
	recallYear   = 0.1  // weight from which on the year before counts in the level
)

// recallUsual is the mean of a standard normal's square where it is cut off.
var recallUsual = func() float64 {
	n := distuv.UnitNormal
	return 1 - 2*n.Survival(recallMost) - 2*recallMost*n.Prob(recallMost) + 2*recallMost*recallMost*n.Survival(recallMost)
}()

// recall tries what would be told at a knot on the starts of the past, shrunk or
// stretched to the level then; starts at a level like today's count more. Spells
// within a gap say nothing.
func (p *past) recall(d *draw, days, nothing float64, starts []start, w *ways, seen *tally) {
	seen.fade(recallKeeps)
	now, ok := p.paceThen(w, days, len(p.days)-1)
	if days < p.gap || !ok {
		return
	}
	none := squareBelow(d.below(nothing))
	var off, weight float64
	for _, s := range starts {
		then, ok := p.paceThen(w, days, s.i)
		if !ok || !p.told(s, days) {
			continue
		}
		apart := math.Log(then/now) / recallAlike
		alike := s.weight * math.Exp(-apart*apart/2)
		weight += alike
		if s.gain < nothing {
			off += alike * none
			continue
		}
		const least = 0.005
		z := distuv.UnitNormal.Quantile(min(max(d.below(s.gain*now/then), least), 1-least))
		off += alike * min(z*z, recallMost*recallMost) / recallUsual
	}
	if weight == 0 {
		return
	}
	span := -p.days[0]
	if w.year >= recallYear {
		span -= year
	}
	seen.add(recallShort*off/weight, min(weight, span/days))
}

// paceThen is the level at a reading with that of the same weeks a year before;
// ok is false where nothing was gained or the log does not go back as far.
func (p *past) paceThen(w *ways, days float64, i int) (pace float64, ok bool) {
	pace = p.pace(w, i)
	if w.year >= recallYear {
		if p.days[i]-year-season < p.days[0] {
			return 0, false
		}
		gains, n := p.years(days, p.days[i])
		sum := 0.0
		for _, gain := range gains[:n] {
			sum += gain
		}
		if n == 0 {
			return 0, false
		}
		pace += w.year * (sum/float64(n)/days - pace)
	}
	return pace, pace > 0
}

// squareBelow is the mean of a standard normal's square where it is below its
// p-quantile: a gain of nothing may have fallen anywhere there.
func squareBelow(p float64) float64 {
	if p <= 0 || p >= 1 {
		return 1
	}
	z := distuv.UnitNormal.Quantile(p)
	return min(1-z*distuv.UnitNormal.Prob(z)/p, recallMost*recallMost)
}
