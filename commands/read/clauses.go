package read

// clause is a part of a message with one thing to say: what stands between
// breaks, split again where another machine comes in.
type clause struct {
	items    []item
	sentence int
	sep      byte // what parts it from the one before: s sentence, comma, a and, b but, w because, m another machine
	end      byte // what ends its sentence
	silent   string
	asks     bool
	named    string // a word that names its machine again: "creek"
	filled   bool   // a fill that goes on from the clause before
	gone     bool   // what was wrong has gone away: work beside it stands
}

// core says whether a clause says anything by itself; a list of names does not.
func core(items []item) bool {
	for _, it := range items {
		if it.numeric && !it.named && !it.dated || it.dated && (it.when.known && it.when.offset > 0 || it.when.vague == "future") {
			return true
		}
		for _, s := range it.senses {
			if coreClasses[s.class] {
				return true
			}
		}
	}
	return false
}

var coreClasses = map[class]bool{"verb": true, "verb0": true, "ing": true, "new": true, "find": true,
	"symptom": true, "vague": true, "fuelverb": true, "neg": true, "plan": true, "cond": true,
	"hear": true, "doubt": true, "req": true, "collask": true, "quote": true, "gone": true, "absent": true,
	"cond-part": true, "same": true, "startup": true, "dies": true, "amount": true, "putoff": true,
	"pushverb": true, "waitverb": true, "ask": true, "asktell": true, "askwhy": true, "tail": true,
	"needfuel": true, "sayshours": true, "half": true}

// split cuts the items into clauses.
func split(items []item, toks []token) []clause {
	return splitMentions(mergeLists(splitMentions(chunks(items, toks))))
}

// chunks cuts at every break and conjunction.
func chunks(items []item, toks []token) []clause {
	out := make([]clause, 0, 4)
	sep, from, sentence, sentenceFrom := byte('s'), 0, 0, 0
	flush := func(to int, next byte) {
		if to > from {
			out = append(out, clause{sep: sep, sentence: sentence, items: items[from:to:to]})
			sep = next
		} else if next == 's' || sep != 's' {
			sep = next
		}
		from = to + 1
	}
	for i, it := range items {
		switch {
		case it.brk == ',':
			flush(i, ',')
		case it.brk == '.' && goesBack(items[sentenceFrom:i], items[i+1:], toks):
			flush(i, ',')
		case it.brk != 0:
			sentenceFrom = i + 1
			flush(i, 's')
			for k := len(out) - 1; k >= 0 && out[k].sentence == sentence; k-- {
				out[k].end = it.brk
			}
			sentence++
		case it.has("and") && !it.named && i > 0:
			flush(i, 'a')
		case it.has("no") && it.has("neg") && i > from && i+1 < len(items) && items[i+1].has("part") && hasVerb(items[from:i]) && namedIn(items[from:i]):
			flush(i, ',') // "oil changed in ws1 no filter on the shelf": what was not done
			from = i
		case i > from && toks[it.at].w == "so" && i+2 < len(items) && items[i+1].has("who") && items[i+2].has("verb"):
			flush(i, 'a') // "choked with sawdust so | I cleaned it out"
		case i > from && turns(items, toks, from, i):
			flush(i, ',')
			from = i
		case (it.has("but") || it.has("except")) && !it.named:
			flush(i, 'b')
		case it.is("glue", "because") && i > from:
			flush(i, 'w')
		}
	}
	flush(len(items), 's')
	return out
}

// turns says whether a new part of what is said begins at an item without a mark:
// "changed the final | not the separator", "greased it | instead of draining it",
// "i didnt drain it | i greased it".
func turns(items []item, toks []token, from, i int) bool {
	it, before := items[i], items[from:i]
	switch {
	case it.is("verb", "reuse") && it.has("part"):
		return hasVerb(before) // "separator changed | reused oring": the ring is the old one
	case it.has("rest") && len(before) > 1:
		return hasVerb(before) && i+1 < len(items) && items[i+1].dated || // "rt1 greased | rest tomorrow"
			indexOf(before, "find") >= 0 || indexOf(before, "amount") >= 0 || holdsMeasure(before) // "half a cup of water | others clean"
	case it.is("neg", "instead"):
		return hasVerb(before)
	case it.has("cond") && it.n > 1 && (toks[it.at].w == "after" || toks[it.at].w == "since"):
		return indexOf(before, "find") >= 0 || indexOf(before, "symptom") >= 0 // "bubbles in the line | after i changed the filter"
	case it.n == 1 && it.has("neg") && toks[it.at].w == "not" && i+1 < len(items) && items[i+1].has("verb") && !items[i+1].is("verb", "do") && items[i-1].has("verb"):
		return true // "drained | not greased"
	case it.n == 1 && it.has("neg") && toks[it.at].w == "not":
		k := i + 1
		for k < len(items) && items[k].has("det") {
			k++
		}
		if k < len(items) && items[k].has("verb") && !items[k].has("verb0") && k == i+1 && hasVerb(before) && !lastIsDo(before) {
			return true // "drained it not greased yet"
		}
		return k < len(items) && (items[k].has("part") || items[k].named) && !items[k].has("verb0") && hasVerb(before)
	case it.n == 1 && it.has("who") && (toks[it.at].w == "i" || toks[it.at].w == "we"):
		return i+1 < len(items) && items[i+1].has("verb") && indexOf(before, "neg") >= 0 && (indexOf(before, "verb0") >= 0 || hasPart(before)) &&
			toks[it.at-1].w != "whether" && toks[it.at-1].w != "that"
	}
	return false
}

