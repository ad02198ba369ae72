package engine

import (
	"slices"
	"testing"
)

func hoursOf(m Meter) (out []Tenths) {
	for _, p := range m.Points {
		out = append(out, p.Hours)
	}
	return out
}

func TestTimelineTakesWhatShowsAFigure(t *testing.T) {
	l := &log{}
	d := day(t, "2026-03-10")
	l.read(d, 4126)
	l.serve(d+1, 4130, Drain)
	l.add(Entry{Kind: KindBaseline, Day: d - 30, Hours: Known(Tenths(4000)), Known: Sticker, Jobs: []Job{EngineOil}})
	l.add(Entry{Kind: KindBaseline, Hours: Known(Tenths(3900)), Known: Sticker, Jobs: []Job{OilFilter}, At: 5}) // no day: no point in time
	l.serveUnread(d+2, Drain)
	l.find(d+3, Clean, 0)
	l.add(Entry{Kind: KindFill, Day: d + 3, Hours: Known(Tenths(9)), Litres: 400})
	l.add(Entry{Kind: KindReading, Day: d + 4}) // no figure
	l.add(Entry{Kind: KindReading, Day: d + 4, Hours: Known(Tenths(4200)), State: TakenBack})
	l.add(Entry{Kind: KindReading, Day: d + 4, Hours: Known(Tenths(4201)), State: Replaced})
	l.add(Entry{Kind: KindReading, Day: d + 4, Hours: Known(Tenths(4140)), Replaces: 10, Known: Told})
	m := Timeline(Machine{Kind: "loader"}, l.entries)
	if got, want := hoursOf(m), []Tenths{4000, 4126, 4130, 4140}; !slices.Equal(got, want) {
		t.Fatalf("machine hours: got %v, want %v", got, want)
	}
	last, ok := m.Last()
	same(t, "last", ok, true)
	same(t, "successor", last.Seq, 11)
	same(t, "how known", last.Known, Told)
	same(t, "kind", m.Points[2].Kind, KindService)
	same(t, "grain", last.Grain, 1)
	same(t, "whole grain", Timeline(Machine{Reads: ReadsWhole}, l.entries).Points[0].Grain, 10)
	_, ok = Timeline(Machine{}, nil).Last()
	same(t, "nothing", ok, false)
}

// The order is At, then Day, then Seq, and an entry without an instant stands
// at noon of its day, one without either when it was said or written.
func TestTimelineOrder(t *testing.T) {
	d := Day(20000)
	r := func(seq Seq, at Instant, day Day, h Tenths) Entry {
		return Entry{Seq: seq, Kind: KindReading, At: at, Day: day, Hours: Known(h)}
	}
	noon := Instant(d)*DayLength + 12*hour
	h := []Entry{
		r(7, noon+5, d, 60),
		r(6, noon, d, 30),
		r(5, noon, d+1, 40), // the same instant, a later day
		r(4, 0, d, 20),      // noon, written before 6
		r(3, noon-1, d+9, 10),
		{Seq: 2, Kind: KindReading, Said: noon + 6, Written: 1, Hours: Known(Tenths(70))},
		{Seq: 1, Kind: KindReading, Written: noon + 7, Hours: Known(Tenths(80))},
	}
	want := []Tenths{10, 20, 30, 40, 60, 70, 80}
	if got := hoursOf(Timeline(Machine{}, h)); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	slices.Reverse(h)
	if got := hoursOf(Timeline(Machine{}, h)); !slices.Equal(got, want) {
		t.Errorf("the other way: got %v, want %v", got, want)
	}
}

