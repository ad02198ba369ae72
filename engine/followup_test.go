package engine

import (
	"slices"
	"testing"
)

func kindsOf(fs []FollowUp) []FollowKind {
	var out []FollowKind
	for _, f := range fs {
		out = append(out, f.Kind)
	}
	return out
}

func follow(l *log, d Day) []FollowUp { return FollowUps(Machine{}, l.entries, morning(d), utc) }

func wants(t testing.TB, name string, got []FollowUp, want ...FollowKind) {
	t.Helper()
	if !slices.Equal(kindsOf(got), want) {
		t.Errorf("%s: got %v, want %v", name, kindsOf(got), want)
	}
	for _, f := range got {
		if f.What == "" || f.When == "" || f.Why == "" || f.Seq == 0 {
			t.Errorf("%s: %+v lacks a word", name, f)
		}
	}
}

// A ring is new at every opening of the bowl, and air is the first suspect for
// ten hours after the fuel side was open [common practice].
func TestBowlOpened(t *testing.T) {
	d := Day(20000)
	l := steady(d-21, 1000, 20, 8) // 2 h a day, 142.0 on d
	l.serveUnread(d, Separator)
	f := follow(l, d)
	wants(t, "opened", f, AskRing, LookForLeaks)
	same(t, "by", f[0].Seq, 9)
	same(t, "since", f[0].Since, d)
	same(t, "from", f[0].From, d)
	same(t, "until", f[0].Until, 1520)
	same(t, "leaks until", f[1].Until, 1520)
	same(t, "no signal word", f[0].Signal, "")
	f = follow(l, d+1)
	wants(t, "next morning", f, RingReused, LookForLeaks)
	same(t, "not before it", f[0].From, d+1)
	wants(t, "4 days, 8 h on", follow(l, d+4), RingReused, LookForLeaks)
	wants(t, "5 days, 10 h on", follow(l, d+5))
	// A new ring, with it or since.
	l.serveUnread(d, ORing)
	wants(t, "ring with it", follow(l, d+1), LookForLeaks)
	l.entries[9].Day, l.entries[9].At = d+1, morning(d+1)
	wants(t, "ring since", follow(l, d+1), LookForLeaks)
	l.entries[9].At, l.entries[9].Day = morning(d)-hour, d
	wants(t, "ring earlier that day", follow(l, d+1), LookForLeaks)
	l.entries[9].At, l.entries[9].Day = morning(d-1), d-1
	wants(t, "ring the day before", follow(l, d+1), RingReused, LookForLeaks)
	l.entries[9].Kind, l.entries[9].At, l.entries[9].Day = KindBaseline, morning(d), d
	wants(t, "told of a ring", follow(l, d+1), RingReused, LookForLeaks)
	// Not before it happened.
	wants(t, "to come", follow(l, d-1))
	same(t, "by the minute", len(FollowUps(Machine{}, l.entries, morning(d)-1, utc)), 0)
}

