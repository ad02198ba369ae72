package main

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"woodruff/commands"
	"woodruff/engine"
	"woodruff/store"
)

// overtaken is a book in which somebody else always writes just before the
// first of our writes gets there.
type overtaken struct {
	*store.Book
	others []func()
}

func (o *overtaken) Write(ctx context.Context, b engine.Batch) ([]engine.Seq, error) {
	if len(o.others) > 0 {
		other := o.others[0]
		o.others = o.others[1:]
		other()
	}
	return o.Book.Write(ctx, b)
}

// TestJudgedAgain lets a colleague's reading come in between our judging and
// our writing: what was plausible before it is asked about after it, and
// nothing of ours is in the book.
func TestJudgedAgain(t *testing.T) {
	path, now := corpusBook(t)
	s := openAt(t, path, now)
	defer func() { var err error; s.close(&err) }()
	handle := func(d *commands.Desk, id, who, text string) string {
		a, err := d.Handle(context.Background(), commands.Said{
			Channel: "t", ID: id, Place: "yard", By: commands.Speaker{Name: who, Role: commands.Tech}, At: now, Text: text,
		})
		if err != nil {
			t.Fatal(err)
		}
		return a.String()
	}
	late := &overtaken{Book: s.book, others: []func(){func() { handle(s.desk, "theirs", "Wilm", "rt1 2852.0") }}}
	got := handle(commands.NewDesk(late, time.LoadLocation), "ours", "Joss", "rt1 2848.7 drained clean")
	if !strings.Contains(got, "2848.7 is below 2852.0 (Wilm") {
		t.Errorf("answered %q, want a question about 2852.0 of Wilm's", got)
	}
	trace, err := s.book.Message(context.Background(), "t", "ours")
	if err != nil || len(trace.Entries) != 0 {
		t.Errorf("%d entries of ours in the book (%v), want none", len(trace.Entries), err)
	}
}

// TestOvertakenForEver gives up with an honest answer where others never stop.
func TestOvertakenForEver(t *testing.T) {
	path, now := corpusBook(t)
	s := openAt(t, path, now)
	defer func() { var err error; s.close(&err) }()
	late := &overtaken{Book: s.book}
	for i := range 20 {
		late.others = append(late.others, func() {
			_, err := s.desk.Handle(context.Background(), commands.Said{
				Channel: "t", ID: fmt.Sprint("theirs", i), Place: "yard", By: commands.Speaker{Name: "Wilm", Role: commands.Tech}, At: now, Text: fmt.Sprintf("%d ml of water in rt1", i+1),
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
	a, err := commands.NewDesk(late, time.LoadLocation).Handle(context.Background(), commands.Said{
		Channel: "t", ID: "ours", Place: "yard", By: commands.Speaker{Name: "Joss", Role: commands.Tech}, At: now, Text: "rt1 drained clean",
	})
	if err != nil || !strings.Contains(a.String(), "Nothing written") {
		t.Errorf("answered %q (%v), want that nothing was written", a, err)
	}
}

// TestAnAnswerTwice sends the answer to a question a second time under its id,
// as whoever never saw the acknowledgement does: it is known for what it is,
// and nothing is written twice.
func TestAnAnswerTwice(t *testing.T) {
	path, now := corpusBook(t)
	say := func(id, text string) string {
		s := openAt(t, path, now)
		defer func() { var err error; s.close(&err) }()
		a, err := s.desk.Handle(context.Background(), commands.Said{
			Channel: "t", ID: id, Place: "yard", By: commands.Speaker{Name: "Joss", Role: commands.Tech}, At: now, Text: text,
		})
		if err != nil {
			t.Fatal(err)
		}
		return a.String()
	}
	if got := say("1", "rt1 28487 drained clean"); !strings.Contains(got, "1 2848.7") {
		t.Fatalf("asked %q", got)
	}
	if got := say("2", "1"); !strings.Contains(got, "RT1 2848.7: bowl drained, clean.") {
		t.Fatalf("the answer is answered %q", got)
	}
	if got := say("2", "1"); got != "Answered already." {
		t.Errorf("the same answer again is answered %q", got)
	}
	if got := say("1", "rt1 28487 drained clean"); !strings.HasPrefix(got, "In the book already: RT1 read 2848.7, bowl drained, clean") {
		t.Errorf("the same question again is answered %q", got)
	}
	s := openAt(t, path, now)
	defer func() { var err error; s.close(&err) }()
	trace, err := s.book.Message(context.Background(), "t", "1")
	if err != nil || len(trace.Entries) != 3 {
		t.Errorf("%d entries of the message (%v), want its three", len(trace.Entries), err)
	}
}
