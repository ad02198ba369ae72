package csvbook

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"woodruff/engine"
)

// keys are the sources of a log's rows, in the order of the file.
func keys(rows []LogRow) []string {
	out := make([]string, len(rows))
	for i, r := range rows {
		out[i] = r.Message()
	}
	return out
}

// parseGood parses a log that has no fault.
func parseGood(t interface {
	Helper()
	Fatalf(string, ...any)
}, known Known, cal engine.Calendar, file string) []LogRow {
	t.Helper()
	rows, faults := ParseLog(strings.NewReader(file), known, cal, 0)
	if len(faults) > 0 {
		t.Fatalf("%s\n%s", file, brief(faults))
	}
	return rows
}

func TestKeySame(t *testing.T) {
	known, cal := shed(t), toronto(t)
	const row = "2026-11-20,07:30,RT1,1220.0,drain;bleed,rust;water,5,Joss Penhale,a little\n"
	one := parseGood(t, known, cal, logHead+row)
	for _, same := range []string{
		"2026-11-20, 7:30 ,rt1,1220,bleed;drain,water;rust,05,joss  penhale, a little \n", // case, space, order, figures
		"2026-11-20,07:30,RT1,\"1220,0\",\" Drain ; BLEED;\",Rust;Water,5,JOSS PENHALE,\"a\nlittle\"\n",
	} {
		if got := parseGood(t, known, cal, logHead+same); got[0].Message() != one[0].Message() {
			t.Errorf("another key for %q", same)
		}
	}
	// the columns in another order
	moved := "note,by,amount_ml,finding,job,hours,machine,time,day\na little,Joss Penhale,5,rust;water,drain;bleed,1220.0,RT1,07:30,2026-11-20\n"
	if got := parseGood(t, known, cal, moved); got[0].Message() != one[0].Message() {
		t.Errorf("another key for other columns")
	}
}

func TestKeyDiffers(t *testing.T) {
	known, cal := shed(t), toronto(t)
	rows := parseGood(t, known, cal, logHead+
		"2026-11-20,07:30,RT1,1220,drain,water,5,Joss,a\n"+
		"2026-11-21,07:30,RT1,1220,drain,water,5,Joss,a\n"+ // each row differs in one column from the first
		"2026-11-20,07:31,RT1,1220,drain,water,5,Joss,a\n"+
		"2026-11-20,,RT1,1220,drain,water,5,Joss,a\n"+
		"2026-11-20,07:30,21,1220,drain,water,5,Joss,a\n"+
		"2026-11-20,07:30,RT1,1220.1,drain,water,5,Joss,a\n"+
		"2026-11-20,07:30,RT1,,drain,water,5,Joss,a\n"+
		"2026-11-20,07:30,RT1,1220,bleed,water,5,Joss,a\n"+
		"2026-11-20,07:30,RT1,1220,drain,water;rust,5,Joss,a\n"+
		"2026-11-20,07:30,RT1,1220,drain,water,6,Joss,a\n"+
		"2026-11-20,07:30,RT1,1220,drain,water,5,Wilm,a\n"+
		"2026-11-20,07:30,RT1,1220,drain,water,5,Joss,A\n")
	seen := map[Key]int{}
	for _, r := range rows {
		if at, dup := seen[r.Key]; dup {
			t.Errorf("lines %d and %d have one key", at, r.Line)
		}
		seen[r.Key] = r.Line
	}
}

func TestMachineKey(t *testing.T) {
	parse := func(row string) MachineRow {
		t.Helper()
		rows, faults := ParseMachines(strings.NewReader(machineHead + row))
		if len(faults) > 0 || len(rows) != 1 {
			t.Fatal(faults)
		}
		return rows[0]
	}
	one := parse("RT1,Row tractor 1,granny;old one,tractor,tenths,120,Co-op\n")
	for _, c := range []struct {
		row  string
		same bool
	}{
		{" rt1,Row  tractor 1,Old one;granny,Tractor,TENTHS,0120,co-op\n", true},
		{"RT1,Row tractor 1,granny,tractor,tenths,120,Co-op\n", false},           // a nickname less
		{"RT1,Row tractor 1,granny;old one,tractor,tenths,130,Co-op\n", false},   // another bowl
		{"RT1,Row tractor 1,granny;old one,tractor,whole,120,Co-op\n", false},    // another meter
		{"RT1,Row tractor 1,granny;old one,tractor,tenths,120,Quill\n", false},   // another owner
		{"RT1,Row tractor one,granny;old one,tractor,tenths,120,Co-op\n", false}, // another name
	} {
		if got := parse(c.row); (got.Message() == one.Message()) != c.same {
			t.Errorf("%q: same key is %v", c.row, !c.same)
		}
	}
}

