package store

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"
	"time"

	"woodruff/engine"
)

// files lists a folder, to see that nothing was left in it.
func files(t *testing.T, dir string) string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range list {
		names = append(names, f.Name())
	}
	return strings.Join(names, " ")
}

// foreign makes the database of another program.
func foreign(t *testing.T, path string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(err)
		}
	}
}

// Paths that are no book: each with its own error, for reading, for writing and
// for making one, and with nothing left behind.
func TestOpenRefuses(t *testing.T) {
	text := func(t *testing.T, path string) {
		os.WriteFile(path, []byte("RT1 1223.4 drained, in a text file\n"), 0o644)
	}
	cases := []struct {
		what        string
		make        func(t *testing.T, path string)
		open        error // by Open
		create      error // by Create; nil is a book
		says        string
		leaveAsItIs bool // by Create too
	}{
		{"a missing file", func(*testing.T, string) {}, ErrNoBook, nil, "no such file", false},
		{"a missing folder", func(t *testing.T, path string) { os.Remove(filepath.Dir(path)) }, ErrNoBook, ErrNoBook, "", false},
		{"a folder", func(t *testing.T, path string) { os.Mkdir(path, 0o755) }, ErrNotBook, ErrNotBook, "is a folder", true},
		{"a pipe", func(t *testing.T, path string) { syscall.Mkfifo(path, 0o644) }, ErrNotBook, ErrNotBook, "no ordinary file", true},
		{"an empty file", func(t *testing.T, path string) { os.WriteFile(path, nil, 0o644) }, ErrNotBook, nil, "empty", false},
		{"a text file", text, ErrNotBook, ErrNotBook, "", true},
		{"a long text file", func(t *testing.T, path string) {
			os.WriteFile(path, []byte(strings.Repeat("not a book\n", 9000)), 0o644)
		}, ErrNotBook, ErrNotBook, "", true},
		{"the database of another program", func(t *testing.T, path string) {
			foreign(t, path, `CREATE TABLE ledger (seq INTEGER PRIMARY KEY)`)
		}, ErrNotBook, ErrNotBook, "another program", true},
		{"the same, with a log beside it", func(t *testing.T, path string) {
			foreign(t, path, `PRAGMA journal_mode = WAL`, `CREATE TABLE t (x)`)
		}, ErrNotBook, ErrNotBook, "another program", true},
		{"another program's, marked as such", func(t *testing.T, path string) {
			foreign(t, path, `PRAGMA application_id = 77`, `VACUUM`)
		}, ErrNotBook, ErrNotBook, "another program", true},
		{"a database with nothing in it", func(t *testing.T, path string) {
			foreign(t, path, `PRAGMA journal_mode = WAL`, `VACUUM`)
		}, ErrNotBook, nil, "nothing in it", false},
		{"a newer book", func(t *testing.T, path string) {
			b := openBook(t, path, func(o *Options) { o.Create = true })
			b.Close()
			foreign(t, path, `PRAGMA user_version = 9999`)
		}, ErrNewer, ErrNewer, "9999", false},
		{"a book cut short", func(t *testing.T, path string) {
			b := openBook(t, path, func(o *Options) { o.Create = true })
			b.Close()
			os.Truncate(path, 5000)
		}, ErrBroken, ErrBroken, "damaged", false},
	}
	for _, c := range cases {
		t.Run(c.what, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "sheds")
			if err := os.Mkdir(dir, 0o755); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(dir, "hollin.book")
			c.make(t, path)
			before := ""
			if c.what != "a missing folder" {
				before = files(t, dir)
			}
			for _, readOnly := range []bool{false, true} {
				opts := testOptions()
				opts.ReadOnly = readOnly
				_, err := Open(ctx, path, opts)
				if !errors.Is(err, c.open) {
					t.Fatalf("read only %v: got %v, want %v", readOnly, err, c.open)
				}
				if !strings.HasPrefix(err.Error(), path+": ") || !strings.Contains(err.Error(), c.says) {
					t.Errorf("read only %v: it says %q", readOnly, err)
				}
			}
			if c.open != ErrNewer && c.open != ErrBroken && before != "" && files(t, dir) != before {
				t.Errorf("left behind: %s, before: %s", files(t, dir), before)
			}
			b, err := Create(ctx, path, testOptions())
			if !errors.Is(err, c.create) {
				t.Fatalf("create: got %v, want %v", err, c.create)
			}
			if err == nil {
				mustHold(t, b)
				b.Close()
			}
			if c.leaveAsItIs && files(t, dir) != before {
				t.Errorf("left behind by Create: %s, before: %s", files(t, dir), before)
			}
		})
	}
}

