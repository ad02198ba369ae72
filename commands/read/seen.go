package read

import (
	"math"

	"woodruff/engine"
)

// bindSeen finds what was seen, what is wrong and what was filled in.
func (p *parse) bindSeen() []fact {
	var facts []fact
	for c := range p.clauses {
		if p.clauses[c].silent == "" || p.clauses[c].silent == silencers["neg"] {
			facts = append(facts, p.findings(c)...)
		}
		if p.clauses[c].silent != "" {
			continue
		}
		if !p.clauses[c].gone {
			facts = append(facts, p.symptoms(c)...)
		}
		facts = append(facts, p.fills(c)...)
	}
	p.lateAmounts(facts)
	p.shareGrade(facts)
	return facts
}

// findings reads what was seen in one clause.
func (p *parse) findings(c int) []fact {
	items := p.clauses[c].items
	var facts []fact
	add := func(i int, f engine.Finding, a engine.Amount, ctx bool) {
		facts = append(facts, fact{clause: c, at: i, ctx: ctx, act: &Act{Kind: Finding, Finding: f, Amount: a}})
	}
	silent := p.clauses[c].silent != ""
	for i, it := range items {
		if it.used {
			continue
		}
		if it.has("cond-part") && !silent {
			if f, ok := p.condition(c, i); ok {
				add(i, f, engine.Amount{}, false)
			}
			continue
		}
		if !it.has("find") {
			if up := p.ringApart(items, i); up && !silent {
				add(i, engine.RingUp, engine.Amount{}, false)
			}
			if it.numeric && !silent && p.drainedMeasure(items, i) {
				add(i, engine.Water, p.measured(it, items[:i]), true)
			}
			if it.has("amount") && !silent && p.amountAlone(items, i) {
				add(i, engine.Water, amountOf(it.val("amount")), true)
			}
			continue
		}
		v := it.val("find")
		denied := i > 0 && items[i-1].has("neg") && items[i-1].n == 1
		if p.deniedAfter(c, i) {
			if v == "water" {
				add(i, engine.Clean, engine.Amount{}, true)
			}
			continue
		}
		if p.clauses[c].gone && (v == "weep" || v == "air" || v == "wet") {
			continue
		}
		if silent && v != "clean" && v != "nothing-came" && v != "unseen" || denied && v != "clean" {
			continue
		}
		if denied && v == "clean" && indexOf(items, "verb") >= 0 {
			facts = append(facts, fact{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Finding}}) // what was it then?
			continue
		}
		if denied || i > 0 && items[i-1].has("neg") && v == "clean" && !(it.n > 1) {
			continue
		}
		if p.untilThen(items, i) {
			continue
		}
		if p.elsewhere(items, i) {
			if p.drainTold() {
				facts = append(facts, fact{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Finding}})
			}
			continue
		}
		switch v {
		case "clean":
			if silent && it.n == 1 {
				continue
			}
			add(i, engine.Clean, engine.Amount{}, true)
		case "clear":
			add(i, engine.Clean, engine.Amount{}, true)
		case "dry":
			if p.drainedJust(c, i) {
				facts = append(facts, fact{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Finding, Finding: engine.NothingCame}})
			}
		case "ringdown":
		case "wet":
			if p.fuelPlace(c, i) {
				add(i, engine.Weep, engine.Amount{}, false)
			}
		case "water":
			if p.waterTold(c, i) {
				add(i, engine.Water, p.amountNear(items, i), true)
			}
		case "weep":
			if p.fuelPlace(c, i) || it.n > 1 && p.namesFuel(it) {
				add(i, engine.Weep, engine.Amount{}, false)
			} else if indexOf(items, "world") < 0 {
				facts = append(facts, fact{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Finding, Finding: engine.Weep}})
			}
		case "ringup":
			if i > 0 && asksIs(p.phrase(items[skipBackDet(items, i)])) {
				continue // "is the ring up on rt1"
			}
			add(i, engine.RingUp, engine.Amount{}, false)
		case "unseen":
			add(i, engine.Unseen, engine.Amount{}, true)
		case "nothing-came":
			add(i, engine.NothingCame, engine.Amount{}, false)
		case "air":
			add(i, engine.Air, engine.Amount{}, it.n == 1 && !p.fuelPlace(c, i))
		case "wax", "slime":
			add(i, engine.Finding(v), engine.Amount{}, !p.namesFuel(it))
		default:
			add(i, engine.Finding(v), engine.Amount{}, true)
		}
	}
	return facts
}