// TestNewMeter: machine hours go on across meters, common practice for hour
// meters: offset is the old final figure less the new first one.
func TestNewMeter(t *testing.T) {
	d := day(t, "2026-03-10")
	l := &log{}
	l.read(d, 41260)
	l.add(Entry{Kind: KindMeter, Day: d + 10, Old: Known(Tenths(41400)), Hours: Known(Tenths(5))})
	l.read(d+20, 125)
	l.add(Entry{Kind: KindReading, Day: d + 5, Hours: Known(Tenths(41320))}) // back-dated, on the old meter
	l.add(Entry{Kind: KindMeter, Day: d + 30, Old: Known(Tenths(200)), Hours: Known(Tenths(0))})
	l.read(d+40, 30)
	m := Timeline(Machine{}, l.entries)
	if got, want := hoursOf(m), []Tenths{41260, 41320, 41400, 41520, 41595, 41625}; !slices.Equal(got, want) {
		t.Fatalf("machine hours: got %v, want %v", got, want)
	}
	same(t, "as shown", m.Points[3].Shown, 125)
	same(t, "no slack", m.Points[5].Slack, 0)
	// Back to what today's meter shows: third meter, offset 4159.5.
	same(t, "now", m.Shown(41625), Known(Tenths(30)))
	same(t, "ahead", m.Shown(42595), Known(Tenths(1000)))
	same(t, "its first", m.Shown(41595), Known(Tenths(0)))
	same(t, "before its first", m.Shown(41594), Maybe[Tenths]{})
	// And by the meter of a time.
	same(t, "first meter", m.Machine(41300, morning(d+10)-1), 41300)
	same(t, "second meter", m.Machine(5, morning(d+10)), 41400)
	same(t, "second meter's last", m.Machine(100, morning(d+29)), 41495)
	same(t, "third meter", m.Machine(100, morning(d+31)), 41695)
	// A sticker's figure of unknown day: on the newest meter that has shown it.
	same(t, "third", m.undated(30), 41625)
	same(t, "second", m.undated(31), 41426)
	same(t, "second's last reading", m.undated(125), 41520)
	same(t, "first", m.undated(40000), 40000)
	same(t, "one meter only", Meter{}.undated(77), 77)
	same(t, "one meter shows all", Meter{}.Shown(-3), Known(Tenths(-3)))
}

func TestNewMeterThatDidNotStartAtNought(t *testing.T) {
	l := &log{}
	l.read(20000, 41260)
	l.add(Entry{Kind: KindMeter, Day: 20010, Old: Known(Tenths(41400)), Hours: Known(Tenths(50))})
	l.read(20020, 170)
	m := Timeline(Machine{}, l.entries)
	same(t, "its first", m.Shown(41400), Known(Tenths(50)))
	same(t, "before it", m.Shown(41399), Maybe[Tenths]{})
	same(t, "a sticker of its first", m.undated(50), 41400)
	same(t, "a sticker of less", m.undated(49), 49)
}

func TestNewMeterFirstOfAll(t *testing.T) {
	l := &log{}
	l.add(Entry{Kind: KindMeter, Day: 20000, Hours: Known(Tenths(12))})
	l.read(20001, 20)
	m := Timeline(Machine{}, l.entries)
	same(t, "starts", m.Points[0].Hours, 12)
	same(t, "goes on", m.Points[1].Hours, 20)
	same(t, "slack", m.Points[1].Slack, 0)
	l = &log{}
	l.add(Entry{Kind: KindMeter, Day: 20000, Old: Known(Tenths(500)), Hours: Known(Tenths(12))})
	same(t, "old one said", Timeline(Machine{}, l.entries).Points[0].Hours, 500)
}

