package read

import "slices"

// People who dictate talk around what they report: "took me all morning",
// "somebody give me a medal", "happy now?". Such a part has a story of its own
// and nothing of the trade in it, so it neither reports nor takes back. It is
// left out before anything else is read, since its words would otherwise silence
// or put in question the plain report beside it.

// segment is a stretch of items between two breaks or conjunctions.
type segment struct {
	from, to int  // items
	by       byte // what ends it: , . ? ! ; \n, a conjunction 'a', 0 at the end
	story    bool // holds words that are no part of the trade's talk
	trade    bool // holds something that an act could be made of
	governs  bool // comments on another part: "I think", "or so he says"
	effort   bool // tells what the work cost: "took three goes"
}

// tradeClasses are what an act can be made of, a report or another.
var tradeClasses = map[class]bool{"verb": true, "verb0": true, "ing": true, "new": true, "newone": true, "oldone": true,
	"find": true, "cond-part": true, "symptom": true, "vague": true, "fuelverb": true, "fuel": true, "grade": true,
	"part": true, "event": true, "other": true, "amount": true, "startup": true, "dies": true, "putoff": true,
	"pushverb": true, "waitverb": true, "notnow": true, "willdo": true, "openwait": true, "waitfor": true,
	"undo": true, "help": true, "same": true, "rest": true, "meterword": true, "needfuel": true, "gone": true,
	"absent": true, "sticker": true, "outword": true, "backword": true, "parkword": true, "wakeword": true,
	"addword": true, "ownerword": true, "callword": true, "renameword": true, "gone-retired": true, "gone-sold": true,
	"countword": true, "frommemory": true, "count0": true, "half": true, "selfstart": true, "injection": true, "coldaid": true, "tagword": true,
	"ask": true, "asktell": true, "askwhy": true, "askany": true, "topic": true, "lastword": true, "except": true,
	"tail": true, "vagueday": true, "helplead": true, "undoit": true, "isaid": true, "topicwater": true, "topicfuel": true}

// governing are the classes that speak about another part of the message.
var governing = map[class]bool{"doubt": true, "hear": true, "quote": true, "jest": true, "cond": true, "collask": true,
	"fix": true, "wrong": true, "shouldbe": true, "notme": true, "no": true, "yes": true, "joke": true}

// withoutAsides leaves out the parts of a message that have nothing to do with
// the shed, where the rest says something.
func (p *parse) withoutAsides() {
	p.dropFormulas()
	if p.ctx.Asked != nil && p.ctx.Asked.Check != "" {
		return // what answers a check is found by words of its own
	}
	if !p.manyParts() {
		return
	}
	items := settle(tag(p.toks, lex.questions, p.names), p.toks, p.names)
	segs := segments(items, p.toks)
	told := false
	for i := range segs {
		p.judge(items, &segs[i])
		told = told || segs[i].trade && !segs[i].effort
	}
	if !told {
		return
	}
	drop := make([]bool, len(p.toks))
	for i, s := range segs {
		if s.trade && !s.effort || s.governs || !s.story {
			continue
		}
		p.leaveOut(items, segs, i, drop)
	}
	p.keep(drop)
}

// manyParts says whether a message has more parts than one.
func (p *parse) manyParts() bool {
	for _, t := range p.toks {
		if t.kind == comma || t.kind == stop || t.w == "and" || t.w == "but" || t.w == "because" {
			return len(p.toks) > 4
		}
	}
	return false
}

func segments(items []item, toks []token) []segment {
	var out []segment
	from := 0
	for i, it := range items {
		by := it.brk
		if by == 0 && !it.named && i > from && (it.has("and") || it.has("but") || it.n == 1 && (toks[it.at].w == "because" || toks[it.at].w == "cause")) {
			by = 'a'
		}
		if by == 0 {
			if i > from && tellsOfMe(items, toks, from, i) {
				out = append(out, segment{from: from, to: i, by: 'i'})
				from = i
			}
			continue
		}
		if i > from {
			out = append(out, segment{from: from, to: i, by: by})
		} else if n := len(out); n > 0 && out[n-1].by == ',' {
			out[n-1].by = by // "..., and"
		}
		from = i + 1
	}
	if from < len(items) {
		out = append(out, segment{from: from, to: len(items)})
	}
	return out
}

// tellsOfMe says whether what "I" or "we" did begins at an item, after words that
// lead up to it and hang on no conjunction: "with the kids screaming | I still
// greased the loader".
func tellsOfMe(items []item, toks []token, from, i int) bool {
	if items[i].n != 1 || toks[items[i].at].w != "i" && toks[items[i].at].w != "we" {
		return false
	}
	k := i + 1
	for k < len(items) && items[k].filler() && !items[k].has("verb") {
		k++
	}
	if k >= len(items) || !items[k].has("verb") {
		return false
	}
	switch toks[items[i].at-1].w {
	case "that", "if", "whether", "what", "which", "who", "than", "when", "where", "how", "why", "as", "wish", "like", "and", "but", "or", "because", "says", "said":
		return false
	}
	for _, it := range items[from:i] {
		for _, s := range it.senses {
			if silencers[s.class] != "" {
				return false
			}
		}
	}
	return true
}

