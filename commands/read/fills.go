package read

// pouredIn says whether a drain's verb tells of fuel that went into a machine:
// "dumped 20 gal of no 2 in rt1" drains nothing.
func (p *parse) pouredIn(items []item, v int) bool {
	if p.toks[items[v].at].w != "dumped" && p.toks[items[v].at].w != "emptied" && p.toks[items[v].at].w != "dump" {
		return false
	}
	fuel := false
	for i := v + 1; i < len(items); i++ {
		it := items[i]
		if it.has("find") {
			return false // "dumped a litre of water out of it"
		}
		fuel = fuel || it.has("fuel") || it.has("grade") || it.has("fuelsrc") || it.numeric && (it.unit == "litres" || it.unit == "gallons" || it.unit == "impgallons")
		if fuel && it.is("prep", "in") {
			return true
		}
	}
	return fuel && indexOf(items[v:], "fuelsrc") >= 0
}

// otherDrained says whether what was let out has a measure and is no fuel: "drained
// 3 litres of coolant out of it".
func (p *parse) otherDrained(items []item, v int) bool {
	for i := v + 1; i+2 < len(items); i++ {
		if items[i].numeric && items[i].unit != "" && items[i+1].is("prep", "of") {
			switch items[i+2].val("part") {
			case "oil", "coolant", "hydoil", "oilchange":
				return true
			}
			return items[i+2].has("other")
		}
	}
	return false
}

// figureList says whether bare figures stand in a row before the one with a unit:
// "fuelled 40 50 60 litres" has one for each machine, and only the last is known.
func (p *parse) figureList(c, at int) bool {
	items := p.clauses[c].items
	for i := at - 1; i >= 0 && i >= at-3; i-- {
		if !items[i].numeric || items[i].dated || items[i].clock {
			return false
		}
		if !items[i].named && items[i].unit == "" && items[i].num.whole() && !p.meterFigure(c, items[i]) {
			return true
		}
	}
	return false
}

// holdsOnly says whether a figure is what a tank can take, not what went into it:
// "the tank takes 40 l when it's empty".
func (p *parse) holdsOnly(items []item) bool {
	for _, it := range items {
		switch p.word(it) {
		case "takes", "holds", "hold", "needs", "drinks":
			return true
		}
	}
	return false
}

// cansIn is the place of cans of no stated size that went into a machine, -1 for
// none: how much that was must be asked.
func (p *parse) cansIn(c int) int {
	cl := &p.clauses[c]
	items := cl.items
	if i := p.tankIn(items); i >= 0 {
		return i
	}
	if p.otherFluid(items) || !cl.has("fuelverb") && !cl.is("verb", "drain") && !cl.is("glue", "v") && !p.saysPut(items) {
		return -1
	}
	for i, it := range items {
		if !it.has("fuelsrc") || !p.canWord(it) {
			continue
		}
		counted := i > 0 && (items[i-1].numeric && !items[i-1].named && items[i-1].unit == "" || items[i-1].has("det") || p.phraseHas(items[i-1], "a") || items[i-1].has("half") || items[i-1].has("frac") || items[i-1].has("amount"))
		k := i + 1
		if k < len(items) && items[k].is("prep", "of") {
			if k++; k >= len(items) || !items[k].has("fuel") && !items[k].has("grade") {
				return -1 // "a can of ether"
			}
		}
		for k < len(items) && (items[k].has("fuel") || items[k].has("grade")) {
			k++
		}
		into := k < len(items) && items[k].is("prep", "in") || i+1 == len(items) || k == len(items)
		if counted && into {
			return i
		}
	}
	return -1
}

// tankIn is the place of a share of a tank that was put in: "half a tank in rt1".
func (p *parse) tankIn(items []item) int {
	for i := 1; i < len(items); i++ {
		it := items[i-1]
		if items[i].is("part", "tank") && (it.num.fraction || it.has("frac")) && (p.saysPut(items[:i]) || indexOf(items[:i], "fuelverb") >= 0) {
			return i
		}
	}
	return -1
}

// saysPut finds "put a", "put the", which are taken as one.
func (p *parse) saysPut(items []item) bool {
	for _, it := range items {
		if p.phraseHas(it, "put") {
			return true
		}
	}
	return false
}

// canWord says whether a source of fuel is a can that somebody carries.
func (p *parse) canWord(it item) bool {
	for k := it.at; k < it.at+it.n; k++ {
		switch p.toks[k].lem {
		case "can", "cans", "jug", "jugs", "pail", "pails":
			return true
		}
	}
	return false
}

func (c *clause) is(k class, v string) bool {
	for i := range c.items {
		if c.items[i].is(k, v) {
			return true
		}
	}
	return false
}

// gradeMarks takes the stop out of "no. 1" where a grade of fuel is counted so.
func gradeMarks(toks []token) []token {
	out := toks[:0]
	for i, t := range toks {
		if t.kind == stop && t.mark == '.' && i > 1 && i+1 < len(toks) && (toks[i-1].w == "no" || toks[i-1].w == "nr") && (toks[i+1].w == "1" || toks[i+1].w == "2") {
			continue
		}
		out = append(out, t)
	}
	return out
}
