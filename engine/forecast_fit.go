package engine

import "math"

// knots are the days of work after the last reading at which the forecast is
// worked out; between them it is a straight line, after them it goes on at the
// pace to there.
var knots = [...]float64{3, 7, 14, 21, 30, 45, 60, 75, 100, 150, 365}

const knotCount = len(knots)

// curve is how many hours are gained by the knots: the ends and the middle of
// the 80 % band, and the chance that the meter reads what it read.
type curve struct {
	low, mid, high, still [knotCount]float64
	drawn                 bool
}

// atKnots is what counts how much at each knot before a machine's own past has
// its say, and what is usual there. The figures were chosen by trial on made-up
// histories of the kinds of use that the tests score, of other seeds, and
// rounded.
var atKnots = [knotCount]struct {
	quick, slow, own float64 // weights of the ways
	swing            float64 // how far off the best way usually is, as a share of the gain
	sigma            float64 // how far a level may move, as the sigma of a log-normal
}{
	{0.5, 0.4, 1, 0.80, 0.10},
	{0.5, 0.4, 1, 0.65, 0.12},
	{0.5, 0.5, 1, 0.55, 0.15},
	{0.45, 0.55, 1, 0.52, 0.18},
	{0.4, 0.6, 1, 0.50, 0.20},
	{0.4, 0.65, 1, 0.50, 0.22},
	{0.4, 0.7, 1, 0.50, 0.25},
	{0.35, 0.7, 1, 0.50, 0.27},
	{0.25, 0.65, 1, 0.50, 0.29},
	{0.2, 0.5, 1, 0.50, 0.30},
	{0.15, 0.4, 1, 0.50, 0.30},
}

const (
	skillCounts = 2.0 // starts that a way's usual error counts for
	skillPower  = 2.8 // how much better a way that errs less is taken for
	swingCounts = 3.0 // spells that the usual swing counts for
	fewCounts   = 3.5 // times what one spell of the past leaves unknown

	becameCounts = 8.0  // spells that what usually becomes of a level counts for
	becameMost   = 10.0 // times a level: more is not taken to come again

	kindOdds  = 0.45 // weight of the kind's usual pace with no readings, as odds
	kindFades = 8.4  // days of readings after which that is halved

	season      = 14.0 // days that a season may come early or late
	yearScatter = 0.45 // of the work's scatter, at least, around the year before
	yearFew     = 0.01 // what one year leaves unknown, as a squared share
	restFrom    = 0.28 // a kind that goes by the year more than that may go to rest
	restShare   = 0.4  // times what it does so more
	restPace    = 0.1  // of its level
)

// ways are how much each way to tell what is coming counts at one knot. They
// sum up to 1. Nothing in them depends on the last gap's gain.
type ways struct {
	level [levels]float64 // the machine's pace
	own   float64         // what it gained in its past
	year  float64         // what it gained in these weeks a year ago
	kind  float64         // what is usual for its kind
	// became is the share of the level's weight that goes by what became of
	// earlier levels, as against what is usual.
	became float64
	wild   float64 // how unsteady it is, 1 is usual
	few    float64 // what is not known of its habits, as a squared share of the gain
}

// fit works the curve out for a meter that can tell apart some hours.
func (p *past) fit(grain float64) (c curve) {
	var d draw
	var steady steadiness
	for k, days := range knots {
		var buf [mostStarts]start
		starts := p.starts(days, buf[:0])
		w := p.weigh(k, starts, &steady)
		d.reset(days)
		p.fill(&d, k, starts, w)
		c.low[k], c.mid[k], c.high[k] = d.quantile(fifths[0]), d.quantile(fifths[2]), d.quantile(fifths[4])
		c.still[k] = d.below(grain / 2)
	}
	c.drawn = true
	c.straighten()
	return c
}

const leanNarrows = 0.3 // by how much at most

// lean draws the middle of the curve towards a pace, by a share: a log that runs
// like a clock is read off the line, and its band goes along and is narrower.
// Where there are few readings the band goes half the way and stays as wide.
func (c *curve) lean(pace, share float64, few bool) {
	along, keep := 1.0, 1-share*leanNarrows
	if few {
		along, keep = 0.5, 1
	}
	for k, days := range knots {
		mid := share * (pace*days - c.mid[k])
		from := c.mid[k] + along*mid
		low, high := from-(c.mid[k]-c.low[k])*keep, from+(c.high[k]-c.mid[k])*keep
		c.mid[k] += mid
		c.low[k], c.high[k] = max(0, min(low, c.mid[k])), max(high, c.mid[k])
	}
	c.straighten()
}

