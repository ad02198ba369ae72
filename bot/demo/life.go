package demo

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"woodruff/engine"
)

// seed makes the shed what it is; another one makes another shed.
const seed = 0x401114

// draws is a source of chance for one thing on one day, the same whenever it is
// asked, so that one machine's days do not move another's.
func draws(what string, ago int) *rand.Rand {
	h := fnv.New64a()
	_, _ = h.Write([]byte(what)) // a hash takes everything
	return rand.New(rand.NewPCG(seed, h.Sum64()+uint64(ago)))
}

// life is a habit lived for two years.
type life struct {
	habit
	yesterday engine.Day
	meter     []engine.Tenths // at the end of each day, by days before yesterday
}

// Work is done in these hours of a day: the meter moves from one to the other.
var (
	workFrom = engine.ClockOf(8, 30)
	workTo   = engine.ClockOf(16, 0)
)

const halfHour engine.Tenths = 5

// live counts the meter back from what it shows yesterday.
func live(h habit, yesterday engine.Day) life {
	l := life{habit: h, yesterday: yesterday, meter: make([]engine.Tenths, Days+1)}
	l.meter[0] = h.now
	for ago := range Days {
		l.meter[ago+1] = l.meter[ago] - l.ran(ago)
	}
	return l
}

func (l life) day(ago int) engine.Day { return l.yesterday - engine.Day(ago) }

func (l life) restDay(ago int) bool { return l.day(ago).Weekday() == time.Sunday }

// ran is how long the machine ran on a day.
func (l life) ran(ago int) engine.Tenths {
	if !l.starts && l.restDay(ago) {
		return 0
	}
	_, month, _ := l.day(ago).Date()
	hours := l.use[month-1]
	chance := draws("use "+l.tag, ago)
	same := chance
	if l.with != "" {
		same = draws(l.with, ago)
	}
	var ran engine.Tenths
	if same.Float64() < l.share {
		ran = engine.TenthsOf(min(hours/l.share*(0.4+1.2*chance.Float64()), 11))
	}
	if l.test > 0 && ago%l.test == 0 {
		ran += halfHour
	}
	return ran
}

// figure is what the meter stands at on a day's clock.
func (l life) figure(ago int, clock engine.Clock) engine.Tenths {
	from, to := l.meter[ago+1], l.meter[ago]
	part := float64(clock-workFrom) / float64(workTo-workFrom)
	part = min(max(part, 0), 1)
	return from + engine.Tenths(math.Round(part*float64(to-from)))
}

// passed is when the meter came to a figure, on the last day that it did; ok is
// false for before the log.
func (l life) passed(figure engine.Tenths) (ago int, clock engine.Clock, ok bool) {
	for ago := range Days {
		from, to := l.meter[ago+1], l.meter[ago]
		if from < figure || from == figure && to > from {
			part := float64(figure-from) / float64(max(to-from, 1))
			return ago, workFrom + engine.Clock(part*float64(workTo-workFrom)), true
		}
	}
	return 0, 0, false
}

// shows writes a figure as the machine's meter does.
func (l life) shows(figure engine.Tenths) string {
	if l.whole {
		return strconv.FormatInt(int64(figure/10), 10)
	}
	return figure.String()
}

// row starts a row of the log with what the meter shows.
func (l life) row(ago int, clock engine.Clock, by string) row {
	return row{ago: ago, clock: clock, tag: l.tag, hours: l.shows(l.figure(ago, clock)), by: by}
}

// told are the machine's lines of the story.
func (l life) told() []row {
	var rows []row
	for _, s := range story {
		if s.tag == l.tag {
			r := l.row(s.ago, s.clock(), s.by)
			r.jobs, r.finding, r.ml, r.note = s.jobs, s.finding, s.ml, s.note
			rows = append(rows, r)
		}
	}
	return rows
}

// inStory says that a day is too near to a line of the story for the rounds.
func (l life) inStory(ago int) bool {
	for _, s := range story {
		if s.tag == l.tag && max(s.ago-ago, ago-s.ago) <= aside {
			return true
		}
	}
	return false
}

// idleRead is after how many days a meter is read although nothing has run.
const idleRead = 30

