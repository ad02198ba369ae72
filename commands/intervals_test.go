package commands

import (
	"testing"

	"woodruff/engine"
)

func TestIntervalWords(t *testing.T) {
	for _, c := range []struct {
		in    engine.Interval
		want  string
		every string
	}{
		{engine.Interval{Every: 4000, Months: 12}, "400 h or 12 months", "every 400 h or 12 months"},
		{engine.Interval{Every: 125}, "12.5 h", "every 12.5 h"},
		{engine.Interval{Season: 1101}, "each year by 1 Nov", "each year by 1 Nov"},
		{engine.Interval{Season: 229}, "each year by 29 Feb", "each year by 29 Feb"}, // the 28th where there is none
		{engine.Interval{Every: 5000, Season: 401}, "500 h or each year by 1 Apr", "every 500 h or each year by 1 Apr"},
		{engine.Interval{Off: true}, "no interval", "every no interval"}, // said in other words where it is off
	} {
		if got := intervalWords(c.in); got != c.want {
			t.Errorf("%+v is %q, want %q", c.in, got, c.want)
		}
		if got := everyWords(c.in); got != c.every {
			t.Errorf("%+v is %q, want %q", c.in, got, c.every)
		}
	}
}

func TestUsualWords(t *testing.T) {
	today := day(t, "2026-11-24")
	oil := func(r engine.Reason) engine.Item {
		return engine.Item{Job: engine.EngineOil, Today: today, Reason: r,
			Line: engine.PlanLine{Interval: engine.Interval{Every: 2500, Severable: true}, Source: engine.Published}}
	}
	own := oil(engine.Reason{Every: 1250, Severe: "dust", SevereUntil: day(t, "2026-11-27")})
	own.Line.Source = engine.OwnShop
	for _, c := range []struct {
		what string
		in   engine.Item
		want string
	}{
		{"as usual", oil(engine.Reason{Every: 2500}), "usual 250 h; the manual rules"},
		{"dust without an end", oil(engine.Reason{Every: 1250, Severe: "dust"}), "usual 125 h, severe use (dust); the manual rules"},
		{"till a day", own, "every 125 h, severe use (dust) until Fri 27 Nov, the shop's figure"},
		{"water that was found", oil(engine.Reason{Every: 1250, Severe: "water", SevereSeq: 7}), "usual 125 h, severe use (water) until two clean looks in a row; the manual rules"},
		{"a factor of two words", oil(engine.Reason{Every: 625, Severe: "high-sulphur"}), "usual 62.5 h, severe use (high sulphur); the manual rules"},
		{"break-in is once", oil(engine.Reason{Every: 500, Count: engine.BreakIn}), "first at 50 h, then usual 250 h; the manual rules"},
	} {
		if got := usual(c.in); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// A season is a day of the calendar, with its own words, and past it by days
// even where the hours are past as well.
func TestSeasonWords(t *testing.T) {
	today := day(t, "2026-11-24")
	turn := &turn{today: today, shed: &engine.Shed{}}
	item := engine.Item{Job: engine.Coolant, Today: today, Line: engine.PlanLine{Interval: engine.Interval{Every: 5000, Season: 1101}}}
	item.Reason.Rule, item.DueDay, item.MonthDay = engine.BySeason, day(t, "2027-11-01"), day(t, "2027-11-01")
	item.DueShown, item.Left = engine.Known[engine.Tenths](9000), engine.Known[engine.Tenths](100)
	if got, want := turn.dueWords(item), "Mon 1 Nov 2027, by the season"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	item.DueDay, item.Left = day(t, "2026-11-01"), engine.Known[engine.Tenths](-20)
	if got, want := turn.dueWords(item), "23 days past (due Sun 1 Nov)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestFooting(t *testing.T) {
	today := day(t, "2026-11-24")
	last := engine.Point{Day: day(t, "2026-11-18")}
	for _, c := range []struct {
		in   engine.Basis
		want string
	}{
		{engine.Basis{From: engine.PaceOwn, Readings: 9, Last: last}, "9 readings, the last 6 days ago"},
		{engine.Basis{From: engine.PaceOfKind, Readings: 1, Last: last}, "1 reading, the last 6 days ago, and the usual pace of its kind"},
		{engine.Basis{From: engine.PaceOfKind}, "the usual pace of its kind"},
	} {
		if got := footing(c.in, today); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
