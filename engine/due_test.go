package engine

import (
	"slices"
	"testing"
	"time"
)

// A 200 h / 12 months job last done at 412.6 h on 2026-03-10, worked by hand at
// a given pace: 612.6 h; at 590.0 h on 1 August and 1.2342 h a day 22.6 h are
// left, 18.31 days, which ends on 19 August; a sprayer at 0.15 h a day has
// 182.6 h left, 1217 days, and goes by the calendar. Two clocks, whichever is
// first, as in manuals that have "hours or months, whichever first".
func TestTwoClocksAtAGivenPace(t *testing.T) {
	iv := Interval{Every: 2000, Months: 12}
	done := day(t, "2026-03-10")
	now := utc.Start(day(t, "2026-08-01"))
	c := AtPace(iv, 4126, done, 5900, now, 1.2342, utc)
	same(t, "due", c.DueHours, 6126)
	same(t, "left", c.Left, 226)
	near(t, "days left", c.DaysLeft, 18.31, 0.005)
	same(t, "by hours", c.HoursDay, day(t, "2026-08-19"))
	same(t, "by months", c.MonthDay, day(t, "2027-03-10"))
	same(t, "due day", c.DueDay, day(t, "2026-08-19"))
	same(t, "rule", c.Rule, ByHours)

	c = AtPace(iv, 4126, done, 4300, now, 0.15, utc)
	same(t, "sprayer left", c.Left, 1826)
	near(t, "sprayer days", c.DaysLeft, 1217, 0.5)
	same(t, "sprayer by hours", c.HoursDay, day(t, "2029-11-30"))
	same(t, "sprayer due", c.DueDay, day(t, "2027-03-10"))
	same(t, "sprayer rule", c.Rule, ByMonths)

	c = AtPace(iv, 4126, done, 4300, now, 0, utc)
	same(t, "standing still", c.HoursDay, 0)
	near(t, "no days", c.DaysLeft, 0, 0)
	same(t, "calendar", c.DueDay, day(t, "2027-03-10"))
	c = AtPace(Interval{Every: 2000}, 4126, done, 6200, now, 1, utc)
	same(t, "past", c.Left, -74)
	same(t, "past: now", c.HoursDay, day(t, "2026-08-01"))
	same(t, "no months", c.MonthDay, 0)
	c = AtPace(Interval{Every: 2000, Marks: true}, 4370, done, 4400, now, 1, utc)
	same(t, "on marks", c.DueHours, 6000)
	c = AtPace(Interval{Months: 6}, 4370, day(t, "2026-08-31"), 4400, now, 1, utc)
	same(t, "months only", c.DueHours, 0)
	same(t, "clamped", c.DueDay, day(t, "2027-02-28"))
}

// Of two clocks the earlier rules; on the same day both do.
func TestEarlierOfTwoClocks(t *testing.T) {
	for _, c := range []struct {
		hours, months, want Day
		rule                Rule
	}{
		{0, 0, 0, ""},
		{5, 0, 5, ByHours},
		{0, 5, 5, ByMonths},
		{5, 6, 5, ByHours},
		{6, 5, 5, ByMonths},
		{5, 5, 5, ByBoth},
		{-5, 5, -5, ByHours}, // a day before 1970, as the 400-year check has them
	} {
		got, rule := earlier(c.hours, c.months)
		same(t, "day", got, c.want)
		same(t, "rule", rule, c.rule)
	}
}

// Fixed marks: the next is the smallest more than a quarter of the interval
// away [common practice]. A 200 h job done at 437 h is next at 600, not 637.
func TestMarks(t *testing.T) {
	for _, c := range []struct{ done, want Tenths }{
		{3950, 6000}, // 5 h before its mark
		{4370, 6000},
		{5500, 8000}, // exactly a quarter
		{5499, 6000},
		{4000, 6000}, // on the mark
		{3999, 6000},
		{0, 2000},
		{1500, 4000},
		{1499, 2000},
	} {
		same(t, "after "+c.done.String(), nextMark(c.done, 2000), c.want)
	}
}

// From last done: 437 and 200 is 637 h. And as the book has it.
func TestDueFromLastDoneAndOnMarks(t *testing.T) {
	d := day(t, "2026-03-10")
	l := &log{}
	l.serve(d, 4370, Valves)
	l.read(d+10, 4570) // 2 h a day
	i := due(t, Machine{ID: 3}, l, line(Valves, 2000, 0), morning(d+20))
	same(t, "machine", i.Machine, 3)
	same(t, "job", i.Job, Valves)
	same(t, "due", i.DueHours, Known(Tenths(6370)))
	same(t, "shown", i.DueShown, Known(Tenths(6370)))
	same(t, "now", i.HoursNow, Known(Tenths(4770)))
	same(t, "left", i.Left, Known(Tenths(1600)))
	same(t, "day", i.DueDay, d+100)
	same(t, "by hours", i.HoursDay, d+100)
	same(t, "by months", i.MonthDay, 0)
	same(t, "rule", i.Reason.Rule, ByHours)
	same(t, "count", i.Reason.Count, FromLast)
	same(t, "every", i.Reason.Every, 2000)
	same(t, "early is earlier", i.EarlyDay < i.DueDay && i.EarlyDay > d+20, true)
	same(t, "late is later", i.LateDay > i.DueDay, true)
	same(t, "today", i.Today, d+20)
	same(t, "rests on", i.Reason.Basis.From, PaceTwo)
	same(t, "last", i.Last.Day, d)
	if got, want := i.Evidence(), []Seq{1, 2}; !slices.Equal(got, want) {
		t.Errorf("evidence: got %v, want %v", got, want)
	}
	p := line(Valves, 2000, 0)
	p.Interval.Marks = true
	i = due(t, Machine{}, l, p, morning(d+20))
	same(t, "mark", i.DueHours, Known(Tenths(6000)))
	same(t, "count", i.Reason.Count, OnMarks)
}