// judge says what a segment holds.
func (p *parse) judge(items []item, s *segment) {
	cost := -1
	for i := s.from; i < s.to; i++ {
		it := items[i]
		w := p.word(it)
		if p.ofItself(items[i:s.to]) {
			s.story = true
			break
		}
		switch {
		case it.named, it.n == 1 && p.names.partial[p.toks[it.at].lem] != nil:
			s.trade = true // "river too" may be a machine
		case it.numeric && !countsThing(items[i:s.to]):
			s.trade = true
		case it.numeric:
			s.story = true
		case it.dated && !(it.when.known && it.when.offset == 0):
			s.trade = true
		case it.unknown() && !it.dated:
			s.story = true
		}
		if i == s.from && w == "or" {
			s.governs = true
		}
		if cost < 0 && (w == "took" || w == "takes" || w == "spent" || w == "cost") && p.opensSegment(items[s.from:i]) {
			cost = i
			continue
		}
		if senses, _ := lex.asides.longest(p.toks[it.at : it.at+it.n]); len(senses) > 0 && senses[0].class == "governs" {
			s.governs = true
		}
		for _, x := range it.senses {
			s.trade = s.trade || tradeClasses[x.class] && !it.numeric && !(x.class == "fuelverb" && it.has("aux")) && !(x.class == "amount" && it.has("mod"))
			s.governs = s.governs || governing[x.class] && !(x.class == "yes" && it.has("thatwas"))
		}
	}
	if cost >= 0 && !s.governs && p.onlyCost(items[cost+1:s.to]) {
		s.effort, s.story = true, true
	}
}

func (p *parse) opensSegment(items []item) bool {
	for _, it := range items {
		if !it.filler() {
			return false
		}
	}
	return true
}

// onlyCost says whether what "took" is followed by is time, trouble or money.
func (p *parse) onlyCost(items []item) bool {
	for _, it := range items {
		if it.named || it.has("fuel") || it.has("grade") || it.has("verb") || it.has("part") || it.has("event") ||
			it.unit == "litres" || it.unit == "gallons" || it.num.decimals > 0 || it.unit == "" && it.numeric && it.num.milli >= 100000 {
			return false
		}
	}
	return true
}

// countsThing says whether a figure counts something that is not measured here:
// "three goes", "eighty bucks", "minus twelve".
func countsThing(items []item) bool {
	it := items[0]
	switch it.unit {
	case "foreign", "minutes", "days", "weeks", "months", "years":
		return true
	case "":
	default:
		return false
	}
	if it.num.minus || it.num.milli == 1000 && it.has("pron") {
		return true
	}
	return it.num.decimals == 0 && it.num.milli < 100000 && len(items) > 1 && items[1].unknown()
}

// ofItself says whether a word that usually comments on another part speaks of
// its own here: "nearly fell over", "don't know how to explain it".
func (p *parse) ofItself(items []item) bool {
	it := items[0]
	if !it.has("doubt") || len(items) < 2 || namedIn(items) || hasVerb(items) {
		return false
	}
	if p.toks[it.at+it.n-1].w == "like" && !p.says(items[1:]) {
		return p.ownStory(items[1:]) // "looks like a steam train"
	}
	switch w := p.toks[it.at].w; w {
	case "nearly", "almost", "hardly", "barely":
		return items[1].unknown()
	}
	switch p.toks[it.at+it.n-1].w {
	case "know", "idea", "remember", "recall", "sure", "dunno":
		switch p.toks[items[1].at].w {
		case "how", "why", "where", "what", "whats":
			return true
		}
	}
	return false
}

// leaveOut marks the tokens of a segment, and of the mark or conjunction that
// would be left without a part.
func (p *parse) leaveOut(items []item, segs []segment, i int, drop []bool) {
	s := segs[i]
	first, last := items[s.from], items[s.to-1]
	for t := first.at; t < last.at+last.n; t++ {
		drop[t] = true
	}
	end := last.at + last.n
	closes := s.by != ',' && s.by != 'a' && s.by != 0
	switch {
	case closes && i > 0 && segs[i-1].by != '.' && segs[i-1].by != '\n':
		// the mark stays for the parts before; what was asked was the aside
		p.markBefore(first.at, drop)
		if s.by == '?' && end < len(p.toks) && !p.asksBefore(items, segs, i) {
			p.toks[end].mark = '.'
		}
	case !closes && s.by != 0:
		for t := end; t < len(p.toks) && (t == end || p.toks[t].kind == comma || t == end+1 && p.toks[t].w == "and" || p.toks[t].w == "but"); t++ {
			if p.toks[t].kind == word && p.toks[t].w != "and" && p.toks[t].w != "but" && p.toks[t].w != "because" && p.toks[t].w != "so" {
				break
			}
			if i == 0 || s.by == 'a' || p.toks[t].kind == comma {
				drop[t] = true
			}
		}
	case s.by == 0:
		p.markBefore(first.at, drop)
	}
}

