package csvbook

import (
	"errors"
	"io"
	"strconv"
	"strings"

	"woodruff/engine"
)

// LogRow is one row of the log.
type LogRow struct {
	Origin
	Day      engine.Day
	Clock    engine.Maybe[engine.Clock]
	At       engine.Instant // from day and time; noon, or now where that is earlier, without a time
	Machine  string         // the tag, as the machine's own line writes it
	Hours    engine.Maybe[engine.Tenths]
	Jobs     []engine.Job
	Findings []engine.Finding
	Amount   engine.TenthsML // of the water; 0 is not measured
	By       string          // who did it, for the caller to resolve; "" is not known
	Note     string
}

// ParseLog reads the log into memory. See ScanLog.
func ParseLog(r io.Reader, known Known, cal engine.Calendar, now engine.Instant) ([]LogRow, []Fault) {
	var rows []LogRow
	faults := ScanLog(r, known, cal, now, func(row LogRow) { rows = append(rows, row) })
	return rows, faults
}

// ScanLog reads the log and hands over each row that has no fault, in the order
// of the file; it keeps 20 bytes a row and the faults. The rows are to be
// written only where there are no faults at all. Rows after now are faults; a
// now of 0 does not ask.
func ScanLog(r io.Reader, known Known, cal engine.Calendar, now engine.Instant, each func(LogRow)) []Fault {
	p := logParser{
		table: newTable(LogFile, logColumns, r),
		known: known, cal: cal, now: now,
		seen:     ordinals{},
		jobs:     map[string]list[engine.Job]{},
		findings: map[string]list[engine.Finding]{},
		people:   map[string]string{},
		noons:    map[engine.Day]noon{},
	}
	if now != 0 {
		p.today = cal.DayAt(now)
	}
	if !p.header() {
		return p.faults
	}
	for p.next() {
		if row := p.row(); p.good() {
			each(row)
		}
	}
	return p.faults
}

type logParser struct {
	*table
	known Known
	cal   engine.Calendar
	now   engine.Instant
	today engine.Day // 0 where now is not known
	seen  ordinals
	// What was read once is not read, or kept, again.
	jobs     map[string]list[engine.Job]
	findings map[string]list[engine.Finding]
	people   map[string]string
	noons    map[engine.Day]noon
}

// list is a field of several words, read once: the words, how they count for a
// key, and why they cannot stand.
type list[W ~string] struct {
	words  []W
	key    string
	reason string
}

// noon is the middle of a day, and why there is none.
type noon struct {
	at  engine.Instant
	err error
}

func (p *logParser) row() LogRow {
	row := LogRow{
		Origin: Origin{Line: p.rec.line, Raw: p.rec.raw},
		Note:   strings.Clone(p.text(ColNote)),
	}
	machine, reason := p.known.find(p.text(ColMachine))
	if reason != "" {
		p.fault(ColMachine, reason)
	}
	row.Machine = machine.tag
	p.when(&row)
	p.hours(&row, machine)
	jobs := p.work(&row)
	findings := p.found(&row)
	row.By = p.person(p.text(ColBy))
	if !row.Hours.Known && len(row.Jobs) == 0 && len(row.Findings) == 0 {
		// Where one of the three is at fault or missing, that was said already.
		if p.text(ColHours) == "" && p.text(ColJob) == "" && p.text(ColFinding) == "" && p.has(ColHours, ColJob, ColFinding) {
			p.fault(ColHours, "nothing to write: the row has no hours, no job and no finding")
		}
	}
	row.Key = keyOf(LogFile,
		row.Day.String(), p.clockKey(row), fold(row.Machine), hoursKey(row),
		jobs.key, findings.key, row.Amount.String(), fold(row.By), row.Note)
	row.Ordinal = p.seen.next(row.Key)
	return row
}

func (p *logParser) has(columns ...Column) bool {
	for _, c := range columns {
		if _, ok := p.place[c]; !ok {
			return false
		}
	}
	return true
}

