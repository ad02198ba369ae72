package triage

// Machine is what decides which steps may be offered at all.
type Machine struct {
	// Mechanical says that the injection is known to be: not known counts as
	// common rail, whose lines maim.
	Mechanical bool
	// Leaks says that fuel is outside where it should not be, or smelt.
	Leaks bool
	// Owner says that the step is for an owner and not for somebody of the shop.
	Owner bool
	// New says that it is for a new hand.
	New bool
	// Dead says that it does not start: nothing is looked at while it runs. Runs
	// says that it does start, and what only a dead one shows is not looked for.
	Dead, Runs bool
}

// runs are the flags of looks that turn the engine over or run it.
var runs = []string{"run", "start", "crank", "crack"}

// Allows says whether a step may be offered. It comes before any cost.
func (m Machine) Allows(step Step) bool {
	n := Generic()
	if step.Cause != "" {
		return true // put right with the engine off; who does it is said with it
	}
	s, ok := n.Sign(step.Sign)
	if !ok {
		return false
	}
	if s.Has("crack") && (!m.Mechanical || m.Owner || m.New) {
		return false
	}
	if m.Owner && (s.Tools != "" || s.Has("two")) {
		return false
	}
	if m.Dead && (s.Has("run") || s.Has("start")) || m.Runs && s.Has("dead") {
		return false
	}
	for _, f := range runs {
		if m.Leaks && s.Has(f) {
			return false
		}
	}
	return true
}

// Moved words those factors that moved a cause, the strongest of each first.
func (n *Net) Moved(factors []FactorID, cause CauseID) (words []string) {
	for _, id := range factors {
		if i, ok := n.factor[id]; ok && n.Factors[i].Times[cause] != 0 && n.Factors[i].Times[cause] != 1 {
			words = append(words, n.Factors[i].Words)
		}
	}
	return words
}

// Possible are the answers of a sign that move the causes, in the order asked.
func (s Sign) Possible() []Answer { return s.possible() }

// Takes says whether an answer can be one of a sign's.
func (s Sign) Takes(a Answer) bool { return s.tells(a) || a == CantTell || a == NoTool }
