package read

// What people who speak do to a line of the book: they say what they had said
// and what it was instead, they say again what they have said already, and they
// break off to look or to find the word.

// deniesValue says whether a "not" denies something that a line could hold: "not
// RT2", and no "not bad at all".
func (p *parse) deniesValue(i int) bool {
	for _, it := range p.items[i+1:] {
		switch {
		case it.named, it.numeric, it.dated, it.has("part"), it.has("event"), it.has("find"), it.has("verb"), it.has("amount"),
			it.has("cond-part"), it.person != "", it.has("other"), it.has("fuel"):
			return true
		case it.has("who"), p.names.tellingWord(it, p.toks) != nil:
			return true
		case it.has("det"), it.has("prep"), it.has("pron"), it.brk == ',':
		default:
			return p.word(it) == "me" || p.word(it) == "mine" || p.word(it) == "i"
		}
	}
	return false
}

// saidThen is where "I told you separator but it was the final one" goes on to
// what is meant, 0 for nowhere: the same slot stands on both sides.
func (p *parse) saidThen() int {
	s := p.find("isaid")
	if s < 0 {
		return 0
	}
	for m := s + 1; m < len(p.items); m++ {
		it := p.items[m]
		if !it.has("but") && !it.has("thatwas") && !it.has("shouldbe") && !it.has("really") && p.word(it) != "when" {
			continue
		}
		was, is := p.values(span2(s+1, m)), p.values(span2(m, len(p.items)))
		for _, a := range was {
			if len(is) == 1 && is[0].field == a.field && p.states(m) {
				return m
			}
		}
	}
	return 0
}

// states says whether the words from m on say how it was.
func (p *parse) states(m int) bool {
	for _, it := range p.items[m:] {
		if it.has("thatwas") || it.has("shouldbe") || it.has("really") || it.has("aux") {
			return true
		}
	}
	return false
}

// pleaWords make up "can you change that", "please put it right".
var pleaWords = map[string]bool{"can": true, "could": true, "would": true, "will": true, "you": true, "u": true, "please": true,
	"pls": true, "just": true, "that": true, "it": true, "this": true, "for": true, "me": true, "us": true, "thanks": true, "thank": true,
	"ta": true, "in": true, "the": true, "book": true, "put": true, "set": true, "so": true, "kindly": true, "now": true}

// dropPlea takes a plea to mend the line off the end of a message and says
// whether there was one.
func (p *parse) dropPlea() bool {
	end := len(p.items)
	for end > 0 && p.items[end-1].brk != 0 {
		end--
	}
	from := end
	for from > 0 && p.items[from-1].brk == 0 {
		from--
	}
	if from == 0 || from == end {
		return false
	}
	mends := false
	for _, it := range p.items[from:end] {
		for k := it.at; k < it.at+it.n; k++ {
			switch w := p.toks[k].w; w {
			case "change", "fix", "correct", "amend", "update", "right", "straight", "mend", "adjust":
				mends = true
			default:
				if !pleaWords[w] {
					return false
				}
			}
		}
	}
	if mends {
		p.items = p.items[:from-1]
	}
	return mends
}

// yesAndWhy says whether a message is a yes with no more behind it than how the
// slip came about: "yes that's right, I dropped the point".
func (p *parse) yesAndWhy() bool {
	yes := false
	for i, it := range p.items {
		if it.has("yes") && !it.named && !it.numeric {
			yes = true
			continue
		}
		if it.brk == '?' || it.named || it.numeric || it.dated || it.has("but") || it.has("neg") || it.has("no") || !yes && !it.filler() && it.brk == 0 {
			return false
		}
		if it.has("half") || it.person != "" && it.has("point") || it.has("wrong") {
			continue // "missed the dot", "fat fingers"
		}
		switch p.word(it) {
		case "what", "who", "why", "how", "when", "where", "which", "whose":
			return false
		}
		if it.has("fix") {
			switch p.toks[it.at].w {
			case "sorry", "oops", "whoops", "my":
				continue
			}
			return false
		}
		for _, s := range it.senses {
			if silencers[s.class] != "" || governing[s.class] || tradeClasses[s.class] && s.class != "fuelverb" && s.class != "verb0" || s.class == "unit" && i == 0 {
				return false
			}
		}
	}
	return yes
}

// apposition says whether a part says once more, and better, what a verb was
// done to: "swapped the rubber, the o-ring".
func apposition(prev, cur []item) bool {
	n := len(prev)
	if n < 3 || !prev[n-1].unknown() || prev[n-1].n != 1 || !prev[n-2].has("det") || !prev[n-3].has("verb") {
		return false
	}
	part := false
	for i, it := range cur {
		switch {
		case it.has("part"):
			part = true
		case i == 0 && !it.has("det"), !it.filler():
			return false
		}
	}
	return part
}