// deniedAfter finds "rust: no", "water none": denied behind the thing, as on a
// form.
func (p *parse) deniedAfter(c, i int) bool {
	items := p.clauses[c].items
	if i+1 < len(items) {
		return i+2 == len(items) && items[i+1].has("no")
	}
	if c+1 >= len(p.clauses) {
		return false
	}
	n := p.clauses[c+1]
	return n.sentence == p.clauses[c].sentence && n.sep == ',' && len(n.items) == 1 && n.items[0].has("no")
}

// untilThen says whether what was seen only ends the work: "bled it till it ran
// clean".
func (p *parse) untilThen(items []item, i int) bool {
	for k := i - 1; k >= 0 && k >= i-4; k-- {
		switch p.word(items[k]) {
		case "till", "til", "until", "untill":
			return true
		}
		if !items[k].filler() {
			return false
		}
	}
	return false
}

// elsewhere says whether what was seen was seen in something that is no part of
// the fuel side: "no water in the washer bottle".
func (p *parse) elsewhere(items []item, i int) bool {
	if i+2 >= len(items) || !items[i+1].has("prep") {
		return false
	}
	k := skipDet(items, i+2)
	return k < len(items) && (items[k].has("world") || items[i+1].is("prep", "in") && (items[k].unknown() || items[k].has("other")))
}

// ringApart finds "the float ring on OM1 was up": the words apart.
func (p *parse) ringApart(items []item, i int) bool {
	if w := p.toks[items[i].at+items[i].n-1].lem; items[i].named || w != "ring" && w != "float" || items[i].has("part") && p.phrase(items[i]) != "bowl ring" {
		return false
	}
	named := false
	for _, it := range items[i+1:] {
		switch {
		case it.named, it.has("prep"), it.has("det"), it.has("aux"), it.is("part", "bowl"), it.has("pron"):
			named = named || it.named || it.is("part", "bowl")
		case p.word(it) == "up", p.word(it) == "floating", p.word(it) == "raised", p.word(it) == "risen":
			return named
		default:
			return false
		}
	}
	return false
}

// drainTold says whether the message tells of a drain anywhere.
func (p *parse) drainTold() bool {
	for _, c := range p.clauses {
		for _, it := range c.items {
			if it.is("verb", "drain") && c.silent == "" {
				return true
			}
		}
	}
	return false
}

// drainedMeasure says whether a measure stands for water by itself: "drained
// about 20 ml".
func (p *parse) drainedMeasure(items []item, i int) bool {
	switch items[i].unit {
	case "ml", "tsp", "tbsp", "cup", "capful", "oz", "drops":
	default:
		return false
	}
	if i+1 < len(items) && (items[i+1].is("prep", "of") && !outward(tokensOf(items[i+1], p.toks)) || items[i+1].unknown() || items[i+1].has("fuel") || items[i+1].has("part")) {
		return false
	}
	drained := inBowl(items[i+1:]) || p.find("meterword") < 0 && indexOf(items, "verb") < 0 && p.drainTold()
	for _, it := range items {
		if it.has("find") || it.has("fuel") || it.has("world") {
			return false
		}
		drained = drained || it.is("verb", "drain") || it.has("event")
	}
	return drained
}

// inBowl says whether items go on with "in the bowl".
func inBowl(rest []item) bool {
	if len(rest) == 0 || !rest[0].is("prep", "in") {
		return false
	}
	k := skipDet(rest, 1)
	return k < len(rest) && rest[k].is("part", "bowl")
}

// drainedJust says whether a word follows a drain directly.
func (p *parse) drainedJust(c, i int) bool {
	for k := i - 1; k >= 0; k-- {
		if !p.clauses[c].items[k].filler() && !p.clauses[c].items[k].named {
			return p.clauses[c].items[k].is("verb", "drain")
		}
	}
	if c == 0 || p.clauses[c].sentence != p.clauses[c-1].sentence {
		return false
	}
	last, ok := lastThing(p.clauses[c-1].items)
	return ok && (last.is("verb", "drain") || last.named)
}

