package engine

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Age replacement: whether a part is better renewed at an age than run until it
// fails (Barlow and Proschan, Mathematical Theory of Reliability, 1965). It
// pays only where the part wears out and failing costs more than renewing.

// AgedJobs are the jobs whose parts the shop's own failures are counted for.
func AgedJobs() []Job { return []Job{Hose, Bowl, LiftPump} }

// Life is how long one part ran.
type Life struct {
	Machine MachineID
	Seq     Seq // the entry that ended it, 0 while it runs
	Hours   float64
	Failed  bool // else it was renewed in time, or runs still: it would have lasted longer
}

// failedDays is how long before a renewal a complaint counts as what it was
// renewed for [common practice].
const failedDays Day = 14

// Lives are the lives of a part in one machine's book. A life counts from a
// renewal, or from new where the book has seen the machine new, to the next
// renewal, or to now. Where the hours of either end are not known, or the age
// at the first renewal, there is none. A part has failed where what it fails
// with was seen, or the machine was out of use for it, in the two weeks before.
func (s *Sheet) Lives(job Job, now Instant) []Life {
	renewals := s.renewals(job, now)
	start, known := s.seenNew()
	var since Instant
	var lives []Life
	for _, e := range renewals {
		end, ok := s.hoursOf(e)
		if known && ok && end > start {
			lives = append(lives, Life{s.Machine.ID, e.Seq, (end - start).Hours(), s.failed(job, e, since)})
		}
		start, known, since = end, ok, when(e)
	}
	if b, ok := s.Forecast.HoursAt(now); ok && known && s.Machine.InShed() && TenthsOf(b.Mid) > start {
		lives = append(lives, Life{Machine: s.Machine.ID, Hours: (TenthsOf(b.Mid) - start).Hours()})
	}
	return lives
}

// renewals are the services that renewed a part by some time, in time order.
func (s *Sheet) renewals(job Job, now Instant) []*Entry {
	var out []*Entry
	for i := range s.h {
		e := &s.h[i]
		if e.State != Standing || e.Kind != KindService || !e.Has(job) || (e.How != "" && e.How != Renewed) || when(e) > now {
			continue
		}
		at := len(out)
		for at > 0 && s.before(e, out[at-1]) {
			at--
		}
		out = append(out, nil)
		copy(out[at+1:], out[at:])
		out[at] = e
	}
	return out
}

// newHours is what a machine may show and still be taken for new [common
// practice].
const newHours Tenths = 500

// seenNew is zero hours, where the book has seen the machine new.
func (s *Sheet) seenNew() (Tenths, bool) {
	return 0, len(s.Meter.Points) > 0 && s.Meter.Points[0].Hours <= newHours
}

// hoursOf are the machine hours of an entry.
func (s *Sheet) hoursOf(e *Entry) (Tenths, bool) {
	if e.Hours.Known {
		return s.Meter.Machine(e.Hours.Value, when(e)), true
	}
	b, ok := s.Forecast.HoursAt(when(e))
	return TenthsOf(b.Mid), ok
}

// failed says whether a part was renewed because it had failed.
func (s *Sheet) failed(job Job, renewal *Entry, since Instant) bool {
	day := s.dayOf(renewal)
	for i := range s.h {
		e := &s.h[i]
		if e.State != Standing || !failsWith(job, e) || when(e) <= since || day-s.dayOf(e) > failedDays {
			continue
		}
		if s.before(e, renewal) || together(e, renewal) {
			return true
		}
	}
	return false
}

// failsWith says whether an entry tells what a part fails with.
func failsWith(job Job, e *Entry) bool {
	switch e.Kind {
	case KindOut:
		return true
	case KindFinding:
		return e.Finding == Weep || e.Finding == Air || (e.Finding == WarpedBowl && job == Bowl)
	case KindSymptom:
		for _, x := range e.Symptoms {
			switch x {
			case NoStart, StartsDies, PowerLoss, Surging, Stalls, HardStart, HardStartCold, HardStartHot, FuelSmell:
				return true
			}
		}
	}
	return false
}

// Weibull is a life distribution: Shape is 1 for chance, above it for wear-out;
// Scale is in hours, by which 63.2 % have failed.
type Weibull struct{ Shape, Scale float64 }

