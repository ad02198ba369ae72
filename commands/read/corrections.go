package read

import (
	"woodruff/engine"
)

// value is what a correction or an answer gives for one slot.
type value struct {
	field string
	to    To
	at    int
	ok    bool
	ask   Slot
	opts  []Option
}

// corrections reads a change of an earlier line: "that was N2 not N1", "should
// be 501.2", "the drain on RT1 monday was wilm not me", and taking one back.
func (p *parse) corrections() ([]Candidate, bool) {
	if c, ok := p.undoTarget(); ok {
		return c, true
	}
	if c, ok := p.wrongMachine(); ok {
		return c, true
	}
	if p.readsThenMends() {
		return nil, false
	}
	if c, ok := p.mended(); ok {
		return c, true
	}
	q := *p // what follows takes words in the light of a correction; it may be none
	for n := len(q.items); n > 1 && q.items[n-1].has("joke"); n-- {
		q.items = q.items[:n-1] // "that was saturday lol"
	}
	plea := q.dropPlea()
	if q.soundsCorrecting() {
		q.items = append([]item(nil), q.items...)
		if c, ok := q.correction(plea); ok {
			return c, true
		}
	}
	return nil, false
}

// correction reads a message that sounds like a change of an earlier line.
func (p *parse) correction(cued bool) ([]Candidate, bool) {
	p.tagsMeant()
	p.wordsMeant()
	p.oneForFilter()
	pos, neg := p.sides()
	if m := p.meantAfter(); m > 0 {
		pos, neg = span2(m+1, len(p.items)), nil
	} else if m := p.saidThen(); m > 0 {
		pos, neg, cued = span2(m, len(p.items)), nil, true
	}
	var acts []Act
	target := Target{}
	vals := p.values(pos)
	old := p.values(neg)
	if by, t, ok := p.whoDidIt(pos, neg); ok {
		acts = append(acts, Act{Kind: Correct, Field: "by", To: To{By: by}, Target: t})
		return p.corrected(acts, "somebody else did it"), true
	}
	if len(old) == 1 {
		kept := vals[:0]
		for _, v := range vals {
			if v.field == old[0].field {
				kept = append(kept, v)
			} else {
				p.aim(&target, v)
			}
		}
		vals = kept
		if f := old[0].field; len(vals) == 1 && old[0].ask == "" && (f == "machine" || f == "jobs" || f == "hours") {
			p.aim(&target, old[0]) // what was wrong says which line
		}
	}
	if len(vals) == 2 {
		// "n1 should be 1223.4", "the oil on n2 was yesterday": the last is the
		// new value, the one before says which line
		last := vals[1]
		if p.between(vals[0].at, last.at, "shouldbe") || p.between(vals[0].at, last.at, "aux") && vals[0].field != last.field {
			p.aim(&target, vals[0])
			vals = vals[1:]
		}
	}
	if len(vals) != 1 {
		return nil, false
	}
	v := vals[0]
	if (v.field == "finding" || v.field == "jobs" || v.field == "hours" || v.field == "amount") && !cued && !p.cued() {
		return nil, false // "it was clean" tells, "no it was clean" corrects
	}
	if v.ask != "" {
		return p.corrected([]Act{{Kind: Unclear, Ask: v.ask, Options: v.opts, Held: []Act{{Kind: Correct, Field: v.field, Target: target, Wants: []Slot{v.ask}}}}}, "the new value is in doubt"), true
	}
	c := p.corrected([]Act{{Kind: Correct, Field: v.field, To: v.to, Target: target}}, "changes the "+v.field)
	if off, ok := p.orPutOff(v); ok {
		c = append(c, off...) // as good a reading: it is asked about
	}
	return c, true
}

// meantAfter is where "i put grease but i meant drain" says what was meant.
func (p *parse) meantAfter() int {
	m := p.find("shouldbe")
	if m < 1 || !p.phraseHas(p.items[m], "meant") || p.find("isaid") < 0 && !p.items[m-1].has("but") {
		return 0
	}
	return m
}

