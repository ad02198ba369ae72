package read

import (
	"strings"

	"woodruff/engine"
)

// answers reads a message as the answer to what the bot has just asked.
func (p *parse) answers() ([]Candidate, bool) {
	a := p.ctx.Asked
	switch {
	case a == nil:
		return nil, false
	case a.Check != "":
		return p.checkAnswer(a)
	case a.Ask != "":
		return p.slotAnswer(a)
	}
	return nil, false
}

// slotAnswer fills the slot that was asked for in all acts that wait.
func (p *parse) slotAnswer(a *Asked) ([]Candidate, bool) {
	var all []int
	yes := false
	if a.Ask == AskMachine {
		p.nameByWord()
	}
	pos, neg := p.sides()
	if len(neg) > 0 && len(p.values(pos)) == 1 {
		pos = append([]int(nil), pos...) // "final, not the separator"
	} else {
		pos = nil
	}
	for i, it := range p.items {
		if pos != nil && !hasInt(pos, i) {
			continue
		}
		switch {
		case it.has("yes") && !it.named && !it.numeric:
			yes = true
		case it.brk != 0, it.filler() && !it.named, it.has("no") && i == 0, it.has("fix"), it.has("thatwas"), it.has("shouldbe"), it.has("daymod"), it.has("until"), it.has("meterword"), it.has("sayshours"), it.has("tagword"), it.has("really"), it.has("willdo") && a.Ask == AskDay:
		case it.named, it.numeric, it.dated, it.has("part"), it.has("event"), it.has("verb"), it.has("new"), it.has("and"), it.has("approx"), it.has("find") && a.Ask == AskMeaning:
			all = append(all, i)
		default:
			return nil, false
		}
	}
	if len(all) == 0 {
		if yes && a.Ask == AskHours && a.Likely.Known {
			return p.filled(a, func(x *Act) { x.Hours = a.Likely }), true
		}
		if yes && a.Ask == AskMeaning && len(a.Held) > 0 {
			return p.filled(a, func(*Act) {}), true
		}
		return nil, false
	}
	if a.Ask == AskMachine && p.bareAnswer(a, all) {
		return p.slotAnswer(a)
	}
	vals := p.values(all)
	v, extra := value{}, 0
	for _, x := range vals {
		if x.field == slotField[a.Ask] {
			v = x
			v.ok = true
		} else {
			extra++
		}
	}
	if a.Ask == AskDay {
		return p.dayAnswer(a, all, extra)
	}
	if !v.ok || extra > 0 && !(a.Ask == AskJobs && extra == 1 && p.onlyMachine(vals, a)) && !(a.Ask == AskHours && extra == 1 && p.onlyMachine(vals, a)) {
		return nil, false
	}
	if v.ask != "" {
		q := Act{Kind: Unclear, Ask: a.Ask, Held: a.Held, Options: v.opts}
		return []Candidate{{Acts: []Act{q}, Score: 4, Why: []string{"the answer leaves it open"}}}, true
	}
	switch a.Ask {
	case AskMachine:
		return p.filled(a, func(x *Act) { x.Machine = v.to.Machine }), true
	case AskHours:
		return p.filled(a, func(x *Act) { x.Hours = engine.Known(v.to.Hours) }), true
	case AskJobs:
		return p.filled(a, func(x *Act) { x.Jobs = v.to.Jobs }), true
	}
	return nil, false
}

func hasInt(list []int, x int) bool {
	for _, y := range list {
		if y == x {
			return true
		}
	}
	return false
}

// nameByWord lets a word of one machine's name alone answer which machine is
// meant: "creek", "the north one".
func (p *parse) nameByWord() {
	at := -1
	var ids []int32
	for i, it := range p.items {
		if it.named {
			return
		}
		for k := it.at; k < it.at+it.n; k++ {
			if nw := p.names.partial[p.toks[k].lem]; nw != nil && p.toks[k].kind == word {
				if at >= 0 {
					nw = &nameWord{ids: intersect(ids, nw.ids)}
				}
				at, ids = i, nw.ids
			}
		}
	}
	if at >= 0 && len(ids) > 0 && len(p.toks) <= 6 {
		for i := range p.items {
			if p.word(p.items[i]) == "one" {
				p.items[i].numeric = false // "the north one"
			}
		}
		p.items[at].named = true
		p.items[at].m = mention{ids: ids, unsure: len(ids) > 1}
	}
}

