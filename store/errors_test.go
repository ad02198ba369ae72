package store

import (
	"errors"
	"strings"
	"testing"

	"github.com/mattn/go-sqlite3"

	"woodruff/engine"
)

// What a person reads: the file first, then what is wrong in plain words.
func TestErrorTexts(t *testing.T) {
	const path = "/sheds/hollin.book"
	cases := []struct {
		err  error
		want string
	}{
		{&fileError{path, ErrNoBook, nil}, "there is no book here"},
		{&fileError{path, ErrReadOnly, errors.New("the file cannot be written")}, "this book can be read but not written (the file cannot be written)"},
		{&MovedError{Path: path, Machine: 3, Want: 7, Have: 9}, "the book has moved on since this was judged: judged against entry 7 of machine 3, which is at 9 now"},
		{&MovedError{Path: path, Want: 7, Have: 9}, "the book has moved on since this was judged: judged against entry 7 of the shop, which is at 9 now"},
		{&RepeatError{Path: path, Seqs: []engine.Seq{4, 5}}, "this message is in the book already: entries [4 5]"},
		{&RepeatError{Path: path, Stale: true}, "this message is in the book already: a later edit or the deletion of this message was heard first"},
		{&RepeatError{Path: path, Post: &engine.Post{Kind: "morning", Day: 20781, State: engine.Sent}}, "this message is in the book already: the morning post of 2026-11-24 is sent"},
		{&TargetError{Path: path, Seq: 4, Why: "was taken back already"}, "the line that this corrects or takes back cannot be: line 4 was taken back already"},
		{&TargetError{Path: path, ID: 4, Why: "is not in the book"}, "the line that this corrects or takes back cannot be: question 4 is not in the book"},
		{&EntryError{Path: path, Place: 2, Why: "has no kind"}, "this entry cannot be written: entry 2 of the batch has no kind"},
		{&BrokenError{Path: path, Seq: 6, Table: "ledger", What: "it is missing"}, "the book does not hold: entry 6: it is missing"},
		{&BrokenError{Path: path, Table: "posts", What: "row 1 is not as it was written"}, "the book does not hold: posts: row 1 is not as it was written"},
		{&BrokenError{Path: path, What: "the file is damaged"}, "the book does not hold: the file is damaged"},
	}
	for _, c := range cases {
		if got := c.err.Error(); got != path+": "+c.want {
			t.Errorf("got  %s\nwant %s: %s", got, path, c.want)
		}
	}
}

// The driver's codes and what they mean here. The codes are those of
// https://www.sqlite.org/rescode.html.
func TestExplain(t *testing.T) {
	b := &Book{path: "/sheds/hollin.book"}
	cases := []struct {
		code int // of SQLite
		want error
	}{
		{5, ErrBusy},     // SQLITE_BUSY
		{6, ErrBusy},     // SQLITE_LOCKED
		{8, ErrReadOnly}, // SQLITE_READONLY
		{3, ErrReadOnly}, // SQLITE_PERM
		{11, ErrBroken},  // SQLITE_CORRUPT
		{13, ErrFull},    // SQLITE_FULL
		{26, ErrNotBook}, // SQLITE_NOTADB
		{10, nil},        // SQLITE_IOERR: none of ours
	}
	for _, c := range cases {
		cause := sqlite3.Error{Code: sqlite3.ErrNo(c.code)}
		got := b.explain(cause)
		if c.want != nil && !errors.Is(got, c.want) {
			t.Errorf("code %d: %v", c.code, got)
		}
		var kept sqlite3.Error
		if !errors.As(got, &kept) || kept.Code != cause.Code {
			t.Errorf("code %d: the cause is lost in %v", c.code, got)
		}
		if again := b.explain(got); again != got || strings.Count(got.Error(), b.path) != 1 {
			t.Errorf("code %d: explained twice: %v", c.code, again)
		}
	}
}

// A line that cannot be read says which it is, wherever it is come across.
func TestUnreadableLine(t *testing.T) {
	path := fullBook(t)
	change(t, path, `UPDATE ledger SET body = CAST('?' AS BLOB) WHERE seq = 3`)
	b := openBook(t, path)
	ask := map[string]func() error{
		"history":   func() error { _, err := b.History(ctx, 3); return err },
		"histories": func() error { return b.Histories(ctx, func(engine.MachineID, []engine.Entry) error { return nil }) },
		"entries":   func() error { _, err := b.Entries(ctx, 1, 9); return err },
	}
	for what, f := range ask {
		err := f()
		var broken *BrokenError
		if !errors.As(err, &broken) || broken.Seq != 3 || broken.Path != path || !strings.HasPrefix(err.Error(), path) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := b.Shed(ctx); err == nil {
		t.Error("a shop was made of it")
	}
}
