package read

import "strings"

// bareTags settles for each figure that is also a tag which of the two it is.
func (p *parse) bareTags() {
	p.numberedNames()
	p.nameList()
	p.splitSpoken()
	p.joinThousands()
	others := false
	for _, it := range p.items {
		if it.named && !it.m.bare {
			others = true
		}
	}
	for i := range p.items {
		it := &p.items[i]
		if !it.named || !it.m.bare {
			continue
		}
		if p.isTag(i, others) {
			it.numeric = false
			it.m.bare = false
			others = true
		} else {
			it.named = false
		}
	}
}

// nameList reads a machine's telling word before a figure that fits that machine:
// "ridge 418 hollow 546 river 302".
func (p *parse) nameList() {
	p.nameSeveral()
	for i := range p.items {
		it := &p.items[i]
		ids := p.names.tellingWord(*it, p.toks)
		if len(ids) != 1 || i > 0 && (p.items[i-1].has("det") || p.items[i-1].has("prep") || p.items[i-1].unknown() && !p.items[i-1].numeric) {
			continue
		}
		k := i + 1
		for k < len(p.items) && k < i+3 && (p.items[k].has("at") || p.items[k].has("sayshours") || p.items[k].has("aux") || p.items[k].brk == ',') {
			k++
		}
		if k >= len(p.items) || !p.items[k].numeric || p.items[k].unit != "" && p.items[k].unit != "hours" || p.items[k].approx || !p.nearest(ids[0], p.items[k]) {
			continue
		}
		it.named, it.m, it.senses = true, mention{ids: ids, partial: true}, nil
	}
}

// nameSeveral takes telling words for machines where two or more of one kind are
// named so: "drained hollow and river. hollow clean, river a trace". What stands
// "by the river" is a place.
func (p *parse) nameSeveral() {
	seen := map[int32]bool{}
	var at []int
	for i, it := range p.items {
		ids := p.names.tellingWord(it, p.toks)
		if len(ids) != 1 || i > 0 && p.items[max(i-1, 0)].is("prep", "when") || i > 1 && p.items[i-1].has("det") && p.items[i-2].is("prep", "when") {
			continue
		}
		if i+1 < len(p.items) && (p.items[i+1].unknown() || p.items[i+1].has("world")) {
			continue // "the river road"
		}
		if len(at) > 0 {
			first := p.names.tellingWord(p.items[at[0]], p.toks)[0]
			if !has32(p.names.sameKind(first), ids[0]) {
				continue
			}
		}
		seen[ids[0]] = true
		at = append(at, i)
	}
	if len(seen) < 2 {
		return
	}
	for _, i := range at {
		it := &p.items[i]
		it.m = mention{ids: p.names.tellingWord(*it, p.toks), partial: true}
		it.named, it.senses = true, nil
	}
}

// splitSpoken parts a dictated tag from the figure after it: "twelve fifty five
// thirty one point two". It does so only where no machine is named otherwise
// and the figure fits the machine.
func (p *parse) splitSpoken() {
	for _, it := range p.items {
		if it.named && !it.m.bare {
			return
		}
	}
	for i, it := range p.items {
		if !it.numeric || it.named || len(it.num.spoken) < 3 || it.num.unreal && it.num.decimals > 1 {
			continue
		}
		ids := p.names.exact[it.num.spoken[0]]
		rest := joinAtoms(it.num.spoken[1:])
		if len(ids) != 1 || rest < 0 {
			continue
		}
		n := it.num
		n.milli, n.spoken, n.unreal = rest*1000+it.num.milli%1000, it.num.spoken[1:], false
		t, ok := n.tenths()
		if last, known := p.last(ids[0]); !ok || !known || t < last-100 || t > last+1000 {
			continue
		}
		tag := item{at: it.at, n: 1, named: true, m: mention{ids: ids}}
		fig := it
		fig.at, fig.n, fig.num = it.at+1, it.n-1, n
		p.items = append(p.items[:i:i], append([]item{tag, fig}, p.items[i+1:]...)...)
		return
	}
}