// 412.6 h, 200 h or 12 months, from the book: readings that make 1.2342 h a day
// to the tenth, so that the day is the one of the worked case.
func TestWorkedCaseFromTheBook(t *testing.T) {
	toronto := zone(t, "America/Toronto")
	l := &log{}
	at := func(s string) Instant { return toronto.Start(day(t, s)) }
	add := func(kind Kind, s string, h Tenths, jobs ...Job) {
		l.add(Entry{Kind: kind, Day: day(t, s), At: at(s), Hours: Known(h), Jobs: jobs})
	}
	add(KindService, "2026-03-10", 4126, EngineOil)
	add(KindReading, "2026-05-13", 4913) // 987 h in 800 days is 1.2337 a day
	add(KindReading, "2026-06-22", 5407)
	add(KindReading, "2026-08-01", 5900)
	i := Due(Machine{}, l.entries, []PlanLine{line(EngineOil, 2000, 12)}, at("2026-08-01"), toronto)[0]
	near(t, "pace", i.Reason.Basis.Last.Hours.Hours(), 590, 0)
	same(t, "due", i.DueShown, Known(Tenths(6126)))
	same(t, "left", i.Left, Known(Tenths(226)))
	same(t, "day", i.DueDay, day(t, "2026-08-19"))
	same(t, "month day", i.MonthDay, day(t, "2027-03-10"))
}

// Months run from the day it was done and clamp; without a reading the calendar
// still rules, and the hours are not known.
func TestDueByMonths(t *testing.T) {
	l := &log{}
	l.serveUnread(day(t, "2026-08-31"), Coolant)
	now := morning(day(t, "2026-09-30"))
	i := due(t, Machine{}, l, line(Coolant, 10000, 6), now)
	same(t, "day", i.DueDay, day(t, "2027-02-28"))
	same(t, "rule", i.Reason.Rule, ByMonths)
	same(t, "hours", i.DueHours, Maybe[Tenths]{})
	same(t, "left", i.Left, Maybe[Tenths]{})
	same(t, "now", i.HoursNow, Maybe[Tenths]{})
	same(t, "early", i.EarlyDay, i.DueDay)
	same(t, "late", i.LateDay, i.DueDay)
	i = due(t, Machine{}, l, line(Coolant, 0, 6), now)
	same(t, "months only", i.DueDay, day(t, "2027-02-28"))
	l.read(day(t, "2026-09-01"), 5000)
	i = due(t, Machine{}, l, line(Coolant, 0, 6), now)
	same(t, "nothing by hours, with a reading", i.Left, Maybe[Tenths]{})
	l.entries = l.entries[:1]
	i = due(t, Machine{}, l, line(Coolant, 10000, 0), now)
	same(t, "hours only", i.Unknown, NoReading)
	same(t, "no day", i.DueDay, 0)
	// A pace that never gets there leaves the calendar, and late is its day.
	idle := &log{}
	idle.serve(day(t, "2026-01-31"), 1000, Coolant)
	for n := range 3 {
		idle.read(day(t, "2026-02-10")+Day(10*n), 1000)
	}
	i = due(t, Machine{}, idle, line(Coolant, 10000, 1), morning(day(t, "2026-03-09")))
	same(t, "clamped", i.DueDay, day(t, "2026-02-28"))
	same(t, "late", i.LateDay, day(t, "2026-02-28"))
	same(t, "hours out of sight", i.HoursDay, 0)
	i = due(t, Machine{}, idle, line(Coolant, 10000, 0), morning(day(t, "2026-03-09")))
	same(t, "not in sight", i.Unknown, NotInSight)
	same(t, "but known", i.DueHours, Known(Tenths(11000)))
	same(t, "left", i.Left, Known(Tenths(10000)))
}

func TestHoursBeforeMonthsAndTheBand(t *testing.T) {
	d := day(t, "2026-03-10")
	l := steady(d, 1000, 20, 5) // 2 h a day, last on d+12 at 124.0
	l.serve(d, 1000, EngineOil)
	i := due(t, Machine{}, l, line(EngineOil, 500, 12), morning(d+13)) // due at 150 on d+25
	same(t, "hours", i.DueDay, d+25)
	same(t, "rule", i.Reason.Rule, ByHours)
	same(t, "month", i.MonthDay, day(t, "2027-03-10"))
	i = due(t, Machine{}, l, line(EngineOil, 7300, 12), morning(d+13)) // 365 days: the same day
	same(t, "both", i.Reason.Rule, ByBoth)
	same(t, "day", i.DueDay, day(t, "2027-03-10"))
	same(t, "late is no later than the month", i.LateDay, i.MonthDay)
	same(t, "early is by hours", i.EarlyDay < i.MonthDay, true)
}

