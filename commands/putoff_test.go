package commands

import (
	"testing"

	"woodruff/engine"
)

// A line about a job that was put off fits a phone, whatever the job, and keeps
// the figure where there is one.
func TestPutOffLinesFit(t *testing.T) {
	shed := &engine.Shed{Machines: []engine.Machine{{ID: 1, Tag: "RT12"}}}
	shed.Index()
	today, err := engine.ParseDay("2026-11-27")
	if err != nil {
		t.Fatal(err)
	}
	turn := &turn{shed: shed, today: today}
	due := engine.Item{Machine: 1, Today: today, DueDay: today - 3, Left: engine.Known(engine.Tenths(-1234)), Reason: engine.Reason{Rule: engine.ByHours}}
	due.DueShown = engine.Known(engine.Tenths(28503))
	later := engine.Item{Machine: 1, Today: today, DueDay: today + 300}
	never := engine.Item{Machine: 1, Today: today, Unknown: engine.NeverDone}
	for _, c := range []struct {
		item  engine.Item
		until engine.Day
		want  string // of grease
	}{
		{never, today, "put off to today, none in the book"},
		{never, today - 7, "put off to Fri 20 Nov, none in the book"},
		{later, today, "put off to today, due Thu 23 Sep 2027"},
		{due, today, "123 h past, put off to today"},
		{due, today - 7, "123 h past, was put off to Fri 20 Nov"},
		{due, today + 3, "123 h past, put off to Mon 30 Nov"},
		{later, today + 3, "due Thu 23 Sep 2027, put off to Mon 30 Nov"},
	} {
		c.item.PutOff = engine.PutOff{Seq: 9, Said: today - 9, Until: c.until}
		for _, info := range engine.Jobs() {
			c.item.Job = info.Job
			got := turn.listWords(c.item)
			if n := len("  RT12 " + info.Name + ": " + got + "."); n > 60 {
				t.Errorf("%d characters: %s: %s", n, info.Name, got)
			}
			if info.Job == engine.Grease && got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		}
	}
}