// rounds are the drains and the readings in between. A bowl is drained only
// after work, and a meter that has not moved is seldom read.
func (l life) rounds() []row {
	if l.read.every == 0 {
		return nil
	}
	var rows []row
	sinceDrain, sinceRow := l.drain.every, l.read.every
	drained, seen := engine.Tenths(0), engine.Tenths(0)
	for ago := Days - 1; ago > max(lastDays, l.quiet); ago-- {
		sinceDrain, sinceRow = sinceDrain+1, sinceRow+1
		if l.restDay(ago) || l.inStory(ago) {
			continue
		}
		chance := draws("round "+l.tag, ago)
		now := l.meter[ago+1]
		switch {
		case now >= drained+2*halfHour && l.drain.falls(sinceDrain, chance):
			rows = append(rows, l.drainRow(ago, chance))
			sinceDrain, sinceRow, drained, seen = 0, 0, now, now
		case (now > seen || sinceRow >= idleRead) && l.read.falls(sinceRow, chance):
			r := l.row(ago, l.read.clock(chance), hand(l.read.by, ago, chance))
			r.note = l.remark(chance)
			rows = append(rows, r)
			sinceRow, seen = 0, now
		}
	}
	return rows
}

func (l life) remark(chance *rand.Rand) string {
	if l.fixed {
		return pick(remarks[:placeBound], chance)
	}
	return pick(remarks, chance)
}

// falls says whether a round falls on this day: from two thirds of its days on,
// more likely than not within a few.
func (r round) falls(since int, chance *rand.Rand) bool {
	return since >= r.every*2/3 && chance.IntN(r.every) < 3
}

// clock is about the time at which the round is made.
func (r round) clock(chance *rand.Rand) engine.Clock { return r.at + engine.Clock(chance.IntN(45)) }

func (l life) drainRow(ago int, chance *rand.Rand) row {
	r := l.row(ago, l.drain.clock(chance), hand(l.drain.by, ago, chance))
	s := look(chance)
	r.jobs, r.finding, r.note = "drain", s.finding, pick(s.notes, chance)
	if s.most > 0 {
		r.ml = s.least + chance.IntN(s.most-s.least+1)
	}
	return r
}

// look draws what a drain shows.
func look(chance *rand.Rand) sight {
	total := 0
	for _, s := range sights {
		total += s.weight
	}
	n := chance.IntN(total)
	for _, s := range sights {
		if n -= s.weight; n < 0 {
			return s
		}
	}
	return sights[0]
}

func pick(words []string, chance *rand.Rand) string { return words[chance.IntN(len(words))] }

// hand draws who did it.
func hand(by []string, ago int, chance *rand.Rand) string {
	name := pick(by, chance)
	if name == newHand && ago > newHandCame {
		return beforeHer
	}
	return name
}

// point is a moment of a machine's life.
type point struct {
	ago    int
	clock  engine.Clock
	figure engine.Tenths
}

// services are the machine's chores, each laid out backwards from how it stands
// yesterday, some of them done late.
func (l life) services() []row {
	var rows []row
	for _, c := range l.chores {
		from := point{ago: l.quiet, figure: l.meter[l.quiet]}
		if c.unseen {
			from = point{figure: l.meter[0]}
		}
		latest := from.ago
		for back := c.since; ; {
			at, ok := l.before(from, back, c.jobs)
			if !ok {
				break
			}
			chance := draws(c.jobs+" "+l.tag, at.ago)
			r := row{ago: at.ago, clock: at.clock, tag: l.tag, hours: l.shows(at.figure), jobs: c.jobs, by: hand(l.fits, at.ago, chance)}
			if from.ago == latest {
				r.note = c.note
			}
			rows = append(rows, r)
			from, back = at, c.every.late(chance)
		}
	}
	return rows
}

// late is a span as it turns out: mostly kept to, sometimes a fifth over.
func (s span) late(chance *rand.Rand) span {
	part := 0.05 * chance.Float64()
	if chance.IntN(6) == 0 {
		part = 0.2
	}
	s.hours += engine.Tenths(part * float64(s.hours))
	s.days += int(part * 30 * float64(s.months))
	return s
}

// before goes a span back from a moment; ok is false for before the log.
func (l life) before(from point, s span, what string) (at point, ok bool) {
	if s.hours > 0 {
		at.figure = from.figure - s.hours
		at.ago, at.clock, ok = l.passed(at.figure)
	}
	if s.days == 0 && s.months == 0 {
		return at, ok
	}
	ago := int(l.yesterday - (l.day(from.ago) - engine.Day(s.days)).AddMonths(-s.months))
	if l.restDay(ago) {
		ago-- // the day after
	}
	if ago >= Days || ok && at.ago <= ago {
		return at, ok
	}
	clock := engine.ClockOf(10, 0) + engine.Clock(draws(what, ago).IntN(240))
	return point{ago, clock, l.figure(ago, clock)}, true
}
