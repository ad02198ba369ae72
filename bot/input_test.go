package main

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"woodruff/commands"
	"woodruff/engine"
)

// onABook are the subcommands that need a book that is there, each with the
// least it takes.
func onABook(book string) map[string][]string {
	return map[string][]string{
		"chat":    {"chat", "--book", book},
		"say":     {"say", "--book", book, "--by", "Joss", "--role", "tech", "rt1 1104.2"},
		"due":     {"due", "--book", book},
		"morning": {"morning", "--book", book},
		"log":     {"log", "--book", book, "--csv"},
		"plan":    {"plan", "--book", book, "--file", "../testdata/cli/plan.csv"},
		"read":    {"read", "--book", book},
		"verify":  {"verify", "--book", book},
		"rebuild": {"rebuild", "--book", book},
	}
}

// TestNotABook points every subcommand at what is no book: exit 2, the file
// named, and nothing changed, made or left beside it.
func TestNotABook(t *testing.T) {
	rows := []struct {
		name string
		make func(t *testing.T, path string)
	}{
		{"missing", func(*testing.T, string) {}},
		{"empty", func(t *testing.T, path string) { put(t, path, "") }},
		{"text", func(t *testing.T, path string) { put(t, path, strings.Repeat("dear diary\n", 400)) }},
		{"short", func(t *testing.T, path string) { put(t, path, "SQLite format 3\x00") }},
		{"folder", func(t *testing.T, path string) {
			if err := os.Mkdir(path, 0o755); err != nil {
				t.Fatal(err)
			}
		}},
		{"another program's database", func(t *testing.T, path string) { execSQL(t, path, `CREATE TABLE stock (part TEXT)`) }},
		{"a newer program's book", func(t *testing.T, path string) {
			copyBook(t, shed(t), path)
			execSQL(t, path, `PRAGMA user_version = 900`)
		}},
		{"a folder that is not there", nil},
		{"a file as the folder", nil},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "shed.db")
			switch r.name {
			case "a folder that is not there":
				path = filepath.Join(dir, "none", "shed.db")
			case "a file as the folder":
				put(t, filepath.Join(dir, "none"), "a file")
				path = filepath.Join(dir, "none", "shed.db")
			default:
				r.make(t, path)
			}
			before := folder(t, dir)
			for name, args := range onABook(path) {
				code, out, errs := here(t, "{}\n", args...)
				if code != exitUsage || !strings.Contains(errs, path) || out != "" || strings.Count(errs, "\n") != 1 {
					t.Errorf("%s: exit %d\n%s%s", name, code, out, errs)
				}
				if after := folder(t, dir); after != before {
					t.Fatalf("%s has changed the folder to %s, was %s", name, after, before)
				}
			}
		})
	}
}

// folder is what lies in a folder, with each file's content; what SQLite leaves
// beside a file that was only read, an empty log and its index, is nothing.
func folder(t *testing.T, dir string) string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, f := range list {
		content, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil && !f.IsDir() {
			t.Fatal(err)
		}
		if strings.HasSuffix(f.Name(), "-shm") || strings.HasSuffix(f.Name(), "-wal") && len(content) == 0 {
			continue
		}
		out = append(out, fmt.Sprintf("%s (%x)", f.Name(), content[:min(len(content), 100)]))
	}
	return fmt.Sprint(len(out), out)
}

// openSQL opens a book as some other program might.
func openSQL(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	return db
}

func execSQL(t testing.TB, path, statement string) {
	t.Helper()
	db := openSQL(t, path)
	defer db.Close()
	if _, err := db.Exec(statement); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
}

// TestImportTakesAFileAsItComes: a byte order mark, CRLF, quoted fields with
// commas, quotes and line ends in them [RFC 4180, section 2], and blank lines.
func TestImportTakesAFileAsItComes(t *testing.T) {
	for _, name := range []string{"machines.csv", "log.csv"} { // the files are what they should be
		raw, err := os.ReadFile("../testdata/cli/" + name)
		if err != nil || !bytes.HasPrefix(raw, []byte("\xef\xbb\xbf")) || !bytes.Contains(raw, []byte("\r\n")) || !bytes.Contains(raw, []byte(`""`)) {
			t.Fatalf("%s has lost its mark, CRLF or quotes (%v)", name, err)
		}
	}
	book := shed(t)
	out := must(t, "log", "--book", book)
	for _, want := range []string{"Haul tractor, long bed", `nickname the "howler"`, "granny", "Mon 23 Nov 500.0 bowl drained"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in the book:\n%s", want, out)
		}
	}
	rows := logRows(t, book, "HT1")
	last := rows[len(rows)-1]
	if last["said"] != "2026-11-23T12:25:00Z" || last["done_by"] != "Wilm Aske" || !strings.Contains(last["words"], "the second line") {
		t.Errorf("the row of HT1: %v", last)
	}
	rows = logRows(t, book, "WF1")
	if last := rows[len(rows)-1]; last["day"] != "2026-11-23" || last["hours"] != "391.0" {
		t.Errorf("the row of WF1: %v", last)
	}
}