// Services that contain others reset those and no more.
func TestNestedServices(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.serve(d, 1000, Drain, EngineOil, OilFilter, ORing)
	l.serve(d+10, 1100, Separator)
	l.add(Entry{Kind: KindService, Day: d + 20, Hours: Known(Tenths(1200)), Jobs: []Job{EngineOil, Vent, Job("paint")}, How: LookedAt})
	l.add(Entry{Kind: KindService, Day: d + 21, Hours: Known(Tenths(1210)), Jobs: []Job{Vent, AirCleaner}, How: Cleaned})
	s := Fold(Machine{}, l.entries, utc)
	for _, c := range []struct {
		job  Job
		want Day // 0 is never
	}{
		{Separator, d + 10},
		{Drain, d + 10}, // the bowl was off
		{ORing, d},      // a ring is not part of it
		{EngineOil, d},  // looked at is not changed
		{OilFilter, d},
		{Vent, d + 21}, // cleaning a vent is the job
		{AirCleaner, 0},
		{FuelFilter, 0},
		{Job("paint"), 0},
	} {
		last, ok := s.LastDone(c.job)
		same(t, string(c.job), last.Day, c.want)
		same(t, string(c.job)+" known", ok, c.want != 0)
	}
}

func TestTakenBackAndReplacedCountForNothing(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.serve(d, 1000, EngineOil)
	l.serve(d+10, 1100, EngineOil)
	l.serve(d+20, 1200, EngineOil)
	l.entries[1].State, l.entries[1].By = Replaced, 4
	l.entries[2].State = TakenBack
	l.add(Entry{Kind: KindService, Day: d + 9, Hours: Known(Tenths(1090)), Jobs: []Job{EngineOil}, Replaces: 2})
	s := Fold(Machine{}, l.entries, utc)
	last, _ := s.LastDone(EngineOil)
	same(t, "successor", last.Seq, 4)
	same(t, "day", last.Day, d+9)
	same(t, "hours", last.Hours, Known(Tenths(1090)))
	l.entries[3].State = TakenBack
	s = Fold(Machine{}, l.entries, utc)
	last, _ = s.LastDone(EngineOil)
	same(t, "the one before", last.Seq, 1)
}

func TestBaselines(t *testing.T) {
	d := day(t, "2026-03-10")
	told := d + 60
	base := func(e Entry) *log {
		l := steady(d, 10000, 20, 11) // 2 h a day, 1000.0 to 1060.0 on d+30
		e.Kind, e.Jobs = KindBaseline, []Job{EngineOil}
		if e.At == 0 {
			e.At = morning(told)
		}
		l.add(e)
		return l
	}
	p := line(EngineOil, 2500, 12)
	now := morning(told)

	// Sticker with hours that the book saw pass: the day is worked out.
	i := due(t, Machine{}, base(Entry{Hours: Known(Tenths(10200)), Known: Sticker}), p, now)
	same(t, "sticker day", i.Last.Day, d+10)
	same(t, "sticker hours", i.Last.Hours, Known(Tenths(10200)))
	same(t, "sticker", i.Last.Known, Sticker)
	same(t, "kind", i.Last.Kind, KindBaseline)
	same(t, "due", i.DueHours, Known(Tenths(12700)))
	same(t, "by months", i.MonthDay, (d + 10).AddMonths(12))
	// Hours from before the book: no day, so no months.
	i = due(t, Machine{}, base(Entry{Hours: Known(Tenths(9000)), Known: Sticker}), p, now)
	same(t, "before the book", i.Last.Day, 0)
	same(t, "due before", i.DueHours, Known(Tenths(11500)))
	same(t, "no months", i.MonthDay, 0)
	same(t, "by hours", i.Reason.Rule, ByHours)
	// Just at the first reading it can be dated.
	i = due(t, Machine{}, base(Entry{Hours: Known(Tenths(10000)), Known: Sticker}), p, now)
	same(t, "at the first", i.Last.Day, d)
	// Hours that by the pace are still to come were run when it was told.
	i = due(t, Machine{}, base(Entry{Hours: Known(Tenths(13000)), Known: Told}), p, now)
	same(t, "no later than told", i.Last.Day, told)
	// A day and no hours: the hours are worked out.
	i = due(t, Machine{}, base(Entry{Day: d + 5, At: morning(d + 5), Known: Told}), p, now)
	same(t, "projected", i.Last.Projected, true)
	same(t, "hours then", i.Last.Hours, Known(Tenths(10100)))
	same(t, "shown then", i.Last.Shown, Maybe[Tenths]{})
	same(t, "due", i.DueHours, Known(Tenths(12600)))
	// A day before the book: months only.
	i = due(t, Machine{}, base(Entry{Day: d - 5, At: morning(d - 5), Known: Told}), p, now)
	same(t, "months only", i.Reason.Rule, ByMonths)
	same(t, "hours", i.DueHours, Maybe[Tenths]{})
	same(t, "day", i.DueDay, (d - 5).AddMonths(12))
	// Both: they stand, and are a point of the timeline.
	l := base(Entry{Day: d - 10, At: morning(d - 10), Hours: Known(Tenths(9800)), Known: Sticker})
	i = due(t, Machine{}, l, p, now)
	same(t, "not projected", i.Last.Projected, false)
	same(t, "both", i.Last.Hours, Known(Tenths(9800)))
	same(t, "both, day", i.Last.Day, d-10)
	same(t, "on the timeline", Timeline(Machine{}, l.entries).Points[0].Shown, 9800)
	// Neither: told that it was done, and no more.
	i = due(t, Machine{}, base(Entry{Known: Told}), p, now)
	same(t, "no reading for it", i.Unknown, NoReading)
	same(t, "but in the book", i.Last.Seq, 12)
	// Told so of a machine whose first reading is nought.
	l = base(Entry{Known: Told})
	l.entries[0].Hours = Known(Tenths(0))
	same(t, "no hours are not none", due(t, Machine{}, l, p, now).Last.Day, 0)
	// A sticker and no reading at all.
	l = &log{}
	l.add(Entry{Kind: KindBaseline, Jobs: []Job{EngineOil, Drain}, Known: Sticker, Hours: Known(Tenths(9000)), At: now})
	i = due(t, Machine{}, l, p, now)
	same(t, "no reading", i.Unknown, NoReading)
	same(t, "but due at", i.DueShown, Known(Tenths(11500)))
	same(t, "no reading, a drain", due(t, Machine{}, l, line(Drain, 100, 0), now).Last.Seq, 1)
	// Counted from today: nothing was done, hours as they stand.
	i = due(t, Machine{}, base(Entry{Day: told, Known: Counted}), p, now)
	same(t, "counted", i.Reason.Count, FromStart)
	same(t, "from", i.Last.Hours, Known(Tenths(11200))) // 60 days at 2 h
	same(t, "due", i.DueHours, Known(Tenths(13700)))
	same(t, "months", i.MonthDay, told.AddMonths(12))
	i = due(t, Machine{}, base(Entry{Known: Counted, Hours: Known(Tenths(11000))}), p, now)
	same(t, "counted, with hours", i.Last.Hours, Known(Tenths(11000)))
	same(t, "counted, no day given", i.Last.Day, told)
	// Nobody knows: not asked again, and not due.
	i = due(t, Machine{}, base(Entry{Known: Unsure}), p, now)
	same(t, "nobody knows", i.Unknown, NobodyKnows)
	same(t, "no last", i.Last.Seq, 0)
	// A service in the book outweighs what is told of before it, and not after.
	l = base(Entry{Day: d + 5, At: morning(d + 5), Known: Told})
	l.serve(d+6, 10120, EngineOil)
	same(t, "service after", due(t, Machine{}, l, p, now).Last.Kind, KindService)
	l.entries[12].Day, l.entries[12].At = d+4, morning(d+4)
	same(t, "service before", due(t, Machine{}, l, p, now).Last.Kind, KindBaseline)
	// And nobody knows goes by once somebody does.
	l = base(Entry{Known: Unsure})
	l.serve(d+6, 10120, EngineOil)
	same(t, "done since", due(t, Machine{}, l, p, now).Unknown, "")
	same(t, "not a word", due(t, Machine{}, base(Entry{Known: Told, State: TakenBack}), p, now).Unknown, NeverDone)
}

