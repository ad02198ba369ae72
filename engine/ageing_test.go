package engine

import (
	"math"
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// ageFigures are Weibull fits and age replacements, made with SciPy.
type ageFigures struct {
	Fits []struct {
		Source        string
		Failed, Ended []float64
		Shape, Scale  float64
		LogLikelihood float64 `json:"log likelihood"`
		ByChance      float64 `json:"by chance"`
	}
	Ages []struct{ Shape, Scale, Planned, Failed, Age, Cost, Run float64 }
}

func livesOf(failed, ended []float64) []Life {
	var lives []Life
	for _, h := range failed {
		lives = append(lives, Life{Hours: h, Failed: true})
	}
	for _, h := range ended {
		lives = append(lives, Life{Hours: h})
	}
	return lives
}

// NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3: ten of twenty units
// failed and ten were taken off at 500 h; shape 1.7208, scale 606.5280,
// log-likelihood -75.135.
func TestFitWeibull(t *testing.T) {
	var f ageFigures
	reference(t, "water_ageing.json", &f)
	for _, c := range f.Fits {
		lives := livesOf(c.Failed, c.Ended)
		w, best, ok := FitWeibull(lives)
		same(t, c.Source, ok, true)
		closeTo(t, c.Source+": shape", w.Shape, c.Shape, 1e-6) // as far as SciPy's search went
		closeTo(t, c.Source+": scale", w.Scale, c.Scale, 1e-6)
		closeTo(t, c.Source+": likelihood", best, c.LogLikelihood, 1e-12)
		a := AgeReplacement(lives, Costs{1, 5})
		want := math.Sqrt(2 * (c.LogLikelihood - c.ByChance))
		if c.Shape < 1 {
			want = -want
		}
		near(t, c.Source+": wear", a.Wear, want, 1e-6)
		same(t, "failures", a.Failures, len(c.Failed))
		same(t, "others", a.Others, len(c.Ended))
	}
	nist, best, _ := FitWeibull(livesOf(f.Fits[0].Failed, f.Fits[0].Ended))
	near(t, "NIST shape", nist.Shape, 1.7208, 5e-5)
	near(t, "NIST scale", nist.Scale, 606.5280, 5e-4)
	near(t, "NIST log-likelihood", best, -75.135, 5e-4)
	for _, c := range []struct {
		name          string
		failed, ended []float64
	}{
		{"nothing", nil, nil}, {"no failure", nil, []float64{5, 6}}, {"one failure", []float64{5}, []float64{6, 7}},
		{"all alike", []float64{5, 5, 5}, nil}, {"none before the longest", []float64{5, 5}, []float64{4, 5}},
	} {
		_, _, ok := FitWeibull(livesOf(c.failed, c.ended))
		same(t, c.name, ok, false)
		same(t, c.name, AgeReplacement(livesOf(c.failed, c.ended), Costs{1, 5}).Why, FewFailures)
	}
	// Two alike before a longer life are enough.
	w, _, ok := FitWeibull(livesOf([]float64{5, 5}, []float64{6}))
	same(t, "two alike", ok, true)
	same(t, "steep", w.Shape > 1, true)
}

// Barlow and Proschan, Mathematical Theory of Reliability: SciPy minimised the
// cost per hour as it stands, with numeric integrals.
func TestOptimum(t *testing.T) {
	var f ageFigures
	reference(t, "water_ageing.json", &f)
	for _, c := range f.Ages {
		o := Weibull{c.Shape, c.Scale}.Optimum(Costs{c.Planned, c.Failed})
		closeTo(t, "age", o.Age, c.Age, 1e-7) // SciPy's search
		closeTo(t, "cost", o.Cost, c.Cost, 1e-12)
		closeTo(t, "run", o.Run, c.Run, 1e-12)
		closeTo(t, "saving", o.Saving, 1-c.Cost/c.Run, 1e-9)
	}
	same(t, "cases", len(f.Ages), 6)
	o := Weibull{2, 100}.Optimum(Costs{1, 10})
	near(t, "33.645 h", o.Age, 33.64512, 5e-6)
	near(t, "0.0606 per hour", o.Cost, 0.0605612, 5e-8)
	near(t, "46.3 %", o.Saving, 0.463, 5e-4)
	for _, c := range []struct {
		name string
		w    Weibull
		c    Costs
	}{
		{"by chance", Weibull{1, 1000}, Costs{1, 5}},
		{"gets better with age", Weibull{0.7, 1000}, Costs{1, 5}},
		{"a failure is no dearer", Weibull{3, 1000}, Costs{5, 5}},
		{"renewing costs nothing told", Weibull{3, 1000}, Costs{0, 5}},
		{"next to no wear-out", Weibull{1.0001, 1000}, Costs{4, 5}},
	} {
		o := c.w.Optimum(c.c)
		same(t, c.name+": never", o.Age, 0)
		same(t, c.name+": cost", o.Cost, o.Run)
		same(t, c.name+": saving", o.Saving, 0)
		closeTo(t, c.name+": run", o.Run, c.c.Failed/(c.w.Scale*math.Gamma(1+1/c.w.Shape)), 1e-14)
	}
	near(t, "one failure in 1000 h", Weibull{1, 1000}.Optimum(Costs{1, 5}).Run, 0.005, 1e-15)
}

// At the optimum the cost is lowest, and a dearer failure brings it forward.
func TestOptimumIsLowest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Weibull{rapid.Float64Range(1.3, 6).Draw(t, "shape"), rapid.Float64Range(10, 5000).Draw(t, "scale")}
		c := Costs{1, rapid.Float64Range(1.5, 50).Draw(t, "failed")}
		o := w.Optimum(c)
		cost := func(age float64) float64 { // by Simpson's rule
			const n = 2000
			survive := func(x float64) float64 { return math.Exp(-math.Pow(x/w.Scale, w.Shape)) }
			lived := survive(0) + survive(age)
			for i := 1; i < n; i++ {
				lived += survive(age*float64(i)/n) * float64(2+2*(i%2))
			}
			lived *= age / n / 3
			return (c.Planned*survive(age) + c.Failed*(1-survive(age))) / lived
		}
		if o.Saving < 1e-3 {
			return // flat all the way
		}
		if at := cost(o.Age); math.Abs(at-o.Cost) > 1e-5*at || cost(o.Age*0.9) < at*(1-1e-7) || cost(o.Age*1.1) < at*(1-1e-7) {
			t.Fatalf("%+v costs %v, earlier %v, later %v", o, at, cost(o.Age*0.9), cost(o.Age*1.1))
		}
		if dearer := w.Optimum(Costs{1, 2 * c.Failed}); dearer.Age > o.Age {
			t.Fatalf("dearer failure at %v, before at %v", dearer.Age, o.Age)
		}
	})
}

