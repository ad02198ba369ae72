//go:build unix

package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"woodruff/engine"
)

func sayWords(book, id, text string) []string {
	return []string{"say", "--book", book, "--by", "Joss", "--role", "tech", "--id", id, text}
}

// TestKillPoints kills the program at every point that it reaches, once each,
// and starts it again with the same words: nothing is lost, nothing is there
// twice, and the answer is the one of a run that nobody disturbed.
func TestKillPoints(t *testing.T) {
	rows := []struct {
		name    string
		book    func(t *testing.T) string // "" where the program makes it
		words   func(t *testing.T, book string) []string
		answer  string   // in what is said at the end
		points  []string // that must be among those reached
		entries int      // in the book at the end that were not there before
	}{
		{ // a tech logs a drain into a book with history
			name:   "say",
			book:   func(t *testing.T) string { return newBook(t) },
			words:  func(_ *testing.T, book string) []string { return sayWords(book, "m1", "rt1 1223.4 drained clean") },
			answer: "1223.4",
			points: []string{"after-begin", "before-commit", "after-commit", acknowledged},
		},
		{ // a figure in doubt: the question is what is written
			name:   "question",
			book:   func(t *testing.T) string { return newBook(t) },
			words:  func(_ *testing.T, book string) []string { return sayWords(book, "m1", "rt1 1122.4 drained clean") },
			answer: "Nothing written",
			points: []string{"after-begin", "before-commit", "after-commit", acknowledged},
		},
		{ // the book is made, and a shop brought in: two transactions
			name: "import into a new book",
			words: func(t *testing.T, book string) []string {
				return shopFiles(t, book, oneMachine, oneLog)
			},
			points: []string{"migration-1-1", "after-begin", "before-commit", "after-commit", acknowledged},
		},
		{ // the book is made by the first message
			name: "say into a new book",
			words: func(_ *testing.T, book string) []string {
				return append(sayWords(book, "m1", "whats due"), "--zone", "America/Toronto")
			},
			answer: "due",
			points: []string{"migration-1-1", "after-begin", "before-commit", "after-commit", acknowledged},
		},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			t.Parallel()
			from := ""
			if r.book != nil {
				from = r.book(t)
			}
			fresh := func() string {
				book := filepath.Join(t.TempDir(), "shed.db")
				if from != "" {
					copyBook(t, from, book)
				}
				return book
			}
			book := fresh()
			whole := child{Now: testNow}.program(t, r.words(t, book)...)
			if whole.code != exitDone || !strings.Contains(whole.out, r.answer) {
				t.Fatalf("undisturbed: exit %d\n%s%s", whole.code, whole.out, whole.err)
			}
			for _, want := range r.points {
				if !slices.Contains(whole.points, want) {
					t.Fatalf("%s was never reached: %q", want, whole.points)
				}
			}
			everyStatement(t, whole.points)
			want := must(t, "log", "--book", book, "--csv")
			for n, point := range whole.points {
				book := fresh()
				words := r.words(t, book)
				cut := child{Now: testNow, Die: n + 1}.program(t, words...)
				if !cut.killed || !slices.Equal(cut.points, whole.points[:n+1]) {
					t.Fatalf("%d, %s: killed %v, having reached %q", n+1, point, cut.killed, cut.points)
				}
				again := child{Now: testNow}.program(t, words...)
				if again.code != exitDone || !strings.Contains(again.out, r.answer) || again.out == "" {
					t.Errorf("%d, %s: sent again: exit %d\n%s%s", n+1, point, again.code, again.out, again.err)
				}
				if got := must(t, "log", "--book", book, "--csv"); got != want {
					t.Errorf("%d, %s: the book is\n%swant\n%s", n+1, point, got, want)
				}
				mustHold(t, book)
			}
			t.Logf("%d points, each reached, each killed at", len(whole.points))
		})
	}
}

// everyStatement fails the test where a migration's statements were reached
// with gaps.
func everyStatement(t *testing.T, points []string) {
	t.Helper()
	of := map[int]int{}
	for _, p := range points {
		var step, statement int
		if _, err := fmt.Sscanf(p, "migration-%d-%d", &step, &statement); err != nil {
			continue
		}
		if of[step]++; of[step] != statement {
			t.Fatalf("migration %d: statement %d was reached as number %d", step, statement, of[step])
		}
	}
	paths, err := filepath.Glob("../store/migrations/*.sql")
	if err != nil {
		t.Fatal(err)
	}
	if len(of) != 0 && len(of) != len(paths) {
		t.Fatalf("%d migrations were reached, there are %d", len(of), len(paths))
	}
}

// TestRandomKills is the short form, of 30 kills; with the build tag "long" it
// goes to 200.
func TestRandomKills(t *testing.T) {
	t.Parallel()
	randomKills(t, 30)
}

