package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"woodruff/engine"
)

// minHash is how many hexadecimal digits of a hash to expect must be given.
const minHash = 12

// maxFaults is how many faults a report lists.
const maxFaults = 100

// Fault is one thing in a book that does not hold.
type Fault struct {
	Seq   engine.Seq // the entry, or 0 where it is about no one entry
	Table string
	What  string
}

// Report is what Verify found.
type Report struct {
	Head     engine.Seq // the last entry, and how many there are
	Hash     string     // its hash, hexadecimal
	Machines int        // that the book has lines of
	Erased   int        // texts erased on request
	Faults   []Fault    // empty where all holds; the first hundred
}

func (r *Report) add(f Fault) {
	if len(r.Faults) < maxFaults {
		r.Faults = append(r.Faults, f)
	}
}

// first gives the fault to name: of the ledger and its texts the first by
// number, else the first found.
func (r *Report) first(path string) error {
	if len(r.Faults) == 0 {
		return nil
	}
	worst := r.Faults[0]
	for _, f := range r.Faults {
		if f.Seq != 0 && (worst.Seq == 0 || f.Seq < worst.Seq) {
			worst = f
		}
	}
	return &BrokenError{Path: path, Seq: worst.Seq, Table: worst.Table, What: worst.What}
}

// Head gives the last entry and its hash in hexadecimal: what posts, records
// and backups carry, so that the book can be checked against it later.
func (b *Book) Head(ctx context.Context) (engine.Seq, string, error) {
	var seq engine.Seq
	var hash []byte
	err := b.r.all.row(ctx, `SELECT seq, hash FROM ledger ORDER BY seq DESC LIMIT 1`).Scan(&seq, &hash)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, "", nil
	}
	return seq, hex.EncodeToString(hash), b.explain(err)
}

// Verify checks the whole book: the file, the chain, the texts, the rows
// outside the chain, and the projections against what the ledger gives. Where
// seq is not 0, entry seq must have the hash, given in full or by its first
// twelve digits or more. What does not hold is in the report, and the first of
// it, by entry, in the error, which is ErrBroken; ErrExpected says that hash is
// none. Verify changes nothing and goes on beside writes.
func (b *Book) Verify(ctx context.Context, seq engine.Seq, hash string) (Report, error) {
	var report Report
	hash = strings.ToLower(hash)
	if _, err := hex.DecodeString(hash[:len(hash)&^1]); seq != 0 && (err != nil || len(hash) < minHash || len(hash) > 2*hashSize) {
		return report, &fileError{b.path, ErrExpected, fmt.Errorf("%q: it takes %d to %d hexadecimal digits", hash, minHash, 2*hashSize)}
	}
	extra := url.Values{"_foreign_keys": {"off"}}
	if b.frozen {
		extra.Set("immutable", "1")
	}
	s, err := openSession(ctx, b.dsn("ro", extra))
	if err != nil {
		return report, b.explain(err)
	}
	defer s.close()
	ctx = context.WithoutCancel(ctx)
	if err := s.once(ctx, `BEGIN`); err != nil {
		return report, b.explain(err)
	}
	defer s.once(ctx, `ROLLBACK`)
	if err := b.verify(ctx, s, &report, expected{seq, hash}); err != nil {
		return report, b.explain(err)
	}
	return report, report.first(b.path)
}

// verify adds to the report whatever does not hold.
func (b *Book) verify(ctx context.Context, s *session, report *Report, want expected) error {
	checks := []func() error{
		func() error { return b.checkRows(ctx, s, report) },
		func() error {
			whole, err := b.walk(ctx, s, report, want)
			if err != nil || !whole {
				return err
			}
			for _, table := range projections {
				if err := compare(ctx, s, table, report); err != nil {
					return err
				}
			}
			return s.row(ctx, `SELECT count(DISTINCT machine) FROM temp.fresh_lines WHERE machine > 0`).Scan(&report.Machines)
		},
		func() error { return pragmaFaults(ctx, s, `PRAGMA integrity_check`, report) },
		func() error { return foreignFaults(ctx, s, report) },
	}
	for _, check := range checks {
		// A file that is damaged so that a check cannot go on is itself a fault.
		var broken *BrokenError
		if err := b.explain(b.schemaFault(check())); errors.As(err, &broken) {
			report.add(Fault{broken.Seq, broken.Table, broken.What})
		} else if err != nil {
			return err
		}
	}
	return nil
}

