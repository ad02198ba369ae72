package read

import (
	"strings"

	"woodruff/engine"
)

// group is the machines that a clause speaks of.
type group struct {
	ids    []int32
	unsure bool
	own    bool // named in the clause itself
	from   int  // the clause that names them, -1 for the context
	ctxID  engine.MachineID
}

func (g group) known() bool { return g.ctxID != 0 || len(g.ids) > 0 && !g.unsure }
func (g group) none() bool  { return g.ctxID == 0 && len(g.ids) == 0 }

// report is the outcome of reading a message as a report of work.
type report struct {
	p      *parse
	groups []group
	days   []resolved
	by     []string
	facts  []fact
	hours  []map[engine.MachineID]hoursRead
	asks   []Act // questions found, in the order in which they were
}

// reports reads the message as a report, with the questions in it.
func (p *parse) reports() []Candidate {
	if c, ok := p.questions(); ok {
		return c
	}
	acts, score, why := p.report(p.items)
	return []Candidate{{Acts: acts, Score: score, Why: why}}
}

// report reads items as work done, things seen, readings and fills.
func (p *parse) report(items []item) ([]Act, float64, []string) {
	p.clauses = split(items, p.toks)
	p.markSilence()
	r := &report{p: p}
	r.findGroups()
	r.findBy()
	r.facts = append(p.bindWork(), p.bindSeen()...)
	r.copySame()
	r.fillGaps()
	r.findHours()
	r.spreadAll()
	r.findDays()
	r.dropUnfounded()
	acts, why := r.assemble()
	for i := range p.clauses {
		if p.clauses[i].silent != "" {
			why = append(why, "part "+itoa(i+1)+" is "+p.clauses[i].silent)
		}
	}
	if len(acts) == 0 {
		return []Act{{Kind: Chat}}, 0.5, append(why, "nothing firm is said of a machine")
	}
	return acts, float64(2 + len(acts)), why
}

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}

// findGroups gives each clause its machines: its own, those of the clause
// before, of the one after, or of the context.
func (r *report) findGroups() {
	cl := r.p.clauses
	r.groups = make([]group, len(cl))
	for i := range cl {
		r.groups[i] = r.ownGroup(i)
		if !r.groups[i].own {
			r.nameAgain(i)
		}
	}
	for i := range cl {
		if r.groups[i].own {
			continue
		}
		r.groups[i] = r.borrow(i)
	}
}

func (r *report) ownGroup(i int) group {
	g := group{from: i}
	for _, it := range r.p.clauses[i].items {
		if !it.named {
			continue
		}
		g.own = true
		if it.m.unsure || len(it.m.ids) == 0 {
			g.unsure = true
		}
		for _, id := range it.m.ids {
			if !has32(g.ids, id) {
				g.ids = append(g.ids, id)
			}
		}
	}
	return g
}

// nameAgain reads a short name for one of the machines spoken of before, and
// "the others": "all three fans drained, creek had water, others clean".
func (r *report) nameAgain(c int) {
	var before, told []int32
	for k := 0; k < c; k++ {
		g := r.groups[k]
		if !g.own || g.unsure {
			continue
		}
		for _, id := range g.ids {
			if !has32(before, id) {
				before = append(before, id)
			}
			if len(g.ids) == 1 && (r.hasFacts(k) || r.p.clauses[k].has("amount")) && !has32(told, id) {
				told = append(told, id)
			}
		}
	}
	if len(before) < 2 {
		if len(before) == 1 {
			r.nameMate(c, before[0])
		}
		return
	}
	for _, it := range r.p.clauses[c].items {
		if it.has("rest") {
			r.groups[c] = group{own: true, from: c, ids: without(mention{ids: before}, told).ids}
			return
		}
		if it.n != 1 || it.named || it.brk != 0 {
			continue
		}
		nw := r.p.names.partial[r.p.toks[it.at].lem]
		if nw == nil || hasDigit(r.p.toks[it.at].lem) {
			continue
		}
		if ids := intersect(sorted32(before), nw.ids); len(ids) == 1 && it.unknown() {
			r.groups[c] = group{own: true, from: c, ids: ids}
			r.p.clauses[c].named = r.p.toks[it.at].lem
			return
		}
	}
}

