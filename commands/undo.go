package commands

import (
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

const (
	// undoWithin is how long "undo" means the last message without asking.
	undoWithin engine.Instant = 24 * 60 * 60
	// undoShown is how many lines are offered when it asks.
	undoShown = 5
	// deleteTakesBack is how long deleting a message also takes its lines back.
	deleteTakesBack engine.Instant = 15 * 60
)

// mayChange says whether the speaker may take back or correct a line: its
// writer, its doer, the foreman.
func (t *turn) mayChange(e engine.Entry) bool {
	return t.msg.By.Role == Foreman || t.who != 0 && (e.Writer == t.who || e.DoneBy() == t.who)
}

// standing leaves out what was taken back, replaced, or takes back itself.
func standing(entries []engine.Entry) []engine.Entry {
	return slices.DeleteFunc(slices.Clone(entries), func(e engine.Entry) bool { return !stands(&e) })
}

// stands says that an entry is a line of the book, not a mark on one, and is
// neither taken back nor replaced.
func stands(e *engine.Entry) bool {
	return e.State == engine.Standing && e.Kind != engine.KindTakeBack && e.Kind != engine.KindDeleted && e.Kind != engine.KindPerson
}

// lastMessages are the speaker's last messages in this place with lines that
// still stand, the newest first.
func (t *turn) lastMessages(since engine.Instant, n int) ([][]engine.Entry, error) {
	if t.who == 0 {
		return nil, nil
	}
	all, err := t.book.Latest(t.ctx, t.who, t.msg.Place, since, n)
	if err != nil {
		return nil, err
	}
	var out [][]engine.Entry
	if len(t.restored) > 0 {
		all = append([][]engine.Entry{t.restored}, all...) // an edited correction is of what it had corrected
	}
	for _, entries := range all {
		s := standing(t.asLeft(entries))
		if len(s) == 0 {
			continue
		}
		if err := t.withTexts(s); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// asLeft are entries as this turn leaves them: an edit has taken back what its
// message said before.
func (t *turn) asLeft(entries []engine.Entry) []engine.Entry {
	out := slices.Clone(entries)
	for i := range out {
		v := t.views[out[i].Machine]
		if v == nil {
			continue
		}
		if at := slices.IndexFunc(v.h, func(e engine.Entry) bool { return e.Seq == out[i].Seq }); at >= 0 {
			out[i].State, out[i].By = v.h[at].State, v.h[at].By
		}
	}
	return out
}

// undo takes back the last message of this person in this place as one unit.
func undo(t *turn, a read.Act) (*doubt, error) {
	a.Target = singled(a)
	if !a.Target.IsZero() {
		return t.undoTarget(a)
	}
	recent, err := t.lastMessages(t.now-undoWithin, undoShown)
	if err != nil {
		return nil, err
	}
	if len(recent) > 0 {
		return nil, t.takeBack(recent[0])
	}
	older, err := t.lastMessages(0, undoShown)
	if err != nil {
		return nil, err
	}
	if len(older) == 0 {
		t.line("Nothing of yours to take back here.")
		return nil, nil
	}
	return t.whichToTakeBack(older)
}

// singled is what an undo singles out, with what a question has brought.
func singled(a read.Act) read.Target {
	target := a.Target
	if a.Machine != 0 {
		target.Machine = a.Machine
	}
	if a.Day != 0 {
		target.Day = a.Day
	}
	if a.Hours.Known {
		target.Hours = a.Hours
	}
	if len(a.Jobs) > 0 {
		target.Job = a.Jobs[0]
	}
	return target
}

// whichToTakeBack asks, with the last lines numbered.
func (t *turn) whichToTakeBack(messages [][]engine.Entry) (*doubt, error) {
	d := &doubt{lines: []string{"Your last lines here are over a day old. Which one goes?"}, held: held{Ask: read.AskMeaning}}
	for _, entries := range messages {
		for _, e := range entries {
			if len(d.held.Options) == undoShown {
				break
			}
			if e.Kind == engine.KindFinding && slices.ContainsFunc(entries, func(o engine.Entry) bool { return o.Has(engine.Drain) && o.Machine == e.Machine }) {
				continue // goes with the drain
			}
			together, err := t.withFindings(e)
			if err != nil {
				return nil, err
			}
			d.held.Options = append(d.held.Options, option{Label: t.tagged(e), TakeBack: seqs(together)})
		}
	}
	d.held.Options = append(d.held.Options, option{Label: "none", Nothing: true})
	return d, nil
}

// tagged is a line with its machine before it.
func (t *turn) tagged(e engine.Entry) string {
	m, _ := t.shed.Machine(e.Machine)
	if m.Tag == "" {
		return t.bookLine(m, e)
	}
	return m.Tag + " " + t.bookLine(m, e)
}

// undoTarget takes back an older line, or somebody else's, that the message
// singles out.
func (t *turn) undoTarget(a read.Act) (*doubt, error) {
	lines, err := t.linesOf(a.Target)
	if err != nil {
		return nil, err
	}
	switch len(lines) {
	case 0:
		t.line("No such line in the book. Nothing taken back.")
		return nil, nil
	case 1:
		if a.Target.Job != "" && len(lines[0].Jobs) > 1 {
			return nil, t.withoutJob(lines[0], a.Target.Job)
		}
		together, err := t.withFindings(lines[0])
		if err != nil {
			return nil, err
		}
		return nil, t.takeOff(together)
	}
	d := &doubt{lines: []string{"Which one?"}, held: held{Ask: read.AskMeaning}}
	for i := len(lines) - 1; i >= 0 && len(d.held.Options) < undoShown; i-- {
		together, err := t.withFindings(lines[i])
		if err != nil {
			return nil, err
		}
		d.held.Options = append(d.held.Options, option{Label: t.tagged(lines[i]), TakeBack: seqs(together)})
	}
	d.held.Options = append(d.held.Options, option{Label: "none", Nothing: true})
	return d, nil
}

// linesOf finds the standing lines that a message singles out.
func (t *turn) linesOf(target read.Target) ([]engine.Entry, error) {
	if target.Machine == 0 {
		return nil, nil
	}
	v, err := t.view(target.Machine)
	if err != nil {
		return nil, err
	}
	by := engine.PersonID(0)
	if target.By != "" {
		by = t.personByName(target.By)
	}
	var out []engine.Entry
	for _, e := range standing(v.h) {
		switch {
		case target.Job != "" && (e.Kind != engine.KindService && e.Kind != engine.KindBaseline || !e.Has(target.Job)),
			target.Job == "" && target.Hours.Known && e.Hours != target.Hours,
			target.Day != 0 && e.Day != target.Day,
			by != 0 && e.DoneBy() != by && e.Writer != by:
			continue
		}
		out = append(out, e)
	}
	if target.Job != "" && target.Day == 0 && len(out) > 1 {
		out = out[len(out)-1:] // "the drain on RT1" without a day is the last one
	}
	return out, t.withTexts(out)
}

// withFindings adds what was seen at a drain to the drain: they go together.
func (t *turn) withFindings(e engine.Entry) ([]engine.Entry, error) {
	out := []engine.Entry{e}
	if !e.Has(engine.Drain) {
		return out, nil
	}
	v, err := t.view(e.Machine)
	if err != nil {
		return nil, err
	}
	for _, f := range standing(v.h) {
		if f.Seq != e.Seq && f.Kind == engine.KindFinding && f.Source.Channel == e.Source.Channel && f.Source.Message == e.Source.Message {
			out = append(out, f)
		}
	}
	return out, nil
}

// withoutJob replaces a service by the same one less a job.
func (t *turn) withoutJob(e engine.Entry, j engine.Job) error {
	if !t.mayChange(e) {
		t.refuseChange(e)
		return nil
	}
	less := e
	less.Jobs = slices.DeleteFunc(slices.Clone(e.Jobs), func(x engine.Job) bool { return x == j })
	if err := t.replace(e, less); err != nil {
		return err
	}
	m, _ := t.shed.Machine(e.Machine)
	t.line(m.Tag + ": " + jobName(j) + " of " + dayWords(e.Day, t.today) + " taken back. Stands: " + describe(m, less) + ".")
	return nil
}

// takeBack takes lines back and reads them back.
func (t *turn) takeBack(entries []engine.Entry) error {
	for _, e := range entries {
		if !t.mayChange(e) {
			t.refuseChange(e)
			return nil
		}
	}
	if err := t.dropLines(entries); err != nil {
		return err
	}
	t.line("Taken back: " + t.together(entries) + ".")
	again, err := t.standAgain(entries)
	if err == nil && len(again) > 0 {
		t.line("Stands again: " + t.together(again) + whenNotToday(t, again) + ".")
	}
	return err
}

// standAgain are the lines that lines taken back had replaced.
func (t *turn) standAgain(gone []engine.Entry) ([]engine.Entry, error) {
	var out []engine.Entry
	for _, e := range gone {
		if e.Replaces == 0 || slices.ContainsFunc(gone, func(o engine.Entry) bool { return o.Seq == e.Replaces }) {
			continue
		}
		old, err := t.book.Entry(t.ctx, e.Replaces)
		if err != nil {
			return nil, err
		}
		out = append(out, old)
	}
	return out, nil
}

// takeOff takes lines back with all that they had corrected, and reads them back:
// nothing of them stands again.
func (t *turn) takeOff(entries []engine.Entry) error {
	for _, e := range entries {
		if !t.mayChange(e) {
			t.refuseChange(e)
			return nil
		}
	}
	t.line("Taken back: " + t.together(entries) + ".")
	return t.dropWhole(entries)
}

// dropWhole takes lines back, then the lines that they had replaced, and so on. A
// line that this very message has corrected stands again: the message was edited
// or deleted, and says no such thing any more.
func (t *turn) dropWhole(entries []engine.Entry) error {
	for len(entries) > 0 {
		if err := t.dropLines(entries); err != nil {
			return err
		}
		var earlier, again []engine.Seq
		for _, e := range entries {
			switch {
			case e.Replaces == 0:
			case e.Source.Channel == t.msg.Channel && e.Source.Message == t.msg.ID:
				again = append(again, e.Replaces)
			default:
				earlier = append(earlier, e.Replaces)
			}
		}
		back, err := t.entriesOf(again)
		if err != nil {
			return err
		}
		t.restored = append(t.restored, back...)
		if entries, err = t.entriesOf(earlier); err != nil {
			return err
		}
	}
	return nil
}

// dropLines writes the entry that takes lines back.
func (t *turn) dropLines(entries []engine.Entry) error {
	byMachine := map[engine.MachineID][]engine.Seq{}
	var order []engine.MachineID
	for _, e := range entries {
		if e.Machine != 0 {
			if _, err := t.view(e.Machine); err != nil {
				return err
			}
		}
		if _, there := byMachine[e.Machine]; !there {
			order = append(order, e.Machine)
		}
		byMachine[e.Machine] = append(byMachine[e.Machine], e.Seq)
	}
	for _, id := range order {
		e := t.entry(engine.KindTakeBack)
		e.Machine, e.Targets = id, byMachine[id]
		place := t.add(e)
		if v := t.views[id]; v != nil {
			for _, seq := range byMachine[id] {
				v.drop(seq, unwritten(place))
			}
		}
	}
	return nil
}

// refuseChange says whose line it is.
func (t *turn) refuseChange(e engine.Entry) {
	who := firstName(t.shed.PersonName(e.Writer))
	t.line("That line is " + possessive(who) + ". " + who + " or the foreman can change it. Nothing changed.")
}

func possessive(name string) string {
	if name == "" {
		return "somebody else's"
	}
	return name + "'s"
}

// together names lines that go or change as one: "RT1 read 1223.4, bowl
// drained, a little water".
func (t *turn) together(entries []engine.Entry) string {
	var parts []string
	last := engine.MachineID(-1)
	for _, e := range entries {
		m, _ := t.shed.Machine(e.Machine)
		s := describe(m, e)
		if e.Machine != last && m.Tag != "" {
			s = m.Tag + " " + s
		}
		last = e.Machine
		parts = append(parts, s)
	}
	return list(parts)
}

func seqs(entries []engine.Entry) []engine.Seq {
	out := make([]engine.Seq, len(entries))
	for i, e := range entries {
		out[i] = e.Seq
	}
	return out
}

// replace writes an entry that corrects another: the old one stays in the book
// and counts for nothing. The work stays its doer's, the correction is mine.
func (t *turn) replace(old, now engine.Entry) error {
	texts, err := t.book.Texts(t.ctx, old.Seq)
	if err != nil {
		return err
	}
	e := now
	e.Seq, e.Written, e.WrittenDay, e.Zone, e.State, e.By, e.Deleted = 0, 0, 0, "", "", 0, false
	e.Said, e.Place, e.Reader = t.msg.At, t.msg.Place, read.Version
	e.Replaces = old.Seq
	e.Texts = texts[old.Seq]
	e.Raw = ""
	if e.Doer == 0 {
		e.Doer = e.Writer
	}
	t.add(e)
	return nil
}

// withTexts fills in the words of lines that are about to be shown.
func (t *turn) withTexts(entries []engine.Entry) error {
	texts, err := t.book.Texts(t.ctx, seqs(entries)...)
	if err != nil {
		return err
	}
	for i := range entries {
		entries[i].Texts = texts[entries[i].Seq]
	}
	return nil
}
