package read

import (
	"strings"

	"woodruff/engine"
)

// item is a stretch of tokens taken for one thing. It can have several senses
// until its clause settles which one counts.
type item struct {
	at, n  int // tokens
	senses []sense

	named bool
	m     mention

	numeric bool
	num     number
	unit    string // of the figure
	approx  bool
	ago     bool

	dated bool
	when  when

	person string
	brk    byte // ends a sentence or part of one: . ? ! ; \n or ,
	clock  bool // a time of day
	used   bool // taken up by a reading
}

func (it *item) has(c class) bool {
	for _, s := range it.senses {
		if s.class == c {
			return true
		}
	}
	return false
}

func (it *item) val(c class) string {
	for _, s := range it.senses {
		if s.class == c {
			return s.value
		}
	}
	return ""
}

func (it *item) is(c class, v string) bool {
	for _, s := range it.senses {
		if s.class == c && s.value == v {
			return true
		}
	}
	return false
}

// unknown says that nothing explains the item.
func (it *item) unknown() bool {
	if it.n == 0 || it.brk != 0 || it.named || it.numeric || it.dated || it.clock || it.person != "" {
		return false
	}
	return len(it.senses) == 0 || (len(it.senses) == 1 && (it.senses[0].class == "plain" || it.senses[0].class == "world"))
}

// only says whether the item has no use but as a filler.
func (it *item) filler() bool {
	if it.brk != 0 || it.named || it.numeric || it.dated {
		return false
	}
	return it.has("glue") || it.has("det") || it.has("prep") || it.has("aux") || it.has("pron") ||
		it.has("who") || it.has("say") || it.has("at") || it.clock || it.has("noun") || it.has("tagword")
}

// tag takes the tokens for things, the longest stretch first.
func tag(toks []token, tree *node, names *Names) []item {
	items := make([]item, 0, len(toks))
	for i := 0; i < len(toks); {
		t := toks[i]
		if t.kind == stop || t.kind == comma {
			b := t.mark
			if t.kind == comma {
				b = ','
			}
			items = append(items, item{at: i, n: 1, brk: b})
			i++
			continue
		}
		it := take(toks, i, tree, names)
		it = beforeFrame(it, toks, i, tree, names)
		if m := tree.frames.find(toks[i:], names); m.n > it.n && !it.named {
			items = append(items, framed(toks, i, m, tree, names)...)
			i += m.n
			continue
		}
		items = append(items, it)
		i += it.n
	}
	return items
}

// beforeFrame keeps a phrase from eating the head of a frame that reaches further:
// "a pain | starting". What silences keeps its words: "quit smoking | black smoke".
func beforeFrame(it item, toks []token, i int, tree *node, names *Names) item {
	if it.n < 2 || it.named || it.numeric || it.dated || tree.frames == nil {
		return it
	}
	silent := it.has("absent")
	for _, s := range it.senses {
		silent = silent || silencers[s.class] != ""
	}
	for j := 1; j < it.n; j++ {
		if silent && lightRun(toks[i:], false) != j {
			continue // "still | not gonna start": only what has no weight is cut off
		}
		if m := tree.frames.find(toks[i+j:], names); m.n >= it.n && j+m.n > it.n {
			return take(toks[:i+j], i, tree, names)
		}
	}
	return it
}

// framed makes items of a frame from token i: its first stretch has the sense, the
// machines in it stay machines, and what is left has no weight.
func framed(toks []token, i int, m match, tree *node, names *Names) []item {
	var items []item
	senses, from := []sense{m.sense}, 0
	stretch := func(to int) {
		if to > from {
			items = append(items, item{at: i + from, n: to - from, senses: senses})
			senses = glueSense
		}
	}
	for _, h := range m.holes {
		stretch(h.at)
		items = append(items, take(toks[:i+h.at+h.n], i+h.at, tree, names))
		from = h.at + h.n
	}
	stretch(m.n)
	return items
}

