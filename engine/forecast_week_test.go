package engine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRhythmCountsWorkingTime(t *testing.T) {
	monday := Instant(DayOf(2026, 11, 23)) * DayLength
	r := rhythmOf(weeks[3], true, monday) // next to nothing at the weekend, by day
	near(t, "a week", r.between(monday, monday+7*DayLength), 7, 1e-12)
	near(t, "a weekend", r.between(monday+5*DayLength, monday+7*DayLength), 7*0.1/5.1, 1e-12)
	near(t, "a day", r.between(monday+DayLength, monday+2*DayLength), 7/5.1, 1e-12)
	near(t, "a working day's hours", r.between(monday+7*hour, monday+17*hour), 0.9*7/5.1, 1e-12)
	near(t, "the week before", r.between(monday-7*DayLength, monday), 7, 1e-12)
	even := rhythm{}
	near(t, "even", even.between(monday, monday+36*hour), 1.5, 1e-12)
	same(t, "later", even.later(monday, 1.5), monday+36*hour)
	same(t, "over the weekend", r.later(monday+4*DayLength+17*hour, 0.05*7/5.1+7*0.1/5.1+0.5*7/5.1), monday+7*DayLength+12*hour)
}

func TestRhythmInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rhythmOf(rapid.SampledFrom(weeks[:]).Draw(t, "week"), rapid.Bool().Draw(t, "shaped"), 4*DayLength)
		from := Instant(rapid.Int64Range(-1e8, 1e8).Draw(t, "from"))
		days := rapid.Float64Range(0, 400).Draw(t, "days")
		at := r.later(from, days)
		// A second at the busiest time is that much.
		near(t, "inverse", r.between(from, at), days, 3.0/float64(DayLength)*2)
		if at < from-1 {
			t.Fatalf("%d before %d", at, from)
		}
	})
}

// A log that shows the week and the day: read at seven and at seventeen, with
// all the work between on five days.
func TestRhythmIsSeen(t *testing.T) {
	monday := DayOf(2026, 3, 2)
	work, flat := &log{}, &log{}
	hours := Tenths(1000)
	for d := range Day(42) {
		at := Instant(monday+d) * DayLength
		weekend := d%7 >= 5
		if d%2 == 0 || weekend {
			work.add(Entry{Kind: KindReading, Day: monday + d, At: at + 7*hour, Hours: Known(hours)})
		}
		if !weekend {
			hours += 60
		}
		if d%3 == 0 {
			work.add(Entry{Kind: KindReading, Day: monday + d, At: at + 17*hour, Hours: Known(hours)})
		}
		flat.add(Entry{Kind: KindReading, Day: monday + d, At: at + 7*hour, Hours: Known(1000 + 40*Tenths(d))})
	}
	f := forecast(Machine{}, work)
	same(t, "seen", !f.rhythm.even() && f.rhythm.shaped, true)
	friday := Instant(monday+46)*DayLength + 17*hour
	a, _ := f.HoursAt(friday)
	b, _ := f.HoursAt(friday + 2*DayLength)
	c, _ := f.HoursAt(friday + 3*DayLength)
	near(t, "rests at the weekend", b.Mid-a.Mid, 0, 1.3)
	near(t, "works on Monday", c.Mid-b.Mid, 6, 2)
	// Where nothing shows it, a day is a day.
	g := forecast(Machine{}, flat)
	same(t, "not seen", g.rhythm.even(), true)
	same(t, "in a shop of another zone it is another hour", rhythmSeen(f.points, zone(t, "Australia/Sydney")) != f.rhythm, true)
}

func TestMondayOfTheShop(t *testing.T) {
	sydney := zone(t, "Australia/Sydney") // eleven hours ahead in November
	sunday := Instant(DayOf(2026, 11, 22))*DayLength + 14*hour
	same(t, "Monday there already", sydney.monday(sunday), Instant(DayOf(2026, 11, 22))*DayLength+13*hour)
	same(t, "Sunday still", utc.monday(sunday), Instant(DayOf(2026, 11, 16))*DayLength)
	if math.Mod(float64(utc.monday(-5*DayLength)), float64(DayLength)) != 0 {
		t.Error("not a midnight")
	}
}
