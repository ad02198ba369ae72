package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"woodruff/engine"
)

// TestReleasedBooksAgree opens the books of every released schema, which hold
// the same lines, and asks each what is due: the answer is the same.
func TestReleasedBooksAgree(t *testing.T) {
	released, err := filepath.Glob("../testdata/books/v*.db")
	if err != nil || len(released) < 2 {
		t.Fatalf("%d released books (%v), want those of every schema", len(released), err)
	}
	at := engine.Instant(time.Date(2026, time.December, 1, 12, 0, 0, 0, time.UTC).Unix())
	var first string
	for _, path := range released {
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		copied := filepath.Join(t.TempDir(), filepath.Base(path))
		if err := os.WriteFile(copied, raw, 0o644); err != nil {
			t.Fatal(err)
		}
		s := openAt(t, copied, at)
		var due bytes.Buffer
		if err := s.desk.WriteDue(context.Background(), &due, at, -1); err != nil {
			t.Fatal(err)
		}
		s.close(&err)
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case bytes.Count(due.Bytes(), []byte("\n")) < 20:
			t.Errorf("%s: a due list of %d lines", path, bytes.Count(due.Bytes(), []byte("\n")))
		case first == "":
			first = due.String()
		case due.String() != first:
			t.Errorf("%s gives another due list:\n%s", path, lineDiff(first, due.String()))
		}
	}
}