// bareAnswer takes a figure alone for a tag where a machine was asked for.
func (p *parse) bareAnswer(a *Asked, all []int) bool {
	if len(all) != 1 {
		return false
	}
	it := &p.items[all[0]]
	if it.named || !it.numeric || it.unit != "" || !it.num.whole() {
		return false
	}
	ids := p.names.exact[itoa(int(it.num.milli/1000))]
	if len(ids) != 1 {
		return false
	}
	it.named, it.numeric, it.m = true, false, mention{ids: ids}
	return true
}

// onlyMachine says whether what else an answer names is the machine that the
// held acts are about.
func (p *parse) onlyMachine(vals []value, a *Asked) bool {
	for _, v := range vals {
		if v.field == "machine" && v.ask == "" && len(a.Held) > 0 && a.Held[0].Machine == v.to.Machine {
			return true
		}
	}
	return false
}

var slotField = map[Slot]string{AskMachine: "machine", AskHours: "hours", AskJobs: "jobs", AskDay: "day"}

// dayAnswer fills the day; for a put-off it is one to come.
func (p *parse) dayAnswer(a *Asked, all []int, extra int) ([]Candidate, bool) {
	var w *when
	for _, i := range all {
		if p.items[i].dated {
			w = &p.items[i].when
		} else if !p.items[i].named {
			return nil, false
		}
	}
	if w == nil || extra > 1 {
		return nil, false
	}
	ahead := false
	for _, h := range a.Held {
		ahead = ahead || h.Kind == PutOff
	}
	d := w.past(p.ctx)
	if ahead {
		d = w.future(p.ctx)
	}
	if d.unsure || d.day == 0 {
		q := Act{Kind: Unclear, Ask: AskDay, Held: a.Held}
		for _, o := range d.options {
			q.Options = append(q.Options, Option{Day: o})
		}
		return []Candidate{{Acts: []Act{q}, Score: 4, Why: []string{"no certain day"}}}, true
	}
	return p.filled(a, func(x *Act) {
		switch {
		case x.Kind == PutOff:
			x.Until = d.day
		case d.day != p.ctx.Day:
			x.Day = d.day
		}
	}), true
}

// filled is the held acts with one slot filled in those that want it.
func (p *parse) filled(a *Asked, fill func(*Act)) []Candidate {
	acts := make([]Act, len(a.Held))
	var still []Slot
	for i, h := range a.Held {
		var rest []Slot
		wants := a.Ask == AskMeaning
		for _, s := range h.Wants {
			if s == a.Ask {
				wants = true
			} else if s != AskMeaning {
				rest = append(rest, s)
			}
		}
		if wants {
			fill(&h)
		}
		h.Wants = rest
		still = append(still, rest...)
		acts[i] = h
	}
	c := Candidate{Acts: acts, Score: 6, Answers: true, Why: []string{"answers the question for the " + string(a.Ask)}}
	if len(still) > 0 {
		next := still[0]
		for _, s := range []Slot{AskMachine, AskHours, AskJobs, AskDay} {
			for _, x := range still {
				if x == s {
					next = s
					c.Acts = []Act{{Kind: Unclear, Ask: next, Held: acts}}
					return []Candidate{c}
				}
			}
		}
	}
	return []Candidate{c}
}