// span2 are the places from a to before b.
func span2(a, b int) []int {
	var out []int
	for i := a; i < b; i++ {
		out = append(out, i)
	}
	return out
}

// cued says whether the message has a word that can only correct.
func (p *parse) cued() bool {
	for i, it := range p.items {
		if it.has("wrong") || it.has("shouldbe") || it.has("fix") || it.has("really") || it.has("no") && i == 0 || p.word(it) == "not" && !(i > 0 && p.items[i-1].has("but")) || it.has("thatwas") && p.toks[it.at].w != "it" && p.toks[it.at].w != "thats" && p.phrase(it) != "that is" {
			return true
		}
	}
	return false
}

// tagsMeant takes figures that are tags for machines: in a correction nobody
// says that the hours were 14 and not 12.
func (p *parse) tagsMeant() {
	for i := range p.items {
		it := &p.items[i]
		if !it.numeric || it.named || it.unit != "" || !it.num.whole() || it.dated || it.num.milli >= 1000000 {
			continue
		}
		if ids := p.names.exact[itoa(int(it.num.milli/1000))]; len(ids) == 1 && !(i > 0 && (p.items[i-1].has("meterword") || p.items[i-1].has("sayshours"))) {
			it.named, it.numeric, it.m = true, false, mention{ids: ids}
		}
	}
}

// wordsMeant takes the telling word of a name for its machine: in a correction
// "I meant river" names one.
func (p *parse) wordsMeant() {
	for i := range p.items {
		if ids := p.names.tellingWord(p.items[i], p.toks); ids != nil {
			p.items[i].named, p.items[i].m = true, mention{ids: ids, unsure: len(ids) > 1, partial: true}
		}
	}
}

// tellsWork says whether the message holds a verb of work.
func (p *parse) tellsWork() bool {
	for _, it := range p.items {
		if it.has("verb") {
			return true
		}
	}
	return false
}

func (p *parse) corrected(acts []Act, why string) []Candidate {
	return []Candidate{{Acts: acts, Score: 4, Why: []string{why}}}
}

func (p *parse) between(a, b int, k class) bool {
	for i := a; i <= b && i < len(p.items); i++ {
		if p.items[i].has(k) {
			return true
		}
	}
	return false
}

// aim puts what is no new value into the target.
func (p *parse) aim(t *Target, v value) {
	switch v.field {
	case "machine":
		t.Machine = v.to.Machine
	case "day":
		t.Day = v.to.Day
	case "jobs":
		if len(v.to.Jobs) > 0 {
			t.Job = v.to.Jobs[0]
		}
	case "hours":
		t.Hours = engine.Known(v.to.Hours)
	}
}

// soundsCorrecting says whether the message is about an earlier line and
// nothing else.
func (p *parse) soundsCorrecting() bool {
	strong, weak, not := false, false, false
	if p.oughtToBeDone() {
		return false
	}
	for i, it := range p.items {
		switch {
		case it.is("glue", "corrected"):
			return false
		case it.has("wrong"), it.has("shouldbe"), it.has("thatwas"), it.has("notme"),
			i > 0 && it.has("aux") && p.word(p.items[0]) == "that" && !p.tellsWork(),
			i == 0 && p.cleft():
			strong = true
		case it.has("fix"), it.has("really"), it.has("isaid"):
			weak = true
		case it.is("neg", "") && p.word(it) == "not":
			not = not || p.deniesValue(i)
		case it.has("no") && i == 0:
			weak = true
		case it.dated && i > 0 && p.phrase(it) == "not today" && p.items[i-1].dated:
			not = true
		case it.brk != 0, it.filler(), it.named, it.numeric, it.dated, it.has("part"), it.has("event"),
			it.has("find"), it.has("amount"), it.has("cond-part"), it.person != "", it.has("verb"), it.has("and"), it.has("meterword"), it.has("sayshours"), it.has("notme"), it.has("who"), it.has("unit"), it.has("fuel"), it.has("new"), it.has("but"), it.has("cleft") && i == 0:
		default:
			if strong && p.names.tellingWord(it, p.toks) != nil {
				continue
			}
			return false
		}
	}
	if not && p.howCorrected() {
		return true
	}
	if p.firmWork() && p.meantAfter() == 0 {
		return false
	}
	return strong || weak || not
}

