package read

import "slices"

// People wrap what they ask: "do you know when", "just wondering whether", "could
// you please let me know what". The wrapping has words that would silence the
// question inside it ("do you" is asked of a colleague, "wondering" is doubt), so
// it comes off before anything is read, and what was inside asks.

// asksInside are the words that the question inside a wrapping begins with.
var asksInside = map[string]bool{"when": true, "whens": true, "wen": true, "what": true, "whats": true, "which": true, "who": true, "whos": true,
	"how": true, "hows": true, "where": true, "wheres": true, "whether": true}

// unwrapAsk takes the wrapping off questions.
func (p *parse) unwrapAsk() {
	drop := make([]bool, len(p.toks))
	any := false
	for i := 0; i < len(p.toks); i++ {
		if p.toks[i].kind != word || !p.opensPart(i) {
			continue
		}
		senses, k := lex.asides.longest(p.toks[i:])
		if k == 0 || !slices.Contains(senses, sense{class: "ask-lead"}) {
			continue
		}
		to := i + k
		for to < len(p.toks) && (p.toks[to].kind == comma || p.toks[to].mark == ':') {
			to++
		}
		whether := to < len(p.toks) && (p.toks[to].w == "whether" || p.toks[to].w == "if" && p.toks[i+k-1].w != "know")
		if to+1 >= len(p.toks) || !asksInside[p.toks[to].w] && !whether {
			continue
		}
		if whether {
			to++
		}
		for t := i; t < to; t++ {
			drop[t] = true
		}
		any = true
		p.endsAsking(to)
		drop = append(drop, make([]bool, len(p.toks)-len(drop))...)
	}
	if any {
		p.keep(drop)
	}
}

// opensPart says whether only greetings and the like stand between a token and
// the start of its part.
func (p *parse) opensPart(i int) bool {
	for i--; i >= 0; i-- {
		t := p.toks[i]
		if t.kind == stop || t.kind == comma {
			return true
		}
		if !is(t, "glue", "") && !is(t, "glue", "polite") && !is(t, "fix", "") && t.w != "can" && t.w != "could" {
			return false
		}
	}
	return true
}

// endsAsking gives the sentence from a token on a question mark.
func (p *parse) endsAsking(i int) {
	for ; i < len(p.toks); i++ {
		if p.toks[i].kind == stop && p.toks[i].mark != ':' {
			p.toks[i].mark = '?'
			return
		}
	}
	last := p.toks[len(p.toks)-1]
	p.toks = append(p.toks, token{kind: stop, w: "?", raw: "?", lem: "?", mark: '?', pos: last.pos + len(last.raw)})
}

// stepsAsked finds "storage steps for rt1": a list that is wanted, with nothing
// said of it.
func (p *parse) stepsAsked(cue int) bool {
	switch p.toks[p.items[cue].at+p.items[cue].n-1].w {
	case "steps", "checklist", "list":
		return p.opens(cue) && p.bareTopic(0, cue)
	}
	return false
}

// tellsWhen says whether a "when" only gives the time of something: "black smoke
// when it works hard".
func (p *parse) tellsWhen(i int) bool {
	if p.word(p.items[i]) != "when" || p.asksByMark() || i+2 >= len(p.items) {
		return false
	}
	if indexOf(p.items[i:], "lastword") >= 0 {
		return false // "when the loader was last drained"
	}
	next, then := p.items[i+1], p.items[i+2]
	return (next.has("pron") || next.has("who") || next.has("det")) && !(next.has("aux") || then.has("due") || then.has("topic"))
}

// contextAmong is the machine of a thread or reply where a name leaves several
// and that one is among them: "my tractor" in its own thread; -1 otherwise.
func (p *parse) contextAmong(it item) int32 {
	c := p.contextMachine()
	if c == 0 || !it.m.unsure || it.m.plural {
		return -1
	}
	for _, place := range it.m.ids {
		if p.names.id(place) == c {
			return place
		}
	}
	return -1
}