// TestImportTwice: the same files again add nothing, a corrected row comes
// beside the old one and is reported, another zone is refused.
func TestImportTwice(t *testing.T) {
	book := shed(t)
	before := headOf(t, book)
	files := []string{"import", "--book", book, "--zone", "America/Toronto", "--machines", "../testdata/cli/machines.csv", "--log", "../testdata/cli/log.csv"}
	if out := must(t, files...); !strings.Contains(out, "0 machines added, 0 rows of the log") || !strings.Contains(out, "4 rows were in the book already") {
		t.Errorf("again: %s", out)
	}
	if after := headOf(t, book); after != before {
		t.Errorf("the same files again have written: %s, was %s", after, before)
	}
	// The key is the content: order, CRLF and quoting are not of it.
	other := filepath.Join(t.TempDir(), "log.csv")
	put(t, other, "day,time,machine,hours,job,finding,amount_ml,by,note\n2026-11-20, 7:25,rt1,1100,drain,clean,,Joss Penhale,\n2026-08-31,07:00,RT1,1000.0,engineoil,,,\"Joss Penhale\",\"15W-40,  7 l\"\n")
	if out := must(t, "import", "--book", book, "--zone", "America/Toronto", "--log", other); !strings.Contains(out, "2 rows were in the book already") || headOf(t, book) != before {
		t.Errorf("the same rows written otherwise: %s", out)
	}
	out := must(t, "import", "--book", book, "--zone", "America/Toronto", "--log", "../testdata/cli/log-corrected.csv")
	if !strings.Contains(out, "1 rows of the log") || !strings.Contains(out, "line 2, RT1 2026-11-20: new beside") {
		t.Errorf("a corrected row: %s", out)
	}
	var figures []string
	for _, row := range logRows(t, book, "RT1") {
		if row["kind"] == "service" && row["day"] == "2026-11-20" {
			figures = append(figures, row["hours"]+row["state"])
		}
	}
	if !slices.Equal(figures, []string{"1100.0", "1101.0"}) {
		t.Errorf("both stand: %q", figures)
	}
	// Equal rows within a file count apart: a machine may be greased twice.
	put(t, other, "day,time,machine,hours,job,finding,amount_ml,by,note\n2026-11-21,,RT1,,grease,,,Joss Penhale,\n2026-11-21,,RT1,,grease,,,Joss Penhale,\n")
	for _, want := range []string{"2 rows of the log", "2 rows were in the book already"} {
		if out := must(t, "import", "--book", book, "--zone", "America/Toronto", "--log", other); !strings.Contains(out, want) {
			t.Errorf("equal rows: %s, want %s", out, want)
		}
	}
	before = headOf(t, book)
	code, _, errs := here(t, "", "import", "--book", book, "--zone", "America/Halifax", "--log", other)
	if code != exitUsage || !strings.Contains(errs, "America/Toronto") || headOf(t, book) != before {
		t.Errorf("another zone: exit %d, %s", code, errs)
	}
	mustHold(t, book)
}

