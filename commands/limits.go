package commands

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// limits are what a question is limited to: days, both inside, and people.
type limits struct {
	from, till engine.Day
	who        bool // some person is meant, even where the book knows nobody of the name
	by         []engine.PersonID
	name       string
}

// limitsOf is what a question is limited to.
func (t *turn) limitsOf(a read.Act) limits {
	l := limits{from: a.From, till: a.Till, who: a.By != ""}
	switch a.By {
	case "":
	case read.Me:
		l.by, l.name = []engine.PersonID{t.who}, firstName(t.msg.By.Name)
	default:
		var names []string
		for _, name := range strings.Split(a.By, read.And) {
			l.by, names = append(l.by, t.personByName(name)), append(names, firstName(name))
		}
		l.name = and(names)
	}
	return l
}

func (l limits) isZero() bool { return l.from == 0 && !l.who }

// holds says whether a line lies within.
func (l limits) holds(e *engine.Entry) bool {
	return l.inDays(e.Day) && (!l.who || e.DoneBy() != 0 && slices.Contains(l.by, e.DoneBy()))
}

func (l limits) inDays(d engine.Day) bool { return l.from == 0 || d >= l.from && d <= l.till }

// days words the days: "today", "since Mon 23 Nov", "Mon 16 to Sun 22 Nov".
func (l limits) days(today engine.Day) string {
	switch {
	case l.from == 0:
		return ""
	case l.from == l.till && l.from == today:
		return "today"
	case l.from == l.till:
		return dayWords(l.from, today)
	case l.till == today:
		return "since " + dayWords(l.from, today)
	}
	return dayWords(l.from, today) + " to " + dayWords(l.till, today)
}

// words name the limits, to stand behind what was asked: " by Wilm, since Mon 23 Nov".
func (l limits) words(today engine.Day) string { return l.byWords() + l.dayWords(today) }

func (l limits) byWords() string {
	if !l.who {
		return ""
	}
	return " by " + l.name
}

func (l limits) dayWords(today engine.Day) string {
	if days := l.days(today); days != "" {
		return ", " + days
	}
	return ""
}

// none says that nothing of a sort is in the book within the limits.
func (l limits) none(what string, today engine.Day) string {
	return "no " + what + l.byWords() + " in the book" + l.dayWords(today)
}

// limitedHistory answers what was done on a machine by somebody, or on some days.
func limitedHistory(t *turn, v *view, a read.Act) error {
	l := t.limitsOf(a)
	lines := slices.DeleteFunc(linesOf(v.h, a.Job), func(e *engine.Entry) bool { return !l.holds(e) })
	if len(lines) == 0 {
		t.line(sentence(v.m.Tag + ": nothing in the book" + l.words(t.today)))
		t.line(noneShown)
		return nil
	}
	works, readings := tally(lines)
	t.line(sentence(v.m.Tag + l.words(t.today) + ": " + count(works, "job") + ", " + count(readings, "reading") + " in the book"))
	visits := visitsOf(lines)
	slices.Reverse(visits)
	more := len(visits) - historyShown
	shown, err := t.told(visits[:min(len(visits), historyShown)])
	if err != nil {
		return err
	}
	for _, visit := range shown {
		t.line(sentence(t.visitLine(v.m, visit)))
	}
	if more > 0 {
		t.line(fmt.Sprintf("and %d before.", more))
	}
	return nil
}

// noneShown is said of what is not in the book.
const noneShown = "That doesn't show nothing was done."

// tally counts the jobs and the readings among lines.
func tally(lines []*engine.Entry) (works, readings int) {
	for _, e := range lines {
		switch e.Kind {
		case engine.KindService:
			works++
		case engine.KindReading:
			readings++
		}
	}
	return works, readings
}

// doneLines are the standing lines of work on a machine: of one job where it is
// not "", done so that it counts as that job.
func doneLines(h []engine.Entry, job engine.Job) []*engine.Entry {
	return slices.DeleteFunc(linesOf(h, job), func(e *engine.Entry) bool {
		return e.Kind != engine.KindService || job != "" && !job.RestartedBy(e.How)
	})
}

