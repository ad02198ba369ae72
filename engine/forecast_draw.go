package engine

import (
	"math"
	"sort"
)

// draw collects weighted gains and answers with their quantiles. The chance of a
// gain is a line between the edges of bins, which depend on the days alone, so
// that moving a gain up never moves a quantile down.
type draw struct {
	none float64 // weight of no gain at all
	// How much steeper the chance gets within the bin before each edge, in weight
	// a bin, and what that makes at the edge.
	steeper, made [drawBins + 1]float64
	upTo          [drawBins + 1]float64 // the weight below each edge, once summed up
	most          float64               // hours that the bins reach to
}

const (
	drawBins    = 200
	drawMost    = mostPerDay * 7 / 6 // hours a day
	drawLeast   = 1e-3               // bins that a part of a gain is spread over at least
	leastWeight = 1e-3               // what weighs less is left out
)

func (d *draw) reset(days float64) { *d = draw{most: drawMost * days} }

// bin is where a gain falls, as a bin and the part of it: bins grow with the
// fourth power, since small gains are told apart by tenths and large ones by
// hours. On that scale a gamma distribution is nearly normal.
func (d *draw) bin(gain float64) float64 {
	if gain <= 0 {
		return 0
	}
	return min(drawBins*math.Sqrt(math.Sqrt(gain/d.most)), drawBins-1)
}

// turn makes the chance rise faster from a place on.
func (d *draw) turn(at, by float64) {
	edge := int(at) + 1
	d.steeper[edge] += by
	d.made[edge] += by * (float64(edge) - at)
}

// scatter adds a gain with what the work scatters around it, for a gamma process
// of some scale in hours.
func (d *draw) scatter(gain, scale, weight float64) {
	if weight < leastWeight {
		return
	}
	if gain <= 0 {
		d.none += weight
		return
	}
	w := workAt(gain / scale)
	d.none += weight * w.still
	weight *= 1 - w.still
	was, rate := d.bin(gain*w.edges[0]), 0.0
	for i, share := range edgeShares {
		at := max(d.bin(gain*w.edges[i+1]), was+drawLeast)
		now := weight * share / (at - was)
		d.turn(was, now-rate)
		was, rate = at, now
	}
	d.turn(was, -rate)
}

// sumUp ends the collecting.
func (d *draw) sumUp() {
	d.upTo[0] = d.none
	rate := 0.0
	for edge := 1; edge <= drawBins; edge++ {
		d.upTo[edge] = max(d.upTo[edge-1]+rate+d.made[edge], d.upTo[edge-1])
		rate += d.steeper[edge]
	}
}

// quantile is the gain below which a share p of the weight lies.
func (d *draw) quantile(p float64) float64 {
	want := p * d.upTo[drawBins]
	edge := sort.SearchFloat64s(d.upTo[:], want)
	switch edge {
	case 0:
		return 0
	case drawBins + 1:
		return d.most
	}
	below := d.upTo[edge-1]
	u := (float64(edge-1) + (want-below)/(d.upTo[edge]-below)) / drawBins
	return d.most * u * u * u * u
}

// below is the share of the weight under a gain.
func (d *draw) below(gain float64) float64 {
	at := d.bin(gain)
	bin := int(at)
	return (d.upTo[bin] + (at-float64(bin))*(d.upTo[bin+1]-d.upTo[bin])) / d.upTo[drawBins]
}