func pragmaFaults(ctx context.Context, s *session, pragma string, report *Report) error {
	rows, err := s.query(ctx, pragma)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			return err
		}
		if line != "ok" {
			report.add(Fault{Table: "file", What: line})
		}
	}
	return rows.Err()
}

func foreignFaults(ctx context.Context, s *session, report *Report) error {
	rows, err := s.query(ctx, `PRAGMA main.foreign_key_check`)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var table, parent string
		var row, key sql.NullInt64
		if err := rows.Scan(&table, &row, &parent, &key); err != nil {
			return err
		}
		report.add(Fault{Table: table, What: "a row belongs to nothing in " + parent})
	}
	return rows.Err()
}

// expected is an entry whose hash is known from elsewhere; seq 0 is none.
type expected struct {
	seq  engine.Seq
	hash string
}

// projections are the tables made from the ledger.
var projections = []string{"lines", "sources"}

// freshTables makes empty copies of the projections beside those of the book.
func freshTables(ctx context.Context, s *session) error {
	for _, table := range projections {
		var ddl string
		err := s.row(ctx, `SELECT sql FROM main.sqlite_schema WHERE type = 'table' AND name = ?`, table).Scan(&ddl)
		if err != nil {
			return err
		}
		if err := s.once(ctx, strings.Replace(ddl, "CREATE TABLE "+table, "CREATE TEMP TABLE fresh_"+table, 1)); err != nil {
			return err
		}
	}
	return s.once(ctx, `CREATE INDEX temp.fresh_lines_seq ON fresh_lines (seq)`)
}

// compare tells how the book's projection differs from the fresh one.
func compare(ctx context.Context, s *session, table string, report *Report) error {
	var extra, missing int
	var first sql.NullInt64
	err := s.row(ctx, strings.ReplaceAll(`SELECT
			(SELECT count(*) FROM (SELECT * FROM main.{} EXCEPT SELECT * FROM temp.fresh_{})),
			(SELECT count(*) FROM (SELECT * FROM temp.fresh_{} EXCEPT SELECT * FROM main.{})),
			(SELECT min(seq) FROM (SELECT * FROM temp.fresh_{} EXCEPT SELECT * FROM main.{}))`, "{}", table)).
		Scan(&extra, &missing, &first)
	if err != nil || extra+missing == 0 {
		return err
	}
	what := fmt.Sprintf("%d rows are not as the ledger gives them; rebuild makes them again", max(extra, missing))
	if first.Valid {
		what += fmt.Sprintf(" (the first is about entry %d)", first.Int64)
	}
	report.add(Fault{Table: table, What: what})
	return nil
}

// walk goes through the ledger from the first entry on: numbers without gaps,
// each hash over the one before, each body in its one encoding, each text as
// hashed. It makes the projections of it as fresh tables. whole is false where
// the ledger does not hold, and so nothing can be made of it.
func (b *Book) walk(ctx context.Context, s *session, report *Report, want expected) (whole bool, err error) {
	if err := freshTables(ctx, s); err != nil {
		return false, err
	}
	rows, err := s.query(ctx, `SELECT seq, body, hash FROM main.ledger ORDER BY seq`)
	if err != nil {
		return false, err
	}
	defer rows.Close()
	words, err := readTexts(ctx, s)
	if err != nil {
		return false, err
	}
	defer words.close()
	link := chainReader{b: b, d: newDecoder(), before: make([]byte, hashSize)}
	p := newProjector(s, b.path, freshPrefix)
	bad := func(err error) (bool, error) {
		var broken *BrokenError
		if err = b.explain(err); !errors.As(err, &broken) {
			return false, err
		}
		if broken.Seq == 0 {
			broken.Seq = link.seq + 1
		}
		report.add(Fault{broken.Seq, "ledger", broken.What})
		return false, nil
	}
	for rows.Next() {
		e, hashes, err := link.next(rows)
		if err != nil {
			return bad(err)
		}
		if err := words.check(e.Seq, hashes, report); err != nil {
			return bad(err)
		}
		if err := p.apply(ctx, e); err != nil {
			return bad(link.unfit(err))
		}
		if e.Seq == want.seq && !strings.HasPrefix(hex.EncodeToString(link.before), want.hash) {
			report.add(Fault{e.Seq, "ledger", "its hash is not the one expected: the book, up to here, is not the one that the hash was taken of"})
		}
	}
	if err := rows.Err(); err != nil {
		return bad(err)
	}
	report.Head, report.Hash, report.Erased = link.seq, hex.EncodeToString(link.before), words.erased
	if want.seq > link.seq {
		report.add(Fault{want.seq, "ledger", fmt.Sprintf("it is expected, but the book ends with entry %d", link.seq)})
	}
	return true, words.rest(ctx, s, report)
}

