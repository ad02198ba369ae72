package commands

import (
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// historyShown is how many lines of a history an answer shows.
const historyShown = 8

// history answers what was done on a machine, the latest first; with a job,
// only that job.
func history(t *turn, v *view, a read.Act) error {
	lines := slices.DeleteFunc(standing(v.h), func(e engine.Entry) bool {
		return a.Job != "" && !e.Has(a.Job)
	})
	inTime(lines)
	if err := t.historyHead(v, lines, a.Job); err != nil || len(lines) == 0 {
		return err
	}
	shown := foldReadings(lines)
	slices.Reverse(shown)
	more := max(len(shown)-historyShown, 0)
	shown = shown[:len(shown)-more]
	if err := t.withTexts(shown); err != nil {
		return err
	}
	for _, e := range shown {
		t.line(sentence(t.bookLine(v.m, e)))
	}
	if more > 0 {
		t.line(fmt.Sprintf("and %d older lines.", more))
	}
	if first := lines[0].Day; first != 0 {
		t.line("Nothing before " + dayWords(first, t.today) + " is in the book. That doesn't show nothing was done.")
	}
	return nil
}

// inTime sorts lines by when they happened.
func inTime(lines []engine.Entry) {
	slices.SortStableFunc(lines, func(a, b engine.Entry) int {
		if a.Day != b.Day {
			return int(a.Day - b.Day)
		}
		return int(a.At - b.At)
	})
}

// historyHead counts what is there.
func (t *turn) historyHead(v *view, lines []engine.Entry, job engine.Job) error {
	var works, readings int
	for _, e := range lines {
		switch e.Kind {
		case engine.KindService:
			works++
		case engine.KindReading:
			readings++
		}
	}
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

// foldReadings leaves out readings whose figure stands in a service of the same
// message.
func foldReadings(lines []engine.Entry) []engine.Entry {
	withHours := map[engine.Source]bool{}
	for _, e := range lines {
		if e.Kind == engine.KindService && e.Hours.Known {
			withHours[message(e)] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(lines), func(e engine.Entry) bool {
		return e.Kind == engine.KindReading && withHours[message(e)]
	})
}

// message is the source of an entry without its place in the message.
func message(e engine.Entry) engine.Source {
	return engine.Source{Channel: e.Source.Channel, Message: e.Source.Message}
}

// historyAll lists the shop's latest work.
func historyAll(t *turn, a read.Act) error {
	type tagged struct {
		m engine.Machine
		e engine.Entry
	}
	var latest []tagged
	err := t.eachMachine(func(v *view) error {
		for _, e := range standing(v.h) {
			if e.Kind == engine.KindService && (a.Job == "" || e.Has(a.Job)) {
				latest = append(latest, tagged{v.m, kept([]engine.Entry{e})[0]})
			}
		}
		slices.SortStableFunc(latest, func(a, b tagged) int { return int(b.e.At - a.e.At) })
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
		one := []engine.Entry{l.e}
		if err := t.withTexts(one); err != nil {
			return err
		}
		t.line(sentence(l.m.Tag + " " + t.bookLine(l.m, one[0])))
	}
	return nil
}

// waterIn answers what water was found in a machine.
func waterIn(t *turn, v *view, _ read.Act) error {
	finds, looks := v.sheet(t).WaterFinds(), len(v.sheet(t).Looks())
	if len(finds) == 0 {
		t.line(fmt.Sprintf("%s: no water in the book, %s.", v.m.Tag, count(looks, "look")))
		return nil
	}
	t.line(fmt.Sprintf("%s: water %s in %s.", v.m.Tag, count(len(finds), "time"), count(looks, "look")))
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

// lookLine is one look at the bowl: day, hours, what was seen, who.
func (t *turn) lookLine(v *view, l engine.Look) string {
	for _, e := range v.h {
		if e.Seq == l.Seq {
			s := t.bookLine(v.m, e)
			if l.Hours.Known {
				shown := v.sheet(t).Meter.ShownAs(l.Hours.Value)
				s = strings.Replace(s, dayWords(e.Day, t.today), dayWords(e.Day, t.today)+" at about "+meterWords(v.m, shown.Value), 1)
			}
			return s
		}
	}
	return dayWords(l.Day, t.today) + " " + found(l.Finding, l.Amount)
}

// waterDays is how far back "which machines had water" looks.
const waterDays = 120

// waterAll lists the machines with water lately, the most finds first.
func waterAll(t *turn, _ read.Act) error {
	type line struct {
		n    int
		text string
	}
	var lines []line
	err := t.eachMachine(func(v *view) error {
		finds := slices.DeleteFunc(v.sheet(t).WaterFinds(), func(l engine.Look) bool { return t.today-l.Day > waterDays })
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
		t.line(fmt.Sprintf("No water in the book in the last %d days.", waterDays))
		return nil
	}
	slices.SortStableFunc(lines, func(a, b line) int { return b.n - a.n })
	t.line(fmt.Sprintf("Water in the last %d days:", waterDays))
	for _, l := range lines {
		t.line(sentence(l.text))
	}
	return nil
}

// unwrittenAll lists what was asked and never answered.
func unwrittenAll(t *turn, _ read.Act) error {
	lapsed, err := t.book.Questions(t.ctx, engine.Lapsed, engine.Mentioned)
	if err != nil {
		return err
	}
	if len(lapsed) == 0 {
		t.line("Nothing is waiting: every question was answered.")
		return nil
	}
	t.line("Asked, never answered, not written:")
	for _, q := range lapsed[max(0, len(lapsed)-historyShown):] {
		t.line(sentence(fmt.Sprintf("%s, %s: \"%s\"", dayWords(t.cal.DayAt(q.Asked), t.today), firstName(q.Who), shorten(q.Raw, 40))))
	}
	return nil
}

// machinesAll lists the machines in the book.
func machinesAll(t *turn, _ read.Act) error {
	in := inShed(t.shed.Machines)
	t.line(count(len(in), "machine") + " in the book:")
	for i, m := range in {
		if i == 3*mostLines {
			t.line(fmt.Sprintf("and %d more.", len(in)-i))
			break
		}
		line := m.Tag + " " + m.Name
		if len(m.Nicknames) > 0 {
			line += " (" + list(m.Nicknames) + ")"
		}
		t.line(line)
	}
	return nil
}
