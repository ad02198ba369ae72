package commands

import (
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// statusLines is how many lines all about one machine takes: it is read beside it.
// Cautions and that it is out of use come on top.
const statusLines = 8

// status answers all about one machine at a glance.
func status(t *turn, v *view, a read.Act) error {
	m, sheet := v.m, v.sheet(t)
	if m.SelfStarts == engine.Yes {
		t.line(selfStartCaution)
	}
	from := len(t.out.Lines)
	head := m.Tag + " " + m.Name
	if !t.shopsOwn(m) {
		head += ", " + m.Owner
	}
	t.line(head + ": " + t.standsWords(v))
	if at := sheet.LaidUp(); at != nil {
		t.line("Parked since " + dayWords(at.Day, t.today) + ".")
	}
	if last, ok := sheet.LastDone(engine.Drain); ok {
		t.line(sentence("Last drain: " + t.lastWords(v, last, engine.Drain)))
	} else {
		t.line("No drain in the book.")
	}
	if finds := sheet.WaterFinds(); len(finds) > 0 {
		l := finds[len(finds)-1]
		t.line(fmt.Sprintf("Water %s, last %s (%s).", count(len(finds), "time"), dayWords(l.Day, t.today), found(l.Finding, l.Amount)))
	}
	asks, next := t.asksFor(v), t.nextLines(v)
	room := statusLines - (len(t.out.Lines) - from)
	t.line(asks[:min(len(asks), max(1, room-2))]...)
	room = statusLines - (len(t.out.Lines) - from) - 1 // one for what cannot be dated
	t.line(next[:min(len(next), max(1, room))]...)
	t.undated(v)
	return nil
}

// standsWords is where a machine's hours stand, in one line: what was read, and
// what is made of it where that differs.
func (t *turn) standsWords(v *view) string {
	points := v.sheet(t).Meter.Points
	switch {
	case v.m.Reads == engine.NoMeter:
		return "no hour meter."
	case len(points) == 0:
		return "no reading in the book."
	}
	p := points[len(points)-1]
	s := meterWords(v.m, p.Shown) + " h on " + dayWords(p.Day, t.today) + t.pointBy(v, p)
	if band, ok := v.sheet(t).Forecast.HoursAt(t.now); ok && band.Mid-p.Hours.Hours() >= 0.05 {
		if now := meterWords(v.m, v.sheet(t).Meter.ShownAs(engine.TenthsOf(band.Mid)).Value); now != meterWords(v.m, p.Shown) {
			s += ", about " + now + " now"
		}
	}
	return s + "."
}

// asksFor is what finds and jobs on a machine still ask for, a line each. That the
// bowl is to be drained first is left to the line of the bowl, where there is one.
func (t *turn) asksFor(v *view) (lines []string) {
	bowl := slices.ContainsFunc(t.itemsOf(v), func(i engine.Item) bool { return i.Job == engine.Drain && i.Reason.Bowl.Why != "" })
	for _, f := range v.sheet(t).FollowUps(t.now) {
		if f.Kind != engine.DrainFirst || !bowl {
			lines = append(lines, followLines(f)[0])
		}
	}
	return lines
}

// nextLines are what comes next on a machine; jobs of one day are one line.
func (t *turn) nextLines(v *view) []string {
	var heads, whens []string
	for _, i := range t.itemsOf(v) {
		if i.Unknown != "" || i.Job == engine.Drain && i.Reason.Bowl.Why == "" {
			continue
		}
		when := t.itemWords(v, i)
		if at := slices.Index(whens, when); at >= 0 {
			heads[at] += ", " + jobName(i.Job)
			continue
		}
		heads, whens = append(heads, capital(jobName(i.Job))), append(whens, when)
	}
	for n := range heads[:min(len(heads), nextShown)] {
		heads[n] = sentence(heads[n] + ": " + whens[n])
	}
	return heads[:min(len(heads), nextShown)]
}

// statusAll answers how the shop is doing in a few lines: what is out of use,
// how much is due.
func statusAll(t *turn, a read.Act) error {
	by := t.today + aheadDays
	d, err := t.survey(wanted{by: by, drains: 6})
	if err != nil {
		return err
	}
	if a.Whether == read.WhetherOut {
		head := "No: nothing is out of use in the book."
		if n := len(d.out); n > 0 {
			head = "Yes: " + count(n, "machine") + " out of use."
		}
		t.line(head)
		return t.outLines(d)
	}
	if err := t.outLines(d); err != nil {
		return err
	}
	if len(d.out) == 0 {
		t.line("Nothing is out of use in the book.")
	}
	t.line(fmt.Sprintf("By %s: %s to look into, %s due, %s to follow up. Ask \"whats due\".", dayWords(by, t.today),
		count(len(d.drains)+d.more, "bowl"), count(len(d.items), "job"), count(len(d.follow), "find")))
	return nil
}

// outLines says what is out of use.
func (t *turn) outLines(d shopDue) error {
	if err := t.withTexts(d.out); err != nil {
		return err
	}
	for _, e := range d.out {
		m, _ := t.shed.Machine(e.Machine)
		t.line(sentence(m.Tag + ": out of use since " + dayWords(e.Day, t.today) + reasonAfter(e.Reason)))
	}
	return nil
}

// followLines words what a finding or a job brings with it: what to do and
// when, then why.
func followLines(f engine.FollowUp) []string {
	first := strings.TrimSuffix(f.What, ".")
	if f.When != "" && f.When != "now" {
		first += ", " + f.When
	}
	first = sentence(first)
	if f.Signal != "" {
		first = string(f.Signal) + " " + first
	}
	if f.Why == "" {
		return []string{first}
	}
	return []string{first, f.Why}
}
