package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/mattn/go-sqlite3"

	"woodruff/engine"
)

// applicationID marks a SQLite file as a service book. It stands in books for good.
const applicationID = 0x57_6b_65_79 // "Wkey"

// openTries is how often the writer is opened while another maker of the file
// is at it; each try takes about a millisecond.
const openTries = 500

// DefaultWait is how long a write waits for another program that is writing.
const DefaultWait = 5 * time.Second

// Options says how to open a book.
type Options struct {
	// Now is the clock; it dates what is written. Needed unless ReadOnly.
	Now func() engine.Instant
	// Create makes a new book where there is no file, in the zone Zone.
	Create bool
	// Zone is the zone of a new book, as in the tz database; an existing book
	// keeps its own.
	Zone string
	// ReadOnly opens no writer: nothing is created, migrated or locked.
	ReadOnly bool
	// Wait is how long a write waits for another program; 0 is DefaultWait.
	Wait time.Duration
	// Rand gives the salts; nil is crypto/rand.
	Rand io.Reader
	// Hook, for tests, is called at each named point of a write: after-begin,
	// before-commit, after-commit, and migration-N-M before statement M of
	// migration N.
	Hook func(point string)

	migrations fs.FS // for tests; nil is what is embedded
}

// Book is one shop's service book. It is safe for use by many goroutines.
type Book struct {
	path string
	opts Options
	w    *writer // nil where the book is read only
	r    *reader

	frozen bool // read as a file that nobody writes

	shedMu sync.Mutex
	shed   *shedCache

	kept kept

	decoders sync.Pool

	closing sync.Once
	closed  error // what closing gave
}

// Create opens the book at path and makes it, in opts.Zone, where there is none.
func Create(ctx context.Context, path string, opts Options) (*Book, error) {
	opts.Create = true
	return Open(ctx, path, opts)
}

// Open opens the book at path. Errors: ErrNoBook, ErrNotBook, ErrNewer,
// ErrReadOnly, ErrBusy, ErrBroken, and ErrZone for a new book without a zone.
func Open(ctx context.Context, path string, opts Options) (*Book, error) {
	full, err := filepath.Abs(path)
	if err != nil {
		return nil, &fileError{path, ErrNoBook, err}
	}
	if opts.Now == nil && !opts.ReadOnly {
		return nil, fmt.Errorf("%s: a book that is to be written needs a clock", path)
	}
	if opts.Rand == nil {
		opts.Rand = rand.Reader
	}
	if opts.Wait == 0 {
		opts.Wait = DefaultWait
	}
	b := &Book{path: full, opts: opts}
	b.decoders.New = func() any { return newDecoder() }
	if err := b.open(ctx); err != nil {
		b.Close()
		return nil, b.explain(err)
	}
	return b, nil
}

func (b *Book) open(ctx context.Context) error {
	fresh, err := b.look(ctx)
	if err != nil {
		return err
	}
	if b.opts.ReadOnly {
		return b.openReadOnly(ctx)
	}
	steps, err := loadMigrations(b.opts.migrations)
	if err != nil {
		return err
	}
	if fresh {
		if _, err := time.LoadLocation(b.opts.Zone); err != nil || b.opts.Zone == "" {
			return &fileError{b.path, ErrZone, fmt.Errorf("a new book needs one, such as America/Toronto, not %q", b.opts.Zone)}
		}
	}
	// SQLite does not wait for another maker of the same file that is switching
	// it to its write-ahead log, but says at once that it is busy.
	for range openTries {
		if b.w, err = openWriter(ctx, b, fresh); !errors.Is(b.explain(err), ErrBusy) {
			break
		}
	}
	if err != nil {
		return err
	}
	if err := b.migrate(ctx, steps); err != nil {
		return err
	}
	return b.openReaders(ctx, nil)
}

// openReaders opens the connections that read, and the one that watches.
func (b *Book) openReaders(ctx context.Context, extra url.Values) (err error) {
	dsn := b.dsn("ro", extra, url.Values{"_query_only": {"true"}, "_stmt_cache_size": {"4"}})
	if b.r, err = openReader(ctx, dsn); err != nil {
		return err
	}
	return b.kept.open(ctx, b.w, dsn)
}