// rowGen makes good rows from few values, so that equal ones are common.
func rowGen(t *rapid.T) []string {
	pick := func(label string, of ...string) string { return rapid.SampledFrom(of).Draw(t, label) }
	row := []string{
		pick("day", "2026-11-19", "2026-11-20"), pick("time", "", "07:30", "16:40"), pick("machine", "RT1", "21"),
		pick("hours", "", "12.0", "12.3"), pick("job", "drain", "drain;grease", "engineoil;oilfilter"),
		pick("finding", "", "clean", "rust;ringup"), "", pick("by", "Joss", "Wilm"), pick("note", "", "cold, wet", "said \"ok\""),
	}
	return row
}

func writeCSV(rows [][]string) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	_ = w.WriteAll(rows) // a strings.Builder takes everything
	return b.String()
}

func TestKeyProperties(t *testing.T) {
	known, cal := shed(t), toronto(t)
	head := strings.Split(strings.TrimSpace(logHead), ",")
	rapid.Check(t, func(rt *rapid.T) {
		rows := [][]string{}
		for range rapid.IntRange(1, 12).Draw(rt, "rows") {
			rows = append(rows, rowGen(rt))
		}
		once := parseGood(rt, known, cal, writeCSV(append([][]string{head}, rows...)))

		// The same file a second time adds nothing, and no two rows share a source.
		again := parseGood(rt, known, cal, writeCSV(append([][]string{head}, rows...)))
		if !slices.Equal(keys(once), keys(again)) {
			rt.Fatalf("the same file has other keys")
		}
		if set := slices.Compact(slices.Sorted(slices.Values(keys(once)))); len(set) != len(rows) {
			rt.Fatalf("%d sources for %d rows", len(set), len(rows))
		}

		// Rows and columns in another order are the same set of sources.
		order := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6, 7, 8}).Draw(rt, "columns")
		shuffled := [][]string{permuted(head, order)}
		for _, r := range rapid.Permutation(rows).Draw(rt, "order") {
			shuffled = append(shuffled, permuted(r, order))
		}
		other := parseGood(rt, known, cal, writeCSV(shuffled))
		if !slices.Equal(slices.Sorted(slices.Values(keys(once))), slices.Sorted(slices.Values(keys(other)))) {
			rt.Fatalf("another order has other sources")
		}

		// A corrected row is one that was not there; all others still are.
		i := rapid.IntRange(0, len(rows)-1).Draw(rt, "corrected")
		fixed := slices.Clone(rows)
		fixed[i] = slices.Clone(rows[i])
		fixed[i][3] = "99.9"
		news := 0
		for _, k := range keys(parseGood(rt, known, cal, writeCSV(append([][]string{head}, fixed...)))) {
			if !slices.Contains(keys(once), k) {
				news++
			}
		}
		if news != 1 {
			rt.Fatalf("a corrected row makes %d new ones", news)
		}
	})
}

func permuted(row []string, order []int) []string {
	out := make([]string, len(row))
	for i, j := range order {
		out[i] = row[j]
	}
	return out
}