// nameMate reads the telling word of another machine of the kind just spoken of:
// "hollow fan oil changed, river too".
func (r *report) nameMate(c int, before int32) {
	items := r.p.clauses[c].items
	for i, it := range items {
		if it.filler() {
			continue
		}
		ids := intersect(r.p.names.tellingWord(it, r.p.toks), r.p.names.sameKind(before))
		if len(ids) == 1 && ids[0] != before && !(i > 0 && items[i-1].has("prep")) {
			r.groups[c] = group{own: true, from: c, ids: ids}
			r.p.clauses[c].named = r.p.toks[it.at].lem
		}
		return
	}
}

func sorted32(ids []int32) []int32 { return sortedUnique(append([]int32(nil), ids...)) }

func has32(ids []int32, id int32) bool {
	for _, x := range ids {
		if x == id {
			return true
		}
	}
	return false
}

// borrow finds the machines of a clause that names none.
func (r *report) borrow(i int) group {
	cl := r.p.clauses
	if id := r.p.contextMachine(); id != 0 && r.ofContext(i) {
		return group{from: -1, ctxID: id}
	}
	next := -1
	for k := i + 1; k < len(cl); k++ {
		if r.groups[k].own {
			next = k
			break
		}
		if k > i+20 {
			break
		}
	}
	prev := -1
	if i > 0 && !r.groups[i-1].none() && r.groups[i-1].from >= 0 {
		prev = r.groups[i-1].from
	}
	if prev >= 0 {
		// "drained N1, injectors out and valves set on N2": joined by "and" to a
		// clause that ends with its machine, not to the one before
		if next == i+1 && cl[next].sep == 'a' && cl[i].sep != 'a' && cl[i].sentence == cl[next].sentence && r.machineLast(next) && !r.pronoun(i) {
			return r.groups[next]
		}
		g := r.groups[prev]
		g.own = false
		return g
	}
	if next >= 0 && (cl[next].sentence == cl[i].sentence || r.p.contextMachine() == 0) && cl[next].sep != 'b' {
		g := r.groups[next]
		g.own = false
		return g
	}
	if id := r.p.contextMachine(); id != 0 {
		return group{from: -1, ctxID: id}
	}
	return group{from: -1}
}

// ofContext says whether a clause plainly means the machine of the thread or
// the reminder: "this one's 919.0", "done it, and greased the hauler".
func (r *report) ofContext(c int) bool {
	items := r.p.clauses[c].items
	first := c == 0 || r.groups[c-1].from < 0
	for i, it := range items {
		if it.has("pron") && strings.HasPrefix(r.p.phrase(it), "this one") {
			return true
		}
		if it.is("verb", "do") && first && r.p.ctx.Reply != nil && len(r.p.replyJobs()) > 0 && !hasPart(items[i:]) {
			return true
		}
	}
	return false
}

// machineLast says whether the first thing that a clause says comes before its
// machine.
func (r *report) machineLast(c int) bool { return !machineFirst(r.p.clauses[c].items) }

func (r *report) pronoun(c int) bool { return indexOf(r.p.clauses[c].items, "pron") >= 0 }

// contextMachine is the machine of the reply, the thread or the open question.
func (p *parse) contextMachine() engine.MachineID {
	switch {
	case p.ctx.Reply != nil && p.ctx.Reply.Machine != 0:
		return p.ctx.Reply.Machine
	case p.ctx.Thread != 0:
		return p.ctx.Thread
	case p.ctx.Asked != nil && p.ctx.Asked.Machine != 0 && p.ctx.Asked.Check != "":
		return p.ctx.Asked.Machine
	case p.ctx.Asked != nil && p.ctx.Asked.Ask == AskMeaning && len(p.ctx.Asked.Held) > 0:
		return p.ctx.Asked.Held[0].Machine
	}
	return 0
}

