package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"
)

// TestReadmeTranscript plays the README's transcript again on the demo shed of
// the day that it names.
func TestReadmeTranscript(t *testing.T) {
	raw, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme := string(raw)
	const mark = "<!-- transcript:"
	_, rest, ok := strings.Cut(readme, mark)
	if !ok {
		t.Fatal("the README has no transcript")
	}
	_, rest, _ = strings.Cut(rest, "```\n")
	block, _, _ := strings.Cut(rest, "```\n")
	var typed []string
	for line := range strings.SplitSeq(block, "\n") {
		if said, ok := strings.CutPrefix(line, "> "); ok {
			typed = append(typed, said)
		}
	}
	if len(typed) < 5 {
		t.Fatalf("the transcript has %d messages, want at least 5", len(typed))
	}
	got := demoTranscript(t, typed)
	if got == block {
		return
	}
	if *update {
		if err := os.WriteFile("../README.md", []byte(strings.Replace(readme, "```\n"+block+"```\n", "```\n"+got+"```\n", 1)), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Error("the demo answers otherwise now:\n" + lineDiff(block, got))
}

// demoTranscript types messages into the demo, one at a time, and sets each
// before its answer.
func demoTranscript(t *testing.T, typed []string) string {
	t.Helper()
	now := time.Date(2026, time.November, 24, 12, 40, 0, 0, time.UTC) // 07:40 in the shed
	var out bytes.Buffer
	in := &typist{lines: typed, out: &out}
	var errs bytes.Buffer
	w := outside{in: in, out: &out, err: &errs, now: func() time.Time { now = now.Add(time.Minute); return now }}
	if code := run([]string{"demo"}, w); code != exitDone {
		t.Fatalf("the demo ended with %d: %s", code, errs.String())
	}
	return out.String()
}

// typist gives one line at a time and shows it in the transcript as typed.
type typist struct {
	lines []string
	out   *bytes.Buffer
}

func (r *typist) Read(p []byte) (int, error) {
	if len(r.lines) == 0 {
		return copy(p, "quit\n"), nil
	}
	line := r.lines[0] + "\n"
	r.lines = r.lines[1:]
	r.out.WriteString("> " + line)
	return copy(p, line), nil
}