// straighten sees to it that waiting never takes hours back nor narrows the
// band.
func (c *curve) straighten() {
	for k := 1; k < knotCount; k++ {
		c.low[k] = max(c.low[k], c.low[k-1])
		c.high[k] = max(c.high[k], c.low[k]+c.high[k-1]-c.low[k-1])
		c.mid[k] = min(max(c.mid[k], c.mid[k-1], c.low[k]), c.high[k])
		c.still[k] = min(c.still[k], c.still[k-1])
	}
}

// steadiness is how far gains were off the long run, against what is usual.
type steadiness struct{ off, seen float64 }

// weigh decides what counts how much, by how far each way would have been off
// in the past. Starts whose days reach into the last gap have no say.
func (p *past) weigh(k int, starts []start, steady *steadiness) (w ways) {
	days, n, at := knots[k], len(p.days), &atKnots[k]
	var off [levels]float64
	var long, gained, seen, byYear, byOther, years float64
	for _, s := range starts {
		if p.days[s.i]+days > p.days[n-2] {
			continue
		}
		seen += s.weight
		for t := range p.level {
			off[t] += s.weight * math.Abs(s.gain-p.level[t][s.i]*days)
		}
		long += s.weight * math.Abs(s.gain-p.long[s.i]*days)
		gained += s.weight * s.gain
		if from := p.days[s.i] - year; from >= p.days[0] {
			years += s.weight
			byYear += s.weight * math.Abs(s.gain-p.at(from+days)+p.at(from))
			byOther += s.weight * min(math.Abs(s.gain-p.level[slow][s.i]*days), math.Abs(s.gain-p.long[s.i]*days))
		}
	}
	mean := (off[quick]+off[slow]+long)/3/max(seen, 1) + 0.1
	skill := func(off, n float64) float64 {
		return math.Pow((off/mean+skillCounts)/(n+skillCounts), -skillPower)
	}
	w.level = [levels]float64{at.quick * skill(off[quick], seen), at.slow * skill(off[slow], seen)}
	if len(starts) > 0 {
		w.own = at.own * skill(min(off[quick], off[slow], long), seen)
	}
	span := -p.days[0]
	if span >= year-season {
		odds := p.usual.year / (1 - p.usual.year)
		if years > 0 {
			odds *= math.Pow((byYear/mean+skillCounts)/(byOther/mean+skillCounts), -2*skillPower)
		}
		w.year = odds / (1 + odds)
	}
	w.kind = kindOdds / (kindOdds + 1 + span/kindFades)
	rest := (1 - w.year) * (1 - w.kind) / (w.level[quick] + w.level[slow] + w.own)
	w.level[quick], w.level[slow], w.own, w.kind = rest*w.level[quick], rest*w.level[slow], rest*w.own, (1-w.year)*w.kind

	apart := span / max(days, p.gap) // spells that do not overlap
	known := min(seen, apart)
	if len(starts) > 0 {
		w.became = known / (known + becameCounts)
	}
	w.wild = (steady.off + swingCounts) / (steady.seen + swingCounts)
	if seen > 0 && days >= p.gap {
		best := min(off[quick], off[slow], long)
		if years > 0 {
			best = min(best, byYear/years*seen)
		}
		steady.off += known * min(best/(gained+0.5*seen), 1.5) / at.swing
		steady.seen += known
	}
	few := w.wild * at.swing
	w.few = fewCounts * few * few / (1 + apart)
	return w
}

// fill puts everything into the draw that may be gained by a knot.
func (p *past) fill(d *draw, k int, starts []start, w ways) {
	days, last, at := knots[k], len(p.days)-1, &atKnots[k]
	// A spell cut out between two readings is smoother than the work was: what
	// the gaps at its ends hide is added. It is all of it for a spell within a gap.
	hidden := p.scale * max(1-days/max(p.gap, days), p.gap/(p.gap+days))
	for t := range p.level {
		gain := p.level[t][last] * days
		if len(starts) > 0 {
			for _, ratio := range p.became(t, days, starts) {
				d.scatter(gain*ratio, hidden+w.few*gain*ratio, w.level[t]*w.became/5)
			}
		}
		usual := w.level[t] * (1 - w.became)
		rest := min(restShare*max(p.usual.year-restFrom, 0)*w.wild, 0.4)
		d.scatter(gain*restPace, p.scale, usual*rest)
		for _, z := range normalFifths {
			d.scatter(gain*math.Exp(at.sigma*w.wild*z), p.scale, usual*(1-rest)/5)
		}
	}
	if len(starts) > 0 {
		st := p.states(starts)
		busier := st.busier(p.level[quick][last])
		for g, share := range [2]float64{1 - busier, busier} {
			if share == 0 {
				continue
			}
			for _, gain := range st.gain[g] {
				d.scatter(gain, hidden+w.few*gain, w.own*share/5)
			}
		}
	}
	p.fillYear(d, days, hidden, w)
	for i, z := range normalFifths {
		d.scatter(p.usual.pace.at(i, z)*days, p.scale, w.kind/5)
	}
}

