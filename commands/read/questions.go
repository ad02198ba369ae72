package read

import (
	"woodruff/engine"
)

// questions reads what is asked of the book. A message may report first and ask
// then: "n1 1223.4 is it due for anything".
func (p *parse) questions() ([]Candidate, bool) {
	if !p.soundsAsking() {
		return nil, false
	}
	q := *p
	q.items = settle(tag(p.toks, lex.questions, p.names), p.toks, p.names)
	q.bareTags()
	start := q.questionStart()
	if start < 0 {
		return nil, false
	}
	if q.hailsSomebody() {
		return q.notAsked()
	}
	asked := q.items[start:]
	if c, ok := q.symptomAsked(start); ok {
		return c, true
	}
	parts := questionParts(asked)
	if len(parts) > 1 && q.topic(parts[0]) == "" && q.topic(asked) == AboutStorage {
		parts = [][]item{asked}
	}
	var acts []Act
	var last []int32
	lastTopic := Topic("")
	for i, part := range parts {
		list, ids, topic, ask := q.askOne(part, last, lastTopic, i > 0)
		if m := q.reportedOn(start, part); ask != nil && ask.Ask == AskMachine && m != 0 && len(ask.Held) == 1 {
			a := ask.Held[0]
			a.Machine, a.Wants = m, nil
			list, ask = []Act{a}, nil // "dp1 bled it. whats next on it?"
		}
		if ask != nil {
			return []Candidate{{Acts: []Act{*ask}, Score: 3, Why: []string{"a question about a machine in doubt"}}}, true
		}
		if list == nil {
			if i == 0 && q.items[start].is("ask", "when") && !q.opens(start) && !q.asksByMark() && indexOf(q.items, "symptom") >= 0 {
				return nil, false // "bl1 black smoke when digging"
			}
			continue // "what's the damage, what's due this week"
		}
		acts = append(acts, list...)
		last, lastTopic = ids, topic
	}
	if len(acts) == 0 {
		return q.notAsked()
	}
	shareDays(acts)
	q.limit(acts, q.limitsFrom(start))
	return q.withReport(start, acts)
}

// hailsSomebody says whether a message is put to a person by name: "Wilm, could
// you tell me".
func (p *parse) hailsSomebody() bool {
	return !p.ctx.Mention && len(p.items) > 2 && p.items[0].person != "" && p.items[1].brk == ','
}

// reportedOn is the one machine of the report before a question that names none
// itself, 0 for none.
func (p *parse) reportedOn(start int, part []item) engine.MachineID {
	if namedIn(part) {
		return 0
	}
	var ids []int32
	for _, it := range p.items[:start] {
		if it.named {
			if it.m.unsure {
				return 0
			}
			ids = append(ids, it.m.ids...)
		}
	}
	if ids = sorted32(ids); len(ids) != 1 {
		return 0
	}
	return p.names.id(ids[0])
}

// shareDays gives "due on n1 and n2 next week" its look-ahead twice.
func shareDays(acts []Act) {
	last := acts[len(acts)-1]
	for i := range acts {
		if acts[i].Days == 0 && acts[i].About == last.About {
			acts[i].Days = last.Days
		}
	}
}

// notAsked ends a question that the book has no answer to.
func (p *parse) notAsked() ([]Candidate, bool) {
	if p.ctx.Mention {
		return []Candidate{{Acts: []Act{{Kind: Unclear, Ask: AskMeaning}}, Score: 2, Why: []string{"asked of the bot, but not about the book"}}}, true
	}
	return []Candidate{{Acts: []Act{{Kind: Chat}}, Score: 2, Why: []string{"a question, but not about the book"}}}, true
}

