package read

// What was seen is told with a verb that adds nothing: "bowl looked clean", "fuel
// is kinda hazy", "oring gone hard". Such a verb, and the words that blunt what
// they stand before, are no work, no doubt and no unknown word.

// seemings takes the weight from a verb of seeming, or a blunting word, that leads
// to what was seen.
func seemings(items []item, toks []token) {
	for i := range items {
		it := &items[i]
		if it.has("small") && it.unit == "" && i+1 < len(items) && items[i+1].has("find") && items[i+1].val("find") != "water" {
			*it = item{at: it.at, n: it.n, senses: glueSense} // "couple rust flecks"
			continue
		}
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

// letOut takes "pulled a cup of water out of the genny bowl" for a drain: water is
// got out of a bowl in no other way. Where a drain is told anyway it stands.
func letOut(items []item, toks []token) {
	for _, it := range items {
		if it.is("verb", "drain") {
			return
		}
	}
	for i := range items {
		if items[i].n != 1 || !inSet(toks[items[i].at], "<letout>") {
			continue
		}
		liquid := false
		for k := i + 1; k < len(items) && k < i+8 && items[k].brk == 0; k++ {
			n := items[k]
			if n.has("neg") || n.has("fuel") || n.has("verb") && k > i+1 {
				break
			}
			liquid = liquid || n.is("find", "water") || n.numeric && liquidMeasure(n.unit) || n.has("liquid")
			if liquid && n.has("prep") && outward(tokensOf(n, toks)) && k+1 < len(items) {
				if j := skipDet(items, k+1); j < len(items) && (items[j].named || items[j].is("part", "bowl") || items[j].is("part", "separator")) {
					items[i].senses = []sense{{"verb", "drain"}}
				}
				break
			}
		}
	}
}

// outward says whether a word leads out of something.
func outward(w string) bool {
	switch w {
	case "out of", "outta", "outa", "out", "off", "off of", "from":
		return true
	}
	return false
}

// skipBackDet is the place of the last item before i that is no article.
func skipBackDet(items []item, i int) int {
	for i--; i > 0 && items[i].has("det"); i-- {
	}
	return i
}

// asksIs says whether a verb that stands before its subject turns it into a
// question.
func asksIs(w string) bool {
	switch w {
	case "is", "was", "are", "were", "has", "did", "does", "isnt", "wasnt", "hasnt":
		return true
	}
	return false
}
