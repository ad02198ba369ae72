package read

import (
	"strings"

	"woodruff/engine"
)

// putOffs reads what is not to be done now: "remind me about greasing m6 on
// monday", "l4 oil change can wait til dec 3", "tomorrow" in reply to a
// reminder.
func (p *parse) putOffs() ([]Candidate, bool) {
	if c, ok := p.openPutOff(); ok {
		return c, true
	}
	if c, ok := p.asksAgain(); ok {
		return c, true
	}
	cue := p.putOffCue()
	if cue < 0 {
		if p.ctx.Reply != nil {
			return p.replyPutOff()
		}
		return nil, false
	}
	if c, ok := p.doneThenOff(cue); ok {
		return c, true
	}
	if !p.allKnown() || p.asksCan(cue) || p.finishedWork() {
		return nil, false
	}
	return p.putOffFrom(p.items)
}

// finishedWork says whether the message also reports work that was done: then it
// is read part by part.
func (p *parse) finishedWork() bool {
	for _, it := range p.items {
		if it.numeric && it.unit == "" && !it.named && it.num.decimals == 1 || it.has("symptom") {
			return true
		}
	}
	return false
}

// asksCan finds "can the loader wait": a question, no order. "Could you move it
// to monday?" is one.
func (p *parse) asksCan(cue int) bool {
	if cue >= 0 && !p.items[cue].has("waitverb") && p.afterWill(cue) {
		return false
	}
	for i, it := range p.items {
		if w := p.word(it); w == "can" || w == "could" || w == "will" || w == "should" || w == "does" {
			return p.opens(i) && i+1 < len(p.items) && (p.items[i+1].named || p.items[i+1].has("det"))
		}
		if !it.filler() {
			return p.asksByMark()
		}
	}
	return p.asksByMark()
}

// putOffCue is the item that says that something waits, -1 for none.
func (p *parse) putOffCue() int {
	for i, it := range p.items {
		switch {
		case it.has("putoff") && (p.asksNext(i) || p.thanksFor(i)):
		case it.has("putoff"), it.has("waitverb") && (p.plainWait(it) || p.ctx.Reply != nil || p.dayAhead() && (it.n > 1 || len(p.jobsAmong(p.items)) > 0)):
			return i
		case it.has("pushverb") && p.pushes(i):
			return i
		}
	}
	if k := p.notThenBut(); k >= 0 {
		return k
	}
	return p.refusedBeside()
}

// refusedBeside finds other work refused until a day beside work that was done:
// "rt1 greased, wont get to the drain til thursday". The part may leave the machine
// to the one before.
func (p *parse) refusedBeside() int {
	from, named := -1, -1
	for i, it := range p.items {
		if it.brk != 0 || it.has("but") {
			from = i + 1
		}
		if it.named && from < 0 {
			named = i
		}
	}
	if from < 1 || from >= len(p.items) || !hasVerb(p.items[:from]) {
		return -1
	}
	q := *p
	q.items = append([]item(nil), p.items[from:]...)
	if !namedIn(q.items) && named >= 0 {
		q.items = append(q.items, p.items[named])
	}
	if k := q.notThenBut(); k >= 0 {
		return from + k
	}
	return -1
}

// thanksFor finds "very kind of you to remind us": thanks, with no day.
func (p *parse) thanksFor(i int) bool {
	if p.dayAhead() {
		return false
	}
	for _, t := range p.toks[:p.items[i].at] {
		switch t.w {
		case "thank", "thanks", "thx", "ty", "cheers", "ta", "kind", "appreciate", "grateful":
			return true
		}
	}
	return false
}

// asksNext says whether a question word or another person follows: "remind me
// when rt1 was greased" asks, "remind joss" is for joss.
func (p *parse) asksNext(i int) bool {
	if i+1 >= len(p.items) {
		return false
	}
	next := p.items[i+1]
	if next.person != "" {
		return true
	}
	switch p.toks[next.at].w {
	case "when", "what", "whats", "how", "who", "which", "where", "whens", "why":
		return true
	}
	return false
}

