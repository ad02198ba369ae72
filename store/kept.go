package store

import (
	"container/list"
	"context"
	"slices"
	"sync"

	"woodruff/engine"
)

// Lines that were read once are kept in the process, as the bytes that the
// book has of them, so that the next question about a machine reads nothing and
// a new line costs only itself. What is kept is right or it is not there:
//
//   - SQLite numbers the state of the file for a connection (PRAGMA
//     data_version): the number changes with every commit by anybody else and
//     stays with the connection's own. Every look at what is kept asks the
//     writing connection for it first, and where it has changed, drops it all.
//   - A commit of this process says line by line what it changed (changes): new
//     lines are added behind those kept, and a machine one of whose older lines
//     changed its state is dropped. A write that does not say so drops it all.
//   - What is read is kept only where no commit of anybody came between.
//
// Who finds the writing connection at work reads from the file and keeps nothing.

// keptMost bounds what is kept, in bytes. It is some 150,000 lines: a shed of
// 200 machines with three years of log takes two thirds of it.
const keptMost = 24 << 20

// keptLine is one line of a machine: its body ends at end, and begins where the
// one before ends.
type keptLine struct {
	seq int64
	end int
}

const (
	keptLineSize = 16   // bytes
	keptOverhead = 2048 // bytes a machine takes beside its lines, with what is made of them
)

// keptRows are the lines of one machine as read. They only grow: a part of them
// stays as it is, also for whoever reads it while others are added.
type keptRows struct {
	id      engine.MachineID
	edition engine.Edition
	lines   []keptLine
	bodies  []byte
	marks   map[int]string // by place, as markColumn has them; of few lines
	last    lastFigure

	place *list.Element
}

func (r *keptRows) size() int {
	return cap(r.bodies) + keptLineSize*cap(r.lines) + 64*len(r.marks) + keptOverhead
}

// fit gives back the room that was not needed, where it is more than one part in
// so many.
func (r *keptRows) fit(part int) {
	if cap(r.bodies) > len(r.bodies)+len(r.bodies)/part {
		r.bodies = slices.Clone(r.bodies)
	}
	if cap(r.lines) > len(r.lines)+len(r.lines)/part {
		r.lines = slices.Clone(r.lines)
	}
}

// add puts a line behind the others.
func (r *keptRows) add(seq int64, body []byte, mark string) {
	r.bodies = appendWithoutTexts(r.bodies, body)
	r.lines = append(r.lines, keptLine{seq, len(r.bodies)})
	if mark != "" {
		if r.marks == nil {
			r.marks = make(map[int]string)
		}
		r.marks[len(r.lines)-1] = mark
	}
}

// entries decodes the lines from a place on behind those in h, whose spare
// places are zero.
func (r *keptRows) entries(d *decoder, h []engine.Entry, from int) ([]engine.Entry, error) {
	at := 0
	if from > 0 {
		at = r.lines[from-1].end
	}
	h = slices.Grow(h, len(r.lines)-from)
	for i, l := range r.lines[from:] {
		row := historyRow{seq: l.seq, body: r.bodies[at:l.end]}
		if r.marks != nil {
			row.mark = []byte(r.marks[from+i])
		}
		at = l.end
		var err error
		if h, err = row.into(d, h); err != nil {
			return h, err
		}
	}
	return h, nil
}

// lastFigure is the machine's last figure that stands; see Last.
type lastFigure struct {
	known bool
	hours engine.Tenths
	day   engine.Day
	at    engine.Instant
}

// see takes an entry into account, which was written after those seen before.
func (l *lastFigure) see(e *engine.Entry) {
	if e.State != engine.Standing || !e.Hours.Known || !isFigure(e.Kind) {
		return
	}
	if !l.known || e.Day > l.day || e.Day == l.day && e.At >= l.at {
		*l = lastFigure{true, e.Hours.Value, e.Day, e.At}
	}
}

func (l lastFigure) figure() engine.Figure {
	return engine.Figure{Known: l.known, Hours: l.hours, Day: l.day}
}

