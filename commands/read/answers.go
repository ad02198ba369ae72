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
		if a.Ask == AskDay && p.parting() {
			return nil, false
		}
		if c, ok := p.slotAnswer(a); ok {
			return c, true
		}
		return p.looseAnswer(a)
	}
	return nil, false
}

// slotAnswer fills the slot that was asked for in all acts that wait.
func (p *parse) slotAnswer(a *Asked) ([]Candidate, bool) {
	var all []int
	yes, doubt := false, false
	if p.asksBack() {
		return nil, false
	}
	if a.Ask == AskHours && a.Likely.Known && p.yesAndWhy() {
		return p.filled(a, func(x *Act) { x.Hours = a.Likely }), true
	}
	switch a.Ask {
	case AskMachine:
		p.nameByWord()
	case AskJobs:
		p.oneForFilter()
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
		case it.brk != 0, it.has("joke"), it.filler() && !it.named, it.has("no") && i == 0, it.has("fix"), it.has("thatwas"), it.has("shouldbe"), it.has("daymod"), it.has("until"), it.has("meterword"), it.has("sayshours"), it.has("tagword"), it.has("really"), (it.has("willdo") || it.has("putoff")) && a.Ask == AskDay, a.Ask == AskHours && slipWord(p.toks[it.at].w), a.Ask == AskDay && it.is("verb", "do"), a.Ask == AskHours && (it.has("glue") || it.is("verb", "look")),
			a.Ask == AskJobs && (it.has("all") || it.has("pron") && !it.numeric):
		case it.has("doubt") && a.Ask == AskDay:
			doubt = true
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
	if a.Ask == AskMachine {
		if c, ok := p.severalMachines(a, all); ok {
			return c, true
		}
	}
	vals := p.values(all)
	v, extra := value{}, 0
	for _, x := range vals {
		if x.field == slotField[a.Ask] {
			v = x
			v.ok = true
		} else if !(a.Ask == AskJobs && x.field == "how") {
			extra++ // how it was done is no other answer: "the final filter I changed"
		}
	}
	if a.Ask == AskDay && doubt && len(all) > 0 {
		q := Act{Kind: Unclear, Ask: AskDay, Held: a.Held}
		return []Candidate{{Acts: []Act{q}, Score: 4, Answers: true, Why: []string{"the day is in doubt"}}}, true
	}
	if a.Ask == AskDay {
		return p.dayAnswer(a, all, extra)
	}
	if !v.ok || extra > 0 && !(a.Ask == AskJobs && extra == 1 && p.onlyMachine(vals, a)) && !(a.Ask == AskHours && extra == 1 && p.onlyMachine(vals, a)) {
		return nil, false
	}
	if v.ask != "" {
		q := Act{Kind: Unclear, Ask: a.Ask, Held: a.Held, Options: v.opts}
		return []Candidate{{Acts: []Act{q}, Score: 4, Answers: true, Why: []string{"the answer leaves it open"}}}, true
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

// asksBack finds "yes what about it": no yes to anything.
func (p *parse) asksBack() bool {
	if len(p.whole) < 2 || !is(p.whole[0], "yes", "") {
		return false
	}
	switch p.whole[1].w {
	case "what", "whats", "why", "how", "who", "when", "where", "which":
		return true
	}
	return false
}

// severalMachines reads "RT2 and RT1" where one machine was asked for: what waits
// is said of each. "RT2 or RT1" leaves it open.
func (p *parse) severalMachines(a *Asked, all []int) ([]Candidate, bool) {
	var ids []int32
	named := 0
	for _, i := range all {
		it := p.items[i]
		switch {
		case it.named && it.m.one():
			ids, named = append(ids, it.m.ids...), named+1
		case it.named, !it.has("and"):
			return nil, false
		}
	}
	machines := p.names.machineIDs(ids)
	if len(machines) < 2 || p.find("fix") >= 0 || p.find("no") >= 0 || p.find("neg") >= 0 {
		return nil, false
	}
	for _, t := range p.toks {
		if t.w == "or" {
			return []Candidate{{Acts: []Act{{Kind: Unclear, Ask: AskMachine, Held: a.Held, Options: p.machineOptions(ids)}}, Score: 4, Answers: true, Why: []string{"the answer leaves it open"}}}, true
		}
	}
	var c Candidate
	var acts []Act
	for n, id := range machines {
		one := *a
		if n > 0 { // what does not wait for a machine is said once
			one.Held = nil
			for _, h := range a.Held {
				if hasSlot(h.Wants, AskMachine) {
					one.Held = append(one.Held, *h.clone())
				}
			}
		}
		filled := p.filled(&one, func(x *Act) { x.Machine = id })
		c = filled[0]
		if len(c.Acts) == 1 && c.Acts[0].Kind == Unclear {
			if c.Acts[0].Ask == AskHours {
				return nil, false // one figure is not two machines'
			}
			acts = append(acts, c.Acts[0].Held...)
			continue
		}
		acts = append(acts, c.Acts...)
	}
	if len(c.Acts) == 1 && c.Acts[0].Kind == Unclear {
		c.Acts[0].Held = acts
	} else {
		c.Acts = acts
	}
	return []Candidate{c}, true
}

func hasSlot(list []Slot, s Slot) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
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

// oneForFilter reads "the air one", "both fuel ones" for the filter that was
// asked for.
func (p *parse) oneForFilter() {
	toks := append([]token(nil), p.toks...)
	for i := 1; i < len(toks); i++ {
		if isOne(toks[i]) && toks[i-1].kind == word && !numeral(toks[i-1]) {
			toks[i].lem = "filter" + strings.TrimPrefix(toks[i].w, "one")
		}
	}
	items := settle(tag(toks, lex.words, p.names), toks, p.names)
	for _, it := range items {
		if it.has("part") && !it.is("part", "filter") {
			p.toks, p.items = toks, items
			return
		}
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
		return []Candidate{{Acts: []Act{q}, Score: 4, Answers: true, Why: []string{"no certain day"}}}, true
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
