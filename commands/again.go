package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// againWithin is how long the same work said again is more likely the same work
// than another piece of it.
const againWithin engine.Instant = 60 * 60

// writtenAlready is what stands in the book already of what a message says of a
// machine.
type writtenAlready struct {
	m    engine.Machine
	work []engine.Entry // of one message, the work first
}

// again asks before work is written that somebody, not long ago, has written
// word for word: the same jobs on the same machine and day, the same figure or
// none, and nothing else found. Whether it was done twice only they know. nil
// where nothing of the kind stands in the book.
func (t *turn) again(all []read.Act) (*doubt, error) {
	var twice []writtenAlready
	for _, id := range machinesIn(all) {
		w, ok, err := t.alreadyWritten(id, all)
		if err != nil {
			return nil, err
		}
		if ok {
			twice = append(twice, w)
		}
	}
	if len(twice) == 0 {
		return nil, nil
	}
	var parts []string
	for _, w := range twice {
		parts = append(parts, t.alreadyWords(w))
	}
	verb := " is in the book already ("
	if len(twice) > 1 {
		verb = " are in the book already ("
	}
	first := twice[0].work[0]
	who := firstName(t.shed.PersonName(first.Writer))
	return &doubt{
		lines: []string{list(parts) + verb + who + ", " + t.cal.ClockAt(first.Said).String() + "). Again?"},
		held: held{Ask: read.AskMeaning, Options: []option{
			{Label: "same one", No: true, Acts: withoutTwice(all, twice), Nothing: len(withoutTwice(all, twice)) == 0, Words: "no nope already"},
			{Label: "again", Acts: all, Trust: true, Yes: true, Words: "twice second another new"},
		}},
	}, nil
}

func machinesIn(all []read.Act) (ids []engine.MachineID) {
	for _, a := range all {
		if a.Machine > 0 && !slices.Contains(ids, a.Machine) {
			ids = append(ids, a.Machine)
		}
	}
	return ids
}

// alreadyWritten finds the lines of one earlier message that say the same of a
// machine.
func (t *turn) alreadyWritten(id engine.MachineID, all []read.Act) (writtenAlready, bool, error) {
	mine := slices.DeleteFunc(slices.Clone(all), func(a read.Act) bool { return a.Machine != id || !repeatable(a.Kind) })
	if len(mine) == 0 {
		return writtenAlready{}, false, nil
	}
	v, err := t.view(id)
	if err != nil {
		return writtenAlready{}, false, err
	}
	for end := len(v.h); end > 0; {
		start := end - 1
		for start > 0 && message(&v.h[start-1]) == message(&v.h[start]) {
			start--
		}
		lines := v.h[start:end]
		end = start
		if !t.justBefore(&lines[0]) {
			continue
		}
		if _, same := t.sameWork(mine, lines); !same && !inWords(mine) {
			continue // the lines' words would not make it the same
		}
		lines = slices.Clone(lines)
		if err := t.withTexts(lines); err != nil {
			return writtenAlready{}, false, err
		}
		if work, same := t.sameWork(mine, lines); same {
			return writtenAlready{v.m, work}, true, nil
		}
	}
	return writtenAlready{}, false, nil
}

// justBefore says whether a line was written in this place within the time in
// which the same work said again is hardly another piece of it.
func (t *turn) justBefore(e *engine.Entry) bool {
	return e.Said <= t.msg.At && t.msg.At-e.Said <= againWithin && e.Source.Channel == t.msg.Channel && e.Source.Message != t.msg.ID
}

// inWords says that some work is told apart by its words alone.
func inWords(all []read.Act) bool {
	return slices.ContainsFunc(all, func(a read.Act) bool { return slices.Contains(a.Jobs, engine.OtherWork) })
}

// repeatable are the acts that a second time would count as a second piece of
// work, or as a second find.
func repeatable(k read.ActKind) bool {
	switch k {
	case read.Service, read.Finding, read.Fill, read.Baseline:
		return true
	}
	return false
}

// sameWork says whether every one of the acts stands among the lines, and gives
// those lines, the work first. A find of another sort, or another figure, makes
// it another piece of work.
func (t *turn) sameWork(acts []read.Act, lines []engine.Entry) (same []engine.Entry, ok bool) {
	for _, a := range acts {
		at := 0
		for at < len(lines) && !(stands(&lines[at]) && t.saysSame(a, &lines[at])) {
			at++
		}
		if at == len(lines) {
			return nil, false
		}
		if !slices.ContainsFunc(same, func(e engine.Entry) bool { return e.Seq == lines[at].Seq }) {
			same = append(same, lines[at])
		}
	}
	return same, true
}

// saysSame says whether an act would write a line that stands already. An act
// without a figure may be of any.
func (t *turn) saysSame(a read.Act, e *engine.Entry) bool {
	day := a.Day
	if day == 0 {
		day = t.today
	}
	if a.Kind != read.Baseline && e.Day != day {
		return false
	}
	switch {
	case a.Kind == read.Service && e.Kind == engine.KindService:
		return slices.Equal(a.Jobs, e.Jobs) && a.How == e.How && (!a.Hours.Known || a.Hours == e.Hours) &&
			(!slices.Contains(a.Jobs, engine.OtherWork) || strings.EqualFold(a.Words, e.Words))
	case a.Kind == read.Finding && e.Kind == engine.KindFinding:
		return a.Finding == e.Finding && a.Amount == e.Amount
	case a.Kind == read.Fill && e.Kind == engine.KindFill:
		return a.Litres == e.Litres && a.Grade == e.Grade
	case a.Kind == read.Baseline && e.Kind == engine.KindBaseline:
		return slices.Equal(a.Jobs, e.Jobs) && a.Known == e.Known && a.Hours == e.Hours && (a.Known == engine.Counted || a.Day == e.Day)
	}
	return false
}

// alreadyWords names what stands in the book: "RT2 bowl drained at 1191.0".
func (t *turn) alreadyWords(w writtenAlready) string {
	var parts []string
	for _, e := range w.work {
		part := describe(w.m, e)
		if e.Hours.Known && e.Kind == engine.KindService {
			part += " at " + meterWords(w.m, e.Hours.Value)
		}
		parts = append(parts, part)
	}
	return w.m.Tag + " " + list(parts)
}

// withoutTwice are a message's acts without those that stand already. A figure
// that was read goes in all the same.
func withoutTwice(all []read.Act, twice []writtenAlready) []read.Act {
	return slices.DeleteFunc(slices.Clone(all), func(a read.Act) bool {
		return slices.ContainsFunc(twice, func(w writtenAlready) bool {
			if w.m.ID != a.Machine {
				return false
			}
			return repeatable(a.Kind) || a.Kind == read.Reading && slices.ContainsFunc(w.work, func(e engine.Entry) bool { return e.Hours == a.Hours })
		})
	})
}
