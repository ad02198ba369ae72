package read

import "strings"

// silencers are the classes that keep a clause from writing, and what they are
// called when the reading is explained.
var silencers = map[class]string{"neg": "negated", "plan": "a plan", "cond": "a condition",
	"hear": "hearsay", "doubt": "in doubt", "req": "a request", "collask": "asked of a colleague",
	"quote": "a quote", "jest": "a joke", "gone": "gone again", "order": "about buying", "habit": "a habit"}

// markSilence finds what keeps each clause from writing and how far it reaches.
func (p *parse) markSilence() {
	for i := range p.clauses {
		c := &p.clauses[i]
		if c.silent != "" {
			continue
		}
		if c.end == '?' && !p.beforeAsking(i) && !p.asksToWrite(c) {
			c.asks = true
			if !p.clauseHas(c, "symptom") && !p.clauseHas(c, "vague") {
				c.silent = "a question"
				continue
			}
		}
		kind, at := p.silencer(c)
		if kind == "" {
			continue
		}
		if kind == "gone" {
			for k := i; k >= 0; k-- {
				p.clauses[k].gone = true
			}
			if next := p.afterGone(c); next != "" {
				c.silent = next
			}
			continue
		}
		c.silent = silencers[kind]
		alone := !(kind == "doubt" && p.toks[c.items[at].at+c.items[at].n-1].w == "like" && p.ownStory(c.items[at+1:])) && !p.says(c.items[:at]) && !p.says(c.items[at+1:]) && !namedIn(c.items)
		if alone && i > 0 && c.sep != 'w' && p.clauses[i-1].sentence == c.sentence && (kind == "doubt" || kind == "hear" || kind == "quote" || kind == "jest" || kind == "cond") {
			p.clauses[i-1].silent = c.silent
		}
		p.spread(i, kind)
	}
}

// ownStory says whether the words after a doubt tell of something else: "old one
// looked like the dog had been at it".
func (p *parse) ownStory(items []item) bool {
	for _, it := range items {
		if !it.unknown() {
			continue
		}
		if senses, _ := lex.asides.longest(p.toks[it.at : it.at+it.n]); len(senses) == 0 || senses[0].class != "governs" {
			return true
		}
	}
	return false
}

// beforeAsking says whether a clause reports and only the one after it asks:
// "changed the belt on wf1, anybody got a spare for wf2?". "drained rt1, did
// you?" asks all through.
func (p *parse) beforeAsking(i int) bool {
	c := &p.clauses[i]
	if !hasVerb(c.items) || !namedIn(c.items) || p.asking(c) {
		return false
	}
	for k := i + 1; k < len(p.clauses) && p.clauses[k].sentence == c.sentence; k++ {
		n := &p.clauses[k]
		if p.asking(n) {
			return n.sep == ',' && (namedIn(n.items) || hasPart(n.items))
		}
	}
	return false
}

// asksToWrite finds "could you write down that rt1 was greased?": it reports.
func (p *parse) asksToWrite(c *clause) bool {
	for i, it := range c.items {
		if !it.has("req") {
			continue
		}
		k := i + 1
		for k < len(c.items) && c.items[k].is("glue", "polite") {
			k++
		}
		return k < len(c.items) && c.items[k].has("say")
	}
	return false
}

// asking says whether a clause has a word that asks or begins as questions do.
func (p *parse) asking(c *clause) bool {
	for i, it := range c.items {
		if it.has("collask") || it.has("req") || it.has("ask") || it.has("askany") || it.has("wh") || i == 0 && it.has("aux") {
			return true
		}
		switch p.word(it) {
		case "who", "what", "which", "where", "how", "why", "any", "anyone", "anybody", "did", "you", "u":
			return true
		}
	}
	return false
}

// afterGone is what silences a clause besides the trouble being gone.
func (p *parse) afterGone(c *clause) string {
	rest := clause{}
	for _, it := range c.items {
		if !it.has("gone") {
			rest.items = append(rest.items, it)
		}
	}
	kind, _ := p.silencer(&rest)
	return silencers[kind]
}

