package read

import (
	"strings"

	"woodruff/engine"
)

// debt is something that was said and is in no act.
type debt struct {
	name string
	owes func(*account, *piece, *piece) bool // of a piece, with the one before it
}

// debts are the ways in which a piece can owe something.
var debts = []debt{
	{"something was excepted that is not known", (*account).excepts},
	{"others are spoken of that are not known", (*account).restLeft},
	{"a machine is named of which nothing was made", (*account).machineLeft},
	{"something was seen of which nothing was made", (*account).seenLeft},
	{"something is wrong with a part of which nothing was made", (*account).thingLeft},
	{"work is told that is not known", (*account).workLeft},
	{"something is added that is not known", (*account).moreLeft},
	{"an amount is given of which nothing was made", (*account).measureLeft},
	{"a word takes something of it back", (*account).turnLeft},
	{"a figure is given of which nothing was made", (*account).numberLeft},
	{"the day that is told is not known", (*account).dayOdd},
	{"a word right behind it is not known", (*account).strayLeft},
	{"what was not done is not known", (*account).notLeft},
	{"the same is told of something that is not known", (*account).sameLeft},
	{"work on another part is told with it", (*account).partLeft},
}

// excepts: "greased om1 apart from the ram pin". A machine or a job that no act
// has was left out as it should be.
func (a *account) excepts(s, before *piece) bool {
	if !s.except || !before.told && !s.told {
		return false
	}
	for _, it := range s.items {
		switch {
		case it.named:
			if a.hasMachine(it) {
				return true
			}
		case it.has("part"):
			if a.didPart(it.val("part")) {
				return true
			}
		case it.has("other"), it.unknown() && !a.weightless(it), it.has("neg"):
			return true
		}
	}
	return false
}

// restLeft: "wf3 drained, others dry", "did the belt on bl1 and half of ht1".
func (a *account) restLeft(s, _ *piece) bool {
	if s.told || s.silent != "" {
		return false
	}
	for i, it := range s.items {
		if it.has("rest") && (it.n > 1 || strings.HasSuffix(a.toks[it.at].w, "s") || i+1 == len(s.items)) {
			return true
		}
		if it.has("frac") && i+1 < len(s.items) && s.items[i+1].is("prep", "of") {
			k := skipDet(s.items, i+2)
			if k < len(s.items) && s.items[k].named {
				return true
			}
		}
		if it.has("frac") && len(s.items) == 2 && a.p.ctx.Reply != nil {
			return true // "done, half of it"
		}
	}
	return false
}

// machineLeft: "greased om1 wrong, om2". A machine that only tells where something
// was is no more than a place.
func (a *account) machineLeft(s, _ *piece) bool {
	if s.silent != "" {
		return false
	}
	for i, it := range s.items {
		if !it.named || it.numeric || len(it.m.ids) == 0 || a.hasMachine(it) {
			continue
		}
		k := i - 1
		for k >= 0 && s.items[k].has("det") {
			k--
		}
		if k >= 0 && (s.items[k].has("prep") || s.items[k].has("at") || s.items[k].has("tail") || a.weightless(s.items[k]) || s.items[k].is("glue", "")) {
			continue
		}
		return true
	}
	return false
}

// seenLeft: "but bowl is cracked". What was seen of a hand or the sky is none.
func (a *account) seenLeft(s, _ *piece) bool {
	if s.told || s.silent != "" || s.aside {
		return false
	}
	seen := false
	for i, it := range s.items {
		switch {
		case it.has("cond-part"), it.has("find") && !it.has("verb0") && !it.is("find", "dry") && !it.is("find", "ringdown"):
			if i > 0 && (s.items[i-1].has("neg") || s.items[i-1].has("no") || s.items[i-1].has("oldone")) || it.has("glue") || a.p.passed[a.toks[it.at].pos] {
				return false
			}
			if next := s.place + 1; i+1 == len(s.items) && next < len(a.pieces) && len(a.pieces[next].items) == 1 && a.pieces[next].items[0].has("no") {
				return false // "rust: no"
			}
			for _, act := range a.acts {
				if act.Kind == Finding && string(act.Finding) == it.val("find") {
					return false
				}
			}
			seen = true
		case it.has("part") && a.didPart(it.val("part")):
			return false
		case it.filler(), it.named, it.has("part"), it.has("other"), it.has("amount"), it.has("rest"), it.has("all"), it.numeric, it.has("wetat"):
		default:
			return false
		}
	}
	return seen
}