// openReadOnly opens the book for reading alone, also in a folder that cannot
// be written, where SQLite needs to be told that nobody else writes.
func (b *Book) openReadOnly(ctx context.Context) error {
	steps, err := loadMigrations(b.opts.migrations)
	if err != nil {
		return err
	}
	err = b.openReaders(ctx, nil)
	if err != nil && canWrite(filepath.Dir(b.path)) != nil && !hasContent(b.path+"-wal") {
		b.frozen = true
		err = b.openReaders(ctx, url.Values{"immutable": {"1"}})
	}
	if err != nil {
		return err
	}
	version, err := b.r.version(ctx)
	if err != nil {
		return err
	}
	if err := b.checkMigrations(ctx, b.r.all, steps, version); err != nil {
		return err
	}
	if version < steps[len(steps)-1].number {
		return &fileError{b.path, ErrReadOnly, errors.New("it is of an older version of this program and must be opened for writing once")}
	}
	return nil
}

// look finds out, without touching the file, whether it is a book, and whether
// there is one to be made.
func (b *Book) look(ctx context.Context) (fresh bool, err error) {
	info, err := os.Stat(b.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return b.lookAround()
	case errors.Is(err, fs.ErrPermission):
		return false, &fileError{b.path, ErrNoBook, errors.New("it cannot be looked at: permission denied")}
	case err != nil:
		return false, &fileError{b.path, ErrNoBook, err}
	case info.IsDir():
		return false, &fileError{b.path, ErrNotBook, errors.New("it is a folder")}
	case !info.Mode().IsRegular():
		return false, &fileError{b.path, ErrNotBook, errors.New("it is no ordinary file")}
	case info.Size() == 0 && !b.opts.Create:
		return false, &fileError{b.path, ErrNotBook, errors.New("it is empty")}
	}
	if err := b.checkAccess(); err != nil {
		return false, err
	}
	if info.Size() == 0 {
		return true, nil
	}
	return b.peek(ctx)
}

// lookAround is look for a path where there is no file.
func (b *Book) lookAround() (fresh bool, err error) {
	if !b.opts.Create || b.opts.ReadOnly {
		return false, &fileError{b.path, ErrNoBook, errors.New("no such file")}
	}
	folder := filepath.Dir(b.path)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return false, &fileError{b.path, ErrNoBook, fmt.Errorf("there is no folder %s", folder)}
	}
	if err := canWrite(folder); err != nil {
		return false, &fileError{b.path, ErrReadOnly, fmt.Errorf("the folder %s cannot be written", folder)}
	}
	return true, nil
}

// checkAccess asks for what writing needs: SQLite keeps its log beside the file.
func (b *Book) checkAccess() error {
	if b.opts.ReadOnly {
		return nil
	}
	if err := canWrite(b.path); err != nil {
		return &fileError{b.path, ErrReadOnly, errors.New("the file cannot be written")}
	}
	if folder := filepath.Dir(b.path); canWrite(folder) != nil {
		return &fileError{b.path, ErrReadOnly, fmt.Errorf("the folder %s cannot be written, and the book keeps its log there", folder)}
	}
	return nil
}

// peek reads the marks in the file's head, as it lies there. A head without our
// mark before tables of ours is looked at again before it is called damaged: the
// book may have been made by another one between the two looks.
func (b *Book) peek(ctx context.Context) (fresh bool, err error) {
	for range 3 {
		if fresh, err = b.peekOnce(ctx); !errors.Is(err, ErrBroken) {
			break
		}
	}
	return fresh, err
}

