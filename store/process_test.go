package store

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"woodruff/engine"
)

// child runs the test binary again as a process of its own.
func child(t *testing.T, role string, env ...string) *exec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(exe)
	cmd.Env = append(append(os.Environ(), childVar+"="+role), env...)
	return cmd
}

// killAt gives a hook that kills this process the nth time a point is reached,
// having said so on stderr: no deferred call runs, nothing is closed.
func killAt(point string, nth int) func(string) {
	reached := 0
	return func(p string) {
		if p == point {
			if reached++; reached == nth {
				fmt.Fprintf(os.Stderr, "reached %s\n", point)
				syscall.Kill(os.Getpid(), syscall.SIGKILL)
				select {}
			}
		}
	}
}

// Environment of the children.
const (
	bookVar  = "BOOK"
	pointVar = "POINT"
	nthVar   = "NTH"
)

func childOptions() Options {
	opts := testOptions()
	nth, _ := strconv.Atoi(os.Getenv(nthVar))
	opts.Hook = killAt(os.Getenv(pointVar), nth)
	return opts
}

func init() {
	// write opens the book and writes one message, acknowledging it on stdout.
	children["write"] = func() error {
		b, err := Open(ctx, os.Getenv(bookVar), childOptions())
		if err != nil {
			return err
		}
		defer b.Close()
		seqs, err := b.Write(ctx, engine.Batch{
			Entries: []engine.Entry{drained("from the child", 2, 12234)},
			Posts:   []engine.Post{{Kind: "morning", Day: 5}},
		})
		if err == nil {
			fmt.Printf("written %v\n", seqs)
		}
		return err
	}
	children["create"] = func() error {
		opts := childOptions()
		opts.Create = true
		b, err := Open(ctx, os.Getenv(bookVar), opts)
		if err != nil {
			return err
		}
		return b.Close()
	}
	children["migrate"] = func() error {
		opts := childOptions()
		opts.migrations = later(&testing.T{}, addTable, addColumn)
		b, err := Open(ctx, os.Getenv(bookVar), opts)
		if err != nil {
			return err
		}
		return b.Close()
	}
	// count writes messages of its own, each judged against the machine's last
	// entry, and judges again where that has moved.
	children["count"] = func() error {
		b, err := Open(ctx, os.Getenv(bookVar), testOptions())
		if err != nil {
			return err
		}
		defer b.Close()
		moved := 0
		for i := 0; i < countedMessages; {
			last, err := b.LastSeq(ctx, 2)
			if err != nil {
				return err
			}
			_, err = b.Write(ctx, engine.Batch{
				Against: map[engine.MachineID]engine.Seq{2: last},
				Entries: []engine.Entry{reading(fmt.Sprintf("%s %d", os.Getenv(pointVar), i), 2, engine.Tenths(last))},
			})
			switch {
			case errors.Is(err, ErrMoved):
				moved++
			case err != nil:
				return err
			default:
				i++
			}
		}
		fmt.Printf("moved %d\n", moved)
		return nil
	}
}

// killed runs a child that must die at the point it is told to.
func killed(t *testing.T, cmd *exec.Cmd, point string) (stdout string) {
	t.Helper()
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	err := cmd.Run()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGKILL || said.String() != "reached "+point+"\n" {
		t.Fatalf("%s was not reached: %v, %q", point, err, said.String())
	}
	return out.String()
}

// A process killed at each point of a write: afterwards the book opens and
// holds, and what was to be written is there whole, from the commit on, or not
// at all. Sent again, it is there once.
func TestKilledWhileWriting(t *testing.T) {
	cases := []struct {
		point   string
		written bool
	}{
		{"after-begin", false},
		{"before-commit", false},
		{"after-commit", true},
	}
	for _, c := range cases {
		t.Run(c.point, func(t *testing.T) {
			b := newBook(t)
			addMachine(t, b, "RT1", "tractor")
			b.Close()
			cmd := child(t, "write", bookVar+"="+b.Path(), pointVar+"="+c.point, nthVar+"=1")
			if out := killed(t, cmd, c.point); out != "" {
				t.Errorf("acknowledged: %q", out)
			}
			b = openBook(t, b.Path())
			mustHold(t, b)
			count := func() int {
				t.Helper()
				h, err := b.History(ctx, 2)
				if err != nil {
					t.Fatal(err)
				}
				posts, err := b.PostsSince(ctx, "morning", 0)
				if err != nil || len(posts) != len(h)-1 {
					t.Fatalf("%d lines and %d posts: not one transaction (%v)", len(h)-1, len(posts), err)
				}
				return len(h) - 1
			}
			want := map[bool]int{true: 1}[c.written]
			if n := count(); n != want {
				t.Errorf("%d lines are there, want %d", n, want)
			}
			_, err := b.Write(ctx, engine.Batch{Entries: []engine.Entry{drained("from the child", 2, 12234)}, Posts: []engine.Post{{Kind: "morning", Day: 5}}})
			if errors.Is(err, ErrRepeat) != c.written || !c.written && err != nil {
				t.Errorf("sent again: %v", err)
			}
			if n := count(); n != 1 {
				t.Errorf("sent again, %d lines are there", n)
			}
			mustHold(t, b)
		})
	}
}

