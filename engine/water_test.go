package engine

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// reference reads figures that SciPy made; the script and the published source
// of each stand beside them.
func reference(t testing.TB, name string, into any) {
	t.Helper()
	text, err := os.ReadFile("../testdata/reference/" + name)
	if err == nil {
		err = json.Unmarshal(text, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// waterFigures are gamma-Poisson posteriors, gamma tails and chances of more
// than half a bowl, made with SciPy.
type waterFigures struct {
	Rates []struct {
		Source    string
		Prior     [2]float64
		Finds     int
		Hours     float64
		Mean      float64
		Quantiles map[string]float64
		Counts    []float64 `json:"counts in 50"`
	}
	Tails []struct {
		Halves   int
		Y, Above float64
	}
	Bowls []struct {
		Finds []struct {
			As string
			ML Millilitres
		}
		Hours, Ahead, Chance float64
		Bowl                 Millilitres
	}
}

// closeTo checks to a relative tolerance.
func closeTo(t reporter, what string, got, want, rel float64) {
	t.Helper()
	near(t, what, got, want, rel*math.Abs(want))
}

// Published posteriors: Gamma(21, 6) in Bayes Rules! (Johnson, Ott and Dogucu),
// Gamma(6, 7) and Gamma(33, 25) in Bayesian Data Analysis (Gelman et al.).
func TestRateAfterFinds(t *testing.T) {
	var f waterFigures
	reference(t, "water_ageing.json", &f)
	p := map[string]float64{"0.025": 0.025, "0.05": 0.05, "0.5": 0.5, "0.95": 0.95, "0.975": 0.975}
	for _, c := range f.Rates {
		r := Rate{c.Prior[0], c.Prior[1]}.After(c.Finds, c.Hours)
		closeTo(t, c.Source+": mean", r.Mean(), c.Mean, 1e-14)
		for name, want := range c.Quantiles {
			closeTo(t, c.Source+": quantile "+name, r.Quantile(p[name]), want, 1e-9)
		}
		counts := r.counts(50)
		for n, want := range c.Counts {
			closeTo(t, c.Source+": counts", counts[n], want, 1e-11)
		}
		same(t, "none", r.None(50), counts[0])
	}
	same(t, "cases", len(f.Rates), 5)
	// One find in 50 h before, three in 120 h: 2.353 in 100 h, 0.641 to 5.157;
	// none in the next 50 h with a chance of 0.356537.
	r := UsualRate().After(3, 120)
	same(t, "posterior", r, Rate{4, 170})
	near(t, "mean", r.Mean(), 0.0235294, 5e-8)
	near(t, "low", 100*r.Quantile(0.025), 0.641, 5e-4)
	near(t, "high", 100*r.Quantile(0.975), 5.157, 5e-4)
	near(t, "none in 50 h", r.None(50), 1-0.643463, 5e-7)
	// What knows nothing.
	same(t, "no mean", Rate{}.Mean(), 0)
	same(t, "no quantile", Rate{}.Quantile(0.5), 0)
	same(t, "no finds", Rate{0, 50}.Quantile(0.5), 0)
	same(t, "no hours", Rate{1, 0}.Quantile(0.5), 0)
	same(t, "nothing ran", Rate{}.None(0), 1)
}

func TestGammaAbove(t *testing.T) {
	var f waterFigures
	reference(t, "water_ageing.json", &f)
	for _, c := range f.Tails {
		near(t, "above", gammaAbove(c.Halves, c.Y), c.Above, 1e-14+1e-12*c.Above)
	}
	same(t, "cases", len(f.Tails), 54)
	same(t, "nothing", gammaAbove(1, 0), 1)
	same(t, "nothing", gammaAbove(8, 0), 1)
}

// lookOf is a find as the reference tells it.
func lookOf(as string, ml Millilitres) Look {
	l := Look{Saw: SawWater, Finding: Water, Amount: Amount{Measured: ml.Tenths()}}
	switch as {
	case "ring":
		l.Finding = RingUp
	case "trace", "some", "lots":
		l.Amount.Class = AmountClass(as)
	}
	return l
}

func TestChanceOfHalfABowl(t *testing.T) {
	var f waterFigures
	reference(t, "water_ageing.json", &f)
	for n, c := range f.Bowls {
		r := WaterRecord{Rate: UsualRate().After(len(c.Finds), c.Hours)}
		for _, find := range c.Finds {
			if l := lookOf(find.As, find.ML); !r.amounts.add(l) {
				t.Fatalf("%v tells no amount", find)
			}
		}
		// Left out: distributions of a weight under 1e-5, and finds beyond 24.
		near(t, "case "+string(rune('0'+n)), r.Over(c.Bowl, TenthsOf(c.Ahead)), c.Chance, 2e-4)
	}
	same(t, "cases", len(f.Bowls), 8)
	var a amounts
	same(t, "amount not said", a.add(lookOf("ml", 0)), false)
	same(t, "ice", a.add(Look{Saw: SawWater, Finding: Ice}), false)
	same(t, "a ring that was up, measured", a.add(Look{Saw: SawWater, Finding: RingUp, Amount: Amount{Measured: 40 * ML}}), true)
	same(t, "is measured", a.measured, 1)
	same(t, "and no more", a.ring, 0)
}

// daily is a log with a reading every morning at so many tenths a day.
func daily(from Day, pace Tenths, days int) *log {
	l := &log{}
	for i := range days {
		l.read(from+Day(i), 1000+pace*Tenths(i))
	}
	return l
}

// saw is a look a moment after the morning's reading.
func (l *log) saw(d Day, f Finding, a Amount, drained bool) {
	at := morning(d) + hour
	if drained {
		l.add(Entry{Kind: KindService, Day: d, At: at, Jobs: []Job{Drain}})
	}
	if f != "" {
		l.add(Entry{Kind: KindFinding, Day: d, At: at, Finding: f, Amount: a})
	}
}

func TestHoursLookedAfter(t *testing.T) {
	d := Day(20000)
	ml := func(n Millilitres) Amount { return Amount{Measured: n.Tenths()} }
	type look struct {
		day     Day
		f       Finding
		a       Amount
		drained bool
	}
	for _, c := range []struct {
		name             string
		looks            []look
		hours            Tenths // 2 h a day
		finds, new, told int
	}{
		{"nothing", nil, 0, 0, 0, 0},
		{"one clean look: nothing before it", []look{{2, Clean, Amount{}, true}}, 0, 0, 0, 0},
		{"two", []look{{2, Clean, Amount{}, true}, {5, Clean, Amount{}, true}}, 60, 0, 0, 0},
		{"clean, not drained, is dry as well", []look{{2, Clean, Amount{}, false}, {5, Clean, Amount{}, true}}, 60, 0, 0, 0},
		{"a find", []look{{2, Clean, Amount{}, true}, {5, Water, ml(5), true}}, 60, 1, 0, 1},
		{"drained, so dry", []look{{2, Water, ml(5), true}, {5, Clean, Amount{}, true}}, 60, 0, 1, 1},
		{"the first look found some: hours not known", []look{{2, Water, ml(5), true}}, 0, 0, 1, 1},
		{"not said how much", []look{{2, Clean, Amount{}, true}, {5, Water, Amount{}, true}}, 60, 1, 0, 0},
		{"not drained: the same water", []look{{2, Clean, Amount{}, true}, {5, RingUp, Amount{}, false}, {7, Water, ml(40), true}}, 60, 1, 0, 1},
		{"and again after that", []look{{2, Clean, Amount{}, true}, {5, RingUp, Amount{}, false}, {7, Water, ml(40), true}, {8, Clean, Amount{}, true}}, 80, 1, 0, 1},
		{"not seen: not clean", []look{{2, Clean, Amount{}, true}, {5, Unseen, Amount{}, false}, {7, Clean, Amount{}, true}}, 100, 0, 0, 0},
		{"drained without a word: the hours before are not known", []look{{2, Clean, Amount{}, true}, {5, "", Amount{}, true}, {7, Clean, Amount{}, true}}, 40, 0, 0, 0},
		{"nothing came: no drain", []look{{2, Clean, Amount{}, true}, {5, NothingCame, Amount{}, true}, {7, Clean, Amount{}, true}}, 100, 0, 0, 0},
		{"wax may be milky: not known", []look{{2, Clean, Amount{}, true}, {5, Cloudy, Amount{}, false}, {7, Clean, Amount{}, true}}, 100, 0, 0, 0},
		{"after the last reading but one: found, but no hours", []look{{56, Clean, Amount{}, true}, {57, Clean, Amount{}, true}, {59, Water, ml(5), true}}, 20, 0, 1, 1},
		{"the last 100 h", []look{{2, Clean, Amount{}, true}, {5, Water, ml(5), true}, {55, Clean, Amount{}, true}}, 1000, 0, 0, 0},
		{"up to them", []look{{2, Clean, Amount{}, true}, {5, Water, ml(5), true}, {54, Clean, Amount{}, true}}, 1000, 1, 0, 1},
	} {
		l := daily(d, 20, 60)
		for _, k := range c.looks {
			l.saw(d+k.day, k.f, k.a, k.drained)
		}
		s := Fold(Machine{}, l.entries, utc)
		r := s.Bowl(drainLine, morning(d+60)).Water
		same(t, c.name+": hours", r.Hours, c.hours)
		same(t, c.name+": finds", r.Finds, c.finds)
		same(t, c.name+": new", r.New, c.new)
		same(t, c.name+": told", r.Told, c.told)
		same(t, c.name+": rate", r.Rate, UsualRate().After(c.finds, c.hours.Hours()))
		// The tank cleaned since: none of it counts.
		l.serveUnread(d+60, Tank)
		s = Fold(Machine{}, l.entries, utc)
		r = s.Bowl(drainLine, morning(d+61)).Water
		same(t, c.name+": cleaned", r.Finds+r.New+int(r.Hours), 0)
	}
	// What was let out tells how much a ring that was up meant.
	l := daily(d, 20, 60)
	l.saw(d+2, Clean, Amount{}, true)
	l.saw(d+5, RingUp, Amount{}, false)
	l.saw(d+6, Water, Amount{}, false)
	l.saw(d+7, Water, ml(40), true)
	l.saw(d+8, Water, ml(7), true)
	s := Fold(Machine{}, l.entries, utc)
	r := s.Bowl(drainLine, morning(d+60)).Water
	same(t, "two finds", r.Finds, 2)
	same(t, "the last", s.entry(int(r.Last)).Amount.Measured, 7*ML)
	same(t, "both measured", r.amounts.measured, 2)
	near(t, "40 and 7 ml", r.amounts.sum, 47, 0)
	// Seen clean in between, it was let out unwritten: a find of its own.
	l = daily(d, 20, 60)
	l.saw(d+2, Clean, Amount{}, true)
	l.saw(d+5, RingUp, Amount{}, false)
	l.saw(d+6, Clean, Amount{}, false)
	l.saw(d+7, Water, ml(40), true)
	s = Fold(Machine{}, l.entries, utc)
	r = s.Bowl(drainLine, morning(d+60)).Water
	same(t, "two", r.Finds, 2)
	same(t, "one ring, one measured", r.amounts, amounts{measured: 1, sum: 40, logs: math.Log(40), ring: 1})
	// Without readings finds are counted, hours are not.
	l = &log{}
	l.saw(d, Clean, Amount{}, true)
	l.saw(d+1, Water, ml(4), true)
	s = Fold(Machine{}, l.entries, utc)
	r = s.Bowl(drainLine, morning(d+60)).Water
	same(t, "no hours", r.Hours, 0)
	same(t, "one", r.New, 1)
}

// The edges of what is counted: hours up to and with the reading before the last
// instant that was read, and looks after the moment the tank was cleaned.
func TestEdgesOfWhatIsCounted(t *testing.T) {
	d := Day(20000)
	look := func(l *log, at Instant, f Finding, a Amount, drained bool) {
		if drained {
			l.add(Entry{Kind: KindService, Day: utc.DayAt(at), At: at, Jobs: []Job{Drain}})
		}
		l.add(Entry{Kind: KindFinding, Day: utc.DayAt(at), At: at, Finding: f, Amount: a})
	}
	record := func(l *log) WaterRecord {
		s := Fold(Machine{}, l.entries, utc)
		return s.Bowl(drainLine, morning(d+60)).Water
	}
	for _, c := range []struct {
		name  string
		at    Instant // of the second look
		twice bool    // the last reading is written twice
		hours Tenths
	}{
		{"at the reading before the last", morning(d + 8), false, 160},
		{"a second later", morning(d+8) + 1, false, 0},
		{"before the last instant read, however often", morning(d + 8), true, 160},
		{"at it", morning(d + 9), true, 0},
	} {
		l := daily(d, 20, 10)
		if c.twice {
			l.read(d+9, 1180)
		}
		look(l, morning(d), Clean, Amount{}, true)
		look(l, c.at, Clean, Amount{}, true)
		same(t, c.name, record(l).Hours, c.hours)
	}
	one := &log{}
	one.read(d, 1000)
	look(one, morning(d), Clean, Amount{}, true)
	same(t, "one reading settles nothing", record(one).Hours, 0)
	two := daily(d, 20, 2)
	look(two, morning(d), Clean, Amount{}, true)
	look(two, morning(d)+1, Clean, Amount{}, true)
	same(t, "two settle the first", record(two).Hours, 0)
	// Cleaned at the moment of a look: that look is of before.
	l := daily(d, 20, 40)
	look(l, morning(d+2), Clean, Amount{}, true)
	look(l, morning(d+4), Water, Amount{Measured: 5 * ML}, true)
	look(l, morning(d+6), Water, Amount{Measured: 5 * ML}, true)
	l.add(Entry{Kind: KindService, Day: d + 4, At: morning(d + 4), Jobs: []Job{Tank}})
	r := record(l)
	same(t, "one find since", r.Finds+r.New, 1)
	same(t, "of hours that are not known", r.New, 1)
	same(t, "no hours", r.Hours, 0)
	// What was let out without a figure does not wipe out one that was seen.
	l = daily(d, 20, 40)
	look(l, morning(d+2), Clean, Amount{}, true)
	look(l, morning(d+4), Water, Amount{Measured: 30 * ML}, false)
	look(l, morning(d+5), RingUp, Amount{}, true)
	near(t, "30 ml", record(l).amounts.sum, 30, 0)
}

// The low end of the rate accuses the tank: above one find in 50 h for certain.
// It takes hours that are known; the figures are the 5 % quantiles of
// Gamma(4, 60) and Gamma(4, 70), 2.28 and 1.95 finds in 100 h.
func TestWaterTooOften(t *testing.T) {
	for _, c := range []struct {
		finds int
		hours float64
		want  bool
	}{
		{0, 0, false}, {1, 0, false}, {2, 1, false}, {3, 10, true}, {3, 18.3, true}, {3, 18.4, false}, {3, 20, false}, {4, 20, true}, {3, 100, false},
	} {
		r := WaterRecord{Rate: UsualRate().After(c.finds, c.hours)}
		same(t, "often", r.Often(), c.want)
		same(t, "as by the quantile", r.Rate.Quantile(0.05) > 0.02, c.want)
	}
	d := Day(20000)
	l := daily(d, 20, 30)
	l.saw(d+1, Clean, Amount{}, true)
	for n := range Day(3) {
		l.saw(d+2+n, Water, Amount{Measured: 5 * ML}, true)
	}
	b := bowlOf(Machine{}, l, morning(d+29))
	same(t, "tank", b.Tank, TooOften)
	same(t, "by", b.TankSeq, b.Water.Last)
	same(t, "finds", b.Water.Finds, 3)
	f := follow(l, d+29)
	wants(t, "cap", f, DrainFirst, LookAtCap)
	same(t, "by", f[1].Seq, b.Water.Last)
	same(t, "why", f[1].Why, "Water comes more than once in 50 h for certain: that is a tank, a cap or a can, not the air.")
	l.serveUnread(d+10, Vent)
	wants(t, "cap done", follow(l, d+29), DrainFirst)
	l.saw(d+11, Water, Amount{Measured: 5 * ML}, true)
	wants(t, "and again", follow(l, d+29), DrainFirst, LookAtCap)
	// With the hours not known nothing is certain.
	bare := &log{}
	for n := range Day(6) {
		bare.saw(d+n, Water, Amount{Measured: 5 * ML}, true)
	}
	same(t, "not known", bowlOf(Machine{}, bare, morning(d+29)).Tank, "")
}

func TestDrainInterval(t *testing.T) {
	some := WaterRecord{Rate: UsualRate().After(3, 20), Finds: 3, Last: 1}
	for range 3 {
		some.amounts.add(lookOf("ml", 50))
	}
	none := WaterRecord{Rate: UsualRate().After(0, 20)}
	same(t, "without a find the plan's, whatever it is", none.Within(5000, 10), 5000)
	same(t, "with none looked for", WaterRecord{}.Within(100, 100), 100)
	same(t, "no interval", some.Within(0, 100), 0)
	same(t, "the least", some.Within(1, 1), 1)
	same(t, "a bowl of nothing much: all the same", some.Within(100, 1) < 10, true)
	same(t, "not said is 100 ml", some.Within(500, 0), some.Within(500, 100))
	same(t, "a big one", some.Within(100, 2000), 100)
	fresh := some
	fresh.Finds, fresh.New, fresh.Rate = 0, 3, UsualRate().After(0, 20)
	same(t, "finds whose hours are not counted count", fresh.Within(500, 100), some.Within(500, 100))
	// Just at the plan's own hours.
	at := some.Within(500, 100)
	same(t, "as long as it may", some.Within(at, 100), at)
	same(t, "and no longer", some.Within(at+1, 100), at)
}

var genFinds = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Look {
	as := rapid.SampledFrom([]string{"ml", "ml", "trace", "some", "lots", "ring"}).Draw(t, "as")
	ml := Millilitres(0)
	if as == "ml" {
		ml = Millilitres(rapid.IntRange(1, 250).Draw(t, "ml"))
	}
	return lookOf(as, ml)
}), 1, 8)

func recordOf(finds []Look, hours float64) WaterRecord {
	r := WaterRecord{Finds: len(finds), Last: 1, Rate: UsualRate().After(len(finds), hours)}
	for _, l := range finds {
		r.amounts.add(l)
	}
	return r
}

// The chance that rules the interval, worked out a second time with gonum's
// incomplete gamma function and a binomial coefficient by its beta function.
func TestTheChanceStaysUnder5Percent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := recordOf(genFinds.Draw(t, "finds"), rapid.Float64Range(0, 100).Draw(t, "hours"))
		bowl := Millilitres(rapid.IntRange(40, 250).Draw(t, "bowl"))
		plan := Tenths(rapid.IntRange(1, 600).Draw(t, "plan"))
		within := r.Within(plan, bowl)
		if within < 1 || within > plan {
			t.Fatalf("%s h of %s", within, plan)
		}
		chance := func(hours Tenths) float64 {
			w, sum := r.amounts.weights(), 0.0
			a, part := r.Rate.Finds, r.Rate.Hours/(r.Rate.Hours+hours.Hours())
			left := 1 - math.Pow(part, a)
			for n := 1; n <= 24; n++ {
				p := math.Exp(a*math.Log(part)+float64(n)*math.Log1p(-part)-mathext.Lbeta(a, float64(n)+1)) / (a + float64(n))
				left -= p
				for i, node := range amountGrid() {
					g := distuv.Gamma{Alpha: float64(n) * node.shape, Beta: 1 / node.scale}
					sum += p * w[i] * g.Survival(float64(bowl)/2)
				}
			}
			return sum + left
		}
		if p := chance(within); within > 1 && p >= mostChance+1e-4 {
			t.Fatalf("%v in %s h", p, within)
		}
		if p := chance(within + 1); within < plan && p < mostChance-1e-4 {
			t.Fatalf("%v in a tenth more than %s h", p, within)
		}
	})
}

