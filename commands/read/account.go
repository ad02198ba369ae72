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
	return it.n == 1 && lex.weights[a.toks[it.at].w] != "" && !a.hardware(it)
}

// hardware says whether an item is a thing that machines are made of.
func (a *account) hardware(it item) bool {
	if of := lex.weights[a.toks[it.at].w]; it.n == 1 && of != "" && of != "machine" {
		return false
	}
	if it.has("other") || it.has("wetat") && !it.has("event") {
		return true
	}
	return it.n == 1 && it.unknown() && it.person == "" && lex.weights[a.toks[it.at].w] == "machine"
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

// strange says whether a clause has words in it that may change what it says.
// What trails after everything that was said, such as a place, may stand.
func (r *report) strange(f fact) bool {
	items := r.p.clauses[f.clause].items
	last := r.lastCore(items)
	count, limit := 0, 0
	if f.act.Kind == Symptom {
		limit = 2
	}
	for i, it := range items {
		if !it.unknown() || it.person != "" || it.n == 1 && r.p.clauses[f.clause].named != "" && r.p.toks[it.at].lem == r.p.clauses[f.clause].named {
			continue
		}
		w := r.p.toks[it.at].w
		if strings.HasSuffix(w, "ly") && len(w) > 4 {
			continue
		}
		if f.act.Kind == Service && len(f.act.Jobs) == 1 && f.act.Jobs[0] == engine.OtherWork && len(it.senses) > 0 && !it.has("world") {
			continue
		}
		if i > last {
			placed := i > 0 && (items[i-1].has("prep") || items[i-1].has("at") || items[i-1].has("det") || items[i-1].unknown())
			if !placed && strings.HasSuffix(w, "ed") && !strings.HasSuffix(w, "eed") || i-last > 6 {
				return true
			}
			k := i - 1
			for k > last && items[k].has("det") {
				k--
			}
			if k == last && last >= 0 && (items[last].has("verb") || items[last].has("verb0")) {
				return true // what the verb was done to is not known
			}
			continue
		}
		if it.has("world") {
			return true
		}
		count++
	}
	return count > limit
}

// lastCore is the place of the last item that says something.
func (r *report) lastCore(items []item) int {
	for i := len(items) - 1; i >= 0; i-- {
		it := items[i]
		if it.named || it.numeric || it.has("verb") || it.has("part") || it.has("find") || it.has("symptom") ||
			it.has("event") || it.has("vague") || it.has("cond-part") || it.has("new") || it.has("fuelverb") || it.has("grade") || it.has("other") {
			return i
		}
	}
	return -1
}

// strangeReading is strange for a figure: what stands between it and its
// machine must be explained.
func (r *report) strangeReading(c int, at int) bool {
	items := r.p.clauses[c].items
	if c < len(r.groups) && indexOf(items, "world") >= 0 && !items[at].has("unit") && items[at].num.decimals == 0 {
		return true
	}
	lo, hi := at, at
	for i, it := range items {
		if it.named {
			lo, hi = min(lo, i), max(hi, i)
		}
	}
	for i := lo; i <= hi; i++ {
		if items[i].unknown() || items[i].has("world") || items[i].has("ask") {
			return true
		}
	}
	for i := 0; i < lo; i++ {
		if items[i].unknown() && !r.leadIn(items[i]) {
			return true
		}
	}
	unknown := 0
	for i := hi + 1; i < len(items); i++ {
		if items[i].unknown() && !(i > 0 && (items[i-1].has("prep") || items[i-1].has("det"))) {
			unknown++
		}
		if i == hi+1 && items[i].unknown() && items[at].num.decimals == 0 && items[at].unit == "" {
			return true
		}
		if items[i].has("foreign") {
			return true
		}
	}
	return unknown > 2
}

func (r *report) leadIn(it item) bool { return it.person != "" }