// take decides what starts at token i.
func take(toks []token, i int, tree *node, names *Names) item {
	rest := toks[i:]
	senses, k := tree.phrase(rest)
	if k == 1 && toks[i].w == "an" {
		senses = articleOrAnd(rest)
	}
	if k > 1 && i > 0 && toks[i].w == "each" && (is(toks[i-1], "unit", "litres") || is(toks[i-1], "unit", "gallons")) {
		senses, k = tree.phrase(rest[:1]) // "60 l each winter diesel" is no season
	}
	if class, liquid, n := amountFrom(toks, i); n > k || n == k && n > 0 {
		if n > k {
			senses = nil
		}
		k, senses = n, append(senses[:len(senses):len(senses)], sense{"amount", class})
		if liquid {
			senses = append(senses, sense{"liquid", ""})
		}
	}
	for j := 1; j < k; j++ {
		// "on the hill fan": a phrase does not eat half a machine's name
		if m, mk := names.findExact(rest[j:]); mk > 0 && j+mk > k && !m.bare {
			senses, k = tree.phrase(rest[:j])
			break
		}
		if _, n, _ := lex.partNames.name(rest[j:]); n > 1 && j+n > k {
			switch whole := (item{senses: senses}); {
			case whole.is("topic", "parts"):
				k = j + n // "which oil | filter does it take"
			case !whole.has("find") && !whole.has("part") && !whole.has("other"): // "air in the fuel | filter"
				senses, k = tree.phrase(rest[:j]) // "the pair of fuel filters"
			}
			break
		}
	}
	m, mk := names.find(rest)
	num, nk := readNumber(rest)
	w, wk := readWhen(rest, senses, k)
	if j := dayForgotten(rest, tellsDay(toks[:i])); j > max(k, wk) {
		w, wk = when{vague: "past"}, j
	}
	if wk > 0 && w.date && w.month == 0 && !dayBefore(toks, i) {
		wk = 0
	}
	if wk > 0 && w.date && w.month == 0 && rest[0].kind == word && wk < len(rest) && rest[wk].kind == word && countsOff(rest[wk]) {
		wk = 0 // "the first digits"
	}
	if wk > 1 && w.date && w.month == 0 && lex.partNames.begins(rest[wk-1:]) {
		wk = 0 // "the second fuel filter"
	}
	if wk > 0 && w.weekday != 0 && wk == 1 && (rest[0].w == "sun" || rest[0].w == "sat") && i > 0 && toks[i-1].w == "the" {
		wk = 0
	}
	if wk == 1 && (rest[0].w == "sun" || rest[0].w == "sat") && len(rest) > 1 && shines[rest[1].w] {
		wk = 0 // "sun came out", "sat there a week"
	}
	if wk == 0 && k <= 1 && monthOf(rest[0]) != 0 && i > 0 && vagueMonth(toks[i-1].w) {
		w, wk = when{vague: "past"}, 1
	}
	it := item{at: i, n: 1}
	switch {
	case mk > 0 && m.bare:
		// a figure that is also a tag
		it.named, it.m = true, m
		it.numeric, it.num, it.n = nk > 0, num, max(mk, nk)
		if nk > mk {
			it.named = false
		}
		if wk > it.n {
			it = item{at: i, n: wk, dated: true, when: w}
		} else if k > it.n {
			it = item{at: i, n: k, senses: senses}
		}
		return it
	case mk > 0 && mk >= k && mk >= nk && mk >= wk && !(mk == k && m.partial && strongSense(senses)):
		it.named, it.m, it.n, it.senses = true, m, mk, nil
		if mk == k {
			it.senses = senses
		}
		return it
	case wk > 0 && wk >= nk && wk >= k:
		it.dated, it.when, it.n = true, w, wk
		if k == wk {
			it.senses = senses
		}
		if nk == wk {
			it.numeric, it.num = true, num
		}
		return it
	case nk > 0 && nk >= k:
		it.numeric, it.num, it.n = true, num, nk
		if k == nk {
			it.senses = senses
		}
		if spokenTag(num, names) {
			it.named, it.m = true, mention{ids: names.exact[num.spoken[0]], bare: true}
		}
		return it
	}
	if name, pk := names.person(rest); pk > 0 && pk >= k {
		it.person, it.n = name, pk
		if pk == k {
			it.senses = senses
		}
		return it
	}
	if k > 0 {
		it.senses, it.n = senses, k
	}
	return it
}

// shines are the words after which the sun is no day and "sat" is no Saturday.
var shines = map[string]bool{"came": true, "comes": true, "shone": true, "shines": true, "shining": true, "rose": true, "finally": true,
	"out": true, "up": true, "there": true, "on": true, "down": true, "went": true, "set": true, "burn": true, "low": true, "idle": true}

