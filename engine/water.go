package engine

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/mathext"
)

// Water is counted as what was looked after: so many finds in so many hours
// between looks. A Poisson count with a gamma rate, so that a few looks say
// little and many say much; amounts are gamma, with the words for them as
// intervals. Both lean on a prior that is common practice.

// The figures of the water model [common practice].
const (
	usualFinds          = 1.0                     // the prior counts for one find ...
	usualHours          = 50.0                    // ... in 50 h looked after
	lookedBack          = 1000                    // tenths: finds are counted over the last 100 h looked after
	usualML             = 15.0                    // a find, typically: a capful is 5 ml, a finger in a small bowl 15 to 25
	usualFactor         = 4.0                     // nine typical finds in ten are within this factor of it
	usualBowl           = Millilitres(100)        // bowls run from 60 to 200 ml
	ringFloats          = TraceUnder              // a ring does not come up on less
	mostChance          = 0.05                    // of more than half a bowl before the next drain
	oftenFinds          = usualFinds / usualHours // per hour: above it for certain, water comes in by a cap, can or tank
	certain             = 0.05                    // the low end of a 90 % range
	dryHours            = Tenths(250)             // two clean looks so far apart end severe use for water
	normal95            = 1.6448536269514722      // standard normal quantile of 0.95
	mostFinds           = 24                      // finds before the next drain that are told apart; more count as too much
	neglected           = 1e-6                    // a chance of more finds than that is not gone into
	amountShapes        = 4                       // shapes of the grid of amounts ...
	amountMeans         = 24                      // ... and means
	leastMean, mostMean = 2.0, 400.0              // ml
)

// Rate is what is known of how often something is found in an hour looked
// after: a gamma distribution with shape Finds and rate Hours (conjugate to
// Poisson counts: Gelman et al., Bayesian Data Analysis). Both count what was
// seen and what the prior stands for. The zero value knows nothing.
type Rate struct{ Finds, Hours float64 }

// UsualRate is the prior for water: one find in 50 h [common practice].
func UsualRate() Rate { return Rate{usualFinds, usualHours} }

// After is the rate after more finds in more hours looked after.
func (r Rate) After(finds int, hours float64) Rate {
	return Rate{r.Finds + float64(finds), r.Hours + hours}
}

// Mean is in finds per hour.
func (r Rate) Mean() float64 {
	if r.Hours == 0 {
		return 0
	}
	return r.Finds / r.Hours
}

// Quantile is the p-quantile in finds per hour, for p between 0 and 1.
func (r Rate) Quantile(p float64) float64 {
	if r.Finds <= 0 || r.Hours == 0 {
		return 0
	}
	return mathext.GammaIncRegInv(r.Finds, p) / r.Hours
}

// None is the chance of no find in the next hours.
func (r Rate) None(hours float64) float64 {
	if r.Hours+hours == 0 {
		return 1
	}
	return math.Pow(r.Hours/(r.Hours+hours), r.Finds)
}

// counts are the chances of no find, one, two and so on in the next hours: a
// Poisson count with a gamma rate is negative binomial.
func (r Rate) counts(hours float64) (p [mostFinds + 1]float64) {
	p[0] = r.None(hours)
	more := hours / (r.Hours + hours)
	for n := 1; n <= mostFinds; n++ {
		p[n] = p[n-1] * more * (r.Finds + float64(n-1)) / float64(n)
	}
	return p
}

// reaches is how many finds are worth telling apart in the next hours.
func (r Rate) reaches(hours float64) int {
	p := r.counts(hours)
	rest := 1 - p[0]
	n := 1
	for ; n < mostFinds && rest-p[n] > neglected; n++ {
		rest -= p[n]
	}
	return n
}

// surelyAbove says that the low end of the 90 % range is above so many finds
// per hour. It takes whole finds.
func (r Rate) surelyAbove(perHour float64) bool {
	below := 1 - gammaAbove(2*int(r.Finds), perHour*r.Hours)
	return below < certain
}

// gammaAbove is the chance that a gamma variable with scale 1 and a shape of so
// many halves is above y: by Q(a+1, y) = Q(a, y) + y^a e^-y / Γ(a+1) from
// Q(1/2, y) = erfc √y or Q(1, y) = e^-y (NIST Digital Library of Mathematical
// Functions, 8.4 and 8.8).
func gammaAbove(halves int, y float64) float64 {
	c := chainFrom(halves%2 == 1, y)
	for c.halves < halves {
		c.step()
	}
	return c.above
}

// chain walks the shapes of the recurrence in steps of one.
type chain struct {
	halves         int
	y, above, term float64
}

func chainFrom(odd bool, y float64) chain {
	e := math.Exp(-y)
	if odd {
		root := math.Sqrt(y)
		return chain{halves: 1, y: y, above: math.Erfc(root), term: e * root * 2 / math.SqrtPi}
	}
	return chain{halves: 2, y: y, above: e, term: e * y}
}

func (c *chain) step() {
	c.above += c.term
	c.halves += 2
	c.term *= 2 * c.y / float64(c.halves)
}