// sameWorkAgain says whether the work of a clause is one told already, of which
// this only gives the day: "there's a new battery in 21, I put that in on Saturday".
func (r *report) sameWorkAgain(f fact, d *draft, day bool) *Act {
	items := r.p.clauses[f.clause].items
	if !day || hasPart(items) || indexOf(items, "pron") < 0 && indexOf(items, "det") < 0 {
		return nil
	}
	for _, it := range items {
		switch r.p.word(it) {
		case "again", "too", "also", "another":
			return nil
		}
	}
	for _, s := range d.services {
		if s.Day == 0 && !d.dated[s] && s.How == f.act.How && len(s.Jobs) == 1 && len(f.act.Jobs) == 1 && s.Jobs[0] == f.act.Jobs[0] && len(s.Wants) == 0 {
			return s
		}
	}
	return nil
}

// spokenMarks turns marks that were said into marks: "dee pee one comma seven oh
// eight point four period". A comma between figures stays unless a point follows.
func spokenMarks(toks []token) []token {
	for i := range toks {
		t := &toks[i]
		if t.kind != word || i == 0 {
			continue
		}
		last := i == len(toks)-1 || i == len(toks)-2 && toks[i+1].kind == stop
		switch {
		case t.w == "comma" && !last && (!numeral(toks[i-1]) || !numeral(toks[i+1]) || pointFollows(toks[i+1:])):
			*t = token{kind: comma, w: ",", lem: ",", raw: t.raw, pos: t.pos}
		case last && t.w == "period" && i > 1 && !periodOf[toks[i-1].w]:
			*t = token{kind: stop, w: ".", lem: ".", raw: t.raw, pos: t.pos, mark: '.'}
		}
	}
	return toks
}

// periodOf are words before a "period" that is a stretch of time.
var periodOf = map[string]bool{"the": true, "a": true, "that": true, "this": true, "same": true, "dry": true, "wet": true, "cold": true,
	"slow": true, "quiet": true, "busy": true, "any": true, "whole": true, "long": true, "short": true, "trial": true, "rest": true,
	"each": true, "per": true, "time": true, "growing": true, "picking": true, "frost": true, "one": true, "every": true, "warm": true, "grace": true}

// pointFollows says whether a run of spoken figures has its decimal point to come.
func pointFollows(toks []token) bool {
	for _, t := range toks {
		if t.w == "point" {
			return true
		}
		if !numeral(t) && t.w != "and" {
			return false
		}
	}
	return false
}

// whileOff says whether a thing was only out of the way when the work was done:
// "set the valves since the cover was off".
func (p *parse) whileOff(c, i int) bool {
	items := p.clauses[c].items
	k := i - 1
	for k >= 0 && (items[k].has("det") || items[k].unknown()) {
		k--
	}
	if k < 0 {
		return false
	}
	switch p.toks[items[k].at].w {
	case "since", "while", "as", "when", "because", "cause", "cos", "whilst":
	default:
		return false
	}
	for _, it := range items[i+1:] {
		if !it.filler() && !it.has("vague") && !it.has("prep") && !it.named && !it.numeric {
			return false
		}
	}
	return i+1 < len(items) && (items[i+1].has("aux") || items[i+1].has("vague"))
}

// onlyOffThen says whether a vague word tells of nothing but what was off the
// machine while it was worked on.
func (p *parse) onlyOffThen(c, i int) bool {
	items := p.clauses[c].items
	for k := 0; k < i; k++ {
		if items[k].has("other") && p.whileOff(c, k) {
			return true
		}
	}
	return false
}

// oilNamedBefore is the oil that a bare "oil is changed" means where the part
// before named only the hydraulic oil and did nothing to it yet.
func (p *parse) oilNamedBefore(c, i int) string {
	it := p.clauses[c].items[i]
	if it.val("part") != "oil" || it.n != 1 || p.toks[it.at].lem != "oil" {
		return ""
	}
	named := false
	for k := range p.clauses {
		for j, x := range p.clauses[k].items {
			switch {
			case k > c || k == c && j >= i:
			case x.is("part", "hydoil"):
				if hasVerb(p.clauses[k].items) {
					return ""
				}
				named = true
			case x.is("part", "oil"), x.is("part", "oilfilter"), x.is("part", "oilchange"):
				return ""
			case x.named && named:
				return ""
			}
		}
	}
	if !named {
		return ""
	}
	return "hydoil"
}

// putRight says whether trouble was only the reason for work that is told, and
// the machine runs again: "had to bleed it because it wouldn't catch, but it's
// running sweet".
func (r *report) putRight(f fact) bool {
	c := &r.p.clauses[f.clause]
	if f.act.Kind != Symptom || c.sep != 'w' || f.clause == 0 || !r.firmIn(f.clause-1) {
		return false
	}
	for k := f.clause + 1; k < len(r.p.clauses); k++ {
		n := &r.p.clauses[k]
		if n.silent == "" && r.sameGroup(k, f.clause) && (r.firmIn(k) || r.runsAgain(n)) && !n.has("symptom") {
			return true
		}
	}
	return false
}

// firmIn says whether firm work is told in a clause.
func (r *report) firmIn(c int) bool {
	for _, o := range r.facts {
		if o.clause == c && o.act.Kind == Service && !o.weak {
			return true
		}
	}
	return false
}