// checkAnswer reads the answer to a check of fault-finding, with what is
// volunteered on other checks and any other work beside it.
func (p *parse) checkAnswer(a *Asked) ([]Candidate, bool) {
	q := *p
	q.items = settle(tag(p.toks, lex.checks, p.names), p.toks, p.names)
	q.bareTags()
	parts := checkParts(q.items)
	var acts []Act
	var rest []item
	answered, conflict := false, false
	for _, part := range parts {
		list, clash := q.checkPart(part, a, answered)
		conflict = conflict || clash
		if len(list) == 0 {
			rest = append(rest, part...)
			rest = append(rest, item{at: part[0].at, n: 1, brk: ','})
			continue
		}
		for _, x := range list {
			if x.Check == a.Check {
				if answered {
					if have := findCheck(acts, x.Check); have >= 0 && acts[have].Result != x.Result && x.Check != engine.CheckBowl {
						conflict = true
					}
					continue
				}
				answered = true
			}
			if findCheck(acts, x.Check) < 0 {
				acts = append(acts, x)
			}
		}
	}
	if len(acts) == 0 && a.Check == engine.CheckVacuum {
		if c, ok := q.unitMissing(a); ok {
			return c, true
		}
	}
	if conflict {
		return []Candidate{{Acts: []Act{{Kind: Unclear, Ask: AskMeaning}}, Score: 4, Why: []string{"the answer says both"}}}, true
	}
	if len(acts) == 0 {
		return nil, false
	}
	acts = append(acts, q.besideReport(rest)...)
	return []Candidate{{Acts: acts, Score: 5, Answers: answered, Why: []string{"answers the check " + string(a.Check)}}}, true
}

// mutters says whether a word or two in reply to a check tell nothing by
// themselves: "weak", "worse". They are no new trouble.
func (p *parse) mutters() bool {
	if p.ctx.Asked == nil || p.ctx.Asked.Check == "" || len(p.toks) > 3 {
		return false
	}
	for _, it := range p.items {
		if it.named || it.has("verb") || it.numeric || it.has("undo") || it.has("fix") || it.dated {
			return false
		}
	}
	return true
}

// unitMissing asks for the unit of a vacuum told without one.
func (p *parse) unitMissing(a *Asked) ([]Candidate, bool) {
	for _, it := range p.items {
		if !it.numeric || it.unit != "" || it.num.unreal || it.num.milli >= 110000 {
			continue
		}
		q := Act{Kind: Unclear, Ask: AskMeaning}
		for _, u := range []string{" inHg", " kPa"} {
			q.Options = append(q.Options, Option{Acts: []Act{{Kind: Check, Machine: a.Machine, Check: a.Check, Result: decimal(it.num.milli) + u}}})
		}
		return []Candidate{{Acts: []Act{q}, Score: 4, Why: []string{"the unit of the vacuum is missing"}}}, true
	}
	return nil, false
}

func findCheck(acts []Act, c engine.Check) int {
	for i, a := range acts {
		if a.Kind == Check && a.Check == c {
			return i
		}
	}
	return -1
}

