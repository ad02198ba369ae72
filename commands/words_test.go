package commands

import (
	"testing"
	"time"

	"woodruff/engine"
)

func day(t *testing.T, s string) engine.Day {
	t.Helper()
	d, err := engine.ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestDayWords(t *testing.T) {
	today := day(t, "2026-11-24")
	for _, c := range []struct{ day, want string }{
		{"2026-11-20", "Fri 20 Nov"},
		{"2025-11-20", "Thu 20 Nov 2025"}, // another year is named
		{"2027-03-01", "Mon 1 Mar 2027"},
	} {
		if got := dayWords(day(t, c.day), today); got != c.want {
			t.Errorf("%s is %q, want %q", c.day, got, c.want)
		}
	}
}

func TestAgo(t *testing.T) {
	today := day(t, "2026-11-24")
	for _, c := range []struct{ day, want string }{
		{"2026-11-24", "today"},
		{"2026-11-23", "yesterday"},
		{"2026-11-25", "tomorrow"},
		{"2026-11-27", "in 3 days"},
		{"2026-11-20", "4 days ago"},
		{"2026-09-25", "60 days ago"},
		{"2026-09-24", "2 months ago"},
		{"2024-11-24", "2 years ago"},
	} {
		if got := ago(day(t, c.day), today); got != c.want {
			t.Errorf("%s is %q, want %q", c.day, got, c.want)
		}
	}
}

func TestSpan(t *testing.T) {
	for _, c := range []struct {
		hours float64
		want  string
	}{{3.5, "3.5 h"}, {19.9, "19.9 h"}, {20, "20 h"}, {178.6, "179 h"}, {-2, "-2.0 h"}} {
		if got := span(c.hours); got != c.want {
			t.Errorf("%v is %q, want %q", c.hours, got, c.want)
		}
	}
}

func TestFound(t *testing.T) {
	for _, c := range []struct {
		f    engine.Finding
		a    engine.Amount
		want string
	}{
		{engine.Water, engine.Amount{Measured: 40 * engine.ML}, "40 ml of water"},
		{engine.Water, engine.Amount{Class: engine.Trace}, "a little water"},
		{engine.Water, engine.Amount{}, "water, amount not said"},
		{engine.Clean, engine.Amount{}, "clean"},
	} {
		if got := found(c.f, c.a); got != c.want {
			t.Errorf("%s %+v is %q, want %q", c.f, c.a, got, c.want)
		}
	}
}

// TestDone words a job by how it was done: what is less than the job says so.
func TestDone(t *testing.T) {
	for _, c := range []struct {
		j    engine.Job
		how  engine.How
		want string
	}{
		{engine.AirCleaner, "", "air cleaner renewed"},
		{engine.AirCleaner, engine.Renewed, "air cleaner renewed"},
		{engine.AirCleaner, engine.Cleaned, "air cleaner cleaned only"},
		{engine.EngineOil, engine.ToppedUp, "engine oil topped up only"},
		{engine.Vent, engine.Cleaned, "tank vent cleaned"}, // cleaning a vent is the job
		{engine.Belt, engine.Adjusted, "belt adjusted"},
		{engine.OtherWork, "", "welded the bracket"},
	} {
		if got := done(c.j, c.how, "welded the bracket"); got != c.want {
			t.Errorf("%s %s is %q, want %q", c.j, c.how, got, c.want)
		}
	}
}

func TestPicked(t *testing.T) {
	options := []option{{Label: "1223.4", Yes: true}, {Label: "Sat 21 Nov's 498.3 is wrong"}, {Label: "new meter"}, {Label: "I mistyped", Nothing: true}}
	for _, c := range []struct {
		text string
		want int
	}{
		{"2", 1}, {"2.", 1}, {"#3", 2}, {"the second one", 1}, {"third", 2},
		{"yes", 0}, {"yep", 0}, {"Yes.", 0}, {"no", 3}, {"nope", 3},
		{"new meter", 2}, {"it's the new meter", 2}, {"mistyped", 3}, {"saturday's", -1}, {"sat", 1},
		{"5", -1},           // no such option
		{"new", 2},          // words that only one label holds
		{"wrong", 1},        //
		{"", -1},            //
		{"the", -1},         // says nothing
		{"rt1 1223.4", -1},  // a message of its own
		{"yes but rt2", -1}, // more than a yes
		{"no it was rt2", -1},
	} {
		if got := picked(c.text, options); got != c.want {
			t.Errorf("%q picks %d, want %d", c.text, got, c.want)
		}
	}
	if got := picked("1", nil); got != -1 {
		t.Errorf("a number picks %d of no options", got)
	}
	two := []option{{Label: "WF1 ridge frost fan"}, {Label: "WF2 hollow frost fan"}}
	if got := picked("frost fan", two); got != -1 {
		t.Errorf("words of two labels pick %d", got)
	}
	if got := picked("hollow", two); got != 1 {
		t.Errorf("a word of one label picks %d", got)
	}
}

func TestHoursOf(t *testing.T) {
	usual := HoursOf(nil)
	if usual.At != engine.ClockOf(6, 15) || usual.Days[time.Sunday] || !usual.Days[time.Saturday] {
		t.Errorf("usual hours are %+v", usual)
	}
	set := HoursOf(map[string]string{engine.SetMorning: "07:30", engine.SetWorkdays: "sat-mon,wed"})
	want := Hours{At: engine.ClockOf(7, 30), Days: [7]bool{true, true, false, true, false, false, true}}
	if set != want {
		t.Errorf("hours are %+v, want %+v", set, want)
	}
	if odd := HoursOf(map[string]string{engine.SetMorning: "soon", engine.SetWorkdays: "someday"}); odd != usual {
		t.Errorf("what cannot be read is %+v, want the usual", odd)
	}
}

// TestNext holds the morning's instant against published clock changes: New
// York goes forward at 02:00 on 8 March 2026 and back on 1 November (US Energy
// Policy Act of 2005); Samoa had no 30 December 2011 (its International Date
// Line Act 2011).
func TestNext(t *testing.T) {
	for _, c := range []struct {
		zone, after, at, want string
	}{
		{"America/New_York", "2026-03-06T12:00:00-05:00", "06:15", "2026-03-07T06:15:00-05:00"}, // Saturday
		{"America/New_York", "2026-03-07T12:00:00-05:00", "06:15", "2026-03-09T06:15:00-04:00"}, // Sunday is free; the wall's hour stays
		{"America/New_York", "2026-03-07T12:00:00-05:00", "02:30", "2026-03-09T02:30:00-04:00"},
		{"America/New_York", "2026-10-31T12:00:00-04:00", "06:15", "2026-11-02T06:15:00-05:00"},
		{"Pacific/Apia", "2011-12-29T12:00:00-10:00", "06:15", "2011-12-31T06:15:00+14:00"}, // the 30th never was
		{"UTC", "2026-11-24T06:15:00Z", "06:15", "2026-11-25T06:15:00Z"},                    // strictly after
	} {
		zone, err := time.LoadLocation(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		after, err := time.Parse(time.RFC3339, c.after)
		if err != nil {
			t.Fatal(err)
		}
		h := HoursOf(map[string]string{engine.SetMorning: c.at})
		got := time.Unix(int64(h.Next(engine.Instant(after.Unix()), engine.CalendarIn(zone))), 0).In(zone).Format(time.RFC3339)
		if got != c.want {
			t.Errorf("%s after %s at %s: %s, want %s", c.zone, c.after, c.at, got, c.want)
		}
	}
	if got := (Hours{}).Next(1, engine.Calendar{}); got != 0 {
		t.Errorf("a shop that never works has a morning at %d", got)
	}
}