// Six failures by chance alone look like wear-out about once in sixteen, ten
// once in twenty-four; six by true wear-out of shape 3 are known nine times in
// ten. Lives are drawn by the inverse of the distribution, some cut short.
func TestWearOutIsToldFromChance(t *testing.T) {
	for _, c := range []struct {
		shape     float64
		failures  int
		low, high float64 // share that is taken for wear-out
	}{
		{1, 6, 0.02, 0.09}, {1, 10, 0.015, 0.07}, {1, 20, 0.01, 0.06}, {0.7, 10, 0, 0.01}, {3, 6, 0.85, 1}, {2, 20, 0.93, 1},
	} {
		r, told := rand.New(rand.NewSource(4)), 0
		const runs = 500
		for range runs {
			var lives []Life
			for failed := 0; failed < c.failures; {
				life, cut := 800*math.Pow(r.ExpFloat64(), 1/c.shape), 2000*r.ExpFloat64()
				if life < cut {
					failed++
				}
				lives = append(lives, Life{Hours: min(life, cut), Failed: life < cut})
			}
			a := AgeReplacement(lives, Costs{1, 8})
			if (a.Why == "") != (a.Wear >= wearFrom) || (a.Why == "") != (a.Optimum.Age > 0) {
				t.Fatalf("%+v", a)
			}
			if a.Why == "" {
				told++
			}
		}
		if share := float64(told) / runs; share < c.low || share > c.high {
			t.Errorf("shape %v, %d failures: %v", c.shape, c.failures, share)
		}
	}
}

