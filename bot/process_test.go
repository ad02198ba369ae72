//go:build unix

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestTwoProcesses has two programs write into one book at once: while the
// first is held within its write, the second comes.
func TestTwoProcesses(t *testing.T) {
	rows := []struct {
		name          string
		first, second string
		want          []string      // of what the second says
		hours         []string      // that stand in the book afterwards
		hold          time.Duration // of the first, once the second has started
	}{
		{ // the second waits its turn, and both are written
			name: "waits", hold: 400 * time.Millisecond,
			first: "rt1 1221.4 drained clean", second: "rt1 1221.9",
			want: []string{"RT1 1221.9: 0.5 h more"}, hours: []string{"1221.4", "1221.9"},
		},
		{ // what the second was judged against has moved: it is judged again
			name: "judged again", hold: 400 * time.Millisecond,
			first: "rt1 1223.4 drained clean", second: "rt1 1221.9",
			want: []string{"1221.9 is below 1223.4", "Nothing written"}, hours: []string{"1223.4"},
		},
		{ // the first never gets done: the second says so, and writes nothing
			name: "gives up", hold: 0,
			first: "rt1 1223.4", second: "rt1 1224.1",
			want: []string{"another program is writing"}, hours: []string{"1223.4"},
		},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			t.Parallel()
			book := newBook(t)
			one := child{Now: testNow, Hold: "before-commit"}.start(t, nil, sayWords(book, "a1", r.first)...)
			<-one.began
			two := child{Now: testNow}.start(t, nil, sayWords(book, "b1", r.second)...)
			if r.hold > 0 {
				time.Sleep(r.hold)
				one.release.Close()
			}
			said := two.wait()
			one.release.Close()
			if o := one.wait(); o.code != exitDone || !strings.HasPrefix(o.out, "RT1 ") {
				t.Errorf("the first: exit %d\n%s%s", o.code, o.out, o.err)
			}
			if busy := r.hold == 0; (said.code == exitFailed) != busy {
				t.Errorf("the second: exit %d", said.code)
			}
			for _, want := range r.want {
				if !strings.Contains(said.out+said.err, want) {
					t.Errorf("the second says %q, not %q", said.out+said.err, want)
				}
			}
			var hours []string
			for _, row := range logRows(t, book, "RT1") {
				if row["kind"] == "reading" && row["day"] == "2026-11-24" {
					hours = append(hours, row["hours"])
				}
			}
			if !slices.Equal(hours, r.hours) {
				t.Errorf("in the book: %q, want %q", hours, r.hours)
			}
			mustHold(t, book)
		})
	}
}

// TestManyProcesses lets eight programs write at once: each is answered, and
// each line is there once.
func TestManyProcesses(t *testing.T) {
	t.Parallel()
	const n = 8
	book := newBook(t)
	var all []*process
	for i := range n {
		// No hours in it, and no two alike: none depends on another.
		all = append(all, child{Now: testNow}.start(t, nil, sayWords(book, fmt.Sprint("m", i), fmt.Sprintf("%d ml of water in rt1", i+1))...))
	}
	for i, p := range all {
		if o := p.wait(); o.code != exitDone || !strings.Contains(o.out, "ml of water") {
			t.Errorf("%d: exit %d\n%s%s", i, o.code, o.out, o.err)
		}
	}
	found := 0
	for _, row := range logRows(t, book, "RT1") {
		if row["kind"] == "finding" && row["day"] == "2026-11-24" {
			found++
		}
	}
	if found != n {
		t.Errorf("water %d times in the book, want %d", found, n)
	}
	mustHold(t, book)
}

// TestQuestionAcrossProcesses: a figure in doubt is asked about by one process
// and answered to another; between them others speak.
func TestQuestionAcrossProcesses(t *testing.T) {
	t.Parallel()
	book := newBook(t)
	now := testNow
	say := func(who, text string) string {
		t.Helper()
		now = now.Add(time.Minute)
		o := child{Now: now}.program(t, "say", "--book", book, "--by", who, "--role", "tech", text)
		if o.code != exitDone || o.err != "" {
			t.Fatalf("%s: exit %d\n%s%s", text, o.code, o.out, o.err)
		}
		return o.out
	}
	before := len(logRows(t, book, ""))
	asked := say("Joss", "rt1 12234 drained clean") // the point is missing
	if !strings.Contains(asked, "Nothing written") || !strings.Contains(asked, "1 1223.4") {
		t.Fatalf("asked: %s", asked)
	}
	if out := say("Joss", "hang on, forgot my glasses"); out != "" {
		t.Errorf("chatter while a question is open: %s", out)
	}
	if out := say("Wilm", "1"); out != "" {
		t.Errorf("somebody else's number is no answer: %s", out)
	}
	if len(logRows(t, book, "")) != before {
		t.Error("something was written before the answer")
	}
	if out := say("Joss", "1"); !strings.HasPrefix(out, "RT1 1223.4: bowl drained, clean.") {
		t.Errorf("answered: %s", out)
	}
	rows := logRows(t, book, "RT1")
	if last := rows[len(rows)-3]; last["hours"] != "1223.4" || last["words"] != "rt1 12234 drained clean" {
		t.Errorf("the line: %v", last)
	}
	if out := say("Joss", "1"); out != "" {
		t.Errorf("the same answer again, when nothing is open: %s", out)
	}
	mustHold(t, book)
}

// nobody is the user that the tests become where they run as root, who may
// write everywhere.
const nobody = 65534

