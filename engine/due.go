package engine

import (
	"cmp"
	"slices"
)

// Rule is which of an interval's two clocks rules.
type Rule string

// Rules. The zero value is none.
const (
	ByHours  Rule = "hours"
	ByMonths Rule = "months"
	ByBoth   Rule = "both"   // on the same day
	ByDays   Rule = "days"   // a bowl that nobody looked into for two weeks
	BySeason Rule = "season" // a day of the year
)

// Count is from where an interval is counted.
type Count string

// Counts. The zero value is from when it was last done.
const (
	FromLast  Count = ""
	OnMarks   Count = "on marks"
	BreakIn   Count = "break-in"
	FromStart Count = "counted from here" // the book was told to count from a day
)

// Unknown is why an item cannot be dated. The zero value is that it can.
type Unknown string

// Why an item cannot be dated.
const (
	NeverDone   Unknown = "not in the book"
	NobodyKnows Unknown = "nobody knows" // said so: do not ask again
	NoReading   Unknown = "no reading"   // it goes by hours and there are none
	NotInSight  Unknown = "not in sight" // by hours alone, at a pace that never gets there
)

// Reason is why an item is due when it is.
type Reason struct {
	Rule   Rule
	Count  Count
	Every  Tenths // the hours counted with, after severe use
	Severe string // the factor that shortened them, or ""
	// SevereUntil is the day from which the factor counts no more, 0 for none
	// given; SevereSeq is the find that brought it, 0 where the shop said so.
	SevereUntil Day
	SevereSeq   Seq
	// MissedFirst says that the break-in was not done in its time, which does
	// not make the later ones void.
	MissedFirst bool
	Basis       Basis // what the hours are projected from
	Bowl        BowlReason
}

// PutOff is a promise to do a job later. It changes the promise, not the due
// point. The zero value is none.
type PutOff struct {
	Seq   Seq
	Said  Day
	Until Day // 0 is open: raised again every week
	By    PersonID
}

// Item is one job of one machine with when it is due and why.
type Item struct {
	Machine MachineID
	Job     Job
	Line    PlanLine
	Unknown Unknown
	Last    Last // its Seq is 0 where the job is not in the book
	Today   Day

	DueHours Maybe[Tenths] // machine hours
	DueShown Maybe[Tenths] // what today's meter will show
	HoursDay Day           // by hours alone, 0 is not in sight
	MonthDay Day           // by months or the season alone
	DueDay   Day           // the earlier of the two
	EarlyDay Day           // with 10 % and 90 % of the hours' band
	LateDay  Day           // 0 where it may never come

	HoursNow Maybe[Tenths] // shown now, by projection
	Left     Maybe[Tenths] // hours left, negative when past

	Reason Reason
	PutOff PutOff
}

// Evidence are the entries that an item rests on: the last time it was done,
// the last reading, a put-off, what was seen in the bowl, water that made use
// severe.
func (i Item) Evidence() []Seq {
	var seqs []Seq
	for _, s := range []Seq{i.Last.Seq, i.Reason.Basis.Last.Seq, i.PutOff.Seq, i.Reason.Bowl.Seq, i.Reason.SevereSeq} {
		if s != 0 && !slices.Contains(seqs, s) {
			seqs = append(seqs, s)
		}
	}
	return seqs
}

// Due is what one machine's plan asks for, by its book: an item per line of the
// plan, the earliest first, what cannot be dated last. h are the machine's own
// entries, plan the lines that rule for it (see Plan.For).
func Due(m Machine, h []Entry, plan []PlanLine, now Instant, cal Calendar) []Item {
	s := Fold(m, h, cal)
	return s.Due(plan, now)
}

// Due is the same for a sheet that is folded already.
func (s *Sheet) Due(plan []PlanLine, now Instant) []Item {
	items := make([]Item, 0, len(plan))
	at := s.at(now)
	for _, line := range plan {
		if line.Interval.Off || line.Interval.IsZero() || line.Job.place() < 0 {
			continue
		}
		items = append(items, s.item(line, at))
	}
	SortItems(items)
	return items
}

// SortItems puts items in the order of lists: the earliest due first, then what
// is not in sight, then what is not known; alike ones by machine and job.
func SortItems(items []Item) {
	slices.SortStableFunc(items, func(a, b Item) int {
		return cmp.Or(
			cmp.Compare(a.rank(), b.rank()),
			cmp.Compare(a.DueDay, b.DueDay),
			cmp.Compare(a.Machine, b.Machine),
			cmp.Compare(a.Job.place(), b.Job.place()),
		)
	})
}