// spread carries silence on: hearsay, quotes and conditions to the end of the
// sentence, the rest to what is joined by "and" with no machine of its own.
func (p *parse) spread(i int, kind class) {
	c := p.clauses[i]
	for j := i + 1; j < len(p.clauses); j++ {
		n := &p.clauses[j]
		if n.sentence != c.sentence || n.sep == 'b' {
			return
		}
		far := kind == "hear" || kind == "quote" || kind == "cond"
		joined := n.sep == 'a' && !machineFirst(n.items) || n.sep == 'm' || (n.sep == 'a' && kind != "neg" && !machineFirst(n.items))
		if !far && !joined {
			return
		}
		if !far && p.firmDay(n.items) {
			return
		}
		if kind == "neg" && !hasVerb(c.items) && c.has("part") && hasVerb(n.items) {
			return // "not the filter, and greased it"
		}
		n.silent = c.silent
	}
}

func machineFirst(items []item) bool {
	for _, it := range items {
		if it.named {
			return true
		}
		if !it.filler() {
			return false
		}
	}
	return false
}

// firmDay says whether a clause names a day that is past: no plan has one.
func (p *parse) firmDay(items []item) bool {
	for _, it := range items {
		if it.dated && it.when.known && it.when.offset <= 0 {
			return true
		}
	}
	return false
}

// onceDone finds "once rt1 is drained", "when it gets greased": not yet.
func (p *parse) onceDone(c *clause, i int) bool {
	if p.clauseHas(c, "symptom") {
		return false // when the trouble comes
	}
	switch p.word(c.items[i]) {
	case "once", "when", "if", "after", "until", "till", "til", "before":
	default:
		return false
	}
	k := skipDet(c.items, i+1)
	if k+1 >= len(c.items) || !c.items[k].named && !c.items[k].has("pron") && !c.items[k].has("part") {
		return false
	}
	switch p.word(c.items[k+1]) {
	case "is", "are", "gets", "get", "has", "have":
		return true
	}
	return p.phrase(c.items[k+1]) == "has been" || c.items[k+1].has("verb") && (p.phrase(c.items[k+1]) == "is done" || p.toks[c.items[k+1].at].w == "has" || p.toks[c.items[k+1].at].w == "gets")
}

// partOnly finds work on a part of a machine: "greased most of the loader".
func (p *parse) partOnly(c *clause, i int) bool {
	if i == 0 || !c.items[i-1].has("verb") || c.items[i-1].is("verb", "renew") {
		return false
	}
	switch p.toks[c.items[i].at].w {
	case "most", "some", "half", "part", "bits", "parts":
	default:
		return false
	}
	k := skipDet(c.items, i+1)
	if k < len(c.items) && c.items[k].is("prep", "of") {
		k = skipDet(c.items, k+1)
	}
	return k < len(c.items) && c.items[k].named && len(c.items[k].m.ids) == 1
}

// firmPast says whether items name a day before today that can be no other.
func (p *parse) firmPast(items []item) bool {
	for _, it := range items {
		if it.dated && it.when.known && it.when.offset < 0 && !it.ago {
			return true
		}
	}
	return false
}

// says whether items hold anything that could be written.
func (p *parse) says(items []item) bool {
	for _, it := range items {
		if it.has("verb") || it.has("new") || it.has("find") || it.has("symptom") || it.has("part") ||
			it.has("fuelverb") || it.numeric && !it.named || it.has("verb0") || it.has("ing") {
			return true
		}
	}
	return false
}

// silencer is the class that silences a clause, and where it stands.
func (p *parse) silencer(c *clause) (class, int) {
	for i, it := range c.items {
		if it.used {
			continue
		}
		for _, s := range it.senses {
			if silencers[s.class] == "" {
				continue
			}
			if p.harmless(c, i, s.class) || it.dated && onlyDay(c.items) {
				continue
			}
			return s.class, i
		}
		if onlyDay(c.items) {
			continue // "that was sometime last month" gives the day of what stands before
		}
		switch {
		case it.has("verb") && !it.is("verb", "do") && (p.toks[it.at].w == "gets" || i > 0 && p.word(c.items[i-1]) == "gets"):
			return "plan", i // "rt1 gets greased friday"
		case p.worn(c, i):
			return "jest", i
		case p.said(c, i):
			return "hear", i
		case p.shortWill(c, i):
			return "plan", i
		case p.onceDone(c, i):
			return "cond", i
		case p.partOnly(c, i):
			return "doubt", i
		case it.has("ing") && !p.progressHarmless(c, i):
			return "plan", i
		case it.dated && it.when.known && it.when.offset > 0, it.dated && it.when.vague == "tonight":
			return "plan", i
		case it.dated && it.when.vague == "future" && p.vagueDayCounts(c) && !((it.has("heat") || it.has("glue")) && p.trouble(c)):
			return "plan", i
		}
	}
	return "", 0
}