// chainReader follows the chain.
type chainReader struct {
	b      *Book
	d      *decoder
	seq    engine.Seq // the last entry that held
	before []byte     // its hash
	again  []byte     // a body made again, to be compared
}

func (c *chainReader) broken(seq engine.Seq, what string) error {
	return &BrokenError{Path: c.b.path, Seq: seq, Table: "ledger", What: what}
}

func (c *chainReader) next(rows *sql.Rows) (*engine.Entry, *textHashes, error) {
	var seq engine.Seq
	var body, hash []byte
	if err := rows.Scan(&seq, &body, &hash); err != nil {
		return nil, nil, err
	}
	if seq != c.seq+1 {
		return nil, nil, c.broken(c.seq+1, fmt.Sprintf("it is missing; the next one is %d", seq))
	}
	sum := linkHash(seq, c.before, body)
	if !bytes.Equal(sum[:], hash) {
		return nil, nil, c.broken(seq, "its hash does not follow from the entry and the one before")
	}
	e, hashes := &engine.Entry{Seq: seq}, &textHashes{}
	if err := c.d.decode(body, e, hashes); err != nil {
		return nil, nil, c.broken(seq, err.Error())
	}
	c.again = encodeBody(c.again[:0], e, hashes)
	if !bytes.Equal(c.again, body) {
		return nil, nil, c.broken(seq, "it is not written in the one way that an entry can be")
	}
	c.seq, c.before = seq, hash
	return e, hashes, nil
}

// unfit turns what the projector refuses into a fault of the ledger.
func (c *chainReader) unfit(err error) error {
	if errors.Is(err, ErrTarget) {
		return c.broken(c.seq, "what it corrects or takes back cannot be: "+err.Error())
	}
	return err
}

// textReader goes through the texts beside the ledger, in the same order.
type textReader struct {
	rows   *sql.Rows
	more   bool
	erased int

	seq        engine.Seq
	field      Field
	salt, text []byte
}

func readTexts(ctx context.Context, s *session) (*textReader, error) {
	rows, err := s.query(ctx, `SELECT seq, field, salt, CAST(text AS BLOB) FROM main.texts ORDER BY seq`)
	if err != nil {
		return nil, err
	}
	r := &textReader{rows: rows}
	return r, r.step()
}

func (r *textReader) close() { r.rows.Close() }

func (r *textReader) step() error {
	if r.more = r.rows.Next(); !r.more {
		return r.rows.Err()
	}
	return r.rows.Scan(&r.seq, &r.field, &r.salt, &r.text)
}

// check compares the texts of an entry with the hashes in its body.
func (r *textReader) check(seq engine.Seq, hashes *textHashes, report *Report) error {
	var left textHashes = *hashes
	for r.more && r.seq <= seq {
		if what := r.wrong(seq, &left); what != "" {
			report.add(Fault{r.seq, "texts", fmt.Sprintf("its text %q %s", r.field, what)})
		}
		if err := r.step(); err != nil {
			return err
		}
	}
	for i, hash := range left {
		if hash != nil {
			report.add(Fault{seq, "texts", fmt.Sprintf("its text %q is missing", textFields[i])})
		}
	}
	return nil
}

// wrong says what is wrong with the text read last, and ticks its hash off.
func (r *textReader) wrong(seq engine.Seq, left *textHashes) string {
	place := -1
	for i, f := range textFields {
		if f == r.field && r.seq == seq && left[i] != nil {
			place = i
		}
	}
	if place < 0 {
		return "stands beside an entry that has none"
	}
	hash := left[place]
	left[place] = nil
	if r.text == nil && r.salt == nil {
		r.erased++
		return ""
	}
	if !bytes.Equal(textHash(r.salt, string(r.text)), hash) {
		return "is not the one that was written"
	}
	return ""
}

