package read

import (
	"testing"

	"woodruff/engine"
)

// TestHalfMeant: what is said of one of several, taken back, or only half legible
// is asked for or read as it was left, never as it first stood.
func TestHalfMeant(t *testing.T) {
	check(t, base(), []say{
		// a bare "no" between two values of a sort takes the first back
		{"rt1 1514.2 no 1541.2", "reading RT1 1541.2"},
		{"om1 drained 2 tbsp water no 3 tbsp", "service OM1 drain; finding OM1 water 45ml"},
		{"greased the hollow no the river fan", "service WF3 grease"},
		// one of several is not each of them
		{"greased one of the fans", "unclear machine"},
		{"some of the fans drained clean", "unclear machine"},
		{"either the verge mower or the wide mower got greased", "unclear machine"},
		{"ridge or hollow, one of em drained clean", "unclear machine"},
		{"drained three fans", "service WF1 drain; service WF2 drain; service WF3 drain"},
		{"every fan except the river one greased", "service WF1 grease; service WF2 grease"},
		// a digit that could not be read
		{"rt1 15x1.2 greased it", "unclear hours"},
		{"rt1 1541.? drained", "unclear hours"},
		{"the hauler shows two two, couldnt read the rest", "unclear hours"},
		// a size is no figure with a blurred digit
		{"need a 2x4 for the shed", "chat"},
		// one day of two
		{"drained rt1 monday or tuesday", "unclear day"},
		// a tag without its figure
		{"drained wf", "unclear machine"},
		{"are tea was drained", "unclear machine"},
		{"bp1 drained, rust in it", "unclear machine"},
		// about so many hours are no reading; the work stands
		{"drained rt1 round 1540", "service RT1 drain"},
		// digits grouped with a space
		{"loader 3 361.2 h", "reading BL1 3361.2"},
	})
}

// TestNotDone: what was not done, or stands only beside what was, is left out and
// the rest is kept.
func TestNotDone(t *testing.T) {
	check(t, base(), []say{
		{"changed the final not the separator on rt1", "service RT1 fuelfilter"},
		{"greased rt1 instead of draining it", "service RT1 grease"},
		{"i didnt drain rt1 i greased it", "service RT1 grease"},
		{"rt1 fuel filter changed, but the separator element was not", "service RT1 fuelfilter"},
		{"oil changed in ws1 no filter on the shelf so just the oil", "service WS1 engineoil"},
		{"rt1 not starting after the new filter", "symptom RT1 no-start"},
		{"rt1 1541.2 needs grease", "reading RT1 1541.2"},
		{"rt2 802.4 didnt drain it", "reading RT2 802.4"},
		{"rt2 isnt knocking, just a rough idle", "symptom RT2 rough-idle"},
		{"I meant to grease it but ended up changing the belt on the wide mower", "service OM2 belt"},
		{"I forgot whether I drained the loader", "chat"},
		{"I have half drained the generator", "chat"},
		{"I dreamt that I drained all three fans", "chat"},
	})
}

// TestOnePart: one machine, one day, one service; a part named before is the one
// that was renewed.
func TestOnePart(t *testing.T) {
	check(t, base(), []say{
		{"om2 final fuel filter swapped n air bled out", "service OM2 fuelfilter+bleed"},
		{"oring on ws1 cracked, replaced", "service WS1 oring; finding WS1 hard-oring"},
		{"swollen o ring on 21 new one in", "service 21 oring; finding 21 swollen-oring"},
		{"The O ring on the loader bowl has gone brittle. I put a new one in.", "service BL1 oring; finding BL1 hard-oring"},
		{"changed it on rt1", "unclear jobs"},
		{"every mower has had an oil change", "service OM1 engineoil+oilfilter; service OM2 engineoil+oilfilter"},
		{"did 21 grease", "service 21 grease"},
		{"the float ring on the verge mower was up", "finding OM1 ringup"},
		{"wf1 wf2 drained clean 634 and 612", "reading WF1 634.0; service WF1 634.0 drain; finding WF1 clean; reading WF2 612.0; service WF2 612.0 drain; finding WF2 clean"},
		{"hollow fan oil changed, river too", "service WF2 engineoil; service WF3 engineoil"},
		{"30 l in om1, 25 in om2 both number 2", "fill OM1 no2 30l; fill OM2 no2 25l"},
		// a word of its own is no slip for one of ours
		{"rt1 belt slipping", "unclear meaning"},
		{"hauled hay all day", "chat"},
	})
}

// TestOwnWords: reasons and names stand as they were written; a question writes
// nothing of its own acts.
func TestOwnWords(t *testing.T) {
	check(t, base(), []say{
		{"RT1 back in use, new o-ring, stayed dry", "back RT1 reason(new o-ring, stayed dry)"},
		{"WF2 out of use: pump seal's gone", "out WF2 reason(pump seal's gone)"},
		{"call OM1 the Old Bess", "nickname OM1 name(Old Bess)"},
		{"how do i put om1 away for winter", "question OM1 storage"},
		{"steps for laying dp1 up", "question DP1 storage"},
		{"ws1 doesnt start by itself", "trait WS1 self-start no"},
		{"rt1 grease every 1 month", "plan RT1 grease every 0.0/1m off=false"},
		{"om1 oil waiting on filter", "putoff OM1 engineoil reason(waiting on filter)"},
		{"rt1 is fine", "chat"},
	})
}

// TestOneMachine: in a shed of one machine its name means it, not the whole shop.
func TestOneMachine(t *testing.T) {
	one := NewNames(shed[:1], nil)
	if got := short(Read("rt1 grease every 1 month", one, base()).Candidates[0].Acts); got != "plan RT1 grease every 0.0/1m off=false" {
		t.Error(got)
	}
}

// TestMuttered: a word or two after a check that do not answer it tell of no new
// trouble.
func TestMuttered(t *testing.T) {
	for c, rows := range map[engine.Check][]say{
		engine.CheckFlow:      {{"weak", "check BL1 flow no"}, {"nice and strong", "check BL1 flow yes"}},
		engine.CheckBubbles:   {{"lots of em", "check BL1 bubbles yes"}, {"not that i can see", "check BL1 bubbles no"}},
		engine.CheckCap:       {{"same with it off", "check BL1 cap no"}, {"hmm ok", "chat"}},
		engine.CheckVacuum:    {{"8 inches", "check BL1 vacuum 8 inHg"}},
		engine.CheckAirFilter: {{"It was full of dust.", "check BL1 air-filter no"}},
		engine.CheckRing:      {{"nope sitting on bottom", "check BL1 ring no"}, {"stalls", "chat"}},
	} {
		ctx := base()
		ctx.Asked = &Asked{Machine: 4, Check: c}
		check(t, ctx, rows)
	}
}
