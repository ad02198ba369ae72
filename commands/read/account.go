package read

import (
	"strings"

	"woodruff/engine"
)

// The account of a message. Before acts are let out that write, every word of the
// message must have gone somewhere: into an act, into a part that says itself that
// nothing was done (a plan, a negation, a request), or among the words that carry
// no weight where they stand (articles, politeness, the weather, the dog). What is
// left over means that something was said that the reading missed, and a part of a
// message is never written while another part was missed: then the whole is asked
// about.

// place is an item of a clause.
type place struct{ clause, at int }

// piece is a stretch of the message between two breaks, as it stood: with what
// was left out before the rest was read.
type piece struct {
	items    []item
	told     bool   // an act has something of it
	silent   string // why nothing of it is written, where it says so itself
	aside    bool   // it was left out as beside the point
	sep      byte   // what parts it from the one before, as with clauses
	except   bool   // follows "except", "bar"
	sentence int
	place    int // among the pieces
}

// account holds what became of each word.
type account struct {
	r      *report
	p      *parse
	toks   []token // of the whole message
	acts   []Act
	spent  map[int]bool // by position in the text: what an act was made of
	pieces []piece
}

// debt is something that was said and is in no act.
type debt struct {
	name string
	owes func(*account, *piece, *piece) bool // of a piece, with the one before it
}

// debts are the ways in which a piece can owe something.
var debts = []debt{
	{"something was excepted that is not known", (*account).excepts},
	{"others are spoken of that are not known", (*account).restLeft},
	{"a machine is named of which nothing was made", (*account).machineLeft},
	{"something was seen of which nothing was made", (*account).seenLeft},
	{"something is wrong with a part of which nothing was made", (*account).thingLeft},
	{"work is told that is not known", (*account).workLeft},
	{"something is added that is not known", (*account).moreLeft},
	{"an amount is given of which nothing was made", (*account).measureLeft},
	{"a word takes something of it back", (*account).turnLeft},
	{"work on another part is told with it", (*account).partLeft},
}

// owed says what of the message the acts leave out; "" for nothing.
func (r *report) owed(acts []Act) string {
	for c := range r.p.clauses {
		if r.sameAsBefore(c) {
			return "the same is asked for as something that is not here"
		}
		if r.p.workOnUnknown(c) {
			return "a part was renewed that is not known"
		}
	}
	switch {
	case r.lost:
		return "words beside what was done are not known"
	case r.figureLeft():
		return "a figure is given of which nothing was made"
	case r.amountLeft():
		return "an amount is given of which nothing was made"
	case r.dayLeft(acts):
		return "what was seen on another day has no place in the book without work of that day"
	}
	a := r.newAccount(acts)
	for i := range a.pieces {
		before := &piece{}
		if i > 0 {
			before = &a.pieces[i-1]
		}
		for _, d := range debts {
			if d.owes(a, &a.pieces[i], before) {
				return d.name
			}
		}
	}
	return ""
}

// dayLeft says whether something was seen on another day and nothing done: a
// finding has no day of its own.
func (r *report) dayLeft(acts []Act) bool {
	for _, f := range r.facts {
		day := r.days[f.clause].day
		if f.act.Kind != Finding || day == 0 || day == r.p.ctx.Day || r.overnight(f.clause) {
			continue
		}
		dated := false
		for _, act := range acts {
			dated = dated || (act.Kind == Service || act.Kind == Reading) && act.Day == day
		}
		if !dated {
			return true
		}
	}
	return false
}

// overnight says whether a clause speaks of the last night: what was found then is
// told in the morning.
func (r *report) overnight(c int) bool {
	for _, it := range r.p.clauses[c].items {
		if it.dated && (r.p.phraseHas(it, "night") || r.p.phraseHas(it, "overnight")) {
			return true
		}
	}
	return false
}

// newAccount enters what the acts were made of, and cuts the message into pieces.
func (r *report) newAccount(acts []Act) *account {
	a := &account{r: r, p: r.p, acts: acts, spent: map[int]bool{}, toks: r.p.toks}
	whole := len(r.p.whole) > 0
	if whole {
		a.toks = r.p.whole
	}
	for _, f := range r.facts {
		a.spend(f.clause)
		for _, u := range f.uses {
			a.spend(u.clause)
		}
	}
	for c := range r.p.clauses {
		for _, h := range r.hours[c] {
			if h.ok {
				a.spend(c)
			}
		}
	}
	silent, read := map[int]string{}, map[int]bool{}
	for _, c := range r.p.clauses {
		for _, it := range c.items {
			pos := r.p.toks[it.at].pos
			silent[pos], read[pos] = c.silent, true
		}
	}
	items := settle(tag(a.toks, lex.words, a.p.names), a.toks, a.p.names)
	q := *a.p
	q.toks, q.items = a.toks, items
	q.numberedNames() // as the message itself was read
	for _, cl := range chunks(q.items, a.toks) {
		s := piece{items: cl.items, sep: cl.sep, sentence: cl.sentence, aside: true}
		for _, it := range cl.items {
			pos := a.toks[it.at].pos
			s.told = s.told || a.spent[pos]
			s.aside = s.aside && !read[pos]
			if silent[pos] != "" {
				s.silent = silent[pos]
			}
		}
		if s.aside && !whole {
			continue // another reading has it
		}
		s.except = cl.sep == 'b' && a.exceptBefore(cl.items[0].at)
		s.place = len(a.pieces)
		a.pieces = append(a.pieces, s)
	}
	return a
}