// Baselines across a new meter: a dated one by the meter of its day, counting by
// the one of now, a sticker of no day by the newest that has shown its figure.
func TestBaselinesAcrossANewMeter(t *testing.T) {
	d := Day(20000)
	for _, c := range []struct {
		name string
		e    Entry
		want Tenths
	}{
		{"sticker, new meter", Entry{Kind: KindBaseline, Known: Sticker, Hours: Known(Tenths(50))}, 41450},
		{"sticker, old meter", Entry{Kind: KindBaseline, Known: Sticker, Hours: Known(Tenths(41300))}, 41300},
		{"sticker with its day", Entry{Kind: KindBaseline, Known: Sticker, Day: d + 5, At: morning(d + 5), Hours: Known(Tenths(50))}, 50},
		{"counted from here", Entry{Kind: KindBaseline, Known: Counted, Hours: Known(Tenths(41300))}, 82700},
		{"a service of no day", Entry{Kind: KindService, Hours: Known(Tenths(50))}, 41450},
		{"a service of no day, on the old one", Entry{Kind: KindService, At: morning(d + 5), Hours: Known(Tenths(50))}, 50},
	} {
		l := &log{}
		l.read(d, 41260)
		l.add(Entry{Kind: KindMeter, Day: d + 10, Old: Known(Tenths(41400)), Hours: Known(Tenths(0))})
		l.read(d+20, 120)
		c.e.Jobs = []Job{Belt}
		if c.e.At == 0 {
			c.e.At = morning(d + 21)
		}
		l.add(c.e)
		s := Fold(Machine{}, l.entries, utc)
		last, _ := s.LastDone(Belt)
		same(t, c.name, last.Hours, Known(c.want))
	}
}

// The day that is written stands, whatever the instant.
func TestWrittenDayStands(t *testing.T) {
	l := &log{}
	l.add(Entry{Kind: KindService, Day: 20000, At: morning(20001), Jobs: []Job{Belt}})
	s := Fold(Machine{}, l.entries, utc)
	last, _ := s.LastDone(Belt)
	same(t, "day", last.Day, 20000)
}

