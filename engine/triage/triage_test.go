package triage

import (
	"bufio"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The fever of S. Russell, P. Norvig, Artificial Intelligence: A Modern Approach
// (noisy-OR of cold, flu and malaria, which fail to bring it about with 0.6, 0.2
// and 0.1), and the same with a leak of 0.01 beside it, worked by hand: 1 - 0.99
// times what the book has.
func TestFever(t *testing.T) {
	for _, leak := range []float64{0, 0.01} {
		c := column{leak: 1 - leak, not: []float64{0.6, 0.2, 0.1}}
		for _, row := range []struct {
			causes []int
			want   float64
		}{
			{nil, 0}, {[]int{2}, 0.9}, {[]int{1}, 0.8}, {[]int{1, 2}, 0.98},
			{[]int{0}, 0.4}, {[]int{0, 2}, 0.94}, {[]int{0, 1}, 0.88}, {[]int{0, 1, 2}, 0.988},
		} {
			want := 1 - (1-leak)*(1-row.want)
			if got := c.chance(row.causes...); math.Abs(got-want) > 1e-12 {
				t.Errorf("with %v and a leak of %g a fever has %g, want %g", row.causes, leak, got, want)
			}
		}
	}
}

// What the table says of a cause alone comes out again with the leak beside it.
func TestLinkAndLeak(t *testing.T) {
	for _, often := range []float64{0.01, 0.05, 0.3, 0.7, 0.95} {
		for _, leak := range []float64{0.01, 0.05, 0.3} {
			c := column{leak: 1 - leak, not: []float64{1 - link(often, leak)}}
			if got, want := c.chance(0), max(often, leak); math.Abs(got-want) > 1e-12 {
				t.Errorf("%g beside %g is %g", often, leak, got)
			}
		}
	}
}

// A thousand random networks, worked by enumerating every state of every link
// (testdata/reference/make_networks.py, in exact fractions).
func TestAgainstEnumeration(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", "networks.json.gz"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	rows, n := bufio.NewScanner(z), 0
	for ; rows.Scan(); n++ {
		var row struct {
			Weights []float64
			Trouble float64
			Leaks   []float64
			Links   [][]float64
			Answers []Answer
			Chance  []float64
			Two     float64
		}
		if err := json.Unmarshal(rows.Bytes(), &row); err != nil {
			t.Fatal(err)
		}
		net, answers := &Net{cause: map[CauseID]int{}, sign: map[SignID]int{}}, Answers{}
		for i, w := range row.Weights {
			id := CauseID(fmt.Sprint("c", i))
			net.cause[id] = i
			net.Causes = append(net.Causes, Cause{ID: id, Neglected: w, Kept: w})
		}
		for i, leak := range row.Leaks {
			id := SignID(fmt.Sprint("s", i))
			c := column{leak: 1 - leak}
			for _, l := range row.Links[i] {
				c.not = append(c.not, 1-l)
			}
			net.sign[id], net.columns = i, append(net.columns, c)
			net.Signs = append(net.Signs, Sign{ID: id, Kind: Told, Group: string(id), columns: []int{i}})
			answers[id] = row.Answers[i]
		}
		net.finish()
		net.Trouble = row.Trouble
		p, err := net.Posterior(Background{}, answers)
		if err != nil {
			t.Fatalf("network %d: %v", n, err)
		}
		for _, r := range p.Ranked {
			if want := row.Chance[net.cause[r.Cause]]; math.Abs(r.Chance-want) > 1e-9 {
				t.Fatalf("network %d: %s has %g, want %g", n, r.Cause, r.Chance, want)
			}
		}
		if math.Abs(p.Two-row.Two) > 1e-9 {
			t.Fatalf("network %d: two faults have %g, want %g", n, p.Two, row.Two)
		}
	}
	if n != 1000 {
		t.Errorf("%d networks", n)
	}
}

func answersOf(yes, no []SignID) Answers {
	a := Answers{}
	for _, s := range yes {
		a[s] = Yes
	}
	for _, s := range no {
		a[s] = No
	}
	// One look tells of both sides of the separator.
	before, known := a["vacuum-before"]
	after := a["vacuum-after"]
	delete(a, "vacuum-before")
	delete(a, "vacuum-after")
	switch {
	case before == Yes:
		a["vacuum"] = Before
	case known && after == Yes:
		a["vacuum"] = After
	}
	return a
}

// The scenarios of testdata/reference/triage_scenarios.json: the same cause is
// first or second.
func TestScenarios(t *testing.T) {
	body, err := os.ReadFile(filepath.Join("..", "..", "testdata", "reference", "triage_scenarios.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all struct {
		Cases []struct {
			Name      string
			Neglected bool
			Factors   []FactorID
			Yes, No   []SignID
			Top       [][2]any
		}
	}
	if err := json.Unmarshal(body, &all); err != nil {
		t.Fatal(err)
	}
	for _, c := range all.Cases {
		b := Background{Factors: c.Factors}
		if c.Neglected {
			b.Neglect = 1
		}
		p, err := Generic().Posterior(b, answersOf(c.Yes, c.No))
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		first := CauseID(c.Top[0][0].(string))
		if p.Ranked[0].Cause != first && p.Ranked[1].Cause != first {
			t.Errorf("%s: %v come first, want %s", c.Name, p.Ranked[:3], first)
		}
	}
	if len(all.Cases) != 19 {
		t.Errorf("%d scenarios", len(all.Cases))
	}
}

// repairShop is a network of repairs alone, or with one look that tells some of
// them from the rest for sure.
func repairShop(t *testing.T, repairs string, look Minutes, splits ...CauseID) *Net {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "class,sure,%.7f,j\nclass,never,%.7f,j\nclass,half,0.5,j\nparts,none,0,j\nsetup,strip,20,j\n", 1-1e-6, 1e-6)
	fmt.Fprintf(&b, "sign,test,check,never,test,%g,,,,a test,j\n", look)
	for line := range strings.SplitSeq(repairs, "\n") {
		var id, setup string
		var chance, minutes float64
		if _, err := fmt.Sscan(line, &id, &chance, &minutes, &setup); err != nil {
			t.Fatal(line, err)
		}
		links := ""
		if slices.Contains(splits, CauseID(id)) {
			links = "test:sure"
		}
		fmt.Fprintf(&b, "cause,%s,%g,%g,%g,none,%s,,,%s,a fault,a repair,j\n", id, chance, chance, minutes, strings.Trim(setup, "-"), links)
	}
	n, err := Load(strings.NewReader(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	n.Trouble, n.TestRun, n.Asking = 1e-9, 0, 0
	return n
}

// Five repairs in the order of chance over cost, and what a test that tells two
// of them from the rest is worth (worked by brute force over all 120 orders; the
// rule is Kalagnanam and Henrion's, 1990).
func TestChanceOverCost(t *testing.T) {
	const five = "hose 0.43 60 -\nring 0.30 10 -\nvent 0.15 4 -\nlift 0.10 90 -\nlever 0.02 3 -"
	n := repairShop(t, five, 1000)
	p, err := n.Next(Fault{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	order := []CauseID{p.Next.Cause}
	for _, s := range p.Others {
		if s.Cause != "" {
			order = append(order, s.Cause)
		}
	}
	if want := []CauseID{"vent", "ring", "hose", "lever", "lift"}; !slices.Equal(order, want) || math.Abs(float64(p.Repair)-54.86) > 0.001 {
		t.Errorf("%v at %.3f min, want %v at 54.86", order, p.Repair, want)
	}
	for _, c := range []struct {
		minutes, whole Minutes
		look           bool
	}{{0, 47.16, true}, {7, 54.16, true}, {8, 55.16, false}, {20, 67.16, false}} {
		n := repairShop(t, five, c.minutes, "ring", "vent")
		p, err := n.Next(Fault{}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Next.Sign == "test"; got != c.look {
			t.Errorf("a test of %g min: looked %v", c.minutes, got)
		}
		at := slices.IndexFunc(append([]Step{p.Next}, p.Others...), func(s Step) bool { return s.Sign != "" })
		if whole := append([]Step{p.Next}, p.Others...)[at].Whole; math.Abs(float64(whole-c.whole)) > 0.01 {
			t.Errorf("with a test of %g min it takes %.3f min, want %.2f", c.minutes, whole, c.whole)
		}
	}
}

// Two repairs behind one strip-down of 20 min, and one that stands alone: the
// best order by brute force is both behind the strip-down first.
func TestSharedSetup(t *testing.T) {
	n := repairShop(t, "a 0.30 5 strip\nb 0.28 5 strip\nc 0.42 24 -", 1000)
	p, err := n.Next(Fault{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if p.Next.Cause != "a" || p.Next.Minutes != 25 || math.Abs(float64(p.Repair)-38.58) > 0.001 {
		t.Errorf("%s in %g min, %.3f in all; want a in 25, 38.58 in all", p.Next.Cause, p.Next.Minutes, p.Repair)
	}
	if p, _ = n.Next(Fault{Open: []string{"strip"}}, nil); p.Next.Minutes != 5 {
		t.Errorf("with the strip-down done it takes %g min", p.Next.Minutes)
	}
}

func anyAnswers(t *rapid.T) Answers {
	a := Answers{}
	n := Generic()
	for range rapid.IntRange(0, 8).Draw(t, "answers") {
		s := rapid.SampledFrom(n.Signs).Draw(t, "sign")
		a[s.ID] = rapid.SampledFrom(append(s.possible(), CantTell, NoTool)).Draw(t, "answer")
	}
	return a
}

func anyBackground(t *rapid.T) Background {
	b := Background{Neglect: rapid.Float64Range(0, 1).Draw(t, "neglect")}
	for range rapid.IntRange(0, 4).Draw(t, "factors") {
		b.Factors = append(b.Factors, rapid.SampledFrom(Generic().Factors).Draw(t, "factor").ID)
	}
	return b
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9 }

// Sets sum to one; an answer and its retraction cancel; what cannot be told
// changes nothing.
func TestBeliefsHold(t *testing.T) {
	n := Generic()
	rapid.Check(t, func(t *rapid.T) {
		b, a := anyBackground(t), anyAnswers(t)
		p, err := n.Posterior(b, a)
		if err != nil {
			t.Fatal(err)
		}
		var sum, causes float64
		for _, x := range p.sets {
			sum += x
		}
		for _, r := range p.Ranked {
			causes += r.Chance
		}
		if !near(sum, 1) || !near(causes, 1+p.Two) {
			t.Fatalf("sets sum to %g, causes to %g with %g of two", sum, causes, p.Two)
		}
		silent := Answers{}
		for id, x := range a {
			if s, _ := n.Sign(id); s.tells(x) {
				silent[id] = x
			}
		}
		s := rapid.SampledFrom(n.Signs).Draw(t, "sign")
		if _, known := silent[s.ID]; !known {
			silent[s.ID] = s.possible()[0]
			delete(silent, s.ID) // said, and taken back
			silent[s.ID] = CantTell
		}
		q, err := n.Posterior(b, silent)
		if err != nil || !slices.Equal(p.Ranked, q.Ranked) {
			t.Fatalf("what tells nothing changed the causes (%v)", err)
		}
	})
}

// Other names for causes and signs, and another order of the table's lines, give
// the same chances and the same step.
func TestNamesDoNotMatter(t *testing.T) {
	renamed := strings.NewReplacer("water", "quux", "ring", "ying", "vacuum", "vaquum").Replace
	other, err := Load(strings.NewReader(renamed(table)))
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		b, a := anyBackground(t), anyAnswers(t)
		a2 := Answers{}
		for id, x := range a {
			a2[SignID(renamed(string(id)))] = x
		}
		p, err := Generic().Posterior(b, a)
		q, err2 := other.Posterior(b, a2)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		by := map[CauseID]float64{}
		for _, r := range q.Ranked {
			by[r.Cause] = r.Chance
		}
		for _, r := range p.Ranked {
			if got := by[CauseID(renamed(string(r.Cause)))]; !near(got, r.Chance) {
				t.Fatalf("%s has %g, by another name %g", r.Cause, r.Chance, got)
			}
		}
	})
}

// A line of the table that is wrong is named.
func TestTableIsChecked(t *testing.T) {
	const good = "class,R,0.05,j\nclass,A,0.95,j\nparts,none,0,j\nsetup,s,5,j\nsign,seen,told,R,g,1,,,,words,j\ncause,c,1,1,5,none,s,,,seen:A,name,fix,j\nfactor,f,c:2,words,cp\npair,c,c,2,j\n"
	if _, err := Load(strings.NewReader(good)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, with, want string }{
		{"class,R,0.05,j", "class,R,1.5,j", "line 1"},
		{"class,A,0.95,j", "class,R,0.95,j", "twice"},
		{"0.95,j", "0.95,hearsay", "source"},
		{"class,A", "klass,A", "no kind"},
		{"seen:A", "seen:B", "no such sign or class"},
		{"seen:A", "heard:A", "no such sign or class"},
		{"seen:A", "seen:A seen:A", "twice"},
		{"none,s,,", "none,t,,", "set-up"},
		{"none,s,,", "gold,s,,", "class of parts"},
		{"1,,,,words", "1,,fly,,words", "no flag"},
		{"told,R,g", "told,R R,g", "backgrounds"},
		{"told,R,g", "sung,R,g", "no kind of sign"},
		{"told,R,g", "told,Q,g", "no class"},
		{"told,R,g", "told,R,", "group"},
		{"c:2", "d:2", "no cause"},
		{"c:2", "c:0", "number"},
		{"c:2", "c", "no pair"},
		{"cause,c,1,1,5", "cause,c,0,1,5", "number"},
		{"name,fix", ",fix", "name and a fix"},
		{"s,,,seen", "s,maybe,,seen", "neither yes"},
		{",cp", ",cp,x", "fields"},
		{"pair,c,c", "pair,c,d", "no cause"},
		{"c,2,j", "c,nine,j", "number"},
		{good, "class,R,0.05,j\n", "without causes"},
		{"sign,seen", "sign,", "no name"},
		{"factor,f,c:2,words", "factor,f,c:2,", "words"},
	} {
		if _, err := Load(strings.NewReader(strings.Replace(good, c.old, c.with, 1))); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s for %s: %v, want %q", c.with, c.old, err, c.want)
		}
	}
}

// A filtered step is never offered.
func TestFilteredStepsAreNotOffered(t *testing.T) {
	n := Generic()
	rapid.Check(t, func(t *rapid.T) {
		f := Fault{Background: anyBackground(t), Answers: anyAnswers(t)}
		allowed := func(s Step) bool { return (len(s.Sign)+len(s.Cause))%3 != 0 }
		p, err := n.Next(f, allowed)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range append(p.Others, p.Next) {
			if s != (Step{}) && !allowed(s) {
				t.Fatalf("%v is offered", s)
			}
			if a := f.Answers[s.Sign]; s.Sign != "" && a != NotAsked {
				t.Fatalf("%s is asked again after %q", s.Sign, a)
			}
		}
	})
}
