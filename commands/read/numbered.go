package read

import "strings"

// Machines that are told by their numbers: "rt1 and 2", "fans 1, 2 and 3", "wf1 thru
// 3", "row tractor number one", "mower 2".

// numberedNames names the machines whose numbers stand in a list or range behind a
// machine, and those of a kind of which only the number tells them apart. A
// figure that the meter could show is left to it.
func (p *parse) numberedNames() {
	for i := 0; i < len(p.items); i++ {
		p.exceptOf(i)
		if !p.items[i].named || p.items[i].m.bare {
			continue
		}
		p.saidOfKind(i)
		if p.numberOfKind(i); i >= len(p.items) {
			return
		}
		if !p.numberRange(i) {
			p.numberList(i)
		}
	}
}

// numberOfKind settles "fan 1", "row tractor number one", "rt no. 1".
func (p *parse) numberOfKind(i int) {
	it := p.items[i]
	if len(it.m.ids) < 2 || it.m.one() || it.m.plural {
		return
	}
	if i > 0 && p.gradeNumber(i-1) > 0 {
		if id, ok := p.numbered(i-1, it.m.ids); ok { // "number one row tractor"
			p.items[i-1] = span(p.items[i-1], it, mention{ids: []int32{id}, partial: true})
			p.items = append(p.items[:i:i], p.items[i+1:]...)
			return
		}
	}
	k := i + 1
	for k < len(p.items) && (p.items[k].has("tagword") || p.toks[p.items[k].at].w == "no" || p.items[k].brk == '.' && p.toks[p.items[k].at-1].w == "no") {
		k++
	}
	if k >= len(p.items) {
		return
	}
	id, ok := p.numbered(k, it.m.ids)
	if !ok || k == i+1 && p.nearest(id, p.items[k]) || !p.endsName(k) {
		return
	}
	p.items[i] = span(it, p.items[k], mention{ids: []int32{id}, partial: true})
	p.items = append(p.items[:i+1:i+1], p.items[k+1:]...)
}

// numbered is the one of some machines whose tag ends in the number of an item.
func (p *parse) numbered(k int, among []int32) (int32, bool) {
	it := p.items[k]
	if g := p.gradeNumber(k); g > 0 {
		it = item{at: it.at, n: it.n, numeric: true, num: number{milli: g * 1000}}
	}
	if !it.numeric || it.dated || it.unit != "" || !it.num.whole() || it.num.unreal || it.num.ordinal || it.num.milli < 1000 || it.num.milli > 99000 || it.approx {
		return 0, false
	}
	n, found := itoa(int(it.num.milli/1000)), int32(-1)
	for _, id := range among {
		tag := keyOf(nameTokens(p.names.machines[id].Tag))
		if letters := strings.TrimRight(tag, "0123456789"); letters != "" && tag == letters+n {
			if found >= 0 {
				return 0, false
			}
			found = id
		}
	}
	return found, found >= 0
}

// siblings are the machines whose tags begin as one machine's does.
func (n *Names) siblings(id int32) []int32 {
	return n.family[tagLetters(n.machines[id].Tag)]
}

// tagLetters are what a tag begins with, before its number.
func tagLetters(tag string) string {
	return strings.TrimRight(keyOf(nameTokens(tag)), "0123456789")
}

// endsName says whether what follows a number does not count by it: "rt1 and 2
// belts" is no second machine.
func (p *parse) endsName(k int) bool {
	if k+1 >= len(p.items) {
		return true
	}
	n := p.items[k+1]
	switch {
	case p.toks[n.at].w == "of":
		return false // "ridge or hollow, one of them"
	case n.brk != 0, n.has("verb"), n.has("aux"), n.has("and"), n.numeric, n.named, n.dated, n.has("all"), n.has("at"), n.has("sayshours"), n.has("symptom"), n.has("but"), n.has("except"), n.is("find", "clean"):
		return true
	case n.has("part"), n.has("unit"), n.has("event"), n.has("new"), n.has("other"), n.has("fuelsrc"), n.has("amount"), n.unknown(), n.has("noun"):
		return false
	}
	return n.filler()
}