// migrationPoints are the points of the statements of migrations, in order.
func migrationPoints(t *testing.T, steps []migration) (points []string) {
	t.Helper()
	for _, s := range steps {
		for i := range s.statements {
			points = append(points, fmt.Sprintf("migration-%d-%d", s.number, i+1))
		}
	}
	return points
}

// Killed at each statement while a book is made: there is no book, and making
// it again goes through.
func TestKilledWhileMaking(t *testing.T) {
	steps, err := loadMigrations(nil)
	if err != nil {
		t.Fatal(err)
	}
	points := append(migrationPoints(t, steps), "after-begin", "before-commit", "after-commit")
	for _, point := range points {
		path := filepath.Join(t.TempDir(), "hollin.book")
		killed(t, child(t, "create", bookVar+"="+path, pointVar+"="+point, nthVar+"=1"), point)
		b, err := Open(ctx, path, testOptions())
		if point == "after-commit" {
			if err != nil {
				t.Fatalf("%s: %v", point, err)
			}
		} else {
			mustBe(t, err, ErrNotBook)
			b = openBook(t, path, func(o *Options) { o.Create = true })
		}
		if seq, _, _ := b.Head(ctx); seq != 1 {
			t.Errorf("%s: made again, the book is at entry %d", point, seq)
		}
		mustHold(t, b)
		b.Close()
	}
}

// Killed at each statement while a book is migrated: it is at the step before,
// opens with the old program where that was the first, and goes on with the new.
func TestKilledWhileMigrating(t *testing.T) {
	all, err := loadMigrations(later(t, addTable, addColumn))
	if err != nil {
		t.Fatal(err)
	}
	first := len(all) - 2
	points := migrationPoints(t, all[first:])
	if len(points) != 3 {
		t.Fatalf("points are %v", points)
	}
	type kill struct {
		point   string
		nth     int
		version int // that the book has afterwards
	}
	var kills []kill
	for i, p := range points {
		kills = append(kills, kill{p, 1, first + min(i, 1)})
	}
	for nth := 1; nth <= 2; nth++ {
		kills = append(kills, kill{"after-begin", nth, first + nth - 1}, kill{"before-commit", nth, first + nth - 1}, kill{"after-commit", nth, first + nth})
	}
	for _, k := range kills {
		b := newBook(t)
		id := addMachine(t, b, "RT1", "tractor")
		write(t, b, reading("a", id, 1))
		seq, hash, _ := b.Head(ctx)
		b.Close()
		killed(t, child(t, "migrate", bookVar+"="+b.Path(), pointVar+"="+k.point, nthVar+"="+strconv.Itoa(k.nth)), k.point)
		if k.version == first {
			old := openBook(t, b.Path())
			mustHold(t, old)
			old.Close()
		}
		version, err := versionOf(ctx, copyWithLog(t, b.Path()))
		if err != nil || version != k.version {
			t.Errorf("%s (%d): the book is at version %d, want %d (%v)", k.point, k.nth, version, k.version, err)
		}
		b = openBook(t, b.Path(), func(o *Options) { o.migrations = later(t, addTable, addColumn) })
		if _, err := b.Verify(ctx, seq, hash); err != nil {
			t.Errorf("%s: %v", k.point, err)
		}
		mustHold(t, b)
		b.Close()
	}
}

