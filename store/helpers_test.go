package store

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"testing"

	"woodruff/engine"
)

// The invented shed that the tests write about: Hollin Ridge Orchard Co-op.

var ctx = context.Background()

const testZone = "America/Toronto"

// clock is a clock that the test sets.
type clock struct{ at engine.Instant }

func (c *clock) now() engine.Instant { return c.at }

// noon is noon UTC of 24 November 2026, a Tuesday.
const noon engine.Instant = 1795521600

// salts is a source of salts that is the same in every run.
type salts struct{ n byte }

func (s *salts) Read(p []byte) (int, error) {
	for i := range p {
		s.n++
		p[i] = s.n
	}
	return len(p), nil
}

func testOptions() Options {
	return Options{Now: (&clock{noon}).now, Zone: testZone}
}

// newBook makes a book in a folder of the test's own.
func newBook(t testing.TB, change ...func(*Options)) *Book {
	t.Helper()
	return openBook(t, filepath.Join(t.TempDir(), "hollin.book"), append(change, func(o *Options) { o.Create = true })...)
}

func openBook(t testing.TB, path string, change ...func(*Options)) *Book {
	t.Helper()
	opts := testOptions()
	for _, c := range change {
		c(&opts)
	}
	b, err := Open(ctx, path, opts)
	if err != nil {
		t.Fatalf("open: %v", err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

// from is a source of a message of its own.
func from(message string, ordinal ...int) engine.Source {
	s := engine.Source{Channel: "say", Message: message}
	if len(ordinal) > 0 {
		s.Ordinal = ordinal[0]
	}
	return s
}

func machine(tag, kind string) engine.Entry {
	return engine.Entry{
		Kind: engine.KindMachine, Source: from("add " + tag), Value: kind, Key: string(engine.ReadsTenths),
		Amount: engine.Amount{Measured: 120 * engine.ML}, Texts: engine.Texts{Name: tag, Words: "Machine " + tag, Reason: "Co-op"},
	}
}

func person(name string) engine.Entry {
	return engine.Entry{Kind: engine.KindPerson, Source: from("person " + name), Texts: engine.Texts{Name: name}}
}

func reading(message string, id engine.MachineID, hours engine.Tenths) engine.Entry {
	return engine.Entry{
		Kind: engine.KindReading, Source: from(message), Said: noon, Day: 20781, At: noon, Machine: id,
		Place: "bay", Hours: engine.Known(hours), Texts: engine.Texts{Raw: message},
	}
}

func drained(message string, id engine.MachineID, hours engine.Tenths) engine.Entry {
	e := reading(message, id, hours)
	e.Kind, e.Jobs, e.Finding = engine.KindService, []engine.Job{engine.Drain}, engine.Clean
	return e
}

// write commits entries and fails the test where that fails.
func write(t testing.TB, b *Book, entries ...engine.Entry) []engine.Seq {
	t.Helper()
	seqs, err := b.Write(ctx, engine.Batch{Entries: entries})
	if err != nil {
		t.Fatalf("write: %v", err)
	}
	return seqs
}

// addMachine puts one machine into the book.
func addMachine(t testing.TB, b *Book, tag, kind string) engine.MachineID {
	t.Helper()
	return engine.MachineID(write(t, b, machine(tag, kind))[0])
}

// mustHold fails the test unless the book verifies and nothing would be rebuilt.
func mustHold(t testing.TB, b *Book) {
	t.Helper()
	if report, err := b.Verify(ctx, 0, ""); err != nil {
		t.Fatalf("verify: %v\n%v", err, report.Faults)
	}
	made, err := b.Rebuild(ctx)
	if err != nil || len(made.Remade)+len(made.Left) > 0 {
		t.Fatalf("rebuild: %v %q", err, made)
	}
}

func mustBe(t testing.TB, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Fatalf("got error %v, want one that is %v", err, want)
	}
}

// states tells the history of a machine as "seq:state".
func states(t testing.TB, b *Book, id engine.MachineID) []string {
	t.Helper()
	h, err := b.History(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range h {
		s := fmt.Sprintf("%d:%s", e.Seq, e.Kind)
		if e.State != engine.Standing {
			s += fmt.Sprintf(" %s by %d", e.State, e.By)
		}
		if e.Deleted {
			s += " deleted"
		}
		out = append(out, s)
	}
	return out
}
