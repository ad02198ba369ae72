package demo

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"woodruff/commands/csvbook"
	"woodruff/engine"
)

func toronto(t testing.TB) engine.Calendar {
	t.Helper()
	zone, err := time.LoadLocation("America/Toronto")
	if err != nil {
		t.Fatal(err)
	}
	return engine.CalendarIn(zone)
}

// yesterdays are days of every month, a Sunday, both days after a clock change,
// and those on both sides of a leap day.
func yesterdays() []engine.Day {
	days := []engine.Day{
		engine.DayOf(2026, time.November, 22), engine.DayOf(2026, time.November, 23),
		engine.DayOf(2026, time.March, 9), engine.DayOf(2025, time.November, 3),
		engine.DayOf(2028, time.February, 28), engine.DayOf(2028, time.February, 29), engine.DayOf(2028, time.March, 1),
	}
	for m := time.January; m <= time.December; m++ {
		days = append(days, engine.DayOf(2026, m, 3+2*int(m)))
	}
	return days
}

// parsed is the shed as an import sees it.
type parsed struct {
	yesterday engine.Day
	cal       engine.Calendar
	machines  []csvbook.MachineRow
	rows      []csvbook.LogRow
}

// known keeps what was parsed already: tests do not run side by side here.
var known = map[engine.Day]parsed{}

func parse(t testing.TB, yesterday engine.Day) parsed {
	t.Helper()
	if p, ok := known[yesterday]; ok {
		return p
	}
	p := parsed{yesterday: yesterday, cal: toronto(t)}
	machines, log := Shed(yesterday, p.cal)
	var faults []csvbook.Fault
	if p.machines, faults = csvbook.ParseMachines(bytes.NewReader(machines)); len(faults) > 0 {
		t.Fatal(faults)
	}
	end := p.cal.Start(yesterday+1) - 1
	if p.rows, faults = csvbook.ParseLog(bytes.NewReader(log), csvbook.KnownFrom(p.machines, nil), p.cal, end); len(faults) > 0 {
		t.Fatal(faults)
	}
	known[yesterday] = p
	return p
}

// book is one machine with its entries, as a book would hold them.
type book struct {
	machine engine.Machine
	entries []engine.Entry
	rows    []csvbook.LogRow
}

func (p parsed) books() []book {
	books := make([]book, len(p.machines))
	seq := engine.Seq(0)
	for i, m := range p.machines {
		b := &books[i]
		b.machine = engine.Machine{ID: engine.MachineID(i + 1), Tag: m.Tag, Kind: m.Kind, Reads: m.Reads, BowlML: m.BowlML, Owner: m.Owner}
		for _, r := range p.rows {
			if r.Machine != m.Tag {
				continue
			}
			b.rows = append(b.rows, r)
			for _, e := range r.Entries(b.machine.ID, 1) {
				seq++
				e.Seq = seq
				b.entries = append(b.entries, e)
			}
		}
	}
	return books
}

