package engine

import (
	"cmp"
	"math"
	"slices"
)

// The levels of work: the pace of the last days, of the last weeks, and since the
// first reading.
const (
	quick, slow, long = 0, 1, 2
	levels            = 3
)

var levelDays = [...]float64{7, 75} // the first two fade by a factor e

const (
	pastMost   = 200 // points looked at
	sameMoment = 0.2 // days within which two figures are one reading
	year       = 365.25
	halfLife   = 400.0 // days after which a start counts half
	otherTime  = 0.4   // what a start at another time of the year counts for
	timeOfYear = 25.0  // days that the time of the year is told apart by
	kindDays   = 1.0   // what the usual pace of the kind counts for in the long run
	levelHold  = 0.15  // share of its fading that a level keeps of the long run

	scaleUsual  = 8.0  // h, for a machine that nothing is known of
	scaleCounts = 1.0  // groups of gaps that it counts for
	scaleLeast  = 0.1  // h
	scaleMost   = 60.0 // h: spells of work and rest, more than jobs
	scaleTimes  = 0.96 // times what the gaps show
	scaleFades  = 0.9  // of what a group counts for does the one before it
	scaleFew    = 0.7  // of a group's is what the gaps count for where there is none
)

// past is a machine's log, ready to be asked: working days before the last
// reading, the hours then, and what would have been taken for its pace then.
type past struct {
	days, hours []float64
	level       [levels][]float64
	gap         float64 // the usual days between readings
	scale       float64 // of the gamma process, in hours
	usual       kindPace
	readings    int // figures that it was made from
	cell        [cells]uint16
}

func pastOf(points []Point, r *rhythm, usual kindPace) past {
	points = points[max(0, len(points)-pastMost):]
	n := len(points)
	store := make([]float64, (2+levels)*n)
	take := func() []float64 { s := store[:0:n]; store = store[n:]; return s }
	p := past{days: take(), hours: take(), usual: usual}
	last := points[n-1].At
	for i, q := range points {
		if i == 0 || q.At != points[i-1].At {
			p.readings++
		}
		d, h := -r.between(q.At, last), q.Hours.Hours()
		if m := len(p.days); m > 0 && d-p.days[m-1] < sameMoment {
			p.days[m-1], p.hours[m-1] = d, h
			continue
		}
		p.days, p.hours = append(p.days, d), append(p.hours, h)
	}
	n = len(p.days)
	for t := range p.level {
		p.level[t] = take()[:n]
	}
	p.findCells()
	p.levelsOf()
	p.scatterOf()
	return p
}

const cells = 64 // equal parts of the log, to find one's place in it

// findCells notes the first reading of each part of the log.
func (p *past) findCells() {
	i := 0
	for c := range p.cell {
		from := p.days[0] * (1 - float64(c)/cells)
		for i < len(p.days)-1 && p.days[i] < from {
			i++
		}
		p.cell[c] = uint16(i)
	}
}

// at is where the hours stood some days before the last reading.
func (p *past) at(day float64) float64 {
	n := len(p.days)
	switch {
	case day >= 0:
		return p.hours[n-1]
	case day <= p.days[0]:
		return p.hours[0]
	}
	i := max(int(p.cell[min(int(cells*(1-day/p.days[0])), cells-1)]), 1)
	for p.days[i-1] >= day {
		i--
	}
	for p.days[i] < day {
		i++
	}
	part := (day - p.days[i-1]) / (p.days[i] - p.days[i-1])
	return p.hours[i-1] + part*(p.hours[i]-p.hours[i-1])
}

// levelsOf works out what would have been taken for the pace at each reading.
// The long run leans on the usual pace of the kind, a level on the long run.
func (p *past) levelsOf() {
	for t := range p.level {
		p.level[t][0] = p.usual.pace.Mid
	}
	var gained, exposed [levels]float64
	for i := 1; i < len(p.days); i++ {
		days, gain := p.days[i]-p.days[i-1], p.hours[i]-p.hours[i-1]
		p.level[long][i] = (p.hours[i] - p.hours[0] + kindDays*p.usual.pace.Mid) / (p.days[i] - p.days[0] + kindDays)
		for t, fade := range levelDays {
			keep := math.Exp(-days / fade)
			gained[t] = gained[t]*keep + gain/days*fade*(1-keep)
			exposed[t] = exposed[t]*keep + fade*(1-keep)
			hold := levelHold * fade
			p.level[t][i] = (gained[t] + hold*p.level[long][i]) / (exposed[t] + hold)
		}
	}
}

// scatterOf sets the gamma scale, from the moments of four gaps at a time so
// that seasons do not count as scatter, and the usual gap. The last gap has no
// say, and where there are few the scale leans on what is usual.
func (p *past) scatterOf() {
	const most, group = 40, 4
	var days, gains [most]float64
	n := 0
	for i := len(p.days) - 2; i >= 1 && n < most; i-- {
		days[n], gains[n] = p.days[i]-p.days[i-1], p.hours[i]-p.hours[i-1]
		n++
	}
	sum, groups := math.Log(scaleUsual)*scaleCounts, scaleCounts
	count := func(from, to int, weight float64) {
		if s := gammaScale(days[from:to], gains[from:to]); s > 0 {
			sum += weight * math.Log(min(max(s, scaleLeast), scaleMost))
			groups += weight
		}
	}
	if n < group {
		count(0, n, scaleFew*float64(n)/group)
	}
	for i, weight := 0, 1.0; i+group <= n; i, weight = i+group, weight*scaleFades {
		count(i, i+group, weight)
	}
	p.scale = scaleTimes * math.Exp(sum/groups)
	p.gap = 7
	if n = min(n, 12); n > 0 {
		slices.Sort(days[:n])
		p.gap = days[n/2]
	}
}