// lateAmounts gives "water, 2 tbsp" its amount from the part after it.
func (p *parse) lateAmounts(facts []fact) {
	for i := range facts {
		f := &facts[i]
		if f.act.Finding != engine.Water || f.act.Amount != (engine.Amount{}) || f.clause+1 >= len(p.clauses) {
			continue
		}
		next := p.clauses[f.clause+1]
		if next.sentence != p.clauses[f.clause].sentence || next.silent != "" {
			continue
		}
		var a engine.Amount
		alone := true
		for _, it := range next.items {
			switch {
			case it.has("amount"):
				a = amountOf(it.val("amount"))
			case it.numeric && it.unit != "":
				a = p.measured(it, nil)
			case it.filler(), it.has("approx"), it.is("prep", "of"):
			default:
				alone = false
			}
		}
		if alone {
			f.act.Amount = a
		}
	}
}

func amountOf(v string) engine.Amount { return engine.Amount{Class: engine.AmountClass(v)} }

// namesFuel says whether a phrase speaks of fuel by itself: "fuel gelled".
func (p *parse) namesFuel(it item) bool {
	for i := it.at; i < it.at+it.n; i++ {
		switch p.toks[i].lem {
		case "fuel", "diesel", "gelled", "jelly", "algae":
			return true
		}
	}
	return false
}

// fuelPlace says whether a clause speaks of the fuel side.
func (p *parse) fuelPlace(c, i int) bool {
	for _, it := range p.clauses[c].items {
		for k := it.at; k < it.at+it.n && it.n > 1 && !it.named; k++ {
			switch p.toks[k].lem {
			case "bowl", "fuel", "diesel":
				return true
			}
		}
		switch it.val("part") {
		case "bowl", "separator", "assembly", "fuelfilter", "bothfilters", "hose", "liftpump", "injectors", "oring", "tank", "vent", "filter":
			return true
		}
		if it.has("fuel") || it.has("wetat") || it.is("event", "drain") {
			return true
		}
	}
	for k := c - 1; k >= 0; k-- {
		if p.clauses[k].sentence != p.clauses[c].sentence {
			break
		}
		for _, it := range p.clauses[k].items {
			switch it.val("part") {
			case "bowl", "separator", "hose", "fuelfilter", "oring", "tank":
				return true
			}
		}
	}
	return false
}

// otherFluid says whether a leak is of something that is not fuel.
func (p *parse) otherFluid(items []item) bool {
	for _, it := range items {
		switch it.val("part") {
		case "oil", "coolant", "hydoil", "oilchange":
			return true
		}
		if it.has("other") || it.is("find", "water") || it.has("world") {
			return true
		}
	}
	return false
}

// condition reads what is wrong with the ring or the bowl.
func (p *parse) condition(c, i int) (engine.Finding, bool) {
	items := p.clauses[c].items
	part := ""
	if i+1 < len(items) && items[i+1].has("part") {
		part = items[i+1].val("part")
	}
	for k := i - 1; k >= 0 && part == ""; k-- {
		if items[k].has("part") && !located(items, k) {
			part = items[k].val("part")
		} else if items[k].has("oldone") {
			part, _ = p.antecedent(c, k)
		}
	}
	if part == "" && c > 0 && p.clauses[c].sentence == p.clauses[c-1].sentence {
		part, _ = p.antecedent(c, i)
	}
	v := items[i].val("cond-part")
	switch {
	case v == "swollen" && part == "oring":
		return engine.SwollenORing, true
	case v == "hard" && part == "oring":
		return engine.HardORing, true
	case v == "warped" && (part == "bowl" || part == "assembly"):
		return engine.WarpedBowl, true
	}
	return "", false
}

// waterTold says whether water was found, not only let out: "drained the water"
// tells nothing that a drain does not.
func (p *parse) waterTold(c, i int) bool {
	items := p.clauses[c].items
	for k := i + 1; k < len(items) && k < i+3; k++ {
		if items[k].has("world") || items[k].has("other") {
			return false
		}
	}
	for _, it := range items {
		if it.numeric && it.num.milli >= 3000 && (it.unit == "litres" || it.unit == "gallons" || it.unit == "quart") {
			return false // no bowl holds that
		}
	}
	if i == 0 {
		return true
	}
	if items[i-1].has("det") && !items[i-1].numeric && i > 1 && items[i-2].is("verb", "drain") {
		return false
	}
	return true
}