// holdsMeasure says whether items hold an amount that was measured.
func holdsMeasure(items []item) bool {
	for _, it := range items {
		if it.numeric && it.unit != "" && it.unit != "hours" && !it.named {
			return true
		}
	}
	return false
}

// lastIsDo says whether a "did" stands right before: "did not greased".
func lastIsDo(items []item) bool { return len(items) > 0 && items[len(items)-1].is("verb", "do") }

func namedIn(items []item) bool {
	for _, it := range items {
		if it.named {
			return true
		}
	}
	return false
}

// shape says what a chunk without a core holds.
func shape(items []item) (machine, part, day bool) {
	for _, it := range items {
		machine = machine || it.named
		part = part || it.has("part") || it.has("event") || it.has("other")
		day = day || it.dated
	}
	return
}

// lastThing is the last item with content.
func lastThing(items []item) (item, bool) {
	for i := len(items) - 1; i >= 0; i-- {
		it := items[i]
		if it.named || !it.filler() && it.brk == 0 {
			return it, true
		}
	}
	return item{}, false
}

// mergeLists joins the members of a list to the clause that says something
// about them: "greased 12 and 14", "oil filter, belt and battery replaced".
func mergeLists(raw []clause) []clause {
	var out []clause
	var pending *clause
	for i := range raw {
		c := raw[i]
		if pending != nil && pending.sentence != c.sentence {
			out = append(out, *pending)
			pending = nil
		}
		prev := (*clause)(nil)
		if len(out) > 0 && out[len(out)-1].sentence == c.sentence && pending == nil {
			prev = &out[len(out)-1]
		}
		if core(c.items) {
			if prev != nil && c.sep == 'a' && listTail(prev.items, c.items) {
				prev.items = append(prev.items, c.items...)
				continue
			}
			if pending != nil {
				c.items, c.sep = append(pending.items[:len(pending.items):len(pending.items)], c.items...), pending.sep
				pending = nil
			}
			out = append(out, c)
			continue
		}
		machine, part, day := shape(c.items)
		switch {
		case machine && !part && pending == nil && i+1 < len(raw) && takesUp(prev, c, raw[i+1]):
			pending = &raw[i]
		case !machine && !part && !day && pending == nil:
			out = append(out, c)
		case prev != nil && c.sep != 'b' && c.sep != 'm' && c.sep != 'w' && joinsBack(prev.items, machine, part, day):
			prev.items = append(prev.items, c.items...)
		case prev != nil && c.sep == ',' && apposition(prev.items, c.items):
			prev.items[len(prev.items)-1].senses = glueSense
			prev.items = append(prev.items, c.items...)
		case pending != nil:
			pending.items = append(pending.items, c.items...)
		default:
			pending = &raw[i]
		}
	}
	if pending != nil {
		out = append(out, *pending)
	}
	return out
}

// takesUp says whether a machine by itself is what the next chunk speaks of: "blue
// smoke out of om1, and the wide mower, that one won't start".
func takesUp(prev *clause, c, next clause) bool {
	if next.sentence != c.sentence || !core(next.items) {
		return false
	}
	k := indexOf(next.items, "pron")
	for i := 0; i < k; i++ {
		if !next.items[i].filler() {
			return false
		}
	}
	if k < 0 {
		return false
	}
	return next.items[k].n > 1 || prev != nil && !hasVerb(prev.items)
}

// joinsBack says whether a list goes on with a chunk that holds only a machine,
// parts or a day.
func joinsBack(prev []item, machine, part, day bool) bool {
	last, ok := lastThing(prev)
	if !ok || !core(prev) {
		return false
	}
	switch {
	case machine && !part:
		return last.named
	case part:
		// parts go on a list of parts, and on a verb's objects before "on N1"
		return (last.has("part") || last.has("event") || last.has("other")) && !last.named
	}
	return day
}

