package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"woodruff/engine"
)

// forgetful makes a book read everything from the file, every time.
func forgetful(b *Book) *Book {
	b.kept.w = nil
	return b
}

// asker builds on the lines that it was handed before.
type asker struct {
	edition engine.Edition
	h       []engine.Entry
}

func (a *asker) join(l engine.Lines) error {
	if l.After > len(a.h) || l.After > 0 && l.Edition != a.edition {
		return fmt.Errorf("machine %d: lines after %d of edition %d, but the asker has %d of %d", l.Machine, l.After, l.Edition, len(a.h), a.edition)
	}
	a.edition, a.h = l.Edition, append(a.h[:l.After:l.After], l.New...)
	return nil
}

func (a *asker) have() engine.Have {
	return engine.Have{Edition: a.edition, Lines: len(a.h), Keep: true}
}

// lastByQuery is Last worked out by SQLite.
func lastByQuery(b *Book, id engine.MachineID) (hours engine.Tenths, day engine.Day, known bool, err error) {
	err = b.r.all.row(ctx, `SELECT hours_tenths, day FROM lines
		WHERE machine = ? AND state = '' AND hours_tenths IS NOT NULL
			AND kind IN ('reading', 'service', 'finding', 'fill', 'symptom', 'check', 'meter')
		ORDER BY day DESC, at DESC, seq DESC LIMIT 1`, int64(id)).Scan(&hours, &day)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, 0, false, nil
	}
	return hours, day, err == nil, err
}

// meddle changes lines behind the program's back, as somebody may with any tool
// for SQLite. What it did stays visible to whoever reads the file.
func meddle(path, query string) error {
	db, err := sql.Open("sqlite3", "file:"+path)
	if err != nil {
		return err
	}
	_, err = db.Exec(query)
	return errors.Join(err, db.Close())
}

