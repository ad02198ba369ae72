package read

import (
	"strings"

	"woodruff/engine"
)

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
	for i, it := range r.p.clauses[c].items {
		if it.has("rest") {
			left := without(mention{ids: before}, told).ids
			r.groups[c] = group{own: true, from: c, ids: left, unsure: r.p.toks[it.at+it.n-1].w == "one" && len(left) != 1}
			return
		}
		if ids := r.numbered(it, before); ids != nil {
			r.groups[c] = group{own: true, from: c, ids: ids}
			return
		}
		if r.oneOfThem(c, i) {
			r.groups[c] = group{own: true, from: c, ids: before, unsure: true}
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

// numbered reads "number one" of the machines spoken of before.
func (r *report) numbered(it item, before []int32) []int32 {
	digit := map[string]string{"no1": "1", "no2": "2"}[it.val("grade")]
	if digit == "" || r.p.names.partial[digit] == nil {
		return nil
	}
	if ids := intersect(sorted32(before), r.p.names.partial[digit].ids); len(ids) == 1 {
		return ids
	}
	return nil
}

// oneOfThem says whether a part begins with one of the machines before it without
// telling which: "both drained, one clean, one had a teaspoon".
func (r *report) oneOfThem(c, i int) bool {
	items := r.p.clauses[c].items
	it := items[i]
	if it.n != 1 || it.brk != 0 || !isOne(r.p.toks[it.at]) || it.unit != "" || !r.opensClause(&r.p.clauses[c], i) {
		return false
	}
	for _, x := range items[i+1:] {
		if x.has("find") || x.has("amount") || x.has("verb") || x.numeric {
			return true
		}
	}
	return false
}

// nameMate reads the telling word of another machine of the kind just spoken of:
// "hollow fan oil changed, river too".
func (r *report) nameMate(c int, before int32) {
	items := r.p.clauses[c].items
	for i, it := range items {
		if it.filler() {
			continue
		}
		ids := r.p.names.tellingWord(it, r.p.toks)
		if len(ids) == 0 {
			return
		}
		ids = intersect(ids, r.p.names.sameKind(before))
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
	if next == i+1 && prev < 0 && r.p.contextMachine() != 0 && cl[i].sentence == cl[next].sentence && machineFirst(cl[next].items) && hasVerb(cl[i].items) && (hasVerb(cl[next].items) || r.saysSame(next)) {
		return group{from: -1, ctxID: r.p.contextMachine()} // in a reply: "greased, 21 too"
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

// saysSame says whether a clause only adds a machine: "21 too".
func (r *report) saysSame(c int) bool {
	for _, it := range r.p.clauses[c].items {
		switch w := r.p.word(it); {
		case it.has("same"), w == "too", w == "also", r.p.phrase(it) == "as well":
			return true
		}
	}
	return false
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
		if e := r.inEither(cl[i].items); k < 0 && e >= 0 {
			k = e
		}
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
		if n := r.countAfter(cl[i].items, k); n > 0 && n != len(g.ids) && len(g.ids) > 0 {
			g.unsure = true // "all 3" of two
		}
		switch {
		case len(g.ids) > 1:
			for j := i + 1; j < len(cl) && cl[j].sentence == cl[i].sentence && !r.groups[j].own; j++ {
				r.groups[j] = group{ids: g.ids, unsure: g.unsure, from: i}
			}
			r.groups[i] = g
		case r.p.toks[cl[i].items[k].at].w == "both" && len(r.groups[i].ids) == 1 && !severalParts(cl[i].items[:k]):
			r.groups[i].unsure = true // both of which?
		}
	}
}

// inEither finds "nothing in either", "clean in each": what was seen in all.
func (r *report) inEither(items []item) int {
	for i, it := range items {
		w := r.p.toks[it.at].w
		if it.n > 1 && it.has("find") && w == "all" {
			return i // "all clean"
		}
		if it.n == 1 && (w == "either" || w == "any") && i > 0 && indexOf(items[:i], "find") >= 0 {
			return i
		}
	}
	return -1
}

// countAfter is the number after "all", 0 for none.
func (r *report) countAfter(items []item, k int) int {
	if k+1 < len(items) && items[k+1].numeric && items[k+1].num.whole() && items[k+1].unit == "" && items[k+1].num.milli < 100000 && items[k+1].num.milli > 1000 && !items[k+1].named {
		return int(items[k+1].num.milli / 1000)
	}
	return 0
}

// severalParts says whether "both" speaks of parts: "separator and final filter
// were both replaced".
func severalParts(items []item) bool {
	n := 0
	for _, it := range items {
		switch {
		case it.is("part", "hydboth"), it.is("part", "bothfilters"), it.is("part", "oilchange"):
			n += 2
		case it.has("part"), it.has("event"):
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
