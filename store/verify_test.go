package store

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"woodruff/engine"
)

// fullBook is a closed book with rows in every table; it gives its path.
func fullBook(t *testing.T) string {
	t.Helper()
	b := newBook(t)
	for _, batch := range append(releasedBatches(), anAnswer) {
		if _, err := b.Write(ctx, batch); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.Erase(ctx, 5, FieldRaw); err != nil {
		t.Fatal(err)
	}
	mustHold(t, b)
	path := b.Path()
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func copyBook(t *testing.T, path string) string {
	t.Helper()
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), "copy.book")
	if err := os.WriteFile(to, body, 0o644); err != nil {
		t.Fatal(err)
	}
	return to
}

func TestVerifyExpect(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	seq, hash, err := b.Head(ctx)
	if err != nil || seq != engine.Seq(id) || len(hash) != 64 {
		t.Fatalf("head %d:%s (%v)", seq, hash, err)
	}
	write(t, b, reading("a", id, 1))
	other := strings.Repeat("0", 64)
	cases := []struct {
		what string
		seq  engine.Seq
		hash string
		want error
	}{
		{"nothing expected", 0, "", nil},
		{"an earlier head", seq, hash, nil},
		{"in capitals", seq, strings.ToUpper(hash), nil},
		{"its first twelve digits", seq, hash[:12], nil},
		{"its first thirteen digits", seq, hash[:13], nil},
		{"too few digits", seq, hash[:11], ErrExpected},
		{"no digits", seq, "the hash of it", ErrExpected},
		{"nothing", seq, "", ErrExpected},
		{"too many digits", seq, hash + "00", ErrExpected},
		{"another hash", seq, other, ErrBroken},
		{"the hash of another entry", seq + 1, hash, ErrBroken},
		{"an entry that the book does not reach", seq + 9, hash, ErrBroken},
	}
	for _, c := range cases {
		report, err := b.Verify(ctx, c.seq, c.hash)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: got %v", c.what, err)
		}
		var broken *BrokenError
		if errors.As(err, &broken) && broken.Seq != c.seq {
			t.Errorf("%s: names entry %d", c.what, broken.Seq)
		}
		if c.want == nil && (report.Head != seq+1 || report.Machines != 1) {
			t.Errorf("%s: reports %+v", c.what, report)
		}
	}
}

// change opens the file as any tool would, and changes rows in it.
func change(t *testing.T, path string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, s := range statements {
		done, err := db.Exec(s)
		if err != nil {
			t.Fatalf("%s: %v", s, err)
		}
		if n, _ := done.RowsAffected(); n == 0 && !strings.HasPrefix(s, "PRAGMA") && !strings.HasPrefix(s, "CREATE") && !strings.HasPrefix(s, "DROP") {
			t.Fatalf("%s: changed nothing", s)
		}
	}
}

// flipBlob is SQL that flips one bit of byte n of a column.
func flipBlob(table, column, where string) string {
	return "UPDATE " + table + " SET " + column + " = CAST(substr(" + column + ", 1, 3) || char(unicode(substr(CAST(" + column + " AS TEXT), 4, 1)) + 1) || substr(" + column + ", 5) AS BLOB) WHERE " + where
}

