package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"woodruff/engine"
)

func TestWriteNumbersAndDates(t *testing.T) {
	b := newBook(t)
	// A new book's first entry is its zone.
	first, err := b.Entry(ctx, 1)
	if err != nil || first.Kind != engine.KindSetting || first.Key != engine.SetZone || first.Value != testZone {
		t.Fatalf("the first entry is %+v (%v)", first, err)
	}
	id := addMachine(t, b, "RT1", "tractor")
	if id != 2 {
		t.Fatalf("the first machine has id %d", id)
	}
	seqs := write(t, b, reading("a", id, 12234), drained("b", id, 12240))
	if !slices.Equal(seqs, []engine.Seq{3, 4}) {
		t.Fatalf("numbered %v", seqs)
	}
	e, err := b.Entry(ctx, 3)
	if err != nil {
		t.Fatal(err)
	}
	// Noon UTC of 24 November is 07:00 in Toronto, the same day.
	want := reading("a", id, 12234)
	want.Seq, want.Written, want.Zone, want.WrittenDay = 3, noon, testZone, engine.DayOf(2026, time.November, 24)
	if !reflect.DeepEqual(e, want) {
		t.Errorf("got  %+v\nwant %+v", e, want)
	}
	if _, err := b.Entry(ctx, 99); !errors.Is(err, ErrTarget) {
		t.Errorf("entry 99: %v", err)
	}
	mustHold(t, b)
}

// The local day is the shop's: 02:00 UTC of the 25th is still the 24th in Toronto.
func TestWrittenDayIsTheShops(t *testing.T) {
	c := &clock{noon + 14*3600}
	b := newBook(t, func(o *Options) { o.Now = c.now })
	id := addMachine(t, b, "RT1", "tractor")
	e, err := b.Entry(ctx, engine.Seq(id))
	if err != nil || e.WrittenDay.String() != "2026-11-24" {
		t.Errorf("written on %s (%v)", e.WrittenDay, err)
	}
	// The shop moves to Auckland, where it is the 25th.
	write(t, b, engine.Entry{Kind: engine.KindSetting, Source: from("move"), Key: engine.SetZone, Value: "Pacific/Auckland"})
	seq := write(t, b, reading("a", id, 1))[0]
	if e, err = b.Entry(ctx, seq); err != nil || e.WrittenDay.String() != "2026-11-25" || e.Zone != "Pacific/Auckland" {
		t.Errorf("written on %s in %s (%v)", e.WrittenDay, e.Zone, err)
	}
}

