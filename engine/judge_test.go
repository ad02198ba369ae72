package engine

import (
	"slices"
	"testing"
)

// The rules of a plausible reading are common practice with hour meters: no
// lower than the last, no more than 24 h a day (a day has no more), and no more
// than the larger of 40 h and three times the machine's own 90th percentile
// daily gain times the days.

func judged(t testing.TB, m Machine, l *log, figure Tenths, at Instant) Verdict {
	t.Helper()
	return JudgeReading(Timeline(m, l.entries), figure, utc.DayAt(at), at, utc, nil)
}

func TestJudgeBounds(t *testing.T) {
	d := day(t, "2026-11-02")
	slow := steady(d, 10000, 10, 8)  // 1 h a day to 1021.0 h on d+21: 40 h is the larger
	busy := steady(d, 10000, 100, 8) // 10 h a day to 1210.0 h: 30 h a day would be, so 24 h rules
	five := steady(d, 10000, 50, 8)  // 5 h a day to 1105.0 h: 15 h a day
	for _, c := range []struct {
		name   string
		l      *log
		figure Tenths
		after  Instant // since the last reading
		want   Doubt
	}{
		{"the same again", slow, 10210, DayLength, ""},
		{"a tenth more", slow, 10211, DayLength, ""},
		{"a tenth less", slow, 10209, DayLength, BelowLast},
		{"40 h in four days", slow, 10610, 4 * DayLength, ""},
		{"a tenth over 40 h", slow, 10611, 4 * DayLength, OverUsual},
		{"24 h in a day", slow, 10450, DayLength, ""},
		{"a tenth over", slow, 10451, DayLength, OverDay},
		{"24 h in an hour: a day counts whole", slow, 10450, hour, ""},
		{"a tenth over in an hour", slow, 10451, hour, OverDay},
		{"36 h in a day and a half", slow, 10570, DayLength * 3 / 2, ""},
		{"a tenth over", slow, 10571, DayLength * 3 / 2, OverDay},
		{"more than 40 h, busy", busy, 13300, 5 * DayLength, ""}, // 120 h in 5 days
		{"a tenth over 24 h a day", busy, 13301, 5 * DayLength, OverDay},
		{"three times its own", five, 12550, 10 * DayLength, ""}, // 150 h in 10 days
		{"a tenth over that", five, 12551, 10 * DayLength, OverUsual},
		{"a year later", slow, 20000, 365 * DayLength, ""},
	} {
		last, _ := Timeline(Machine{}, c.l.entries).Last()
		v := judged(t, Machine{}, c.l, c.figure, last.At+c.after)
		same(t, c.name, v.Why, c.want)
		same(t, c.name+": taken", v.OK, c.want == "")
		same(t, c.name+": against", v.Against, last)
		same(t, c.name+": gain", v.Gain, c.figure-last.Hours)
		near(t, c.name+": days", v.Days, float64(c.after)/float64(DayLength), 1e-12)
	}
}

func TestJudgeFirstReading(t *testing.T) {
	v := judged(t, Machine{}, &log{}, 98765, morning(20000))
	same(t, "first", v.OK, true)
	same(t, "against nothing", v.Against, Point{})
	same(t, "nothing likely", len(v.Likely), 0)
}

// Days are of 24 hours: the day that the clocks change on is no shorter for it.
func TestJudgeAcrossAClockChange(t *testing.T) {
	ny := zone(t, "America/New_York")
	d := day(t, "2027-03-14") // 23 h long, 15 U.S.C. 260a
	l := &log{}
	at, _ := ny.At(d-1, ClockOf(7, 0))
	l.add(Entry{Kind: KindReading, Day: d - 1, At: at, Hours: Known(Tenths(1000))})
	for figure, want := range map[Tenths]Doubt{1000 + 470: OverUsual, 1000 + 471: OverDay} {
		later, _ := ny.At(d+1, ClockOf(7, 0)) // two days on the wall, 47 h
		v := JudgeReading(Timeline(Machine{}, l.entries), figure, d+1, later, ny, nil)
		same(t, figure.String(), v.Why, want)
	}
	// Without an instant it is noon of the shop's day.
	noon, _ := ny.At(d+1, ClockOf(12, 0))
	v := JudgeReading(Timeline(Machine{}, l.entries), 1100, d+1, 0, ny, nil)
	near(t, "days", v.Days, span(at, noon), 1e-12)
}