// Every column of every table, changed: Verify and Rebuild both notice, and
// name the entry where there is one to name.
func TestChangesAreNoticed(t *testing.T) {
	path := fullBook(t)
	cases := []struct {
		table  string
		change string
		seq    engine.Seq // the entry named
	}{
		{"ledger", flipBlob("ledger", "body", "seq = 6"), 6},
		{"ledger", `UPDATE ledger SET body = (SELECT body FROM ledger WHERE seq = 5) WHERE seq = 6`, 6},
		{"ledger", `UPDATE ledger SET hash = zeroblob(32) WHERE seq = 6`, 6},
		{"ledger", `UPDATE ledger SET seq = 99 WHERE seq = 6`, 6},
		{"ledger", `UPDATE ledger SET seq = 99 WHERE seq = 13`, 13},
		{"ledger", `DELETE FROM ledger WHERE seq = 1`, 1},
		{"texts", `UPDATE texts SET text = 'rt1 1223.4 drained bit of wader' WHERE seq = 6`, 6},
		{"texts", `UPDATE texts SET salt = zeroblob(16) WHERE seq = 6`, 6},
		{"texts", `UPDATE texts SET field = 'rax' WHERE seq = 6`, 6},
		{"texts", `UPDATE texts SET seq = 10 WHERE seq = 6`, 6},
		{"texts", `UPDATE texts SET seq = 99 WHERE seq = 6`, 6},
		{"texts", `UPDATE texts SET text = NULL WHERE seq = 6`, 6},
		{"texts", `UPDATE texts SET text = NULL, salt = NULL WHERE seq = 6`, 0}, // not by Erase
		{"texts", `UPDATE texts SET salt = zeroblob(16) WHERE seq = 5`, 5},      // of an erased one
		{"texts", `DELETE FROM texts WHERE seq = 6`, 6},
		{"texts", `INSERT INTO texts VALUES (6, 'words', zeroblob(16), 'all good')`, 6},
		{"lines", `UPDATE lines SET machine = 4 WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET seq = 99 WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET kind = 'servicf' WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET day = day + 1 WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET at = at + 1 WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET hours_tenths = 12235 WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET hours_tenths = NULL WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET jobs = 'draio' WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET finding = 'clean' WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET shop = 1 WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET state = 'taken-back' WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET by_seq = 1 WHERE seq = 6`, 0},
		{"lines", `UPDATE lines SET deleted = 1 WHERE seq = 6`, 0},
		{"lines", `DELETE FROM lines WHERE seq = 6`, 0},
		{"sources", `UPDATE sources SET channel = 'sax' WHERE seq = 6`, 0},
		{"sources", `UPDATE sources SET message = 'x' WHERE seq = 6`, 0},
		{"sources", `UPDATE sources SET revision = 1 WHERE seq = 6`, 0},
		{"sources", `UPDATE sources SET ordinal = 1 WHERE seq = 6`, 0},
		{"sources", `UPDATE sources SET seq = 7 WHERE seq = 6`, 0},
		{"sources", `UPDATE sources SET writer = 1 WHERE seq = 6`, 0},
		{"sources", `UPDATE sources SET place = 'bax' WHERE seq = 6`, 0},
		{"sources", `DELETE FROM sources WHERE seq = 6`, 0},
		{"questions", `UPDATE questions SET id = 2`, 0},
		{"questions", `UPDATE questions SET state = 'dropped'`, 0},
		{"questions", `UPDATE questions SET person = 3`, 0},
		{"questions", `UPDATE questions SET who = 'x'`, 0},
		{"questions", `UPDATE questions SET place = 'x'`, 0},
		{"questions", `UPDATE questions SET asked = asked + 1`, 0},
		{"questions", `UPDATE questions SET expires = expires + 1`, 0},
		{"questions", `UPDATE questions SET channel = 'x'`, 0},
		{"questions", `UPDATE questions SET message = 'x'`, 0},
		{"questions", `UPDATE questions SET revision = 1`, 0},
		{"questions", `UPDATE questions SET ordinal = 1`, 0},
		{"questions", `UPDATE questions SET said = 1`, 0},
		{"questions", `UPDATE questions SET raw = '14 499.0'`, 0},
		{"questions", `UPDATE questions SET held = NULL`, 0},
		{"questions", `UPDATE questions SET checksum = zeroblob(8)`, 0},
		{"posts", `UPDATE posts SET kind = 'mourning'`, 0},
		{"posts", `UPDATE posts SET day = day + 1`, 0},
		{"posts", `UPDATE posts SET state = 'sent'`, 0},
		{"posts", `UPDATE posts SET text = 'RT2: drain before the next start'`, 0},
		{"posts", `UPDATE posts SET at = at + 1`, 0},
		{"posts", `UPDATE posts SET data = zeroblob(2)`, 0},
		{"posts", `UPDATE posts SET checksum = zeroblob(8)`, 0},
		{"answers", `UPDATE answers SET channel = 'x'`, 0},
		{"answers", `UPDATE answers SET message = 'x'`, 0},
		{"answers", `UPDATE answers SET question = 8`, 0},
		{"answers", `UPDATE answers SET checksum = zeroblob(8)`, 0},
		{"heard", `UPDATE heard SET channel = 'x'`, 0},
		{"heard", `UPDATE heard SET message = 'x'`, 0},
		{"heard", `UPDATE heard SET revision = 8`, 0},
		{"heard", `UPDATE heard SET deleted = 1`, 0},
		{"heard", `UPDATE heard SET deleted = 2`, 0},
		{"heard", `UPDATE heard SET at = 8`, 0},
		{"heard", `UPDATE heard SET checksum = zeroblob(8)`, 0},
		{"migrations", `UPDATE migrations SET applied = 8`, 0},
		{"migrations", `UPDATE migrations SET checksum = zeroblob(8)`, 0},
		{"meta", `UPDATE meta SET value = '2' WHERE key = 'erasures'`, 0},
		{"meta", `UPDATE meta SET value = 'x' WHERE key = 'erasures'`, 0},
		{"meta", `UPDATE meta SET key = 'erasurez' WHERE key = 'erasures'`, 0},
		{"meta", `UPDATE meta SET value = '0' WHERE key = 'schema'`, 0},
		{"meta", `UPDATE meta SET checksum = zeroblob(8) WHERE key = 'schema'`, 0},
		{"schema", `DROP INDEX sources_writer`, 0},
		{"schema", `CREATE TRIGGER t AFTER INSERT ON ledger BEGIN UPDATE lines SET deleted = 1; END`, 0},
	}
	for _, c := range cases {
		t.Run(c.change, func(t *testing.T) {
			copied := copyBook(t, path)
			change(t, copied, c.change)
			b := openBook(t, copied)
			_, err := b.Verify(ctx, 0, "")
			var broken *BrokenError
			if !errors.As(err, &broken) || broken.Seq != c.seq {
				t.Fatalf("verify: %v", err)
			}
			made, err := b.Rebuild(ctx)
			switch c.table {
			case "ledger":
				if !errors.As(err, &broken) || broken.Seq != c.seq || len(made.Remade)+len(made.Left) > 0 {
					t.Fatalf("rebuild: %v %q", err, made)
				}
			case "lines", "sources": // these are made again
				if err != nil || len(made.Remade) != 1 || len(made.Left) > 0 || !strings.HasPrefix(made.Remade[0], c.table+": ") {
					t.Fatalf("rebuild: %v %q", err, made)
				}
				mustHold(t, b)
			default: // these cannot be, and are named every time
				for range 2 {
					if err != nil || len(made.Remade) > 0 || !strings.Contains(strings.Join(made.Left, "\n"), c.table) {
						t.Fatalf("rebuild: %v %q", err, made)
					}
					made, err = b.Rebuild(ctx)
				}
			}
		})
	}
}