// numberList reads the numbers behind a machine as more machines: "wf1, 2 and 3".
// Without an "and" it takes two numbers or more in a row.
func (p *parse) numberList(i int) {
	it := p.items[i]
	if len(it.m.ids) != 1 {
		if p.headList(i) {
			return
		}
		return
	}
	among := p.names.siblings(it.m.ids[0])
	if len(among) < 2 {
		return
	}
	at, ids, joined := p.listFrom(i+1, among)
	if len(at) == 0 || !joined && len(at) < 2 {
		return
	}
	for n, k := range at {
		p.items[k].named, p.items[k].numeric = true, false
		p.items[k].m, p.items[k].senses = mention{ids: []int32{ids[n]}}, nil
	}
	p.items = oneList(p.items, i, at[len(at)-1])
}

// headList reads "fans 1, 2 and 3".
func (p *parse) headList(i int) bool {
	it := p.items[i]
	if !it.m.plural {
		return false
	}
	at, ids, _ := p.listFrom(i+1, it.m.ids)
	if len(at) < 2 {
		return false
	}
	p.items[i] = span(it, p.items[at[len(at)-1]], mention{ids: ids, set: true, partial: true})
	p.items = append(p.items[:i+1:i+1], p.items[at[len(at)-1]+1:]...)
	return true
}

// listFrom finds the numbers of a list from an item on; joined says that an "and"
// stands in it.
func (p *parse) listFrom(k int, among []int32) (at []int, ids []int32, joined bool) {
	for k < len(p.items) {
		and := false
		for k < len(p.items) && (p.items[k].has("and") || p.items[k].brk == ',' && p.toks[p.items[k].at].raw == ",") {
			and = and || p.items[k].has("and")
			k++
		}
		if k >= len(p.items) {
			break
		}
		id, ok := p.numbered(k, among)
		if !ok || p.nearest(id, p.items[k]) && !and || has32(ids, id) || !p.endsName(k) {
			break
		}
		at, ids, joined = append(at, k), append(ids, id), joined || and
		k++
	}
	return at, ids, joined
}

// oneList leaves no commas within a list of machines.
func oneList(items []item, from, to int) []item {
	for k := from; k < to; k++ {
		if items[k].brk == ',' {
			items[k] = item{at: items[k].at, n: 1, senses: []sense{{"and", ""}}}
		}
	}
	return items
}

// numberRange reads "wf1 thru wf3", "wf1-3", "wf1 to 3": each one between.
func (p *parse) numberRange(i int) bool {
	it := p.items[i]
	if len(it.m.ids) != 1 || it.m.unsure {
		return false
	}
	among := p.names.siblings(it.m.ids[0])
	k, spaced := i+1, false
	switch {
	case k >= len(p.items) || len(among) < 2:
		return false
	case p.items[k].numeric && p.toks[p.items[k].at].glued && p.toks[p.items[k].at].pos == p.toks[it.at].pos+len(p.toks[it.at].raw)+1:
	case p.items[k].n == 1 && rangeWords[p.toks[p.items[k].at].w] || p.items[k].brk == ',' && p.toks[p.items[k].at].raw == "-":
		spaced = p.items[k].brk != 0
		k++
	default:
		return false
	}
	if k >= len(p.items) {
		return false
	}
	end, ok := p.numbered(k, among)
	if p.items[k].named && len(p.items[k].m.ids) == 1 && has32(among, p.items[k].m.ids[0]) {
		end, ok = p.items[k].m.ids[0], true
	}
	if !ok || !p.endsName(k) || p.items[k].numeric && p.nearest(it.m.ids[0], p.items[k]) {
		return false
	}
	lo, hi := p.numberOf(it.m.ids[0]), p.numberOf(end)
	m := mention{set: true}
	for _, id := range among {
		if n := p.numberOf(id); n >= lo && n <= hi {
			m.ids = append(m.ids, id)
		}
	}
	if len(m.ids) < 2 || spaced && len(m.ids) < 3 || p.toks[p.items[i+1].at].w == "to" && (len(m.ids) < 3 || !saysWork(p.items) || p.shifts()) {
		return false
	}
	if spaced || len(m.ids) != hi-lo+1 {
		m.set, m.unsure = false, true // a pause between two, or are those between meant?
	}
	p.items[i] = span(it, p.items[k], m)
	p.items = append(p.items[:i+1:i+1], p.items[k+1:]...)
	return true
}

