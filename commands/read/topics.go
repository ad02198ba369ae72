package read

import (
	"strings"

	"woodruff/engine"
)

// wholeShop says whether a question is plainly not about the thread's machine.
func (p *parse) wholeShop(items []item, t Topic) bool {
	for _, it := range items {
		switch p.phrase(it) {
		case "which machines", "what machines", "which", "which ones", "everything", "anything else", "any machines", "who":
			return t != AboutWho
		}
		if it.is("noun", "machine") || it.named {
			return true
		}
	}
	return t == AboutMachines || t == AboutUnwritten || t == AboutReadings
}

func (p *parse) hasPronoun(items []item) bool {
	for _, it := range items {
		for i := it.at; i < it.at+it.n; i++ {
			switch p.toks[i].w {
			case "it", "its", "them", "that", "they":
				return true
			}
		}
	}
	return false
}

// listOnly says whether a part only goes on with a list of machines or jobs.
func (p *parse) listOnly(items []item) bool {
	for _, it := range items {
		if !it.named && !it.filler() && !it.has("part") && !it.has("event") && !it.has("lastword") && !it.is("glue", "polite") && !it.has("verb") && !it.has("pastspan") && !it.has("span") && !it.dated && !it.has("daymod") {
			return false
		}
	}
	return true
}

// topic finds what one part asks about.
func (p *parse) topic(items []item) Topic {
	has := func(v string) bool {
		for _, it := range items {
			if it.is("topic", v) {
				return true
			}
		}
		return false
	}
	any := func(k class) bool { return indexOf(items, k) >= 0 }
	fuelled := (any("fuelverb") || any("topicfuel")) && !any("part") && !any("event") && p.noJob(items)
	ask := func(v string) bool {
		for _, it := range items {
			if it.is("ask", v) {
				return true
			}
		}
		return false
	}
	work := any("verb") || any("part") || any("event") || any("verb0")
	switch {
	case has("machines") && !any("verb") && !has("due") && !any("topicwater") && !any("topicfuel"):
		return AboutMachines
	case has("unwritten"):
		return AboutUnwritten
	case has("readings"):
		return AboutReadings
	case has("storage"), (ask("how") || ask("what") || has("parts")) && p.seasonal(items):
		return AboutStorage
	case has("water"):
		return AboutWater
	case has("fuel"), ask("what") && p.orGrade():
		return AboutFuel
	case (ask("howmany") || has("hours")) && p.partAge(items):
		return AboutSince
	case (ask("what") || ask("which")) && p.partTaken(items):
		return AboutParts
	case p.jobLeft(items), p.canGo(items), p.needs(items):
		return AboutDue
	case ask("who") && p.whoWill(items):
		return ""
	case ask("who") && (any("part") && p.phrase(items[0]) == "who did" || any("verb") || any("event") || any("fuelverb") && (p.machineIn(items) || any("fuel")) || any("verb0") || any("lastword")) && !has("due"):
		return AboutWho
	case fuelled && (ask("when") || any("lastword")) && (p.machineIn(items) || any("topicfuel")) && !has("parts") && !has("due"):
		return AboutFuel
	case any("topicwater") && (ask("when") || any("lastword")) && p.noJob(items):
		return AboutWater
	case ask("what") && any("sayshours") && p.machineIn(items) && p.noJob(items) && !any("verb"):
		return AboutHours
	case has("parts") && p.toDo(items):
		return AboutDue
	case has("parts") && (!any("verb") || only(items, "verb", "service")):
		return AboutParts
	case has("since"), has("lasttime") && items[0].is("topic", "lasttime"):
		return AboutSince
	case has("next"):
		return AboutNext
	case ask("howmany") && p.fuelUse(items):
		return AboutFuel
	case has("due"):
		return AboutDue
	case ask("when") && any("lastword"), any("lastword") && work && (p.asksByMark() && items[0].has("lastword") || !any("verb") && p.machineIn(items)):
		return AboutSince
	case ask("when") && work && (any("lastword") || any("verb") && !p.futureWhen(items) || p.pastWhen(items)):
		return AboutSince
	case ask("when") && work:
		return AboutNext
	case (personIn(items) || any("collask") || p.hasYou(items)) && !p.machineIn(items) && (has("hours") || any("hoursword")):
		return "" // a man's hours are for the payroll
	case p.spanOn(items):
		return AboutDue
	case has("hours"), any("hoursword") && (ask("howmany") || ask("what") || p.hoursAlone()):
		return AboutHours
	case ask("what") && any("meterword"), ask("where") && any("meterword"):
		return AboutHours
	case any("topicwater") && (any("askany") || ask("how") || ask("which") || ask("howmany") || ask("what") || ask("when") || any("pastspan") || any("lastword") || p.opensInverted(items)) && !any("world"):
		return AboutWater
	case p.fuelUse(items) && (any("askany") || ask("which") || ask("howmany") || ask("what") || ask("when") || any("pastspan") || p.opensInverted(items)):
		return AboutFuel
	case has("history"):
		return AboutHistory
	case ask("what") && (p.isDone(items) || any("doneon")):
		return AboutHistory
	case p.opensInverted(items) && indexOf(items[1:], "verb") >= 0 && p.machineAsked(items):
		return AboutSince
	case has("status") && (p.ctx.Mention || p.machineIn(items) || p.contextMachine() != 0) && !any("verb") && !p.suggests(items):
		return AboutStatus
	case ask("where") && any("hoursword") && p.machineIn(items):
		return AboutHours
	case (ask("what") || ask("where")) && p.whatsAt(items):
		return AboutHours
	}
	return ""
}