// The migrations a book has had are looked at whenever it is opened.
func TestChangedMigrationsAreNoticed(t *testing.T) {
	path := fullBook(t)
	for _, c := range []string{
		`UPDATE migrations SET name = '0001_books'`,
		`UPDATE migrations SET hash = zeroblob(32)`,
		`UPDATE migrations SET number = 9 WHERE number = 1`,
		`DELETE FROM migrations`,
	} {
		copied := copyBook(t, path)
		change(t, copied, c)
		for _, readOnly := range []bool{false, true} {
			opts := testOptions()
			opts.ReadOnly = readOnly
			_, err := Open(ctx, copied, opts)
			mustBe(t, err, ErrBroken)
		}
	}
}

// One bit of the file itself, flipped where a table's content lies.
func TestFlippedBytesAreNoticed(t *testing.T) {
	path := fullBook(t)
	db, err := sql.Open("sqlite3", "file:"+path+"?mode=ro&immutable=1")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	cases := []struct{ table, content string }{
		{"ledger", `SELECT body FROM ledger WHERE seq = 6`},
		{"ledger", `SELECT hash FROM ledger WHERE seq = 6`},
		{"texts", `SELECT text FROM texts WHERE seq = 6`},
		{"texts", `SELECT salt FROM texts WHERE seq = 6`},
		{"lines", `SELECT 'taken-back'`},
		{"sources", `SELECT message FROM sources WHERE seq = 6`},
		{"questions", `SELECT checksum FROM questions`},
		{"questions", `SELECT held FROM questions`},
		{"posts", `SELECT text FROM posts`},
		{"posts", `SELECT checksum FROM posts`},
		{"heard", `SELECT checksum FROM heard`},
		{"answers", `SELECT checksum FROM answers`},
		{"migrations", `SELECT checksum FROM migrations`},
		{"migrations", `SELECT hash FROM migrations`},
		{"meta", `SELECT value FROM meta WHERE key = 'schema'`},
		{"schema", `SELECT 'CREATE INDEX questions_pending'`},
		{"schema", `SELECT sql FROM sqlite_schema WHERE name = 'lines'`},
	}
	for _, c := range cases {
		var content []byte
		if err := db.QueryRow(c.content).Scan(&content); err != nil {
			t.Fatal(err)
		}
		whole, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		found := 0
		for from := 0; ; {
			at := bytes.Index(whole[from:], content)
			if at < 0 {
				break
			}
			at += from
			from = at + 1
			found++
			for _, in := range []int{0, len(content) / 2, len(content) - 1} {
				body := bytes.Clone(whole)
				body[at+in] ^= 1
				copied := filepath.Join(t.TempDir(), "flipped.book")
				if err := os.WriteFile(copied, body, 0o644); err != nil {
					t.Fatal(err)
				}
				opts := testOptions()
				b, err := Open(ctx, copied, opts)
				if err == nil {
					_, err = b.Verify(ctx, 0, "")
					b.Close()
				}
				if !errors.Is(err, ErrBroken) {
					t.Errorf("%s: byte %d of %q at %d flipped: %v", c.table, in, content, at, err)
				}
			}
		}
		if found == 0 {
			t.Errorf("%s: %q is not in the file", c.table, content)
		}
	}
}