// isFigure says whether the hours of an entry are a reading of the meter. A last
// service from before the book and a put-off name hours too, but are none.
func isFigure(k engine.Kind) bool {
	switch k {
	case engine.KindReading, engine.KindService, engine.KindFinding, engine.KindFill, engine.KindSymptom, engine.KindCheck, engine.KindMeter:
		return true
	}
	return false
}

// fileState is a state of the file. The zero value is none: what is read then is
// not kept.
type fileState struct {
	others int64 // the number that SQLite gives it for commits of others
	own    int64 // commits of our own
}

// kept is what is kept of the lines of a book. The zero value keeps nothing.
type kept struct {
	mu    sync.Mutex
	w     *writer  // asked for the state of the file
	watch *session // likewise, where the book is read only
	most  int      // bytes

	state    fileState // that all of it is of
	rows     map[engine.MachineID]*keptRows
	order    list.List // of *keptRows, the last used first
	size     int
	usual    struct{ lines, bytes int } // of the machine read last
	every    []engine.MachineID         // all that have lines, where that is known
	editions engine.Edition             // the last given out
}

// open makes ready to keep what is read of a file that w writes, or, without it,
// that is read only.
func (k *kept) open(ctx context.Context, w *writer, dsn string) (err error) {
	k.most, k.rows = keptMost, make(map[engine.MachineID]*keptRows)
	if k.w = w; w == nil {
		k.watch, err = openSession(ctx, dsn)
	}
	return err
}

func (k *kept) close() error {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.w = nil
	if k.watch == nil {
		return nil
	}
	watch := k.watch
	k.watch = nil
	return watch.close()
}

func othersCommits(ctx context.Context, q querier) (n int64, err error) {
	err = q.row(ctx, `PRAGMA data_version`).Scan(&n)
	return n, err
}

// drop forgets everything; what is kept from here on is of another state.
func (k *kept) drop(others int64) {
	clear(k.rows)
	k.order.Init()
	k.size, k.every, k.state.others = 0, nil, others
}

func (k *kept) forget(r *keptRows) {
	k.order.Remove(r.place)
	delete(k.rows, r.id)
	k.size -= r.size()
}

// look sees whether what is kept is of the file as it is, and drops it where
// not. It gives the file's state, or none. The caller holds mu.
func (k *kept) look(ctx context.Context) (fileState, error) {
	switch {
	case k.watch != nil:
		return k.lookBy(ctx, k.watch)
	case k.w != nil && k.w.tryTake():
		defer k.w.give()
		return k.lookBy(ctx, k.w)
	}
	return fileState{}, nil
}

func (k *kept) lookBy(ctx context.Context, q querier) (fileState, error) {
	others, err := othersCommits(ctx, q)
	if err != nil {
		k.drop(0)
		return fileState{}, err
	}
	if others != k.state.others {
		k.drop(others)
	}
	return k.state, nil
}

// get gives what is kept of a machine, nil for nothing, and the state that
// something read from now on would be of.
func (k *kept) get(ctx context.Context, id engine.MachineID) (*keptRows, fileState, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	state, err := k.look(ctx)
	if err != nil || state == (fileState{}) {
		return nil, fileState{}, err
	}
	r := k.rows[id]
	if r == nil {
		return nil, state, nil
	}
	k.order.MoveToFront(r.place)
	part := *r // grows behind its own end
	return &part, state, nil
}

// last is the last line that is kept of a machine, where that is of the state
// with so many commits of others.
func (k *kept) last(id engine.MachineID, others int64) (engine.Seq, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	r := k.rows[id]
	if r == nil || k.state.others != others || len(r.lines) == 0 {
		return 0, false
	}
	return engine.Seq(r.lines[len(r.lines)-1].seq), true
}

// all gives what is kept of the machines by id, and which of them are missing;
// neither where it is not known which there are.
func (k *kept) all(ctx context.Context) (rows []keptRows, missing []engine.MachineID, state fileState, err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if state, err = k.look(ctx); err != nil || state == (fileState{}) {
		return nil, nil, fileState{}, err
	}
	for _, id := range k.every {
		if r := k.rows[id]; r != nil {
			rows = append(rows, *r)
		} else {
			missing = append(missing, id)
		}
	}
	return rows, missing, state, nil
}

