package triage

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// shopSim is a workshop that the network does not know: its chances are the
// table's with the log-odds moved by up to 0.3 either way, and signs of a group
// often share what makes them show.
type shopSim struct {
	n     *Net
	truth []column
	rnd   *rand.Rand
}

const (
	jitter = 0.3
	// shared is how often a sign shows or hides with the rest of its group.
	shared = 0.5
)

func newShopSim(seed uint64) *shopSim {
	s := &shopSim{n: Generic(), rnd: rand.New(rand.NewPCG(seed, 1))}
	moved := func(p float64) float64 {
		if p <= 0 || p >= 1 {
			return p
		}
		return 1 / (1 + math.Exp(-(math.Log(p/(1-p)) + jitter*(2*s.rnd.Float64()-1))))
	}
	for _, c := range s.n.columns {
		m := column{leak: moved(c.leak)}
		for _, not := range c.not {
			m.not = append(m.not, moved(not))
		}
		s.truth = append(s.truth, m)
	}
	return s
}

// simFault is one machine on its way in.
type simFault struct {
	background Background
	causes     []int
	told       Answers
	shows      map[SignID]Answer
}

// fault draws a machine that somebody complains of.
func (s *shopSim) fault() simFault {
	for {
		f := simFault{background: Background{Neglect: float64(s.rnd.IntN(2))}, told: Answers{}, shows: map[SignID]Answer{}}
		for range s.rnd.IntN(3) {
			f.background.Factors = append(f.background.Factors, s.n.Factors[s.rnd.IntN(len(s.n.Factors))].ID)
		}
		odds, err := s.n.odds(f.background)
		if err != nil {
			panic(err)
		}
		for i, o := range odds {
			if s.rnd.Float64() < o/(1+o) {
				f.causes = append(f.causes, i)
			}
		}
		if len(f.causes) == 0 || len(f.causes) > 2 {
			continue
		}
		group := map[string]float64{}
		draw := func(g string) float64 {
			if _, ok := group[g]; !ok {
				group[g] = s.rnd.Float64()
			}
			if s.rnd.Float64() < shared {
				return group[g]
			}
			return s.rnd.Float64()
		}
		var complaints []SignID
		for _, sign := range s.n.Signs {
			there := draw(sign.Group) < s.truth[sign.columns[0]].chance(f.causes...)
			switch {
			case sign.Kind == Sides && there:
				f.shows[sign.ID] = Before
			case sign.Kind == Sides && draw(sign.Group) < s.truth[sign.columns[1]].chance(f.causes...):
				f.shows[sign.ID] = After
			case sign.Kind == Sides:
				f.shows[sign.ID] = Neither
			case there:
				f.shows[sign.ID] = Yes
			default:
				f.shows[sign.ID] = No
			}
			if sign.Kind == Told && there {
				complaints = append(complaints, sign.ID)
			}
		}
		if len(complaints) == 0 {
			continue
		}
		s.rnd.Shuffle(len(complaints), func(i, j int) { complaints[i], complaints[j] = complaints[j], complaints[i] })
		for _, id := range complaints[:min(len(complaints), 1+s.rnd.IntN(2))] {
			f.told[id] = Yes
		}
		return f
	}
}

// tally is what a way of working took.
type tally struct {
	minutes Minutes
	wrong   int // repairs that cured nothing
}

// job is a fault being worked on.
type job struct {
	s    *shopSim
	f    simFault
	now  Fault
	left []int
	tally
}

func (s *shopSim) job(f simFault) *job {
	j := &job{s: s, f: f, left: slices.Clone(f.causes)}
	j.now = Fault{Background: f.background, Answers: Answers{}}
	for id, a := range f.told {
		j.now.Answers[id] = a
	}
	return j
}

func (j *job) open(setup string) {
	if setup != "" && !slices.Contains(j.now.Open, setup) {
		j.now.Open = append(j.now.Open, setup)
		j.minutes += j.s.n.setups[setup]
	}
}

func (j *job) look(id SignID) {
	s, _ := j.s.n.Sign(id)
	j.open(s.Setup)
	j.minutes += s.Minutes + j.s.n.Asking
	j.now.Answers[id] = j.f.shows[id]
}

func (j *job) repair(id CauseID) {
	c, _ := j.s.n.Cause(id)
	j.open(c.Setup)
	j.minutes += c.Minutes + c.Parts + j.s.n.TestRun
	j.now.Done = append(j.now.Done, id)
	if at := slices.Index(j.left, j.s.n.cause[id]); at >= 0 {
		j.left = slices.Delete(j.left, at, at+1)
	} else {
		j.wrong++
	}
}

// works until the machine runs.
func (j *job) works(t *testing.T, step func(*job) Step) tally {
	t.Helper()
	for range 100 {
		if len(j.left) == 0 {
			return j.tally
		}
		switch s := step(j); {
		case s.Sign != "":
			j.look(s.Sign)
		case s.Cause != "":
			j.repair(s.Cause)
		default:
			t.Fatal("nothing to do, and the machine does not run")
		}
	}
	t.Fatal("a hundred steps, and the machine does not run")
	return tally{}
}

