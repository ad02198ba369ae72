package engine

import (
	"errors"
	"testing"
	"time"
)

func TestDayIsWrittenAsInISO8601(t *testing.T) {
	d := DayOf(2026, time.November, 24)
	same(t, "text", d.String(), "2026-11-24")
	same(t, "not known", Day(0).String(), "")
	same(t, "parsed", day(t, "2026-11-24"), d)
	y, m, n := d.Date()
	same(t, "year", y, 2026)
	same(t, "month", m, time.November)
	same(t, "day", n, 24)
	for _, bad := range []string{"", "2026-11-31", "24/11/2026", "2026-1-2"} {
		if _, err := ParseDay(bad); !errors.Is(err, ErrDay) {
			t.Errorf("%q: got %v, want ErrDay", bad, err)
		}
	}
	// POSIX.1 "Seconds Since the Epoch": day 1 is 1970-01-02.
	same(t, "second day", DayOf(1970, time.January, 2), Day(1))
	same(t, "before", DayOf(1969, time.December, 31), Day(-1))
}

// TestMonthsClamp is what a shop means by a month, as java.time's plusMonths
// and python-dateutil's relativedelta have it: the same day of the month, or
// its last. An RRULE would skip these months (RFC 5545, 3.3.10: "invalid date
// ... MUST be ignored").
func TestMonthsClamp(t *testing.T) {
	for _, c := range []struct {
		from   string
		months int
		want   string
	}{
		{"2026-01-31", 1, "2026-02-28"},
		{"2024-01-31", 1, "2024-02-29"}, // a leap year
		{"2026-08-31", 1, "2026-09-30"},
		{"2026-08-31", 6, "2027-02-28"},
		{"2024-02-29", 12, "2025-02-28"},
		{"2024-02-29", 48, "2028-02-29"},
		{"2026-11-30", 3, "2027-02-28"},
		{"2026-12-31", 2, "2027-02-28"},
		{"2026-03-31", 12, "2027-03-31"},
		{"2026-10-31", 1, "2026-11-30"},
		{"2027-02-28", 12, "2028-02-28"}, // the 28th, not the last
		{"2026-01-31", 2, "2026-03-31"},  // from the original day, not from 28 February
		{"2026-03-10", 12, "2027-03-10"},
		{"2026-03-10", 0, "2026-03-10"},
		{"2026-03-31", -1, "2026-02-28"},
		{"2100-01-31", 1, "2100-02-28"}, // 2100 is no leap year
	} {
		same(t, c.from, day(t, c.from).AddMonths(c.months).String(), c.want)
	}
}

// TestRFC5545Days holds day and month arithmetic against the published
// examples of RFC 5545, 3.8.5.3, where they do not depend on skipped months.
func TestRFC5545Days(t *testing.T) {
	step := func(from string, n int, next func(Day) Day) (got []string) {
		d := day(t, from)
		for range n {
			got = append(got, d.String())
			d = next(d)
		}
		return got
	}
	firstFriday := func(d Day) Day {
		y, m, _ := d.AddMonths(1).Date()
		f := DayOf(y, m, 1)
		for f.Weekday() != time.Friday {
			f++
		}
		return f
	}
	for _, c := range []struct {
		name string
		got  []string
		want []string
	}{
		{"FREQ=DAILY;COUNT=10", step("1997-09-02", 10, func(d Day) Day { return d + 1 }), []string{
			"1997-09-02", "1997-09-03", "1997-09-04", "1997-09-05", "1997-09-06", "1997-09-07", "1997-09-08", "1997-09-09", "1997-09-10", "1997-09-11"}},
		{"FREQ=DAILY;INTERVAL=10;COUNT=5", step("1997-09-02", 5, func(d Day) Day { return d + 10 }), []string{
			"1997-09-02", "1997-09-12", "1997-09-22", "1997-10-02", "1997-10-12"}},
		{"FREQ=MONTHLY;COUNT=10;BYDAY=1FR", step("1997-09-05", 10, firstFriday), []string{
			"1997-09-05", "1997-10-03", "1997-11-07", "1997-12-05", "1998-01-02", "1998-02-06", "1998-03-06", "1998-04-03", "1998-05-01", "1998-06-05"}},
		{"FREQ=MONTHLY;BYMONTHDAY=-3", step("1997-09-28", 6, func(d Day) Day {
			y, m, _ := d.AddMonths(1).Date()
			return DayOf(y, m+1, 1) - 3
		}), []string{"1997-09-28", "1997-10-29", "1997-11-28", "1997-12-29", "1998-01-29", "1998-02-26"}},
		{"FREQ=MONTHLY;INTERVAL=18;BYMONTHDAY=10", step("1997-09-10", 2, func(d Day) Day { return d.AddMonths(18) }), []string{
			"1997-09-10", "1999-03-10"}},
	} {
		if len(c.got) != len(c.want) {
			t.Fatalf("%s: %d days", c.name, len(c.got))
		}
		for i := range c.want {
			same(t, c.name, c.got[i], c.want[i])
		}
	}
}

