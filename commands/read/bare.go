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
	if f.weak {
		switch p.besideNoun(o) {
		case "state":
			return nil
		case "more":
			f.ask = AskMeaning
			f.act = &Act{Kind: Service}
			return []fact{f}
		}
	}
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

// besideNoun says what else stands in the clause of a job named without a verb.
// Only a noun that stands bare, beside machines, figures of the meter, days and
// other jobs, tells of work: "rt1 2848.9 oil". Where it is "state", the noun's
// state is told ("oil ok", "belt squeals"); where it is "more", something that a
// list of jobs does not hold ("oil 6 litres", "oil at 2900").
func (p *parse) besideNoun(o object) string {
	items := p.clauses[o.clause].items
	more, shown := "", 0
	for i, it := range items {
		next := item{}
		k := skipDet(items, i+1)
		for k < len(items) && items[k].is("glue", "corrected") {
			k = skipDet(items, k+1)
		}
		if k < len(items) {
			next = items[k]
		}
		switch {
		case it.has("wrong"):
			return "state" // "read the wrong line"
		case it.is("glue", "corrected"), it.named, it.dated, it.clock, it.person != "", it.has("det"), it.has("and"), it.has("new"),
			it.has("part") && !it.has("numeric"), it.has("event"), it.has("all"), it.has("meterword"), it.has("sayshours") && next.numeric,
			it.has("daymod") && next.dated, it.has("say"), it.has("who"), it.has("pron"), it.has("same"), it.has("verb"), it.has("newone"):
		case it.has("find") || it.has("amount") || it.has("cond-part") || it.has("fuel"):
			if !items[o.at].is("event", "drain") && !items[o.at].is("part", "bothfilters") && !p.fuelPart(items[o.at]) {
				return "state"
			}
		case it.numeric:
			if p.meterFigure(o.clause, it) {
				shown++
			}
			if shown > 1 {
				more = "more" // one of the two is no reading
			} else if it.has("digit") && len(it.num.spoken) == 1 && !p.meterFigure(o.clause, it) && !next.has("part") || it.unit != "" && it.unit != "hours" {
				more = "more"
			} else if it.unit == "" && !p.meterFigure(o.clause, it) && !next.has("part") && !next.has("event") {
				more = "more"
			}
		case it.has("prep"), it.has("at"):
			if !next.named && !next.has("part") && !next.has("event") && !next.dated && !(next.numeric && p.meterFigure(o.clause, next)) {
				more = "more"
			}
		case it.has("aux"):
			if next.is("glue", "") {
				return "state"
			}
		case it.is("unit", "hours") && next.numeric:
		case it.unknown(), it.has("half"), it.has("unit"), it.is("glue", "v"), it.has("tail"), it.has("heat"), it.has("wetat"):
			more = "more"
		case it.is("glue", "polite"), it.is("glue", "manner"), it.is("glue", "chatter"), it.is("glue", "oath"), it.is("glue", "place"), it.is("glue", "late"), it.is("glue", "corrected"), it.is("glue", "because"):
		case it.is("glue", "state"), it.has("symptom"), it.has("vague"):
			more = "more" // trouble of some sort
		case it.is("glue", "adj"), it.has("gone"):
			return "state"
		case it.is("glue", ""):
			if p.judges(it) && !verbJust(items, i) {
				return "state"
			}
		case it.brk == 0 && !it.filler():
			more = "more" // what else it may be, it is no job: "oil put off"
		}
	}
	return more
}

// newIsToldOf says whether a new part is only spoken of: "new belt squeals",
// "brought the new belt".
func (p *parse) newIsToldOf(c, i int) bool {
	items := p.clauses[c].items
	k := i - 1
	for k >= 0 && items[k].has("det") {
		k--
	}
	if k >= 0 && (items[k].has("tail") || gotHold[p.word(items[k])]) {
		return true
	}
	for _, it := range items[i+1:] {
		if it.is("glue", "state") || it.has("symptom") || it.is("glue", "v") && seems[p.word(it)] {
			return true
		}
	}
	return false
}

// gotHold are the words for having a part without fitting it, seems those that
// tell how it does.
var (
	gotHold = map[string]bool{"brought": true, "fetched": true, "collected": true, "found": true,
		"picked": true, "sent": true, "received": true, "borrowed": true, "unpacked": true}
	seems = map[string]bool{"looks": true, "look": true, "seems": true, "feels": true, "sounds": true, "runs": true, "like": true,
		"needs": true, "wants": true, "keeps": true}
)

// verbJust says whether a filler follows a verb, so that it is the verb's: "bled
// ok".
func verbJust(items []item, i int) bool {
	return i > 0 && items[i-1].has("verb")
}

// meterFigure says whether a figure can be what the clause's machine shows.
func (p *parse) meterFigure(c int, it item) bool {
	t, ok := it.num.tenths()
	if !ok || it.unit != "" && it.unit != "hours" || it.approx {
		return false
	}
	for k := c; k >= 0; k-- {
		for _, m := range p.clauses[k].items {
			if m.named && len(m.m.ids) > 0 {
				for _, id := range m.m.ids {
					if p.near(id, t) {
						return true
					}
				}
				return false
			}
		}
	}
	if id := p.contextMachine(); id != 0 {
		return p.near(p.names.place(id), t)
	}
	return it.num.decimals == 1
}

// fuelPart says whether an item is a part in which water and the like are found.
func (p *parse) fuelPart(it item) bool {
	switch it.val("part") {
	case "separator", "assembly", "bowl", "fuelfilter", "filter", "bothfilters", "tank", "oring", "hose":
		return true
	}
	return false
}

