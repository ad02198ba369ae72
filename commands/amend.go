package commands

import (
	"fmt"
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

// toCorrect finds the lines that a correction is about; nil where there are
// none, or where it has to be asked which, and then the answer says so.
//
// A correction that names a machine changes lines of that machine only. The
// speaker's own last lines come first: "1223.4 not 1224.3" is about what was just
// written. What was written before, or by somebody else, is shown first.
func (t *turn) toCorrect(a read.Act) ([]engine.Entry, error) {
	recent, err := t.lastMessages(t.now-undoWithin, undoShown)
	if err != nil {
		return nil, err
	}
	if a.Target.Day == 0 && a.Target.By == "" {
		for i, message := range recent {
			if i > 0 && a.Target.IsZero() {
				break // nothing says that an earlier message is meant
			}
			message, err := t.family(message)
			if err != nil {
				return nil, err
			}
			if lines := t.aimedAt(a, message); len(lines) > 0 {
				return t.withSameFigure(a, lines)
			}
		}
	}
	if a.Target.Machine == 0 {
		if len(recent) > 0 {
			t.line("The last lines have no " + fieldWords[a.Field] + " to change. Nothing changed.")
			return nil, nil
		}
		t.line("Nothing of yours from today to change. Say which line: machine, job and day.")
		return nil, nil
	}
	lines, err := t.linesOf(a.Target)
	if err != nil {
		return nil, err
	}
	for i := len(lines) - 1; i >= 0; i-- {
		group, err := t.visit(lines[i])
		if err != nil {
			return nil, err
		}
		if found := t.ofVisit(a, lines[i], group); len(found) > 0 {
			return t.withSameFigure(a, found)
		}
	}
	t.line("No such line in the book. Nothing changed.")
	return nil, nil
}

// family is a message of corrections with the other lines of the message that it
// corrected, on the same machines: the whole of one visit, as it stands now.
func (t *turn) family(message []engine.Entry) ([]engine.Entry, error) {
	ids := machinesOf(message)
	for _, e := range slices.Clone(message) {
		if e.Replaces == 0 {
			continue
		}
		for e.Replaces != 0 {
			old, err := t.book.Entry(t.ctx, e.Replaces)
			if err != nil {
				return nil, err
			}
			e = old
		}
		trace, err := t.book.Message(t.ctx, e.Source.Channel, e.Source.Message)
		if err != nil {
			return nil, err
		}
		first, err := t.entriesOf(trace.Entries)
		if err != nil {
			return nil, err
		}
		now, err := t.asNow(first)
		if err != nil {
			return nil, err
		}
		for _, o := range now {
			if slices.Contains(ids, o.Machine) && !slices.ContainsFunc(message, func(m engine.Entry) bool { return m.Seq == o.Seq }) {
				message = append(message, o)
			}
		}
	}
	return message, nil
}

// asNow are lines as they stand now: what was corrected since by what corrects
// it, what was taken back left out.
func (t *turn) asNow(entries []engine.Entry) ([]engine.Entry, error) {
	var out []engine.Entry
	for _, e := range entries {
		for e.State == engine.Replaced && e.By != 0 {
			next, err := t.book.Entry(t.ctx, e.By)
			if err != nil {
				return nil, err
			}
			e = next
		}
		if stands(&e) {
			out = append(out, e)
		}
	}
	return out, nil
}

// aimedAt are the lines of one message that a correction changes.
func (t *turn) aimedAt(a read.Act, message []engine.Entry) []engine.Entry {
	return slices.DeleteFunc(slices.Clone(message), func(e engine.Entry) bool {
		return a.Target.Machine != 0 && e.Machine != a.Target.Machine || !fits(a, e)
	})
}

// fits says whether a line has what a correction changes, as it was by the
// words of the correction.
func fits(a read.Act, e engine.Entry) bool {
	switch a.Field {
	case "hours":
		if !e.Hours.Known { // work that was written without
			return e.Kind == engine.KindService && a.Target.Job != "" && a.Target.Day != 0 && e.Has(a.Target.Job)
		}
		return !a.Target.Hours.Known || e.Hours == a.Target.Hours
	case "machine":
		return e.Machine != 0 && e.Machine != a.To.Machine
	case "jobs":
		return len(e.Jobs) > 0 && (a.Target.Job == "" || e.Has(a.Target.Job))
	case "finding":
		return e.Kind == engine.KindFinding
	case "amount":
		return takesWater(a, e)
	case "how":
		return e.Kind == engine.KindService && (a.Target.Job == "" || e.Has(a.Target.Job))
	case "by":
		return e.Kind == engine.KindService || e.Kind == engine.KindReading || e.Kind == engine.KindFinding
	}
	return e.Machine != 0
}

// takesWater says whether an amount of water can be put right in a line: in one of
// water, and in a clean one where the correction says water outright, "actually
// there was a bit of water".
func takesWater(a read.Act, e engine.Entry) bool {
	return e.Kind == engine.KindFinding && (e.Finding == engine.Water || e.Finding == engine.Clean && a.To.Finding == engine.Water)
}

// visit is all that one message has written of one machine.
func (t *turn) visit(e engine.Entry) ([]engine.Entry, error) {
	v, err := t.view(e.Machine)
	if err != nil {
		return nil, err
	}
	var out []engine.Entry
	for _, o := range standing(v.h) {
		if o.Source.Channel == e.Source.Channel && o.Source.Message == e.Source.Message {
			out = append(out, o)
		}
	}
	return out, t.withTexts(out)
}

// ofVisit are the lines of a visit that a correction of one of them changes: a
// figure wherever it stands, what was seen at the work, everything where the day
// or the machine was wrong. A line from a log of its own stands alone.
func (t *turn) ofVisit(a read.Act, line engine.Entry, visit []engine.Entry) []engine.Entry {
	keep := func(e engine.Entry) bool { return e.Seq == line.Seq }
	switch a.Field {
	case "hours":
		keep = func(e engine.Entry) bool {
			return e.Seq == line.Seq || e.Hours.Known && e.Hours == line.Hours && e.Day == line.Day
		}
	case "finding", "amount", "by":
		keep = func(e engine.Entry) bool {
			return e.Seq == line.Seq || e.Kind == engine.KindFinding && e.Day == line.Day && line.Has(engine.Drain)
		}
	case "day", "machine":
		keep = func(e engine.Entry) bool { return e.Day == line.Day }
	}
	return slices.DeleteFunc(slices.Clone(visit), func(e engine.Entry) bool { return !keep(e) || !fits(a, e) })
}

// withSameFigure adds the other lines of the writer's that carry a figure which
// is corrected: one look at the meter may stand in lines of several messages,
// where one of them was corrected before.
func (t *turn) withSameFigure(a read.Act, lines []engine.Entry) ([]engine.Entry, error) {
	if a.Field != "hours" {
		return lines, nil
	}
	for _, l := range slices.Clone(lines) {
		v, err := t.view(l.Machine)
		if err != nil {
			return nil, err
		}
		for _, e := range standing(v.h) {
			same := e.Hours.Known && e.Hours == l.Hours && e.Day == l.Day && e.Writer == l.Writer
			if same && !slices.ContainsFunc(lines, func(o engine.Entry) bool { return o.Seq == e.Seq }) {
				lines = append(lines, e)
			}
		}
	}
	return lines, t.withTexts(lines)
}

// checkCorrection asks where it is not certain which line is meant, and judges
// a changed figure like a new one, without the lines that it corrects.
func (t *turn) checkCorrection(a read.Act, pairs []changed) (*doubt, error) {
	if d := t.whichMachine(a, pairs); d != nil {
		return d, nil
	}
	if d := t.whichJob(a, pairs); d != nil {
		return d, nil
	}
	if d, err := t.onlyThat(a, pairs); d != nil || err != nil {
		return d, err
	}
	d, err := t.judgeChanged(a, pairs)
	if d != nil || err != nil {
		return d, err
	}
	return t.showOlder(a, pairs), nil
}

// whichMachine asks which of several machines a correction is about that names
// none: "that was om1" after two of them were written.
func (t *turn) whichMachine(a read.Act, pairs []changed) *doubt {
	ids := machinesOf(before(pairs))
	if len(ids) < 2 || a.Target.Machine != 0 || a.Field == "day" || a.Field == "by" {
		return nil
	}
	line := "Which one was it?"
	switch a.Field {
	case "hours":
		line = a.To.Hours.String() + " for which?"
	case "machine":
		to, _ := t.shed.Machine(a.To.Machine)
		line = to.Tag + " and not which?"
	}
	d := &doubt{lines: []string{line}, held: held{Ask: read.AskMeaning, Acts: []read.Act{a}}}
	for _, id := range ids {
		m, _ := t.shed.Machine(id)
		one := a
		one.Target.Machine = id
		var mine []engine.Entry
		for _, c := range pairs {
			if c.old.Machine == id {
				mine = append(mine, c.old)
			}
		}
		d.held.Options = append(d.held.Options, option{Label: m.Tag, Acts: []read.Act{one}, Words: t.together(mine)})
	}
	d.held.Options = append(d.held.Options, option{Label: "none", Nothing: true})
	return d
}

// onlyThat asks where the same work stands in the same message for the machine
// that is named: "no, only OM1" takes the other one's back rather than write it
// twice.
func (t *turn) onlyThat(a read.Act, pairs []changed) (*doubt, error) {
	if a.Field != "machine" {
		return nil, nil
	}
	v, err := t.view(a.To.Machine)
	if err != nil {
		return nil, err
	}
	twice := false
	for _, c := range pairs {
		twice = twice || slices.ContainsFunc(standing(v.h), func(e engine.Entry) bool {
			return e.Kind == c.old.Kind && e.Source.Channel == c.old.Source.Channel && e.Source.Message == c.old.Source.Message &&
				e.Day == c.old.Day && slices.Equal(e.Jobs, c.old.Jobs) && e.Finding == c.old.Finding
		})
	}
	if !twice {
		return nil, nil
	}
	old := before(pairs)
	return &doubt{
		lines: []string{"Only " + v.m.Tag + "? Then this goes: " + t.together(old) + "."},
		held: held{Ask: read.AskMeaning, Acts: []read.Act{a}, Options: []option{
			{Label: "yes, take it back", TakeBack: seqs(old), Yes: true}, {Label: "leave it as it was", Nothing: true},
		}},
	}, nil
}

// whichJob asks which of several jobs was another one.
func (t *turn) whichJob(a read.Act, pairs []changed) *doubt {
	if a.Field != "jobs" || a.Target.Job != "" {
		return nil
	}
	var jobs []engine.Job
	for _, c := range pairs {
		for _, j := range c.old.Jobs {
			if !slices.Contains(jobs, j) && !slices.Contains(a.To.Jobs, j) {
				jobs = append(jobs, j)
			}
		}
	}
	if len(jobs) < 2 {
		return nil
	}
	d := &doubt{lines: []string{capital(jobNames(a.To.Jobs)) + ", and not which?"}, held: held{Ask: read.AskMeaning, Acts: []read.Act{a}}}
	for _, j := range jobs {
		one := a
		one.Target.Job = j
		d.held.Options = append(d.held.Options, option{Label: jobName(j), Acts: []read.Act{one}})
	}
	d.held.Options = append(d.held.Options, option{Label: "none", Nothing: true})
	return d
}

// judgeChanged judges every figure that a correction gives, moves to another
// machine or to another day, against a book without the old lines.
func (t *turn) judgeChanged(a read.Act, pairs []changed) (*doubt, error) {
	if a.Field != "hours" && a.Field != "machine" && a.Field != "day" {
		return nil, nil
	}
	seen := map[engine.MachineID][]engine.Entry{}
	for _, c := range pairs {
		f := c.now.Hours
		if c.now.Kind == engine.KindMeter {
			f = c.now.Old
		}
		if !f.Known || c.now.Machine == 0 {
			continue
		}
		v, err := t.view(c.now.Machine)
		if err != nil {
			return nil, err
		}
		h, there := seen[v.m.ID]
		if !there {
			h = without(v.h, pairs)
		}
		if v.m.Reads == engine.ReadsWhole && f.Value%10 != 0 {
			return t.doubtChanged(a, c, pairs, v.m.Tag+": its meter shows whole hours, not "+f.Value.String()+"."), nil
		}
		verdict := engine.JudgeReading(engine.Timeline(v.m, h), f.Value, c.now.Day, c.now.At, t.cal, nil)
		if !verdict.OK && !(c.now.Kind == engine.KindBaseline && c.now.Day == 0 && verdict.Why == engine.BelowLast) {
			why := fmt.Sprintf("%s at %s doesn't fit %s (%s): %s.", v.m.Tag, meterWords(v.m, f.Value), meterWords(v.m, verdict.Against.Shown), t.pointWords(verdict.Against), verdict.Why)
			d := t.doubtChanged(a, c, pairs, why)
			if verdict.Why == engine.OverUsual {
				sure := a
				sure.Key = confirmed
				d.held.Options = slices.Insert(d.held.Options, 0, option{Label: "it is right", Acts: []read.Act{sure}, Yes: true})
			}
			return d, nil
		}
		e := c.now
		e.Seq = unwritten(-engine.Seq(len(h) + 1))
		seen[v.m.ID] = append(h[:len(h):len(h)], e)
	}
	return nil, nil
}

// without is a machine's history as if some lines had never been written.
func without(h []engine.Entry, pairs []changed) []engine.Entry {
	return slices.DeleteFunc(slices.Clone(h), func(e engine.Entry) bool {
		return slices.ContainsFunc(pairs, func(c changed) bool { return c.old.Seq == e.Seq })
	})
}

// doubtChanged asks about a correction whose figure does not fit: all its lines
// change, or none.
func (t *turn) doubtChanged(a read.Act, c changed, pairs []changed, why string) *doubt {
	d := &doubt{lines: []string{why + " Nothing changed."}, held: held{Ask: read.AskMeaning, Acts: []read.Act{a}}}
	if a.Field == "hours" {
		d.lines[0] += " What does it show?"
		a.Wants, a.Target.Machine, a.Target.Hours = []read.Slot{read.AskHours}, c.old.Machine, c.old.Hours
		d.held.Ask, d.held.Acts = read.AskHours, []read.Act{a}
	} else {
		d.held.Options = append(d.held.Options, option{Label: "take all of it back", TakeBack: seqs(before(pairs)), Words: "undo"})
	}
	d.held.Options = append(d.held.Options, option{Label: "leave it as it was", Nothing: true})
	return d
}

// showOlder shows a line before it is changed that the speaker did not write in
// the last day and that the message does not single out by its day, its doer or
// its figure.
func (t *turn) showOlder(a read.Act, pairs []changed) *doubt {
	if a.Target.Day != 0 || a.Target.By != "" || a.Target.Hours.Known || a.Field == "by" || a.Field == "how" {
		return nil
	}
	for _, c := range pairs {
		if t.who != 0 && c.old.Writer == t.who && c.old.Said > t.now-undoWithin {
			return nil
		}
	}
	sure := a
	sure.Key = confirmed
	return &doubt{
		lines: []string{"Change " + t.tagged(pairs[0].old) + "?"},
		held: held{Ask: read.AskMeaning, Acts: []read.Act{sure}, Options: []option{
			{Label: "yes", Acts: []read.Act{sure}, Yes: true}, {Label: "no", Nothing: true},
		}},
	}
}
