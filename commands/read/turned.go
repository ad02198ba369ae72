package read

import "woodruff/engine"

// A question to be answered by yes or no turns its verb round: "did wilm drain
// rt2", "rt2, has it been greased", "is the hauler out of use". It asks with and
// without a mark, and what it asks about is never written as done.

// turned is such a question: where it begins, who or what it asks about, and what
// follows.
type turned struct {
	at   int    // the token of the turned verb
	who  string // person, you, any, it, machine, thing, i
	rest []item // from the subject to the end of the part
	pred []item // what is asked of the subject
}

// turnedQuestion reads a message that asks so. A report that stands before the question is
// kept; a question that the book has no answer to is left alone.
func (p *parse) turnedQuestion() ([]Candidate, bool) {
	t, ok := p.turnedVerb()
	if !ok {
		return nil, false
	}
	start := p.itemFrom(t.at)
	if t.who == "you" || p.hailsSomebody() || p.eitherWay() {
		if !p.onlyNamed(start) {
			return nil, false
		}
		return p.notAsked()
	}
	if acts := p.askedOf(t); acts != nil {
		if p.onlyNamed(start) {
			p.limit(acts, 0)
			return []Candidate{{Acts: acts, Score: 4, Why: []string{"asks whether it is so"}}}, true
		}
		p.limit(acts, t.at)
		return p.withReport(start, acts)
	}
	if c, ok := p.questions(); ok {
		return c, true
	}
	if !p.onlyNamed(start) {
		r := parse{text: p.text, toks: p.toks[:t.at], names: p.names, ctx: p.ctx}
		r.items = settle(tag(r.toks, lex.words, p.names), r.toks, p.names)
		r.bareTags()
		if acts, score, _ := r.report(r.items); Writes(acts) || acts[0].Kind == Unclear {
			return []Candidate{{Acts: acts, Score: score, Why: []string{"what stands before a question"}}}, true
		}
	}
	return p.notAsked()
}

// eitherWay finds "was it drained, was it not": nobody expects an answer.
func (p *parse) eitherWay() bool {
	for i := 2; i < len(p.toks); i++ {
		if p.toks[i].w == "not" && p.toks[i-1].w == "it" && turnable[p.toks[i-2].w] {
			return true
		}
	}
	return false
}

// onlyNamed says whether nothing but a machine and small words stands before an
// item.
func (p *parse) onlyNamed(i int) bool {
	for _, it := range p.items[:i] {
		if !it.named && !it.filler() && it.brk == 0 && it.person == "" {
			return false
		}
	}
	return true
}

func (p *parse) itemFrom(tok int) int {
	for i, it := range p.items {
		if it.at+it.n > tok {
			return i
		}
	}
	return len(p.items)
}

// turnedVerb finds the verb before its subject at the start of a part.
func (p *parse) turnedVerb() (turned, bool) {
	for i, tok := range p.toks {
		if tok.kind != word || !turnable[tok.w] || !p.partFrom(i) {
			continue
		}
		if k := p.itemFrom(i); k >= len(p.items) || p.items[k].at != i || p.items[k].named {
			continue
		}
		if t, ok := p.subjectAfter(i); ok {
			return t, true
		}
	}
	return turned{}, false
}

var turnable = map[string]bool{"did": true, "has": true, "have": true, "is": true, "are": true, "was": true, "were": true, "does": true, "do": true,
	"didnt": true, "hasnt": true, "havent": true, "isnt": true, "arent": true, "wasnt": true, "werent": true, "doesnt": true}

// partFrom says whether nothing but a greeting, a person or a machine stands
// between a token and the start of its part.
func (p *parse) partFrom(tok int) bool {
	for i := p.itemFrom(tok) - 1; i >= 0; i-- {
		it := p.items[i]
		switch {
		case it.brk != 0:
			return true
		case it.named, it.person != "", it.numeric, it.has("and"), it.has("but"):
		case it.has("glue") && !it.is("glue", "v") && !it.is("glue", "because"):
		default:
			return false
		}
	}
	return true
}

