package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// testNow is the clock of most tests: a Tuesday morning at the shed.
var testNow = time.Date(2026, 11, 24, 7, 40, 0, 0, time.FixedZone("", -5*60*60))

// here runs the program within the test and gives its exit code and what it
// printed.
func here(t testing.TB, in string, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(args, outside{in: strings.NewReader(in), out: &o, err: &e, now: func() time.Time { return testNow }})
	return code, o.String(), e.String()
}

// must runs the program within the test and fails the test unless it is done.
func must(t testing.TB, args ...string) string {
	t.Helper()
	code, out, errs := here(t, "", args...)
	if code != exitDone {
		t.Fatalf("bot %q: exit %d\n%s%s", args, code, out, errs)
	}
	return out
}

// The two files of one machine, and the messages of a tech about it.
const (
	oneMachine = "tag,name,aka,kind,meter_reads,bowl_ml,owner\nRT1,Row tractor 1,granny,tractor,tenths,120,Co-op\n"
	oneLog     = "day,time,machine,hours,job,finding,amount_ml,by,note\n2026-11-20,07:25,RT1,1220.8,drain,clean,,Joss,\n"
)

// shopFiles writes the two files and gives the words that bring them in.
func shopFiles(t testing.TB, book, machines, log string) []string {
	t.Helper()
	dir := t.TempDir()
	m, l := filepath.Join(dir, "machines.csv"), filepath.Join(dir, "log.csv")
	put(t, m, machines)
	put(t, l, log)
	return []string{"import", "--book", book, "--zone", "America/Toronto", "--machines", m, "--log", l}
}

