package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// repeated answers a message that is in the book already: nothing is written,
// and what stands is said again.
func (t *turn) repeated(all []engine.Seq) (Answer, error) {
	entries, err := t.entriesOf(all)
	if err != nil {
		return Answer{}, err
	}
	if s := standing(entries); len(s) > 0 {
		return say("In the book already: " + t.together(s) + "."), nil
	}
	return say("Done already."), nil
}

func (t *turn) entriesOf(all []engine.Seq) ([]engine.Entry, error) {
	out := make([]engine.Entry, 0, len(all))
	for _, seq := range all {
		e, err := t.book.Entry(t.ctx, seq)
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}

// edited handles a message whose text was changed: its lines are taken back and
// what it says now is written in their place, as of the message's own time. The
// latest revision counts, whatever the order in which they arrive.
func (d *Desk) edited(ctx context.Context, m Edited) (Answer, error) {
	t, err := d.turn(ctx, m.Said)
	if err != nil {
		return Answer{}, err
	}
	t.rev = m.Revision
	trace, err := d.book.Message(ctx, m.Channel, m.ID)
	if err != nil || trace.Deleted || trace.Revision >= m.Revision {
		return Answer{}, err
	}
	entries, err := t.entriesOf(trace.Entries)
	if err != nil {
		return Answer{}, err
	}
	if len(entries) > 0 && entries[len(entries)-1].Kind != engine.KindTakeBack && latestText(entries) == m.Text {
		return Answer{}, nil // a preview or a pin: the words are the same
	}
	t.batch.Heard = &engine.HeardChange{Channel: m.Channel, Message: m.ID, Revision: m.Revision, At: t.now}
	if err := t.closeQuestionsOf(m.Channel, m.ID); err != nil {
		return Answer{}, err
	}
	old, err := t.asNow(entries)
	if err != nil {
		return Answer{}, err
	}
	for _, e := range old {
		if who := firstName(t.shed.PersonName(e.Writer)); e.Writer != t.who && m.By.Role != Foreman {
			t.line(who + " has corrected that line since. Nothing changed; say what is wrong.")
			return t.finish(nil)
		}
	}
	return t.finish(t.reread(old, engine.Instant(m.Revision)))
}

// latestText is the text that the standing entries of a message came from.
func latestText(entries []engine.Entry) string {
	text := ""
	for _, e := range entries {
		if e.Raw != "" {
			text = e.Raw
		}
	}
	return text
}

// reread takes the old lines back and does what the message says now. In doubt
// the old lines stand until the question is answered.
func (t *turn) reread(old []engine.Entry, edited engine.Instant) error {
	for _, e := range old {
		if !t.mayChange(e) {
			t.refuseChange(e)
			return nil
		}
	}
	if err := t.dropQuietly(old); err != nil { // judged as if they were not there
		return err
	}
	m, err := t.interpret(nil)
	if err != nil {
		return err
	}
	if d := m.doubted; d != nil {
		d.held.TakeBack = seqs(old)
		return t.ask(*d)
	}
	if len(m.Acts) == 1 && m.Acts[0].Kind == read.Unclear {
		d, err := unclear(t, m.Acts[0])
		if err != nil {
			return err
		}
		d.held.TakeBack = seqs(old)
		return t.ask(*d)
	}
	if len(old) > 0 && silent(m.Acts) {
		t.line("Taken back, as the message was changed: " + t.together(old) + ".")
	}
	if days := int(edited-t.msg.At) / int(engine.DayLength); days >= 1 && !silent(m.Acts) {
		t.line("Changed " + count(days, "day") + " later; taken as of " + dayWords(t.today, t.today) + ".")
	}
	return t.do(m.Acts, nil)
}

// dropQuietly is dropWhole where there is anything to drop.
func (t *turn) dropQuietly(old []engine.Entry) error {
	if len(old) == 0 {
		return nil
	}
	return t.dropWhole(old)
}

// closeQuestionsOf drops the open questions about a message: it says something
// else now, or nothing.
func (t *turn) closeQuestionsOf(channel, message string) error {
	open, err := t.book.Questions(t.ctx, engine.Open)
	if err != nil {
		return err
	}
	for _, q := range open {
		if q.Source.Channel == channel && q.Source.Message == message {
			t.close(q, engine.Dropped)
		}
	}
	return nil
}

// deleted handles a deletion: a single one soon after takes the lines back;
// later, or in bulk, they stand and are marked.
func (d *Desk) deleted(ctx context.Context, m Deleted) (Answer, error) {
	trace, err := d.book.Message(ctx, m.Channel, m.ID)
	if err != nil || trace.Deleted {
		return Answer{}, err
	}
	t, err := d.turn(ctx, Said{Channel: m.Channel, ID: m.ID, Place: m.Place, At: m.At})
	if err != nil {
		return Answer{}, err
	}
	entries, err := t.entriesOf(trace.Entries)
	if err != nil {
		return Answer{}, err
	}
	old, err := t.asNow(entries)
	if err != nil {
		return Answer{}, err
	}
	corrected := false // by somebody else since: that is not the sender's to take back
	for _, e := range old {
		corrected = corrected || e.Writer != writerOf(entries, old)
	}
	t.rev = trace.Revision + 1
	t.batch.Heard = &engine.HeardChange{Channel: m.Channel, Message: m.ID, Revision: trace.Revision, Deleted: true, At: m.At}
	if err := t.closeQuestionsOf(m.Channel, m.ID); err != nil {
		return Answer{}, err
	}
	if len(old) == 0 {
		return t.finish(nil)
	}
	t.who = writerOf(entries, old)
	t.msg.By.Name = t.shed.PersonName(t.who)
	if !m.Bulk && !corrected && m.At-old[0].Said <= deleteTakesBack {
		t.line("Taken back, as the message was deleted: " + t.together(old) + ".")
		return t.finish(t.dropWhole(old))
	}
	return t.finish(t.markDeleted(old))
}

// writerOf is who wrote a message: its first line's writer that is no correction.
func writerOf(entries, now []engine.Entry) engine.PersonID {
	for _, e := range entries {
		if e.Kind != engine.KindPerson && e.Writer != 0 {
			return e.Writer
		}
	}
	return now[0].Writer
}

// markDeleted marks lines that stand although their message is gone, and offers
// to take them back.
func (t *turn) markDeleted(old []engine.Entry) error {
	for _, id := range machinesOf(old) {
		if _, err := t.view(id); err != nil {
			return err
		}
		e := t.entry(engine.KindDeleted)
		e.Machine = id
		for _, o := range old {
			if o.Machine == id {
				e.Targets = append(e.Targets, o.Seq)
			}
		}
		t.add(e)
	}
	t.line("The message was deleted; its lines stand: " + t.together(old) + ".")
	t.out.Choices = []Choice{{Label: "take back", Button: button("undo", t.msg.Channel, t.msg.ID)}}
	return nil
}

// pressed does what a choice of an earlier answer says.
func (d *Desk) pressed(ctx context.Context, p Pressed) (Answer, error) {
	m := Said{Channel: p.Channel, ID: p.ID, Place: p.Place, By: p.By, At: p.At}
	t, err := d.turn(ctx, m)
	if err != nil {
		return Answer{}, err
	}
	trace, err := d.book.Message(ctx, p.Channel, p.ID)
	if err != nil {
		return Answer{}, err
	}
	if len(trace.Entries) > 0 {
		return t.repeated(trace.Entries)
	}
	kind, rest, _ := strings.Cut(p.Button, "/")
	press, ok := presses[kind]
	if !ok {
		return Answer{}, fmt.Errorf("commands: no button %q", p.Button)
	}
	return t.finish(press(t, rest))
}

// presses are the buttons by their first word.
var presses = map[string]func(t *turn, rest string) error{
	"q":    pressAnswer,
	"undo": pressUndo,
	"did":  pressDid,
}

// pressAnswer picks an option of an open question: message/number.
func pressAnswer(t *turn, rest string) error {
	at := strings.LastIndex(rest, "/")
	if at < 0 {
		return fmt.Errorf("commands: no answer in button %q", rest)
	}
	open, err := t.book.Questions(t.ctx, engine.Open)
	if err != nil {
		return err
	}
	for _, q := range open {
		if q.Source.Message != rest[:at] || q.Place != t.msg.Place {
			continue
		}
		if !strings.EqualFold(q.Who, t.msg.By.Name) {
			t.line("That question is " + possessive(firstName(q.Who)) + " to answer.")
			return nil
		}
		if q.Expires <= t.now {
			t.lapse(q)
			t.line("That question is over half an hour old. Say it again to write it.")
			return nil
		}
		h, err := unhold(q)
		if err != nil {
			return err
		}
		if i := picked(rest[at+1:], h.Options); i >= 0 {
			return t.pick(q, h, h.Options[i])
		}
	}
	t.line("Answered already.")
	return nil
}

// pressUndo takes a message's lines back: channel/message.
func pressUndo(t *turn, rest string) error {
	channel, message, _ := strings.Cut(rest, "/")
	trace, err := t.book.Message(t.ctx, channel, message)
	if err != nil {
		return err
	}
	entries, err := t.entriesOf(trace.Entries)
	if err != nil {
		return err
	}
	if s := standing(entries); len(s) > 0 {
		return t.takeBack(s)
	}
	t.line("Taken back already.")
	return nil
}

// pressDid says that somebody did an item of a post: tag/job/day. What was seen
// at a drain takes a second tap; without it, it is not known. Pressed on a later
// day, it asks which day the work was done.
func pressDid(t *turn, rest string) error {
	parts := strings.Split(rest, "/")
	if len(parts) != 3 {
		return fmt.Errorf("commands: no item in button %q", rest)
	}
	m, ok := ByTag(t.shed, parts[0])
	if !ok {
		t.line(parts[0] + " is no longer on the list.")
		return nil
	}
	job := engine.Job(parts[1])
	if _, ok := job.Info(); !ok {
		return fmt.Errorf("commands: no job in button %q", rest)
	}
	day, err := engine.ParseDay(parts[2])
	if err != nil {
		return err
	}
	v, err := t.view(m.ID)
	if err != nil {
		return err
	}
	if last, ok := v.sheet(t).LastDone(job); ok && last.Day >= day {
		who := firstName(t.shed.PersonName(last.By))
		t.line(m.Tag + " " + jobName(job) + ": " + who + " wrote it already, " + dayWords(last.Day, t.today) + ".")
		return nil
	}
	t.msg.Text = "did it: " + m.Tag + " " + jobName(job)
	act := read.Act{Kind: read.Service, Machine: m.ID, Jobs: []engine.Job{job}}
	if day < t.today {
		return t.ask(t.whichDay(m, act, day))
	}
	return t.writeDid(act)
}

// writeDid writes the work of an item, and at a drain asks what came out: without
// the second tap that is not known.
func (t *turn) writeDid(act read.Act) error {
	if err := t.do([]read.Act{act}, &option{Trust: true}); err != nil || len(t.batch.Entries) == 0 {
		return err
	}
	if act.Jobs[0] != engine.Drain {
		return nil
	}
	m, _ := t.shed.Machine(act.Machine)
	return t.askAlso(secondTap(m, act))
}

// whichDay asks when the work of an older post was done.
func (t *turn) whichDay(m engine.Machine, act read.Act, posted engine.Day) doubt {
	d := doubt{lines: []string{m.Tag + " " + jobName(act.Jobs[0]) + ": done which day?"}}
	act.Wants = []read.Slot{read.AskDay}
	d.held = held{Ask: read.AskDay, Acts: []read.Act{act}}
	for _, day := range slices.Compact([]engine.Day{t.today, t.today - 1, posted}) {
		one := act
		one.Wants = nil
		if day != t.today {
			one.Day = day
		}
		d.held.Options = append(d.held.Options, option{Label: dayWords(day, t.today), Acts: []read.Act{one}, DidIt: true})
	}
	return d
}

// secondTap asks what came out at a drain that is written already.
func secondTap(m engine.Machine, act read.Act) doubt {
	d := doubt{
		lines: []string{m.Tag + ": what came out?"},
		held:  held{Ask: read.AskMeaning},
	}
	for _, seen := range []struct {
		label string
		f     engine.Finding
	}{{"clean", engine.Clean}, {"water", engine.Water}, {"couldn't see", engine.Unseen}, {"nothing came", engine.NothingCame}} {
		f := read.Act{Kind: read.Finding, Machine: m.ID, Finding: seen.f, Day: act.Day}
		d.held.Options = append(d.held.Options, option{Label: seen.label, Acts: []read.Act{f}, Trust: true})
	}
	return d
}
