package engine

import (
	"slices"
	"testing"
)

var filterLine = PlanLine{Job: Separator, Interval: Interval{Every: 4000, Severable: true}}

// Severe use is one factor, the worst, taken once, with an end. That intervals
// are halved is what manuals have (see SevereShare); the ends are common
// practice.
func TestSevereUseEnds(t *testing.T) {
	d := Day(20000)
	base := func() *log {
		l := daily(d, 20, 40)                                                                                       // 2 h a day, 178.0 on d+39
		l.add(Entry{Kind: KindService, Day: d, At: morning(d), Hours: Known(Tenths(1000)), Jobs: []Job{EngineOil}}) // 41
		return l
	}
	oil := PlanLine{Job: EngineOil, Interval: Interval{Every: 1000, Severable: true}}
	for _, c := range []struct {
		name  string
		m     Machine
		every Tenths
		day   Day
		until Day
		why   string
	}{
		{"none", Machine{}, 1000, d + 50, 0, ""},
		{"dust, until it is taken off", Machine{Severe: "dust"}, 500, d + 25, 0, "dust"},
		{"until the day after it falls due", Machine{Severe: "dust", SevereUntil: d + 40}, 500, d + 25, d + 40, "dust"},
		{"over since today", Machine{Severe: "dust", SevereUntil: d + 39}, 1000, d + 50, 0, ""},
		{"over long ago", Machine{Severe: "dust", SevereUntil: d + 9}, 1000, d + 50, 0, ""},
		{"water the shop said, no day given: until it is taken off", Machine{Severe: "water"}, 500, d + 25, 0, "water"},
		{"one factor only, however many would fit", Machine{Severe: "high-sulphur"}, 250, d + 12, 0, "high-sulphur"},
	} {
		i := due(t, c.m, base(), oil, morning(d+39))
		same(t, c.name+": every", i.Reason.Every, c.every)
		near(t, c.name+": day", float64(i.DueDay), float64(c.day), 1)
		same(t, c.name+": why", i.Reason.Severe, c.why)
		same(t, c.name+": until", i.Reason.SevereUntil, c.until)
	}
	// It ends before the shorter interval is over: the usual one holds.
	l := base()
	oil.Interval.Every = 1600 // halved: due at 180.0, on d+40
	i := due(t, Machine{Severe: "dust", SevereUntil: d + 60}, l, oil, morning(d+39))
	same(t, "while it lasts", i.DueHours, Known(Tenths(1800)))
	i = due(t, Machine{Severe: "dust", SevereUntil: i.HoursDay + 1}, l, oil, morning(d+39))
	same(t, "to the day before it ends", i.DueHours, Known(Tenths(1800)))
	i = due(t, Machine{Severe: "dust", SevereUntil: i.HoursDay}, l, oil, morning(d+39))
	same(t, "over by then", i.DueHours, Known(Tenths(2600)))
	same(t, "no factor", i.Reason.Severe, "")
	same(t, "no end", i.Reason.SevereUntil, 0)
	same(t, "usual", i.Reason.Every, 1600)
	// On marks, too.
	oil.Interval.Marks = true
	i = due(t, Machine{Severe: "dust", SevereUntil: d + 40}, l, oil, morning(d+39))
	same(t, "mark", i.DueHours, Known(Tenths(1600)))
	same(t, "every", i.Reason.Every, 800)
	i = due(t, Machine{Severe: "dust", SevereUntil: i.HoursDay}, l, oil, morning(d+39))
	same(t, "the usual mark", i.DueHours, Known(Tenths(1600)))
	same(t, "every", i.Reason.Every, 1600)
	// At a standstill severe use ends before anything by hours.
	still := &log{}
	still.serve(d, 1000, EngineOil)
	for n := range Day(20) {
		still.read(d+n, 1000)
	}
	oil.Interval.Marks = false
	i = due(t, Machine{Severe: "dust", SevereUntil: d + 60}, still, oil, morning(d+39))
	if i.HoursDay == 0 {
		same(t, "never gets there", i.Reason.Severe, "")
	}
}

