package read

import (
	"math"

	"woodruff/engine"
)

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
			if i > 0 && (items[i-1].has("neg") && items[i-1].n == 1 || p.worldDoes(items, i)) {
				continue // "while the kettle boiled"
			}
			if p.partDied(items, i, s) {
				continue
			}
			if s == engine.NoStart && p.startsWork(items, i) {
				continue
			}
			if s == engine.Stalls && p.startsBefore(c) && (p.phraseHas(it, "died") || p.phraseHas(it, "dies")) {
				s = engine.StartsDies // "started up in the night and then died on us"
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
	if i := indexOf(items, "dies"); i >= 0 && at < 0 && !p.startsBefore(c) && !p.partDied(items, i, engine.Stalls) && !hasVerb(items) && indexOf(items, "meterword") < 0 {
		add(i, engine.Stalls)
	}
	if i := p.plainHot(items); i >= 0 && at < 0 {
		add(i, engine.RunsHot)
	}
	if at < 0 {
		if i := indexOf(items, "vague"); i >= 0 && !p.onlyOffThen(c, i) {
			return []fact{{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Symptom}}}
		}
		return nil
	}
	return []fact{{clause: c, at: at, act: &Act{Kind: Symptom, Symptoms: list}}}
}

// worldDoes says whether it is a kettle, and no machine, that what follows is told
// of.
func (p *parse) worldDoes(items []item, i int) bool {
	k := i - 1
	for k > 0 && items[k].has("aux") {
		k--
	}
	return items[k].has("world")
}

// startsWork finds "cant start on rt1 til friday", "didnt start the oil change": it
// is the work that was not begun.
func (p *parse) startsWork(items []item, i int) bool {
	if p.toks[items[i].at].w == "no" || i+1 >= len(items) {
		return false // "no start on rt1"
	}
	if p.word(items[i+1]) == "on" && i+2 < len(items) && (items[i+2].named || items[i+2].has("pron") || items[i+2].has("det")) {
		return true
	}
	k := skipDet(items, i+1)
	return k < len(items) && (items[k].has("ing") || items[k].has("event") || items[k].has("part"))
}

// plainHot finds "td1 hot after an hour of digging", "the hauler is hot": heat said
// of the machine and not of how it starts.
func (p *parse) plainHot(items []item) int {
	for i, it := range items {
		if p.word(it) != "hot" || i == 0 {
			continue
		}
		k := i - 1
		for k > 0 && items[k].has("aux") {
			k--
		}
		if items[k].named && indexOf(items, "startup") < 0 && indexOf(items, "dies") < 0 && !hasVerb(items) {
			return i
		}
	}
	return -1
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
	if s := p.heatBefore(c); s != "" {
		return s
	}
	if p.thenToo(c) {
		for k := c - 1; k >= 0 && p.clauses[k].sentence == p.clauses[c].sentence; k-- {
			switch i := indexOf(p.clauses[k].items, "heat"); {
			case i < 0:
			case p.clauses[k].items[i].val("heat") == "cold":
				return engine.HardStartCold
			default:
				return engine.HardStartHot
			}
		}
	}
	return engine.HardStart
}

// heatBefore is the heat that the parts right before lead up with: "but once it's
// hot, after lunch say, it's a pig to start".
func (p *parse) heatBefore(c int) engine.Symptom {
	for k := c - 1; k >= 0 && k >= c-2 && p.clauses[k].sentence == p.clauses[c].sentence; k-- {
		items := p.clauses[k].items
		if hasVerb(items) || namedIn(items) || indexOf(items, "startup") >= 0 || indexOf(items, "symptom") >= 0 || indexOf(items, "neg") >= 0 {
			return ""
		}
		i := indexOf(items, "heat")
		switch {
		case i < 0:
		case p.firstIs(items, "once", "when", "if", "after", "whenever"):
			if items[i].val("heat") == "cold" {
				return engine.HardStartCold
			}
			return engine.HardStartHot
		}
	}
	return ""
}

// firstIs says whether the first word of items is one of some.
func (p *parse) firstIs(items []item, words ...string) bool {
	for _, it := range items {
		w := p.toks[it.at].w
		for _, x := range words {
			if w == x {
				return true
			}
		}
		if !it.filler() {
			return false
		}
	}
	return false
}

// thenToo says whether a clause points back to a time named before: "when its
// cold, hard to start then too".
func (p *parse) thenToo(c int) bool {
	for _, it := range p.clauses[c].items {
		if it.is("glue", "then") {
			return true
		}
	}
	return false
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
	if p.otherFluid(items) || p.ofFluidBefore(c) || indexOf(items, "order") >= 0 || indexOf(items, "world") >= 0 || p.fuelGone(items) || p.holdsOnly(items) {
		return nil
	}
	several := false
	for i := range items {
		litres, ok := p.litres(c, i)
		if !ok {
			continue
		}
		for k := range items[i+1:] {
			_, more := p.litres(c, i+1+k)
			several = several || more
		}
		if several || p.shared(items) {
			return []fact{{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Fill, Grade: p.grade(c)}}} // which had how much?
		}
		f := fact{clause: c, at: i, act: &Act{Kind: Fill, Litres: litres, Grade: p.grade(c)}}
		if indexOf(items, "find") >= 0 {
			return nil
		}
		p.clauses[c].items[i].used = true
		return []fact{f}
	}
	if i := p.cansIn(c); i >= 0 {
		return []fact{{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Fill, Grade: p.grade(c)}}}
	}
	if i := p.fillWithoutUnit(c); i >= 0 {
		return []fact{{clause: c, at: i, ask: AskMeaning, act: &Act{Kind: Fill, Grade: p.grade(c)}}} // "put 50 in": of what?
	}
	return nil
}