func (i Item) rank() int {
	switch i.Unknown {
	case "":
		return 0
	case NotInSight:
		return 1
	}
	return 2
}

// DueBy are the items that are due on a day or before it, put off or not.
func DueBy(items []Item, day Day) []Item {
	var due []Item
	for _, i := range items {
		if i.DueDay != 0 && i.DueDay <= day {
			due = append(due, i)
		}
	}
	return due
}

// present is what is known of the machine at the moment that is asked about.
type present struct {
	now   Instant
	today Day
	hours Maybe[Tenths] // machine hours, projected
}

func (s *Sheet) at(now Instant) present {
	p := present{now: now, today: s.cal.DayAt(now)}
	if b, ok := s.Forecast.HoursAt(now); ok {
		p.hours = Known(TenthsOf(b.Mid))
	}
	return p
}

func (s *Sheet) item(line PlanLine, at present) Item {
	if line.Job == Drain {
		return s.bowl(line, at).Item
	}
	i := s.blank(line, at)
	s.clocks(&i)
	s.settle(&i)
	s.promise(&i)
	return i
}

// blank is an item with what is known before any clock is looked at.
func (s *Sheet) blank(line PlanLine, at present) Item {
	i := Item{Machine: s.Machine.ID, Job: line.Job, Line: line, Today: at.today}
	i.Reason.Basis = s.Forecast.Basis
	severe := s.severity(line.Job, at.today)
	i.Reason.Every, i.Reason.Severe = severeHours(line.Interval, severe.factor)
	if i.Reason.Severe != "" {
		i.Reason.SevereUntil, i.Reason.SevereSeq = severe.until, severe.seq
	}
	if at.hours.Known {
		i.HoursNow = s.Meter.ShownAs(at.hours.Value)
		i.Left = at.hours // turned into hours left once the due point is known
	}
	i.Last, _ = s.LastDone(line.Job)
	return i
}

// clocks sets the due point by hours and the day by months or the season.
func (s *Sheet) clocks(i *Item) {
	iv, last := i.Line.Interval, i.Last
	if last.Known == Counted {
		i.Reason.Count = FromStart
	}
	if first := s.breakIn(iv, last); first != 0 {
		i.breaksIn(first)
		s.dueAt(i, first, s.Forecast)
		if last.Seq == 0 {
			return
		}
	} else if last.Seq == 0 {
		return
	} else if last.Hours.Known {
		s.hoursClock(i)
	}
	if last.Day != 0 {
		i.MonthDay = iv.calendar(last.Day)
	}
	i.Reason.MissedFirst = s.missedFirst(i.Job, iv)
}

// breaksIn makes an item the first service of a new machine or part. Severe use
// does not shorten it.
func (i *Item) breaksIn(first Tenths) {
	i.Reason.Count, i.Reason.Every = BreakIn, first
	i.Reason.usual()
}

// usual takes severe use out of a reason.
func (r *Reason) usual() { r.Severe, r.SevereUntil, r.SevereSeq = "", 0, 0 }

// hoursClock sets the due point by hours of a job that was done at some.
func (s *Sheet) hoursClock(i *Item) {
	iv, last := i.Line.Interval, i.Last
	if iv.First != 0 && newPart(i.Job, last) {
		i.breaksIn(iv.First)
		s.dueAt(i, last.Hours.Value+iv.First, s.since(last))
		return
	}
	if i.Reason.Every == 0 {
		return
	}
	s.dueAt(i, i.next(), s.since(last))
	if until := i.Reason.SevereUntil; until != 0 && (i.HoursDay == 0 || i.HoursDay >= until) {
		// By then the severe use is over, and the usual interval is back.
		i.Reason.Every = iv.Every
		i.Reason.usual()
		s.dueAt(i, i.next(), s.since(last))
	}
}

// next are the hours at which a job comes round again.
func (i *Item) next() Tenths {
	if i.Line.Interval.Marks {
		i.Reason.Count = OnMarks
		return nextMark(i.Last.Hours.Value, i.Reason.Every)
	}
	return i.Last.Hours.Value + i.Reason.Every
}

// newPart says that the job was done with a new part, and in so many words,
// that wants a first service of its own.
func newPart(job Job, last Last) bool {
	return jobs[job.place()].BreaksIn && last.Kind == KindService && last.How == Renewed
}

// calendar is the day by which a job last done on a day is due again by the
// calendar, whatever its hours; 0 is never.
func (iv Interval) calendar(done Day) Day {
	var day Day
	if iv.Months > 0 {
		day = done.AddMonths(iv.Months)
	}
	if iv.Season != 0 {
		if d := iv.Season.Next(done); day == 0 || d < day {
			day = d
		}
	}
	return day
}

