package read

import "strings"

// joinMentions reads "both narrow tractors", "all three fans", "every machine",
// "all but the creek fan", "tractor 12".
func joinMentions(items []item, toks []token, names *Names) []item {
	out := items[:0]
	for i := 0; i < len(items); i++ {
		it := items[i]
		if n := len(out); n > 0 && it.named && it.m.partial && it.m.unsure && !it.m.plural && it.n == 1 && out[n-1].named && !out[n-1].numeric && out[n-1].m.one() && !out[n-1].m.plural &&
			len(out[n-1].m.ids) == 1 && has32(it.m.ids, out[n-1].m.ids[0]) {
			out[n-1].n = it.at + it.n - out[n-1].at // "wf1 fan": its kind says the same again
			continue
		}
		if it.named && it.m.partial && !it.m.set && len(out) > 0 && out[len(out)-1].has("mod") && sameHead(it, toks, names) {
			it.m.unsure = true
		}
		if it.named && it.m.plural && someOf(out, toks, len(it.m.ids)) {
			it.m.set, it.m.unsure = false, true
		} else if n := len(out); it.named && it.m.plural && n > 0 && out[n-1].numeric && out[n-1].unit == "" && !out[n-1].named && out[n-1].num.milli == int64(len(it.m.ids))*1000 {
			out[n-1] = item{at: out[n-1].at, n: out[n-1].n, senses: []sense{{"det", ""}}} // "three fans" of three
		}
		if it.has("all") {
			if joined, skip := quantified(items[i:], toks, names); skip > 0 {
				out = append(out, joined)
				i += skip - 1
				continue
			}
		}
		out = append(out, it)
	}
	return out
}

// someOf says whether what stands before a plural takes only a few of them: "one
// of the fans", "most of the mowers". "All of", "both of" do not.
func someOf(before []item, toks []token, all int) bool {
	k := len(before) - 1
	for k >= 0 && before[k].has("det") {
		k--
	}
	if k >= 0 && before[k].has("all") {
		return false
	}
	if k >= 0 && before[k].n > 1 && (before[k].has("amount") || before[k].has("small") || toks[before[k].at+before[k].n-1].w == "of") {
		return true // "a couple of", "some of the"
	}
	if k >= 1 && toks[before[k].at].w == "of" {
		k--
	}
	return partly(before, k, toks, all)
}

func partly(before []item, k int, toks []token, all int) bool {
	if k < 0 || before[k].numeric && before[k].num.milli == int64(all)*1000 {
		return false // "three fans" of three are all
	}
	switch toks[before[k].at+before[k].n-1].w {
	case "one", "some", "most", "few", "either", "neither", "any", "half", "several", "couple", "another", "other", "none", "which":
		return before[k].brk == 0
	}
	return before[k].numeric && before[k].num.whole() && before[k].unit == "" && !before[k].named && before[k].num.milli <= 20000
}

// sameHead says whether other machines share the last word of a mention.
func sameHead(it item, toks []token, names *Names) bool {
	nw := names.partial[singular(toks[it.at+it.n-1].lem)]
	return nw != nil && len(nw.ids) > 1
}

// quantified reads a mention after all, both, each or every.
func quantified(items []item, toks []token, names *Names) (item, int) {
	lead := toks[items[0].at].w
	k := 1
	count := 0
	if lead == "both" {
		count = 2
	}
	for k < len(items) && (items[k].has("det") || items[k].is("prep", "of") || items[k].has("all")) {
		k++
	}
	if k < len(items) && items[k].numeric && items[k].num.whole() && items[k].unit == "" && items[k].num.milli < 100000 && items[k].num.milli >= 2000 {
		count = int(items[k].num.milli / 1000)
		k++
		for k < len(items) && (items[k].has("det") || items[k].is("prep", "of")) {
			k++
		}
	}
	if k >= len(items) {
		return item{}, 0
	}
	it := items[k]
	switch {
	case it.named && it.m.partial && (it.m.plural || lead == "every" || lead == "each"):
		m := it.m
		m.set, m.unsure = true, false
		if count > 0 && count != len(m.ids) {
			m.set, m.unsure = false, true
		}
		j := k + 1
		if rest, ex, ok := exceptions(items, j); ok {
			m = without(m, ex)
			j = rest
		} else if j < len(items) && (items[j].has("except") || items[j].is("prep", "of") && items[j].n > 1) {
			m.set, m.unsure = false, true // but which?
		}
		return span(items[0], items[j-1], m), j
	case it.is("noun", "machine") && count == 0 && lead != "both":
		m := mention{ids: names.all, set: true}
		j := k + 1
		if rest, ex, ok := exceptions(items, j); ok {
			m = without(m, ex)
			j = rest
		}
		return span(items[0], items[j-1], m), j
	case it.has("except") || (it.has("but") && k == 1):
		// all but the creek fan: of its kind, or of the whole shed, is not said
		if rest, ex, ok := exceptions(items, k); ok {
			m := without(mention{ids: names.sameKind(ex[0])}, ex)
			m.set, m.unsure = false, true
			return span(items[0], items[rest-1], m), rest
		}
	}
	if lead == "all but" || strings.HasPrefix(lead, "all") && items[0].n > 1 && items[0].has("except") {
		return item{}, 0
	}
	return item{}, 0
}

