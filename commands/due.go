package commands

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

const (
	// aheadDays is how far "what is due" looks where nobody says how far.
	aheadDays = 7
	// nextShown is how many items of one machine an answer shows.
	nextShown = 4
)

// itemsOf is what a machine's plan asks for.
func (t *turn) itemsOf(v *view) []engine.Item {
	own := t.ownPlan()
	if len(own) > len(t.shed.Plan) { // the message changes it, line by line
		return v.sheet(t).Due(t.desk.plan.For(v.m, own), t.now)
	}
	if v.items == nil {
		v.items = v.sheet(t).Due(t.desk.plan.For(v.m, own), t.now)
	}
	return v.items
}

// items is itemsOf for a machine that this turn has looked at.
func (t *turn) items(id engine.MachineID) []engine.Item {
	if v := t.views[id]; v != nil {
		return t.itemsOf(v)
	}
	return nil
}

// dueWords says when an item is due: the figure first, then the day.
func (t *turn) dueWords(i engine.Item) string {
	m, _ := t.shed.Machine(i.Machine)
	figure := ""
	if i.DueShown.Known {
		figure = meterWords(m, i.DueShown.Value) + " h"
	}
	switch {
	case i.Unknown == engine.NotInSight:
		return "at " + figure + ", not in sight at this pace"
	case i.Unknown != "":
		return "not known when"
	case i.DueDay < i.Today, i.DueDay == i.Today && i.Left.Known && i.Left.Value < 0:
		return t.pastWords(i, figure)
	case i.DueDay == i.Today:
		if byCalendar(i) {
			figure = "" // the hours are not what makes it due
		}
		return "due today" + bracket(figure)
	case byCalendar(i) || figure == "":
		return calendarWords(i)
	}
	return "at " + figure + ", about " + dayWords(i.DueDay, t.today)
}

// pastWords says by how much an item is past: the figure that rules.
func (t *turn) pastWords(i engine.Item, figure string) string {
	days := int(i.Today - i.DueDay)
	if !byCalendar(i) && i.Left.Known && i.Left.Value < 0 && figure != "" {
		return span(-i.Left.Value.Hours()) + " past" + bracket("due at "+figure)
	}
	return count(days, "day") + " past" + bracket("due "+dayWords(i.DueDay, t.today))
}

func bracket(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}

// why says what an item rests on, for a list with room for it.
func (t *turn) why(i engine.Item) string {
	var parts []string
	switch {
	case i.Job == engine.Drain && i.Reason.Bowl.Why != "":
		parts = append(parts, string(i.Reason.Bowl.Why))
	case i.Unknown == engine.NeverDone:
		return "none in the book; give the last one, or \"count from today\""
	case i.Unknown == engine.NobodyKnows:
		return "last one not known"
	case i.Unknown == engine.NoReading:
		return "no reading to count from"
	case i.Reason.Count == engine.BreakIn:
		parts = append(parts, "first service of a new machine")
	case i.Reason.Count == engine.OnMarks:
		parts = append(parts, "on fixed marks")
	}
	parts = append(parts, usual(i))
	if i.PutOff.Seq != 0 {
		if i.PutOff.Until == 0 {
			parts = append(parts, "put off, no day given")
		} else {
			parts = append(parts, "put off to "+dayWords(i.PutOff.Until, t.today))
		}
	}
	return strings.Join(parts, "; ")
}

// dueOn answers what is due on one machine, or when a job is.
func dueOn(t *turn, v *view, a read.Act) error {
	if a.Job != "" {
		return nextOn(t, v, a)
	}
	w := t.dueSpan(a)
	due := slices.DeleteFunc(dueWithin(t.itemsOf(v), w.by), func(i engine.Item) bool { return !w.wants(i) })
	if len(due) == 0 {
		t.line(headed(a.Whether, false, v.m.Tag, "nothing "+w.words(t.today)+"."))
		a.Whether = ""
		return nextOn(t, v, a)
	}
	t.line(headed(a.Whether, true, v.m.Tag, count(len(due), "job")+" "+w.words(t.today)+"."))
	for _, i := range due {
		t.line(sentence(capital(jobName(i.Job)) + ": " + t.itemWords(v, i)))
	}
	t.undated(v)
	return nil
}