// withReport puts what was reported before the question in front of it.
func (p *parse) withReport(start int, acts []Act) ([]Candidate, bool) {
	r := parse{text: p.text, toks: p.toks[:p.items[start].at], names: p.names, ctx: p.ctx}
	if start > 0 && len(r.toks) > 0 {
		r.items = settle(tag(r.toks, lex.words, p.names), r.toks, p.names)
		r.bareTags()
		before, _, _ := r.report(r.items)
		if len(before) == 1 && before[0].Kind == Unclear && before[0].Ask == AskMeaning && indexOf(r.items, "verb") < 0 && hasPart(r.items) {
			before = nil // "rt1 oil, when due": what is asked about
			for i := range acts {
				if acts[i].Job == "" {
					acts[i].Job = p.questionJob(p.items[:start], acts[i].About)
				}
			}
		}
		if len(before) == 1 && before[0].Kind == Unclear {
			return []Candidate{{Acts: before, Score: 3}}, true
		}
		if Writes(before) {
			for i := range acts {
				if acts[i].Machine == 0 && before[0].Machine != 0 {
					acts[i].Machine = before[0].Machine
				}
			}
			acts = append(before, acts...)
		} else if ask := p.giveMachine(start, acts); ask != nil {
			return []Candidate{{Acts: []Act{*ask}, Score: 3}}, true
		}
	}
	return []Candidate{{Acts: acts, Score: 3 + float64(len(acts)), Why: []string{"asks the book"}}}, true
}

// giveMachine gives questions without a machine the one that stands before
// them: "n1 hours since drain?".
func (p *parse) giveMachine(start int, acts []Act) *Act {
	for _, it := range p.items[:start] {
		if !it.named {
			continue
		}
		if !it.m.one() || len(it.m.ids) != 1 {
			return &Act{Kind: Unclear, Ask: AskMachine, Held: []Act{withWants(acts[0], AskMachine)}, Options: p.machineOptions(it.m.ids)}
		}
		for i := range acts {
			if acts[i].Machine == 0 {
				acts[i].Machine = p.names.id(it.m.ids[0])
			}
		}
	}
	return nil
}

// soundsAsking is a quick look whether a message may be a question.
func (p *parse) soundsAsking() bool {
	for i, t := range p.toks {
		if t.mark == '?' {
			return true
		}
		n := lex.questions.next[t.lem]
		if n == nil || t.kind != word {
			continue
		}
		for _, s := range n.senses {
			switch s.class {
			case "ask", "asktell", "askwhy", "topic", "lastword":
				return true
			case "askany":
				if i < 3 {
					return true
				}
			}
		}
		if senses, k := lex.questions.longest(p.toks[i:]); k > 1 {
			for _, s := range senses {
				switch s.class {
				case "ask", "asktell", "askwhy", "topic", "askany":
					return true
				}
			}
		}
		switch t.w {
		case "is", "are", "has", "have", "did", "does", "was", "were", "do", "can", "should", "will":
			if i == 0 {
				return true
			}
		case "hours", "hrs", "hour":
			if i < 2 && p.ctx.Mention || i == 0 || len(p.toks) <= 4 {
				return true
			}
		}
	}
	return false
}

// questionStart is the item at which the question begins, -1 for no question.
func (p *parse) questionStart() int {
	cue := -1
	for i, it := range p.items {
		if i > 0 && p.items[i-1].has("doubt") && i+1 < len(p.items) && p.gradeWord(p.items[i+1]) {
			continue // "dunno which grade" is said of a fill
		}
		if i > 1 && (p.items[i-1].is("verb", "look") || p.items[i-1].has("verb0")) && p.items[i-2].has("neg") {
			continue // "didnt check what came out"
		}
		if it.has("ask") && i > 0 && p.items[i-1].has("doubt") {
			continue // "cant remember which" asks nothing
		}
		if p.tellsWhen(i) {
			continue
		}
		if it.has("ask") || it.has("askwhy") || it.has("topic") || it.has("asktell") || it.has("askany") && (i == 0 || p.opens(i)) || p.opens(i) && p.inverted(i) || p.shortHours(i) {
			cue = i
			break
		}
	}
	if start := p.asksLast(); start >= 0 {
		return start
	}
	if cue < 0 {
		return -1
	}
	if p.items[cue].has("topic") && !p.items[cue].has("ask") && !asksFirst(p.toks[p.items[cue].at].w) {
		return p.topicStart(cue)
	}
	return cue
}

// asksFirst says whether a phrase of a topic begins with a question word.
func asksFirst(w string) bool {
	switch w {
	case "is", "am", "are", "what", "whats", "which", "how", "hows", "who", "when", "whens", "where", "tell", "show", "list":
		return true
	}
	return false
}

