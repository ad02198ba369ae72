package read

import "woodruff/engine"

// reading is the hours that a clause gives for one of its machines.
type hoursRead struct {
	ok     bool
	hours  engine.Tenths
	unsure bool // digits are missing, or it cannot be told which figure is meant
	at     int
}

// hoursIn reads the hours of a clause. The place is that of its machine, or -1
// where it stands elsewhere.
func (p *parse) hoursIn(c int, place int32) hoursRead {
	items := p.clauses[c].items
	best := hoursRead{at: -1}
	bestRank := 0
	tie := false
	for i := range items {
		rank := p.hoursRank(c, i, place)
		if rank == 0 {
			continue
		}
		if rank > bestRank {
			t, ok := items[i].num.tenths()
			best, bestRank, tie = hoursRead{ok: true, hours: t, unsure: !ok, at: i}, rank, false
		} else if rank == bestRank {
			tie = true
		}
	}
	if best.at < 0 {
		return best
	}
	if tie || p.halfRead(items, best.at) || p.halfAfter(c) || p.otherFigure(c, best.at, place) {
		best.unsure = true
	}
	return best
}

// hoursRank says how well a figure would be hours; 0 is not at all.
func (p *parse) hoursRank(c, i int, place int32) int {
	items := p.clauses[c].items
	it := items[i]
	if !it.numeric || it.named || it.used || it.approx || it.ago || it.clock || it.num.ordinal || it.num.slash || it.num.fraction || it.num.unreal && !it.num.blurred || it.num.minus {
		return 0
	}
	if it.unit != "" && it.unit != "hours" {
		return 0
	}
	if i+1 < len(items) && (items[i+1].has("approx") && !estimates(p.word(items[i+1])) && (items[i+1].has("glue") || i+2 >= len(items) || !items[i+2].numeric) || p.word(items[i+1]) == "ish") {
		return 0
	}
	prev, next := item{}, item{}
	if i > 0 {
		prev = items[i-1]
	}
	if i+1 < len(items) {
		next = items[i+1]
	}
	if it.unit == "hours" && p.hoursRun(items, i) {
		return 0
	}
	if t, ok := it.num.tenths(); ok && it.unit == "hours" && it.num.milli <= 24000 && next.is("prep", "in") && place >= 0 && !p.near(place, t) {
		return 0 // "2 hrs on the loader today"
	}
	if t, ok := it.num.tenths(); ok && it.unit == "hours" && it.num.milli <= 24500 && place >= 0 && !p.nearest(place, it) && t > 0 && !(prev.has("at") || prev.has("meterword") || prev.has("sayshours")) {
		return 0 // "was out 6 hours": a stretch of work
	}
	if it.unit == "" && clockZero(p.toks[it.at].w) && it.n == 1 && !p.nearest(place, it) {
		return 0 // "at 0630"
	}
	if prev.has("unit") && !prev.numeric && !prev.is("unit", "hours") || p.word(prev) == "from" || len(it.num.spoken) == 1 && it.num.milli == 1000 {
		return 0 // "row 14", "from 2019", "nice one"
	}
	if t, ok := it.num.tenths(); ok && place >= 0 && (prev.has("part") || prev.has("other")) && !p.near(place, t) {
		return 0 // "battery 12.4"
	}
	if it.num.blurred {
		return 5 // asked for in any case
	}
	if t, ok := it.num.tenths(); ok && it.unit == "" && it.num.whole() && it.num.milli < 100000 && place >= 0 && !p.near(place, t) &&
		!(prev.named || prev.has("at") || prev.has("meterword") || prev.has("sayshours") || prev.is("unit", "hours") || len(items) == 1) {
		return 0 // "three things", "five, no, three": nowhere near and nothing points at it
	}
	rank := 1
	if it.unit == "hours" || prev.has("meterword") || prev.has("sayshours") || prev.is("unit", "hours") && !prev.numeric {
		rank += 4
	}
	if it.num.decimals == 1 {
		rank += 2
	}
	if prev.has("at") || prev.named {
		rank++
	}
	if it.unit == "" {
		counts := next.has("part") || next.has("event") || next.has("new") || next.has("other") || next.has("fuelsrc") || next.unknown() || next.has("noun") || next.has("find") && !next.is("find", "clean") && it.num.whole()
		if it.num.whole() && counts && !(p.nearest(place, it) && !next.unknown()) && !prev.has("meterword") && !prev.has("sayshours") && !(prev.named && it.num.milli >= 100000) && !(prev.has("at") && it.num.milli >= 100000) {
			return 0
		}
		if it.num.whole() && it.num.milli <= 24000 && prev.has("at") && !p.nearest(place, it) {
			return 0 // a time of day
		}
		if next.unknown() && it.num.decimals == 1 && !prev.named && !prev.has("at") && !prev.has("sayshours") && !prev.has("meterword") {
			return 0
		}
	}
	if place >= 0 {
		if t, ok := it.num.tenths(); ok && p.near(place, t) {
			rank += 3
		}
	}
	return rank
}

