package main

import (
	"context"
	"strings"
	"testing"
	"time"

	"woodruff/commands"
	"woodruff/engine"
	"woodruff/store"
)

// handedOver is a book that counts the lines it hands over.
type handedOver struct {
	*store.Book
	lines int
}

func (c *handedOver) Since(ctx context.Context, id engine.MachineID, have engine.Have) (engine.Lines, error) {
	l, err := c.Book.Since(ctx, id, have)
	c.lines += len(l.New)
	return l, err
}

func (c *handedOver) AllSince(ctx context.Context, have func(engine.MachineID) engine.Have, each func(engine.Lines) error) error {
	return c.Book.AllSince(ctx, have, func(l engine.Lines) error {
		c.lines += len(l.New)
		return each(l)
	})
}

// TestOneReadingCostsOneMachine says one reading into a shop whose due list was
// asked for before, and asks about that machine and for the due list again: no
// old line is read from the file or handed over again, and only that machine is
// folded. What is answered is what a process that has kept nothing answers.
func TestOneReadingCostsOneMachine(t *testing.T) {
	path, now := corpusBook(t)
	s := openAt(t, path, now)
	defer func() { var err error; s.close(&err) }()
	book := &handedOver{Book: s.book}
	desk := commands.NewDesk(book, time.LoadLocation)
	n := 0
	say := func(d *commands.Desk, text string) string {
		t.Helper()
		n++
		a, err := d.Handle(t.Context(), commands.Said{
			Channel: "t", ID: strings.Repeat("m", n), Place: "yard", By: commands.Speaker{Name: "Joss Penhale", Role: commands.Tech},
			At: now, Text: text, Mention: true,
		})
		if err != nil {
			t.Fatal(err)
		}
		return a.String()
	}
	type cost struct{ read, handed, folded int }
	costs := func() cost { return cost{int(s.book.LinesRead()), book.lines, desk.Folded()} }
	open := func() *shop {
		o := openAt(t, path, now)
		t.Cleanup(func() { var err error; o.close(&err) })
		return o
	}
	afresh := func() *commands.Desk { return commands.NewDesk(open().book, time.LoadLocation) }

	say(desk, "what is due in the shop")
	before := costs()
	if before.read == 0 || before.handed == 0 || before.folded < 14 {
		t.Fatalf("the first due list cost %+v: nothing is counted", before)
	}
	due := say(desk, "what is due in the shop")
	if got := costs(); got != before {
		t.Errorf("the same due list again cost %+v, then %+v", before, got)
	}
	if want := say(afresh(), "what is due in the shop"); due != want {
		t.Errorf("kept: %s\nread: %s", due, want)
	}

	said := say(desk, "rt1 2852.0")
	if !strings.HasPrefix(said, "RT1 2852.0") {
		t.Fatalf("a reading is answered with %q", said)
	}
	written := costs()
	if written.read != before.read || written.handed != before.handed {
		t.Errorf("writing a reading took it from %+v to %+v", before, written)
	}
	for _, q := range []string{"how many hours on rt1", "when is the oil due on rt1", "what is due in the shop", "hours since last drain on rt1?"} {
		if got, want := say(desk, q), say(afresh(), q); got != want {
			t.Errorf("%s\nkept: %s\nread: %s", q, got, want)
		}
	}
	after := costs()
	want := cost{read: before.read, handed: before.handed + 1, folded: written.folded + 1}
	if after != want {
		t.Errorf("after one reading, four questions took it to %+v, want %+v", after, want)
	}

	// Somebody else writes to the same file: everything is looked at again, and
	// what was kept is in no answer.
	theirs := open()
	say(theirs.desk, "rt1 2853.5")
	for _, q := range []string{"how many hours on rt1", "what is due in the shop"} {
		got, want := say(desk, q), say(afresh(), q)
		if got != want {
			t.Errorf("%s\nkept: %s\nread: %s", q, got, want)
		}
	}
	if got := say(desk, "how many hours on rt1"); !strings.Contains(got, "2853.5") {
		t.Errorf("somebody else's reading is not in %q", got)
	}
	// Undone here, it is gone here.
	say(desk, "rt1 2854.0")
	say(desk, "undo")
	if got := say(desk, "how many hours on rt1"); !strings.Contains(got, "2853.5") || strings.Contains(got, "2854") {
		t.Errorf("after it was undone: %q", got)
	}
}