var rangeWords = map[string]bool{"to": true, "thru": true, "through": true}

// numberOf is the number that a machine's tag ends in.
func (p *parse) numberOf(id int32) int {
	tag := keyOf(nameTokens(p.names.machines[id].Tag))
	letters := strings.TrimRight(tag, "0123456789")
	if len(tag)-len(letters) > 6 {
		return 0
	}
	return atoi(tag[len(letters):])
}

// exceptOf takes the machines out of a set that are named as exceptions: "the fans
// except the hollow fan", "all fans minus wf2", "all but wf2 of the fans". One that
// cannot be made out leaves the whole in doubt.
func (p *parse) exceptOf(i int) {
	items := p.items
	if items[i].has("except") && p.toks[items[i].at].w == "all" && i+3 < len(items) && items[i+1].named && items[i+2].is("prep", "of") {
		k := skipDet(items, i+3)
		if k < len(items) && items[k].named && items[k].m.plural && items[i+1].m.one() {
			p.items[i] = span(items[i], items[k], without(mention{ids: items[k].m.ids, set: true}, items[i+1].m.ids))
			p.items = append(p.items[:i+1:i+1], items[k+1:]...)
		}
		return
	}
	if !items[i].named || !items[i].m.set || len(items[i].m.ids) < 2 || !items[i].m.plural && items[i].n < 2 {
		return
	}
	k := i + 1
	if k < len(items) && items[k].brk == ',' {
		k++
	}
	if k >= len(items) || !items[k].has("except") && !exceptWords[p.toks[items[k].at].w] {
		return
	}
	k = skipDet(items, k+1)
	if k >= len(items) {
		return
	}
	ids := p.names.tellingWord(items[k], p.toks)
	if items[k].named {
		ids = items[k].m.ids
	}
	if len(ids) != 1 || !has32(items[i].m.ids, ids[0]) {
		return
	}
	if k+1 < len(items) && items[k+1].n == 1 && isOne(p.toks[items[k+1].at]) {
		k++
	}
	m := without(items[i].m, ids)
	p.items[i] = span(items[i], items[k], m)
	p.items = append(p.items[:i+1:i+1], items[k+1:]...)
}

var exceptWords = map[string]bool{"minus": true, "bar": true, "less": true, "sans": true, "save": true, "not": true, "but": true}

// saidOfKind joins a kind to the one machine named right after it: "tractor rt1".
func (p *parse) saidOfKind(i int) {
	if i+1 >= len(p.items) {
		return
	}
	a, b := p.items[i], p.items[i+1]
	if a.named && a.m.partial && a.m.unsure && !a.m.plural && b.named && !b.m.bare && b.m.one() && len(b.m.ids) == 1 && has32(a.m.ids, b.m.ids[0]) {
		p.items[i] = span(a, b, b.m)
		p.items = append(p.items[:i+1:i+1], p.items[i+2:]...)
	}
}

// gradeNumber is 1 or 2 for "number one", "#2", which are grades of fuel as well; 0
// for anything else.
func (p *parse) gradeNumber(k int) int64 {
	it := p.items[k]
	if it.n < 2 || it.unit != "" {
		return 0
	}
	switch {
	case it.is("grade", "no1"):
		return 1
	case it.is("grade", "no2"):
		return 2
	}
	return 0
}

// shifts says whether something goes from one machine to another: "moved the belt
// from wf1 to wf3", "change wf1 to wf3".
func (p *parse) shifts() bool {
	for _, t := range p.toks {
		switch t.w {
		case "from", "change", "move", "moved", "swap", "switch", "correct", "make", "put", "meant", "took", "shift":
			return true
		}
	}
	return false
}
