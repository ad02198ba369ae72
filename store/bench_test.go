package store

import (
	"database/sql"
	"fmt"
	"net/url"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"woodruff/engine"
)

// fillHistory writes n lines of believable upkeep about a machine.
func fillHistory(t testing.TB, b *Book, id engine.MachineID, who engine.PersonID, n int) {
	t.Helper()
	batch := engine.Batch{}
	for i := range n {
		e := reading(fmt.Sprintf("m%d-%d", id, i), id, engine.Tenths(1000+12*i))
		e.Day, e.At = engine.Day(20000+i), engine.Instant(20000+i)*engine.DayLength
		e.Said, e.Writer, e.Reader = e.At, who, "reader 3"
		if i%3 == 0 {
			e.Kind, e.Jobs, e.Finding = engine.KindService, []engine.Job{engine.Drain}, engine.Clean
		}
		batch.Entries = append(batch.Entries, e)
	}
	if _, err := b.Write(ctx, batch); err != nil {
		t.Fatal(err)
	}
}

func median(d []time.Duration) time.Duration {
	slices.Sort(d)
	return d[len(d)/2]
}

// BenchmarkHistory reads the history of one machine of three years, against a
// bare prepared statement that reads the same rows.
func BenchmarkHistory(b *testing.B) {
	book := newBook(b)
	who := engine.PersonID(write(b, book, person("Joss Penhale"))[0])
	var ids []engine.MachineID
	for i := range 20 {
		id := addMachine(b, book, fmt.Sprintf("RT%d", i), "tractor")
		ids = append(ids, id)
		fillHistory(b, book, id, who, 700)
	}
	db, err := sql.Open("sqlite3", book.dsn("ro", url.Values{"_query_only": {"true"}}))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	bare, err := db.Prepare(`SELECT l.seq, g.body, l.state, l.by_seq, l.deleted
		FROM lines AS l JOIN ledger AS g ON g.seq = l.seq WHERE l.machine = ? ORDER BY l.seq`)
	if err != nil {
		b.Fatal(err)
	}
	defer bare.Close()
	read := func(id engine.MachineID) int {
		rows, err := bare.Query(int64(id))
		if err != nil {
			b.Fatal(err)
		}
		defer rows.Close()
		n := 0
		var seq, by int64
		var body, state []byte
		var deleted bool
		for rows.Next() {
			if err := rows.Scan(&seq, &body, &state, &by, &deleted); err != nil {
				b.Fatal(err)
			}
			n++
		}
		return n
	}
	var ours, theirs []time.Duration
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		id := ids[i%len(ids)]
		start := time.Now()
		h, err := book.History(ctx, id)
		if err != nil || len(h) != 701 {
			b.Fatal(len(h), err)
		}
		ours = append(ours, time.Since(start))
		start = time.Now()
		if n := read(id); n != 701 {
			b.Fatal(n)
		}
		theirs = append(theirs, time.Since(start))
	}
	b.ReportMetric(float64(median(ours).Nanoseconds()), "ns/history")
	b.ReportMetric(float64(median(theirs).Nanoseconds()), "ns/bare")
	b.ReportMetric(float64(median(ours))/float64(median(theirs)), "ratio")
}

// BenchmarkLoggedService commits one logged service, against a bare
// transaction that inserts the same rows under the same pragmas, in turn.
func BenchmarkLoggedService(b *testing.B) {
	book := newBook(b)
	id := addMachine(b, book, "RT1", "tractor")
	who := engine.PersonID(write(b, book, person("Joss Penhale"))[0])
	other := newBook(b)
	addMachine(b, other, "RT1", "tractor")
	path := filepath.Clean(other.Path())
	other.Close()
	bare := &Book{path: path, opts: other.opts}
	w, err := openWriter(ctx, bare, false)
	if err != nil {
		b.Fatal(err)
	}
	defer w.close()
	texts, hashes, err := saltTexts(&salts{}, &engine.Texts{Raw: "rt1 1223.4 drained clean"})
	if err != nil {
		b.Fatal(err)
	}
	one := func(i int) engine.Entry {
		e := drained(fmt.Sprint("m", i), id, engine.Tenths(12234+i))
		e.Raw, e.Writer = "rt1 1223.4 drained clean", who
		return e
	}
	sample := one(0)
	sample.Zone, sample.Written, sample.WrittenDay = testZone, noon, 20781
	body := encodeBody(nil, &sample, &hashes)
	hash := make([]byte, hashSize)
	p := newProjector(w.session, path, "")
	insert := func(i int) {
		must := func(_ sql.Result, err error) {
			if err != nil {
				b.Fatal(err)
			}
		}
		must(w.exec(ctx, `BEGIN IMMEDIATE`))
		must(w.exec(ctx, `INSERT INTO ledger (seq, body, hash) VALUES (?, ?, ?)`, int64(1000+i), body, hash))
		must(w.exec(ctx, `INSERT INTO texts (seq, field, salt, text) VALUES (?, ?, ?, ?)`, int64(1000+i), "raw", texts[0].salt, texts[0].text))
		must(w.exec(ctx, p.addLine, int64(id), int64(1000+i), "service", int64(20781), int64(noon), int64(12234), "drain", "clean", false))
		must(w.exec(ctx, p.addSource, "say", fmt.Sprint("m", i), int64(0), 0, int64(1000+i), int64(who), "bay"))
		must(w.exec(ctx, `COMMIT`))
	}
	last := engine.Seq(id)
	var ours, theirs []time.Duration
	for i := 0; b.Loop(); i++ {
		start := time.Now()
		seqs, err := book.Write(ctx, engine.Batch{
			Against: map[engine.MachineID]engine.Seq{id: last},
			Entries: []engine.Entry{one(i)},
		})
		if err != nil {
			b.Fatal(err)
		}
		ours = append(ours, time.Since(start))
		last = seqs[0]
		start = time.Now()
		insert(i)
		theirs = append(theirs, time.Since(start))
	}
	b.ReportMetric(float64(median(ours).Nanoseconds()), "ns/service")
	b.ReportMetric(float64(median(theirs).Nanoseconds()), "ns/bare")
	b.ReportMetric(float64(median(ours))/float64(median(theirs)), "ratio")
}
