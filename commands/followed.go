package commands

import (
	"fmt"

	"woodruff/engine"
)

// morningFollow is how many follow-ups a section of the morning's post has.
const morningFollow = 2

// followed is something that a find or a job on a machine still asks for.
type followed struct {
	m engine.Machine
	f engine.FollowUp
}

// staysOpen says whether a follow-up is work that stays on the list until it is
// done. The others are a look on the way, or have a list of their own: drains,
// machines out of use.
func staysOpen(k engine.FollowKind) bool { return followNames[k] != "" }

// openFollowUps are what a machine's finds and jobs still ask for today.
func (t *turn) openFollowUps(v *view) (out []followed) {
	for _, f := range v.sheet(t).FollowUps(t.now) {
		if staysOpen(f.Kind) && f.From <= t.today {
			out = append(out, followed{v.m, f})
		}
	}
	return out
}

// followUpLines say what finds and work still ask for, and since when: machines
// that want the same are one line.
func (t *turn) followUpLines(all []followed) {
	var order []engine.FollowKind
	by := map[engine.FollowKind][]followed{}
	for _, x := range all {
		if by[x.f.Kind] == nil {
			order = append(order, x.f.Kind)
		}
		by[x.f.Kind] = append(by[x.f.Kind], x)
	}
	for _, k := range order {
		if same := by[k]; len(same) > 1 {
			var tags []string
			for _, x := range same {
				tags = append(tags, x.m.Tag)
			}
			t.line(tagList(tags, 6) + ": " + followNames[k] + ".")
		} else {
			t.line(same[0].m.Tag + ": " + t.followWords(same[0]) + ".")
		}
	}
}

func (t *turn) followWords(x followed) string {
	return followNames[x.f.Kind] + " (" + dayWords(x.f.Since, t.today) + ")"
}

// followNames are the follow-ups of a list, so short that they fit a phone.
var followNames = map[engine.FollowKind]string{
	engine.CleanTank: "clean the tank", engine.FiltersTwice: "renew the separator twice, early",
	engine.LookAtCap: "look at tank, cap and can", engine.RenewRing: "renew the bowl O-ring",
	engine.RenewBowl: "renew the bowl", engine.RingReused: "look for air, renew the bowl ring",
}

// ownerFollowUps say whom to ring about what a find asks for.
func (t *turn) ownerFollowUps(all []followed) {
	for i, x := range all {
		if i == morningFollow && len(all) > morningFollow {
			t.line(fmt.Sprintf("and %d more.", len(all)-i))
			return
		}
		t.line(x.m.Owner + ", " + x.m.Tag + ": " + t.followWords(x) + ".")
	}
}
