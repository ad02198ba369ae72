package read

import (
	"strconv"

	"woodruff/engine"
)

// Days that are told by a frame rather than by a phrase of the lexicon: how long
// ago, a weekday with its date, and a day of which the teller is not sure.

// agoUnits are the units that "ago" counts, in days; 0 counts hours, -1 is too
// long to give a day.
var agoUnits = map[string]int{"hour": 0, "hr": 0, "hrs": 0, "h": 0, "minute": 0, "min": 0, "day": 1, "night": 1, "week": 7, "wk": 7, "fortnight": 14,
	"month": -1, "mth": -1, "year": -1, "yr": -1, "season": -1}

// readAgo reads "N units ago" in digits or words: "8 days ago", "two weeks back",
// "2 or 3 days ago". A count that is not exact is no certain day, and neither are
// months.
func readAgo(toks []token) (when, int) {
	count, k, exact := agoCount(toks)
	if k == 0 || k >= len(toks) {
		return when{}, 0
	}
	unit := toks[k].lem
	days, ok := agoUnits[unit]
	if !ok {
		unit = singular(unit)
		if days, ok = agoUnits[unit]; !ok {
			return when{}, 0
		}
	}
	k++
	if k+1 < len(toks) && toks[k].w == "or" && (toks[k+1].w == "so" || toks[k+1].w == "two" || toks[k+1].w == "more") {
		exact = false // "a week or so ago"
		k += 2
	}
	if k >= len(toks) || toks[k].w != "ago" && !(toks[k].w == "back" && days != 0 && lastOfPart(toks, k+1)) {
		return when{}, 0
	}
	k++
	switch {
	case days == 0 && exact && (unit == "hour" || unit == "hr" || unit == "hrs" || unit == "h"):
		return when{known: true, hours: count}, k
	case days == 0:
		return when{known: true}, k
	case days < 0 || !exact:
		return when{vague: "past"}, k
	}
	w := when{known: true, offset: -count * days}
	if k < len(toks) && toks[k].w == "today" {
		k++ // "a week ago today"
	} else if k < len(toks) && toks[k].lem == "yesterday" {
		w.offset-- // "a week ago yesterday"
		k++
	} else if k < len(toks) && days == 7 && weekdayOf(toks[k]) != 0 {
		return when{}, 0 // "a week ago monday": the weekday's week, see joinWeeks
	}
	return w, k
}

// agoCount reads how many; exact is false for "a few", "2 or 3".
func agoCount(toks []token) (count, n int, exact bool) {
	one := func(k int) (int, bool) {
		if k >= len(toks) {
			return 0, false
		}
		if toks[k].kind == figure {
			v, err := strconv.Atoi(toks[k].w)
			return v, err == nil && v > 0 && v < 100
		}
		switch toks[k].w {
		case "a", "an":
			return 1, true
		}
		return digitWord(toks[k].lem)
	}
	k := 0
	if k < len(toks) && toks[k].w == "a" && k+1 < len(toks) && agoVague[toks[k+1].w] {
		k++
	}
	if k < len(toks) && agoVague[toks[k].w] {
		k++
		if k < len(toks) && (toks[k].w == "of" || toks[k].w == "o") {
			k++
		}
		return 2, k, false
	}
	v, ok := one(k)
	if !ok {
		return 0, 0, false
	}
	k++
	if k+1 < len(toks) && (toks[k].w == "or" || toks[k].w == "to") {
		if _, ok := one(k + 1); ok {
			return v, k + 2, false // "2 or 3 days ago"
		}
	}
	return v, k, true
}

var agoVague = map[string]bool{"couple": true, "cpl": true, "coupla": true, "few": true, "several": true, "some": true, "many": true}

// lastOfPart says whether nothing but a break, or what is no place, follows: "two
// days back in use" is no day.
func lastOfPart(toks []token, k int) bool {
	if k >= len(toks) || toks[k].kind != word {
		return true
	}
	switch toks[k].w {
	case "in", "on", "at", "from", "to", "with", "into", "onto", "together", "up":
		return false
	}
	return true
}

// joinDates reads a weekday and its date as one day: "monday the 30th", "friday
// nov 20". Where the two do not agree the day must be asked.
func joinDates(items []item) []item {
	out := items[:0]
	for i := 0; i < len(items); i++ {
		it := items[i]
		if it.dated && !it.numeric && it.when.weekday != 0 && it.when.mod == "" {
			k := i + 1
			for k < len(items) && k <= i+2 && (items[k].has("det") || items[k].brk == ',' || items[k].is("daymod", "prep")) && !items[k].dated {
				k++
			}
			if k < len(items) && items[k].dated && items[k].when.date && items[k].unit == "" {
				day := items[k]
				day.at, day.n = it.at, items[k].at+items[k].n-it.at
				day.when.checked, day.numeric, day.named = it.when.weekday, false, false
				it, i = day, k
			}
		}
		out = append(out, it)
	}
	return out
}

// doubtedDays makes a day uncertain that is only guessed at: "maybe friday",
// "friday or so", "around friday", "friday i think". The guess is about the day
// then, and not about the work.
func doubtedDays(items []item, toks []token) []item {
	for i := range items {
		it := &items[i]
		if !it.dated || it.numeric || it.when.known && it.when.offset >= 0 || it.when.vague == "future" || it.when.vague == "tonight" {
			continue
		}
		if k := i - 1; k >= 0 && guesses(items[k], toks) {
			if !items[k].has("doubt") || k == 0 || items[k-1].brk != 0 || saysWork(items[:k]) {
				it.when = when{vague: "past"}
				items[k].senses = glueSense
			}
		}
		if k := i + 1; k < len(items) && (guesses(items[k], toks) || toks[items[k].at].w == "ish") && (k+1 == len(items) || items[k+1].brk != 0) && saysWork(items[:i]) {
			it.when = when{vague: "past"}
			items[k].senses = glueSense
		}
	}
	return items
}

