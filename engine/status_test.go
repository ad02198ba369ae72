package engine

import "testing"

func TestSince(t *testing.T) {
	d := Day(20000)
	l := steady(d, 1000, 20, 5) // 2 h a day, to d+12 at 124.0
	l.serve(d+9, 1180, Drain)
	now := morning(d + 14)
	got := Since(Machine{}, l.entries, Drain, now, utc)
	same(t, "days", got.Days, Known(Day(5)))
	same(t, "hours known", got.Hours.Known, true)
	near(t, "hours", got.Hours.Value.Mid, 10, 1e-9) // 6 h read and 4 h at the pace
	same(t, "no less than read", got.Hours.Value.Low >= 6 && got.Hours.Value.Low < 10, true)
	same(t, "more", got.Hours.Value.High > 10, true)
	same(t, "last", got.Last.Seq, 6)
	same(t, "reading", got.Basis.Last.Day, d+12)
	// At the reading nothing is projected.
	got = Since(Machine{}, l.entries, Drain, morning(d+12), utc)
	same(t, "read", got.Hours.Value, Band{6, 6, 6})
	// Asked for a time before the job: nothing, not less.
	got = Since(Machine{}, l.entries, Drain, morning(d+3), utc)
	same(t, "before it", got.Hours.Value.Mid, 0)
	same(t, "before it, low", got.Hours.Value.Low, 0)
	same(t, "before it, high", got.Hours.Value.High, 0)
	// Never done.
	got = Since(Machine{}, l.entries, Belt, now, utc)
	same(t, "never", got.Last.Seq, 0)
	same(t, "never, hours", got.Hours.Known, false)
	same(t, "never, days", got.Days.Known, false)
	same(t, "never, but the reading", got.Basis.Last.Day, d+12)
	// Done without a figure before the book has any: days only.
	l.serveUnread(d-3, Belt)
	got = Since(Machine{}, l.entries, Belt, now, utc)
	same(t, "days only", got.Days, Known(Day(17)))
	same(t, "no hours", got.Hours.Known, false)
	// Done after the last reading without one: counted from the job.
	l.serveUnread(d+13, Hose)
	got = Since(Machine{}, l.entries, Hose, now, utc)
	near(t, "from the job", got.Hours.Value.Mid, 2, 1e-9)
	same(t, "its band", got.Hours.Value.High > 2 && got.Hours.Value.High < 12, true)
	// A sticker without a day.
	l.add(Entry{Kind: KindBaseline, Known: Sticker, Hours: Known(Tenths(400)), Jobs: []Job{Coolant}, At: now})
	got = Since(Machine{}, l.entries, Coolant, morning(d+12), utc)
	same(t, "no days", got.Days.Known, false)
	near(t, "hours since the sticker", got.Hours.Value.Mid, 84, 1e-9)
}

func TestSinceAcrossAnUnreadMeter(t *testing.T) {
	d := Day(20000)
	l := steady(d, 1000, 20, 5)
	l.serve(d+12, 1240, Drain)
	l.add(Entry{Kind: KindMeter, Day: d + 22, Hours: Known(Tenths(0))}) // 20 h at most unread
	l.read(d+32, 200)
	got := Since(Machine{}, l.entries, Drain, morning(d+32), utc)
	same(t, "band", got.Hours.Value, Band{20, 20, 40})
}

func TestOutOfUse(t *testing.T) {
	l := &log{}
	same(t, "in use", OutOfUse(nil) == nil, true)
	l.add(Entry{Kind: KindOut, Day: 20005})
	l.read(20006, 100)
	if e := OutOfUse(l.entries); e == nil || e.Seq != 1 {
		t.Errorf("got %v", e)
	}
	l.add(Entry{Kind: KindBack, Day: 20004}) // before it: it does not lift
	same(t, "still out", OutOfUse(l.entries) != nil, true)
	back := l.add(Entry{Kind: KindBack, Day: 20007})
	same(t, "back", OutOfUse(l.entries) == nil, true)
	back.State = TakenBack
	same(t, "back taken back", OutOfUse(l.entries) != nil, true)
	l.entries[0].State = TakenBack
	same(t, "out taken back", OutOfUse(l.entries) == nil, true)
}

func TestLaidUp(t *testing.T) {
	l := &log{}
	l.add(Entry{Kind: KindParked, Day: 20005})
	s := Fold(Machine{}, l.entries, utc)
	same(t, "laid up", s.LaidUp().Seq, 1)
	l.add(Entry{Kind: KindWoken, Day: 20009})
	s = Fold(Machine{}, l.entries, utc)
	same(t, "woken", s.LaidUp() == nil, true)
	same(t, "spell", s.Forecast.pause, pause{morning(20005), morning(20009)})
	// Woken without having been laid up is no spell; the latest spell counts.
	s = Fold(Machine{}, l.entries[1:], utc)
	same(t, "no spell", s.Forecast.pause, pause{})
	l.add(Entry{Kind: KindParked, Day: 20007})
	l.add(Entry{Kind: KindParked, Day: 20008, State: TakenBack})
	s = Fold(Machine{}, l.entries, utc)
	same(t, "latest", s.Forecast.pause, pause{morning(20007), morning(20009)})
}

func TestLastReading(t *testing.T) {
	l := steady(20000, 1000, 20, 5)
	p, ok := LastReading(Machine{}, l.entries)
	same(t, "ok", ok, true)
	same(t, "shown", p.Shown, 1240)
	_, ok = LastReading(Machine{}, nil)
	same(t, "none", ok, false)
}

// What a last line tells beside its hours.
func TestLastTells(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.add(Entry{Kind: KindService, Day: d, Hours: Known(Tenths(1000)), Jobs: []Job{Tank}, How: Cleaned, Writer: 2, Doer: 3, Known: Told})
	s := Fold(Machine{}, l.entries, utc)
	last, ok := s.LastDone(Tank)
	same(t, "ok", ok, true)
	same(t, "all of it", last, Last{
		Seq: 1, Kind: KindService, Day: d, At: morning(d), Known: Told, Shown: Known(Tenths(1000)), Hours: Known(Tenths(1000)), By: 3, How: Cleaned,
	})
	// A service of no day given is of the day it was said.
	l.entries[0].Day = 0
	s = Fold(Machine{}, l.entries, utc)
	last, _ = s.LastDone(Tank)
	same(t, "day", last.Day, d)
}