// A drain that gave nothing is none, unless that was taken back; other work of
// the same message stands.
func TestDrainThatGaveNothing(t *testing.T) {
	l := &log{}
	l.serveUnread(20000, Drain, Belt)
	l.find(20000, NothingCame, 0)
	s := Fold(Machine{}, l.entries, utc)
	_, ok := s.LastDone(Drain)
	same(t, "drain", ok, false)
	_, ok = s.LastDone(Belt)
	same(t, "belt", ok, true)
	l.entries[1].State = TakenBack
	s = Fold(Machine{}, l.entries, utc)
	_, ok = s.LastDone(Drain)
	same(t, "taken back", ok, true)
}

// Two services of one instant: the one written later is the last.
func TestLastOfTheSameInstant(t *testing.T) {
	l := &log{}
	l.serve(20000, 1000, Belt)
	l.serve(20000, 1000, Belt)
	for range 2 {
		s := Fold(Machine{}, l.entries, utc)
		last, _ := s.LastDone(Belt)
		same(t, "later", last.Seq, 2)
		slices.Reverse(l.entries)
	}
}

func TestServiceWithoutAFigure(t *testing.T) {
	d := Day(20000)
	l := steady(d, 1000, 20, 5) // to d+12 at 124.0
	l.serveUnread(d+22, EngineOil)
	i := due(t, Machine{}, l, line(EngineOil, 500, 0), morning(d+22))
	same(t, "hours", i.Last.Hours, Known(Tenths(1440)))
	same(t, "due", i.DueHours, Known(Tenths(1940)))
	same(t, "day", i.DueDay, d+47)
	// Counted from the job the band starts anew there.
	same(t, "early", i.EarlyDay > d+22, true)
	f := Fold(Machine{}, l.entries, utc).Forecast
	near(t, "band", float64(i.EarlyDay), float64(utc.DayAt(f.From(morning(d+22), 1440).Crossing(1940).Early)), 0)
	same(t, "narrower than from the reading", f.From(morning(d+22), 1440).Crossing(1940).Early > f.Crossing(1940).Early, true)
}

// Done between two readings, what was read since decides, not the pace.
func TestServiceWithoutAFigureBetweenReadings(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 1000)
	l.read(d+10, 1200)
	l.read(d+20, 1700)
	l.serveUnread(d+5, EngineOil)
	i := due(t, Machine{}, l, line(EngineOil, 400, 0), morning(d+20))
	same(t, "then", i.Last.Hours, Known(Tenths(1100)))
	same(t, "projected", i.Last.Projected, true)
	same(t, "passed", i.DueDay, d+16) // 150.0 h, 30 of the 50 h of the second ten days
	same(t, "left", i.Left, Known(Tenths(-200)))
}

func TestBreakIn(t *testing.T) {
	d := Day(20000)
	p := line(EngineOil, 2500, 12)
	p.Interval.First = 500
	run := func(first Tenths) *log { return steady(d, first, 20, 5) } // 2 h a day, 24 h in all
	now := morning(d + 12)
	// New in the book: due at 50 h.
	i := due(t, Machine{}, run(100), p, now)
	same(t, "first", i.DueHours, Known(Tenths(500)))
	same(t, "count", i.Reason.Count, BreakIn)
	same(t, "interval", i.Reason.Every, 500)
	same(t, "day", i.DueDay, d+20)
	same(t, "known", i.Unknown, "")
	// Not new: not known.
	same(t, "at 50 h", due(t, Machine{}, run(500), p, now).Unknown, NeverDone)
	same(t, "under 50 h", due(t, Machine{}, run(499), p, now).Unknown, "")
	same(t, "no readings", due(t, Machine{}, &log{}, p, now).Unknown, NeverDone)
	// Done about then: from there.
	l := run(100)
	l.serve(d+8, 260, EngineOil)
	i = due(t, Machine{}, l, p, now)
	same(t, "done", i.DueHours, Known(Tenths(2760)))
	same(t, "count then", i.Reason.Count, FromLast)
	same(t, "not missed", i.Reason.MissedFirst, false)
	// Half of it is the least that counts as the break-in.
	l = run(100)
	l.serve(d+8, 250, EngineOil)
	same(t, "half", due(t, Machine{}, l, p, now).DueHours, Known(Tenths(2750)))
	l.entries[5].Hours = Known(Tenths(249))
	i = due(t, Machine{}, l, p, now)
	same(t, "less than half", i.DueHours, Known(Tenths(500)))
	same(t, "and the months run", i.MonthDay, (d + 8).AddMonths(12))
	// Counting from before the first is no service.
	l = run(100)
	l.add(Entry{Kind: KindBaseline, Known: Counted, Day: d + 12, Hours: Known(Tenths(340)), Jobs: []Job{EngineOil}})
	same(t, "counted", due(t, Machine{}, l, p, now).DueHours, Known(Tenths(500)))
	l.entries[5].Hours = Known(Tenths(500))
	same(t, "counted after", due(t, Machine{}, l, p, now).DueHours, Known(Tenths(3000)))
	// Missed: the next is not void, and it is noted. 75 h is half as much again.
	for _, c := range []struct {
		done   Tenths
		missed bool
	}{{750, false}, {751, true}} {
		l = run(100)
		l.serve(d+400, c.done, EngineOil)
		l.serve(d+500, 900, EngineOil)
		i = due(t, Machine{}, l, p, morning(d+500))
		same(t, "missed", i.Reason.MissedFirst, c.missed)
		same(t, "next", i.DueHours, Known(Tenths(3400)))
		same(t, "not for one without", due(t, Machine{}, l, line(EngineOil, 2500, 12), now).Reason.MissedFirst, false)
	}
	l.entries[0].Hours = Known(Tenths(500))
	l.entries = slices.Delete(l.entries, 1, 5)
	same(t, "not new in the book", due(t, Machine{}, l, p, now).Reason.MissedFirst, false)
	// Done without a figure, before any: taken as done.
	l = run(100)
	l.serveUnread(d-1, EngineOil)
	i = due(t, Machine{}, l, p, now)
	same(t, "no figure", i.Reason.Rule, ByMonths)
	same(t, "no figure, not missed", i.Reason.MissedFirst, false)
}