// saysWork says whether items tell of finished work.
func saysWork(items []item) bool {
	for _, it := range items {
		if it.has("verb") && !it.has("verb0") || it.has("new") {
			return true
		}
	}
	return false
}

// guesses says whether an item makes what stands next to it a guess.
func guesses(it item, toks []token) bool {
	if it.numeric || it.named || it.dated {
		return false
	}
	if it.has("approx") {
		return true
	}
	switch toks[it.at].w {
	case "maybe", "possibly", "probably", "perhaps", "prob", "prolly":
		return it.n == 1
	case "i":
		return it.n == 2 && it.has("doubt") // "i think", "i guess", "i reckon"
	}
	return false
}

// dayForgotten is how many tokens say that the day is not known any more, 0 for
// none: "forget which", "cant remember what day it was", "not sure when".
func dayForgotten(toks []token, dayBefore bool) int {
	k := 0
	for k < len(toks) && k < 3 && (toks[k].w == "but" || toks[k].w == "i" || toks[k].w == "and" || toks[k].w == "though") {
		k++
	}
	j := forgetting(toks[k:])
	if j == 0 {
		return 0
	}
	k += j
	for k < len(toks) && (toks[k].w == "exactly" || toks[k].w == "now" || toks[k].w == "just" || toks[k].w == "offhand" || toks[k].w == "right" || toks[k].w == "of") {
		k++
	}
	if k >= len(toks) {
		return 0
	}
	switch toks[k].w {
	case "which", "what":
		if k+1 < len(toks) && (toks[k+1].w == "day" || toks[k+1].w == "date" || toks[k+1].w == "morning" || toks[k+1].w == "night") {
			k += 2
			break
		}
		if toks[k].w == "what" || !dayBefore || k+1 < len(toks) && toks[k+1].kind == word && toks[k+1].w != "one" {
			return 0
		}
		k++
		if k < len(toks) && toks[k].w == "one" {
			k++
		}
	case "when":
		k++
	case "the":
		if k+1 >= len(toks) || toks[k+1].w != "day" && toks[k+1].w != "date" {
			return 0
		}
		k += 2
	default:
		return 0
	}
	for k < len(toks) && (toks[k].w == "it" || toks[k].w == "that" || toks[k].w == "was" || toks[k].w == "exactly" || toks[k].w == "though" || toks[k].w == "now") {
		k++
	}
	if k < len(toks) && toks[k].kind == word {
		return 0 // "dont know when i drained it last": more than the day is asked
	}
	return k
}

// forgetting is how many tokens say that somebody does not know.
func forgetting(toks []token) int {
	k := 0
	switch {
	case len(toks) == 0:
		return 0
	case toks[0].w == "forget" || toks[0].w == "forgot" || toks[0].w == "dunno" || toks[0].w == "unsure":
		return 1
	case toks[0].w == "no" && len(toks) > 1 && (toks[1].w == "idea" || toks[1].w == "clue"):
		return 2
	case toks[0].w == "not":
		k = 1
	default:
		for _, s := range lex.sets[toks[0].w] {
			if s == "<cannot>" {
				k = 1
			}
		}
	}
	if k == 0 {
		return 0
	}
	for k < len(toks) && (lightRun(toks[k:k+1], false) > 0 || toks[k].w == "entirely" || toks[k].w == "exactly" || toks[k].w == "for" || toks[k].w == "certain") {
		k++
	}
	if k < len(toks) {
		switch toks[k].w {
		case "remember", "recall", "know", "say", "tell", "sure", "certain":
			return k + 1
		}
	}
	return 0
}

// dottedDate reads 20.11.2026 and 20.11.26 as their two sides and the year.
func dottedDate(s string) (number, bool) {
	var v [3]int
	part, digits := 0, 0
	for i := 0; i <= len(s); i++ {
		switch {
		case i == len(s) || s[i] == '.':
			if digits == 0 || digits > 4 || part > 2 {
				return number{}, false
			}
			part++
			digits = 0
		case s[i] >= '0' && s[i] <= '9' && part < 3:
			v[part] = v[part]*10 + int(s[i]-'0')
			digits++
		default:
			return number{}, false
		}
	}
	year := v[2]
	return number{slash: true, a: v[0], b: v[1], c: v[2]}, part == 3 && v[0] <= 31 && v[1] <= 31 && (year >= 20 && year < 100 || year >= 2000 && year < 2100)
}

// hoursBack is how many days ago so many hours ago was.
func hoursBack(ctx Context, hours int) engine.Day {
	minutes := int(ctx.Clock) - hours*60
	if minutes >= 0 {
		return 0
	}
	return engine.Day((-minutes + 24*60 - 1) / (24 * 60))
}

// clockHours says whether a figure is as small as those of a clock: "that was at
// 7" gives no hours.
func clockHours(t engine.Tenths) bool { return t <= 240 && t%10 == 0 }

// atClock says whether a figure is a time of day by its place: "at 7", "around 4".
func atClock(items []item, i int) bool {
	t, ok := items[i].num.tenths()
	return i > 0 && ok && clockHours(t) && items[i].unit == "" && (items[i-1].has("at") || items[i-1].has("approx"))
}