// listTail says whether a clause that starts with a machine and holds nothing
// but what was seen ends a list: "drained N1, N2 and N3 clean".
func listTail(prev, cur []item) bool {
	last, ok := lastThing(prev)
	if !ok || !last.named || !hasVerb(prev) {
		return false
	}
	seen := false
	for i, it := range cur {
		switch {
		case i == 0 && !it.named && !it.has("det"):
			return false
		case it.named, it.filler(), it.dated, it.has("all"):
		case it.is("find", "clean"):
			seen = true
		default:
			return false
		}
	}
	return seen
}

func hasVerb(items []item) bool {
	for _, it := range items {
		if it.has("verb") || it.has("new") {
			return true
		}
	}
	return false
}

// splitMentions cuts a clause that speaks of several machines one after the
// other: "n1 1223.4 n2 488.1", "oil on n1 filter on n2".
func splitMentions(in []clause) []clause {
	var out []clause
	for _, c := range in {
		for {
			at := boundary(c.items)
			if at <= 0 {
				break
			}
			head := c
			head.items = c.items[:at:at]
			out = append(out, head)
			c.items = c.items[at:len(c.items):len(c.items)]
			c.sep = 'm'
		}
		out = append(out, c)
	}
	return out
}

// boundary is where the first machine's part of a clause ends, 0 for nowhere.
func boundary(items []item) int {
	if k := dayBoundary(items); k > 0 {
		return k
	}
	first := -1
	for i, it := range items {
		if !it.named {
			continue
		}
		if first < 0 {
			first = i
			continue
		}
		if onlyList(items[first+1 : i]) {
			first = i
			continue
		}
		return cut(items, first, i)
	}
	return 0
}

// dayBoundary is where the first of two figures of different days ends: "rt2
// 918.8 fri 920.1 today", "friday 918.8 today 920.1".
func dayBoundary(items []item) int {
	first := -1 // the figure with its day
	for i := 0; i+1 < len(items); i++ {
		a, b := items[i], items[i+1]
		switch {
		case meterLike(a) && b.dated && !b.numeric, a.dated && !a.numeric && meterLike(b):
		default:
			continue
		}
		if first >= 0 && i > first+1 {
			return i
		}
		if first < 0 {
			first = i
			i++
		}
	}
	return 0
}

// meterLike says whether a figure is written as meters show hours.
func meterLike(it item) bool {
	return it.numeric && !it.named && !it.dated && it.num.decimals == 1 && (it.unit == "" || it.unit == "hours")
}

// onlyList says whether nothing but list words stands between two machines.
func onlyList(between []item) bool {
	for _, it := range between {
		if it.numeric || it.dated {
			return false
		}
		if it.has("det") || it.is("prep", "of") || it.is("prep", "for") || it.has("glue") || it.is("prep", "in") {
			continue
		}
		return false
	}
	return true
}

// cut finds the place between machine items a and b where b's part begins.
func cut(items []item, a, b int) int {
	if k := b - 1; k > a && items[k].numeric && !items[k].named && figuresFirst(items[:a], items[a+1:k]) {
		return k // "40l rt1 38l rt2"
	}
	k := b
	for k-1 > a && (items[k-1].has("det") || items[k-1].filler() && !items[k-1].has("prep")) {
		k--
	}
	if k-1 > a && items[k-1].has("same") {
		return k - 1
	}
	if k-1 > a && items[k-1].has("prep") {
		// what stands before "on N2" is N2's, but for the first machine's figure
		j := a + 1
		for j < k-1 && (items[j].numeric || items[j].has("at") || items[j].has("sayshours") || items[j].has("aux") || items[j].dated) {
			j++
		}
		if core(items[j:k]) || hasPart(items[j:k]) {
			return j
		}
		return b
	}
	if k-1 > a && (items[k-1].has("verb") || items[k-1].has("fuelverb")) && core(items[a+1:k-1]) {
		return k - 1
	}
	if k-1 > a && items[k-1].has("verb") && core(items[:a]) {
		return k - 1
	}
	return b
}

// figuresFirst says whether figures stand before their machines: one before the
// first machine and none between it and the next one's.
func figuresFirst(before, between []item) bool {
	for _, it := range between {
		if it.numeric && !it.named {
			return false
		}
	}
	n := len(before)
	for n > 0 && (before[n-1].has("prep") || before[n-1].has("det") || before[n-1].has("fuel") || before[n-1].has("grade")) {
		n--
	}
	return n > 0 && before[n-1].numeric && !before[n-1].named && before[n-1].unit != ""
}

func hasPart(items []item) bool {
	for _, it := range items {
		if it.has("part") || it.has("event") || it.has("other") {
			return true
		}
	}
	return false
}
