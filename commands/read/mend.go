package read

import (
	"io"
	"strings"

	"woodruff/engine"
)

// A change of an earlier line is said in any order and with any trimming: "fat
// thumb. 1514.4 shld be 1514.1", "only the hyd oil on that last one, no filter",
// "what I should have said there was belt and not battery". So it is not found by
// phrases: each word has a part to play (data/mend.csv) or is a value, and what
// stands after "I put" or "not" was wrong, what stands after "should be", "meant"
// or "that goes on" is right. A word without a part means that the message is no
// such change.

// loadMend reads what the words of a correction do.
func (l *lexicon) loadMend(open func(string) (io.Reader, error)) error {
	rows, err := readRows(open, "mend.csv", 2)
	if err != nil {
		return err
	}
	l.mend = map[string]string{}
	for _, row := range rows {
		for _, w := range strings.Split(row[0], "|") {
			l.mend[w] = row[1]
		}
	}
	return nil
}

// mending is where the walk through a correction stands.
type mending struct {
	right, wrong, open []value // meant, taken back, and not yet told which
	side               byte    // of the next value: 'r' right, 'w' wrong, 0 open
	strong             bool    // a word that only corrects was there
	last               bool    // an earlier line is named: "that last one"
	was                bool    // and told of: "last one was for rt2"
	ought              bool    // "should have" goes on with the word that it governs: "should read"
	changes            bool    // "change", "move", "put that": what follows "to" is right
	only               bool    // "just", "only"
	should             bool    // what stood open before may be what was wrong: "1514.2 should be 1541.2"
	ref                bool    // "that", "it"
	verbs              bool    // a value stood as a verb: "greased"
	slipped            bool    // what stood open is said to be wrong: "1514.2 was a typo, 1541.2"
	denied             bool    // something is denied, not only told of: "not rt1"
	broke              bool    // a mark stood before
	relative           bool    // the line is singled out by what was said: "the drain i logged"
	did                bool    // "did the oil"
	tells              bool    // and one that nothing takes back: work is reported
}

// mended reads a correction by the parts that its words play.
func (p *parse) mended() ([]Candidate, bool) {
	q := *p
	q.oneForFilter()
	q.items = joined(tag(q.toks, lex.words, p.names), q.toks, p.names) // with what was taken back
	q.bareTags()
	q.tagsMeant()
	var m mending
	m.strong = strings.HasPrefix(strings.TrimSpace(p.text), "*") // "*1541.2" mends what was typed
	for i, it := range q.items {
		switch {
		case it.brk == '?', i == 0 && p.asksOutright():
			return nil, false
		case it.brk != 0:
			m.broke = true
			m.pause()
		case q.isValue(i):
			if q.standsIn(i) {
				continue
			}
			v := q.values([]int{i})
			if len(v) != 1 {
				return nil, false
			}
			m.take(v[0], it.has("verb") || it.has("verb0"))
		case it.numeric && it.unit == "hours" && it.num.milli <= 24000 && it.num.decimals == 0, it.is("unit", "hours") && i > 0 && (q.toks[it.at-1].w == "an" || q.toks[it.at-1].w == "a"):
			return nil, false // "put an hour on rt1": a stretch of work
		case it.has("sayshours") && p.toks[it.at].w == "i":
			return nil, false // "i make it 1541.2 on rt1" tells what the meter shows
		case it.has("wrong"):
			m.slip()
		case it.has("joke"), it.has("fix"), it.is("glue", "polite"), it.is("glue", "oath"), it.has("no") && i == 0 && !q.denies(i):
			m.strong = m.strong || p.phrase(it) == "correction"
			if p.phraseHas(it, "mean") || p.phraseHas(it, "meant") || it.has("shouldbe") {
				m.strong, m.side = true, 'r'
			}
		default:
			if !q.mendWords(i, &m) {
				return nil, false
			}
		}
	}
	return q.mendFrom(&m)
}

// asksOutright says whether a question word opens the message, other than in
// "what I should have said".
func (p *parse) asksOutright() bool {
	if len(p.toks) < 2 {
		return false
	}
	switch p.toks[0].w {
	case "which", "who", "whos", "when", "how", "where", "why", "whats":
		return true
	case "what":
		switch p.toks[1].w {
		case "i", "it", "that", "we":
			return false
		}
		return true
	}
	return false
}

// isValue says whether an item can be what is right or wrong.
func (p *parse) isValue(i int) bool {
	it := p.items[i]
	if it.numeric && it.num.whole() && it.num.milli <= 10000 && p.toks[it.at].kind == word {
		return false // "mixed up the two"
	}
	return it.named || it.numeric || it.dated || it.has("part") || it.has("event") || it.has("find") ||
		it.is("verb", "drain") || it.is("verb", "grease") || it.is("verb", "bleed")
}