func put(t testing.TB, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// newBook makes a book with one machine and gives its path.
func newBook(t testing.TB) string {
	t.Helper()
	book := filepath.Join(t.TempDir(), "shed.db")
	must(t, shopFiles(t, book, oneMachine, oneLog)...)
	return book
}

// bookFiles are a book and what lies beside it.
func bookFiles(path string) []string { return []string{path, path + "-wal", path + "-shm"} }

// copyBook copies a book that nobody has open.
func copyBook(t testing.TB, from, to string) {
	t.Helper()
	for i, f := range bookFiles(from) {
		raw, err := os.ReadFile(f)
		if i > 0 && os.IsNotExist(err) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		put(t, bookFiles(to)[i], string(raw))
	}
}

// mustHold fails the test unless the book verifies and nothing would be
// rebuilt.
func mustHold(t testing.TB, book string) {
	t.Helper()
	must(t, "verify", "--book", book)
	if out := must(t, "rebuild", "--book", book); !strings.Contains(out, "Nothing differed") {
		t.Errorf("rebuild: %s", out)
	}
}

// logRows is the service book as rows by column.
func logRows(t testing.TB, book, machine string) []map[string]string {
	t.Helper()
	words := []string{"log", "--book", book, "--csv"}
	if machine != "" {
		words = append(words, "--machine", machine)
	}
	return csvRows(t, must(t, words...))
}

func csvRows(t testing.TB, text string) []map[string]string {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(all) == 0 {
		t.Fatalf("%v in CSV %q", err, text)
	}
	var rows []map[string]string
	for _, fields := range all[1:] {
		row := map[string]string{}
		for i, f := range fields {
			row[all[0][i]] = f
		}
		rows = append(rows, row)
	}
	return rows
}

// shed is the book of testdata/cli: three machines, four rows of log.
func shed(t testing.TB) string {
	t.Helper()
	book := filepath.Join(t.TempDir(), "shed.db")
	must(t, "import", "--book", book, "--zone", "America/Toronto",
		"--machines", "../testdata/cli/machines.csv", "--log", "../testdata/cli/log.csv")
	return book
}

// headOf is the last entry and its hash, as verify gives them.
func headOf(t testing.TB, book string) string {
	t.Helper()
	_, head, ok := strings.Cut(must(t, "verify", "--book", book), "Head ")
	if !ok {
		t.Fatal("verify names no head")
	}
	return strings.TrimSpace(head)
}

// TestHelp asks every subcommand for its help: exit 0, nothing on stderr, and
// every flag in it.
func TestHelp(t *testing.T) {
	rows := map[string][]string{
		"":         {"demo", "chat", "import", "say", "due", "forecast", "backtest", "morning", "log", "plan", "read", "verify", "rebuild", "Exit codes"},
		"demo":     {"demo shed"},
		"chat":     {"--book", "--by", "--role", "--zone"},
		"import":   {"--book", "--zone", "--machines", "--log", "tag,name,aka,kind,meter_reads,bowl_ml,owner", "day,time,machine,hours,job,finding,amount_ml,by,note"},
		"say":      {"--book", "--by", "--role", "--at", "--id", "--place", "--thread", "<text>"},
		"due":      {"--book", "--at", "--days", "--csv"},
		"forecast": {"--book", "--at", "--machine", "--days", "--csv", "80 % band"},
		"backtest": {"--book", "80 %"},
		"morning":  {"--book", "--at"},
		"log":      {"--book", "--machine", "--csv"},
		"plan":     {"--book", "--file", "--machine", "--usual"},
		"read":     {"--book", "--at"},
		"verify":   {"--book", "--expect"},
		"rebuild":  {"--book"},
	}
	for name, want := range rows {
		args := []string{"--help"}
		if name != "" {
			args = []string{name, "--help"}
		}
		code, out, errs := here(t, "", args...)
		if code != exitDone || errs != "" {
			t.Errorf("%q: exit %d, %s", args, code, errs)
		}
		for _, w := range want {
			if !strings.Contains(strings.Join(strings.Fields(out), " "), w) {
				t.Errorf("%q says nothing of %s:\n%s", args, w, out)
			}
		}
	}
	if code, out, _ := here(t, ""); code != exitDone || !strings.Contains(out, "import") {
		t.Errorf("no words at all: exit %d\n%s", code, out)
	}
}

// TestWrongUse is what scripts get wrong: exit 2, a reason, nothing written.
func TestWrongUse(t *testing.T) {
	book := shed(t)
	before := headOf(t, book)
	say := func(more ...string) []string {
		return append([]string{"say", "--book", book, "--by", "Joss Penhale", "--role", "tech"}, more...)
	}
	rows := []struct {
		args []string
		why  string // in what is printed
	}{
		{[]string{"frob"}, "frob"},                                                                                   // no such subcommand
		{[]string{"due", "--book", book, "--colour"}, "--colour"},                                                    // no such flag
		{[]string{"due"}, "--book"},                                                                                  // no book given
		{[]string{"due", "--book", book, "--days", "week"}, "--days"},                                                // no number
		{[]string{"due", "--book", book, "--days=-1"}, "--days"},                                                     // before today
		{[]string{"due", "--book", book, "--days=4000000000"}, "--days"},                                             // beyond any calendar
		{[]string{"due", "--book", book, "--at", "yesterday"}, "yesterday"},                                          // no time
		{[]string{"due", "--book", book, "--at", "2026-02-30T07:00"}, "2026-02-30"},                                  // no such day
		{[]string{"due", "--book", book, "--at", "2026-11-24T25:00"}, "25:00"},                                       // no such hour
		{[]string{"log", "--book", book, "--machine", "ZZ9"}, "ZZ9"},                                                 // no such machine
		{[]string{"plan", "--book", book}, "--file"},                                                                 // one of three is needed
		{[]string{"plan", "--book", book, "--file", "none.csv"}, "none.csv"},                                         // no such file
		{[]string{"verify", "--book", book, "--expect", "12"}, "12"},                                                 // no hash
		{[]string{"verify", "--book", book, "--expect", "0:aabbccddeeff"}, "0:"},                                     // no such number
		{[]string{"verify", "--book", book, "--expect", "3:zz"}, "zz"},                                               // not hexadecimal
		{[]string{"verify", "--book", book, "--expect", "3:abc"}, "12 to 64"},                                        // too short to mean anything
		{[]string{"import", "--book", book, "--zone", "America/Toronto"}, "--log"},                                   // no file
		{[]string{"import", "--book", book, "--machines", "m.csv"}, "--zone"},                                        // no zone
		{[]string{"import", "--book", book, "--zone", "Mars/Base", "--log", "../testdata/cli/log.csv"}, "Mars/Base"}, // no such zone
		{[]string{"import", "--book", book, "--zone", "Local", "--log", "../testdata/cli/log.csv"}, "Local"},         // names no place
		{[]string{"import", "--book", book, "--zone", "America/Toronto", "--log", "none.csv"}, "none.csv"},
		{[]string{"say", "--book", book, "--by", " ", "--role", "tech", "rt1 greased"}, "--by"}, // said by nobody
		{[]string{"chat", "--book", book, "--role", "boss"}, "--role"},
		{say(), "text"},                                        // nothing said
		{say("rt1", "1104.2"), "1104.2"},                       // words without quotes: the rest would be lost
		{say("--role", "boss", "hello"), "--role"},             // no such role
		{say("--thread", "ZZ9", "1104.2 drained"), "ZZ9"},      // no such machine
		{say("--zone", "America/Halifax", "hello"), "Halifax"}, // not this book's
		{[]string{"say", "--book", book, "--role", "tech", "hello"}, "--by"},
		{[]string{"say", "--book", book, "--by", "Joss Penhale", "hello"}, "--role"},
	}
	for _, r := range rows {
		code, out, errs := here(t, "", r.args...)
		if code != exitUsage || !strings.Contains(errs, r.why) || out != "" {
			t.Errorf("%q: exit %d, want %d and a word of %q\n%s%s", r.args, code, exitUsage, r.why, out, errs)
		}
	}
	if code, out, errs := here(t, "{\"id\":\"a\",\"say\":\"hello\",\"from\":\"tech\"}\nnot JSON\n", "read", "--book", book); code != exitUsage || !strings.Contains(errs, "line 2") || strings.Count(out, "\n") != 1 {
		t.Errorf("read: exit %d\n%s%s", code, out, errs)
	}
	if after := headOf(t, book); after != before {
		t.Errorf("something was written: %s, was %s", after, before)
	}
}

// TestTimes says a message at a time written in several ways, and looks at
// which instant the book has. The clocks of America/Toronto go from 02:00 EST
// to 03:00 EDT on 8 March 2026 and from 02:00 EDT back to 01:00 EST on
// 1 November 2026 [tz database, file northamerica, rules Canada since 2007].
func TestTimes(t *testing.T) {
	rows := []struct{ at, want string }{
		{"2026-11-24T07:40", "2026-11-24T12:40:00Z"},       // the shop's own time, EST
		{"2026-11-24 07:40", "2026-11-24T12:40:00Z"},       // with a blank
		{"2026-11-24T07:40:30", "2026-11-24T12:40:30Z"},    // with seconds
		{"2026-07-01T07:40", "2026-07-01T11:40:00Z"},       // EDT
		{"2026-11-24T07:40-05:00", "2026-11-24T12:40:00Z"}, // with the shop's offset
		{"2026-11-24T13:40+01:00", "2026-11-24T12:40:00Z"}, // with another
		{"2026-11-24T12:40:00Z", "2026-11-24T12:40:00Z"},   // UTC
		{"2026-11-01T00:59", "2026-11-01T04:59:00Z"},       // before the doubled hour
		{"2026-11-01T01:30", "2026-11-01T05:30:00Z"},       // in it: the first is meant, EDT
		{"2026-11-01T01:30-05:00", "2026-11-01T06:30:00Z"}, // the second, said so
		{"2026-11-01T02:00", "2026-11-01T07:00:00Z"},       // after it, EST
		{"2026-03-08T01:59", "2026-03-08T06:59:00Z"},       // before the gap, EST
		{"2026-03-08T02:00", ""},                           // the gap
		{"2026-03-08T02:30", ""},                           //
		{"2026-03-08T03:00", "2026-03-08T07:00:00Z"},       // after it, EDT
		{"2026-03-08T02:30-05:00", "2026-03-08T07:30:00Z"}, // an instant for all that
		{"", testNow.UTC().Format(time.RFC3339)},           // none given: now
		{"2026-11-24", "2026-11-24T05:00:00Z"},             // a day is its first moment
	}
	book := shed(t)
	for i, r := range rows {
		// A finding needs no hours, so that its time is judged against nothing.
		args := []string{"say", "--book", book, "--by", "Joss Penhale", "--role", "tech", "--id", fmt.Sprint("t", i), fmt.Sprintf("%d ml of water in ht1", i+1)}
		if r.at != "" {
			args = append(args, "--at", r.at)
		}
		before := len(logRows(t, book, "HT1"))
		code, out, errs := here(t, "", args...)
		lines := logRows(t, book, "HT1")[before:]
		if r.want == "" {
			if code != exitUsage || !strings.Contains(errs, r.at) || len(lines) != 0 {
				t.Errorf("%s: exit %d, %d lines\n%s%s", r.at, code, len(lines), out, errs)
			}
			continue
		}
		if code != exitDone || len(lines) == 0 || lines[0]["said"] != r.want {
			t.Errorf("%s: exit %d, %v, want %s\n%s%s", r.at, code, lines, r.want, out, errs)
		}
	}
}

// TestSay is what scripts rely on of say.
func TestSay(t *testing.T) {
	book := shed(t)
	say := func(more ...string) string {
		return must(t, append([]string{"say", "--book", book, "--by", "Joss Penhale", "--role", "tech"}, more...)...)
	}
	n := len(logRows(t, book, ""))
	grown := func(by int, why string) {
		t.Helper()
		if got := len(logRows(t, book, "")); got != n+by {
			t.Errorf("%s: %d lines more, want %d", why, got-n, by)
		}
		n = len(logRows(t, book, ""))
	}
	if out := say("morning all, kettle is on"); out != "" {
		t.Errorf("chatter is answered: %s", out)
	}
	grown(0, "chatter")
	if out := say("hours since last drain on rt1?"); !strings.HasPrefix(out, "RT1: not read since the last bowl drain, about ") || !strings.Contains(out, "1100.0") {
		t.Errorf("a question: %s", out)
	}
	grown(0, "a question")
	first := say("--id", "a1", "rt1 1104.2 drained clean")
	if !strings.HasPrefix(first, "RT1 1104.2: bowl drained, clean.\n4.2 h after the last one") {
		t.Errorf("a drain: %s", first)
	}
	grown(3, "a reading, a service, a finding")
	if again := say("--id", "a1", "rt1 1104.2 drained clean"); !strings.Contains(again, "1104.2") || !strings.Contains(again, "already") {
		t.Errorf("the same id again: %s", again)
	}
	grown(0, "the same id again")
	say("--thread", "rt1", "1104.4")
	grown(1, "in a machine's thread")
	if rows := logRows(t, book, "rt1"); rows[len(rows)-1]["hours"] != "1104.4" {
		t.Errorf("in the thread of RT1: %v", rows[len(rows)-1])
	}
	say("rt1 1104.4")
	say("rt1 1104.4")
	grown(2, "without an id each call is a new message")
	if out := must(t, "say", "--book", book, "--by", "Nobody", "--role", "owner", "--place", "elsewhere", "undo"); strings.Contains(out, "Taken back") {
		t.Errorf("somebody else's undo: %s", out)
	}
	grown(0, "an undo of nothing")
	if out := say("--place", "yard", "undo"); strings.Contains(out, "Taken back") {
		t.Errorf("undo in another place: %s", out)
	}
	say("undo")
	if rows := logRows(t, book, "RT1"); rows[len(rows)-2]["state"] != "taken-back" || rows[len(rows)-2]["by_seq"] != rows[len(rows)-1]["seq"] {
		t.Errorf("a line taken back stays, marked: %v", rows[len(rows)-2])
	}
	if text := must(t, "log", "--book", book, "--machine", "RT1"); !regexp.MustCompile(`read 1104\.4, Joss  \[taken back by \d+\]`).MatchString(text) {
		t.Errorf("the book in words: %s", text)
	}
	mustHold(t, book)
}

// TestSayMakesABook only where it is told the zone.
func TestSayMakesABook(t *testing.T) {
	book := filepath.Join(t.TempDir(), "new.db")
	args := []string{"say", "--book", book, "--by", "Runa Tveit", "--role", "foreman", "whats due"}
	if code, _, errs := here(t, "", args...); code != exitUsage || !strings.Contains(errs, book) {
		t.Errorf("without a zone: exit %d, %s", code, errs)
	}
	if _, err := os.Stat(book); err == nil {
		t.Error("without a zone a book was made")
	}
	must(t, append(args, "--zone", "America/Toronto")...)
	mustHold(t, book)
}

// TestDueCSV checks the due list against figures worked out by hand: engine oil
// at 1000.0 h on 31 August, by the shop's own plan every 250 h or 6 months, is
// due at 1000.0 + 250 = 1250.0 h, and by the calendar on 28 February, the last
// day of a month without a 31st.
func TestDueCSV(t *testing.T) {
	book := shed(t)
	must(t, "plan", "--book", book, "--file", "../testdata/cli/plan.csv")
	must(t, "say", "--book", book, "--by", "Joss Penhale", "--role", "tech", "--at", "2026-11-23T16:00", "rt1 coolant changed")
	raw := must(t, "due", "--book", book, "--at", "2026-11-24T07:40", "--csv")
	if head, _, _ := strings.Cut(raw, "\n"); head != "machine,job,last_day,last_hours,due_hours,due_day,early_day,late_day,hours_now,reason" {
		t.Errorf("the columns are %s", head)
	}
	day := regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)
	found := map[string]map[string]string{}
	last := ""
	for _, row := range csvRows(t, raw) {
		found[row["machine"]+" "+row["job"]] = row
		due := row["due_day"]
		if due == "" {
			due = "9999"
		} else if !day.MatchString(due) || row["early_day"] > due || row["late_day"] != "" && row["late_day"] < due {
			t.Errorf("the days do not follow: %v", row)
		}
		if due < last {
			t.Errorf("%s comes after %s", due, last)
		}
		last = due
		if row["reason"] == "" {
			t.Errorf("no reason: %v", row)
		}
	}
	oil := found["RT1 engineoil"]
	for c, want := range map[string]string{"last_day": "2026-08-31", "last_hours": "1000.0", "due_hours": "1250.0", "late_day": "2027-02-28"} {
		if oil[c] != want {
			t.Errorf("engine oil, %s: %q, want %q", c, oil[c], want)
		}
	}
	if oil["hours_now"] < "1100.0" || oil["hours_now"] > "1250.0" {
		t.Errorf("hours now: %s, was 1100.0 four days before", oil["hours_now"])
	}
	coolant := found["RT1 coolant"] // months alone: 24 from 23 November 2026
	for c, want := range map[string]string{"last_day": "2026-11-23", "due_hours": "", "due_day": "2028-11-23", "early_day": "2028-11-23", "late_day": "2028-11-23"} {
		if coolant[c] != want {
			t.Errorf("coolant, %s: %q, want %q", c, coolant[c], want)
		}
	}
	if never := found["HT1 engineoil"]; never["last_day"] != "" || never["due_day"] != "" {
		t.Errorf("never done in the book: %v", never)
	}
	for _, days := range []int{0, 7, 200} {
		until := testNow.AddDate(0, 0, days).Format(time.DateOnly)
		rows := csvRows(t, must(t, "due", "--book", book, "--at", "2026-11-24T07:40", "--csv", "--days", fmt.Sprint(days)))
		if len(rows) == 0 {
			t.Errorf("--days %d lists nothing", days)
		}
		for _, row := range rows {
			if row["due_day"] == "" || row["due_day"] > until {
				t.Errorf("--days %d lists %v", days, row)
			}
		}
	}
	// The text counts what the list has, jobs of the next days with those of today.
	rows := csvRows(t, must(t, "due", "--book", book, "--at", "2026-11-24T07:40", "--csv", "--days", "14"))
	if text := must(t, "due", "--book", book, "--at", "2026-11-24T07:40", "--days", "14"); !strings.HasPrefix(text, fmt.Sprintf("%d to do by", len(rows))) {
		t.Errorf("%d rows are due, and the text says:\n%s", len(rows), text)
	}
	if text := must(t, "due", "--book", book, "--at", "2026-11-24T07:40", "--days", "0"); !strings.Contains(text, "by Tue 24 Nov") && !strings.Contains(text, "by today") {
		t.Errorf("--days 0 is today: %s", text)
	}
}

