package engine

import (
	"slices"
	"testing"
)

// The rules of the bowl are common practice: any water, drain before the next
// start; a fill, two weeks' standing or a spell laid up, look before the next
// start. 10 h is a utility tractor manual's.

var drainLine = line(Drain, 100, 0)

func bowlOf(m Machine, l *log, now Instant) BowlState {
	s := Fold(m, l.entries, utc)
	return s.Bowl(drainLine, now)
}

// look is one message: a drain with what came of it.
func (l *log) look(d Day, f Finding, a Amount) {
	at := morning(d)
	l.add(Entry{Kind: KindService, Day: d, At: at, Jobs: []Job{Drain}})
	l.add(Entry{Kind: KindFinding, Day: d, At: at, Finding: f, Amount: a})
}

func TestLooks(t *testing.T) {
	d := Day(20000)
	l := steady(d, 1000, 10, 5)  // seqs 1 to 5
	l.look(d+3, Clean, Amount{}) // 6, 7
	l.serveUnread(d+4, Drain)    // 8: what was seen is not known
	l.find(d+5, RingUp, 0)       // 9: not drained
	l.look(d+6, Water, Amount{Measured: 40 * ML})
	l.look(d+7, NothingCame, Amount{}) // 12, 13: no drain at all
	l.look(d+8, Unseen, Amount{})
	l.find(d+9, Weep, 0)                                                                                             // not about the bowl
	l.serveUnread(d+10, Separator)                                                                                   // the bowl was off
	l.add(Entry{Kind: KindService, Day: d + 11, Jobs: []Job{Drain}, How: LookedAt})                                  // not drained
	l.add(Entry{Kind: KindFinding, Day: d + 12, Finding: Clean, State: TakenBack})                                   // nothing
	l.add(Entry{Kind: KindFinding, At: morning(d + 12), Finding: Slime, Source: Source{Message: "m", Channel: "c"}}) // no day given
	s := Fold(Machine{}, l.entries, utc)
	type got struct {
		seq     Seq
		day     Day
		saw     Saw
		finding Finding
		drained bool
	}
	var have []got
	for _, k := range s.Looks() {
		have = append(have, got{k.Seq, k.Day, k.Saw, k.Finding, k.Drained})
	}
	want := []got{
		{7, d + 3, SawClean, Clean, true},
		{8, d + 4, SawNothing, "", true},
		{9, d + 5, SawWater, RingUp, false},
		{11, d + 6, SawWater, Water, true},
		{13, d + 7, SawNothing, NothingCame, false},
		{15, d + 8, SawNothing, Unseen, true},
		{17, d + 10, SawNothing, "", true},
		{20, d + 12, SawNothing, Slime, false},
	}
	if !slices.Equal(have, want) {
		t.Errorf("got  %v\nwant %v", have, want)
	}
	same(t, "hours then", s.Looks()[0].Hours, Known(Tenths(1030)))
	finds := s.WaterFinds()
	same(t, "finds", len(finds), 2)
	same(t, "first find", finds[0].Seq, 9)
	same(t, "amount", finds[1].Amount.Measured, 40*ML)
	last, _ := s.LastDone(Drain)
	same(t, "last drain", last.Day, d+10)
}

// In one message water outweighs what was not seen, and that outweighs clean.
func TestOneLookManyWords(t *testing.T) {
	for _, c := range []struct {
		name string
		in   []Finding
		want Finding
		saw  Saw
	}{
		{"water and clean", []Finding{Clean, Water}, Water, SawWater},
		{"water and rust", []Finding{Rust, Water}, Water, SawWater},
		{"clean and slime", []Finding{Clean, Slime}, Slime, SawNothing},
		{"slime and clean", []Finding{Slime, Clean}, Slime, SawNothing},
		{"two waters: the first", []Finding{RingUp, Water}, RingUp, SawWater},
		{"ice", []Finding{Clean, Ice}, Ice, SawWater},
		{"cloudy", []Finding{Cloudy}, Cloudy, SawNothing},
		{"debris", []Finding{Clean, Debris}, Debris, SawNothing},
		{"wax", []Finding{Wax}, Wax, SawNothing},
	} {
		l := &log{}
		at := morning(20000)
		for n, f := range c.in {
			l.add(Entry{Kind: KindFinding, Day: 20000, At: at + Instant(n), Finding: f, Source: Source{Channel: "say", Message: "1"}})
		}
		l.add(Entry{Kind: KindService, Day: 20000, At: at + 5, Jobs: []Job{Drain}, Source: Source{Channel: "say", Message: "1"}})
		s := Fold(Machine{}, l.entries, utc)
		looks := s.Looks()
		if len(looks) != 1 {
			t.Fatalf("%s: %d looks", c.name, len(looks))
		}
		same(t, c.name, looks[0].Finding, c.want)
		same(t, c.name+": saw", looks[0].Saw, c.saw)
		same(t, c.name+": drained", looks[0].Drained, true)
	}
}

