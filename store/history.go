package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"slices"
	"strconv"
	"strings"

	"woodruff/engine"
)

// markColumn is what later entries made of a line, in one column, since most
// lines have nothing there and every column read costs.
const markColumn = `CASE WHEN l.state = '' AND l.deleted = 0 THEN NULL ELSE l.deleted || ' ' || l.by_seq || ' ' || l.state END`

const historyQuery = `SELECT l.seq, g.body, ` + markColumn + `
	FROM lines AS l CROSS JOIN ledger AS g ON g.seq = l.seq WHERE l.machine = ? ORDER BY l.seq`

// historyRow is what is read of one line, reused from row to row.
type historyRow struct {
	seq        int64
	body, mark sql.RawBytes
}

// into decodes the line behind those in h, whose spare places are zero.
func (r *historyRow) into(d *decoder, h []engine.Entry) ([]engine.Entry, error) {
	if len(h) < cap(h) {
		h = h[:len(h)+1] // an entry is large; writing the zeros again shows
	} else {
		h = append(h, engine.Entry{})
		clear(h[len(h):cap(h)])
	}
	e := &h[len(h)-1]
	e.Seq = engine.Seq(r.seq)
	if err := d.decode(r.body, e, nil); err != nil {
		return h, &BrokenError{Seq: e.Seq, Table: "ledger", What: err.Error(), cause: err}
	}
	if len(r.mark) > 0 {
		setMark(e, string(r.mark))
	}
	return h, nil
}

// setMark reads a markColumn.
func setMark(e *engine.Entry, mark string) {
	deleted, rest, _ := strings.Cut(mark, " ")
	by, state, _ := strings.Cut(rest, " ")
	n, _ := strconv.ParseInt(by, 10, 64) // SQLite wrote it
	e.Deleted, e.By, e.State = deleted == "1", engine.Seq(n), engine.State(state)
}

// History gives all entries about a machine in the order written: its lines,
// what marked them (taken back, message deleted), and what was said of the
// machine itself, from the entry that added it. Texts are not loaded.
func (b *Book) History(ctx context.Context, id engine.MachineID) ([]engine.Entry, error) {
	l, err := b.Since(ctx, id, engine.Have{})
	return l.New, err
}

// Since is History without the lines that somebody has already.
func (b *Book) Since(ctx context.Context, id engine.MachineID, have engine.Have) (engine.Lines, error) {
	if err := ctx.Err(); err != nil {
		return engine.Lines{}, err
	}
	d := b.decoders.Get().(*decoder)
	defer b.decoders.Put(d)
	r, state, err := b.kept.get(ctx, id)
	if err != nil {
		return engine.Lines{}, b.explain(err)
	}
	if r == nil {
		l, _, err := b.readLines(ctx, d, id, state)
		return l, b.explain(err)
	}
	l := engine.Lines{Machine: id, Edition: r.edition, After: r.after(have), Last: r.last.figure()}
	h := make([]engine.Entry, 0, len(r.lines)-l.After+spareLines)
	if l.New, err = r.entries(d, h, l.After); err != nil {
		return engine.Lines{}, b.explain(err)
	}
	return l, nil
}

// LinesRead is how many lines of histories were read from the file since the book
// was opened, as against those that were kept.
func (b *Book) LinesRead() int64 { return b.r.lines.Load() }

// spareLines is room for what a message adds.
const spareLines = 8

// readLines reads a machine's lines from the file, and keeps them where the
// file is still in the given state.
func (b *Book) readLines(ctx context.Context, d *decoder, id engine.MachineID, state fileState) (engine.Lines, *keptRows, error) {
	// A history is read in a millisecond or so; watching the context at every
	// row costs more than reading on.
	ctx = context.WithoutCancel(ctx)
	kept := b.kept.newRows(id, state)
	h := make([]engine.Entry, 0, max(cap(kept.lines), 32))
	err := b.r.each(ctx, historyQuery, []driver.NamedValue{{Ordinal: 1, Value: int64(id)}}, func(values []driver.Value) (err error) {
		h, err = kept.read(d, h, values)
		return err
	})
	if err != nil {
		return engine.Lines{}, nil, err
	}
	return engine.Lines{Machine: id, Edition: kept.edition, New: h, Last: kept.last.figure()}, kept, b.kept.offer(ctx, state, false, kept)
}