// onlyDay says whether a clause says no more than when something was: "that was
// on saturday".
func onlyDay(items []item) bool {
	was, day := false, false
	for i, it := range items {
		switch {
		case it.numeric && atClock(items, i):
		case it.has("thatwas"):
			was = true
		case it.dated:
			day = true
		case !it.filler():
			return false
		}
	}
	return was && day
}

// vagueDayCounts: "later" and "this week" beside work not done yet are plans;
// beside a finished verb they say nothing.
func (p *parse) vagueDayCounts(c *clause) bool {
	return !hasVerb(c.items)
}

// harmless lists the uses of a silencing word that do not silence.
func (p *parse) harmless(c *clause, i int, k class) bool {
	it := c.items[i]
	next := func(f func(item) bool) bool { return i+1 < len(c.items) && f(c.items[i+1]) }
	switch k {
	case "neg":
		w := p.toks[it.at].w
		if it.n == 1 && (w == "no" || w == "nope") && i == 0 && len(c.items) == 1 {
			return true // an answer or a correction, not a negation
		}
		if next(func(n item) bool { return n.has("find") }) && it.n == 1 && (w == "no" || w == "without" || w == "not" || w == "wasnt" || w == "isnt") {
			return true // only what was seen is denied; see findings
		}
		if next(func(n item) bool { w := p.word(n); return w == "moved" || w == "run" || w == "used" }) {
			return true // "hasnt moved": the figure stands
		}
		if w == "no" && next(func(n item) bool { return n.is("grade", "no1") || n.numeric }) {
			return true
		}
		if next(func(n item) bool { return n.has("symptom") }) && it.n == 1 && (w == "no" || w == "not" || w == "wasnt" || w == "isnt" || w == "aint" || w == "doesnt") {
			return true // only that symptom is denied; see symptoms
		}
	case "plan":
		if it.n == 1 && p.toks[it.at].w == "may" && it.dated {
			return true
		}
	case "doubt":
		if next(func(n item) bool { w := p.word(n); return w == "which" || w == "what" }) && i+2 < len(c.items) && p.gradeWord(c.items[i+2]) {
			return true // "dunno which grade": only the grade is not known
		}
		if it.has("approx") && next(func(n item) bool {
			return n.numeric || n.has("amount") || n.has("det") && i+2 < len(c.items) && (c.items[i+2].numeric || c.items[i+2].has("amount") || c.items[i+2].has("unit"))
		}) {
			return true // about a figure, not about the work
		}
		if w := p.toks[it.at].w; w == "nearly" || w == "almost" || w == "hope" || w == "seems" && !p.clauseHas(c, "symptom") {
			return next(func(n item) bool { return n.has("amount") || n.numeric })
		}
		if p.clauseHas(c, "symptom") && (p.toks[it.at].w == "seems" || p.toks[it.at].w == "sounds" || p.toks[it.at].w == "looks" || p.toks[it.at].w == "kinda" || p.toks[it.at].w == "sorta" || p.toks[it.at].w == "sort" || p.toks[it.at].w == "kind") {
			return true
		}
	case "cond":
		w := p.toks[it.at].w
		if w == "when" && it.n > 1 && next(func(n item) bool { return n.has("verb") && !n.has("verb0") || p.pastTense(n) }) {
			return true // "water in rt1 when I drained it": it happened
		}
		if w == "before" && it.n > 1 && hasVerb(c.items[:i]) && next(func(n item) bool { return p.pastTense(n) || wentOff(p.toks[n.at].w) }) {
			return true // "did it yesterday before I went home"
		}
		switch w {
		case "when", "whenever", "once", "before", "after", "as", "soon":
			return p.trouble(c)
		}
	case "quote":
		return it.dated && (hasVerb(c.items[:i]) || !p.says(c.items) && !namedIn(c.items)) // "changed the belt sometime last month"
	case "habit":
		return p.clauseHas(c, "oldone") || !hasVerb(c.items) && !p.clauseHas(c, "find")
	case "req":
		return next(func(n item) bool { return n.has("say") })
	}
	return false
}

// wentOff are the verbs that end a job or a day, told as past.
func wentOff(w string) bool {
	switch w {
	case "went", "left", "headed", "came", "drove", "parked", "quit", "finished", "knocked", "started":
		return true
	}
	return false
}

// gradeWord says whether an item asks for a sort of fuel.
func (p *parse) gradeWord(it item) bool {
	switch p.word(it) {
	case "grade", "kind", "type", "sort", "stuff", "mix", "colour", "color":
		return true
	}
	return it.has("fuel") || it.has("grade")
}