func TestWaterIsSevereUse(t *testing.T) {
	d := Day(20000)
	ml := func(n Millilitres) Amount { return Amount{Measured: n.Tenths()} }
	type look struct {
		day Day
		f   Finding
		a   Amount
	}
	for _, c := range []struct {
		name  string
		looks []look
		want  bool
	}{
		{"no look", nil, false},
		{"clean", []look{{2, Clean, Amount{}}}, false},
		{"water", []look{{2, Water, ml(21)}}, true},
		{"no more than 20 ml", []look{{2, Water, ml(20)}}, false},
		{"lots", []look{{2, Water, Amount{Class: Lots}}}, true},
		{"some may be less", []look{{2, Water, Amount{Class: Some}}}, false},
		{"amount not said", []look{{2, Water, Amount{}}}, false},
		{"a trace after it", []look{{2, Water, ml(40)}, {3, Water, ml(3)}}, true},
		{"one clean look since", []look{{2, Water, ml(40)}, {30, Clean, Amount{}}}, true},
		{"two, 24 h apart", []look{{2, Water, ml(40)}, {3, Clean, Amount{}}, {15, Clean, Amount{}}}, true},
		{"two, 26 h apart", []look{{2, Water, ml(40)}, {3, Clean, Amount{}}, {16, Clean, Amount{}}}, false},
		{"a trace between", []look{{2, Water, ml(40)}, {3, Clean, Amount{}}, {9, Water, ml(3)}, {16, Clean, Amount{}}}, true},
		{"not seen between", []look{{2, Water, ml(40)}, {3, Clean, Amount{}}, {9, Unseen, Amount{}}, {16, Clean, Amount{}}}, false},
		{"water since", []look{{2, Clean, Amount{}}, {18, Clean, Amount{}}, {19, Water, ml(40)}}, true},
		{"dry, then a trace", []look{{2, Water, ml(40)}, {3, Clean, Amount{}}, {16, Clean, Amount{}}, {17, Water, ml(3)}}, false},
		{"after the last reading but one: not counted yet", []look{{2, Water, ml(40)}, {26, Clean, Amount{}}, {39, Clean, Amount{}}}, true},
	} {
		l := daily(d, 20, 40)
		for _, k := range c.looks {
			l.saw(d+k.day, k.f, k.a, true)
		}
		l.add(Entry{Kind: KindService, Day: d, At: morning(d) - hour, Hours: Known(Tenths(990)), Jobs: []Job{Separator}})
		i := due(t, Machine{}, l, filterLine, morning(d+39))
		same(t, c.name+": halved", i.Reason.Every == 2000, c.want)
		same(t, c.name+": why", i.Reason.Severe == FactorWater, c.want)
		same(t, c.name+": the find is evidence", i.Reason.SevereSeq != 0 && slices.Contains(i.Evidence(), i.Reason.SevereSeq), c.want)
		air := filterLine
		air.Job = AirCleaner
		l.add(Entry{Kind: KindService, Day: d, At: morning(d) - hour, Hours: Known(Tenths(990)), Jobs: []Job{AirCleaner}})
		same(t, c.name+": not for an air cleaner", due(t, Machine{}, l, air, morning(d+39)).Reason.Severe, "")
		// The worst of both; of two alike what the shop said.
		same(t, c.name+": worst", due(t, Machine{Severe: "high-sulphur"}, l, filterLine, morning(d+39)).Reason.Every, 1000)
		same(t, c.name+": once", due(t, Machine{Severe: "dust"}, l, filterLine, morning(d+39)).Reason.Severe, "dust")
		// Said by the shop on a day, for all jobs: it ends the same way.
		said := due(t, Machine{Severe: "water", SevereSince: d + 2}, l, air, morning(d+39))
		dry := []string{"two, 26 h apart", "not seen between", "dry, then a trace"}
		same(t, c.name+": said", said.Reason.Severe == "", slices.Contains(dry, c.name))
		// No clean looks before it was said.
		same(t, c.name+": said since", due(t, Machine{Severe: "water", SevereSince: d + 38}, l, air, morning(d+39)).Reason.Severe, "water")
	}
}

// Two clean looks exactly 25 h apart are far enough, the later of them at the
// very reading before the last.
func TestDryAgainToTheTenth(t *testing.T) {
	d := Day(20000)
	for _, c := range []struct {
		name string
		at   Instant // of the later look; 2.5 h a day
		last Day     // of the last reading
		wet  bool
	}{
		{"25 h", morning(d + 13), d + 14, false},
		{"a tenth less", morning(d+13) - hour, d + 14, true},
		{"read no further than that", morning(d + 13), d + 13, true},
		{"a second after the reading before the last", morning(d+13) + 1, d + 14, true},
	} {
		l := daily(d, 25, int(c.last-d)+1)
		l.add(Entry{Kind: KindFinding, Day: d + 2, At: morning(d + 2), Finding: Water, Amount: Amount{Measured: 40 * ML}})
		l.add(Entry{Kind: KindFinding, Day: d + 3, At: morning(d + 3), Finding: Clean})
		l.add(Entry{Kind: KindFinding, Day: d + 13, At: c.at, Finding: Clean})
		l.add(Entry{Kind: KindService, Day: d, At: morning(d) - hour, Hours: Known(Tenths(990)), Jobs: []Job{Separator, AirCleaner}})
		same(t, c.name, due(t, Machine{}, l, filterLine, morning(d+20)).Reason.Severe == FactorWater, c.wet)
		air := filterLine
		air.Job = AirCleaner
		said := Machine{Severe: FactorWater, SevereSince: d + 2}
		same(t, c.name+": said", due(t, said, l, air, morning(d+20)).Reason.Severe == FactorWater, c.wet)
	}
}
