package engine

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func forecast(m Machine, l *log) Forecast { return ForecastOf(Timeline(m, l.entries)) }

// slipLog is the hour-meter set with a lost point; SciPy's theilslopes gives
// 1.2342105 h a day for it, and 1.2342481 without the slip.
func slipLog(d Day) *log {
	l := &log{}
	days := []Day{0, 3, 7, 10, 14, 21, 28, 31, 38, 45}
	hours := []Tenths{14123, 14160, 14211, 14252, 142990, 14384, 14469, 14506, 14592, 14679}
	for i := range days {
		l.read(d+days[i], hours[i])
	}
	return l
}

// A slip is left out of the pace and of what is to come.
func TestPaceOfOwnReadings(t *testing.T) {
	d := Day(20000)
	f := forecast(Machine{}, slipLog(d))
	near(t, "slope", f.Pace.Mid, 1.2342481203007538, 1e-9)
	same(t, "from", f.Basis.From, PaceOwn)
	same(t, "readings", f.Basis.Readings, 9)
	same(t, "last", f.Basis.Last.Hours, 14679)
	if !(f.Pace.Low < f.Pace.Mid && f.Pace.Mid < f.Pace.High && f.Pace.High < 1.4) {
		t.Errorf("pace %+v", f.Pace)
	}
	for _, days := range []Day{3, 14, 60} {
		b, _ := f.HoursAt(morning(d + 45 + days))
		near(t, "as Sen's line", b.Mid, 1467.9+1.2342*float64(days), 0.02*1.2342*float64(days))
		if b.High-b.Low > 1.5*1.2342*float64(days)+12 {
			t.Errorf("a slip blew the band up: %+v", b)
		}
	}
}

// Where the pace comes from: three points over a week within 120 days of the
// last, else what the forecast says, from two readings, else from the kind.
func TestWhereThePaceComesFrom(t *testing.T) {
	d := Day(20000)
	type r struct {
		day Day
		h   Tenths
	}
	for _, c := range []struct {
		name     string
		reads    []r
		from     PaceFrom
		readings int
		mid      float64
	}{
		{"none", nil, PaceOfKind, 0, 1.5},
		{"one", []r{{0, 100}}, PaceOfKind, 1, 1.5},
		{"two", []r{{0, 100}, {10, 200}}, PaceTwo, 2, 1},
		{"two the same day", []r{{0, 100}, {0, 120}}, PaceOfKind, 1, 1.5},
		{"three over a week", []r{{0, 100}, {3, 130}, {7, 170}}, PaceOwn, 3, 1},
		{"three over less", []r{{0, 100}, {3, 130}, {6, 160}}, PaceTwo, 3, 1},
		{"two of three in season", []r{{0, 100}, {100, 200}, {221, 2620}}, PaceTwo, 3, 252.0 / 221},
		{"just in season", []r{{0, 100}, {60, 1300}, {120, 2500}}, PaceOwn, 3, 2},
		{"just out of season", []r{{0, 100}, {61, 1320}, {121, 2520}}, PaceTwo, 3, 2},
		{"going back: the later one", []r{{0, 500}, {10, 200}}, PaceOfKind, 1, 1.5},
		{"impossibly fast: the later one", []r{{0, 0}, {10, 9000}}, PaceOfKind, 1, 1.5},
		{"a last one that nothing can have reached", []r{{0, 100}, {10, 200}, {20, 30000}}, PaceTwo, 2, 1},
		{"idle", []r{{0, 900}, {10, 900}, {20, 900}}, PaceOwn, 3, 0},
	} {
		l := &log{}
		for _, x := range c.reads {
			l.read(d+x.day, x.h)
		}
		f := forecast(Machine{Kind: "Loader"}, l)
		same(t, c.name+": from", f.Basis.From, c.from)
		same(t, c.name+": readings", f.Basis.Readings, c.readings)
		near(t, c.name+": pace", f.Pace.Mid, c.mid, 0.01)
		if !(0 <= f.Pace.Low && f.Pace.Low <= f.Pace.Mid && f.Pace.Mid <= f.Pace.High && f.Pace.High <= 24) {
			t.Errorf("%s: pace %+v", c.name, f.Pace)
		}
	}
}