// markBefore marks the comma or conjunction that led to a part.
func (p *parse) markBefore(at int, drop []bool) {
	for t := at - 1; t >= 0; t-- {
		if w := p.toks[t].w; p.toks[t].kind != comma && w != "and" && w != "but" && w != "because" {
			return
		}
		drop[t] = true
	}
}

// asksBefore says whether the parts before in the same sentence ask by
// themselves: "is granny drained, I'm freezing out here?".
func (p *parse) asksBefore(items []item, segs []segment, i int) bool {
	for k := i - 1; k >= 0 && (segs[k].by == ',' || segs[k].by == 'a'); k-- {
		it := items[segs[k].from]
		if it.has("aux") || it.has("ask") || it.has("collask") || it.has("askany") || it.is("verb", "do") || it.has("wh") {
			return true
		}
	}
	return false
}

// dropFormulas leaves out set phrases that say nothing: "believe it or not".
func (p *parse) dropFormulas() {
	drop := make([]bool, len(p.toks))
	any := false
	for i := 0; i < len(p.toks); i++ {
		if p.toks[i].kind != word {
			continue
		}
		senses, k := lex.asides.longest(p.toks[i:])
		senses = slices.DeleteFunc(slices.Clone(senses), func(s sense) bool { return s.class == "ask-lead" })
		if len(senses) == 0 || k == 0 || senses[0].class == "governs" {
			continue
		}
		if n := dayForgotten(p.toks[i:], tellsDay(p.toks[:i])); n > 0 {
			i += n - 1 // that the day is not known is no aside
			continue
		}
		to := i + k
		switch senses[0].class {
		case "answer":
			if p.ctx.Asked == nil || p.ctx.Asked.Ask == "" {
				continue
			}
		case "aside":
		case "aside-broken":
			// the speaker breaks off to look or to find the word; a figure or a name goes on
			if to >= len(p.toks) || !p.goesOn(i, to) {
				continue
			}
		case "aside-rest":
			for to < len(p.toks) && p.toks[to].kind != comma && p.toks[to].kind != stop && p.toks[to].w != "but" && p.toks[to].w != "and" {
				to++
			}
		case "aside-ask":
			if !p.wholePart(i, to) || to+1 >= len(p.toks) || !asksFirst(p.toks[to+1].w) {
				continue
			}
		case "aside-whole":
			if !p.wholePart(i, to) {
				continue
			}
		}
		if i == 0 && to >= p.wordsEnd() {
			return // nothing but a formula
		}
		if to < len(p.toks) && p.toks[to].mark == '?' && p.wholePart(i, to) {
			p.toks[to].mark = '.'
		}
		for t := i; t < to; t++ {
			drop[t], any = true, true
		}
		if p.wholePart(i, to) && to < len(p.toks) && p.toks[to].kind == comma {
			drop[to] = true
			if senses[0].class == "aside-broken" && i > 0 && p.toks[i-1].kind == comma {
				drop[i-1] = true
			}
		}
		i = to - 1
	}
	if any {
		p.keep(drop)
	}
}

// goesOn says whether what the words from i to before to broke off is taken up
// again: "the, how you say, the wide mower", "is uh what does it say eleven twenty".
func (p *parse) goesOn(i, to int) bool {
	if numeral(p.toks[to]) {
		return true
	}
	for i > 0 && p.toks[i-1].kind == comma {
		i--
	}
	if i == 0 || !p.wholePart(i, to) && p.toks[to].kind != comma {
		return false
	}
	switch p.toks[i-1].w {
	case "the", "a", "an", "on", "in", "to", "of", "for", "at", "my", "our", "with", "from", "is", "was", "reads", "says":
		return true
	}
	return false
}

// wordsEnd is where the message ends, but for marks.
func (p *parse) wordsEnd() int {
	n := len(p.toks)
	for n > 0 && p.toks[n-1].kind == stop {
		n--
	}
	return n
}

// wholePart says whether tokens from i to before to fill a part.
func (p *parse) wholePart(i, to int) bool {
	for i > 0 && (p.toks[i-1].w == "and" || p.toks[i-1].w == "but" || p.toks[i-1].w == "so" || p.toks[i-1].w == "well" || p.toks[i-1].w == "oh" || p.toks[i-1].w == "please" || p.toks[i-1].w == "hey") {
		i--
	}
	before := i == 0 || p.toks[i-1].kind == comma || p.toks[i-1].kind == stop
	return before && (to >= len(p.toks) || p.toks[to].kind == comma || p.toks[to].kind == stop)
}

// keep leaves only the tokens that are not dropped.
func (p *parse) keep(drop []bool) {
	out := make([]token, 0, len(p.toks))
	for i, t := range p.toks {
		if !drop[i] {
			out = append(out, t)
		} else if t.kind == word || t.kind == figure {
			p.note("%q: beside the point", t.raw)
		}
	}
	if len(out) > 0 {
		p.toks = out
	}
}