// howCorrected finds "the oil was topped up not changed".
func (p *parse) howCorrected() bool {
	less, not := false, false
	for _, it := range p.items {
		switch {
		case p.word(it) == "not":
			not = true
		case it.is("verb", "topup"), it.is("verb", "clean"), it.is("verb", "look"):
			less = less || !not
		case it.is("verb", "renew"):
			return less && not
		}
	}
	return false
}

// firmWork says whether the message reports work beside the correction words:
// then the words correct within it.
func (p *parse) firmWork() bool {
	named, verb, strong := false, false, p.cleft()
	for i, it := range p.items {
		named = named || it.named
		verb = verb || it.has("new") && i+1 < len(p.items) && p.items[i+1].has("part") || it.has("verb") && !it.is("verb", "do") && !it.has("thatwas")
		strong = strong || it.has("wrong") || it.has("shouldbe") || it.has("thatwas")
	}
	if !strong && !verb {
		// "N2 not N1", "sorry 1223.4": only values
		return false
	}
	return verb && !strong
}

// sides parts the items into what is meant and what is not.
func (p *parse) sides() (pos, neg []int) {
	not := -1
	for i, it := range p.items {
		if w := p.word(it); (w == "not" || w == "instead") && it.has("neg") || it.dated && i > 0 && p.phrase(it) == "not today" || it.is("neg", "instead") {
			not = i
			break
		}
	}
	cut := len(p.items)
	if not >= 0 {
		cut = not
	}
	for i := range p.items {
		switch {
		case i < cut:
			pos = append(pos, i)
		case i > cut:
			neg = append(neg, i)
		}
	}
	if not >= 0 && len(p.values(pos)) == 0 && len(p.values(neg)) == 1 {
		// "not the loader the digger": the last of two
		last, first := 0, -1
		for k, i := range neg {
			if v := p.values(neg[k : k+1]); len(v) == 1 && p.items[i].brk == 0 {
				last = k
				if first < 0 {
					first = k
				}
			}
			if p.items[i].brk != 0 || p.items[i].has("and") || p.items[i].has("but") {
				first = len(neg)
			}
		}
		if first < last {
			return neg[last:], neg[:last]
		}
	}
	if not >= 0 && len(p.values(pos)) == 0 {
		// "not N1, N2": the first is wrong, the rest is meant
		for k, i := range neg {
			if p.items[i].brk != 0 || p.items[i].has("shouldbe") || p.items[i].has("but") {
				return neg[k:], neg[:k]
			}
		}
	}
	return pos, neg
}

func (p *parse) phrase(it item) string {
	s := ""
	for i := it.at; i < it.at+it.n; i++ {
		if s != "" {
			s += " "
		}
		s += p.toks[i].w
	}
	return s
}

