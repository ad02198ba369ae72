package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"woodruff/engine"
)

// writeRows writes what a batch changes outside the ledger.
func (b *Book) writeRows(ctx context.Context, w *writer, at *stamp, batch engine.Batch) error {
	for _, c := range batch.Close {
		if err := b.closeQuestion(ctx, w, c); err != nil {
			return err
		}
	}
	for _, q := range batch.Ask {
		if q.Person < 0 && -int(q.Person) <= len(at.batch) {
			q.Person = engine.PersonID(int64(at.base) - int64(q.Person))
		}
		if err := b.ask(ctx, w, q); err != nil {
			return err
		}
	}
	for _, p := range batch.Posts {
		if err := b.post(ctx, w, p); err != nil {
			return err
		}
	}
	if batch.Heard != nil {
		return hear(ctx, w, *batch.Heard)
	}
	return nil
}

const questionColumns = `id, state, person, who, place, asked, expires, channel, message, revision, ordinal, said, raw, held, checksum`

func questionSum(q engine.Question) []byte {
	return rowSum("questions", int64(q.ID), string(q.State), int64(q.Person), q.Who, q.Place, int64(q.Asked), int64(q.Expires),
		q.Source.Channel, q.Source.Message, q.Source.Revision, int64(q.Source.Ordinal), int64(q.Said), q.Raw, q.Held)
}

func scanQuestion(rows interface{ Scan(...any) error }) (q engine.Question, sum []byte, err error) {
	err = rows.Scan(&q.ID, &q.State, &q.Person, &q.Who, &q.Place, &q.Asked, &q.Expires,
		&q.Source.Channel, &q.Source.Message, &q.Source.Revision, &q.Source.Ordinal, &q.Said, &q.Raw, &q.Held, &sum)
	return q, sum, err
}

