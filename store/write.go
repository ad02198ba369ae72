package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/mattn/go-sqlite3"

	"woodruff/engine"
)

// Write commits a batch as one, and gives the numbers of its entries once they
// are on the disk. Where it returns an error nothing of it is in the book,
// except that after an error of the disk itself only opening the book anew
// can tell.
//
// Errors: ErrMoved (judge again), ErrRepeat (it is in the book already, or a
// later state of the message is), ErrTarget, ErrEntry (a fault of the caller),
// ErrBusy, ErrReadOnly, ErrFull.
func (b *Book) Write(ctx context.Context, batch engine.Batch) ([]engine.Seq, error) {
	if batch.IsZero() {
		return nil, nil
	}
	var seqs []engine.Seq
	err := b.transact(ctx, func(ctx context.Context, w *writer) (err error) {
		seqs, err = b.writeIn(ctx, w, batch)
		return err
	})
	if err != nil {
		return nil, err
	}
	return seqs, nil
}

// head is where the book stands when a write begins.
type head struct {
	seq  engine.Seq
	hash []byte
	shop engine.Seq // the last entry that changed the shop
}

const headQuery = `SELECT g.seq, g.hash, (SELECT max(seq) FROM lines WHERE shop = 1)
	FROM ledger AS g ORDER BY g.seq DESC LIMIT 1`

func readHead(ctx context.Context, q querier) (head, error) {
	var h head
	var shop sql.NullInt64
	err := q.row(ctx, headQuery).Scan(&h.seq, &h.hash, &shop)
	if errors.Is(err, sql.ErrNoRows) {
		return head{hash: make([]byte, hashSize)}, nil
	}
	h.shop = engine.Seq(shop.Int64)
	return h, err
}

// headNow is readHead, from memory where nobody else has committed since our own
// last write.
func (w *writer) headNow(ctx context.Context) (head, error) {
	others, err := othersCommits(ctx, w)
	if err != nil {
		return head{}, err
	}
	if w.head.hash != nil && w.others == others {
		return w.head, nil
	}
	w.others = others
	return readHead(ctx, w)
}

// writeIn is Write within a transaction.
func (b *Book) writeIn(ctx context.Context, w *writer, batch engine.Batch) ([]engine.Seq, error) {
	h, err := w.headNow(ctx)
	if err != nil {
		return nil, err
	}
	w.head = head{} // until this is in the book
	if err := b.checkMoved(ctx, w, h, batch); err != nil {
		return nil, b.preferRepeat(ctx, w, batch, err)
	}
	if err := b.checkStale(ctx, w, batch.Entries); err != nil {
		return nil, err
	}
	at := stamp{b: b, w: w, base: h.seq, batch: batch.Entries}
	if err := at.clock(ctx, h.shop); err != nil {
		return nil, err
	}
	p := newProjector(w.session, b.path, "")
	p.changes = &w.changes
	var seqs []engine.Seq
	for i := range batch.Entries {
		e, err := at.entry(ctx, i)
		if err != nil {
			return nil, err
		}
		var body []byte
		if body, h.hash, err = b.addEntry(ctx, w, &e, h.hash); err != nil {
			return nil, err
		}
		w.changes.body = body
		if err := p.apply(ctx, &e); err != nil {
			return nil, b.projectionError(ctx, w, err, &e, at.base)
		}
		h.seq = e.Seq
		if w.changes.shop {
			h.shop, w.changes.shop = e.Seq, false
		}
		seqs = append(seqs, e.Seq)
	}
	w.changes.told, w.changes.head = true, h
	return seqs, b.writeRows(ctx, w, &at, batch) // none of which touches lines
}

// addEntry puts an entry and its texts into the ledger and gives its body and
// its hash.
func (b *Book) addEntry(ctx context.Context, w *writer, e *engine.Entry, before []byte) (body, sum []byte, err error) {
	texts, hashes, err := saltTexts(b.opts.Rand, &e.Texts)
	if err != nil {
		return nil, nil, err
	}
	body = encodeBody(nil, e, &hashes)
	hash := linkHash(e.Seq, before, body)
	if _, err := w.exec(ctx, `INSERT INTO ledger (seq, body, hash) VALUES (?, ?, ?)`, int64(e.Seq), body, hash[:]); err != nil {
		return nil, nil, err
	}
	for _, t := range texts {
		if _, err := w.exec(ctx, `INSERT INTO texts (seq, field, salt, text) VALUES (?, ?, ?, ?)`,
			int64(e.Seq), string(t.field), t.salt, t.text); err != nil {
			return nil, nil, err
		}
	}
	return body, hash[:], nil
}

// checkMoved compares what the batch was judged against with the book.
func (b *Book) checkMoved(ctx context.Context, w *writer, h head, batch engine.Batch) error {
	if batch.AgainstShop.Known && batch.AgainstShop.Value != h.shop {
		return &MovedError{Path: b.path, Want: batch.AgainstShop.Value, Have: h.shop}
	}
	for id, want := range batch.Against {
		if id < 0 { // a machine that this batch adds
			continue
		}
		have, err := b.lastOf(ctx, w, id)
		if err != nil {
			return err
		}
		if have != want {
			return &MovedError{Path: b.path, Machine: id, Want: want, Have: have}
		}
	}
	return nil
}