func TestLogEntries(t *testing.T) {
	const machine, doer = 7, 3
	for _, c := range []struct {
		name string
		row  string
		want []engine.Entry // without what all of a row's entries share
		note int
	}{
		{"all of it, in order; the note stands with the work", "2026-11-20,07:30,RT1,1220.8,drain;bleed,water;rust,15,Joss,float ring up\n",
			[]engine.Entry{
				{Kind: engine.KindReading, Hours: engine.Known[engine.Tenths](12208)},
				{Kind: engine.KindService, Hours: engine.Known[engine.Tenths](12208), Jobs: []engine.Job{engine.Drain, engine.Bleed}},
				{Kind: engine.KindFinding, Finding: engine.Water, Amount: engine.Amount{Measured: 15 * engine.ML}},
				{Kind: engine.KindFinding, Finding: engine.Rust},
			}, 1},
		{"a tenth of a millilitre is kept", "2026-11-20,07:30,RT1,,,water,37.5,Joss,\n",
			[]engine.Entry{{Kind: engine.KindFinding, Finding: engine.Water, Amount: engine.Amount{Measured: 375}}}, 0},
		{"a reading alone", "2026-11-20,07:30,RT1,1220.8,,,,Joss,dusty\n",
			[]engine.Entry{{Kind: engine.KindReading, Hours: engine.Known[engine.Tenths](12208)}}, 0},
		{"work without hours: none are invented", "2026-11-20,07:30,RT1,,grease,,,Joss,\n",
			[]engine.Entry{{Kind: engine.KindService, Jobs: []engine.Job{engine.Grease}}}, 0},
		{"a reading and something seen", "2026-11-20,07:30,RT1,5,,weep,,Joss,at the tap\n",
			[]engine.Entry{{Kind: engine.KindReading, Hours: engine.Known[engine.Tenths](50)}, {Kind: engine.KindFinding, Finding: engine.Weep}}, 1},
		{"something seen, water not measured", "2026-11-20,07:30,RT1,,,water,,Joss,\n",
			[]engine.Entry{{Kind: engine.KindFinding, Finding: engine.Water}}, 0},
		{"zero on a new meter is a figure", "2026-11-20,07:30,RT1,0,,,,Joss,\n",
			[]engine.Entry{{Kind: engine.KindReading, Hours: engine.Known[engine.Tenths](0)}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			cal := toronto(t)
			row := parseGood(t, shed(t), cal, logHead+c.row)[0]
			if row.By != "Joss" {
				t.Errorf("by %q", row.By)
			}
			at, _ := cal.At(row.Day, engine.ClockOf(7, 30))
			for i := range c.want {
				w := &c.want[i]
				w.Source = engine.Source{Channel: "import", Message: row.Key.String() + "-1", Ordinal: i}
				w.Said, w.At, w.Day = at, at, engine.DayOf(2026, 11, 20)
				w.Machine, w.Doer, w.Reader = machine, doer, Reader
				w.Raw = strings.TrimSuffix(c.row, "\n")
			}
			c.want[c.note].Words = row.Note
			if got := row.Entries(machine, doer); !reflect.DeepEqual(got, c.want) {
				t.Errorf("got  %+v\nwant %+v", got, c.want)
			}
		})
	}
	if got := (LogRow{}).Entries(machine, doer); len(got) != 0 {
		t.Errorf("no row became %+v", got)
	}
}

func TestMachineEntries(t *testing.T) {
	const line = "RT1,Row tractor 1,granny;top row tractor,Tractor,tenths,120,Co-op"
	rows, faults := ParseMachines(strings.NewReader(machineHead + line + "\n"))
	want(t, faults)
	at, day := engine.Instant(1_700_000_000), engine.Day(19_675)
	got := rows[0].Entries(-4, at, day)
	share := engine.Entry{Said: at, At: at, Day: day, Reader: Reader, Texts: engine.Texts{Raw: line}}
	expect := []engine.Entry{share, share, share}
	for i := range expect {
		expect[i].Source = engine.Source{Channel: "import", Message: rows[0].Message(), Ordinal: i}
	}
	m := &expect[0]
	m.Kind, m.Name, m.Words, m.Reason, m.Value, m.Key, m.Amount.Measured = engine.KindMachine, "RT1", "Row tractor 1", "Co-op", "tractor", "tenths", 120*engine.ML
	for i, name := range []string{"granny", "top row tractor"} {
		l := &expect[i+1]
		l.Kind, l.Machine, l.Key, l.Name = engine.KindLabel, -4, "nickname", name
	}
	if !reflect.DeepEqual(got, expect) {
		t.Errorf("got  %+v\nwant %+v", got, expect)
	}
}

func TestKnownFrom(t *testing.T) {
	book := &engine.Shed{Machines: []engine.Machine{
		{Tag: "RT1", Reads: engine.ReadsWhole, Gone: "sold"}, // another machine has its tag now
		{Tag: "RT1", Reads: engine.ReadsTenths, Name: "Row tractor", Nicknames: []string{"granny"}},
		{Tag: "OLD", Reads: engine.ReadsWhole, Gone: "sold"},
		{Tag: "WF1", Reads: engine.ReadsTenths}, // the file says whole
	}}
	known := KnownFrom([]MachineRow{{Tag: "WF1", Reads: engine.ReadsWhole}}, book)
	for _, c := range []struct{ tag, reads, reason string }{
		{"rt1", "tenths", ""},
		{"old", "whole", ""}, // its log reaches back
		{"WF1", "whole", ""},
		{"granny", "", `"granny" is what RT1 goes by; give the tag`},
		{"RT2", "", `no machine has the tag "RT2"`},
	} {
		m, reason := known.find(c.tag)
		if string(m.reads) != c.reads || reason != c.reason {
			t.Errorf("%s: %v, %q", c.tag, m, reason)
		}
	}
}

