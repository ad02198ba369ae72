package engine

import (
	"math"
	"strings"
	"testing"
)

func forecast(m Machine, l *log) Forecast { return ForecastOf(Timeline(m, l.entries)) }

func TestPaceOfOwnReadings(t *testing.T) {
	d := Day(20000)
	// The hour-meter set with a slip: SciPy's theilslopes gives 1.2342105.
	l := &log{}
	days := []Day{0, 3, 7, 10, 14, 21, 28, 31, 38, 45}
	hours := []Tenths{14123, 14160, 14211, 14252, 142990, 14384, 14469, 14506, 14592, 14679}
	for i := range days {
		l.read(d+days[i], hours[i])
	}
	f := forecast(Machine{}, l)
	near(t, "slope", f.Pace.Mid, 1.2342105263157919, 1e-9)
	same(t, "from", f.Basis.From, PaceOwn)
	same(t, "readings", f.Basis.Readings, 10)
	same(t, "last", f.Basis.Last.Hours, 14679)
	if !(f.Pace.Low < f.Pace.Mid && f.Pace.Mid < f.Pace.High && f.Pace.High < 1.4) {
		t.Errorf("pace %+v", f.Pace)
	}
	if f.spread > 1 {
		t.Errorf("a slip blew the spread up: %v", f.spread)
	}
}

// Where the pace comes from: three points over a week within 120 days of the
// last, else two at least a day apart, else the kind's.
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
		{"two a day apart", []r{{0, 100}, {1, 120}}, PaceTwo, 2, 2},
		{"two the same day", []r{{0, 100}, {0, 120}}, PaceOfKind, 1, 1.5},
		{"three over a week", []r{{0, 100}, {3, 130}, {7, 170}}, PaceOwn, 3, 1},
		{"three over less", []r{{0, 100}, {3, 130}, {6, 190}}, PaceTwo, 2, 2},
		{"two of three in season", []r{{0, 100}, {100, 200}, {221, 2620}}, PaceTwo, 2, 2},
		{"just in season", []r{{0, 100}, {60, 1300}, {120, 2500}}, PaceOwn, 3, 2},
		{"just out of season", []r{{0, 100}, {61, 1320}, {121, 2520}}, PaceTwo, 2, 2},
		{"going back", []r{{0, 500}, {10, 200}}, PaceTwo, 2, 0},
		{"impossibly fast", []r{{0, 0}, {10, 9000}}, PaceTwo, 2, 24},
		{"impossibly fast, three", []r{{0, 0}, {10, 9000}, {20, 18000}}, PaceOwn, 3, 24},
		{"backwards, three", []r{{0, 900}, {10, 800}, {20, 700}}, PaceOwn, 3, 0},
		{"idle", []r{{0, 900}, {10, 900}, {20, 900}}, PaceOwn, 3, 0},
	} {
		l := &log{}
		for _, x := range c.reads {
			l.read(d+x.day, x.h)
		}
		f := forecast(Machine{Kind: "Loader"}, l)
		same(t, c.name+": from", f.Basis.From, c.from)
		same(t, c.name+": readings", f.Basis.Readings, c.readings)
		near(t, c.name+": pace", f.Pace.Mid, c.mid, 1e-9)
		if !(0 <= f.Pace.Low && f.Pace.Low <= f.Pace.Mid && f.Pace.Mid <= f.Pace.High && f.Pace.High <= 24*2.5) {
			t.Errorf("%s: pace %+v", c.name, f.Pace)
		}
		if f.spread < leastSpread {
			t.Errorf("%s: spread %v", c.name, f.spread)
		}
	}
}

func TestPaceOfTwoReadingsIsWide(t *testing.T) {
	l := &log{}
	l.read(20000, 100)
	l.read(20010, 200)
	f := forecast(Machine{Kind: "splitter"}, l) // its kind's high is 5 h
	same(t, "pace", f.Pace, Pace{0.25, 1, 2.5})
	near(t, "spread", f.spread, 1, 0)
	f = forecast(Machine{Kind: "loader"}, l) // 8 h
	same(t, "pace", f.Pace, Pace{0.25, 1, 4})
	l.entries[1].Hours = Known(Tenths(100))
	same(t, "idle", forecast(Machine{Kind: "loader"}, l).Pace, Pace{0, 0, 4})
	near(t, "least spread", forecast(Machine{}, l).spread, leastSpread, 0)
}