// fillWithoutUnit is a bare figure that a part of a report says was put in, -1
// for none.
func (p *parse) fillWithoutUnit(c int) int {
	items := p.clauses[c].items
	if c == 0 || len(items) > 4 || !p.clauses[c].has("fuelverb") || hasPart(items) || p.clauses[c].has("find") {
		return -1
	}
	for i, it := range items {
		if it.numeric && !it.named && it.unit == "" && it.num.whole() && it.num.milli >= 5000 && i+1 < len(items) && items[i+1].is("prep", "in") && !p.meterFigure(c, it) {
			return i
		}
	}
	return -1
}

// ofFluidBefore says whether a bare amount belongs to the oil or coolant of the
// part before it: "hyd oil changed, 45 litres".
func (p *parse) ofFluidBefore(c int) bool {
	cl := &p.clauses[c]
	if c == 0 || cl.sentence != p.clauses[c-1].sentence || namedIn(cl.items) || cl.has("fuel") || cl.has("fuelverb") || cl.has("grade") {
		return false
	}
	for _, it := range p.clauses[c-1].items {
		switch it.val("part") {
		case "oil", "oilchange", "coolant", "hydoil", "hydboth":
			return true
		}
	}
	return false
}

// shared says whether one amount was parted among machines: "60 litres between
// om1 and om2".
func (p *parse) shared(items []item) bool {
	for _, it := range items {
		switch p.word(it) {
		case "between", "split", "shared", "total", "altogether", "combined":
			return true
		}
		if ph := p.phrase(it); ph == "in total" || ph == "all together" {
			return true
		}
	}
	return false
}

// fuelGone says whether fuel was burnt, spilt or taken out, or is missing.
func (p *parse) fuelGone(items []item) bool {
	for i, it := range items {
		switch p.word(it) {
		case "used", "use", "uses", "burned", "burnt", "burns", "short", "lost", "leaked", "siphoned", "spilled", "spilt", "borrowed", "left", "remaining":
			return true
		}
		if it.is("prep", "of") && p.word(it) != "of" && i+1 < len(items) && (items[i+1].named || i+2 < len(items) && items[i+1].has("det") && items[i+2].named) {
			return true
		}
		if it.is("prep", "to") && p.word(it) == "to" && i > 0 && items[i-1].numeric && i+1 < len(items) && items[i+1].numeric {
			return true // a range
		}
	}
	return false
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

// shareGrade gives "30 l in om1, 25 in om2, both number 2" its grade twice.
func (p *parse) shareGrade(facts []fact) {
	for c := range p.clauses {
		items := p.clauses[c].items
		g := indexOf(items, "grade")
		if g >= 0 && p.gradeAlone(c) {
			p.lateGrade(facts, c, engine.Grade(items[g].val("grade")))
			continue
		}
		if g >= 0 && p.sameGradeAlone(c) {
			p.lateGrade(facts, c, p.grade(c)) // "the hollow fan took seventy, same blend"
			continue
		}
		if g < 1 || !items[g-1].has("all") && !(g > 1 && items[g-2].has("all")) {
			continue
		}
		grade := engine.Grade(items[g].val("grade"))
		for i := range facts {
			f := &facts[i]
			if f.act.Kind == Fill && f.act.Grade == "" && f.clause <= c && p.clauses[f.clause].sentence == p.clauses[c].sentence && grade != "same" {
				f.act.Grade = grade
			}
		}
	}
}

// gradeAlone says whether a clause is nothing but a grade that a fill before it
// lacks: "30 l each, # 1".
func (p *parse) gradeAlone(c int) bool {
	return p.onlyGrade(c) && p.clauses[c].items[indexOf(p.clauses[c].items, "grade")].val("grade") != "same"
}

// sameGradeAlone says whether a clause is nothing but "same blend".
func (p *parse) sameGradeAlone(c int) bool {
	return p.onlyGrade(c) && p.clauses[c].items[indexOf(p.clauses[c].items, "grade")].val("grade") == "same"
}

func (p *parse) onlyGrade(c int) bool {
	for _, it := range p.clauses[c].items {
		if !it.has("grade") && !it.filler() && !it.has("fuel") && !it.has("all") {
			return false
		}
	}
	return c > 0 && p.clauses[c].silent == ""
}

// lateGrade gives the grade of clause c to the fills just before it.
func (p *parse) lateGrade(facts []fact, c int, grade engine.Grade) {
	last := -1
	for i := range facts {
		if facts[i].act.Kind == Fill && facts[i].clause < c && facts[i].clause >= c-2 {
			last = facts[i].clause
		}
	}
	for i := range facts {
		if f := &facts[i]; f.act.Kind == Fill && f.clause == last && f.act.Grade == "" {
			f.act.Grade = grade
		}
	}
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
	for _, it := range items[:i] {
		if !it.filler() && !it.named {
			return false
		}
	}
	k := skipDet(items, i+2)
	if k >= len(items) || !items[i+1].is("prep", "in") || !items[k].named {
		return false
	}
	p.clauses[c].filled = true
	return true
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
