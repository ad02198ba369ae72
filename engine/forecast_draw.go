package engine

import "math"

// draw collects weighted gains in bins and answers with their quantiles. The
// bins' edges depend on the days alone, so that moving a gain up never moves a
// quantile down.
type draw struct {
	bins [drawBins]float64
	sum  float64
	most float64 // hours that the bins reach to
}

const (
	drawBins    = 200
	drawMost    = mostPerDay * 7 / 6 // hours a day
	leastWeight = 1e-3               // what weighs less is left out
)

func (d *draw) reset(days float64) { *d = draw{most: drawMost * days} }

// bin is where a gain falls, as a bin and the part of it: bins grow with the
// fourth power, since small gains are told apart by tenths and large ones by
// hours.
func (d *draw) bin(gain float64) float64 {
	if gain <= 0 {
		return 0
	}
	return min(drawBins*math.Sqrt(math.Sqrt(gain/d.most)), drawBins-1)
}

func (d *draw) add(gain, weight float64) {
	d.bins[int(d.bin(gain))] += weight
	d.sum += weight
}

// scatter adds a gain with what the work scatters around it, for a gamma process
// of some scale in hours.
func (d *draw) scatter(gain, scale, weight float64) {
	if weight < leastWeight {
		return
	}
	if gain <= 0 {
		d.add(0, weight)
		return
	}
	for _, q := range scatterOf(gain / scale) {
		d.add(gain*q, weight/float64(len(fifths)))
	}
}

// quantile is the gain below which a share p of the weight lies. Gains in the
// first bin are nothing.
func (d *draw) quantile(p float64) float64 {
	want := p * d.sum
	for b, w := range d.bins {
		if want > w {
			want -= w
			continue
		}
		if b == 0 {
			return 0
		}
		u := (float64(b) + want/w) / drawBins
		return d.most * u * u * u * u
	}
	return d.most
}

// below is the share of the weight under a gain.
func (d *draw) below(gain float64) float64 {
	at := d.bin(gain)
	sum := 0.0
	for _, w := range d.bins[:int(at)] {
		sum += w
	}
	return (sum + (at-math.Floor(at))*d.bins[int(at)]) / d.sum
}