func span(first, last item, m mention) item {
	return item{at: first.at, n: last.at + last.n - first.at, named: true, m: m}
}

// exceptions reads "but the creek fan and the hill fan" from item k.
func exceptions(items []item, k int) (int, []int32, bool) {
	j := k
	if j < len(items) && items[j].brk == ',' {
		j++
	}
	if j >= len(items) || !(items[j].has("except") || items[j].has("but") || items[j].is("neg", "not")) {
		return k, nil, false
	}
	j++
	var ids []int32
	end := k
	for j < len(items) && (items[j].has("det") || items[j].has("and") || items[j].has("prep") || items[j].named) {
		if items[j].named {
			if items[j].m.unsure {
				return k, nil, false
			}
			ids = append(ids, items[j].m.ids...)
			end = j + 1
		}
		j++
	}
	return end, ids, len(ids) > 0
}

func without(m mention, ex []int32) mention {
	var ids []int32
	for _, id := range m.ids {
		out := false
		for _, e := range ex {
			out = out || e == id
		}
		if !out {
			ids = append(ids, id)
		}
	}
	m.ids = ids
	return m
}

func (n *Names) sameKind(i int32) []int32 {
	return n.kinds[keyOf(nameTokens(n.machines[i].Kind))]
}

// shortNames reads a name of which only the telling word is said, because its
// head stands elsewhere: "the ridge and the river fan", "all but the ridge one",
// "ridge or hollow, one of them".
func shortNames(items []item, toks []token, names *Names) {
	for i := range items {
		ids := names.tellingWord(items[i], toks)
		if ids == nil && i+1 < len(items) && items[i+1].n == 1 && isOne(toks[items[i+1].at]) {
			ids = names.sideWord(items[i], toks)
		}
		if ids == nil {
			continue
		}
		k, or, joined := afterLink(items, toks, i)
		switch {
		case k < 0:
		case k == i+1 && isOne(toks[items[k].at]):
			items[i].named, items[i].m = true, mention{ids: ids, unsure: len(ids) > 1, partial: true}
			items[k] = item{at: items[k].at, n: items[k].n, senses: []sense{{"glue", "one"}}}
		case joined && items[k].named && !items[k].m.bare:
			if same := intersect(ids, names.headOf(items[k], toks)); len(same) == 1 {
				items[i].named, items[i].m = true, mention{ids: same, partial: true}
			}
		case or && len(ids) == 1:
			if others := names.tellingWord(items[k], toks); len(others) == 1 && others[0] != ids[0] {
				for _, j := range []int{i, k} {
					items[j].named, items[j].m = true, mention{ids: sorted32([]int32{ids[0], others[0]}), unsure: true, partial: true}
				}
			}
		}
	}
}

