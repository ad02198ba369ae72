package read

import (
	"strings"

	"woodruff/engine"
)

// group is the machines that a clause speaks of.
type group struct {
	ids    []int32
	unsure bool
	own    bool // named in the clause itself
	from   int  // the clause that names them, -1 for the context
	ctxID  engine.MachineID
}

func (g group) known() bool { return g.ctxID != 0 || len(g.ids) > 0 && !g.unsure }
func (g group) none() bool  { return g.ctxID == 0 && len(g.ids) == 0 }

// report is the outcome of reading a message as a report of work.
type report struct {
	p      *parse
	groups []group
	days   []resolved
	by     []string
	facts  []fact
	hours  []map[engine.MachineID]hoursRead
	lost   bool // something was said of a machine that could not be made out
}

// reports reads the message as a report, with the questions in it.
func (p *parse) reports() []Candidate {
	if c, ok := p.questions(); ok {
		return c
	}
	acts, score, why := p.report(p.items)
	return []Candidate{{Acts: acts, Score: score, Why: why}}
}

// report reads items as work done, things seen, readings and fills.
func (p *parse) report(items []item) ([]Act, float64, []string) {
	p.clauses = split(items, p.toks)
	p.markSilence()
	p.otherTimes()
	r := &report{p: p}
	r.findGroups()
	r.findBy()
	r.facts = append(p.bindWork(), p.bindSeen()...)
	r.copySame()
	r.fillGaps()
	r.findHours()
	r.spreadAll()
	r.findDays()
	r.datedBack()
	r.dropUnfounded()
	acts, why := r.assemble()
	for i := range p.clauses {
		if p.clauses[i].silent != "" {
			why = append(why, "part "+itoa(i+1)+" is "+p.clauses[i].silent)
		}
	}
	if len(acts) == 0 {
		return []Act{{Kind: Chat}}, 0.5, append(why, "nothing firm is said of a machine")
	}
	return acts, float64(2 + len(acts)), why
}

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}

// findBy finds who did the work, where the message names somebody.
func (r *report) findBy() {
	r.by = make([]string, len(r.p.clauses))
	for c := range r.p.clauses {
		cl := &r.p.clauses[c]
		name := r.doer(cl)
		if name == "?" {
			cl.silent = "work of somebody who is not named"
			continue
		}
		if name != "" && c > 0 && cl.sep == 'a' && len(r.p.clauses[c-1].items) == 1 && r.p.clauses[c-1].items[0].person != "" {
			name = r.p.clauses[c-1].items[0].person + " and " + name
		}
		r.by[c] = name
		if name == "" && c > 0 && cl.sep == 'a' && !cl.has("who") && r.by[c-1] != "" {
			r.by[c] = r.by[c-1]
		}
	}
}

func (c *clause) has(k class) bool { return indexOf(c.items, k) >= 0 }

// doer is the subject of a clause's first verb when it is a person.
func (r *report) doer(c *clause) string {
	p := r.p
	for i, it := range c.items {
		if it.person != "" && i > 0 && p.word(c.items[i-1]) == "by" {
			return it.person
		}
		if p.word(it) == "by" && i > 0 && i+1 < len(c.items) && c.has("verb") {
			k := i + 1
			for k+1 < len(c.items) && c.items[k].has("det") {
				k++
			}
			if c.items[k].unknown() && c.items[k].n == 1 {
				return strings.TrimSpace(p.textOf(c.items[i+1 : k+1])) // "by my son"
			}
		}
		if !it.has("verb") && !it.has("fuelverb") {
			continue
		}
		if c.has("verb") && p.byLater(c, i) {
			continue
		}
		k := i - 1
		for k >= 0 && (c.items[k].has("aux") || c.items[k].has("glue") && c.items[k].person == "") {
			k--
		}
		if k < 0 {
			break
		}
		s := c.items[k]
		switch {
		case s.person != "":
			return s.person
		case it.has("fuelverb") && p.word(s) == "she" && p.takesIn(c.items, i):
			return "" // "she got eighteen litres": the machine
		case s.has("pron") && (p.word(s) == "he" || p.word(s) == "she" || p.word(s) == "they"):
			return "?"
		case s.unknown() && len(s.senses) == 0 && s.n == 1 && p.toks[s.at].kind == word && !lex.vocab.known[p.toks[s.at].w] && r.opensClause(c, k) && !hasDigit(p.toks[s.at].w) && len(p.toks[s.at].w) > 1 && !strings.HasSuffix(p.toks[s.at].w, "ly"):
			c.items[k].person = p.toks[s.at].raw
			return p.toks[s.at].raw
		}
		break
	}
	return ""
}