// TestRollover: 9987.9 to 12.4 past 9,999.9 is 24.5 h (four whole drums and a
// tenth roll over at ten thousand hours: arithmetic of the drums).
func TestRollover(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 99879)
	l.add(Entry{Kind: KindMeter, Day: d + 2, Hours: Known(Tenths(124)), Value: MeterRolledOver})
	l.read(d+3, 130)
	m := Timeline(Machine{}, l.entries)
	if got, want := hoursOf(m), []Tenths{99879, 100124, 100130}; !slices.Equal(got, want) {
		t.Fatalf("got %v, want %v", got, want)
	}
	same(t, "shown", m.Shown(100130), Known(Tenths(130)))
	same(t, "from zero", m.Shown(100000), Known(Tenths(0)))
	same(t, "not the old drums", m.Shown(99999), Maybe[Tenths]{})
	// Told as a new meter that began where the drums end, it is the same.
	l.entries[1].Value, l.entries[1].Old = "", Known(Tenths(99999))
	same(t, "told so", Timeline(Machine{}, l.entries).Points[2].Hours, 100130)
	// One tenth less is a meter that was changed.
	l.entries[1].Old = Known(Tenths(99998))
	same(t, "changed", Timeline(Machine{}, l.entries).Points[1].Hours, 99998)
	// Never by itself: a lower figure stays a lower figure.
	l.entries = slices.Delete(l.entries, 1, 2)
	same(t, "not by itself", Timeline(Machine{}, l.entries).Points[1].Hours, 130)
	// Twice round, on a whole-hour meter as well.
	l = &log{}
	l.read(d, 99990)
	l.add(Entry{Kind: KindMeter, Day: d + 2, Hours: Known(Tenths(10)), Value: MeterRolledOver})
	l.read(d+1000, 99950)
	l.add(Entry{Kind: KindMeter, Day: d + 1001, Hours: Known(Tenths(20)), Value: MeterRolledOver})
	same(t, "twice", Timeline(Machine{Reads: ReadsWhole}, l.entries).Points[3].Hours, 200020)
}

// An unknown old final figure is taken from the last reading, and what may have
// been run since then is slack: days times the pace until then.
func TestUnknownOldFigureLeavesSlack(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 1000)
	l.read(d+7, 1140) // 2 h a day, over a week exactly
	l.add(Entry{Kind: KindMeter, Day: d + 12, Hours: Known(Tenths(0))})
	l.read(d+13, 15)
	m := Timeline(Machine{Kind: "loader"}, l.entries)
	if got, want := hoursOf(m), []Tenths{1000, 1140, 1140, 1155}; !slices.Equal(got, want) {
		t.Fatalf("got %v, want %v", got, want)
	}
	same(t, "before", m.Points[1].Slack, 0)
	same(t, "at it", m.Points[2].Slack, 100) // 5 days at 2 h
	same(t, "since", m.Points[3].Slack, 100)
	// Under a week of readings, the usual pace of its kind: a loader's is 1.5 h.
	l.entries[1].Day, l.entries[1].At = d+6, morning(d+6)
	same(t, "of its kind", Timeline(Machine{Kind: "loader"}, l.entries).Points[3].Slack, 90) // 6 days
	// A second one adds to it, and nothing runs more than the day has hours.
	l.entries[0].Hours, l.entries[0].Day, l.entries[0].At = Known(Tenths(-90000)), d-7, morning(d-7)
	same(t, "24 h a day", Timeline(Machine{}, l.entries).Points[3].Slack, 24*6*10)
	l.entries[0].Hours = Known(Tenths(9000)) // backwards: no pace
	same(t, "never less than none", Timeline(Machine{}, l.entries).Points[3].Slack, 0)
	l.add(Entry{Kind: KindMeter, Day: d + 15, Hours: Known(Tenths(0))})
	l.entries[0].Hours = Known(Tenths(-460)) // 1140+460 over 13 days
	m = Timeline(Machine{}, l.entries)
	same(t, "first spell", m.Points[3].Slack, 738)             // 160/13 h a day times 6 = 73.8
	same(t, "both spells", m.Points[4].Slack, 738+Tenths(162)) // 1155+460 over 20 days = 8.075 h a day, 2 days
}

func TestWholeHourMeterShowsNoTenths(t *testing.T) {
	m := Meter{Reads: ReadsWhole}
	same(t, "floor", m.ShownAs(6349), Known(Tenths(6340)))
	same(t, "whole", m.ShownAs(6340), Known(Tenths(6340)))
	same(t, "tenths", Meter{Reads: ReadsTenths}.ShownAs(6349), Known(Tenths(6349)))
	same(t, "not known", Meter{}.ShownAs(6349), Known(Tenths(6349)))
	swapped := Meter{Reads: ReadsWhole, swaps: []swap{{offset: 50}}}
	same(t, "before the meter", swapped.ShownAs(40), Maybe[Tenths]{})
}
