package csvbook

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"woodruff/engine"
)

const (
	machineHead = "tag,name,aka,kind,meter_reads,bowl_ml,owner\n"
	logHead     = "day,time,machine,hours,job,finding,amount_ml,by,note\n"
)

func toronto(t testing.TB) engine.Calendar {
	t.Helper()
	zone, err := time.LoadLocation("America/Toronto")
	if err != nil {
		t.Fatal(err)
	}
	return engine.CalendarIn(zone)
}

// shed are machines of each meter grain.
func shed(t testing.TB) Known {
	t.Helper()
	rows, faults := ParseMachines(strings.NewReader(machineHead +
		"RT1,Row tractor 1,granny;top row tractor,tractor,tenths,120,Co-op\n" +
		"WF1,Ridge frost fan,ridge fan,frost fan,whole,200,Co-op\n" +
		"HC1,Hand cart pump,,pump,none,,\n" +
		"21,Spray tractor 21,dosing tractor,tractor,,,Co-op\n"))
	if len(faults) != 0 {
		t.Fatal(faults)
	}
	return KnownFrom(rows, nil)
}

// now is 2026-11-24 07:40 in Toronto.
func now(t testing.TB, cal engine.Calendar) engine.Instant {
	t.Helper()
	at, err := cal.At(engine.DayOf(2026, time.November, 24), engine.ClockOf(7, 40))
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// brief writes faults as "line column: reason", cut to the reason's first words.
func brief(faults []Fault) string {
	var b strings.Builder
	for _, f := range faults {
		fmt.Fprintf(&b, "%d %s: %s\n", f.Line, f.Column, f.Reason)
	}
	return b.String()
}

// want compares faults with "line column: start of the reason" one by one.
func want(t *testing.T, faults []Fault, expect ...string) {
	t.Helper()
	ok := len(faults) == len(expect)
	for i := range min(len(faults), len(expect)) {
		got := fmt.Sprintf("%d %s: %s", faults[i].Line, faults[i].Column, faults[i].Reason)
		ok = ok && strings.HasPrefix(got, expect[i])
	}
	if !ok {
		t.Errorf("faults:\n%swant:\n%s", brief(faults), strings.Join(expect, "\n"))
	}
}

func TestMachineFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		file string
		want []string
	}{
		{"an empty file", "", []string{"1 : the file is empty"}},
		{"a byte order mark alone", "\ufeff", []string{"1 : the file is empty"}},
		{"empty lines alone", "\n\r\n\n", []string{"1 : the file is empty"}},
		{"the head alone is a shop without machines", machineHead, nil},
		{"no head", "RT1,Row tractor 1,,tractor,tenths,120,Co-op\n", []string{"1 : the first line must name the columns"}},
		{"semicolons for commas", "tag;name;aka;kind;meter_reads;bowl_ml;owner\n", []string{"1 : the columns are not separated by commas"}},
		{"UTF-16", "\xff\xfet\x00a\x00g\x00,\x00", []string{"1 : not UTF-8 text"}},
		{"a head that is no row", "tag,\"name\n", []string{"1 : a quote is opened"}},
		{"a column missing; the rows are checked for the rest",
			"tag,name,aka,kind,meter_reads,bowl_ml\nRT1,Row tractor 1,,,tenths,120\n",
			[]string{"1 owner: the column is missing", "2 kind: every machine needs its kind"}},
		{"no complaint in each row about the column that is missing",
			"tag,name,aka,meter_reads,bowl_ml,owner\nRT1,Row tractor 1,,tenths,120,\n", []string{"1 kind: the column is missing"}},
		{"an unknown column", "tag,name,aka,kind,meter_reads,bowl_ml,owner,paint\nRT1,,,tractor,,,,red\n", []string{"1 paint: no such column"}},
		{"a comma too many at the end of the head", "tag,name,aka,kind,meter_reads,bowl_ml,owner,\nRT1,,,tractor,,,,\n", []string{"1 : no such column (the file's 8.)"}},
		{"a column twice", "tag,name,aka,kind,meter_reads,bowl_ml,owner,Tag\nRT1,,,tractor,,,,RT2\n", []string{"1 tag: the column is there twice"}},
		{"a field too few, one too many", machineHead + "RT1,Row tractor 1,,tractor,tenths,120\nRT2,,,tractor,tenths,120,Co-op,x\n",
			[]string{"2 : 6 fields where the first line has 7", "3 : 8 fields"}},
		{"no tag", machineHead + ",Row tractor 1,,tractor,tenths,120,Co-op\n", []string{"2 tag: every machine needs a tag"}},
		{"two tags", machineHead + "RT1;RT2,,,tractor,tenths,120,Co-op\n", []string{"2 tag: one tag a machine"}},
		{"the same tag in other letters", machineHead + "RT1,,,tractor,,,\n rt1 ,,,tractor,,,\n", []string{"3 tag: the tag RT1 is on line 2"}},
		{"a nickname of two machines", machineHead + "RT1,,granny,tractor,,,\nRT2,,Granny,tractor,,,\n", []string{`3 aka: "Granny" is what RT1 on line 2 goes by`}},
		{"a full name of two machines", machineHead + "RT1,Tractor,,tractor,,,\nRT2,tractor,,tractor,,,\n", []string{`3 name: "tractor" is what RT1`}},
		{"a tag that is a nickname elsewhere", machineHead + "RT1,,hauler,tractor,,,\nHauler,,,tractor,,,\n", []string{`3 tag: "Hauler" is what RT1`}},
		{"a machine may go by its own name", machineHead + "RT1,RT1,rt1;granny;Granny,tractor,,,\n", nil},
		{"no kind", machineHead + "RT1,,,,tenths,120,Co-op\n", []string{"2 kind: every machine needs"}},
		{"a meter grain that is none", machineHead + "RT1,,,tractor,tens,120,Co-op\n", []string{`2 meter_reads: "tens" is not tenths`}},
		{"bowls that cannot be", machineHead + "A,,,pump,,-1,\nB,,,pump,,0,\nC,,,pump,,1.5,\nD,,,pump,,a cup,\nE,,,pump,,100001,\nF,,,pump,,99999999999999999999,\n",
			[]string{"2 bowl_ml: below zero", "3 bowl_ml: zero", `4 bowl_ml: "1.5" is not`, `5 bowl_ml: "a cup"`, "6 bowl_ml: more than", "7 bowl_ml: \"99"}},
		{"bad UTF-8, and no second complaint about the column", machineHead + "RT1,,,tractor,\xff,120,Co-op\n", []string{"2 meter_reads: not UTF-8"}},
		{"a control character", machineHead + "RT1,row\x00tractor,,tractor,,,\n", []string{"2 name: holds a control"}},
		{"every fault of a line", machineHead + "RT1,,,,tens,-3,Co-op\n", []string{"2 kind:", "2 meter_reads:", "2 bowl_ml:"}},
		{"a field without end", machineHead + "RT1," + strings.Repeat("x", maxText+1) + ",,tractor,,,\n", []string{"2 name: longer than"}},
		{"a line without end, and the lines after it", machineHead + strings.Repeat("x", 3*maxLine) + "\nRT2,,,,,,\n", []string{"2 : the line is longer", "3 kind:"}},
		{"a file without end of line", machineHead + "RT1,,,,,,", []string{"2 kind:"}},
		{"rows of commas are the foot of a spreadsheet", machineHead + "RT1,,,tractor,,,\n,,,,,,\n  , ,,,,,\n", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, faults := ParseMachines(strings.NewReader(c.file))
			want(t, faults, c.want...)
		})
	}
}

func TestLogFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		rows string
		want []string
	}{
		{"a good row of each sort", "2026-11-20,7:30,RT1,1220.8,drain,clean,,Joss,\n2026-11-20,,21,,,weep,,,\n2026-11-20,07:30,wf1,634,,,,Wilm,\n", nil},
		{"an unknown machine", "2026-11-20,,XX,,drain,,,,\n", []string{`2 machine: no machine has the tag "XX"`}},
		{"a nickname for a tag: the tag is named", "2026-11-20,,Granny,,drain,,,,\n", []string{`2 machine: "Granny" is what RT1 goes by`}},
		{"no machine", "2026-11-20,,,5,,,,,\n", []string{"2 machine: every row needs"}},
		{"an unknown job", "2026-11-20,,RT1,,drain;polish,,,,\n", []string{`2 job: "polish" is not`}},
		{"a job twice", "2026-11-20,,RT1,,drain;Drain,,,,\n", []string{`2 job: "drain" is there twice`}},
		{"other work without and with its words", "2026-11-20,,RT1,,other,,,,\n2026-11-20,,RT1,,other,,,,seat bolted down\n", []string{"2 note: other work needs"}},
		{"an unknown finding", "2026-11-20,,RT1,,drain,murk,,,\n", []string{`2 finding: "murk" is not`}},
		{"clean, and not", "2026-11-20,,RT1,,drain,clean;water,,,\n2026-11-20,,RT1,,drain,unseen;clean,,,\n2026-11-20,,RT1,,oring,clean;swollen-oring,,,\n",
			[]string{"2 finding: clean and water", "3 finding: clean and unseen"}},
		{"hours that no meter shows", "2026-11-20,,RT1,1223.45,,,,,\n2026-11-20,,RT1,-4,,,,,\n2026-11-20,,RT1,1e3,,,,,\n2026-11-20,,RT1,\"1,223.4\",,,,,\n2026-11-20,,RT1,.5,,,,,\n",
			[]string{`2 hours: "1223.45" is not hours with at most one decimal`, "3 hours: below zero", "4 hours:", "5 hours:", "6 hours:"}},
		{"a decimal comma is a figure", "2026-11-20,,RT1,\"1223,4\",,,,,\n", nil},
		{"tenths on a meter of whole hours", "2026-11-20,,WF1,634.5,,,,,\n2026-11-20,,WF1,634.0,,,,,\n", []string{"2 hours: the meter of WF1 shows whole hours"}},
		{"hours on a machine without a meter", "2026-11-20,,HC1,3,,,,,\n", []string{"2 hours: HC1 has no hour meter"}},
		{"days that are none", "20.11.2026,,RT1,1,,,,,\n2026-11-31,,RT1,1,,,,,\n,,RT1,1,,,,,\n1969-12-31,,RT1,1,,,,,\n1970-01-01,,RT1,1,,,,,\n2026-1-2,,RT1,1,,,,,\n",
			[]string{`2 day: "20.11.2026" is not`, "3 day:", "4 day: every row needs", "5 day: before", "6 day: before", "7 day:"}},
		{"times that are none", "2026-11-20,7.30,RT1,1,,,,,\n2026-11-20,24:00,RT1,1,,,,,\n2026-11-20,07:60,RT1,1,,,,,\n2026-11-20,7:5,RT1,1,,,,,\n2026-11-20,+7:05,RT1,1,,,,,\n",
			[]string{"2 time:", "3 time:", "4 time:", "5 time:", "6 time:"}},
		// The clocks of Ontario go forward at 02:00 on the second Sunday of March:
		// Time Act, R.S.O. 1990, c. T.9, s. 2 (cited from memory).
		{"the hour that is skipped, its neighbours, and the hour that comes twice",
			"2026-03-08,01:59,RT1,1,,,,,\n2026-03-08,02:00,RT1,1,,,,,\n2026-03-08,02:59,RT1,1,,,,,\n2026-03-08,03:00,RT1,1,,,,,\n2025-11-02,01:30,RT1,1,,,,,\n",
			[]string{"3 time: there is no 02:00 on 2026-03-08 in America/Toronto", "4 time: there is no 02:59"}},
		{"after now", "2026-11-25,,RT1,1,,,,,\n2026-11-24,07:41,RT1,1,,,,,\n2026-11-24,07:40,RT1,1,,,,,\n2026-11-24,,RT1,1,,,,,\n",
			[]string{"2 day: after today", "3 time: after now"}},
		{"an amount without water", "2026-11-20,,RT1,,drain,rust,5,,\n2026-11-20,,RT1,,drain,,5,,\n2026-11-20,,RT1,,drain,rust;water,5,,\n",
			[]string{"2 amount_ml: an amount, but no water", "3 amount_ml:"}},
		{"amounts that cannot be", "2026-11-20,,RT1,,drain,water,0,,\n2026-11-20,,RT1,,drain,water,-2,,\n2026-11-20,,RT1,,drain,water,2.55,,\n2026-11-20,,RT1,,drain,water,2.,,\n2026-11-20,,RT1,,drain,water,.5,,\n2026-11-20,,RT1,,drain,water,0.0,,\n2026-11-20,,RT1,,drain,water,-2.5,,\n2026-11-20,,RT1,,drain,water,100000.5,,\n",
			[]string{"2 amount_ml: zero", "3 amount_ml: below", `4 amount_ml: "2.55" is not`, `5 amount_ml: "2." is not`, `6 amount_ml: ".5" is not`, "7 amount_ml: zero", `8 amount_ml: "-2.5" is not`, "9 amount_ml: more than"}},
		{"amounts with a tenth", "2026-11-20,,RT1,,drain,water,2.5,,\n2026-11-20,,RT1,,drain,water,100000.0,,\n2026-11-20,,RT1,,drain,water,0.1,,\n", nil},
		{"nothing to write", "2026-11-20,07:30,RT1,,,,,Joss,nice morning\n", []string{"2 hours: nothing to write"}},
		{"falling hours are the caller's to judge", "2026-11-19,,RT1,50,,,,,\n2026-11-20,,RT1,40,,,,,\n", nil},
		{"every fault of a line", "yesterday,noon,XX,lots,polish,murk,some,,\n",
			[]string{"2 machine:", "2 day:", "2 time:", "2 hours:", "2 job:", "2 finding:", "2 amount_ml:"}},
		{"every faulty line", "x,,RT1,1,,,,,\n2026-11-20,,RT1,1,,,,,\nx,,RT1,1,,,,,\n", []string{"2 day:", "4 day:"}},
		{"a quote left open hides neither itself nor what follows", "2026-11-20,,RT1,1,,,,,\"left\n2026-11-20,,XX,1,,,,,\n2026-11-20,,RT1,1,,,,,\n",
			[]string{"2 : a quote is opened and never closed", "3 machine:"}},
		{"a quote that the next quote closes", "2026-11-20,,RT1,1,,,,,\"left\n2026-11-20,,XX,1,,,,,\"right\"\n",
			[]string{"2 : text stands after a closing quote", "3 machine:"}},
		{"a quote inside a field", "2026-11-20,,RT1,1,,,,,5\" hose\n", []string{"2 : a quote stands inside"}},
		{"a note that swallowed a row", "2026-11-20,,RT1,1,,,,,\"left\n2026-11-20,,RT1,1,,,,,\"\n", []string{"2 note: holds a whole row"}},
		{"the line after a row of several lines, and the field's own line", "2026-11-20,,RT1,1,,,,,\"one\ntwo\nthree\"\n2026-11-20,,XX,1,,,,,\n2026-11-20,,RT1,1,drain,clean,,\"Jo\nss\",\"a\x01\"\n",
			[]string{"5 machine:", "7 note: holds a control"}},
		{"bad UTF-8", "2026-11-20,,RT1,1,,,,,caf\xe9\n2026-11-20,,\xc3\x28,1,,,,,\n", []string{"2 note: not UTF-8", "3 machine: not UTF-8"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			cal := toronto(t)
			for _, end := range []string{"\n", "\r\n"} {
				file := "\ufeff" + strings.ReplaceAll(logHead+c.rows, "\n", end)
				rows, faults := ParseLog(strings.NewReader(file), shed(t), cal, now(t, cal))
				want(t, faults, c.want...)
				for _, f := range faults {
					for _, r := range rows {
						if r.Line == f.Line {
							t.Errorf("line %d is at fault and handed over all the same", f.Line)
						}
					}
				}
			}
		})
	}
}

