package engine

import "slices"

// backtestDays are the days ahead at which a log is tried against itself.
var backtestDays = [...]int{3, 14, 60}

const (
	backtestMost  = 40 // readings hidden at most, per machine
	backtestLeast = 2  // readings that must be left
)

// BacktestScore is how forecasts some days ahead did.
type BacktestScore struct {
	Days int // ahead
	N    int // readings that were hidden and told
	// Covered is how many of them fell into the 80 % band. Where the meter had
	// not moved and the band says as much, it is the share of the chance of that
	// which lies between 0.1 and 0.9: the mean of the randomised PIT (Czado,
	// Gneiting and Held, "Predictive model assessment for count data", Biometrics
	// 65, 2009).
	Covered float64
	// The pinball losses at 0.1, 0.5 and 0.9, averaged over the three and summed
	// up over readings, in hours: of the forecast, of the line through the last
	// two readings, and of the Theil-Sen line of the last 120 days with the
	// quantiles of its residuals.
	Loss, LastTwoLoss, SenLoss float64
}

// Add sums scores of the same days up, over machines.
func (s BacktestScore) Add(o BacktestScore) BacktestScore {
	s.N += o.N
	s.Covered += o.Covered
	s.Loss, s.LastTwoLoss, s.SenLoss = s.Loss+o.Loss, s.LastTwoLoss+o.LastTwoLoss, s.SenLoss+o.SenLoss
	return s
}

// Coverage is the share of readings in the band; ok is false without any.
func (s BacktestScore) Coverage() (share float64, ok bool) {
	if s.N == 0 {
		return 0, false
	}
	return s.Covered / float64(s.N), true
}

// AgainstBest is the loss as a share of the better baseline's; ok is false where
// that has none.
func (s BacktestScore) AgainstBest() (share float64, ok bool) {
	best := min(s.LastTwoLoss, s.SenLoss)
	if best <= 0 {
		return 0, false
	}
	return s.Loss / best, true
}

// BacktestResult holds a score for each of 3, 14 and 60 days.
type BacktestResult [len(backtestDays)]BacktestScore

// Add sums results up, over machines.
func (r BacktestResult) Add(o BacktestResult) BacktestResult {
	for i := range r {
		o[i].Days = max(o[i].Days, r[i].Days)
		r[i] = o[i].Add(r[i])
	}
	return r
}

// Backtest tries a machine's log against itself: it hides each of the last
// readings with all that came in the 3, 14 or 60 days before it, says what it
// would have said then, and compares. Slips and estimates are not taken for the
// truth. Two readings at least must be left to tell from.
func Backtest(m Machine, h []Entry, cal Calendar) (r BacktestResult) {
	meter := Timeline(m, h)
	truth := moments(sound(meter.Points))
	for k, days := range backtestDays {
		r[k].Days = days
		for i := len(truth) - 1; i >= 0 && r[k].N < backtestMost; i-- {
			p := truth[i]
			if p.Known == Estimated || p.Kind == KindMeter {
				continue
			}
			known := before(meter, p.At-Instant(days)*DayLength)
			if len(known.Points) < backtestLeast {
				break
			}
			r[k] = r[k].Add(told(known, p, cal))
		}
	}
	return r
}

// before is a meter as it was known at an instant.
func before(meter Meter, at Instant) Meter {
	n := 0
	for n < len(meter.Points) && meter.Points[n].At <= at {
		n++
	}
	meter.Points = meter.Points[:n]
	return meter
}

// told scores what would have been said of one reading.
func told(known Meter, truth Point, cal Calendar) BacktestScore {
	f := forecastIn(known, cal)
	b, _ := f.ReadAt(truth.At)
	hours, last := truth.Hours.Hours(), f.Basis.Last.Hours.Hours()
	s := BacktestScore{N: 1, Loss: pinballs(hours, b)}
	const alike = 1e-6
	switch still := f.Still(truth.At); {
	case hours <= last+alike && b.Low <= last+alike:
		if still > 0.1 {
			s.Covered = (min(still, 0.9) - 0.1) / still
		}
	case hours >= b.Low-alike && hours <= b.High+alike:
		s.Covered = 1
	}
	days, figures := windowOf(known.Points)
	ahead := span(known.Points[len(known.Points)-1].At, truth.At)
	s.LastTwoLoss = pinballs(hours, lastTwoLine(known.Points, ahead))
	s.SenLoss = pinballs(hours, senLine(days, figures, ahead))
	return s
}

// pinballs is the quantile loss at 0.1, 0.5 and 0.9, averaged (Koenker and
// Bassett, "Regression quantiles", Econometrica 46, 1978).
func pinballs(truth float64, b Band) float64 {
	sum := 0.0
	for i, q := range [3]float64{b.Low, b.Mid, b.High} {
		p := [3]float64{0.1, 0.5, 0.9}[i]
		sum += max(p*(truth-q), (1-p)*(q-truth))
	}
	return sum / 3
}

// lastTwoLine goes on as between the last reading and the one before it.
func lastTwoLine(points []Point, ahead float64) Band {
	last := points[len(points)-1]
	y := last.Hours.Hours()
	for i := len(points) - 2; i >= 0; i-- {
		if days := span(points[i].At, last.At); days > 0 {
			y += (last.Hours - points[i].Hours).Hours() / days * ahead
			break
		}
	}
	return Band{y, y, y}
}

// senLine is the Theil-Sen line with the quantiles of its residuals.
func senLine(days, hours []float64, ahead float64) Band {
	pace := theilSen(days, hours, z80).mid
	off := make([]float64, len(days))
	for i := range days {
		off[i] = hours[i] - pace*days[i]
	}
	slices.Sort(off)
	y := pace * ahead
	return Band{y + quantile(off, 0.1), y + quantile(off, 0.5), y + quantile(off, 0.9)}
}