// runsAgain finds "running sweet", "she goes", "starts on the button".
func (r *report) runsAgain(c *clause) bool {
	for _, it := range c.items {
		switch r.p.word(it) {
		case "running", "runs", "going", "goes", "purring", "purrs", "ran":
			return !c.has("neg")
		}
		if it.has("startup") {
			return !c.has("neg") && !c.has("dies")
		}
	}
	return false
}

// arrived finds "the new injectors came in the mail, they're in row tractor one
// now": what came is in or on the machine.
func (p *parse) arrived(c, i int) (string, bool) {
	items := p.clauses[c].items
	if silent := p.clauses[c].silent; i+2 >= len(items) || silent != "" && silent != silencers["order"] || c == 0 || p.clauses[c-1].sentence != p.clauses[c].sentence {
		return "", false
	}
	switch p.toks[items[i].at].w {
	case "theyre", "its", "thats", "they", "it":
	default:
		return "", false
	}
	for _, it := range items[:i] {
		if !it.filler() && !it.has("and") {
			return "", false
		}
	}
	k := i + 1
	for k < len(items) && items[k].has("aux") {
		k++
	}
	if k >= len(items) || !items[k].is("prep", "in") {
		return "", false
	}
	k = skipDet(items, k+1)
	if k >= len(items) || !items[k].named {
		return "", false
	}
	for _, it := range items[k+1:] {
		if it.has("who") {
			break // "they're in RT1 now | and I set the valves"
		}
		if !it.filler() && !it.dated {
			return "", false
		}
	}
	before := p.clauses[c-1].items
	if !hasNewPart(before) || indexOf(before, "order") < 0 {
		return "", false
	}
	part, ok := p.antecedent(c, i)
	if ok {
		p.clauses[c].silent = "" // what was bought is in
	}
	return part, ok
}

// hasNewPart says whether items speak of a new part.
func hasNewPart(items []item) bool {
	for i, it := range items {
		if it.has("part") && i > 0 && items[i-1].has("new") {
			return true
		}
	}
	return false
}

// backDay is the day that a clause only dates the work before it with: "I did
// that on Friday", "that was yesterday"; nil where it says anything else.
func (p *parse) backDay(c int) *when {
	var day *when
	points := false
	items := p.clauses[c].items
	if p.clauses[c].silent != "" {
		return nil
	}
	for k := range items {
		it := &items[k]
		switch {
		case it.numeric && !it.dated && atClock(items, k):
		case it.named, it.has("part"), it.has("event"), it.has("find"), it.has("neg"), it.numeric && !it.dated, it.unknown(), it.has("shouldbe"):
			return nil
		case it.has("thatwas"):
			points = true
		case it.dated && day == nil && !(it.when.known && it.when.offset > 0):
			day = &it.when
		case it.dated && day != nil && day.vague != "":
		case it.dated && it.when.vague != "":
			day = &it.when // "it was sometime over the weekend"
		case it.dated:
			return nil
		case it.is("verb", "do") || it.is("verb", "renew"):
		case it.has("verb"), it.has("symptom"), it.has("other"):
			return nil
		case it.has("pron"), it.has("det") && (p.word(*it) == "that" || p.word(*it) == "this"):
			points = true
		}
		switch p.word(*it) {
		case "again", "too", "also", "another":
			return nil
		}
	}
	if !points {
		return nil
	}
	return day
}

// datedBack gives the work of clauses without a day the one that a sentence after
// them dates it with.
func (r *report) datedBack() {
	for c := 1; c < len(r.p.clauses); c++ {
		if !hasDay(r.p.clauses[c].items) {
			continue
		}
		day := r.p.backDay(c)
		if day == nil {
			continue
		}
		on := day.past(r.p.ctx)
		if on.day == 0 && !on.unsure {
			continue
		}
		for k := c - 1; k >= 0 && r.days[k].day == 0 && !r.days[k].unsure && (r.sameGroup(k, c) || r.groups[k].known()); k-- {
			r.days[k] = on
		}
	}
}

func hasDay(items []item) bool {
	for _, it := range items {
		if it.dated {
			return true
		}
	}
	return false
}

// workOnUnknown says whether a part was renewed that is not known: "swapped the
// gubbins". What else was told must wait.
func (p *parse) workOnUnknown(c int) bool {
	if p.clauses[c].silent != "" {
		return false
	}
	items := p.clauses[c].items
	for i, it := range items {
		if !it.is("verb", "renew") || i+2 >= len(items) || hasPart(items) || it.has("fuelverb") || it.has("pushverb") || it.has("glue") {
			continue
		}
		k := i + 1
		if !items[k].has("det") {
			continue
		}
		switch p.word(items[k]) {
		case "the", "its", "that", "a", "an":
		default:
			continue
		}
		if x := items[k+1]; x.unknown() && !x.has("plain") && !x.has("world") && x.person == "" {
			return true
		}
	}
	return false
}
