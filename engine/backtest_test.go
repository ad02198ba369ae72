package engine

import "testing"

func TestBacktestOfASteadyLog(t *testing.T) {
	l := steady(20000, 1000, 10, 40) // an hour a day over 117 days
	r := Backtest(Machine{Kind: "tractor"}, l.entries, utc)
	for i, want := range []int{3, 14, 60} {
		s := r[i]
		same(t, "days", s.Days, want)
		// Two readings, at day 0 and 3, must lie as many days before the hidden one.
		same(t, "readings", s.N, min(backtestMost, 40-(3+want+2)/3))
		c, ok := s.Coverage()
		same(t, "known", ok, true)
		near(t, "covered", c, 1, 0)
		if s.LastTwoLoss > 1e-6 || s.SenLoss > 1e-6 {
			t.Errorf("both lines are right: %+v", s)
		}
		if s.Loss > 0.6*float64(want)*float64(s.N) {
			t.Errorf("loss %v h over %d readings", s.Loss, s.N)
		}
	}
	if _, ok := r[0].AgainstBest(); ok {
		t.Error("there is nothing to be better than")
	}
}

// Nothing is told with what came later: the newest reading changes its own score
// alone.
func TestBacktestDoesNotLookAhead(t *testing.T) {
	l := &log{}
	for i := range Day(16) {
		l.read(20000+5*i, 1000+Tenths(i*i)*7)
	}
	m := Machine{}
	before := Backtest(m, l.entries, utc)
	l.read(20080, 60000) // 1,000 h a day
	same(t, "a slip is not the truth", Backtest(m, l.entries, utc), before)
	l.entries[16].Hours = Known(Tenths(3500))
	l.entries[16].Known = Estimated
	same(t, "nor is an estimate", Backtest(m, l.entries, utc), before)
	l.entries[16].Known = Seen
	after := Backtest(m, l.entries, utc)
	for i := range after {
		same(t, "one more", after[i].N, before[i].N+1)
		if after[i].Loss <= before[i].Loss {
			t.Errorf("%d days: loss %v after %v", after[i].Days, after[i].Loss, before[i].Loss)
		}
	}
}

func TestBacktestOfLittle(t *testing.T) {
	l := &log{}
	for _, want := range []int{0, 0, 0, 1} {
		r := Backtest(Machine{}, l.entries, utc)
		same(t, "readings", r[0].N, want)
		if _, ok := r[0].Coverage(); ok != (want > 0) {
			t.Error("coverage of nothing")
		}
		l.read(20000+Day(4*len(l.entries)), 1000)
	}
	// A meter that stands still: covered by as much of its chance as lies inside.
	s := Backtest(Machine{}, l.entries, utc)[0]
	near(t, "between none and all", s.Covered/float64(s.N), 0.75, 0.25)
}

// Pinball losses by hand: 10 h, with a band of 8 to 13 around 9.
func TestPinballs(t *testing.T) {
	near(t, "inside", pinballs(10, Band{8, 9, 13}), (0.1*2+0.5*1+0.1*3)/3, 1e-12)
	near(t, "under", pinballs(7, Band{8, 9, 13}), (0.9*1+0.5*2+0.1*6)/3, 1e-12)
	near(t, "over", pinballs(15, Band{8, 9, 13}), (0.1*7+0.5*6+0.9*2)/3, 1e-12)
}