func TestJudgeBackDated(t *testing.T) {
	d := day(t, "2026-11-02")
	l := &log{}
	l.read(d, 10000)
	l.read(d+10, 10300)
	l.read(d+20, 10600)
	points := Timeline(Machine{}, l.entries).Points
	for _, c := range []struct {
		name    string
		figure  Tenths
		day     Day
		want    Doubt
		against int
	}{
		{"between", 10150, d + 5, "", 0},
		{"as the one before", 10000, d + 5, "", 0},
		{"as the one after", 10300, d + 5, "", 0},
		{"below the one before", 9999, d + 5, BelowLast, 0},
		{"above the one after", 10301, d + 5, AboveNext, 1},
		{"too fast to the one after", 10040, d + 9, OverDay, 1}, // 26 h in a day
		{"too fast from the one before", 10250, d + 1, OverDay, 0},
		{"before the first", 9900, d - 5, "", -1},
		{"before the first and above it", 10001, d - 5, AboveNext, 0},
		{"before the first, too far below", 9000, d - 2, OverDay, 0},
		{"at the very time of one", 10300, d + 10, "", 1},
	} {
		v := JudgeReading(Timeline(Machine{}, l.entries), c.figure, c.day, morning(c.day), utc, nil)
		same(t, c.name, v.Why, c.want)
		var against Point
		if c.against >= 0 {
			against = points[c.against]
		}
		same(t, c.name+": against", v.Against, against)
	}
	v := JudgeReading(Timeline(Machine{}, l.entries), 10040, d+9, morning(d+9), utc, nil)
	same(t, "gain to the one after", v.Gain, 260)
	near(t, "days to the one after", v.Days, 1, 1e-12)
}

func TestJudgeOnAnotherMeter(t *testing.T) {
	d := Day(20000)
	l := &log{}
	l.read(d, 41260)
	l.add(Entry{Kind: KindMeter, Day: d + 10, Old: Known(Tenths(41400)), Hours: Known(Tenths(0))})
	l.read(d+20, 120)
	same(t, "today", judged(t, Machine{}, l, 130, morning(d+21)).OK, true)
	same(t, "on the old one", judged(t, Machine{}, l, 41300, morning(d+5)).OK, true)
	same(t, "the new one's too low", judged(t, Machine{}, l, 119, morning(d+21)).Why, BelowLast)
	same(t, "above where it stopped", judged(t, Machine{}, l, 41401, morning(d+5)).Why, AboveNext)
}

func TestDailyGain(t *testing.T) {
	at := func(d float64, h Tenths) Point { return Point{At: Instant(d * float64(DayLength)), Hours: h} }
	points := []Point{at(0, 100), at(0, 100), at(2, 140), at(2.5, 160), at(5.5, 160), at(6.5, 100), at(7.5, 130)}
	// 2 h a day; 2 h in half a day, which counts as one; nothing; a slip back
	// that counts for nothing; 3 h a day.
	near(t, "p90", dailyGain(points, 0.9), 2.7, 1e-12) // of 0, 2, 2, 3
	near(t, "most", dailyGain(points, 1), 3, 1e-12)
	near(t, "none", dailyGain(points[:1], 0.9), 0, 0)
	near(t, "the same moment", dailyGain(points[:2], 0.9), 0, 0)
}

