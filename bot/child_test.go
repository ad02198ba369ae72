//go:build unix

package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// childVar makes the test binary the program itself; it holds a child as JSON.
const childVar = "BOT_TEST_CHILD"

// TestMain runs the tests, or is the program where a test has started it as a
// child.
func TestMain(m *testing.M) {
	raw := os.Getenv(childVar)
	if raw == "" {
		code := m.Run()
		if benchDir != "" {
			os.RemoveAll(benchDir)
		}
		os.Exit(code)
	}
	var c child
	if err := json.Unmarshal([]byte(raw), &c); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(99)
	}
	os.Exit(c.run(os.Args[1:]))
}

// acknowledged is the point after each line that the program has printed. It
// stands beside those of the store: after-begin, before-commit, after-commit
// and migration-N-M.
const acknowledged = "acknowledged"

// child is how the program runs in a process of its own. Every point that it
// reaches is reported as a line on file descriptor 3.
type child struct {
	Now  time.Time
	Die  int           // SIGKILL to itself at the n-th point it reaches, from 1; 0 is never
	Slow time.Duration // a pause after BEGIN and before COMMIT, to give kills something to hit
	// Linger is the point at which the pause is so long that a kill aimed at it
	// arrives, however busy the machine is.
	Linger string
	Hold   string // waits at the first reach of this point until descriptor 4 is closed
	UID    int    // gives up root for this user; 0 stays
}

// lingers is how long a child waits at a point for a kill that is aimed at it. It
// goes on by itself then.
const lingers = 3 * time.Second

// reportFD and holdFD are the descriptors that a child is given.
const (
	reportFD = 3
	holdFD   = 4
)

func (c child) run(args []string) int {
	if c.UID != 0 {
		if err := syscall.Setuid(c.UID); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 99
		}
	}
	report := os.NewFile(reportFD, "report")
	reached, held := 0, false
	point := func(name string) {
		reached++
		fmt.Fprintln(report, name)
		if reached == c.Die {
			syscall.Kill(os.Getpid(), syscall.SIGKILL)
			select {} // until it has arrived
		}
		if name == c.Hold && !held {
			held = true
			io.Copy(io.Discard, os.NewFile(holdFD, "hold"))
		}
		switch {
		case name == c.Linger:
			time.Sleep(lingers)
		case name == "after-begin" || name == "before-commit":
			time.Sleep(c.Slow)
		}
	}
	code := run(args, outside{
		in: os.Stdin, out: pointed{os.Stdout, point}, err: os.Stderr,
		now: func() time.Time { return c.Now }, hook: point,
	})
	fmt.Fprintln(report, heldReport+mostHeld())
	return code
}

// heldReport begins the line in which a child that has ended by itself says
// what memory it has held.
const heldReport = "held "

// mostHeld is the most memory that this process has held, as Linux tells it:
// what the parent learns of a child counts the parent in. It is "" elsewhere.
func mostHeld() string {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return ""
	}
	_, peak, _ := strings.Cut(string(status), "VmHWM:")
	peak, _, _ = strings.Cut(peak, "kB")
	return strings.TrimSpace(peak)
}

// pointed calls a point after each write.
type pointed struct {
	to    io.Writer
	point func(string)
}

func (p pointed) Write(b []byte) (int, error) {
	n, err := p.to.Write(b)
	p.point(acknowledged)
	return n, err
}

// process is a child under way.
type process struct {
	t        *testing.T
	cmd      *exec.Cmd
	out, err bytes.Buffer
	release  *os.File      // closing it ends a hold
	sign     string        // the point that says that a write is under way
	began    chan struct{} // closed when it has reached that, or ended
	drained  chan struct{} // closed when all it reported was read
	points   []string      // once drained
}

// outcome is what became of a child.
type outcome struct {
	code     int // -1 where a signal ended it
	killed   bool
	points   []string
	out, err string
	held     int // the most memory it had, in kilobytes; 0 is not known
}

// start runs the program with args in a process of its own; before, where
// given, is the command line that the program is put behind.
func (c child) start(t *testing.T, before []string, args ...string) *process {
	t.Helper()
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	line := slices.Concat(before, []string{self}, args)
	p := &process{t: t, cmd: exec.Command(line[0], line[1:]...), sign: cmp.Or(c.Linger, "after-begin"), began: make(chan struct{}), drained: make(chan struct{})}
	p.cmd.Env = append(os.Environ(), childVar+"="+string(raw),
		"GORACE=atexit_sleep_ms=0 "+os.Getenv("GORACE")) // the race detector would have each child wait a second at its end
	p.cmd.Stdout, p.cmd.Stderr = &p.out, &p.err
	read, report := pipe(t)
	hold, release := pipe(t)
	p.release = release
	p.cmd.ExtraFiles = []*os.File{report, hold}
	err = p.cmd.Start()
	report.Close()
	hold.Close()
	if err != nil {
		t.Fatal(err)
	}
	go p.listen(read)
	return p
}

func pipe(t *testing.T) (r, w *os.File) {
	t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	return r, w
}

// listen takes down the points until the child has ended.
func (p *process) listen(read *os.File) {
	defer close(p.drained)
	defer read.Close()
	var line []byte
	begun := false
	for one := make([]byte, 256); ; {
		n, err := read.Read(one)
		line = append(line, one[:n]...)
		for {
			at := bytes.IndexByte(line, '\n')
			if at < 0 {
				break
			}
			p.points = append(p.points, string(line[:at]))
			line = line[at+1:]
		}
		if !begun && (err != nil || slices.Contains(p.points, p.sign)) {
			begun = true
			close(p.began)
		}
		if err != nil {
			return
		}
	}
}

// kill sends the signal that cannot be caught. One that has ended already is
// let be.
func (p *process) kill() {
	if err := p.cmd.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
		p.t.Error(err)
	}
}

// wait waits for the end.
func (p *process) wait() outcome {
	p.t.Helper()
	err := p.cmd.Wait()
	p.release.Close()
	<-p.drained
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		p.t.Fatal(err)
	}
	o := outcome{code: p.cmd.ProcessState.ExitCode(), points: p.points, out: p.out.String(), err: p.err.String()}
	if s, ok := p.cmd.ProcessState.Sys().(syscall.WaitStatus); ok {
		o.killed = s.Signaled() && s.Signal() == syscall.SIGKILL
	}
	if n := len(o.points); n > 0 && strings.HasPrefix(o.points[n-1], heldReport) {
		o.held, _ = strconv.Atoi(strings.TrimPrefix(o.points[n-1], heldReport))
		o.points = o.points[:n-1]
	}
	return o
}

// program runs the program to its end in a process of its own.
func (c child) program(t *testing.T, args ...string) outcome {
	t.Helper()
	return c.start(t, nil, args...).wait()
}

// inside says that a write had begun and was not known to have ended.
func (o outcome) inside() bool {
	last := ""
	for _, p := range o.points {
		if p != acknowledged {
			last = p
		}
	}
	return last != "" && last != "after-commit"
}

// answered is what was printed in whole lines before the end.
func (o outcome) answered() string { return o.out[:strings.LastIndexByte(o.out, '\n')+1] }