// TestForecastCSV: a band for each machine and day, in order, and none for a
// machine that the flag does not name.
func TestForecastCSV(t *testing.T) {
	book := shed(t)
	raw := must(t, "forecast", "--book", book, "--at", "2026-11-24T07:40", "--machine", "rt1", "--days", "0,14,60", "--csv")
	if head, _, _ := strings.Cut(raw, "\n"); head != "machine,day,hours_low,hours,hours_high" {
		t.Errorf("the columns are %s", head)
	}
	rows := csvRows(t, raw)
	var days []string
	lastWidth := 0.0
	for _, row := range rows {
		var low, mid, high float64
		if _, err := fmt.Sscan(row["hours_low"]+" "+row["hours"]+" "+row["hours_high"], &low, &mid, &high); err != nil {
			t.Fatal(err)
		}
		if row["machine"] != "RT1" || low < 1100 || low > mid || mid > high || high-low < lastWidth {
			t.Errorf("no band that widens from the last reading on: %v", row)
		}
		lastWidth = high - low
		days = append(days, row["day"])
	}
	if want := []string{"2026-11-24", "2026-12-08", "2027-01-23"}; !slices.Equal(days, want) {
		t.Errorf("the days are %q, want %q", days, want)
	}
	if code, _, _ := here(t, "", "forecast", "--book", book, "--days", "-1"); code != exitUsage {
		t.Errorf("a day in the past: exit %d", code)
	}
}

