package commands

import (
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// topic is one thing that a person can ask about.
type topic struct {
	// one answers for a machine, all for the shop. all is nil where the question
	// makes no sense without a machine.
	one func(t *turn, v *view, a read.Act) error
	all func(t *turn, a read.Act) error
}

var topics map[read.Topic]topic

func init() {
	topics = map[read.Topic]topic{
		read.AboutSince:     {one: since, all: sinceAll},
		read.AboutDue:       {one: dueOn, all: dueAll},
		read.AboutNext:      {one: nextOn, all: dueAll},
		read.AboutHours:     {one: hoursOf, all: hoursAll},
		read.AboutHistory:   {one: history, all: historyAll},
		read.AboutStatus:    {one: status, all: statusAll},
		read.AboutWho:       {one: who},
		read.AboutWater:     {one: waterIn, all: waterAll},
		read.AboutParts:     {one: notKept("Parts"), all: notKeptAll("Parts")},
		read.AboutFuel:      {one: notKept("Fuel"), all: notKeptAll("Fuel")},
		read.AboutStorage:   {one: notKept("Laying up and waking up"), all: notKeptAll("Laying up and waking up")},
		read.AboutMachines:  {all: machinesAll},
		read.AboutUnwritten: {all: unwrittenAll},
		read.AboutReadings:  {all: readingsAll},
		read.AboutEarly:     {all: earlyAll},
	}
}

// question answers a question. A machine out of use is named as such before
// anything else that is said of it.
func question(t *turn, a read.Act) (*doubt, error) {
	topic, ok := topics[a.About]
	if !ok {
		return nil, fmt.Errorf("commands: no answer for a question about %q", a.About)
	}
	if a.Machine == 0 {
		all := answerAll(topic, t.limitsOf(a), a)
		if all == nil {
			return &doubt{lines: []string{"On which machine?"}, held: held{Ask: read.AskMachine, Acts: wanting([]read.Act{a}, read.AskMachine)}}, nil
		}
		return nil, all(t, a)
	}
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	if topic.one == nil {
		return nil, topic.all(t, a)
	}
	if asksUse(a) {
		return nil, whetherUsed(t, v, a)
	}
	if err := t.outFirst(v); err != nil {
		return nil, err
	}
	return nil, answerOf(topic, t.limitsOf(a), a)(t, v, a)
}

// asksUse says whether a question about a machine is only whether it is in use.
func asksUse(a read.Act) bool { return a.About == read.AboutStatus && a.Whether != "" }

// answerOf is what answers a question about a machine, given what it is limited to
// and whether yes or no answers it.
func answerOf(topic topic, l limits, a read.Act) func(*turn, *view, read.Act) error {
	switch a.About {
	case read.AboutSince, read.AboutWho:
		switch {
		case a.Whether == read.WhetherWater:
			return waterIn
		case a.Whether == read.WhetherDone:
			return whetherDone
		case !l.isZero():
			return limitedDone
		}
	case read.AboutHistory:
		if !l.isZero() {
			return limitedHistory
		}
	}
	return topic.one
}

// answerAll is answerOf for a question about the whole shop, nil where it needs a
// machine.
func answerAll(topic topic, l limits, a read.Act) func(*turn, read.Act) error {
	switch a.About {
	case read.AboutSince, read.AboutWho, read.AboutHistory:
		switch {
		case a.Whether == read.WhetherWater:
			return waterAll
		case !l.isZero():
			return limitedAll
		}
	}
	return topic.all
}

// outFirst says that a machine is out of use.
func (t *turn) outFirst(v *view) error { return t.outLine(v, "") }

// outLine is outFirst behind other words.
func (t *turn) outLine(v *view, head string) error {
	out := engine.OutOfUse(v.h) // not every answer needs the whole sheet
	if out == nil {
		return nil
	}
	one := []engine.Entry{*out}
	if err := t.withTexts(one); err != nil {
		return err
	}
	who := firstName(t.shed.PersonName(out.DoneBy()))
	t.line(head + v.m.Tag + " is out of use since " + dayWords(out.Day, t.today) + " (" + who + ")" + reasonAfter(one[0].Reason) + ".")
	return nil
}

func reasonAfter(reason string) string {
	if reason == "" {
		return ""
	}
	return ": " + reason
}

// notKept says that the book does not hold a thing, and invents nothing.
func notKept(what string) func(*turn, *view, read.Act) error {
	return func(t *turn, v *view, _ read.Act) error {
		t.line(what + " for " + v.m.Tag + ": not kept yet.")
		return nil
	}
}

func notKeptAll(what string) func(*turn, read.Act) error {
	return func(t *turn, _ read.Act) error {
		t.line(what + ": not kept yet.")
		return nil
	}
}

// since answers how long since a job was done.
func since(t *turn, v *view, a read.Act) error {
	if a.Job == "" {
		return history(t, v, a)
	}
	sheet := v.sheet(t)
	last, ok := sheet.LastDone(a.Job)
	if !ok {
		t.line(fmt.Sprintf("%s: no %s in the book.", v.m.Tag, jobName(a.Job)))
		t.line("That doesn't show it was never done.")
		return nil
	}
	head, estimate := t.sinceWords(v, last, jobName(a.Job))
	t.line(sentence(v.m.Tag + ": " + head))
	t.line(sentence(t.lastWords(v, last, a.Job) + t.readingAge(v, last)))
	if estimate != "" {
		t.line(sentence(estimate))
	}
	return nil
}

// sinceWords is how long since a job was done, by what was read: the hours from
// then to the last reading, which a machine that stands keeps. What the forecast
// makes of the time since is an estimate, and is called one.
func (t *turn) sinceWords(v *view, last engine.Last, what string) (head string, estimate string) {
	s := t.sinceBy(v, last)
	in := " since the last " + what
	switch {
	case s.read != "" && s.now == "":
		return s.read + in + " in the book", ""
	case s.read != "":
		head = s.read + in + " by the last reading, about " + s.now + " now by estimate"
	case s.now != "":
		head = "not read" + in + ", about " + s.now + " now by estimate"
	case s.known:
		return "not read" + in + " in the book", ""
	case last.Day != 0:
		return count(int(t.today-last.Day), "day") + in + " in the book", ""
	default:
		return "not known how long" + in + " in the book", ""
	}
	return head, "Estimate: " + s.between + " now, by " + footing(v.sheet(t).Forecast.Basis, t.today)
}

// sinceFigures are the hours since a job was done: by the last reading, "" where
// the meter was not read since, and by the forecast, "" where that says the same.
type sinceFigures struct {
	read, now, between string
	known              bool // the hours then and a reading are in the book
}

func (t *turn) sinceBy(v *view, last engine.Last) (s sinceFigures) {
	points := v.sheet(t).Meter.Points
	if len(points) == 0 || !last.Hours.Known {
		return s
	}
	p := points[len(points)-1]
	then, gain := last.Hours.Value.Hours(), (p.Hours - last.Hours.Value).Hours()
	if gain < 0 {
		return s // the figure written with it is past all readings
	}
	s.known = true
	if p.At > last.At && !(p.Day == last.Day && gain == 0) {
		s.read = span(gain)
		if last.Projected && !last.ReadThatDay {
			s.read = "about " + s.read
		}
	}
	band, ok := v.sheet(t).Forecast.HoursAt(t.now)
	if ok && span(band.Mid-then) != span(gain) {
		s.now, s.between = span(band.Mid-then), span(band.Low-then)+" to "+span(band.High-then)
	}
	return s
}

// lastWords says when, at what figure, what was seen, who.
func (t *turn) lastWords(v *view, last engine.Last, job engine.Job) string {
	parts := []string{}
	when := ""
	if last.Day != 0 {
		when = dayWords(last.Day, t.today)
	}
	if last.Shown.Known {
		when = strings.TrimSpace(when + " at " + meterWords(v.m, last.Shown.Value) + " h")
	}
	if when != "" {
		parts = append(parts, when)
	}
	if job == engine.Drain {
		if seen := lookAt(v.sheet(t), last); seen != "" {
			parts = append(parts, seen)
		}
	}
	if last.Kind == engine.KindBaseline {
		parts = append(parts, strings.TrimPrefix(map[engine.Knowledge]string{
			engine.Sticker: "from the sticker, not our work", engine.Counted: "counted from there", engine.Told: "as told, not our work", engine.Estimated: "from memory",
		}[last.Known], ", "))
	} else if who := firstName(t.shed.PersonName(last.By)); who != "" {
		parts = append(parts, who)
	}
	return capital(list(slices.DeleteFunc(parts, func(s string) bool { return s == "" })))
}

// readingAge says how old the reading is that a projection leans on.
func (t *turn) readingAge(v *view, last engine.Last) string {
	points := v.sheet(t).Meter.Points
	if len(points) == 0 {
		return ". No reading in the book"
	}
	p := points[len(points)-1]
	if p.Day == last.Day && last.Shown.Known && p.Shown == last.Shown.Value {
		return ". Last reading too, " + oldness(p.Day, t.today)
	}
	return ". Last reading " + meterWords(v.m, p.Shown) + ", " + oldness(p.Day, t.today)
}

// lookAt says what was seen in the bowl at a drain.
func lookAt(sheet *engine.Sheet, last engine.Last) string {
	for _, l := range sheet.Looks() {
		if l.Finding != "" && (l.Seq == last.Seq || l.Drained && l.Day == last.Day && l.At == last.At) {
			return found(l.Finding, l.Amount)
		}
	}
	return ""
}

// sinceAll answers how long since a job was done on each machine, the longest
// first.
func sinceAll(t *turn, a read.Act) error {
	if a.Job == "" {
		return historyAll(t, a)
	}
	type line struct {
		day  engine.Day
		text string
	}
	var lines []line
	var never []string
	err := t.eachMachine(func(v *view) error {
		last, ok := v.sheet(t).LastDone(a.Job)
		if !ok || last.Day == 0 {
			never = append(never, v.m.Tag)
			return nil
		}
		lines = append(lines, line{last.Day, v.m.Tag + ": " + t.sinceAllWords(v, last, a.Job)})
		return nil
	})
	if err != nil {
		return err
	}
	slices.SortStableFunc(lines, func(a, b line) int { return int(a.day - b.day) })
	var texts []string
	for _, l := range lines {
		texts = append(texts, l.text)
	}
	t.line("Since the last " + jobName(a.Job) + ", the longest first, hours as last read:")
	t.cutLines(texts, 2*mostLines)
	if len(never) > 0 {
		t.line("None in the book: " + tagList(never, 10) + ".")
	}
	return nil
}

// sinceAllWords is one machine of the list: the days that it is sorted by, the
// hours as read and as estimated, what was seen at a drain.
func (t *turn) sinceAllWords(v *view, last engine.Last, job engine.Job) string {
	s := count(int(t.today-last.Day), "day")
	by := t.sinceBy(v, last)
	if by.read != "" {
		s += ", " + by.read
	} else if by.known {
		s += ", not read since"
	}
	if by.now != "" {
		s += ", about " + by.now + " now"
	}
	if job == engine.Drain {
		if seen := lookAt(v.sheet(t), last); seen != "" {
			s += ", " + seen
		}
	}
	return s
}

// cutLines are lines that begin with their machine's tag, as many as fit; of the
// rest it names the machines, so that one can ask about each.
func (t *turn) cutLines(lines []string, most int) {
	if len(lines) <= most+1 {
		t.line(lines...)
		return
	}
	t.line(lines[:most]...)
	var tags []string
	for _, l := range lines[most:] {
		tag, _, _ := strings.Cut(l, " ")
		tags = append(tags, strings.TrimSuffix(tag, ":"))
	}
	t.line(fmt.Sprintf("and %d more: %s.", len(tags), tagList(tags, 10)))
}

// mostLines is how many lines a list for the whole shop shows.
const mostLines = 8

// tagList names machines, some of them where there are many.
func tagList(tags []string, most int) string {
	if len(tags) <= most {
		return strings.Join(tags, " ")
	}
	return strings.Join(tags[:most], " ") + fmt.Sprintf(" and %d more", len(tags)-most)
}

// kept are lines that stay good after the machine they are of has been passed:
// what the book hands over is used again for the next.
func kept(h []engine.Entry) []engine.Entry {
	out := slices.Clone(h)
	for i := range out {
		out[i].Jobs, out[i].Symptoms, out[i].Targets = slices.Clone(h[i].Jobs), slices.Clone(h[i].Symptoms), slices.Clone(h[i].Targets)
	}
	return out
}

// who answers who did a job last.
func who(t *turn, v *view, a read.Act) error {
	if a.Job == "" {
		return history(t, v, a)
	}
	last, ok := v.sheet(t).LastDone(a.Job)
	if !ok || last.Kind == engine.KindBaseline {
		t.line(fmt.Sprintf("%s: no %s by anybody in the book.", v.m.Tag, jobName(a.Job)))
		return nil
	}
	t.whoLine(v, last, a.Job)
	return nil
}

// whoLine says who did a job, and when.
func (t *turn) whoLine(v *view, last engine.Last, job engine.Job) {
	t.line(fmt.Sprintf("%s: %s, %s.", v.m.Tag, t.shed.PersonName(last.By), lowerFirst(t.lastWords(v, engine.Last{
		Seq: last.Seq, Kind: last.Kind, Day: last.Day, At: last.At, Shown: last.Shown, Hours: last.Hours,
	}, job))))
}

func lowerFirst(s string) string {
	if s == "" || strings.Contains("MTWFS", s[:1]) && len(s) > 3 && s[3] == ' ' {
		return s // a weekday keeps its capital
	}
	if len(s) > 1 && s[1] >= 'A' && s[1] <= 'Z' {
		return s // and so does a signal word, or a tag
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// hoursOf answers where a meter stands.
func hoursOf(t *turn, v *view, _ read.Act) error {
	if v.m.Reads == engine.NoMeter {
		t.line(v.m.Tag + " has no hour meter.")
		return nil
	}
	points := v.sheet(t).Meter.Points
	if len(points) == 0 {
		t.line(v.m.Tag + ": no reading in the book.")
		return nil
	}
	p := points[len(points)-1]
	sheet := v.sheet(t)
	read := meterWords(v.m, p.Shown) + " h on " + dayWords(p.Day, t.today) + t.pointBy(v, p)
	band, ok := sheet.Forecast.HoursAt(t.now)
	if !ok || meterWords(v.m, sheet.Meter.ShownAs(engine.TenthsOf(band.Mid)).Value) == meterWords(v.m, p.Shown) {
		t.line(v.m.Tag + ": " + read + ", " + oldness(p.Day, t.today) + ".")
		return nil
	}
	shown := func(h float64) string { return meterWords(v.m, sheet.Meter.ShownAs(engine.TenthsOf(h)).Value) }
	t.line(fmt.Sprintf("%s: about %s h now.", v.m.Tag, shown(band.Mid)))
	t.line("Read " + read + ".")
	t.line(fmt.Sprintf("Between %s and %s now, by %s.", shown(band.Low), shown(band.High), footing(sheet.Forecast.Basis, t.today)))
	return nil
}

// pointBy says whose figure it was.
func (t *turn) pointBy(v *view, p engine.Point) string {
	for _, e := range v.h {
		if e.Seq == p.Seq {
			if who := firstName(t.shed.PersonName(e.DoneBy())); who != "" {
				return " (" + who + ")"
			}
		}
	}
	return ""
}

// hoursAll lists the meters, the longest unread first.
func hoursAll(t *turn, _ read.Act) error {
	type line struct {
		day  engine.Day
		text string
	}
	var lines []line
	var never []string
	err := t.eachMachine(func(v *view) error {
		points := v.sheet(t).Meter.Points
		switch {
		case v.m.Reads == engine.NoMeter:
		case len(points) == 0:
			never = append(never, v.m.Tag)
		default:
			p := points[len(points)-1]
			lines = append(lines, line{p.Day, v.m.Tag + " " + meterWords(v.m, p.Shown) + ", " + dayWords(p.Day, t.today)})
		}
		return nil
	})
	if err != nil {
		return err
	}
	slices.SortStableFunc(lines, func(a, b line) int { return int(a.day - b.day) })
	var texts []string
	for _, l := range lines {
		texts = append(texts, l.text)
	}
	t.line("Last readings, the oldest first:")
	t.cutLines(texts, 2*mostLines)
	if len(never) > 0 {
		t.line("None in the book: " + tagList(never, 10) + ".")
	}
	return nil
}