func (b *Book) ask(ctx context.Context, w *writer, q engine.Question) error {
	if q.State == "" {
		q.State = engine.Open
	}
	// The number is part of the checksum, so it is taken first. No question is
	// ever removed.
	err := w.row(ctx, `SELECT coalesce(max(id), 0) + 1 FROM questions`).Scan(&q.ID)
	if err != nil {
		return err
	}
	_, err = w.exec(ctx, `INSERT INTO questions (`+questionColumns+`) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		int64(q.ID), string(q.State), int64(q.Person), q.Who, q.Place, int64(q.Asked), int64(q.Expires),
		q.Source.Channel, q.Source.Message, q.Source.Revision, q.Source.Ordinal, int64(q.Said), q.Raw, q.Held, questionSum(q))
	return err
}

// mayBecome says what can become of a question: one that lapsed can still be
// answered, or be named to the foreman; what is answered or dropped is over.
var mayBecome = map[engine.QuestionState][]engine.QuestionState{
	engine.Open:      {engine.Answered, engine.Lapsed, engine.Dropped},
	engine.Lapsed:    {engine.Answered, engine.Dropped, engine.Mentioned},
	engine.Mentioned: {engine.Answered, engine.Dropped},
}

func (b *Book) closeQuestion(ctx context.Context, w *writer, c engine.Closing) error {
	q, _, err := scanQuestion(w.row(ctx, `SELECT `+questionColumns+` FROM questions WHERE id = ?`, int64(c.ID)))
	if errors.Is(err, sql.ErrNoRows) {
		return &TargetError{Path: b.path, ID: c.ID, Why: "is not in the book"}
	}
	if err != nil {
		return err
	}
	for _, next := range mayBecome[q.State] {
		if next == c.State {
			q.State = c.State
			if _, err := w.exec(ctx, `UPDATE questions SET state = ?, checksum = ? WHERE id = ?`, string(q.State), questionSum(q), int64(q.ID)); err != nil {
				return err
			}
			return keepAnswer(ctx, w, c)
		}
	}
	return &TargetError{Path: b.path, ID: c.ID, State: string(q.State), Why: fmt.Sprintf("is %s and cannot become %s", q.State, c.State)}
}

// keepAnswer keeps which message ended a question; a question that times out is
// ended by none.
func keepAnswer(ctx context.Context, w *writer, c engine.Closing) error {
	if c.By.Message == "" {
		return nil
	}
	_, err := w.exec(ctx, `INSERT INTO answers (channel, message, question, checksum) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING`,
		c.By.Channel, c.By.Message, int64(c.ID), rowSum("answers", c.By.Channel, c.By.Message, int64(c.ID)))
	return err
}

// QuestionFilter picks questions; what is zero does not narrow.
type QuestionFilter struct {
	Person engine.PersonID
	Who    string
	Place  string
	States []engine.QuestionState
}

// Questions gives the questions in the given states, or all, in the order asked.
func (b *Book) Questions(ctx context.Context, states ...engine.QuestionState) ([]engine.Question, error) {
	return b.QuestionsWhere(ctx, QuestionFilter{States: states})
}

// QuestionsWhere gives the questions that a filter picks, in the order asked.
func (b *Book) QuestionsWhere(ctx context.Context, f QuestionFilter) (out []engine.Question, err error) {
	err = b.near(func(q querier) error {
		out, err = questions(ctx, q, f)
		return err
	})
	return out, b.explain(err)
}

func questions(ctx context.Context, q querier, f QuestionFilter) (out []engine.Question, err error) {
	query := `SELECT ` + questionColumns + ` FROM questions WHERE (?1 = 0 OR person = ?1) AND (?2 = '' OR who = ?2) AND (?3 = '' OR place = ?3)`
	args := []any{int64(f.Person), f.Who, f.Place}
	if len(f.States) > 0 {
		query += ` AND state IN (?` + strings.Repeat(`, ?`, len(f.States)-1) + `)`
		pending := true
		for _, s := range f.States {
			args = append(args, string(s))
			pending = pending && (s == engine.Open || s == engine.Lapsed)
		}
		if pending { // says so in words that the index of the pending ones answers to
			query += ` AND state IN ('open', 'lapsed')`
		}
	}
	rows, err := q.query(ctx, query+` ORDER BY id`, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		q, _, err := scanQuestion(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, q)
	}
	return out, rows.Err()
}

const postColumns = `kind, day, state, text, at, data, checksum`

func postSum(p engine.Post) []byte {
	return rowSum("posts", p.Kind, int64(p.Day), string(p.State), p.Text, int64(p.At), p.Data)
}

func scanPost(rows interface{ Scan(...any) error }) (p engine.Post, sum []byte, err error) {
	err = rows.Scan(&p.Kind, &p.Day, &p.State, &p.Text, &p.At, &p.Data, &sum)
	return p, sum, err
}

// post plans a post, or says what became of a planned one. Sent and skipped
// are final; text and data that are not given stay as planned.
func (b *Book) post(ctx context.Context, w *writer, p engine.Post) error {
	if p.State == "" {
		p.State = engine.Planned
	}
	have, _, err := scanPost(w.row(ctx, `SELECT `+postColumns+` FROM posts WHERE kind = ? AND day = ?`, p.Kind, int64(p.Day)))
	switch {
	case errors.Is(err, sql.ErrNoRows):
	case err != nil:
		return err
	case have.State != engine.Planned, p.State == engine.Planned:
		return &RepeatError{Path: b.path, Post: &have}
	}
	if p.Text == "" {
		p.Text = have.Text
	}
	if p.Data == nil {
		p.Data = have.Data
	}
	_, err = w.exec(ctx, `INSERT INTO posts (`+postColumns+`) VALUES (?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (kind, day) DO UPDATE SET state = excluded.state, text = excluded.text, at = excluded.at,
			data = excluded.data, checksum = excluded.checksum`,
		p.Kind, int64(p.Day), string(p.State), p.Text, int64(p.At), p.Data, postSum(p))
	return err
}

// Post gives the post of a kind and local day, where there is one.
func (b *Book) Post(ctx context.Context, kind string, day engine.Day) (engine.Post, bool, error) {
	list, err := b.Posts(ctx, kind, day)
	if err != nil || len(list) == 0 {
		return engine.Post{}, false, err
	}
	return list[0], true, nil
}

// Posts is Post as a list: of one, or none.
func (b *Book) Posts(ctx context.Context, kind string, day engine.Day) ([]engine.Post, error) {
	return b.posts(ctx, `SELECT `+postColumns+` FROM posts WHERE kind = ? AND day = ?`, kind, int64(day))
}

// PostsSince gives the posts of a kind from a local day on, by day.
func (b *Book) PostsSince(ctx context.Context, kind string, day engine.Day) ([]engine.Post, error) {
	return b.posts(ctx, `SELECT `+postColumns+` FROM posts WHERE kind = ? AND day >= ? ORDER BY day`, kind, int64(day))
}

func (b *Book) posts(ctx context.Context, query string, args ...any) ([]engine.Post, error) {
	rows, err := b.r.all.query(ctx, query, args...)
	if err != nil {
		return nil, b.explain(err)
	}
	defer rows.Close()
	var out []engine.Post
	for rows.Next() {
		p, _, err := scanPost(rows)
		if err != nil {
			return nil, b.explain(err)
		}
		out = append(out, p)
	}
	return out, b.explain(rows.Err())
}

func heardSum(h engine.HeardChange) []byte {
	deleted := int64(0)
	if h.Deleted {
		deleted = 1
	}
	return rowSum("heard", h.Channel, h.Message, h.Revision, deleted, int64(h.At))
}

func heardOf(ctx context.Context, q querier, channel, message string) (h engine.HeardChange, found bool, err error) {
	h.Channel, h.Message = channel, message
	err = q.row(ctx, `SELECT revision, deleted, at FROM heard WHERE channel = ? AND message = ?`, channel, message).
		Scan(&h.Revision, &h.Deleted, &h.At)
	if errors.Is(err, sql.ErrNoRows) {
		return h, false, nil
	}
	return h, err == nil, err
}

// hear records an edit or a deletion. The latest revision wins whatever the
// order of arrival, and what was deleted stays deleted.
func hear(ctx context.Context, w *writer, h engine.HeardChange) error {
	have, found, err := heardOf(ctx, w, h.Channel, h.Message)
	if err != nil {
		return err
	}
	if found {
		if have.Deleted || (!h.Deleted && have.Revision >= h.Revision) {
			return nil
		}
		h.Revision = max(h.Revision, have.Revision)
	}
	_, err = w.exec(ctx, `INSERT INTO heard (channel, message, revision, deleted, at, checksum) VALUES (?, ?, ?, ?, ?, ?)
		ON CONFLICT (channel, message) DO UPDATE SET revision = excluded.revision, deleted = excluded.deleted,
			at = excluded.at, checksum = excluded.checksum`,
		h.Channel, h.Message, h.Revision, h.Deleted, int64(h.At), heardSum(h))
	return err
}