// amountAlone says whether an amount stands for water by itself: "half a bowl".
func (p *parse) amountAlone(items []item, i int) bool {
	for _, it := range items[i+1:] {
		if it.has("find") || it.has("cond-part") || it.has("fuel") || it.has("part") || it.has("verb") || it.unknown() || it.has("symptom") || it.has("other") {
			return false
		}
	}
	if !items[i].has("liquid") && !p.phraseHas(items[i], "bowl") && !p.phraseHas(items[i], "cup") {
		return false
	}
	// beside another finding it is that one's amount
	for _, it := range items[:i] {
		if it.has("find") && !it.is("find", "ringup") {
			return false
		}
	}
	return true
}

// amountNear is the amount that stands beside "water".
func (p *parse) amountNear(items []item, i int) engine.Amount {
	for k := i - 1; k >= 0 && k >= i-3; k-- {
		it := items[k]
		if it.has("amount") {
			return amountOf(it.val("amount"))
		}
		if it.numeric {
			return p.measured(it, items[:k])
		}
		if !(it.is("prep", "of") || it.has("det") || it.filler() || it.has("approx")) {
			break
		}
	}
	for k := i + 1; k < len(items) && k <= i+5; k++ {
		it := items[k]
		if it.has("amount") && p.amountFits(items, k) {
			return amountOf(it.val("amount"))
		}
		if it.numeric && it.unit != "" && it.unit != "hours" {
			return p.measured(it, items[:k])
		}
		if !(it.has("prep") || it.filler() || it.named || it.has("at") || it.has("approx")) {
			break
		}
	}
	return engine.Amount{}
}

// amountFits says whether an amount after "water" is not another finding's.
func (p *parse) amountFits(items []item, k int) bool {
	return k+1 >= len(items) || !items[k+1].has("find") && !items[k+1].has("cond-part")
}

// measures are millilitres per unit. A cup is 240, a tablespoon 15, a teaspoon
// 5 in the trade's talk; ounce and pint are the US customary ones.
var measures = map[string]float64{"ml": 1, "tsp": 5, "tbsp": 15, "cup": 240, "oz": 29.5735,

	"capful": 5, "pint": 473.176, "quart": 946.353, "litres": 1000}

// ranged says whether a figure ends a range: "2-3", "two or three", "10 to 15".
func ranged(before []item, toks []token) bool {
	n := len(before)
	if n > 1 && before[n-1].n == 1 && (toks[before[n-1].at].w == "to" || toks[before[n-1].at].w == "or") {
		n--
	}
	if n == 0 || !before[n-1].numeric || before[n-1].named || before[n-1].unit != "" || !before[n-1].num.whole() {
		return false
	}
	return n < len(before) || before[n-1].num.milli < 100000 && toks[before[n-1].at+before[n-1].n].glued
}

// classOf is the shop's word for an amount of water: a few drops, a tablespoon to
// a few, a cup and more.
func classOf(ml float64) engine.AmountClass {
	switch {
	case ml >= 240:
		return engine.Lots
	case ml >= 15:
		return engine.Some
	}
	return engine.Trace
}

// measured is an amount of water from a figure with a unit.
func (p *parse) measured(it item, before []item) engine.Amount {
	v := float64(it.num.milli) / 1000
	if r := it.num.milli % 1000; r == 333 || r == 667 { // thirds
		v = math.Round(v*3) / 3
	}
	if it.num.slash && it.num.b > 0 {
		v = float64(it.num.a) / float64(it.num.b)
	}
	if len(before) > 0 {
		b := before[len(before)-1]
		if b.numeric && b.num.whole() && b.unit == "" && it.num.fraction { // 1 1/2 cups
			v += float64(b.num.milli) / 1000
		}
	}
	if ranged(before, p.toks) && measures[it.unit] > 0 {
		return engine.Amount{Class: classOf(v * measures[it.unit])} // "2-3 tbsp" is no measure
	}
	if it.unit == "" && it.num.fraction {
		it.unit = "bowl" // "it was two thirds water"
	}
	switch it.unit {
	case "bowl":
		switch {
		case v >= 0.5:
			return engine.Amount{Class: engine.Lots}
		}
		return engine.Amount{Class: engine.Some}
	case "drops":
		return engine.Amount{Class: engine.Trace}
	}
	per, ok := measures[it.unit]
	if !ok {
		return engine.Amount{}
	}
	return engine.Amount{Measured: engine.TenthsMLOf(v * per)}
}

// findingWord is the finding that a word stands for; ok is false where it needs more.
func findingWord(v string) (engine.Finding, bool) {
	switch v {
	case "ringdown", "dry", "wet":
		return "", false
	case "clear":
		return engine.Clean, true
	}
	return engine.Finding(v), true
}