func TestServiceAndReadingOfOneMessageCountOnce(t *testing.T) {
	l := steady(20000, 1000, 20, 4)
	want := forecast(Machine{}, l)
	l.serve(20009, 1180, Drain)
	got := forecast(Machine{}, l)
	same(t, "readings", got.Basis.Readings, want.Basis.Readings)
	same(t, "pace", got.Pace, want.Pace)
	same(t, "curve", got.curve, want.curve)
	// Two figures of one moment: the higher.
	l.serve(20009, 1190, Drain)
	days, hours := pacePointsOf(Timeline(Machine{}, l.entries).Points)
	same(t, "points", len(days), 4)
	near(t, "higher", hours[3], 119, 0)
	near(t, "days before the last", days[0], -9, 0)
}

func TestManyReadingsAreThinned(t *testing.T) {
	l := &log{}
	for i := range 100 {
		l.read(20000+Day(i), 1000+Tenths(i))
	}
	days, hours := pacePointsOf(Timeline(Machine{}, l.entries).Points)
	same(t, "points", len(days), paceMost)
	near(t, "the first stays", days[0], -99, 0)
	near(t, "the last stays", days[paceMost-1], 0, 0)
	near(t, "and its hours", hours[paceMost-1], (1000+99)/10.0, 1e-9)
	near(t, "the second", days[1], -93, 0) // 99/15 = 6.6: the sixth after the first
	l.entries = l.entries[:paceMost]
	days, _ = pacePointsOf(Timeline(Machine{}, l.entries).Points)
	near(t, "as many are all used", days[1]-days[0], 1, 0)
}

func TestHoursBetweenReadings(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 1000)
	l.read(d+10, 1200)
	l.read(d+20, 1500)
	f := forecast(Machine{}, l)
	for _, c := range []struct {
		at             Instant
		low, mid, high float64
	}{
		{morning(d), 100, 100, 120},
		{morning(d + 5), 100, 110, 120},
		{morning(d + 10), 120, 120, 150},
		{morning(d + 15), 120, 135, 150},
	} {
		b, ok := f.HoursAt(c.at)
		same(t, "known", ok, true)
		near(t, "low", b.Low, c.low, 1e-9)
		near(t, "mid", b.Mid, c.mid, 1e-9)
		near(t, "high", b.High, c.high, 1e-9)
	}
	_, ok := f.HoursAt(morning(d) - 1)
	same(t, "before the first", ok, false)
	_, ok = forecast(Machine{}, &log{}).HoursAt(morning(d))
	same(t, "nothing known", ok, false)
	b, _ := f.HoursAt(morning(d + 20))
	same(t, "at the last", b, Band{150, 150, 150})
}

// A slip that got in is outweighed by the lower figure after it.
func TestSlipInTheLog(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 1000)
	l.read(d+10, 11000) // 110.0 without its point
	l.read(d+20, 1200)
	f := forecast(Machine{}, l)
	b, _ := f.HoursAt(morning(d + 10))
	near(t, "as if it were not there", b.Mid, 110, 1e-9)
	same(t, "not crossed by it", f.Crossing(1300).Median > morning(d+20), true)
	same(t, "crossed by the line past it", f.Crossing(1100).Median, morning(d+10))
}

func TestBandAfterTheLastReading(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 1000)
	l.read(d+10, 1100)
	f := forecast(Machine{Kind: "splitter"}, l)
	b, _ := f.HoursAt(morning(d + 24))
	near(t, "two readings are taken at their word", b.Mid, 124, 1e-6)
	if !(b.Low < 121 && b.High > 130 && b.Low >= 110) {
		t.Errorf("and the band is wide: %+v", b)
	}
	b, _ = f.HoursAt(morning(d + 11))
	same(t, "never below the last reading", b.Low >= 110, true)
	// A whole-hour meter may stand 0.9 h higher, and an estimate 4 h.
	w, _ := forecast(Machine{Kind: "splitter", Reads: ReadsWhole}, l).HoursAt(morning(d + 24))
	m, _ := f.HoursAt(morning(d + 24))
	near(t, "whole", w.High-m.High, 0.9, 1e-9)
	near(t, "whole low", w.Low, m.Low, 1e-9)
	l.entries[1].Known = Estimated
	e, _ := forecast(Machine{Kind: "splitter"}, l).HoursAt(morning(d + 24))
	near(t, "estimated", e.High-m.High, 4, 1e-9)
	l.entries[1].Known = Told // passed on: an hour
	e, _ = forecast(Machine{Kind: "splitter"}, l).HoursAt(morning(d + 24))
	near(t, "told", e.High-m.High, 1, 1e-9)
	near(t, "told low", e.Low, m.Low, 1e-9)
}

