package main

import (
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"runtime/metrics"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"woodruff/commands"
	"woodruff/commands/read"
	"woodruff/engine"
	"woodruff/store"
)

// Each benchmark takes its baseline in the same run, turn by turn with what it
// measures, and reports both with their ratio. The limits: a question 2 times
// its baseline, a logged service 1.5 times, the morning post 100 MB.

const benchTech = "Joss Penhale"

// benchShop writes the files of a shed of so many machines with a log of so
// many days: readings about twice a week, a drain with every third, and the
// oil every 250 h. The last day is the one before testNow.
func benchShop(machines, days int) (machinesCSV, logCSV string) {
	dice := rand.New(rand.NewPCG(11, uint64(machines)))
	var m, l strings.Builder
	m.WriteString("tag,name,aka,kind,meter_reads,bowl_ml,owner\n")
	l.WriteString("day,time,machine,hours,job,finding,amount_ml,by,note\n")
	last := time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC)
	for i := range machines {
		fmt.Fprintf(&m, "RT%d,Row tractor %d,,tractor,tenths,120,Co-op\n", i, i)
		hours, oiled, n := 100+dice.Float64()*900, 0.0, 0
		for ago := days - 1; ago >= 0; ago -= 1 + dice.IntN(6) {
			hours += dice.ExpFloat64() * 7
			job, finding, ml := "", "", ""
			if n++; n%3 == 0 {
				job, finding = "drain", "clean"
				if dice.IntN(6) == 0 {
					finding, ml = "water", fmt.Sprint(2+dice.IntN(30))
				}
			}
			if hours-oiled > 250 {
				oiled = hours
				job = strings.TrimPrefix(job+";engineoil", ";")
			}
			fmt.Fprintf(&l, "%s,07:05,RT%d,%.1f,%s,%s,%s,%s,\n", last.AddDate(0, 0, -ago).Format(time.DateOnly), i, hours, job, finding, ml, benchTech)
		}
	}
	return m.String(), l.String()
}

var (
	benchMu    sync.Mutex
	benchBooks = map[[2]int]string{}
	benchDir   string // holds them; TestMain removes it
)

// benchBook makes such a shed's book once a run, and hands out copies.
func benchBook(b *testing.B, machines, days int) string {
	b.Helper()
	benchMu.Lock()
	defer benchMu.Unlock()
	at := [2]int{machines, days}
	if benchBooks[at] == "" {
		if benchDir == "" {
			dir, err := os.MkdirTemp("", "bench")
			if err != nil {
				b.Fatal(err)
			}
			benchDir = dir
		}
		book := filepath.Join(benchDir, fmt.Sprintf("%d-%d.db", machines, days))
		m, l := benchShop(machines, days)
		must(b, shopFiles(b, book, m, l)...)
		benchBooks[at] = book
	}
	book := filepath.Join(b.TempDir(), "shed.db")
	copyBook(b, benchBooks[at], book)
	return book
}

// benchDesk opens a book as the program does.
func benchDesk(b *testing.B, book string) *shop {
	b.Helper()
	s, err := openShop(b.Context(), book, "", outside{now: func() time.Time { return testNow }})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if s.close(&err); err != nil {
			b.Error(err)
		}
	})
	return s
}

func benchSaid(id int, text string) commands.Said {
	return commands.Said{
		Channel: "bench", ID: fmt.Sprint("m", id), Place: "yard", At: engine.Instant(testNow.Unix()) + engine.Instant(id), Text: text,
		By: commands.Speaker{Name: benchTech, Role: commands.Tech}, Mention: true,
	}
}

// timed is how long do takes.
func timed(b *testing.B, do func() error) time.Duration {
	b.Helper()
	start := time.Now()
	err := do()
	took := time.Since(start)
	if err != nil {
		b.Fatal(err)
	}
	return took
}

func middle(d []time.Duration) time.Duration {
	d = slices.Clone(d)
	slices.Sort(d)
	return d[len(d)/2]
}

