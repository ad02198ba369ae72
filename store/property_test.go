package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"woodruff/engine"
)

// modelLine is what the model knows of an entry.
type modelLine struct {
	entry engine.Entry
	state engine.State
	by    engine.Seq
	gone  bool // message deleted
}

// model is the book done plainly: a list of entries with their states.
type model struct {
	lines    []modelLine // entry n at n-1
	machines []engine.MachineID
}

func (m *model) last() engine.Seq { return engine.Seq(len(m.lines)) }

// stands says whether a line can be corrected or taken back.
func (m *model) stands(seq engine.Seq) bool {
	if seq < 1 || seq > m.last() {
		return false
	}
	l := m.lines[seq-1]
	return l.state == engine.Standing && l.entry.Kind != engine.KindTakeBack && l.entry.Kind != engine.KindDeleted
}

// write adds an entry; false where the book must refuse it.
func (m *model) write(e engine.Entry) bool {
	e.Seq = m.last() + 1
	switch e.Kind {
	case engine.KindMachine:
		e.Machine = engine.MachineID(e.Seq)
		m.machines = append(m.machines, e.Machine)
	case engine.KindTakeBack:
		targets := slices.Clone(e.Targets)
		slices.Sort(targets)
		targets = slices.Compact(targets)
		slices.Reverse(targets)
		for _, t := range targets {
			if !m.stands(t) {
				return false
			}
			m.lines[t-1].state, m.lines[t-1].by = engine.TakenBack, e.Seq
			if of := m.lines[t-1].entry.Replaces; of != 0 && m.lines[of-1].by == t && m.lines[of-1].state == engine.Replaced {
				m.lines[of-1].state, m.lines[of-1].by = engine.Standing, 0
			}
		}
	case engine.KindDeleted:
		for _, t := range e.Targets {
			if t > m.last() {
				return false
			}
			m.lines[t-1].gone = true
		}
	}
	if e.Replaces != 0 {
		if !m.stands(e.Replaces) || m.lines[e.Replaces-1].entry.Kind == engine.KindMachine {
			return false
		}
		m.lines[e.Replaces-1].state, m.lines[e.Replaces-1].by = engine.Replaced, e.Seq
	}
	m.lines = append(m.lines, modelLine{entry: e})
	return true
}

func (m *model) clone() *model {
	return &model{slices.Clone(m.lines), slices.Clone(m.machines)}
}

// drawEntry draws an entry that is well formed, but may point at anything.
func drawEntry(t *rapid.T, m *model) engine.Entry {
	message := fmt.Sprintf("m%d-%d", m.last(), rapid.IntRange(0, 1<<30).Draw(t, "message"))
	anyLine := rapid.Int64Range(1, int64(m.last())+1)
	kinds := []engine.Kind{engine.KindMachine, engine.KindReading, engine.KindReading, engine.KindService, engine.KindTakeBack, engine.KindDeleted, engine.KindSetting}
	kind := rapid.SampledFrom(kinds).Draw(t, "kind")
	if len(m.machines) == 0 {
		kind = engine.KindMachine
	}
	e := engine.Entry{Kind: kind, Source: from(message), Place: "bay", Texts: engine.Texts{Raw: rapid.StringN(0, 20, 60).Draw(t, "raw")}}
	switch kind {
	case engine.KindTakeBack, engine.KindDeleted:
		for range rapid.IntRange(1, 3).Draw(t, "targets") {
			e.Targets = append(e.Targets, engine.Seq(anyLine.Draw(t, "target")))
		}
	case engine.KindReading, engine.KindService:
		e.Machine = rapid.SampledFrom(m.machines).Draw(t, "machine")
		e.Hours = engine.Known(engine.Tenths(rapid.Int64Range(0, 99999).Draw(t, "hours")))
		if kind == engine.KindService {
			e.Jobs = []engine.Job{engine.Drain, engine.Separator}[:rapid.IntRange(1, 2).Draw(t, "jobs")]
		}
		if rapid.Bool().Draw(t, "corrects") {
			e.Replaces = engine.Seq(anyLine.Draw(t, "replaces"))
		}
	case engine.KindSetting:
		e.Key, e.Value = "name", "Hollin Ridge"
	}
	return e
}

