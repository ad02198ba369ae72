package main

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"woodruff/bot/demo"
	"woodruff/engine"
)

// TestTheMorningPostFitsAPhone holds the demo shed's post to 25 lines of 60
// characters: on the day after its log ends, and a week later, when its five
// items have come due, in every season.
func TestTheMorningPostFitsAPhone(t *testing.T) {
	for _, yesterday := range []string{"2026-11-23", "2026-11-24", "2027-01-19", "2027-04-27", "2027-07-13", "2027-10-05"} {
		for _, after := range []engine.Day{1, 7} {
			log, err := engine.ParseDay(yesterday)
			if err != nil {
				t.Fatal(err)
			}
			lines := demoMorning(t, log, log+after)
			items := 0
			for _, l := range lines {
				if n := utf8.RuneCountInString(l); n > 60 {
					t.Errorf("%s: %d characters: %s", log+after, n, l)
				}
				if strings.Contains(l, "past") || strings.Contains(l, "due") || strings.Contains(l, "about") {
					items++
				}
			}
			if len(lines) > 25 || len(lines) < 5 {
				t.Errorf("%s: %d lines, want 5 to 25", log+after, len(lines))
			}
			if after == 7 && items < 5 {
				t.Errorf("%s: %d items, want the five that have come due", log+after, items)
			}
			if yesterday == "2026-11-23" {
				t.Log("\n" + strings.Join(lines, "\n"))
			}
		}
	}
}

// demoMorning is the post of a day on the demo shed whose log ends on another.
func demoMorning(t *testing.T, log, day engine.Day) []string {
	t.Helper()
	zone, err := time.LoadLocation(demoZone)
	if err != nil {
		t.Fatal(err)
	}
	now, err := engine.CalendarIn(zone).At(day, engine.ClockOf(6, 15))
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	w := outside{now: func() time.Time { return time.Unix(int64(now), 0) }}
	s, err := openShop(ctx, filepath.Join(t.TempDir(), "book.db"), demoZone, w)
	if err != nil {
		t.Fatal(err)
	}
	defer s.close(&err)
	machines, rows := demo.Shed(log, s.cal)
	if _, err := s.bring(ctx, demoFiles(machines, rows), now); err != nil {
		t.Fatal(err)
	}
	answer, err := s.desk.Morning(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	return answer.Terminal()
}
