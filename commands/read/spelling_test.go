package read

import "testing"

// Which word a slip is taken for: the thumb's commonest ones, and none where
// two words are as near.
func TestCorrect(t *testing.T) {
	for _, c := range []struct{ w, want string }{
		{"elmnt", "element"},    // its vowels left out
		{"tghtnd", "tightened"}, // the same of a verb
		{"seprtr", "separator"}, // all but one
		{"nxt", "next"},
		{"blt", "blt"}, // belt or bolt
		{"mst", "mst"}, // too little left to know it by
		{"drianed", "drained"},
	} {
		toks := tokenize(c.w)
		correct(toks, shedNames)
		if toks[0].lem != c.want {
			t.Errorf("%s is taken for %s, want %s", c.w, toks[0].lem, c.want)
		}
	}
}
