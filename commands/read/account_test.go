package read

import (
	"strings"
	"testing"

	"woodruff/engine"
)

// TestNothingIsLeftOver: what stands beside a report and is in no act makes a
// question of the whole, unless it is a remark that carries no weight.
func TestNothingIsLeftOver(t *testing.T) {
	check(t, base(), []say{
		// remarks: the dog, the weather, one's own hands
		{"rt1 greased, parked it by the cider press", "service RT1 grease"},
		{"drained granny, dog ate my sandwich", "service RT1 drain"},
		{"drained wf2 before the rain came, clean", "service WF2 drain; finding WF2 clean"},
		{"I greased the hauler, hands frozen", "service HT1 grease"},
		{"Row tractor two got its grease, Dot held the lamp for me", "service RT2 grease"},
		{"bl1 belt done while i was at it", "service BL1 belt"},
		// something is wrong with a part that nothing was done to
		{"drained rt1 clean but bowl is cracked", "unclear meaning"},
		{"bled ht1, primer wont hold", "unclear meaning"},
		{"drained the genny, drain cock snapped off in my hand", "unclear meaning"},
		{"new belt on bl1 but the tensioner is shot", "unclear meaning"},
		// but what was wrong with the part that was renewed is why it was
		{"belt on om2 was shot, put a new one on", "service OM2 belt"},
		// what does not do what it should, and a name for how it is, of things that
		// are no parts here
		{"greased td1, two nipples wont take any", "unclear meaning"},
		{"rt1 final filter on, bleed screw sheared", "unclear meaning"},
		{"battery changed in 21, cable end was green", "unclear meaning"},
		{"greased bl1, path up there is all mud", "service BL1 grease"},
		// others
		{"wf3 drained, others dry", "unclear meaning"},
		{"did the belt on bl1 and half of ht1", "unclear meaning"},
		{"drained 21 and 3 others", "unclear meaning"},
		{"drained all the fans bar the river one", "service WF1 drain; service WF2 drain"},
		{"greased ws1 apart from the ram pin", "unclear meaning"},
		{"rt1 greased rest tomorrow", "service RT1 grease"},
		// work and things that are not known
		{"greased rt1 and sprogged the knuckle", "unclear meaning"},
		{"ws1 greased and the thingummy too", "unclear meaning"},
		{"bl1 oil changed and the breather whatsit", "unclear meaning"},
		{"drained genny, reset the trip", "unclear meaning"},
		{"drained rt1 and regapped the flywheel", "unclear meaning"},
		{"bl1 drained clean, took the governor apart", "unclear meaning"},
		{"pg1 greased, new sprag", "unclear meaning"},
		{"oil changed in rt1 and one more", "unclear meaning"},
		{"greased om1, same goes for the big one", "unclear meaning"},
		// a word that turns it round
		{"pg1 drained partly", "unclear meaning"},
		{"oil changed in td1 but put the old filter back", "unclear meaning"},
		{"rt1 final filter done, separator not before december", "service RT1 fuelfilter"},
		{"greased om1 wrong, om2", "unclear meaning"},
		{"drained rt1, no wait that was the hauler", "unclear meaning"},
		// bounds are no amounts
		{"rt1 drained <5 ml water", "unclear meaning"},
		{"drained bl1, >20 ml water", "unclear meaning"},
		{"rt2 drained, less than a teaspoon of water", "unclear meaning"},
		{"drained wf1 about 10 ml of water", "service WF1 drain; finding WF1 water 10ml"},
		{"td1 drained 10 ml of water and 2 of sludge", "unclear meaning"},
		// figures
		{"rt1 1541.0 greased 1542.2", "unclear hours"},
		{"hyd oil changed in the loader, 45 litres", "service BL1 hydoil"},
		{"wf1 610 oil changed 7", "unclear meaning"},
		{"changed 3 injectors of 4 on td1", "unclear meaning"},
		{"changed 3 injectors on td1", "service TD1 injectors"},
		{"drained rt1 at 12", "service RT1 drain"},
		// days that no act holds
		{"rust in td1 bowl last week", "unclear meaning"},
		{"swapped the separator in 21 two days before joss left", "unclear meaning"},
		{"10 ml of water in bl1 yesterday", "unclear meaning"},
		{"om1 greased the day before the frost", "unclear day"},
		// work told as the circumstance of other work
		{"bled rt1 after changing the fuel filter", "unclear meaning"},
		{"greased om1 along with changing its belt", "unclear meaning"},
		{"rt1 oil changed when i did the filter", "unclear meaning"},
		{"bled rt1 after bleeding my heart out", "service RT1 bleed"},
	})
}

// TestDoneThenOff: work that was done and work that waits are two things.
func TestDoneThenOff(t *testing.T) {
	check(t, base(), []say{
		{"rt1 greased, remind me about the oil friday", "service RT1 grease; putoff RT1 engineoil until 2026-11-27"},
		{"greased td1 ask me again about the drain thursday", "service TD1 grease; putoff TD1 drain until 2026-11-26"},
		{"om1 belt changed, push the grease to monday", "service OM1 belt; putoff OM1 grease until 2026-11-30"},
		// no day: it is asked for, with the work that waits for the answer
		{"rt1 greased, remind me about the oil", "unclear day"},
		// nothing was done
		{"bl1 grease, leave it til thurs", "putoff BL1 grease until 2026-11-26"},
	})
}

// TestYesAndNoYes: a yes that asks back accepts nothing, and what can move the work
// or the reminder is asked about.
func TestYesAndNoYes(t *testing.T) {
	asked := base()
	asked.Asked = &Asked{Ask: AskHours, Likely: engine.Known(engine.Tenths(15410)), Held: []Act{{Kind: Reading, Machine: 1, Wants: []Slot{AskHours}}}}
	check(t, asked, []say{
		{"yes", "reading RT1 1541.0"},
		{"yes what about it", "chat"},
		{"yes no wait", "chat"},
		{"yep, sorry, cold thumbs", "reading RT1 1541.0"},
	})
	reply := base()
	reply.Reply = &Reply{Machine: 1, Jobs: []engine.Job{engine.Drain}}
	check(t, reply, []say{
		{"make it sat", "unclear meaning"},
		{"all done, sun came out", "service RT1 drain"},
		{"done except the front axle", "unclear meaning"},
		{"done, half of it", "unclear meaning"},
		{"done, not the back ones", "unclear meaning"},
		{"done, valve is stuck though", "unclear meaning"},
	})
}

// TestWeights: the words that are weighed are single words, each in one row.
func TestWeights(t *testing.T) {
	rows, err := readRows(openData, "weights.csv", 2)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, row := range rows {
		for _, w := range strings.Split(row[0], "|") {
			if w == "" || seen[w] || len(tokenize(w)) != 1 {
				t.Errorf("%q in the row of %s: empty, twice or no single word", w, row[1])
			}
			seen[w] = true
		}
	}
}