// rest reports texts behind the last entry, and texts that are gone without
// having been erased here.
func (r *textReader) rest(ctx context.Context, s *session, report *Report) error {
	for r.more {
		report.add(Fault{r.seq, "texts", fmt.Sprintf("its text %q belongs to no entry", r.field)})
		if err := r.step(); err != nil {
			return err
		}
	}
	counted, err := erasures(ctx, s)
	if err != nil {
		return err
	}
	if counted != r.erased {
		report.add(Fault{Table: "texts", What: fmt.Sprintf("%d are gone, but %d were erased on request", r.erased, counted)})
	}
	return nil
}

// erasures is how many texts were erased on request.
func erasures(ctx context.Context, q querier) (int, error) {
	var value string
	err := q.row(ctx, `SELECT value FROM main.meta WHERE key = ?`, metaErasures).Scan(&value)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	n, err := strconv.Atoi(value)
	if err != nil {
		return -1, nil // its checksum says so too
	}
	return n, nil
}

// Rebuilt is what Rebuild found to differ: nothing in a sound book.
type Rebuilt struct {
	Remade []string // what was not as the ledger gives it, and is now
	Left   []string // what cannot be made again: the book does not hold
}

// Rebuild makes the projections again from the ledger, in one transaction, and
// says what differed. What it cannot make again, a row outside the chain or a
// text that is not as written, it names and leaves. A ledger that does not hold
// gives ErrBroken, and nothing is touched.
func (b *Book) Rebuild(ctx context.Context) (made Rebuilt, err error) {
	err = b.transact(ctx, func(ctx context.Context, w *writer) error {
		w.forget()
		made, err = b.remake(ctx, w)
		return err
	})
	b.shedMu.Lock()
	b.shed = nil
	b.shedMu.Unlock()
	return made, err
}

// remake is Rebuild within a transaction.
func (b *Book) remake(ctx context.Context, w *writer) (made Rebuilt, err error) {
	var report Report
	whole, err := b.walk(ctx, w.session, &report, expected{})
	if err != nil {
		return made, err
	}
	if !whole {
		return made, report.first(b.path)
	}
	if err := b.cutOff(ctx, w, report.Head); err != nil {
		return made, err
	}
	if err := b.checkRows(ctx, w.session, &report); err != nil {
		return made, err
	}
	made.Left = faultLines(report.Faults)
	report.Faults = nil
	for _, table := range projections {
		before := len(report.Faults)
		if err := compare(ctx, w.session, table, &report); err != nil {
			return made, err
		}
		if len(report.Faults) > before {
			if err := w.once(ctx, strings.ReplaceAll(`DELETE FROM main.{}; INSERT INTO main.{} SELECT * FROM temp.fresh_{}`, "{}", table)); err != nil {
				return made, err
			}
		}
		if err := w.once(ctx, `DROP TABLE temp.fresh_`+table); err != nil {
			return made, err
		}
	}
	made.Remade = faultLines(report.Faults)
	return made, nil
}

// cutOff refuses a ledger that was cut behind an entry: where both the lines
// and the texts go on, the entries are what is missing, and making the lines
// again would lose the last trace of them.
func (b *Book) cutOff(ctx context.Context, w *writer, head engine.Seq) error {
	var lines, texts int
	err := w.row(ctx, `SELECT (SELECT count(*) FROM main.lines WHERE seq > ?), (SELECT count(*) FROM main.texts WHERE seq > ?)`, int64(head), int64(head)).Scan(&lines, &texts)
	if err != nil || lines == 0 || texts == 0 {
		return err
	}
	return &BrokenError{Path: b.path, Seq: head + 1, Table: "ledger", What: "it is missing; its lines and texts are there"}
}

func faultLines(faults []Fault) (out []string) {
	for _, f := range faults {
		where := f.Table
		if f.Seq != 0 {
			where += fmt.Sprintf(", entry %d", f.Seq)
		}
		out = append(out, where+": "+f.What)
	}
	return out
}