// dueWithin are the dated items due by a day.
func dueWithin(items []engine.Item, by engine.Day) []engine.Item {
	return slices.DeleteFunc(slices.Clone(items), func(i engine.Item) bool {
		return i.Unknown != "" || i.DueDay == 0 || i.DueDay > by
	})
}

// itemWords says when an item is due and, for a drain, why.
func (t *turn) itemWords(v *view, i engine.Item) string {
	if i.Job == engine.Drain && i.Reason.Bowl.Why != "" {
		return t.drainWords(v, i)
	}
	s := t.dueWords(i)
	if i.PutOff.Seq != 0 && i.PutOff.Until > t.today {
		s += ", put off to " + dayWords(i.PutOff.Until, t.today)
	}
	return s
}

// drainWords says why a bowl wants a look before the next start.
func (t *turn) drainWords(v *view, i engine.Item) string {
	why := i.Reason.Bowl
	switch why.Why {
	case engine.StillShort:
		return t.dueWords(i) + ", " + string(why.Why)
	case engine.WaterLast:
		return "before start, " + t.waterLast(v, why.Seq)
	case engine.Stood:
		return t.stoodWords(i)
	}
	return "before start, " + string(why.Why)
}

// stoodWords says that nobody has looked for two weeks, or by when that will be.
func (t *turn) stoodWords(i engine.Item) string {
	if i.DueDay > t.today {
		return "by " + dayWords(i.DueDay, t.today) + ", two weeks after the last look"
	}
	return "before start, last look " + ago(i.Last.Day, t.today)
}

// waterLast says what water came last time.
func (t *turn) waterLast(v *view, seq engine.Seq) string {
	for _, l := range v.sheet(t).Looks() {
		if l.Seq == seq {
			return found(l.Finding, l.Amount) + " " + dayWords(l.Day, t.today)
		}
	}
	return string(engine.WaterLast)
}

// undated says in one line what cannot be dated on one machine.
func (t *turn) undated(v *view) {
	var names []string
	for _, i := range t.itemsOf(v) {
		if i.Unknown == engine.NeverDone {
			names = append(names, jobName(i.Job))
		}
	}
	if len(names) > 3 {
		names = append(names[:3], count(len(names)-3, "other job"))
	}
	if len(names) > 0 {
		t.line("Not in the book: " + list(names) + ".")
	}
}

// nextOn answers what comes next on a machine, or when one job does.
func nextOn(t *turn, v *view, a read.Act) error {
	items := t.itemsOf(v)
	if a.Job != "" {
		at := slices.IndexFunc(items, func(i engine.Item) bool { return i.Job == a.Job })
		if at < 0 {
			t.line(fmt.Sprintf("%s: %s has no interval here.", v.m.Tag, jobName(a.Job)))
			t.line("Its manual says; tell me, and it is in the plan.")
			return nil
		}
		i := items[at]
		head := v.m.Tag + " " + jobName(i.Job) + ": "
		if a.Whether != "" && i.Unknown == "" {
			head = yesNo(i.DueDay != 0 && i.DueDay <= t.today+engine.Day(a.Days)) + v.m.Tag + " " + jobName(i.Job) + " "
		}
		t.line(sentence(head + t.itemWords(v, i)))
		t.restsOn(v, i)
		return nil
	}
	shown := slices.DeleteFunc(slices.Clone(items), func(i engine.Item) bool { return i.Unknown != "" || i.Job == engine.Drain && i.Reason.Bowl.Why == "" })
	if len(shown) == 0 {
		t.line(v.m.Tag + ": nothing that I can date.")
	} else {
		t.line(v.m.Tag + ", what comes next:")
	}
	for _, i := range shown[:min(len(shown), nextShown)] {
		t.line(sentence(capital(jobName(i.Job)) + ": " + t.itemWords(v, i)))
	}
	t.undated(v)
	return nil
}