// TestBookProperty writes random batches, good and bad. The book always says
// what the model says; a bad batch leaves nothing; Verify holds and Rebuild
// finds nothing to do, before and after the book is opened again.
func TestBookProperty(t *testing.T) {
	dir := quickDir(t)
	books := 0
	rapid.Check(t, func(t *rapid.T) {
		books++
		path := filepath.Join(dir, fmt.Sprint(books, ".book"))
		opts := testOptions()
		opts.Create = true
		b, err := Open(ctx, path, opts)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { b.Close() }()
		m := &model{}
		m.write(engine.Entry{Kind: engine.KindSetting})
		for range rapid.IntRange(1, 5).Draw(t, "batches") {
			next, good := m.clone(), true
			var batch engine.Batch
			for range rapid.IntRange(1, 6).Draw(t, "entries") {
				e := drawEntry(t, next)
				e.Source.Ordinal = len(batch.Entries)
				batch.Entries = append(batch.Entries, e)
				if good = next.write(e); !good {
					break
				}
			}
			seqs, err := b.Write(ctx, batch)
			switch {
			case good && err != nil:
				t.Fatalf("refused: %v", err)
			case good && (len(seqs) != len(batch.Entries) || seqs[len(seqs)-1] != next.last()):
				t.Fatalf("numbered %v, the last should be %d", seqs, next.last())
			case !good && !errors.Is(err, ErrTarget):
				t.Fatalf("a bad batch gave %v", err)
			}
			if good {
				m = next
			}
			compareWithModel(t, b, m)
		}
		if _, err := b.Verify(ctx, 0, ""); err != nil {
			t.Fatal(err)
		}
		if made, err := b.Rebuild(ctx); err != nil || len(made.Remade)+len(made.Left) > 0 {
			t.Fatalf("rebuild: %v %q", err, made)
		}
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		if b, err = Open(ctx, path, opts); err != nil {
			t.Fatal(err)
		}
		compareWithModel(t, b, m)
	})
}

// quickDir is a folder in memory where there is one: what is tested here does
// not hang on the disk, and hundreds of small writes would wait for it.
func quickDir(t *testing.T) string {
	dir, err := os.MkdirTemp("/dev/shm", "store-property")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

func compareWithModel(t *rapid.T, b *Book, m *model) {
	t.Helper()
	all, err := b.Entries(ctx, 1, m.last()+9)
	if err != nil || len(all) != len(m.lines) {
		t.Fatalf("%d entries, want %d (%v)", len(all), len(m.lines), err)
	}
	byMachine := map[engine.MachineID][]engine.Seq{}
	for i, e := range all {
		want := m.lines[i]
		if e.State != want.state || e.By != want.by || e.Deleted != want.gone || e.Kind != want.entry.Kind || e.Hours != want.entry.Hours {
			t.Fatalf("entry %d is %s %q by %d, deleted %v; want %+v", e.Seq, e.Kind, e.State, e.By, e.Deleted, want)
		}
		if e.Machine != 0 {
			byMachine[e.Machine] = append(byMachine[e.Machine], e.Seq)
		}
	}
	for _, id := range m.machines {
		h, err := b.History(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		var own []engine.Seq
		for _, e := range h {
			if e.Machine == id {
				own = append(own, e.Seq)
			} else if e.Kind != engine.KindTakeBack && e.Kind != engine.KindDeleted {
				t.Fatalf("entry %d of machine %d is among those of %d", e.Seq, e.Machine, id)
			}
		}
		if !slices.Equal(own, byMachine[id]) {
			t.Fatalf("machine %d has %v, want %v", id, own, byMachine[id])
		}
		if last, err := b.LastSeq(ctx, id); err != nil || last != h[len(h)-1].Seq {
			t.Fatalf("the last of machine %d is %d (%v)", id, last, err)
		}
	}
}