func TestOpenNeeds(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hollin.book")
	for _, zone := range []string{"", "Mars/Olympus"} {
		_, err := Create(ctx, path, Options{Now: (&clock{noon}).now, Zone: zone})
		mustBe(t, err, ErrZone)
	}
	if _, err := Create(ctx, path, Options{Zone: testZone}); err == nil {
		t.Error("a book without a clock")
	}
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a file was made: %v", err)
	}
}

// Names that mean something else in a URI, or to SQLite, are names of files here.
func TestOddNames(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"a book?mode=memory", "50%.book", "#1 shed", ":memory:", "späne.book", "it's"} {
		path := filepath.Join(dir, name)
		b := openBook(t, path, func(o *Options) { o.Create = true })
		addMachine(t, b, "RT1", "tractor")
		b.Close()
		if info, err := os.Stat(path); err != nil || info.Size() == 0 {
			t.Errorf("%s: no such file: %v", name, err)
		}
		again := openBook(t, path)
		if seq, _, _ := again.Head(ctx); seq != 2 {
			t.Errorf("%s: opened again at entry %d", name, seq)
		}
		again.Close()
	}
	t.Chdir(dir)
	openBook(t, "relative.book", func(o *Options) { o.Create = true }).Close()
	if _, err := os.Stat(filepath.Join(dir, "relative.book")); err != nil {
		t.Error(err)
	}
}

func TestReadOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hollin.book")
	b := openBook(t, path, func(o *Options) { o.Create = true })
	id := addMachine(t, b, "RT1", "tractor")
	r := openBook(t, path, func(o *Options) { o.ReadOnly, o.Now = true, nil })
	// A reader sees what another handle commits.
	write(t, b, reading("a", id, 1))
	if h, err := r.History(ctx, id); err != nil || len(h) != 2 {
		t.Errorf("read %d lines (%v)", len(h), err)
	}
	_, err := r.Write(ctx, engine.Batch{Entries: []engine.Entry{reading("b", id, 2)}})
	mustBe(t, err, ErrReadOnly)
	_, err = r.Rebuild(ctx)
	mustBe(t, err, ErrReadOnly)
	mustBe(t, r.Erase(ctx, 1, FieldRaw), ErrReadOnly)
	if _, err := r.Verify(ctx, 0, ""); err != nil {
		t.Error(err)
	}
}

// asNobody runs a test again as a user who owns nothing, since root may write
// everywhere.
func asNobody(t *testing.T, role, path string) string {
	t.Helper()
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	// The test binary lies where nobody may not look; a copy lies in the open.
	dir, err := os.MkdirTemp("", "store-nobody")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	os.Chmod(dir, 0o755)
	body, err := os.ReadFile(exe)
	if err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(dir, "store.test")
	if err := os.WriteFile(copied, body, 0o755); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(copied)
	cmd.Dir = "/"
	cmd.Env = append(os.Environ(), childVar+"="+role, "BOOK="+path)
	if os.Getuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return string(out)
}

func init() {
	children["open"] = func() error {
		path := os.Getenv("BOOK")
		for _, how := range []string{"write", "create", "read"} {
			opts := testOptions()
			opts.ReadOnly, opts.Create = how == "read", how == "create"
			b, err := Open(ctx, path, opts)
			word := "opened"
			for _, class := range []error{ErrNoBook, ErrReadOnly, ErrNotBook} {
				if errors.Is(err, class) {
					word = map[error]string{ErrNoBook: "no book", ErrReadOnly: "read only", ErrNotBook: "not a book"}[class]
				}
			}
			if err != nil && word == "opened" {
				word = err.Error()
			}
			if err == nil {
				if _, err := b.Verify(ctx, 0, ""); err != nil {
					word += ", " + err.Error()
				}
				b.Close()
			}
			fmt.Printf("%s: %s\n", how, word)
		}
		return nil
	}
}