// start is a reading in the past, and what was gained from it over some days.
type start struct {
	i      int
	gain   float64
	weight float64 // recent ones and those at the same time of the year count more
}

const mostStarts = 24

// starts are readings that lie far enough back, the latest first, not so close
// that they say the same twice.
func (p *past) starts(days float64, out []start) []start {
	apart, was := max(days/4, 0.7*p.gap), math.Inf(1)
	for i := len(p.days) - 2; i >= 1 && len(out) < mostStarts; i-- {
		if p.days[i] > -0.999*days || was-p.days[i] < apart {
			continue
		}
		was = p.days[i]
		weight := math.Exp2((p.days[i]+days)/(halfLife+days)) * sameTime(-p.days[i])
		out = append(out, start{i, p.at(p.days[i]+days) - p.hours[i], weight})
	}
	return out
}

// sameTime is what a start counts for some days ago: less at another time of the
// year.
func sameTime(ago float64) float64 {
	off := math.Mod(ago, year)
	off = min(off, year-off) / timeOfYear
	return otherTime + (1-otherTime)*math.Exp(-off*off/2)
}

// states are the gains after starts in busier and in quieter times: what
// followed on each, at the middles of the parts. A busier time never has less to follow it:
// more run lately never makes less to come.
type states struct {
	gain [2][parts]float64 // after the quieter, after the busier
	pace [2]float64        // the quick level then
}

const leastStates = 6 // starts from which on the two are told apart

func (p *past) states(starts []start) (st states) {
	if len(starts) == 0 {
		return st
	}
	var buf [mostStarts]start
	by := buf[:copy(buf[:], starts)]
	if len(by) < leastStates {
		st.gain[0] = gainsOf(by)
		st.gain[1] = st.gain[0]
		return st
	}
	pace := p.level[quick]
	slices.SortFunc(by, func(a, b start) int { return cmp.Compare(pace[a.i], pace[b.i]) })
	for g, group := range [2][]start{by[:len(by)/2], by[len(by)/2:]} {
		var total float64
		for _, s := range group {
			st.pace[g] += s.weight * pace[s.i]
			total += s.weight
		}
		st.pace[g] /= total
		st.gain[g] = gainsOf(group)
	}
	for i := range partChance {
		a, b := st.gain[0][i], st.gain[1][i]
		st.gain[0][i], st.gain[1][i] = min(a, b), max(a, b)
	}
	return st
}

// busier is how far a pace stands between the quieter and the busier times.
func (st *states) busier(pace float64) float64 {
	if st.pace[1] <= st.pace[0] {
		return 0.5
	}
	return min(max((pace-st.pace[0])/(st.pace[1]-st.pace[0]), 0), 1)
}

// gainsOf are the weighted quantiles of gains at the middles of the parts. It sorts them.
func gainsOf(s []start) (q [parts]float64) {
	slices.SortFunc(s, func(a, b start) int { return cmp.Compare(a.gain, b.gain) })
	total := 0.0
	for i := range s {
		total += s[i].weight
	}
	// Each gain stands at the middle of its weight; between them, a line.
	k, below := 0, 0.0
	for i, p := range partChance {
		for k < len(s) && below+s[k].weight/2 < p*total {
			below += s[k].weight
			k++
		}
		switch {
		case k == 0:
			q[i] = s[0].gain
		case k == len(s):
			q[i] = s[k-1].gain
		default:
			was, at := below-s[k-1].weight/2, below+s[k].weight/2
			q[i] = s[k-1].gain + (p*total-was)/(at-was)*(s[k].gain-s[k-1].gain)
		}
	}
	return q
}

// What it takes to say that a log runs like a clock: the median of how far the
// paces of its gaps are off their median, as a share of it.
const (
	clockGaps  = 2
	clockLike  = 0.03 // all of it
	clockLoose = 0.1  // none
	clockDays  = 3.0  // days from which on two readings are a pace
)

// clockwork is how much a log runs like a clock, from 0 to 1. The last gap has no
// say. few says that there are too few gaps to tell: two or three readings are
// taken at their word, the more the further they are apart.
func (p *past) clockwork() (share float64, few bool) {
	var paces [12]float64
	n := 0
	for i := len(p.days) - 2; i >= 1 && n < len(paces); i-- {
		if days := p.days[i] - p.days[i-1]; days >= 1 {
			paces[n] = (p.hours[i] - p.hours[i-1]) / days
			n++
		}
	}
	if n < clockGaps {
		return min(-p.days[0]/clockDays, 1), true
	}
	slices.Sort(paces[:n])
	mid := quantile(paces[:n], 0.5)
	for i := range paces[:n] {
		paces[i] = math.Abs(paces[i] - mid)
	}
	slices.Sort(paces[:n])
	if mid <= 0 {
		return 0, false
	}
	off := quantile(paces[:n], 0.5) / mid
	return min(max((clockLoose-off)/(clockLoose-clockLike), 0), 1), false
}

// line is the pace from the first to the last reading.
func (p *past) line() float64 {
	last := len(p.days) - 1
	return possible((p.hours[last] - p.hours[0]) / -p.days[0])
}