func TestTogether(t *testing.T) {
	src := func(ch, m string) Source { return Source{Channel: ch, Message: m} }
	for _, c := range []struct {
		name string
		a, b Entry
		want bool
	}{
		{"one message", Entry{Source: src("say", "1"), Day: 3, At: 9}, Entry{Source: src("say", "1"), Day: 3, At: 8}, true},
		{"one message, two days", Entry{Source: src("say", "1"), Day: 3, At: 9}, Entry{Source: src("say", "1"), Day: 4, At: 9}, false},
		{"another message", Entry{Source: src("say", "1"), Day: 3, At: 9}, Entry{Source: src("say", "2"), Day: 3, At: 8}, false},
		{"another place", Entry{Source: src("say", "1"), Day: 3, At: 9}, Entry{Source: src("chat", "1"), Day: 3, At: 8}, false},
		{"another message, one instant", Entry{Source: src("say", "1"), At: 9}, Entry{Source: src("say", "2"), At: 9}, true},
		{"no message, one instant", Entry{At: 9}, Entry{At: 9}, true},
		{"nothing known", Entry{}, Entry{}, false},
	} {
		same(t, c.name, together(&c.a, &c.b), c.want)
	}
}

func TestDrainDue(t *testing.T) {
	d := Day(20000)
	m := Machine{ID: 3}
	l := steady(d, 1000, 20, 8) // 2 h a day, to d+21 at 142.0
	now := morning(d + 21)
	i := due(t, m, l, drainLine, now)
	same(t, "never", i.Unknown, NeverDone)
	l.look(d+20, Clean, Amount{})
	i = due(t, m, l, drainLine, now)
	same(t, "ten hours on", i.DueHours, Known(Tenths(1500)))
	same(t, "day", i.DueDay, d+25)
	same(t, "left", i.Left, Known(Tenths(80)))
	same(t, "by hours", i.Reason.Rule, ByHours)
	same(t, "the plan's own", i.Reason.Bowl, BowlReason{})
	same(t, "one clean look", bowlOf(m, l, now).CleanRow, 1)
	same(t, "two weeks at most", i.MonthDay, d+34)
	// At 0.5 h a day two weeks come first.
	slow := steady(d, 1000, 5, 8)
	slow.look(d+20, Clean, Amount{})
	i = due(t, m, slow, drainLine, now)
	same(t, "two weeks", i.DueDay, d+34)
	same(t, "by days", i.Reason.Rule, ByDays)
	same(t, "stood", i.Reason.Bowl, BowlReason{Stood, 9})
	same(t, "not ten hours", i.HoursDay, d+40)
	// A shop's own months take the place of the two weeks.
	i = due(t, m, slow, line(Drain, 100, 1), now)
	same(t, "own months", i.DueDay, d+40)
	same(t, "own month day", i.MonthDay, (d + 20).AddMonths(1))
	i = due(t, m, slow, line(Drain, 0, 1), now)
	same(t, "months only", i.DueDay, (d + 20).AddMonths(1))
	same(t, "by months", i.Reason.Rule, ByMonths)
	same(t, "no reason of its own", i.Reason.Bowl, BowlReason{})
	i = due(t, m, slow, line(Drain, 200, 1), now)
	same(t, "months first", i.DueDay, (d + 20).AddMonths(1))
	same(t, "and say so", i.Reason.Bowl, BowlReason{})
	// No readings: two weeks.
	none := &log{}
	none.look(d, Clean, Amount{})
	i = due(t, m, none, drainLine, now)
	same(t, "no readings", i.DueDay, d+14)
	same(t, "no readings, by days", i.Reason.Rule, ByDays)
	// The two clocks on one day.
	half := steady(d, 1000, 10, 8)
	half.look(d+20, Clean, Amount{})
	i = due(t, m, half, line(Drain, 140, 0), now)
	same(t, "both", i.Reason.Rule, ByBoth)
	same(t, "both: the plan's", i.Reason.Bowl, BowlReason{})
}

