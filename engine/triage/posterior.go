package triage

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
)

// Answer is what is known of a sign. That nobody asked, that nobody can tell,
// and that the tool is not there say nothing of the causes; the last two say that
// asking again is no use.
type Answer string

// Answers. Before, After and Neither are those of a look at two sides.
const (
	NotAsked Answer = ""
	Yes      Answer = "yes"
	No       Answer = "no"
	CantTell Answer = "cant-tell"
	NoTool   Answer = "no-tool"
	Before   Answer = "before"
	After    Answer = "after"
	Neither  Answer = "neither"
)

// Answers are the answers so far. A sign that is not in it was not asked.
type Answers map[SignID]Answer

// tells says whether an answer of a sign moves the causes.
func (s Sign) tells(a Answer) bool { return slices.Contains(s.possible(), a) }

// possible are the answers of a sign that move the causes.
func (s Sign) possible() []Answer {
	if s.Kind == Sides {
		return []Answer{Before, After, Neither}
	}
	return []Answer{Yes, No}
}

// Background is what the network knows of a machine before anything is asked.
type Background struct {
	// Neglect says how far the machine's upkeep was left, from 0, looked after, to
	// 1.
	Neglect float64
	Factors []FactorID
	// Settled counts the shop's own faults by cause.
	Settled map[CauseID]float64
	// Raised are causes that are likelier, or less, for a reason of this fault
	// alone: what was confirmed on it already, say.
	Raised map[CauseID]float64
}

const (
	// ownWeight is how many of the shop's own faults weigh as much as the table:
	// the weight of its Dirichlet prior.
	ownWeight = 15
	// mostFactor is how far all factors together may move a cause.
	mostFactor = 20
)

// odds are the odds that each cause is at work, before anything is asked.
func (n *Net) odds(b Background) ([]float64, error) {
	share := make([]float64, len(n.Causes))
	var sum float64
	for i, c := range n.Causes {
		share[i] = math.Pow(c.Neglected, b.Neglect) * math.Pow(c.Kept, 1-b.Neglect)
		sum += share[i]
	}
	for i := range share {
		share[i] *= ownWeight / sum
	}
	for id, times := range b.Settled {
		i, err := n.causeIndex(id)
		if err != nil {
			return nil, err
		}
		share[i] += times
	}
	times := make([]float64, len(share))
	for i := range times {
		times[i] = 1
	}
	for _, id := range b.Factors {
		at, ok := n.factor[id]
		if !ok {
			return nil, fmt.Errorf("triage: no factor %q", id)
		}
		for c, x := range n.Factors[at].Times {
			times[n.cause[c]] *= x
		}
	}
	sum = 0
	for i := range share {
		share[i] *= min(times[i], mostFactor)
		sum += share[i]
	}
	for id, x := range b.Raised {
		i, err := n.causeIndex(id)
		if err != nil {
			return nil, err
		}
		share[i] *= x
	}
	for i := range share {
		p := n.Trouble * share[i] / sum
		share[i] = p / (1 - min(p, 1-1e-9))
	}
	return share, nil
}

// tempered is the power that each answer is taken to where two or more of its
// group are known. Signs of a group are faces of one thing, so that two of them
// say less than twice as much. Judgement.
const tempered = 0.6

// belief is how likely each set of causes is, not made to sum to one, with what
// one more answer needs to know: by group, how many of its signs are answered,
// and the likelihood of the one, where it is one alone.
type belief struct {
	weight []float64 // by set
	group  map[string]answered
}

type answered struct {
	n    int
	like []float64 // by set
}

// chance is the likelihood of an answer of a sign when a set is at work.
func (n *Net) chance(s Sign, a Answer, set [2]int) float64 {
	causes := set[:]
	if set[0] == set[1] {
		causes = set[:1]
	}
	there := n.columns[s.columns[0]].chance(causes...)
	switch a {
	case Yes, Before:
		return there
	case No:
		return 1 - there
	}
	after := n.columns[s.columns[1]].chance(causes...)
	if a == After {
		return (1 - there) * after
	}
	return (1 - there) * (1 - after)
}

// likelihood is what an answer does to each set: by itself, and tempered.
type likelihood struct {
	answer          Answer
	plain, tempered []float64
}

