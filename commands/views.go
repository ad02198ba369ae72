package commands

import (
	"fmt"
	"slices"
	"sync"

	"woodruff/engine"
)

// views keep machines' histories and service sheets between messages, so that a
// question about a machine folds nothing anew and a new line folds one machine.
// The book vouches for them: it numbers the state of a machine's lines (see
// engine.Edition) and hands out what has been added since, or all of them again.
// A change of the shop, which may change how lines are read, drops them all.
type views struct {
	mu    sync.Mutex
	most  int // lines, with machineLines for each machine
	shed  *engine.Shed
	kept  map[engine.MachineID]*keptView
	lines int
	clock int // of uses
	folds int
}

const (
	// viewsMost bounds them: some 15 MB.
	viewsMost = 16_000
	// machineLines is what a machine's sheet takes, in lines.
	machineLines = 8
)

// keptView is a machine's history as the book has it. Its lines are shared: they
// are added to and never changed.
type keptView struct {
	id      engine.MachineID
	edition engine.Edition
	h       []engine.Entry
	sheet   *engine.Sheet // of all of h, nil where nobody asked for it yet
	used    int           // when last, by the clock
	lent    bool          // the room behind h is a turn's, see lend
}

func (k *keptView) size() int { return len(k.h) + machineLines }

func newViews(most int) *views {
	return &views{most: most, kept: map[engine.MachineID]*keptView{}}
}

// of makes the views those of a shed. The caller holds mu.
func (s *views) of(shed *engine.Shed) {
	if s.shed != shed {
		clear(s.kept)
		s.shed, s.lines = shed, 0
	}
}

// have says which lines of a machine are here, and whether more are kept.
func (s *views) have(shed *engine.Shed, id engine.MachineID) engine.Have {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.of(shed)
	if k := s.kept[id]; k != nil {
		return engine.Have{Edition: k.edition, Lines: len(k.h), Keep: true}
	}
	return engine.Have{Keep: s.lines < s.most}
}

// join puts what the book has handed out behind what is here. ok is false where
// that has gone meanwhile. What is not our own is not kept; what is, is where
// there is room, or, with push, in the place of others.
func (s *views) join(shed *engine.Shed, l engine.Lines, own, push bool) (h []engine.Entry, sheet *engine.Sheet, ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.of(shed)
	k := s.kept[l.Machine]
	if k == nil || l.Edition == 0 || k.edition != l.Edition {
		if l.After > 0 {
			return nil, nil, false
		}
		if !own {
			return slices.Clip(l.New), nil, true
		}
		s.keep(l, push)
		return l.New, nil, true // with room behind it, which is the asker's alone
	}
	s.clock++
	k.used = s.clock
	n := l.After + len(l.New)
	if l.After > len(k.h) || n > len(k.h) && !own {
		return nil, nil, false
	}
	if n < len(k.h) { // somebody else knows of later lines already
		return k.h[:n:n], nil, true
	}
	if more := l.New[len(k.h)-l.After:]; len(more) > 0 {
		if k.lent {
			k.h, k.lent = slices.Clip(k.h), false
		}
		k.h, k.sheet = append(k.h, more...), nil
		s.lines += len(more)
	}
	return slices.Clip(k.h), k.sheet, true
}

// keep takes a machine's lines in.
func (s *views) keep(l engine.Lines, push bool) {
	if old := s.kept[l.Machine]; old != nil {
		s.forget(old)
	}
	s.clock++
	k := &keptView{id: l.Machine, edition: l.Edition, h: slices.Clip(l.New), used: s.clock}
	if l.Edition == 0 || !push && s.lines+k.size() > s.most {
		return
	}
	s.kept[k.id] = k
	for s.lines += k.size(); s.lines > s.most; {
		s.forget(s.oldest())
	}
}

// oldest is the view that was not used for longest.
func (s *views) oldest() (old *keptView) {
	for _, k := range s.kept {
		if old == nil || k.used < old.used {
			old = k
		}
	}
	return old
}

func (s *views) forget(k *keptView) {
	delete(s.kept, k.id)
	s.lines -= k.size()
}

// lend gives one turn the room behind a machine's lines, so that showing what it
// will write does not copy all that is written. Nobody else looks there; where
// lines come meanwhile, they go elsewhere.
func (s *views) lend(shed *engine.Shed, v *view) ([]engine.Entry, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	k := s.kept[v.m.ID]
	if s.shed != shed || k == nil || k.lent || v.edition == 0 || k.edition != v.edition || len(v.h) == 0 || len(k.h) != len(v.h) {
		return nil, false
	}
	k.h, k.lent = slices.Grow(k.h, lentLines), true
	return k.h, true
}

// lentLines is room for what most messages write about a machine.
const lentLines = 8

// back takes lent room back at the end of the turn.
func (s *views) back(v *view) {
	if v.lent == nil {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if k := s.kept[v.m.ID]; k != nil && &k.h[0] == v.lent {
		k.lent = false
	}
	v.lent = nil
}

// folded counts a sheet and keeps it, where the lines that it is of are here.
func (s *views) folded(shed *engine.Shed, v *view) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.folds++
	if k := s.kept[v.m.ID]; k != nil && s.shed == shed && v.edition != 0 && k.edition == v.edition && len(k.h) == len(v.h) {
		k.sheet = v.folded
	}
}