// standsIn says whether a bowl or tank only tells where something was: "slime in
// the bowl".
func (p *parse) standsIn(i int) bool {
	it := p.items[i]
	if !it.has("part") {
		return false
	}
	switch p.partOf(it) {
	case "bowl", "tank":
	default:
		return false
	}
	for i > 0 && p.items[i-1].has("det") {
		i--
	}
	return i > 0 && p.items[i-1].is("prep", "in")
}

// denies says whether a "no" stands right before what is denied: "no filter".
func (p *parse) denies(i int) bool {
	for i++; i < len(p.items) && p.items[i].has("det"); i++ {
	}
	return i < len(p.items) && p.isValue(i)
}

// mendWords gives each word of an item its part; false where one has none.
func (p *parse) mendWords(i int, m *mending) bool {
	it := p.items[i]
	for k := it.at; k < it.at+it.n; k++ {
		t := p.toks[k]
		role := lex.mend[t.lem]
		if role == "" {
			role = lex.mend[t.w]
		}
		switch role {
		case "":
			return false
		case "slip":
			m.slip()
		case "ref":
			m.ref = true
		case "should", "meant":
			m.should = m.should || role == "should" || k+1 < len(p.toks) && p.toks[k+1].w == "to"
			m.strong, m.side, m.changes, m.ought = true, 'r', false, true
			continue
		case "light":
			continue
		case "told":
			switch {
			case m.ought:
			case len(m.open) > 0 && m.side == 0:
				m.relative = true // "the drain i logged was yesterday"
			default:
				m.side = 'w'
			}
		case "last":
			m.last = true
		case "change":
			m.changes, m.side, m.denied = true, 'w', true
		case "goes":
			if m.side != 'r' && !m.ref && !m.last {
				return false
			}
			m.side, m.strong = 'r', true
		case "not":
			if k == it.at+it.n-1 && (t.w == "no" || t.w == "not") && !p.denies(i) && (i+1 >= len(p.items) || p.items[i+1].brk != 0 || !p.notBefore(i+1)) {
				continue
			}
			if t.w == "no" && !p.partNext(i) {
				continue // "rt1 2857.4 no 2847.4" is told within a report
			}
			m.side, m.denied = 'w', true
		case "instead":
			if k+1 < len(p.toks) && (p.toks[k+1].w == "of" || p.toks[k+1].w == "than") {
				m.side, m.denied = 'w', true
			}
		case "did":
			m.did = true
		case "only":
			m.only = true
		case "to":
			if m.ought {
				continue // "meant to put"
			}
			if m.changes && (t.w == "to" || t.w == "as" || m.ref || m.last) || m.side == 'w' && len(m.wrong) == 0 && k > 0 && lex.mend[p.toks[k-1].w] == "ref" {
				m.side, m.strong, m.changes = 'r', true, false
			}
		case "is":
			m.was = m.was || m.last
			if m.relative && t.w != "i" && t.w != "but" {
				m.relative, m.strong, m.side = false, true, 'r'
			}
			m.pause()
		}
		m.ought = false
	}
	return true
}

// partNext says whether a part follows: "no filter".
func (p *parse) partNext(i int) bool {
	for i++; i < len(p.items) && p.items[i].has("det"); i++ {
	}
	return i < len(p.items) && (p.items[i].has("part") || p.items[i].has("event"))
}

// notBefore says whether a denial reaches a value over small words: "not on rt1".
func (p *parse) notBefore(i int) bool {
	for ; i < len(p.items) && p.items[i].brk == 0; i++ {
		if p.isValue(i) {
			return true
		}
		if !p.items[i].filler() {
			return false
		}
	}
	return false
}

// slip notes that something was wrong: what stood before it, or what is meant
// follows.
func (m *mending) slip() {
	m.strong, m.should, m.side = true, true, 0
	m.slipped = len(m.open) > 0
}

// pause ends what was wrong: "wasn't rt1, it was rt2".
func (m *mending) pause() {
	if m.side == 'w' && len(m.wrong) > 0 && !m.changes {
		m.side = 'r'
	}
}

// take puts a value on its side. After one wrong value the next of its kind is
// right: "not 1514.2 1541.2".
func (m *mending) take(v value, verb bool) {
	m.verbs = m.verbs || verb
	m.tells = m.tells || verb && m.side == 0
	switch m.side {
	case 'r':
		if _, same := valueOf(m.right, v.field); m.broke && len(m.right) > 0 && !same {
			m.open = putValue(m.open, v) // "should have been yesterday, the belt"
			return
		}
		m.right = putValue(m.right, v)
	case 'w':
		for _, w := range m.wrong {
			if _, meant := valueOf(m.right, v.field); !meant && m.denied && w.field == v.field && w.field != "jobs" {
				m.right = putValue(m.right, v)
				return
			}
		}
		m.wrong = putValue(m.wrong, v)
	default:
		if old, ok := valueOf(m.open, v.field); ok && m.slipped {
			m.wrong, m.right, m.denied = append(m.wrong, old), append(m.right, v), true
			return
		}
		m.open = putValue(m.open, v)
	}
}