// likelihoods are those of all answers of a sign.
func (n *Net) likelihoods(s Sign) (all []likelihood) {
	for _, a := range s.possible() {
		l := likelihood{a, make([]float64, len(n.sets)), make([]float64, len(n.sets))}
		for k, set := range n.sets {
			l.plain[k] = n.chance(s, a, set)
			l.tempered[k] = math.Pow(l.plain[k], tempered)
		}
		all = append(all, l)
	}
	return all
}

// with is a belief after one more answer of a sign of a group. The order of
// answers changes nothing.
func (b belief) with(group string, l likelihood) belief {
	next := belief{make([]float64, len(b.weight)), maps.Clone(b.group)}
	g := b.group[group]
	switch g.n {
	case 0:
		next.group[group] = answered{1, l.plain}
	default:
		next.group[group] = answered{n: g.n + 1}
	}
	b.weigh(next.weight, group, l)
	return next
}

// weigh puts what the sets weigh after one more answer into out.
func (b belief) weigh(out []float64, group string, l likelihood) {
	switch g := b.group[group]; g.n {
	case 0:
		for k, w := range b.weight {
			out[k] = w * l.plain[k]
		}
	case 1: // which is no longer alone
		for k, w := range b.weight {
			out[k] = w * math.Pow(g.like[k], tempered-1) * l.tempered[k]
		}
	default:
		for k, w := range b.weight {
			out[k] = w * l.tempered[k]
		}
	}
}

// believe weighs all sets.
func (n *Net) believe(odds []float64, answers Answers) (belief, error) {
	b := belief{make([]float64, len(n.sets)), map[string]answered{}}
	for k, set := range n.sets {
		b.weight[k] = odds[set[0]] * n.between[k]
		if set[1] != set[0] {
			b.weight[k] *= odds[set[1]]
		}
	}
	for id, a := range answers {
		i, ok := n.sign[id]
		if !ok {
			return belief{}, fmt.Errorf("triage: no sign %q", id)
		}
		if !n.Signs[i].tells(a) && a != NotAsked && a != CantTell && a != NoTool {
			return belief{}, fmt.Errorf("triage: %q is no answer to %q", a, id)
		}
	}
	for i, s := range n.Signs {
		for _, l := range n.like[i] {
			if answers[s.ID] == l.answer {
				b = b.with(s.Group, l)
			}
		}
	}
	return b, nil
}

// Ranked is a cause with the chance that it is at work.
type Ranked struct {
	Cause  CauseID
	Chance float64
}

// Posterior is what to think of the causes.
type Posterior struct {
	Ranked []Ranked // all causes, the likeliest first; several may be at work
	// Two is the chance that two causes are at work.
	Two float64

	sets []float64 // by set, summing to one
}

// Posterior weighs the causes, given what is known of the machine and what was
// answered. It fails where a name is not in the table or an answer not one of
// its sign's, and where what was answered cannot be.
func (n *Net) Posterior(b Background, answers Answers) (Posterior, error) {
	odds, err := n.odds(b)
	if err != nil {
		return Posterior{}, err
	}
	w, err := n.believe(odds, answers)
	if err != nil {
		return Posterior{}, err
	}
	return n.posterior(w.weight)
}

func (n *Net) posterior(weight []float64) (Posterior, error) {
	var sum float64
	for _, x := range weight {
		sum += x
	}
	if !(sum > 0) || math.IsInf(sum, 0) {
		return Posterior{}, fmt.Errorf("triage: these answers cannot be together")
	}
	p := Posterior{sets: make([]float64, len(weight)), Ranked: make([]Ranked, len(n.Causes))}
	for i, c := range n.Causes {
		p.Ranked[i].Cause = c.ID
	}
	for k, set := range n.sets {
		x := weight[k] / sum
		p.sets[k] = x
		p.Ranked[set[0]].Chance += x
		if set[1] != set[0] {
			p.Ranked[set[1]].Chance += x
			p.Two += x
		}
	}
	slices.SortStableFunc(p.Ranked, func(a, b Ranked) int { return cmp.Compare(b.Chance, a.Chance) })
	return p, nil
}