// That the old ring went back need not wait for the next morning to be said.
func TestRingReused(t *testing.T) {
	d := Day(20000)
	ring := Entry{Kind: KindService, Day: d, Jobs: []Job{ORing}, How: Reused}
	why := "The old ring was put back: air after standing overnight points to it."
	l := &log{}
	l.serveUnread(d, Separator)
	l.add(ring)
	f := follow(l, d)
	wants(t, "at once", f, RingReused, LookForLeaks)
	same(t, "from the next morning", f[0].From, d+1)
	same(t, "why", f[0].Why, why)
	same(t, "the filter brought it as well", len(FollowUps(Machine{}, l.entries[:1], morning(d), utc)), 2)
	s := Fold(Machine{}, l.entries, utc)
	_, done := s.LastDone(ORing)
	same(t, "it renews nothing", done, false)
	same(t, "and drains nothing", len(s.Looks()), 1)
	wants(t, "next morning", follow(l, d+1), RingReused, LookForLeaks)
	same(t, "still said", follow(l, d+1)[0].Why, why)
	// Told later that day, of a bowl opened before.
	l.entries[1].At = morning(d) + hour
	l.entries[1].How, l.entries[1].Jobs = Reused, []Job{ORing}
	same(t, "later", follow(l, d)[0].Kind, RingReused)
	// By itself, without a time or a message to go with.
	l = &log{entries: []Entry{{Seq: 1, Kind: KindService, Written: morning(d), Jobs: []Job{ORing}, How: Reused}}}
	wants(t, "alone", follow(l, d), RingReused, LookForLeaks)
	// A new ring since settles it; another old part does not say it.
	l = &log{}
	l.serveUnread(d, Separator)
	l.add(ring)
	l.serveUnread(d+1, ORing)
	wants(t, "renewed", follow(l, d+1), LookForLeaks)
	l = &log{}
	l.serveUnread(d, Separator)
	l.add(Entry{Kind: KindService, Day: d, Jobs: []Job{Belt}, How: Reused})
	wants(t, "a belt", follow(l, d), AskRing, LookForLeaks)
}

func TestFuelSideOpened(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.serveUnread(d, FuelFilter, EngineOil)
	wants(t, "filter", follow(l, d), LookForLeaks)
	// No readings: thirty days.
	wants(t, "30 days", follow(l, d+30), LookForLeaks)
	wants(t, "31 days", follow(l, d+31))
	same(t, "no hours to end at", follow(l, d)[0].Until, 0)
	for _, c := range []struct {
		name string
		e    Entry
		want bool // settled
	}{
		{"bubbles answered", Entry{Kind: KindCheck, Check: CheckBubbles, Value: "no"}, true},
		{"wet answered", Entry{Kind: KindCheck, Check: CheckWet, Value: "no"}, true},
		{"cap answered", Entry{Kind: KindCheck, Check: CheckCap, Value: "no"}, false},
		{"air found", Entry{Kind: KindFinding, Finding: Air}, true},
		{"clean found", Entry{Kind: KindFinding, Finding: Clean}, false},
		{"a reading", Entry{Kind: KindReading, Hours: Known(Tenths(9))}, false},
		{"taken back", Entry{Kind: KindFinding, Finding: Air, State: TakenBack}, false},
	} {
		l := &log{}
		l.serveUnread(d, FuelFilter)
		c.e.Day = d + 1
		l.add(c.e)
		got := slices.Contains(kindsOf(follow(l, d+1)), LookForLeaks)
		same(t, c.name, got, !c.want)
		l.entries[1].Day, l.entries[1].At = d, morning(d) // with it, not since
		got = slices.Contains(kindsOf(follow(l, d+1)), LookForLeaks)
		same(t, c.name+", with it", got, true)
	}
	// "New filter, ran 10 min, no leaks": somebody has looked.
	dry := &log{}
	dry.serveUnread(d, FuelFilter)
	dry.entries[0].Value = StayedDry
	wants(t, "stayed dry", follow(dry, d))
	// Looking at it, or topping up, opens nothing; oil is no fuel.
	for _, e := range []Entry{
		{Jobs: []Job{FuelFilter}, How: LookedAt}, {Jobs: []Job{Separator}, How: ToppedUp}, {Jobs: []Job{EngineOil}}, {Jobs: []Job{"paint"}},
	} {
		l := &log{}
		e.Kind, e.Day = KindService, d
		l.add(e)
		wants(t, "opens nothing", follow(l, d))
	}
	// Two of them: one look, for the later.
	l = &log{}
	l.serveUnread(d, FuelFilter)
	l.serveUnread(d+1, Bleed)
	f := follow(l, d+1)
	wants(t, "once", f, LookForLeaks)
	same(t, "for the later", f[0].Seq, 2)
}