// lastOf is the last entry about a machine, from what is kept of it where that is
// of the file as it is: nobody else can commit now.
func (b *Book) lastOf(ctx context.Context, w *writer, id engine.MachineID) (engine.Seq, error) {
	if seq, ok := b.kept.last(id, w.others); ok {
		return seq, nil
	}
	return lastSeq(ctx, w, id)
}

// preferRepeat says of a batch that is behind whether it is in the book
// already: then judging it again would be for nothing.
func (b *Book) preferRepeat(ctx context.Context, w *writer, batch engine.Batch, moved error) error {
	if !errors.Is(moved, ErrMoved) {
		return moved
	}
	for _, e := range batch.Entries {
		var seq engine.Seq
		err := w.row(ctx, `SELECT seq FROM sources WHERE channel = ? AND message = ? AND revision = ? AND ordinal = ?`,
			e.Source.Channel, e.Source.Message, e.Source.Revision, e.Source.Ordinal).Scan(&seq)
		if err == nil {
			return b.repeat(ctx, w, e.Source, false)
		}
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
	}
	return moved
}

// checkStale refuses entries from a state of a message that is past: it was
// deleted since, or edited later. A late copy revives nothing.
func (b *Book) checkStale(ctx context.Context, w *writer, entries []engine.Entry) error {
	var last engine.Source
	for _, e := range entries {
		same := e.Source
		same.Ordinal = 0
		if same == last {
			continue
		}
		last = same
		heard, found, err := heardOf(ctx, w, same.Channel, same.Message)
		if err != nil {
			return err
		}
		if found && (heard.Deleted || heard.Revision > same.Revision) {
			return b.repeat(ctx, w, same, true)
		}
	}
	return nil
}

// repeat makes the error that lists what is in the book under a message.
func (b *Book) repeat(ctx context.Context, q querier, s engine.Source, stale bool) error {
	seqs, _, err := messageSeqs(ctx, q, s.Channel, s.Message)
	if err != nil {
		return err
	}
	return &RepeatError{Path: b.path, Seqs: seqs, Stale: stale}
}

// projectionError finds out which promise a failed projection is about.
func (b *Book) projectionError(ctx context.Context, w *writer, err error, e *engine.Entry, base engine.Seq) error {
	var driver sqlite3.Error
	if !errors.As(err, &driver) || driver.ExtendedCode != sqlite3.ErrConstraintPrimaryKey {
		return err
	}
	seqs, _, err := messageSeqs(ctx, w, e.Source.Channel, e.Source.Message)
	if err != nil {
		return err
	}
	before := slices.DeleteFunc(seqs, func(s engine.Seq) bool { return s > base })
	if len(before) == 0 {
		return &EntryError{Path: b.path, Place: int(e.Seq - base), Why: "has the source key of another one of the batch"}
	}
	return &RepeatError{Path: b.path, Seqs: before}
}

// stamp completes the entries of a batch: numbers, times, and the references
// that they make to each other.
type stamp struct {
	b     *Book
	w     *writer
	base  engine.Seq // the last entry before the batch
	batch []engine.Entry
	now   engine.Instant
	zone  *time.Location
}

func (s *stamp) clock(ctx context.Context, shop engine.Seq) error {
	s.now = s.b.opts.Now()
	if s.w.zone == nil || s.w.zoneHead != shop {
		zone, err := readZone(ctx, s.w)
		if err != nil {
			return err
		}
		s.w.zone, s.w.zoneHead = zone, shop
	}
	s.zone = s.w.zone
	return nil
}