func TestLikely(t *testing.T) {
	d := day(t, "2026-11-02")
	l := steady(d, 14200, 10, 8) // an hour a day, 1441.0 h on d+21
	one := &log{}
	one.read(d+21, 14410)
	edge := steady(d, 99600, 10, 8) // 9981.0 h on d+21
	gap := &log{}
	gap.read(d, 10000)
	gap.read(d+14, 10300)
	three := &log{}
	three.read(d, 10200)
	three.read(d+14, 10300)
	three.read(d+28, 10500)
	for _, c := range []struct {
		name   string
		l      *log
		figure Tenths
		day    Day
		why    Doubt
		want   []Suggestion
	}{
		{"point missing", l, 144230, d + 22, OverDay, []Suggestion{{Kind: PointMissing, Figure: 14423}}},
		{"point missing, and as far off another's", l, 144240, d + 22, OverDay, []Suggestion{
			{Kind: PointMissing, Figure: 14424}, {Kind: AnotherMachines, Figure: 144240, Machine: 5}}},
		{"point added", l, 1442, d + 22, BelowLast, []Suggestion{
			{Kind: PointAdded, Figure: 14420}, {Kind: NewMeter, Figure: 1442}, {Kind: EarlierDay, Figure: 1442}}},
		{"digits swapped", l, 41420, d + 22, OverDay, []Suggestion{{Kind: DigitsSwapped, Figure: 14420}}},
		{"digits swapped, with tenths", l, 14243, d + 22, BelowLast, []Suggestion{
			{Kind: DigitsSwapped, Figure: 14423}, {Kind: NewMeter, Figure: 14243}, {Kind: EarlierDay, Figure: 14243, Day: d + 4}}},
		{"one too many, with tenths", l, 144423, d + 22, OverDay, []Suggestion{{Kind: DigitDoubled, Figure: 14423}}},
		{"one too few", l, 1443, d + 22, BelowLast, []Suggestion{ // 144.3: a point fewer explains it
			{Kind: PointAdded, Figure: 14430}, {Kind: NewMeter, Figure: 1443}, {Kind: EarlierDay, Figure: 1443}}},
		{"one too few, whole", l, 1420, d + 22, BelowLast, []Suggestion{ // 142 for 1442
			{Kind: DigitDropped, Figure: 14420}, {Kind: NewMeter, Figure: 1420}, {Kind: EarlierDay, Figure: 1420}}},
		{"a little low, in the log", l, 14400, d + 22, BelowLast, []Suggestion{
			{Kind: OneBeforeWrong, Figure: 14400}, {Kind: NewMeter, Figure: 14400}, {Kind: EarlierDay, Figure: 14400, Day: d + 20}}},
		{"a little low, and near another's", one, 14405, d + 22, BelowLast, []Suggestion{
			{Kind: OneBeforeWrong, Figure: 14405}, {Kind: NewMeter, Figure: 14405}, {Kind: EarlierDay, Figure: 14405},
			{Kind: AnotherMachines, Figure: 14405, Machine: 7}, {Kind: DigitsSwapped, Figure: 14450}}}, // further off than as it stands
		{"the first of the log", l, 14200, d + 22, BelowLast, []Suggestion{
			{Kind: NewMeter, Figure: 14200}, {Kind: EarlierDay, Figure: 14200, Day: d}}},
		{"far below, and another's", l, 3340, d + 22, BelowLast, []Suggestion{
			{Kind: AnotherMachines, Figure: 3340, Machine: 8}, {Kind: NewMeter, Figure: 3340}, {Kind: EarlierDay, Figure: 3340}}},
		{"just 40 h below, and another's", l, 14010, d + 22, BelowLast, []Suggestion{
			{Kind: NewMeter, Figure: 14010}, {Kind: EarlierDay, Figure: 14010}, {Kind: AnotherMachines, Figure: 14010, Machine: 9}}},
		{"at the very time of the one before", one, 14405, d + 21, BelowLast, []Suggestion{
			{Kind: OneBeforeWrong, Figure: 14405}, {Kind: NewMeter, Figure: 14405}, {Kind: EarlierDay, Figure: 14405},
			{Kind: AnotherMachines, Figure: 14405, Machine: 7}, {Kind: DigitsSwapped, Figure: 14450}}}, // further off than as it stands
		{"rolled over", edge, 33, d + 23, BelowLast, []Suggestion{ // 9981.0 to 3.3: 22.3 h
			{Kind: RolledOver, Figure: 33}, {Kind: NewMeter, Figure: 33}, {Kind: EarlierDay, Figure: 33}}},
		{"too fast by habit", l, 14900, d + 25, OverUsual, []Suggestion{ // 49 h in 4 days
			{Kind: RightAsIs, Figure: 14900}}},
		{"back-dated above the next", gap, 10310, d + 7, AboveNext, []Suggestion{
			{Kind: DigitsSwapped, Figure: 10130}, {Kind: OneBeforeWrong, Figure: 10310}, {Kind: LaterDay, Figure: 10310}}},
		{"back-dated, the last of the log", three, 10500, d + 7, AboveNext, []Suggestion{
			{Kind: OneBeforeWrong, Figure: 10500}, {Kind: LaterDay, Figure: 10500, Day: d + 28}}},
		{"back-dated below the one before", gap, 9990, d + 7, BelowLast, []Suggestion{
			{Kind: OneBeforeWrong, Figure: 9990}, {Kind: NewMeter, Figure: 9990}, {Kind: EarlierDay, Figure: 9990}}},
	} {
		others := func(f Tenths) []MachineID {
			return map[Tenths][]MachineID{144240: {5}, 14405: {7}, 3340: {8}, 14010: {9}}[f]
		}
		v := JudgeReading(Timeline(Machine{}, c.l.entries), c.figure, c.day, morning(c.day), utc, others)
		same(t, c.name, v.Why, c.why)
		same(t, c.name+": taken", v.OK, false)
		if !slices.Equal(v.Likely, c.want) {
			t.Errorf("%s:\n got %v\nwant %v", c.name, v.Likely, c.want)
		}
	}
}