// checkParts cuts at breaks and conjunctions.
func checkParts(items []item) [][]item {
	var out [][]item
	var cur []item
	for _, it := range items {
		if it.brk != 0 || (it.has("and") || it.has("but")) && !it.named {
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

// besideReport reads what an answer says besides: other machines, other work.
func (p *parse) besideReport(items []item) []Act {
	r := parse{text: p.text, toks: p.toks, names: p.names, ctx: p.ctx}
	if len(items) == 0 {
		return nil
	}
	from := items[0].at
	r.toks = p.toks[from:]
	r.items = settle(tag(r.toks, lex.words, p.names), r.toks, p.names)
	r.bareTags()
	acts, _, _ := r.report(r.items)
	var out []Act
	for _, a := range acts {
		if a.Kind != Chat && a.Kind != Unclear {
			out = append(out, a)
		}
	}
	return out
}

// checkPart reads one part of an answer.
func (p *parse) checkPart(items []item, a *Asked, answered bool) (acts []Act, clash bool) {
	machine := a.Machine
	for _, it := range items {
		if it.named {
			if !it.m.one() || len(it.m.ids) != 1 {
				return nil, false
			}
			if id := p.names.id(it.m.ids[0]); id != machine {
				return nil, false // another machine: not an answer
			}
		}
		if it.has("verb") && !it.has("chk") && !it.has("didcheck") || it.has("later") {
			return nil, false
		}
	}
	found := map[engine.Check]string{}
	put := func(c engine.Check, r string) {
		if have, ok := found[c]; ok && have != r && c != engine.CheckBowl {
			clash = true
			return
		}
		if _, ok := found[c]; !ok {
			found[c] = r
			acts = append(acts, Act{Kind: Check, Machine: machine, Check: c, Result: r})
		}
	}
	about := p.checkTopic(items, a.Check)
	strange := 0
	for i, it := range items {
		if it.unknown() {
			strange++
		}
		for _, s := range it.senses {
			if s.class != "chk" {
				continue
			}
			c, r, _ := strings.Cut(s.value, ":")
			if p.counts(engine.Check(c), a.Check, about, it, items) {
				put(engine.Check(c), p.deny(items, i, r))
			}
		}
	}
	if about == engine.CheckBowl {
		if r := p.bowlResult(items); r != "" {
			put(engine.CheckBowl, r)
		}
	}
	if about == engine.CheckRing {
		for _, it := range items {
			switch it.val("find") {
			case "ringup":
				put(engine.CheckRing, "yes")
			case "ringdown":
				put(engine.CheckRing, "no")
			}
		}
	}
	if about == engine.CheckWet {
		for i, it := range items {
			switch it.val("find") {
			case "wet", "weep":
				put(engine.CheckWet, p.deny(items, i, "yes"))
			case "dry":
				put(engine.CheckWet, p.deny(items, i, "no"))
			}
			if it.is("absent", "") && it.n > 0 && strings.Contains(p.phrase(it), "leak") {
				put(engine.CheckWet, "no")
			}
		}
	}
	if about == engine.CheckBubbles {
		for i, it := range items {
			switch {
			case it.is("find", "air") && !it.has("chk"):
				put(engine.CheckBubbles, p.deny(items, i, "yes"))
			case it.has("absent") && !it.has("chk") && strings.Contains(p.phrase(it), "bubble"):
				put(engine.CheckBubbles, "no")
			}
		}
	}
	if about == engine.CheckVacuum {
		if r := p.vacuum(items); r != "" {
			put(engine.CheckVacuum, r)
		}
	}
	if !answered && about == a.Check && a.Check != engine.CheckVacuum && a.Check != engine.CheckBowl {
		if yn := p.yesNo(items); yn != "" {
			if r, ok := found[a.Check]; ok && r != yn {
				// "no its up" contradicts itself; "no, no bubbles" does not
				clash = true
			} else if !ok && (strange == 0 || strange <= 2 && p.plainly(items)) {
				put(a.Check, yn)
			}
		}
	}
	if strange > 3 {
		return nil, false
	}
	return acts, clash
}

// plainly says whether an answer opens with a word that is a yes or no whatever
// follows: "no" alone may belong to a noun, "no gauge here".
func (p *parse) plainly(items []item) bool {
	switch p.word(items[0]) {
	case "yes", "yep", "yup", "yeah", "yea", "yah", "aye", "nope", "nah":
		return indexOf(items, "verb") < 0 && indexOf(items, "doubt") < 0
	}
	return false
}

// yesNo is a plain yes or no at the start of an answer.
func (p *parse) yesNo(items []item) string {
	for _, it := range items {
		switch {
		case it.has("yes") && it.n > 1 && p.toks[it.at].w == "it" && len(items) > 1:
			return "" // "it was full of dust" is no yes
		case it.has("yes"):
			return "yes"
		case it.has("no") && it.n == 1:
			return "no"
		case it.filler() || it.has("neg"):
			continue
		}
		return ""
	}
	return ""
}

// deny turns a result round where a "not" stands right before it.
func (p *parse) deny(items []item, i int, r string) string {
	if i > 0 && items[i-1].has("neg") && (p.word(items[i-1]) == "not" || p.word(items[i-1]) == "isnt" || p.word(items[i-1]) == "arent" || p.word(items[i-1]) == "no" && i > 1 || strings.HasSuffix(p.word(items[i-1]), "nt")) {
		if r == "yes" {
			return "no"
		}
		return "yes"
	}
	return r
}

// checkTopic is the check that a part of an answer is about: another one where
// it says so, else the one that was asked for.
func (p *parse) checkTopic(items []item, asked engine.Check) engine.Check {
	for _, it := range items {
		switch {
		case it.is("find", "ringup"), it.is("find", "ringdown"):
			return engine.CheckRing
		case it.unit == "inHg" || it.unit == "kPa":
			return engine.CheckVacuum
		case it.is("find", "air"):
			return engine.CheckBubbles
		case it.is("part", "aircleaner"):
			return engine.CheckAirFilter
		case it.has("wetat"):
			if asked != engine.CheckFlow || p.hasFind(items, "wet", "weep", "dry") || hasChk(items, "wet:") {
				return engine.CheckWet
			}
		case it.is("part", "bowl") && (asked != engine.CheckRing || p.bowlResult(items) != ""):
			return engine.CheckBowl
		}
		for i := it.at; i < it.at+it.n; i++ {
			switch p.toks[i].lem {
			case "ring", "float":
				return engine.CheckRing
			case "bubbles", "bubble":
				return engine.CheckBubbles
			}
		}
	}
	return asked
}

// hasChk says whether some words answer a check by themselves.
func hasChk(items []item, check string) bool {
	for _, it := range items {
		if strings.HasPrefix(it.val("chk"), check) {
			return true
		}
	}
	return false
}

func (p *parse) hasFind(items []item, vs ...string) bool {
	for _, it := range items {
		for _, v := range vs {
			if it.is("find", v) {
				return true
			}
		}
	}
	return false
}

// counts says whether words for one check count where another was asked for:
// only words that can mean nothing else do.
func (p *parse) counts(c, asked, about engine.Check, it item, items []item) bool {
	if c == about {
		return true
	}
	if about != asked {
		return false
	}
	switch c {
	case engine.CheckBubbles:
		return strings.Contains(p.phrase(it), "bubbl")
	case engine.CheckFlow:
		w := p.phrase(it)
		return strings.HasPrefix(w, "pour") || strings.HasPrefix(w, "dribbl") || strings.HasPrefix(w, "trickl")
	case engine.CheckShutoff:
		return strings.Contains(p.phrase(it), "overnight") && it.n > 1
	}
	return false
}

// bowlResult is what is in the bowl: the worst of what is named.
func (p *parse) bowlResult(items []item) string {
	best := ""
	rank := map[string]int{"clean": 1, "clear": 1, "water": 2, "rust": 3, "debris": 3, "slime": 4, "wax": 4, "ice": 2}
	for i, it := range items {
		v := it.val("find")
		if v == "" {
			continue
		}
		if i > 0 && items[i-1].has("neg") && items[i-1].n == 1 && v != "clean" {
			continue
		}
		if v == "clear" {
			v = "clean"
		}
		if v == "ice" {
			v = "water"
		}
		if rank[v] > rank[best] {
			best = v
		}
	}
	return best
}

// vacuum is a figure with its unit of vacuum.
func (p *parse) vacuum(items []item) string {
	for _, it := range items {
		if it.numeric && (it.unit == "inHg" || it.unit == "kPa") && it.num.milli >= 0 {
			return decimal(it.num.milli) + " " + it.unit
		}
		if it.numeric && it.unit == "foreign" && strings.HasPrefix(p.toks[it.at+it.n-1].lem, "in") {
			return decimal(it.num.milli) + " inHg" // a gauge in inches shows mercury
		}
	}
	return ""
}

// decimal writes thousandths without needless noughts.
func decimal(milli int64) string {
	s := itoa(int(milli / 1000))
	if f := milli % 1000; f != 0 {
		t := itoa(int(f))
		for len(t) < 3 {
			t = "0" + t
		}
		s += "." + strings.TrimRight(t, "0")
	}
	return s
}
