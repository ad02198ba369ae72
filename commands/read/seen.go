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
	return facts
}

// findings reads what was seen in one clause.
func (p *parse) findings(c int) []fact {
	items := p.clauses[c].items
	var facts []fact
	add := func(i int, f engine.Finding, a engine.Amount, ctx bool) {
		facts = append(facts, fact{clause: c, at: i, ctx: ctx, act: Act{Kind: Finding, Finding: f, Amount: a}})
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
			if it.numeric && !silent && p.drainedMeasure(items, i) {
				add(i, engine.Water, p.measured(it, items[:i]), true)
			}
			if it.has("amount") && !silent && p.amountAlone(items, i) {
				add(i, engine.Water, amountOf(it.val("amount")), true)
			}
			continue
		}
		v := it.val("find")
		denied := i > 0 && items[i-1].has("neg") && items[i-1].n == 1 && v != "clean"
		if p.clauses[c].gone && (v == "weep" || v == "air" || v == "wet") {
			continue
		}
		if silent && v != "clean" && v != "nothing-came" && v != "unseen" || denied && v != "clean" {
			continue
		}
		if denied || i > 0 && items[i-1].has("neg") && v == "clean" && !(it.n > 1) {
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
		case "ringdown", "dry":
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
				facts = append(facts, fact{clause: c, at: i, ask: AskMeaning, act: Act{Kind: Finding, Finding: engine.Weep}})
			}
		case "ringup":
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

// drainedMeasure says whether a measure stands for water by itself: "drained
// about 20 ml".
func (p *parse) drainedMeasure(items []item, i int) bool {
	switch items[i].unit {
	case "ml", "tsp", "tbsp", "cup", "capful", "oz":
	default:
		return false
	}
	if i+1 < len(items) && (items[i+1].is("prep", "of") || items[i+1].unknown() || items[i+1].has("fuel") || items[i+1].has("part")) {
		return false
	}
	drained := false
	for _, it := range items {
		if it.has("find") || it.has("fuel") || it.has("world") {
			return false
		}
		drained = drained || it.is("verb", "drain") || it.has("event")
	}
	return drained
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
		if it.has("fuel") || it.has("wetat") {
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
		if items[k].has("part") {
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
	case v == "swollen" && (part == "oring" || tokensOf(items[i], p.toks) != p.toks[items[i].at].raw && items[i].n > 1 && part == ""):
		return engine.SwollenORing, true
	case v == "hard" && part == "oring":
		return engine.HardORing, true
	case v == "warped" && (part == "bowl" || part == "assembly" || p.toks[items[i].at].w == "warped" && items[i].n > 1):
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
	if i == 0 {
		return true
	}
	if items[i-1].has("det") && i > 1 && items[i-2].is("verb", "drain") {
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
	w := p.toks[items[i].at+items[i].n-1].lem
	for k := items[i].at; k < items[i].at+items[i].n; k++ {
		switch p.toks[k].lem {
		case "bowl", "bowlful", "tablespoons", "tbsp":
			w = "bowl"
		}
	}
	if w != "bowl" && w != "drops" && w != "trace" {
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
			return p.bowlShare(amountOf(it.val("amount")), items[:k])
		}
		if it.numeric {
			return p.measured(it, items[:k])
		}
		if !(it.is("prep", "of") || it.has("det") || it.filler()) {
			break
		}
	}
	for k := i + 1; k < len(items) && k <= i+3; k++ {
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
	if p.toks[items[i].at].lem == "no" {
		return engine.Amount{}
	}
	return engine.Amount{}
}

// amountFits says whether an amount after "water" is not another finding's.
func (p *parse) amountFits(items []item, k int) bool {
	return k+1 >= len(items) || !items[k+1].has("find") && !items[k+1].has("cond-part")
}

func (p *parse) bowlShare(a engine.Amount, _ []item) engine.Amount { return a }

// measures are millilitres per unit. A cup is 240, a tablespoon 15, a teaspoon
// 5 in the trade's talk; ounce and pint are the US customary ones.
var measures = map[string]float64{"ml": 1, "tsp": 5, "tbsp": 15, "cup": 240, "oz": 29.5735,
	"capful": 5, "pint": 473.176, "quart": 946.353, "litres": 1000}

// measured is an amount of water from a figure with a unit.
func (p *parse) measured(it item, before []item) engine.Amount {
	v := float64(it.num.milli) / 1000
	if it.num.slash && it.num.b > 0 {
		v = float64(it.num.a) / float64(it.num.b)
	}
	if len(before) > 0 {
		b := before[len(before)-1]
		if b.numeric && b.num.whole() && b.unit == "" && it.num.fraction { // 1 1/2 cups
			v += float64(b.num.milli) / 1000
		}
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
	return engine.Amount{ML: engine.Millilitres(math.Round(v * per))}
}

// symptoms reads what is wrong; hot and cold belong to hard starting.
func (p *parse) symptoms(c int) []fact {
	items := p.clauses[c].items
	var list []engine.Symptom
	at := -1
	add := func(i int, s engine.Symptom) {
		if at < 0 {
			at = i
		}
		for _, have := range list {
			if have == s {
				return
			}
		}
		list = append(list, s)
	}
	for i := 0; i < len(items); i++ {
		it := items[i]
		if it.used {
			continue
		}
		if it.has("symptom") {
			s := engine.Symptom(it.val("symptom"))
			if i > 0 && items[i-1].has("neg") && items[i-1].n == 1 {
				continue
			}
			if s == engine.HardStart {
				s = p.heat(c, i)
			}
			if s == engine.Smoke {
				if col := colour(p, items, i); col != "" {
					s = col
				}
			}
			add(i, s)
			continue
		}
		if it.has("startup") && p.diesAfter(c, i) {
			add(i, engine.StartsDies)
		}
	}
	if i := indexOf(items, "dies"); i >= 0 && at < 0 && !p.startsBefore(c) && !hasVerb(items) && indexOf(items, "meterword") < 0 {
		add(i, engine.Stalls)
	}
	if at < 0 {
		if i := indexOf(items, "vague"); i >= 0 {
			return []fact{{clause: c, at: i, ask: AskMeaning, act: Act{Kind: Symptom}}}
		}
		return nil
	}
	return []fact{{clause: c, at: at, act: Act{Kind: Symptom, Symptoms: list}}}
}

func indexOf(items []item, k class) int {
	for i, it := range items {
		if it.has(k) {
			return i
		}
	}
	return -1
}

// colour finds white, black or blue near "smoke".
func colour(p *parse, items []item, i int) engine.Symptom {
	for k := max(0, i-3); k < len(items) && k <= i+3; k++ {
		for t := items[k].at; t < items[k].at+items[k].n; t++ {
			switch p.toks[t].w {
			case "white", "whitish":
				return engine.WhiteSmoke
			case "black":
				return engine.BlackSmoke
			case "blue", "bluish":
				return engine.BlueSmoke
			}
		}
	}
	return ""
}

// heat tells a hard start from cold and hot by what follows in the clause.
func (p *parse) heat(c, i int) engine.Symptom {
	items := p.clauses[c].items
	for k := i + 1; k < len(items) && k <= i+5; k++ {
		if items[k].is("glue", "contrast") {
			break
		}
		switch items[k].val("heat") {
		case "cold":
			return engine.HardStartCold
		case "hot":
			return engine.HardStartHot
		}
	}
	for k := i - 1; k >= 0 && k >= i-3; k-- {
		switch items[k].val("heat") {
		case "cold":
			return engine.HardStartCold
		case "hot":
			return engine.HardStartHot
		}
	}
	return engine.HardStart
}

// startsBefore says whether "dies" belongs to a "starts" in this clause or just
// before it.
func (p *parse) startsBefore(c int) bool {
	for k := c; k >= 0 && k >= c-2 && p.clauses[k].sentence == p.clauses[c].sentence; k-- {
		if p.clauses[k].has("startup") {
			return true
		}
	}
	return false
}

// diesAfter finds "fires up, runs 5 sec and dies".
func (p *parse) diesAfter(c, i int) bool {
	for k := c; k < len(p.clauses) && k <= c+2; k++ {
		if p.clauses[k].sentence != p.clauses[c].sentence {
			return false
		}
		from := 0
		if k == c {
			from = i + 1
		} else if p.clauses[k].sep == 'm' || machineFirst(p.clauses[k].items) {
			return false
		}
		for _, it := range p.clauses[k].items[from:] {
			if it.has("dies") {
				return true
			}
		}
	}
	return false
}

const (
	usGallon  = 3.785   // litres, as the shop reckons
	impGallon = 4.54609 // litres, by definition
)

// fills reads fuel put in.
func (p *parse) fills(c int) []fact {
	items := p.clauses[c].items
	if p.otherFluid(items) || indexOf(items, "order") >= 0 || indexOf(items, "world") >= 0 {
		return nil
	}
	for i := range items {
		litres, ok := p.litres(c, i)
		if !ok {
			continue
		}
		f := fact{clause: c, at: i, act: Act{Kind: Fill, Litres: litres, Grade: p.grade(c)}}
		if indexOf(items, "find") >= 0 {
			return nil
		}
		p.clauses[c].items[i].used = true
		return []fact{f}
	}
	return nil
}

// litres is the fuel in one figure.
func (p *parse) litres(c, i int) (engine.DeciLitres, bool) {
	items := p.clauses[c].items
	it := items[i]
	if !it.numeric || it.used || it.num.unreal || it.num.slash || it.num.clock {
		return 0, false
	}
	v := float64(it.num.milli) / 1000
	unit := it.unit
	if unit == "" && it.num.whole() && !it.clock && !it.approx && p.fillGoesOn(c, i) {
		unit = p.unitBefore(c)
	}
	switch unit {
	case "litres":
	case "gallons":
		v *= usGallon
	case "impgallons":
		v *= impGallon
	default:
		return 0, false
	}
	return engine.DeciLitres(math.Round(v * 10)), v > 0 && v < 100000
}

// fillGoesOn says whether a bare figure can be a fill like the one before it:
// "80 in the genset same stuff", "45 in ff2".
func (p *parse) fillGoesOn(c, i int) bool {
	items := p.clauses[c].items
	for k, it := range items {
		if k != i && it.numeric && !it.named && it.unit != "" {
			return false
		}
	}
	if indexOf(items, "fuelverb") >= 0 || indexOf(items, "grade") >= 0 {
		return true
	}
	if c == 0 || p.clauses[c].sentence != p.clauses[c-1].sentence || p.unitIn(c-1) == "" && !p.clauses[c-1].filled {
		return false
	}
	for k, it := range items {
		if k != i && !it.named && !it.is("prep", "in") && !it.has("det") && !it.has("daymod") {
			return false
		}
	}
	p.clauses[c].filled = true
	return i+1 < len(items) && items[i+1].is("prep", "in")
}

// unitBefore is the unit of a fill in an earlier clause: "20 litres in the
// sprayer, 80 in the genset".
func (p *parse) unitBefore(c int) string {
	for k := c - 1; k >= 0; k-- {
		if u := p.unitIn(k); u != "" {
			return u
		}
	}
	return ""
}

// unitIn is the unit of a fill in one clause.
func (p *parse) unitIn(c int) string {
	for _, it := range p.clauses[c].items {
		switch it.unit {
		case "litres", "gallons", "impgallons":
			return it.unit
		}
	}
	return ""
}

// grade is the grade that a clause names, or takes over from the one before.
func (p *parse) grade(c int) engine.Grade {
	i := indexOf(p.clauses[c].items, "grade")
	if i < 0 && p.clauses[c].filled && c > 0 {
		return p.grade(c - 1)
	}
	if i < 0 {
		return ""
	}
	v := p.clauses[c].items[i].val("grade")
	if v != "same" {
		return engine.Grade(v)
	}
	for k := c - 1; k >= 0; k-- {
		if g := p.grade(k); g != "" {
			return g
		}
	}
	return ""
}