// TestImportNamesEveryFault and writes nothing where there is one.
func TestImportNamesEveryFault(t *testing.T) {
	rows := []struct {
		name          string
		machines, log string
		faults        []string // each on a line of its own, and no more than these
	}{
		{"faulty machines", "machines-faulty.csv", "", []string{
			"machines.csv line 3, tag: ", "machines.csv line 4, meter_reads: ", "machines.csv line 5, kind: ", "machines.csv line 5, bowl_ml: ",
		}},
		{"faulty log", "machines.csv", "log-faulty.csv", []string{
			"log.csv line 3, day: ", "log.csv line 4, time: ", "log.csv line 5, machine: ", "log.csv line 6, hours: ", "log.csv line 7, job: ",
			"log.csv line 8, finding: ", "log.csv line 9, amount_ml: ", "log.csv line 10, day: ", "log.csv line 11: ", "log.csv line 12, hours: ",
		}},
		{"bad UTF-8", "machines-latin1.csv", "", []string{"machines.csv line 3, aka: not UTF-8"}},
		{"an empty file", "empty.csv", "", []string{"machines.csv line 1: the file is empty"}},
		{"an empty log", "machines.csv", "empty.csv", []string{"log.csv line 1: the file is empty"}},
		{"the files mixed up", "log.csv", "", []string{"machines.csv line 1"}},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			for _, fresh := range []bool{true, false} {
				book, before := filepath.Join(t.TempDir(), "new.db"), ""
				if !fresh {
					book = shed(t)
					before = headOf(t, book)
				}
				args := []string{"import", "--book", book, "--zone", "America/Toronto", "--machines", "../testdata/cli/" + r.machines}
				if r.log != "" {
					args = append(args, "--log", "../testdata/cli/"+r.log)
				}
				code, out, errs := here(t, "", args...)
				if code != exitFailed || out != "" {
					t.Errorf("exit %d\n%s%s", code, out, errs)
				}
				got := strings.Split(strings.TrimSpace(errs), "\n")
				for _, want := range r.faults {
					if !slices.ContainsFunc(got, func(l string) bool { return strings.HasPrefix(l, want) }) {
						t.Errorf("not named: %s\n%s", want, errs)
					}
				}
				if len(got) != len(r.faults) && r.name != "the files mixed up" {
					t.Errorf("%d faults named, there are %d:\n%s", len(got), len(r.faults), errs)
				}
				if !fresh && headOf(t, book) != before {
					t.Error("something was written")
				}
				if fresh {
					for _, f := range bookFiles(book) {
						if _, err := os.Stat(f); err == nil {
							t.Errorf("%s was left", f)
						}
					}
				}
			}
		})
	}
}

// TestRebuildSaysWhatDiffered after a projection was tampered with, and makes
// it good again.
func TestRebuildSaysWhatDiffered(t *testing.T) {
	rows := []struct{ statement, table string }{
		{`UPDATE lines SET hours_tenths = 9999 WHERE kind = 'service' AND machine = 3`, "lines"}, // another figure
		{`DELETE FROM lines WHERE kind = 'reading'`, "lines"},                                    // gone
		{`UPDATE lines SET state = 'taken-back', by_seq = 1 WHERE kind = 'finding'`, "lines"},    // hidden
		{`UPDATE sources SET message = 'x' || message WHERE seq = 12`, "sources"},                // a repeat would not be known
	}
	for _, r := range rows {
		book := shed(t)
		want := must(t, "log", "--book", book, "--csv")
		execSQL(t, book, r.statement)
		if code, out, errs := here(t, "", "verify", "--book", book); code != exitFailed || !strings.Contains(out, r.table) {
			t.Errorf("%s: verify: exit %d\n%s%s", r.statement, code, out, errs)
		}
		if out := must(t, "rebuild", "--book", book); !strings.HasPrefix(out, "Differed") || !strings.Contains(out, r.table) {
			t.Errorf("%s: rebuild: %s", r.statement, out)
		}
		mustHold(t, book)
		if got := must(t, "log", "--book", book, "--csv"); got != want {
			t.Errorf("%s: made again it is\n%swant\n%s", r.statement, got, want)
		}
	}
}

// TestRebuildLeavesWhatItCannotMake says so, and that the book does not hold.
func TestRebuildLeavesWhatItCannotMake(t *testing.T) {
	for statement, table := range map[string]string{
		`UPDATE texts SET text = 'never said' WHERE field = 'name'`: "texts",
		`UPDATE meta SET value = 'x' WHERE key = 'schema'`:          "meta",
	} {
		book := shed(t)
		execSQL(t, book, statement)
		for _, command := range []string{"verify", "rebuild", "rebuild", "verify"} {
			if code, out, errs := here(t, "", command, "--book", book); code != exitFailed || !strings.Contains(out, table) {
				t.Errorf("%s: %s: exit %d\n%s%s", statement, command, code, out, errs)
			}
		}
	}
}

// everyTable is a book with rows in every table.
func everyTable(t *testing.T) string {
	t.Helper()
	book := shed(t)
	now := engine.Instant(testNow.Unix())
	s := openAt(t, book, now)
	said := func(id, text string) commands.Said {
		return commands.Said{
			Channel: "say", ID: id, Place: "yard", At: now, Text: text,
			By: commands.Speaker{Name: "Joss Penhale", Role: commands.Tech}, Mention: true,
		}
	}
	for _, in := range []commands.Inbound{
		said("a1", "rt1 1104.2 drained clean"),
		commands.Edited{Said: said("a1", "rt1 1104.3 drained clean"), Revision: 5}, // heard of
		said("a2", "rt2 84.2"),                                                     // a question
		said("a3", "no"),                                                           // its answer
		said("a4", "rt1 1004.2"),
	} {
		if _, err := s.desk.Handle(t.Context(), in); err != nil {
			t.Fatal(err)
		}
	}
	_, _, planned, err := s.desk.Due(t.Context(), now) // a post
	if err != nil || !planned {
		t.Fatal(planned, err)
	}
	buttons := engine.Post{Kind: "buttons", Day: s.cal.DayAt(now), State: engine.Planned, At: now, Text: "bowl due", Data: []byte("RT1 drain")}
	if _, err := s.book.Write(t.Context(), engine.Batch{Posts: []engine.Post{buttons}}); err != nil {
		t.Fatal(err)
	}
	if s.close(&err); err != nil {
		t.Fatal(err)
	}
	execSQL(t, book, `PRAGMA wal_checkpoint(TRUNCATE)`)
	return book
}