// partTaken finds "what hyd filter does rt1 take", "which belt fits": a part right
// after the question word, and a verb of fitting with it.
func (p *parse) partTaken(items []item) bool {
	if len(items) < 3 || !items[1].has("part") && !p.takes(items) {
		return false
	}
	for _, it := range items[2:] {
		switch p.toks[it.at+it.n-1].w {
		case "take", "takes", "fit", "fits", "go", "goes", "use", "uses", "need", "needs", "require", "requires", "want", "wants", "for", "run", "runs":
			return true
		}
	}
	return false
}

// takes finds "what the trencher takes for an oil filter".
func (p *parse) takes(items []item) bool {
	verb := false
	for _, it := range items[1:] {
		switch p.word(it) {
		case "takes", "uses", "fits":
			verb = true
		}
		if it.has("part") && verb {
			return p.machineIn(items)
		}
	}
	return false
}

// partAge finds "how many hours on the oil in rt1", "how long has the oil been in":
// how old what is in the machine is.
func (p *parse) partAge(items []item) bool {
	part := -1
	for i, it := range items {
		if it.has("part") && part < 0 {
			part = i
		}
	}
	if part < 1 || indexOf(items[:part], "due") >= 0 {
		return false
	}
	before := items[part-1]
	if before.has("det") && part > 1 {
		before = items[part-2]
	}
	long, been := false, false
	for _, it := range items {
		long = long || it.n > 1 && p.toks[it.at].w == "how" && p.toks[it.at+1].w == "long"
		if w := p.word(it); w == "left" || w == "until" || w == "till" || w == "til" || w == "before" {
			return false // how long it still lasts
		}
		for k := it.at; k < it.at+it.n; k++ {
			been = been || p.toks[k].w == "been"
		}
	}
	onIt := p.toks[before.at+before.n-1].w == "on" || before.has("topic") && p.phraseHas(before, "on")
	return onIt || long && been
}

// spanOn finds "whats on this week": a span and nothing else that is on.
func (p *parse) spanOn(items []item) bool {
	if len(items) > 3 && p.word(items[2]) == "for" {
		items = append(append([]item(nil), items[:2]...), items[3:]...) // "on for this week"
	}
	if len(items) < 3 || !items[0].is("ask", "what") && !items[0].has("askany") || p.word(items[1]) != "on" {
		return false
	}
	for _, it := range items[2:] {
		if !it.has("span") && !it.dated && !it.filler() && it.brk == 0 {
			return false
		}
	}
	return items[2].has("span") || items[2].dated
}

// hasYou finds "how many hours did you work": asked of a man.
func (p *parse) hasYou(items []item) bool {
	for k := items[0].at; k+1 < len(p.toks); k++ {
		if (p.toks[k].w == "you" || p.toks[k].w == "u") && p.toks[k+1].w == "work" {
			return true
		}
	}
	return false
}

// suggests finds "how about draining rt1": a suggestion to the crew.
func (p *parse) suggests(items []item) bool {
	for _, it := range items {
		if it.has("ing") && p.word(it) != "doing" {
			return true
		}
	}
	return false
}

// toDo finds "what do i need to do today": work, where no job is named that needs
// parts.
func (p *parse) toDo(items []item) bool {
	for _, it := range items {
		if it.is("topic", "parts") && p.phrase(it) == "what do i need to do" {
			return p.noJob(items)
		}
	}
	return false
}

// only says whether every item of a class has one value.
func only(items []item, k class, v string) bool {
	for _, it := range items {
		if it.has(k) && !it.is(k, v) {
			return false
		}
	}
	return true
}

// hoursAlone finds "rt1 hours" among the items of the message.
func (p *parse) hoursAlone() bool {
	for i := range p.items {
		if p.shortHours(i) {
			return true
		}
	}
	return false
}

