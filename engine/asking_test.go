package engine

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func worth(m Machine, l *log, now Instant, lines ...PlanLine) Worth {
	s := Fold(m, l.entries, utc)
	return s.WorthReading(s.Due(lines, now), true, now)
}

// The band's ends are its tenths and its middle is the median; the others are
// standard normal probabilities (Abramowitz and Stegun, Handbook of
// Mathematical Functions, table 26.1).
func TestBandBelow(t *testing.T) {
	b := Band{Low: 90, Mid: 100, High: 140}
	for _, c := range []struct{ at, want float64 }{
		{90, 0.1}, {100, 0.5}, {140, 0.9},
		{100 - 10/z80, 0.158655254}, {100 + 40/z80, 0.841344746}, {100 + 2*40/z80, 0.977249868},
	} {
		near(t, "below", b.below(c.at), c.want, 1e-9)
	}
	for _, c := range []struct {
		b        Band
		at, want float64
	}{
		{Band{100, 100, 100}, 100, 0}, {Band{100, 100, 100}, 99, 0}, {Band{100, 100, 100}, 101, 1},
		{Band{100, 100, 140}, 100, 0}, {Band{90, 100, 100}, 100, 0.5}, {Band{90, 100, 100}, 100.1, 1},
	} {
		same(t, "no width", c.b.below(c.at), c.want)
	}
}

// rare is a machine read twice, long ago: nobody knows well where it stands.
func rare(d Day) *log {
	l := &log{}
	l.serve(d-20, 1000, EngineOil, Belt)
	l.read(d, 1300)
	return l
}

// weekEnd is where the middle of its forecast stands at the end of the week
// after a day, in tenths from when its oil was done.
func weekEnd(m Machine, l *log, d Day) Tenths {
	s := Fold(m, l.entries, utc)
	b, _ := s.Forecast.HoursAt(utc.Start(d + 8))
	return TenthsOf(b.Mid) - 1000
}

func TestWorthReading(t *testing.T) {
	d := Day(20000)
	l, now := rare(d), morning(d+30)
	edge := weekEnd(Machine{}, l, d+30)
	s := Fold(Machine{}, l.entries, utc)
	b, _ := s.Forecast.HoursAt(now)
	e, _ := s.Forecast.HoursAt(utc.Start(d + 38))
	// By hand, from the forecast's own band: just on the list, and just off it.
	tail := func(every Tenths, side float64) float64 {
		off := math.Abs((1000 + every).Hours() - e.Mid)
		return math.Erfc(z80*off/side/math.Sqrt2) / 2
	}
	on := worth(Machine{ID: 7}, l, now, line(EngineOil, edge-60, 0))
	same(t, "machine", on.Machine, 7)
	same(t, "asked for", on.Not, "")
	same(t, "for the oil", on.Job, EngineOil)
	same(t, "now on the list", on.OnList, true)
	same(t, "last", on.Last.Seq, 2)
	near(t, "chance", on.Chance, tail(edge-60, b.Mid-b.Low), 1e-9)
	off := worth(Machine{}, l, now, line(Belt, edge+80, 0))
	same(t, "for the belt", off.Job, Belt)
	same(t, "now off the list", off.OnList, false)
	near(t, "chance", off.Chance, tail(edge+80, b.High-b.Mid), 1e-9)
	// Both sides: whichever way it goes; of one side the nearest.
	both := worth(Machine{}, l, now, line(EngineOil, edge-60, 0), line(Belt, edge+80, 0))
	near(t, "both", both.Chance, on.Chance+off.Chance, 1e-12)
	same(t, "the likelier job", both.OnList, on.Chance > off.Chance)
	near(t, "of one side the nearest", worth(Machine{}, l, now, line(EngineOil, edge+80, 0), line(Belt, edge+400, 0)).Chance, off.Chance, 1e-12)
	// Far off: nothing would change.
	w := worth(Machine{}, l, now, line(EngineOil, edge+50000, 0))
	same(t, "far off", w.Not, NothingOpen)
	// Read just now: the figure is known.
	l.read(d+30, 1600)
	same(t, "just read", worth(Machine{}, l, now, line(EngineOil, weekEnd(Machine{}, l, d+30)+1, 0)).Chance, 0)
	// What no reading changes.
	for _, c := range []struct {
		name string
		line PlanLine
		add  func(*log)
	}{
		{"a drain", line(Drain, edge, 0), func(l *log) { l.entries[0].Jobs = []Job{Drain} }},
		{"put off", line(EngineOil, edge, 0), func(l *log) { l.add(Entry{Kind: KindPutOff, Day: d + 28, Until: d + 70, Jobs: []Job{EngineOil}}) }},
		{"due by the calendar all the same", line(EngineOil, edge, 1), func(*log) {}},
		{"by the calendar alone", line(EngineOil, 0, 24), func(*log) {}},
		{"never done", line(Vent, edge, 0), func(*log) {}},
	} {
		l := rare(d)
		c.add(l)
		w := worth(Machine{}, l, now, c.line)
		same(t, c.name, w.Chance, 0)
		same(t, c.name+": not asked", w.Not, NothingOpen)
		same(t, c.name+": no job", w.Job, "")
	}
	// By the calendar on the week's last day, and on the day after.
	for _, c := range []struct {
		season Day
		asked  bool
	}{{d + 37, false}, {d + 38, true}} {
		_, month, dom := c.season.Date()
		l := rare(d)
		l.entries[0].Day, l.entries[0].At = d-92, morning(d-92)
		p := line(EngineOil, weekEnd(Machine{}, l, d+30)+20, 0)
		p.Interval.Season = YearDay(int(month)*100 + dom)
		w := worth(Machine{}, l, now, p)
		same(t, "calendar on "+c.season.String(), w.Chance > 0, c.asked)
	}
	// No reading at all, and a job that waits for one.
	sticker := &log{}
	sticker.add(Entry{Kind: KindBaseline, Known: Sticker, Hours: Known(Tenths(1140)), Jobs: []Job{EngineOil}})
	w = worth(Machine{}, sticker, now, line(EngineOil, 1000, 0))
	same(t, "a sticker and no reading", w.Chance, 1)
	same(t, "asked for", w.Not, "")
	same(t, "never read", w.Last.Seq, 0)
	// Nobody knows at what hours: no reading dates it.
	sticker.entries[0].Hours = Maybe[Tenths]{}
	same(t, "no hours", worth(Machine{}, sticker, now, line(EngineOil, 1000, 0)).Not, NothingOpen)
}