// Severe use halves (utility tractor, construction engine and telehandler
// manuals), high sulphur quarters (tractor manual for poor-fuel markets), the
// worst factor once and never less than a quarter.
func TestSevereUse(t *testing.T) {
	iv := Interval{Every: 2500, Severable: true}
	for _, c := range []struct {
		name   string
		iv     Interval
		factor string
		want   Tenths
		why    string
	}{
		{"none", iv, "", 2500, ""},
		{"said none", iv, "none", 2500, ""},
		{"dust", iv, "dust", 1250, "dust"},
		{"sulphur", iv, "high-sulphur", 625, "high-sulphur"},
		{"not severable", Interval{Every: 2500}, "dust", 2500, ""},
		{"given hours", Interval{Every: 3000, Severe: 1500}, "cold", 1500, "cold"},
		{"given hours under a quarter", Interval{Every: 3000, Severe: 100}, "cold", 750, "cold"},
		{"given hours are not halved again", Interval{Every: 3000, Severe: 2000, Severable: true}, "dust", 2000, "dust"},
		{"given more than usual", Interval{Every: 3000, Severe: 4000}, "dust", 3000, "dust"},
		{"months only", Interval{Months: 12, Severable: true}, "dust", 0, ""},
		{"never nothing", Interval{Every: 1, Severable: true}, "dust", 1, "dust"},
	} {
		hours, why := severeHours(c.iv, c.factor)
		same(t, c.name, hours, c.want)
		same(t, c.name+": why", why, c.why)
	}
	l := &log{}
	l.serve(20000, 1000, EngineOil)
	p := line(EngineOil, 2500, 12)
	p.Interval.Severable = true
	i := due(t, Machine{Severe: "dust"}, l, p, morning(20000))
	same(t, "due", i.DueHours, Known(Tenths(2250)))
	same(t, "every", i.Reason.Every, 1250)
	same(t, "why", i.Reason.Severe, "dust")
	same(t, "months are not", i.MonthDay, Day(20000).AddMonths(12))
}

func TestDueAfterANewMeter(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.serve(d, 41260, EngineOil)
	l.add(Entry{Kind: KindMeter, Day: d + 10, Old: Known(Tenths(41360)), Hours: Known(Tenths(0))})
	l.read(d+20, 100)
	i := due(t, Machine{}, l, line(EngineOil, 2500, 0), morning(d+20))
	same(t, "machine hours", i.DueHours, Known(Tenths(43760)))
	same(t, "on today's meter", i.DueShown, Known(Tenths(2400)))
	same(t, "now", i.HoursNow, Known(Tenths(100)))
	same(t, "left", i.Left, Known(Tenths(2300)))
	i = due(t, Machine{}, l, line(EngineOil, 50, 0), morning(d+20))
	same(t, "on the old meter", i.DueShown, Maybe[Tenths]{})
	same(t, "past", i.Left, Known(Tenths(-150)))
	same(t, "passed on", i.DueDay, d+5)
}

// An unread spell brings the early end forward and leaves the middle alone.
func TestSlackBringsEarlyForward(t *testing.T) {
	d := Day(20000)
	l := steady(d, 1000, 20, 4) // to d+9 at 118.0
	l.serve(d+9, 1180, EngineOil)
	l.add(Entry{Kind: KindMeter, Day: d + 19, Hours: Known(Tenths(0))}) // 20 h at most unread
	l.read(d+20, 20)
	l.read(d+30, 220)
	with := due(t, Machine{}, l, line(EngineOil, 2000, 0), morning(d+30))
	f := ForecastOf(Timeline(Machine{}, l.entries))
	same(t, "middle", with.DueDay, utc.DayAt(f.Crossing(3180).Median))
	same(t, "early", with.EarlyDay, utc.DayAt(f.Crossing(2980).Early))
	same(t, "earlier than without", with.EarlyDay < utc.DayAt(f.Crossing(3180).Early), true)
	// A job done since then is not touched by it.
	l.serve(d+30, 220, EngineOil)
	i := due(t, Machine{}, l, line(EngineOil, 2000, 0), morning(d+30))
	f = ForecastOf(Timeline(Machine{}, l.entries))
	same(t, "done since", i.EarlyDay, utc.DayAt(f.Crossing(3400).Early))
}

func TestNeverDoneAndSkippedLines(t *testing.T) {
	plan := []PlanLine{
		line(EngineOil, 2500, 12),
		{Job: Belt, Interval: Interval{Off: true}},
		{Job: Valves},
		{Job: "paint", Interval: Interval{Every: 10}},
	}
	items := Due(Machine{}, nil, plan, morning(20000), utc)
	same(t, "one", len(items), 1)
	same(t, "never", items[0].Unknown, NeverDone)
	same(t, "no day", items[0].DueDay, 0)
	same(t, "no evidence", len(items[0].Evidence()), 0)
	same(t, "not known", items[0].Stand(), "")
	same(t, "not spoken of", items[0].Mention(0), CannotSay)
	same(t, "silence", CannotSay.Spoken(), false)
	same(t, "no window", items[0].WindowFrom(), 0)
}