func TestAsTheMeterReads(t *testing.T) {
	l := &log{}
	for i, h := range []Tenths{1003, 1043, 1090, 1103, 1153, 1193} {
		l.read(20000+Day(5*i), h)
	}
	for _, reads := range []MeterGrain{ReadsTenths, ReadsWhole} {
		f := forecast(Machine{Reads: reads}, l)
		grain := f.Basis.Last.Grain.Hours()
		for days := range Day(40) {
			b, _ := f.ReadAt(morning(20025 + days))
			raw, _ := f.HoursAt(morning(20025 + days))
			for _, x := range []float64{b.Low, b.Mid, b.High} {
				steps := (x - 119.3) / grain
				near(t, "a figure it can show", steps, math.Round(steps), 1e-6)
			}
			if !(b.Low <= b.Mid && b.Mid <= b.High) {
				t.Errorf("order: %+v", b)
			}
			near(t, "low", b.Low, raw.Low, grain)
			near(t, "mid", b.Mid, raw.Mid, grain)
			near(t, "high", b.High, raw.High, 1.5*grain)
		}
	}
	_, ok := forecast(Machine{}, &log{}).ReadAt(5)
	same(t, "nothing known", ok, false)
}

// The chance that the meter has not moved: near nothing for a machine that runs
// every day, near all for one that never has, and less and less by waiting.
func TestStill(t *testing.T) {
	d := Day(20000)
	runs, rests := &log{}, &log{}
	for i := range Day(20) {
		runs.read(d+5*i, 1000+200*Tenths(i))
		rests.read(d+5*i, 1000)
	}
	last := d + 95
	run, rest := forecast(Machine{}, runs), forecast(Machine{}, rests)
	same(t, "at once", run.Still(morning(last)), 1)
	same(t, "before", run.Still(morning(last-1)), 0)
	same(t, "nothing known", forecast(Machine{}, &log{}).Still(5), 0)
	near(t, "runs", run.Still(morning(last+7)), 0, 0.05)
	if s := rest.Still(morning(last + 7)); s < 0.85 {
		t.Errorf("rests: %v", s)
	}
	b, _ := rest.ReadAt(morning(last + 7))
	same(t, "and is not said to move", b, Band{100, 100, 100})
	was := 1.0
	for days := range Day(400) {
		s := rest.Still(morning(last + days))
		if s > was {
			t.Fatalf("more likely still after %d days: %v after %v", days, s, was)
		}
		was = s
	}
}

// Crossing is the inverse of HoursAt, for every end of the band.
func TestCrossingInvertsTheBand(t *testing.T) {
	d := Day(20000)
	for _, kind := range []string{"loader", "frost fan"} {
		for _, reads := range []MeterGrain{ReadsTenths, ReadsWhole} {
			l := &log{}
			for i, h := range []Tenths{1000, 1030, 1100, 1110, 1180, 1240} {
				l.read(d+Day(4*i), h)
			}
			f := forecast(Machine{Kind: kind, Reads: reads}, l)
			for _, left := range []Tenths{20, 100, 900, 4000} {
				c := f.Crossing(1240 + left)
				if !(c.Early < c.Median && c.Median < c.Late) {
					t.Fatalf("order: %+v", c)
				}
				want := (1240 + left).Hours()
				b, _ := f.HoursAt(c.Early)
				near(t, "early", b.High, want, 0.001)
				b, _ = f.HoursAt(c.Median)
				near(t, "median", b.Mid, want, 0.001)
				b, _ = f.HoursAt(c.Late)
				near(t, "late", b.Low, want, 0.001)
			}
		}
	}
}