// spreadAll gives "all drained clean" to every machine that was listed before.
func (r *report) spreadAll() {
	cl := r.p.clauses
	for i := range cl {
		k := indexOf(cl[i].items, "all")
		if k < 0 || !hasVerb(cl[i].items) && indexOf(cl[i].items, "find") < 0 && indexOf(cl[i].items, "event") < 0 {
			continue
		}
		if k+1 < len(cl[i].items) && (cl[i].items[k+1].named || cl[i].items[k+1].has("part") || cl[i].items[k+1].has("det") && k+2 < len(cl[i].items) && cl[i].items[k+2].has("part")) {
			continue
		}
		g := group{own: r.groups[i].own, from: i}
		for j := 0; j <= i; j++ {
			if j < i && (!r.groups[j].own || r.hasFacts(j) && !hasVerb(cl[j].items)) {
				continue
			}
			if !r.groups[j].own {
				continue
			}
			g.unsure = g.unsure || r.groups[j].unsure
			for _, id := range r.groups[j].ids {
				if !has32(g.ids, id) {
					g.ids = append(g.ids, id)
				}
			}
		}
		switch {
		case len(g.ids) > 1:
			r.groups[i] = g
		case r.p.toks[cl[i].items[k].at].w == "both" && len(r.groups[i].ids) == 1 && !severalParts(cl[i].items[:k]):
			r.groups[i].unsure = true // both of which?
		}
	}
}

// severalParts says whether "both" speaks of parts: "separator and final filter
// were both replaced".
func severalParts(items []item) bool {
	n := 0
	for _, it := range items {
		if it.has("part") || it.has("event") {
			n++
		}
	}
	return n > 1
}

// hasFacts says whether a clause tells more than a reading.
func (r *report) hasFacts(c int) bool {
	for _, it := range r.p.clauses[c].items {
		if it.has("find") || it.has("symptom") || it.has("cond-part") {
			return true
		}
	}
	return false
}

// findBy finds who did the work, where the message names somebody.
func (r *report) findBy() {
	r.by = make([]string, len(r.p.clauses))
	for c := range r.p.clauses {
		cl := &r.p.clauses[c]
		name := r.doer(cl)
		if name == "?" {
			cl.silent = "work of somebody who is not named"
			continue
		}
		if name != "" && c > 0 && cl.sep == 'a' && len(r.p.clauses[c-1].items) == 1 && r.p.clauses[c-1].items[0].person != "" {
			name = r.p.clauses[c-1].items[0].person + " and " + name
		}
		r.by[c] = name
		if name == "" && c > 0 && cl.sep == 'a' && !cl.has("who") && r.by[c-1] != "" {
			r.by[c] = r.by[c-1]
		}
	}
}

func (c *clause) has(k class) bool { return indexOf(c.items, k) >= 0 }

// doer is the subject of a clause's first verb when it is a person.
func (r *report) doer(c *clause) string {
	p := r.p
	for i, it := range c.items {
		if it.person != "" && i > 0 && p.word(c.items[i-1]) == "by" {
			return it.person
		}
		if p.word(it) == "by" && i > 0 && i+1 < len(c.items) && c.has("verb") {
			k := i + 1
			for k+1 < len(c.items) && c.items[k].has("det") {
				k++
			}
			if c.items[k].unknown() && c.items[k].n == 1 {
				return strings.TrimSpace(p.textOf(c.items[i+1 : k+1])) // "by my son"
			}
		}
		if !it.has("verb") && !it.has("fuelverb") {
			continue
		}
		if c.has("verb") && p.byLater(c, i) {
			continue
		}
		k := i - 1
		for k >= 0 && (c.items[k].has("aux") || c.items[k].has("glue") && c.items[k].person == "") {
			k--
		}
		if k < 0 {
			break
		}
		s := c.items[k]
		switch {
		case s.person != "":
			return s.person
		case s.has("pron") && (p.word(s) == "he" || p.word(s) == "she" || p.word(s) == "they"):
			return "?"
		case s.unknown() && len(s.senses) == 0 && s.n == 1 && p.toks[s.at].kind == word && !lex.vocab.known[p.toks[s.at].w] && r.opensClause(c, k) && !hasDigit(p.toks[s.at].w) && len(p.toks[s.at].w) > 1 && !strings.HasSuffix(p.toks[s.at].w, "ly"):
			c.items[k].person = p.toks[s.at].raw
			return p.toks[s.at].raw
		}
		break
	}
	return ""
}

// byLater says whether "by somebody" follows in the clause.
func (p *parse) byLater(c *clause, i int) bool {
	for k := i + 1; k+1 < len(c.items); k++ {
		if p.word(c.items[k]) == "by" && (c.items[k+1].person != "" || c.items[k+1].unknown() || c.items[k+1].has("det")) {
			return true
		}
	}
	return false
}