// TestReadOnlyFolder: nothing can be written beside the book, where SQLite
// keeps its log. What writes says so; nothing is lost or left.
func TestReadOnlyFolder(t *testing.T) {
	c := child{Now: testNow}
	if os.Getuid() == 0 {
		c.UID = nobody
	}
	root, err := os.MkdirTemp("", "readonly") // t.TempDir would be closed to nobody
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(root, "books")
	t.Cleanup(func() {
		os.Chmod(dir, 0o755)
		os.RemoveAll(root)
	})
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	book := filepath.Join(dir, "shed.db")
	copyBook(t, newBook(t), book)
	for path, mode := range map[string]os.FileMode{root: 0o755, book: 0o644, dir: 0o555} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
	}
	before := folder(t, dir)
	writing := map[string]bool{"chat": true, "say": true, "plan": true, "rebuild": true}
	for name, args := range onABook(book) {
		o := c.program(t, args...)
		switch {
		case !writing[name]: // looks only, and can
			if o.code != exitDone || o.err != "" || name != "read" && name != "morning" && o.out == "" {
				t.Errorf("%s: exit %d\n%s%s", name, o.code, o.out, o.err)
			}
		case o.code != exitUsage || o.out != "" || !strings.Contains(o.err, book) || !strings.Contains(o.err, "cannot be written"):
			t.Errorf("%s: exit %d\n%s%s", name, o.code, o.out, o.err)
		}
		if after := folder(t, dir); after != before {
			t.Fatalf("%s has changed the folder to %s, was %s", name, after, before)
		}
	}
	o := c.program(t, "import", "--book", filepath.Join(dir, "new.db"), "--zone", "America/Toronto", "--machines", "../testdata/cli/machines.csv")
	if o.code != exitUsage || !strings.Contains(o.err, "cannot be written") {
		t.Errorf("a new book: exit %d\n%s%s", o.code, o.out, o.err)
	}
}

// raced says that the tests were built with the race detector.
func raced() bool {
	info, ok := debug.ReadBuildInfo()
	return ok && slices.ContainsFunc(info.Settings, func(s debug.BuildSetting) bool { return s.Key == "-race" && s.Value == "true" })
}

// TestTenThousandMachines brings a very large shop in. What is due is checked
// by arithmetic: engine oil every 250 h from the figure at which each machine
// had its own.
func TestTenThousandMachines(t *testing.T) {
	t.Parallel()
	n := 10_000
	if raced() { // what the detector adds to time and memory is not the program's
		n = 1000
	}
	oiled := func(i int) int { return 700 + i%400 }
	past := func(i int) bool { return i%(n/10) == 7 }
	var machines, log strings.Builder
	machines.WriteString("tag,name,aka,kind,meter_reads,bowl_ml,owner\n")
	log.WriteString("day,time,machine,hours,job,finding,amount_ml,by,note\n")
	for i := range n {
		fmt.Fprintf(&machines, "M%d,Machine number %d,,tractor,tenths,120,Co-op\n", i, i)
		fmt.Fprintf(&log, "2026-06-01,07:00,M%d,%d.0,engineoil,,,Joss Penhale,\n", i, oiled(i))
		ran := 100 // h since: due in months
		if past(i) {
			ran = 260 // due 10 h ago
		}
		fmt.Fprintf(&log, "2026-11-23,07:00,M%d,%d.0,drain,clean,,Wilm Aske,\n", i, oiled(i)+ran)
	}
	book := filepath.Join(t.TempDir(), "large.db")
	brought := must(t, shopFiles(t, book, machines.String(), log.String())...)
	if !strings.Contains(brought, fmt.Sprintf("%d machines added, %d rows of the log", n, 2*n)) {
		t.Errorf("brought in: %s", brought)
	}
	put(t, filepath.Join(filepath.Dir(book), "plan.csv"), "kind,job,hours,months,first,marks,severe,severable,class,note\n,engineoil,250,,,,,,common practice,our own\n")
	must(t, "plan", "--book", book, "--file", filepath.Join(filepath.Dir(book), "plan.csv"))
	seen := 0
	for _, row := range csvRows(t, must(t, "due", "--book", book, "--at", "2026-11-24T07:40", "--csv")) {
		if row["job"] != "engineoil" {
			continue
		}
		var i int
		if _, err := fmt.Sscanf(row["machine"], "M%d", &i); err != nil {
			t.Fatal(err)
		}
		seen++
		if last, due := fmt.Sprintf("%d.0", oiled(i)), fmt.Sprintf("%d.0", oiled(i)+250); row["last_hours"] != last || row["due_hours"] != due {
			t.Fatalf("%v: want last %s, due %s", row, last, due)
		}
		if (row["due_day"] < "2026-11-24") != past(i) {
			t.Fatalf("%v", row)
		}
	}
	if seen != n {
		t.Errorf("%d machines in the list", seen)
	}
	post := child{Now: testNow}.program(t, "morning", "--book", book, "--at", "2026-11-24T06:15")
	if post.code != exitDone || !strings.Contains(post.out, "  M7 engine oil") || !strings.Contains(post.out, "and 2 more") || strings.Count(post.out, "\n") > 25 {
		t.Errorf("the morning post: exit %d\n%s%s", post.code, post.out, post.err)
	}
	if post.held > 100<<10 && !raced() || post.held == 0 && runtime.GOOS == "linux" {
		t.Errorf("the morning post took %d kB, want under 100 MB", post.held)
	}
	t.Logf("the morning post took %d MB", post.held>>10)
	again := must(t, shopFiles(t, book, machines.String(), log.String())...)
	if !strings.Contains(again, "0 machines added, 0 rows") || !strings.Contains(again, fmt.Sprintf("%d rows were in the book already", 2*n)) {
		t.Errorf("again: %s", again)
	}
}
