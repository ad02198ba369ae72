package commands

import (
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// Last services that the book did not see. Counting from today must not write
// over a date that the book has: it fills what is not known, and asks before it
// does more.

// firstDates goes through the baselines of a message before they are written:
// what is to be counted from today is what the book has no date for, and what
// somebody only remembers is asked back.
func (t *turn) firstDates(all []read.Act) ([]read.Act, *doubt, error) {
	if !slices.ContainsFunc(all, func(a read.Act) bool { return a.Kind == read.Baseline }) {
		return all, nil, nil
	}
	for _, a := range all {
		d, err := t.doubtBaseline(a, all)
		if d != nil || err != nil {
			return nil, d, err
		}
	}
	return t.countable(all)
}

// doubtBaseline asks about a last service that was only told, or that is said to
// be at hours which the meter has not reached.
func (t *turn) doubtBaseline(a read.Act, all []read.Act) (*doubt, error) {
	if a.Kind != read.Baseline || !a.Hours.Known || a.Machine == 0 {
		return nil, nil
	}
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	if d := t.doubtAlone(all, a, v); d != nil {
		return d, nil
	}
	if a.Known != engine.Told {
		return nil, nil
	}
	when := ""
	if a.Day != 0 {
		when = ", " + dayWords(a.Day, t.today)
	}
	return &doubt{
		lines: []string{v.m.Tag + ": last " + jobNames(a.Jobs) + " at " + meterWords(v.m, a.Hours.Value) + " h" + when + ", as told, not our work?"},
		held: held{Ask: read.AskMeaning, Acts: all, Options: []option{
			{Label: "yes", Acts: all, Trust: true, Yes: true}, {Label: "no", Nothing: true},
		}},
	}, nil
}

// countable are the acts with the counting from today narrowed to what the book
// has no date for.
func (t *turn) countable(all []read.Act) ([]read.Act, *doubt, error) {
	var out, counted []read.Act
	var left []string // in the book already
	open := false     // no job was named
	for _, a := range all {
		if a.Kind != read.Baseline || a.Known != engine.Counted {
			out = append(out, a)
			continue
		}
		open = open || len(a.Jobs) == 0
		counted = append(counted, t.spread(a)...)
	}
	if len(counted) == 0 {
		return out, nil, nil
	}
	if !open && len(counted) == 1 {
		d, err := t.doubtDated(counted[0], all)
		return all, d, err
	}
	jobs := 0
	var narrowed []read.Act
	for _, a := range counted {
		missing, err := t.missingOf(a)
		if err != nil {
			return nil, nil, err
		}
		if len(missing) == 0 {
			m, _ := t.shed.Machine(a.Machine)
			left = append(left, m.Tag)
			continue
		}
		a.Jobs = missing
		jobs += len(missing)
		narrowed = append(narrowed, a)
	}
	if len(narrowed) == 0 {
		t.line("The book has a date for all of it. Nothing written.")
		return out, nil, nil
	}
	t.left = left
	out = append(out, narrowed...)
	if !open {
		return out, nil, nil
	}
	where := count(len(narrowed), "machine")
	if len(narrowed) == 1 {
		m, _ := t.shed.Machine(narrowed[0].Machine)
		where = m.Tag
	}
	return nil, &doubt{
		lines: []string{fmt.Sprintf("Count from today what the book has no date for: %s on %s?", count(jobs, "job"), where)},
		held: held{Ask: read.AskMeaning, Acts: out, Options: []option{
			{Label: "yes", Acts: out, Trust: true, Yes: true}, {Label: "no", Nothing: true},
		}},
	}, nil
}

// spread is an act for each machine that it is about: without one, for all.
func (t *turn) spread(a read.Act) []read.Act {
	if a.Machine != 0 {
		return []read.Act{a}
	}
	var out []read.Act
	for _, m := range inShed(t.shed.Machines) {
		a.Machine = m.ID
		out = append(out, a)
	}
	return out
}

// missingOf are the jobs of an act, or of the machine's plan where it names
// none, that the book has no date for.
func (t *turn) missingOf(a read.Act) ([]engine.Job, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	var out []engine.Job
	for _, i := range t.itemsOf(v) {
		asked := len(a.Jobs) == 0 || slices.Contains(a.Jobs, i.Job)
		if asked && (i.Unknown == engine.NeverDone || i.Unknown == engine.NobodyKnows) {
			out = append(out, i.Job)
		}
	}
	return out, nil
}

// doubtDated asks before a job that the book has a date for is counted from
// today.
func (t *turn) doubtDated(a read.Act, all []read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	for _, j := range a.Jobs {
		last, ok := v.sheet(t).LastDone(j)
		if !ok {
			continue
		}
		return &doubt{
			lines: []string{v.m.Tag + " " + jobName(j) + " is in the book: " + lowerFirst(t.lastWords(v, last, j)) + ". Count from today all the same?"},
			held: held{Ask: read.AskMeaning, Acts: all, Options: []option{
				{Label: "yes", Acts: all, Trust: true, Yes: true}, {Label: "no", Nothing: true},
			}},
		}, nil
	}
	return nil, nil
}

// fewBaselines is how many baselines of a message are told one by one.
const fewBaselines = 2

// countedLines tell many baselines of one message in a few lines: what is
// counted, on which machines.
func (t *turn) countedLines() {
	if len(t.based) == 0 {
		return
	}
	var order []string
	tags := map[string][]string{}
	for _, e := range t.based {
		m, _ := t.shed.Machine(e.Machine)
		what := baselineWords(engine.Machine{}, e)
		if len(e.Jobs) > 3 {
			what = "what the book had no date for: counted from here"
		}
		if _, there := tags[what]; !there {
			order = append(order, what)
		}
		tags[what] = append(tags[what], m.Tag)
	}
	for _, what := range order {
		t.line(sentence(capital(what) + ", on " + tagList(tags[what], 20)))
	}
	if len(t.left) > 0 {
		t.line("In the book already, left as it is: " + strings.Join(t.left, " ") + ".")
	}
	if !t.toldToday() {
		t.line(manualRules)
	}
}

// baselines is how many of the acts are baselines.
func baselines(all []read.Act) (n int) {
	for _, a := range all {
		if a.Kind == read.Baseline {
			n++
		}
	}
	return n
}
