package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"woodruff/engine"
)

// MorningKind is the kind of the morning's post in the outbox.
const MorningKind = "morning"

const (
	morningDrains = 6
	morningItems  = 8
	// mostMorning is how many lines a post has where the meters are what can
	// wait: longer, nobody reads it on a phone.
	mostMorning = 25
	// morningLatest is how long after its hour a late post still goes out, in
	// seconds; after it the next morning carries the items.
	morningLatest engine.Instant = 6 * 60 * 60
	// firstMonth is how long a young book says that nothing is due, in days.
	firstMonth engine.Day = 31
)

// Hours are when a shop wants its morning post.
type Hours struct {
	At   engine.Clock
	Days [7]bool // by time.Weekday
}

// HoursOf reads a shop's settings; what is not set or cannot be read is as
// usual: 06:15, Monday to Saturday.
func HoursOf(settings map[string]string) Hours {
	h := Hours{At: engine.ClockOf(6, 15), Days: [7]bool{false, true, true, true, true, true, true}}
	if t, err := time.Parse("15:04", settings[engine.SetMorning]); err == nil {
		h.At = engine.ClockOf(t.Hour(), t.Minute())
	}
	if days, ok := weekdays(settings[engine.SetWorkdays]); ok {
		h.Days = days
	}
	return h
}

var weekdayNames = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// weekdays reads "mon-sat" or "mon,wed,fri".
func weekdays(s string) (days [7]bool, ok bool) {
	for part := range strings.SplitSeq(strings.ToLower(s), ",") {
		from, to, span := strings.Cut(strings.TrimSpace(part), "-")
		if !span {
			to = from
		}
		a, b := slices.Index(weekdayNames, from), slices.Index(weekdayNames, to)
		if a < 0 || b < 0 {
			return days, false
		}
		for d := a; ; d = (d + 1) % 7 {
			days[d] = true
			if d == b {
				break
			}
		}
	}
	return days, true
}

// Next is the instant of the first morning post after another instant. In a
// week without a working day there is none: 0.
func (h Hours) Next(after engine.Instant, cal engine.Calendar) engine.Instant {
	day := cal.DayAt(after)
	for d := day; d <= day+8; d++ {
		if !h.Days[d.Weekday()] {
			continue
		}
		at, _ := cal.At(d, h.At) // a morning hour in the gap comes just after it
		if at > after && cal.DayAt(at) == d {
			return at
		}
	}
	return 0
}

// before is the working day before a day, for what has been said since.
func (h Hours) before(day engine.Day) engine.Day {
	for d := day - 1; d > day-8; d-- {
		if h.Days[d.Weekday()] {
			return d
		}
	}
	return day - 1
}

// until is the last day that the morning of a working day answers for: the one
// before the next working day.
func (h Hours) until(day engine.Day) engine.Day {
	for d := day + 1; d < day+8; d++ {
		if h.Days[d.Weekday()] {
			return d - 1
		}
	}
	return day
}

// Morning makes the post of the shop's day at an instant; the zero Answer where
// there is nothing to say or the shop does not work.
func (d *Desk) Morning(ctx context.Context, at engine.Instant) (Answer, error) {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return Answer{}, err
	}
	h := HoursOf(t.shed.Settings)
	if !h.Days[t.today.Weekday()] {
		return Answer{}, nil
	}
	due, err := t.survey(wanted{by: h.until(h.until(t.today) + 1), since: h.before(t.today), morning: true, drains: morningDrains})
	if err != nil {
		return Answer{}, err
	}
	if err := t.morningLines(due); err != nil {
		return Answer{}, err
	}
	switch {
	case len(t.out.Lines) == 0 && !t.young():
		return Answer{}, nil // nothing due, nothing posted
	case len(t.out.Lines) == 0:
		t.line("Nothing due.")
	}
	if line := t.unknownLine(due); line != "" {
		t.line(line)
	}
	// The day's head and the head of the meters are two of the post's lines.
	t.worthLines(due.meters[:min(len(due.meters), max(0, mostMorning-2-len(t.out.Lines)))])
	return t.out, t.postHead()
}

// headDigits is how much of a hash a post carries: as much as verify --expect
// takes.
const headDigits = 12

// postHead puts the day and the shop before a post, with the number and hash of
// the book's last entry: kept in the channel, they are what the book can be
// checked against later. Where the shop's name leaves no room they come last.
func (t *turn) postHead() error {
	first, book := dayWords(t.today, t.today)+t.shopName(), ""
	seq, hash, err := t.book.Head(t.ctx)
	if err != nil {
		return err
	}
	if seq != 0 {
		book = fmt.Sprintf("book %d:%s", seq, hash[:min(len(hash), headDigits)])
	}
	if len(first+", "+book) <= postWidth && book != "" {
		first, book = first+", "+book, ""
	}
	t.out.Lines = append([]string{first}, t.out.Lines...)
	if book != "" {
		t.line(capital(book))
	}
	return nil
}