// subjectAfter reads the subject behind a turned verb and what is asked of it.
func (p *parse) subjectAfter(i int) (turned, bool) {
	t := turned{at: i}
	aux := p.toks[i].w
	did := aux == "did" || aux == "didnt" || aux == "do" || aux == "does" || aux == "doesnt"
	j := i + 1
	if j >= len(p.toks) || p.toks[j].kind != word && p.toks[j].kind != figure {
		return t, false
	}
	k := p.itemFrom(j)
	det := k < len(p.items) && p.items[k].has("det") && p.items[k].n == 1
	if det {
		k++
	}
	switch w := p.toks[j].w; w {
	case "you", "u", "ya", "yall":
		t.who = "you"
		return t, aux != "do" || i == 0
	case "i", "we":
		t.who, k = "i", p.itemFrom(j+1)
	case "he", "she", "they", "anyone", "anybody", "someone", "somebody", "everyone", "everybody":
		t.who, k = "any", p.itemFrom(j+1)
	case "any", "some":
		if j+2 < len(p.toks) && p.toks[j+1].w == "of" {
			return t, false
		}
		if j+1 < len(p.toks) && (p.toks[j+1].w == "one" || p.toks[j+1].w == "body") {
			t.who, k = "any", p.itemFrom(j+2)
		}
	case "it", "them", "that":
		t.who, k = "it", p.itemFrom(j+1)
	}
	if k >= len(p.items) {
		return t, false
	}
	subject := k
	if t.who == "" {
		switch it := p.items[k]; {
		case it.person != "":
			t.who = "person"
			for k+2 < len(p.items) && p.items[k+1].has("and") && p.items[k+2].person != "" {
				k += 2
			}
		case it.named:
			t.who = "machine"
			for k+2 < len(p.items) && p.items[k+1].has("and") && p.items[k+2].named {
				k += 2
			}
		case it.has("part") || it.has("event") && (det || aux != "do"):
			t.who = "thing"
		default:
			return t, false
		}
		k++
	}
	for e := k; e < len(p.items) && p.items[e].brk == 0; e++ {
		t.pred = append(t.pred, p.items[e])
	}
	t.rest = append(append(t.rest, p.items[subject:k]...), t.pred...)
	return t, len(t.pred) > 0 && p.asksOf(t, aux, did)
}

// asksOf says whether what follows the subject is what such a question asks: after
// "did" a verb as it stands in the word-list, after the others anything that can
// be told of it. "did the oil on rt2" and "was om2 not om1" tell.
func (p *parse) asksOf(t turned, aux string, did bool) bool {
	k := 0
	for k+1 < len(t.pred) && (t.pred[k].has("glue") && !p.plainVerb(t.pred[k]) || p.word(t.pred[k]) == "ever") {
		k++
	}
	first := t.pred[k]
	if did {
		if t.who == "i" && aux == "do" {
			return p.needWord(first) // "do i need to drain rt2"
		}
		if t.who == "thing" && aux == "did" {
			for i, it := range t.pred {
				if p.toks[it.at].w == "get" && (it.has("verb") || i+1 < len(t.pred) && t.pred[i+1].has("verb")) {
					return true // "did the oil in rt1 get changed"
				}
			}
		}
		people := t.who == "person" || t.who == "any" || t.who == "i"
		return p.plainVerb(first) || people && (first.has("verb0") || first.has("event")) || t.who == "it" && first.has("verb0")
	}
	if t.who == "person" && aux != "has" && aux != "have" && aux != "hasnt" && aux != "havent" || first.has("neg") && p.toks[first.at].w == "not" || first.brk != 0 {
		return false
	}
	if t.who == "machine" && p.asksByMark() {
		return true
	}
	for i, it := range t.pred {
		switch {
		case it.has("find") && (t.who != "it" || t.at == 0 || aux == "did"), it.has("outword"), it.has("backword"), it.has("parkword"), it.has("gone-retired"), it.has("gone-sold"), it.has("fuelverb"):
			return true
		case it.has("verb"), p.fitWord(it), p.needWord(it):
			return true
		case i == 0 && (t.who == "machine" || t.who == "it") && p.toks[it.at].w == "been":
			return true
		}
	}
	return false
}

// plainVerb finds the verbs that stand after "did it", "does rt2".
func (p *parse) plainVerb(it item) bool {
	if it.n > 1 && !it.has("new") && !it.has("verb") && !it.has("aux") || it.named {
		return false
	}
	switch p.toks[it.at].w {
	case "get", "have", "need", "do", "find", "see", "put", "fill", "fuel", "take", "give", "make", "come", "want", "work", "go", "finish", "manage":
		return true
	}
	return false
}

func (p *parse) needWord(it item) bool {
	switch p.toks[it.at].w {
	case "need", "needs", "needed", "want", "wants", "due":
		return true
	}
	return false
}