// amountNode is one gamma distribution that the amounts of a bowl may have,
// with what it makes of each way to tell an amount, in logarithms.
type amountNode struct {
	halves                  int // twice the shape
	shape, scale            float64
	prior                   float64
	norm                    float64 // of the density
	trace, some, lots, ring float64
}

// amountGrid are the distributions that amounts may have: four shapes from half
// to four, alike likely, and means from 2 to 400 ml around the usual one.
var amountGrid = sync.OnceValue(func() *[amountShapes * amountMeans]amountNode {
	grid := new([amountShapes * amountMeans]amountNode)
	spread := math.Log(usualFactor) / normal95
	for i := range grid {
		halves := 1 << (i / amountMeans)
		part := float64(i%amountMeans) / (amountMeans - 1)
		mean := leastMean * math.Pow(mostMean/leastMean, part)
		off := math.Log(mean/usualML) / spread
		n := amountNode{halves: halves, shape: float64(halves) / 2, prior: -off * off / 2}
		n.scale = mean / n.shape
		lg, _ := math.Lgamma(n.shape)
		n.norm = -lg - n.shape*math.Log(n.scale)
		over := func(a TenthsML) float64 { return gammaAbove(halves, a.Float()/n.scale) }
		n.trace = math.Log1p(-over(TraceUnder))
		n.some = math.Log(over(TraceUnder) - over(LotsOver))
		n.lots = math.Log(over(LotsOver))
		n.ring = math.Log(over(ringFloats))
		grid[i] = n
	}
	return grid
})

// amounts are finds as they were told: measured, in words, or by the ring that
// was up. What was not said is not among them.
type amounts struct {
	measured          int
	sum, logs         float64
	trace, some, lots int
	ring              int
}

// add counts a find and says whether it told an amount.
func (a *amounts) add(l Look) bool {
	switch {
	case l.Amount.Measured > 0:
		ml := l.Amount.Measured.Float()
		a.measured, a.sum, a.logs = a.measured+1, a.sum+ml, a.logs+math.Log(ml)
	case l.Amount.Class == Trace:
		a.trace++
	case l.Amount.Class == Some:
		a.some++
	case l.Amount.Class == Lots:
		a.lots++
	case l.Finding == RingUp:
		a.ring++
	default:
		return false
	}
	return true
}

// weights are how likely each distribution of the grid is after the finds. They
// add up to one.
func (a *amounts) weights() (w [amountShapes * amountMeans]float64) {
	grid := amountGrid()
	most := math.Inf(-1)
	for i := range grid {
		n := &grid[i]
		v := n.prior
		if a.measured > 0 {
			v += float64(a.measured)*n.norm + (n.shape-1)*a.logs - a.sum/n.scale
		}
		v = plus(v, a.trace, n.trace)
		v = plus(v, a.some, n.some)
		v = plus(v, a.lots, n.lots)
		v = plus(v, a.ring, n.ring)
		w[i], most = v, max(most, v)
	}
	total := 0.0
	for i := range w {
		w[i] = math.Exp(w[i] - most)
		total += w[i]
	}
	for i := range w {
		w[i] /= total
	}
	return w
}

// plus adds a logarithm so many times; none of minus infinity is nothing.
func plus(v float64, times int, log float64) float64 {
	if times == 0 {
		return v
	}
	return v + float64(times)*log
}

// likelyEnough is the share below which a distribution is left out.
const likelyEnough = 1e-5

// overBy are the chances that one find, two and so on up to some number together
// are over an amount. More finds are over it for certain.
func (a *amounts) overBy(ml float64, upTo int) (over [mostFinds + 1]float64) {
	grid, w := amountGrid(), a.weights()
	left := 0.0
	for i := range grid {
		if w[i] < likelyEnough {
			left += w[i]
			continue
		}
		n := &grid[i]
		y := ml / n.scale
		even, odd := chainFrom(false, y), chain{}
		if n.halves == 1 {
			odd = chainFrom(true, y)
		}
		for finds := 1; finds <= upTo; finds++ {
			c := &even
			if want := finds * n.halves; want%2 == 1 {
				c = &odd
			}
			for c.halves < finds*n.halves {
				c.step()
			}
			over[finds] += w[i] * c.above
		}
	}
	for n := range over {
		over[n] /= 1 - left
		if n > upTo {
			over[n] = 1
		}
	}
	return over
}

// WaterRecord is what the looks at one bowl tell of water. The zero value is
// that there was no look.
type WaterRecord struct {
	Finds int    // in the hours looked after
	Hours Tenths // between looks that were made, at most the last 100 h
	// New are finds whose hours are not counted: the first look of a bowl, and
	// those after the reading before the last one. Until the next reading the
	// last may be a slip, and must not make hours that stretch a drain.
	New  int
	Told int  // finds that told an amount
	Last Seq  // the last find, 0 for none
	Rate Rate // finds per hour looked after

	amounts amounts
}

