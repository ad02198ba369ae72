package commands

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// historyShown is how many lines of a history an answer shows.
const historyShown = 8

// historyLines are how many of a machine's latest lines are looked through for
// them: a visit has a reading, some work and what was seen.
const historyLines = 12 * historyShown

// history answers what was done on a machine, the latest first; with a job,
// only that job.
func history(t *turn, v *view, a read.Act) error {
	lines := linesOf(v.h, a.Job)
	if err := t.historyHead(v, lines, a.Job); err != nil || len(lines) == 0 {
		return err
	}
	// The visits that are shown are among the latest lines; the rest is counted.
	visits := visitsOf(lines[max(0, len(lines)-historyLines):])
	slices.Reverse(visits)
	visits = visits[:min(len(visits), historyShown)]
	more := len(lines)
	for _, visit := range visits {
		more -= len(visit)
	}
	shown, err := t.told(visits)
	if err != nil {
		return err
	}
	for _, visit := range shown {
		t.line(sentence(t.visitLine(v.m, visit)))
	}
	if more > 0 {
		t.line(fmt.Sprintf("and %d older lines.", more))
	}
	if first := lines[0].Day; first != 0 {
		t.line("Nothing before "+dayWords(first, t.today)+" is in the book.", noneShown)
	}
	return nil
}

// linesOf are the standing lines of a machine by when they happened, those of
// one job where it is not "". They point into h: entries are large, and a
// history is long.
func linesOf(h []engine.Entry, job engine.Job) []*engine.Entry {
	lines := make([]*engine.Entry, 0, len(h))
	for i := range h {
		if e := &h[i]; stands(e) && !e.Kind.OfShop() && (job == "" || e.Has(job)) {
			lines = append(lines, e)
		}
	}
	inTime := func(a, b *engine.Entry) int { return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.At, b.At)) }
	if !slices.IsSortedFunc(lines, inTime) { // as they are where nothing was told late
		slices.SortStableFunc(lines, inTime)
	}
	return lines
}

// visitsOf puts together what one message says of one day: the reading, the
// work, what was seen.
func visitsOf(lines []*engine.Entry) [][]*engine.Entry {
	var visits [][]*engine.Entry
	at := map[visitKey]int{}
	for _, e := range lines {
		key := visitKey{message(e), e.Day, e.DoneBy()}
		i, there := at[key]
		if !there || e.Replaces != 0 {
			i = len(visits)
			at[key] = i
			visits = append(visits, nil)
		}
		visits[i] = append(visits[i], e)
	}
	return visits
}

// told are visits with the words of their lines.
func (t *turn) told(visits [][]*engine.Entry) ([][]engine.Entry, error) {
	var all []engine.Entry
	for _, visit := range visits {
		for _, e := range visit {
			all = append(all, *e)
		}
	}
	if err := t.withTexts(all); err != nil {
		return nil, err
	}
	var out [][]engine.Entry
	for _, visit := range visits {
		out = append(out, all[:len(visit):len(visit)])
		all = all[len(visit):]
	}
	return out, nil
}

type visitKey struct {
	message engine.Source
	day     engine.Day
	by      engine.PersonID
}

// visitLine is a visit as one line: day, figure, work, what was seen, who.
func (t *turn) visitLine(m engine.Machine, visit []engine.Entry) string {
	figure := ""
	var parts []string
	for _, e := range visit {
		if e.Hours.Known && (e.Kind == engine.KindReading || e.Kind == engine.KindService) {
			figure = " " + meterWords(m, e.Hours.Value)
		}
		if e.Kind == engine.KindReading {
			if len(visit) == 1 {
				parts = append(parts, "read"+knownWords(e.Known))
			}
			continue
		}
		parts = append(parts, describe(m, e))
	}
	s := capital(dayWords(visit[0].Day, t.today)) + figure + " " + list(parts)
	if who := firstName(t.shed.PersonName(visit[0].DoneBy())); who != "" {
		s += ", " + who
	}
	return s + t.afterwards(visit[0])
}