// shortHours finds "hours on n1", "n1 hours?" at the start.
func (p *parse) shortHours(i int) bool {
	it := p.items[i]
	if !it.has("hoursword") || it.numeric || p.figureAfter(i) {
		return false
	}
	return p.opens(i) && i+1 < len(p.items) && (p.items[i+1].has("prep") || p.items[i+1].is("topic", "since") || p.items[i+1].has("lastword")) || p.lone(i)
}

// lone says whether a message is nothing but a machine and this item.
func (p *parse) lone(i int) bool {
	for k, it := range p.items {
		if k != i && !it.named && !it.filler() && it.brk == 0 && !it.has("tagword") {
			return false
		}
	}
	return p.asksByMark() || p.ctx.Mention || p.contextMachine() != 0 || p.namesMachine()
}

func (p *parse) asksByMark() bool {
	for _, t := range p.toks {
		if t.mark == '?' {
			return true
		}
	}
	return false
}

// opens says whether an item stands at the start of a part, but for greetings
// and names.
func (p *parse) opens(i int) bool {
	for k := i - 1; k >= 0; k-- {
		it := p.items[k]
		if it.brk != 0 || it.has("and") {
			return true
		}
		if !it.filler() && it.person == "" && !it.named && !it.numeric {
			return false
		}
	}
	return true
}

// inverted finds "is the digger due", "has n1 been drained".
func (p *parse) inverted(i int) bool {
	switch p.word(p.items[i]) {
	case "is", "are", "has", "have", "was", "were", "does", "do", "did", "can", "should", "will":
	default:
		return false
	}
	if p.items[i].at > 0 && !p.startsHere(i) {
		return false
	}
	for k := i + 1; k < len(p.items) && k < i+3; k++ {
		it := p.items[k]
		if it.has("pron") && (p.word(p.items[i]) == "did" || p.word(p.items[i]) == "do") {
			return false // "did it yesterday"
		}
		if it.named && p.word(p.items[i]) == "did" && !p.asksByMark() && (k+1 >= len(p.items) || p.items[k+1].brk != 0 || p.items[k+1].has("part") || p.items[k+1].has("event")) {
			return false // "did n1s oil", "did the fans: ..."
		}
		if it.named || it.has("pron") || it.has("askany") || (it.has("part") || it.has("event")) && p.word(p.items[i]) != "did" && p.word(p.items[i]) != "do" && p.word(p.items[i]) != "have" || p.word(it) == "anything" || p.word(it) == "there" || p.word(it) == "we" {
			return true
		}
		if !it.has("det") {
			return false
		}
	}
	return false
}

// startsHere says whether what stands before an inverted verb is a report of
// its own or nothing.
func (p *parse) startsHere(i int) bool {
	k := i - 1
	for k >= 0 && (p.items[k].is("glue", "") || p.items[k].brk != 0) {
		k--
	}
	return k < 0 || p.items[k].numeric || p.items[k].brk != 0 || i > 0 && p.items[i-1].brk != 0
}

// topicStart goes back from a topic without a question word to where its part
// of the message begins; a topic in a statement is none.
func (p *parse) topicStart(cue int) int {
	i := cue
	for i > 0 && p.items[i-1].brk == 0 && !(p.items[i-1].numeric && !p.items[i-1].named) {
		i--
	}
	t := p.items[cue].val("topic")
	if t == "lasttime" {
		if p.asksLastTime(cue) {
			return cue
		}
		return -1
	}
	marked := p.asksByMark() || p.ctx.Mention
	switch t {
	case "status", "history", "parts", "unwritten", "machines", "water", "fuel":
		if p.bareTopic(i, cue) || marked && p.opens(cue) {
			return i
		}
	case "since", "hours":
		if t == "hours" && (p.figureAfter(cue) || i > 0 && p.items[i-1].numeric && p.items[i-1].brk == 0) {
			return -1
		}
		for k := i; k < cue; k++ {
			if p.items[k].numeric || p.items[k].is("glue", "v") && !marked || !p.items[k].filler() && !p.items[k].named && !p.items[k].has("hoursword") {
				return -1
			}
		}
		return i
	case "due", "next":
		if marked || p.bareTopic(i, cue) {
			return i
		}
	case "storage":
		if marked || p.stepsAsked(cue) {
			return i
		}
	}
	return -1
}

