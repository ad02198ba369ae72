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

// fifths are the chances of the five points that stand for a distribution: the
// middles of five equal parts. The ends of an 80 % band are among them.
var fifths = [5]float64{0.1, 0.3, 0.5, 0.7, 0.9}

// normalFifths are the standard normal quantiles of the fifths.
var normalFifths = [5]float64{-1.2815515655446004, -0.5244005127080407, 0, 0.5244005127080407, 1.2815515655446004}

const (
	leastShape = 0.02  // below it all five points are nothing, to a tenth of the mean
	mostShape  = 400.0 // above it they close in with the root
	shapeSteps = 160

	// jobUneven is the mean of a job's squared length over its mean's square:
	// jobs are as uneven as a gamma distribution of shape 2.
	jobUneven = 1.5
)

var shapeStep = math.Log(mostShape/leastShape) / (shapeSteps - 1)

// workFifths are the quantiles at the fifths of what is gained in some days, as
// shares of its mean, where the gamma process has gained a shape in them. It
// stands still with the chance that no job comes, jobs coming by chance and
// being as long and as uneven as gives the same variance; and where it works,
// the gain is gamma with what is left of mean and variance.
func workFifths(shape float64) (q [5]float64) {
	still := math.Exp(-jobUneven * shape)
	left := 1 / ((1-still)*(1+1/shape) - 1)
	g := distuv.Gamma{Alpha: left, Beta: left * (1 - still)}
	for i, p := range fifths {
		if p > still {
			q[i] = g.Quantile((p - still) / (1 - still))
		}
	}
	return q
}

// scatterTable holds workFifths for shapes in even steps of their logarithm.
var scatterTable = sync.OnceValue(func() *[shapeSteps][5]float64 {
	t := new([shapeSteps][5]float64)
	for i := range t {
		t[i] = workFifths(leastShape * math.Exp(float64(i)*shapeStep))
	}
	return t
})

// scatterOf is workFifths from the table.
func scatterOf(shape float64) (q [5]float64) {
	if !(shape > leastShape) {
		return q
	}
	t := scatterTable()
	at := math.Log(shape/leastShape) / shapeStep
	i := int(at)
	if i >= shapeSteps-1 {
		near := math.Sqrt(mostShape / shape)
		for k, x := range t[shapeSteps-1] {
			q[k] = 1 + (x-1)*near
		}
		return q
	}
	a, b, part := &t[i], &t[i+1], at-float64(i)
	for k := range q {
		q[k] = a[k] + part*(b[k]-a[k])
	}
	return q
}
