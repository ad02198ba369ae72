package read

import (
	"slices"

	"woodruff/engine"
)

// agedQuestion reads "is it worth changing lift pumps early, 80 planned against
// 400 broken down": whether a part is better renewed at an age than run until it
// fails, with what either costs where it is told. It is read before asides are
// dropped: "80 planned" looks like one.
func (p *parse) agedQuestion() ([]Candidate, bool) {
	if !p.saysEarly() {
		return nil, false
	}
	q := *p
	q.items = settle(tag(p.toks, lex.words, p.names), p.toks, p.names)
	return q.agedPart()
}

func (p *parse) agedPart() ([]Candidate, bool) {
	job := engine.Job("")
	for _, it := range p.items {
		if !it.has("part") {
			continue
		}
		for _, j := range engine.AgedJobs() {
			if string(j) == it.val("part") {
				job = j
			}
		}
	}
	if job == "" || !p.asksWorth() {
		return nil, false
	}
	for _, it := range p.items {
		if it.named {
			return nil, false // what one machine does says nothing of wear
		}
	}
	act := Act{Kind: Question, About: AboutEarly, Job: job, Costs: p.costs()}
	return []Candidate{{Acts: []Act{act}, Score: 3, Why: []string{"whether a part is better renewed early"}}}, true
}

// asksWorth says whether the message asks: by a mark, or by its first words.
func (p *parse) asksWorth() bool {
	if p.asksByMark() || p.opensAsking() {
		return true
	}
	for _, t := range p.toks[:min(len(p.toks), 3)] {
		switch t.w {
		case "worth", "is", "does", "should", "would", "pay", "cheaper":
			return true
		}
	}
	return false
}

// saysEarly finds "early", and "before they fail".
func (p *parse) saysEarly() bool {
	for i, t := range p.toks {
		if inSet(t, "<early>") {
			return true
		}
		if t.w == "before" && i+2 < len(p.toks) && inSet(p.toks[i+2], "<fails>") {
			return true
		}
	}
	return false
}

// inSet says whether a word is of a set of data/sets.csv.
func inSet(t token, set string) bool {
	return slices.Contains(lex.sets[t.w], set)
}

// costs are the two figures of the message: that with a word for a failure
// beside it, "400 broken down", "400 when it fails", and the other; the second
// where no such word is near either.
func (p *parse) costs() engine.Costs {
	var figures []float64
	failed := 1
	for _, it := range p.items {
		if !it.numeric || it.named {
			continue
		}
		for k := it.at + it.n; k < len(p.toks) && k < it.at+it.n+3 && p.toks[k].kind == word; k++ {
			if inSet(p.toks[k], "<fails>") {
				failed = len(figures)
			}
		}
		figures = append(figures, float64(it.num.milli)/1000)
	}
	if len(figures) != 2 {
		return engine.Costs{}
	}
	if failed == 0 {
		return engine.Costs{Planned: figures[1], Failed: figures[0]}
	}
	return engine.Costs{Planned: figures[0], Failed: figures[1]}
}