// takesIn says whether a verb tells what a machine took in: "got eighteen litres".
func (p *parse) takesIn(items []item, i int) bool {
	switch p.word(items[i]) {
	case "got", "took", "had", "drank", "swallowed", "takes", "gets", "drinks":
	default:
		return false
	}
	for _, it := range items[i+1:] {
		if it.numeric && (it.unit == "litres" || it.unit == "gallons" || it.unit == "impgallons") {
			return true
		}
	}
	return false
}

// byLater says whether "by somebody" follows in the clause.
func (p *parse) byLater(c *clause, i int) bool {
	for k := i + 1; k+1 < len(c.items); k++ {
		if p.word(c.items[k]) == "by" && (c.items[k+1].person != "" || c.items[k+1].unknown() || c.items[k+1].has("det")) {
			return true
		}
	}
	return false
}

// opensClause says whether only fillers stand before an item.
func (r *report) opensClause(c *clause, k int) bool {
	for _, it := range c.items[:k] {
		if !it.filler() || it.has("det") {
			return false
		}
	}
	return true
}

// findDays settles on which day each clause's work was done.
func (r *report) findDays() {
	cl := r.p.clauses
	own := make([]*when, len(cl))
	for i := range cl {
		for k := range cl[i].items {
			if it := &cl[i].items[k]; it.dated && !(it.when.known && it.when.offset > 0) && own[i] == nil && !it.numericOnly() {
				own[i] = &it.when
			}
		}
	}
	for i := len(cl) - 1; i > 0; i-- {
		if !onlyDay(cl[i].items) {
			continue
		}
		for k := i - 1; k >= 0 && cl[k].sentence == cl[i].sentence; k-- {
			own[k] = own[i] // the last word on the day stands
			if hasVerb(cl[k].items) {
				break
			}
		}
	}
	r.days = make([]resolved, len(cl))
	lead := (*when)(nil)
	for i := range cl {
		if i == 0 || cl[i].sentence != cl[i-1].sentence {
			if own[i] != nil && leadsWithDay(cl[i].items) {
				lead = own[i]
			} else if i > 0 && cl[i-1].end != '\n' && own[i] != nil {
				lead = nil
			}
		}
		w := own[i]
		if w == nil {
			w = r.dayFrom(i, own, lead)
		}
		if w != nil {
			r.days[i] = w.past(r.p.ctx)
		}
	}
}

func (it *item) numericOnly() bool { return it.used && it.numeric }

func leadsWithDay(items []item) bool {
	for _, it := range items {
		if it.dated {
			return true
		}
		if it.named || it.has("verb") || it.numeric {
			return false
		}
	}
	return false
}

// dayFrom takes the day of a neighbouring clause that shares it.
func (r *report) dayFrom(i int, own []*when, lead *when) *when {
	cl := r.p.clauses
	// "injectors replaced and valves set on N1 yesterday"
	for k := i + 1; k < len(cl) && cl[k].sentence == cl[i].sentence && (cl[k].sep == 'a' || !r.groups[i].own && cl[k].sep == ','); k++ {
		if r.groups[i].own && r.groups[k].own && !same32(r.groups[i].ids, r.groups[k].ids) && !r.bare(i) {
			break
		}
		if own[k] != nil {
			if !r.groups[i].own || !r.groups[k].own {
				return own[k]
			}
			break
		}
	}
	for k := i - 1; k >= 0 && cl[k].sentence == cl[i].sentence; k-- {
		if own[k] != nil && same32(r.groups[i].ids, r.groups[k].ids) && cl[i].sep != 's' {
			return own[k]
		}
	}
	return lead
}

func (r *report) bare(c int) bool { return !core(r.p.clauses[c].items) }

func same32(a, b []int32) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