// opensClause says whether only fillers stand before an item.
func (r *report) opensClause(c *clause, k int) bool {
	for _, it := range c.items[:k] {
		if !it.filler() || it.has("det") {
			return false
		}
	}
	return true
}

// findHours reads the hours of each clause's machines.
func (r *report) findHours() {
	r.hours = make([]map[engine.MachineID]hoursRead, len(r.p.clauses))
	for c := range r.p.clauses {
		if s := r.p.clauses[c].silent; s != "" && !r.figureStands(c) {
			continue
		}
		if r.hours[c] == nil && !r.inTurn(c) {
			r.hours[c] = r.hoursOf(c)
		}
	}
}

// figureStands says whether a silent clause still gives a figure: "N1 hasnt
// moved still 1220.8", "not drained yet 1223.4".
func (r *report) figureStands(c int) bool {
	if r.p.clauses[c].asks {
		return true
	}
	if r.p.clauses[c].silent == silencers["plan"] && r.groups[c].own {
		return r.figureFirst(c)
	}
	return r.p.clauses[c].silent == silencers["neg"] && r.groups[c].own && indexOf(r.p.clauses[c].items, "half") < 0
}

// figureFirst says whether a figure with a decimal stands right after the machine
// and before what is only planned: "rt1 2850.4 needs grease".
func (r *report) figureFirst(c int) bool {
	items := r.p.clauses[c].items
	for i, it := range items {
		if i > 0 && items[i-1].named && it.numeric && !it.named && it.num.decimals == 1 {
			return true
		}
		if !it.named && !it.has("det") && !it.filler() {
			return false
		}
	}
	return false
}

func (r *report) hoursOf(c int) map[engine.MachineID]hoursRead {
	p, g := r.p, r.groups[c]
	items := p.clauses[c].items
	out := map[engine.MachineID]hoursRead{}
	var ms []int
	for i, it := range items {
		if it.named {
			ms = append(ms, i)
		}
	}
	if len(ms) > 1 && !g.unsure {
		for n, i := range ms {
			end := len(items)
			if n+1 < len(ms) {
				end = ms[n+1]
			}
			k := i + 1
			for k < end && (items[k].has("at") || items[k].has("aux") || items[k].has("sayshours") || items[k].has("meterword")) {
				k++
			}
			if k < end && len(items[i].m.ids) == 1 && p.hoursRank(c, k, items[i].m.ids[0]) > 0 {
				t, ok := items[k].num.tenths()
				out[p.names.id(items[i].m.ids[0])] = hoursRead{ok: true, hours: t, unsure: !ok || p.halfRead(items, k), at: k}
				items[k].used = true
			}
		}
		for i := range items {
			if !items[i].used && p.hoursRank(c, i, -1) >= 3 && items[i].num.decimals == 1 {
				out[p.names.id(g.ids[0])] = hoursRead{ok: true, unsure: true, at: i}
			}
		}
		return out
	}
	place := int32(-1)
	if len(g.ids) == 1 {
		place = g.ids[0]
	} else if g.ctxID != 0 {
		place = p.names.place(g.ctxID)
	}
	h := p.hoursIn(c, place)
	if k := r.figureCut(c); k >= 0 {
		items[k].num.blurred = true
		h = hoursRead{ok: true, unsure: true, at: k}
	}
	if !h.ok {
		if i := indexOf(items, "half"); i > 0 && g.own && !h.ok {
			for k := i - 1; k >= 0 && k >= i-3; k-- {
				if items[k].numeric && !items[k].named && items[k].unit == "" || items[k].has("meterword") || items[k].has("sayshours") {
					h = hoursRead{ok: true, unsure: true, at: k}
				}
			}
		}
	}
	if h.ok {
		p.clauses[c].items[h.at].used = true
		switch {
		case g.ctxID != 0:
			out[g.ctxID] = h
		case len(g.ids) == 1 && !g.unsure:
			out[p.names.id(g.ids[0])] = h
		case g.unsure || len(g.ids) == 0:
			out[0] = h
		default:
			h.unsure = true
			out[p.names.id(g.ids[0])] = h
		}
	}
	return out
}