// read takes a row of a history query, without its machine: it is decoded
// behind those in h, and kept.
func (r *keptRows) read(d *decoder, h []engine.Entry, values []driver.Value) ([]engine.Entry, error) {
	var row historyRow
	row.seq, _ = values[0].(int64)
	body, _ := values[1].([]byte)
	mark, _ := values[2].(string)
	row.body, row.mark = body, []byte(mark)
	h, err := row.into(d, h)
	if err != nil {
		return h, err
	}
	r.last.see(&h[len(h)-1])
	if r.edition != 0 {
		r.add(row.seq, body, mark)
	}
	return h, nil
}

// after is how many of the lines somebody has.
func (r *keptRows) after(have engine.Have) int {
	if have.Edition == 0 || have.Edition != r.edition || have.Lines > len(r.lines) {
		return 0
	}
	return have.Lines
}

// Histories gives the history of every machine in turn, by id, all of one
// state of the book, holding one machine in memory at a time: h is good until
// each returns. An error of each ends it and is returned.
func (b *Book) Histories(ctx context.Context, each func(id engine.MachineID, h []engine.Entry) error) error {
	none := func(engine.MachineID) engine.Have { return engine.Have{} }
	return b.AllSince(ctx, none, func(l engine.Lines) error { return each(l.Machine, l.New) })
}

// AllSince is Histories without the lines that somebody has already.
func (b *Book) AllSince(ctx context.Context, have func(engine.MachineID) engine.Have, each func(engine.Lines) error) error {
	rows, state, err := b.keptOfAll(ctx)
	if err != nil {
		return b.explain(err)
	}
	if rows == nil {
		return b.explain(b.streamAll(ctx, state, have, each))
	}
	d := newDecoder()
	var buf []engine.Entry
	for i := range rows {
		r := &rows[i]
		if err := ctx.Err(); err != nil {
			return err
		}
		has := have(r.id)
		l := engine.Lines{Machine: r.id, Edition: r.edition, After: r.after(has), Last: r.last.figure()}
		if has.Keep {
			l.New, err = r.entries(d, make([]engine.Entry, 0, len(r.lines)-l.After), l.After)
			d.jobs = nil // they are the keeper's
		} else {
			clear(buf)
			d.jobs = d.jobs[:0]
			buf, err = r.entries(d, buf[:0], l.After)
			l.New = buf
		}
		if err != nil {
			return b.explain(err)
		}
		if err := each(l); err != nil {
			return err
		}
	}
	return nil
}

// keptOfAll gives the lines of all machines where they are kept, reading a few
// that are missing; nil where more are, with the state that the file is in.
func (b *Book) keptOfAll(ctx context.Context) ([]keptRows, fileState, error) {
	rows, missing, state, err := b.kept.all(ctx)
	if err != nil || len(missing) == 0 || len(missing) > len(rows) {
		if len(missing) > 0 {
			rows = nil
		}
		return rows, state, err
	}
	d := b.decoders.Get().(*decoder)
	defer b.decoders.Put(d)
	for _, id := range missing {
		if _, _, err := b.readLines(ctx, d, id, state); err != nil {
			return nil, fileState{}, err
		}
	}
	rows, missing, state, err = b.kept.all(ctx)
	if len(missing) > 0 {
		rows = nil
	}
	return rows, state, err
}

const historiesQuery = `SELECT l.seq, g.body, ` + markColumn + `, l.machine
	FROM lines AS l CROSS JOIN ledger AS g ON g.seq = l.seq WHERE l.machine > 0 ORDER BY l.machine, l.seq`