// fillYear adds what was gained in the same weeks of the last two years.
func (p *past) fillYear(d *draw, days, hidden float64, w ways) {
	if w.year == 0 {
		return
	}
	var gains [10]float64
	n := 0
	for back := year; back <= 2*year; back += year {
		for off := -season; off <= season; off += season / 2 {
			if from := off - back; from >= p.days[0] && from+days <= 0 {
				gains[n] = p.at(from+days) - p.at(from)
				n++
			}
		}
	}
	for _, gain := range gains[:n] {
		d.scatter(gain, max(hidden, yearScatter*p.scale)+yearFew*gain, w.year/float64(n))
	}
}

// at is a pace at one of the fifths, whose normal quantile is z: log-normal on
// both sides of the middle.
func (u Pace) at(fifth int, z float64) float64 {
	switch {
	case u.Mid == 0:
		return 0
	case fifth < 2:
		return u.Mid * math.Pow(u.Low/u.Mid, z/normalFifths[0])
	case fifth > 2:
		return u.Mid * math.Pow(u.High/u.Mid, z/normalFifths[4])
	}
	return u.Mid
}

// part is the knot at or after some days and how far they are from the one
// before it to it; a day before the first knot counts from nothing.
func part(days float64) (k int, part float64) {
	for k < knotCount-1 && knots[k] < days {
		k++
	}
	if k == 0 {
		return 0, days / knots[0]
	}
	return k, (days - knots[k-1]) / (knots[k] - knots[k-1])
}

// along is the value of one end some days after the last reading.
func along(v *[knotCount]float64, days float64) float64 {
	k, part := part(days)
	switch {
	case k == 0:
		return part * v[0]
	case part > 1:
		return v[k] * days / knots[k]
	}
	return v[k-1] + part*(v[k]-v[k-1])
}

// reached is the inverse of along: after how many days some hours are gained.
func reached(v *[knotCount]float64, hours float64) float64 {
	if hours <= 0 {
		return 0
	}
	k := 0
	for k < knotCount && v[k] < hours {
		k++
	}
	switch k {
	case 0:
		return knots[0] * hours / v[0]
	case knotCount:
		return knots[k-1] * hours / v[k-1] // never, at no pace
	}
	return knots[k-1] + (hours-v[k-1])/(v[k]-v[k-1])*(knots[k]-knots[k-1])
}

func (c *curve) gain(days float64) Band {
	return Band{Low: along(&c.low, days), Mid: along(&c.mid, days), High: along(&c.high, days)}
}

// standing is the chance that nothing is gained in some days.
func (c *curve) standing(days float64) float64 {
	if !c.drawn {
		return 0
	}
	k, part := part(days)
	if k == 0 {
		return 1 + part*(c.still[0]-1)
	}
	return c.still[k-1] + min(part, 1)*(c.still[k]-c.still[k-1])
}

// from is the curve for a start some days of work later: what is gained from
// then on. A season that begins or ends on the way does so as many days sooner.
// How far it may be off is what it would be over as many days, more or less of
// it by as much more or less as there is to gain.
func (c *curve) from(days float64) curve {
	if !c.drawn {
		return *c
	}
	then := *c
	start := c.gain(days)
	var was Band
	for k, knot := range knots {
		first, end := c.gain(knot), c.gain(days+knot)
		b := Band{Mid: max(end.Mid-start.Mid, was.Mid)}
		b.Low = b.Mid - apart(first.Mid-first.Low, first.Mid, b.Mid, start.Mid-start.Low, end.Mid-end.Low)
		b.High = b.Mid + apart(first.High-first.Mid, first.Mid, b.Mid, start.High-start.Mid, end.High-end.Mid)
		was = Band{Low: max(b.Low, was.Low), Mid: b.Mid, High: max(b.High, was.High)}
		then.low[k], then.mid[k], then.high[k] = was.Low, was.Mid, was.High
	}
	return then
}

// apart is how far a band's end is from its middle over some days that start
// later. width is how far it is over the first days, in which mid is gained;
// later is gained over those that start later. Work scatters with the root of
// what is gained, and a level is off by a share of it. Where the first days tell
// nothing, it is what the band widens by between then and the end.
func apart(width, mid, later, then, end float64) float64 {
	const nothing = 0.1 // h
	if mid < nothing {
		return max(width, math.Sqrt(max(end*end-then*then, 0)))
	}
	r := later / mid
	return width * max(r, math.Sqrt(r))
}
