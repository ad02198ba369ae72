package read

import "woodruff/engine"

// replyPutOff reads the answers to a reminder that put it off: "tomorrow",
// "cant today will do it friday", "drained clean, grease tomorrow", "later".
func (p *parse) replyPutOff() ([]Candidate, bool) {
	parts := p.replyParts()
	var offs []Act
	var rest []item
	var ask *Act
	for _, part := range parts {
		if !p.putsOff(part) {
			rest = append(rest, part...)
			rest = append(rest, item{at: part[len(part)-1].at, n: 1, brk: ','})
			continue
		}
		c, ok := p.putOffFrom(part)
		if !ok {
			continue
		}
		for i, a := range c[0].Acts {
			if a.Kind == Unclear {
				ask = &c[0].Acts[i]
			} else {
				offs = append(offs, a)
			}
		}
	}
	if ask != nil && len(offs) == 0 {
		// "not now, friday": a certain day elsewhere settles it
		if acts, _, _ := p.reportOn(rest); Writes(acts) {
			ask.Held = append(acts, ask.Held...)
		}
		return p.corrected([]Act{*ask}, "put off without a certain day"), true
	}
	if len(offs) == 0 {
		return nil, false
	}
	acts, _, _ := p.reportOn(rest)
	if len(acts) == 1 && acts[0].Kind == Unclear {
		return p.corrected(acts, "the rest is in doubt"), true
	}
	if Writes(acts) {
		done := jobsDone(acts)
		for i := range offs {
			offs[i].Jobs = left(offs[i].Jobs, done)
		}
		offs = append(acts, offs...)
	}
	return p.corrected(offs, "puts the reminder off"), true
}

func jobsDone(acts []Act) []engine.Job {
	var out []engine.Job
	for _, a := range acts {
		if a.Kind == Service {
			out = append(out, a.Jobs...)
		}
	}
	return out
}

// left is what of the jobs was not done, or all where all was.
func left(jobs, done []engine.Job) []engine.Job {
	var out []engine.Job
	for _, j := range jobs {
		if !hasJob(done, j) {
			out = append(out, j)
		}
	}
	if len(out) == 0 {
		return jobs
	}
	return out
}

func (p *parse) reportOn(items []item) ([]Act, float64, []string) {
	if len(items) == 0 {
		return nil, 0, nil
	}
	r := parse{text: p.text, toks: p.toks, names: p.names, ctx: p.ctx}
	return r.report(append([]item(nil), items...))
}

// replyParts cuts a reply at breaks and "but"; a part without a day of its own
// that only says no goes with the next.
func (p *parse) replyParts() [][]item {
	var parts [][]item
	var cur []item
	for i, it := range p.items {
		if it.brk != 0 || it.has("but") || p.soThen(i) || it.has("and") && len(cur) > 0 && p.reportsWork(cur) {
			if len(cur) > 0 {
				parts = append(parts, cur)
			}
			cur = nil
			continue
		}
		if !it.has("and") {
			cur = append(cur, it)
		}
	}
	if len(cur) > 0 {
		parts = append(parts, cur)
	}
	var out [][]item
	for i := 0; i < len(parts); i++ {
		if i+1 < len(parts) && p.onlyNotNow(parts[i]) {
			if both := append(append([]item(nil), parts[i]...), parts[i+1]...); p.putsOff(both) || !p.putsOff(parts[i]) {
				parts[i+1] = both
				continue
			}
		}
		out = append(out, parts[i])
	}
	return out
}

// soThen finds the "so" that what will be done hangs on: "I'm hauling all day so
// I'll do it on Saturday". What stands before is only why.
func (p *parse) soThen(i int) bool {
	if p.word(p.items[i]) != "so" || i == 0 || i+1 >= len(p.items) {
		return false
	}
	next := p.items[i+1]
	return next.has("willdo") || next.has("who") || next.has("plan")
}

func (p *parse) reportsWork(items []item) bool {
	return indexOf(items, "verb") >= 0 || indexOf(items, "find") >= 0
}

// onlyNotNow says whether a part says no more than "not now", "cant today".
func (p *parse) onlyNotNow(items []item) bool {
	some := false
	for _, it := range items {
		switch {
		case it.has("notnow"), it.has("neg"), it.has("no"), it.has("waitverb"):
			some = true
		case it.filler(), it.dated && it.when.known && it.when.offset == 0, it.dated && it.when.vague == "future" && p.phrase(it) == "not today", it.has("yes"):
		default:
			return false
		}
	}
	return some
}

// putsOff says whether a part of a reply puts the reminder off: a day to come,
// or a vague one, and no work done.
func (p *parse) putsOff(items []item) bool {
	day, cue := false, false
	for _, it := range items {
		switch {
		case it.dated:
			if it.when.known && it.when.offset <= 0 {
				continue
			}
			if it.when.vague == "past" && p.phrase(it) != "sometime" {
				return false
			}
			day = true
		case it.has("willdo"), it.has("notnow"), it.has("waitverb"), it.has("pushverb"), it.has("putoff"):
			cue = true
		case it.has("verb") && !it.has("willdo"):
			if it.is("verb", "do") && p.phrase(it) == "be done" {
				continue
			}
			return false
		case it.has("symptom"), it.has("find") && !it.has("glue"), it.has("cond"), it.has("req"), it.has("hear"):
			return false
		case it.unknown():
			return false
		case it.numeric && it.unit == "":
			return false
		}
	}
	if day || p.onlySpan(items) {
		return true
	}
	return cue && (indexOf(items, "notnow") >= 0 || indexOf(items, "waitverb") >= 0 || indexOf(items, "pushverb") >= 0 || p.untilNumber(items))
}