// A body that hangs together but is not written the one way, or does what no
// entry can, does not hold either: the program that wrote it was another one.
func TestForgedEntries(t *testing.T) {
	path := fullBook(t)
	forge := func(t *testing.T, path string, body []byte) {
		t.Helper()
		db, err := sql.Open("sqlite3", "file:"+path)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		var last engine.Seq
		var before []byte
		if err := db.QueryRow(`SELECT seq, hash FROM ledger ORDER BY seq DESC`).Scan(&last, &before); err != nil {
			t.Fatal(err)
		}
		hash := linkHash(last+1, before, body)
		if _, err := db.Exec(`INSERT INTO ledger VALUES (?, ?, ?)`, last+1, body, hash[:]); err != nil {
			t.Fatal(err)
		}
	}
	again := takeBack("forged", 9) // entry 9 was taken back already
	cases := []struct {
		what string
		body []byte
	}{
		{"a take-back of what does not stand", encodeBody(nil, &again, &textHashes{})},
		{"a zero that should be left out", []byte{1, 1, 4, 'f', 'i', 'l', 'l', 6, 1, 0}},
		{"an integer longer than need be", []byte{1, 1, 4, 'f', 'i', 'l', 'l', 6, 2, 0x82, 0x00}},
		{"bytes that are no entry", []byte("forged")},
		{"a field of a later version", []byte{1, 1, 4, 'f', 'i', 'l', 'l', 99, 1, 1}},
	}
	for _, c := range cases {
		t.Run(c.what, func(t *testing.T) {
			copied := copyBook(t, path)
			forge(t, copied, c.body)
			b := openBook(t, copied)
			_, err := b.Verify(ctx, 0, "")
			var broken *BrokenError
			if !errors.As(err, &broken) || broken.Seq != 14 {
				t.Errorf("got %v", err)
			}
		})
	}
}