// countsOff says whether a word after "the first" makes it one of a row of things
// rather than a day.
func countsOff(t token) bool {
	n := lex.words.next[t.lem]
	if n == nil || len(n.senses) == 0 {
		return true
	}
	for _, s := range n.senses {
		switch s.class {
		case "plain", "part", "digit", "event", "other", "noun", "unit":
			return true
		}
	}
	return false
}

// articleOrAnd tells "an oil change" from "drained an' greased".
func articleOrAnd(rest []token) []sense {
	if len(rest) > 1 && strings.IndexByte("aeiouh", rest[1].w[0]) >= 0 {
		return []sense{{"det", ""}}
	}
	return []sense{{"and", ""}}
}

// vagueMonth says whether a word before a month without a day makes it one.
func vagueMonth(w string) bool {
	switch w {
	case "in", "since", "last", "during", "early", "late", "mid", "this", "of":
		return true
	}
	return false
}

// dayBefore says whether what stands before makes "the 20th" a day.
func dayBefore(toks []token, i int) bool {
	if toks[i].kind == figure {
		return true
	}
	if i == 0 {
		return true
	}
	switch toks[i-1].w {
	case "on", "til", "till", "until", "by", "to", "since", "from", "before", "the", "was", "thats":
		return true
	}
	if weekdayOf(toks[i-1]) != 0 {
		return true // "friday the twentieth"
	}
	// "drained rt1, the twentieth": a day of the month from the fourth on is no
	// place in a row, and neither is what stands at the end
	if k := i + 1; toks[i].w == "the" && k < len(toks) {
		_, n, marked := dayOfMonth(toks[k:])
		return marked && n > 0 && ordinals[toks[k+n-1].w] != 1 && ordinals[toks[k+n-1].w] != 2 && (k+n == len(toks) || toks[k+n].kind != word)
	}
	return false
}

// tellsDay says whether a day is spoken of in the tokens just before.
func tellsDay(toks []token) bool {
	for k := len(toks) - 1; k >= 0 && k >= len(toks)-4; k-- {
		switch toks[k].lem {
		case "day", "days", "week", "weekend", "morning", "night", "month":
			return true
		}
		if weekdayOf(toks[k]) != 0 {
			return true
		}
	}
	return false
}

// spokenTag says whether a number said in words is a tag by itself.
func spokenTag(n number, names *Names) bool {
	return len(n.spoken) == 1 && n.whole() && !n.unreal && names.exact[n.spoken[0]] != nil && n.milli/1000 < 1000
}

// strongSense says whether the lexicon has a use of its own for a word that is
// part of a name as well.
func strongSense(senses []sense) bool {
	for _, s := range senses {
		switch s.class {
		case "part", "event", "verb", "symptom", "find", "grade", "fuel":
			return true
		}
	}
	return false
}

// settle joins figures with their units, finds times of day, and drops what
// the writer took back within the message.
func settle(items []item, toks []token, names *Names) []item {
	return dropCorrected(joined(items, toks, names), toks)
}

// joined does the first two of these alone.
func joined(items []item, toks []token, names *Names) []item {
	items = joinUnits(items, toks)
	items = joinWhere(items, toks)
	items = joinDates(joinWeeks(items))
	items = doubtedDays(items, toks)
	shortNames(items, toks, names)
	items = joinMentions(items, toks, names)
	items = placed(joinEither(items, toks), toks, names)
	ofElsewhere(items, toks)
	seemings(items, toks)
	letOut(items, toks)
	items = clocks(items, toks)
	betweens(items, toks)
	return items
}

// betweens takes "the one between tank and separator" for a place: nothing was
// done to either. Figures between two others are only about right; an amount
// between two machines was parted among them.
func betweens(items []item, toks []token) {
	for i := range items {
		if items[i].n != 1 || toks[items[i].at].w != "between" || i > 0 && items[i-1].numeric && !items[i-1].has("pron") {
			continue
		}
		a := skipDet(items, i+1)
		b := skipDet(items, a+1)
		c := skipDet(items, b+1)
		if c >= len(items) || !items[b].has("and") {
			continue
		}
		switch {
		case items[a].numeric && items[c].numeric:
			items[a].approx, items[c].approx = true, true
		case isThing(items[a]) && isThing(items[c]):
			for j := i; j <= c; j++ {
				items[j] = item{at: items[j].at, n: items[j].n, senses: []sense{{"glue", "place"}}}
			}
		}
	}
}