// readZone gives the zone that the book is in; UTC before there is an entry.
func readZone(ctx context.Context, q querier) (*time.Location, error) {
	rows, err := q.query(ctx, `SELECT g.body FROM lines AS l JOIN ledger AS g ON g.seq = l.seq
		WHERE l.shop = 1 AND l.kind = 'setting' AND l.state = '' ORDER BY l.seq DESC`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	d := newDecoder()
	for rows.Next() {
		var body []byte
		if err := rows.Scan(&body); err != nil {
			return nil, err
		}
		var e engine.Entry
		if err := d.decode(body, &e, nil); err != nil {
			return nil, err
		}
		if e.Key == engine.SetZone {
			zone, err := time.LoadLocation(e.Value)
			if err != nil {
				return nil, fmt.Errorf("%w: %w", ErrZone, err)
			}
			return zone, nil
		}
	}
	return time.UTC, rows.Err()
}

// entry completes entry i of the batch. The batch itself stays as it is.
func (s *stamp) entry(ctx context.Context, i int) (engine.Entry, error) {
	e := s.batch[i]
	refuse := func(why string) (engine.Entry, error) {
		return e, &EntryError{Path: s.b.path, Place: i + 1, Why: why}
	}
	if why := unfit(&e); why != "" {
		return refuse(why)
	}
	e.Seq = s.base + engine.Seq(i+1)
	if e.Kind == engine.KindMachine {
		e.Machine = engine.MachineID(e.Seq)
	}
	if why, err := s.refer(ctx, &e, i); err != nil || why != "" {
		if err != nil {
			return e, err
		}
		return refuse(why)
	}
	if why, err := s.date(&e); err != nil || why != "" {
		if err != nil {
			return e, err
		}
		return refuse(why)
	}
	return e, nil
}

// date fills in when the entry is written, by the shop's own calendar.
func (s *stamp) date(e *engine.Entry) (why string, err error) {
	if e.Written == 0 {
		e.Written = s.now
	}
	zone := s.zone
	if e.Zone == "" {
		e.Zone = zone.String()
	} else if e.Zone != zone.String() {
		if zone, err = time.LoadLocation(e.Zone); err != nil {
			return "is in no zone: " + err.Error(), nil
		}
	}
	if e.WrittenDay == 0 {
		e.WrittenDay = engine.CalendarIn(zone).DayAt(e.Written)
	}
	if e.Kind == engine.KindSetting && e.Key == engine.SetZone {
		if _, err := time.LoadLocation(e.Value); err != nil || e.Value == "" {
			return fmt.Sprintf("sets no zone: %q", e.Value), nil
		}
	}
	return "", nil
}

// unfit says what is wrong with an entry as the caller gave it.
func unfit(e *engine.Entry) string {
	marks := e.Kind == engine.KindTakeBack || e.Kind == engine.KindDeleted
	switch {
	case e.Kind == "":
		return "has no kind"
	case e.Seq != 0, e.State != engine.Standing, e.By != 0, e.Deleted:
		return "comes with a number or a state, which the book gives"
	case e.Source.Channel == "", e.Source.Message == "":
		return "has no source, by which a repeat would be known"
	case marks && len(e.Targets) == 0:
		return "names no lines to mark"
	case !marks && len(e.Targets) > 0, marks && e.Replaces != 0:
		return "both marks and is a line"
	case e.Machine == 0 && !marks && !e.Kind.OfShop():
		return "is about no machine"
	case e.Machine == 0 && (e.Kind == engine.KindLabel || e.Kind == engine.KindTrait || e.Kind == engine.KindGone):
		return "is about no machine"
	}
	return ""
}

// refer resolves the references of entry i: a negative one is a place in the
// batch, counted from -1.
func (s *stamp) refer(ctx context.Context, e *engine.Entry, i int) (why string, err error) {
	place := func(n int64) int64 {
		if n < 0 && -n <= int64(i) { // an earlier one
			return int64(s.base) - n
		}
		return n
	}
	e.Machine = engine.MachineID(place(int64(e.Machine)))
	e.Writer = engine.PersonID(place(int64(e.Writer)))
	e.Doer = engine.PersonID(place(int64(e.Doer)))
	e.Replaces = engine.Seq(place(int64(e.Replaces)))
	e.Targets = slices.Clone(e.Targets)
	for j, t := range e.Targets {
		e.Targets[j] = engine.Seq(place(int64(t)))
		if e.Targets[j] <= 0 {
			return "marks a line that is not before it", nil
		}
	}
	if e.Replaces < 0 {
		return "corrects a line that is not before it", nil
	}
	if ok, err := s.isMachine(ctx, e.Machine, e.Seq); err != nil || !ok {
		return fmt.Sprintf("is about machine %d, which is not in the book", e.Machine), err
	}
	for _, id := range []engine.PersonID{e.Writer, e.Doer} {
		if ok, err := s.isPerson(ctx, id); err != nil || !ok {
			return fmt.Sprintf("names person %d, who is not in the book", id), err
		}
	}
	return "", nil
}

func (s *stamp) isMachine(ctx context.Context, id engine.MachineID, own engine.Seq) (bool, error) {
	if id == 0 || engine.Seq(id) == own || s.w.machines[id] {
		return true, nil
	}
	kind, err := kindAt(ctx, s.w, engine.Seq(id))
	if err == nil && kind == engine.KindMachine {
		s.w.machines[id] = true
		return true, nil
	}
	return false, err
}

// isPerson knows a person by the entry that added them, not by a later
// correction of their name.
func (s *stamp) isPerson(ctx context.Context, id engine.PersonID) (bool, error) {
	if id == 0 || s.w.people[id] {
		return true, nil
	}
	kind, err := kindAt(ctx, s.w, engine.Seq(id))
	if err != nil || kind != engine.KindPerson {
		return false, err
	}
	e, err := entryAt(ctx, s.w, engine.Seq(id))
	if err != nil || e.Replaces != 0 {
		return false, err
	}
	s.w.people[id] = true
	return true, nil
}

// kindAt is the kind of an entry, "" for one that is not in the book.
func kindAt(ctx context.Context, q querier, seq engine.Seq) (engine.Kind, error) {
	var kind engine.Kind
	err := q.row(ctx, `SELECT kind FROM lines WHERE seq = ? LIMIT 1`, int64(seq)).Scan(&kind)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return kind, err
}
