package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net/url"
	"sync"
	"sync/atomic"
	"time"

	"woodruff/engine"
)

// querier is what reading needs of a connection.
type querier interface {
	query(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	row(ctx context.Context, query string, args ...any) *sql.Row
}

// session is one connection with its statements prepared once. It is not safe
// for two at once.
type session struct {
	db    *sql.DB
	conn  *sql.Conn
	stmts map[string]*sql.Stmt
}

// openSession opens a connection of its own.
func openSession(ctx context.Context, dsn string) (*session, error) {
	db, err := sql.Open("sqlite3", dsn)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	conn, err := db.Conn(ctx)
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return &session{db: db, conn: conn, stmts: make(map[string]*sql.Stmt)}, nil
}

// writer is the one session that writes.
type writer struct {
	*session
	turn chan struct{} // holds one token: whose turn it is to write

	// What the last look at the book gave, good as long as the shop's head stays.
	zoneHead engine.Seq
	zone     *time.Location
	people   map[engine.PersonID]bool
	machines map[engine.MachineID]bool

	changes changes // by the write under way
	head    head    // after our last write; its hash is nil where that is not known
	others  int64   // commits of others by then, as SQLite numbers them
}

// openWriter opens the connection that writes. SQLite syncs the log at every
// commit (FULL), and overwrites what is erased.
func openWriter(ctx context.Context, b *Book, fresh bool) (*writer, error) {
	mode := "rw"
	if fresh {
		mode = "rwc"
	}
	one, err := openSession(ctx, b.dsn(mode, url.Values{
		"_journal_mode":  {"WAL"},
		"_synchronous":   {"FULL"},
		"_txlock":        {"immediate"},
		"_secure_delete": {"on"},
	}))
	if err != nil {
		return nil, err
	}
	return &writer{
		session:  one,
		turn:     make(chan struct{}, 1),
		people:   make(map[engine.PersonID]bool),
		machines: make(map[engine.MachineID]bool),
	}, nil
}

// take waits for the turn to write; give hands it on.
func (w *writer) take(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err // a free turn would be taken half of the time
	}
	select {
	case w.turn <- struct{}{}:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// tryTake is take for whoever can do without.
func (w *writer) tryTake() bool {
	select {
	case w.turn <- struct{}{}:
		return true
	default:
		return false
	}
}

func (w *writer) give() { <-w.turn }

func (w *session) stmt(ctx context.Context, query string) (*sql.Stmt, error) {
	if s, ok := w.stmts[query]; ok {
		return s, nil
	}
	s, err := w.conn.PrepareContext(ctx, query)
	if err != nil {
		return nil, fmt.Errorf("%w in %q", err, query)
	}
	w.stmts[query] = s
	return s, nil
}

func (w *session) exec(ctx context.Context, query string, args ...any) (sql.Result, error) {
	s, err := w.stmt(ctx, query)
	if err != nil {
		return nil, err
	}
	return s.ExecContext(ctx, args...)
}

func (w *session) query(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	s, err := w.stmt(ctx, query)
	if err != nil {
		return nil, err
	}
	return s.QueryContext(ctx, args...)
}

func (w *session) row(ctx context.Context, query string, args ...any) *sql.Row {
	s, err := w.stmt(ctx, query)
	if err != nil {
		return w.conn.QueryRowContext(ctx, query, args...) // which fails the same way
	}
	return s.QueryRowContext(ctx, args...)
}

// once runs a statement that is not worth keeping.
func (w *session) once(ctx context.Context, query string) error {
	_, err := w.conn.ExecContext(ctx, query)
	return err
}

// transact runs do in one write transaction. It is not cut off half way: ctx
// ends the waiting for the turn, not the writing.
func (b *Book) transact(ctx context.Context, do func(ctx context.Context, w *writer) error) error {
	if b.w == nil {
		return &fileError{b.path, ErrReadOnly, nil}
	}
	if err := b.w.take(ctx); err != nil {
		return err
	}
	defer b.w.give()
	return b.explain(b.transactHolding(context.WithoutCancel(ctx), do))
}

// transactHolding is transact for whoever has the turn.
func (b *Book) transactHolding(ctx context.Context, do func(ctx context.Context, w *writer) error) (err error) {
	w := b.w
	if _, err := w.exec(ctx, `BEGIN IMMEDIATE`); err != nil {
		return err
	}
	w.changes = changes{}
	done := false
	defer func() {
		if !done { // also where do panics
			if !w.rollback(ctx) {
				b.kept.lost()
			}
		}
	}()
	b.hook("after-begin")
	if err := do(ctx, w); err != nil {
		return err
	}
	b.hook("before-commit")
	if _, err := w.exec(ctx, `COMMIT`); err != nil {
		return err
	}
	done = true
	w.head = w.changes.head
	b.kept.end(&w.changes)
	b.hook("after-commit")
	return nil
}

// rollback ends a transaction that failed. SQLite may have ended it by itself
// (a full disk), so what it says is no matter, but the connection must be out
// of the transaction afterwards: clean says that it is, and is the same one.
func (w *writer) rollback(ctx context.Context) (clean bool) {
	w.forget()
	if _, err := w.exec(ctx, `ROLLBACK`); err == nil {
		return true
	}
	for _, s := range w.stmts {
		s.Close()
	}
	w.stmts = make(map[string]*sql.Stmt)
	w.conn.Raw(func(any) error { return driver.ErrBadConn }) // closes it
	w.conn.Close()
	if conn, err := w.db.Conn(ctx); err == nil {
		w.conn = conn
	}
	return false
}

// forget drops what was learnt in a transaction that did not come about.
func (w *writer) forget() {
	w.head = head{}
	w.zone, w.zoneHead = nil, 0
	clear(w.people)
	clear(w.machines)
}

func (w *session) close() error {
	for _, s := range w.stmts {
		s.Close()
	}
	return errors.Join(w.conn.Close(), w.db.Close())
}

// readers is how many reads can go on at once.
const readers = 4

// reader is the pool of connections that read.
type reader struct {
	db    *sql.DB
	mu    sync.RWMutex
	stmts map[string]*sql.Stmt
	all   snapshot // reads without a transaction of its own
	lines atomic.Int64
}

func openReader(ctx context.Context, dsn string) (*reader, error) {
	db, err := sql.Open("sqlite3", dsn)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(readers)
	db.SetMaxIdleConns(readers)
	r := &reader{db: db, stmts: make(map[string]*sql.Stmt)}
	r.all = snapshot{r: r}
	if _, err := r.version(ctx); err != nil { // opens the file
		return nil, errors.Join(err, db.Close())
	}
	return r, nil
}

// version is the number of the last migration that the book has had.
func (r *reader) version(ctx context.Context) (int, error) {
	var n int
	err := r.db.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&n)
	return n, err
}

func (r *reader) stmt(ctx context.Context, query string) (*sql.Stmt, error) {
	r.mu.RLock()
	s, ok := r.stmts[query]
	r.mu.RUnlock()
	if ok {
		return s, nil
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if s, ok := r.stmts[query]; ok {
		return s, nil
	}
	s, err := r.db.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	r.stmts[query] = s
	return s, nil
}

func (r *reader) close() error {
	for _, s := range r.stmts {
		s.Close()
	}
	return r.db.Close()
}

// each runs a query and hands over its rows, as the driver has them: a history
// is hundreds of rows, and database/sql takes as long for each as SQLite. The
// values are the callee's only during the call.
func (r *reader) each(ctx context.Context, query string, args []driver.NamedValue, row func([]driver.Value) error) error {
	conn, err := r.db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(c any) error {
		q, ok := c.(driver.QueryerContext) // which has the statement from the last time
		if !ok {
			return fmt.Errorf("store: the driver's %T cannot be asked", c)
		}
		rows, err := q.QueryContext(ctx, query, args)
		if err != nil {
			return fmt.Errorf("%w in %q", err, query)
		}
		defer rows.Close()
		values := make([]driver.Value, len(rows.Columns()))
		for {
			switch err := rows.Next(values); {
			case err == io.EOF:
				return nil
			case err != nil:
				return err
			}
			r.lines.Add(1)
			if err := row(values); err != nil {
				return err
			}
		}
	})
}

// near reads a little: through the connection that writes, where nobody is
// writing, since only that one still has the pages at hand which it wrote last.
func (b *Book) near(do func(q querier) error) error {
	if b.w != nil && b.w.tryTake() {
		defer b.w.give()
		return do(b.w)
	}
	return do(b.r.all)
}

// snapshot reads: within one read transaction, so that several statements see
// the same book, or without (tx nil).
type snapshot struct {
	r  *reader
	tx *sql.Tx
}

func (s snapshot) query(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	st, err := s.r.stmt(ctx, query)
	if err != nil {
		return nil, err
	}
	if s.tx != nil {
		st = s.tx.StmtContext(ctx, st)
	}
	return st.QueryContext(ctx, args...)
}

func (s snapshot) row(ctx context.Context, query string, args ...any) *sql.Row {
	st, err := s.r.stmt(ctx, query)
	if err != nil {
		return s.r.db.QueryRowContext(ctx, query, args...) // which fails the same way
	}
	if s.tx != nil {
		st = s.tx.StmtContext(ctx, st)
	}
	return st.QueryRowContext(ctx, args...)
}

// within runs do on one state of the book.
func (b *Book) within(ctx context.Context, do func(s snapshot) error) error {
	tx, err := b.r.db.BeginTx(ctx, nil)
	if err != nil {
		return b.explain(err)
	}
	defer tx.Rollback() // it only read
	return b.explain(do(snapshot{b.r, tx}))
}