func putValue(list []value, v value) []value {
	for i := range list {
		if list[i].field != v.field {
			continue
		}
		if v.field == "jobs" && v.ask == "" {
			list[i].to.Jobs = append(list[i].to.Jobs, v.to.Jobs...)
		} else {
			list[i] = v
		}
		return list
	}
	return append(list, v)
}

func valueOf(list []value, field string) (value, bool) {
	for _, v := range list {
		if v.field == field {
			return v, true
		}
	}
	return value{}, false
}

// mendFrom makes the correction that the sides amount to.
func (p *parse) mendFrom(m *mending) ([]Candidate, bool) {
	right := m.right
	contrast := false
	if len(right) == 0 {
		// "1541.2 not 1514.2", "typo 1541.2": what is left open is meant
		for _, w := range m.wrong {
			if v, ok := valueOf(m.open, w.field); ok {
				right, contrast = append(right, v), true
			}
		}
	}
	if len(right) == 0 && len(m.open) == 1 && (m.strong || m.only && m.last || m.was && lineSlot(m.open[0].field)) {
		right, m.strong = m.open, true
	}
	if len(right) != 1 {
		return nil, false
	}
	v := right[0]
	m.strong = m.strong || m.only && m.last
	old, denied := valueOf(m.wrong, v.field)
	if before, ok := valueOf(m.open, v.field); ok && !denied && !contrast && len(m.right) > 0 {
		if !m.should {
			return nil, false // "rt1, I mean rt2" within a report
		}
		old, denied, m.denied = before, true, true // "1514.2 should be 1541.2"
	}
	if !m.strong && !denied && !(m.only && m.last) || m.verbs && !m.strong {
		return nil, false
	}
	if v.field == "jobs" && m.did && !m.strong && !m.only {
		return nil, false // "did the oil but not the filter" tells
	}
	if m.verbs && !denied && !m.last || m.tells && !(m.strong && (contrast || m.only)) {
		return nil, false // "rt1 should be drained" is a plan, "drained rt1, I mean rt2" tells
	}
	if v.field == "day" && p.putOffCue() >= 0 {
		return nil, false // "move the oil change to thursday"
	}
	target := Target{}
	for _, o := range append(append([]value(nil), m.open...), m.wrong...) {
		if o.field != v.field && o.ask == "" {
			p.aim(&target, o)
		}
	}
	if m.denied && denied && old.ask == "" && (v.field == "machine" || v.field == "jobs" || v.field == "hours") {
		p.aim(&target, old)
	}
	if v.field == "how" || v.field == "finding" && v.to.Finding == "" {
		return nil, false
	}
	if v.ask != "" {
		return p.corrected([]Act{{Kind: Unclear, Ask: v.ask, Options: v.opts, Held: []Act{{Kind: Correct, Field: v.field, Target: target, Wants: []Slot{v.ask}}}}}, "the new value is in doubt"), true
	}
	v.to.Jobs = uniqueJobs(v.to.Jobs)
	return p.corrected([]Act{{Kind: Correct, Field: v.field, To: v.to, Target: target}}, "changes the "+v.field+", by the parts that its words play"), true
}

// lineSlot says whether a value of a slot, told of "that last one", can only
// change it: hours and finds may be told again.
func lineSlot(field string) bool { return field == "machine" || field == "day" }

func uniqueJobs(jobs []engine.Job) []engine.Job {
	var out []engine.Job
	for _, j := range jobs {
		if !hasJob(out, j) {
			out = append(out, j)
		}
	}
	return out
}

// oughtToBeDone finds "rt1 should be drained": a plan, and no line is spoken of.
func (p *parse) oughtToBeDone() bool {
	if p.find("thatwas") >= 0 || p.find("isaid") >= 0 || p.find("wrong") >= 0 || p.find("neg") >= 0 || !namedIn(p.items) {
		return false
	}
	for i := 1; i+1 < len(p.items); i++ {
		if p.items[i].has("shouldbe") && p.items[i+1].has("verb") && p.word(p.items[i-1]) != "that" {
			return true
		}
	}
	return false
}

// cleft finds "its om2 that i greased, not om1".
func (p *parse) cleft() bool {
	if len(p.items) < 2 || p.word(p.items[0]) != "its" || !p.items[1].named {
		return false
	}
	for i, it := range p.items {
		if it.named && i > 0 && p.word(p.items[i-1]) == "not" {
			return true
		}
	}
	return false
}