// restsOn says what the date of an item rests on.
func (t *turn) restsOn(v *view, i engine.Item) {
	if i.Unknown != "" {
		t.line(capital(sentence(t.why(i))))
		return
	}
	if i.Last.Seq != 0 {
		t.line("Last " + lowerFirst(t.lastWords(v, i.Last, i.Job)) + ".")
	}
	t.line(capital(sentence(t.why(i))))
	if i.Left.Known && !byCalendar(i) && i.Left.Value > 0 && i.LateDay != i.EarlyDay {
		late := "later than I can see"
		if i.LateDay != 0 {
			late = dayWords(i.LateDay, t.today)
		}
		t.line(sentence("About " + span(i.Left.Value.Hours()) + " left: " + dayWords(i.EarlyDay, t.today) + " to " + late + ", by " + footing(i.Reason.Basis, t.today)))
	}
}

// shopDue is what is due in the whole shop.
type shopDue struct {
	items  []tagged // dated and due, the earliest first
	drains []engine.Ranked
	more   int // drains beyond those
	// moreTags are the machines of some of those, where they are named.
	moreTags []string
	undated  map[string]bool // tags with something that cannot be dated
	missing  map[engine.Job][]string
	views    map[engine.MachineID]*view // of the machines on the drain list
	meters   []engine.Worth             // the readings that are worth asking for
	out      []engine.Entry
	follow   []followed // what finds and work still ask for
}

// tagged is an item with its machine.
type tagged struct {
	m engine.Machine
	i engine.Item
}

// wanted is what a survey of the shop is to find.
type wanted struct {
	by     engine.Day // what is due by this day
	drains int        // the bowls to look at before anything else, at most so many
	// morning leaves out what nobody is to be told of this morning: what is put
	// off, and bowls that there is no reason to look into today. since is the day
	// of the morning before.
	morning bool
	since   engine.Day
}

// lists says whether a survey lists an item.
func (w wanted) lists(i engine.Item) bool {
	switch {
	case i.PutOff.Seq != 0 && i.Mention(w.since).Spoken():
		return true
	case i.Unknown != "" || i.DueDay == 0 || i.DueDay > w.by:
		return false
	}
	over := i.PutOff.Seq == 0 || i.PutOff.Until != 0 && i.PutOff.Until <= i.Today
	return !w.morning || over && i.Job != engine.Drain
}

// survey goes over every machine once.
func (t *turn) survey(w wanted) (shopDue, error) {
	d := shopDue{undated: map[string]bool{}, missing: map[engine.Job][]string{}, views: map[engine.MachineID]*view{}}
	var bowls []engine.BowlState
	err := t.eachMachine(func(v *view) error {
		sheet := v.sheet(t)
		if out := sheet.OutOfUse(); out != nil {
			d.out = append(d.out, kept([]engine.Entry{*out})...)
		}
		idle, ranked := false, false
		for _, line := range t.desk.plan.For(v.m, t.ownPlan()) {
			if line.Job == engine.Drain && !line.Interval.Off {
				bowl := sheet.Bowl(line, t.now)
				idle = bowl.OffList == engine.OffOutOfUse || bowl.OffList == engine.OffLaidUp
				if bowl.Rank() != "" {
					bowls, ranked = append(bowls, bowl), true
				}
			}
		}
		d.follow = append(d.follow, t.openFollowUps(v)...)
		items := t.itemsOf(v)
		d.meters = t.keepWorth(d.meters, v, items)
		for _, i := range items {
			switch {
			case i.Job == engine.Drain && (ranked || idle): // on the list of bowls, or off it
			case w.lists(i):
				d.items = append(d.items, tagged{v.m, i})
			case i.Unknown == engine.NeverDone || i.Unknown == engine.NoReading:
				d.undated[v.m.Tag] = true
				d.missing[i.Job] = append(d.missing[i.Job], v.m.Tag)
			}
		}
		return nil
	})
	if err != nil {
		return d, err
	}
	slices.SortStableFunc(d.items, func(a, b tagged) int { return cmp.Compare(dayOrLast(a.i), dayOrLast(b.i)) })
	d.drains, d.more = engine.RankDrains(bowls, w.drains)
	for _, r := range d.drains { // few: keeping every machine's lines on the way would hold the whole book
		m, _ := t.shed.Machine(r.Bowl.Item.Machine)
		if d.views[m.ID], err = t.load(m.ID); err != nil {
			return d, err
		}
	}
	return d, nil
}

