package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// ack is what the answer says of one machine, day and doer of a message.
type ack struct {
	m        engine.Machine
	day      engine.Day
	by       string
	figure   engine.Maybe[engine.Tenths]
	known    engine.Knowledge
	since    string // what a reading has gained
	parts    []string
	jobs     []engine.Job // whose interval starts anew
	other    bool         // work in its own words
	dry      bool         // what may leak stayed dry
	looked   bool         // it was told with work on the fuel side
	services []served
	findings []engine.Entry
	symptoms []engine.Symptom
}

// served is one service with the machine's lines before it.
type served struct {
	entry  engine.Seq
	before []engine.Entry
}

// ack finds or starts what is said of an act's machine, day and doer.
func (t *turn) ack(a read.Act) *ack {
	day := a.Day
	if day == 0 {
		day = t.today
	}
	for _, k := range t.acks {
		if k.m.ID == a.Machine && k.day == day && (k.by == a.By || a.Kind != read.Service) {
			return k
		}
	}
	k := &ack{m: t.views[a.Machine].m, day: day, by: a.By}
	t.acks = append(t.acks, k)
	return k
}

// gained words what a reading has gained since the one before.
func (k *ack) gained(before engine.Meter, figure engine.Tenths) {
	if n := len(before.Points); n > 0 {
		last := before.Points[n-1]
		if gain := figure - last.Shown; gain > 0 && last.Day <= k.day {
			k.since = span(gain.Hours()) + " since " + dayWords(last.Day, k.day)
			if last.Day == k.day {
				k.since = span(gain.Hours()) + " more than earlier that day"
			}
		}
	}
}

// acknowledge says what was written, machine by machine, what follows from it
// and what is due next.
func (t *turn) acknowledge() {
	ids, before := t.acknowledged(), len(t.out.Lines)
	t.cautionFirst()
	for i := 0; i < len(t.acks); i++ {
		if tags := t.alike(i); len(tags) > 1 {
			k := t.acks[i]
			t.line(sentence("Written: " + strings.Join(tags, " ") + k.when(t) + ": " + list(k.parts)))
			i += len(tags) - 1
		} else {
			t.line(t.acks[i].head(t))
		}
	}
	var notes []string
	for _, k := range t.acks {
		for _, n := range t.follow(k, len(ids) == 1) {
			if len(ids) > 1 {
				n = ofMachine(k.m.Tag, n)
			}
			notes = append(notes, n)
		}
	}
	t.line(slices.Compact(notes)...)
	t.leakLines()
	t.stillOut(ids)
	if t.written == 0 && slices.ContainsFunc(t.acks, func(k *ack) bool { return k.withoutHours(t) }) {
		t.line(noHours)
	}
	if len(t.acks) == 1 && len(t.acks[0].jobs) > 0 {
		t.nextJobs(ids[0], t.acks[0].jobs)
	}
	if t.written == 0 && !t.onlyAboutFault() {
		t.nextDue(ids)
	}
	t.offerUndo()
	t.trim(before)
	t.findFault(ids)
	t.askBeside()
}

// acknowledged are the machines of the message.
func (t *turn) acknowledged() (ids []engine.MachineID) {
	for _, k := range t.acks {
		if !slices.Contains(ids, k.m.ID) {
			ids = append(ids, k.m.ID)
		}
	}
	return ids
}

// leakLines say what a fuel leak has taken out of use.
func (t *turn) leakLines() {
	for _, id := range t.leaks {
		t.line(t.views[id].m.Tag+": let it cool; out of use from now ("+firstName(t.msg.By.Name)+", "+t.cal.ClockAt(t.msg.At).String()+").",
			"To lift it: say what was fixed and that it stayed dry.")
	}
}

// withoutHours says that work of today was written without a figure, and that
// nobody has read the meter that day.
func (k *ack) withoutHours(t *turn) bool {
	if k.figure.Known || len(k.jobs) == 0 || k.m.Reads == engine.NoMeter || k.day != t.today {
		return false
	}
	p, ok := t.views[k.m.ID].timeline().Last()
	return !ok || p.Day != k.day
}

// offerUndo gives the way to take it back.
func (t *turn) offerUndo() {
	if len(t.batch.Entries) > 0 && len(t.out.Choices) == 0 && len(t.acks) > 0 {
		t.out.Choices = []Choice{{Label: "take back", Button: button("undo", t.msg.Channel, t.msg.ID)}}
	}
}

// alike are the tags from place i on of which the same is to be said, without
// figures.
func (t *turn) alike(i int) []string {
	first := t.acks[i]
	var tags []string
	for _, k := range t.acks[i:] {
		if k.figure.Known || k.day != first.day || k.by != first.by || !slices.Equal(k.parts, first.parts) {
			break
		}
		tags = append(tags, k.m.Tag)
	}
	return tags
}

// when words the day and the doer where they are not today and the writer.
func (k *ack) when(t *turn) string {
	s := ""
	if k.day != t.today {
		s += ", " + dayWords(k.day, t.today)
	}
	switch {
	case k.by != "" && k.known == engine.Told:
		s += ", as told by " + capital(k.by)
	case k.by != "":
		s += ", by " + capital(k.by)
	default:
		s += knownWords(k.known)
	}
	return s
}