func (t *turn) shopName() string {
	if n := t.shed.Settings[engine.SetName]; n != "" {
		return ", " + n
	}
	return ""
}

// young says that the first machine came into the book less than a month ago.
func (t *turn) young() bool {
	for _, m := range t.shed.Machines {
		if t.today-m.Added > firstMonth {
			return false
		}
	}
	return len(t.shed.Machines) > 0
}

// morningLines are the sections of the post, each with its head.
func (t *turn) morningLines(d shopDue) error {
	if err := t.section("Out of use", func() error { return t.outLines(d) }); err != nil {
		return err
	}
	if err := t.section("Drain before start", func() error { t.drainLines(d, ""); t.selfStartLine(d); return nil }); err != nil {
		return err
	}
	ours, theirs := oursAndTheirs(t, d.items, func(x tagged) engine.Machine { return x.m })
	follow, ring := oursAndTheirs(t, d.follow, func(x followed) engine.Machine { return x.m })
	if err := t.section("In the bay", func() error {
		t.followUpLines(follow)
		t.itemLines(ours, morningItems-2*min(len(follow), morningFollow))
		return nil
	}); err != nil {
		return err
	}
	if err := t.section("Ring the owner", func() error { t.ownerLines(theirs); t.ownerFollowUps(ring); return nil }); err != nil {
		return err
	}
	if err := t.unwrittenLine(); err != nil {
		return err
	}
	for _, r := range d.drains {
		t.did(r.Bowl.Item)
	}
	for _, x := range ours {
		t.did(x.i)
	}
	return nil
}

// did gives an item its button.
func (t *turn) did(i engine.Item) {
	m, _ := t.shed.Machine(i.Machine)
	t.out.Choices = append(t.out.Choices, Choice{
		Label:  "did " + m.Tag + " " + jobName(i.Job),
		Button: button("did", m.Tag, string(i.Job), t.today.String()),
	})
}

// section puts a head before lines, and leaves it out where there are none.
func (t *turn) section(head string, fill func() error) error {
	before := len(t.out.Lines)
	if err := fill(); err != nil || len(t.out.Lines) == before {
		return err
	}
	lines := t.out.Lines[before:]
	t.out.Lines = append(append(slices.Clone(t.out.Lines[:before]), head), lines...)
	for i := before + 1; i < len(t.out.Lines); i++ {
		t.out.Lines[i] = "  " + t.out.Lines[i]
	}
	return nil
}

// selfStartLine cautions once about the machines on the list that start by
// themselves.
func (t *turn) selfStartLine(d shopDue) {
	var tags []string
	for _, r := range d.drains {
		if m, _ := t.shed.Machine(r.Bowl.Item.Machine); m.SelfStarts == engine.Yes {
			tags = append(tags, m.Tag)
		}
	}
	if len(tags) > 0 {
		t.line("WARNING Start by themselves: "+strings.Join(tags, " ")+".", "Control off and isolated before hands go in.")
	}
}

// ownerLines says whom to ring and about what, once a machine.
func (t *turn) ownerLines(items []tagged) {
	var order []engine.Machine
	what := map[engine.MachineID][]engine.Item{}
	for _, x := range items {
		if _, there := what[x.m.ID]; !there {
			order = append(order, x.m)
		}
		what[x.m.ID] = append(what[x.m.ID], x.i)
	}
	for at, m := range order {
		if at == morningItems {
			t.line(fmt.Sprintf("and %d more.", len(order)-at))
			return
		}
		t.line(t.ownerLine(m, what[m.ID])...)
	}
}

// ownerRoom is how many lines one machine of a customer's has.
const ownerRoom = 2

// ownerLine names the jobs of one machine with the figure of each, as many as
// two lines have room for, the earliest first.
func (t *turn) ownerLine(m engine.Machine, items []engine.Item) []string {
	lines := []string{m.Owner + ", " + m.Tag + ":"}
	parts := t.jobsWithFigures(items)
	for at, p := range parts {
		last := len(lines) - 1
		if len(lines[last])+len(p)+2 > postWidth && at > 0 {
			if len(lines) == ownerRoom {
				lines[last] += " and " + fmt.Sprintf("%d more.", len(parts)-at)
				return lines
			}
			lines = append(lines, " ")
			last++
		}
		lines[last] += " " + p + ","
	}
	last := len(lines) - 1
	lines[last] = sentence(strings.TrimSuffix(lines[last], ","))
	return lines
}

