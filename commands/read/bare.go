package read

import "woodruff/engine"

// bareNoun takes a job named without a verb: "oil and filter n1 1224.0".
func (p *parse) bareNoun(o object) []fact {
	if p.clauses[o.clause].silent != "" || p.clauses[o.clause].sep == 'w' {
		return nil
	}
	verb := "renew"
	switch o.part {
	case "drain", "grease", "bleed", "valves", "bothfilters", "filter":
		verb = "do"
	}
	row, ok := lex.jobs[[2]string{verb, o.part}]
	if !ok {
		return nil
	}
	f := fact{clause: o.clause, at: o.at, weak: !p.hadDone(o)}
	if row.ask {
		f = p.askJobs(f, row)
		f.weak = true
		return []fact{f}
	}
	f.act = &Act{Kind: Service, How: engine.How(row.how)}
	for _, j := range row.jobs {
		f.act.Jobs = append(f.act.Jobs, engine.Job(j))
	}
	return []fact{f}
}

// hadDone finds "every mower has had an oil change", "rt1 got a drain".
func (p *parse) hadDone(o object) bool {
	items := p.clauses[o.clause].items
	if o.part != "oilchange" && !items[o.at].has("event") {
		return false
	}
	k := o.at - 1
	for k >= 0 && (items[k].has("det") || items[k].is("glue", "") || items[k].is("glue", "manner")) {
		k--
	}
	if k >= 0 && items[k].has("say") && namedIn(items) {
		return true // "please log an oil change on OM2"
	}
	if k > 0 && items[k].named && (p.word(items[k-1]) == "gave" || items[k-1].has("det") && k > 1 && p.word(items[k-2]) == "gave") {
		return true // "gave the loader a good greasing"
	}
	if k < 1 || p.word(items[k]) != "had" && p.word(items[k]) != "got" && p.word(items[k]) != "given" {
		return false
	}
	return namedIn(items[:k])
}

// bareVerb takes a verb that names its job by itself: drained, greased, bled.
func (p *parse) bareVerb(v verbAt) []fact {
	c := p.clauses[v.clause]
	if c.silent != "" {
		return nil
	}
	f := fact{clause: v.clause, at: v.at}
	one := func(j engine.Job) []fact {
		f.act = &Act{Kind: Service, Jobs: []engine.Job{j}}
		return []fact{f}
	}
	switch v.verb {
	case "drain":
		return one(engine.Drain)
	case "grease":
		return one(engine.Grease)
	case "bleed":
		return one(engine.Bleed)
	case "renew":
		if j, ok := p.renewedBefore(v); ok {
			return one(j)
		}
		if p.pointsBlind(v) {
			f = p.askJobs(f, jobRow{jobs: []string{"filter"}})
			return []fact{f}
		}
	case "do":
		if jobs := p.replyJobs(); len(jobs) > 0 {
			f.act = &Act{Kind: Service, Jobs: jobs}
			return []fact{f}
		}
	case "service":
		if p.jobsSpelledOut(v.clause) {
			return nil
		}
		f = p.askJobs(f, jobRow{jobs: []string{"service"}})
		return []fact{f}
	}
	return nil
}

// renewedBefore is the job of a "replaced" that has no part of its own but stands
// after one that was seen to be bad: "oring on ws1 cracked, replaced".
func (p *parse) renewedBefore(v verbAt) (engine.Job, bool) {
	for _, it := range p.clauses[v.clause].items {
		if !it.filler() && !it.is("verb", "renew") && !it.dated {
			return "", false
		}
	}
	for c := v.clause - 1; c >= 0 && p.clauses[c].sentence == p.clauses[v.clause].sentence; c-- {
		items := p.clauses[c].items
		for i := len(items) - 1; i >= 0; i-- {
			if !items[i].has("part") || located(items, i) {
				continue
			}
			row, ok := lex.jobs[[2]string{"renew", items[i].val("part")}]
			if !ok || row.ask || len(row.jobs) != 1 || row.jobs[0] == "other" || p.clauses[c].silent != "" {
				return "", false
			}
			return engine.Job(row.jobs[0]), true
		}
	}
	return "", false
}

// pointsBlind finds "changed it on rt1", "put a new one in rt1": something was
// renewed on a named machine, but not said what.
func (p *parse) pointsBlind(v verbAt) bool {
	blind := false
	for _, it := range p.clauses[v.clause].items {
		switch {
		case it.unknown(), it.has("other"), it.has("part"), it.has("event"), it.has("find"), it.numeric && !it.named:
			return false
		case it.has("newone"), it.has("pron") && p.word(it) == "it":
			blind = true
		}
	}
	return blind && namedIn(p.clauses[v.clause].items)
}

// jobsSpelledOut says whether a service is followed by what was done in it.
func (p *parse) jobsSpelledOut(c int) bool {
	n := 0
	for _, cl := range p.clauses[c:] {
		for _, it := range cl.items {
			if it.has("part") && it.val("part") != "filter" || it.is("verb", "drain") || it.is("verb", "grease") {
				n++
			}
		}
	}
	return n > 0
}
