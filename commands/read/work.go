package read

import (
	"strings"

	"woodruff/engine"
)

// fact is one thing that a clause says, before its machine and day are known.
type fact struct {
	act    *Act
	clause int
	at     int // place of the item in the clause, for the order
	ask    Slot
	opts   []Option
	weak   bool    // a bare noun: needs something else to stand on
	ctx    bool    // needs the talk to be of the fuel side
	uses   []place // what else it was made of
}

// clone is a copy with a life of its own.
func (a *Act) clone() *Act {
	c := *a
	return &c
}

// object is a part or an event with its place.
type object struct {
	clause, at int
	part       string
	again      bool // "a new one": the part was named before
}

// verbAt is a verb with its place.
type verbAt struct {
	clause, at int
	verb       string
	bound      bool
	isNew      bool // "new", no verb of its own
}

// bindWork finds who does what to which part, over the clauses of a sentence.
func (p *parse) bindWork() []fact {
	var facts []fact
	for from := 0; from < len(p.clauses); {
		to := from + 1
		for to < len(p.clauses) && p.clauses[to].sentence == p.clauses[from].sentence {
			to++
		}
		facts = append(facts, p.bindSentence(from, to)...)
		from = to
	}
	return facts
}

func (p *parse) bindSentence(from, to int) []fact {
	var verbs []verbAt
	var parts []object
	for c := from; c < to; c++ {
		for i, it := range p.clauses[c].items {
			if it.used {
				continue
			}
			switch {
			case it.has("verb"):
				verbs = append(verbs, verbAt{clause: c, at: i, verb: it.val("verb")})
			case it.has("new") && !it.has("verb") && p.newIsToldOf(c, i):
			case it.has("new") && !p.circumstance(c, i), it.has("newone") && p.wentIn(c, i):
				verbs = append(verbs, verbAt{clause: c, at: i, verb: "renew", isNew: it.has("new")})
			}
			switch {
			case it.has("part") && i > 0 && p.clauses[c].items[i-1].has("new") && p.circumstance(c, i-1):
			case it.has("part") && i > 0 && p.word(p.clauses[c].items[i-1]) == "same" && !namedIn(p.clauses[c].items[i:]):
				// "same filter": it stayed in
			case it.is("part", "belt") && i > 0 && p.clauses[c].items[i-1].has("other") && p.clauses[c].items[i-1].at+p.clauses[c].items[i-1].n == it.at:
				// "seat belt": a belt of something else, told with it
			case it.has("part"):
				o := object{clause: c, at: i, part: it.val("part")}
				if part := p.oilNamedBefore(c, i); part != "" {
					o.part = part
				}
				parts = append(parts, o)
			case it.has("event") && !(it.has("verb0") && p.baseVerb(c, i)):
				parts = append(parts, object{clause: c, at: i, part: it.val("event")})
			case it.has("other") && p.whileOff(c, i):
			case it.has("other"):
				parts = append(parts, object{clause: c, at: i, part: "other"})
			case it.has("newone"):
				if a, ok := p.antecedent(c, i); ok {
					parts = append(parts, object{clause: c, at: i, part: a, again: true})
				}
			case it.has("pron"), p.word(it) == "its":
				if a, ok := p.arrived(c, i); ok {
					verbs = append(verbs, verbAt{clause: c, at: i, verb: "renew"})
					parts = append(parts, object{clause: c, at: i, part: a, again: true})
				}
			}
		}
	}
	var facts []fact
	for _, o := range parts {
		if !o.again && p.isPlace(o, verbs) {
			continue
		}
		facts = append(facts, p.bindPart(o, verbs)...)
	}
	for _, v := range verbs {
		if !v.bound {
			facts = append(facts, p.bareVerb(v)...)
		}
	}
	return facts
}

// circumstance says whether something new only tells when or despite what: "not
// starting after the new filter".
func (p *parse) circumstance(c, i int) bool {
	items := p.clauses[c].items
	for i--; i >= 0 && items[i].has("det"); i-- {
	}
	if i < 0 {
		return false
	}
	switch p.toks[items[i].at+items[i].n-1].w { // "fine since"
	case "after", "since", "despite", "before", "until", "till":
		return true
	}
	return p.phrase(items[i]) == "even with"
}

