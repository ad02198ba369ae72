package engine

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// gammaFigures are SciPy's, made by testdata/reference/make_gamma.py.
type gammaFigures struct {
	Gamma, Work []struct {
		Shape float64
		Q     [5]float64
	}
	Moments struct {
		Days, Gains []float64
		Scale       float64
	}
	Passages []struct {
		Pace, Scale, Level float64
		Days               [3]float64
	}
}

func gammaReference(t testing.TB) (g gammaFigures) {
	t.Helper()
	b, err := os.ReadFile("../testdata/reference/gamma.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &g); err != nil {
		t.Fatal(err)
	}
	return g
}

func TestGammaQuantilesAgreeWithSciPy(t *testing.T) {
	g := gammaReference(t)
	for _, c := range g.Gamma {
		d := distuv.Gamma{Alpha: c.Shape, Beta: c.Shape}
		for i, p := range fifths {
			near(t, "gamma", d.Quantile(p), c.Q[i], 1e-8*(1+c.Q[i]))
		}
	}
	for _, c := range g.Work {
		got, table := workFifths(c.Shape), scatterOf(c.Shape)
		for i := range fifths {
			near(t, "work", got[i], c.Q[i], 1e-6*(1+c.Q[i]))
			near(t, "from the table", table[i], c.Q[i], 0.02)
		}
	}
	if len(g.Gamma) < 10 || len(g.Work) < 10 || len(g.Passages) < 5 {
		t.Error("the reference is not whole")
	}
	same(t, "nothing", scatterOf(0), [5]float64{})
}

// More work never means less of any quantile, or a reading raised would delay
// what is due.
func TestScatterGrowsWithTheGain(t *testing.T) {
	for _, scale := range []float64{0.1, 1, 5, 60} {
		for _, few := range []float64{0, 0.02, 0.3, 2} {
			var was [5]float64
			for gain := 0.01; gain < 5000; gain *= 1.002 {
				for i, q := range scatterOf(gain / (scale + few*gain)) {
					if x := gain * q; x < was[i]*(1-1e-12) {
						t.Fatalf("scale %v, few %v, gain %v: %v after %v", scale, few, gain, x, was[i])
					} else {
						was[i] = x
					}
				}
			}
		}
	}
}

func TestGammaScale(t *testing.T) {
	m := gammaReference(t).Moments
	near(t, "scale", gammaScale(m.Days, m.Gains), m.Scale, 1e-9)
	near(t, "steady", gammaScale([]float64{1, 2, 5}, []float64{2, 4, 10}), 0, 1e-12)
	same(t, "nothing gained", gammaScale([]float64{1, 2}, []float64{0, 0}), 0)
	same(t, "one gap", gammaScale([]float64{1}, []float64{4}), 0)
}

// steadyCurve is the curve of a gamma process that nothing else is known of.
func steadyCurve(pace, scale float64) (c curve) {
	var d draw
	for k, days := range knots {
		d.reset(days)
		d.scatter(pace*days, scale, 1)
		c.low[k], c.mid[k], c.high[k] = d.quantile(0.1), d.quantile(0.5), d.quantile(0.9)
	}
	c.drawn = true
	c.straighten()
	return c
}

// First passages of a gamma process: early where the high end gets there, late
// where the low end does. Between knots a line stands for a curve.
func TestFirstPassagesAgreeWithSciPy(t *testing.T) {
	for _, c := range gammaReference(t).Passages {
		curve := steadyCurve(c.Pace, c.Scale)
		for i, end := range []*[knotCount]float64{&curve.high, &curve.mid, &curve.low} {
			got := reached(end, c.Level)
			if off := math.Abs(got-c.Days[i]) / c.Days[i]; off > 0.05 {
				t.Errorf("pace %v, level %v: %v days, want %v", c.Pace, c.Level, got, c.Days[i])
			}
		}
	}
}
