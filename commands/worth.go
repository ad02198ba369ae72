package commands

import (
	"woodruff/commands/read"
	"woodruff/engine"
)

// worthAsked is how many meters the shop is asked to read at once.
const worthAsked = 5

// keepWorth keeps what a fresh reading of a machine is worth among the few that
// are worth most. A customer's machine is read when it comes in.
func (t *turn) keepWorth(top []engine.Worth, v *view, items []engine.Item) []engine.Worth {
	return engine.KeepWorth(top, v.sheet(t).WorthReading(items, t.shopsOwn(v.m), t.now), worthAsked)
}

// worthLines name the meters worth reading, and for each what a figure may
// change in what is due this week.
func (t *turn) worthLines(top []engine.Worth) {
	if len(top) == 0 {
		return
	}
	t.line("Meters worth reading:")
	for _, w := range top {
		m, _ := t.shed.Machine(w.Machine)
		t.line("  " + sentence(m.Tag+", "+t.worthWords(w)))
	}
}

func (t *turn) worthWords(w engine.Worth) string {
	if w.Last.Seq == 0 {
		return "never read: " + jobName(w.Job) + " can't be dated without"
	}
	s := oldness(w.Last.Day, t.today) + ": " + jobName(w.Job)
	if w.OnList {
		return s + " may not be due yet"
	}
	return s + " may be due this week"
}

// readingsAll answers which meters are worth reading.
func readingsAll(t *turn, _ read.Act) error {
	var top []engine.Worth
	err := t.eachMachine(func(v *view) error {
		top = t.keepWorth(top, v, t.itemsOf(v))
		return nil
	})
	if err != nil {
		return err
	}
	if len(top) == 0 {
		t.line("None: a figure would hardly change what is due this week.")
		return nil
	}
	t.worthLines(top)
	return nil
}