// randomKills sends a stream of messages, each by a process of its own as
// scripts do, and kills so many of those processes at random moments. What was
// not acknowledged is sent again under its id.
func randomKills(t *testing.T, kills int) {
	const (
		slow  = 8 * time.Millisecond // of each pause within a write
		least = 30                   // per cent of the kills that must land inside a write
		seed  = 7
	)
	// Every other kill is aimed at a point within the write, where the process waits
	// for it: how many land there is no matter of how busy the machine is. The
	// others fall where they fall.
	aims := []string{"after-begin", "", "before-commit", ""}
	dice := rand.New(rand.NewPCG(seed, seed))
	book := newBook(t)
	whole := takes(t, book, slow)
	landed, inside, messages, tries := 0, 0, 0, 0
	hours := engine.Tenths(12210)
	var sent []engine.Tenths
	for now := testNow; landed < kills; now = now.Add(time.Hour) {
		hours += 5
		messages++
		sent = append(sent, hours)
		words := sayWords(book, fmt.Sprintf("m%d", messages), "rt1 "+hours.String()+" drained clean")
		for try := 1; ; try++ {
			if try > 20 {
				t.Fatalf("message %d is never acknowledged", messages)
			}
			tries++
			kill := try == 1 || dice.IntN(3) == 0
			c := child{Now: now, Slow: slow}
			if kill {
				c.Linger = aims[landed%len(aims)]
			}
			p := c.start(t, nil, words...)
			switch {
			case !kill:
			case c.Linger == "" && dice.IntN(2) == 0: // anywhere
				time.Sleep(time.Duration(dice.Int64N(int64(whole))))
				p.kill()
			default: // from a sign of the write on: in it, in its commit, or just after it
				<-p.began
				time.Sleep(time.Duration(dice.Int64N(int64(2 * slow))))
				p.kill()
			}
			o := p.wait()
			if o.killed {
				landed++
				if o.inside() {
					inside++
				}
			} else if o.code != exitDone {
				t.Fatalf("message %d, try %d: exit %d\n%s%s", messages, try, o.code, o.out, o.err)
			}
			if o.answered() != "" {
				if !strings.Contains(o.out, hours.String()) || strings.Contains(o.out, "Nothing written") {
					t.Fatalf("message %d is answered with %s", messages, o.out)
				}
				break
			}
		}
	}
	mustHold(t, book)
	services := map[string]int{}
	for _, row := range logRows(t, book, "RT1") {
		if row["kind"] == string(engine.KindService) {
			services[row["hours"]]++
		}
	}
	for i, h := range sent {
		if services[h.String()] != 1 {
			t.Errorf("message %d, acknowledged, is in the book %d times", i+1, services[h.String()])
		}
	}
	if len(services) != len(sent)+1 { // and the one from before
		t.Errorf("%d services in the book, want %d", len(services), len(sent)+1)
	}
	share := 100 * inside / landed
	t.Logf("%d messages in %d processes, %d killed, %d of them (%d %%) inside a write", messages, tries, landed, inside, share)
	if share < least {
		t.Errorf("%d %% of the kills landed inside a write, want at least %d %%: this run says too little", share, least)
	}
}

// takes is how long a process needs that nobody kills.
func takes(t *testing.T, book string, slow time.Duration) time.Duration {
	t.Helper()
	start := time.Now()
	o := child{Now: testNow, Slow: slow}.program(t, sayWords(book, "m0", "rt1 1220.9")...)
	if o.code != exitDone || o.out == "" {
		t.Fatalf("exit %d\n%s%s", o.code, o.out, o.err)
	}
	return time.Since(start)
}

// TestSyncedBeforeTheAnswer looks at what the system was asked for: between
// the last write into SQLite's log and the answer stands a sync of that log. A
// kill cannot show this, since what was written outlives the process.
func TestSyncedBeforeTheAnswer(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace is not here")
	}
	t.Parallel()
	book := newBook(t)
	trace := filepath.Join(t.TempDir(), "trace")
	p := child{Now: testNow}.start(t,
		[]string{strace, "-f", "-y", "-qq", "-s", "200", "-e", "trace=write,pwrite64,fsync,fdatasync", "-o", trace},
		sayWords(book, "m1", "rt1 1223.4 drained clean")...)
	o := p.wait()
	if o.code != exitDone && strings.Contains(o.err, "ptrace") {
		t.Skip("strace may not trace here: ", o.err)
	}
	if o.code != exitDone || o.out == "" {
		t.Fatalf("exit %d: %s%s", o.code, o.out, o.err)
	}
	raw, err := os.ReadFile(trace)
	if err != nil {
		t.Fatal(err)
	}
	wal := regexp.QuoteMeta(book + "-wal")
	wrote := regexp.MustCompile(`pwrite64\(\d+<` + wal + `>`)
	synced := regexp.MustCompile(`f(data)?sync\(\d+<` + wal + `>`)
	answer := regexp.MustCompile(`write\(1<[^>]*>, "RT1 1223\.4`)
	lastWrite, lastSync, at := -1, -1, -1
	for i, line := range strings.Split(string(raw), "\n") {
		switch {
		case at >= 0: // what follows the answer does not count
		case wrote.MatchString(line):
			lastWrite = i
		case synced.MatchString(line):
			lastSync = i
		case answer.MatchString(line):
			at = i
		}
	}
	if lastWrite < 0 || at < 0 || lastSync < lastWrite {
		t.Errorf("log written at line %d, synced at %d, answered at %d of\n%s", lastWrite, lastSync, at, raw)
	}
}