func TestFindingsBring(t *testing.T) {
	d := Day(20000)
	svc := func(jobs ...Job) Entry { return Entry{Kind: KindService, Jobs: jobs} }
	find := func(f Finding) Entry { return Entry{Kind: KindFinding, Finding: f} }
	how := func(e Entry, h How) Entry { e.How = h; return e }
	type after struct {
		name string
		e    Entry
		with bool // in the same message counts
		want bool // settles it
	}
	for _, c := range []struct {
		f     Finding
		kind  FollowKind
		after []after
	}{
		{Water, DrainFirst, []after{{"drain", svc(Drain), false, true}, {"clean", find(Clean), false, true}, {"separator", svc(Separator), false, true},
			{"oil", svc(EngineOil), false, false}, {"unseen", find(Unseen), false, false}, {"a look", how(svc(Drain), LookedAt), false, false}}},
		{RingUp, DrainFirst, []after{{"drain", svc(Drain), false, true}}},
		{Ice, DrainFirst, []after{{"drain", svc(Drain), false, true}}},
		{Rust, CleanTank, []after{{"tank", svc(Tank), true, true}, {"tank cleaned", how(svc(Tank), Cleaned), true, true},
			{"tank looked at", how(svc(Tank), LookedAt), true, false}, {"drain", svc(Drain), true, false}}},
		{Weep, TakeOut, []after{{"back", Entry{Kind: KindBack}, true, true}, {"out", Entry{Kind: KindOut}, true, true}, {"hose", svc(Hose), false, true},
			{"hose looked at", how(svc(Hose), LookedAt), false, false}, {"bled", svc(Bleed), false, false}, {"greased", svc(Grease), false, false},
			{"dry", Entry{Kind: KindCheck, Check: CheckWet, Value: "no"}, false, true}, {"wet", Entry{Kind: KindCheck, Check: CheckWet, Value: "yes"}, false, false}}},
		{SwollenORing, RenewRing, []after{{"ring", svc(ORing), true, true}, {"separator", svc(Separator), true, false}}},
		{HardORing, RenewRing, []after{{"ring", svc(ORing), true, true}, {"ring cleaned", how(svc(ORing), Cleaned), true, false}}},
		{WarpedBowl, RenewBowl, []after{{"bowl", svc(Bowl), true, true}, {"ring", svc(ORing), true, false}}},
		{NothingCame, NotCounted, []after{{"drain", svc(Drain), false, true}, {"water", find(Water), false, true}}},
		{Unseen, LookAgain, []after{{"drain", svc(Drain), false, true}, {"clean", find(Clean), false, true}, {"slime", find(Slime), false, false}}},
	} {
		l := &log{}
		l.find(d, c.f, 0)
		f := follow(l, d)
		wants(t, string(c.f), f, c.kind)
		same(t, "day", f[0].Since, d)
		if want := map[bool]Signal{true: Warning}[c.f == Weep]; f[0].Signal != want {
			t.Errorf("%s: signal %q", c.f, f[0].Signal)
		}
		for _, a := range c.after {
			a.e.Day = d + 1
			l.entries = l.entries[:1]
			l.add(a.e)
			same(t, string(c.f)+", then "+a.name, !slices.Contains(kindsOf(follow(l, d+1)), c.kind), a.want)
			a.e.Day = d
			l.entries = l.entries[:1]
			l.add(a.e)
			same(t, string(c.f)+", with "+a.name, !slices.Contains(kindsOf(follow(l, d+1)), c.kind), a.want && a.with)
		}
	}
	for _, f := range []Finding{Clean, Debris, Air, Wax, Cloudy} {
		l := &log{}
		l.find(d, f, 0)
		wants(t, string(f), follow(l, d))
	}
	// A drain that gave nothing settles nothing.
	l := &log{}
	l.find(d, Water, 0)
	l.look(d+1, NothingCame, Amount{})
	wants(t, "tried", follow(l, d+1), DrainFirst, NotCounted)
}