func TestNoPermission(t *testing.T) {
	cases := []struct {
		what         string
		file, folder fs.FileMode
		there        bool
		want         string
	}{
		{"all may be done", 0o666, 0o777, true, "write: opened\ncreate: opened\nread: opened\n"},
		{"a file that is read only", 0o444, 0o777, true, "write: read only\ncreate: read only\nread: opened\n"},
		{"a folder that is read only", 0o666, 0o555, true, "write: read only\ncreate: read only\nread: opened\n"},
		{"both", 0o444, 0o555, true, "write: read only\ncreate: read only\nread: opened\n"},
		{"a file that may not be read", 0o222, 0o777, true, "write: no book\ncreate: no book\nread: no book\n"},
		{"nothing in a folder that is read only", 0, 0o555, false, "write: no book\ncreate: read only\nread: no book\n"},
	}
	for _, c := range cases {
		t.Run(c.what, func(t *testing.T) {
			dir, err := os.MkdirTemp("", "store-permission")
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { os.Chmod(dir, 0o700); os.RemoveAll(dir) })
			path := filepath.Join(dir, "hollin.book")
			if c.there {
				openBook(t, path, func(o *Options) { o.Create = true }).Close()
				os.Chmod(path, c.file)
			}
			os.Chmod(dir, c.folder)
			before := files(t, dir)
			if got := asNobody(t, "open", path); got != c.want {
				t.Errorf("got\n%swant\n%s", got, c.want)
			}
			if c.folder == 0o555 && files(t, dir) != before {
				t.Errorf("left behind: %s", files(t, dir))
			}
		})
	}
}

// The pragmas that the promises rest on, read on the live connections.
func TestPragmas(t *testing.T) {
	b := newBook(t)
	ask := func(q querier, pragma string) (v string) {
		t.Helper()
		if err := q.row(ctx, "PRAGMA "+pragma).Scan(&v); err != nil {
			t.Fatalf("%s: %v", pragma, err)
		}
		return v
	}
	cases := []struct{ pragma, writer, reader string }{
		{"synchronous", "2", ""}, // FULL: https://www.sqlite.org/pragma.html#pragma_synchronous
		{"journal_mode", "wal", "wal"},
		{"foreign_keys", "1", "1"},
		{"secure_delete", "1", ""},
		{"query_only", "0", "1"},
		{"busy_timeout", "5000", "5000"},
	}
	for _, c := range cases {
		if got := ask(b.w, c.pragma); got != c.writer {
			t.Errorf("writer: %s is %s, want %s", c.pragma, got, c.writer)
		}
		if got := ask(b.r.all, c.pragma); c.reader != "" && got != c.reader {
			t.Errorf("reader: %s is %s, want %s", c.pragma, got, c.reader)
		}
	}
	// After a connection was lost the new one has them too.
	b.w.once(ctx, `BEGIN`)
	b.w.once(ctx, `ROLLBACK`)
	b.w.rollback(ctx) // there is nothing to roll back: the connection is replaced
	if got := ask(b.w, "synchronous"); got != "2" {
		t.Errorf("a new connection has synchronous %s", got)
	}
	addMachine(t, b, "RT1", "tractor")
	mustHold(t, b)
}

// later are migrations as a later version might bring them.
func later(t *testing.T, more ...string) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	paths, _ := fs.Glob(embedded, "migrations/*.sql")
	for _, p := range paths {
		body, err := fs.ReadFile(embedded, p)
		if err != nil {
			t.Fatal(err)
		}
		out[p] = &fstest.MapFile{Data: body}
	}
	for i, m := range more {
		out[fmt.Sprintf("migrations/%04d_later.sql", len(paths)+1+i)] = &fstest.MapFile{Data: []byte(m)}
	}
	return out
}

const (
	addTable  = "CREATE TABLE leases (holder TEXT NOT NULL PRIMARY KEY) STRICT;\n"
	addColumn = "-- two statements\nALTER TABLE leases ADD COLUMN until INTEGER;\nINSERT INTO leases (holder) VALUES ('nobody');\n"
)

func TestMigration(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hollin.book")
	b := openBook(t, path, func(o *Options) { o.Create = true })
	id := addMachine(t, b, "RT1", "tractor")
	write(t, b, reading("a", id, 1))
	seq, hash, _ := b.Head(ctx)
	b.Close()
	newer := func(o *Options) { o.migrations = later(t, addTable, addColumn) }
	b = openBook(t, path, newer)
	if nowSeq, nowHash, _ := b.Head(ctx); nowSeq != seq || nowHash != hash {
		t.Errorf("the ledger went from %d:%s to %d:%s", seq, hash, nowSeq, nowHash)
	}
	mustHold(t, b)
	write(t, b, reading("b", id, 2))
	b.Close()
	// A copy was made before each step, as the book was then.
	steps, err := loadMigrations(nil)
	if err != nil {
		t.Fatal(err)
	}
	first := len(steps) + 1
	for number, tables := range map[int]int{first: 0, first + 1: 1} {
		copied, err := sql.Open("sqlite3", "file:"+CopyBefore(path, number)+"?mode=ro&immutable=1")
		if err != nil {
			t.Fatal(err)
		}
		var version, n, lines int
		err = copied.QueryRow(`SELECT (SELECT user_version FROM pragma_user_version), (SELECT count(*) FROM sqlite_schema WHERE name = 'leases'), (SELECT count(*) FROM ledger)`).Scan(&version, &n, &lines)
		if err != nil || version != number-1 || n != tables || lines != 3 {
			t.Errorf("copy before %d: version %d, %d tables, %d lines (%v)", number, version, n, lines, err)
		}
		copied.Close()
	}
	// The copy is a book: this program opens it.
	old := openBook(t, CopyBefore(path, first))
	mustHold(t, old)
	old.Close()
	// The migrated book is too new for this program.
	_, err = Open(ctx, path, testOptions())
	mustBe(t, err, ErrNewer)
	// Opened again nothing happens to it.
	os.Remove(CopyBefore(path, first))
	b = openBook(t, path, newer)
	if _, err := os.Stat(CopyBefore(path, first)); err == nil {
		t.Error("copied again without need")
	}
	b.Close()
	// One of its steps was changed after it was released.
	_, err = Open(ctx, path, Options{Now: (&clock{noon}).now, migrations: later(t, addTable, addTable)})
	mustBe(t, err, ErrBroken)
}