// exceptBefore says whether the words that end before a token except something.
func (a *account) exceptBefore(at int) bool {
	for n := 1; n <= 3 && n <= at; n++ {
		if senses, k := lex.words.longest(a.toks[at-n : at]); k == n && (&item{senses: senses}).has("except") {
			return true
		}
	}
	return false
}

// spend enters the words of a clause.
func (a *account) spend(c int) {
	for _, it := range a.p.clauses[c].items {
		for t := it.at; t < it.at+it.n; t++ {
			a.spent[a.p.toks[t].pos] = true
		}
	}
}

// weightless says whether an item is of the kind that remarks are made of.
func (a *account) weightless(it item) bool {
	if it.has("world") || it.person != "" || it.has("who") {
		return true
	}
	return it.n == 1 && lex.remarks[a.toks[it.at].w] != ""
}

// remark says whether a piece speaks of people, the weather or the dog.
func (a *account) remark(s *piece) bool {
	for _, it := range s.items {
		if a.weightless(it) {
			return true
		}
		switch a.word(it) {
		case "my", "her", "his", "your", "our", "their", "she", "he", "they":
			return true
		}
	}
	return false
}

func (a *account) word(it item) string {
	if it.n != 1 {
		return ""
	}
	return a.toks[it.at].w
}

// hasMachine says whether an act is about every machine of an item, or about one
// of those that it may mean.
func (a *account) hasMachine(it item) bool {
	for _, id := range a.p.names.machineIDs(it.m.ids) {
		found := false
		for _, act := range a.acts {
			found = found || act.Machine == id
		}
		if found == it.m.unsure {
			return found
		}
	}
	return !it.m.unsure
}

// didPart says whether an act works on a part in a way that would have put it
// right. Draining or bleeding does not.
func (a *account) didPart(part string) bool {
	for _, verb := range []string{"renew", "do", "adjust", "clean"} {
		for _, j := range lex.jobs[[2]string{verb, part}].jobs {
			for _, act := range a.acts {
				if act.Kind == Service && engine.Job(j) != engine.Drain && hasJob(act.Jobs, engine.Job(j)) {
					return true
				}
			}
		}
	}
	return false
}

// inWords says whether work that is kept in its own words has an item.
func (a *account) inWords(it item) bool {
	s := strings.ToLower(tokensOf(it, a.toks))
	for _, act := range a.acts {
		if act.Words != "" && strings.Contains(strings.ToLower(act.Words), s) {
			return true
		}
	}
	return false
}

// excepts: "greased om1 apart from the ram pin". A machine or a job that no act
// has was left out as it should be.
func (a *account) excepts(s, before *piece) bool {
	if !s.except || !before.told && !s.told {
		return false
	}
	for _, it := range s.items {
		switch {
		case it.named:
			if a.hasMachine(it) {
				return true
			}
		case it.has("part"):
			if a.didPart(it.val("part")) {
				return true
			}
		case it.has("other"), it.unknown() && !a.weightless(it), it.has("neg"):
			return true
		}
	}
	return false
}

// restLeft: "wf3 drained, others dry", "did the belt on bl1 and half of ht1".
func (a *account) restLeft(s, _ *piece) bool {
	if s.told || s.silent != "" {
		return false
	}
	for i, it := range s.items {
		if it.has("rest") && (it.n > 1 || strings.HasSuffix(a.toks[it.at].w, "s") || i+1 == len(s.items)) {
			return true
		}
		if it.has("frac") && i+1 < len(s.items) && s.items[i+1].is("prep", "of") {
			k := skipDet(s.items, i+2)
			if k < len(s.items) && s.items[k].named {
				return true
			}
		}
		if it.has("frac") && len(s.items) == 2 && a.p.ctx.Reply != nil {
			return true // "done, half of it"
		}
	}
	return false
}