func TestClock(t *testing.T) {
	same(t, "text", ClockOf(7, 40).String(), "07:40")
	same(t, "last", ClockOf(23, 59), Clock(1439))
	same(t, "zero value is UTC", Calendar{}.Zone(), "UTC")
	same(t, "zone", zone(t, "America/Toronto").Zone(), "America/Toronto")
}

// TestClockChanges is held against published changes: 15 U.S.C. 260a (second
// Sunday of March, first of November, 02:00 local), EU directive 2000/84/EC
// (last Sunday of March and October, 01:00 UTC), and the IANA zone data for
// Lord Howe (half an hour) and Samoa, which had no 30 December 2011.
func TestClockChanges(t *testing.T) {
	at := func(s string) Instant {
		u, err := time.Parse(time.RFC3339, s)
		if err != nil {
			t.Fatal(err)
		}
		return Instant(u.Unix())
	}
	for _, c := range []struct {
		zone, day    string
		hour, minute int
		want         string
		gap          bool
	}{
		{"America/New_York", "2026-03-08", 1, 59, "2026-03-08T06:59:00Z", false},
		{"America/New_York", "2026-03-08", 2, 0, "2026-03-08T07:00:00Z", true}, // skipped
		{"America/New_York", "2026-03-08", 2, 30, "2026-03-08T07:30:00Z", true},
		{"America/New_York", "2026-03-08", 3, 0, "2026-03-08T07:00:00Z", false},
		{"America/New_York", "2026-11-01", 0, 59, "2026-11-01T04:59:00Z", false},
		{"America/New_York", "2026-11-01", 1, 30, "2026-11-01T05:30:00Z", false}, // twice: the first
		{"America/New_York", "2026-11-01", 2, 0, "2026-11-01T07:00:00Z", false},
		{"America/New_York", "2027-03-14", 2, 30, "2027-03-14T07:30:00Z", true},
		{"America/Toronto", "2027-03-14", 6, 15, "2027-03-14T10:15:00Z", false},
		{"Europe/Berlin", "2027-03-28", 2, 30, "2027-03-28T01:30:00Z", true},
		{"Europe/Berlin", "2027-10-31", 2, 30, "2027-10-31T00:30:00Z", false},
		{"Australia/Lord_Howe", "2026-10-04", 2, 15, "2026-10-03T15:45:00Z", true}, // 02:00 +10:30 to 02:30 +11
		{"Australia/Lord_Howe", "2026-10-04", 2, 30, "2026-10-03T15:30:00Z", false},
		{"Australia/Lord_Howe", "2026-04-05", 1, 45, "2026-04-04T14:45:00Z", false}, // twice, half an hour apart: the first
		{"Pacific/Apia", "2011-12-29", 23, 59, "2011-12-30T09:59:00Z", false},
		{"Pacific/Apia", "2011-12-30", 12, 0, "2011-12-30T22:00:00Z", true},
		{"Pacific/Apia", "2011-12-31", 0, 0, "2011-12-30T10:00:00Z", false},
		{"America/Phoenix", "2026-03-08", 2, 30, "2026-03-08T09:30:00Z", false}, // never changes
	} {
		got, err := zone(t, c.zone).At(day(t, c.day), ClockOf(c.hour, c.minute))
		name := c.zone + " " + c.day + " " + ClockOf(c.hour, c.minute).String()
		same(t, name, got, at(c.want))
		same(t, name+" skipped", errors.Is(err, ErrNoSuchTime), c.gap)
	}
}

func TestDaysAcrossClockChanges(t *testing.T) {
	ny := zone(t, "America/New_York")
	spring := day(t, "2027-03-14")
	nine, _ := ny.At(spring-1, ClockOf(9, 0))
	// 24 h after 09:00 on the eve of the change it is 10:00; a day later 09:00.
	same(t, "24 h later", ny.ClockAt(nine+DayLength), ClockOf(10, 0))
	same(t, "the day after", ny.DayAt(nine+DayLength), spring)
	same(t, "23 h day", ny.Start(spring+1)-ny.Start(spring), 23*hour)
	autumn := day(t, "2026-11-01")
	same(t, "25 h day", ny.Start(autumn+1)-ny.Start(autumn), 25*hour)
	same(t, "minutes", ny.ClockAt(nine+25*minute), ClockOf(9, 25))
	// The skipped day starts where the next one does.
	apia := zone(t, "Pacific/Apia")
	same(t, "no such day", apia.Start(day(t, "2011-12-30")), apia.Start(day(t, "2011-12-31")))
	same(t, "one second before", apia.DayAt(apia.Start(day(t, "2011-12-31"))-1), day(t, "2011-12-29"))
	same(t, "midnight", utc.DayAt(morning(5)-7*hour-30*minute), Day(5))
	same(t, "just before it", utc.DayAt(5*DayLength-1), Day(4))
}