func TestWaterShortensAndCleanStretches(t *testing.T) {
	d := Day(20000)
	l := steady(d, 1000, 20, 8)
	l.look(d+9, Water, Amount{Measured: 5 * ML})
	b := bowlOf(Machine{}, l, morning(d+11))
	i := b.Item
	same(t, "before the next start", i.Reason.Bowl, BowlReason{WaterLast, 10})
	same(t, "due since", i.DueDay, d+9)
	same(t, "at the hours it was found", i.DueHours, Known(Tenths(1180)))
	same(t, "shown", i.DueShown, Known(Tenths(1180)))
	same(t, "early", i.EarlyDay, d+9)
	same(t, "late", i.LateDay, d+9)
	same(t, "left", i.Left, Known(Tenths(-40)))
	same(t, "by hours", i.Reason.Rule, ByHours)
	same(t, "row", b.CleanRow, 0)
	l.look(d+10, Clean, Amount{})
	b = bowlOf(Machine{}, l, morning(d+10))
	same(t, "row", b.CleanRow, 1)
	same(t, "5 ml once: the plan's own", b.Item.Reason.Bowl, BowlReason{})
	same(t, "due", b.Item.DueHours, Known(Tenths(1300)))
	// Big finds shorten it: by no more than they must.
	for n, a := range []Amount{{Measured: 40 * ML}, {Measured: 55 * ML}, {Class: Lots}} {
		l.look(d+11+Day(n), Water, a)
	}
	l.look(d+14, Clean, Amount{})
	was := bowlOf(Machine{}, l, morning(d+14))
	i = was.Item
	same(t, "shortened", i.Reason.Bowl, BowlReason{StillShort, 18})
	same(t, "due", i.DueHours, Known(1280+i.Reason.Every))
	if every := i.Reason.Every; every < 15 || every > 50 {
		t.Errorf("every %s h", every)
	}
	if p, q := was.Water.Over(0, i.Reason.Every), was.Water.Over(0, i.Reason.Every+1); p >= 0.05 || q < 0.05 {
		t.Errorf("chance %v, a tenth later %v", p, q)
	}
	// Clean looks stretch it back, and after 100 h of them the finds are over.
	for n := range Day(12) {
		at := d + 24 + 5*n
		l.look(at, Clean, Amount{})
		l.read(at+1, 1480+100*Tenths(n))
		l.read(at+2, 1500+100*Tenths(n))
		b = bowlOf(Machine{}, l, morning(at+2))
		same(t, "row", b.CleanRow, int(n)+2)
		if b.Item.Reason.Every < was.Item.Reason.Every || (n == 6 && b.Item.Reason.Every < 30) {
			t.Errorf("clean, and went from %s to %s h", was.Item.Reason.Every, b.Item.Reason.Every)
		}
		was = b
	}
	same(t, "back to the plan", b.Item.Reason.Every, 100)
	same(t, "and says nothing", b.Item.Reason.Bowl.Why == StillShort, false)
	// A drain of which nothing is known neither counts nor breaks the row.
	l = steady(d, 1000, 20, 8)
	l.look(d+9, Water, Amount{Measured: 5 * ML})
	l.serveUnread(d+10, Drain)
	same(t, "not known", bowlOf(Machine{}, l, morning(d+10)).CleanRow, 0)
	l.look(d+11, Clean, Amount{})
	l.serveUnread(d+12, Drain)
	same(t, "goes on", bowlOf(Machine{}, l, morning(d+12)).CleanRow, 1)
	// An interval of a tenth is not divided away.
	s := Fold(Machine{}, l.entries, utc)
	same(t, "never nothing", s.Bowl(line(Drain, 1, 0), morning(d+12)).Item.Reason.Every, 1)
	// Water that was seen and not let out, on a bowl never drained by the book.
	l = &log{}
	l.find(d, RingUp, 0)
	i = due(t, Machine{}, l, drainLine, morning(d+1))
	same(t, "ring up", i.Reason.Bowl, BowlReason{WaterLast, 1})
	same(t, "due", i.DueDay, d)
	same(t, "known", i.Unknown, "")
	same(t, "no hours", i.DueHours, Maybe[Tenths]{})
	if got, want := i.Evidence(), []Seq{1}; !slices.Equal(got, want) {
		t.Errorf("evidence: got %v, want %v", got, want)
	}
}