func TestOrderOfItems(t *testing.T) {
	items := []Item{
		{Machine: 2, Job: Belt, Unknown: NeverDone},
		{Machine: 1, Job: Belt, Unknown: NotInSight},
		{Machine: 1, Job: Valves, DueDay: 9},
		{Machine: 2, Job: EngineOil, DueDay: 7},
		{Machine: 1, Job: OilFilter, DueDay: 7},
		{Machine: 1, Job: EngineOil, DueDay: 7},
		{Machine: 1, Job: Coolant, Unknown: NobodyKnows},
	}
	SortItems(items)
	type key struct {
		m MachineID
		j Job
	}
	var got []key
	for _, i := range items {
		got = append(got, key{i.Machine, i.Job})
	}
	want := []key{{1, EngineOil}, {1, OilFilter}, {2, EngineOil}, {1, Valves}, {1, Belt}, {1, Coolant}, {2, Belt}}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	due := DueBy(items, 7)
	same(t, "by the 7th", len(due), 3)
	same(t, "by the 9th", len(DueBy(items, 9)), 4)
	same(t, "by the 6th", len(DueBy(items, 6)), 0)
}

// The window is a tenth of the interval ("10 % rule" of preventive maintenance,
// reliabilityweb.com); a boundary belongs to the worse side.
func TestStand(t *testing.T) {
	byHours := func(left Tenths) Item {
		return Item{DueHours: Known(Tenths(1)), Left: Known(left), Reason: Reason{Every: 2000}}
	}
	byMonths := func(left Day) Item { return Item{Today: 1000 - left, MonthDay: 1000, Last: Last{Day: 700}} }
	for _, c := range []struct {
		name string
		item Item
		want Stand
	}{
		{"20.1 h left of 200", byHours(201), Ahead},
		{"20 h left", byHours(200), InWindow},
		{"0.1 h left", byHours(1), InWindow},
		{"none left", byHours(0), Past},
		{"19.9 h past", byHours(-199), Past},
		{"20 h past", byHours(-200), WellPast},
		{"31 days left of 300", byMonths(31), Ahead},
		{"30 days left", byMonths(30), InWindow},
		{"today", byMonths(0), Past},
		{"29 days past", byMonths(-29), Past},
		{"30 days past", byMonths(-30), WellPast},
		{"nothing known", Item{}, ""},
	} {
		same(t, c.name, c.item.Stand(), c.want)
	}
	// The worse of the two clocks.
	both := byMonths(31)
	both.DueHours, both.Left, both.Reason.Every = Known(Tenths(1)), Known(Tenths(0)), 2000
	same(t, "hours are worse", both.Stand(), Past)
	both = byMonths(-30)
	both.DueHours, both.Left, both.Reason.Every = Known(Tenths(1)), Known(Tenths(201)), 2000
	same(t, "months are worse", both.Stand(), WellPast)
	both = byMonths(10)
	both.DueHours, both.Left, both.Reason.Every = Known(Tenths(1)), Known(Tenths(201)), 2000
	same(t, "months are in their window", both.Stand(), InWindow)
	same(t, "window", Item{DueDay: 1000, Last: Last{Day: 700}}.WindowFrom(), 970)
	same(t, "window of what was never done", Item{DueDay: 1000}.WindowFrom(), 1000)
	same(t, "window behind", Item{DueDay: 1000, Last: Last{Day: 1001}}.WindowFrom(), 1000)
}

func TestPutOff(t *testing.T) {
	d := day(t, "2026-11-02")
	l := &log{}
	l.serve(d-365, 1000, EngineOil, Coolant)
	l.read(d, 1100)
	off := l.add(Entry{Kind: KindPutOff, Day: d, At: morning(d) + hour, Until: d + 11, Jobs: []Job{EngineOil}, Writer: 4})
	p := line(EngineOil, 0, 12) // due on d
	at := func(n Day) Item { return due(t, Machine{}, l, p, morning(d+n)) }
	i := at(1)
	same(t, "due point stands", i.DueDay, d)
	same(t, "put off", i.PutOff, PutOff{Seq: off.Seq, Said: d, Until: d + 11, By: 4})
	same(t, "promise", i.Promise(), d+11)
	same(t, "held", i.Mention(0), PutOffHeld)
	same(t, "held to the eve", at(10).Mention(0), PutOffHeld)
	same(t, "came", at(11).Mention(0), PutOffCame)
	same(t, "and stays", at(20).Mention(0), PutOffCame)
	if got, want := i.Evidence(), []Seq{1, 2, 3}; !slices.Equal(got, want) {
		t.Errorf("evidence: got %v, want %v", got, want)
	}
	// Another job is not put off.
	other := due(t, Machine{}, l, line(Coolant, 0, 12), morning(d+1))
	same(t, "other", other.PutOff, PutOff{})
	same(t, "other is due", other.Mention(0), IsDue)
	same(t, "due at its day", other.Promise(), d)
	same(t, "not the day before", due(t, Machine{}, l, line(Coolant, 0, 12), morning(d-1)).Mention(0), NotYet)
	same(t, "on the day", due(t, Machine{}, l, line(Coolant, 0, 12), morning(d)).Mention(0), IsDue)
	// A later word replaces it, whatever was written first.
	l.add(Entry{Kind: KindPutOff, Day: d + 1, Until: d + 30, Jobs: []Job{EngineOil, Job("paint")}})
	same(t, "longer", at(20).Mention(0), PutOffHeld)
	// Done since: it is over.
	l.serve(d+2, 1101, EngineOil)
	same(t, "done", at(3).PutOff, PutOff{})
	// Done the same moment it was put off: done.
	l.entries[4].Day, l.entries[4].At = d+1, l.entries[3].At
	same(t, "the same moment", at(3).PutOff, PutOff{})
}