// whetherDone answers yes or no to whether a job was done: on some days, by a
// person, or at all. Where only a person is named it is the last time that counts.
func whetherDone(t *turn, v *view, a read.Act) error {
	l := t.limitsOf(a)
	if l.isZero() {
		return whetherEver(t, v, a)
	}
	what := workName(a.Job)
	all := doneLines(v.h, a.Job)
	within := slices.DeleteFunc(slices.Clone(all), func(e *engine.Entry) bool { return !l.holds(e) })
	n := len(within)
	switch {
	case len(all) == 0:
		t.line("No: " + v.m.Tag + ", no " + what + " in the book.")
		t.line(noneShown)
		return nil
	case n > 0 && (l.from != 0 || within[n-1] == all[len(all)-1]):
		return t.doneLine(v, "Yes: "+v.m.Tag+" "+what+" ", a.Job, within[n-1])
	case l.from != 0:
		t.line(sentence("No: " + v.m.Tag + ", " + l.none(what, t.today)))
		return t.doneLine(v, "The last in the book: ", a.Job, all[len(all)-1])
	}
	if err := t.doneLine(v, "No: "+v.m.Tag+", last "+what+" in the book: ", a.Job, all[len(all)-1]); err != nil {
		return err
	}
	if n > 0 {
		return t.doneLine(v, l.name+"'s last: ", a.Job, within[n-1])
	}
	t.line("None by " + l.name + " in the book.")
	return nil
}

// workName is a job, or work of any sort.
func workName(job engine.Job) string {
	if job == "" {
		return "work"
	}
	return jobName(job)
}

// whetherEver answers whether a job was done at all, and how long ago.
func whetherEver(t *turn, v *view, a read.Act) error {
	if a.Job == "" {
		lines := doneLines(v.h, "")
		if len(lines) == 0 {
			t.line("No: no work on "+v.m.Tag+" is in the book.", noneShown)
			return nil
		}
		return t.doneLine(v, "Yes: "+v.m.Tag+" ", "", lines[len(lines)-1])
	}
	last, ok := v.sheet(t).LastDone(a.Job)
	if !ok {
		t.line(fmt.Sprintf("No: %s, no %s in the book.", v.m.Tag, jobName(a.Job)), "That doesn't show it was never done.")
		return nil
	}
	t.line(sentence("Yes: " + v.m.Tag + " " + jobName(a.Job) + " " + lowerFirst(t.lastWords(v, last, a.Job))))
	head, _ := t.sinceWords(v, last, jobName(a.Job))
	t.line(sentence(capital(head) + t.readingAge(v, last)))
	return nil
}

// doneLine tells of one line of work: when, at what figure, what was seen, who.
func (t *turn) doneLine(v *view, head string, job engine.Job, e *engine.Entry) error {
	if last, ok := v.sheet(t).Of(e.Seq); ok && job != "" {
		t.line(sentence(head + t.lastWords(v, last, job)))
		return nil
	}
	for _, visit := range visitsOf(linesOf(v.h, "")) {
		if !slices.ContainsFunc(visit, func(x *engine.Entry) bool { return x.Seq == e.Seq }) {
			continue
		}
		shown, err := t.told([][]*engine.Entry{visit})
		if err != nil {
			return err
		}
		t.line(sentence(head + t.visitLine(v.m, shown[0])))
	}
	return nil
}

// limitedDone answers who did a job, or when it was done, on some days or by one
// person.
func limitedDone(t *turn, v *view, a read.Act) error {
	l := t.limitsOf(a)
	all := doneLines(v.h, a.Job)
	within := slices.DeleteFunc(slices.Clone(all), func(e *engine.Entry) bool { return !l.holds(e) })
	if len(within) == 0 {
		t.line(sentence(v.m.Tag + ": " + l.none(workName(a.Job), t.today)))
		if len(all) > 0 {
			return t.doneLine(v, "The last in the book: ", a.Job, all[len(all)-1])
		}
		t.line(noneShown)
		return nil
	}
	slices.Reverse(within)
	for i, e := range within {
		if i == historyShown {
			t.line(fmt.Sprintf("and %d before.", len(within)-i))
			break
		}
		if last, ok := v.sheet(t).Of(e.Seq); ok && a.About == read.AboutWho && a.Job != "" {
			t.whoLine(v, last, a.Job)
			continue
		}
		if err := t.doneLine(v, v.m.Tag+" "+workName(a.Job)+": ", a.Job, e); err != nil {
			return err
		}
	}
	return nil
}

