package read

import (
	"testing"

	"woodruff/engine"
)

// What answers though it comes wrapped, and what only has a fitting word in it.
func TestWrappedAnswers(t *testing.T) {
	names := NewNames([]engine.Machine{
		{ID: 1, Tag: "RT1", Name: "Row tractor 1"}, {ID: 2, Tag: "WF2", Name: "Hollow frost fan"}, {ID: 3, Tag: "WF3", Name: "River frost fan"},
	}, nil)
	day := engine.DayOf(2026, 11, 24)
	grease := Act{Kind: Service, Machine: 2, Jobs: []engine.Job{engine.Grease}, Wants: []Slot{AskDay}}
	drain := Act{Kind: Service, Jobs: []engine.Job{engine.Drain}, Wants: []Slot{AskMachine}}
	filter := Act{Kind: Service, Machine: 1, Wants: []Slot{AskJobs}}
	for _, c := range []struct {
		ask  Slot
		held Act
		say  string
		want bool
	}{
		{AskDay, grease, "that was on thursday, right after the rain quit", true},
		{AskDay, grease, "oh it got done sunday sometime before church", true},
		{AskDay, grease, "had that done friday i do believe", false},
		{AskDay, grease, "see you thursday", false},
		{AskDay, grease, "could do it thursday", false},
		{AskDay, grease, "it rained thursday and sunday", false},
		{AskDay, grease, "greased rt1 on sunday, that was easy", false},
		{AskDay, grease, "was that thursday?", false},
		{AskMachine, drain, "the one over in the hollow, sorry, i forgot to say", true},
		{AskMachine, drain, "meant the one along the river bank", true},
		{AskMachine, drain, "water is high in the river", false},
		{AskMachine, drain, "not the river one and not the hollow one either", false},
		{AskJobs, filter, "it was the cartridge type, the one inside the separator housing", true},
		{AskJobs, filter, "you mean the separator", false},
		{AskJobs, filter, "it could be the separator for all i know", false},
	} {
		r := Read(c.say, names, Context{Day: day, Asked: &Asked{Ask: c.ask, Held: []Act{c.held}}})
		if got := r.Candidates[0].Answers && Writes(r.Candidates[0].Acts); got != c.want {
			t.Errorf("%q answers the question for the %s: %v", c.say, c.ask, got)
		}
	}
}