// The head of a log is checked as that of the machines is, and its rows for the
// columns that are there.
func TestLogHead(t *testing.T) {
	for _, c := range []struct {
		name string
		file string
		want []string
	}{
		{"an empty file", "", []string{"1 : the file is empty"}},
		{"no hours: a row without work is not blamed for it", "day,time,machine,job,finding,amount_ml,by,note\n2026-11-20,,RT1,,,,,\n2026-11-20,,XX,drain,,,,\n",
			[]string{"1 hours: the column is missing", "3 machine:"}},
		{"no finding: an amount is not blamed for it", "day,time,machine,hours,job,amount_ml,by,note\n2026-11-20,,RT1,,drain,5,,\n",
			[]string{"1 finding: the column is missing"}},
		{"columns in another order", "note,by,amount_ml,finding,job,hours,machine,time,day\n,,5,water,drain,1.2,RT1,,2026-11-20\n", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, faults := ParseLog(strings.NewReader(c.file), shed(t), toronto(t), 0)
			want(t, faults, c.want...)
		})
	}
}

func TestFaultString(t *testing.T) {
	for _, c := range []struct {
		f    Fault
		want string
	}{
		{Fault{LogFile, 14, ColHours, "below zero"}, "log.csv line 14, hours: below zero"},
		{Fault{MachinesFile, 2, "", "6 fields"}, "machines.csv line 2: 6 fields"}, // the line as a whole
	} {
		if got := c.f.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A doubled hour means its first pass: 2025-11-02 01:30 in Toronto is still
// daylight time, UTC-4.
func TestDoubledHour(t *testing.T) {
	rows, faults := ParseLog(strings.NewReader(logHead+"2025-11-02,01:30,RT1,1,,,,,\n"), shed(t), toronto(t), 0)
	want(t, faults)
	if at := engine.Instant(time.Date(2025, time.November, 2, 5, 30, 0, 0, time.UTC).Unix()); rows[0].At != at {
		t.Errorf("at %d, want %d", rows[0].At, at)
	}
}

func TestNoonWithoutATime(t *testing.T) {
	cal := toronto(t)
	rows, faults := ParseLog(strings.NewReader(logHead+"2026-11-23,,RT1,1,,,,,\n2026-11-24,,RT1,2,,,,,\n"), shed(t), cal, now(t, cal))
	want(t, faults)
	if at := engine.Instant(time.Date(2026, time.November, 23, 17, 0, 0, 0, time.UTC).Unix()); rows[0].At != at || rows[0].Clock.Known {
		t.Errorf("yesterday's row at %d with clock %v, want noon, %d", rows[0].At, rows[0].Clock, at)
	}
	// Noon of today is still to come, and nothing in the book is.
	if rows[1].At != now(t, cal) {
		t.Errorf("today's row at %d, want now, %d", rows[1].At, now(t, cal))
	}
}

// Samoa skipped 30 December 2011 when it moved across the date line (tz
// database, northamerica and australasia files: Pacific/Apia).
func TestADayThatWasSkipped(t *testing.T) {
	zone, err := time.LoadLocation("Pacific/Apia")
	if err != nil {
		t.Fatal(err)
	}
	_, faults := ParseLog(strings.NewReader(logHead+"2011-12-30,,RT1,1,,,,,\n"), shed(t), engine.CalendarIn(zone), 0)
	want(t, faults, "2 day: there is no such day in Pacific/Apia")
}

func TestReadingStopsWhereTheFileDoes(t *testing.T) {
	broken := errors.New("disk gone")
	file := io.MultiReader(strings.NewReader(logHead+"x,,RT1,1,,,,,\n2026-11-20,,RT1,1,,,,,\"ope"), iotest.ErrReader(broken))
	_, faults := ParseLog(file, shed(t), toronto(t), 0)
	want(t, faults, "2 day:", "3 : the file could not be read further: disk gone")
	_, faults = ParseMachines(iotest.ErrReader(broken))
	want(t, faults, "1 : the file could not be read further: disk gone")
}

// TestBigFiles reads 10,000 machines and 500,000 rows of log while the heap in
// use grows by no more than a hundred megabytes: the log is never held whole.
func TestBigFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("half a million rows")
	}
	const machines, rows = 10_000, 500_000
	var file strings.Builder
	file.WriteString(machineHead)
	for i := range machines {
		fmt.Fprintf(&file, "M%d,Machine number %d,nick %d,tractor,tenths,120,Co-op\n", i, i, i)
	}
	parsed, faults := ParseMachines(strings.NewReader(file.String()))
	if want(t, faults); len(parsed) != machines {
		t.Fatalf("%d machines", len(parsed))
	}
	known := KnownFrom(parsed, nil)
	first := engine.DayOf(2023, time.January, 1)
	made := 0
	src := &lines{head: logHead, next: func() string {
		if made == rows {
			return ""
		}
		i := made
		made++
		return fmt.Sprintf("%s,07:30,M%d,%d.%d,drain,water,%d,Joss,\n", first+engine.Day(i/machines), i%machines, 100+i/machines, i%10, 1+i%40)
	}}
	got := 0
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	faults = ScanLog(src, known, toronto(t), 0, func(LogRow) { got++ })
	runtime.ReadMemStats(&after)
	want(t, faults)
	if got != rows {
		t.Errorf("%d rows of %d", got, rows)
	}
	if grew := (int64(after.HeapInuse) - int64(before.HeapInuse)) >> 20; grew > 100 {
		t.Errorf("the heap in use grew by %d MB", grew)
	}
}

// lines is a file that is made as it is read.
type lines struct {
	head string
	next func() string
}

func (l *lines) Read(p []byte) (int, error) {
	if l.head == "" {
		l.head = l.next()
	}
	if l.head == "" {
		return 0, io.EOF
	}
	n := copy(p, l.head)
	l.head = l.head[n:]
	return n, nil
}