// asksLast finds a question that has its question word or mark at the end: "oil
// change rt1 when", "last drain rt1?".
func (p *parse) asksLast() int {
	n := len(p.items)
	marked := false
	for n > 0 && p.items[n-1].brk != 0 {
		marked = marked || p.items[n-1].brk == '?'
		n--
	}
	if n < 2 {
		return -1
	}
	end := p.items[n-1].is("ask", "when")
	if p.items[n-1].is("ask", "how") && p.topic(p.items[:n]) == AboutStorage {
		return 0 // "winterizing the pump how"
	}
	job, last := false, false
	for _, it := range p.items[:n] {
		job = job || p.jobOf(it) != ""
		last = last || it.has("lastword")
		if it.brk != 0 || it.numeric && !it.named || it.has("neg") || it.has("find") && !it.has("event") || it.has("who") || it.unknown() && !it.has("ask") {
			return -1
		}
	}
	if job && last && namedIn(p.items[:n]) && indexOf(p.items[:n], "verb") < 0 {
		return 0 // "rt2 last oil change"
	}
	if job && (end && p.phrase(p.items[0]) != "since" || marked && last && p.items[0].has("lastword")) {
		return 0
	}
	return -1
}

// asksLastTime tells "last time the coolant was done on 21" from a tale of it.
func (p *parse) asksLastTime(cue int) bool {
	if !p.opens(cue) || p.ctx.Reply != nil {
		return false
	}
	work := false
	for k, it := range p.items {
		work = work || it.has("verb") || it.has("part") || it.has("event")
		if it.brk != 0 && k+1 < len(p.items) || it.has("find") || it.has("symptom") || it.numeric && !it.named || it.has("pron") && k > cue || it.has("neg") || it.has("amount") {
			return false
		}
	}
	return work && p.namesMachine()
}

// figureAfter says whether a figure stands anywhere from an item on: then hours
// are told, not asked.
func (p *parse) figureAfter(i int) bool {
	for _, it := range p.items[i:] {
		if it.numeric && !it.named {
			return true
		}
	}
	return false
}

// bareTopic says whether the part is only a topic with machine, job or span:
// "n1 due", "next on m6", "due this week".
func (p *parse) bareTopic(from, cue int) bool {
	for k := from; k < len(p.items); k++ {
		it := p.items[k]
		if it.brk != 0 {
			return true
		}
		if it.has("ask") && k == len(p.items)-1 || it.numeric && it.unit == "hours" && k+1 < len(p.items) && p.items[k+1].is("verb", "service") || it.is("verb", "service") {
			continue // "next drain on wf2 when", "parts for the 250 h service"
		}
		if !it.named && !it.has("topic") && !it.has("topicfuel") && !it.has("span") && !it.has("pastspan") && !it.has("part") && !it.has("event") && !it.filler() && !it.has("all") && !it.has("and") && !it.has("daymod") && !(it.dated && it.when.offset > 0) {
			return false
		}
		if it.has("aux") || it.has("neg") || it.is("glue", "v") {
			return false
		}
	}
	return true
}

// questionParts cuts at conjunctions and breaks.
func questionParts(items []item) [][]item {
	var out [][]item
	var cur []item
	for _, it := range items {
		if it.brk != 0 || it.has("and") && !it.named {
			if len(cur) > 0 {
				out = append(out, cur)
			}
			cur = nil
			continue
		}
		cur = append(cur, it)
	}
	if len(cur) > 0 {
		out = append(out, cur)
	}
	return out
}

