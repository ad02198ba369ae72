package morning

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"woodruff/commands"
	"woodruff/engine"
	"woodruff/store"
)

var quiet = slog.New(slog.NewTextHandler(io.Discard, nil))

// rig is a desk on a real book inside the bubble of a test.
func rig(t *testing.T, path, zone string) (*store.Book, *commands.Desk) {
	t.Helper()
	book, err := store.Open(t.Context(), path, store.Options{
		Create: true, Zone: zone, Now: func() engine.Instant { return engine.Instant(time.Now().Unix()) },
	})
	if err != nil {
		t.Fatal(err)
	}
	return book, commands.NewDesk(book, time.LoadLocation)
}

func sleepUntil(at string, zone *time.Location) {
	t, err := time.ParseInLocation("2006-01-02 15:04", at, zone)
	if err != nil {
		panic(err)
	}
	time.Sleep(time.Until(t))
}

// addMachine makes the shop young, so that each working morning has a post.
func addMachine(t *testing.T, book *store.Book, cal engine.Calendar) {
	t.Helper()
	now := engine.Instant(time.Now().Unix())
	_, err := book.Write(t.Context(), engine.Batch{Entries: []engine.Entry{
		{Kind: engine.KindPerson, Said: now, Source: engine.Source{Channel: "t", Message: "1"}, Texts: engine.Texts{Name: "Runa"}},
		{Kind: engine.KindMachine, Said: now, Day: cal.DayAt(now), At: now, Writer: -1, Value: "tractor",
			Source: engine.Source{Channel: "t", Message: "1", Ordinal: 1}, Texts: engine.Texts{Name: "RT1", Words: "Row tractor"}},
	}})
	if err != nil {
		t.Fatal(err)
	}
}

// TestOnePostAWorkingMorning lets three weeks go by over a clock change, with
// a restart every day: each working day has its post at 06:15 by the wall,
// and none has two. The clocks of New York go forward on 8 March 2026 (US
// Energy Policy Act of 2005: second Sunday of March).
func TestOnePostAWorkingMorning(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "book.db")
	synctest.Test(t, func(t *testing.T) {
		sleepUntil("2026-02-27 13:00", zone)
		var days []engine.Day
		for day := range 21 {
			book, desk := rig(t, path, "America/New_York")
			if day == 0 {
				addMachine(t, book, engine.CalendarIn(zone))
			}
			ctx, stop := context.WithTimeout(t.Context(), 24*time.Hour)
			Run(ctx, desk, func(_ context.Context, p engine.Post, a commands.Answer) error {
				if wall := time.Now().In(zone).Format("15:04"); wall != "06:15" {
					t.Errorf("%s posted at %s", p.Day, wall)
				}
				days = append(days, p.Day)
				return nil
			}, quiet)
			stop()
			if err := book.Close(); err != nil {
				t.Fatal(err)
			}
		}
		seen := map[engine.Day]bool{}
		for _, d := range days {
			if seen[d] {
				t.Errorf("%s posted twice", d)
			}
			seen[d] = true
			if d.Weekday() == time.Sunday {
				t.Errorf("%s is a Sunday", d)
			}
		}
		if len(days) != 18 { // 28 February to 20 March 2026 has 18 days that are no Sunday
			t.Errorf("%d posts, want 18: %v", len(days), days)
		}
	})
}

// TestAFailedSendIsTriedAgain keeps a post planned until it is out.
func TestAFailedSendIsTriedAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	synctest.Test(t, func(t *testing.T) {
		sleepUntil("2026-03-02 06:10", time.UTC)
		book, desk := rig(t, path, "UTC")
		defer book.Close()
		addMachine(t, book, engine.Calendar{})
		ctx, stop := context.WithTimeout(t.Context(), 30*time.Minute)
		defer stop()
		tries := 0
		Run(ctx, desk, func(context.Context, engine.Post, commands.Answer) error {
			if tries++; tries < 4 {
				return errors.New("the line is down")
			}
			return nil
		}, quiet)
		if tries != 4 {
			t.Errorf("%d tries, want 4: three that failed and the one that went out", tries)
		}
	})
}

// TestTooLateIsLeftToTheNextMorning writes one decision down for the day.
func TestTooLateIsLeftToTheNextMorning(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	synctest.Test(t, func(t *testing.T) {
		sleepUntil("2026-03-02 15:00", time.UTC)
		book, desk := rig(t, path, "UTC")
		defer book.Close()
		addMachine(t, book, engine.Calendar{})
		ctx, stop := context.WithTimeout(t.Context(), 2*time.Hour)
		defer stop()
		Run(ctx, desk, func(context.Context, engine.Post, commands.Answer) error {
			t.Error("posted at three in the afternoon")
			return nil
		}, quiet)
		post, there, err := book.Post(t.Context(), commands.MorningKind, engine.DayOf(2026, time.March, 2))
		if err != nil || !there || post.State != engine.Skipped {
			t.Errorf("the day's decision is %v, %v, %v; want skipped", post.State, there, err)
		}
	})
}
