package commands

import (
	"testing"

	"woodruff/engine"
)

// keptLines are views of one machine with n lines.
func keptLines(n int) (*views, *engine.Shed) {
	s, shed := newViews(viewsMost), &engine.Shed{}
	l := engine.Lines{Machine: 1, Edition: 7, New: make([]engine.Entry, n)}
	for i := range l.New {
		l.New[i].Seq = engine.Seq(i + 1)
	}
	s.join(shed, l, true, true)
	return s, shed
}

func viewOf(t *testing.T, s *views, shed *engine.Shed, n int) *view {
	t.Helper()
	h, sheet, ok := s.join(shed, engine.Lines{Machine: 1, Edition: 7, After: n}, true, true)
	if !ok || len(h) != n {
		t.Fatalf("%d lines are handed out of %d", len(h), n)
	}
	return newView(engine.Machine{ID: 1}, h, engine.Lines{Machine: 1, Edition: 7}, sheet)
}

func lastSeq(v *view) engine.Seq { return v.h[len(v.h)-1].Seq }

// Two turns that are about to write to the same machine do not see what the
// other one has not written yet, and the lines of a third do not cover it.
func TestTurnsDoNotWriteOverEachOther(t *testing.T) {
	s, shed := keptLines(20)
	turn := &turn{desk: &Desk{views: s}, shed: shed}
	a, b := viewOf(t, s, shed, 20), viewOf(t, s, shed, 20)
	a.take(turn, engine.Entry{Day: 1}, 1)
	b.take(turn, engine.Entry{Day: 2}, 2)
	if a.lent == nil || b.lent != nil {
		t.Fatal("the first gets the room, the second a copy")
	}
	s.join(shed, engine.Lines{Machine: 1, Edition: 7, After: 20, New: []engine.Entry{{Seq: 21}}}, true, true)
	if lastSeq(a) != unwritten(1) || lastSeq(b) != unwritten(2) {
		t.Errorf("the turns see %d and %d as the last lines", lastSeq(a), lastSeq(b))
	}
	if c := viewOf(t, s, shed, 21); lastSeq(c) != 21 {
		t.Errorf("whoever comes next sees %d as the last line", lastSeq(c))
	}
}

// A turn that has ended leaves the room to the next, and its lines to nobody.
func TestRoomIsGivenBack(t *testing.T) {
	s, shed := keptLines(20)
	turn := &turn{desk: &Desk{views: s}, shed: shed}
	for range 3 {
		v := viewOf(t, s, shed, 20)
		v.take(turn, engine.Entry{}, 1)
		if v.lent == nil {
			t.Fatal("no room is left")
		}
		s.back(v)
	}
	late := viewOf(t, s, shed, 20)
	late.take(turn, engine.Entry{}, 1)
	s.join(shed, engine.Lines{Machine: 1, Edition: 7, After: 20, New: []engine.Entry{{Seq: 21}}}, true, true)
	next := viewOf(t, s, shed, 21)
	next.take(turn, engine.Entry{}, 2)
	s.back(late) // of lines that lie elsewhere by now
	if other := viewOf(t, s, shed, 21); func() bool { other.take(turn, engine.Entry{}, 3); return other.lent != nil }() {
		t.Error("room that is lent is lent again")
	}
	if lastSeq(next) != unwritten(2) {
		t.Errorf("the turn sees %d as its last line", lastSeq(next))
	}
}