// TestBacktestCommand hides the readings of a log that has some, and says so of
// one that has none.
func TestBacktestCommand(t *testing.T) {
	out := must(t, "backtest", "--book", shed(t))
	for _, want := range []string{"on 1 machine:", " 3 days ahead, 1 reading:", "14 days ahead", "60 days ahead", "line through the last two", "Theil-Sen"} {
		if !strings.Contains(out, want) {
			t.Errorf("nothing of %q in\n%s", want, out)
		}
	}
	empty := filepath.Join(t.TempDir(), "empty.db")
	must(t, "import", "--book", empty, "--zone", "UTC", "--machines", "../testdata/cli/machines.csv")
	if out := must(t, "backtest", "--book", empty); !strings.Contains(out, "Too few readings") {
		t.Errorf("no log at all is backtested: %s", out)
	}
}

// TestRead: JSON lines in, JSON lines out, in the vocabulary of
// testdata/messages, and the book is left as it is, byte by byte.
func TestRead(t *testing.T) {
	book := shed(t)
	before := bookBytes(t, book)
	in := `{"id":"x1","say":"rt1 1104.2 drained clean","from":"tech"}` + "\n\n" +
		`{"id":"x2","say":"anyone seen the big funnel","from":"tech"}` + "\n" +
		`{"id":"x3","say":"rt1 1004.2","from":"tech"}` + "\n" +
		`{"id":"x4","say":"1104.4","from":"tech","thread":"RT1"}` // the last line without its end
	code, out, errs := here(t, in, "read", "--book", book, "--at", "2026-11-24T07:40")
	if code != exitDone || errs != "" {
		t.Fatalf("exit %d\n%s", code, errs)
	}
	var got []string
	for line := range strings.Lines(out) {
		var one struct {
			ID   string           `json:"id"`
			Acts []map[string]any `json:"acts"`
		}
		if err := json.Unmarshal([]byte(line), &one); err != nil {
			t.Fatal(err)
		}
		s := one.ID
		for _, a := range one.Acts {
			s += fmt.Sprintf(" %v", a["act"])
			for _, slot := range []string{"machine", "hours", "ask"} {
				if v, ok := a[slot]; ok {
					s += fmt.Sprintf(" %s=%v", slot, v)
				}
			}
		}
		got = append(got, s)
	}
	want := []string{
		"x1 reading machine=RT1 hours=1104.2 service machine=RT1 hours=1104.2 finding machine=RT1",
		"x2 chat",
		"x3 unclear ask=hours", // below the last one
		"x4 reading machine=RT1 hours=1104.4",
	}
	for i := range want {
		if i >= len(got) || !strings.HasPrefix(got[i], want[i]) {
			t.Errorf("line %d: %q, want %q", i+1, got, want[i])
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d lines out for %d in", len(got), len(want))
	}
	if after := bookBytes(t, book); !bytes.Equal(after, before) {
		t.Error("the book was written to")
	}
}

// bookBytes is a book as it lies on the disk.
func bookBytes(t testing.TB, book string) []byte {
	t.Helper()
	raw, err := os.ReadFile(book)
	if err != nil {
		t.Fatal(err)
	}
	wal, err := os.ReadFile(book + "-wal")
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return append(raw, wal...)
}

// TestVerifyExpect holds a book against a head that was written down earlier.
func TestVerifyExpect(t *testing.T) {
	book := shed(t)
	head := headOf(t, book)
	seq, hash, _ := strings.Cut(head, ":")
	if len(hash) != 64 { // SHA-256
		t.Errorf("a hash of %d digits", len(hash))
	}
	must(t, "say", "--book", book, "--by", "Joss Penhale", "--role", "tech", "rt1 1104.2 drained clean")
	other := "f"
	if hash[0] == 'f' {
		other = "0"
	}
	rows := []struct {
		expect string
		code   int
	}{
		{head, exitDone}, // the book has grown since, and holds
		{seq + ":" + hash[:12], exitDone},
		{seq + ":" + strings.ToUpper(hash), exitDone},
		{seq + ":" + other + hash[1:], exitFailed}, // another book, or one that was made again
		{"2:" + hash, exitFailed},                  // the hash of another entry
		{"9999:" + hash, exitFailed},               // the book was cut short
	}
	for _, r := range rows {
		code, out, errs := here(t, "", "verify", "--book", book, "--expect", r.expect)
		if code != r.code || (code == exitFailed) != strings.Contains(out, "does not hold") {
			t.Errorf("--expect %s: exit %d, want %d\n%s%s", r.expect, code, r.code, out, errs)
		}
		if first, _, _ := strings.Cut(r.expect, ":"); code == exitFailed && !strings.Contains(out, "entry "+first) {
			t.Errorf("--expect %s does not name the entry: %s", r.expect, out)
		}
	}
}

// TestMorningCommand: the post of a local day, or nothing.
func TestMorningCommand(t *testing.T) {
	book := shed(t)
	out := must(t, "morning", "--book", book, "--at", "2026-11-24T06:15")
	if !strings.HasPrefix(out, "Tue 24 Nov") || !strings.Contains(out, "HT1") { // it had water the day before
		t.Errorf("Tuesday: %s", out)
	}
	if late := must(t, "morning", "--book", book, "--at", "2026-11-24T06:15-05:00"); late != out {
		t.Errorf("the same with its offset: %s", late)
	}
	if out := must(t, "morning", "--book", book, "--at", "2026-11-22T06:15"); out != "" {
		t.Errorf("Sunday, when nobody works: %s", out)
	}
}

// TestChatOnAPipe reads lines and prints answers, without prompts.
func TestChatOnAPipe(t *testing.T) {
	book := shed(t)
	in := "morning all\n\nrt1 1104.2 drained clean\r\nrt1 1004.2\n1\nhistory of rt1\nquit\nrt1 1190\n"
	code, out, errs := here(t, in, "chat", "--book", book, "--by", "Runa Tveit")
	if code != exitDone || errs != "" || !strings.HasPrefix(out, "RT1 1104.2: bowl drained, clean.") || strings.Contains(out, "> ") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
	if strings.Contains(must(t, "log", "--book", book), "1190") {
		t.Error("it went on after quit")
	}
	if code, out, errs := here(t, "hours since last drain on rt1", "chat", "--book", book); code != exitDone || !strings.Contains(out, "RT1") {
		t.Errorf("a last line without its end: exit %d\n%s%s", code, out, errs)
	}
}

// TestDemoOnAPipe: three lines say what to type, and what they say works.
func TestDemoOnAPipe(t *testing.T) {
	code, out, errs := here(t, "", "demo")
	if code != exitDone || errs != "" || strings.Count(out, "\n") != 3 {
		t.Fatalf("exit %d\n%s%s", code, out, errs)
	}
	var typed []string
	for line := range strings.Lines(out) {
		if _, what, ok := strings.Cut(line, ":  "); ok {
			what, _, _ = strings.Cut(what, "   (")
			for _, w := range strings.Split(what, "|") {
				typed = append(typed, strings.TrimSpace(w))
			}
		}
	}
	if len(typed) < 5 {
		t.Fatalf("what to type: %q", typed)
	}
	code, all, errs := here(t, strings.Join(typed, "\n")+"\n", "demo")
	if code != exitDone || errs != "" {
		t.Fatalf("exit %d\n%s", code, errs)
	}
	answers := strings.TrimPrefix(all, out)
	for _, want := range []string{"to do by", "since the last bowl drain", "DP1", "RT1: bowl drained", "OM1: greased", "Taken back"} {
		if !strings.Contains(answers, want) {
			t.Errorf("of %q nothing comes of %q:\n%s", typed, want, answers)
		}
	}
}

// TestEveryCommandIsTested keeps the tables here in step with the program.
func TestEveryCommandIsTested(t *testing.T) {
	_, out, _ := here(t, "", "--help")
	_, list, _ := strings.Cut(out, "Commands:\n")
	named := regexp.MustCompile(`(?m)^  ([a-z]+) `).FindAllStringSubmatch(list, -1)
	var got []string
	for _, m := range named {
		got = append(got, m[1])
	}
	want := []string{"demo", "chat", "import", "say", "due", "forecast", "backtest", "morning", "log", "plan", "read", "verify", "rebuild"}
	if !slices.Equal(got, want) {
		t.Errorf("the program has %q, the tests %q", got, want)
	}
}

// TestSeasonInThePlan: an interval by the season is brought in, said, kept by
// the book and dated by the calendar.
func TestSeasonInThePlan(t *testing.T) {
	book := shed(t)
	file := filepath.Join(t.TempDir(), "plan.csv")
	put(t, file, "job,hours,months,season\ncoolant,,,11-01\nvent,200,,04-01\n")
	must(t, "plan", "--book", book, "--file", file)
	if again := must(t, "plan", "--book", book, "--file", file); !strings.HasPrefix(again, "0 intervals of the shop's own, 2 were so already") {
		t.Errorf("brought in again: %s", again)
	}
	plan := must(t, "plan", "--book", book, "--machine", "rt1")
	for _, want := range []string{"coolant: each year by 1 Nov (the shop's own)", "tank vent: 200 h or each year by 1 Apr (the shop's own)"} {
		if !strings.Contains(plan, want) {
			t.Errorf("%q is not in\n%s", want, plan)
		}
	}
	must(t, "say", "--book", book, "--by", "Joss Penhale", "--role", "tech", "--at", "2026-11-24T07:40", "rt1 coolant changed")
	rows := csvRows(t, must(t, "due", "--book", book, "--at", "2026-11-24T08:00", "--csv"))
	at := slices.IndexFunc(rows, func(row map[string]string) bool { return row["machine"] == "RT1" && row["job"] == "coolant" })
	if at < 0 || rows[at]["due_day"] != "2027-11-01" || rows[at]["reason"] != "each year by 1 Nov, the shop's figure" {
		t.Errorf("due %v", rows)
	}
	must(t, "verify", "--book", book)
	if out := must(t, "rebuild", "--book", book); !strings.HasPrefix(out, "Nothing differed") {
		t.Errorf("made again: %s", out)
	}
}

// TestForecastInWords says what the figures rest on.
func TestForecastInWords(t *testing.T) {
	out := must(t, "forecast", "--book", shed(t), "--at", "2026-11-24T07:40", "--machine", "rt1", "--days", "0,14")
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if len(lines) != 3 || !regexp.MustCompile(`^RT1, by \d+ readings, the last \d+ days ago:$`).MatchString(lines[0]) ||
		!regexp.MustCompile(`^  Tue 8 Dec: \d+\.\d h, \d+\.\d to \d+\.\d$`).MatchString(lines[2]) {
		t.Errorf("got\n%s", out)
	}
}
