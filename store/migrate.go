package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"

	"woodruff/engine"
)

//go:embed migrations/*.sql
var embedded embed.FS

// migration is one step of the schema. A released one is never changed.
type migration struct {
	number     int
	name       string
	hash       []byte
	statements []string
}

// loadMigrations reads the steps, numbered from 1 without gaps.
func loadMigrations(from fs.FS) ([]migration, error) {
	if from == nil {
		from = embedded
	}
	paths, err := fs.Glob(from, "migrations/*.sql")
	if err != nil {
		return nil, err
	}
	sort.Strings(paths)
	var steps []migration
	for _, path := range paths {
		text, err := fs.ReadFile(from, path)
		if err != nil {
			return nil, err
		}
		name := strings.TrimSuffix(filepath.Base(path), ".sql")
		digits, _, _ := strings.Cut(name, "_")
		number, err := strconv.Atoi(digits)
		if err != nil || number != len(steps)+1 {
			return nil, fmt.Errorf("migration %s: the numbers must run from 1 without gaps", path)
		}
		sum := sha256.Sum256(text)
		steps = append(steps, migration{number, name, sum[:], splitStatements(string(text))})
	}
	if len(steps) == 0 {
		return nil, errors.New("there are no migrations")
	}
	return steps, nil
}

// splitStatements cuts a migration where a line ends with a semicolon. Our own
// files keep to that; a comment behind the semicolon would not.
func splitStatements(text string) []string {
	var out []string
	var one strings.Builder
	for line := range strings.Lines(text) {
		if one.Len() == 0 && (strings.TrimSpace(line) == "" || strings.HasPrefix(line, "--")) {
			continue
		}
		one.WriteString(line)
		if strings.HasSuffix(strings.TrimSpace(line), ";") {
			out = append(out, one.String())
			one.Reset()
		}
	}
	if one.Len() > 0 {
		out = append(out, one.String())
	}
	return out
}

// migrate brings the book to the newest schema, or makes it.
func (b *Book) migrate(ctx context.Context, steps []migration) error {
	newest := steps[len(steps)-1].number
	version, err := b.writerVersion(ctx)
	if err != nil {
		return err
	}
	if err := b.checkMigrations(ctx, b.w, steps, version); err != nil {
		return err
	}
	if version == 0 {
		if !b.opts.Create {
			return &fileError{b.path, ErrNotBook, errors.New("there is nothing in it")}
		}
		if err := b.make(ctx, steps); err != nil {
			return err
		}
		if version, err = b.writerVersion(ctx); err != nil {
			return err
		}
	}
	for version < newest {
		if err := b.copyBefore(ctx, version+1); err != nil {
			return err
		}
		if err := b.step(ctx, steps[version], version+1 == newest); err != nil {
			return err
		}
		if version, err = b.writerVersion(ctx); err != nil { // another program may have been quicker
			return err
		}
	}
	return nil
}

func (b *Book) writerVersion(ctx context.Context) (int, error) {
	var n int
	err := b.w.conn.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&n)
	return n, err
}

// checkMigrations refuses a book that is newer than the program, or that was
// made by other steps than ours.
func (b *Book) checkMigrations(ctx context.Context, q querier, steps []migration, version int) error {
	if version > len(steps) {
		return &fileError{b.path, ErrNewer, fmt.Errorf("its schema is %d, this program knows up to %d", version, len(steps))}
	}
	if version == 0 {
		return nil
	}
	rows, err := q.query(ctx, `SELECT number, name, hash FROM migrations ORDER BY number`)
	if err != nil {
		return b.schemaFault(err)
	}
	defer rows.Close()
	seen := 0
	for rows.Next() {
		var number int
		var name string
		var hash []byte
		if err := rows.Scan(&number, &name, &hash); err != nil {
			return err
		}
		seen++
		if number != seen || number > version {
			return &BrokenError{Path: b.path, Table: "migrations", What: fmt.Sprintf("number %d stands where %d of %d should", number, seen, version)}
		}
		if s := steps[number-1]; s.name != name || string(s.hash) != string(hash) {
			return &BrokenError{Path: b.path, Table: "migrations", What: fmt.Sprintf("number %d is recorded as %q and is not the %q of this program", number, name, s.name)}
		}
	}
	if err := rows.Err(); err != nil {
		return err
	}
	if seen != version {
		return &BrokenError{Path: b.path, Table: "migrations", What: fmt.Sprintf("%d recorded, the schema is %d", seen, version)}
	}
	return nil
}

