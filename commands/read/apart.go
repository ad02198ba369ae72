package read

import "woodruff/engine"

// Some verbs are written in two pieces, with what was done to between them, and
// some sentences only go on with the one before.

// apartVerbs are the verbs of cleaning that "out" or "through" may follow after
// the part: "washed the tank out", "blew it through".
var apartVerbs = map[string]bool{"washed": true, "hosed": true, "rinsed": true, "swilled": true, "sloshed": true, "pumped": true,
	"blew": true, "blown": true, "flushed": true, "poked": true, "scrubbed": true, "swished": true, "cleaned": true}

// farthestOut is how many words may stand between the two.
const farthestOut = 6

// apart finds a verb of cleaning whose second piece comes after a part or an "it".
func apart(toks []token) bool {
	if !apartVerbs[toks[0].lem] {
		return false
	}
	thing := false
	for i := 1; i < len(toks) && i <= farthestOut && toks[i].kind == word; i++ {
		switch t := toks[i]; {
		case thing && (t.lem == "out" || t.lem == "through" || t.lem == "thru"):
			return true
		case is(t, "part", ""), t.lem == "it", t.lem == "em", t.lem == "them":
			thing = true
		case is(t, "verb", ""), is(t, "neg", ""), is(t, "and", ""):
			return false
		}
	}
	return false
}

// goesBack says whether the sentence after a break only goes on with the part that
// the one before it told the state of: "belt shot. swapped it".
func goesBack(before, after []item, toks []token) bool {
	parts := 0
	for _, it := range before {
		switch {
		case it.has("part"):
			parts++
		case it.has("verb"), it.has("neg"), it.has("plan"), it.has("cond"), it.has("hear"), it.has("doubt"), it.has("other"), it.has("event"):
			return false
		}
	}
	if parts != 1 {
		return false
	}
	verb, points := false, false
	for _, it := range after {
		switch {
		case it.brk != 0:
			return verb && points
		case it.is("verb", "renew") || it.is("verb", "clean"):
			verb = true
		case it.has("newone"), it.n == 1 && (toks[it.at].w == "it" || toks[it.at].w == "em" || toks[it.at].w == "them"):
			points = true
		case it.has("part"), it.has("other"), it.named, it.has("neg"), it.has("plan"), it.has("event"):
			return false
		case !it.filler() && !it.dated:
			return verb && points
		}
	}
	return verb && points
}

// partDied says whether it is a part, and not the machine, that a word such as
// "died" or "weak" is said of, or that was cut out: "lift pump on rt1 died".
func (p *parse) partDied(items []item, i int, s engine.Symptom) bool {
	if s != engine.Stalls && s != engine.PowerLoss {
		return false
	}
	if p.phrase(items[i]) == "cut out" {
		k := skipDet(items, i+1)
		for k < len(items) && (items[k].is("glue", "state") || items[k].is("glue", "adj") || items[k].has("mod")) {
			k++
		}
		return k < len(items) && items[k].has("part")
	}
	k := i - 1
	for k >= 0 && (items[k].named || items[k].has("prep") || items[k].has("aux") || items[k].has("det")) {
		k--
	}
	return k >= 0 && (items[k].is("part", "liftpump") || items[k].is("part", "battery") || items[k].is("part", "belt")) && !hasVerb(items[:k])
}