// thingLeft: "primer wont hold", "drain cock snapped off", "pulley wobbles". What
// was wrong with a part that was worked on is why it was.
func (a *account) thingLeft(s, _ *piece) bool {
	if s.told || s.silent != "" && s.silent != silencers["neg"] {
		return false
	}
	thing, did := -1, false
	for i, it := range s.items {
		switch {
		case thing < 0 && a.hardware(it) && !a.inWords(it), thing < 0 && it.has("part"):
			thing, did = i, it.has("part") && a.didPart(it.val("part"))
			if w := a.before(s, i); w == "old" || w == "my" || w == "his" || w == "her" || w == "same" {
				return false
			}
		case thing < 0 && (it.has("world") || it.has("prep") || it.has("who") || it.has("at")), it.has("oldone"), it.has("order"), it.has("req"), it.has("plan"):
			return false
		case thing < 0, did && !it.has("neg"):
		case it.is("glue", "state"), it.has("cond-part"), it.has("half"), it.is("glue", "adj") && s.items[i-1].has("aux"):
			return !(i > 0 && s.items[i-1].has("neg"))
		case it.unknown() && !a.weightless(it) && !a.hardware(it):
			return (i == thing+1 || s.items[i-1].has("aux") || s.items[i-1].is("glue", "v"))
		case it.has("neg") && it.n == 1:
			return a.refuses(s.items[i:])
		}
	}
	return false
}

// before is the word before an item, past any article.
func (a *account) before(s *piece, i int) string {
	for i--; i >= 0; i-- {
		if !s.items[i].has("det") || a.word(s.items[i]) == "my" || a.word(s.items[i]) == "his" || a.word(s.items[i]) == "her" {
			return a.word(s.items[i])
		}
	}
	return ""
}

// refuses says whether a part will not do what it is there for: "wont close".
func (a *account) refuses(items []item) bool {
	switch a.toks[items[0].at].w {
	case "wont", "doesnt", "cant", "wouldnt", "couldnt":
	default:
		return false
	}
	if len(items) < 2 {
		return false
	}
	next := items[1]
	return !next.has("verb") && !next.has("verb0") && !next.has("plan") && !next.has("aux") && !next.has("find")
}

// workLeft: "sprogged the knuckle", "took the governor apart". Of a word that is not
// known and has no person before it, only that it is done to something tells that
// it is work.
func (a *account) workLeft(s, before *piece) bool {
	if s.told || s.silent != "" {
		return false
	}
	i, subject := 0, false
	for i < len(s.items) && (s.items[i].filler() && !s.items[i].has("pron") && !s.items[i].has("det") && !s.items[i].is("glue", "v")) {
		subject = subject || s.items[i].has("who")
		i++
	}
	if i >= len(s.items) {
		return false
	}
	v, w := s.items[i], a.toks[s.items[i].at].w
	done := v.n == 1 && strings.HasSuffix(w, "ed") && (v.unknown() || v.is("glue", "state")) && !a.weightless(v)
	known := v.has("verb") && !v.is("verb", "do") && !v.has("thatwas") && !v.has("fuelverb")
	if i+1 == len(s.items) {
		return done && !subject && s.sep == 'a' && before.told && len(v.senses) == 0 // "drained and descaled"
	}
	k := i + 1
	for k < len(s.items) && (s.items[k].has("det") || s.items[k].has("new") || s.items[k].has("mod") || s.items[k].has("all")) {
		k++
	}
	if k >= len(s.items) {
		return false
	}
	o := s.items[k]
	if a.hardware(o) && !a.inWords(o) {
		return done || known || took[w]
	}
	if subject || !done && !known || k == i+1 {
		return false
	}
	switch a.before(s, k) {
	case "my", "his", "her":
		return false
	}
	switch a.word(s.items[i+1]) {
	case "your", "their", "our":
		return false
	}
	return o.unknown() && !a.weightless(o)
}

// took are verbs of the past for what is done to a thing.
var took = map[string]bool{"took": true, "put": true, "bent": true, "cut": true, "broke": true, "had": true, "got": true, "made": true,
	"ground": true, "hung": true, "threw": true, "drove": true, "beat": true, "built": true, "spun": true, "undid": true, "redid": true}

