package triage

import (
	"math/rand/v2"
	"testing"
)

// In any of 100,000 random states no step is offered that the state forbids. The
// rules are written out once more here, from what each look does.
func TestNothingUnsafeIsOffered(t *testing.T) {
	n := Generic()
	rnd := rand.New(rand.NewPCG(6, 1))
	coin := func() bool { return rnd.IntN(2) == 0 }
	turnsEngine := map[SignID]bool{
		"white-cold": true, "white-warm": true, "black": true, "blue": true, "hard-cold": true, "hard-hot": true, "no-fire": true, "starts-dies": true,
		"no-power": true, "fades": true, "surges": true, "slope": true, "knock": true, "bubbles": true, "overnight": true, "cap": true, "vacuum": true,
		"delivery": true, "can": true, "new-filter": true, "cylinder": true, "slow-crank": true, "compression": true,
	}
	var offered int
	for range 100_000 {
		m := Machine{Mechanical: coin(), Leaks: coin(), Owner: coin(), New: coin(), Dead: coin()}
		m.Runs = !m.Dead && coin()
		s := n.Signs[rnd.IntN(len(n.Signs))]
		if !m.Allows(Step{Sign: s.ID}) {
			continue
		}
		offered++
		switch {
		case s.ID == "cylinder" && (!m.Mechanical || m.Owner || m.New):
			t.Fatalf("a line is cracked open: %+v", m)
		case m.Leaks && turnsEngine[s.ID]:
			t.Fatalf("%s with fuel about: %+v", s.ID, m)
		case m.Owner && s.Tools != "":
			t.Fatalf("%s by an owner: %+v", s.ID, m)
		case m.Dead && (s.ID == "no-power" || s.ID == "can" || s.ID == "vacuum" || s.ID == "knock"):
			t.Fatalf("%s on a machine that does not start", s.ID)
		case m.Runs && s.ID == "no-fire":
			t.Fatalf("%s on a machine that starts", s.ID)
		}
	}
	if offered < 20_000 {
		t.Errorf("only %d offers", offered)
	}
	if (Machine{Mechanical: true}).Allows(Step{Sign: "unheard-of"}) {
		t.Error("a look that nobody knows is offered")
	}
	if !(Machine{Mechanical: true}).Allows(Step{Sign: "cylinder"}) || (Machine{}).Allows(Step{Sign: "cylinder"}) {
		t.Error("injection that is not known is taken for mechanical")
	}
}