// historyHead counts what is there.
func (t *turn) historyHead(v *view, lines []*engine.Entry, job engine.Job) error {
	works, readings := tally(lines)
	switch {
	case job != "":
		t.line(fmt.Sprintf("%s %s: %s in the book.", v.m.Tag, jobName(job), count(works, "time")))
	case len(lines) == 0:
		t.line(v.m.Tag + ": nothing in the book.")
	default:
		t.line(fmt.Sprintf("%s: %s, %s in the book.", v.m.Tag, count(works, "job"), count(readings, "reading")))
	}
	return nil
}

// message is the source of an entry without its place in the message.
func message(e *engine.Entry) engine.Source {
	return engine.Source{Channel: e.Source.Channel, Message: e.Source.Message}
}

// copies are lines that stay good after the machine they are of has been
// passed.
func copies(lines []*engine.Entry) []engine.Entry {
	var out []engine.Entry
	for _, e := range lines {
		out = append(out, kept([]engine.Entry{*e})...)
	}
	return out
}

// historyAll lists the shop's latest work.
func historyAll(t *turn, a read.Act) error {
	type visit struct {
		m     engine.Machine
		lines []engine.Entry
	}
	var latest []visit
	err := t.eachMachine(func(v *view) error {
		for _, lines := range visitsOf(linesOf(v.h, "")) {
			if slices.ContainsFunc(lines, func(e *engine.Entry) bool { return e.Kind == engine.KindService && (a.Job == "" || e.Has(a.Job)) }) {
				latest = append(latest, visit{v.m, copies(lines)})
			}
		}
		slices.SortStableFunc(latest, func(a, b visit) int { return cmp.Compare(b.lines[0].At, a.lines[0].At) })
		latest = latest[:min(len(latest), historyShown)]
		return nil
	})
	if err != nil {
		return err
	}
	if len(latest) == 0 {
		t.line("No work in the book yet.")
		return nil
	}
	t.line("Latest work in the book:")
	for _, l := range latest {
		if err := t.withTexts(l.lines); err != nil {
			return err
		}
		t.line(sentence(l.m.Tag + " " + t.visitLine(l.m, l.lines)))
	}
	return nil
}

// waterIn answers what water was found in a machine.
func waterIn(t *turn, v *view, a read.Act) error {
	if a.Whether == read.WhetherClean {
		return wasClean(t, v, a)
	}
	l := t.limitsOf(a)
	out := func(x engine.Look) bool { return !t.lookWithin(v, x, l) }
	finds := slices.DeleteFunc(v.sheet(t).WaterFinds(), out)
	looks, untold := looksTold(slices.DeleteFunc(slices.Clone(v.sheet(t).Looks()), out))
	also := ""
	if untold > 0 {
		also = "; emptied " + count(untold, "time") + " with nothing said"
	}
	within := l.words(t.today)
	if len(finds) == 0 {
		t.line(headed(a.Whether, false, v.m.Tag, fmt.Sprintf("no water in the book%s, %s%s.", within, count(looks, "look"), also)))
		return nil
	}
	t.line(headed(a.Whether, true, v.m.Tag, fmt.Sprintf("water %s in %s%s%s.", count(len(finds), "time"), count(looks, "look"), within, also)))
	slices.Reverse(finds)
	for i, l := range finds {
		if i == historyShown {
			t.line(fmt.Sprintf("and %d before.", len(finds)-i))
			break
		}
		t.line(sentence(t.lookLine(v, l)))
	}
	return nil
}

// wasClean answers whether the bowl was clean the last time that somebody looked.
func wasClean(t *turn, v *view, a read.Act) error {
	l := t.limitsOf(a)
	looks := v.sheet(t).Looks()
	for i := len(looks) - 1; i >= 0; i-- {
		if x := looks[i]; x.Finding != "" && t.lookWithin(v, x, l) {
			t.line(sentence(headed(a.Whether, x.Finding == engine.Clean, v.m.Tag, lowerFirst(t.lookLine(v, x)))))
			return nil
		}
	}
	t.line(sentence("Not in the book: nobody has said what was in the bowl of " + v.m.Tag + l.words(t.today)))
	return nil
}

// lookWithin says whether a look at the bowl lies within what was asked.
func (t *turn) lookWithin(v *view, x engine.Look, l limits) bool {
	if !l.inDays(x.Day) {
		return false
	}
	return !l.who || slices.ContainsFunc(v.h, func(e engine.Entry) bool { return e.Seq == x.Seq && l.holds(&e) })
}

