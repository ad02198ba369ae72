package engine

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// The closed forms against gonum's quadrature of the same means.
func TestSquaresOfANormal(t *testing.T) {
	n := distuv.UnitNormal
	mean := func(low, high float64, f func(float64) float64) float64 {
		return quad.Fixed(func(z float64) float64 { return f(z) * n.Prob(z) }, low, high, 400, nil, 0)
	}
	cut := func(z float64) float64 { return math.Min(z*z, recallMost*recallMost) }
	near(t, "cut off", recallUsual, mean(-12, -recallMost, cut)+mean(-recallMost, recallMost, cut)+mean(recallMost, 12, cut), 1e-9)
	for _, p := range []float64{0.1, 0.3, 0.5, 0.9, 0.999} {
		want := mean(-12, n.Quantile(p), func(z float64) float64 { return z * z }) / p
		near(t, "below", squareBelow(p), want, 1e-9)
	}
	for _, c := range []struct {
		name    string
		p, want float64
	}{
		{"it never stands: nothing is known", 0, 1},
		{"it always stands: all of it", 1, 1},
		{"hardly ever: no more than anything else", 1e-6, recallMost * recallMost},
	} {
		near(t, c.name, squareBelow(c.p), c.want, 1e-12)
	}
}

func TestTally(t *testing.T) {
	var x tally
	same(t, "nothing seen: as usual", x.against(2), 1)
	x.add(3, 4)
	near(t, "three times the usual in four spells", x.against(2), 14.0/6, 1e-12)
	same(t, "more counts for what is too short to be seen", x.unseen(), x)
	x.fade(0.5)
	near(t, "half forgotten", x.against(2), 8.0/4, 1e-12)
	less := tally{off: 1, spells: 4}
	same(t, "less by half", less.unseen(), tally{off: 2.5, spells: 4})
}

// Three machines of one pace, read once a week: one hardly works in every fourth
// week, one in the last two of every eight, and one in the last eight of every 32.
// The longer the spells, the wider is what is said of the next two months.
func TestBandIsAsWideAsThePast(t *testing.T) {
	width := func(works func(week int) bool) float64 {
		l, hours := &log{}, Tenths(1000)
		for week := range 96 {
			l.read(20000+7*Day(week), hours)
			if works(week) {
				hours += 160
			} else {
				hours += 20
			}
			if week%2 == 0 {
				hours += 15 // no log runs quite like a clock
			}
		}
		b, _ := forecast(Machine{Kind: "tractor"}, l).HoursAt(morning(20000 + 7*95 + 60))
		return b.High - b.Low
	}
	even := width(func(week int) bool { return week%4 != 3 })
	turns := width(func(week int) bool { return week%8 < 6 })
	spells := width(func(week int) bool { return week%32 < 24 })
	if !(even < turns && turns < spells) {
		t.Errorf("%.1f h, %.1f h and %.1f h wide", even, turns, spells)
	}
	if spells < 2*even {
		t.Errorf("spells of months make it %.1f h wide, and single weeks %.1f h", spells, even)
	}
}