func TestServiceAndReadingOfOneMessageCountOnce(t *testing.T) {
	l := steady(20000, 1000, 20, 4)
	want := forecast(Machine{}, l)
	l.serve(20009, 1180, Drain)
	got := forecast(Machine{}, l)
	same(t, "readings", got.Basis.Readings, want.Basis.Readings)
	same(t, "pace", got.Pace, want.Pace)
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
		l.read(20000+Day(i), 1000+Tenths(i*i))
	}
	days, hours := pacePointsOf(Timeline(Machine{}, l.entries).Points)
	same(t, "points", len(days), paceMost)
	near(t, "the first stays", days[0], -99, 0)
	near(t, "the last stays", days[paceMost-1], 0, 0)
	near(t, "and its hours", hours[paceMost-1], (1000+99*99)/10.0, 1e-9)
	near(t, "the second", days[1], -97, 0) // 99/39 = 2.5: the second after the first
	near(t, "its hours", hours[1], 100.4, 1e-9)
	l.entries = l.entries[:40]
	days, _ = pacePointsOf(Timeline(Machine{}, l.entries).Points)
	near(t, "forty are all used", days[1]-days[0], 1, 0)
}

func TestSpreadIsRobust(t *testing.T) {
	// Gains off the pace of 1 h a day by 0.5, 1 and 3 h over one, four and nine
	// days: 0.5, 0.5 and 1 per root day, of which the median is 0.5.
	days := []float64{0, 1, 5, 14}
	hours := []float64{0, 1.5, 6.5, 18.5}
	near(t, "spread", spreadOf(days, hours, 1), 1.4826*0.5, 1e-12)
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
	near(t, "as if it were not there", b.Mid, 120, 1e-9)
	same(t, "not crossed by it", f.Crossing(1300).Median > morning(d+20), true)
	same(t, "crossed in the first ten days", f.Crossing(1100).Median, morning(d+5))
}

// The band by hand: pace 1 h a day (0.25 to 2.5), spread 1 h per root day.
func TestBandAfterTheLastReading(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 1000)
	l.read(d+10, 1100)
	f := forecast(Machine{Kind: "splitter"}, l)
	b, _ := f.HoursAt(morning(d + 14))
	near(t, "mid", b.Mid, 114, 1e-9)
	near(t, "high", b.High, 114+math.Sqrt(1.5*1.5*16+z80*z80*4), 1e-9)
	near(t, "low", b.Low, 114-math.Sqrt(0.75*0.75*16+z80*z80*4), 1e-9)
	b, _ = f.HoursAt(morning(d + 11))
	near(t, "never below the last reading", b.Low, 110, 0)
	near(t, "z80 is the 0.9 quantile (any table of the normal)", z80, 1.28155, 1e-5)
	// A whole-hour meter may stand 0.9 h higher, and an estimate 4 h.
	w, _ := forecast(Machine{Kind: "splitter", Reads: ReadsWhole}, l).HoursAt(morning(d + 14))
	m, _ := f.HoursAt(morning(d + 14))
	near(t, "whole", w.High-m.High, 0.9, 1e-9)
	near(t, "whole low", w.Low, m.Low, 1e-9)
	l.entries[1].Known = Estimated
	e, _ := forecast(Machine{Kind: "splitter"}, l).HoursAt(morning(d + 14))
	near(t, "estimated", e.High-m.High, 4, 1e-9)
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
	// Idle: not in sight, though it may run some day.
	idle := &log{}
	for i := range 4 {
		idle.read(d+Day(5*i), 1000)
	}
	c := forecast(Machine{}, idle).Crossing(1010)
	same(t, "never by the middle", c.Median, 0)
	same(t, "nor late", c.Late, 0)
	same(t, "early it may", c.Early > morning(d+15), true)
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
	same(t, "never", s.Forecast.Crossing(1200), Crossing{})
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
	same(t, "of a kind", usualPace("Frost Fan"), Pace{0.02, 0.4, 8})
	same(t, "of any other", usualPace("ice machine"), usualPace(""))
	for _, p := range usualPaces() {
		if p.pace.Mid <= 0 {
			t.Errorf("%s never runs", p.kind)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"kind,low,mid,high,class,note\nx,1,2,3,c,n\ny,1,x,3,c,n\n", "line 3, column mid"},
		{"kind,low,mid,high,class,note\nx,3,2,3,c,n\n", "line 2: a pace"},
		{"kind,low,mid,high,class,note\nx,1,4,3,c,n\n", "line 2: a pace"},
		{"kind,low,mid,high,class,note\nx,-1,2,3,c,n\n", "line 2: a pace"},
		{"kind,low,mid,high,class,note\nx,1,2,25,c,n\n", "line 2: a pace"},
		{"kind,low\n", `no column "mid"`},
	} {
		_, err := parsePaces(c.text)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %s", c.text, err, c.want)
		}
	}
	p, err := parsePaces("kind,low,mid,high,class,note\nx,0,0,24,c,n\ny,1,24,24,c,n\n")
	if err != nil || len(p) != 2 || p[0].pace != (Pace{0, 0, 24}) {
		t.Errorf("bounds: %v, %v", p, err)
	}
}
