package engine

import (
	"math"
	"time"
)

// rhythm is how a machine's work falls on the week and on the day. Working time
// is counted in days: seven of them to the week, however they fall. The zero
// value is even: an hour of the night counts as one of the day.
type rhythm struct {
	cum    [8]float64 // working time from Monday's midnight to each midnight after it
	shaped bool       // by day, not around the clock
	monday Instant    // a Monday's midnight on the shop's wall clock, as UTC
}

// A day's work, where it has a shape, falls almost all between seven and
// seventeen on the wall clock [common practice].
const (
	dayOpens, dayShuts = 7.0 / 24, 17.0 / 24
	outside            = 0.05 // of the work before seven, and as much after seventeen
)

// weeks are the ways in which work may fall on the week: shares of a working
// day for Saturday and Sunday.
var weeks = [...][2]float64{{1, 1}, {1, 0.1}, {0.4, 0.1}, {0.05, 0.05}}

func rhythmOf(week [2]float64, shaped bool, monday Instant) rhythm {
	r := rhythm{shaped: shaped, monday: monday}
	sum := 5 + week[0] + week[1]
	for d := range 7 {
		w := 1.0
		if d >= 5 {
			w = week[d-5]
		}
		r.cum[d+1] = r.cum[d] + 7*w/sum
	}
	return r
}

func (r *rhythm) even() bool { return r.cum[7] == 0 }

// time is the working time of an instant, counted from the Monday.
func (r *rhythm) time(at Instant) float64 {
	local := at - r.monday
	if r.even() {
		return float64(local) / float64(DayLength)
	}
	day := floorDiv(int64(local), int64(DayLength))
	week := floorDiv(day, 7)
	d := day - week*7
	part := float64(int64(local)-day*int64(DayLength)) / float64(DayLength)
	if r.shaped {
		part = worked(part)
	}
	return float64(week)*7 + r.cum[d] + part*(r.cum[d+1]-r.cum[d])
}

// worked is the share of a day's work that is done by a time of it.
func worked(part float64) float64 {
	switch {
	case part < dayOpens:
		return outside * part / dayOpens
	case part < dayShuts:
		return outside + (1-2*outside)*(part-dayOpens)/(dayShuts-dayOpens)
	}
	return 1 - outside*(1-part)/(1-dayShuts)
}

// unworked is the inverse of worked.
func unworked(share float64) float64 {
	switch {
	case share < outside:
		return dayOpens * share / outside
	case share < 1-outside:
		return dayOpens + (dayShuts-dayOpens)*(share-outside)/(1-2*outside)
	}
	return 1 - (1-dayShuts)*(1-share)/outside
}

// between is the working time between two instants.
func (r *rhythm) between(from, to Instant) float64 {
	if r.even() {
		return span(from, to)
	}
	return r.time(to) - r.time(from)
}

// later is the instant some working time after another.
func (r *rhythm) later(from Instant, days float64) Instant {
	if !r.even() {
		days = r.wall(r.time(from)+days) - span(r.monday, from)
	}
	return from + max(Instant(math.Floor(days*float64(DayLength))), 0)
}

// wall is the inverse of time, in days of 24 hours since the Monday.
func (r *rhythm) wall(time float64) float64 {
	week := math.Floor(time / 7)
	left := time - week*7
	d := 0
	for d < 6 && left >= r.cum[d+1] {
		d++
	}
	part := (left - r.cum[d]) / (r.cum[d+1] - r.cum[d])
	if r.shaped {
		part = unworked(part)
	}
	return week*7 + float64(d) + part
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// What it takes to see a rhythm in a log.
const (
	rhythmGaps  = 12  // gaps between readings
	rhythmMost  = 48  // gaps looked at
	rhythmGroup = 6   // gaps that share one pace
	rhythmGain  = 0.9 // how much less the gains must stray than with an even week ...
	rhythmLeast = 0.5 // ... and by some hours in all
)

// rhythmSeen is the rhythm that a log shows, or an even one: the one with which
// the gains between readings stray the least from one pace, a few gaps at a
// time. The last gap has no say.
func rhythmSeen(points []Point, cal Calendar) rhythm {
	points = points[max(0, len(points)-rhythmMost-2):max(len(points)-1, 0)]
	var best rhythm
	if len(points) <= rhythmGaps {
		return best
	}
	monday := cal.monday(points[len(points)-1].At)
	least := math.Inf(1)
	for _, shaped := range []bool{false, true} {
		for i, week := range weeks {
			r := rhythmOf(week, shaped, monday)
			if i == 0 && !shaped {
				r = rhythm{}
			}
			stray := r.stray(points)
			if r.even() {
				least = stray*rhythmGain - rhythmLeast
			} else if stray < least {
				best, least = r, stray
			}
		}
	}
	return best
}

// stray is how far gains are off one pace for every few gaps.
func (r *rhythm) stray(points []Point) (sum float64) {
	var gaps [rhythmGroup]float64
	for end := len(points) - 1; end >= rhythmGroup; end -= rhythmGroup {
		from := end - rhythmGroup
		was := r.time(points[from].At)
		first := was
		for i := range gaps {
			t := r.time(points[from+i+1].At)
			gaps[i], was = t-was, t
		}
		if was <= first {
			continue
		}
		pace := (points[end].Hours - points[from].Hours).Hours() / (was - first)
		for i := range gaps {
			gain := (points[from+i+1].Hours - points[from+i].Hours).Hours()
			sum += math.Abs(gain - pace*gaps[i])
		}
	}
	return sum
}

// monday is the Monday midnight before an instant, by the wall clock as it went
// then.
func (c Calendar) monday(at Instant) Instant {
	t := time.Unix(int64(at), 0).In(c.location())
	_, offset := t.Zone()
	const first = 4 // 1970-01-05 was a Monday
	day := floorDiv(int64(at)+int64(offset), int64(DayLength)) - first
	return (Instant(floorDiv(day, 7)*7)+first)*DayLength - Instant(offset)
}