// nearest says whether a small figure is close to the machine's last.
func (p *parse) nearest(place int32, it item) bool {
	if place < 0 {
		return false
	}
	last, known := p.last(place)
	t, ok := it.num.tenths()
	return known && ok && t >= last-100 && t <= last+1000
}

// hoursRun says whether hours are a stretch of work, not what a meter shows.
func (p *parse) hoursRun(items []item, i int) bool {
	for k := i - 1; k >= 0 && k >= i-4 && items[k].filler(); k-- {
		switch p.word(items[k]) {
		case "took", "takes", "take", "spent", "inside", "within":
			return true // "took me two hours"
		}
	}
	if items[i].num.milli < 100000 {
		for _, it := range items[:i] {
			switch p.word(it) {
			case "ran", "run", "running", "worked", "used", "put", "mowed", "drove":
				return true
			}
		}
	}
	if i > 0 {
		switch p.word(items[i-1]) {
		case "ran", "run", "running", "worked", "for", "after", "another", "every", "in", "put", "did", "about", "within", "next", "last", "only", "used", "runs", "good", "extra", "other", "within the", "took", "spent":
			return true
		}
		if items[i-1].has("verb") || items[i-1].has("every") {
			return items[i].num.milli < 100000
		}
	}
	if i+1 < len(items) {
		switch p.word(items[i+1]) {
		case "today", "yesterday", "more", "left", "later", "since", "over", "past", "run", "straight", "each", "overdue", "ago", "away", "till", "until", "before", "after", "to":
			return items[i].num.milli < 100000
		}
		if items[i+1].dated {
			return items[i].num.milli < 24000
		}
	}
	return false
}

// halfAfter says whether the next part only says that a figure could not be read
// well: "1533.4, if I see it right without my glasses".
func (p *parse) halfAfter(c int) bool {
	if c+1 >= len(p.clauses) || p.clauses[c+1].sentence != p.clauses[c].sentence {
		return false
	}
	next := p.clauses[c+1].items
	for i, it := range next {
		if it.has("half") {
			return !namedIn(next) && !hasVerb(next[i:])
		}
		if !it.filler() {
			return false
		}
	}
	return false
}

// halfRead says whether digits are missing: "12 something", "12 and change".
func (p *parse) halfRead(items []item, i int) bool {
	for k := i + 2; i+1 < len(items) && p.word(items[i+1]) == "or" && k < len(items) && k < i+6; k++ {
		if items[k].numeric {
			return true // one or the other: "1541 or is that a 7"
		}
		if !items[k].filler() {
			break
		}
	}
	if i+1 < len(items) && items[i+1].has("point") {
		return true // "1541 point, cant read it"
	}
	for k := i + 1; k < len(items) && k <= i+3; k++ {
		if items[k].has("half") {
			return true
		}
		if !items[k].filler() {
			break
		}
	}
	return i > 0 && items[i-1].has("half")
}

// otherFigure says whether a second figure of a clause could be what the meter
// shows as well: "1541 maybe 1547".
func (p *parse) otherFigure(c, at int, place int32) bool {
	items := p.clauses[c].items
	for i, it := range items {
		if i != at && it.numeric && !it.named && !it.used && !it.dated && it.num.milli != items[at].num.milli && (meterLike(it) || it.num.whole() && it.num.milli >= 100000) && it.unit == items[at].unit && p.nearest(place, it) && p.nearest(place, items[at]) {
			return true
		}
	}
	return false
}

// clockZero says whether a figure is written as a time of day: 0630.
func clockZero(w string) bool {
	return len(w) == 4 && w[0] == '0' && w[2] < '6' && parsesWhole(w)
}

func parsesWhole(w string) bool {
	for i := 0; i < len(w); i++ {
		if w[i] < '0' || w[i] > '9' {
			return false
		}
	}
	return true
}