func TestErase(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	const words = "Anselm Orde rang about the trencher"
	e := reading("m1", id, 2)
	e.Raw = words
	kept := write(t, b, reading("m0", id, 1))[0]
	seq := write(t, b, e)[0]
	open := question("", 0, "bay")
	open.Source, open.Raw, open.Held = e.Source, words, []byte("acts")
	lapsed := open
	lapsed.Held = []byte(words)
	if _, err := b.Write(ctx, engine.Batch{Ask: []engine.Question{open, lapsed}}); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Write(ctx, closing(2, engine.Lapsed)); err != nil {
		t.Fatal(err)
	}
	head, hash, _ := b.Head(ctx)
	if n := inFiles(t, b, words); n == 0 {
		t.Fatal("the words are nowhere before they are erased")
	}
	if err := b.Erase(ctx, seq, FieldRaw); err != nil {
		t.Fatal(err)
	}
	// The words are in no byte of the file or its log; what else there was stays.
	if n := inFiles(t, b, words); n != 0 {
		t.Errorf("the words are still %d times in the book", n)
	}
	got, err := b.Texts(ctx, kept, seq)
	if err != nil || got[kept].Raw != "m0" || got[seq].Raw != "" {
		t.Errorf("got %+v (%v)", got, err)
	}
	asked, err := b.Questions(ctx)
	if err != nil || asked[0].Raw != "" || asked[1].Raw != "" || string(asked[0].Held) != "acts" || asked[1].Held != nil {
		t.Errorf("asked %+v (%v)", asked, err)
	}
	// The chain is the one it was.
	report, err := b.Verify(ctx, head, hash)
	if err != nil || report.Erased != 1 || report.Head != head {
		t.Errorf("%+v (%v)", report, err)
	}
	mustHold(t, b)
	for _, none := range []struct {
		seq   engine.Seq
		field Field
	}{{seq, FieldRaw}, {kept, FieldName}, {99, FieldRaw}, {kept, "rax"}} {
		mustBe(t, b.Erase(ctx, none.seq, none.field), ErrTarget)
	}
}

// inFiles counts how often words lie in the book's file and its log.
func inFiles(t *testing.T, b *Book, words string) (n int) {
	t.Helper()
	for _, end := range []string{"", "-wal"} {
		body, err := os.ReadFile(b.Path() + end)
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			t.Fatal(err)
		}
		n += bytes.Count(body, []byte(words))
	}
	return n
}

// While somebody reads, the log cannot be cut: the words are gone from the
// book, and the caller hears that they lie on in the log.
func TestEraseBesideReader(t *testing.T) {
	b := newBook(t, func(o *Options) { o.Wait = 20 * time.Millisecond })
	id := addMachine(t, b, "RT1", "tractor")
	seq := write(t, b, reading("Anselm Orde rang", id, 1))[0]
	err := b.within(ctx, func(s snapshot) error {
		if _, err := entries(ctx, s, 1, 9); err != nil {
			return err
		}
		return b.Erase(ctx, seq, FieldRaw)
	})
	mustBe(t, err, ErrBusy)
	if got, err := b.Texts(ctx, seq); err != nil || got[seq].Raw != "" {
		t.Errorf("got %+v (%v)", got, err)
	}
	mustHold(t, b)
}

// Verify goes on while somebody writes, and sees one state of the book.
func TestVerifyBesideWrites(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	done := make(chan error)
	go func() {
		var err error
		for i := range 50 {
			if _, err = b.Write(ctx, engine.Batch{Entries: []engine.Entry{reading(string(rune('a'+i)), id, engine.Tenths(i))}}); err != nil {
				break
			}
		}
		done <- err
	}()
	for {
		select {
		case err := <-done:
			if err != nil {
				t.Error(err)
			}
			mustHold(t, b)
			return
		default:
			if _, err := b.Verify(ctx, 0, ""); err != nil {
				t.Fatal(err)
			}
		}
	}
}