// judges says whether a filler says how a thing is: "oil ok", "belt good".
func (p *parse) judges(it item) bool {
	for k := it.at; k < it.at+it.n; k++ {
		switch p.toks[k].lem {
		case "ok", "okay", "fine", "good", "great", "alright", "bad", "perfect", "full", "half", "empty", "low", "light", "level", "nice", "normal", "tired", "down", "up", "off", "out", "check", "list":
			return true
		}
	}
	return false
}

// hadDone finds "every mower has had an oil change", "rt1 got a drain".
func (p *parse) hadDone(o object) bool {
	items := p.clauses[o.clause].items
	if p.onlyThat(items, o.at) {
		return true
	}
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

// onlyThat finds "only the drain" in reply to a reminder of several jobs.
func (p *parse) onlyThat(items []item, at int) bool {
	if len(p.replyJobs()) < 2 || !hasJob(p.replyJobs(), p.jobOf(items[at])) {
		return false
	}
	only := false
	for i, it := range items {
		w := p.word(it)
		only = only || w == "only" || w == "just"
		if i != at && !it.filler() {
			return false
		}
	}
	return only
}

// bareVerb takes a verb that names its job by itself: drained, greased, bled.
func (p *parse) bareVerb(v verbAt) []fact {
	c := p.clauses[v.clause]
	if c.silent != "" {
		return nil
	}
	f := fact{clause: v.clause, at: v.at}
	if k := skipDet(c.items, v.at+1); k < len(c.items) && c.items[k].has("other") && !c.items[k].has("part") {
		f.act = &Act{Kind: Service, Jobs: []engine.Job{engine.OtherWork}, Words: p.words(v.clause)}
		return []fact{f} // "bled the brakes" is no bleed of the fuel side
	}
	one := func(j engine.Job) []fact {
		f.act = &Act{Kind: Service, Jobs: []engine.Job{j}}
		return []fact{f}
	}
	switch v.verb {
	case "drain":
		if p.pouredIn(c.items, v.at) || p.otherDrained(c.items, v.at) {
			return nil // "dumped 2 jerry cans in"
		}
		return one(engine.Drain)
	case "grease":
		return one(engine.Grease)
	case "bleed":
		return one(engine.Bleed)
	case "renew":
		if row, ok := p.renewedBefore(v); ok && row.ask {
			return []fact{p.askJobs(f, row)}
		} else if ok {
			return one(engine.Job(row.jobs[0]))
		}
		if f, ok := p.renewedAsAsked(v); ok {
			return []fact{f}
		}
		if p.pointsBlind(v) {
			f = p.askJobs(f, jobRow{jobs: []string{"filter"}})
			return []fact{f}
		}
	case "adjust":
		if jobs := p.replyJobs(); len(jobs) == 1 && jobs[0] == engine.Valves && p.onlyPoints(v) {
			return one(engine.Valves)
		}
	case "do":
		if jobs := p.replyJobs(); len(jobs) > 1 && p.onlySome(v.clause) {
			f = p.askJobs(f, jobRow{jobs: []string{"service"}})
			f.opts = nil
			for _, j := range jobs {
				f.opts = append(f.opts, Option{Jobs: []engine.Job{j}})
			}
			return []fact{f}
		}
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

// onlySome finds "did one of em", "only did half": some of what was due, not said
// which.
func (p *parse) onlySome(c int) bool {
	for _, it := range p.clauses[c].items {
		for i := it.at; i < it.at+it.n; i++ {
			switch p.toks[i].w {
			case "one", "half", "some", "part", "most", "1", "couple", "few", "either":
				return true
			}
		}
	}
	return false
}

// renewedAsAsked takes "swapped it", "changed em both" for the jobs of the
// reminder that it answers. Where that held jobs that renew nothing, it must be
// asked which.
func (p *parse) renewedAsAsked(v verbAt) (fact, bool) {
	jobs := p.replyJobs()
	if len(jobs) == 0 || !p.onlyPoints(v) {
		return fact{}, false
	}
	f := fact{clause: v.clause, at: v.at}
	for _, j := range jobs {
		switch j {
		case engine.Drain, engine.Grease, engine.Bleed, engine.Valves:
			return p.askJobs(f, jobRow{jobs: []string{"service"}}), true
		}
	}
	f.act = &Act{Kind: Service, Jobs: jobs}
	return f, true
}

// onlyPoints says whether the clause of a verb names nothing that it was done to
// but by "it", "em", "both", "new one".
func (p *parse) onlyPoints(v verbAt) bool {
	for i, it := range p.clauses[v.clause].items {
		if i != v.at && !it.filler() && !it.has("all") && !it.has("newone") && !it.dated && !it.has("verb") && !(it.numeric && p.meterFigure(v.clause, it)) && !it.named && !it.has("find") {
			return false
		}
	}
	return true
}

// renewedBefore is what a "replaced" or "changed it" without a part of its own did
// to the part that was spoken of before: "oring on ws1 cracked, replaced".
func (p *parse) renewedBefore(v verbAt) (jobRow, bool) {
	for _, it := range p.clauses[v.clause].items {
		if !it.filler() && !it.is("verb", "renew") && !it.dated {
			return jobRow{}, false
		}
	}
	for c := v.clause - 1; c >= 0 && p.clauses[c].sentence == p.clauses[v.clause].sentence; c-- {
		items := p.clauses[c].items
		for i := len(items) - 1; i >= 0; i-- {
			if !items[i].has("part") || located(items, i) {
				continue
			}
			row, ok := lex.jobs[[2]string{"renew", items[i].val("part")}]
			if !ok || len(row.jobs) != 1 || row.jobs[0] == "other" || p.clauses[c].silent != "" {
				return jobRow{}, false
			}
			return row, true
		}
	}
	return jobRow{}, false
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