// limitedAll answers for the whole shop what was done by somebody or on some days,
// the latest first; of one job where the question names one.
func limitedAll(t *turn, a read.Act) error {
	type visit struct {
		m     engine.Machine
		lines []engine.Entry
	}
	l := t.limitsOf(a)
	var found []visit
	works, machines := 0, 0
	var read []string
	err := t.eachMachine(func(v *view) error {
		before := works
		for _, lines := range visitsOf(slices.DeleteFunc(linesOf(v.h, ""), func(e *engine.Entry) bool { return !l.holds(e) })) {
			w, r := tally(lines)
			if a.Job != "" {
				w, r = tally(slices.DeleteFunc(slices.Clone(lines), func(e *engine.Entry) bool { return !e.Has(a.Job) || !a.Job.RestartedBy(e.How) }))
			}
			works += w
			if r > 0 && !slices.Contains(read, v.m.Tag) {
				read = append(read, v.m.Tag)
			}
			if w > 0 {
				found = append(found, visit{v.m, copies(lines)})
			}
		}
		if works > before {
			machines++
		}
		return nil
	})
	if err != nil {
		return err
	}
	t.line(sentence(limitedHead(l, a, works, machines, t.today)))
	if n := len(read); n > 0 && a.Job == "" {
		t.line("Read: " + tagList(read, 10) + ".")
	}
	slices.SortStableFunc(found, func(a, b visit) int { return cmp.Compare(b.lines[0].At, a.lines[0].At) })
	for i, f := range found {
		if i == dueShown {
			t.line(fmt.Sprintf("and %d before; ask about one machine.", len(found)-i))
			break
		}
		if err := t.withTexts(f.lines); err != nil {
			return err
		}
		t.line(sentence(f.m.Tag + " " + t.visitLine(f.m, f.lines)))
	}
	return nil
}

// limitedHead counts what was done within the limits.
func limitedHead(l limits, a read.Act, works, machines int, today engine.Day) string {
	what := count(works, "job")
	if a.Job != "" {
		what = jobName(a.Job)
	}
	head := what + l.byWords() + " on " + count(machines, "machine") + l.dayWords(today)
	if works == 0 {
		head = l.none(workName(a.Job), today)
	}
	if a.Whether != "" {
		return yesNo(works > 0) + head
	}
	return capital(head)
}

func yesNo(yes bool) string {
	if yes {
		return "Yes: "
	}
	return "No: "
}

// headed is the first line of an answer about a machine, which begins with yes or
// no where that was asked.
func headed(w read.Whether, yes bool, tag, rest string) string {
	if w == "" {
		return tag + ": " + rest
	}
	return yesNo(yes) + tag + ", " + rest
}

// whetherUsed answers how a machine is kept. That it can be used no book can say.
func whetherUsed(t *turn, v *view, a read.Act) error {
	out, laid := v.sheet(t).OutOfUse(), v.sheet(t).LaidUp()
	switch {
	case a.Whether == read.WhetherGone:
		t.line("No: " + v.m.Tag + " is in the shed, by the book.")
	case a.Whether == read.WhetherParked && laid != nil:
		t.line("Yes: " + v.m.Tag + " is parked since " + dayWords(laid.Day, t.today) + ".")
	case a.Whether == read.WhetherParked:
		t.line("No: " + v.m.Tag + " is not parked, by the book.")
	case out != nil:
		return t.outLine(v, yesNo(a.Whether == read.WhetherOut))
	case a.Whether == read.WhetherFit:
		t.line("Not for the book to say: "+v.m.Tag+" is in use, by the book.", fitToRun)
		return status(t, v, read.Act{})
	default:
		t.line(yesNo(a.Whether == read.WhetherIn) + v.m.Tag + " is in use, by the book.")
		if laid != nil {
			t.line("Parked since " + dayWords(laid.Day, t.today) + ".")
		}
		return t.lastBack(v)
	}
	return nil
}

// lastBack tells who brought a machine back into use, where it was out.
func (t *turn) lastBack(v *view) error {
	for i := len(v.h) - 1; i >= 0; i-- {
		if e := &v.h[i]; e.Kind == engine.KindBack && stands(e) {
			one := copies([]*engine.Entry{e})
			if err := t.withTexts(one); err != nil {
				return err
			}
			t.line("Back since " + dayWords(e.Day, t.today) + " (" + firstName(t.shed.PersonName(e.DoneBy())) + ")" + reasonAfter(one[0].Reason) + ".")
			return nil
		}
	}
	return nil
}
