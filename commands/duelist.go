package commands

import (
	"fmt"
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

const (
	// dueShown is how many lines of dated work an answer about the shop shows,
	// where other lines leave it the room; dueLeast is what it always shows.
	dueShown = 12
	dueLeast = 4
	// dueLines is how long an answer about what is due may be: it is read on a phone.
	dueLines = 20
	// bowlsShown is how many bowls to look into it names with their reason, and
	// bowlsNamed how many by their tags.
	bowlsShown = 6
	bowlsNamed = 16
)

// dueSpan is what a question about what is due asks for.
type dueSpan struct {
	from, by engine.Day // from 0: all until then
	late     bool       // what is past its day alone
	today    engine.Day
}

func (t *turn) dueSpan(a read.Act) dueSpan {
	w := dueSpan{by: t.today + aheadDays, late: a.Late, today: t.today}
	switch {
	case a.Late:
		w.by = t.today
	case a.From != 0:
		w.from, w.by = a.From, a.Till
	case a.Days > 0:
		w.by = t.today + engine.Day(a.Days)
	}
	return w
}

// wants says whether a dated item is asked for: one that is put off is late when
// its new day is over.
func (w dueSpan) wants(i engine.Item) bool {
	switch {
	case w.late && i.PutOff.Seq != 0:
		return i.PutOff.Until != 0 && i.PutOff.Until < w.today
	case w.late:
		return i.DueDay < w.today || i.Left.Known && i.Left.Value < 0 && !byCalendar(i)
	}
	return i.DueDay >= w.from
}

// words say what is asked for: "due by Wed 2 Dec".
func (w dueSpan) words(today engine.Day) string {
	switch {
	case w.late:
		return "past due"
	case w.from != 0:
		return "due " + limits{from: w.from, till: w.by}.days(today)
	}
	return "due by " + dayWords(w.by, today)
}

// dueAll answers what is due in the shop.
func dueAll(t *turn, a read.Act) error { return t.listDue(t.dueSpan(a), a) }

func (t *turn) listDue(w dueSpan, a read.Act) error {
	d, err := t.survey(wanted{by: w.by, drains: bowlsNamed})
	if err != nil {
		return err
	}
	if a.Job != "" {
		d.only(a.Job)
	}
	before := 0
	if w.late || w.from != 0 {
		before = d.limit(w)
	}
	n := len(d.items) + len(d.drains) + d.more + len(d.follow)
	head := fmt.Sprintf("%d to do by %s", n, dayWords(w.by, t.today))
	switch {
	case n == 0:
		head = capital("nothing " + w.words(t.today))
	case w.late || w.from != 0:
		head = fmt.Sprintf("%d %s", n, w.words(t.today))
	}
	if len(d.undated) > 0 && !w.late && w.from == 0 {
		head += ", " + count(len(d.undated), "machine") + " with jobs I can't date"
	}
	if a.Whether != "" {
		head = yesNo(n > 0) + lowerFirst(head)
	}
	t.line(head + ".")
	return t.dueLines(d, a, before)
}

// only leaves nothing but one job.
func (d *shopDue) only(job engine.Job) {
	d.items = slices.DeleteFunc(d.items, func(x tagged) bool { return x.i.Job != job })
	for missing := range d.missing {
		if missing != job {
			delete(d.missing, missing)
		}
	}
	if job != engine.Drain {
		d.drains, d.more = nil, 0
	}
	d.follow = nil
}

// limit leaves what lies within what was asked, and counts what is due before it.
func (d *shopDue) limit(w dueSpan) (before int) {
	all := len(d.items) + len(d.drains) + d.more + len(d.follow)
	d.items = slices.DeleteFunc(d.items, func(x tagged) bool { return !w.wants(x.i) })
	d.drains = slices.DeleteFunc(d.drains, func(r engine.Ranked) bool { return !w.late || !w.wants(r.Bowl.Item) })
	d.more, d.follow, d.meters = 0, nil, nil
	d.missing = nil
	return all - len(d.items) - len(d.drains)
}

// dueLines are the lines of a list of what is due. What does not fit is named by
// its machine, so that it can be asked for.
func (t *turn) dueLines(d shopDue, a read.Act, before int) error {
	from := len(t.out.Lines) - 1
	if err := t.outLines(d); err != nil {
		return err
	}
	for _, r := range d.drains[min(bowlsShown, len(d.drains)):] {
		m, _ := t.shed.Machine(r.Bowl.Item.Machine)
		d.moreTags = append(d.moreTags, m.Tag)
	}
	d.more += len(d.moreTags)
	d.drains = d.drains[:len(d.drains)-len(d.moreTags)]
	t.drainLines(d, " drain before start")
	t.followUpLines(d.follow)
	behind := t.behindItems(d, a, before)
	room := dueLines - (len(t.out.Lines) - from) - len(behind)
	t.itemLines(d.items, min(dueShown, max(dueLeast, room-1)))
	t.line(behind...)
	return nil
}

// behindItems are the lines behind the list.
func (t *turn) behindItems(d shopDue, a read.Act, before int) []string {
	at := len(t.out.Lines)
	switch {
	case before > 0 && a.Late:
		t.line("What else is due or to be looked into: ask \"whats due\".")
	case before > 0:
		t.line(fmt.Sprintf("Due before that: %d; ask \"whats due\".", before))
	}
	t.missingLine(d)
	if a.Job == "" {
		t.worthLines(d.meters)
	}
	behind := slices.Clone(t.out.Lines[at:])
	t.out.Lines = t.out.Lines[:at]
	return behind
}

// itemLines lists dated items, and what machines the rest are of. Jobs of one
// machine that come due together are one line.
func (t *turn) itemLines(items []tagged, most int) {
	type line struct{ tag, head, when string }
	var lines []line
	for _, x := range items {
		when := t.listWords(x.i)
		at := slices.IndexFunc(lines, func(l line) bool { return l.tag == x.m.Tag && l.when == when })
		if at >= 0 {
			lines[at].head += ", " + jobName(x.i.Job)
			continue
		}
		lines = append(lines, line{x.m.Tag, x.m.Tag + " " + jobName(x.i.Job), when})
	}
	if len(lines) == most+1 {
		most++ // a line that names it takes no more room
	}
	for _, l := range lines[:min(most, len(lines))] {
		t.line(sentence(l.head + ": " + l.when))
	}
	if len(lines) <= most {
		return
	}
	var tags []string
	for _, l := range lines[most:] {
		if !slices.Contains(tags, l.tag) {
			tags = append(tags, l.tag)
		}
	}
	s := fmt.Sprintf("and %d more", len(lines)-most)
	if named := s + ": ask \"whats due on " + tags[0] + "\""; len(tags) == 1 {
		s = named
	} else {
		s += " on " + tagList(tags, 6)
	}
	t.line(sentence(s))
}