// FitWeibull is the maximum likelihood fit to lives of which some ended before
// failure, and its log-likelihood. Hours are above zero. ok is false with fewer
// than two failures, or where none came before the longest life.
func FitWeibull(lives []Life) (w Weibull, logLikelihood float64, ok bool) {
	f := lifeSums{lives: lives}
	for _, l := range lives {
		f.most = max(f.most, l.Hours)
		if l.Failed {
			f.failures++
			f.logs += math.Log(l.Hours)
		}
	}
	if f.failures < 2 || !f.spread() {
		return Weibull{}, 0, false
	}
	low, high := 1e-3, 1.0
	for f.slope(high) < 0 {
		low, high = high, 2*high
	}
	for high-low > 1e-13*high {
		if mid := (low + high) / 2; f.slope(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	w.Shape = (low + high) / 2
	w.Scale = f.scale(w.Shape)
	return w, f.logLikelihood(w), true
}

// lifeSums are what the likelihood of lives needs.
type lifeSums struct {
	lives    []Life
	failures float64
	logs     float64 // of the lives that ended in failure
	most     float64 // the longest life, against which powers are taken
}

// spread says that the lives are not all failures of the same hours: no shape
// would be steep enough.
func (f *lifeSums) spread() bool {
	for _, l := range f.lives {
		if l.Hours != f.most && l.Failed {
			return true
		}
	}
	return false
}

// powers are the sums of hours to a power, without and with their logarithm,
// over the longest life to that power.
func (f *lifeSums) powers(shape float64) (sum, withLog float64) {
	for _, l := range f.lives {
		p := math.Pow(l.Hours/f.most, shape)
		sum += p
		withLog += p * math.Log(l.Hours)
	}
	return sum, withLog
}

// slope is the profile likelihood's, turned round: it rises with the shape and
// is zero at the fit.
func (f *lifeSums) slope(shape float64) float64 {
	sum, withLog := f.powers(shape)
	return withLog/sum - 1/shape - f.logs/f.failures
}

// scale is the likeliest for a shape.
func (f *lifeSums) scale(shape float64) float64 {
	sum, _ := f.powers(shape)
	return f.most * math.Pow(sum/f.failures, 1/shape)
}

// logLikelihood is that of the likeliest scale for a shape.
func (f *lifeSums) logLikelihood(w Weibull) float64 {
	return f.failures*(math.Log(w.Shape)-w.Shape*math.Log(w.Scale)-1) + (w.Shape-1)*f.logs
}

// Costs are what it costs to renew a part in time, and when it has failed, in
// any one unit: minutes, money.
type Costs struct{ Planned, Failed float64 }

// Optimum is when a part is best renewed.
type Optimum struct {
	Age    float64 // hours, 0 for never before it fails
	Cost   float64 // per hour, renewed at that age
	Run    float64 // per hour, run until it fails
	Saving float64 // share of Run that renewing saves
}

// allFailed is the cumulated hazard by which no part is left, to a float.
const allFailed = 700

// Optimum is the age at which renewing costs least per hour: where
// h(T)·∫R − F(T) = planned/(failed − planned), with hazard h, survival R over
// the age and F failed by it. There the cost is (failed − planned)·h(T). Without
// wear-out, or where a failure is no dearer, there is none.
func (w Weibull) Optimum(c Costs) Optimum {
	o := Optimum{Run: c.Failed / w.mean()}
	o.Cost = o.Run
	if w.Shape <= 1 || c.Failed <= c.Planned || c.Planned <= 0 {
		return o
	}
	want := c.Planned / (c.Failed - c.Planned)
	low, high := 0.0, w.Scale
	for w.gain(high) < want {
		if low, high = high, 2*high; math.Pow(high/w.Scale, w.Shape) > allFailed {
			return o // so little wear-out that no part would live to see it
		}
	}
	for high-low > 1e-12*high {
		if mid := (low + high) / 2; w.gain(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	o.Age = (low + high) / 2
	o.Cost = (c.Failed - c.Planned) * w.hazard(o.Age)
	o.Saving = 1 - o.Cost/o.Run
	return o
}

// mean is the mean life in hours.
func (w Weibull) mean() float64 { return w.Scale * math.Gamma(1+1/w.Shape) }

// hazard is the rate of failure per hour at an age.
func (w Weibull) hazard(age float64) float64 {
	return w.Shape / w.Scale * math.Pow(age/w.Scale, w.Shape-1)
}

// gain is h(T)·∫R − F(T), which rises with the age where the part wears out.
func (w Weibull) gain(age float64) float64 {
	x := math.Pow(age/w.Scale, w.Shape)
	lived := w.mean() * mathext.GammaIncReg(1/w.Shape, x) // the hours lived up to the age, on average
	return w.hazard(age)*lived + math.Expm1(-x)
}

// AgeWhy is why a part is not renewed at an age. The zero value is that it is.
type AgeWhy string

// Why there is no age.
const (
	FewFailures AgeWhy = "too few failures"
	LikeChance  AgeWhy = "no wear-out to be told from chance"
	NoDearer    AgeWhy = "a failure costs no more"
	LittleSaved AgeWhy = "it would save next to nothing"
)

// Ageing is what the shop's own failures say of renewing a part at an age.
type Ageing struct {
	Why      AgeWhy
	Failures int
	Others   int     // lives that ended before failure, or run still
	Fit      Weibull // known with two failures or more
	Wear     float64 // how far from chance: the signed root of the likelihood ratio, standard normal without wear-out
	Optimum  Optimum
}

const (
	fewestFailures = 6    // fewer settle nothing, whatever their pattern [common practice]
	wearFrom       = 2.1  // of Wear: six failures by chance alone get there once in sixteen, more of them less often
	leastSaved     = 0.05 // of the cost of running to failure [common practice]
)

// AgeReplacement says whether and when a part is better renewed before it
// fails, from its lives on all machines of the shop. It says so only where
// there are six failures or more, and where the likelihood ratio tells wear-out
// from failing by chance alone.
func AgeReplacement(lives []Life, c Costs) Ageing {
	var a Ageing
	var hours float64
	for _, l := range lives {
		hours += l.Hours
		if l.Failed {
			a.Failures++
		}
	}
	a.Others = len(lives) - a.Failures
	fit, best, ok := FitWeibull(lives)
	if ok {
		n := float64(a.Failures)
		chance := n * (math.Log(n/hours) - 1) // shape 1: failures at one rate
		a.Fit = fit
		a.Wear = math.Copysign(math.Sqrt(max(2*(best-chance), 0)), fit.Shape-1)
	}
	switch {
	case !ok || a.Failures < fewestFailures:
		a.Why = FewFailures
	case a.Wear < wearFrom:
		a.Why = LikeChance
	case c.Failed <= c.Planned:
		a.Why = NoDearer
	default:
		if a.Optimum = fit.Optimum(c); a.Optimum.Saving < leastSaved {
			a.Why, a.Optimum = LittleSaved, Optimum{}
		}
	}
	return a
}
