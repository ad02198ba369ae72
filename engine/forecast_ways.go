package engine

import "math"

// The figures here were chosen by trial on made-up histories, from two simulators
// with their knobs turned to and fro, of other seeds than those that the tests
// score, and rounded.

// atKnots is what counts how much at each knot before a machine's own past has
// its say, and what is usual there.
var atKnots = [knotCount]struct {
	quick, slow float64 // weights of the levels, against longRun
	drift       float64 // how far a level may move, as the sigma of a log-normal
}{
	{0.68, 0.4, 0.10},
	{0.68, 0.4, 0.12},
	{0.68, 0.5, 0.15},
	{0.61, 0.55, 0.18},
	{0.54, 0.6, 0.20},
	{0.54, 0.65, 0.22},
	{0.54, 0.7, 0.25},
	{0.47, 0.7, 0.27},
	{0.34, 0.65, 0.29},
	{0.27, 0.5, 0.30},
	{0.2, 0.4, 0.30},
}

const (
	longRun     = 0.67 // weight of the long run among the levels
	skillCounts = 2.0  // starts that a way's usual error counts for
	levelSkill  = 3.8  // how much better a level that errs less is taken for, as a power
	yearSkill   = 6.5  // how much better the year before is taken for where it errs less
	ownOdds     = 0.45 // weight of the past itself against the levels, as odds
	kindFades   = 1.1  // days of readings after which the kind's usual pace counts half

	kindSpan  = 30.0 // days up to which its spread is that of the kind's paces
	kindCalms = 0.25 // how it narrows after them, as a power

	noise      = 0.6   // of the work's scatter, expected around a level ...
	levelNoise = 0.22  // ... and that a level is off by itself
	levelSpan  = 100.0 // days of readings at most that make a level surer
	unsureMost = 2.0   // as a squared share

	wildCounts = 3.0 // spells that the usual unsteadiness counts for
	wildKeeps  = 0.8 // of what the knot before has seen of it
	wildMost   = 4.0 // times the usual, for one knot
	littleGain = 0.2 // h a spell, so that next to nothing is not for that the less steady

	season      = 14.0 // days that a season may come early or late
	yearScatter = 0.45 // of the work's scatter, at least, around the year before
	yearFew     = 0.01 // what one year leaves unknown, as a squared share

	// A machine of a kind that goes by the year more than some may go to rest while
	// its log does not go back as far, the more so the more it does.
	restFrom  = 0.28
	restShare = 0.6
	restPace  = 0.1 // of its level

	workScatter = 1.6 // times the scatter that the gaps show, around a level
	jobLength   = 2.0 // h that a job takes, at most, where the gaps do not tell
	jobsMost    = 0.8 // of that is taken off for a machine that is hardly ever at rest
)

// ways are how much each way to tell what is coming counts at one knot. Nothing
// in them depends on the last gap's gain.
type ways struct {
	// The machine's level, what it gained in its past, what it gained in these
	// weeks of the years before, and what is usual for its kind: they sum up to 1.
	levels, own, year, kind float64
	level                   [levels]float64 // what the level is made of; sums up to 1
	wild                    float64         // how unsteady the machine is, as a squared share: 1 is usual
	usual                   float64         // the pace in the long run, without the last gap
	unsure                  float64         // how far the level may be off by itself, as a squared share
}

// tally is how far something was off in a number of spells, where 1 a spell is
// usual.
type tally struct{ off, spells float64 }

// against is how far off it is taken to be where the usual counts for some
// spells.
func (t tally) against(usual float64) float64 { return (t.off + usual) / (t.spells + usual) }

func (t *tally) fade(keep float64) { t.off, t.spells = t.off*keep, t.spells*keep }

func (t *tally) add(off, spells float64) { t.off, t.spells = t.off+off*spells, t.spells+spells }

// unseen is the tally for spells that are too short to be seen: being off by more
// counts for them too, being off by less only by half.
func (t tally) unseen() tally { return tally{max(t.off, (t.off+t.spells)/2), t.spells} }

// misses are how far each way was off after the starts of the past, summed up by
// the weights of the starts. Starts whose days reach into the last gap have no
// say.
type misses struct {
	level           [levels]float64
	gained, starts  float64
	byYear, byOther float64 // of the starts that have a year before them
	years           float64 // weight of these
}

func (p *past) misses(days float64, starts []start) (m misses) {
	for _, s := range starts {
		if !p.told(s, days) {
			continue
		}
		m.starts += s.weight
		m.gained += s.weight * s.gain
		var off [levels]float64
		for t := range p.level {
			off[t] = math.Abs(s.gain - p.level[t][s.i]*days)
			m.level[t] += s.weight * off[t]
		}
		if from := p.days[s.i] - year; from >= p.days[0] {
			m.years += s.weight
			m.byYear += s.weight * math.Abs(s.gain-p.at(from+days)+p.at(from))
			m.byOther += s.weight * min(off[slow], off[long])
		}
	}
	return m
}

// told says whether some days after a start are over before the last gap.
func (p *past) told(s start, days float64) bool { return p.days[s.i]+days <= p.days[len(p.days)-2] }