// bareReader reads a machine's entries through a prepared statement of the same
// driver, and does nothing else.
type bareReader struct{ all *sql.Stmt }

func newBareReader(b *testing.B, book string) bareReader {
	b.Helper()
	db, err := sql.Open("sqlite3", "file:"+book+"?mode=ro&_query_only=true")
	if err != nil {
		b.Fatal(err)
	}
	all, err := db.Prepare(`SELECT l.seq, g.body, l.state, l.by_seq, l.deleted
		FROM lines AS l JOIN ledger AS g ON g.seq = l.seq WHERE l.machine = ? ORDER BY l.seq`)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { all.Close(); db.Close() })
	return bareReader{all}
}

func (r bareReader) entries(id engine.MachineID) (n int, err error) {
	rows, err := r.all.Query(int64(id))
	if err != nil {
		return 0, err
	}
	defer rows.Close()
	var seq, by int64
	var body, state []byte
	var deleted bool
	for ; rows.Next(); n++ {
		if err := rows.Scan(&seq, &body, &state, &by, &deleted); err != nil {
			return n, err
		}
	}
	return n, rows.Err()
}

// answered asks a question about a machine.
func answered(ctx context.Context, desk *commands.Desk, m engine.Machine, said commands.Said) error {
	answer, err := desk.Handle(ctx, said)
	if err == nil && (answer.Silent() || !strings.Contains(answer.Lines[0], m.Tag)) {
		err = fmt.Errorf("%q is answered with %q", said.Text, answer.Lines)
	}
	return err
}