// notThenBut finds a day refused and a later one named for the same work: "om1
// grease not today, thursday", "cant grease it this week, do it monday". It gives
// the item that refuses.
func (p *parse) notThenBut() int {
	no, now, work, until := -1, false, false, false
	for i, it := range p.items {
		switch {
		case it.has("neg") || it.has("notnow"), it.dated && it.n > 1 && p.toks[it.at].w == "not":
			no = i
			now = now || it.has("notnow") || it.dated
		case p.word(it) == "instead":
			no, now = i, true
		case it.is("verb", "do") || it.has("willdo"):
		case it.has("verb") && !it.has("event"), it.has("symptom"), it.has("find"), it.has("req"), it.has("cond"), it.has("hear"), it.person != "":
			return -1
		case it.dated && (it.when.known && it.when.offset == 0 || it.when.vague != ""):
			now = true
		}
		work = work || it.has("ing") || it.has("part") || it.has("event") || it.has("verb0")
		until = until || no >= 0 && it.has("until") && p.word(it) != "to" && p.word(it) != "for"
	}
	if no < 0 || !now && !until || !work || !namedIn(p.items) || !p.certainDay() {
		return -1
	}
	return no
}

// certainDay says whether a day to come is named for certain.
func (p *parse) certainDay() bool {
	for _, it := range p.items {
		if !it.dated || it.when.vague != "" {
			continue
		}
		if d := it.when.future(p.ctx); !d.unsure && d.day != 0 {
			return true
		}
	}
	return false
}

// plainWait says whether words can only mean that something waits: "is fine" and
// "can go" need a day beside them, or the work that waits.
func (p *parse) plainWait(it item) bool {
	switch p.phrase(it) {
	case "will keep", "can hold":
		return len(p.jobsAmong(p.items)) > 0 && namedIn(p.items)
	case "is fine", "can go", "not doing", "sit", "slide", "ride", "stand over", "hold":
		return false
	}
	return true
}

func (p *parse) dayAhead() bool {
	for _, it := range p.items {
		if it.dated && it.when.vague != "past" && !(it.when.known && it.when.offset <= 0) {
			return true
		}
	}
	return false
}

// pushes says whether a verb such as "push" or "leave" moves work: something
// that has a day and a machine or job beside it.
func (p *parse) pushes(i int) bool {
	w := p.toks[p.items[i].at].w
	if !p.opens(i) && !p.afterWill(i) && w != "not" && w != "no" && !p.workBefore(i) {
		return false
	}
	job, day, off := p.ctx.Reply != nil, false, false
	for k, it := range p.items {
		job = job || it.named || it.has("part") || it.has("event") || k > i && (it.has("verb0") || it.has("ing") || it.has("verb") || it.has("pron"))
		day = day || k > i && (it.dated && !(it.when.known && it.when.offset <= 0) || it.is("glue", "") && p.phrase(it) == "for now")
		off = off || k > i && (p.phraseHas(it, "off") || p.phraseHas(it, "back"))
	}
	switch w {
	case "leave", "let", "move", "give", "bring", "park", "hold", "shift":
		if len(p.jobsAmong(p.items)) == 0 && indexOf(p.items, "verb") < 0 && p.ctx.Reply == nil && !p.nothingBetween(i) {
			return false // "leave the hauler out front for friday"
		}
		return day && job
	case "hush", "quiet", "be", "shush", "raise", "kick", "skip", "wait", "dont", "do", "not", "no", "save", "slide", "forget", "knock", "table", "shove":
		return day && job
	case "put":
		return job && (p.items[i].n > 1 || day && off)
	}
	return job
}

// nothingBetween finds "leave the hauler until december first": the verb, a
// machine and the day, with no place in between.
func (p *parse) nothingBetween(i int) bool {
	k := i + 1
	for k < len(p.items) && p.items[k].has("det") {
		k++
	}
	return k+2 < len(p.items) && p.items[k].named && p.items[k+1].has("until") && p.word(p.items[k+1]) != "for" && p.items[k+2].dated
}

// workBefore says whether only a machine and work stand before an item: "bl1
// grease leave til friday".
func (p *parse) workBefore(i int) bool {
	if len(p.jobsAmong(p.items[:i])) == 0 {
		return false
	}
	for _, it := range p.items[:i] {
		if !it.named && !it.filler() && it.brk == 0 && !it.has("plan") && !it.has("part") && !it.has("event") && !it.has("verb0") {
			return false
		}
	}
	return true
}

