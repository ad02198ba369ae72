package read

import "testing"

// Nothing here may write or ask.
func TestSilence(t *testing.T) {
	var rows []say
	for _, text := range []string{
		// plans
		"gonna drain rt2 after lunch", "will do the oil on rt1 tomorrow", "need to grease om1", "rt1 needs new filters",
		"draining rt1 now", "lets drain the fans tonight", "about to bleed the loader", "I'll drain rt1",
		// negations
		"havent drained rt1 yet", "didnt get to the loader", "rt2 not drained", "forgot to grease 21", "ran out of time for the splitter",
		// conditions
		"if rt1 gets water again drain it", "when you get a chance drain rt1", "drained rt1 if i remember right",
		// requests and questions to a colleague
		"can someone drain rt1", "please grease the loader", "did you drain rt1?", "drain rt2 before you go", "drained rt1?",
		// hearsay, quotes, doubt
		"wilm said rt1 drained clean", "apparently the genny was drained", "i heard 21 got new filters", "drained pg1 says joss",
		"log says rt1 drained clean oct 1", "> rt1 drained clean", "i think i drained rt1", "might have changed the oil on 21",
		"he drained rt1", "somebody drained rt1 already", "should have drained rt1", "almost done greasing 21",
		// other meanings of the trade's words
		"coffee filter needs changing", "drained the pool", "oil change on my car saturday", "changed my mind about rt1",
		"ordered a belt for om2", "filters for rt1 came in", "spilled a cup of water on the bench", "ice on the road by the shed",
		"my drill battery is toast", "packing shed is locked", "the river is high", "12 bins left in row 21", "lunch at 12",
		"gate code is 2121", "invoice came to 498.30", "anyone seen my 21 mm socket", "rt1 is parked by the gate", "keys are in 21",
		"who has the grease gun", "where is rt1", "is the loader free", "whats for lunch",
		// small talk
		"thanks", "ok", "lol", "morning all", "rt1 looks great after the wash lol", "friday", "clean", "water", "",
	} {
		rows = append(rows, say{text, "chat"})
	}
	check(t, base(), rows)
}

// What is silent beside work is dropped, the work stands.
func TestDropped(t *testing.T) {
	check(t, base(), []say{
		{"rt1 1541.2 drained clean, greased too; rt2 not yet", "reading RT1 1541.2; service RT1 1541.2 drain+grease; finding RT1 clean"},
		{"greased rt1, rt2 needs it tomorrow", "service RT1 grease"},
		{"rt1 oil done, will do the filter tomorrow", "service RT1 engineoil"},
		{"rt1 1541.2 greased but didnt drain it", "reading RT1 1541.2; service RT1 1541.2 grease"},
		{"21 at 3311.0 parked it by the shed", "reading 21 3311.0"},
		{"drained rt1 clean lol finally", "service RT1 drain; finding RT1 clean"},
	})
}