func TestLookBeforeTheNextStart(t *testing.T) {
	d := Day(20000)
	for _, c := range []struct {
		name string
		add  func(*log)
		want BowlReason
		day  Day
	}{
		{"nothing came: not a drain", func(l *log) { l.look(d+12, NothingCame, Amount{}) }, BowlReason{NotSeenLast, 12}, d + 12},
		{"could not be seen", func(l *log) { l.look(d+12, Unseen, Amount{}) }, BowlReason{NotSeenLast, 12}, d + 12},
		{"cloudy is not known, and no more", func(l *log) { l.look(d+10, Cloudy, Amount{}) }, BowlReason{}, d + 15},
		{"a fill", func(l *log) { l.add(Entry{Kind: KindFill, Day: d + 12, Litres: 400}) }, BowlReason{FilledSince, 11}, d + 12},
		{"a fill before the look", func(l *log) { l.add(Entry{Kind: KindFill, Day: d + 9, Litres: 400}) }, BowlReason{}, d + 15},
		{"a fill in the same moment", func(l *log) { l.add(Entry{Kind: KindFill, Day: d + 10, Litres: 400}) }, BowlReason{}, d + 15},
		{"a fill taken back", func(l *log) { l.add(Entry{Kind: KindFill, Day: d + 12, State: TakenBack}) }, BowlReason{}, d + 15},
		{"a fill and a look since", func(l *log) {
			l.add(Entry{Kind: KindFill, Day: d + 10, At: morning(d+10) + 5})
			l.find(d+11, Clean, 0)
		}, BowlReason{}, d + 15},
		{"rain", func(l *log) { l.add(Entry{Kind: KindRain, Day: d + 12}) }, BowlReason{RainedSince, 11}, d + 12},
		{"rain before the look", func(l *log) { l.add(Entry{Kind: KindRain, Day: d + 9}) }, BowlReason{}, d + 15},
		{"rain, then a fill: the first", func(l *log) {
			l.add(Entry{Kind: KindFill, Day: d + 12})
			l.add(Entry{Kind: KindRain, Day: d + 11})
		}, BowlReason{RainedSince, 12}, d + 11},
		{"woken", func(l *log) {
			l.add(Entry{Kind: KindParked, Day: d + 11})
			l.add(Entry{Kind: KindWoken, Day: d + 12})
		}, BowlReason{WokenSince, 12}, d + 12},
	} {
		l := steady(d, 1000, 20, 8)
		l.look(d+10, Clean, Amount{}) // 9, 10
		c.add(l)
		i := due(t, Machine{}, l, drainLine, morning(d+13))
		same(t, c.name, i.Reason.Bowl, c.want)
		same(t, c.name+": day", i.DueDay, c.day)
	}
}

