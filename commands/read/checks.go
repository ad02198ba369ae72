package read

import (
	"strings"

	"woodruff/engine"
)

// checkAnswer reads the answer to a check of fault-finding, with what is
// volunteered on other checks and any other work beside it.
func (p *parse) checkAnswer(a *Asked) ([]Candidate, bool) {
	q := *p
	q.toks = answerProper(p.toks)
	q.items = settle(tag(q.toks, lex.checks, q.names), q.toks, q.names)
	q.bareTags()
	parts := checkParts(q.items)
	var acts []Act
	var rest []item
	answered, conflict := false, false
	for _, part := range parts {
		list, clash := q.checkPart(part, a, answered)
		conflict = conflict || clash
		if len(list) == 0 && onlyLooks(part) {
			continue
		}
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
		if indexOf(q.items, "later") >= 0 && !q.tellsWork() && !namedIn(q.items) {
			return []Candidate{{Acts: []Act{{Kind: Chat}}, Score: 2, Why: []string{"the check cannot be answered, or not yet"}}}, true
		}
		return nil, false
	}
	acts = append(acts, besideAnswer(a, q.besideReport(rest))...)
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

// besideAnswer leaves out what is seen in the words of an answer and is the answer
// itself: "yes, loads of bubbles going past" finds no air besides.
func besideAnswer(a *Asked, acts []Act) []Act {
	var out []Act
	for _, x := range acts {
		if x.Kind == Finding && x.Machine == a.Machine && checkOf[x.Finding] == a.Check && !worksOn(acts, x.Machine) {
			continue
		}
		if x.Kind == Symptom && x.Machine == a.Machine && a.Check == engine.CheckFlow {
			continue // "spits and then quits": it is the stream that does
		}
		out = append(out, x)
	}
	return out
}

// checkOf is the check that a thing seen by itself answers.
var checkOf = map[engine.Finding]engine.Check{engine.Air: engine.CheckBubbles, engine.RingUp: engine.CheckRing, engine.Weep: engine.CheckWet,
	engine.Water: engine.CheckBowl, engine.Clean: engine.CheckBowl, engine.Rust: engine.CheckBowl, engine.Slime: engine.CheckBowl,
	engine.Debris: engine.CheckBowl, engine.Wax: engine.CheckBowl}

func worksOn(acts []Act, m engine.MachineID) bool {
	for _, x := range acts {
		if x.Kind == Service && x.Machine == m {
			return true
		}
	}
	return false
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
	if len(acts) == 1 && acts[0].Kind == Unclear {
		// what is in doubt may only go on with the answer: the next sentence may not
		for i, it := range items {
			if it.brk == 0 && i > 0 && p.stopBetween(items[i-1].at, it.at) {
				return p.besideReport(items[i:])
			}
		}
	}
	var out []Act
	for _, a := range acts {
		if a.Kind != Chat && a.Kind != Unclear {
			out = append(out, a)
		}
	}
	return out
}

// stopBetween says whether a sentence ends between two tokens.
func (p *parse) stopBetween(a, b int) bool {
	for k := a; k < b; k++ {
		if p.toks[k].kind == stop {
			return true
		}
	}
	return false
}

// checkPart reads one part of an answer.
func (p *parse) checkPart(items []item, a *Asked, answered bool) (acts []Act, clash bool) {
	machine := a.Machine
	for i, it := range items {
		if it.named {
			if !it.m.one() || len(it.m.ids) != 1 {
				return nil, false
			}
			if id := p.names.id(it.m.ids[0]); id != machine {
				return nil, false // another machine: not an answer
			}
		}
		if it.has("verb") && !it.has("chk") && !it.has("didcheck") && !looksAtIt(items, i) || it.has("later") {
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
	still := false
	for i, it := range items {
		if it.unknown() {
			strange++
		}
		still = still || p.word(it) == "still"
		if about == engine.CheckCap && still && (it.has("symptom") || it.has("dies") || it.has("vague")) {
			put(about, "no") // "still bogs"
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
	if about == engine.CheckFlow {
		for _, it := range items {
			if it.is("find", "clean") && (p.phraseHas(it, "comes") || p.phraseHas(it, "came") || p.phraseHas(it, "coming")) {
				put(engine.CheckFlow, "yes") // "fuel comes out good" tells of no bowl here
			}
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
			case "clean":
				put(engine.CheckWet, "no") // "couldnt find a drop"
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
	if _, ok := found[about]; !ok && about == a.Check {
		if r := p.polar(items, about); r != "" {
			put(about, r)
		}
	}
	if about == engine.CheckVacuum {
		if r := p.vacuum(items); r != "" {
			put(engine.CheckVacuum, r)
		}
	}
	if !answered && about == a.Check && a.Check != engine.CheckVacuum && a.Check != engine.CheckBowl {
		if yn := p.yesNo(items); yn != "" {
			if r, ok := found[a.Check]; ok && r != yn && !p.ownWords(items) {
				// "no its up" contradicts itself; "no, no bubbles" does not
				clash = true
			} else if _, ok := found[a.Check]; !ok && (strange == 0 || strange <= 2 && p.plainly(items)) {
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
	denied := false
	for i, it := range items {
		switch {
		case it.has("yes") && it.n > 1 && p.toks[it.at].w == "it" && len(items) > 1:
			return "" // "it was full of dust" is no yes
		case it.has("yes") && it.n == 1 && i+1 < len(items) && lightRun(p.toks[it.at:], true) > 0:
			continue // "its absolutely plugged"
		case it.has("yes"):
			return "yes"
		case it.has("no") && (it.n == 1 || strings.HasPrefix(p.phrase(it), "not ")):
			return "no"
		case it.has("neg"):
			denied = i == len(items)-1 && p.barely(items[:i]) // "it isnt"
			continue
		case it.filler() || p.weightless(it):
			continue
		}
		return ""
	}
	if denied {
		return "no"
	}
	return ""
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
	if c == engine.CheckRing && p.upElsewhere(it, items) {
		return false
	}
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

// upElsewhere finds an "up" that is not the ring's: "im up a ladder", "up there in
// a sec".
func (p *parse) upElsewhere(it item, items []item) bool {
	if w := p.toks[it.at].w; w != "up" && w != "down" {
		return false
	}
	for k, x := range items {
		if x.at <= it.at {
			if w := p.toks[x.at].w; x.at < it.at && (w == "im" || w == "were" || w == "i" || x.has("verb0")) {
				return true
			}
			continue
		}
		for t := x.at; t < x.at+x.n; t++ {
			switch p.toks[t].w {
			case "sec", "secs", "min", "mins", "minute", "minutes", "tick", "mo", "ladder", "tree", "hill", "road", "field", "yard":
				return true
			}
		}
		if k > 0 && x.has("det") && items[k-1].at == it.at && it.n == 1 {
			return true
		}
	}
	return false
}

// bowlResult is what is in the bowl: the worst of what is named.
func (p *parse) bowlResult(items []item) string {
	best := ""
	rank := map[string]int{"clean": 1, "clear": 1, "water": 2, "rust": 3, "debris": 3, "slime": 4, "wax": 4, "ice": 2}
	for i, it := range items {
		v := it.val("find")
		if v == "" && it.has("chk") {
			v = p.findWithin(it) // "full of dirt"
		}
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
	for i, it := range items {
		if it.numeric && (it.unit == "inHg" || it.unit == "kPa") && it.num.milli >= 0 {
			return decimal(it.num.milli) + " " + it.unit
		}
		if it.numeric && it.unit == "foreign" && strings.HasPrefix(p.toks[it.at+it.n-1].lem, "in") {
			return decimal(it.num.milli) + " inHg" // a gauge in inches shows mercury
		}
		if it.numeric && it.unit == "" && i+1 < len(items) && p.word(items[i+1]) == "in" {
			return decimal(it.num.milli) + " inHg"
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