// machineLeft: "greased om1 wrong, om2". A machine that only tells where something
// was is no more than a place.
func (a *account) machineLeft(s, _ *piece) bool {
	if s.silent != "" {
		return false
	}
	for i, it := range s.items {
		if !it.named || it.numeric || len(it.m.ids) == 0 || a.hasMachine(it) {
			continue
		}
		k := i - 1
		for k >= 0 && s.items[k].has("det") {
			k--
		}
		if k >= 0 && (s.items[k].has("prep") || s.items[k].has("at") || s.items[k].has("tail") || a.weightless(s.items[k]) || s.items[k].is("glue", "")) {
			continue
		}
		return true
	}
	return false
}

// seenLeft: "but bowl is cracked". What was seen of a hand or the sky is none.
func (a *account) seenLeft(s, _ *piece) bool {
	if s.told || s.silent != "" || s.aside {
		return false
	}
	seen := false
	for i, it := range s.items {
		switch {
		case it.has("cond-part"), it.has("find") && !it.has("verb0") && !it.is("find", "dry") && !it.is("find", "ringdown"):
			if i > 0 && (s.items[i-1].has("neg") || s.items[i-1].has("no") || s.items[i-1].has("oldone")) || it.has("glue") || a.p.passed[a.toks[it.at].pos] {
				return false
			}
			if next := s.place + 1; i+1 == len(s.items) && next < len(a.pieces) && len(a.pieces[next].items) == 1 && a.pieces[next].items[0].has("no") {
				return false // "rust: no"
			}
			for _, act := range a.acts {
				if act.Kind == Finding && string(act.Finding) == it.val("find") {
					return false
				}
			}
			seen = true
		case it.has("part") && a.didPart(it.val("part")):
			return false
		case it.filler(), it.named, it.has("part"), it.has("other"), it.has("amount"), it.has("rest"), it.has("all"), it.numeric, it.has("wetat"):
		default:
			return false
		}
	}
	return seen
}

// thingLeft: "primer wont hold", "drain cock snapped off". What was wrong with a
// part that was worked on is why it was.
func (a *account) thingLeft(s, _ *piece) bool {
	if s.told || s.silent != "" && s.silent != silencers["neg"] {
		return false
	}
	thing, world := -1, false
	for i, it := range s.items {
		switch {
		case it.has("world") && thing < 0, it.has("oldone"), it.has("order"), it.has("req"), it.has("plan"):
			world = true
		case thing < 0 && (it.has("other") || it.has("wetat")) && !it.has("event") && !a.inWords(it),
			thing < 0 && it.has("part") && !a.didPart(it.val("part")):
			thing = i
			if i > 0 && (s.items[i-1].is("glue", "") || a.toks[it.at-1].w == "my") && (a.toks[it.at-1].w == "old" || a.toks[it.at-1].w == "my") {
				world = true
			}
		case thing >= 0 && !world && it.is("glue", "state"), thing >= 0 && !world && it.has("cond-part"):
			return !(i > 0 && s.items[i-1].has("neg"))
		case thing >= 0 && !world && it.unknown() && !a.weightless(it) && strings.HasSuffix(a.toks[it.at].w, "ed") && i > 0 && (s.items[i-1].has("aux") || i == thing+1):
			return true
		case thing >= 0 && !world && it.has("neg") && it.n == 1:
			return a.refuses(s.items[i:])
		}
	}
	return false
}

// refuses says whether a part will not do what it is there for: "wont close".
func (a *account) refuses(items []item) bool {
	switch a.toks[items[0].at].w {
	case "wont", "doesnt", "cant", "wouldnt", "couldnt":
	default:
		return false
	}
	if len(items) < 2 {
		return false
	}
	next := items[1]
	return !next.has("verb") && !next.has("verb0") && !next.has("plan") && !next.has("aux") && !next.has("find")
}

// workLeft: "sprogged the knuckle". Of such a word without a person before it,
// only that it is done to something tells that it is work.
func (a *account) workLeft(s, before *piece) bool {
	if s.told || s.silent != "" {
		return false
	}
	i := 0
	for i < len(s.items) && s.items[i].filler() && !s.items[i].has("who") && !s.items[i].has("pron") && !s.items[i].has("det") {
		i++
	}
	if i+1 >= len(s.items) {
		return false
	}
	v := s.items[i]
	w := a.toks[v.at].w
	known := v.has("verb") && !v.is("verb", "do") && !v.has("thatwas") && !v.has("fuelverb")
	if !known && !(v.n == 1 && strings.HasSuffix(w, "ed") && (v.unknown() || v.is("glue", "state")) && !a.weightless(v)) {
		return false
	}
	k := i + 1
	if !s.items[k].has("det") && !s.items[k].has("new") {
		return false
	}
	switch a.word(s.items[k]) {
	case "my", "his", "her", "your", "their", "our":
		return false
	}
	for k < len(s.items) && (s.items[k].has("det") || s.items[k].has("new") || s.items[k].has("mod")) {
		k++
	}
	if k >= len(s.items) {
		return false
	}
	o := s.items[k]
	return (o.unknown() || o.has("other") && !a.inWords(o)) && !a.weightless(o)
}

