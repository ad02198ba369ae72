package engine

import (
	"errors"
	"fmt"
	"time"
)

// Day is a day of the shop's own calendar, counted from 1970-01-01, which is
// day 0 and stands for "not known". A Day has no zone: it is what the wall
// calendar in the shop shows.
type Day int32

// DayOf is the day of a date in the proleptic Gregorian calendar. Months and
// days out of range carry over as in time.Date.
func DayOf(year int, month time.Month, day int) Day {
	return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func (d Day) utc() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// Date splits a day into year, month and day of the month.
func (d Day) Date() (int, time.Month, int) { return d.utc().Date() }

// Weekday is the day of the week.
func (d Day) Weekday() time.Weekday { return d.utc().Weekday() }

// String writes the day as in ISO 8601, "2026-11-24", or "" when not known.
func (d Day) String() string {
	if d == 0 {
		return ""
	}
	return d.utc().Format("2006-01-02")
}

// ErrDay says that a text is no day written as in ISO 8601.
var ErrDay = errors.New("not a day written 2006-01-02")

// ParseDay reads "2026-11-24".
func ParseDay(s string) (Day, error) {
	t, err := time.Parse("2006-01-02", s)
	if err != nil {
		return 0, fmt.Errorf("%w: %q", ErrDay, s)
	}
	return Day(t.Unix() / 86400), nil
}

// AddMonths counts months the way a shop does: the same day of a later month,
// or that month's last day where it has no such day. 31 January and one month
// is 28 February. Always count from the original day: two months from 31
// January is 31 March, not 28 March.
func (d Day) AddMonths(n int) Day {
	y, m, day := d.Date()
	first := time.Date(y, m+time.Month(n), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return DayOf(first.Year(), first.Month(), min(day, last))
}

// Clock is a time of day on the wall, in minutes after midnight.
type Clock int

// ClockOf is the clock time of hours and minutes.
func ClockOf(hours, minutes int) Clock { return Clock(hours*60 + minutes) }

// String writes "07:40".
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }

// Calendar turns instants into the shop's days and back. The zero value is UTC.
type Calendar struct {
	zone *time.Location
}

// CalendarIn is the calendar of a zone.
func CalendarIn(zone *time.Location) Calendar { return Calendar{zone: zone} }

func (c Calendar) location() *time.Location {
	if c.zone == nil {
		return time.UTC
	}
	return c.zone
}

// Zone is the name of the calendar's zone, such as "America/Toronto".
func (c Calendar) Zone() string { return c.location().String() }

// DayAt is the shop's day at an instant.
func (c Calendar) DayAt(i Instant) Day {
	return DayOf(time.Unix(int64(i), 0).In(c.location()).Date())
}

// ClockAt is what the wall clock of the shop shows at an instant.
func (c Calendar) ClockAt(i Instant) Clock {
	t := time.Unix(int64(i), 0).In(c.location())
	return ClockOf(t.Hour(), t.Minute())
}

// ErrNoSuchTime says that the clocks jump over the time that was asked for.
var ErrNoSuchTime = errors.New("no such time: the clocks go forward over it")

// At is the instant of a wall-clock time. In the hour that a clock change
// repeats the first is meant; in the one it skips the error is ErrNoSuchTime,
// and the instant is as far after the start of the gap as the time is into it.
func (c Calendar) At(d Day, clock Clock) (Instant, error) {
	y, m, day := d.Date()
	loc := c.location()
	wall := time.Date(y, m, day, int(clock)/60, int(clock)%60, 0, 0, time.UTC).Unix()
	// The offset in force is looked up a day and a half away on both sides, so
	// that a change on the day itself, or a skipped whole day, is seen.
	var first, last Instant
	for _, probe := range []int64{wall - 129600, wall + 129600} {
		_, offset := time.Unix(probe, 0).In(loc).Zone()
		at := Instant(wall - int64(offset))
		if c.reads(at, wall) && (first == 0 || at < first) {
			first = at
		}
		if last == 0 || at > last {
			last = at
		}
	}
	if first != 0 {
		return first, nil
	}
	return last, fmt.Errorf("%w: %s %s in %s", ErrNoSuchTime, d, clock, loc)
}

// reads says whether the wall clock at an instant shows the wall time, given in
// seconds as if the wall were in UTC.
func (c Calendar) reads(at Instant, wall int64) bool {
	_, offset := time.Unix(int64(at), 0).In(c.location()).Zone()
	return int64(at)+int64(offset) == wall
}

// Start is the first instant of a day.
func (c Calendar) Start(d Day) Instant {
	at, _ := c.At(d, 0) // where midnight is skipped, the day starts after the gap
	return at
}