func (p *logParser) clockKey(row LogRow) string {
	if !row.Clock.Known {
		return ""
	}
	return row.Clock.Value.String()
}

func hoursKey(row LogRow) string {
	if !row.Hours.Known {
		return ""
	}
	return row.Hours.Value.String()
}

// when reads the day and the time of day.
func (p *logParser) when(row *LogRow) {
	day, ok := p.day()
	clock, timed, okTime := p.clock()
	if !ok || !okTime {
		return
	}
	row.Day = day
	if !timed {
		mid := p.noon(day)
		if mid.err != nil {
			p.fault(ColDay, "there is no such day in "+p.cal.Zone())
			return
		}
		row.At = mid.at
		if p.now != 0 {
			row.At = min(row.At, p.now)
		}
		return
	}
	row.Clock = engine.Known(clock)
	at, err := p.cal.At(day, clock)
	switch {
	case errors.Is(err, engine.ErrNoSuchTime):
		p.fault(ColTime, "there is no "+clock.String()+" on "+day.String()+" in "+p.cal.Zone()+": the clocks go forward over it")
	case p.now != 0 && at > p.now:
		p.fault(ColTime, "after now")
	}
	row.At = at
}

func (p *logParser) day() (engine.Day, bool) {
	text := p.text(ColDay)
	if text == "" {
		p.fault(ColDay, "every row needs its day, such as 2026-11-24")
		return 0, false
	}
	day, err := engine.ParseDay(text)
	switch {
	case err != nil:
		p.fault(ColDay, quoted(text)+" is not a day written as 2026-11-24")
	case day <= 0:
		p.fault(ColDay, "before 1970-01-02")
	case p.today != 0 && day > p.today:
		p.fault(ColDay, "after today, "+p.today.String())
	default:
		return day, true
	}
	return 0, false
}

// noon of a day is looked up once for all of its rows.
func (p *logParser) noon(day engine.Day) noon {
	if n, ok := p.noons[day]; ok {
		return n
	}
	at, err := p.cal.At(day, engine.ClockOf(12, 0))
	p.noons[day] = noon{at, err}
	return p.noons[day]
}

// clock reads "7:40" or "07:40"; timed is false where the field is empty.
func (p *logParser) clock() (clock engine.Clock, timed, ok bool) {
	text := p.text(ColTime)
	if text == "" {
		return 0, false, true
	}
	h, m, split := strings.Cut(text, ":")
	hours, okH := twoDigits(h)
	minutes, okM := twoDigits(m)
	if !split || !okH || !okM || len(m) != 2 || hours > 23 || minutes > 59 {
		p.fault(ColTime, quoted(text)+" is not a time of day written as 07:40")
		return 0, true, false
	}
	return engine.ClockOf(hours, minutes), true, true
}

func twoDigits(s string) (int, bool) {
	if s == "" || len(s) > 2 {
		return 0, false
	}
	n, err := strconv.ParseUint(s, 10, 8)
	return int(n), err == nil
}

// hours reads the figure as the machine's meter can show it.
func (p *logParser) hours(row *LogRow, machine knownMachine) {
	text := p.text(ColHours)
	if text == "" {
		return
	}
	t, err := engine.ParseTenths(text)
	switch {
	case strings.HasPrefix(text, "-"):
		p.fault(ColHours, "below zero")
	case err != nil:
		p.fault(ColHours, quoted(text)+" is not hours with at most one decimal, such as 1223.4")
	case machine.reads == engine.NoMeter:
		p.fault(ColHours, printable(machine.tag)+" has no hour meter")
	case machine.reads == engine.ReadsWhole && t%10 != 0:
		p.fault(ColHours, "the meter of "+printable(machine.tag)+" shows whole hours, not tenths")
	default:
		row.Hours = engine.Known(t)
	}
}