// The finding words of the format are those of the engine, no more and no less.
func TestFindingWords(t *testing.T) {
	all := []engine.Finding{
		engine.Clean, engine.Water, engine.RingUp, engine.Rust, engine.Slime, engine.Debris, engine.SwollenORing, engine.HardORing,
		engine.WarpedBowl, engine.Weep, engine.Air, engine.Wax, engine.Ice, engine.Cloudy, engine.Unseen, engine.NothingCame,
	}
	for _, f := range all {
		if !isFinding(f) {
			t.Errorf("%s is refused", f)
		}
	}
	if n := 1 + len(bowlFindings) + len(otherFindings) + len(unseenFindings); n != len(all) {
		t.Errorf("%d words, %d findings", n, len(all))
	}
}

// The example files of the message cases are in the same format.
func TestExampleFiles(t *testing.T) {
	open := func(name string) *os.File {
		f, err := os.Open("../../testdata/messages/" + name)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = f.Close() })
		return f
	}
	machines, faults := ParseMachines(open("machines.csv"))
	want(t, faults)
	rows, faults := ParseLog(open("log.csv"), KnownFrom(machines, nil), toronto(t), now(t, toronto(t)))
	want(t, faults)
	if len(machines) == 0 || len(rows) == 0 {
		t.Errorf("%d machines, %d rows", len(machines), len(rows))
	}
}

// The standard library's reader is the reference for RFC 4180: where it takes a
// whole file apart, ours does so in the same way; where it does not, ours names
// a row.
func FuzzRecords(f *testing.F) {
	for _, s := range []string{"", "\ufeffa,b\r\n", "a,\"b\"\"c\",\n\n,,\n", "\"a\nb\",c\nd,e", "\"a\r\nb\"\r\n", "a\"b\n\"c\"d\n\"e", "a,\n\"\",\"\"\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, file string) {
		if len(file) >= maxLine || strings.Count(file, "\n") >= maxLines {
			return // our bounds, which the reference has not
		}
		file = strings.TrimPrefix(file, "\ufeff")
		reference := csv.NewReader(strings.NewReader(file))
		reference.FieldsPerRecord = -1
		expect, refused := reference.ReadAll()
		var got [][]string
		in, bad, last := newRecords(strings.NewReader(file)), 0, 0
		for {
			rec, err := in.next()
			if errors.Is(err, io.EOF) {
				break
			}
			if rec.line <= last {
				t.Fatalf("line %d after line %d", rec.line, last)
			}
			last = rec.line
			if err != nil {
				bad++
				continue
			}
			got = append(got, slices.Clone(rec.fields))
		}
		if (refused != nil) != (bad > 0) {
			t.Fatalf("the reference says %v, ours names %d rows", refused, bad)
		}
		if refused == nil && fmt.Sprintf("%q", got) != fmt.Sprintf("%q", expect) {
			t.Fatalf("got  %q\nwant %q", got, expect)
		}
	})
}

// Whatever is in a file, parsing it ends, every fault names a line that is
// there, and what is handed over can be written.
func FuzzParse(f *testing.F) {
	f.Add(machineHead+"RT1,,,tractor,,,\n", logHead+"2026-11-20,07:30,RT1,1220.8,drain,water,5,Joss,x\n")
	f.Add("tag\n\"", "day,hours\n2026-11-20,5\n")
	f.Add("\xff", logHead+"2026-03-08,02:30,rt1,1.25,other,clean;rust,0,,\n")
	f.Fuzz(func(t *testing.T, machines, log string) {
		known, faults := ParseMachines(strings.NewReader(machines))
		checkFaults(t, machines, faults)
		for _, m := range known {
			for i, e := range m.Entries(-1, 1, 1) {
				if e.Kind == "" || e.Name == "" || e.Source.Ordinal != i {
					t.Fatalf("%+v", e)
				}
			}
		}
		cal := engine.Calendar{}
		rows, faults := ParseLog(strings.NewReader(log), KnownFrom(append(known, MachineRow{Tag: "RT1"}), nil), cal, 0)
		checkFaults(t, log, faults)
		seen := map[string]bool{}
		for _, r := range rows {
			if seen[r.Message()] {
				t.Fatalf("source %s twice", r.Message())
			}
			seen[r.Message()] = true
			if r.Machine == "" || r.Day <= 0 || cal.DayAt(r.At) != r.Day {
				if len(faults) == 0 {
					t.Fatalf("%+v", r)
				}
			}
			if len(r.Entries(1, 0)) == 0 && len(faults) == 0 {
				t.Fatalf("nothing to write: %+v", r)
			}
		}
	})
}

func checkFaults(t *testing.T, file string, faults []Fault) {
	t.Helper()
	lines := 1 + strings.Count(file, "\n")
	for _, f := range faults {
		if f.Line < 1 || f.Line > lines || f.Reason == "" {
			t.Fatalf("%v in a file of %d lines", f, lines)
		}
	}
}