// pastTense says whether an item is a verb in the past: "when i parked it" has
// happened, "when i get back" has not.
func (p *parse) pastTense(it item) bool {
	w := p.toks[it.at].w
	switch w {
	case "got", "came", "went", "left", "shut", "took", "was", "were", "did", "ran", "drove", "saw", "found", "had", "began", "brought", "last", "first":
		return true
	}
	return len(w) > 4 && strings.HasSuffix(w, "ed") && w != "need"
}

// trouble says whether a clause tells of something wrong: a condition in it is the
// circumstance.
func (p *parse) trouble(c *clause) bool {
	return p.clauseHas(c, "symptom") || p.clauseHas(c, "dies") && !hasVerb(c.items)
}

// worn finds "joss is drained after that shift": no person is worked on.
func (p *parse) worn(c *clause, i int) bool {
	it := c.items[i]
	if !it.has("verb") || it.is("verb", "do") {
		return false
	}
	k := i - 1
	for k >= 0 && c.items[k].has("aux") {
		k--
	}
	passive := k < i-1
	switch p.toks[it.at].w {
	case "was", "were", "is", "are", "am", "got":
		passive = passive || it.n > 1
	}
	return passive && k >= 0 && c.items[k].person != ""
}

func (p *parse) clauseHas(c *clause, k class) bool {
	for _, it := range c.items {
		if it.has(k) {
			return true
		}
	}
	return false
}

// said finds "he says", "tobe said", unless it is the meter or a sticker that
// speaks.
func (p *parse) said(c *clause, i int) bool {
	w := p.word(c.items[i])
	if w != "says" && w != "said" && w != "say" {
		return false
	}
	if p.toldFigure(c, i) {
		return false
	}
	if i+1 < len(c.items) && i > 0 && c.items[i+1].person != "" {
		return true // "n1 is drained, says tobe"
	}
	for j := i - 1; j >= 0; j-- {
		it := c.items[j]
		switch {
		case it.has("meterword"), it.has("sticker"), it.has("gaugeword"), it.named:
			return false
		case it.person != "", it.has("pron") && p.word(it) != "it", it.has("who"), it.unknown():
			return true
		case it.filler():
			continue
		}
		return false
	}
	// at the start of a clause: "n1 is drained, says tobe"
	return i+1 < len(c.items) && (c.items[i+1].person != "" || c.items[i+1].unknown())
}

// toldFigure finds "hester says the hauler is at 220.4": a figure passed on,
// with no work in it.
func (p *parse) toldFigure(c *clause, i int) bool {
	person, fig := false, false
	for k, it := range c.items {
		person = person || it.person != "" && k < i
		fig = fig || it.numeric && !it.named && k > i
		if it.has("verb") || it.has("find") || it.has("symptom") || it.has("part") || it.has("event") {
			return false
		}
	}
	return person && fig
}

// shortWill finds "I'll drain", "we'll do", written with or without a mark.
func (p *parse) shortWill(c *clause, i int) bool {
	w := p.word(c.items[i])
	if w != "ill" && w != "well" && w != "hell" && w != "shell" && w != "theyll" && w != "youll" && w != "itll" {
		return false
	}
	if strings.ContainsAny(p.toks[c.items[i].at].raw, "'’") || w == "theyll" || w == "youll" || w == "itll" {
		return true
	}
	return i+1 < len(c.items) && (c.items[i+1].has("verb0") || c.items[i+1].has("willdo") || p.word(c.items[i+1]) == "be" || p.word(c.items[i+1]) == "get")
}

// progressHarmless says whether an -ing word is no work in progress: "finished
// draining n1".
func (p *parse) progressHarmless(c *clause, i int) bool {
	if c.items[i].has("event") && (i > 0 && c.items[i-1].has("det") || i > 1 && c.items[i-1].filler() && c.items[i-2].has("det")) {
		return true // "a good greasing" is the name of the job
	}
	if i+1 < len(c.items) && c.items[i+1].is("verb", "do") && !c.items[i+1].has("neg") {
		return true // "greasing done"
	}
	for j := i - 1; j >= 0; j-- {
		it := c.items[j]
		if it.is("verb", "do") || p.word(it) == "after" {
			return true
		}
		if !it.filler() {
			return false
		}
	}
	return false
}

// word is an item's one word, or "".
func (p *parse) word(it item) string {
	if it.n != 1 || it.brk != 0 {
		return ""
	}
	return p.toks[it.at].w
}