// stream is the reading of all machines' lines from the file.
type stream struct {
	b     *Book
	d     *decoder
	have  func(engine.MachineID) engine.Have
	each  func(engine.Lines) error
	known map[engine.MachineID]keptRows // what was kept of the same state
	state fileState                     // none: nothing is kept
	size  int

	current *keptRows
	h       []engine.Entry
	read    []*keptRows
}

// streamAll reads all lines from the file, in one statement, and keeps them
// where the whole shop has room and the file is still in the given state.
func (b *Book) streamAll(ctx context.Context, state fileState, have func(engine.MachineID) engine.Have, each func(engine.Lines) error) error {
	s := stream{b: b, d: newDecoder(), have: have, each: each}
	if room, err := b.hasRoom(ctx); err != nil {
		return err
	} else if room {
		s.state = state
	}
	first := true
	err := b.r.each(context.WithoutCancel(ctx), historiesQuery, nil, func(values []driver.Value) error {
		if first { // from here on the statement reads the file as it was now
			first = false
			var err error
			if s.known, err = b.kept.parts(ctx, state); err != nil {
				return err
			}
		}
		id, _ := values[3].(int64)
		if s.current == nil || s.current.id != engine.MachineID(id) {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := s.give(); err != nil {
				return err
			}
			s.begin(engine.MachineID(id))
		}
		var err error
		s.h, err = s.current.read(s.d, s.h, values)
		return err
	})
	if err == nil {
		err = s.give()
	}
	if err != nil {
		return err
	}
	return b.kept.offer(ctx, s.state, true, s.read...)
}

// hasRoom says whether all lines of the book may be kept, by their number and
// that of the machines. A very large shop is read again every time: what is kept
// must stay small beside what the reading takes.
func (b *Book) hasRoom(ctx context.Context) (bool, error) {
	const usual = 120 // bytes a line
	var lines, machines int
	err := b.r.all.row(ctx, `SELECT (SELECT coalesce(max(seq), 0) FROM ledger), (SELECT count(*) FROM lines WHERE shop = 1 AND kind = 'machine')`).
		Scan(&lines, &machines)
	return lines*usual+machines*keptOverhead <= b.kept.most, err
}

// begin starts a machine.
func (s *stream) begin(id engine.MachineID) {
	clear(s.h)
	s.h = s.h[:0] // spare places are zero again
	s.d.jobs = s.d.jobs[:0]
	s.current = s.b.kept.newRows(id, s.state)
}

// give hands the machine over that was read.
func (s *stream) give() error {
	r := s.current
	if r == nil {
		return nil
	}
	l := engine.Lines{Machine: r.id, Edition: r.edition, New: s.h, Last: r.last.figure()}
	has := s.have(r.id)
	if k, there := s.known[r.id]; there {
		l.Edition, l.After = k.edition, k.after(has)
		l.New = s.h[l.After:]
	}
	if r.edition != 0 {
		r.fit(16)
		s.read = append(s.read, r)
		if s.size += r.size(); s.size > s.b.kept.most {
			s.state, s.read = fileState{}, nil
		}
	}
	if has.Keep {
		l.New, s.d.jobs = slices.Clone(l.New), nil
	}
	return s.each(l)
}

// marksOf reads what later entries made of the entries from one number to another.
func marksOf(ctx context.Context, q querier, from, to engine.Seq, set func(seq engine.Seq, state engine.State, by engine.Seq, deleted bool)) error {
	rows, err := q.query(ctx, `SELECT DISTINCT seq, state, by_seq, deleted FROM lines
		WHERE seq BETWEEN ? AND ? AND (state <> '' OR deleted <> 0)`, int64(from), int64(to))
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var seq, by engine.Seq
		var state engine.State
		var deleted bool
		if err := rows.Scan(&seq, &state, &by, &deleted); err != nil {
			return err
		}
		set(seq, state, by, deleted)
	}
	return rows.Err()
}

