package read

import (
	"testing"
	"time"

	"woodruff/engine"
)

// TestDatesWithoutAYear: a date without a year is the nearest on the side that is
// meant, but one that is just over is not put a year ahead, and one about to
// come is not taken a year back. Common practice; nobody has a rule for it.
func TestDatesWithoutAYear(t *testing.T) {
	day := func(y, m, d int) engine.Day { return engine.DayOf(y, time.Month(m), d) }
	for _, c := range []struct {
		name    string
		today   engine.Day
		w       when
		ahead   bool
		want    engine.Day
		unsure  bool
		offered engine.Day
	}{
		{"to come", day(2026, 11, 24), when{date: true, month: 11, dom: 30}, true, day(2026, 11, 30), false, 0},
		{"over since yesterday", day(2026, 11, 24), when{date: true, month: 11, dom: 23}, true, day(2026, 11, 23), false, 0},
		{"today is over too", day(2026, 11, 24), when{date: true, month: 11, dom: 24}, true, day(2026, 11, 24), false, 0},
		{"over since last year", day(2027, 1, 5), when{date: true, month: 12, dom: 20}, true, day(2026, 12, 20), false, 0},
		{"over the turn of the year", day(2026, 11, 24), when{date: true, month: 1, dom: 5}, true, day(2027, 1, 5), false, 0},
		{"long over: the next one", day(2026, 11, 24), when{date: true, month: 3, dom: 23}, true, day(2027, 3, 23), false, 0},
		{"a year that is told", day(2026, 11, 24), when{date: true, year: 2027, month: 11, dom: 20}, true, day(2027, 11, 20), false, 0},
		{"a day of the month", day(2026, 11, 24), when{date: true, dom: 20}, true, day(2026, 12, 20), false, 0},
		{"no such day", day(2026, 11, 24), when{date: true, month: 2, dom: 30}, true, 0, true, 0},
		{"gone by", day(2026, 11, 24), when{date: true, month: 10, dom: 1}, false, day(2026, 10, 1), false, 0},
		{"today", day(2026, 11, 24), when{date: true, month: 11, dom: 24}, false, day(2026, 11, 24), false, 0},
		{"about to come", day(2026, 11, 24), when{date: true, month: 12, dom: 1}, false, 0, true, day(2025, 12, 1)},
		{"last year's end", day(2027, 1, 5), when{date: true, month: 12, dom: 20}, false, day(2026, 12, 20), false, 0},
		{"of last year", day(2026, 2, 1), when{date: true, month: 11, dom: 20}, false, day(2025, 11, 20), false, 0},
		{"a year to come", day(2026, 11, 24), when{date: true, year: 2027, month: 1, dom: 5}, false, day(2027, 1, 5), true, 0},
		{"day or month first", day(2026, 11, 24), when{date: true, month: 10, dom: 11, either: true}, false, 0, true, day(2026, 10, 11)},
		{"one about to come", day(2026, 11, 24), when{date: true, month: 12, dom: 1, either: true}, false, 0, true, day(2026, 1, 12)},
		{"only one can be, over", day(2026, 11, 24), when{date: true, month: 11, dom: 23, either: true}, true, day(2026, 11, 23), false, 0},
		{"only one can be", day(2026, 11, 24), when{date: true, month: 20, dom: 11, either: true}, false, day(2026, 11, 20), false, 0},
	} {
		ctx := Context{Day: c.today}
		got := c.w.past(ctx)
		if c.ahead {
			got = c.w.future(ctx)
		}
		offered := engine.Day(0)
		if len(got.options) > 0 {
			offered = got.options[0]
		}
		if got.day != c.want || got.unsure != c.unsure || offered != c.offered {
			t.Errorf("%s: %v, unsure %v, offered %v", c.name, got.day, got.unsure, offered)
		}
	}
}