// peekOnce opens the file so that nothing comes to lie beside it: another
// program's file is none of ours.
func (b *Book) peekOnce(ctx context.Context) (fresh bool, err error) {
	extra := url.Values{"immutable": {"1"}}
	if hasContent(b.path + "-wal") {
		extra = nil // the marks may still lie in the log
	}
	db, err := sql.Open("sqlite3", b.dsn("ro", extra))
	if err != nil {
		return false, err
	}
	defer db.Close()
	var id, tables int64
	if err := db.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&id); err != nil {
		return false, b.damagedHead(b.unreadable(err))
	}
	err = db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema`).Scan(&tables)
	switch {
	case err != nil && id == applicationID:
		return false, b.schemaFault(b.unreadable(err))
	case err != nil:
		return false, b.unreadable(err)
	case id == applicationID:
		return false, nil
	}
	if marked, err := b.hasOurTables(ctx, db); err != nil {
		return false, b.unreadable(err)
	} else if marked {
		return false, &BrokenError{Path: b.path, Table: "file", What: "its head is damaged: the mark of a service book"}
	}
	if id != 0 || tables != 0 {
		return false, &fileError{b.path, ErrNotBook, errors.New("it is the database of another program")}
	}
	if !b.opts.Create || b.opts.ReadOnly {
		return false, &fileError{b.path, ErrNotBook, errors.New("there is nothing in it")}
	}
	return true, nil // the making of a book was cut off here
}

// damagedHead tells a book whose head is damaged from a file that is none: what
// SQLite cannot read, but has our mark where it stands in a book.
func (b *Book) damagedHead(err error) error {
	var driver sqlite3.Error
	if !errors.As(err, &driver) || driver.Code != sqlite3.ErrNotADB && driver.Code != sqlite3.ErrError {
		return err
	}
	f, opened := os.Open(b.path)
	if opened != nil {
		return err
	}
	defer f.Close()
	mark := make([]byte, 4)
	const markAt = 68 // https://www.sqlite.org/fileformat.html#application_id
	if _, short := f.ReadAt(mark, markAt); short == nil && binary.BigEndian.Uint32(mark) == applicationID {
		return &BrokenError{Path: b.path, Table: "file", What: "its head is damaged", cause: err}
	}
	return err
}

// hasOurTables says whether the tables of a service book are all there.
func (b *Book) hasOurTables(ctx context.Context, db *sql.DB) (bool, error) {
	var n int
	err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name IN ('ledger', 'texts', 'lines', 'sources', 'migrations')`).Scan(&n)
	return n == 5, err
}

// unreadable explains why a file could not be peeked into.
func (b *Book) unreadable(err error) error {
	var driver sqlite3.Error
	if errors.As(err, &driver) && driver.Code == sqlite3.ErrCantOpen {
		if hasContent(b.path+"-wal") && canWrite(filepath.Dir(b.path)) != nil {
			return &fileError{b.path, ErrNoBook, errors.New("it cannot be read where it lies: its last lines are in the log beside it, and SQLite must write there to read them; copy both to a folder that can be written")}
		}
		return &fileError{b.path, ErrNoBook, errors.New("it cannot be read: permission denied")}
	}
	return err
}

func hasContent(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Size() > 0
}

// dsn names the file to the driver, with the pragmas of every connection.
func (b *Book) dsn(mode string, extra ...url.Values) string {
	q := url.Values{
		"mode":          {mode},
		"_foreign_keys": {"on"},
		"_busy_timeout": {strconv.FormatInt(b.opts.Wait.Milliseconds(), 10)},
	}
	for _, more := range extra {
		for k, v := range more {
			q[k] = v
		}
	}
	return "file:" + strings.NewReplacer("%", "%25", "?", "%3f", "#", "%23").Replace(filepath.ToSlash(b.path)) + "?" + q.Encode()
}

// Path is the file of the book.
func (b *Book) Path() string { return b.path }

// Close lets go of the book; nothing may use it any more. The writer goes last,
// since the last to go moves SQLite's log into the file. Closing again is harmless.
func (b *Book) Close() error {
	b.closing.Do(func() {
		errs := []error{b.kept.close()}
		if b.r != nil {
			errs = append(errs, b.r.close())
		}
		if b.w != nil {
			errs = append(errs, b.w.close())
		}
		b.closed = errors.Join(errs...)
	})
	return b.closed
}

func (b *Book) hook(point string) {
	if b.opts.Hook != nil {
		b.opts.Hook(point)
	}
}
