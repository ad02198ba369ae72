package commands

import (
	"slices"
	"strings"

	"woodruff/engine"
)

// afterLast words how far a drain is from the one before it and what came then.
// The one before is the one that was drained before, whenever it was written;
// where one of the two has no figure and nobody read the meter that day, the
// days between are said and no hours are made up.
func (t *turn) afterLast(k *ack, s served) string {
	v := t.views[k.m.ID]
	sheet := v.sheet(t)
	this, ok := sheet.Of(s.entry)
	if !ok || !t.hasDrain(v, s.entry) {
		return ""
	}
	last, ok := sheet.DoneBefore(engine.Drain, s.entry)
	if !ok || last.Day == 0 {
		return t.firstDrain(v, this)
	}
	what := "the last one"
	if seen := lookAt(sheet, last); seen != "" {
		what += " (" + seen + ")"
	}
	line := t.apart(k, last, this)
	switch {
	case k.nothingCame():
		line = "Last one in the book" + strings.TrimPrefix(what, "the last one") + ": " + line + " before"
	case line == "0 days":
		line = "The same day as " + what
	default:
		line += " after " + what
	}
	return capital(sentence(line + t.betweenDrains(sheet, last, this)))
}

// apart is how far two drains are apart: in hours where both are known, else in
// days.
func (t *turn) apart(k *ack, last, this engine.Last) string {
	firm := func(l engine.Last) bool { return l.Hours.Known && (!l.Projected || l.ReadThatDay) }
	if gain := this.Hours.Value - last.Hours.Value; firm(last) && firm(this) && gain >= 0 {
		switch projected := this.Projected || last.Projected; {
		case !projected:
			return span(gain.Hours())
		case gain > 0:
			return "about " + span(gain.Hours())
		}
	}
	return count(int(k.day-last.Day), "day")
}

// firstDrain says that no drain before is in the book.
func (t *turn) firstDrain(v *view, this engine.Last) string {
	if latest, ok := v.sheet(t).LastDone(engine.Drain); ok && latest.Seq != this.Seq && latest.At > this.At {
		return "Earlier than any other drain in the book."
	}
	return "First drain in the book."
}

// hasDrain says that a line names the drain, not only a job that empties the
// bowl as well.
func (t *turn) hasDrain(v *view, seq engine.Seq) bool {
	for _, e := range v.h {
		if e.Seq == seq {
			return e.Has(engine.Drain) && engine.Drain.RestartedBy(e.How)
		}
	}
	return false
}

// betweenDrains says what was seen in the bowl or done to it between two
// drains, and whether a later one is in the book: "clean last time" is not the
// last word then.
func (t *turn) betweenDrains(sheet *engine.Sheet, last, this engine.Last) string {
	s := ""
	for _, l := range sheet.Looks() {
		switch {
		case l.At <= last.At || l.At >= this.At:
		case l.Finding != "":
			s = "; " + found(l.Finding, l.Amount) + " seen " + dayWords(l.Day, t.today)
		case l.Drained:
			s = "; bowl opened since, " + dayWords(l.Day, t.today)
		}
	}
	if latest, ok := sheet.LastDone(engine.Drain); ok && latest.At > this.At {
		s += "; a later one is in the book, " + dayWords(latest.Day, t.today)
	}
	return s
}

// nothingCame says that the bowl gave nothing: what was tried is no drain.
func (k *ack) nothingCame() bool {
	for _, f := range k.findings {
		if f.Finding == engine.NothingCame {
			return true
		}
	}
	return false
}

const (
	noHours     = "No hours given."
	manualRules = "Usual figures; the machine's manual rules."
)

// mostAck is how many lines an acknowledgement has at most, where nobody asked
// for a list: it is read beside the machine.
const mostAck = 6

// trim leaves out of an acknowledgement what can best be missed, until it is
// short enough. Cautions, what was written and what is to be done stay.
func (t *turn) trim(from int) {
	for _, drop := range []func(string) bool{
		func(l string) bool { return strings.HasPrefix(l, "Next due: ") },
		func(l string) bool { return l == manualRules },
		func(l string) bool { return l == noHours },
	} {
		for i := len(t.out.Lines) - 1; i >= from && len(t.out.Lines)-from > mostAck; i-- {
			if drop(t.out.Lines[i]) {
				t.out.Lines = append(t.out.Lines[:i:i], t.out.Lines[i+1:]...)
			}
		}
	}
}

// toldToday says that this person was told today whose figures the usual ones
// are: some line of theirs in this place has brought the same words.
func (t *turn) toldToday() bool {
	if t.manual {
		return true
	}
	t.manual = true
	return t.wroteToday(func(e engine.Entry) bool {
		if e.Kind != engine.KindService && e.Kind != engine.KindBaseline {
			return false
		}
		return slices.ContainsFunc(e.Jobs, func(j engine.Job) bool { return j != engine.Drain && j != engine.OtherWork })
	})
}

// wroteToday says whether this person has written a line of some sort in this
// place before, today: what was said with it need not be said again.
func (t *turn) wroteToday(is func(engine.Entry) bool) (wrote bool) {
	if t.who == 0 {
		return false
	}
	err := t.book.Lately(t.ctx, t.who, t.msg.Place, t.cal.Start(t.today), func(e engine.Entry) bool {
		wrote = is(e)
		return wrote
	})
	return wrote && err == nil // where that is not known it is said once more: no harm
}

// wroteOn is wroteToday of any line about a machine; one that this very message
// takes back was written all the same.
func (t *turn) wroteOn(v *view) bool {
	if t.who == 0 {
		return false
	}
	start := t.cal.Start(t.today)
	for i := len(v.h) - 1; i >= 0; i-- {
		if v.h[i].Said < start {
			continue
		}
		e := v.h[i]
		if e.By == 0 || e.By > unwritten(0) {
			e.State = engine.Standing
		}
		if e.Writer == t.who && e.Seq < unwritten(0) && e.Place == t.msg.Place && stands(&e) {
			return true
		}
	}
	return false
}
