package store

import (
	"context"
	"database/sql"
	"slices"

	"woodruff/engine"
)

// messageSeqs gives the entries under a message's id, in order, and the latest
// revision among them.
func messageSeqs(ctx context.Context, q querier, channel, message string) (seqs []engine.Seq, revision int64, err error) {
	rows, err := q.query(ctx, `SELECT seq, revision FROM sources WHERE channel = ? AND message = ? ORDER BY seq`, channel, message)
	if err != nil {
		return nil, 0, err
	}
	defer rows.Close()
	for rows.Next() {
		var seq engine.Seq
		var rev int64
		if err := rows.Scan(&seq, &rev); err != nil {
			return nil, 0, err
		}
		seqs, revision = append(seqs, seq), max(revision, rev)
	}
	return seqs, revision, rows.Err()
}

// messageQuery asks the three tables that know of a message at once.
const messageQuery = `SELECT 'entry', seq, revision FROM sources WHERE channel = ?1 AND message = ?2
	UNION ALL SELECT 'ended', question, 0 FROM answers WHERE channel = ?1 AND message = ?2
	UNION ALL SELECT 'heard', revision, deleted FROM heard WHERE channel = ?1 AND message = ?2
	ORDER BY 1, 2`

// Message gives what the book holds of one message: the zero trace where it
// holds nothing.
func (b *Book) Message(ctx context.Context, channel, message string) (trace engine.MessageTrace, err error) {
	err = b.near(func(q querier) error {
		trace, err = messageTrace(ctx, q, channel, message)
		return err
	})
	return trace, b.explain(err)
}

// isNew asks whether any of them knows of it: of most messages none does, and
// then there is nothing to put in order.
const isNew = `NOT EXISTS (SELECT 1 FROM sources WHERE channel = ?1 AND message = ?2)
	AND NOT EXISTS (SELECT 1 FROM answers WHERE channel = ?1 AND message = ?2)
	AND NOT EXISTS (SELECT 1 FROM heard WHERE channel = ?1 AND message = ?2)`

// arrivalQuery asks at once what most messages need: is it new, does a question
// wait, in which state is the shop.
const arrivalQuery = `SELECT ` + isNew + `, EXISTS (SELECT 1 FROM questions WHERE state IN ('open', 'lapsed')), ` + shedMarkColumns

// Arrive gives what the book has to say of a message that comes in.
func (b *Book) Arrive(ctx context.Context, channel, message string) (a engine.Arrival, err error) {
	var mark shedMark
	err = b.near(func(q querier) error {
		var fresh, waits bool
		var head sql.NullInt64
		var erasures sql.NullString
		if err := q.row(ctx, arrivalQuery, channel, message).Scan(&fresh, &waits, &head, &erasures); err != nil {
			return err
		}
		mark = shedMark{engine.Seq(head.Int64), erasures.String}
		if !fresh {
			if a.Trace, err = messageTrace(ctx, q, channel, message); err != nil {
				return err
			}
		}
		if waits {
			a.Pending, err = questions(ctx, q, QuestionFilter{States: []engine.QuestionState{engine.Open, engine.Lapsed}})
		}
		return err
	})
	if err == nil {
		a.Shed, err = b.shedOf(ctx, mark)
	}
	return a, b.explain(err)
}

func messageTrace(ctx context.Context, q querier, channel, message string) (trace engine.MessageTrace, err error) {
	var fresh bool
	if err := q.row(ctx, `SELECT `+isNew, channel, message).Scan(&fresh); err != nil || fresh {
		return trace, err
	}
	rows, err := q.query(ctx, messageQuery, channel, message)
	if err != nil {
		return trace, err
	}
	defer rows.Close()
	for rows.Next() {
		var of string
		var number, more int64
		if err := rows.Scan(&of, &number, &more); err != nil {
			return engine.MessageTrace{}, err
		}
		switch of {
		case "entry":
			trace.Entries, trace.Revision = append(trace.Entries, engine.Seq(number)), max(trace.Revision, more)
		case "ended":
			trace.Closed = append(trace.Closed, engine.QuestionID(number))
		default:
			trace.Revision, trace.Deleted = max(trace.Revision, number), more == 1
		}
	}
	return trace, rows.Err()
}

// Latest gives the latest messages of a person in a place, said since an
// instant, for taking them back: at most n, newest first, each with all its
// entries in order. A message of which nothing stands any more is left out, and
// so is one that only took others back.
func (b *Book) Latest(ctx context.Context, person engine.PersonID, place string, since engine.Instant, n int) ([][]engine.Entry, error) {
	return b.latest(ctx, person, since, n, func(e *engine.Entry) bool { return e.Place == place })
}