func isThing(it item) bool { return it.has("part") || it.has("other") || it.named }

// joinUnits gives each figure its unit and makes measures of "a cup", "half a
// cup", "a couple of tablespoons".
func joinUnits(items []item, toks []token) []item {
	out := items[:0]
	for i := 0; i < len(items); i++ {
		it := items[i]
		switch {
		case it.has("frac") && !it.dated || (it.has("frac") && i+1 < len(items) && items[i+1].has("unit")):
			it.numeric, it.dated = true, false
			it.num = number{milli: int64(atoi(it.val("frac"))), fraction: true}
		case it.has("small"):
			it.numeric, it.num = true, number{milli: int64(atoi(it.val("small"))) * 1000}
		}
		if bareMeasure(items, i, toks) && (len(out) == 0 || !unitFits(out[len(out)-1], it, toks)) {
			part, n := andPart(toks[it.at+it.n:])
			it.numeric, it.num, it.unit = true, number{milli: 1000 + part}, it.val("unit")
			it.n += n
			for i+1 < len(items) && items[i+1].at < it.at+it.n {
				i++
			}
			out = append(out, it)
			continue
		}
		prev := len(out) - 1
		if sizedMeasure(items, i, toks) {
			if prev >= 0 && out[prev].at+out[prev].n == it.at && (out[prev].numeric && out[prev].unit == "" && !out[prev].named || out[prev].n == 1 && toks[out[prev].at].w == "a") {
				out[prev].n += it.n // "2 full cups"
			} else {
				it.numeric, it.num, it.senses = true, number{milli: 1000}, nil // "single teaspoon"
				out = append(out, it)
			}
			continue
		}
		if prev >= 0 && it.has("approx") && out[prev].numeric && toks[it.at].glued {
			out[prev].approx = true
			continue
		}
		if it.numeric && it.num.whole() && it.unit == "" && prev >= 0 && out[prev].numeric && out[prev].num.whole() && out[prev].unit == "" && !out[prev].named && out[prev].num.milli <= 10000 && cansFollow(items, i) {
			it.num.milli *= out[prev].num.milli / 1000 // "two 20 litre cans"
			it.named = false
			out[prev] = it
			continue
		}
		if it.has("unit") && prev >= 0 && unitFits(out[prev], it, toks) && !(out[prev].named && ownersBowl(it, out[prev], toks)) {
			p := &out[prev]
			if !p.numeric {
				p.numeric, p.num = true, number{milli: 1000}
			}
			p.unit, p.named, p.dated = it.val("unit"), false, false
			if toks[it.at].w == "c" && i+1 < len(items) && items[i+1].is("find", "water") {
				p.unit = "cup" // "1/2c water"
			}
			p.n = it.at + it.n - p.at
			// "a cup and a half"
			if part, n := andPart(toks[it.at+it.n:]); n > 0 {
				p.num.milli += part
				p.n += n
				for i+1 < len(items) && items[i+1].at < p.at+p.n {
					i++
				}
			}
			continue
		}
		out = append(out, it)
	}
	for i := range out {
		if out[i].numeric && i > 0 && out[i-1].has("approx") {
			out[i].approx = true
		}
		if i+2 < len(out) && out[i].dated && out[i+2].dated && out[i+1].n == 1 && toks[out[i+1].at].w == "or" {
			out[i].when, out[i+2].when = when{vague: "past"}, when{vague: "past"} // which of the two?
		}
		if k := orOther(out, toks, i); k > 0 {
			out[i].when, out[k].when = when{vague: "past"}, when{vague: "past"}
		}
		if i+1 < len(out) && (out[i+1].has("agoword") || out[i+1].n == 1 && toks[out[i+1].at].w == "back" && (i+2 == len(out) || out[i+2].brk != 0)) {
			out[i].goBack()
		}
	}
	return out
}

// joinWhere makes one filler of "from the tank to the lift pump": it tells where a
// part sits.
func joinWhere(items []item, toks []token) []item {
	out := items[:0]
	for i := 0; i < len(items); i++ {
		it := items[i]
		a := skipDet(items, i+1)
		c := skipDet(items, a+2)
		if it.n == 1 && toks[it.at].w == "from" && c < len(items) && items[a].has("part") && items[c].has("part") && items[a+1].n == 1 && toks[items[a+1].at].w == "to" {
			it = item{at: it.at, n: items[c].at + items[c].n - it.at, senses: glueSense}
			i = c
		}
		out = append(out, it)
	}
	return out
}