// values are the slot values among some items, one a field.
func (p *parse) values(at []int) []value {
	var out []value
	put := func(v value) {
		for i := range out {
			if out[i].field == v.field {
				if v.field == "jobs" {
					out[i].to.Jobs = append(out[i].to.Jobs, v.to.Jobs...)
					return
				}
				out[i] = v // a later word stands
				return
			}
		}
		out = append(out, v)
	}
	var parts []int
	amount, water := engine.Amount{}, -1
	for _, i := range at {
		it := p.items[i]
		switch {
		case it.named:
			v := value{field: "machine", at: i}
			if it.m.one() && len(it.m.ids) == 1 {
				v.to.Machine = p.names.id(it.m.ids[0])
			} else {
				v.ask, v.opts = AskMachine, p.machineOptions(it.m.ids)
			}
			put(v)
		case it.numeric && i > 0 && p.items[i-1].is("unit", "foreign"): // "row two"
		case it.numeric && (it.unit == "" || it.unit == "hours") && !it.num.slash && !it.num.fraction && !it.clock:
			v := value{field: "hours", at: i}
			t, ok := it.num.tenths()
			v.to.Hours = t
			if !ok || it.approx {
				v.ask = AskHours
			}
			put(v)
		case it.numeric && it.unit != "":
			if a := p.measured(it, nil); a != (engine.Amount{}) {
				amount, water = a, i
			}
		case it.has("amount"):
			amount, water = amountOf(it.val("amount")), i
		case it.dated:
			d := it.when.past(p.ctx)
			v := value{field: "day", at: i, to: To{Day: d.day}}
			if d.unsure || d.day == 0 {
				v.ask = AskDay
				for _, o := range d.options {
					v.opts = append(v.opts, Option{Day: o})
				}
			}
			put(v)
		case it.has("part") || it.has("event"):
			parts = append(parts, i)
		case it.has("find"):
			if f, ok := findingWord(it.val("find")); ok {
				put(value{field: "finding", at: i, to: To{Finding: f}})
			}
		case it.is("verb", "topup"):
			put(value{field: "how", at: i, to: To{How: engine.ToppedUp}})
		case it.is("verb", "clean"):
			put(value{field: "how", at: i, to: To{How: engine.Cleaned}})
		case it.is("verb", "look"):
			put(value{field: "how", at: i, to: To{How: engine.LookedAt}})
		case it.is("verb", "renew"):
			put(value{field: "how", at: i, to: To{How: engine.Renewed}})
		case it.is("verb", "drain"):
			put(value{field: "jobs", at: i, to: To{Jobs: []engine.Job{engine.Drain}}})
		case it.is("verb", "grease"):
			put(value{field: "jobs", at: i, to: To{Jobs: []engine.Job{engine.Grease}}})
		case it.is("verb", "bleed"):
			put(value{field: "jobs", at: i, to: To{Jobs: []engine.Job{engine.Bleed}}})
		}
	}
	for _, i := range parts {
		if js, ok, ask := p.jobsOfPart(p.partOf(p.items[i])); ok {
			put(value{field: "jobs", at: i, to: To{Jobs: js}})
		} else if ask {
			put(value{field: "jobs", at: i, ask: AskJobs, opts: jobOptions["filter"]})
		}
	}
	if water >= 0 {
		found := false
		for i := range out {
			if out[i].field == "finding" && out[i].to.Finding == engine.Water {
				out[i].field, out[i].to.Amount, found = "amount", amount, true
			}
		}
		if !found {
			put(value{field: "amount", at: water, to: To{Amount: amount}})
		}
	}
	return out
}

func (p *parse) partOf(it item) string {
	if it.has("part") {
		return it.val("part")
	}
	return it.val("event")
}

// jobsOfPart are the jobs that a part named by itself stands for.
func (p *parse) jobsOfPart(part string) (jobs []engine.Job, ok, ask bool) {
	for _, verb := range []string{"do", "renew", "drain", "clean"} {
		row, have := lex.jobs[[2]string{verb, part}]
		if !have {
			continue
		}
		if row.ask {
			ask = true
			continue
		}
		for _, j := range row.jobs {
			jobs = append(jobs, engine.Job(j))
		}
		return jobs, true, false
	}
	return nil, false, ask
}

func findingWord(v string) (engine.Finding, bool) {
	switch v {
	case "ringdown", "dry", "wet":
		return "", false
	case "clear":
		return engine.Clean, true
	}
	return engine.Finding(v), true
}

// whoDidIt reads "the drain on RT1 monday was wilm not me".
func (p *parse) whoDidIt(pos, neg []int) (string, Target, bool) {
	name := ""
	for _, i := range pos {
		if p.items[i].person != "" {
			name = p.items[i].person
		}
	}
	me := p.find("notme") >= 0
	for _, i := range neg {
		if w := p.word(p.items[i]); w == "me" || w == "i" || w == "mine" || p.items[i].person != "" {
			me = true
		}
	}
	mine := false
	if name == "" {
		for _, i := range pos {
			w := p.word(p.items[i])
			mine = mine || w == "mine" || w == "me"
		}
		for _, i := range neg {
			mine = mine && p.items[i].person != ""
		}
		if !mine || len(neg) == 0 {
			return "", Target{}, false
		}
		name = "me"
	} else if !me {
		did := false
		for _, i := range pos {
			did = did || p.items[i].is("verb", "do") || p.items[i].has("thatwas") && len(p.values(pos)) > 0
		}
		if !did || p.firmVerb(pos) || p.reportsToo(pos) {
			return "", Target{}, false
		}
	}
	t := Target{}
	for _, v := range p.values(pos) {
		p.aim(&t, v)
	}
	return name, t, true
}

