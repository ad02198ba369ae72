package read

import (
	"testing"

	"woodruff/engine"
)

func TestMarks(t *testing.T) {
	rows := []struct {
		text             string
		leak, dry, fixed bool
	}{
		{"fuel leak; till ring here", true, false, true},
		{"weeping at the filter", true, false, true},
		{"fan blade cracked", false, false, true},
		{"new hose, stayed dry", false, true, true},
		{"new hose, ran 10 min, no leaks", false, true, true},
		{"ran 10 min, doesn't leak", false, true, false}, // says nothing of what was fixed
		{"stayed dry", false, true, false},
		{"new ring, still weeping", true, false, true},
		{"new ring, hope it stays dry", false, false, true},
		{"new ring, not dry yet", false, false, true},
	}
	for _, r := range rows {
		if got := TellsOfLeak(r.text); got != r.leak {
			t.Errorf("%q: a leak %v", r.text, got)
		}
		if got := StayedDry(r.text); got != r.dry {
			t.Errorf("%q: stayed dry %v", r.text, got)
		}
		if got := SaysWhatWasFixed(r.text); got != r.fixed {
			t.Errorf("%q: says what was fixed %v", r.text, got)
		}
	}
}

func TestMarkedActs(t *testing.T) {
	rows := []struct {
		text      string
		dry, then bool
	}{
		{"rt2 changed the hose, ran 10 min, no leaks", true, false},
		{"rt2 changed the hose, still leaking", false, false},
		{"rt2 greased", false, false},
		{"rt1 oil was done at 1540.9", false, true},
	}
	for _, r := range rows {
		dry, then := false, false
		for _, a := range Read(r.text, shedNames, base()).Candidates[0].Acts {
			dry, then = dry || a.Dry, then || a.Then
		}
		if dry != r.dry || then != r.then {
			t.Errorf("%q: dry %v, then %v", r.text, dry, then)
		}
	}
}

// "ran 10 min, no leaks" is a look only where the fuel side was opened.
func TestLookedDry(t *testing.T) {
	ctx := base()
	ctx.Opened = func(id engine.MachineID) (engine.MachineID, bool) {
		if id == 0 {
			id = 2
		}
		return id, id == 2
	}
	check(t, ctx, []say{
		{"rt2 ran 10 min no leaks", "check RT2 wet no"},
		{"looked at rt2 joints again, all dry", "check RT2 wet no"},
		{"ran 10 min no leaks", "unclear meaning"}, // most likely RT2: asked
		{"rt1 ran 10 min no leaks", "chat"},        // nothing was opened there
		{"rt2 ran 10 min still leaking", "unclear meaning"},
		{"hope rt2 stays dry", "chat"},
		{"rt2 no leaks in the roof", "chat"},
	})
	check(t, base(), []say{{"rt2 ran 10 min no leaks", "chat"}})
}