// More hours without a find never shorten the interval, a bigger bowl neither;
// another find of more than half a bowl never stretches it.
func TestWaterIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		finds, hours := genFinds.Draw(t, "finds"), rapid.Float64Range(0, 100).Draw(t, "hours")
		bowl, plan := Millilitres(rapid.IntRange(40, 250).Draw(t, "bowl")), Tenths(rapid.IntRange(1, 600).Draw(t, "plan"))
		was := recordOf(finds, hours).Within(plan, bowl)
		if got := recordOf(finds, hours+rapid.Float64Range(0, 50).Draw(t, "more")).Within(plan, bowl); got < was {
			t.Fatalf("clean hours: from %s to %s", was, got)
		}
		if got := recordOf(finds, hours).Within(plan, bowl+Millilitres(rapid.IntRange(1, 50).Draw(t, "bigger"))); got < was {
			t.Fatalf("a bigger bowl: from %s to %s", was, got)
		}
		if got := recordOf(append(finds, lookOf("ml", 250)), hours).Within(plan, bowl); got > was {
			t.Fatalf("another find: from %s to %s", was, got)
		}
	})
}

// A clean look, with the reading in, never shortens the next drain.
func TestACleanLookNeverShortens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := &log{entries: history(t)}
		at := end(l.entries)
		b := bowlOf(Machine{}, l, at)
		l.add(Entry{Kind: KindService, At: at + hour, Day: utc.DayAt(at + hour), Jobs: []Job{Drain}})
		l.add(Entry{Kind: KindFinding, At: at + hour, Day: utc.DayAt(at + hour), Finding: Clean})
		after := bowlOf(Machine{}, l, at+hour)
		if b.Item.Last.Seq != 0 && after.Item.Reason.Every < b.Item.Reason.Every {
			t.Fatalf("from %s to %s", b.Item.Reason.Every, after.Item.Reason.Every)
		}
	})
}