// joinThousands makes "loader 3 975.2" one figure where the two fit the
// machine's last only together.
func (p *parse) joinThousands() {
	for i := 1; i+1 < len(p.items); i++ {
		k := i - 1
		for k > 0 && (p.items[k].has("at") || p.items[k].has("sayshours") || p.items[k].has("aux") || p.items[k].has("meterword") || p.items[k].has("verb")) && !p.items[k].named {
			k--
		}
		m, a, b := p.items[k], p.items[i], p.items[i+1]
		if !m.named || m.m.bare || len(m.m.ids) != 1 || !a.numeric || !b.numeric || a.unit != "" || !a.num.whole() || a.num.milli > 99000 || b.dated || a.num.milli < 1000 ||
			p.toks[a.at].kind != figure || p.toks[b.at].kind != figure || b.num.milli >= 1000000 || len(p.toks[b.at].w) < 3 || b.at != a.at+1 {
			continue
		}
		n := b.num
		n.milli += a.num.milli * 1000
		if b.num.decimals == 1 && b.num.milli < 100000 && len(p.toks[b.at].w) == 4 && a.num.milli >= 10000 {
			n.milli = b.num.milli + a.num.milli*100 // "15 41.2"
		}
		t, ok := n.tenths()
		apart, _ := b.num.tenths()
		if _, known := p.last(m.m.ids[0]); !ok || !known || !p.near(m.m.ids[0], t) || p.near(m.m.ids[0], apart) {
			continue
		}
		b.num, b.named, b.at, b.n = n, false, a.at, b.at+b.n-a.at
		p.items = append(append(p.items[:i:i], b), p.items[i+2:]...)
	}
}

// isTag decides on one such figure from what stands beside it.
func (p *parse) isTag(i int, others bool) bool {
	it := p.items[i]
	if !it.numeric {
		return true
	}
	if it.unit != "" || it.num.clock || it.approx {
		return false
	}
	prev, next := p.beside(i, -1), p.beside(i, 1)
	if next == i+1 && ownersBowl(p.items[next], p.items[i], p.toks) {
		return true
	}
	started := prev < 0 || p.items[prev].brk != 0 || p.items[prev].has("and") || p.items[prev].has("but")
	if prev >= 0 {
		b := p.items[prev]
		switch {
		case b.has("tagword") || b.has("noun"):
			return true
		case b.has("at"), b.has("sayshours"), b.has("meterword"), b.has("all"), b.has("half"):
			return false
		case b.named && !b.m.bare && !b.has("and"):
			return p.numberAfter(next)
		case b.unknown() && !p.askish(b):
			return false
		}
	}
	if next < 0 || p.items[next].brk != 0 {
		return prev >= 0 && (p.items[prev].has("prep") || p.items[prev].has("topic") || p.items[prev].has("putoff") || p.items[prev].has("verb") || p.items[prev].has("and") && others ||
			p.items[prev].has("fuelverb") || p.items[prev].has("part") || p.items[prev].has("event") || p.items[prev].numeric && !p.items[prev].named) ||
			started && !others && prev >= 0 && p.tells() ||
			started && (p.ctx.Asked != nil && p.ctx.Asked.Ask == AskMachine || next >= 0 && p.items[next].brk == ',')
	}
	n := p.items[next]
	if n.unknown() {
		return !started && prev >= 0 && (p.items[prev].has("prep") || p.items[prev].has("topic") || p.items[prev].has("ask")) || prev >= 0 && prev == 0 && p.inverted0(prev)
	}
	if n.has("unit") && !n.numeric {
		return false
	}
	if prev >= 0 && p.items[prev].has("verb") && (n.has("part") || n.has("event")) && strings.HasSuffix(p.toks[n.at+n.n-1].w, "s") {
		return false // "replaced 2 injectors"; but "did 21 grease"
	}
	return true
}

// inverted0 says whether the message opens with the verb of a question: "does 21
// need anything".
func (p *parse) inverted0(i int) bool {
	switch p.word(p.items[i]) {
	case "does", "is", "has", "did", "was", "can":
		return true
	}
	return false
}

// tells says whether the message reports work or something wrong.
func (p *parse) tells() bool {
	for _, it := range p.items {
		if it.has("verb") || it.has("symptom") || it.has("find") {
			return true
		}
	}
	return false
}

// numberAfter says whether a figure follows, so that the one before is a tag.
func (p *parse) numberAfter(i int) bool {
	return i >= 0 && p.items[i].numeric && !p.items[i].named && p.items[i].brk == 0
}

func (p *parse) askish(it item) bool { return it.has("ask") || it.has("asktell") }

// beside is the next item in a direction that is more than an article.
func (p *parse) beside(i, step int) int {
	for j := i + step; j >= 0 && j < len(p.items); j += step {
		if p.items[j].has("det") {
			continue
		}
		return j
	}
	return -1
}