// afterWill finds "can we push", "lets push", "please push".
func (p *parse) afterWill(i int) bool {
	for k := i - 1; k >= 0; k-- {
		it := p.items[k]
		if it.brk != 0 {
			return true
		}
		if w := p.word(it); w == "can" || w == "could" || w == "shall" || w == "may" {
			continue
		}
		if !it.filler() && !it.has("plan") && !it.has("req") && !it.has("asktell") && !it.has("neg") && !it.has("doubt") {
			return false
		}
	}
	return true
}

// allKnown says whether every word of the message is explained.
func (p *parse) allKnown() bool {
	for _, it := range p.items {
		if it.unknown() {
			return false
		}
	}
	return true
}

// putOffFrom makes the put-off that some items tell.
func (p *parse) putOffFrom(items []item) ([]Candidate, bool) {
	act := Act{Kind: PutOff, Jobs: p.jobsAmong(items)}
	var ids []int32
	unsure := false
	for _, it := range items {
		if !it.named {
			continue
		}
		if !it.m.one() {
			unsure = true
		}
		for _, id := range it.m.ids {
			if !has32(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	fromReply := false
	if len(ids) == 0 {
		act.Machine = p.contextMachine()
		fromReply = p.ctx.Reply != nil
	}
	if act.Jobs == nil && p.ctx.Reply != nil && (fromReply || len(ids) == 1 && p.names.id(ids[0]) == p.ctx.Reply.Machine) {
		act.Jobs = p.ctx.Reply.Jobs
	}
	d, given := p.untilDay(items)
	act.Until = d.day
	if len(ids) == 0 && act.Machine == 0 && act.Jobs == nil {
		return nil, false // "remind me to call the dentist"
	}
	switch {
	case unsure || len(ids) == 0 && act.Machine == 0:
		act.Wants = append(act.Wants, AskMachine)
		if d.day == 0 {
			act.Wants = append(act.Wants, AskDay)
		}
		return p.corrected([]Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{act}, Options: p.machineOptions(ids)}}, "which machine waits is in doubt"), true
	case !given || d.unsure || d.day == 0:
		q := Act{Kind: Unclear, Ask: AskDay}
		for _, o := range d.options {
			q.Options = append(q.Options, Option{Day: o})
		}
		for _, id := range p.putOffIDs(ids, act) {
			a := act
			a.Machine, a.Until, a.Wants = id, 0, []Slot{AskDay}
			q.Held = append(q.Held, a)
		}
		return p.corrected([]Act{q}, "put off without a certain day"), true
	}
	var acts []Act
	for _, id := range p.putOffIDs(ids, act) {
		a := act
		a.Machine = id
		acts = append(acts, a)
	}
	return p.corrected(acts, "puts work off"), true
}

func (p *parse) putOffIDs(ids []int32, act Act) []engine.MachineID {
	if len(ids) == 0 {
		return []engine.MachineID{act.Machine}
	}
	return p.names.machineIDs(ids)
}

// untilDay is the day that some items put work off to: the last one named.
func (p *parse) untilDay(items []item) (resolved, bool) {
	for i := len(items) - 1; i >= 0; i-- {
		it := items[i]
		if !it.dated {
			continue
		}
		if it.when.known && it.when.offset <= 0 {
			continue // "not today"
		}
		return it.when.future(p.ctx), true
	}
	for _, it := range items {
		if it.numeric && it.num.whole() && (it.unit == "days" || it.unit == "weeks" || it.unit == "months") && it.num.milli > 0 && it.num.milli <= 400000 {
			n := int(it.num.milli / 1000)
			switch it.unit {
			case "days":
				return resolved{day: p.ctx.Day + engine.Day(n)}, true
			case "weeks":
				return resolved{day: p.ctx.Day + engine.Day(7*n)}, true
			}
			return resolved{day: p.ctx.Day.AddMonths(n)}, true
		}
	}
	return resolved{options: nextDays(p.ctx.Day)}, false
}

// jobsAmong are the jobs that some items name.
func (p *parse) jobsAmong(items []item) []engine.Job {
	var out []engine.Job
	put := func(js ...engine.Job) {
		for _, j := range js {
			if !hasJob(out, j) {
				out = append(out, j)
			}
		}
	}
	for i, it := range items {
		switch {
		case it.has("part") || it.has("event"):
			part := p.partOf(it)
			if (part == "bowl" || part == "separator") && p.nearDrain(items, i) {
				put(engine.Drain)
				continue
			}
			if js, ok, _ := p.jobsOfPart(part); ok {
				put(js...)
			}
		case it.is("verb", "drain"), it.is("verb0", "drain"), p.word(it) == "draining":
			put(engine.Drain)
		case it.is("verb", "grease"), it.is("verb0", "grease"), p.word(it) == "greasing", p.word(it) == "lubing":
			put(engine.Grease)
		case it.is("verb", "bleed"), it.is("verb0", "bleed"), p.word(it) == "bleeding", p.word(it) == "priming":
			put(engine.Bleed)
		}
	}
	return out
}

func (p *parse) nearDrain(items []item, i int) bool {
	for _, it := range items[:i] {
		if it.is("verb", "drain") || it.is("verb0", "drain") || p.word(it) == "draining" {
			return true
		}
	}
	return false
}

// openPutOff reads a put-off without a day that names its reason: "BL1 oil
// waiting on parts", "on the customer".
func (p *parse) openPutOff() ([]Candidate, bool) {
	cue := -1
	for i, it := range p.items {
		if it.has("openwait") || it.has("waitfor") && p.waitsFor(i) {
			cue = i
		}
	}
	if cue < 0 || !p.allKnown() && !p.tailUnknown(cue) {
		return nil, false
	}
	items := p.items
	if _, given := p.untilDay(items); given {
		return nil, false
	}
	var acts []Act
	ids := []engine.MachineID{}
	for _, it := range items {
		if it.named && it.m.one() {
			ids = append(ids, p.names.machineIDs(it.m.ids)...)
		}
	}
	jobs := p.jobsAmong(items[:cue])
	if len(ids) == 0 {
		if p.ctx.Reply == nil {
			return nil, false
		}
		ids = append(ids, p.ctx.Reply.Machine)
	}
	if jobs == nil && p.ctx.Reply != nil && ids[0] == p.ctx.Reply.Machine {
		jobs = p.ctx.Reply.Jobs
	}
	if jobs == nil {
		return nil, false
	}
	reason := p.textOf(items[cue:])
	for _, id := range ids {
		acts = append(acts, Act{Kind: PutOff, Machine: id, Jobs: jobs, Open: true, Reason: reason})
	}
	return p.corrected(acts, "put off until a reason is gone"), true
}

// waitsFor says whether something to wait for follows: a part, a person, a word.
func (p *parse) waitsFor(i int) bool {
	for _, it := range p.items[i+1:] {
		if it.brk != 0 || it.dated || it.named {
			return false
		}
		if !it.filler() || it.n > 0 && it.has("noun") {
			return true
		}
	}
	return false
}

// tailUnknown says whether only the reason holds unknown words.
func (p *parse) tailUnknown(cue int) bool {
	for _, it := range p.items[:cue] {
		if it.unknown() {
			return false
		}
	}
	return true
}

// textOf gives some items as they stood in the message, marks and spelling and
// all, without the machines and marks at both ends.
func (p *parse) textOf(items []item) string {
	for len(items) > 0 && (items[0].brk != 0 || items[0].named || len(items) > 1 && items[0].has("det") && items[1].named) {
		items = items[1:]
	}
	for len(items) > 0 && (items[len(items)-1].brk != 0 || items[len(items)-1].named) {
		items = items[:len(items)-1]
	}
	if len(items) == 0 {
		return ""
	}
	return p.stretch(items[0], items[len(items)-1])
}

// stretch is the message from one item to another.
func (p *parse) stretch(a, b item) string {
	if b.at+b.n > len(p.toks) {
		return tokensOf(a, p.toks)
	}
	from, last := p.toks[a.at].pos, p.toks[b.at+b.n-1]
	to := last.pos + len(last.raw)
	if from < 0 || to > len(p.text) || from > to {
		return ""
	}
	return strings.Join(strings.Fields(p.text[from:to]), " ")
}