// moreLeft: "and the thingummy too", "new sprag", "and one more". A thing that is
// added to what was worked on was worked on as well.
func (a *account) moreLeft(s, before *piece) bool {
	if s.told || s.silent != "" || !before.told || s.sentence != before.sentence {
		return false
	}
	if s.sep == 'a' && a.more(s.items) {
		return true
	}
	if s.sep != 'a' && !(s.sep == ',' && s.items[0].has("new") && len(s.items) < 4) {
		return false
	}
	odd := false
	for i, it := range s.items {
		switch {
		case a.weightless(it), it.has("pron"):
			return false
		case it.unknown():
			w := a.toks[it.at].w
			if !odd && i > 0 && !s.items[i-1].has("det") && !s.items[i-1].has("new") && !s.items[i-1].has("part") || strings.HasSuffix(w, "ing") || strings.HasSuffix(w, "ly") {
				return false
			}
			odd = true
		case it.has("det"), it.has("new"), it.has("prep"), it.named, it.has("other"), it.has("part"), it.is("glue", "") && odd:
		default:
			return false
		}
	}
	return odd
}

// more says whether a piece only adds another: "one more", "whatever was next to it".
func (a *account) more(items []item) bool {
	if a.word(items[0]) == "whatever" {
		return true
	}
	switch last := items[len(items)-1]; a.toks[last.at+last.n-1].w {
	case "more", "another", "else":
		return len(items) < 4 && a.toks[items[0].at].w != "no"
	}
	return false
}

// measureLeft: "20 ml the first time and 5 ml the second".
func (a *account) measureLeft(s, _ *piece) bool {
	if s.told || s.silent != "" || a.remark(s) || a.saidAgain() {
		return false
	}
	for _, it := range s.items {
		if it.numeric && !it.named && !(it.unit == "litres" || it.unit == "quart" || it.unit == "pint") && measures[it.unit] > 0 && !a.hasAmount(it) {
			return true
		}
	}
	return false
}

// saidAgain says whether the message corrects itself.
func (a *account) saidAgain() bool {
	for i := range a.pieces {
		for _, it := range a.pieces[i].items {
			if it.has("shouldbe") || it.has("fix") {
				return true
			}
		}
	}
	return false
}

// hasAmount says whether an act holds the amount of an item.
func (a *account) hasAmount(it item) bool {
	q := *a.p
	q.toks = a.toks
	for _, act := range a.acts {
		if act.Amount != (engine.Amount{}) && act.Amount == q.measured(it, nil) || act.Litres != 0 {
			return true
		}
	}
	return false
}

// isDay says whether an item is a stretch of days that is counted from something.
func (a *account) isDay(it item) bool {
	switch a.word(it) {
	case "day", "night", "morning", "evening", "week", "weekend", "month":
		return true
	}
	return false
}

// odd says whether an item is a word for a thing that nobody knows here.
func (a *account) odd(it item) bool {
	w := a.word(it)
	return it.unknown() && len(it.senses) == 0 && w != "" && !a.weightless(it) && a.toks[it.at].kind == word &&
		!asksWord[w] && !strings.HasSuffix(w, "ly") && !strings.HasSuffix(w, "ing") && !strings.HasSuffix(w, "ed") && a.p.names.partial[a.toks[it.at].lem] == nil
}

var asksWord = map[string]bool{"what": true, "which": true, "who": true, "how": true, "why": true, "where": true, "any": true}

// turnLeft: "greased om1 wrong", "drained rt1 <5 ml".
func (a *account) turnLeft(s, _ *piece) bool {
	if !s.told {
		return false
	}
	for i, it := range s.items {
		switch {
		case it.has("bound") && i+1 < len(s.items):
			k := i + 1
			if s.items[k].has("det") && !s.items[k].numeric {
				k++
			}
			if k < len(s.items) && s.items[k].numeric && measures[s.items[k].unit] > 0 {
				return true
			}
		case it.n == 1 && it.has("wrong"):
			return true
		case it.has("part") && i+1 < len(s.items) && i > 0 && s.items[i-1].has("det") && a.odd(s.items[i+1]):
			return true // "the breather whatsit"
		case it.has("part") && i > 0 && (a.word(s.items[i-1]) == "old" || a.word(s.items[i-1]) == "same"):
			for _, x := range s.items[i+1:] {
				if a.word(x) == "back" || a.word(x) == "again" {
					return true // "but put the old filter back"
				}
			}
		}
		switch a.word(it) {
		case "partly", "partially", "incompletely", "halfway":
			return true
		}
	}
	return false
}