// onlySpan says whether a part of a reply is a stretch of time and nothing else:
// "3 days".
func (p *parse) onlySpan(items []item) bool {
	for _, it := range items {
		if !it.filler() && !(it.numeric && (it.unit == "days" || it.unit == "weeks" || it.unit == "months")) && !it.has("yes") && !it.has("no") {
			return false
		}
	}
	return p.untilNumber(items)
}

// untilNumber finds "in 3 days", "2 weeks".
func (p *parse) untilNumber(items []item) bool {
	for _, it := range items {
		if it.numeric && (it.unit == "days" || it.unit == "weeks" || it.unit == "months") {
			return true
		}
	}
	return false
}

// asksAgain reads the part that asks for another reminder, where the rest only says
// why: "not now, the part comes friday, so remind me again saturday". What hangs on
// a condition has no day: "remind me about the belt once the snow's gone".
func (p *parse) asksAgain() ([]Candidate, bool) {
	cue := p.find("putoff")
	if cue < 0 || p.asksByMark() || p.asksNext(cue) {
		return nil, false
	}
	if cue+1 < len(p.items) && p.word(p.items[cue+1]) == "never" {
		return []Candidate{chatter("wants no reminder")}, true
	}
	from, to := cue, len(p.items)
	for from > 0 && p.items[from-1].brk == 0 && !p.items[from-1].has("and") && !p.items[from-1].has("but") {
		from--
	}
	if hasVerb(p.items[from:cue]) {
		return nil, false // "greased td1 ask me again about the drain thursday"
	}
	cond := false
	for i := cue; i < to; i++ {
		if b := p.items[i].brk; b != 0 {
			to = i
		} else if p.items[i].has("cond") {
			to, cond = i, true
		}
	}
	part, day := p.items[from:to], false
	for _, it := range part {
		if it.unknown() {
			return nil, false
		}
		day = day || it.dated && it.when.vague == "" && !(it.when.known && it.when.offset <= 0)
	}
	for i, it := range p.items {
		if (i < from || i >= to && !cond) && (it.has("verb") || it.has("find") || it.has("symptom") || it.named || it.has("no") && i == 0) {
			return nil, false
		}
	}
	if day == cond || cond && !namedIn(part) && !hasPart(part) || day && !namedIn(part) && p.ctx.Reply == nil {
		return nil, false
	}
	return p.putOffFrom(part)
}

// doneThenOff reads work that was done and, after it, other work put off: "rt1
// greased, remind me about the oil friday". Neither may pass for the other.
func (p *parse) doneThenOff(cue int) ([]Candidate, bool) {
	from := cue
	for from > 0 && p.items[from-1].brk == 0 && !p.items[from-1].has("and") && !p.items[from-1].has("but") {
		from--
	}
	if indexOf(p.items[from:cue], "verb") >= 0 {
		from = cue // "greased td1 ask me again about the drain thursday"
	}
	if !hasVerb(p.items[:from]) {
		return nil, false
	}
	acts, _, _ := p.reportOn(p.items[:from])
	if len(jobsDone(acts)) == 0 && !(len(acts) == 1 && acts[0].Kind == Unclear && len(jobsDone(acts[0].Held)) > 0) {
		return nil, false
	}
	if !Writes(acts) {
		return p.corrected(acts, "what was done is in doubt"), true
	}
	q := *p
	q.items = p.items[from:]
	if !q.allKnown() || indexOf(q.items, "verb") >= 0 && len(jobsDone(reportedBy(&q))) > 0 {
		return p.askAll(acts), true
	}
	if !namedIn(q.items) {
		q.ctx.Reply, q.ctx.Thread = nil, acts[0].Machine
		for _, a := range acts {
			if a.Machine != acts[0].Machine {
				q.ctx.Thread = 0
			}
		}
	}
	c, ok := q.putOffFrom(q.items)
	if !ok {
		return p.askAll(acts), true
	}
	if off := c[0].Acts; off[0].Kind == Unclear {
		off[0].Held = append(acts, off[0].Held...)
		return p.corrected(off, "put off without a certain day or machine"), true
	}
	if len(c[0].Acts[0].Jobs) == 0 {
		return p.askAll(acts), true
	}
	return p.corrected(append(acts, c[0].Acts...), "work done, and other work put off"), true
}

func reportedBy(p *parse) []Act {
	acts, _, _ := p.reportOn(p.items)
	return acts
}

// askAll asks about a message of which only a part was understood.
func (p *parse) askAll(acts []Act) []Candidate {
	return p.corrected([]Act{{Kind: Unclear, Ask: AskMeaning, Held: acts, Options: []Option{{Acts: acts}}}}, "a part of it could not be made out")
}

// orPutOff reads "make it saturday" in reply to a reminder the other way: it can
// give the day of the work or the day to remind again.
func (p *parse) orPutOff(v value) ([]Candidate, bool) {
	if v.field != "day" || len(p.replyJobs()) == 0 || p.tellsWork() || !p.dayAhead() || !p.items[0].has("willdo") {
		return nil, false
	}
	return p.putOffFrom(p.items)
}
