// Package triage finds what is wrong with a machine that somebody complains of:
// what is likeliest given what the book knows and what was seen, and which step,
// a look or a repair, costs the least until the machine runs.
//
// It is a network of two layers, causes and signs, joined by noisy-OR with a
// leak (J. Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, 4.3.2;
// the leak after M. Henrion, 1987). Causes are few at a time: sets of one and of
// two are weighed exactly, larger ones not at all. Everything that it knows of
// the trade stands in table.csv.
package triage

import (
	"fmt"
	"slices"
)

// CauseID names what can be wrong, by a plain word of the trade.
type CauseID string

// SignID names what is seen, told or looked for.
type SignID string

// FactorID names what the book or the weather knows that moves the causes.
type FactorID string

// Minutes are of a technician's time; parts are counted in them too.
type Minutes float64

// Cause is one thing that can be wrong.
type Cause struct {
	ID        CauseID
	Name, Fix string
	// Neglected and Kept are relative chances given a complaint, on a machine
	// whose upkeep was left and on one that was looked after.
	Neglected, Kept float64
	Minutes         Minutes // to put it right, without its set-up
	Parts           Minutes // what the parts are worth
	Setup           string  // "" for none
	Dirty           bool    // one of those that dirty fuel brings together
	Limit           string  // where the shop hands it on: pump, timing, seal
}

// SignKind says how a sign comes to be known.
type SignKind string

// Kinds of signs.
const (
	Told  SignKind = "told"  // whoever complains knows
	Check SignKind = "check" // somebody has to look
	Sides SignKind = "sides" // one look with three answers: before, after, neither
)

// Sign is something that is seen, or looked for.
type Sign struct {
	ID      SignID
	Kind    SignKind
	Group   string // of signs that are faces of one thing
	Minutes Minutes
	Setup   string
	Flags   []string // what the look needs or does; see Safe
	Tools   string
	Words   string

	columns []int // one, or two for Sides
}

// Has says whether a sign has a flag.
func (s Sign) Has(flag string) bool { return slices.Contains(s.Flags, flag) }

// Factor is something known of a machine that makes causes likelier, or less.
type Factor struct {
	ID    FactorID
	Words string
	Times map[CauseID]float64
}

// Net is the network. It is made once and never changed.
type Net struct {
	Causes  []Cause
	Signs   []Sign
	Factors []Factor
	// Trouble is the chance that anything at all is wrong with a machine before
	// somebody complains: it says how likely a second fault is beside the first.
	Trouble float64
	// TestRun is what it takes to see whether a repair helped, and Asking what any
	// question costs besides its look: somebody has to stop and answer.
	TestRun, Asking Minutes

	cause  map[CauseID]int
	sign   map[SignID]int
	factor map[FactorID]int
	setups map[string]Minutes
	joined map[[2]CauseID]float64 // pairs that are likelier together, both ways round

	columns []column
	sets    [][2]int // all sets: {i, i} of one cause, {i, j} of two
	between []float64
	like    [][]likelihood // by sign
}

// column is the noisy-OR of one yes-or-no fact: chances that it is not there.
type column struct {
	leak float64   // with no cause at work
	not  []float64 // by cause, beside the leak: 1 where there is no link
}

const (
	// trouble makes about one complaint in eight a matter of two faults.
	trouble = 0.2
	// company is how much likelier two faults of dirty fuel are together than
	// apart. Judgement.
	company = 2.5

	testRun, asking Minutes = 5, 2
)

// finish makes what follows from the table.
func (n *Net) finish() {
	n.Trouble, n.TestRun, n.Asking = trouble, testRun, asking
	for i := range n.Causes {
		n.sets, n.between = append(n.sets, [2]int{i, i}), append(n.between, 1)
	}
	for i := range n.Causes {
		for j := i + 1; j < len(n.Causes); j++ {
			n.sets, n.between = append(n.sets, [2]int{i, j}), append(n.between, n.together(n.Causes[i], n.Causes[j]))
		}
	}
	for _, s := range n.Signs {
		n.like = append(n.like, n.likelihoods(s))
	}
}

// together is how much likelier two causes are together than apart.
func (n *Net) together(a, b Cause) float64 {
	switch times, ok := n.joined[[2]CauseID{a.ID, b.ID}]; {
	case ok:
		return times
	case a.Dirty && b.Dirty:
		return company
	}
	return 1
}

// Cause finds a cause by its name.
func (n *Net) Cause(id CauseID) (Cause, bool) {
	i, ok := n.cause[id]
	if !ok {
		return Cause{}, false
	}
	return n.Causes[i], true
}

// Sign finds a sign by its name.
func (n *Net) Sign(id SignID) (Sign, bool) {
	i, ok := n.sign[id]
	if !ok {
		return Sign{}, false
	}
	return n.Signs[i], true
}

// Chance is how often a yes-or-no fact, a column of the table, is there when
// exactly these causes are at work: 1 - (1-leak) Π (1-link).
func (c column) chance(causes ...int) float64 {
	not := c.leak
	for _, i := range causes {
		not *= c.not[i]
	}
	return 1 - not
}

// link is the chance that a cause brings a fact about by itself, such that with
// the leak beside it the fact is there as often as the table says. What the table
// gives no more often than the leak is no link: a cause does not hide what
// something else shows.
func link(often, leak float64) float64 {
	if often <= leak {
		return 0
	}
	return 1 - (1-often)/(1-leak)
}

func (n *Net) causeIndex(id CauseID) (int, error) {
	i, ok := n.cause[id]
	if !ok {
		return 0, fmt.Errorf("triage: no cause %q", id)
	}
	return i, nil
}