// entries reads a range of the ledger with marks, without texts.
func entries(ctx context.Context, q querier, from, to engine.Seq) ([]engine.Entry, error) {
	rows, err := q.query(ctx, `SELECT seq, body FROM ledger WHERE seq BETWEEN ? AND ? ORDER BY seq`, int64(from), int64(to))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	d := newDecoder()
	var out []engine.Entry
	var r historyRow
	for rows.Next() {
		if err := rows.Scan(&r.seq, &r.body); err != nil {
			return nil, err
		}
		if out, err = r.into(d, out); err != nil {
			return nil, err
		}
	}
	if err := rows.Err(); err != nil || len(out) == 0 {
		return nil, err
	}
	first := out[0].Seq // numbers have no gaps
	err = marksOf(ctx, q, from, to, func(seq engine.Seq, state engine.State, by engine.Seq, deleted bool) {
		if i := int(seq - first); i >= 0 && i < len(out) {
			out[i].State, out[i].By, out[i].Deleted = state, by, deleted
		}
	})
	return out, err
}

// Entries gives the entries numbered from one to another, both included, in
// order, without their texts.
func (b *Book) Entries(ctx context.Context, from, to engine.Seq) ([]engine.Entry, error) {
	var out []engine.Entry
	err := b.within(ctx, func(s snapshot) (err error) {
		out, err = entries(ctx, s, from, to)
		return err
	})
	return out, err
}

// Entry gives one entry with its texts; ErrTarget where it is not in the book.
func (b *Book) Entry(ctx context.Context, seq engine.Seq) (engine.Entry, error) {
	var e engine.Entry
	err := b.within(ctx, func(s snapshot) error {
		list, err := entries(ctx, s, seq, seq)
		if err != nil {
			return err
		}
		if len(list) == 0 {
			return &TargetError{Path: b.path, Seq: seq, Why: "is not in the book"}
		}
		e = list[0]
		texts, err := texts(ctx, s, []engine.Seq{seq})
		e.Texts = texts[seq]
		return err
	})
	return e, err
}

// textsAtOnce are how many entries' texts one statement asks for: few for a
// message, many for a list.
var textsAtOnce = [...]int{8, 64}

var textsQueries = func() (out [len(textsAtOnce)]string) {
	for i, n := range textsAtOnce {
		out[i] = `SELECT seq, field, text FROM texts WHERE seq IN (?` + strings.Repeat(`, ?`, n-1) + `)`
	}
	return out
}()

// texts reads the words of entries. A statement always has the same number of
// places; those left over ask for entry 0, which there is not.
func texts(ctx context.Context, q querier, seqs []engine.Seq) (map[engine.Seq]engine.Texts, error) {
	out := make(map[engine.Seq]engine.Texts, len(seqs))
	for len(seqs) > 0 {
		size := 0
		if len(seqs) > textsAtOnce[0] {
			size = 1
		}
		n := min(len(seqs), textsAtOnce[size])
		args := make([]any, textsAtOnce[size])
		for i := range args {
			args[i] = int64(0)
			if i < n {
				args[i] = int64(seqs[i])
			}
		}
		if err := someTexts(ctx, q, textsQueries[size], args, out); err != nil {
			return nil, err
		}
		seqs = seqs[n:]
	}
	return out, nil
}

func someTexts(ctx context.Context, q querier, query string, args []any, out map[engine.Seq]engine.Texts) error {
	rows, err := q.query(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var seq engine.Seq
		var field Field
		var text sql.NullString
		if err := rows.Scan(&seq, &field, &text); err != nil {
			return err
		}
		t := out[seq]
		if place := textOf(&t, field); place != nil {
			*place = text.String
		}
		out[seq] = t
	}
	return rows.Err()
}

// Texts gives the words of entries; one without words, or whose words were
// erased, is left out or empty.
func (b *Book) Texts(ctx context.Context, seqs ...engine.Seq) (map[engine.Seq]engine.Texts, error) {
	out, err := texts(ctx, b.r.all, seqs)
	return out, b.explain(err)
}
