package read

import "testing"

// TestFrames: the steps of a frame are found with light words, links and a machine
// between them, in any order or in the one given, and with nothing else.
func TestFrames(t *testing.T) {
	b := newFrameBook()
	b.add([]string{"<smoke>", "<black>"}, false, sense{"symptom", "black-smoke"})
	b.add([]string{"<wont>", "<start> ?up"}, true, sense{"symptom", "no-start"})
	b.add([]string{"<quits> ?out", "(<when>)"}, true, sense{"symptom", "stalls"})
	for _, c := range []struct {
		say   string
		n     int // tokens found, 0 for none
		holes int
	}{
		{"smokes black", 2, 0},
		{"black smoke", 2, 0},                     // the other way round
		{"smoke out of the stack is black", 7, 0}, // "stack" is a word of the set
		{"smoking really a bit black", 5, 0},      // light words
		{"wont even fire up", 4, 0},               // a step with a word that may be missing
		{"wont rt1 start", 3, 1},                  // a machine keeps its own item
		{"start wont", 0, 0},                      // the order counts
		{"smoke not black", 0, 0},                 // a negation ends it
		{"smoke only black", 0, 0},                // so does what narrows it down
		{"quits on me when i stop", 1, 0},         // what is only looked for is left
		{"quits on friday", 0, 0},
		{"smoke, black", 0, 0},                   // and a break
		{"smoke is it was it is it black", 0, 0}, // too far off
		{"wont drain it before you start", 0, 0}, // a word of weight
		{"smoke", 0, 0},                          // half of it
	} {
		toks := joinTags(tokenize(c.say), shedNames)
		correct(toks, shedNames)
		if m := b.find(toks, shedNames); m.n != c.n || len(m.holes) != c.holes {
			t.Errorf("%q: %d tokens and %d machines, want %d and %d", c.say, m.n, len(m.holes), c.n, c.holes)
		}
	}
}

// TestInflections: regular endings are made by rule.
func TestInflections(t *testing.T) {
	for base, want := range map[string]string{
		"stall": "stall stalls stalled stalling", // nothing doubled
		"surge": "surge surges surged surging",   // the e goes
		"stop":  "stop stops stopped stopping",   // a short word doubles
		"catch": "catch catches catched catching",
	} {
		got := ""
		for _, w := range inflections(base) {
			got += " " + w
		}
		if got[1:] != want {
			t.Errorf("%s: %s, want %s", base, got[1:], want)
		}
	}
}