func TestDeterministic(t *testing.T) {
	day, cal := engine.DayOf(2026, time.November, 23), toronto(t)
	m1, l1 := Shed(day, cal)
	m2, l2 := Shed(day, cal)
	if !bytes.Equal(m1, m2) || !bytes.Equal(l1, l2) {
		t.Error("the same day makes another shed")
	}
	m1[0] = 'x' // what is handed out is the caller's own
	if m3, _ := Shed(day, cal); !bytes.Equal(m2, m3) {
		t.Error("the embedded file was changed")
	}
	if _, l4 := Shed(day+1, cal); bytes.Equal(l1, l4) {
		t.Error("another day makes the same log")
	}
	if path := os.Getenv("DEMO_LOG"); path != "" { // to look at it
		if err := os.WriteFile(path, l1, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

func TestEveryMachineHasAHabit(t *testing.T) {
	p := parse(t, engine.DayOf(2026, time.November, 23))
	var tags, lived []string
	for _, m := range p.machines {
		tags = append(tags, m.Tag)
	}
	for _, h := range habits {
		lived = append(lived, h.tag)
	}
	if !slices.Equal(tags, lived) {
		t.Errorf("machines %v, habits %v", tags, lived)
	}
}

func TestSpansTwoYearsUpToYesterday(t *testing.T) {
	for _, day := range yesterdays() {
		p := parse(t, day)
		first, last := p.rows[0], p.rows[len(p.rows)-1]
		if last.Day != day || first.Day <= day-Days || first.Day > day-Days+14 {
			t.Errorf("%s: from %s to %s", day, first.Day, last.Day)
		}
		if n := len(p.rows); n < 900 || n > 1500 {
			t.Errorf("%s: %d rows", day, n)
		}
		if !slices.IsSortedFunc(p.rows, func(a, b csvbook.LogRow) int { return int(a.At - b.At) }) {
			t.Errorf("%s: not in the order of time", day)
		}
	}
}

// Every reading is one that the shop's book would take without a question, and
// no meter goes down.
func TestPlausible(t *testing.T) {
	for i, day := range yesterdays() {
		if i%3 != 0 {
			continue // a third of them is plenty, and this is slow
		}
		p := parse(t, day)
		for _, b := range p.books() {
			for i, e := range b.entries {
				if e.Kind != engine.KindReading {
					continue
				}
				meter := engine.Timeline(b.machine, b.entries[:i])
				if last, ok := meter.Last(); ok && last.Shown > e.Hours.Value {
					t.Errorf("%s: %s %s is below %s", day, b.machine.Tag, e.Raw, last.Shown)
				}
				if v := engine.JudgeReading(meter, e.Hours.Value, e.Day, e.At, p.cal, nil); !v.OK {
					t.Errorf("%s: %s: %s", day, e.Raw, v.Why)
				}
			}
		}
	}
}

func TestSeasons(t *testing.T) {
	p := parse(t, engine.DayOf(2026, time.November, 23))
	// hours between readings, by the month of the later one
	ran := map[string]map[time.Month]engine.Tenths{}
	for _, b := range p.books() {
		ran[b.machine.Kind] = map[time.Month]engine.Tenths{}
		for i := 1; i < len(b.rows); i++ {
			_, m, _ := b.rows[i].Day.Date()
			ran[b.machine.Kind][m] += b.rows[i].Hours.Value - b.rows[i-1].Hours.Value
		}
	}
	for _, c := range []struct {
		kind string
		busy []time.Month
		rest []time.Month
	}{
		{"mower", []time.Month{5, 6, 7, 8, 9}, []time.Month{12, 1, 2, 3}},
		{"frost fan", []time.Month{4, 5, 10, 11}, []time.Month{7, 8}}, // out of season they are only tested
		{"splitter", []time.Month{12, 1, 2}, []time.Month{5, 6, 7, 8, 9}},
		{"pump", []time.Month{6, 7, 8}, []time.Month{12, 1, 2, 3}},
		{"tractor", []time.Month{4, 5, 9, 10}, []time.Month{1, 2}},
	} {
		least, most := engine.Tenths(1<<40), engine.Tenths(0)
		for _, m := range c.busy {
			least = min(least, ran[c.kind][m])
		}
		for _, m := range c.rest {
			most = max(most, ran[c.kind][m])
		}
		if least <= most {
			t.Errorf("%s: %s h in a busy month, %s h in a quiet one", c.kind, least, most)
		}
	}
}

func TestWhoWrites(t *testing.T) {
	p := parse(t, engine.DayOf(2026, time.November, 23))
	by, notes := map[string]int{}, 0
	for _, r := range p.rows {
		by[r.By]++
		if r.Note != "" {
			notes++
		}
		if r.By == newHand && r.Day < p.yesterday-newHandCame {
			t.Errorf("%s: before she came", r.Raw)
		}
		if owner := map[string]string{"Hester": "HT1", "Anselm": "TD1"}[r.By]; owner != "" && owner != r.Machine {
			t.Errorf("%s: not the owner's machine", r.Raw)
		}
	}
	for _, name := range []string{"Joss", "Wilm", "Runa", "Dot", "Hester", "Anselm"} {
		if by[name] == 0 {
			t.Errorf("%s never wrote", name)
		}
	}
	if len(by) != 6 || notes < 20 || notes > len(p.rows)/3 {
		t.Errorf("%v, %d notes", by, notes)
	}
}

// The bowls: mostly clean, some with a little water, and the two stories.
func TestBowls(t *testing.T) {
	for _, day := range yesterdays() {
		clean, drains, little := 0, 0, 0
		for _, r := range parse(t, day).rows {
			ago := int(day - r.Day)
			slime := slices.Contains(r.Findings, engine.Slime)
			if slime && (r.Machine != "OM2" || ago < 160) {
				t.Errorf("%s: slime: %s", day, r.Raw)
			}
			if r.Amount > 20*engine.ML && (r.Machine != "WF2" || ago > 7) {
				t.Errorf("%s: a big find: %s", day, r.Raw)
			}
			if slices.Contains(r.Jobs, engine.Drain) {
				drains++
				if slices.Contains(r.Findings, engine.Clean) {
					clean++
				}
				if slices.Contains(r.Findings, engine.Water) && r.Amount < engine.TraceUnder {
					little++
				}
			}
		}
		if clean*10 < drains*8 || little*100 < drains*4 {
			t.Errorf("%s: of %d drains %d clean, %d with a little water", day, drains, clean, little)
		}
	}
}

// rows of a machine that a test looks for.
func count(rows []csvbook.LogRow, want func(csvbook.LogRow) bool) (n int) {
	for _, r := range rows {
		if want(r) {
			n++
		}
	}
	return n
}

func TestStories(t *testing.T) {
	for _, day := range yesterdays() {
		p := parse(t, day)
		has := func(machine string, from, to int, jobs, findings string) bool {
			return count(p.rows, func(r csvbook.LogRow) bool {
				ago := int(day - r.Day)
				return r.Machine == machine && ago >= from && ago <= to &&
					(jobs == "" || slices.Contains(r.Jobs, engine.Job(jobs))) &&
					(findings == "" || slices.Contains(r.Findings, engine.Finding(findings)))
			}) > 0
		}
		for _, c := range []struct {
			what string
			ok   bool
		}{
			{"two big finds on WF2 in the last eight days", count(p.rows, func(r csvbook.LogRow) bool {
				return r.Machine == "WF2" && r.Amount > 20*engine.ML && day-r.Day < 8
			}) == 2},
			{"slime on OM2 months ago", has("OM2", 160, 180, "", "slime")},
			{"then its tank cleaned", has("OM2", 160, 166, "tank", "")},
			{"and only clean drains since", !has("OM2", 0, 159, "", "slime") && has("OM2", 0, 5, "drain", "clean")},
			{"a swollen ring on RT2, and a new one", has("RT2", 96, 96, "", "swollen-oring") && has("RT2", 93, 93, "oring", "")},
			{"nobody read RT2 for over three weeks", !has("RT2", 0, 23, "", "") && has("RT2", 24, 60, "", "")},
			{"nobody read DP1 for five weeks", !has("DP1", 0, 35, "", "") && has("DP1", 36, 120, "", "")},
			{"TD1 has few rows", count(p.rows, func(r csvbook.LogRow) bool { return r.Machine == "TD1" }) < 15},
			{"Hester read HT1 yesterday", count(p.rows, func(r csvbook.LogRow) bool {
				return r.Machine == "HT1" && r.By == "Hester" && r.Day == day && len(r.Jobs) == 0
			}) == 1},
			{"somebody was late with an oil change", p.lateOil()},
		} {
			if !c.ok {
				t.Errorf("%s: not in the log: %s", day, c.what)
			}
		}
		// All others were read within the last eight days.
		for _, m := range p.machines {
			if m.Tag != "DP1" && m.Tag != "RT2" && !has(m.Tag, 0, 7, "", "") {
				t.Errorf("%s: %s was not read", day, m.Tag)
			}
		}
	}
}

// lateOil says whether some engine ran more than a tenth over the 250 h that
// the usual plan gives its oil.
func (p parsed) lateOil() bool {
	last := map[string]engine.Tenths{}
	for _, r := range p.rows {
		if !slices.Contains(r.Jobs, engine.EngineOil) {
			continue
		}
		if before, ok := last[r.Machine]; ok && r.Hours.Value-before > 2750 {
			return true
		}
		last[r.Machine] = r.Hours.Value
	}
	return false
}

// What is open in the morning after, by the usual plan: about five items in the
// coming week on four machines, one of them past, and nothing else late.
func TestOpenPoints(t *testing.T) {
	for _, day := range yesterdays() {
		p := parse(t, day)
		today := day + 1
		now, err := p.cal.At(today, engine.ClockOf(6, 15))
		if err != nil {
			t.Fatal(err)
		}
		var due, past, never []string
		for _, b := range p.books() {
			for _, i := range engine.Due(b.machine, b.entries, engine.GenericPlan().For(b.machine, nil), now, p.cal) {
				what := b.machine.Tag + " " + string(i.Job)
				switch {
				case b.machine.Tag == "RT2" && (i.Job == engine.EngineOil || i.Job == engine.OilFilter):
					// Nobody knows: see TestAReadingMatters.
				case i.Job == engine.Drain:
				case i.Unknown == engine.NeverDone:
					never = append(never, what)
				case i.DueDay == 0 || i.DueDay > today+7:
				case i.DueDay < today:
					past = append(past, fmt.Sprintf("%s %s h", what, i.Left.Value))
				default:
					due = append(due, what)
				}
			}
		}
		if os.Getenv("DEMO_SHOW") != "" {
			t.Logf("%s: due %v; past %v; never %v", day, due, past, never)
		}
		slices.Sort(due)
		if want := []string{"OM1 engineoil", "OM1 oilfilter", "PG1 separator", "RT1 engineoil", "RT1 oilfilter", "WS1 aircleaner"}; !slices.Equal(due, want) {
			t.Errorf("%s: due in the coming week %v, want %v", day, due, want)
		}
		if len(past) != 1 || !strings.HasPrefix(past[0], "BL1 separator -1") {
			t.Errorf("%s: past %v", day, past)
		}
		for _, tag := range []string{"WS1", "TD1", "21"} {
			if !slices.ContainsFunc(never, func(s string) bool { return strings.HasPrefix(s, tag+" ") }) {
				t.Errorf("%s: all of %s is in the book", day, tag)
			}
		}
	}
}

// One machine's meter is worth reading, nearly whatever the day: its oil, or the
// next greasing, may be due or not. Those that were read lately, and those that
// rest, are left in peace.
func TestAReadingMatters(t *testing.T) {
	matters := 0
	for _, day := range yesterdays() {
		p := parse(t, day)
		now, err := p.cal.At(day+1, engine.ClockOf(6, 15))
		if err != nil {
			t.Fatal(err)
		}
		var top []engine.Worth
		for _, b := range p.books() {
			s := engine.Fold(b.machine, b.entries, p.cal)
			items := s.Due(engine.GenericPlan().For(b.machine, nil), now)
			top = engine.KeepWorth(top, s.WorthReading(items, b.machine.Owner == "Co-op", now), 5)
		}
		for _, w := range top {
			if p.machines[w.Machine-1].Tag != "RT2" || w.Job != engine.EngineOil && w.Job != engine.Grease {
				t.Errorf("%s: worth reading: %+v", day, w)
			}
		}
		matters += len(top)
	}
	if days := len(yesterdays()); matters < days-1 {
		t.Errorf("a reading matters on %d of %d days", matters, days)
	}
}

// In a zone whose clocks jump over a row's time the row has no time.
func TestTimeThatIsSkipped(t *testing.T) {
	zone, err := time.LoadLocation("Pacific/Apia") // had no 30 December 2011: tz database
	if err != nil {
		t.Fatal(err)
	}
	_, log := Shed(engine.DayOf(2011, time.December, 30), engine.CalendarIn(zone))
	if !bytes.Contains(log, []byte("\n2011-12-30,,")) || bytes.Contains(log, []byte("\n2011-12-29,,")) {
		t.Error("times on a day that is not there")
	}
}