func TestSlimeAsksForTankThenFiltersTwice(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.find(d, Slime, 0)
	wants(t, "slime", follow(l, d), CleanTank)
	l.serveUnread(d+1, Tank)
	only := func(n Day) []FollowUp {
		return slices.DeleteFunc(follow(l, d+n), func(f FollowUp) bool { return f.Seq != 1 })
	}
	wants(t, "tank cleaned", only(1), FiltersTwice)
	l.serveUnread(d+2, Separator)
	wants(t, "once", only(2), FiltersTwice)
	l.serveUnread(d+3, FuelFilter)
	wants(t, "twice", only(3))
	// Filters before the slime do not count.
	l.entries[2].Day, l.entries[2].At = d-1, morning(d-1)
	wants(t, "one before", only(3), FiltersTwice)
}

func TestTwoBigFindsAccuseTheCap(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.look(d, Water, Amount{Measured: 40 * ML})
	l.look(d+6, Water, Amount{Class: Lots})
	f := follow(l, d+6)
	wants(t, "two", f, DrainFirst, LookAtCap)
	same(t, "by the second", f[1].Seq, 4)
	same(t, "on its day", f[1].Since, d+6)
	l.serveUnread(d+7, Vent)
	wants(t, "cap done", follow(l, d+7), DrainFirst)
	l.entries[4].Jobs = []Job{Tank}
	wants(t, "tank done", follow(l, d+7), DrainFirst, LookForLeaks)
	l.entries[4].Jobs = []Job{EngineOil}
	wants(t, "oil done", follow(l, d+7), DrainFirst, LookAtCap)
	// The cap done between the two has not helped.
	l.entries[4].Jobs, l.entries[4].Day, l.entries[4].At = []Job{Vent}, d+3, morning(d+3)
	wants(t, "cap done before", follow(l, d+7), DrainFirst, LookAtCap)
	// Rust accuses by itself.
	l = &log{}
	l.look(d, Rust, Amount{})
	wants(t, "rust", follow(l, d), CleanTank)
}

// The same symptom within 10 h or 30 days of the work for it is a comeback
// [common practice].
func TestComeback(t *testing.T) {
	d := Day(20000)
	sym := func(l *log, n Day, s ...Symptom) { l.add(Entry{Kind: KindSymptom, Day: d + n, Symptoms: s}) }
	base := func(reads Tenths) *log {
		l := steady(d-21, 1000, reads, 30) // to d+66
		sym(l, 0, PowerLoss, BlackSmoke)   // 31
		l.serveUnread(d+1, AirCleaner)     // 32
		return l
	}
	for _, c := range []struct {
		name  string
		reads Tenths // tenths of an hour a day
		after Day
		s     Symptom
		want  bool
	}{
		{"the same, 30 days on", 20, 31, PowerLoss, true},
		{"the same, 31 days and 62 h on", 20, 32, PowerLoss, false},
		{"the same, 34 days and 10.2 h on", 3, 35, PowerLoss, false},
		{"the same, 33 days and 9.9 h on", 3, 34, PowerLoss, true},
		{"the same, 50 days and exactly 10 h on", 2, 51, PowerLoss, true},
		{"another", 20, 5, Surging, false},
		{"the other of two", 20, 5, BlackSmoke, true},
	} {
		l := base(c.reads)
		sym(l, c.after, c.s, Knock)
		same(t, c.name, slices.Contains(kindsOf(follow(l, d+c.after)), MarkComeback), c.want)
	}
	l := base(20)
	sym(l, 5, PowerLoss)
	f := follow(l, d+5)
	wants(t, "comeback", f, MarkComeback)
	same(t, "by", f[0].Seq, 33)
	wants(t, "thirty days later", follow(l, d+35), MarkComeback)
	wants(t, "and then no more", follow(l, d+36))
	// Reported again with no work between is the same complaint.
	l = steady(d-21, 1000, 20, 8)
	sym(l, 0, PowerLoss)
	sym(l, 5, PowerLoss)
	wants(t, "no work", follow(l, d+5))
	// Work before the first report is none for it.
	l = &log{}
	l.serveUnread(d-1, AirCleaner)
	sym(l, 0, PowerLoss)
	sym(l, 5, PowerLoss)
	wants(t, "work before", follow(l, d+5))
	// Work reported in one message with it is; put back in use is work too.
	l = &log{}
	sym(l, 0, PowerLoss)
	l.serveUnread(d, AirCleaner)
	sym(l, 5, PowerLoss)
	wants(t, "in one message", follow(l, d+5), MarkComeback)
	l.entries[1].Kind = KindBack
	wants(t, "back in use", follow(l, d+5), MarkComeback)
	l.entries[1].State = TakenBack
	wants(t, "taken back", follow(l, d+5))
	l.entries[1].State, l.entries[1].Kind = Standing, KindReading
	wants(t, "a reading is no work", follow(l, d+5))
	l.entries[1].Kind, l.entries[0].State = KindService, TakenBack
	wants(t, "the first report taken back", follow(l, d+5))
	// With the complaint itself: work done for it, not before it.
	l = &log{}
	sym(l, 0, PowerLoss)
	sym(l, 5, PowerLoss)
	l.serveUnread(d+5, AirCleaner)
	wants(t, "mended at once", follow(l, d+5))
	// The latest work counts: 40 days after the first, 3 after the second.
	l = &log{}
	sym(l, 0, PowerLoss)
	l.serveUnread(d+37, AirCleaner)
	l.serveUnread(d+1, AirCleaner)
	sym(l, 40, PowerLoss)
	wants(t, "latest work", follow(l, d+40), MarkComeback)
}

