package read

import (
	"testing"

	"woodruff/engine"
)

// TestRetold: what was said is said again otherwise, dated afterwards, or broken
// off and taken up again.
func TestRetold(t *testing.T) {
	check(t, base(), []say{
		// what was said and what it was
		{"I told you RT1 but it was RT2, sorry", "correct machine to RT2"},
		{"the one I drained was the river fan, not the ridge fan", "correct machine to WF3 target WF1  "},
		{"what came out was rust, not slime", "correct finding to rust"},
		{"the correct machine is the low row tractor", "correct machine to RT2"},
		// a "not" that denies nothing of a line
		{"fourteen boxes came out of block three, not too shabby", "chat"},
		{"row nine gave us sixty bins, not bad for November", "chat"},
		// the part once more and better
		{"drained granny and changed the little rubber thing, the o-ring", "service RT1 drain+oring"},
		// what was renewed is not known: nothing of the message is written
		{"I swapped the gubbins and drained RT1", "unclear meaning"},
		// the day comes after the work
		{"New lift pump on the loader. I did that on Friday.", "service BL1 liftpump on 2026-11-20"},
		{"There's a fresh belt on the wide mower, put it on yesterday", "service OM2 belt on 2026-11-23"},
		// trouble as the reason for work that cured it, and trouble that stays
		{"changed the lift pump on the trencher because it wouldn't start and now it runs sweet", "service TD1 liftpump"},
		{"bled the hauler because it kept dying but it still dies", "service HT1 bleed; symptom HT1 stalls"},
		// what came is in
		{"the new belt turned up and it's on the wide mower now", "service OM2 belt"},
		{"the new belt turned up and it's on the bench", "chat"},
		// broken off
		{"drained the, what do you call it, the hollow fan", "service WF2 drain"},
		// a person's hours are no meter's
		{"How many hours did Joss do on Sunday", "chat"},
		// the oil that was named
		{"hydraulic oil in the digger, took me an hour, but the oil is changed now", "service TD1 hydoil"},
		{"changed the hydraulic oil on the loader and the oil is changed too", "service BL1 hydoil+engineoil"},
	})
	ctx := base()
	ctx.Asked = &Asked{Ask: AskHours, Likely: engine.Known(engine.Tenths(28491)),
		Held: []Act{{Kind: Reading, Machine: 1, Wants: []Slot{AskHours}}}}
	check(t, ctx, []say{
		{"yep, missed the dot", "reading RT1 2849.1"},
		{"yes but let me check again", "chat"},
		{"yes I think so", "chat"},
	})
}