// statedQuestion reads what is worded as a report and asks by its mark or its end:
// "rt2 drained?", "oil done on rt2 yet", "wilm drained rt2, didnt he", "anyone
// greased om1".
func (p *parse) statedQuestion() ([]Candidate, bool) {
	n := p.lastWord() + 1
	end := p.toks[p.items[n-1].at+p.items[n-1].n-1].w
	asks := p.items[len(p.items)-1].brk == '?'
	t := turned{who: "thing"}
	past := false
	items := p.items[:n]
	switch w := p.toks[0].w; {
	case w == "anyone" || w == "anybody" || w == "any1":
		t.who, asks = "any", true
	case end == "yet":
		asks = true
	case n > 2 && (end == "right" || end == "correct") && indexOf(items, "verb") >= 0 && p.items[0].person != "":
		asks = true
	case n > 3 && p.tagQuestion(n):
		asks = true
	}
	if !asks {
		return nil, false
	}
	for i, it := range items {
		switch {
		case p.toks[it.at].w == "u", p.toks[it.at].w == "you":
			return nil, false // put to a colleague
		case it.has("verb0") && end == "yet":
			past = true
		case it.named, it.filler(), it.dated && !it.numeric, it.brk == ',', it.has("part"), it.has("event"), it.has("all"), it.has("and"), it.has("lastword"):
		case it.person != "" && t.who == "thing":
			t.who = "person"
		case it.has("verb") && !it.has("verb0"), it.is("verb", "do"):
			past = true
		case i >= n-2 && (it.has("neg") || it.has("no") || turnable[p.toks[it.at].w]), i == 0 && it.has("req"):
		default:
			return nil, false
		}
	}
	if !past || !p.namesMachine() || t.who == "thing" && p.verbFirst() {
		return nil, false
	}
	t.rest, t.pred = items, items
	acts := p.askedOf(t)
	if acts == nil {
		return nil, false
	}
	p.limit(acts, 0)
	return []Candidate{{Acts: acts, Score: 4, Why: []string{"worded as a report, and asks"}}}, true
}

// verbFirst says whether the message begins with its verb: "drained rt1?" is put to
// a colleague, "rt1 drained?" to whoever knows.
func (p *parse) verbFirst() bool {
	for _, it := range p.items {
		if it.has("verb") {
			return true
		}
		if it.named || !it.filler() {
			return false
		}
	}
	return false
}

// tagQuestion finds "didnt he", "hasnt it" at the end of the first n items.
func (p *parse) tagQuestion(n int) bool {
	last := p.items[n-1].at + p.items[n-1].n - 1
	if last < 2 {
		return false
	}
	switch p.toks[last-1].w {
	case "didnt", "hasnt", "wasnt", "isnt", "havent", "werent", "arent":
	default:
		return false
	}
	switch p.toks[last].w {
	case "he", "she", "they", "it", "we":
		return true
	}
	return false
}

// fitWord says whether a word tells of a machine that it can be used or cannot.
func (p *parse) fitWord(it item) bool {
	switch p.phrase(it) {
	case "ok", "okay", "fine", "good", "alright", "all right", "good to go", "ready to go", "ready", "safe", "usable", "fit", "down", "broken", "broke", "fixed", "is fixed", "running", "working", "up", "back", "out", "sorted", "mended", "dead":
		return true
	}
	return false
}

// askedOf is the question as the book is asked it, nil where the book cannot say.
func (p *parse) askedOf(t turned) []Act {
	has := func(k class) bool { return indexOf(t.rest, k) >= 0 }
	if has("symptom") || has("vague") || has("world") {
		return nil
	}
	job := engine.Job("")
	work, fit, needs := false, false, false
	for _, it := range t.rest {
		if j := p.jobOf(it); j != "" && job == "" {
			job = j
		}
		work = work || it.has("verb") || it.has("verb0") || it.has("event") || it.has("new") || p.plainVerb(it) || p.word(it) == "had" || p.word(it) == "got"
		fit = fit || p.fitWord(it)
		needs = needs || p.needWord(it)
	}
	if job == "" && len(p.replyJobs()) > 0 && p.hasPronoun(t.rest) {
		job = p.replyJobs()[0] // "did wilm do it" under a reminder
	}
	act := Act{Kind: Question, Job: job}
	people := t.who == "person" || t.who == "any" || t.who == "i"
	switch {
	case has("outword"), has("backword"), has("parkword"), has("gone-sold"), has("gone-retired"):
		act.About, act.Job, act.Whether = AboutStatus, "", p.whetherUsed(t.rest)
	case needs && job != "":
		act.About, act.Whether = AboutDue, WhetherDue
	case needs:
		return nil
	case has("fuelverb") && job == "":
		act.About = AboutFuel
	case people && job != "", people && has("verb0"):
		act.About, act.Whether = AboutWho, WhetherDone
	case job != "" && work && (t.who != "thing" || !has("find")):
		act.About, act.Whether = AboutSince, WhetherDone
	case has("find") && p.looksAtWater(t.rest):
		act.About, act.Job, act.Whether = AboutWater, "", WhetherWater
		if indexOf(t.rest, "find") >= 0 && !p.findsWater(t.rest) {
			act.Whether = WhetherClean
		}
	case fit && job == "" && !work && (t.who == "machine" || t.who == "it"):
		act.About, act.Whether = AboutStatus, WhetherFit
		if p.wordOf(t.rest, "back") {
			act.Whether = WhetherIn
		}
	default:
		return nil
	}
	return p.onMachines(act, t)
}