func TestNobodyIsAsked(t *testing.T) {
	d := Day(20000)
	now, oil := morning(d+30), line(EngineOil, weekEnd(Machine{}, rare(d), d+30)+20, 0)
	for _, c := range []struct {
		name string
		m    Machine
		add  Entry
		own  bool
		want NotAsked
	}{
		{"the shop's own", Machine{}, Entry{Kind: KindFill, Day: d}, true, ""},
		{"a customer's", Machine{}, Entry{}, false, NotOurs},
		{"sold", Machine{Gone: "sold"}, Entry{}, true, NotHere},
		{"no meter", Machine{Reads: NoMeter}, Entry{}, true, HasNoMeter},
		{"out of use", Machine{}, Entry{Kind: KindOut, Day: d + 30}, true, NotInUse},
		{"laid up", Machine{}, Entry{Kind: KindParked, Day: d + 30}, true, NotAwake},
	} {
		l := rare(d)
		l.add(c.add)
		s := Fold(c.m, l.entries, utc)
		w := s.WorthReading(s.Due([]PlanLine{oil}, now), c.own, now)
		same(t, c.name, w.Not, c.want)
		if c.want != "" {
			same(t, c.name+": no chance worked out", w.Chance, 0)
		}
	}
}

func TestKeepWorth(t *testing.T) {
	w := func(id MachineID, chance float64, at Instant) Worth {
		return Worth{Machine: id, Chance: chance, Last: Point{At: at}}
	}
	var top []Worth
	for _, x := range []Worth{w(1, 0.2, 50), w(2, 0.5, 50), w(3, 0.2, 40), w(4, 0.1, 10), {Machine: 5, Chance: 0.9, Not: NotOurs}, w(6, 0.2, 40), w(7, 0.3, 9)} {
		top = KeepWorth(top, x, 4)
	}
	var got []MachineID
	for _, x := range top {
		got = append(got, x.Machine)
	}
	if want := []MachineID{2, 7, 3, 6}; !slices.Equal(got, want) { // the older reading first, then the lower id
		t.Errorf("got %v, want %v", got, want)
	}
	same(t, "none wanted", len(KeepWorth(nil, w(1, 1, 1), 0)), 0)
	same(t, "fewer than wanted", len(KeepWorth(nil, w(1, 1, 1), 5)), 1)
}

// A chance is one, a reading just taken leaves nothing to change, and a
// customer's machine is never asked for.
func TestWorthOfAnyBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		at := now(t, h)
		s := Fold(Machine{Kind: "tractor"}, h, utc)
		items := s.Due(fullPlan, at)
		w := s.WorthReading(items, true, at)
		if !(w.Chance >= 0 && w.Chance <= 1) || (w.Chance >= leastChance) != (w.Not == "") || (w.Chance > 0) != (w.Job != "") {
			t.Fatalf("%+v", w)
		}
		same(t, "a customer's", s.WorthReading(items, false, at).Not, NotOurs)
		b, ok := s.Forecast.HoursAt(at)
		if !ok {
			return
		}
		h = append(h, Entry{Seq: Seq(len(h) + 1), Kind: KindReading, At: at, Day: utc.DayAt(at), Hours: Known(TenthsOf(b.Mid))})
		s = Fold(Machine{Kind: "tractor"}, h, utc)
		if w := s.WorthReading(s.Due(fullPlan, at), true, at); w.Chance > 1e-9 {
			t.Fatalf("just read, and %+v", w)
		}
	})
}