// record counts finds and the hours between looks, back from the last look to
// when the tank was last cleaned. A find is new water only where the bowl was
// known to be dry before it: seen clean, or drained. A look of which nothing is
// known is no clean one: a drain without a word starts the hours anew.
func (s *Sheet) record(looks []Look) WaterRecord {
	since := s.cleaned()
	var r WaterRecord
	settled := s.settled()
	for i := len(looks) - 1; i >= 0 && looks[i].At > since && r.Hours < lookedBack; i-- {
		if looks[i].Saw == SawNothing {
			continue
		}
		start, wet := dryBefore(looks[:i])
		if wet {
			continue // the same water, seen before and not let out since
		}
		hours, known := Tenths(0), false
		if start != nil && start.At > since && looks[i].At <= settled {
			hours, known = s.between(start.At, looks[i].At)
		}
		r.Hours = min(r.Hours+hours, lookedBack)
		if looks[i].Saw == SawWater {
			r.find(looks[i:], known)
		}
	}
	r.Rate = UsualRate().After(r.Finds, r.Hours.Hours())
	return r
}

// find counts the find that the first of some looks is. Where the water was let
// out later, that tells how much it was.
func (r *WaterRecord) find(looks []Look, known bool) {
	l := looks[0]
	for i := 1; i < len(looks) && !looks[i-1].Drained && looks[i].Saw != SawClean; i++ {
		if looks[i].Saw == SawWater && (looks[i].Amount != Amount{}) {
			l.Amount = looks[i].Amount
		}
	}
	if r.Last == 0 {
		r.Last = l.Seq
	}
	if r.amounts.add(l) {
		r.Told++
	}
	if known {
		r.Finds++
	} else {
		r.New++
	}
}

// dryBefore is the look that left the bowl dry, nil for none; wet says that
// water was seen after it and not let out.
func dryBefore(looks []Look) (start *Look, wet bool) {
	for i := len(looks) - 1; i >= 0; i-- {
		switch l := &looks[i]; {
		case l.Drained || l.Saw == SawClean:
			return l, false
		case l.Saw == SawWater:
			return nil, true
		}
	}
	return nil, false
}

// settled is the last instant whose machine hours the last reading does not
// move: that of the reading before it.
func (s *Sheet) settled() Instant {
	p := s.Meter.Points
	for i := len(p) - 2; i >= 0; i-- {
		if p[i].At < p[len(p)-1].At {
			return p[i].At
		}
	}
	return 0
}

// between are the hours run between two instants.
func (s *Sheet) between(from, to Instant) (Tenths, bool) {
	a, ok := s.Forecast.HoursAt(from)
	b, _ := s.Forecast.HoursAt(to)
	return max(TenthsOf(b.Mid)-TenthsOf(a.Mid), 0), ok
}

// cleaned is when the tank was last cleaned, 0 for never in the book.
func (s *Sheet) cleaned() Instant {
	if e := s.entry(s.jobs[Tank.place()].last); e != nil && e.Kind == KindService {
		return when(e)
	}
	return 0
}

// Often says that water comes more often than once in 50 h for certain: the low
// end of the 90 % range is above it.
func (r WaterRecord) Often() bool { return r.Rate.surelyAbove(oftenFinds) }

// Over is the chance of more than half a bowl within the next hours, by what
// was found so far.
func (r WaterRecord) Over(bowl Millilitres, hours Tenths) float64 {
	t := r.tail(bowl, hours)
	return t.over(hours)
}

// waterTail tells how likely more than half a bowl is.
type waterTail struct {
	rate   Rate
	byFind [mostFinds + 1]float64
}

// tail is for at most so many hours. Finds whose hours are not counted are finds
// all the same: that errs on the side of looking sooner.
func (r *WaterRecord) tail(bowl Millilitres, most Tenths) waterTail {
	t := waterTail{rate: r.Rate.After(r.New, 0)}
	t.byFind = r.amounts.overBy(halfBowl(bowl), t.rate.reaches(most.Hours()))
	return t
}

func (t *waterTail) over(hours Tenths) float64 {
	p := t.rate.counts(hours.Hours())
	sum, rest := 0.0, 1-p[0]
	for n := 1; n <= mostFinds; n++ {
		sum += p[n] * t.byFind[n]
		rest -= p[n]
	}
	return sum + max(rest, 0)
}

// Within are the hours, at most those of the plan, within which the chance of
// more than half a bowl stays under 5 %. Without a find they are the plan's.
func (r WaterRecord) Within(plan Tenths, bowl Millilitres) Tenths {
	if r.Last == 0 || plan <= 1 {
		return plan
	}
	t := r.tail(bowl, plan)
	if t.over(plan) < mostChance {
		return plan
	}
	low, high := Tenths(1), plan // low is taken whatever its chance: there is nothing shorter
	for high-low > 1 {
		if mid := (low + high) / 2; t.over(mid) < mostChance {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// halfBowl is half of a bowl in ml, or of a usual one where its size is not
// known.
func halfBowl(bowl Millilitres) float64 {
	if bowl <= 0 {
		bowl = usualBowl
	}
	return float64(bowl) / 2
}