// dayOrLast is the day that an item is due, after all days where there is none.
func dayOrLast(i engine.Item) engine.Day {
	if i.DueDay == 0 || i.Unknown != "" {
		return undatedDay
	}
	return i.DueDay
}

// drainLines says which bowls want a look first, and why.
func (t *turn) drainLines(d shopDue, what string) {
	for _, r := range d.drains {
		m, _ := t.shed.Machine(r.Bowl.Item.Machine)
		t.line(sentence(m.Tag + what + ": " + t.rankWords(d.views[m.ID], r)))
	}
	switch {
	case d.more > 0 && len(d.moreTags) > 0:
		t.line("and " + count(d.more, "more bowl") + ": " + tagList(d.moreTags, 10) + ".")
	case d.more > 0:
		t.line("and " + count(d.more, "more bowl") + ".")
	}
}

// rankWords says why a bowl is on the list.
func (t *turn) rankWords(v *view, r engine.Ranked) string {
	i := r.Bowl.Item
	if i.Reason.Bowl.Why == engine.WaterLast {
		return t.waterLast(v, i.Reason.Bowl.Seq)
	}
	switch {
	case i.Last.Day == 0:
		return string(r.Why)
	case r.Why == engine.RankLong || r.Why == engine.RankSelf || r.Why == engine.RankRunning:
		return "no drain in the book since " + dayWords(i.Last.Day, t.today)
	}
	return string(r.Why) + ", last " + dayWords(i.Last.Day, t.today)
}

// weight orders jobs by what a shop asks for first.
func weight(j engine.Job) int {
	return slices.Index([]engine.Job{engine.AirCleaner, engine.FuelFilter, engine.Separator, engine.EngineOil}, j)
}

// missingJobs are the jobs that cannot be dated somewhere, those that a shop
// asks for first before the others.
func (d shopDue) missingJobs() []engine.Job {
	var jobs []engine.Job
	for _, info := range engine.Jobs() {
		if len(d.missing[info.Job]) > 0 {
			jobs = append(jobs, info.Job)
		}
	}
	slices.SortStableFunc(jobs, func(a, b engine.Job) int { return weight(b) - weight(a) })
	return jobs
}

// missingLine says in one line what cannot be dated.
func (t *turn) missingLine(d shopDue) {
	jobs := d.missingJobs()
	if len(jobs) == 0 {
		return
	}
	var parts []string
	for _, j := range jobs[:min(2, len(jobs))] {
		if tags := d.missing[j]; len(tags) <= 3 {
			parts = append(parts, jobName(j)+" of "+strings.Join(tags, " "))
		} else {
			parts = append(parts, fmt.Sprintf("%s of %d machines", jobName(j), len(tags)))
		}
	}
	if rest := len(jobs) - len(parts); rest > 0 {
		parts = append(parts, count(rest, "other job"))
	}
	t.line("Not in the book: " + list(parts) + ".")
	t.line("Give the last one, or say \"count from today\".")
}