func TestAgeReplacementSaysWhyNot(t *testing.T) {
	wears := livesOf([]float64{480, 500, 510, 530, 520, 490}, []float64{300, 450})
	a := AgeReplacement(wears, Costs{1, 10})
	same(t, "told", a.Why, "")
	same(t, "failures", a.Failures, 6)
	same(t, "others", a.Others, 2)
	if a.Optimum.Age < 350 || a.Optimum.Age > 480 {
		t.Errorf("at %v h", a.Optimum.Age)
	}
	same(t, "five are too few", AgeReplacement(wears[1:], Costs{1, 10}).Why, FewFailures)
	same(t, "and still fitted", AgeReplacement(wears[1:], Costs{1, 10}).Fit.Shape > 1, true)
	a = AgeReplacement(wears, Costs{10, 10})
	same(t, "no dearer", a.Why, NoDearer)
	same(t, "no age", a.Optimum, Optimum{})
	a = AgeReplacement(wears, Costs{10, 10.5})
	same(t, "hardly dearer", a.Why, LittleSaved)
	same(t, "no age", a.Optimum, Optimum{})
	a = AgeReplacement(livesOf([]float64{12, 900, 45, 300, 150, 2100, 77}, nil), Costs{1, 10})
	same(t, "by chance", a.Why, LikeChance)
	same(t, "no age", a.Optimum, Optimum{})
}