// TestKeptProperty holds what a book has kept against what a book that keeps
// nothing reads from the file, over random sequences of writes good and bad, of
// take-backs, corrections and deletions, by this program and another one, of
// rebuilds, erasures and changes by hand, of questions about one machine and
// all, with much room and with little.
func TestKeptProperty(t *testing.T) {
	dir := quickDir(t)
	books := 0
	var handed, saved, dropped int
	rapid.Check(t, func(t *rapid.T) {
		books++
		path := filepath.Join(dir, fmt.Sprint(books, ".book"))
		opts := testOptions()
		opts.Create = true
		open := func() *Book {
			b, err := Open(ctx, path, opts)
			if err != nil {
				t.Fatal(err)
			}
			return b
		}
		b, other, plain := open(), open(), forgetful(open())
		defer b.Close()
		defer other.Close()
		defer plain.Close()
		b.kept.most = rapid.SampledFrom([]int{keptMost, 3 * keptOverhead}).Draw(t, "room")
		m := &model{}
		m.write(engine.Entry{Kind: engine.KindSetting})
		meddled := false // from then on the model knows less than the file
		askers := map[engine.MachineID]*asker{}
		ask := func(id engine.MachineID) *asker {
			if askers[id] == nil {
				askers[id] = &asker{}
			}
			return askers[id]
		}
		same := func(id engine.MachineID, got []engine.Entry) {
			t.Helper()
			want, err := plain.History(ctx, id)
			if err != nil || len(want) != len(got) || len(want) > 0 && !reflect.DeepEqual(got, want) {
				t.Fatalf("machine %d (%v)\nkept %+v\nread %+v", id, err, got, want)
			}
		}
		one := func(id engine.MachineID) {
			a := ask(id)
			l, err := b.Since(ctx, id, a.have())
			if err != nil {
				t.Fatal(err)
			}
			handed += len(l.New)
			saved += l.After
			if l.After < len(a.h) {
				dropped++
			}
			if err := a.join(l); err != nil {
				t.Fatal(err)
			}
			same(id, a.h)
			hours, day, known, err := b.Last(ctx, id)
			wantHours, wantDay, wantKnown, err2 := lastByQuery(plain, id)
			if err != nil || err2 != nil || known != wantKnown || hours != wantHours || day != wantDay || l.Last != (engine.Figure{Known: known, Hours: hours, Day: day}) {
				t.Fatalf("the last figure of machine %d is %d on %d, want %d on %d (%v, %v)", id, hours, day, wantHours, wantDay, err, err2)
			}
		}
		all := func() {
			var seen []engine.MachineID
			err := b.AllSince(ctx, func(id engine.MachineID) engine.Have { return ask(id).have() }, func(l engine.Lines) error {
				seen = append(seen, l.Machine)
				if err := ask(l.Machine).join(l); err != nil {
					return err
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			if !slices.Equal(seen, m.machines) {
				t.Fatalf("all machines are %v, want %v", seen, m.machines)
			}
			for _, id := range seen {
				same(id, askers[id].h)
			}
		}
		for range rapid.IntRange(3, 14).Draw(t, "steps") {
			by := []*Book{b, b, other}[rapid.IntRange(0, 2).Draw(t, "by")]
			switch what := rapid.SampledFrom([]string{"write", "write", "write", "one", "one", "all", "rebuild", "erase", "meddle"}).Draw(t, "what"); {
			case what == "write":
				next, good := m.clone(), true
				var batch engine.Batch
				for range rapid.IntRange(1, 3).Draw(t, "entries") {
					e := drawEntry(t, next)
					e.Source.Ordinal = len(batch.Entries)
					batch.Entries = append(batch.Entries, e)
					if good = next.write(e); !good {
						break
					}
				}
				// A book that was meddled with may refuse what the model takes, and
				// the other way round.
				switch _, err := by.Write(ctx, batch); {
				case err == nil && good:
					m = next
				case err == nil && meddled:
					next.lines = append(next.lines, modelLine{entry: batch.Entries[len(batch.Entries)-1]})
					m = next
				case err == nil || good && !meddled:
					t.Fatalf("the model says %v, the book %v", good, err)
				}
			case what == "one" && len(m.machines) > 0:
				one(rapid.SampledFrom(m.machines).Draw(t, "of"))
			case what == "all":
				all()
			case what == "rebuild":
				if _, err := by.Rebuild(ctx); err != nil {
					t.Fatal(err)
				}
			case what == "erase":
				by.Erase(ctx, engine.Seq(rapid.Int64Range(1, int64(m.last())).Draw(t, "text of")), FieldRaw) // there may be none
			case what == "meddle":
				meddled = true
				seq := rapid.Int64Range(1, int64(m.last())).Draw(t, "meddle with")
				query := rapid.SampledFrom([]string{
					`UPDATE lines SET state = 'taken-back', by_seq = 1 WHERE seq = %d AND kind IN ('reading', 'service')`,
					`UPDATE lines SET deleted = 1 - deleted WHERE seq = %d`,
					`DELETE FROM lines WHERE seq = %d AND kind = 'reading'`,
				}).Draw(t, "how")
				if err := meddle(path, fmt.Sprintf(query, seq)); err != nil {
					t.Fatal(err)
				}
			}
			size := 0
			for _, r := range b.kept.rows {
				size += r.size()
			}
			if size != b.kept.size || size > b.kept.most || len(b.kept.rows) != b.kept.order.Len() {
				t.Fatalf("%d bytes are kept, counted as %d, of at most %d; %d machines, %d in order", size, b.kept.size, b.kept.most, len(b.kept.rows), b.kept.order.Len())
			}
		}
		for _, id := range m.machines {
			one(id)
		}
		all()
	})
	t.Logf("%d lines handed over, %d saved; %d times all was handed over again", handed, saved, dropped)
	if saved == 0 || dropped == 0 {
		t.Error("nothing was kept, or never dropped: the test says nothing")
	}
}

// TestNothingIsReadTwice asks about every machine, writes one reading, and asks
// again: no line is read from the file again, and only the new one is handed
// over, of one machine and of all.
func TestNothingIsReadTwice(t *testing.T) {
	b := newBook(t)
	who := engine.PersonID(write(t, b, person("Joss Penhale"))[0])
	askers := map[engine.MachineID]*asker{}
	var ids []engine.MachineID
	for i := range 14 {
		id := addMachine(t, b, fmt.Sprintf("RT%d", i), "tractor")
		fillHistory(t, b, id, who, 60)
		ids, askers[id] = append(ids, id), &asker{}
	}
	all := func() (handed int) {
		t.Helper()
		err := b.AllSince(ctx, func(id engine.MachineID) engine.Have { return askers[id].have() }, func(l engine.Lines) error {
			handed += len(l.New)
			return askers[l.Machine].join(l)
		})
		if err != nil {
			t.Fatal(err)
		}
		return handed
	}
	if n := all(); n != 14*61 {
		t.Fatalf("%d lines at first, want %d", n, 14*61)
	}
	if n := b.LinesRead(); n != 14*61 {
		t.Fatalf("%d lines read at first, want %d", n, 14*61)
	}
	for i := range 3 {
		id := ids[5*i]
		write(t, b, reading(fmt.Sprint("new ", i), id, engine.Tenths(9000+i)))
		l, err := b.Since(ctx, id, askers[id].have())
		if err != nil || len(l.New) != 1 || l.New[0].Hours.Value != engine.Tenths(9000+i) {
			t.Fatalf("handed over %+v (%v), want the new reading alone", l.New, err)
		}
		if hours, _, _, err := b.Last(ctx, id); err != nil || hours != engine.Tenths(9000+i) {
			t.Fatalf("the last figure is %s (%v)", hours, err)
		}
		if n := all(); n != 1 {
			t.Fatalf("%d lines handed over of all machines, want the new reading alone", n)
		}
		if n := b.LinesRead(); n != 14*61 {
			t.Fatalf("%d lines were read again", n-14*61)
		}
	}
	// A line taken back costs its own machine, and no other.
	last, _ := b.LastSeq(ctx, ids[0])
	write(t, b, engine.Entry{Kind: engine.KindTakeBack, Source: from("back"), Machine: ids[0], Targets: []engine.Seq{last}})
	if n := all(); n != 63 {
		t.Fatalf("%d lines handed over after one was taken back, want the 63 of its machine", n)
	}
	if n := b.LinesRead(); n != 14*61+63 {
		t.Fatalf("%d lines were read after one was taken back, want the 63 of its machine", n-14*61)
	}
}

// TestKeptAtOnce asks while two programs write: what is handed over only ever
// grows, and in the end all of it is there.
func TestKeptAtOnce(t *testing.T) {
	b := newBook(t)
	other := openBook(t, b.Path())
	one, two := addMachine(t, b, "RT1", "tractor"), addMachine(t, b, "RT2", "tractor")
	const each = 40
	var wg sync.WaitGroup
	for n, by := range []*Book{b, other} {
		wg.Go(func() {
			for i := range each {
				for _, id := range []engine.MachineID{one, two} {
					if _, err := by.Write(ctx, engine.Batch{Entries: []engine.Entry{reading(fmt.Sprint(n, " ", i, " ", id), id, engine.Tenths(1000+i))}}); err != nil {
						t.Error(err)
					}
					if i%8 == n { // the machines' own entries are not to be corrected
						last, err := by.LastSeq(ctx, id)
						if err == nil {
							by.Write(ctx, engine.Batch{Entries: []engine.Entry{{Kind: engine.KindTakeBack, Source: from(fmt.Sprint("back ", n, " ", i, " ", id)), Machine: id, Targets: []engine.Seq{last}}}}) // the other may have been quicker
						}
					}
				}
			}
		})
	}
	stop := make(chan struct{})
	var asking sync.WaitGroup
	for range 2 {
		asking.Go(func() {
			askers := map[engine.MachineID]*asker{one: {}, two: {}}
			seen := map[engine.MachineID]int{}
			take := func(l engine.Lines) error {
				a := askers[l.Machine]
				if err := a.join(l); err != nil {
					return err
				}
				if len(a.h) < seen[l.Machine] {
					return fmt.Errorf("machine %d has lost lines: %d, then %d", l.Machine, seen[l.Machine], len(a.h))
				}
				seen[l.Machine] = len(a.h)
				return nil
			}
			for {
				select {
				case <-stop:
					return
				default:
				}
				l, err := b.Since(ctx, one, askers[one].have())
				if err == nil {
					err = take(l)
				}
				if err == nil {
					err = b.AllSince(ctx, func(id engine.MachineID) engine.Have { return askers[id].have() }, take)
				}
				if err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	wg.Wait()
	close(stop)
	asking.Wait()
	plain := forgetful(openBook(t, b.Path()))
	for _, id := range []engine.MachineID{one, two} {
		got, err := b.History(ctx, id)
		want, err2 := plain.History(ctx, id)
		if err != nil || err2 != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("machine %d: %d lines kept, %d read (%v, %v), or not the same", id, len(got), len(want), err, err2)
		}
	}
}

// TestKeptIsLetGo goes through what the random sequences hardly meet.
func TestKeptIsLetGo(t *testing.T) {
	var b, other *Book
	var id engine.MachineID
	read := func(state fileState) error {
		_, _, err := b.readLines(ctx, newDecoder(), id, state)
		return err
	}
	now := func() fileState {
		_, state, err := b.kept.get(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		return state
	}
	cutOff := false // the transaction ends before its commit
	cases := []struct {
		name string
		do   func() error
		kept bool
	}{
		{"read and nothing between", func() error { return read(now()) }, true},
		{"our own commit while it is read", func() error {
			state := now()
			write(t, b, reading("own", id, 2000))
			return read(state)
		}, false},
		{"another's commit while it is read", func() error {
			state := now()
			write(t, other, reading("other", id, 2000))
			return read(state)
		}, false},
		{"read while somebody writes", func() error {
			return b.transact(ctx, func(context.Context, *writer) error { // our own turn is taken
				_, err := b.History(ctx, id)
				return err
			})
		}, false},
		{"a rebuild of lines that were changed by hand", func() error {
			if err := meddle(b.path, `UPDATE lines SET deleted = 1`); err != nil {
				return err
			}
			if _, err := b.History(ctx, id); err != nil {
				return err
			}
			_, err := b.Rebuild(ctx)
			return err
		}, false},
		{"a write that was refused", func() error {
			if err := read(now()); err != nil {
				return err
			}
			_, err := b.Write(ctx, engine.Batch{Against: map[engine.MachineID]engine.Seq{id: 1}, Entries: []engine.Entry{reading("moved", id, 2000)}})
			mustBe(t, err, ErrMoved)
			return nil
		}, true},
		{"a write after which the connection is another", func() error {
			if err := read(now()); err != nil {
				return err
			}
			cutOff = true
			if _, err := b.Write(ctx, engine.Batch{Entries: []engine.Entry{reading("cut off", id, 2000)}}); err == nil {
				return errors.New("was committed")
			}
			return nil
		}, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b = newBook(t, func(o *Options) {
				o.Hook = func(point string) {
					if cutOff && point == "before-commit" {
						cutOff = false
						if err := b.w.once(ctx, `ROLLBACK`); err != nil {
							t.Error(err)
						}
					}
				}
			})
			other = openBook(t, b.Path())
			id = addMachine(t, b, "RT1", "tractor")
			write(t, b, reading("first", id, 1000))
			if err := c.do(); err != nil {
				t.Fatal(err)
			}
			if kept := b.kept.rows[id] != nil; kept != c.kept {
				t.Errorf("kept: %v, want %v", kept, c.kept)
			}
			got, err := b.History(ctx, id)
			want, err2 := forgetful(openBook(t, b.Path())).History(ctx, id)
			if err != nil || err2 != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("got %+v, want %+v (%v, %v)", got, want, err, err2)
			}
		})
	}
}