// A leak or air in the line that comes back after work is a comeback too.
func TestLeakComesBack(t *testing.T) {
	d := Day(20000)
	for _, c := range []struct {
		name          string
		first, second Finding
		after         Day
		want          bool
	}{
		{"a leak", Weep, Weep, 5, true},
		{"air", Air, Air, 30, true},
		{"31 days on", Air, Air, 31, false},
		{"air after a leak", Weep, Air, 5, false},
		{"water again is no complaint", Water, Water, 5, false},
	} {
		l := &log{}
		l.find(d-1, c.first, 0)
		l.add(Entry{Kind: KindBack, Day: d})
		l.find(d+c.after, c.second, 0)
		f := follow(l, d+c.after)
		at := slices.IndexFunc(f, func(f FollowUp) bool { return f.Kind == MarkComeback })
		same(t, c.name, at >= 0, c.want)
		if at >= 0 {
			same(t, c.name+": by", f[at].Seq, 3)
		}
	}
	l := &log{}
	l.add(Entry{Kind: KindSymptom, Day: d, Symptoms: []Symptom{PowerLoss}})
	l.add(Entry{Kind: KindBack, Day: d + 1})
	l.find(d+2, Weep, 0)
	wants(t, "a symptom and a leak", follow(l, d+2), TakeOut)
}

func TestOneOfEachKind(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.find(d, Rust, 0)
	l.find(d+1, Rust, 0)
	l.find(d+2, Unseen, 0)
	f := follow(l, d+2)
	wants(t, "once", f, CleanTank, LookAgain)
	same(t, "the latest", f[0].Seq, 2)
	s := Fold(Machine{}, l.entries, utc)
	wants(t, "brought by the third", s.Brought([]Seq{3}, morning(d+2)), LookAgain)
	wants(t, "brought by two", s.Brought([]Seq{2, 3}, morning(d+2)), CleanTank, LookAgain)
	wants(t, "brought by the first", s.Brought([]Seq{1}, morning(d+2)))
	// At one time, the one written first comes first.
	l = &log{}
	l.find(d, Unseen, 0)
	l.find(d, Rust, 0)
	slices.Reverse(l.entries)
	wants(t, "in order", follow(l, d), LookAgain, CleanTank)
}