// placed reads "the frost fan at the hollow", "the mower, the wide one": the
// telling word of a name after its head settles which one is meant.
func placed(items []item, toks []token, names *Names) []item {
	out := items[:0]
	for i := 0; i < len(items); i++ {
		it := items[i]
		if it.named && it.m.unsure && len(it.m.ids) > 1 {
			k := i + 1
			for k < len(items) && k < i+5 && (items[k].has("prep") || items[k].has("at") || items[k].has("det") || items[k].brk == ',' || items[k].is("glue", "")) && names.tellingWord(items[k], toks) == nil {
				k++
			}
			if k > i+1 && k < len(items) && items[k].named && items[k].m.one() && len(items[k].m.ids) == 1 && items[i+1].brk == ',' && has32(it.m.ids, items[k].m.ids[0]) {
				it = span(it, items[k], items[k].m) // "my tractor, the hauler"
				i = k
			} else if k > i+1 && k < len(items) {
				if ids := intersect(sorted32(it.m.ids), names.tellingWord(items[k], toks)); len(ids) == 1 {
					it = span(it, items[k], mention{ids: ids, partial: true})
					i = k
				}
			}
		}
		out = append(out, it)
	}
	return out
}

// ofElsewhere finds "pump at my house", "splitter for the tv": a thing of the
// shed's name that is none of its machines.
func ofElsewhere(items []item, toks []token) {
	for i := range items {
		it := &items[i]
		if !it.named || i+2 >= len(items) || !items[i+1].has("prep") && !items[i+1].has("at") {
			continue
		}
		for k := it.at; k < it.at+it.n; k++ {
			if hasDigit(toks[k].w) {
				return
			}
		}
		k := i + 2
		mine := items[i+1].is("prep", "for")
		if items[k].has("det") {
			w := toks[items[k].at].w
			mine = mine || w != "the" && w != "a" && w != "an" || it.m.unsure
			k++
		} else {
			w := toks[items[k].at].w
			mine = mine || w == "my" || w == "his" || w == "her" || w == "our"
		}
		if mine && k < len(items) && items[k].has("world") {
			*it = item{at: it.at, n: it.n, senses: []sense{{"plain", ""}}}
		}
	}
}

// tellingWord is the machines whose names hold an item's one word, where the
// word is nothing else and no head.
func (n *Names) tellingWord(it item, toks []token) []int32 {
	if it.n != 1 || it.brk != 0 || it.named || it.numeric || toks[it.at].kind != word {
		return nil
	}
	for _, s := range it.senses {
		if s.class != "mod" && s.class != "plain" {
			return nil
		}
	}
	if nw := n.partial[toks[it.at].lem]; nw != nil && !nw.head && !hasDigit(toks[it.at].lem) {
		return nw.ids
	}
	return nil
}

// sideWord is the machines that an everyday adjective tells apart before "one":
// "top one clean, low one a teaspoon".
func (n *Names) sideWord(it item, toks []token) []int32 {
	for _, s := range it.senses {
		if s.class != "glue" && s.class != "mod" && s.class != "plain" {
			return nil
		}
	}
	it.senses = nil
	return n.tellingWord(it, toks)
}

// headOf is the machines that share the head word of a mention.
func (n *Names) headOf(it item, toks []token) []int32 {
	if nw := n.partial[singular(toks[it.at+it.n-1].lem)]; nw != nil {
		return nw.ids
	}
	return nil
}

func isOne(t token) bool { return t.w == "one" || t.w == "ones" }

// afterLink is the next item after "and the", "no the", "or"; joined says that
// such a word stands between, or that it was an "or".
func afterLink(items []item, toks []token, i int) (k int, or, joined bool) {
	for k = i + 1; k < len(items); k++ {
		it := items[k]
		switch {
		case it.n == 1 && toks[it.at].w == "or":
			or, joined = true, true
		case it.has("and"), it.has("fix"), it.has("no"):
			joined = true
		case it.has("det"):
		default:
			return k, or, joined
		}
	}
	return -1, false, false
}

// joinEither makes "the verge mower or the wide one" one machine of two.
func joinEither(items []item, toks []token) []item {
	out := items[:0]
	for i := 0; i < len(items); i++ {
		it := items[i]
		for it.named && !it.m.bare {
			k, or, _ := afterLink(items, toks, i)
			if k < 0 || !or || !items[k].named || items[k].m.bare {
				break
			}
			ids := sorted32(append(append([]int32(nil), it.m.ids...), items[k].m.ids...))
			it = span(it, items[k], mention{ids: ids, unsure: len(ids) > 1})
			i = k
		}
		out = append(out, it)
	}
	return out
}
