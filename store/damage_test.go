package store

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A damaged head is a book that does not hold, not a file that is no book: where
// the marks stand, see https://www.sqlite.org/fileformat.html#the_database_header.
func TestDamagedHead(t *testing.T) {
	whole := openBook(t, fullBook(t))
	whole.Close()
	body, err := os.ReadFile(whole.Path())
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []int{0, 7, 16, 19, 21, 28, 47, 68, 71} {
		path := filepath.Join(t.TempDir(), "hollin.book")
		damaged := append([]byte(nil), body...)
		damaged[at] ^= 0x41
		if err := os.WriteFile(path, damaged, 0o644); err != nil {
			t.Fatal(err)
		}
		for _, readOnly := range []bool{true, false} {
			opts := testOptions()
			opts.ReadOnly = readOnly
			b, err := Open(ctx, path, opts)
			if err == nil {
				_, err = b.Verify(ctx, 0, "")
				b.Close()
			}
			if !errors.Is(err, ErrBroken) {
				t.Errorf("byte %d, read only %v: %v", at, readOnly, err)
			}
		}
	}
}

// Where the last entries are gone and their lines and texts are not, making the
// lines again would lose the last trace of them.
func TestALedgerThatWasCut(t *testing.T) {
	path := fullBook(t)
	copied := copyBook(t, path)
	change(t, copied, `DELETE FROM ledger WHERE seq = (SELECT max(seq) FROM texts)`)
	change(t, copied, `DELETE FROM ledger WHERE seq >= (SELECT max(seq) FROM texts)`)
	b := openBook(t, copied)
	before, _ := os.ReadFile(copied)
	made, err := b.Rebuild(ctx)
	var broken *BrokenError
	if !errors.As(err, &broken) || broken.Table != "ledger" || !strings.Contains(broken.What, "missing") || len(made.Remade) > 0 {
		t.Fatalf("rebuild: %v %q", err, made)
	}
	b.Close()
	if after, _ := os.ReadFile(copied); string(after) != string(before) {
		t.Error("the book was changed")
	}
}

// A log that was left beside the book holds its last lines: without a folder to
// write in, SQLite cannot read it, and reading the file alone would hide them.
func TestALogInAFolderThatCannotBeWritten(t *testing.T) {
	dir, err := os.MkdirTemp("", "store-log")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(dir, 0o700); os.RemoveAll(dir) })
	live := newBook(t)
	addMachine(t, live, "RT1", "tractor")
	path := filepath.Join(dir, "hollin.book")
	for _, suffix := range []string{"", "-wal"} {
		body, err := os.ReadFile(live.Path() + suffix)
		if err != nil || len(body) == 0 {
			t.Fatal(suffix, len(body), err)
		}
		if err := os.WriteFile(path+suffix, body, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	os.Chmod(dir, 0o555)
	if got, want := asNobody(t, "open", path), "write: read only\ncreate: read only\nread: no book\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}