// wentIn finds "new one in", "new ones on", "new one fitted".
func (p *parse) wentIn(c, i int) bool {
	items := p.clauses[c].items
	if i > 0 && (p.word(items[i-1]) == "got" || p.word(items[i-1]) == "has" || p.word(items[i-1]) == "had") {
		return true // "its got a new one"
	}
	if i+1 >= len(items) {
		return false
	}
	switch p.word(items[i+1]) {
	case "in", "on", "now", "today", "yesterday":
		return i+2 >= len(items) || !items[i+2].has("det") || p.word(items[i+1]) == "in"
	}
	return false
}

// baseVerb says whether a word such as "drain" stands as an order or a plan
// rather than as the name of the job.
func (p *parse) baseVerb(c, i int) bool {
	items := p.clauses[c].items
	for j := i - 1; j >= 0; j-- {
		if items[j].is("verb", "do") {
			return false
		}
	}
	if j := indexOf(items[i+1:], "verb"); j >= 0 && items[i+1+j].is("verb", "do") {
		return false // "grease om1 done"
	}
	if p.goesOnDoing(c, i) || i == 0 && p.pastFollows(c) {
		return false
	}
	for j := i + 1; j < len(items); j++ {
		if items[j].named {
			return i == 0 || items[i-1].has("who") || items[i-1].has("glue")
		}
	}
	return false
}

// pastFollows finds "grease the river fan | and drained it": speech lost an ending.
func (p *parse) pastFollows(c int) bool {
	if c+1 >= len(p.clauses) {
		return false
	}
	next := p.clauses[c+1]
	return next.sep == 'a' && next.sentence == p.clauses[c].sentence && next.silent == "" && len(next.items) > 0 && next.items[0].has("verb") && !next.items[0].has("verb0")
}

// goesOnDoing finds "all I did was drain the genny | and grease the loader": what
// was done goes on.
func (p *parse) goesOnDoing(c, i int) bool {
	if c == 0 || p.clauses[c].sep != 'a' && p.clauses[c].sep != ',' || p.clauses[c].sentence != p.clauses[c-1].sentence || i > 0 {
		return false
	}
	did := -1
	for j, it := range p.clauses[c-1].items {
		switch {
		case it.is("verb", "do"):
			did = j
		case did >= 0 && it.has("event") && it.has("verb0"):
			return true
		}
	}
	return did < 0 && c > 1 && p.clauses[c-1].items[0].has("verb0") && p.goesOnDoing(c-1, 0)
}

// antecedent is the part last spoken of before an item.
func (p *parse) antecedent(c, i int) (string, bool) {
	for ; c >= 0; c-- {
		items := p.clauses[c].items
		if i < 0 {
			i = len(items)
		}
		for i--; i >= 0; i-- {
			if items[i].has("part") && !located(items, i) {
				return items[i].val("part"), true
			}
			if items[i].has("cond-part") && items[i].val("cond-part") == "swollen" {
				return "oring", true
			}
		}
		i = -1
	}
	return "", false
}

// located says whether a part only tells where another is: "the oring on the
// loader bowl".
func located(items []item, i int) bool {
	k := i - 1
	for k >= 0 && (items[k].has("det") || items[k].named) {
		k--
	}
	if k < 1 || !items[k].is("prep", "in") && !items[k].is("prep", "of") {
		return false
	}
	for _, it := range items[:k] {
		if it.has("part") {
			return true
		}
	}
	return false
}

// isPlace says whether a part only tells where something was seen or done, or
// what was seen of it: "wax in the bowl", "bowl was warped".
func (p *parse) isPlace(o object, verbs []verbAt) bool {
	items := p.clauses[o.clause].items
	if o.part == "newone" {
		return false
	}
	verbBefore := false
	for _, v := range verbs {
		if v.clause == o.clause && v.at < o.at && p.fits(v.verb, o.part) {
			verbBefore = true
		}
	}
	if k := o.at - 1; k >= 0 {
		for k >= 0 && (items[k].has("det") || items[k].named) {
			k--
		}
		if k >= 0 && (items[k].has("prep") && p.word(items[k]) != "with" || items[k].has("at")) {
			draining := false
			for _, v := range verbs {
				if v.clause == o.clause && v.at < o.at && (v.verb == "drain" && o.part == "tank" || v.verb == "do") && !items[k].is("prep", "in") {
					draining = true
				}
			}
			if !draining {
				return true
			}
		}
		if k >= 0 && (items[k].has("find") && o.part == "bowl" || items[k].has("amount")) {
			return true
		}
		if k >= 0 && !verbBefore && items[k].has("cond-part") && !p.renewedAfter(items, k) && indexOf(items[o.at:], "verb") < 0 {
			return true // "cracked o-ring" tells of the ring, not of work
		}
		if !verbBefore && p.hasFind(items[:o.at], "wet", "weep", "air", "rust", "slime", "debris", "water", "wax", "ice") {
			return true
		}
	}
	if verbBefore || items[o.at].has("event") {
		return false
	}
	for k := o.at + 1; k < len(items); k++ {
		it := items[k]
		switch {
		case it.has("cond-part"), it.has("find"), it.has("absent"), it.has("amount"), it.numeric && liquidMeasure(it.unit):
			return !p.renewedAfter(items, k)
		case it.has("aux"), it.has("approx"), it.has("neg"), p.light(it), it.filler(), it.named, it.has("all"), it.has("doubt") && it.has("glue"), it.is("verb", "renew") && p.phrase(it) == "gone on", it.has("part") && located(items, k):
			continue
		}
		return false
	}
	return false
}