// copyWithLog copies a book with its log and moves the log into the copy, so
// that looking at the file does not touch the book.
func copyWithLog(t *testing.T, path string) string {
	t.Helper()
	to := filepath.Join(t.TempDir(), "copy.book")
	for _, end := range []string{"", "-wal"} {
		body, err := os.ReadFile(path + end)
		if errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(to+end, body, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	change(t, to, `PRAGMA wal_checkpoint(TRUNCATE)`)
	return to
}

// countedMessages is how many messages each of several processes writes.
const countedMessages = 40

// Two processes and this one write to one book at once: no message is lost,
// none is there twice, and each was judged against the entry just before it.
func TestProcessesAtOnce(t *testing.T) {
	b := newBook(t)
	addMachine(t, b, "RT1", "tractor")
	var cmds []*exec.Cmd
	var outs []*bytes.Buffer
	for _, name := range []string{"one", "two"} {
		cmd := child(t, "count", bookVar+"="+b.Path(), pointVar+"="+name)
		out := &bytes.Buffer{}
		cmd.Stdout, cmd.Stderr = out, out
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		cmds, outs = append(cmds, cmd), append(outs, out)
	}
	for i := range countedMessages {
		e := reading(fmt.Sprint("here ", i), 2, 0)
		if _, err := b.Write(ctx, engine.Batch{Entries: []engine.Entry{e}}); err != nil {
			t.Fatal(err)
		}
	}
	for i, cmd := range cmds {
		if err := cmd.Wait(); err != nil {
			t.Fatalf("%v: %s", err, outs[i])
		}
		t.Logf("process %d judged again: %s", i+1, strings.TrimSpace(outs[i].String()))
	}
	h, err := b.History(ctx, 2)
	if err != nil || len(h) != 1+3*countedMessages {
		t.Fatalf("%d lines (%v)", len(h), err)
	}
	for i, e := range h[1:] {
		if !strings.HasPrefix(e.Source.Message, "here") && e.Hours.Value != engine.Tenths(h[i].Seq) {
			t.Errorf("entry %d was judged against %v, but %d was the one before", e.Seq, e.Hours.Value, h[i].Seq)
		}
	}
	mustHold(t, b)
}

// Many goroutines on two handles of one book in this process.
func TestHandlesAtOnce(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	other := openBook(t, b.Path())
	const each = 15
	var wg sync.WaitGroup
	for g, book := range []*Book{b, b, other, other} {
		wg.Go(func() {
			for i := range each {
				seqs, err := book.Write(ctx, engine.Batch{Entries: []engine.Entry{reading(fmt.Sprint(g, " ", i), id, 1)}})
				if err != nil {
					t.Error(err)
					return
				}
				// What is committed is seen at once.
				if last, err := book.LastSeq(ctx, id); err != nil || last < seqs[0] {
					t.Errorf("wrote %d, sees %d (%v)", seqs[0], last, err)
				}
				if _, err := book.Shed(ctx); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if h, err := b.History(ctx, id); err != nil || len(h) != 1+4*each {
		t.Errorf("%d lines (%v)", len(h), err)
	}
	mustHold(t, b)
}

// Several make the same book at once: one book comes of it.
func TestMadeAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hollin.book")
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			b, err := Create(ctx, path, testOptions())
			if err != nil {
				t.Error(err)
				return
			}
			b.Close()
		})
	}
	wg.Wait()
	b := openBook(t, path)
	if seq, _, _ := b.Head(ctx); seq != 1 {
		t.Errorf("the book is at entry %d", seq)
	}
	mustHold(t, b)
}

// While another program holds the book, a writer waits and then says so; reads go on.
func TestBusy(t *testing.T) {
	b := newBook(t, func(o *Options) { o.Wait = 50 * time.Millisecond })
	id := addMachine(t, b, "RT1", "tractor")
	holding, release := make(chan struct{}), make(chan struct{})
	other := openBook(t, b.Path(), func(o *Options) {
		o.Hook = func(p string) {
			if p == "before-commit" {
				close(holding)
				<-release
			}
		}
	})
	done := make(chan error, 1)
	go func() {
		_, err := other.Write(ctx, engine.Batch{Entries: []engine.Entry{reading("held", id, 1)}})
		done <- err
	}()
	<-holding
	_, err := b.Write(ctx, engine.Batch{Entries: []engine.Entry{reading("waits", id, 2)}})
	mustBe(t, err, ErrBusy)
	if h, err := b.History(ctx, id); err != nil || len(h) != 1 {
		t.Errorf("read %d lines (%v)", len(h), err)
	}
	close(release)
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	write(t, b, reading("waits", id, 2))
	mustHold(t, b)
}

// The log is synced to the disk before the acknowledgement goes out. The order
// of the system calls shows it: the write to the log, its sync, the write to
// stdout.
func TestSyncedBeforeAcknowledged(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace is not there")
	}
	b := newBook(t)
	addMachine(t, b, "RT1", "tractor")
	b.Close()
	log := filepath.Join(t.TempDir(), "strace")
	cmd := child(t, "write", bookVar+"="+b.Path())
	traced := exec.Command(strace, append([]string{"-f", "-y", "-e", "trace=write,pwrite64,fsync,fdatasync", "-o", log}, cmd.Args...)...)
	traced.Env = cmd.Env
	if out, err := traced.CombinedOutput(); err != nil {
		if strings.Contains(string(out), "ptrace") {
			t.Skipf("strace may not trace here: %s", out)
		}
		t.Fatalf("%v: %s", err, out)
	}
	f, err := os.Open(log)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	toLog := regexp.MustCompile(`pwrite64\(\d+<[^>]*-wal>`)
	sync := regexp.MustCompile(`f(data)?sync\(\d+<[^>]*-wal>`)
	ack := regexp.MustCompile(`write\(1<[^>]*>, "written \[3\]`)
	dirty, synced, acknowledged := false, false, false
	for lines := bufio.NewScanner(f); lines.Scan(); {
		switch line := lines.Text(); {
		case toLog.MatchString(line):
			dirty, synced = true, false
		case sync.MatchString(line):
			synced = dirty
		case ack.MatchString(line):
			acknowledged = true
			if !synced {
				t.Errorf("acknowledged before the log was synced: %s", line)
			}
		}
	}
	if !acknowledged || !dirty {
		t.Errorf("the log was written: %v, acknowledged: %v", dirty, acknowledged)
	}
}