// BenchmarkQuestion asks about machines of a shed of 200 with three years of
// log: for the first time in a process that has read nothing of the machine yet,
// and again, after the due list was asked for. Each stands against reading the
// machine's entries through a prepared statement. What the reader takes for the
// message is measured apart and taken off.
func BenchmarkQuestion(b *testing.B) {
	const machines = 200
	book := benchBook(b, machines, 3*365)
	s := benchDesk(b, book)
	shed, err := s.book.Shed(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	names := read.NewNames(shed.Machines, shed.People)
	bare := newBareReader(b, book)
	n := 0
	ask := func(b *testing.B, desk *commands.Desk, m engine.Machine, q string) (asked, meant time.Duration) {
		n++
		said := benchSaid(n, fmt.Sprintf(q, strings.ToLower(m.Tag)))
		asked = timed(b, func() error { return answered(b.Context(), desk, m, said) })
		meant = timed(b, func() error {
			read.Read(said.Text, names, read.Context{Day: s.cal.DayAt(said.At), Mention: true})
			return nil
		})
		return asked, meant
	}
	for _, q := range []string{"hours since last drain on %s?", "when is the oil due on %s", "history of %s", "how many hours on %s"} {
		for _, when := range []string{"first", "again"} {
			b.Run(strings.Fields(q)[0]+"-"+when, func(b *testing.B) {
				at := s
				if when == "again" {
					warm(b, s.desk)
				}
				var asked, meant, based []time.Duration
				lines, before := 0, s.book.LinesRead()
				for i := 0; b.Loop(); i++ {
					if when == "first" && i%(machines-1) == 0 { // all but the last were asked about
						at = benchDesk(b, book)
						before = at.book.LinesRead()
						ask(b, at.desk, shed.Machines[machines-1], q) // what is made once is made
					}
					m := shed.Machines[i*37%(machines-1)]
					a, r := ask(b, at.desk, m, q)
					asked, meant = append(asked, a), append(meant, r)
					based = append(based, timed(b, func() error {
						n, err := bare.entries(m.ID)
						lines += n
						return err
					}))
				}
				answer := middle(asked) - middle(meant)
				if when == "again" && at.book.LinesRead() != before {
					b.Errorf("%d lines were read again", at.book.LinesRead()-before)
				}
				b.ReportMetric(float64(lines)/float64(len(based)), "entries/machine")
				b.ReportMetric(float64(middle(meant).Microseconds()), "µs/reading")
				b.ReportMetric(float64(answer.Microseconds()), "µs/answer")
				b.ReportMetric(float64(middle(based).Microseconds()), "µs/baseline")
				b.ReportMetric(float64(answer)/float64(middle(based)), "ratio")
			})
		}
	}
}

// warm asks for the due list, as a shop does every morning.
func warm(b *testing.B, desk *commands.Desk) {
	b.Helper()
	said := benchSaid(0, "what is due in the shop")
	if a, err := desk.Handle(b.Context(), said); err != nil || a.Silent() {
		b.Fatal(a, err)
	}
}

// BenchmarkOneReading writes one reading about a machine of that shed, and
// asks what is due on it, against reading the machine's entries: the reading
// costs itself, and not the history before it.
func BenchmarkOneReading(b *testing.B) {
	const machines = 200
	book := benchBook(b, machines, 3*365)
	s := benchDesk(b, book)
	shed, err := s.book.Shed(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	bare := newBareReader(b, book)
	warm(b, s.desk)
	var asked, based []time.Duration
	read, folded := s.book.LinesRead(), s.desk.Folded()
	for i := 0; b.Loop(); i++ {
		m := shed.Machines[i*37%20] // those that are in daily use
		hours, _, _, err := s.book.Last(b.Context(), m.ID)
		if err != nil {
			b.Fatal(err)
		}
		_, err = s.book.Write(b.Context(), engine.Batch{Entries: []engine.Entry{{
			Kind: engine.KindReading, Source: engine.Source{Channel: "bench", Message: fmt.Sprint("reading ", i)}, Machine: m.ID,
			Said: engine.Instant(testNow.Unix()), At: engine.Instant(testNow.Unix()), Day: s.cal.DayAt(engine.Instant(testNow.Unix())), Hours: engine.Known(hours + 1),
		}}})
		if err != nil {
			b.Fatal(err)
		}
		said := benchSaid(i+1, "what is due on "+strings.ToLower(m.Tag))
		asked = append(asked, timed(b, func() error { return answered(b.Context(), s.desk, m, said) }))
		based = append(based, timed(b, func() error { _, err := bare.entries(m.ID); return err }))
	}
	n := float64(len(asked))
	b.ReportMetric(float64(s.book.LinesRead()-read)/n, "entries-read")
	b.ReportMetric(float64(s.desk.Folded()-folded)/n, "machines-folded")
	b.ReportMetric(float64(middle(asked).Microseconds()), "µs/answer")
	b.ReportMetric(float64(middle(based).Microseconds()), "µs/baseline")
	b.ReportMetric(float64(middle(asked))/float64(middle(based)), "ratio")
}

// servicePairs is how many logged services, and bare transactions in turn, one
// figure is the median of.
const servicePairs = 10

// timedBook is a book that tells how long its last write took.
type timedBook struct {
	*store.Book
	wrote time.Duration
}

func (t *timedBook) Write(ctx context.Context, batch engine.Batch) ([]engine.Seq, error) {
	start := time.Now()
	seqs, err := t.Book.Write(ctx, batch)
	t.wrote = time.Since(start)
	return seqs, err
}

// BenchmarkLoggedService logs a service, message to acknowledgement, in turn
// with a bare transaction that inserts the same rows into a copy of the book,
// under the same pragmas. The due list was asked for before, as every morning, so
// that the process has kept what it read. The write within it stands apart: what
// is left is reading the message, judging, folding and wording.
func BenchmarkLoggedService(b *testing.B) {
	for _, size := range []struct{ machines, days int }{{14, 60}, {200, 3 * 365}} {
		b.Run(fmt.Sprintf("%d-machines-%d-days", size.machines, size.days), func(b *testing.B) {
			book := benchBook(b, size.machines, size.days)
			s := benchDesk(b, book)
			shed, err := s.book.Shed(b.Context())
			if err != nil {
				b.Fatal(err)
			}
			names := read.NewNames(shed.Machines, shed.People)
			timedBy := &timedBook{Book: s.book}
			desk := commands.NewDesk(timedBy, time.LoadLocation)
			bare := openBare(b, benchBook(b, size.machines, size.days), book)
			n := 0
			var ratios, writeRatios []float64
			var all, allWrites, allBare, meant []time.Duration
			log := func() (ours, write, theirs time.Duration) {
				n++
				m := shed.Machines[n%size.machines]
				hours, _, _, err := s.book.Last(b.Context(), m.ID)
				if err != nil {
					b.Fatal(err)
				}
				before, _, err := s.book.Head(b.Context())
				if err != nil {
					b.Fatal(err)
				}
				said := benchSaid(n, fmt.Sprintf("%s %s drained clean", strings.ToLower(m.Tag), hours+1))
				ours = timed(b, func() error {
					answer, err := desk.Handle(b.Context(), said)
					if err == nil && !strings.Contains(strings.Join(answer.Lines, " "), "bowl drained, clean") {
						err = fmt.Errorf("%q is answered with %q", said.Text, answer.Lines)
					}
					return err
				})
				meant = append(meant, timed(b, func() error {
					read.Read(said.Text, names, read.Context{Day: s.cal.DayAt(said.At), Mention: true})
					return nil
				}))
				rows := bare.rowsSince(int64(before))
				return ours, timedBy.wrote, timed(b, func() error { return bare.insert(rows) })
			}
			warm(b, desk)
			log() // what is made once is made
			for b.Loop() {
				var ours, writes, theirs []time.Duration
				for range servicePairs {
					o, w, t := log()
					ours, writes, theirs = append(ours, o), append(writes, w), append(theirs, t)
				}
				all, allWrites, allBare = append(all, ours...), append(allWrites, writes...), append(allBare, theirs...)
				ratios = append(ratios, float64(middle(ours))/float64(middle(theirs)))
				writeRatios = append(writeRatios, float64(middle(writes))/float64(middle(theirs)))
			}
			slices.Sort(ratios)
			slices.Sort(writeRatios)
			b.ReportMetric(float64(middle(all).Microseconds()), "µs/service")
			b.ReportMetric(float64(middle(meant).Microseconds()), "µs/reading")
			b.ReportMetric(float64(middle(allBare).Microseconds()), "µs/bare")
			b.ReportMetric(float64(middle(allWrites).Microseconds()), "µs/write")
			b.ReportMetric(ratios[len(ratios)/2], "ratio")
			b.ReportMetric(writeRatios[len(writeRatios)/2], "write-ratio")
		})
	}
}

// bareBook inserts rows that another book has, and does nothing else.
type bareBook struct {
	b    *testing.B
	conn *sql.Conn
	from *sql.DB
	put  map[string]*sql.Stmt // by table
	tx   map[string]*sql.Stmt // BEGIN IMMEDIATE and COMMIT
}

// bareTables are the tables that a logged service adds rows to.
var bareTables = map[string]string{
	"ledger": "seq, body, hash", "texts": "seq, field, salt, text",
	"lines":   "machine, seq, kind, day, at, hours_tenths, jobs, finding, shop, state, by_seq, deleted",
	"sources": "channel, message, revision, ordinal, seq, writer, place",
}

// openBare opens the book at path with the pragmas of the store's writer; rows
// come from another book.
func openBare(b *testing.B, path, from string) *bareBook {
	b.Helper()
	open := func(dsn string) *sql.DB {
		db, err := sql.Open("sqlite3", dsn)
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { db.Close() })
		return db
	}
	db := open("file:" + path + "?mode=rw&_journal_mode=WAL&_synchronous=FULL&_foreign_keys=on&_secure_delete=on&_busy_timeout=5000")
	conn, err := db.Conn(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { conn.Close() })
	bare := &bareBook{b: b, conn: conn, from: open("file:" + from + "?mode=ro"), put: map[string]*sql.Stmt{}, tx: map[string]*sql.Stmt{}}
	prepare := func(query string) *sql.Stmt {
		st, err := conn.PrepareContext(context.Background(), query)
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { st.Close() })
		return st
	}
	for table, columns := range bareTables {
		bare.put[table] = prepare("INSERT INTO " + table + " (" + columns + ") VALUES (?" + strings.Repeat(", ?", strings.Count(columns, ",")) + ")")
	}
	for _, q := range []string{"BEGIN IMMEDIATE", "COMMIT"} {
		bare.tx[q] = prepare(q)
	}
	return bare
}