// work reads the jobs. Other work is kept in the words of the note.
func (p *logParser) work(row *LogRow) list[engine.Job] {
	text := p.text(ColJob)
	jobs, ok := p.jobs[text]
	if !ok {
		jobs = readList(text, func(j engine.Job) string {
			if _, known := j.Info(); !known {
				return quoted(string(j)) + " is not one of the job words; other work is other, with its words under note"
			}
			return ""
		})
		p.jobs[strings.Clone(text)] = jobs
	}
	if jobs.reason != "" {
		p.fault(ColJob, jobs.reason)
	}
	row.Jobs = jobs.words
	for _, j := range jobs.words {
		if j == engine.OtherWork && row.Note == "" {
			p.fault(ColNote, "other work needs its words here")
		}
	}
	return jobs
}

// found reads the findings and the amount of water.
func (p *logParser) found(row *LogRow) list[engine.Finding] {
	text := p.text(ColFinding)
	findings, ok := p.findings[text]
	if !ok {
		findings = readList(text, func(f engine.Finding) string {
			if !isFinding(f) {
				return quoted(string(f)) + " is not one of the finding words"
			}
			return ""
		})
		if findings.reason == "" {
			findings.reason = contradiction(findings.words)
		}
		p.findings[strings.Clone(text)] = findings
	}
	if findings.reason != "" {
		p.fault(ColFinding, findings.reason)
	}
	row.Findings = findings.words
	amount, reason := amountOf(p.text(ColAmount))
	water := false
	for _, f := range findings.words {
		water = water || f == engine.Water
	}
	if reason == "" && amount > 0 && !water && findings.reason == "" && p.has(ColFinding) {
		reason = "an amount, but no water under finding"
	}
	if reason != "" {
		p.fault(ColAmount, reason)
	}
	row.Amount = amount
	return findings
}

// readList reads words parted by semicolons, each once.
func readList[W ~string](text string, wrong func(W) string) list[W] {
	var l list[W]
	for _, w := range words(fold(text)) {
		word := W(strings.Clone(w))
		if l.reason == "" {
			l.reason = wrong(word)
		}
		for _, before := range l.words {
			if before == word && l.reason == "" {
				l.reason = quoted(w) + " is there twice"
			}
		}
		l.words = append(l.words, word)
	}
	l.key = strings.Join(sortedFold(l.words), ";")
	return l
}

// bowlFindings are what was seen in a bowl besides nothing.
var bowlFindings = []engine.Finding{
	engine.Water, engine.RingUp, engine.Rust, engine.Slime, engine.Debris, engine.Wax, engine.Ice, engine.Cloudy,
}

// otherFindings are those that a clean bowl does not speak against.
var otherFindings = []engine.Finding{
	engine.SwollenORing, engine.HardORing, engine.WarpedBowl, engine.Weep, engine.Air,
}

// unseenFindings are bowls of which nothing is known.
var unseenFindings = []engine.Finding{engine.Unseen, engine.NothingCame}

func isFinding(f engine.Finding) bool {
	return f == engine.Clean || oneOf(f, bowlFindings) || oneOf(f, otherFindings) || oneOf(f, unseenFindings)
}

func oneOf(f engine.Finding, list []engine.Finding) bool {
	for _, x := range list {
		if x == f {
			return true
		}
	}
	return false
}

// contradiction says why findings cannot all be true of one bowl.
func contradiction(findings []engine.Finding) string {
	var clean, unseen, seen engine.Finding
	for _, f := range findings {
		switch {
		case f == engine.Clean:
			clean = f
		case oneOf(f, unseenFindings):
			unseen = f
		case oneOf(f, bowlFindings):
			seen = f
		}
	}
	switch {
	case clean != "" && seen != "":
		return "clean and " + string(seen) + " cannot both be"
	case clean != "" && unseen != "":
		return "clean and " + string(unseen) + " cannot both be"
	}
	return ""
}

// person keeps one copy of each name.
func (p *logParser) person(name string) string {
	if kept, ok := p.people[name]; ok {
		return kept
	}
	name = strings.Clone(name)
	p.people[name] = name
	return name
}