// weigh decides what counts how much at a knot, by how far each way would have
// been off in the past.
func (p *past) weigh(k int, starts []start, steady *tally) (w ways) {
	days, at, span := knots[k], &atKnots[k], -p.days[0]
	m := p.misses(days, starts)
	mean := (m.level[quick]+m.level[slow]+m.level[long])/levels/max(m.starts, 1) + 0.1
	sum := 0.0
	for t, usual := range [levels]float64{at.quick, at.slow, longRun} {
		w.level[t] = usual * math.Pow((m.level[t]/mean+skillCounts)/(m.starts+skillCounts), -levelSkill)
		sum += w.level[t]
	}
	for t := range w.level {
		w.level[t] /= sum
	}
	if span >= year-season {
		odds := p.usual.year / (1 - p.usual.year)
		if m.years > 0 {
			odds *= math.Pow((m.byYear/mean+skillCounts)/(m.byOther/mean+skillCounts), -yearSkill)
		}
		w.year = odds / (1 + odds)
	}
	w.kind = (1 - w.year) * kindFades / (kindFades + span)
	if len(starts) > 0 {
		w.own = (1 - w.year - w.kind) * ownOdds / (1 + ownOdds)
	}
	w.levels = 1 - w.year - w.kind - w.own
	p.unsteady(&w, k, starts, &m, steady)
	return w
}

// unsteady sees how far the level was off in the past, against what the work's
// scatter and a usual drift would bring. What shows at one knot counts at the
// next ones too, and less and less.
func (p *past) unsteady(w *ways, k int, starts []start, m *misses, steady *tally) {
	days, n, span := knots[k], len(p.days), -p.days[0]
	pace := p.usual.pace.Mid
	if n > 2 {
		pace = (p.hours[n-2] - p.hours[0] + pace*kindDays) / (p.days[n-2] - p.days[0] + kindDays)
	}
	drift := atKnots[k].drift
	w.unsure = min(levelNoise*p.scale/(pace*min(span+1, levelSpan)), unsureMost)
	usual := noise*p.scale/(pace*days) + w.unsure + drift*drift
	steady.fade(wildKeeps)
	if m.starts > 0 && days >= p.gap {
		off := 0.0
		for _, s := range starts {
			if p.told(s, days) {
				off += s.weight * math.Abs(s.gain-p.pace(w, s.i)*days)
			}
		}
		if m.years > 0 {
			off = min(off, m.byYear/m.years*m.starts)
		}
		const root = 1.2533 // a normal's standard deviation over its mean deviation
		share := root * off / (m.gained + littleGain*m.starts)
		steady.add(min(share*share/usual, wildMost), min(m.starts, span/days))
	}
	w.wild = steady.against(wildCounts)
}

// pace is the level at a reading, made as the ways say.
func (p *past) pace(w *ways, i int) (pace float64) {
	for t := range p.level {
		pace += w.level[t] * p.level[t][i]
	}
	return pace
}

// lump is the scatter of the work within a gap, in hours, where the gaps do not
// tell: jobs of some length, at most what a gap gains, come by chance, and the
// less so the more of the time the machine is at work.
func (p *past) lump() float64 {
	n, gained, gaps := len(p.days), 0.0, 0.0
	for i := n - 2; i >= 1 && gaps < 12; i-- {
		if gain := p.hours[i] - p.hours[i-1]; gain > 0 {
			gained += gain
			gaps++
		}
	}
	if gaps == 0 {
		return 0
	}
	job := min(jobLength, gained/gaps)
	pace := (p.hours[n-2] - p.hours[0]) / max(p.days[n-2]-p.days[0], 1)
	return job * (1 - min(pace/job, jobsMost))
}

// fill puts everything into the draw that may be gained by a knot.
func (p *past) fill(d *draw, k int, starts []start, w *ways) {
	days, last := knots[k], len(p.days)-1
	d.reset(days)
	drift := atKnots[k].drift
	sigma := math.Sqrt(math.Log(1 + drift*drift*w.wild + w.unsure))
	gain := p.pace(w, last) * days
	rest := 0.0
	if -p.days[0] < year {
		rest = restShare * max(p.usual.year-restFrom, 0)
	}
	scale := workScatter * p.scale * w.wild
	d.scatter(gain*restPace, scale, w.levels*rest)
	for _, z := range partNormal {
		d.scatter(gain*math.Exp(sigma*z), scale, w.levels*(1-rest)/parts)
	}
	// A spell cut out between two readings is smoother than the work was: what
	// the gaps at its ends hide is added. It is all of it for a spell within a gap.
	hidden := max(p.scale, p.lump()) * max(1-days/max(p.gap, days), p.gap/(p.gap+days))
	if len(starts) > 0 {
		st := p.states(starts)
		busier := st.busier(p.level[quick][last])
		for g, share := range [2]float64{1 - busier, busier} {
			for _, gain := range st.gain[g] {
				d.scatter(gain, hidden, w.own*share/parts)
			}
		}
	}
	if w.year > 0 {
		gains, n := p.years(days, 0)
		for _, gain := range gains[:n] {
			d.scatter(gain, max(hidden, yearScatter*p.scale)+yearFew*gain, w.year/float64(n))
		}
	}
	// Over a year a machine strays less from what is usual than over a month.
	calm := math.Pow(min(kindSpan/days, 1), kindCalms)
	for _, z := range partNormal {
		d.scatter(p.usual.pace.at(calm*z)*days, p.scale, w.kind/parts)
	}
	d.sumUp()
}

// years is what was gained in the same weeks of the two years before a day, a
// season early or late.
func (p *past) years(days, day float64) (gains [10]float64, n int) {
	for back := year; back <= 2*year; back += year {
		for off := -season; off <= season; off += season / 2 {
			if from := day + off - back; from >= p.days[0] && from+days <= 0 {
				gains[n] = p.at(from+days) - p.at(from)
				n++
			}
		}
	}
	return gains, n
}