// bareRow is one row for one table.
type bareRow struct {
	table  string
	values []any
}

// rowsSince are the rows that the other book has gained.
func (x *bareBook) rowsSince(seq int64) []bareRow {
	x.b.Helper()
	var all []bareRow
	for _, table := range []string{"ledger", "texts", "lines", "sources"} {
		rows, err := x.from.Query("SELECT "+bareTables[table]+" FROM "+table+" WHERE seq > ? ORDER BY seq", seq)
		if err != nil {
			x.b.Fatal(err)
		}
		for rows.Next() {
			values := make([]any, strings.Count(bareTables[table], ",")+1)
			dest := make([]any, len(values))
			for i := range values {
				dest[i] = &values[i]
			}
			if err := rows.Scan(dest...); err != nil {
				x.b.Fatal(err)
			}
			all = append(all, bareRow{table, values})
		}
		if err := rows.Err(); err != nil {
			x.b.Fatal(err)
		}
		rows.Close()
	}
	if len(all) < 4 {
		x.b.Fatalf("a service of %d rows", len(all))
	}
	return all
}

func (x *bareBook) insert(rows []bareRow) error {
	if _, err := x.tx["BEGIN IMMEDIATE"].Exec(); err != nil {
		return err
	}
	for _, r := range rows {
		if _, err := x.put[r.table].Exec(r.values...); err != nil {
			return err
		}
	}
	_, err := x.tx["COMMIT"].Exec()
	return err
}