// renewedAfter says whether a clause goes on to tell that the part it found bad
// was renewed: "the o-ring was cracked so that's been replaced".
func (p *parse) renewedAfter(items []item, k int) bool {
	for j := k + 1; j < len(items); j++ {
		switch {
		case items[j].has("part"), items[j].has("other"), items[j].has("event"), items[j].named:
			return false
		case items[j].is("verb", "renew"):
			next := skipDet(items, j+1)
			return next >= len(items) || !items[next].has("part")
		}
	}
	return false
}

// fits says whether a verb does a known job to a part.
func (p *parse) fits(verb, part string) bool {
	_, ok := lex.jobs[[2]string{verb, part}]
	return ok || part == "other" && (verb == "renew" || verb == "repair" || verb == "do" || verb == "adjust" || verb == "clean") || verb == "repair"
}

// bindPart finds the verb for a part: before it, after it, or in a neighbouring
// clause that shares it.
func (p *parse) bindPart(o object, verbs []verbAt) []fact {
	if p.clauses[o.clause].silent != "" {
		for i := range verbs {
			if verbs[i].clause == o.clause {
				verbs[i].bound = true
			}
		}
		return nil
	}
	best := -1
	for pass := 0; pass < 2 && best < 0; pass++ {
		for i := range verbs {
			v := &verbs[i]
			row, ok := lex.jobs[[2]string{v.verb, o.part}]
			fits := p.fits(v.verb, o.part)
			if !fits || (pass == 0 && ok && row.ask) {
				continue
			}
			if p.verbRank(verbs, i, o) > p.verbRank(verbs, best, o) {
				best = i
			}
		}
	}
	if best < 0 {
		return p.bareNoun(o)
	}
	v := &verbs[best]
	v.bound = true
	for i := range verbs {
		// "put a new one", "done" beside another verb of the same clause
		if verbs[i].clause == v.clause && (verbs[i].verb == v.verb || verbs[i].verb == "renew" && v.verb == "renew" || verbs[i].verb == "do" || verbs[i].verb == "service") {
			verbs[i].bound = true
		}
	}
	if p.clauses[v.clause].silent != "" {
		return nil
	}
	f := fact{clause: o.clause, at: o.at, uses: []place{{v.clause, v.at}}}
	row, ok := lex.jobs[[2]string{v.verb, o.part}]
	if o.part == "other" || !ok || row.jobs[0] == "other" {
		f.act = &Act{Kind: Service, Jobs: []engine.Job{engine.OtherWork}, Words: p.words(o.clause)}
		return []fact{f}
	}
	if row.ask && v.verb == "drain" && p.refilled(v.clause, o.part) {
		row, ok = lex.jobs[[2]string{"flush", o.part}]
	}
	if part := p.filterOf(o); row.ask && part != "" {
		row, ok = lex.jobs[[2]string{v.verb, part}]
	}
	if row.ask || !ok {
		return []fact{p.askJobs(f, row)}
	}
	f.act = &Act{Kind: Service, How: engine.How(row.how)}
	if it := p.clauses[v.clause].items[v.at]; v.verb == "renew" && p.toks[it.at].w == "put" && !p.clauses[v.clause].has("new") && !p.phraseHas(it, "new") {
		switch o.part {
		case "oil", "coolant", "hydoil":
			f.act.How = engine.ToppedUp // "put oil in N1" is no change of it
		}
	}
	for _, j := range row.jobs {
		f.act.Jobs = append(f.act.Jobs, engine.Job(j))
	}
	return []fact{f}
}