// Two finds over 20 ml in a row, rust or slime: the tank, not the bowl [common
// practice], until it has been cleaned.
func TestTankIsAccused(t *testing.T) {
	d := Day(20000)
	ml := func(n Millilitres) Amount { return Amount{Measured: n.Tenths()} }
	type look struct {
		f Finding
		a Amount
	}
	for _, c := range []struct {
		name  string
		looks []look
		want  TankWhy
		seq   Seq
	}{
		{"nothing", nil, "", 0},
		{"one big find", []look{{Water, ml(40)}}, "", 0},
		{"two", []look{{Water, ml(40)}, {Water, ml(21)}}, TwoFinds, 4},
		{"one of just 20", []look{{Water, ml(40)}, {Water, ml(20)}}, "", 0},
		{"the other of just 20", []look{{Water, ml(20)}, {Water, ml(40)}}, "", 0},
		{"lots counts", []look{{Water, Amount{Class: Lots}}, {Water, ml(40)}}, TwoFinds, 4},
		{"some does not", []look{{Water, Amount{Class: Some}}, {Water, ml(40)}}, "", 0},
		{"clean between", []look{{Water, ml(40)}, {Clean, Amount{}}, {Water, ml(40)}}, "", 0},
		{"not known between", []look{{Water, ml(40)}, {Unseen, Amount{}}, {Water, ml(40)}}, TwoFinds, 6},
		{"clean since", []look{{Water, ml(40)}, {Water, ml(40)}, {Clean, Amount{}}}, TwoFinds, 4},
		{"rust", []look{{Rust, Amount{}}, {Clean, Amount{}}}, RustFound, 2},
		{"slime", []look{{Slime, Amount{}}, {Water, ml(5)}}, SlimeSeen, 2},
		{"the last of them", []look{{Rust, Amount{}}, {Slime, Amount{}}}, SlimeSeen, 4},
	} {
		l := &log{}
		for n, k := range c.looks {
			l.look(d+Day(n), k.f, k.a)
		}
		b := bowlOf(Machine{}, l, morning(d+9))
		same(t, c.name, b.Tank, c.want)
		same(t, c.name+": by", b.TankSeq, c.seq)
		l.serveUnread(d+Day(len(c.looks)-1)+1, Tank)
		same(t, c.name+": cleaned", bowlOf(Machine{}, l, morning(d+9)).Tank, "")
	}
	// Cleaned at the very moment of the look; and a told cleaning is no cleaning.
	l := &log{}
	l.look(d, Rust, Amount{})
	l.serveUnread(d, Tank)
	same(t, "with it", bowlOf(Machine{}, l, morning(d+9)).Tank, "")
	l.entries[2].Kind, l.entries[2].Known = KindBaseline, Counted
	same(t, "counted is not cleaned", bowlOf(Machine{}, l, morning(d+9)).Tank, RustFound)
}

func TestOffTheDrainList(t *testing.T) {
	d := Day(20000)
	for _, c := range []struct {
		name string
		m    Machine
		add  func(*log)
		want BowlOff
	}{
		{"on it", Machine{}, func(*log) {}, ""},
		{"sold", Machine{Gone: "sold"}, func(*log) {}, OffGone},
		{"out of use", Machine{}, func(l *log) { l.add(Entry{Kind: KindOut, Day: d + 1}) }, OffOutOfUse},
		{"and back", Machine{}, func(l *log) {
			l.add(Entry{Kind: KindOut, Day: d + 1})
			l.add(Entry{Kind: KindBack, Day: d + 2})
		}, ""},
		{"laid up", Machine{}, func(l *log) { l.add(Entry{Kind: KindParked, Day: d + 1}) }, OffLaidUp},
		{"put off", Machine{}, func(l *log) { l.add(Entry{Kind: KindPutOff, Day: d + 1, Until: d + 9, Jobs: []Job{Drain}}) }, OffPutOff},
		{"put off until today", Machine{}, func(l *log) { l.add(Entry{Kind: KindPutOff, Day: d + 1, Until: d + 4, Jobs: []Job{Drain}}) }, ""},
	} {
		l := &log{}
		l.look(d, Water, Amount{Measured: 5 * ML})
		c.add(l)
		b := bowlOf(c.m, l, morning(d+4))
		same(t, c.name, b.OffList, c.want)
		want := RankWater
		if c.want != "" {
			want = ""
		}
		same(t, c.name+": rank", b.Rank(), want)
	}
	same(t, "not in the book", bowlOf(Machine{}, &log{}, morning(d)).OffList, OffUnknown)
	// Laid up, the two weeks do not run.
	l := &log{}
	l.look(d, Clean, Amount{})
	l.add(Entry{Kind: KindParked, Day: d + 1})
	same(t, "no two weeks", bowlOf(Machine{}, l, morning(d+40)).Item.MonthDay, 0)
}

