package read

import "woodruff/engine"

// polarity is what a word of quantity or quality answers to each check: "heaps",
// "nowt", "way better". The words are in data/checks.csv under "pol"; which of
// them answer what stands here, so that a new word serves every check.
var polarity = map[engine.Check]map[string]string{
	engine.CheckBubbles:   {"plenty": "yes", "some": "yes", "nil": "no"},
	engine.CheckCap:       {"better": "yes", "same": "no", "nil": "no"},
	engine.CheckFlow:      {"plenty": "yes", "nil": "no"},
	engine.CheckWet:       {"plenty": "yes", "some": "yes", "nil": "no"},
	engine.CheckBowl:      {"nil": "clean"},
	engine.CheckAirFilter: {},
}

// polar is what such a word answers to a check, where the part of the answer
// speaks of nothing else.
func (p *parse) polar(items []item, about engine.Check) string {
	answers, ok := polarity[about]
	if !ok {
		return ""
	}
	strange, out := 0, ""
	for i, it := range items {
		v := it.val("pol")
		find := it.val("find")
		if find == "" && it.has("chk") {
			find = p.findWithin(it)
		}
		switch {
		case answers[v] != "":
			r := answers[v]
			if r != "clean" {
				r = p.deny(items, i, r)
			}
			if out != "" && out != r {
				return ""
			}
			out = r
		case find == "clean" || find == "clear":
			switch about {
			case engine.CheckAirFilter:
				out = p.deny(items, i, "yes")
			case engine.CheckBubbles:
				out = p.deny(items, i, "no")
			}
		case find == "debris" && about == engine.CheckAirFilter:
			out = p.deny(items, i, "no")
		case it.unknown():
			strange++
		case it.has("later"), it.has("doubt"):
			return ""
		}
	}
	if strange > 2 {
		return ""
	}
	return out
}

// findWithin is the finding that a longer phrase ends in: "full of dirt".
func (p *parse) findWithin(it item) string {
	if it.n < 2 || it.brk != 0 {
		return ""
	}
	senses, k := lex.words.longest(p.toks[it.at+it.n-1 : it.at+it.n])
	if k != 1 {
		return ""
	}
	last := item{n: 1, senses: senses}
	return last.val("find")
}
