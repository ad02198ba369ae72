package commands

import (
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

// correct changes a line by a later entry: the last thing this person wrote, or
// the older line that the message singles out.
func correct(t *turn, a read.Act) (*doubt, error) {
	entries, err := t.toCorrect(a)
	if err != nil || entries == nil {
		return nil, err
	}
	for _, e := range entries {
		if !t.mayChange(e) {
			t.refuseChange(e)
			return nil, nil
		}
	}
	change, ok := corrections[a.Field]
	if !ok {
		t.line("I can't change that. Say undo, then say it again.")
		return nil, nil
	}
	if d, err := t.checkCorrection(a, entries); d != nil || err != nil {
		return d, err
	}
	var now []engine.Entry
	for _, e := range entries {
		next := e
		if !change(t, a, &next) {
			continue
		}
		if next.Machine != e.Machine {
			if _, err := t.view(next.Machine); err != nil {
				return nil, err
			}
		}
		if _, err := t.view(e.Machine); err != nil {
			return nil, err
		}
		if err := t.replace(e, next); err != nil {
			return nil, err
		}
		if next.Machine != e.Machine { // the old machine's book must lose it in this turn's eyes too
			t.views[e.Machine].drop(e.Seq, 0)
		}
		now = append(now, next)
	}
	if len(now) == 0 {
		t.line("The last lines have no " + fieldWords[a.Field] + " to change. Nothing changed.")
		return nil, nil
	}
	t.line("Changed: " + t.together(now) + whenNotToday(t, now) + ". The old line stays in the book, marked.")
	t.nextDue(machinesOf(now))
	return nil, nil
}

var fieldWords = map[string]string{
	"hours": "hours", "machine": "machine", "jobs": "job", "day": "day", "finding": "finding", "by": "name", "how": "work", "amount": "amount of water",
}

// corrections change one field of an entry and say whether it had that field.
var corrections = map[string]func(t *turn, a read.Act, e *engine.Entry) bool{
	"hours": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if !e.Hours.Known || a.Target.Hours.Known && e.Hours != a.Target.Hours {
			return false
		}
		e.Hours.Value = a.To.Hours
		return true
	},
	"machine": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if e.Machine == 0 || a.Target.Machine != 0 && e.Machine != a.Target.Machine {
			return false
		}
		e.Machine = a.To.Machine
		return true
	},
	"jobs": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if e.Kind != engine.KindService && e.Kind != engine.KindPutOff {
			return false
		}
		if a.Target.Job == "" {
			e.Jobs = a.To.Jobs
			return true
		}
		at := slices.Index(e.Jobs, a.Target.Job)
		if at < 0 {
			return false
		}
		e.Jobs = slices.Replace(slices.Clone(e.Jobs), at, at+1, a.To.Jobs...)
		return true
	},
	"day": func(t *turn, a read.Act, e *engine.Entry) bool {
		if e.Kind == engine.KindPutOff {
			e.Until = a.To.Day
			return true
		}
		e.Day, e.At = a.To.Day, t.noon(a.To.Day)
		return true
	},
	"finding": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if e.Kind != engine.KindFinding {
			return false
		}
		e.Finding, e.Amount = a.To.Finding, a.To.Amount
		return true
	},
	"amount": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if e.Kind != engine.KindFinding || e.Finding != engine.Water {
			return false
		}
		e.Amount = a.To.Amount
		return true
	},
	"by": func(t *turn, a read.Act, e *engine.Entry) bool {
		if e.Kind != engine.KindService && e.Kind != engine.KindReading && e.Kind != engine.KindFinding {
			return false
		}
		e.Doer = t.person(a.To.By)
		return true
	},
	"how": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if e.Kind != engine.KindService {
			return false
		}
		e.How = a.To.How
		return true
	},
}

// noon stands for a day of which no time is known.
func (t *turn) noon(d engine.Day) engine.Instant {
	if d == t.today {
		return t.msg.At
	}
	at, _ := t.cal.At(d, engine.ClockOf(12, 0)) // a gap at noon gives the instant after it
	return at
}

// toCorrect finds the lines that a correction is about; nil where there are
// none, and the answer says so.
func (t *turn) toCorrect(a read.Act) ([]engine.Entry, error) {
	target := a.Target
	if a.Field == "hours" || a.Field == "machine" || a.Field == "jobs" {
		// "1223.4 not 1224.3": the wrong value is in the last message as a rule.
		if last, err := t.lastMessages(t.now-undoWithin, 1); err != nil || len(last) > 0 && target.Day == 0 && target.By == "" {
			if err != nil {
				return nil, err
			}
			return last[0], nil
		}
	}
	if !target.IsZero() && target.Machine != 0 {
		lines, err := t.linesOf(target)
		if err != nil {
			return nil, err
		}
		if len(lines) == 0 {
			t.line("No such line in the book. Nothing changed.")
			return nil, nil
		}
		return lines[len(lines)-1:], nil
	}
	recent, err := t.lastMessages(t.now-undoWithin, 1)
	if err != nil {
		return nil, err
	}
	if len(recent) == 0 {
		t.line("Nothing of yours from today to change. Say which line: machine, job and day.")
		return nil, nil
	}
	return recent[0], nil
}

// checkCorrection judges a corrected figure like a new one, without the line
// that it corrects; which machine is meant is asked where two have hours.
func (t *turn) checkCorrection(a read.Act, entries []engine.Entry) (*doubt, error) {
	switch a.Field {
	case "hours":
		ids := machinesOf(slices.DeleteFunc(slices.Clone(entries), func(e engine.Entry) bool {
			return !e.Hours.Known || a.Target.Hours.Known && e.Hours != a.Target.Hours
		}))
		if len(ids) > 1 {
			d := &doubt{lines: []string{a.To.Hours.String() + " for which?"}, held: held{Ask: read.AskMachine, Acts: []read.Act{a}}}
			for _, id := range ids {
				m, _ := t.shed.Machine(id)
				one := a
				for _, e := range entries {
					if e.Machine == id && e.Hours.Known {
						one.Target.Hours = e.Hours
					}
				}
				d.held.Options = append(d.held.Options, option{Label: m.Tag, Acts: []read.Act{one}})
			}
			return d, nil
		}
		if len(ids) == 1 {
			return t.judgeInstead(ids[0], a, entries)
		}
	case "machine":
		for _, e := range entries {
			if e.Kind == engine.KindReading {
				return t.judgeOnOther(a, e)
			}
		}
	}
	return nil, nil
}

func machinesOf(entries []engine.Entry) []engine.MachineID {
	var ids []engine.MachineID
	for _, e := range entries {
		if e.Machine != 0 && !slices.Contains(ids, e.Machine) {
			ids = append(ids, e.Machine)
		}
	}
	return ids
}

func whenNotToday(t *turn, entries []engine.Entry) string {
	for _, e := range entries {
		if e.Day != t.today && e.Day != 0 && e.Kind != engine.KindPutOff {
			return ", " + dayWords(e.Day, t.today)
		}
	}
	return ""
}