// figureCut is the figure of a clause of which the next clause says that the
// rest could not be read, -1 for none.
func (r *report) figureCut(c int) int {
	cl := r.p.clauses
	if c+1 >= len(cl) || !cl[c+1].has("half") || r.groups[c+1].own {
		return -1
	}
	for _, it := range cl[c+1].items {
		if it.numeric {
			return -1
		}
	}
	for k, it := range cl[c].items {
		if it.numeric && !it.named && it.unit == "" && !it.dated {
			return k
		}
	}
	return -1
}

// inTurn gives several machines named in a row the figures that follow in a
// row: "wf2 wf3 drained clean 540 and 298". Each must fit its machine.
func (r *report) inTurn(c int) bool {
	p, g := r.p, r.groups[c]
	if len(g.ids) < 2 || g.unsure || !g.own {
		return false
	}
	type place struct{ c, i int }
	var at []place
	for k := c; k < len(p.clauses) && p.clauses[k].sentence == p.clauses[c].sentence; k++ {
		if k > c && (r.groups[k].own || p.clauses[k].silent != "" || core(p.clauses[k].items) && len(p.clauses[k].items) > 1) {
			break
		}
		for i, it := range p.clauses[k].items {
			if it.numeric && !it.named {
				at = append(at, place{k, i})
			}
		}
	}
	if len(at) != len(g.ids) || at[0].c != c {
		return false
	}
	out := map[engine.MachineID]hoursRead{}
	for n, x := range at {
		it := p.clauses[x.c].items[x.i]
		t, ok := it.num.tenths()
		if !ok || p.hoursRank(x.c, x.i, g.ids[n]) == 0 || !p.nearest(g.ids[n], it) {
			return false
		}
		out[p.names.id(g.ids[n])] = hoursRead{ok: true, hours: t, at: at[0].i}
	}
	for _, x := range at {
		p.clauses[x.c].items[x.i].used = true
	}
	r.hours[c] = out
	return true
}

// findDays settles on which day each clause's work was done.
func (r *report) findDays() {
	cl := r.p.clauses
	own := make([]*when, len(cl))
	for i := range cl {
		for k := range cl[i].items {
			if it := &cl[i].items[k]; it.dated && !(it.when.known && it.when.offset > 0) && own[i] == nil && !it.numericOnly() {
				own[i] = &it.when
			}
		}
	}
	r.days = make([]resolved, len(cl))
	lead := (*when)(nil)
	for i := range cl {
		if i == 0 || cl[i].sentence != cl[i-1].sentence {
			if own[i] != nil && leadsWithDay(cl[i].items) {
				lead = own[i]
			} else if i > 0 && cl[i-1].end != '\n' && own[i] != nil {
				lead = nil
			}
		}
		w := own[i]
		if w == nil {
			w = r.dayFrom(i, own, lead)
		}
		if w != nil {
			r.days[i] = w.past(r.p.ctx)
		}
	}
}

func (it *item) numericOnly() bool { return it.used && it.numeric }

func leadsWithDay(items []item) bool {
	for _, it := range items {
		if it.dated {
			return true
		}
		if it.named || it.has("verb") || it.numeric {
			return false
		}
	}
	return false
}

// dayFrom takes the day of a neighbouring clause that shares it.
func (r *report) dayFrom(i int, own []*when, lead *when) *when {
	cl := r.p.clauses
	// "injectors replaced and valves set on N1 yesterday"
	for k := i + 1; k < len(cl) && cl[k].sentence == cl[i].sentence && (cl[k].sep == 'a' || !r.groups[i].own && cl[k].sep == ','); k++ {
		if r.groups[i].own && r.groups[k].own && !same32(r.groups[i].ids, r.groups[k].ids) && !r.bare(i) {
			break
		}
		if own[k] != nil {
			if !r.groups[i].own || !r.groups[k].own {
				return own[k]
			}
			break
		}
	}
	for k := i - 1; k >= 0 && cl[k].sentence == cl[i].sentence; k-- {
		if own[k] != nil && same32(r.groups[i].ids, r.groups[k].ids) && cl[i].sep != 's' {
			return own[k]
		}
	}
	return lead
}

func (r *report) bare(c int) bool { return !core(r.p.clauses[c].items) }

func same32(a, b []int32) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