func TestLives(t *testing.T) {
	d := Day(20000)
	type life struct {
		hours  float64
		failed bool
	}
	renew := func(n Day, how How) func(*log) {
		return func(l *log) {
			l.add(Entry{Kind: KindService, Day: d + n, At: morning(d+n) + hour, Jobs: []Job{Hose}, How: how})
		}
	}
	find := func(n Day, f Finding) func(*log) { return func(l *log) { l.find(d+n, f, 0) } }
	symptom := func(n Day, x Symptom) func(*log) {
		return func(l *log) { l.add(Entry{Kind: KindSymptom, Day: d + n, Symptoms: []Symptom{x}}) }
	}
	for _, c := range []struct {
		name  string
		first Tenths // shown at first; 2 h a day
		add   []func(*log)
		want  []life
	}{
		{"never renewed, seen new: runs still", 0, nil, []life{{200, false}}},
		{"50 h is new", 500, nil, []life{{250, false}}},
		{"more is not", 501, nil, nil},
		{"renewed in time", 0, []func(*log){renew(40, "")}, []life{{80.1, false}, {119.9, false}}},
		{"age at the first not known", 9000, []func(*log){renew(40, Renewed), renew(90, "")}, []life{{100, false}, {19.9, false}}},
		{"written late, in another order", 9000, []func(*log){renew(90, ""), renew(40, Renewed)}, []life{{100, false}, {19.9, false}}},
		{"looked at is not renewed", 0, []func(*log){renew(40, LookedAt)}, []life{{200, false}}},
		{"cleaned is not", 0, []func(*log){renew(40, Cleaned)}, []life{{200, false}}},
		{"wept two weeks before", 0, []func(*log){find(26, Weep), renew(40, "")}, []life{{80.1, true}, {119.9, false}}},
		{"wept earlier than that", 0, []func(*log){find(25, Weep), renew(40, "")}, []life{{80.1, false}, {119.9, false}}},
		{"wept since", 0, []func(*log){find(41, Weep), renew(40, "")}, []life{{80.1, false}, {119.9, false}}},
		{"drew air", 0, []func(*log){find(39, Air), renew(40, "")}, []life{{80.1, true}, {119.9, false}}},
		{"water is no failure of a hose", 0, []func(*log){find(39, Water), renew(40, "")}, []life{{80.1, false}, {119.9, false}}},
		{"a warped bowl neither", 0, []func(*log){find(39, WarpedBowl), renew(40, "")}, []life{{80.1, false}, {119.9, false}}},
		{"lost power", 0, []func(*log){symptom(39, PowerLoss), renew(40, "")}, []life{{80.1, true}, {119.9, false}}},
		{"white smoke is not the hose", 0, []func(*log){symptom(39, WhiteSmoke), renew(40, "")}, []life{{80.1, false}, {119.9, false}}},
		{"out of use", 0, []func(*log){func(l *log) { l.add(Entry{Kind: KindOut, Day: d + 39}) }, renew(40, "")}, []life{{80.1, true}, {119.9, false}}},
		{"each leak for its own hose", 0, []func(*log){find(40, Weep), renew(40, ""), renew(45, "")}, []life{{80.1, true}, {10, false}, {109.9, false}}},
	} {
		l := daily(d, 20, 101)
		for i := range l.entries {
			l.entries[i].Hours.Value += c.first - 1000
		}
		for _, add := range c.add {
			add(l)
		}
		l.add(Entry{Kind: KindService, Day: d + 90, State: TakenBack, Jobs: []Job{Hose}})
		l.serveUnread(d+95, LiftPump)
		l.serveUnread(d+120, Hose) // still to come
		s := Fold(Machine{ID: 4}, l.entries, utc)
		var got []life
		for _, x := range s.Lives(Hose, morning(d+100)) {
			same(t, c.name+": machine", x.Machine, 4)
			got = append(got, life{math.Round(x.Hours*10) / 10, x.Failed})
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
	// A warped bowl is what a bowl fails with; a figure written with it counts.
	l := daily(d, 20, 101)
	for i := range l.entries {
		l.entries[i].Hours.Value -= 1000
	}
	l.find(d+40, WarpedBowl, 0)
	l.add(Entry{Kind: KindService, Day: d + 40, At: morning(d + 40), Jobs: []Job{Bowl}, Hours: Known(Tenths(800))})
	s := Fold(Machine{ID: 4}, l.entries, utc)
	lives := s.Lives(Bowl, morning(d+100))
	same(t, "two lives", len(lives), 2)
	same(t, "the first", lives[0], Life{4, 103, 80, true})
	same(t, "runs still", lives[1].Seq, 0)
	// Renewed twice at the same hours, and just now: no life is of no hours.
	twice := daily(d, 20, 101)
	for _, n := range []Day{40, 41, 100} {
		twice.add(Entry{Kind: KindService, Day: d + n, At: morning(d + n), Jobs: []Job{Bowl}})
	}
	twice.entries[101].Hours, twice.entries[102].Hours = Known(Tenths(1800)), Known(Tenths(1800))
	s = Fold(Machine{}, twice.entries, utc)
	lives = s.Lives(Bowl, morning(d+100))
	same(t, "one life", len(lives), 1)
	near(t, "from the second", lives[0].Hours, 120, 1e-9)
	same(t, "to just now", lives[0].Seq, 104)
	// Sold, it runs for somebody else; without readings nothing is known.
	s = Fold(Machine{Gone: "sold"}, l.entries, utc)
	same(t, "sold", len(s.Lives(Bowl, morning(d+100))), 1)
	l = &log{}
	l.serveUnread(d, Hose)
	l.serveUnread(d+9, Hose)
	s = Fold(Machine{}, l.entries, utc)
	same(t, "no readings", len(s.Lives(Hose, morning(d+100))), 0)
	for _, j := range AgedJobs() {
		same(t, "a job", j.place() >= 0, true)
	}
}