func TestCrossingEdges(t *testing.T) {
	d := Day(20000)
	same(t, "no readings", forecast(Machine{}, &log{}).Crossing(100), Crossing{})
	l := &log{}
	l.read(d, 1000)
	l.read(d+10, 1100)
	l.read(d+20, 1100)
	l.read(d+30, 1300)
	f := forecast(Machine{}, l)
	at := morning(d)
	same(t, "before the first", f.Crossing(900), Crossing{at, at, at})
	same(t, "at the first", f.Crossing(1000), Crossing{at, at, at})
	same(t, "between", f.Crossing(1050), Crossing{at, at + 5*DayLength, at + 10*DayLength})
	same(t, "reached first", f.Crossing(1100), Crossing{at, at + 10*DayLength, at + 10*DayLength})
	same(t, "after a rest", f.Crossing(1150), Crossing{at + 20*DayLength, at + 20*DayLength + DayLength*5/2, at + 30*DayLength})
	same(t, "at the last", f.Crossing(1300).Late, at+30*DayLength)
	// Idle for two years: not in sight.
	idle := &log{}
	for i := range 50 {
		idle.read(d+Day(15*i), 1000)
	}
	c := forecast(Machine{}, idle).Crossing(1100)
	same(t, "not in sight", c.Median, 0)
	same(t, "nor late", c.Late, 0)
	// Fifty years are as good as never.
	slow := &log{}
	slow.read(d, 0)
	slow.read(d+1000, 10)                                                                // an hour in a thousand days
	same(t, "in 49 years", forecast(Machine{}, slow).Crossing(10+180).Median != 0, true) // 18,000 days
	same(t, "in 51 years", forecast(Machine{}, slow).Crossing(10+183).Median, 0)         // 18,300 days
	// A figure within what the meter cannot tell apart may be reached already.
	whole := &log{}
	whole.read(d, 1000)
	whole.read(d+10, 1100)
	f = forecast(Machine{Reads: ReadsWhole}, whole)
	same(t, "may be there", f.Crossing(1109).Early, morning(d+10))
	same(t, "not yet by the middle", f.Crossing(1109).Median > morning(d+10), true)
	same(t, "may not be there", f.Crossing(1110).Early > morning(d+10), true)
}

func TestLaidUpMachineStandsStill(t *testing.T) {
	d := Day(20000)
	l := steady(d, 1000, 10, 4) // an hour a day, to d+9
	cal := utc
	m := Machine{}
	park := l.add(Entry{Kind: KindParked, Day: d + 19})
	s := Fold(m, l.entries, cal)
	b, _ := s.Forecast.HoursAt(morning(d + 60))
	near(t, "stands", b.Mid, 119, 1e-9) // 109 h and ten days
	same(t, "never", s.Forecast.Crossing(1200).Median, 0)
	same(t, "nor late", s.Forecast.Crossing(1200).Late, 0)
	same(t, "before it was laid up", s.Forecast.Crossing(1140).Median, morning(d+14))
	park.State = Standing
	l.add(Entry{Kind: KindWoken, Day: d + 49})
	s = Fold(m, l.entries, cal)
	b, _ = s.Forecast.HoursAt(morning(d + 30))
	near(t, "stood", b.Mid, 119, 1e-9)
	b, _ = s.Forecast.HoursAt(morning(d + 59))
	near(t, "runs again", b.Mid, 129, 1e-9)
	same(t, "thirty days later", s.Forecast.Crossing(1290).Median, morning(d+59))
	same(t, "to the minute", s.Forecast.Crossing(1190).Median, morning(d+19))
	same(t, "just after", s.Forecast.Crossing(1200).Median, morning(d+50))
	// A reading since it was laid up: the spell before it has passed.
	l.read(d+39, 1190)
	s = Fold(m, l.entries, cal)
	b, _ = s.Forecast.HoursAt(morning(d + 49))
	near(t, "still laid up", b.Mid, 119, 1e-9)
	same(t, "from when it woke", s.Forecast.running(morning(d+50)), 1)
	same(t, "and back", s.Forecast.after(1), morning(d+50))
	l.read(d+59, 1250)
	s = Fold(m, l.entries, cal)
	near(t, "over", s.Forecast.running(morning(d+60)), 1, 1e-9)
	same(t, "over, and back", s.Forecast.after(1), morning(d+60))
	// Laid up again, with a reading after: it stands until it is woken.
	l.add(Entry{Kind: KindParked, Day: d + 59, At: morning(d+59) - hour})
	s = Fold(m, l.entries, cal)
	near(t, "laid up again", s.Forecast.running(morning(d+70)), 0, 1e-9)
	same(t, "never again", s.Forecast.after(1), 0)
}