// whoWill finds "who can drain n1": asked of the crew, not of the book.
func (p *parse) whoWill(items []item) bool {
	for _, it := range items {
		switch p.word(it) {
		case "can", "could", "will", "wants", "would", "should", "gonna", "has":
			return true
		}
		if it.has("ing") && !p.wordOf(items, "been") && !p.phraseHas(items[0], "been") || it.has("plan") {
			return true
		}
	}
	return false
}

// seasonal finds "how do i put the sprayer away for winter".
func (p *parse) seasonal(items []item) bool {
	season, put := false, false
	for _, it := range items {
		for i := it.at; i < it.at+it.n; i++ {
			switch p.toks[i].lem {
			case "winter", "storage", "spring", "season", "off-season", "bed":
				season = true
			case "do", "need", "should", "put", "lay", "store", "park", "get", "bring", "prep", "ready", "wake", "take", "leave", "keep", "prepare",
				"putting", "laying", "storing", "parking", "waking", "getting", "bringing":
				put = true
			case "up", "away":
				season = season || put // "laying the pump up"
			}
		}
	}
	return season && put
}

// jobLeft finds "how many hours until the next oil change", "how long can n1 go".
func (p *parse) jobLeft(items []item) bool {
	if w := p.phrase(items[0]); items[0].is("ask", "howmany") && w != "how long" && w != "how soon" && w != "how far" && !(len(items) > 1 && items[1].has("hoursword")) || !items[0].is("ask", "howmany") && !items[0].is("topic", "hours") {
		return false
	}
	for _, it := range items[1:] {
		switch p.word(it) {
		case "left", "until", "till", "til", "before":
			return true
		}
	}
	return false
}

// orGrade finds "winter or summer": which of two grades is asked.
func (p *parse) orGrade() bool {
	for i, it := range p.items {
		if i > 0 && i+1 < len(p.items) && p.word(it) == "or" && p.items[i-1].has("grade") && p.items[i+1].has("grade") {
			return true
		}
	}
	return false
}

// noJob says whether no item stands for a job.
func (p *parse) noJob(items []item) bool {
	for _, it := range items {
		if p.jobOf(it) != "" {
			return false
		}
	}
	return true
}

// canGo finds "can n1 go another 20 hours before its oil change", "how long can
// it go on this oil".
func (p *parse) canGo(items []item) bool {
	from := 0
	if items[0].is("ask", "howmany") && len(items) > 1 {
		from = 1
	}
	if w := p.word(items[from]); w != "can" && w != "will" {
		return false
	}
	named := false
	for _, it := range items[from+1:] {
		named = named || it.named
		if !named {
			continue
		}
		if w := p.word(it); w == "go" || w == "wait" || w == "hold" || w == "last" || it.has("waitverb") {
			return true
		}
	}
	return false
}

// needs finds "does n1 need grease", "what needs greasing", "which ones want an
// oil change".
func (p *parse) needs(items []item) bool {
	switch w := p.word(items[0]); {
	case w == "does", w == "do", w == "is", w == "are", items[0].is("ask", "what"), items[0].is("ask", "which"), items[0].has("askany"), items[0].has("asktell"):
	default:
		return false
	}
	job := false
	for i, it := range items {
		if w := p.word(it); i > 0 && (w == "anything" || w == "something") || it.has("askany") && i > 0 {
			job = job || p.machineIn(items)
		}
		need := false
		for k := it.at; k < it.at+it.n; k++ {
			for _, set := range lex.setsOf(p.toks[k]) {
				need = need || set == "<need>"
			}
		}
		if !need {
			continue
		}
		if i+1 < len(items) && (items[i+1].is("prep", "for") || p.word(items[i+1]) == "to" || p.word(items[i+1]) == "from") {
			return false // "what do i need for the oil change"
		}
		job = job || i+1 == len(items) && items[0].is("ask", "what") && p.machineIn(items) // "what does rt1 need"
		for _, x := range items[i:] {
			job = job || p.jobOf(x) != "" || p.word(x) == "anything" && p.machineIn(items)
		}
	}
	return job
}

func (p *parse) fuelUse(items []item) bool {
	return indexOf(items, "topicfuel") >= 0 && indexOf(items, "part") < 0
}

func (p *parse) futureWhen(items []item) bool {
	for _, it := range items {
		switch p.word(it) {
		case "will", "should", "is", "does", "whens":
			return true
		}
		switch p.phrase(it) {
		case "when is", "when are", "when will", "when do", "when does", "when should", "whens":
			return true
		}
	}
	return false
}

func (p *parse) pastWhen(items []item) bool {
	for _, it := range items {
		switch p.phrase(it) {
		case "when was", "when were", "when did", "when was the last":
			return true
		}
	}
	return false
}

func (p *parse) isDone(items []item) bool {
	for _, it := range items {
		if it.is("verb", "do") {
			return true
		}
	}
	return false
}

func (p *parse) machineIn(items []item) bool {
	for _, it := range items {
		if it.named {
			return true
		}
	}
	return false
}