func planned(t *testing.T) func(*job) Step {
	return func(j *job) Step {
		p, err := j.s.n.Next(j.now, nil)
		if err != nil {
			t.Fatal(err)
		}
		return p.Next
	}
}

// byPrior repairs in the order of the chances before anything was asked.
func byPrior(t *testing.T) func(*job) Step {
	return func(j *job) Step {
		p, err := j.s.n.Posterior(j.now.Background, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range p.Ranked {
			if !slices.Contains(j.now.Done, r.Cause) {
				return Step{Cause: r.Cause}
			}
		}
		return Step{}
	}
}

// byWorth repairs in the order of chance over cost, given the complaint.
func byWorth(t *testing.T) func(*job) Step {
	return func(j *job) Step {
		s, err := j.s.n.search(j.now, func(s Step) bool { return s.Sign == "" })
		if err != nil {
			t.Fatal(err)
		}
		odds, _ := j.s.n.odds(j.now.Background)
		b, err := j.s.n.believe(odds, j.now.Answers)
		if err != nil {
			t.Fatal(err)
		}
		s.repair(b.weight)
		return Step{Cause: j.s.n.Causes[s.order[0]].ID}
	}
}

// cheapest looks at what is cheapest to look at until one cause is likelier than
// sure, then repairs that.
func cheapest(t *testing.T, sure float64) func(*job) Step {
	return func(j *job) Step {
		n := j.s.n
		p, err := n.Next(j.now, func(s Step) bool { return s.Sign == "" })
		if err != nil {
			t.Fatal(err)
		}
		top := slices.IndexFunc(p.Ranked, func(r Ranked) bool { return !slices.Contains(j.now.Done, r.Cause) })
		if p.Ranked[top].Chance < sure {
			best, least := SignID(""), Minutes(math.Inf(1))
			for _, s := range n.Signs {
				m := s.Minutes
				if s.Setup != "" && !slices.Contains(j.now.Open, s.Setup) {
					m += n.setups[s.Setup]
				}
				if _, asked := j.now.Answers[s.ID]; !asked && m < least {
					best, least = s.ID, m
				}
			}
			if best != "" {
				return Step{Sign: best}
			}
		}
		return Step{Cause: p.Ranked[top].Cause}
	}
}

// The bot's steps against three other ways of working, over the same faults:
// minutes with parts, and repairs in vain. The best threshold of the last is
// picked with hindsight.
func compareWays(t *testing.T, faults int, seed uint64, interval bool) {
	s := newShopSim(seed)
	ways := []struct {
		name string
		step func(*job) Step
	}{
		{"planned", planned(t)}, {"by prior", byPrior(t)}, {"by worth", byWorth(t)},
		{"cheapest to 0.30", cheapest(t, 0.3)}, {"cheapest to 0.45", cheapest(t, 0.45)}, {"cheapest to 0.60", cheapest(t, 0.6)},
		{"cheapest to 0.75", cheapest(t, 0.75)}, {"cheapest to 0.90", cheapest(t, 0.9)},
	}
	sum := make([]tally, len(ways))
	each := make([][]float64, len(ways))
	var known Minutes
	for range faults {
		f := s.fault()
		for i, w := range ways {
			got := s.job(f).works(t, w.step)
			sum[i].minutes += got.minutes
			sum[i].wrong += got.wrong
			each[i] = append(each[i], float64(got.minutes))
		}
		j := s.job(f)
		for _, i := range f.causes {
			j.repair(s.n.Causes[i].ID)
		}
		known += j.minutes
	}
	for i, w := range ways {
		t.Logf("%-16s %7.1f min, %.2f wrong repairs", w.name, float64(sum[i].minutes)/float64(faults), float64(sum[i].wrong)/float64(faults))
	}
	t.Logf("%-16s %7.1f min", "knowing it", float64(known)/float64(faults))
	best := 3
	for i := range ways {
		if i >= 3 && sum[i].minutes < sum[best].minutes {
			best = i
		}
	}
	for _, i := range []int{1, best} {
		var m, v float64
		for k := range each[0] {
			m += (each[0][k] - each[i][k]) / float64(faults)
		}
		for k := range each[0] {
			v += (each[0][k] - each[i][k] - m) * (each[0][k] - each[i][k] - m) / float64(faults-1)
		}
		upper := m + 1.96*math.Sqrt(v/float64(faults))
		t.Logf("against %s: %.1f min, 95 %% below %.1f", ways[i].name, m, upper)
		if sum[0].minutes > sum[i].minutes*9/10 || interval && upper >= 0 {
			t.Errorf("planned steps take %.1f min, %s %.1f", float64(sum[0].minutes)/float64(faults), ways[i].name, float64(sum[i].minutes)/float64(faults))
		}
	}
	if sum[0].minutes > sum[2].minutes*65/100 {
		t.Errorf("planned steps take %.1f min, by worth %.1f", float64(sum[0].minutes)/float64(faults), float64(sum[2].minutes)/float64(faults))
	}
}

// A few faults at every run; 5,000 with -tags long, where the interval of the
// difference must lie below zero as well.
func TestShop(t *testing.T) { compareWays(t, 30, 11, false) }