// make makes a new book in one transaction, with the shop's zone as its first
// entry: a book is there whole or not at all.
func (b *Book) make(ctx context.Context, steps []migration) error {
	err := b.transactHolding(ctx, func(ctx context.Context, w *writer) error {
		if version, err := b.writerVersion(ctx); err != nil || version != 0 {
			return err // another program made it meanwhile
		}
		if err := w.once(ctx, fmt.Sprintf(`PRAGMA application_id = %d`, applicationID)); err != nil {
			return err
		}
		for _, s := range steps {
			if err := b.apply(ctx, w, s); err != nil {
				return err
			}
		}
		if err := setSchemaMark(ctx, w); err != nil {
			return err
		}
		_, err := b.writeIn(ctx, w, engine.Batch{Entries: []engine.Entry{{
			Kind:   engine.KindSetting,
			Source: engine.Source{Channel: "book", Message: "new"},
			Key:    engine.SetZone,
			Value:  b.opts.Zone,
		}}})
		return err
	})
	if err != nil {
		return err
	}
	// The marks in the file's head are looked for there.
	var busy, pages, moved int
	return b.w.conn.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &pages, &moved)
}

// step applies one migration to a book that has content.
func (b *Book) step(ctx context.Context, s migration, last bool) error {
	return b.transactHolding(ctx, func(ctx context.Context, w *writer) error {
		version, err := b.writerVersion(ctx)
		if err != nil || version != s.number-1 {
			return err // another program did it meanwhile
		}
		if err := b.apply(ctx, w, s); err != nil {
			return err
		}
		if last { // the projections as this program makes them
			if _, err := b.remake(ctx, w); err != nil {
				return err
			}
		}
		return setSchemaMark(ctx, w)
	})
}

// apply runs the statements of a migration and records it.
func (b *Book) apply(ctx context.Context, w *writer, s migration) error {
	for i, statement := range s.statements {
		b.hook(fmt.Sprintf("migration-%d-%d", s.number, i+1))
		if err := w.once(ctx, statement); err != nil {
			return fmt.Errorf("migration %s, statement %d: %w", s.name, i+1, err)
		}
	}
	applied := int64(b.opts.Now())
	_, err := w.exec(ctx, `INSERT INTO migrations (number, name, hash, applied, checksum) VALUES (?, ?, ?, ?, ?)`,
		s.number, s.name, s.hash, applied, rowSum("migrations", int64(s.number), s.name, s.hash, applied))
	if err != nil {
		return err
	}
	return w.once(ctx, fmt.Sprintf(`PRAGMA user_version = %d`, s.number))
}

// Keys of the table meta.
const (
	metaSchema   = "schema"   // hash of the schema as the last migration left it
	metaErasures = "erasures" // how many texts were erased
)

func setMeta(ctx context.Context, w *writer, key, value string) error {
	_, err := w.exec(ctx, `INSERT INTO meta (key, value, checksum) VALUES (?, ?, ?)
		ON CONFLICT (key) DO UPDATE SET value = excluded.value, checksum = excluded.checksum`,
		key, value, rowSum("meta", key, value))
	return err
}

// setSchemaMark records what the schema looks like, so that a change to it
// that no migration made is seen.
func setSchemaMark(ctx context.Context, w *writer) error {
	mark, err := schemaMark(ctx, w)
	if err != nil {
		return err
	}
	return setMeta(ctx, w, metaSchema, mark)
}

func schemaMark(ctx context.Context, q querier) (string, error) {
	rows, err := q.query(ctx, `SELECT type, name, tbl_name, coalesce(sql, '') FROM main.sqlite_schema ORDER BY type, name`)
	if err != nil {
		return "", err
	}
	defer rows.Close()
	h := sha256.New()
	for rows.Next() {
		var kind, name, table, text string
		if err := rows.Scan(&kind, &name, &table, &text); err != nil {
			return "", err
		}
		fmt.Fprintf(h, "%q %q %q %q\n", kind, name, table, text)
	}
	return hex.EncodeToString(h.Sum(nil)), rows.Err()
}

// CopyBefore is the file that holds the book as it was before a migration.
func CopyBefore(path string, number int) string {
	return fmt.Sprintf("%s.before-%04d", path, number)
}

// copyBefore copies the book before a migration changes it. The copy appears
// under its name only when it is whole and on the disk.
func (b *Book) copyBefore(ctx context.Context, number int) error {
	final := CopyBefore(b.path, number)
	part := final + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("no copy could be made before the migration: %w", err)
	}
	if _, err := b.w.conn.ExecContext(ctx, `VACUUM INTO ?`, part); err != nil {
		return fmt.Errorf("no copy could be made before the migration: %w", err)
	}
	version, err := versionOf(ctx, part)
	if err != nil {
		return err
	}
	if version != number-1 { // another program migrated in between; its copy stands
		return os.Remove(part)
	}
	if err := syncFile(part); err != nil {
		return err
	}
	if err := os.Rename(part, final); err != nil {
		return err
	}
	return syncFile(filepath.Dir(final))
}

// versionOf reads the schema's number of a copy that nobody writes.
func versionOf(ctx context.Context, path string) (int, error) {
	copied := Book{path: path}
	db, err := sql.Open("sqlite3", copied.dsn("ro", url.Values{"immutable": {"1"}}))
	if err != nil {
		return 0, err
	}
	defer db.Close()
	var n int
	err = db.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&n)
	return n, err
}

func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}