func TestUsualPaces(t *testing.T) {
	same(t, "of a kind", usualOf("Frost Fan").pace, Pace{0.02, 0.4, 8})
	same(t, "of any other", usualOf("ice machine"), usualOf(""))
	for _, p := range usualPaces() {
		if p.pace.Mid <= 0 || p.pace.Low <= 0 {
			t.Errorf("%s never runs", p.kind)
		}
	}
	const head = "kind,low,mid,high,year,class,note\n"
	for _, c := range []struct{ text, want string }{
		{head + "x,1,2,3,0.5,c,n\ny,1,x,3,0.5,c,n\n", "line 3, column mid"},
		{head + "x,3,2,3,0.5,c,n\n", "line 2: a pace"},
		{head + "x,1,4,3,0.5,c,n\n", "line 2: a pace"},
		{head + "x,-1,2,3,0.5,c,n\n", "line 2: a pace"},
		{head + "x,1,2,25,0.5,c,n\n", "line 2: a pace"},
		{head + "x,1,2,3,1,c,n\n", "line 2: year"},
		{head + "x,1,2,3,-0.1,c,n\n", "line 2: year"},
		{"kind,low\n", `no column "mid"`},
	} {
		_, err := parsePaces(c.text)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %s", c.text, err, c.want)
		}
	}
	p, err := parsePaces(head + "x,0,0,24,0,c,n\n")
	if err != nil || len(p) != 1 || p[0].pace != (Pace{0, 0, 24}) {
		t.Errorf("bounds: %v, %v", p, err)
	}
}

// Slips: what later figures deny is left out, and so is what no machine can
// have reached; of two rows as long the later one stands.
func TestSound(t *testing.T) {
	for _, c := range []struct {
		name string
		h    []Tenths // ten days apart
		want []Tenths
	}{
		{"clean", []Tenths{100, 200, 200, 300}, []Tenths{100, 200, 200, 300}},
		{"lost point", []Tenths{1000, 11000, 1200}, []Tenths{1000, 1200}},
		{"swapped digits", []Tenths{1000, 1910, 1200, 1300}, []Tenths{1000, 1200, 1300}},
		{"a low one", []Tenths{1000, 1100, 120, 1300}, []Tenths{1000, 1100, 1300}},
		{"a low one last", []Tenths{1000, 1100, 1200, 130}, []Tenths{1000, 1100, 1200}},
		{"a lost point last", []Tenths{1000, 1100, 12000}, []Tenths{1000, 1100}},
		{"two in a row", []Tenths{1000, 11000, 11500, 1200, 1300, 1400}, []Tenths{1000, 1200, 1300, 1400}},
		{"which of two: the later", []Tenths{1000, 1200, 1100}, []Tenths{1000, 1100}},
		{"none", nil, nil},
	} {
		l := &log{}
		for i, h := range c.h {
			l.read(20000+Day(10*i), h)
		}
		var got []Tenths
		for _, p := range sound(Timeline(Machine{}, l.entries).Points) {
			got = append(got, p.Hours)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

// A mower rests till May. Counted from a job in April that nobody read the meter
// for, it rests till May too, and not for as long again as it had rested.
func TestFromKeepsTheSeason(t *testing.T) {
	l := &log{}
	shown := Tenths(1000)
	first, last := DayOf(2023, 1, 2), DayOf(2026, 3, 2)
	for d := first; d <= last; d++ {
		if _, month, _ := d.Date(); month >= 5 && month <= 9 {
			shown += 25 // every day 2.5 h
		}
		if (d-first)%7 == 0 {
			l.read(d, shown)
		}
	}
	f := Fold(Machine{Kind: "mower"}, l.entries, utc).Forecast
	april := DayOf(2026, 4, 20)
	b, _ := f.HoursAt(morning(april))
	greased := TenthsOf(b.Mid)
	at := func(f Forecast) Day { return utc.DayAt(f.Crossing(greased + 500).Median) }
	straight := at(f)
	if early, late := DayOf(2026, 5, 8), DayOf(2026, 6, 10); straight < early || straight > late {
		t.Fatalf("50 h by the reading on %s: no season was seen", straight)
	}
	then := f.From(morning(april), greased)
	if got := at(then); got < straight-7 || got > straight+7 {
		t.Errorf("50 h by the job on %s, by the reading on %s", got, straight)
	}
	for _, days := range []Day{1, 10, 30, 60, 120, 300} {
		b, ok := then.HoursAt(morning(april + days))
		w, _ := f.HoursAt(morning(april + days))
		if !ok || b.Low > b.Mid || b.Mid > b.High || b.Low < greased.Hours() {
			t.Errorf("%d days on: %+v", days, b)
		}
		near(t, "middle", b.Mid, w.Mid, 0.15*(w.Mid-greased.Hours())+5)
	}
	// From the last reading itself nothing changes.
	p := f.Basis.Last
	same(t, "from the reading", f.From(p.At, p.Hours).curve, f.curve)
	same(t, "no days later", f.curve.from(0), f.curve)
}
