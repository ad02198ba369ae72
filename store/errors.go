package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/mattn/go-sqlite3"

	"woodruff/engine"
)

// What can be wrong with a book. Every error of this package that falls under
// one of these answers to it with errors.Is; the text before it names the file.
var (
	ErrNoBook   = errors.New("there is no book here")
	ErrNotBook  = errors.New("this file is not a service book")
	ErrNewer    = errors.New("this book was written by a newer version of this program")
	ErrReadOnly = errors.New("this book can be read but not written")
	ErrBusy     = errors.New("another program is writing to this book; try again")
	ErrFull     = errors.New("the disk is full; nothing was written")
	ErrZone     = errors.New("not a time zone")
	ErrMoved    = engine.ErrMoved  // judge again
	ErrRepeat   = engine.ErrRepeat // nothing to do
	ErrEntry    = errors.New("this entry cannot be written")
	ErrTarget   = errors.New("the line that this corrects or takes back cannot be")
	ErrBroken   = errors.New("the book does not hold")
	ErrExpected = errors.New("not a hash to expect")
)

// fileError names the file and what class of fault it is, and keeps the cause.
type fileError struct {
	path  string
	class error
	cause error
}

func (e *fileError) Error() string {
	if e.cause == nil {
		return fmt.Sprintf("%s: %v", e.path, e.class)
	}
	return fmt.Sprintf("%s: %v (%v)", e.path, e.class, e.cause)
}

func (e *fileError) Unwrap() []error {
	if e.cause == nil {
		return []error{e.class}
	}
	return []error{e.class, e.cause}
}

// MovedError says what moved under a batch. It is ErrMoved.
type MovedError struct {
	Path       string
	Machine    engine.MachineID // 0: the shop itself
	Want, Have engine.Seq
}

func (e *MovedError) Error() string {
	what := "the shop"
	if e.Machine != 0 {
		what = fmt.Sprintf("machine %d", e.Machine)
	}
	return fmt.Sprintf("%s: %v: judged against entry %d of %s, which is at %d now", e.Path, ErrMoved, e.Want, what, e.Have)
}

// Unwrap gives ErrMoved.
func (e *MovedError) Unwrap() error { return ErrMoved }

// RepeatError says that a message, or a post, is in the book already. It is
// ErrRepeat.
type RepeatError struct {
	Path string
	// Seqs are the entries under the message's id.
	Seqs []engine.Seq
	// Stale says that it is not the same again but an older state of a message
	// that was edited or deleted since.
	Stale bool
	// Post is the post that stands in the book, where a post is what repeats.
	Post *engine.Post
}

func (e *RepeatError) Error() string {
	switch {
	case e.Post != nil:
		return fmt.Sprintf("%s: %v: the %s post of %s is %s", e.Path, ErrRepeat, e.Post.Kind, e.Post.Day, e.Post.State)
	case e.Stale:
		return fmt.Sprintf("%s: %v: a later edit or the deletion of this message was heard first", e.Path, ErrRepeat)
	}
	return fmt.Sprintf("%s: %v: entries %v", e.Path, ErrRepeat, e.Seqs)
}

// Unwrap gives ErrRepeat.
func (e *RepeatError) Unwrap() error { return ErrRepeat }

// TargetError says why a line, or a question, cannot be corrected, taken back
// or closed. It is ErrTarget, and ErrMoved too where the line or question was
// changed by somebody else, so that judging again can help.
type TargetError struct {
	Path  string
	Seq   engine.Seq        // the line, or 0
	ID    engine.QuestionID // the question, or 0
	State string            // what it is instead of standing or open, or ""
	Why   string
}

func (e *TargetError) Error() string {
	what := fmt.Sprintf("line %d", e.Seq)
	if e.ID != 0 {
		what = fmt.Sprintf("question %d", e.ID)
	}
	return fmt.Sprintf("%s: %v: %s %s", e.Path, ErrTarget, what, e.Why)
}

// Unwrap gives ErrTarget, and ErrMoved where judging again can help.
func (e *TargetError) Unwrap() []error {
	if e.State != "" {
		return []error{ErrTarget, ErrMoved}
	}
	return []error{ErrTarget}
}

// EntryError says why an entry of a batch cannot be written. It is ErrEntry:
// a fault of the caller, not of the book.
type EntryError struct {
	Path  string
	Place int // within the batch, from 1
	Why   string
}

func (e *EntryError) Error() string {
	return fmt.Sprintf("%s: %v: entry %d of the batch %s", e.Path, ErrEntry, e.Place, e.Why)
}

// Unwrap gives ErrEntry.
func (e *EntryError) Unwrap() error { return ErrEntry }

// BrokenError names the first thing that does not hold. It is ErrBroken.
type BrokenError struct {
	Path  string
	Seq   engine.Seq // the first bad entry, or 0 where the fault is not in the ledger or its texts
	Table string
	What  string
	cause error
}

func (e *BrokenError) Error() string {
	where := e.Table
	if e.Seq != 0 {
		where = fmt.Sprintf("entry %d", e.Seq)
	}
	if where != "" {
		where += ": "
	}
	return fmt.Sprintf("%s: %v: %s%s", e.Path, ErrBroken, where, e.What)
}

// Unwrap gives ErrBroken and what was behind it.
func (e *BrokenError) Unwrap() []error {
	if e.cause == nil {
		return []error{ErrBroken}
	}
	return []error{ErrBroken, e.cause}
}

// classOf sorts the driver's codes into our classes; nil is none of them.
func classOf(code sqlite3.ErrNo) error {
	switch code {
	case sqlite3.ErrBusy, sqlite3.ErrLocked:
		return ErrBusy
	case sqlite3.ErrReadonly, sqlite3.ErrPerm:
		return ErrReadOnly
	case sqlite3.ErrNotADB:
		return ErrNotBook
	case sqlite3.ErrCorrupt:
		return ErrBroken
	case sqlite3.ErrFull:
		return ErrFull
	}
	return nil
}

// explain turns an error of the driver into one of ours. Errors that are ours
// already, and those of a context, pass as they are.
func (b *Book) explain(err error) error {
	var own *fileError
	var broken *BrokenError
	if errors.As(err, &broken) && broken.Path == "" {
		broken.Path = b.path
	}
	switch {
	case err == nil, broken != nil, errors.As(err, &own),
		errors.Is(err, ErrMoved), errors.Is(err, ErrRepeat), errors.Is(err, ErrTarget), errors.Is(err, ErrEntry),
		errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	}
	var driver sqlite3.Error
	if !errors.As(err, &driver) {
		return &fileError{b.path, err, nil}
	}
	switch class := classOf(driver.Code); class {
	case nil:
		return &fileError{b.path, err, nil}
	case ErrBroken:
		return &BrokenError{Path: b.path, What: "the file is damaged", cause: err}
	default:
		return &fileError{b.path, class, err}
	}
}

// schemaFault makes a fault of the book out of an error that SQLite gives where
// a table or column is missing; other errors pass.
func (b *Book) schemaFault(err error) error {
	var driver sqlite3.Error
	if errors.As(err, &driver) && driver.Code == sqlite3.ErrError {
		return &BrokenError{Path: b.path, Table: "schema", What: "the tables are not as this program made them", cause: err}
	}
	return err
}