// looksTold parts the looks of which somebody has said what was seen from the
// times that the bowl was only emptied.
func looksTold(all []engine.Look) (told, untold int) {
	for _, l := range all {
		if l.Finding != "" {
			told++
		} else {
			untold++
		}
	}
	return told, untold
}

// lookLine is one look at the bowl: day, hours, what was seen, who.
func (t *turn) lookLine(v *view, l engine.Look) string {
	for _, e := range v.h {
		if e.Seq != l.Seq {
			continue
		}
		s := dayWords(e.Day, t.today)
		if l.Hours.Known {
			s += " at about " + meterWords(v.m, v.sheet(t).Meter.ShownAs(l.Hours.Value).Value) + " h"
		}
		s += ": " + describe(v.m, e)
		if who := firstName(t.shed.PersonName(e.DoneBy())); who != "" {
			s += ", " + who
		}
		return s
	}
	return dayWords(l.Day, t.today) + " " + found(l.Finding, l.Amount)
}

// waterDays is how far back "which machines had water" looks.
const waterDays = 120

// waterAll lists the machines with water lately, or on the days asked about, the
// most finds first.
func waterAll(t *turn, a read.Act) error {
	type line struct {
		n    int
		text string
	}
	l := t.limitsOf(a)
	within := l.words(t.today)
	if l.from == 0 {
		l.from, l.till = t.today-waterDays, t.today
		within += fmt.Sprintf(" in the last %d days", waterDays)
	}
	var lines []line
	err := t.eachMachine(func(v *view) error {
		finds := slices.DeleteFunc(v.sheet(t).WaterFinds(), func(x engine.Look) bool { return !t.lookWithin(v, x, l) })
		if n := len(finds); n > 0 {
			last := finds[n-1]
			lines = append(lines, line{n, fmt.Sprintf("%s: %s, last %s, %s", v.m.Tag, count(n, "time"), dayWords(last.Day, t.today), found(last.Finding, last.Amount))})
		}
		return nil
	})
	if err != nil {
		return err
	}
	if len(lines) == 0 {
		head := "No water in the book"
		if a.Whether != "" {
			head = "No: no water in the book"
		}
		t.line(sentence(head + within))
		return nil
	}
	slices.SortStableFunc(lines, func(a, b line) int { return b.n - a.n })
	if a.Whether != "" {
		t.line("Yes: water" + within + ":")
	} else {
		t.line("Water" + within + ":")
	}
	for _, l := range lines {
		t.line(sentence(l.text))
	}
	return nil
}

// unwrittenAll lists what was asked and never answered, and what waits for
// somebody else.
func unwrittenAll(t *turn, _ read.Act) error {
	all, err := t.book.Questions(t.ctx, engine.Open, engine.Lapsed, engine.Mentioned)
	if err != nil {
		return err
	}
	var asked, waiting []string
	for _, q := range all {
		h, err := unhold(q)
		if err != nil {
			return err
		}
		line := sentence(fmt.Sprintf("%s, %s: \"%s\"", dayWords(t.cal.DayAt(q.Asked), t.today), firstName(q.Who), shorten(q.Raw, 40)))
		switch {
		case h.Waits != "":
			waiting = append(waiting, strings.TrimSuffix(line, ".")+", for "+h.Waits+" to settle.")
		case q.State != engine.Open:
			asked = append(asked, line)
		}
	}
	if len(asked)+len(waiting) == 0 {
		t.line("Nothing is waiting: every question was answered.")
		return nil
	}
	if len(asked) > 0 {
		t.line("Asked, never answered, not written:")
		t.line(asked[max(0, len(asked)-historyShown):]...)
	}
	if len(waiting) > 0 {
		t.line("Not written, waits for somebody else:")
		t.line(waiting[max(0, len(waiting)-historyShown):]...)
	}
	return nil
}

// machinesAll lists the machines in the book.
func machinesAll(t *turn, _ read.Act) error {
	in := inShed(t.shed.Machines)
	t.line(count(len(in), "machine") + " in the book:")
	var lines []string
	for _, m := range in {
		line := m.Tag + " " + m.Name
		if len(m.Nicknames) > 0 {
			line += " (" + list(m.Nicknames) + ")"
		}
		lines = append(lines, line)
	}
	t.cutLines(lines, 2*mostLines+2)
	return nil
}
