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
	Fifths [5]float64
	Edges  [workEdges]float64
	Gamma  []struct {
		Shape float64
		Q     [5]float64
	}
	Work []struct {
		Shape, Still float64
		Edges        [workEdges]float64
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
		for i, p := range g.Fifths {
			near(t, "gamma", d.Quantile(p), c.Q[i], 1e-8*(1+c.Q[i]))
		}
	}
	for _, c := range g.Work {
		got, table := workOf(c.Shape), workAt(c.Shape)
		near(t, "still", got.still, c.Still, 1e-12)
		near(t, "still, from the table", table.still, c.Still, 1e-3)
		for i := range got.edges {
			near(t, "work", got.edges[i], c.Edges[i], 1e-6*(1+c.Edges[i]))
			near(t, "from the table", table.edges[i], c.Edges[i], 2e-3*(1+c.Edges[i]))
		}
	}
	same(t, "edges", edgeChances, g.Edges)
	if len(g.Gamma) < 10 || len(g.Work) < 10 || len(g.Passages) < 5 {
		t.Error("the reference is not whole")
	}
	same(t, "nothing", workAt(0), work{still: 1})
}

// What is drawn keeps mean and variance, whatever the shape.
func TestDrawKeepsTheMoments(t *testing.T) {
	for shape := 0.05; shape < 200; shape *= 1.3 {
		const gain, days = 50.0, 60.0
		var d draw
		d.reset(days)
		d.scatter(gain, gain/shape, 1)
		d.sumUp()
		mean, square := 0.0, 0.0
		const steps = 20000
		for i := range steps {
			q := d.quantile((float64(i) + 0.5) / steps)
			mean += q / steps
			square += q * q / steps
		}
		near(t, "mean", mean, gain, 0.05*gain)
		if v := (square - mean*mean) * shape / gain / gain; v < 0.8 || v > 1.2 {
			t.Errorf("shape %v: %v of the variance", shape, v)
		}
	}
}

// More work never makes any gain less likely to be passed, or a reading raised
// would delay what is due.
func TestScatterGrowsWithTheGain(t *testing.T) {
	for _, scale := range []float64{0.1, 1, 5, 60} {
		for _, few := range []float64{0, 0.02, 0.3, 2} {
			var was [30]float64
			for i := range was {
				was[i] = 1
			}
			for gain := 0.001; gain < 1500; gain *= 1.02 {
				var d draw
				d.reset(60)
				d.scatter(gain, scale+few*gain, 1)
				d.sumUp()
				for i, passed := 0, 0.002; i < len(was); i, passed = i+1, passed*1.6 {
					below := d.below(passed)
					if below > was[i]+1e-4 {
						t.Fatalf("scale %v, few %v, gain %v: under %v with %v after %v", scale, few, gain, passed, below, was[i])
					}
					was[i] = below
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
		d.sumUp()
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