// skipDet is the first item from i that is no article.
func skipDet(items []item, i int) int {
	for i < len(items) && items[i].has("det") {
		i++
	}
	return i
}

// orOther is the place of another day after "or was that", 0 for none: "on Sunday,
// or was that Saturday".
func orOther(items []item, toks []token, i int) int {
	if !items[i].dated {
		return 0
	}
	k := i + 1
	if k < len(items) && items[k].brk == ',' {
		k++
	}
	if k >= len(items) || items[k].n != 1 || toks[items[k].at].w != "or" {
		return 0
	}
	for k++; k < len(items) && (items[k].filler() || items[k].has("thatwas")); k++ {
	}
	if k < len(items) && items[k].dated {
		return k
	}
	return 0
}

// goBack makes "3 weeks" before "ago" a day that is past.
func (it *item) goBack() {
	it.ago = true
	switch {
	case it.dated && it.when.known && it.when.offset > 0:
		it.when.offset = -it.when.offset
	case it.numeric && it.num.whole() && it.num.milli <= 400000 && (it.unit == "days" || it.unit == "weeks"):
		n := int(it.num.milli / 1000)
		if it.unit == "weeks" {
			n *= 7
		}
		it.dated, it.numeric, it.when = true, false, when{known: true, offset: -n}
	case it.numeric && (it.unit == "months" || it.unit == "years"):
		it.dated, it.numeric, it.when = true, false, when{vague: "past"}
	}
}

// cansFollow says whether a figure is the size of a can.
func cansFollow(items []item, i int) bool {
	return i+2 < len(items) && items[i+1].has("unit") && items[i+2].has("fuelsrc")
}

// p1Unit lists the measures that stand for one without a figure.
func p1Unit(u string) bool {
	switch u {
	case "tsp", "tbsp", "cup", "capful":
		return true
	}
	return false
}

// ownersBowl finds "21s bowl": the bowl of a machine whose tag is a figure.
func ownersBowl(bowl, tag item, toks []token) bool {
	return bowl.is("unit", "bowl") && toks[bowl.at].w == "bowl" && tag.n == 1 && toks[bowl.at].pos > toks[tag.at].pos+len(toks[tag.at].raw)+1
}

func unitFits(p, unit item, toks []token) bool {
	if p.at+p.n != unit.at || p.unit != "" {
		return false
	}
	u := unit.val("unit")
	if u == "bowl" && p.numeric && p.num.milli > 3000 {
		return false // "164.2 bowl drained": nobody counts bowls so far
	}
	if p.numeric {
		single := len(toks[unit.at].w) == 1
		if single && (u == "foreign") {
			return toks[unit.at].glued
		}
		return !(p.num.ordinal || p.num.clock && u != "clock" || p.num.slash && p.num.c != 0)
	}
	if !p.has("det") {
		return false
	}
	switch u {
	case "tsp", "tbsp", "cup", "capful", "pint", "quart":
		w := toks[p.at].w
		return w == "a" || w == "an"
	}
	return false
}

func atoi(s string) int {
	n := 0
	for i := 0; i < len(s); i++ {
		n = n*10 + int(s[i]-'0')
	}
	return n
}

// clocks finds times of day: 6:30, 6 am, at noon, at 12 beside work.
func clocks(items []item, toks []token) []item {
	for i := range items {
		it := &items[i]
		if it.num.clock || it.unit == "clock" {
			it.clock, it.numeric, it.named = true, false, false
			if it.unit == "clock" && it.num.decimals == 0 && it.num.milli > 24000 {
				it.clock, it.numeric = false, true
			}
		}
	}
	return items
}

// tokensOf gives the words of an item as they stood.
func tokensOf(it item, toks []token) string {
	var b strings.Builder
	for i := it.at; i < it.at+it.n && i < len(toks); i++ {
		if b.Len() > 0 && !toks[i].glued {
			b.WriteByte(' ')
		}
		b.WriteString(toks[i].raw)
	}
	return b.String()
}

// machineIDs turns index places into machine ids.
func (n *Names) machineIDs(places []int32) []engine.MachineID {
	out := make([]engine.MachineID, len(places))
	for i, p := range places {
		out[i] = n.id(p)
	}
	return out
}