// parts gives what is kept of each machine, where the file is still in a state.
func (k *kept) parts(ctx context.Context, state fileState) (map[engine.MachineID]keptRows, error) {
	if state == (fileState{}) {
		return nil, nil
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if now, err := k.look(ctx); err != nil || now != state {
		return nil, err
	}
	parts := make(map[engine.MachineID]keptRows, len(k.rows))
	for id, r := range k.rows {
		parts[id] = *r
	}
	return parts, nil
}

// newRows starts an edition of a machine that is to be read, with room for as
// many lines as the last one had; of no state of the file it keeps no lines.
func (k *kept) newRows(id engine.MachineID, state fileState) *keptRows {
	if state == (fileState{}) {
		return &keptRows{id: id}
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	k.editions++
	more := k.usual.lines/8 + spareLines // most machines then need no more
	return &keptRows{
		id: id, edition: k.editions, lines: make([]keptLine, 0, k.usual.lines+more),
		bodies: make([]byte, 0, k.usual.bytes+more*(k.usual.bytes/max(k.usual.lines, 1))),
	}
}

// offer keeps what was read since the file was in a state, where it still is.
// Of one machine it makes room; of a whole shop it keeps what there is room for.
func (k *kept) offer(ctx context.Context, state fileState, whole bool, read ...*keptRows) error {
	if state == (fileState{}) {
		return nil
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	now, err := k.look(ctx)
	if err != nil || now != state {
		return err
	}
	var every []engine.MachineID
	for _, r := range read {
		k.usual.lines, k.usual.bytes = len(r.lines), len(r.bodies)
		every = append(every, r.id)
		if k.rows[r.id] != nil {
			continue // somebody else was quicker
		}
		if !whole {
			r.fit(3)
		}
		if whole && k.size+r.size() > k.most {
			continue
		}
		r.place = k.order.PushFront(r)
		k.rows[r.id] = r
		k.size += r.size()
	}
	if whole {
		k.every = every
	}
	k.makeRoom()
	return nil
}

// makeRoom forgets what was not asked about for longest.
func (k *kept) makeRoom() {
	for k.size > k.most {
		k.forget(k.order.Back().Value.(*keptRows))
	}
}

// changes are what one write does to lines.
type changes struct {
	told  bool   // all of it is said here; else it may have done anything
	body  []byte // of the entry that is being written
	shop  bool   // it changes the shop
	head  head   // after it all
	lines []changedLine
	moved map[engine.MachineID]bool // an older line changed its state
}

// changedLine is a new line of a machine.
type changedLine struct {
	id   engine.MachineID
	seq  engine.Seq
	body []byte
}

// end applies what a commit has changed. Where somebody else committed before it,
// the next look sees that and drops it all.
func (k *kept) end(c *changes) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.state.own++
	if !c.told {
		k.drop(0)
		return
	}
	k.apply(c)
}

// lost drops everything after a write that nobody knows the end of: the
// connection is another one after it, and counts anew.
func (k *kept) lost() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.state.own++
	k.drop(0)
}

// apply adds new lines, and drops machines whose older lines have changed.
func (k *kept) apply(c *changes) {
	for id := range c.moved {
		if r := k.rows[id]; r != nil {
			k.forget(r)
		}
	}
	d := newDecoder()
	for _, l := range c.lines {
		r := k.rows[l.id]
		if r == nil {
			if _, there := slices.BinarySearch(k.every, l.id); !there && l.id > 0 {
				k.every = nil // a machine that is new
			}
			continue
		}
		e := engine.Entry{Seq: l.seq}
		if err := d.decode(l.body, &e, nil); err != nil {
			k.forget(r)
			continue
		}
		k.size -= r.size()
		r.add(int64(l.seq), l.body, "")
		r.last.see(&e)
		k.size += r.size()
	}
	k.makeRoom()
}

// line notes that the entry being written is a new line of machines.
func (c *changes) line(ids []engine.MachineID, seq engine.Seq) {
	for _, id := range ids {
		c.lines = append(c.lines, changedLine{id, seq, c.body})
	}
}

// move notes machines that have a line which is not as it was.
func (c *changes) move(ids []engine.MachineID) {
	if c.moved == nil {
		c.moved = make(map[engine.MachineID]bool)
	}
	for _, id := range ids {
		c.moved[id] = true
	}
}