// refilled says whether the sentence goes on to tell that what was let out was
// filled again: "drained the coolant and refilled it", "new oil in". Only then
// was it a change.
func (p *parse) refilled(c int, part string) bool {
	for k := c; k < len(p.clauses) && p.clauses[k].sentence == p.clauses[c].sentence; k++ {
		items := p.clauses[k].items
		if p.clauses[k].silent != "" || otherPart(items, part) {
			continue
		}
		for i, it := range items {
			if it.is("verb", "flush") || it.has("fuelverb") && k > c || it.has("new") && (k > c || hasVerb(items[:i])) {
				return true
			}
		}
	}
	return false
}

// otherPart says whether items speak of a part besides the given one.
func otherPart(items []item, part string) bool {
	for _, it := range items {
		if it.has("part") && it.val("part") != part || it.has("other") {
			return true
		}
	}
	return false
}

// filterOf is the filter that "the filter" means right after an oil that was
// changed: "changed the oil in granny and the filter as well". With any other
// filter or fuel part in the sentence it is not plain which.
func (p *parse) filterOf(o object) string {
	if o.part != "filter" || strings.HasSuffix(p.toks[p.clauses[o.clause].items[o.at].at].lem, "s") {
		return ""
	}
	before := ""
	for c := range p.clauses {
		if p.clauses[c].sentence != p.clauses[o.clause].sentence {
			continue
		}
		for i, it := range p.clauses[c].items {
			switch v := it.val("part"); {
			case v == "" || c == o.clause && i == o.at:
			case before == "" && (v == "oil" || v == "hydoil") && p.clauses[c].silent == "" && (c < o.clause || c == o.clause && i < o.at):
				before = v
			default:
				return ""
			}
		}
	}
	return map[string]string{"oil": "oilfilter", "hydoil": "hydfilter"}[before]
}

// askJobs makes the question which job was done, with the likely ones.
func (p *parse) askJobs(f fact, row jobRow) fact {
	if len(p.replyJobs()) > 0 && row.jobs[0] == "filter" {
		if js := filtersAmong(p.replyJobs()); len(js) > 0 {
			f.act = &Act{Kind: Service, Jobs: js, How: engine.How(row.how)}
			return f
		}
	}
	f.act = &Act{Kind: Service, How: engine.How(row.how), Wants: []Slot{AskJobs}}
	f.ask = AskJobs
	f.opts = jobOptions[row.jobs[0]]
	return f
}

var jobOptions = map[string][]Option{
	"filter": {{Jobs: []engine.Job{engine.FuelFilter}}, {Jobs: []engine.Job{engine.Separator}},
		{Jobs: []engine.Job{engine.Separator, engine.FuelFilter}}, {Jobs: []engine.Job{engine.OilFilter}},
		{Jobs: []engine.Job{engine.AirCleaner}}, {Jobs: []engine.Job{engine.HydFilter}}},
	"service": {{Jobs: []engine.Job{engine.EngineOil, engine.OilFilter}},
		{Jobs: []engine.Job{engine.EngineOil, engine.OilFilter, engine.Separator, engine.FuelFilter}},
		{Jobs: []engine.Job{engine.Separator, engine.FuelFilter}}, {Jobs: []engine.Job{engine.Grease}}},
	"bowl":    {{Jobs: []engine.Job{engine.Drain}}, {Jobs: []engine.Job{engine.Bowl}}},
	"tank":    {{Jobs: []engine.Job{engine.Tank}}},
	"oil":     {{Jobs: []engine.Job{engine.EngineOil}}, {Jobs: []engine.Job{engine.EngineOil, engine.OilFilter}}},
	"coolant": {{Jobs: []engine.Job{engine.Coolant}}},
	// "oil and air filters": the oil, or its filter
	"oilshared": {{Jobs: []engine.Job{engine.OilFilter}}, {Jobs: []engine.Job{engine.EngineOil}}, {Jobs: []engine.Job{engine.EngineOil, engine.OilFilter}}},
	"hydoil":    {{Jobs: []engine.Job{engine.HydOil}}},
	// "hyd filter n oil": whose oil it was is not said
	"hydandoil": {{Jobs: []engine.Job{engine.HydOil, engine.HydFilter}}, {Jobs: []engine.Job{engine.EngineOil, engine.HydFilter}}},
}