// LatestBy is Latest for any place and time.
func (b *Book) LatestBy(ctx context.Context, person engine.PersonID, n int) ([][]engine.Entry, error) {
	return b.latest(ctx, person, 0, n, func(*engine.Entry) bool { return true })
}

// latelyMost is how many of a person's entries Lately looks through.
const latelyMost = 64

// Lately gives the standing lines that a person has written last in a place,
// among their last few, said since an instant: one at a time, the newest first,
// without texts, until each has enough.
func (b *Book) Lately(ctx context.Context, person engine.PersonID, place string, since engine.Instant, each func(engine.Entry) (enough bool)) error {
	return b.explain(b.near(func(q querier) error {
		rows, err := q.query(ctx, `SELECT s.seq, g.body
			FROM (SELECT seq, place FROM sources WHERE writer = ? ORDER BY seq DESC LIMIT ?) AS s CROSS JOIN ledger AS g ON g.seq = s.seq
			WHERE s.place = ? AND NOT EXISTS (SELECT 1 FROM lines AS l WHERE l.seq = s.seq AND l.state <> '')
			ORDER BY s.seq DESC`, int64(person), latelyMost, place)
		if err != nil {
			return err
		}
		defer rows.Close()
		d := newDecoder()
		for rows.Next() {
			var body sql.RawBytes
			var e engine.Entry
			if err := rows.Scan(&e.Seq, &body); err != nil {
				return err
			}
			if err := d.decode(body, &e, nil); err != nil {
				return &BrokenError{Seq: e.Seq, Table: "ledger", What: err.Error(), cause: err}
			}
			if e.Said >= since && canTakeBack(&e) && each(e) {
				return nil
			}
		}
		return rows.Err()
	}))
}

// latestAtOnce is how many of a person's entries are looked through at a time,
// and how many messages in a row may be too old before it stops looking.
const latestAtOnce = 64

// latest walks back through what a person wrote. Messages do not come in the
// order said, so it goes a good way past the first that is too old.
func (b *Book) latest(ctx context.Context, person engine.PersonID, since engine.Instant, n int, wanted func(*engine.Entry) bool) ([][]engine.Entry, error) {
	var out [][]engine.Entry
	err := b.within(ctx, func(s snapshot) error {
		seen := make(map[engine.Source]bool)
		tooOld := 0
		for before := engine.Seq(1<<62 - 1); ; {
			batch, err := writtenBefore(ctx, s, person, before)
			if err != nil || len(batch) == 0 {
				return err
			}
			for _, w := range batch {
				before = w.seq
				if seen[w.source] {
					continue
				}
				seen[w.source] = true
				group, err := b.messageEntries(ctx, s, w.source)
				if err != nil {
					return err
				}
				tooOld++
				if slices.ContainsFunc(group, func(e engine.Entry) bool { return e.Said >= since || e.Written >= since }) {
					tooOld = 0
				}
				if slices.ContainsFunc(group, func(e engine.Entry) bool {
					return e.Writer == person && e.Said >= since && canTakeBack(&e) && wanted(&e)
				}) {
					out = append(out, group)
				}
				if len(out) >= n || tooOld > latestAtOnce {
					return nil
				}
			}
		}
	})
	return out, err
}

func canTakeBack(e *engine.Entry) bool {
	return e.State == engine.Standing && e.Kind != engine.KindTakeBack && e.Kind != engine.KindDeleted
}

// written is where one entry of a person came from: its message.
type written struct {
	seq    engine.Seq
	source engine.Source // channel and message alone
}

func writtenBefore(ctx context.Context, q querier, person engine.PersonID, before engine.Seq) ([]written, error) {
	rows, err := q.query(ctx, `SELECT seq, channel, message FROM sources WHERE writer = ? AND seq < ? ORDER BY seq DESC LIMIT ?`,
		int64(person), int64(before), latestAtOnce)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []written
	for rows.Next() {
		var w written
		if err := rows.Scan(&w.seq, &w.source.Channel, &w.source.Message); err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, rows.Err()
}

// messageEntries reads the entries under a message's id, all revisions.
func (b *Book) messageEntries(ctx context.Context, q querier, s engine.Source) ([]engine.Entry, error) {
	seqs, _, err := messageSeqs(ctx, q, s.Channel, s.Message)
	if err != nil {
		return nil, err
	}
	var out []engine.Entry
	for _, seq := range seqs {
		one, err := entries(ctx, q, seq, seq)
		if err != nil {
			return nil, err
		}
		out = append(out, one...)
	}
	return out, nil
}