// numberLeft: "oil changed 7", "3 injectors of 4", "and 2 of sludge". What counts
// things, times or rows is none.
func (a *account) numberLeft(s, _ *piece) bool {
	if !s.told || s.silent != "" || a.saidAgain() {
		return false
	}
	for i, it := range s.items {
		if it.has("symptom") || it.has("vague") {
			return false
		}
		if !it.numeric || it.named || it.dated || it.clock || it.approx || it.ago || it.num.ordinal || it.num.slash || it.num.minus || a.hasFigure(it) || a.entered(it) || a.spokenTime(s, i) {
			continue
		}
		prev, next := item{}, item{}
		if i > 0 {
			prev = s.items[i-1]
		}
		if i+1 < len(s.items) {
			next = s.items[i+1]
		}
		switch {
		case (it.unit == "days" || it.unit == "weeks" || it.unit == "months") && (a.word(next) == "before" || a.word(next) == "after" || a.word(next) == "prior"):
			return true // "two days before joss left"
		case measures[it.unit] > 0 && (next.has("all") || a.word(next) == "each" || a.word(next) == "apiece") && a.hasWater():
			return true
		case it.unit != "" || it.num.fraction && !(a.word(next) == "to"):
			continue
		case next.is("prep", "of") && i+2 < len(s.items) && (s.items[i+2].has("find") || s.items[i+2].has("part")), prev.is("prep", "of") && a.toks[prev.at].w == "of":
			return true
		case it.num.fraction:
			return true
		case next.numeric, prev.numeric, next.has("half"), next.has("part"), next.has("new"), next.has("event"), next.has("other"), next.unknown(), next.has("noun"), next.has("unit"),
			next.has("fuelsrc"), next.has("grade"), next.has("rest"), next.has("pron"), next.has("mod"), next.has("prep"), next.is("glue", "v"):
			continue
		case prev.has("unit"), prev.has("tagword"), prev.has("grade"), prev.has("fuel"), a.word(prev) == "row", a.word(prev) == "minus", a.word(prev) == "no", a.word(prev) == "around", a.word(prev) == "about", a.word(prev) == "round", it.has("pron"), prev.has("at") && it.num.milli <= 24000:
			continue
		}
		return true
	}
	return false
}

// spokenTime says whether a figure is half of a time of day in words: "ten to
// seven", "half past six". A fraction before "to" that a unit follows is an amount.
func (a *account) spokenTime(s *piece, i int) bool {
	for _, k := range []int{i - 1, i + 1} { // the word between the two
		if k < 1 || k+1 >= len(s.items) || !s.items[k-1].numeric || !s.items[k+1].numeric {
			continue
		}
		min, hour := s.items[k-1], s.items[k+1]
		switch a.word(s.items[k]) {
		case "to", "past", "till", "after", "before":
			return min.unit == "" && hour.unit == "" && min.num.milli < 60000 && hour.num.milli >= 1000 && hour.num.milli <= 12000
		}
	}
	return false
}

// entered says whether a figure was taken for something when the message was read:
// a reading, a machine, a time of day.
func (a *account) entered(it item) bool {
	x, ok := a.asRead(it)
	return !ok || !x.numeric || x.used || x.named || x.clock || x.dated || x.approx
}

// asRead is the item that the reading had where the account has one.
func (a *account) asRead(it item) (item, bool) {
	for _, c := range a.p.clauses {
		for _, x := range c.items {
			if a.p.toks[x.at].pos == a.toks[it.at].pos {
				return x, true
			}
		}
	}
	return item{}, false
}

// hasFigure says whether an act holds the figure of an item.
func (a *account) hasFigure(it item) bool {
	t, ok := it.num.tenths()
	for _, act := range a.acts {
		if ok && act.Hours.Known && act.Hours.Value == t || ok && act.Old.Known && act.Old.Value == t || ok && act.Litres != 0 && int64(act.Litres) == int64(t) {
			return true
		}
	}
	return it.unit != "" && a.hasAmount(it)
}

// hasWater says whether an act holds an amount of water.
func (a *account) hasWater() bool {
	for _, act := range a.acts {
		if act.Amount != (engine.Amount{}) {
			return true
		}
	}
	return false
}

// dayOdd: "the day before the frost", "rust in the bowl last week".
func (a *account) dayOdd(s, _ *piece) bool {
	if !s.told || s.silent != "" {
		return false
	}
	for i, it := range s.items {
		if a.isDay(it) && i+1 < len(s.items) && (a.word(s.items[i+1]) == "before" || a.word(s.items[i+1]) == "after") {
			return true
		}
		if x, ok := a.asRead(it); ok && x.dated && it.dated && it.when.vague == "past" && !it.numeric && !a.inDated() && a.p.find("symptom") < 0 {
			return true
		}
	}
	return false
}

