package engine

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// Work is taken for a gamma process: gains over spells that do not overlap are
// independent, each gamma with a shape that grows with the time run and one
// scale (van Noortwijk, "A survey of the application of gamma processes in
// maintenance", Reliability Engineering and System Safety 94, 2009). The scale,
// in hours, is what a single job takes, roughly: the variance of a gain is its
// mean times the scale.

// gammaScale is the scale of a gamma process with a steady pace by the method
// of moments (Çinlar, Bažant and Osman, "Stochastic process for extrapolating
// concrete creep", J. Eng. Mech. Div. ASCE 103, 1977): the squared differences
// of the gains from pace times days, over total gain and a factor for the
// unevenness of the gaps. It is zero where nothing was gained or there are
// fewer than two gaps.
func gammaScale(days, gains []float64) float64 {
	var t, tt, x float64
	for i := range days {
		t += days[i]
		tt += days[i] * days[i]
		x += gains[i]
	}
	if x <= 0 || len(days) < 2 {
		return 0
	}
	pace, sum := x/t, 0.0
	for i := range days {
		off := gains[i] - pace*days[i]
		sum += off * off
	}
	return sum / (x * (1 - tt/(t*t)))
}

// parts is in how many equal parts a distribution is cut up; the middles of them
// stand for it.
const parts = 8

// partChance are the chances of the middles of the parts.
var partChance = func() (p [parts]float64) {
	for i := range p {
		p[i] = (float64(i) + 0.5) / parts
	}
	return p
}()

// partNormal are the standard normal quantiles of partChance.
var partNormal = func() (z [parts]float64) {
	for i, p := range partChance {
		z[i] = distuv.UnitNormal.Quantile(p)
	}
	return z
}()

const (
	leastShape = 0.01  // below it what comes of a job is the same, only rarer
	mostShape  = 400.0 // above it the edges close in with the root
	shapeSteps = 160

	// jobUneven is the mean of a job's squared length over its mean's square:
	// jobs are as uneven as a gamma distribution of shape 2.
	jobUneven = 1.5
)

var shapeStep = math.Log(mostShape/leastShape) / (shapeSteps - 1)

const workEdges = 7

// edgeChances are the chances that cut what is gained into parts. Between the
// edges the chance is taken for a line; with the outer ones at 2.2 standard
// deviations of a normal that keeps the variance. edgeShares are the parts, the
// outer ones with what lies beyond.
var (
	edgeChances = [workEdges]float64{0.0139, 0.1, 0.3, 0.5, 0.7, 0.9, 0.9861}
	edgeShares  = [workEdges - 1]float64{0.1, 0.2, 0.2, 0.2, 0.2, 0.1}
)

// work is what is gained in some days, as shares of its mean: nothing with the
// chance still, or else something between the edges.
type work struct {
	still float64
	edges [workEdges]float64
}

// workOf is the work where the gamma process has gained a shape. It stands still
// with the chance that no job comes, jobs coming by chance and being as long and
// as uneven as gives the same variance; and where it works, the gain is gamma
// with what is left of mean and variance.
func workOf(shape float64) (w work) {
	w.still = math.Exp(-jobUneven * shape)
	left := 1 / ((1-w.still)*(1+1/shape) - 1)
	g := distuv.Gamma{Alpha: left, Beta: left * (1 - w.still)}
	for i, p := range edgeChances {
		w.edges[i] = g.Quantile(p)
	}
	return w
}

// workTable holds workOf for shapes in even steps of their logarithm.
var workTable = sync.OnceValue(func() *[shapeSteps]work {
	t := new([shapeSteps]work)
	for i := range t {
		t[i] = workOf(leastShape * math.Exp(float64(i)*shapeStep))
	}
	return t
})

// workAt is workOf from the table.
func workAt(shape float64) (w work) {
	t := workTable()
	if !(shape > leastShape) {
		if shape <= 0 {
			return work{still: 1}
		}
		w.still = math.Exp(-jobUneven * shape)
		for k, x := range t[0].edges {
			w.edges[k] = x * (1 - t[0].still) / (1 - w.still)
		}
		return w
	}
	at := math.Log(shape/leastShape) / shapeStep
	i := int(at)
	if i >= shapeSteps-1 {
		near := math.Sqrt(mostShape / shape)
		for k, x := range t[shapeSteps-1].edges {
			w.edges[k] = 1 + (x-1)*near
		}
		return w
	}
	a, b, part := &t[i], &t[i+1], at-float64(i)
	w.still = a.still + part*(b.still-a.still)
	for k := range w.edges {
		w.edges[k] = a.edges[k] + part*(b.edges[k]-a.edges[k])
	}
	return w
}