// A rollover is believed from above 9,500 to below 500 h, in no more than 24 h
// a day: 9987.9 to 12.4 is 24.5 h (common practice with six-drum meters).
func TestRolledOnlyNearTheEnds(t *testing.T) {
	for _, c := range []struct {
		last, figure Tenths
		days         float64
		want         bool
	}{
		{99879, 124, 1.03, true}, // 24.5 h in 24.7 h
		{99879, 124, 1.02, false},
		{99879, 119, 0.2, true}, // 24 h: a day counts whole
		{99879, 120, 0.2, false},
		{95001, 4999, 300, true},
		{95000, 4999, 300, false},
		{95001, 5000, 300, false},
	} {
		j := judge{at: Instant(c.days * float64(DayLength))}
		same(t, c.last.String()+" to "+c.figure.String(), j.rolled(c.figure, Point{Shown: c.last}), c.want)
	}
}

func TestWholeHourMeterMissesNoPoint(t *testing.T) {
	l := &log{}
	l.read(20000, 6340)
	v := judged(t, Machine{Reads: ReadsWhole}, l, 63500, morning(20001))
	if want := []Suggestion{{Kind: DigitDoubled, Figure: 6350}, {Kind: OneBeforeWrong, Figure: 63500}}; !slices.Equal(v.Likely, want) {
		t.Errorf("got %v, want %v", v.Likely, want)
	}
}

// Of several figures one slip away, the one nearest to where the machine should
// stand; and the same figure by two slips is offered once.
func TestNearestSlip(t *testing.T) {
	for _, c := range []struct {
		name         string
		last, figure Tenths
		days         Day
		want         []Suggestion
	}{
		// 2 h a day: 32 h expected, of 31 and 34.
		{"below", 300, 3140, 1, []Suggestion{{Kind: DigitDoubled, Figure: 310}}},
		{"above", 300, 3140, 2, []Suggestion{{Kind: DigitDoubled, Figure: 340}}}, // 34 h expected
		{"once", 120, 1030, 1, []Suggestion{{Kind: DigitsSwapped, Figure: 130}}}, // 13 with the nought in front
	} {
		l := &log{}
		for n := range Day(4) {
			l.read(20000+4*n, c.last-80*Tenths(3-n))
		}
		v := judged(t, Machine{Reads: ReadsWhole}, l, c.figure, morning(20012+c.days))
		if !slices.Equal(v.Likely, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, v.Likely, c.want)
		}
	}
}

func TestDigitEdits(t *testing.T) {
	digits, scale := digitsOf(14380)
	same(t, "whole", scale, 10)
	if got, want := swapped(digits, scale), []Tenths{41380, 13480, 14830}; !slices.Equal(got, want) {
		t.Errorf("swapped: got %v, want %v", got, want)
	}
	if got, want := shortened(digits, scale), []Tenths{4380, 1380, 1480, 1430}; !slices.Equal(got, want) {
		t.Errorf("shortened: got %v, want %v", got, want)
	}
	digits, scale = digitsOf(25)
	same(t, "tenths", scale, 1)
	got := lengthened(digits, scale)
	same(t, "how many", len(got), 30)
	for _, f := range []Tenths{25, 925, 205, 295, 250, 259} {
		same(t, "has "+f.String(), slices.Contains(got, f), true)
	}
	digits, _ = digitsOf(0)
	same(t, "nothing", len(digits), 0)
}