// since is the forecast for counting from a job. One that was done after the
// last reading, with no figure written, starts it anew: what has been run
// between the reading and the job is known no better, but is not part of it.
func (s *Sheet) since(last Last) Forecast {
	if p, _ := s.Meter.Last(); last.Projected && last.At > p.At {
		return s.Forecast.From(last.At, last.Hours.Value)
	}
	return s.Forecast
}

// dueAt sets the due point by hours. Hours that nobody saw, because a meter was
// replaced unread since, bring its early end forward.
func (s *Sheet) dueAt(i *Item, due Tenths, f Forecast) {
	i.DueHours, i.DueShown = Known(due), s.Meter.Shown(due)
	c := f.Crossing(due)
	if slack := s.slackSince(i.Last.At); slack > 0 {
		c.Early = f.Crossing(due - slack).Early
	}
	i.HoursDay, i.EarlyDay, i.LateDay = s.dayAt(c.Median), s.dayAt(c.Early), s.dayAt(c.Late)
}

func (s *Sheet) dayAt(i Instant) Day {
	if i == 0 {
		return 0
	}
	return s.cal.DayAt(i)
}

func (s *Sheet) slackSince(at Instant) Tenths {
	n := len(s.Meter.swaps)
	if n == 0 {
		return 0
	}
	return s.Meter.swaps[n-1].slack - s.Meter.inForce(at).slack
}

// settle takes the earlier of the two clocks, or says why there is none.
func (s *Sheet) settle(i *Item) {
	if i.Left.Known && i.DueHours.Known {
		i.Left.Value = i.DueHours.Value - i.Left.Value
	} else {
		i.Left = Maybe[Tenths]{}
	}
	i.DueDay, i.Reason.Rule = earlier(i.HoursDay, i.MonthDay)
	if i.Reason.Rule == ByMonths && i.seasonal() {
		i.Reason.Rule = BySeason
	}
	if i.MonthDay != 0 {
		i.EarlyDay, _ = earlier(i.EarlyDay, i.MonthDay)
		i.LateDay, _ = earlier(i.LateDay, i.MonthDay)
	}
	if i.DueDay != 0 {
		return
	}
	n := i.Job.place()
	switch {
	case i.DueHours.Known && len(s.Meter.Points) > 0:
		i.Unknown = NotInSight
	case i.Last.Seq != 0:
		i.Unknown = NoReading
	case s.jobs[n].unsure != 0:
		i.Unknown = NobodyKnows
	default:
		i.Unknown = NeverDone
	}
}

// seasonal says that the day by the calendar is one of the year.
func (i *Item) seasonal() bool {
	iv := i.Line.Interval
	return iv.Season != 0 && (iv.Months == 0 || i.MonthDay != i.Last.Day.AddMonths(iv.Months))
}

// earlier is the earlier of two days, where 0 is none, and which clock rules.
func earlier(hours, months Day) (Day, Rule) {
	switch {
	case hours == 0 && months == 0:
		return 0, ""
	case months == 0 || (hours != 0 && hours < months):
		return hours, ByHours
	case hours == months:
		return hours, ByBoth
	}
	return months, ByMonths
}

// nextMark is the next fixed mark for a job done at some hours: the smallest
// that is more than a quarter of the interval away, so that a job done just
// before its mark is not due again at it [common practice].
func nextMark(done, every Tenths) Tenths {
	mark := (done/every + 1) * every
	if 4*(mark-done) <= every {
		mark += every
	}
	return mark
}

// breakIn is where the first service is due on a machine that the book has seen
// new, or 0: it was done, or missed, or the machine was not new.
func (s *Sheet) breakIn(iv Interval, last Last) Tenths {
	if iv.First == 0 || len(s.Meter.Points) == 0 || s.Meter.Points[0].Hours >= iv.First {
		return 0
	}
	switch {
	case last.Seq == 0:
		return iv.First
	case last.Known == Counted:
		if last.Hours.Value >= iv.First {
			return 0
		}
	case !last.Hours.Known || last.Hours.Value*2 >= iv.First:
		return 0
	}
	return iv.First
}

// missedFirst says that a machine that the book has seen new had its first
// service later than half as much again as the break-in [common practice].
func (s *Sheet) missedFirst(job Job, iv Interval) bool {
	e := s.entry(s.jobs[job.place()].first)
	if iv.First == 0 || e == nil || !e.Hours.Known || s.Meter.Points[0].Hours >= iv.First {
		return false
	}
	return s.Meter.Machine(e.Hours.Value, when(e))*2 > iv.First*3
}