// jobsWithFigures are items as "engine oil and oil filter 12 h past", those with
// the same figure together.
func (t *turn) jobsWithFigures(items []engine.Item) []string {
	var jobs [][]string
	var whens []string
	for _, i := range items {
		when := t.ownerWhen(i)
		if at := slices.Index(whens, when); at >= 0 {
			jobs[at] = append(jobs[at], jobName(i.Job))
			continue
		}
		whens, jobs = append(whens, when), append(jobs, []string{jobName(i.Job)})
	}
	parts := make([]string, len(jobs))
	for at := range jobs {
		parts[at] = and(jobs[at]) + " " + whens[at]
	}
	return parts
}

// ownerWhen is the figure of an item; one that was put off and is no more says
// so.
func (t *turn) ownerWhen(i engine.Item) string {
	if p := i.PutOff; p.Seq != 0 && p.Until != 0 && notDue(i, t.today) {
		return "put off to " + t.onDayWords(p.Until)
	}
	return t.shortDue(i)
}

// unknownLine says in one line what cannot be dated.
func (t *turn) unknownLine(d shopDue) string {
	jobs := d.missingJobs()
	if len(jobs) == 0 {
		return ""
	}
	line := fmt.Sprintf("Not known: %s on %s", jobName(jobs[0]), count(len(d.missing[jobs[0]]), "machine"))
	if rest := len(jobs) - 1; rest > 0 {
		line += ", " + count(rest, "other job")
	}
	return line + "."
}

// unwritten are the questions that nobody answered in time and that were not
// named to the foreman yet.
func (t *turn) unwritten() ([]engine.Question, error) {
	all, err := t.book.Questions(t.ctx, engine.Open, engine.Lapsed)
	if err != nil {
		return nil, err
	}
	var out []engine.Question
	for _, q := range all {
		h, err := unhold(q)
		if err != nil {
			return nil, err
		}
		if (q.State == engine.Lapsed || q.Expires <= t.now) && holdsWork(h.Acts) {
			out = append(out, q)
		}
	}
	return out, nil
}

// unwrittenLine names them.
func (t *turn) unwrittenLine() error {
	all, err := t.unwritten()
	if err != nil {
		return err
	}
	for i, q := range all {
		if i == 3 {
			t.line(fmt.Sprintf("and %d more: ask \"what is not written\".", len(all)-i))
			break
		}
		why := " never answered:"
		if h, err := unhold(q); err == nil && h.Waits != "" {
			why = " waits for " + h.Waits + ":"
		}
		t.line("Not written, "+firstName(q.Who)+why, "  \""+shorten(q.Raw, 54)+"\"")
	}
	return nil
}

// Due makes what should have been said by now and was not: the morning's post,
// written into the outbox as planned before it is handed over. ok is false
// where there is nothing to send. A post that was planned and never marked sent
// is handed over again.
func (d *Desk) Due(ctx context.Context, now engine.Instant) (Answer, engine.Post, bool, error) {
	t, err := d.turn(ctx, Said{At: now})
	if err != nil {
		return Answer{}, engine.Post{}, false, err
	}
	h := HoursOf(t.shed.Settings)
	at, _ := t.cal.At(t.today, h.At)
	if !h.Days[t.today.Weekday()] || now < at {
		return Answer{}, engine.Post{}, false, nil
	}
	before, planned, err := d.book.Post(ctx, MorningKind, t.today)
	if err != nil || planned && before.State != engine.Planned {
		return Answer{}, before, false, err
	}
	post := engine.Post{Kind: MorningKind, Day: t.today, State: engine.Planned, At: now}
	if now >= at+morningLatest {
		post.State = engine.Skipped
		_, err := d.book.Write(ctx, engine.Batch{Posts: []engine.Post{post}})
		return Answer{}, post, false, err
	}
	answer, err := d.Morning(ctx, now)
	if err != nil {
		return Answer{}, post, false, err
	}
	post.Text = strings.Join(answer.Lines, "\n")
	if answer.Silent() {
		post.State = engine.Skipped
	}
	if !planned || post.State != engine.Planned {
		if _, err := d.book.Write(ctx, engine.Batch{Posts: []engine.Post{post}}); err != nil {
			return Answer{}, post, false, err
		}
	}
	return answer, post, !answer.Silent(), nil
}

// Sent marks a post as sent, and what it named of unwritten lines as named.
func (d *Desk) Sent(ctx context.Context, post engine.Post, at engine.Instant) error {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return err
	}
	all, err := t.unwritten()
	if err != nil {
		return err
	}
	var lapse, name []engine.Closing
	for _, q := range all {
		if q.State == engine.Open {
			lapse = append(lapse, engine.Closing{ID: q.ID, State: engine.Lapsed})
		}
		name = append(name, engine.Closing{ID: q.ID, State: engine.Mentioned})
	}
	if _, err := d.book.Write(ctx, engine.Batch{Close: lapse}); err != nil {
		return err
	}
	post.State, post.At = engine.Sent, at
	_, err = d.book.Write(ctx, engine.Batch{Posts: []engine.Post{post}, Close: name})
	return err
}