func filtersAmong(jobs []engine.Job) []engine.Job {
	var out []engine.Job
	for _, j := range jobs {
		switch j {
		case engine.Separator, engine.FuelFilter, engine.OilFilter, engine.AirCleaner, engine.HydFilter:
			out = append(out, j)
		}
	}
	return out
}

func (p *parse) replyJobs() []engine.Job {
	if p.ctx.Reply == nil {
		return nil
	}
	return p.ctx.Reply.Jobs
}

// verbRank says how well a verb stands to a part; 0 is not at all.
func (p *parse) verbRank(verbs []verbAt, i int, o object) int {
	if i < 0 {
		return 0
	}
	v := verbs[i]
	if v.isNew && (v.clause > o.clause || v.clause == o.clause && v.at > o.at && p.newOfNext(v)) {
		return 0 // "took the bowl off, new o-ring": new is what comes next
	}
	if v.verb == "bleed" && (v.clause != o.clause || v.at > o.at) {
		return 0 // "separator 488.0 primed" is two jobs
	}
	switch d := v.clause - o.clause; {
	case d == 0 && v.at < o.at:
		return 100000 - (o.at - v.at)
	case d == 0:
		return 50000 - (v.at - o.at)
	case d < 0 && !p.verbIn(verbs, o.clause) && p.clauses[o.clause].sep == 'b':
		return 0 // "did everything but the oil filter"
	case d < 0 && !p.verbIn(verbs, o.clause):
		return 30000 + d
	case d > 0 && (v.verb == "adjust" || v.verb == "look" || v.verb == "clean" || v.verb == "topup"):
		if d == 1 && p.doneToIt(v) && !p.verbIn(verbs, o.clause) {
			return 10000 // "took the tank down and cleaned it"
		}
		return 0
	case d > 0 && !p.verbIn(verbs, o.clause) && p.onlyListed(o.clause, v.clause):
		return 20000 - d
	}
	return 0
}

// doneToIt says whether a verb is done to what the clause before named.
func (p *parse) doneToIt(v verbAt) bool {
	c := p.clauses[v.clause]
	return c.sep == 'a' && v.at+1 < len(c.items) && c.items[v.at+1].has("pron") && !hasPart(c.items)
}

// newOfNext says whether "new" stands before a part of its own.
func (p *parse) newOfNext(v verbAt) bool {
	items := p.clauses[v.clause].items
	k := skipDet(items, v.at+1)
	return k < len(items) && (items[k].has("part") || items[k].has("other") || items[k].has("mod") || items[k].is("glue", "adj"))
}

func (p *parse) verbIn(verbs []verbAt, clause int) bool {
	for _, v := range verbs {
		if v.clause == clause {
			return true
		}
	}
	return false
}

// onlyListed says whether the clauses from one to before another hold nothing
// but lists.
func (p *parse) onlyListed(from, to int) bool {
	for c := from; c < to; c++ {
		if core(p.clauses[c].items) && p.clauses[c].silent == "" {
			for _, it := range p.clauses[c].items {
				if it.has("find") || it.has("symptom") || it.numeric && !it.named {
					return false
				}
			}
		}
	}
	return true
}

// words is the text of a clause without the machine, figure and day at its ends,
// for work that is kept in the words it came in.
func (p *parse) words(c int) string {
	items := p.clauses[c].items
	for len(items) > 0 && (p.besides(items[0]) || items[0].brk != 0) {
		items = items[1:]
	}
	// what follows the last machine, day or figure at the end goes with it: "on OM1"
	for n := len(items); n > 0; n = len(items) {
		last := items[n-1]
		if !p.besides(last) && !(n < len(p.clauses[c].items) && last.n == 1 && leadsToName(p.toks[last.at].w)) {
			break
		}
		items = items[:n-1]
	}
	if len(items) == 0 {
		return ""
	}
	return p.stretch(items[0], items[len(items)-1])
}

// besides says whether an item is kept in a slot of its own, or only polite.
func (p *parse) besides(it item) bool {
	return it.named || it.dated || it.clock || it.numeric && it.unit == "" && it.num.decimals > 0 || it.has("who") || it.is("glue", "polite")
}

// leadsToName lists the words that go with a machine or figure left out.
func leadsToName(w string) bool {
	switch w {
	case "on", "in", "at", "the", "for", "to", "of":
		return true
	}
	return false
}