// machineAsked says whether a yes-no question is about a machine's work and
// not put to a colleague.
func (p *parse) machineAsked(items []item) bool {
	for _, it := range items {
		if it.has("collask") || it.person != "" || it.has("req") {
			return false
		}
	}
	return p.machineIn(items)
}

func (p *parse) opensInverted(items []item) bool {
	switch p.word(items[0]) {
	case "is", "are", "has", "have", "was", "were", "did", "does", "do":
		return true
	}
	return false
}

// whatsAt finds "whats n1 at", "where is n1 at".
func (p *parse) whatsAt(items []item) bool {
	named := false
	for _, it := range items[1:] {
		switch {
		case it.named:
			named = true
		case it.has("at"), it.has("sayshours"), it.filler(), it.has("meterword"), it.has("hoursword"):
		default:
			return false
		}
	}
	return named && len(items) > 2
}

// questionJob is the one job that a question names.
func (p *parse) questionJob(items []item, t Topic) engine.Job {
	switch t {
	case AboutHours, AboutStatus, AboutHistory, AboutStorage, AboutMachines, AboutUnwritten, AboutReadings, AboutFuel, AboutWater:
		return ""
	}
	for _, it := range items {
		if j := p.jobOf(it); j != "" {
			return j
		}
		if j := p.jobWithin(it); j != "" {
			return j
		}
	}
	return ""
}

// jobWithin is the job named inside a phrase such as "what oil", "which belt".
func (p *parse) jobWithin(it item) engine.Job {
	if !it.is("topic", "parts") {
		return ""
	}
	for i := it.at; i < it.at+it.n; {
		senses, k := lex.words.phrase(p.toks[i : it.at+it.n])
		if j := p.jobOf(item{at: i, n: k, senses: senses}); k > 0 && j != "" {
			return j
		}
		i += max(k, 1)
	}
	return ""
}

// jobOf is the job that a part, event or verb in a question stands for.
func (p *parse) jobOf(it item) engine.Job {
	switch {
	case it.has("part") || it.has("event"):
		if js, ok, _ := p.jobsOfPart(p.partOf(it)); ok && len(js) > 0 {
			return js[0]
		}
	case it.is("verb", "drain"), it.is("verb0", "drain"), p.word(it) == "draining":
		return engine.Drain
	case it.is("verb", "grease"), it.is("verb0", "grease"), p.word(it) == "greasing":
		return engine.Grease
	case it.is("verb", "bleed"), it.is("verb0", "bleed"), p.word(it) == "bleeding":
		return engine.Bleed
	}
	return ""
}

// days is the look-ahead of a question about what comes.
func (p *parse) days(items []item, t Topic) int {
	if t != AboutDue && t != AboutNext && t != AboutParts {
		return 0
	}
	for _, it := range items {
		if it.has("span") {
			return atoi(it.val("span"))
		}
	}
	for i, it := range items {
		switch {
		case it.dated && it.when.known && it.when.offset > 0:
			return it.when.offset
		case it.numeric && it.unit == "days" && it.num.whole():
			return int(it.num.milli / 1000)
		case it.numeric && it.unit == "weeks" && it.num.whole():
			return int(it.num.milli/1000) * 7
		case it.dated && it.when.weekday != 0 && i > 0:
			if d := it.when.future(p.ctx); d.day != 0 && !d.unsure {
				return int(d.day - p.ctx.Day)
			}
		}
	}
	return 0
}

// strangeQuestion says whether a question speaks of things that no book of
// machines knows.
func (p *parse) strangeQuestion(items []item) bool {
	if p.ctx.Mention && p.machineIn(items) {
		return false
	}
	what := indexOf(items, "topic") >= 0 || indexOf(items, "ask") >= 0
	strange := 0
	for i, it := range items {
		if it.has("world") || it.has("collask") && !what || it.has("req") && !it.has("asktell") {
			return true
		}
		if !it.unknown() {
			continue
		}
		if i > 0 && items[i-1].named && !adverbial(p.toks[it.at].w) {
			return true // "the loader guy"
		}
		if i > 0 && items[i-1].has("det") && !adverbial(p.toks[it.at].w) {
			return true // "what did the dealer say"
		}
		strange++
	}
	// one word that nobody knows does no harm where machine and matter are plain
	return strange > 1 || strange == 1 && !p.machineIn(items)
}

// adverbial says whether a word ends as one that tells how rather than what.
func adverbial(w string) bool {
	for _, end := range []string{"ing", "ed", "ly", "in"} {
		if strings.HasSuffix(w, end) && len(w) > len(end)+2 {
			return true
		}
	}
	return false
}

func personIn(items []item) bool {
	for _, it := range items {
		if it.person != "" {
			return true
		}
	}
	return false
}
