package engine

import (
	"slices"
	"testing"
)

// The median of the 21 pairwise slopes of Sen's example is 4, and his 93 %
// limits are 26/7 and 35/8: P. K. Sen, "Estimates of the regression coefficient
// based on Kendall's tau", JASA 63 (1968), table and section 6.
func TestTheilSenOfSen1968(t *testing.T) {
	x := []float64{1, 2, 3, 4, 10, 12, 18}
	y := []float64{9, 15, 19, 20, 45, 55, 78}
	z93 := 1.8119106729525978 // standard normal quantile of 0.965
	s := theilSen(x, y, z93)
	near(t, "slope", s.mid, 4, 1e-12)
	near(t, "low", s.low, 26.0/7, 1e-12)
	near(t, "high", s.high, 35.0/8, 1e-12)
	// The order of the points does not matter.
	slices.Reverse(x)
	slices.Reverse(y)
	same(t, "reversed", theilSen(x, y, z93), s)
}

// A log of hour-meter readings whose fifth has lost its point: the slope and
// its 95 % limits are SciPy's stats.theilslopes.
func TestTheilSenShrugsOffASlip(t *testing.T) {
	x := []float64{0, 3, 7, 10, 14, 21, 28, 31, 38, 45}
	y := []float64{1412.3, 1416.0, 1421.1, 1425.2, 14299.0, 1438.4, 1446.9, 1450.6, 1459.2, 1467.9}
	s := theilSen(x, y, 1.959963984540054)
	near(t, "slope", s.mid, 1.2342105263157919, 1e-9)
	near(t, "low", s.low, 1.2200000000000013, 1e-9)
	near(t, "high", s.high, 1.2428571428571493, 1e-9)
	x, y = slices.Delete(x, 4, 5), slices.Delete(y, 4, 5)
	near(t, "without it", theilSen(x, y, 1.96).mid, 1.2342481203007538, 1e-9)
}

func TestTheilSenEdges(t *testing.T) {
	// An exact line has one slope.
	line := theilSen([]float64{0, 4, 9, 15, 22, 30, 39, 49}, []float64{250, 256.4, 264.4, 274, 285.2, 298, 312.4, 328.4}, z80)
	near(t, "line", line.mid, 1.6, 1e-12)
	near(t, "line low", line.low, 1.6, 1e-12)
	near(t, "line high", line.high, 1.6, 1e-12)
	same(t, "no pair", theilSen([]float64{3}, []float64{4}, z80), slope{})
	same(t, "no two x", theilSen([]float64{3, 3}, []float64{4, 9}, z80), slope{})
	same(t, "one pair", theilSen([]float64{0, 2}, []float64{0, 3}, z80), slope{1.5, 1.5, 1.5})
	// Three points: C is 1.2816 times the root of 11/3, 2.45 of three slopes: all.
	same(t, "three", theilSen([]float64{0, 1, 2}, []float64{0, 1, 4}, z80), slope{1, 2, 3})
	// Equal x is left out, the others stand.
	same(t, "tie", theilSen([]float64{0, 0, 2}, []float64{0, 2, 4}, z80), slope{1, 1.5, 2})
}

// Type 7 of Hyndman and Fan (1996), the default of R's quantile(): the tenth
// percentile of these ten daily minima is -12.2.
func TestQuantileType7(t *testing.T) {
	v := []float64{-14, -12, -11, -9, -9, -8, -7, -6, -5, -4}
	near(t, "tenth", quantile(v, 0.1), -12.2, 1e-12)
	near(t, "median", quantile(v, 0.5), -8.5, 1e-12)
	near(t, "first", quantile(v, 0), -14, 0)
	near(t, "last", quantile(v, 1), -4, 0)
	near(t, "one", quantile([]float64{3}, 0.9), 3, 0)
	near(t, "two", quantile([]float64{3, 5}, 0.9), 4.8, 1e-12)
	near(t, "none", quantile(nil, 0.9), 0, 0)
}
