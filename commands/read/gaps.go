package read

import "slices"

// copySame gives "N2 same", "ditto the loader", "n2 too" what was just said of
// another machine.
func (r *report) copySame() {
	said := make([]bool, len(r.p.clauses))
	for _, f := range r.facts {
		said[f.clause] = true
	}
	for c := 1; c < len(r.p.clauses); c++ {
		cl := &r.p.clauses[c]
		if said[c] || !r.groups[c].own || cl.silent != "" || !r.onlySame(c) {
			continue
		}
		from := r.groups[c-1]
		for _, f := range r.facts {
			if f.clause < c && same32(r.groups[f.clause].ids, from.ids) && (f.act.Kind != Fill || r.tellsSame(c)) && (f.act.Kind != Symptom || r.tellsSame(c)) {
				f.clause, f.at, f.act = c, 0, f.act.clone()
				f.ctx = false
				r.facts = append(r.facts, f)
			}
		}
	}
}

// sameAsBefore says whether a part asks for the same on a machine as something
// that this message does not tell: "same for rt1 2849" after another message.
func (r *report) sameAsBefore(c int) bool {
	cl := &r.p.clauses[c]
	if cl.silent != "" || !r.groups[c].own || len(cl.items) == 0 || !cl.items[0].has("same") {
		return false
	}
	return !slices.ContainsFunc(r.facts, func(f fact) bool { return f.clause <= c })
}

// tellsSame says whether a part says outright that it is as with the machine
// before: trouble is carried over by nothing less.
func (r *report) tellsSame(c int) bool {
	for _, it := range r.p.clauses[c].items {
		switch w := r.p.word(it); {
		case it.has("same"), w == "same", w == "too", w == "also", w == "likewise", w == "ditto", r.p.phrase(it) == "as well":
			return true
		}
	}
	return false
}

// fillGaps gives "drained N1 yesterday and N2 today" its work twice: a part that
// has a machine and a day, a figure or what was seen, but no verb, goes on with
// the verb that stood first.
func (r *report) fillGaps() {
	cl := r.p.clauses
	for c := 1; c < len(cl); c++ {
		if cl[c].sentence != cl[c-1].sentence || cl[c].sep != 'a' && cl[c].sep != ',' || cl[c].silent != "" || !r.groups[c].own ||
			!r.groups[c-1].own || overlap(r.groups[c].ids, r.groups[c-1].ids) || !r.gapped(c) {
			continue
		}
		n := len(r.facts)
		for i := 0; i < n; i++ {
			if f := r.facts[i]; f.clause == c-1 && f.act.Kind == Service {
				f.clause, f.at, f.act = c, 0, f.act.clone()
				if r.onlyWeekday(c) && cl[c].sep == ',' {
					f.ask = AskDay // "drained rt1, rt2 friday": the last one or the next?
				}
				r.facts = append(r.facts, f)
			}
		}
	}
}

// gapped says whether a clause has no verb of its own but goes on with that of
// the one before.
func (r *report) gapped(c int) bool {
	day, seen, figure := false, false, false
	for _, it := range r.p.clauses[c].items {
		switch {
		case it.named, it.has("det"), it.has("at"), it.has("prep"), it.has("daymod"), it.is("glue", ""), it.has("approx"), it.clock:
		case it.dated:
			day = true
		case it.has("find") && (r.p.phraseHas(it, "had") || r.p.phraseHas(it, "got") || r.p.phraseHas(it, "frozen") || r.p.phraseHas(it, "froze")):
			return false
		case it.has("find"), it.has("amount"):
			seen = true
		case it.numeric:
			figure = true
		default:
			return false
		}
	}
	verb, named, before := -1, -1, false
	for i, it := range r.p.clauses[c-1].items {
		if verb < 0 && (it.has("verb") || it.has("new")) {
			verb = i
		}
		if named < 0 && it.named {
			named = i
		}
		before = before || it.numeric && !it.named
	}
	first := verb >= 0 && verb < named || r.gapFrom(c-1)
	return first && (day || seen || figure && before)
}

// onlyWeekday says whether a clause gives its machine nothing but a weekday, and
// the one before it no day at all.
func (r *report) onlyWeekday(c int) bool {
	week := false
	for _, it := range r.p.clauses[c].items {
		if it.numeric && !it.named && !it.dated || it.has("find") || it.has("amount") {
			return false
		}
		week = week || it.dated && it.when.weekday != 0 && it.when.mod == ""
	}
	for _, it := range r.p.clauses[c-1].items {
		if it.dated {
			return false
		}
	}
	return week
}

// gapFrom says whether the clause before was itself gapped.
func (r *report) gapFrom(c int) bool {
	if c == 0 || hasVerb(r.p.clauses[c].items) {
		return false
	}
	for _, f := range r.facts {
		if f.clause == c && f.act.Kind == Service {
			return true
		}
	}
	return false
}

// onlySame says whether a clause holds a machine and a word for "the same", or
// stands behind an "and" or a "did" with nothing else: "and granny", "i did rt2".
func (r *report) onlySame(at int) bool {
	c := &r.p.clauses[at]
	same := c.sep == 'a' || c.items[0].at > 0 && r.p.toks[c.items[0].at-1].w == "and"
	for _, it := range c.items {
		switch w := r.p.word(it); {
		case it.is("verb", "do"):
			same = true
		case it.numeric && !it.named && r.p.meterFigure(at, it):
		case it.has("same"), w == "same", w == "too", w == "also", w == "likewise", w == "ditto", r.p.phrase(it) == "as well":
			same = true
		case it.named, it.filler(), it.has("and"), it.dated, c.named != "" && w == c.named:
		default:
			return false
		}
	}
	return same
}
