package engine

import (
	"math"
	"slices"
)

// quantile is the p-quantile of sorted values by linear interpolation between
// order statistics, type 7 of Hyndman and Fan, "Sample quantiles in
// statistical packages", The American Statistician 50 (1996).
func quantile(sorted []float64, p float64) float64 {
	if len(sorted) == 0 {
		return 0
	}
	at := p * float64(len(sorted)-1)
	low := int(math.Floor(at))
	if low+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[low] + (at-float64(low))*(sorted[low+1]-sorted[low])
}

// slope is a robust slope with its confidence limits.
type slope struct{ low, mid, high float64 }

// theilSen is the median of the slopes between all pairs of points (Theil
// 1950; Sen, "Estimates of the regression coefficient based on Kendall's tau",
// JASA 63, 1968), with Sen's limits for a standard normal quantile z: the
// slopes that stand z standard deviations of Kendall's S to either side of the
// middle. Pairs at the same x say nothing and are left out; without a pair the
// slope is zero.
func theilSen(x, y []float64, z float64) slope {
	slopes := make([]float64, 0, len(x)*(len(x)-1)/2)
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			if x[j] != x[i] {
				slopes = append(slopes, (y[j]-y[i])/(x[j]-x[i]))
			}
		}
	}
	if len(slopes) == 0 {
		return slope{}
	}
	slices.Sort(slopes)
	n, pairs := float64(len(x)), len(slopes)
	c := z * math.Sqrt(n*(n-1)*(2*n+5)/18)
	// Ranks from 1: the limits are the slopes of rank (N-C)/2 and (N+C)/2 + 1.
	low := int(math.Round((float64(pairs)-c)/2)) - 1
	high := int(math.Round((float64(pairs) + c) / 2))
	return slope{
		low:  slopes[max(low, 0)],
		mid:  quantile(slopes, 0.5),
		high: slopes[min(high, pairs-1)],
	}
}
