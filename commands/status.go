package commands

import (
	"fmt"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// status answers all about one machine at a glance.
func status(t *turn, v *view, a read.Act) error {
	m := v.m
	head := m.Tag + " " + m.Name
	if !t.shopsOwn(m) {
		head += ", " + m.Owner
	}
	t.line(head + ".")
	if m.SelfStarts == engine.Yes {
		t.line(selfStartCaution)
	}
	if err := hoursOf(t, v, a); err != nil {
		return err
	}
	sheet := v.sheet(t)
	if last, ok := sheet.LastDone(engine.Drain); ok {
		t.line(sentence("Last drain: " + t.lastWords(v, last, engine.Drain)))
	} else {
		t.line("No drain in the book.")
	}
	if finds := sheet.WaterFinds(); len(finds) > 0 {
		l := finds[len(finds)-1]
		t.line(fmt.Sprintf("Water %s, last %s (%s).", count(len(finds), "time"), dayWords(l.Day, t.today), found(l.Finding, l.Amount)))
	}
	if at := sheet.LaidUp(); at != nil {
		t.line("Parked since " + dayWords(at.Day, t.today) + ".")
	}
	for _, f := range sheet.FollowUps(t.now) {
		t.line(followLines(f)...)
	}
	items := t.itemsOf(v)
	shown := 0
	for _, i := range items {
		if i.Unknown == "" && !(i.Job == engine.Drain && i.Reason.Bowl.Why == "") && shown < nextShown {
			shown++
			t.line(sentence(capital(jobName(i.Job)) + ": " + t.itemWords(v, i)))
		}
	}
	t.undated(v)
	return nil
}

// statusAll answers how the shop is doing in a few lines: what is out of use,
// how much is due.
func statusAll(t *turn, a read.Act) error {
	by := t.today + aheadDays
	d, err := t.survey(wanted{by: by, drains: 6})
	if err != nil {
		return err
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
