package engine

import (
	"testing"

	"gonum.org/v1/gonum/mathext"
)

func BenchmarkForecastOfOneMachine(b *testing.B) {
	m, h := threeYears()
	meter := Timeline(m, h)
	b.ReportAllocs()
	b.ReportMetric(float64(len(meter.Points)), "readings")
	for b.Loop() {
		ForecastOf(meter)
	}
}

// What one item's three dates cost, by the curve and by solving the gamma
// process's first passages anew.
func BenchmarkCrossing(b *testing.B) {
	m, h := threeYears()
	f := ForecastOf(Timeline(m, h))
	due := f.Basis.Last.Hours + 1500
	b.Run("curve", func(b *testing.B) {
		for b.Loop() {
			f.Crossing(due)
		}
	})
	b.Run("gamma", func(b *testing.B) {
		pace, scale, left := f.Pace.Mid, 3.0, 150.0
		for b.Loop() {
			for _, p := range []float64{0.1, 0.5, 0.9} {
				passage(pace, scale, left, p)
			}
		}
	})
}

// passage is when a gamma process has passed a level with a chance p, in days.
func passage(pace, scale, level, p float64) float64 {
	low, high := 0.0, 100*level/pace
	for high-low > 1e-3 {
		mid := (low + high) / 2
		if mathext.GammaIncRegComp(pace*mid/scale, level/scale) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// The curve costs at most twice what the gamma's own first passages do; it costs
// far less.
func TestCrossingIsCheap(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	m, h := threeYears()
	f := ForecastOf(Timeline(m, h))
	due := f.Basis.Last.Hours + 1500
	curve := testing.Benchmark(func(b *testing.B) {
		for b.Loop() {
			f.Crossing(due)
		}
	})
	gamma := testing.Benchmark(func(b *testing.B) {
		for b.Loop() {
			passage(f.Pace.Mid, 3, 150, 0.5)
		}
	})
	if curve.NsPerOp() > 2*gamma.NsPerOp() {
		t.Errorf("%d ns, and %d ns by solving for it", curve.NsPerOp(), gamma.NsPerOp())
	}
}