func TestRank(t *testing.T) {
	today := Day(1000)
	b := func(why BowlWhy, dueDay, last Day, left Tenths, pace float64) BowlState {
		return BowlState{
			Pace: pace,
			Item: Item{Today: today, DueDay: dueDay, Last: Last{Day: last}, Left: Known(left), Reason: Reason{Every: 100, Bowl: BowlReason{Why: why}}},
		}
	}
	self := b("", today, today-3, 0, 0)
	self.SelfGoes = true
	early := b("", today+1, today-3, 5, 0)
	early.SelfGoes = true
	unread := b("", today, today-3, -300, 0)
	unread.Item.Left.Known = false
	for _, c := range []struct {
		name string
		b    BowlState
		want DrainRank
	}{
		{"water", b(WaterLast, today-5, today-5, -90, 0), RankWater},
		{"not seen", b(NotSeenLast, today-5, today-5, -90, 0), RankNotSeen},
		{"starts by itself", self, RankSelf},
		{"not due yet", early, ""},
		{"filled", b(FilledSince, today, today-3, 0, 0), RankEvent},
		{"woken", b(WokenSince, today, today-3, 0, 0), RankEvent},
		{"two weeks", b(Stood, today, today-14, 50, 0), RankLong},
		{"a day less", b("", today, today-13, 0, 0), ""},
		{"twice the interval", b("", today, today-3, -100, 0), RankLong},
		{"not quite", b("", today, today-3, -99, 0), ""},
		{"not known how far", unread, ""},
		{"about to run", b("", today, today-3, -99, 1), RankRunning},
		{"hardly", b("", today, today-3, -99, 0.99), ""},
		{"runs, not due", b("", today+1, today-3, 10, 5), ""},
	} {
		same(t, c.name, c.b.Rank(), c.want)
	}
}

// A shed of fourteen, all past their ten hours: not fourteen lines.
func TestRankDrains(t *testing.T) {
	d := Day(20000)
	var bowls []BowlState
	for n := range MachineID(14) {
		l := steady(d, 1000, 8, 8) // 0.8 h a day
		l.look(d+2, Clean, Amount{})
		m := Machine{ID: n + 1}
		switch n {
		case 4:
			l.look(d+9, Water, Amount{Measured: 30 * ML})
		case 7:
			l.look(d+10, Water, Amount{Measured: 30 * ML})
		case 9:
			l.look(d+5, NothingCame, Amount{})
		case 11:
			m.SelfStarts = Yes
		case 12:
			l.add(Entry{Kind: KindFill, Day: d + 14})
		case 13:
			l.add(Entry{Kind: KindOut, Day: d + 3})
		}
		bowls = append(bowls, bowlOf(m, l, morning(d+15))) // 13 days, 10.4 h since the clean look
	}
	top, more := RankDrains(bowls, 6)
	var got []MachineID
	for _, r := range top {
		got = append(got, r.Bowl.Item.Machine)
	}
	if want := []MachineID{5, 8, 10, 12, 13}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	same(t, "no more", more, 0)
	same(t, "why", top[2].Why, RankNotSeen)
	top, more = RankDrains(bowls, 2)
	same(t, "two", len(top), 2)
	same(t, "and three more", more, 3)
	top, more = RankDrains(bowls, -1)
	same(t, "none asked for", len(top), 0)
	same(t, "five more", more, 5)
}

func TestOrderWithinARank(t *testing.T) {
	b := func(id MachineID, left Maybe[Tenths], due Day) BowlState {
		return BowlState{Item: Item{Machine: id, Today: 1000, DueDay: due, Left: left, Reason: Reason{Every: 100, Bowl: BowlReason{Why: WaterLast}}}}
	}
	top, _ := RankDrains([]BowlState{
		b(1, Known(Tenths(100)), 990), b(2, Maybe[Tenths]{}, 980), b(3, Known(Tenths(-50)), 999), b(5, Known(Tenths(-50)), 998), b(4, Known(Tenths(-50)), 998),
	}, 9)
	var got []MachineID
	for _, r := range top {
		got = append(got, r.Bowl.Item.Machine)
	}
	if want := []MachineID{4, 5, 3, 2, 1}; !slices.Equal(got, want) { // most run first, then the longest due
		t.Errorf("got %v, want %v", got, want)
	}
}