// whetherUsed is what a question asks of how a machine is kept.
func (p *parse) whetherUsed(items []item) Whether {
	has := func(c class) bool { return indexOf(items, c) >= 0 }
	switch {
	case has("outword"):
		return WhetherOut
	case has("parkword"):
		return WhetherParked
	case has("gone-sold"), has("gone-retired"):
		return WhetherGone
	}
	return WhetherIn
}

func (p *parse) findsWater(items []item) bool {
	for _, it := range items {
		if it.is("find", "water") {
			return true
		}
	}
	return false
}

// looksAtWater says whether what is asked about is what the bowl shows.
func (p *parse) looksAtWater(items []item) bool {
	for _, it := range items {
		switch it.val("find") {
		case "water", "clean", "clear", "dry":
			return true
		}
	}
	return false
}

// onMachines puts a question for each machine that it or the words before it name.
func (p *parse) onMachines(act Act, t turned) []Act {
	items := t.rest
	if !namedIn(items) {
		from := p.itemFrom(t.at)
		start := from
		for start > 0 && (p.items[start-1].brk == 0 || p.items[start-1].brk == ',') {
			start--
		}
		items = p.items[start:from]
	}
	var acts []Act
	for _, it := range items {
		if !it.named {
			continue
		}
		if !it.m.one() {
			return []Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{withWants(act, AskMachine)}, Options: p.machineOptions(it.m.ids)}}
		}
		if len(it.m.ids) == len(p.names.all) && len(it.m.ids) > 1 {
			continue // every machine: the whole shop
		}
		for _, id := range p.names.machineIDs(it.m.ids) {
			act.Machine = id
			acts = append(acts, act)
		}
	}
	switch {
	case len(acts) > 0:
		return acts
	case p.contextMachine() != 0:
		act.Machine = p.contextMachine()
		return []Act{act}
	case act.About == AboutStatus:
		return nil
	case p.reportedOn(p.itemFrom(t.at), t.rest) != 0:
		act.Machine = p.reportedOn(p.itemFrom(t.at), t.rest)
		return []Act{act}
	case t.who == "it" || p.hasPronoun(t.pred):
		return []Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{withWants(act, AskMachine)}}}
	case act.About == AboutWho:
		if indexOf(t.rest, "verb") < 0 && indexOf(t.rest, "verb0") < 0 || p.wordOf(t.rest, "got") || p.wordOf(t.rest, "have") {
			return nil // "has anyone got a spare o-ring"
		}
		act.About = AboutSince // "did anyone drain the bowls": of all of them
	}
	return []Act{act}
}

func (p *parse) wordOf(items []item, w string) bool {
	for _, it := range items {
		if p.word(it) == w {
			return true
		}
	}
	return false
}

// outAsked reads what is asked of machines out of use: "why is rt2 out of use",
// "anything down", "which machines are off the road".
func (p *parse) outAsked() ([]Candidate, bool) {
	asks, out := p.asksByMark(), false
	var ids []int32
	for i, it := range p.items {
		w := p.toks[it.at].w
		switch {
		case it.named && it.m.one():
			ids = append(ids, it.m.ids...)
		case it.named:
			return nil, false
		case it.has("outword"), i > 0 && i == p.lastWord() && (w == "down" || w == "out" || w == "broken"):
			out = true
		case it.brk != 0, it.filler(), it.has("all"), p.toks[it.at].w == "still":
		case it.has("ask"), it.has("askwhy"), it.has("wh"), it.has("askany"), outAsk[w]:
		default:
			return nil, false
		}
		for k := it.at; k < it.at+it.n; k++ {
			asks = asks || i < 2 && outAsk[p.toks[k].w]
		}
	}
	if !asks || !out {
		return nil, false
	}
	act := Act{Kind: Question, About: AboutStatus}
	if p.asksWhether(p.items) {
		act.Whether = WhetherOut
	}
	if ids = sorted32(ids); len(ids) == 0 || len(ids) == len(p.names.all) {
		if ids = nil; p.contextMachine() != 0 && p.hasPronoun(p.items) {
			act.Machine = p.contextMachine()
		}
		return []Candidate{{Acts: []Act{act}, Score: 4, Why: []string{"asks what is out of use"}}}, true
	}
	var acts []Act
	for _, id := range p.names.machineIDs(ids) {
		act.Machine = id
		acts = append(acts, act)
	}
	return []Candidate{{Acts: acts, Score: 4, Why: []string{"asks why it is out of use"}}}, true
}

// outAsk are the words that a question about what is out of use begins with.
var outAsk = map[string]bool{"what": true, "whats": true, "which": true, "why": true, "whys": true, "how": true, "anything": true, "any": true, "whatre": true, "since": true, "when": true}

// lastWord is the last item that is no break.
func (p *parse) lastWord() int {
	i := len(p.items) - 1
	for i > 0 && p.items[i].brk != 0 {
		i--
	}
	return i
}
