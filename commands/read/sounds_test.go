package read

import (
	"strings"
	"testing"
)

// TestSlipsAreNoWordsOfTheTrade: what the lexicon understands as it stands is not
// taken for something else.
func TestSlipsAreNoWordsOfTheTrade(t *testing.T) {
	rows, err := readRows(openData, "sounds.csv", 3)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		for _, heard := range strings.Split(row[0], "|") {
			toks := tokenize(heard)
			senses, k := lex.words.longest(toks)
			if k < len(toks) || row[0] == row[1] || row[2] != "*" {
				continue
			}
			for _, s := range senses {
				if s.class != "plain" && s.class != "world" && s.class != "glue" {
					t.Errorf("%q is %s %s by itself, but a slip for %q everywhere", heard, s.class, s.value, row[1])
				}
			}
		}
	}
}

// TestHeard: a slip is taken for what was said where the words beside it leave no
// other reading, and stays what it is elsewhere.
func TestHeard(t *testing.T) {
	for _, c := range []struct{ heard, meant string }{
		{"trained the ball on rt1", "drained the bowl on rt1"},
		{"trained the new hand on rt1", "trained the new hand on rt1"},
		{"replaced the ball joint on rt1, drained it too", "replaced the ball joint on rt1 , drained it too"},
		{"high draw lick filter changed", "hydraulic filter changed"},
		{"twenty leaders in the loader", "twenty litres in the loader"},
		{"the leaders of the co-op", "the leaders of the co op"},
		{"blue smog out of rt1", "blue smoke out of rt1"},
		{"the smog is bad today", "the smog is bad today"},
		{"air filler changed, filler cap cleaned", "air filter changed , filler cap cleaned"},
		{"nine twenty one pint six", "nine twenty one point six"},
		{"had a pint in town", "had a pint in town"},
	} {
		p := parse{text: c.heard, toks: tokenize(c.heard)}
		p.hear()
		if got := tokensSaid(p.toks); got != c.meant {
			t.Errorf("%q is heard as %q, want %q", c.heard, got, c.meant)
		}
	}
}
