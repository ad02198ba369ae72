package commands

import (
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

// correct changes a line by a later entry: the last thing this person wrote, or
// the older line that the message singles out.
func correct(t *turn, a read.Act) (*doubt, error) {
	a = answered(a)
	change, ok := corrections[a.Field]
	if !ok {
		t.line("I can't change that. Say undo, then say it again.")
		return nil, nil
	}
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
	if to, ok := t.shed.Machine(a.To.Machine); ok && a.Field == "machine" && t.msg.By.Role == Owner && !t.owns(to) {
		t.line(to.Tag + " is " + possessive(to.Owner) + ", not yours: the shop can write it. Nothing changed.")
		return nil, nil
	}
	pairs := make([]changed, 0, len(entries))
	for _, e := range entries {
		next := e
		if change(t, a, &next) {
			pairs = append(pairs, changed{e, next})
		}
	}
	if len(pairs) == 0 {
		t.line("The last lines have no " + fieldWords[a.Field] + " to change. Nothing changed.")
		return nil, nil
	}
	if a.Key != confirmed {
		if d, err := t.checkCorrection(a, pairs); d != nil || err != nil {
			return d, err
		}
	}
	return nil, t.change(pairs)
}

// changed is a line and what it is to be.
type changed struct{ old, now engine.Entry }

func before(pairs []changed) []engine.Entry {
	out := make([]engine.Entry, len(pairs))
	for i, c := range pairs {
		out[i] = c.old
	}
	return out
}

// answered puts what a question has brought into a correction's new value.
func answered(a read.Act) read.Act {
	switch {
	case a.Field == "hours" && a.Hours.Known:
		a.To.Hours = a.Hours.Value
	case a.Field == "machine" && a.To.Machine == 0:
		a.To.Machine = a.Machine
	case a.Field == "jobs" && len(a.To.Jobs) == 0:
		a.To.Jobs = a.Jobs
	case a.Field == "day" && a.To.Day == 0:
		a.To.Day = a.Day
	}
	a.Hours = engine.Maybe[engine.Tenths]{}
	return a
}

// change writes the corrected lines and reads them back.
func (t *turn) change(pairs []changed) error {
	var now []engine.Entry
	for _, c := range pairs {
		for _, id := range []engine.MachineID{c.old.Machine, c.now.Machine} {
			if _, err := t.view(id); err != nil && id != 0 {
				return err
			}
		}
		if err := t.replace(c.old, c.now); err != nil {
			return err
		}
		if c.now.Machine != c.old.Machine { // the old machine's book must lose it in this turn's eyes too
			t.views[c.old.Machine].drop(c.old.Seq, 0)
		}
		now = append(now, c.now)
	}
	t.line("Changed: " + t.together(now) + whenNotToday(t, now) + ". The old line stays in the book, marked.")
	t.nextDue(machinesOf(now))
	return nil
}

var fieldWords = map[string]string{
	"hours": "hours", "machine": "machine", "jobs": "job", "day": "day", "finding": "finding", "by": "name", "how": "work", "amount": "amount of water",
}

// corrections change one field of an entry and say whether it had that field.
var corrections = map[string]func(t *turn, a read.Act, e *engine.Entry) bool{
	"hours": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if !fits(a, *e) {
			return false
		}
		e.Hours = engine.Known(a.To.Hours)
		return true
	},
	"machine": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if e.Machine == 0 || a.To.Machine == 0 || e.Machine == a.To.Machine {
			return false
		}
		e.Machine = a.To.Machine
		return true
	},
	"jobs": func(_ *turn, a read.Act, e *engine.Entry) bool {
		if e.Kind != engine.KindService && e.Kind != engine.KindPutOff && e.Kind != engine.KindBaseline || len(a.To.Jobs) == 0 {
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
		if a.To.Day == 0 {
			return false
		}
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
		if !takesWater(a, *e) {
			return false
		}
		e.Finding, e.Amount = engine.Water, a.To.Amount
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