// inDated says whether an act has a day.
func (a *account) inDated() bool {
	for _, act := range a.acts {
		if act.Day != 0 {
			return true
		}
	}
	return false
}

// strayLeft: "drained partway", "pg1 greased, tensioner". A word that stands right
// behind what was told and is not known may change it; behind a preposition it is a
// place.
func (a *account) strayLeft(s, _ *piece) bool {
	if !s.told || s.silent != "" || a.symptom() {
		return false
	}
	last := a.r.lastCore(s.items)
	for i, it := range s.items {
		switch {
		case it.has("symptom"), it.has("vague"), it.has("grade"), it.has("cond-part"), it.is("find", "weep"):
			return false
		case i > 0 && i > last && a.odd(it):
			k := i - 1
			if p := s.items[k]; !p.has("prep") && !p.has("det") && !p.has("at") && !p.unknown() && !p.has("aux") && !p.has("who") && !p.has("pron") &&
				!p.has("thatwas") && !p.is("glue", "v") && !p.has("wh") && !p.has("mod") && !p.is("glue", "adj") && a.word(p) != "like" && a.word(p) != "as" {
				return true
			}
		case it.has("other") && !it.has("part") && !it.has("event") && !it.has("find") && !it.has("wetat") && !a.inWords(it) && a.onlyWork():
			if i == 0 || !s.items[i-1].has("prep") && !s.items[i-1].has("det") {
				return true
			}
		}
	}
	return false
}

// symptom says whether trouble is told.
func (a *account) symptom() bool {
	for _, act := range a.acts {
		if act.Kind == Symptom {
			return true
		}
	}
	return false
}

// onlyWork says whether the acts are work and figures.
func (a *account) onlyWork() bool {
	for _, act := range a.acts {
		if act.Kind != Service && act.Kind != Reading || act.Words != "" {
			return false
		}
	}
	return true
}

// notLeft: "done, not the back ones". What was not done is no part that is known,
// so it belongs to what was.
func (a *account) notLeft(s, before *piece) bool {
	if s.told || s.silent != silencers["neg"] && !s.aside || len(s.items) < 2 || a.word(s.items[0]) != "not" {
		return false
	}
	if !s.items[1].has("det") && !s.items[1].has("all") {
		return false
	}
	for _, it := range s.items[1:] {
		if it.has("verb") || it.has("part") || it.has("event") || it.named || it.has("find") || it.has("symptom") || it.dated || it.has("other") {
			return false
		}
	}
	switch l := s.items[len(s.items)-1]; a.toks[l.at+l.n-1].w {
	case "ones", "one", "side", "sides", "end", "ends", "half", "bit", "bits", "front", "back", "rear", "rest", "lot", "top", "bottom", "left", "right":
		return true
	}
	return false
}

// partLeft: "bled rt1 after changing the fuel filter", "that was after the new
// injectors went in".
func (a *account) partLeft(s, _ *piece) bool {
	if s.sep == 'a' && s.items[0].has("ing") && a.toks[s.items[0].at-1].w == "with" {
		k := skipDet(s.items, 1)
		return k < len(s.items) && s.items[k].has("part") && !a.didPart(s.items[k].val("part")) // "along with changing its belt"
	}
	if s.silent != "" {
		return false
	}
	for i, it := range s.items {
		if s.told && it.has("cond") && a.toks[it.at].w == "when" && i+2 < len(s.items) && s.items[i+1].is("verb", "do") && hasPart(s.items[i+2:]) {
			return true // "when i did the filter"
		}
		if it.has("new") && !s.told && i+1 < len(s.items) && s.items[i+1].has("part") && !a.didPart(s.items[i+1].val("part")) && !s.aside {
			return true
		}
		if !it.has("ing") || i == 0 {
			continue
		}
		switch a.toks[s.items[i-1].at+s.items[i-1].n-1].w {
		case "after", "before", "while", "when", "having", "besides", "with":
		default:
			continue
		}
		k := skipDet(s.items, i+1)
		if k < len(s.items) && s.items[k].has("part") && !a.didPart(s.items[k].val("part")) {
			return true
		}
	}
	return false
}

// sameLeft: "greased om1, same goes for the big one".
func (a *account) sameLeft(s, before *piece) bool {
	if s.told || s.silent != "" || !before.told || !s.items[0].has("same") || len(s.items) < 2 {
		return false
	}
	for _, it := range s.items[1:] {
		switch a.word(it) {
		case "for", "goes", "with", "went", "on":
			return true
		}
	}
	return false
}