// TestOneFlippedByte changes one bit of one byte, in every column of every
// table in turn, and asks verify; what is a projection, rebuild makes again.
func TestOneFlippedByte(t *testing.T) {
	from := everyTable(t)
	flipped := map[string]int{}
	all := 0
	for _, c := range columnsOf(t, from) {
		book := filepath.Join(t.TempDir(), "shed.db")
		copyBook(t, from, book)
		if !c.flip(t, book) {
			t.Errorf("%s.%s holds nothing in any row", c.table, c.name)
			continue
		}
		flipped[c.table]++
		all++
		code, out, errs := here(t, "", "verify", "--book", book)
		if code != exitFailed || !strings.Contains(out+errs, "does not hold") {
			t.Errorf("%s.%s: verify: exit %d\n%s%s", c.table, c.name, code, out, errs)
		}
		if c.table != "lines" && c.table != "sources" {
			continue
		}
		if out := must(t, "rebuild", "--book", book); !strings.Contains(out, c.table) {
			t.Errorf("%s.%s: rebuild: %s", c.table, c.name, out)
		}
		mustHold(t, book)
	}
	t.Logf("one byte of %d columns was flipped: %v", all, flipped)
	for _, table := range []string{"answers", "heard", "ledger", "lines", "meta", "migrations", "posts", "questions", "sources", "texts"} {
		if flipped[table] == 0 {
			t.Errorf("nothing of %s was flipped", table)
		}
	}
}

// column is one column of a book's tables.
type column struct {
	table, name string
	key         []string // the columns that make a row
}

func columnsOf(t *testing.T, book string) []column {
	t.Helper()
	db := openSQL(t, book)
	defer db.Close()
	rows, err := db.Query(`SELECT m.name, c.name, c.pk FROM sqlite_schema AS m, pragma_table_info(m.name) AS c
		WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%' ORDER BY m.name, c.cid`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var all []column
	keys := map[string][]string{}
	for rows.Next() {
		var c column
		var place int
		if err := rows.Scan(&c.table, &c.name, &place); err != nil {
			t.Fatal(err)
		}
		if place > 0 {
			keys[c.table] = append(keys[c.table], c.name)
		}
		all = append(all, c)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	for i := range all {
		all[i].key = keys[all[i].table]
	}
	return all
}

// flip changes the lowest bit of a value in the row where it is longest: of a
// number, or of the middle byte of a text or blob. It is false where no row
// holds anything.
func (c column) flip(t *testing.T, book string) bool {
	t.Helper()
	db := openSQL(t, book)
	defer db.Close()
	row := make([]any, len(c.key)+1)
	dest := make([]any, len(row))
	for i := range row {
		dest[i] = &row[i]
	}
	err := db.QueryRow(fmt.Sprintf(`SELECT %s, %s FROM %s WHERE %[2]s <> '' ORDER BY length(%[2]s) DESC LIMIT 1`,
		strings.Join(c.key, ", "), c.name, c.table)).Scan(dest...)
	if errors.Is(err, sql.ErrNoRows) {
		return false
	}
	if err != nil {
		t.Fatal(err)
	}
	var value any
	switch v := row[len(c.key)].(type) {
	case int64:
		value = v ^ 1
	case string:
		raw := []byte(v)
		raw[len(raw)/2] ^= 1
		value = string(raw)
	case []byte:
		raw := bytes.Clone(v)
		raw[len(raw)/2] ^= 1
		value = raw
	default:
		t.Fatalf("%s.%s is a %T", c.table, c.name, v)
	}
	result, err := db.Exec(fmt.Sprintf(`UPDATE OR REPLACE %s SET %s = ? WHERE %s = ?`, c.table, c.name, strings.Join(c.key, " = ? AND ")),
		append([]any{value}, row[:len(c.key)]...)...)
	if err != nil {
		t.Fatalf("%s.%s: %v", c.table, c.name, err)
	}
	if n, err := result.RowsAffected(); err != nil || n != 1 {
		t.Fatalf("%s.%s: %d rows changed, %v", c.table, c.name, n, err)
	}
	return true
}