// askOne reads one part of a question. A part after "and" may take its topic,
// machine or job from the one before.
func (p *parse) askOne(items []item, last []int32, topic Topic, more bool) ([]Act, []int32, Topic, *Act) {
	var ids []int32
	unsure := false
	var opts []int32
	for i, it := range items {
		if !it.named {
			continue
		}
		if place := p.contextAmong(it); place >= 0 {
			ids = append(ids, place)
			continue
		}
		if it.m.unsure && !(it.m.plural && p.anyOf(items, i)) {
			unsure, opts = true, it.m.ids
			continue
		}
		if len(it.m.ids) == len(p.names.all) && len(p.names.all) > 1 {
			continue // every machine: the whole shop
		}
		for _, id := range it.m.ids {
			if !has32(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	t := p.topic(items)
	if t == "" && more && (len(ids) > 0 || unsure) && (p.listOnly(items) || topic == AboutStorage) {
		t = topic
	}
	if t == "" || !(t == AboutStorage && p.machineIn(items)) && p.strangeQuestion(items) {
		return nil, nil, "", nil
	}
	act := Act{Kind: Question, About: t, Job: p.questionJob(items, t), Days: p.days(items, t), Whether: p.whetherAsked(items, t)}
	if more && act.Job == "" && topic == t && len(ids) > 0 {
		act.Job = p.jobBefore(items)
	}
	if act.Job == "" && t == AboutSince && len(ids) == 0 && p.hasPronoun(items) && len(p.replyJobs()) > 0 {
		act.Job = p.replyJobs()[0]
	}
	if unsure {
		return nil, nil, "", &Act{Kind: Unclear, Ask: AskMachine, Held: []Act{withWants(act, AskMachine)}, Options: p.machineOptions(opts)}
	}
	if len(ids) == 0 && more && p.hasPronoun(items) {
		ids = last
	}
	if len(ids) == 0 {
		if id := p.contextMachine(); id != 0 && !p.wholeShop(items, t) {
			act.Machine = id
			return []Act{act}, nil, t, nil
		}
		if t == AboutStatus && !p.ctx.Mention {
			return nil, nil, "", nil
		}
		if p.hasPronoun(items) && (t == AboutSince || t == AboutNext || t == AboutHours) {
			return nil, nil, "", &Act{Kind: Unclear, Ask: AskMachine, Held: []Act{withWants(act, AskMachine)}}
		}
		return []Act{act}, nil, t, nil
	}
	var acts []Act
	for _, id := range ids {
		a := act
		a.Machine = p.names.id(id)
		acts = append(acts, a)
	}
	return acts, ids, t, nil
}

// anyOf says whether "any of" or "which of" stands before a plural: the question
// is about each of them.
func (p *parse) anyOf(items []item, i int) bool {
	for k := i - 1; k >= 0 && k >= i-3; k-- {
		switch p.toks[items[k].at].w {
		case "any", "which":
			return true
		}
		if !items[k].filler() {
			return false
		}
	}
	return false
}

func withWants(a Act, s Slot) Act {
	a.Wants = []Slot{s}
	return a
}

// jobBefore is the job that the earlier parts of the question named.
func (p *parse) jobBefore(items []item) engine.Job {
	for _, it := range p.items {
		if it.at >= items[0].at {
			break
		}
		if j := p.jobOf(it); j != "" {
			return j
		}
	}
	return ""
}

// symptomAsked reads "any idea why the genset keeps surging" as the symptom.
func (p *parse) symptomAsked(start int) ([]Candidate, bool) {
	why := false
	wrong := indexOf(p.items, "symptom") >= 0 || indexOf(p.items, "vague") >= 0
	for _, it := range p.items {
		why = why || it.has("askwhy") && (wrong || !it.is("askwhy", "help")) || it.is("topic", "status") && indexOf(p.items, "symptom") >= 0
	}
	if !why {
		return nil, false
	}
	r := parse{text: p.text, toks: p.toks, names: p.names, ctx: p.ctx}
	r.items = settle(tag(p.toks, lex.questions, p.names), p.toks, p.names)
	r.bareTags()
	for i := range r.items {
		if r.items[i].has("askwhy") || r.items[i].has("askany") || r.items[i].has("ask") || r.items[i].is("topic", "status") || r.items[i].has("req") && r.opens(i) {
			r.items[i].senses = glueSense
		}
	}
	acts, score, _ := r.report(r.items)
	for _, a := range acts {
		if a.Kind == Symptom || a.Kind == Unclear {
			return []Candidate{{Acts: acts, Score: score + 1, Why: []string{"asks for help with something wrong"}}}, true
		}
	}
	return p.notAsked()
}