func TestReferencesWithinABatch(t *testing.T) {
	b := newBook(t)
	seqs, err := b.Write(ctx, engine.Batch{
		Against: map[engine.MachineID]engine.Seq{-2: 0}, // a machine that the batch adds has no last entry
		Entries: []engine.Entry{
			person("Joss Penhale"),
			machine("RT1", "tractor"),
			func() engine.Entry {
				e := reading("a", -2, 12234)
				e.Writer, e.Doer = -1, -1
				return e
			}(),
			func() engine.Entry {
				e := reading("b", -2, 12243)
				e.Replaces = -3
				return e
			}(),
			{Kind: engine.KindTakeBack, Source: from("c"), Targets: []engine.Seq{-4}},
		},
		Ask: []engine.Question{{Person: -1, Place: "bay"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if want := []string{"3:machine", "4:reading", "5:reading taken-back by 6", "6:takeback"}; !slices.Equal(states(t, b, 3), want) {
		t.Errorf("got %v, want %v", states(t, b, 3), want)
	}
	e, _ := b.Entry(ctx, seqs[2])
	if e.Writer != 2 || e.Doer != 2 || e.Machine != 3 {
		t.Errorf("the references came out as %+v", e)
	}
	asked, err := b.Questions(ctx, engine.Open)
	if err != nil || len(asked) != 1 || asked[0].Person != 2 {
		t.Errorf("asked %+v (%v)", asked, err)
	}
	mustHold(t, b)
}

func TestWriteRefusesEntries(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	fred := engine.PersonID(write(t, b, person("Joss Penhale"))[0])
	renamed := person("Joss Pennhale")
	renamed.Replaces = engine.Seq(fred)
	correction := write(t, b, renamed)[0]
	good := reading("good", id, 5)
	change := func(f func(*engine.Entry)) engine.Entry {
		e := reading("bad", id, 6)
		f(&e)
		return e
	}
	cases := []struct {
		what  string
		entry engine.Entry
	}{
		{"no kind", change(func(e *engine.Entry) { e.Kind = "" })},
		{"a number of its own", change(func(e *engine.Entry) { e.Seq = 9 })},
		{"a state of its own", change(func(e *engine.Entry) { e.State = engine.TakenBack })},
		{"no source", change(func(e *engine.Entry) { e.Source = engine.Source{} })},
		{"no machine", change(func(e *engine.Entry) { e.Machine = 0 })},
		{"a label of no machine", engine.Entry{Kind: engine.KindLabel, Source: from("bad"), Key: "tag"}},
		{"a machine that is not there", change(func(e *engine.Entry) { e.Machine = 77 })},
		{"a machine that is something else", change(func(e *engine.Entry) { e.Machine = engine.MachineID(fred) })},
		{"a machine that the batch does not add", change(func(e *engine.Entry) { e.Machine = -1 })},
		{"a machine behind it", change(func(e *engine.Entry) { e.Machine = -7 })},
		{"a writer who is not there", change(func(e *engine.Entry) { e.Writer = 77 })},
		{"a writer who is a machine", change(func(e *engine.Entry) { e.Writer = engine.PersonID(id) })},
		{"a writer named by the correction of a name", change(func(e *engine.Entry) { e.Writer = engine.PersonID(correction) })},
		{"a doer who is not there", change(func(e *engine.Entry) { e.Doer = 77 })},
		{"a take-back of nothing", engine.Entry{Kind: engine.KindTakeBack, Source: from("bad")}},
		{"a reading with targets", change(func(e *engine.Entry) { e.Targets = []engine.Seq{1} })},
		{"a take-back that replaces", engine.Entry{Kind: engine.KindTakeBack, Source: from("bad"), Targets: []engine.Seq{2}, Replaces: 2}},
		{"a target behind it", engine.Entry{Kind: engine.KindTakeBack, Source: from("bad"), Targets: []engine.Seq{-9}}},
		{"a correction of itself", change(func(e *engine.Entry) { e.Replaces = -2 })},
		{"no zone of this world", engine.Entry{Kind: engine.KindSetting, Source: from("bad"), Key: engine.SetZone, Value: "Mars/Olympus"}},
		{"written in no zone", change(func(e *engine.Entry) { e.Zone = "Mars/Olympus" })},
		{"the same source key twice", change(func(e *engine.Entry) { e.Source = good.Source })},
	}
	before, _, _ := b.Head(ctx)
	for _, c := range cases {
		// The good entry before it must not stay either.
		_, err := b.Write(ctx, engine.Batch{Entries: []engine.Entry{good, c.entry}})
		var e *EntryError
		if !errors.As(err, &e) || e.Place != 2 || !errors.Is(err, ErrEntry) {
			t.Errorf("%s: got %v", c.what, err)
		}
	}
	if after, _, _ := b.Head(ctx); after != before {
		t.Errorf("the book went from %d to %d", before, after)
	}
	write(t, b, good)
	mustHold(t, b)
}

func TestEmptyBatch(t *testing.T) {
	b := newBook(t)
	seqs, err := b.Write(ctx, engine.Batch{AgainstShop: engine.Known[engine.Seq](99)})
	if seqs != nil || err != nil {
		t.Errorf("got %v, %v", seqs, err)
	}
}

func TestMoved(t *testing.T) {
	b := newBook(t)
	n1, n2 := addMachine(t, b, "RT1", "tractor"), addMachine(t, b, "RT2", "tractor")
	a := write(t, b, reading("a", n1, 100))[0]
	onOther := write(t, b, reading("b", n2, 100))[0]
	against := func(id engine.MachineID, seq engine.Seq) engine.Batch {
		return engine.Batch{Against: map[engine.MachineID]engine.Seq{id: seq}, Entries: []engine.Entry{reading("next", id, 110)}}
	}
	// Judged before the last entry: refused, and it says where the machine is.
	_, err := b.Write(ctx, against(n1, engine.Seq(n1)))
	var moved *MovedError
	if !errors.As(err, &moved) || !errors.Is(err, ErrMoved) || moved.Machine != n1 || moved.Have != a {
		t.Fatalf("got %v", err)
	}
	// A take-back of a line moves its machine, though it names none.
	undone := write(t, b, engine.Entry{Kind: engine.KindTakeBack, Source: from("undo"), Targets: []engine.Seq{a}})[0]
	if _, err := b.Write(ctx, against(n1, a)); !errors.Is(err, ErrMoved) {
		t.Fatalf("got %v", err)
	}
	if last, err := b.LastSeq(ctx, n1); err != nil || last != undone {
		t.Fatalf("the last entry is %d (%v)", last, err)
	}
	// What happens to one machine is nothing to another.
	if _, err := b.Write(ctx, against(n2, onOther)); err != nil {
		t.Fatal(err)
	}
	// The shop.
	shed, err := b.Shed(ctx)
	if err != nil {
		t.Fatal(err)
	}
	addMachine(t, b, "DP1", "pump")
	_, err = b.Write(ctx, engine.Batch{AgainstShop: engine.Known(shed.Head), Entries: []engine.Entry{reading("x", n1, 5)}})
	if !errors.As(err, &moved) || moved.Machine != 0 {
		t.Fatalf("got %v", err)
	}
	mustHold(t, b)
}

// A line put on the wrong machine and moved to the right one changes both: what
// was judged by the old one's lines must be judged again.
func TestMovedToAnotherMachine(t *testing.T) {
	b := newBook(t)
	n1, n2 := addMachine(t, b, "RT1", "tractor"), addMachine(t, b, "RT2", "tractor")
	a := write(t, b, reading("a", n1, 100))[0]
	shed, _ := b.Shed(ctx)
	judged := engine.Batch{
		Against: map[engine.MachineID]engine.Seq{n1: a}, AgainstShop: engine.Known(shed.Head),
		Entries: []engine.Entry{reading("judged", n1, 101)},
	}
	right := reading("b", n2, 100)
	right.Replaces = a
	moved := write(t, b, right)[0]
	if _, err := b.Write(ctx, judged); !errors.Is(err, ErrMoved) {
		t.Fatalf("got %v", err)
	}
	if got, want := states(t, b, n1), []string{"2:machine", "4:reading replaced by 5"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	// Taking the move back puts the line on the old machine again, and shows there.
	write(t, b, engine.Entry{Kind: engine.KindTakeBack, Source: from("c"), Targets: []engine.Seq{moved}})
	if got, want := states(t, b, n1), []string{"2:machine", "4:reading", "6:takeback"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if got, want := states(t, b, n2), []string{"3:machine", "5:reading taken-back by 6", "6:takeback"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	mustHold(t, b)
}

func TestRepeat(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	batch := engine.Batch{
		Against: map[engine.MachineID]engine.Seq{id: engine.Seq(id)},
		Entries: []engine.Entry{reading("a", id, 100), func() engine.Entry {
			e := drained("a", id, 100)
			e.Source.Ordinal = 1
			return e
		}()},
	}
	seqs, err := b.Write(ctx, batch)
	if err != nil {
		t.Fatal(err)
	}
	// The very same message again: judged against a past state, but a repeat
	// before all.
	_, err = b.Write(ctx, batch)
	var repeat *RepeatError
	if !errors.As(err, &repeat) || !errors.Is(err, ErrRepeat) || repeat.Stale || !slices.Equal(repeat.Seqs, seqs) {
		t.Fatalf("got %v", err)
	}
	// Judged anew it is a repeat too.
	batch.Against = nil
	if _, err = b.Write(ctx, batch); !errors.As(err, &repeat) || !slices.Equal(repeat.Seqs, seqs) {
		t.Fatalf("got %v", err)
	}
	if last, _ := b.LastSeq(ctx, id); last != seqs[1] {
		t.Errorf("the book went on to %d", last)
	}
	mustHold(t, b)
}

func edited(e engine.Entry, revision int64) engine.Entry {
	e.Source.Revision = revision
	return e
}

// The latest revision wins whatever the order of arrival, and what comes late
// revives nothing.
func TestLateCopies(t *testing.T) {
	id := engine.MachineID(2)
	heard := func(message string, revision int64, deleted bool) engine.Batch {
		return engine.Batch{Heard: &engine.HeardChange{Channel: "say", Message: message, Revision: revision, Deleted: deleted, At: noon}}
	}
	entry := func(revision int64) engine.Batch {
		return engine.Batch{Entries: []engine.Entry{edited(reading("m", id, engine.Tenths(100+revision)), revision)}}
	}
	cases := []struct {
		what  string
		steps []engine.Batch // all but the last are taken
		stale bool           // the last is not
		trace engine.MessageTrace
	}{
		{"a create after an edit was heard", []engine.Batch{heard("m", 5, false), entry(0)}, true, engine.MessageTrace{Revision: 5}},
		{"an edit after a later edit", []engine.Batch{entry(7), heard("m", 7, false), entry(5)}, true, engine.MessageTrace{Revision: 7, Entries: []engine.Seq{3}}},
		{"a create after the deletion", []engine.Batch{heard("m", 0, true), entry(0)}, true, engine.MessageTrace{Deleted: true}},
		{"an edit after the deletion, of a later time", []engine.Batch{heard("m", 5, true), entry(9)}, true, engine.MessageTrace{Revision: 5, Deleted: true}},
		{"an edit heard after the deletion changes nothing", []engine.Batch{heard("m", 5, true), heard("m", 9, false)}, false, engine.MessageTrace{Revision: 5, Deleted: true}},
		{"a deletion heard with an older revision", []engine.Batch{heard("m", 9, false), heard("m", 5, true)}, false, engine.MessageTrace{Revision: 9, Deleted: true}},
		{"edits heard in the wrong order", []engine.Batch{heard("m", 9, false), heard("m", 5, false)}, false, engine.MessageTrace{Revision: 9}},
		{"another message", []engine.Batch{heard("other", 9, true), entry(0)}, false, engine.MessageTrace{Entries: []engine.Seq{3}}},
		{"an edit after the create", []engine.Batch{entry(0), heard("m", 4, false), entry(4)}, false, engine.MessageTrace{Revision: 4, Entries: []engine.Seq{3, 4}}},
	}
	for _, c := range cases {
		t.Run(c.what, func(t *testing.T) {
			b := newBook(t)
			addMachine(t, b, "RT1", "tractor")
			for i, step := range c.steps {
				_, err := b.Write(ctx, step)
				var repeat *RepeatError
				if i < len(c.steps)-1 || !c.stale {
					if err != nil {
						t.Fatalf("step %d: %v", i, err)
					}
				} else if !errors.As(err, &repeat) || !repeat.Stale {
					t.Fatalf("got %v", err)
				}
			}
			trace, err := b.Message(ctx, "say", "m")
			if err != nil || !reflect.DeepEqual(trace, c.trace) {
				t.Errorf("got %+v, want %+v (%v)", trace, c.trace, err)
			}
			arrivesAs(t, b, "m", c.trace)
			mustHold(t, b)
		})
	}
}

// arrivesAs holds what is said of an arriving message at once against what is said
// of it, of the questions and of the shop one by one.
func arrivesAs(t *testing.T, b *Book, message string, trace engine.MessageTrace) {
	t.Helper()
	got, err := b.Arrive(ctx, "say", message)
	if err != nil || !reflect.DeepEqual(got.Trace, trace) {
		t.Errorf("it arrives with %+v (%v), want %+v", got.Trace, err, trace)
	}
	if shed, err := b.Shed(ctx); err != nil || got.Shed != shed {
		t.Errorf("it arrives in another shop (%v)", err)
	}
	if pending, err := b.Questions(ctx, engine.Open, engine.Lapsed); err != nil || !reflect.DeepEqual(got.Pending, pending) {
		t.Errorf("%v wait, want %v (%v)", got.Pending, pending, err)
	}
}

func takeBack(message string, targets ...engine.Seq) engine.Entry {
	return engine.Entry{Kind: engine.KindTakeBack, Source: from(message), Targets: targets}
}

func correction(message string, id engine.MachineID, hours engine.Tenths, of engine.Seq) engine.Entry {
	e := reading(message, id, hours)
	e.Replaces = of
	return e
}

// What take-backs, corrections and deletions make of earlier lines. Machine 2
// is there; the steps are entries 3, 4, and so on.
func TestMarks(t *testing.T) {
	const id = 2
	marked := engine.Entry{Kind: engine.KindDeleted, Source: from("gone"), Targets: []engine.Seq{3}}
	cases := []struct {
		what  string
		steps []engine.Entry
		want  []string // of the lines from 3 on
	}{
		{"taken back", []engine.Entry{reading("a", id, 1), takeBack("b", 3)},
			[]string{"3:reading taken-back by 4", "4:takeback"}},
		{"corrected", []engine.Entry{reading("a", id, 1), correction("b", id, 2, 3)},
			[]string{"3:reading replaced by 4", "4:reading"}},
		{"a correction taken back: the old line stands again", []engine.Entry{reading("a", id, 1), correction("b", id, 2, 3), takeBack("c", 4)},
			[]string{"3:reading", "4:reading taken-back by 5", "5:takeback"}},
		{"corrected twice, the second taken back", []engine.Entry{reading("a", id, 1), correction("b", id, 2, 3), correction("c", id, 3, 4), takeBack("d", 5)},
			[]string{"3:reading replaced by 4", "4:reading", "5:reading taken-back by 6", "6:takeback"}},
		{"line and correction taken back as one, in either order", []engine.Entry{reading("a", id, 1), correction("b", id, 2, 3), takeBack("c", 3, 4)},
			[]string{"3:reading taken-back by 5", "4:reading taken-back by 5", "5:takeback"}},
		{"a target named twice counts once", []engine.Entry{reading("a", id, 1), takeBack("c", 3, 3)},
			[]string{"3:reading taken-back by 4", "4:takeback"}},
		{"message deleted: the line stands", []engine.Entry{reading("a", id, 1), marked},
			[]string{"3:reading deleted", "4:deleted"}},
		{"message of a take-back deleted", []engine.Entry{reading("a", id, 1), takeBack("b", 3), {Kind: engine.KindDeleted, Source: from("gone"), Targets: []engine.Seq{4}}},
			[]string{"3:reading taken-back by 4", "4:takeback deleted", "5:deleted"}},
		{"corrected again after the correction was taken back", []engine.Entry{reading("a", id, 1), correction("b", id, 2, 3), takeBack("c", 4), correction("d", id, 3, 3)},
			[]string{"3:reading replaced by 6", "4:reading taken-back by 5", "5:takeback", "6:reading"}},
	}
	for _, c := range cases {
		t.Run(c.what, func(t *testing.T) {
			b := newBook(t)
			addMachine(t, b, "RT1", "tractor")
			for _, e := range c.steps {
				write(t, b, e)
			}
			if got := states(t, b, id)[1:]; !slices.Equal(got, c.want) {
				t.Errorf("got  %v\nwant %v", got, c.want)
			}
			// A range of the ledger says the same as the machine's lines.
			all, err := b.Entries(ctx, 3, 99)
			if err != nil {
				t.Fatal(err)
			}
			h, _ := b.History(ctx, id)
			if !reflect.DeepEqual(all, h[1:]) {
				t.Errorf("entries  %+v\nhistory %+v", all, h[1:])
			}
			mustHold(t, b)
		})
	}
}

func TestTargetsRefused(t *testing.T) {
	const id = 2
	cases := []struct {
		what  string
		entry engine.Entry
		moved bool // somebody else was quicker: judging again can help
	}{
		{"a line that is not there", takeBack("x", 99), false},
		{"a take-back", takeBack("x", 5), false},
		{"a mark of deletion", takeBack("x", 8), false},
		{"a line taken back before", takeBack("x", 3), true},
		{"a line corrected before", takeBack("x", 4), true},
		{"a correction of a line taken back", correction("x", id, 9, 3), true},
		{"a correction of a line corrected before", correction("x", id, 9, 4), true},
		{"a correction of what is not there", correction("x", id, 9, 99), false},
		{"a correction of a machine", correction("x", id, 9, id), false},
		{"a machine as a correction", func() engine.Entry { e := machine("x", "pump"); e.Replaces = 6; return e }(), false},
		{"a reading as the correction of a person", correction("x", id, 9, 7), false},
	}
	b := newBook(t)
	addMachine(t, b, "RT1", "tractor")                                                               // 2
	write(t, b, reading("a", id, 1), reading("b", id, 2), takeBack("c", 3))                          // 3 4 5
	write(t, b, correction("d", id, 3, 4), person("Wilm Aske"))                                      // 6 7
	write(t, b, engine.Entry{Kind: engine.KindDeleted, Source: from("e"), Targets: []engine.Seq{6}}) // 8
	for _, c := range cases {
		_, err := b.Write(ctx, engine.Batch{Entries: []engine.Entry{c.entry}})
		var target *TargetError
		if !errors.As(err, &target) || errors.Is(err, ErrMoved) != c.moved {
			t.Errorf("%s: got %v", c.what, err)
		}
	}
	if head, _, _ := b.Head(ctx); head != 8 {
		t.Errorf("the book went on to %d", head)
	}
	mustHold(t, b)
}

func TestLast(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	if _, _, known, err := b.Last(ctx, id); known || err != nil {
		t.Fatalf("a figure of nothing (%v)", err)
	}
	later := reading("a", id, 12234)
	earlier := reading("b", id, 12100) // told today, from a week ago
	earlier.Day -= 7
	earlier.At -= 7 * engine.DayLength
	sticker := reading("c", id, 11400) // a service from before the book
	sticker.Kind = engine.KindBaseline
	write(t, b, later, earlier, sticker)
	wrong := write(t, b, reading("d", id, 99999))[0]
	write(t, b, takeBack("e", wrong))
	hours, day, known, err := b.Last(ctx, id)
	if err != nil || !known || hours != 12234 || day != later.Day {
		t.Errorf("got %v on %v, %v (%v)", hours, day, known, err)
	}
}

func TestLatest(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	joss := engine.PersonID(write(t, b, person("Joss Penhale"))[0])
	wilm := engine.PersonID(write(t, b, person("Wilm Aske"))[0])
	say := func(message string, who engine.PersonID, place string, said engine.Instant, ordinal int) engine.Entry {
		e := reading(message, id, 1)
		e.Source.Ordinal, e.Writer, e.Place, e.Said = ordinal, who, place, said
		return e
	}
	write(t, b, say("old", joss, "bay", noon-90000, 0))
	write(t, b, say("two", joss, "bay", noon-50, 0), say("two", joss, "bay", noon-50, 1)) // 6 7
	write(t, b, say("elsewhere", joss, "yard", noon-40, 0))                               // 8
	write(t, b, say("wilm", wilm, "bay", noon-30, 0))
	undone := write(t, b, say("undone", joss, "bay", noon-20, 0))[0]
	undo := takeBack("undo", undone)
	undo.Writer, undo.Place, undo.Said = joss, "bay", noon-10
	write(t, b, undo)
	tell := func(groups [][]engine.Entry, err error) []string {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, g := range groups {
			out = append(out, fmt.Sprintf("%s:%d", g[0].Source.Message, len(g)))
		}
		return out
	}
	cases := []struct {
		what string
		got  []string
		want []string
	}{
		// What was taken back is not there to be taken back, nor is the undo.
		{"the last in the bay", tell(b.Latest(ctx, joss, "bay", noon-86400, 1)), []string{"two:2"}},
		{"all of a day in the bay", tell(b.Latest(ctx, joss, "bay", noon-86400, 9)), []string{"two:2"}},
		{"all in the bay", tell(b.Latest(ctx, joss, "bay", 0, 9)), []string{"two:2", "old:1"}},
		{"anywhere", tell(b.LatestBy(ctx, joss, 9)), []string{"elsewhere:1", "two:2", "old:1"}},
		{"anywhere, one", tell(b.LatestBy(ctx, joss, 1)), []string{"elsewhere:1"}},
		{"somebody else", tell(b.Latest(ctx, wilm, "bay", 0, 9)), []string{"wilm:1"}},
		{"nobody", tell(b.LatestBy(ctx, 77, 9)), nil},
	}
	for _, c := range cases {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	lately := func(who engine.PersonID, place string, since engine.Instant, most int) (out []string) {
		t.Helper()
		err := b.Lately(ctx, who, place, since, func(e engine.Entry) bool {
			out = append(out, e.Source.Message)
			return len(out) == most
		})
		if err != nil {
			t.Error(err)
		}
		return out
	}
	for _, c := range []struct {
		what      string
		got, want []string
	}{
		{"lately in the bay", lately(joss, "bay", noon-86400, 9), []string{"two", "two"}},
		{"lately in the bay, one", lately(joss, "bay", noon-86400, 1), []string{"two"}},
		{"ever in the bay", lately(joss, "bay", 0, 9), []string{"two", "two", "old"}},
		{"lately, somebody else", lately(wilm, "bay", 0, 9), []string{"wilm"}},
		{"lately, nobody", lately(77, "bay", 0, 9), nil},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	// More than is looked through at a time.
	for i := range 3 * latestAtOnce {
		write(t, b, say(fmt.Sprint("many", i), wilm, "yard", noon, 0))
	}
	if got := tell(b.Latest(ctx, wilm, "bay", 0, 1)); !slices.Equal(got, []string{"wilm:1"}) {
		t.Errorf("behind many: got %v", got)
	}
}

// A disk that fills up in the middle of a write: nothing of it is left, and the
// book goes on once there is room.
func TestDiskFull(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	var pages int
	if err := b.w.row(ctx, `PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	if err := b.w.once(ctx, fmt.Sprintf(`PRAGMA max_page_count = %d`, pages+2)); err != nil {
		t.Fatal(err)
	}
	var batch engine.Batch
	for i := range 200 {
		batch.Entries = append(batch.Entries, reading(fmt.Sprint("m", i), id, 1))
	}
	_, err := b.Write(ctx, batch)
	mustBe(t, err, ErrFull)
	if h, err := b.History(ctx, id); err != nil || len(h) != 1 {
		t.Errorf("%d lines are left (%v)", len(h), err)
	}
	if err := b.w.once(ctx, `PRAGMA max_page_count = 100000`); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Write(ctx, batch); err != nil {
		t.Fatal(err)
	}
	mustHold(t, b)
}

// Salts that cannot be had, or a panic in the middle, leave nothing either.
func TestCutOff(t *testing.T) {
	point := ""
	b := newBook(t, func(o *Options) {
		o.Hook = func(p string) {
			if p == point {
				panic("cut off")
			}
		}
	})
	id := addMachine(t, b, "RT1", "tractor")
	batch := engine.Batch{Entries: []engine.Entry{reading("a", id, 1)}}
	for _, point = range []string{"after-begin", "before-commit"} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s was not reached", point)
				}
			}()
			b.Write(ctx, batch)
		}()
	}
	point = ""
	salt := b.opts.Rand
	b.opts.Rand = strings.NewReader("short")
	if _, err := b.Write(ctx, batch); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("got %v", err)
	}
	b.opts.Rand = salt
	if h, _ := b.History(ctx, id); len(h) != 1 {
		t.Errorf("%d lines are left", len(h))
	}
	// A context that is over writes nothing.
	over, cancel := context.WithCancel(ctx)
	cancel()
	for range 20 {
		if _, err := b.Write(over, batch); !errors.Is(err, context.Canceled) {
			t.Fatalf("got %v", err)
		}
	}
	if _, err := b.History(over, id); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	write(t, b, batch.Entries...)
	mustHold(t, b)
	if err := errors.Join(b.Close(), b.Close()); err != nil {
		t.Error(err)
	}
}
