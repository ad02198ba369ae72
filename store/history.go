package store

import (
	"context"
	"database/sql"
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
	machine, seq int64
	body, mark   sql.RawBytes
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
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	// A history is read in a millisecond or so; watching the context at every
	// row costs more than reading on.
	rows, err := b.r.all.query(context.WithoutCancel(ctx), historyQuery, int64(id))
	if err != nil {
		return nil, b.explain(err)
	}
	defer rows.Close()
	d := b.decoders.Get().(*decoder)
	defer b.decoders.Put(d)
	h := make([]engine.Entry, 0, b.sizeHint(id))
	var r historyRow
	dest := []any{&r.seq, &r.body, &r.mark}
	for rows.Next() {
		if err := rows.Scan(dest...); err != nil {
			return nil, b.explain(err)
		}
		if h, err = r.into(d, h); err != nil {
			return nil, b.explain(err)
		}
	}
	if err := rows.Err(); err != nil {
		return nil, b.explain(err)
	}
	b.setSize(id, len(h))
	return h, nil
}

func (b *Book) sizeHint(id engine.MachineID) int {
	b.sizeMu.Lock()
	defer b.sizeMu.Unlock()
	return b.sizes[id] + 4
}

func (b *Book) setSize(id engine.MachineID, n int) {
	b.sizeMu.Lock()
	defer b.sizeMu.Unlock()
	b.sizes[id] = n
}

// Histories gives the history of every machine in turn, by id, all of one
// state of the book, holding one machine in memory at a time: h is good until
// each returns. An error of each ends it and is returned.
func (b *Book) Histories(ctx context.Context, each func(id engine.MachineID, h []engine.Entry) error) error {
	rows, err := b.r.all.query(context.WithoutCancel(ctx), `SELECT l.machine, l.seq, g.body, `+markColumn+`
		FROM lines AS l CROSS JOIN ledger AS g ON g.seq = l.seq WHERE l.machine > 0 ORDER BY l.machine, l.seq`)
	if err != nil {
		return b.explain(err)
	}
	defer rows.Close()
	d := newDecoder()
	var h []engine.Entry
	var r historyRow
	dest := []any{&r.machine, &r.seq, &r.body, &r.mark}
	current := engine.MachineID(0)
	give := func() error {
		if current == 0 {
			return nil
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		return each(current, h)
	}
	for rows.Next() {
		if err := rows.Scan(dest...); err != nil {
			return b.explain(err)
		}
		if id := engine.MachineID(r.machine); id != current {
			if err := give(); err != nil {
				return err
			}
			clear(h)
			current, h = id, h[:0] // spare places are zero again
			d.jobs = d.jobs[:0]
		}
		if h, err = r.into(d, h); err != nil {
			return b.explain(err)
		}
	}
	if err := rows.Err(); err != nil {
		return b.explain(err)
	}
	return give()
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

// textsAtOnce is how many entries' texts one statement asks for.
const textsAtOnce = 64

var textsQuery = `SELECT seq, field, text FROM texts WHERE seq IN (?` + strings.Repeat(`, ?`, textsAtOnce-1) + `)`

// texts reads the words of entries. The statement always has the same number
// of places; those left over ask for entry 0, which there is not.
func texts(ctx context.Context, q querier, seqs []engine.Seq) (map[engine.Seq]engine.Texts, error) {
	out := make(map[engine.Seq]engine.Texts, len(seqs))
	for len(seqs) > 0 {
		n := min(len(seqs), textsAtOnce)
		args := make([]any, textsAtOnce)
		for i := range args {
			args[i] = int64(0)
			if i < n {
				args[i] = int64(seqs[i])
			}
		}
		if err := someTexts(ctx, q, args, out); err != nil {
			return nil, err
		}
		seqs = seqs[n:]
	}
	return out, nil
}

func someTexts(ctx context.Context, q querier, args []any, out map[engine.Seq]engine.Texts) error {
	rows, err := q.query(ctx, textsQuery, args...)
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
