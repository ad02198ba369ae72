package store

import (
	"bytes"
	"context"
	"fmt"
	"strconv"

	"woodruff/engine"
)

// checkRows checks what stands outside the chain: each row against its
// checksum, the schema against its mark, the migrations against ours.
func (b *Book) checkRows(ctx context.Context, s *session, report *Report) error {
	if err := checkSchema(ctx, s, report); err != nil {
		return err
	}
	for _, t := range summedTables {
		if err := t.check(ctx, s, report); err != nil {
			return err
		}
	}
	return nil
}

func checkSchema(ctx context.Context, s *session, report *Report) error {
	have, err := schemaMark(ctx, s)
	if err != nil {
		return err
	}
	var want string
	if err := s.row(ctx, `SELECT coalesce(max(value), '') FROM main.meta WHERE key = ?`, metaSchema).Scan(&want); err != nil {
		return err
	}
	if have != want {
		report.add(Fault{Table: "schema", What: "the tables are not as this program made them"})
	}
	return nil
}

// summedTable is a table whose rows carry a checksum as their last column. The
// columns are all integers, texts or bytes, in the order that is summed.
type summedTable struct {
	name, columns string
	fix           map[int]bool // columns that are bytes, where null and empty are the same
}

var summedTables = []summedTable{
	{name: "meta", columns: `key, value, checksum`},
	{name: "migrations", columns: `number, name, hash, applied, checksum`, fix: map[int]bool{2: true}},
	{name: "questions", columns: questionColumns, fix: map[int]bool{13: true}},
	{name: "posts", columns: postColumns, fix: map[int]bool{5: true}},
	{name: "answers", columns: `channel, message, question, checksum`},
	{name: "heard", columns: `channel, message, revision, deleted, at, checksum`},
}

// check sums each row anew from what lies in the table, as it lies there.
func (t summedTable) check(ctx context.Context, s *session, report *Report) error {
	rows, err := s.query(ctx, `SELECT `+t.columns+` FROM main.`+t.name)
	if err != nil {
		return err
	}
	defer rows.Close()
	names, err := rows.Columns()
	if err != nil {
		return err
	}
	row := make([]any, len(names))
	dest := make([]any, len(names))
	for i := range row {
		dest[i] = &row[i]
	}
	for n := 1; rows.Next(); n++ {
		if err := rows.Scan(dest...); err != nil {
			return err
		}
		values := row[:len(row)-1]
		for i := range values {
			if values[i] == nil && t.fix[i] {
				values[i] = []byte(nil)
			}
		}
		sum, _ := row[len(row)-1].([]byte)
		if !bytes.Equal(sum, rowSum(t.name, values...)) {
			report.add(Fault{Table: t.name, What: fmt.Sprintf("row %d (%v) is not as it was written", n, row[0])})
		}
	}
	return rows.Err()
}

// Erase takes one text of an entry out of the book for good, with its salt, so
// that nobody can find it again by trying: on somebody's request. The entry
// stands, and the chain holds. Where it is the message as sent, questions about
// the message lose it too. Copies of the book made before, and backups, still
// have it. ErrTarget: there is no such text, or it was erased already.
func (b *Book) Erase(ctx context.Context, seq engine.Seq, field Field) error {
	err := b.transact(ctx, func(ctx context.Context, w *writer) error {
		done, err := w.exec(ctx, `UPDATE texts SET salt = NULL, text = NULL WHERE seq = ? AND field = ? AND text IS NOT NULL`, int64(seq), string(field))
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return &TargetError{Path: b.path, Seq: seq, Why: fmt.Sprintf("has no text %q to erase", field)}
		}
		if field == FieldRaw {
			if err := eraseQuestions(ctx, w, seq); err != nil {
				return err
			}
		}
		before, err := erasures(ctx, w)
		if err != nil {
			return err
		}
		return setMeta(ctx, w, metaErasures, strconv.Itoa(before+1))
	})
	if err != nil {
		return err
	}
	return b.emptyLog(ctx)
}

// emptyLog moves SQLite's log into the file and cuts it, so that what was
// erased does not lie on in it.
func (b *Book) emptyLog(ctx context.Context) error {
	if err := b.w.take(ctx); err != nil {
		return err
	}
	defer b.w.give()
	var busy, pages, moved int
	err := b.w.conn.QueryRowContext(context.WithoutCancel(ctx), `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &pages, &moved)
	if err == nil && busy != 0 {
		return &fileError{b.path, ErrBusy, fmt.Errorf("the text is erased, but stays in the log until whoever reads is done")}
	}
	return b.explain(err)
}

// eraseQuestions takes the text of an entry's message out of the questions
// about it; what waits for an answer stays while the question is open.
func eraseQuestions(ctx context.Context, w *writer, seq engine.Seq) error {
	e, err := entryAt(ctx, w, seq)
	if err != nil {
		return err
	}
	rows, err := w.query(ctx, `SELECT `+questionColumns+` FROM questions WHERE channel = ? AND message = ?`, e.Source.Channel, e.Source.Message)
	if err != nil {
		return err
	}
	defer rows.Close()
	var asked []engine.Question
	for rows.Next() {
		q, _, err := scanQuestion(rows)
		if err != nil {
			return err
		}
		asked = append(asked, q)
	}
	if err := rows.Err(); err != nil {
		return err
	}
	for _, q := range asked {
		q.Raw = ""
		if q.State != engine.Open {
			q.Held = nil
		}
		if _, err := w.exec(ctx, `UPDATE questions SET raw = '', held = ?, checksum = ? WHERE id = ?`, q.Held, questionSum(q), int64(q.ID)); err != nil {
			return err
		}
	}
	return nil
}