// Folded is how many service sheets the desk has made from a machine's lines, as
// against those that were at hand.
func (d *Desk) Folded() int {
	d.views.mu.Lock()
	defer d.views.mu.Unlock()
	return d.views.folds
}

// view is a machine with its history as this turn leaves it.
type view struct {
	m       engine.Machine
	h       []engine.Entry
	last    engine.Seq     // the last entry judged against
	edition engine.Edition // of h; 0 where it is of none, or the turn has changed it
	figure  engine.Figure  // the last one, before the turn
	lent    *engine.Entry  // the first of lines with lent room, nil where there is none

	meter  *engine.Meter // of h, made when asked for
	folded *engine.Sheet
	items  []engine.Item // of the sheet, now
}

// view loads a machine once a turn.
func (t *turn) view(id engine.MachineID) (*view, error) {
	if v := t.views[id]; v != nil {
		return v, nil
	}
	v, err := t.load(id)
	if err != nil {
		return nil, err
	}
	t.views[id] = v
	return v, nil
}

// load makes a view of a machine as the book has it.
func (t *turn) load(id engine.MachineID) (*view, error) {
	m, ok := t.shed.Machine(id)
	if !ok {
		return nil, fmt.Errorf("commands: no machine %d in the book", id)
	}
	kept := t.desk.views
	l, err := t.book.Since(t.ctx, id, kept.have(t.shed, id))
	if err != nil {
		return nil, err
	}
	h, sheet, ok := kept.join(t.shed, l, true, true)
	if !ok {
		if l, err = t.book.Since(t.ctx, id, engine.Have{}); err != nil {
			return nil, err
		}
		h, sheet = l.New, nil
	}
	return newView(m, h, l, sheet), nil
}

// newView is of lines as they were handed out, all of them in h.
func newView(m engine.Machine, h []engine.Entry, l engine.Lines, sheet *engine.Sheet) *view {
	v := &view{m: m, h: h, edition: l.Edition, figure: l.Last, folded: sheet}
	if n := len(h); n > 0 {
		v.last = h[n-1].Seq // in the order written
	}
	if sheet != nil {
		v.meter = &sheet.Meter
	}
	return v
}

// eachMachine goes over the machines in the shed, in the order added, without
// keeping more of them than there is room for.
func (t *turn) eachMachine(each func(*view) error) error {
	kept := t.desk.views
	var has engine.Have // of the machine that comes next
	have := func(id engine.MachineID) engine.Have {
		has = engine.Have{}
		if m, ok := t.shed.Machine(id); ok && m.InShed() {
			has = kept.have(t.shed, id)
		}
		return has
	}
	return t.book.AllSince(t.ctx, have, func(l engine.Lines) error {
		m, ok := t.shed.Machine(l.Machine)
		if !ok || !m.InShed() {
			return nil
		}
		h, sheet, ok := kept.join(t.shed, l, has.Keep, false)
		if !ok {
			v, err := t.load(m.ID)
			if err != nil {
				return err
			}
			return each(v)
		}
		if !has.Keep {
			l.Edition = 0 // the next machine's lines will lie where these do
		}
		return each(newView(m, h, l, sheet))
	})
}

// unwritten numbers an entry of the batch within a view: after all that is
// written, in the batch's order.
func unwritten(place engine.Seq) engine.Seq { return 1<<40 - place }

// changed forgets what was made of the lines.
func (v *view) changed() {
	v.edition, v.meter, v.folded, v.items = 0, nil, nil, nil
}

// take lets the view show an entry that the batch will write.
func (v *view) take(t *turn, e engine.Entry, place engine.Seq) {
	e.Seq = unwritten(place)
	if h, ok := t.desk.views.lend(t.shed, v); ok {
		v.h, v.lent = h, &h[0]
	}
	v.h = append(v.h, e) // whoever holds the lines so far does not see it
	for i := range v.h {
		if e.Replaces != 0 && v.h[i].Seq == e.Replaces {
			v.h = append([]engine.Entry(nil), v.h...)
			v.h[i].State, v.h[i].By = engine.Replaced, e.Seq
			break
		}
	}
	v.changed()
}

// drop lets the view show an entry as taken back.
func (v *view) drop(seq, by engine.Seq) {
	v.h = append([]engine.Entry(nil), v.h...)
	for i := range v.h {
		if v.h[i].Seq == seq {
			v.h[i].State, v.h[i].By = engine.TakenBack, by
		}
		if v.h[i].Seq != seq && v.h[i].State == engine.Replaced && v.h[i].By == seq {
			v.h[i].State, v.h[i].By = engine.Standing, 0
		}
	}
	v.changed()
}

// timeline is the machine's meter as this turn leaves it.
func (v *view) timeline() engine.Meter {
	if v.meter == nil {
		m := engine.Timeline(v.m, v.h)
		v.meter = &m
	}
	return *v.meter
}

// sheet is the machine's service sheet as this turn leaves it.
func (v *view) sheet(t *turn) *engine.Sheet {
	if v.folded == nil {
		s := engine.Fold(v.m, v.h, t.cal)
		v.folded = &s
		t.desk.views.folded(t.shed, v)
	}
	return v.folded
}