// BenchmarkMorning makes the morning post of sheds of 100, 1,000 and 10,000
// machines, in a process that has kept nothing of them yet: the time for a machine
// must not grow with the shed, and the heap must stay under 100 MB. A shed that
// is small enough to be kept costs less the next time, which is measured apart.
func BenchmarkMorning(b *testing.B) {
	perMachine := map[int]float64{}
	for _, machines := range []int{100, 1000, 10_000} {
		b.Run(fmt.Sprint(machines), func(b *testing.B) {
			book := benchBook(b, machines, 60)
			var took, again []time.Duration
			most := heapPeak(func() {
				for b.Loop() {
					s, err := openShop(b.Context(), book, "", outside{now: func() time.Time { return testNow }})
					if err != nil {
						b.Fatal(err)
					}
					post := func() error {
						answer, err := s.desk.Morning(b.Context(), engine.Instant(testNow.Unix()))
						if err == nil && answer.Silent() {
							err = fmt.Errorf("nothing is due in a shed of %d machines", machines)
						}
						return err
					}
					took, again = append(took, timed(b, post)), append(again, timed(b, post))
					if s.close(&err); err != nil {
						b.Fatal(err)
					}
				}
			})
			perMachine[machines] = float64(middle(took).Microseconds()) / float64(machines)
			b.ReportMetric(perMachine[machines], "µs/machine")
			b.ReportMetric(float64(middle(again).Microseconds())/float64(machines), "µs/machine-again")
			b.ReportMetric(float64(most)/(1<<20), "MB")
			if perMachine[100] > 0 {
				b.ReportMetric(perMachine[machines]/perMachine[100], "ratio")
			}
		})
	}
}

// heapPeak is the most that the heap's objects took while do ran, looked at
// every millisecond.
func heapPeak(do func()) uint64 {
	runtime.GC()
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	stop, stopped := make(chan struct{}), make(chan struct{})
	var most uint64
	go func() {
		defer close(stopped)
		for tick := time.NewTicker(time.Millisecond); ; {
			metrics.Read(sample)
			most = max(most, sample[0].Value.Uint64())
			select {
			case <-tick.C:
			case <-stop:
				tick.Stop()
				return
			}
		}
	}()
	do()
	close(stop)
	<-stopped
	return most
}
