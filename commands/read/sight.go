package read

// What was seen is told with a verb that adds nothing: "bowl looked clean", "fuel
// is kinda hazy", "oring gone hard". Such a verb, and the words that blunt what
// they stand before, are no work, no doubt and no unknown word.

// seemings takes the weight from a verb of seeming, or a blunting word, that leads
// to what was seen.
func seemings(items []item, toks []token) {
	for i := range items {
		it := &items[i]
		if it.n > 2 || it.brk != 0 || it.named || it.numeric || !(inSet(toks[it.at], "<seemed>") || it.has("doubt") && lightRun(toks[it.at:], false) == it.n) {
			continue
		}
		for k := i + 1; k < len(items) && k < i+5; k++ {
			n := items[k]
			if n.has("cond-part") || n.has("find") && n.val("find") != "water" {
				it.senses = glueSense
				break
			}
			if !n.has("det") && !n.is("amount", "trace") && !n.is("glue", "") && lightRun(toks[n.at:], true) != n.n {
				break
			}
		}
	}
}

// light says whether an item is a word without weight of data/light.csv.
func (p *parse) light(it item) bool {
	return it.n > 0 && it.brk == 0 && !it.named && !it.numeric && lightRun(p.toks[it.at:], false) == it.n
}