// moreLeft: "and the thingummy too". A thing that is added to what was worked on
// was worked on as well.
func (a *account) moreLeft(s, before *piece) bool {
	if s.told || s.silent != "" || s.sep != 'a' || !before.told || s.sentence != before.sentence {
		return false
	}
	odd := false
	for i, it := range s.items {
		switch {
		case a.weightless(it), it.has("pron"):
			return false
		case it.unknown():
			w := a.toks[it.at].w
			if !odd && i > 0 && !s.items[i-1].has("det") && !s.items[i-1].has("new") && !s.items[i-1].has("part") || strings.HasSuffix(w, "ing") || strings.HasSuffix(w, "ly") {
				return false
			}
			odd = true
		case it.has("det"), it.has("new"), it.has("prep"), it.named, it.has("other"), it.has("part"), it.is("glue", "") && odd:
		default:
			return false
		}
	}
	return odd
}

// measureLeft: "20 ml the first time and 5 ml the second".
func (a *account) measureLeft(s, _ *piece) bool {
	if s.told || s.silent != "" || a.remark(s) || a.saidAgain() {
		return false
	}
	for _, it := range s.items {
		if it.numeric && !it.named && !(it.unit == "litres" || it.unit == "quart" || it.unit == "pint") && measures[it.unit] > 0 && !a.hasAmount(it) {
			return true
		}
	}
	return false
}

// saidAgain says whether the message corrects itself.
func (a *account) saidAgain() bool {
	for i := range a.pieces {
		for _, it := range a.pieces[i].items {
			if it.has("shouldbe") || it.has("fix") {
				return true
			}
		}
	}
	return false
}

// hasAmount says whether an act holds the amount of an item.
func (a *account) hasAmount(it item) bool {
	q := *a.p
	q.toks = a.toks
	for _, act := range a.acts {
		if act.Amount != (engine.Amount{}) && act.Amount == q.measured(it, nil) || act.Litres != 0 {
			return true
		}
	}
	return false
}

// isDay says whether an item is a stretch of days that is counted from something.
func (a *account) isDay(it item) bool {
	switch a.word(it) {
	case "day", "night", "morning", "evening", "week", "weekend", "month":
		return true
	}
	return false
}

// odd says whether an item is a word for a thing that nobody knows here.
func (a *account) odd(it item) bool {
	w := a.word(it)
	return it.unknown() && len(it.senses) == 0 && w != "" && !a.weightless(it) && a.toks[it.at].kind == word &&
		!strings.HasSuffix(w, "ly") && !strings.HasSuffix(w, "ing") && !strings.HasSuffix(w, "ed") && a.p.names.partial[a.toks[it.at].lem] == nil
}

// turnLeft: "greased om1 wrong", "drained rt1 <5 ml".
func (a *account) turnLeft(s, _ *piece) bool {
	if !s.told {
		return false
	}
	for i, it := range s.items {
		switch {
		case it.has("bound") && i+1 < len(s.items):
			k := i + 1
			if s.items[k].has("det") && !s.items[k].numeric {
				k++
			}
			if k < len(s.items) && s.items[k].numeric && measures[s.items[k].unit] > 0 {
				return true
			}
		case it.n == 1 && it.has("wrong"):
			return true
		case it.numeric && !it.named && it.unit == "" && i+2 < len(s.items) && s.items[i+1].is("prep", "of") && (s.items[i+2].has("find") || s.items[i+2].has("part")):
			return true // "and 2 of sludge"
		case a.isDay(it) && i+1 < len(s.items) && (a.word(s.items[i+1]) == "before" || a.word(s.items[i+1]) == "after"):
			return true // "the day before the frost"
		case it.has("part") && i+1 < len(s.items) && i > 0 && s.items[i-1].has("det") && a.odd(s.items[i+1]):
			return true // "the breather whatsit"
		}
	}
	return false
}

// partLeft: "bled rt1 after changing the fuel filter".
func (a *account) partLeft(s, _ *piece) bool {
	if s.silent != "" {
		return false
	}
	for i, it := range s.items {
		if !it.has("ing") || i == 0 {
			continue
		}
		switch a.word(s.items[i-1]) {
		case "after", "before", "while", "when", "having", "besides":
		default:
			continue
		}
		k := skipDet(s.items, i+1)
		if k < len(s.items) && s.items[k].has("part") && !a.didPart(s.items[k].val("part")) {
			return true
		}
	}
	return false
}
