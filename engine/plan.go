package engine

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"
)

// Plan is a list of intervals, such as the usual ones or those of a shop.
type Plan []PlanLine

//go:embed plan.csv
var planCSV string

var genericPlan = sync.OnceValue(func() Plan {
	plan, err := ParsePlan(strings.NewReader(planCSV))
	if err != nil {
		panic(err) // the file is embedded and a test reads it
	}
	return plan
})

// GenericPlan are the usual intervals for small diesel machines, each with its
// source. It is shared and not to be changed.
func GenericPlan() Plan { return genericPlan() }

// ErrPlan says that a plan line cannot be taken; the message names line and
// column.
var ErrPlan = errors.New("not an interval plan")

var (
	planNeeds = []string{"job", "hours", "months"}
	planMay   = []string{"kind", "machine", "season", "first", "marks", "severe", "severable", "off", "class", "note"}
)

// ParsePlan reads a plan from comma-separated values with a heading: job,
// hours and months, and where wanted kind, season, first, marks, severe,
// severable, off, class and note. All lines are good or the error names the bad one.
func ParsePlan(r io.Reader) (Plan, error) { return ParsePlanFor(r, nil) }

// ParsePlanFor is ParsePlan for a file that also names single machines, by
// whatever tag looks up.
func ParsePlanFor(r io.Reader, tag func(string) (MachineID, bool)) (Plan, error) {
	rows, err := readTable(r, planNeeds, planMay)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPlan, err)
	}
	plan := make(Plan, 0, len(rows))
	for _, row := range rows {
		line, column, err := planLine(row, tag)
		if err != nil {
			return nil, fmt.Errorf("%w: line %d, column %s: %w", ErrPlan, row.line, column, err)
		}
		for _, other := range plan {
			if other.Job == line.Job && other.Machine == line.Machine && strings.EqualFold(other.Kind, line.Kind) {
				return nil, fmt.Errorf("%w: line %d, column job: %s is there already", ErrPlan, row.line, line.Job)
			}
		}
		plan = append(plan, line)
	}
	return plan, nil
}

func planLine(row row, tag func(string) (MachineID, bool)) (line PlanLine, column string, err error) {
	cell := row.cell
	line = PlanLine{Kind: cell["kind"], Job: Job(cell["job"]), Note: cell["note"]}
	if _, ok := line.Job.Info(); !ok {
		return line, "job", fmt.Errorf("%q is no job", cell["job"])
	}
	if name := cell["machine"]; name != "" {
		if tag == nil {
			return line, "machine", errors.New("no single machines here")
		}
		id, ok := tag(name)
		if !ok {
			return line, "machine", fmt.Errorf("no machine %q", name)
		}
		line.Machine = id
	}
	i := &line.Interval
	for _, h := range []struct {
		column string
		into   *Tenths
	}{{"hours", &i.Every}, {"first", &i.First}, {"severe", &i.Severe}} {
		if *h.into, err = planHours(cell[h.column]); err != nil {
			return line, h.column, err
		}
	}
	if i.Months, err = planMonths(cell["months"]); err != nil {
		return line, "months", err
	}
	if cell["season"] != "" {
		if i.Season, err = ParseYearDay(cell["season"]); err != nil {
			return line, "season", err
		}
	}
	for _, b := range []struct {
		column string
		into   *bool
	}{{"marks", &i.Marks}, {"severable", &i.Severable}, {"off", &i.Off}} {
		if *b.into, err = planYes(cell[b.column]); err != nil {
			return line, b.column, err
		}
	}
	if line.Source, err = planClass(cell["class"]); err != nil {
		return line, "class", err
	}
	column, err = checkInterval(*i)
	return line, column, err
}

// Bounds of what is believed to be an interval.
const (
	longestHours  Tenths = 200_000
	longestMonths        = 240
)

func planHours(s string) (Tenths, error) {
	if s == "" {
		return 0, nil
	}
	t, err := ParseTenths(s)
	if err == nil && (t <= 0 || t > longestHours) {
		err = fmt.Errorf("%s h is no interval", t)
	}
	return t, err
}

func planMonths(s string) (int, error) {
	if s == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(s)
	if err == nil && (n <= 0 || n > longestMonths) {
		err = fmt.Errorf("%d months is no interval", n)
	}
	return n, err
}

func planYes(s string) (bool, error) {
	switch strings.ToLower(s) {
	case "", "no":
		return false, nil
	case "yes":
		return true, nil
	}
	return false, fmt.Errorf("%q is neither yes nor no", s)
}

func planClass(s string) (SourceClass, error) {
	switch c := SourceClass(strings.ToLower(s)); c {
	case "":
		return OwnShop, nil
	case CommonPractice, Published, OwnShop:
		return c, nil
	}
	return "", fmt.Errorf("%q is no source class", s)
}

// checkInterval says what is wrong with an interval, and in which column.
func checkInterval(i Interval) (column string, err error) {
	switch {
	case i.Off && (i.Every != 0 || i.Months != 0 || i.Season != 0 || i.First != 0 || i.Severe != 0):
		return "off", errors.New("off has no interval")
	case i.Off:
		return "", nil
	case i.Every == 0 && i.Months == 0 && i.Season == 0:
		return "hours", errors.New("neither hours, months nor season")
	case i.Marks && i.Every == 0:
		return "marks", errors.New("marks need hours")
	case (i.Severe != 0 || i.Severable) && i.Every == 0:
		return "severe", errors.New("severe use needs hours")
	case i.Severe > i.Every:
		return "severe", errors.New("more hours under severe use than usual")
	}
	return "", nil
}

// For are the lines that rule for one machine, one per job in the order of
// Jobs. The shop's own word rules over the usual interval; within each, a line
// for the machine rules over one for its kind, and that over one for all; of
// two alike the later rules. A line that is Off drops the job; one of the
// shop's without an interval says nothing, and the usual one is back.
func (p Plan) For(m Machine, shop []PlanLine) []PlanLine {
	var best [2][fitMachine + 1][maxJobs]*PlanLine
	for own, lines := range [2][]PlanLine{p, shop} {
		for i := range lines {
			l := &lines[i]
			if n := l.Job.place(); n >= 0 {
				best[own][fits(l, m)][n] = l
			}
		}
	}
	out := make([]PlanLine, 0, len(jobs))
	for n := range jobs {
		if l := closest(best[1], n); l != nil {
			if !l.Interval.Off {
				out = append(out, *l)
			}
		} else if l := closest(best[0], n); l != nil && !l.Interval.Off {
			out = append(out, *l)
		}
	}
	return out
}

// closest is the line for job n that fits best and has an interval.
func closest(by [fitMachine + 1][maxJobs]*PlanLine, n int) *PlanLine {
	for fit := fitMachine; fit > fitNot; fit-- {
		if l := by[fit][n]; l != nil && !l.Interval.IsZero() {
			return l
		}
	}
	return nil
}

// How closely a line fits a machine.
const (
	fitNot = iota
	fitAll
	fitKind
	fitMachine
)

// fits says how closely a line fits a machine.
func fits(l *PlanLine, m Machine) int {
	switch {
	case l.Machine != 0:
		if l.Machine == m.ID {
			return fitMachine
		}
		return fitNot
	case l.Kind == "":
		return fitAll
	case strings.EqualFold(l.Kind, m.Kind):
		return fitKind
	}
	return fitNot
}
