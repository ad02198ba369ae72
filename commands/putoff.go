package commands

import (
	"strings"

	"woodruff/engine"
)

// postWidth is how wide a line of a list may be: a phone's screen, with room for
// the indent of a section.
const postWidth = 58

// listWords says in a list of the shop when an item is due, and what was said
// when it was put off, as much of it as a line has room for.
func (t *turn) listWords(i engine.Item) string {
	p := i.PutOff
	if p.Seq == 0 {
		return t.whenDue(i)
	}
	m, _ := t.shed.Machine(i.Machine)
	room := postWidth - len(m.Tag+" "+jobName(i.Job)+": .")
	short := t.shortDue(i)
	switch over := p.Until != 0 && p.Until <= t.today; {
	case over && notDue(i, t.today):
		off := "put off to " + t.onDayWords(p.Until)
		return firstThatFits(room, off+", "+short, off)
	case p.Until == t.today:
		return firstThatFits(room, short+", put off to today", short)
	case over:
		return firstThatFits(room, short+", was put off to "+t.onDayWords(p.Until), short+", was put off", short)
	case p.Until != 0:
		off := "put off to " + dayWords(p.Until, t.today)
		return firstThatFits(room, short+", "+off, off)
	}
	if why := t.putOffReason(p); why != "" {
		return short + ", " + shorten(why, max(room-len(short+", "), 12))
	}
	return firstThatFits(room, short+", still put off", "still put off")
}

// firstThatFits is the first of several ways to say a thing that is no longer
// than the room for it, else the last.
func firstThatFits(room int, ways ...string) string {
	for _, w := range ways {
		if len(w) <= room {
			return w
		}
	}
	return ways[len(ways)-1]
}

func notDue(i engine.Item, today engine.Day) bool {
	return i.Unknown != "" || i.DueDay == 0 || i.DueDay > today
}

// onDayWords is dayWords, with today as such.
func (t *turn) onDayWords(d engine.Day) string {
	if d == t.today {
		return "today"
	}
	return dayWords(d, t.today)
}

// putOffReason is why a job was put off, in the words it was said in.
func (t *turn) putOffReason(p engine.PutOff) string {
	texts, err := t.book.Texts(t.ctx, p.Seq)
	if err != nil {
		return "" // the line says that it is put off, with or without a reason
	}
	return texts[p.Seq].Reason
}

// whenDue is dueWords, with what makes a drain due where that is not its hours.
func (t *turn) whenDue(i engine.Item) string {
	if i.Job != engine.Drain {
		return t.dueWords(i)
	}
	switch why := i.Reason.Bowl.Why; why {
	case "", engine.StillShort:
		return t.dueWords(i)
	case engine.Stood:
		return t.stoodWords(i)
	default:
		return "before start, " + string(why)
	}
}

// shortDue says when an item is due in a few words: the figure that rules.
func (t *turn) shortDue(i engine.Item) string {
	switch {
	case i.Unknown == engine.NeverDone:
		return "none in the book"
	case i.Unknown == engine.NotInSight:
		return "not in sight"
	case i.Unknown != "" || i.DueDay == 0:
		return "not known when"
	case i.DueDay > t.today:
		return "due " + dayWords(i.DueDay, t.today)
	case i.DueDay == t.today && !(i.Left.Known && i.Left.Value < 0):
		return "due today"
	}
	past, _, _ := strings.Cut(t.pastWords(i, "x"), " (")
	return past
}