// An open put-off is raised every week, also where the week ends on a day
// without a morning.
func TestOpenPutOff(t *testing.T) {
	d := day(t, "2026-11-02") // a Monday
	l := &log{}
	l.serve(d-365, 1000, EngineOil)
	l.add(Entry{Kind: KindPutOff, Day: d, Jobs: []Job{EngineOil}})
	p := line(EngineOil, 0, 12)
	for n, want := range map[Day]Mention{
		0: PutOffHeld, 1: PutOffHeld, 6: PutOffHeld, 7: PutOffOpen, 8: PutOffHeld, 13: PutOffHeld, 14: PutOffOpen, 70: PutOffOpen,
	} {
		i := due(t, Machine{}, l, p, morning(d+n))
		same(t, "day", i.Mention(0), want)
		same(t, "promise", i.Promise(), d+max((n+6)/7, 1)*7)
	}
	i := due(t, Machine{}, l, p, morning(d+8))
	same(t, "no morning yesterday", i.Mention(d+6), PutOffOpen)
	same(t, "there was one", i.Mention(d+7), PutOffHeld)
	same(t, "not twice in a day", i.Mention(d+8), PutOffHeld)
	same(t, "the same morning again", due(t, Machine{}, l, p, morning(d+7)).Mention(d+7), PutOffOpen)
	same(t, "weekly is spoken of", PutOffOpen.Spoken(), true)
	same(t, "held is not", PutOffHeld.Spoken(), false)
	same(t, "due is", IsDue.Spoken(), true)
	same(t, "came is", PutOffCame.Spoken(), true)
	same(t, "not yet is not", NotYet.Spoken(), false)
}

// A put-off without a job holds for what was due, or in its window, that day.
func TestPutOffOfAll(t *testing.T) {
	d := day(t, "2026-11-02")
	l := &log{}
	l.serve(d-365, 1000, EngineOil)    // due on d
	l.serve(d-365+36, 1000, OilFilter) // due on d+36, its window of 36 days opens on d
	l.serve(d-365+40, 1000, Coolant)   // due on d+40, window from d+4
	l.add(Entry{Kind: KindPutOff, Day: d, At: morning(d) + hour, Until: d + 60})
	at := func(job Job) PutOff { return due(t, Machine{}, l, line(job, 0, 12), morning(d+1)).PutOff }
	same(t, "due", at(EngineOil).Until, d+60)
	same(t, "in its window", at(OilFilter).Until, d+60)
	same(t, "not yet", at(Coolant), PutOff{})
	same(t, "not in the book", at(Vent), PutOff{})
	// One for the job, said later, rules; one said earlier does not.
	l.add(Entry{Kind: KindPutOff, Day: d, At: morning(d) + 2*hour, Until: d + 5, Jobs: []Job{EngineOil}})
	same(t, "later", at(EngineOil).Until, d+5)
	l.entries[4].At = morning(d)
	same(t, "earlier", at(EngineOil).Until, d+60)
	// Without a day it is the day it was said.
	l.entries[3].Day, l.entries[3].At, l.entries[3].Said = 0, 0, morning(d)+hour
	same(t, "said", at(EngineOil).Said, d)
}

// Clock changes move nothing: due days are the shop's days.
func TestDueDaysAreTheShops(t *testing.T) {
	auckland := zone(t, "Pacific/Auckland")
	d := day(t, "2026-09-20")
	l := &log{}
	for n := range Day(3) {
		at, _ := auckland.At(d+2*n, ClockOf(0, 30)) // still the day before on UTC
		l.add(Entry{Kind: KindReading, Day: d + 2*n, At: at, Hours: Known(1000 + 20*Tenths(n))})
	}
	at, _ := auckland.At(d, ClockOf(0, 30))
	l.add(Entry{Kind: KindService, Day: d, At: at, Hours: Known(Tenths(1000)), Jobs: []Job{Grease}})
	i := Due(Machine{}, l.entries, []PlanLine{line(Grease, 60, 0)}, at, auckland)[0]
	// 6 h at 1 h a day from 100.0 h: six days on, past the change of 27 September
	// (New Zealand Time Order 2007) only where it is seven.
	same(t, "day", i.DueDay, d+6)
	same(t, "today", i.Today, d)
	i = Due(Machine{}, l.entries, []PlanLine{line(Grease, 70, 0)}, at, auckland)[0]
	same(t, "over the change", i.DueDay, d+7)
	same(t, "month names", d.Weekday(), time.Sunday)
}