// head is the machine's first line.
func (k *ack) head(t *turn) string {
	s := k.m.Tag
	if k.figure.Known {
		s += " " + meterWords(k.m, k.figure.Value)
	}
	s += k.when(t)
	switch {
	case len(k.parts) > 0:
		return sentence(s + ": " + list(k.parts))
	case k.since != "":
		return sentence(s + ": " + k.since)
	}
	return sentence(s + ": written")
}

// follow is what comes of the work and what was seen; with all, how long the
// one before was ago.
func (t *turn) follow(k *ack, all bool) []string {
	sheet := t.views[k.m.ID].sheet(t)
	var notes []string
	for _, s := range k.services {
		if line := t.afterLast(k, s); line != "" && all {
			notes = append(notes, line)
		}
	}
	brought := sheet.Brought(t.fresh(k.m.ID), t.now)
	for _, f := range brought {
		switch {
		case f.Kind == engine.TakeOut && k.day == t.today:
			continue // said first
		case t.written > 0 && f.Kind == engine.LookForLeaks:
			continue // said when the work was written; this answers what was asked beside it
		case f.Kind == engine.AskRing && all:
			t.askRing = k.m.ID // asked, with its answers, below the rest
			continue
		}
		lines := followLines(f)
		if f.Kind == engine.DrainFirst || len(brought) > 1 {
			lines = lines[:1] // what was just said is why, or there is more to do than room
		}
		notes = append(notes, lines...)
	}
	if k.m.SelfStarts == engine.Yes && k.bringsHands() {
		notes = append([]string{selfStartCaution}, notes...)
	}
	return notes
}

func isClean(e engine.Entry) bool { return e.Finding == engine.Clean }

// fresh are the entries of this batch about a machine, as its view numbers them.
func (t *turn) fresh(id engine.MachineID) []engine.Seq {
	var out []engine.Seq
	for i, e := range t.batch.Entries {
		if e.Machine == id {
			out = append(out, unwritten(-engine.Seq(i+1)))
		}
	}
	return out
}

// nextJobs says when jobs that were just done come round again.
func (t *turn) nextJobs(id engine.MachineID, jobs []engine.Job) {
	items := t.items(id)
	said, generic := map[string]bool{}, false
	for _, item := range items {
		if !slices.Contains(jobs, item.Job) || item.Unknown != "" || item.Job == engine.Drain {
			continue
		}
		line := capital(jobName(item.Job)) + " next " + t.dueWords(item) + " (" + often(item) + ")."
		generic = generic || item.Line.Source != engine.OwnShop
		if key := strings.TrimPrefix(line, capital(jobName(item.Job))); said[key] {
			continue
		} else {
			said[key] = true
		}
		t.line(line)
		if len(said) == 3 {
			break
		}
	}
	if generic && !t.toldToday() {
		t.line(manualRules)
	}
}

// nextDue says what comes next of the machines of a message: of one machine its
// first item, of several the first of all. A date more than a year off is no
// news; work that a shop asks for first and that the book has no date for is
// named, so that what comes next is not taken for all there is.
func (t *turn) nextDue(ids []engine.MachineID) {
	var first *engine.Item
	var missing []engine.Job
	for _, id := range ids {
		dated := false
		for _, item := range t.items(id) {
			if item.Unknown == engine.NeverDone && weight(item.Job) >= 0 && len(ids) == 1 {
				missing = append(missing, item.Job)
			}
			if dated || item.Unknown != "" || item.DueDay == 0 || item.Job == engine.Drain {
				continue
			}
			dated = true
			if item.DueDay <= t.today+nextWithin && (first == nil || item.DueDay < first.DueDay) {
				one := item
				first = &one
			}
		}
	}
	if first == nil || t.saidNext(first.Job) {
		return
	}
	m, _ := t.shed.Machine(first.Machine)
	what := jobName(first.Job)
	if len(ids) > 1 {
		what = m.Tag + " " + what
	}
	line := "Next due: " + what + " " + t.dueWords(*first)
	if first.Reason.Severe != "" && first.Reason.Rule != engine.ByMonths && first.Reason.Every != first.Line.Interval.Every {
		line += " (" + intervalWords(engine.Interval{Every: first.Reason.Every}) + " for severe use: " + first.Reason.Severe + ")"
	}
	if len(missing) > 0 && !t.wroteOn(t.views[m.ID]) {
		slices.SortStableFunc(missing, func(a, b engine.Job) int { return weight(b) - weight(a) })
		line += "; " + jobName(missing[0]) + " not in the book"
	}
	t.line(line + ".")
}

// nextWithin is how far off what is named as next may be, in days.
const nextWithin engine.Day = 366

// saidNext says that an answer has a job's next time already.
func (t *turn) saidNext(j engine.Job) bool {
	return slices.ContainsFunc(t.out.Lines, func(l string) bool { return strings.HasPrefix(l, capital(jobName(j))+" next ") })
}