// reportsToo says whether the message reports besides: a figure of a meter, or
// what was seen.
func (p *parse) reportsToo(at []int) bool {
	for _, i := range at {
		if it := p.items[i]; meterLike(it) || it.has("find") || it.has("cond-part") {
			return true
		}
	}
	return false
}

// firmVerb says whether some items tell of work themselves: "here is Anselm, I
// drained it, it was clean" hands nothing over to Anselm.
func (p *parse) firmVerb(at []int) bool {
	for _, i := range at {
		if it := p.items[i]; it.has("verb") && !it.is("verb", "do") && i > 0 && (p.items[i-1].has("who") || p.items[i-1].has("aux")) && it.n > 0 && p.word(p.items[i-1]) != "was" {
			return true
		}
	}
	return false
}

// undoTarget reads "scratch the grease on 21 from saturday".
func (p *parse) undoTarget() ([]Candidate, bool) {
	if len(p.items) < 2 {
		return nil, false
	}
	first := 0
	for first < len(p.items) && (p.items[first].filler() || p.items[first].has("no") || p.items[first].has("fix") && !isTakeBack(p.toks[p.items[first].at].w)) {
		first++
	}
	if first >= len(p.items) || !isTakeBack(p.toks[p.items[first].at].w) {
		return nil, false
	}
	if p.items[first].n > 1 && first+1 < len(p.items) && (p.items[first+1].brk != 0 || p.items[first+1].has("thatwas") || p.items[first+1].has("shouldbe")) {
		return nil, false // "scratch that, it was N2" corrects
	}
	var at []int
	for i := first; i < len(p.items); i++ {
		it := p.items[i]
		if it.has("undo") || it.has("fix") || it.has("thatwas") || it.filler() || it.brk != 0 || it.has("meterword") || it.has("daymod") {
			continue
		}
		if it.named || it.numeric || it.dated || it.has("part") || it.has("event") || it.has("verb") || it.has("verb0") || it.has("find") || it.person != "" || it.has("sayshours") || p.word(it) == "reading" || it.has("glue") {
			at = append(at, i)
			continue
		}
		if i == first {
			continue
		}
		return nil, false
	}
	t := Target{}
	var doubt *value
	for _, v := range p.values(at) {
		if v.ask != "" {
			doubt = &v
			continue
		}
		p.aim(&t, v)
	}
	for _, i := range at {
		if p.items[i].person != "" {
			t.By = p.items[i].person
		}
	}
	if doubt != nil {
		return p.corrected([]Act{{Kind: Unclear, Ask: doubt.ask, Options: doubt.opts, Held: []Act{{Kind: Undo, Target: t, Wants: []Slot{doubt.ask}}}}}, "which line to take back is in doubt"), true
	}
	lone := t.Job == "" && t.Day == 0 && t.By == "" && (!t.Hours.Known || t.Hours.Value < 1000)
	if t.IsZero() || lone && !p.namesLine(first) {
		return nil, false
	}
	return p.corrected([]Act{{Kind: Undo, Target: t}}, "takes back one older line"), true
}

// namesLine says whether what is taken back is a line of the book: "scratch the
// hauler, take 21" speaks of the machine.
func (p *parse) namesLine(first int) bool {
	switch p.toks[p.items[first].at].w {
	case "undo", "delete", "del", "erase":
		return true
	}
	for _, t := range p.toks {
		switch t.w {
		case "last", "entry", "line", "reading", "one", "post", "message", "log", "hours":
			return true
		}
	}
	return false
}