// An older book is not migrated by somebody who only reads.
func TestMigrationNeedsWriting(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hollin.book")
	openBook(t, path, func(o *Options) { o.Create = true }).Close()
	opts := Options{ReadOnly: true, migrations: later(t, addTable)}
	_, err := Open(ctx, path, opts)
	mustBe(t, err, ErrReadOnly)
	if got := files(t, filepath.Dir(path)); strings.Contains(got, "before") {
		t.Errorf("left behind: %s", got)
	}
}

// A step that fails leaves the book as it was, with the steps before it.
func TestMigrationFails(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hollin.book")
	b := openBook(t, path, func(o *Options) { o.Create = true })
	addMachine(t, b, "RT1", "tractor")
	b.Close()
	opts := testOptions()
	opts.migrations = later(t, "CREATE TABLE leases (x INTEGER);\nCREATE TABLE ledger (x INTEGER);\n")
	if _, err := Open(ctx, path, opts); err == nil {
		t.Fatal("a faulty migration went through")
	}
	mustHold(t, openBook(t, path))
}

func TestMigrationFiles(t *testing.T) {
	cases := []struct {
		what  string
		files fstest.MapFS
	}{
		{"none", fstest.MapFS{}},
		{"a gap", fstest.MapFS{"migrations/0002_x.sql": {Data: []byte("SELECT 1;")}}},
		{"no number", fstest.MapFS{"migrations/x.sql": {Data: []byte("SELECT 1;")}}},
	}
	for _, c := range cases {
		if _, err := loadMigrations(c.files); err == nil {
			t.Errorf("%s: taken", c.what)
		}
	}
	steps, err := loadMigrations(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range steps {
		for _, statement := range s.statements {
			if !strings.HasSuffix(strings.TrimSpace(statement), ";") {
				t.Errorf("%s: a statement does not end: %q", s.name, statement)
			}
			upper := strings.ToUpper(statement)
			for _, word := range []string{"UPDATE LEDGER", "DELETE FROM LEDGER", "DROP TABLE LEDGER", "ALTER TABLE LEDGER", "INSERT INTO LEDGER", "REPLACE INTO LEDGER"} {
				if strings.Contains(upper, word) {
					t.Errorf("%s touches the ledger: %q", s.name, statement)
				}
			}
		}
	}
}

// TestReleasedBooks opens the books of every released schema. Such a file is
// made once (with -update, by the version that releases it) and never again.
func TestReleasedBooks(t *testing.T) {
	steps, err := loadMigrations(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range steps {
		name := fmt.Sprintf("v%d.db", s.number)
		released := filepath.Join("..", "testdata", "books", name)
		if _, err := os.Stat(released); errors.Is(err, fs.ErrNotExist) && *update && s.number == len(steps) {
			makeReleased(t, released)
		}
		body, err := os.ReadFile(released)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, body, 0o644); err != nil {
			t.Fatal(err)
		}
		b := openBook(t, path)
		mustHold(t, b)
		// The head of version 1, taken down when the file was made.
		if s.number == 1 {
			want, err := os.ReadFile(filepath.Join("..", "testdata", "books", "v1.head"))
			if err != nil {
				t.Fatal(err)
			}
			at, hash, _ := strings.Cut(strings.TrimSpace(string(want)), ":")
			var seq engine.Seq
			fmt.Sscan(at, &seq)
			if _, err := b.Verify(ctx, seq, hash); err != nil {
				t.Error(err)
			}
			testReleasedContent(t, b)
		}
		if s.number >= 2 { // from here on it is kept which message ended a question
			if trace, err := b.Message(ctx, "say", "the answer"); err != nil || !slices.Equal(trace.Closed, []engine.QuestionID{1}) {
				t.Errorf("%s: the answer ended %v (%v), want question 1", name, trace.Closed, err)
			}
		}
		b.Close()
	}
}

// releasedBatches is what the book of schema 1 holds: a bit of everything.
func releasedBatches() []engine.Batch {
	rt1 := engine.MachineID(3)
	by := func(e engine.Entry, who engine.PersonID) engine.Entry {
		e.Writer = who
		return e
	}
	water := drained("rt1 1223.4 drained bit of water", rt1, 12234)
	water.Finding, water.Amount = engine.Water, engine.Amount{Class: engine.Some}
	sticker := engine.Entry{Kind: engine.KindBaseline, Source: from("sticker"), Machine: rt1, Known: engine.Sticker,
		Jobs: []engine.Job{engine.EngineOil}, Hours: engine.Known[engine.Tenths](11400), Texts: engine.Texts{Raw: "oil on rt1 was done at 1140 says the sticker"}}
	return []engine.Batch{
		{Entries: []engine.Entry{person("Joss Penhale"), machine("RT1", "tractor"), machine("WF1", "frost fan")}},
		{Entries: []engine.Entry{by(reading("rt1 1220.8", rt1, 12208), 2), by(water, 2), by(sticker, 2)}},
		{Entries: []engine.Entry{by(reading("wf1 498", 4, 4980), 2)}},
		{Entries: []engine.Entry{by(correction("wf1 was 489", 4, 4890, 8), 2)}},
		{Entries: []engine.Entry{by(takeBack("undo", 9), 2)}},
		{Entries: []engine.Entry{
			{Kind: engine.KindLabel, Source: from("granny"), Machine: rt1, Key: "nickname", Texts: engine.Texts{Name: "granny"}},
			{Kind: engine.KindTrait, Source: from("whole"), Machine: 4, Key: engine.TraitMeterReads, Value: string(engine.ReadsWhole)},
			{Kind: engine.KindPlan, Source: from("plan"), Machine: rt1, Jobs: []engine.Job{engine.Separator}, Plan: engine.Interval{Every: 4000, Months: 12}},
		}},
		{
			Ask:   []engine.Question{{Person: 2, Place: "bay", Asked: noon, Expires: noon + 1800, Source: from("q"), Raw: "14 498.0", Held: []byte("held")}},
			Posts: []engine.Post{{Kind: "morning", Day: 20781, Text: "RT1: drain before the next start", At: noon, Data: []byte{0, 1}}},
			Heard: &engine.HeardChange{Channel: "say", Message: "edited", Revision: 7, At: noon},
		},
	}
}

// anAnswer ends the question of releasedBatches; books of schema 1 did not keep
// by what.
var anAnswer = engine.Batch{
	Close: []engine.Closing{{ID: 1, State: engine.Answered, By: engine.Source{Channel: "say", Message: "the answer"}}},
}

func makeReleased(t *testing.T, path string) {
	t.Helper()
	b := openBook(t, path, func(o *Options) { o.Create, o.Rand = true, &salts{} })
	for _, batch := range append(releasedBatches(), anAnswer) {
		if _, err := b.Write(ctx, batch); err != nil {
			t.Fatal(err)
		}
	}
	seq, hash, err := b.Head(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(b.Close(), os.WriteFile(strings.TrimSuffix(path, ".db")+".head", fmt.Appendf(nil, "%d:%s\n", seq, hash), 0o644)); err != nil {
		t.Fatal(err)
	}
}

func testReleasedContent(t *testing.T, b *Book) {
	t.Helper()
	want := []string{
		"3:machine", "5:reading", "6:service", "7:baseline", "11:label", "13:plan",
		"4:machine", "8:reading", "9:reading taken-back by 10", "10:takeback", "12:trait",
	}
	got := append(states(t, b, 3), states(t, b, 4)...)
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got  %v\nwant %v", got, want)
	}
	e, err := b.Entry(ctx, 6)
	if err != nil || e.Raw != "rt1 1223.4 drained bit of water" || e.Amount.Class != engine.Some || e.Hours.Value != 12234 {
		t.Errorf("entry 6 is %+v (%v)", e, err)
	}
	asked, err := b.Questions(ctx)
	if err != nil || len(asked) != 1 || string(asked[0].Held) != "held" {
		t.Errorf("asked %+v (%v)", asked, err)
	}
	post, there, err := b.Post(ctx, "morning", engine.DayOf(2026, time.November, 24))
	if err != nil || !there || post.State != engine.Planned {
		t.Errorf("posted %+v (%v)", post, err)
	}
}
