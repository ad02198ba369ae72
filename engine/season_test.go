package engine

import (
	"strings"
	"testing"
	"time"
)

func TestYearDay(t *testing.T) {
	for _, c := range []struct {
		in   string
		want YearDay
		ok   bool
	}{
		{"11-01", 1101, true}, {"02-29", 229, true}, {"01-31", 131, true}, {"12-31", 1231, true},
		{"02-30", 0, false}, {"13-01", 0, false}, {"00-10", 0, false}, {"1101", 0, false}, {"", 0, false}, {"11-01 ", 0, false}, {"2026-11-01", 0, false},
	} {
		got, err := ParseYearDay(c.in)
		same(t, c.in, got, c.want)
		same(t, c.in+": taken", err == nil, c.ok)
		if c.ok {
			same(t, c.in+": written", got.String(), c.in)
		} else if !strings.HasPrefix(err.Error(), ErrYearDay.Error()) {
			t.Errorf("%s: %v", c.in, err)
		}
	}
	same(t, "none", YearDay(0).String(), "")
	same(t, "in a leap year", YearDay(229).In(2028), DayOf(2028, time.February, 29))
	same(t, "in another: the month's last day", YearDay(229).In(2027), DayOf(2027, time.February, 28))
	same(t, "December", YearDay(1231).In(2027), DayOf(2027, time.December, 31))
}

// A job done up to a quarter of a year before its day counts for that day.
func TestNextSeason(t *testing.T) {
	frost := YearDay(1101)
	for _, c := range []struct{ done, want string }{
		{"2026-03-10", "2026-11-01"},
		{"2026-08-01", "2026-11-01"}, // 92 days
		{"2026-08-02", "2027-11-01"}, // 91
		{"2026-10-31", "2027-11-01"},
		{"2026-11-01", "2027-11-01"},
		{"2026-11-02", "2027-11-01"},
		{"2027-12-31", "2028-11-01"},
	} {
		same(t, c.done, frost.Next(day(t, c.done)), day(t, c.want))
	}
	same(t, "over the year's end", YearDay(201).Next(day(t, "2026-11-20")), day(t, "2028-02-01"))
}

func TestSeasonalItems(t *testing.T) {
	d := day(t, "2026-03-10")
	l := daily(d, 10, 10)
	l.add(Entry{Kind: KindService, Day: d, At: morning(d), Hours: Known(Tenths(1000)), Jobs: []Job{Coolant}})
	item := func(iv Interval, now Day) Item {
		return due(t, Machine{}, l, PlanLine{Job: Coolant, Interval: iv}, morning(now))
	}
	i := item(Interval{Season: 1101}, d+9)
	same(t, "by the season", i.DueDay, day(t, "2026-11-01"))
	same(t, "rule", i.Reason.Rule, BySeason)
	same(t, "no hours", i.HoursDay, 0)
	same(t, "ahead", i.Stand(), Ahead)
	same(t, "on the day", item(Interval{Season: 1101}, day(t, "2026-11-01")).Stand(), Past)
	i = item(Interval{Season: 1101, Months: 7}, d+9)
	same(t, "the months first", i.DueDay, day(t, "2026-10-10"))
	same(t, "by months", i.Reason.Rule, ByMonths)
	i = item(Interval{Season: 1101, Months: 12}, d+9)
	same(t, "the season first", i.DueDay, day(t, "2026-11-01"))
	same(t, "by season", i.Reason.Rule, BySeason)
	i = item(Interval{Season: 1010, Months: 7}, d+9)
	same(t, "on one day", i.Reason.Rule, ByMonths)
	i = item(Interval{Season: 1101, Every: 500}, d+9)
	same(t, "the hours first", i.Reason.Rule, ByHours)
	same(t, "both stand", i.MonthDay, day(t, "2026-11-01"))
	same(t, "never done", due(t, Machine{}, &log{}, PlanLine{Job: Coolant, Interval: Interval{Season: 1101}}, morning(d)).Unknown, NeverDone)
	// In a plan.
	plan, err := ParsePlan(strings.NewReader("job,hours,months,season\ncoolant,,,11-01\nhose,,24,02-29\n"))
	if err != nil {
		t.Fatal(err)
	}
	same(t, "read", plan[0].Interval, Interval{Season: 1101})
	same(t, "read", plan[1].Interval, Interval{Season: 229, Months: 24})
	for _, c := range []struct{ row, column string }{
		{"coolant,,,31-12,", "column season"},
		{"coolant,,,11-01,yes", "column off"},
	} {
		_, err := ParsePlan(strings.NewReader("job,hours,months,season,off\n" + c.row + "\n"))
		if err == nil || !strings.Contains(err.Error(), c.column) {
			t.Errorf("%s: %v", c.row, err)
		}
	}
}

// An industrial engine manual has belts retightened after the first 50 h: of
// the machine, and of a new belt.
func TestANewBeltBreaksIn(t *testing.T) {
	d := Day(20000)
	belt := PlanLine{Job: Belt, Interval: Interval{Every: 2500, Months: 12, First: 500}}
	for _, c := range []struct {
		name  string
		e     Entry
		due   Tenths
		count Count
	}{
		{"renewed", Entry{Kind: KindService, How: Renewed}, 1690, BreakIn},
		{"done, and no word how", Entry{Kind: KindService}, 3690, FromLast},
		{"retightened", Entry{Kind: KindService, How: Adjusted}, 3690, FromLast},
		{"told, by a sticker", Entry{Kind: KindBaseline, Known: Sticker}, 3690, FromLast},
	} {
		l := daily(d, 20, 20)
		c.e.Day, c.e.At, c.e.Hours, c.e.Jobs = d+9, morning(d+9)+hour, Known(Tenths(1190)), []Job{Belt}
		l.add(c.e)
		l.entries[0].Hours.Value = 900 // not seen new
		i := due(t, Machine{Severe: "dust"}, l, belt, morning(d+19))
		same(t, c.name, i.DueHours, Known(c.due))
		same(t, c.name+": count", i.Reason.Count, c.count)
		same(t, c.name+": no factor", i.Reason.Severe, "")
		same(t, c.name+": the months run as ever", i.MonthDay, (d + 9).AddMonths(12))
	}
	// Oil has its first service on a new machine only.
	l := daily(d, 20, 20)
	l.add(Entry{Kind: KindService, Day: d + 9, At: morning(d+9) + hour, Hours: Known(Tenths(1190)), Jobs: []Job{EngineOil}, How: Renewed})
	i := due(t, Machine{}, l, PlanLine{Job: EngineOil, Interval: belt.Interval}, morning(d+19))
	same(t, "oil", i.DueHours, Known(Tenths(3690)))
}
