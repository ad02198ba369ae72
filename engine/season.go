package engine

import (
	"errors"
	"fmt"
	"time"
)

// YearDay is a day of every year, such as 1 November: its month times 100 and
// its day. 0 is none.
type YearDay int32

// ErrYearDay says that a text is no day of the year written "11-01".
var ErrYearDay = errors.New("not a day of the year written 11-01")

// ParseYearDay reads a month and a day, "11-01".
func ParseYearDay(s string) (YearDay, error) {
	at, err := time.Parse("01-02", s) // of the year 0, which is a leap year
	if err != nil {
		return 0, fmt.Errorf("%w: %q", ErrYearDay, s)
	}
	return YearDay(int(at.Month())*100 + at.Day()), nil
}

// String writes "11-01", or "" for none.
func (y YearDay) String() string {
	if y == 0 {
		return ""
	}
	return fmt.Sprintf("%02d-%02d", int(y/100), int(y%100))
}

// In is the day in a year: 29 February is the 28th where there is none.
func (y YearDay) In(year int) Day {
	month := time.Month(y / 100)
	return min(DayOf(year, month, int(y%100)), DayOf(year, month+1, 0))
}

// seasonDays is how close to its day of the year a job that was done counts for
// that year: a quarter of one, as with marks [common practice].
const seasonDays Day = 365 / 4

// Next is the day for a job that was last done on a day: the first that is more
// than a quarter of a year away.
func (y YearDay) Next(done Day) Day {
	year, _, _ := done.Date()
	for {
		if d := y.In(year); d-done > seasonDays {
			return d
		}
		year++
	}
}
