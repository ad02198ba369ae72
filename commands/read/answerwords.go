package read

import (
	"slices"
	"strings"
)

// How an answer to a check opens, and what turns it round.

// openerWords lead up to an answer and are none where more follows: "ok its plugged".
var openerWords = []string{"ok", "okay", "k", "alright", "well", "so", "hey", "hi", "hello", "um", "umm", "uh", "uhh", "er", "erm", "hmm", "right", "now", "yo", "oh", "ah", "and"}

// closerWords end an answer and say nothing.
var closerWords = []string{"boss", "thanks", "thx", "mate", "bud", "buddy", "sir", "man", "chief", "cheers", "ty", "lol", "haha"}

// answerProper is an answer without the words that lead up to it and those that end it.
func answerProper(toks []token) []token {
	for n := len(toks); n > 1 && toks[n-1].kind == word && slices.Contains(closerWords, toks[n-1].w); n-- {
		toks = toks[:n-1]
	}
	i := 0
	for i+1 < len(toks) && (slices.Contains(openerWords, toks[i].w) || i > 0 && toks[i].kind == comma) {
		i++
	}
	if i > 0 && (toks[i].kind == word || toks[i].kind == figure) {
		return toks[i:]
	}
	return toks
}

// onlyLooks finds the part "just looked" of an answer: the answer is what follows.
func onlyLooks(items []item) bool {
	looks := false
	for _, it := range items {
		looks = looks || it.is("verb", "look") || it.has("didcheck")
		if !it.filler() && !it.is("verb", "look") && !it.has("didcheck") {
			return false
		}
	}
	return looks
}

// looksAtIt finds "checked it no bubbles", "had a look at it its dry": the look is the
// check itself, where it goes to no other part.
func looksAtIt(items []item, i int) bool {
	if !items[i].is("verb", "look") {
		return false
	}
	if k := skipDet(items, i+1); k < len(items) && (items[k].has("part") || items[k].has("other")) {
		return false
	}
	return !hasVerb(items[i+1:])
}

// farthest is how many words without weight may stand between a denial and what it
// denies: "dont see a single | bubble".
const farthest = 5

// deny turns a result round where a denial stands before it with nothing of weight
// between: "not really any better", "couldnt find a leak". A "no" that only opens
// the answer denies nothing: "no its up".
func (p *parse) deny(items []item, i int, r string) string {
	k := i - 1
	none := func(it item) bool { return it.is("pol", "nil") || it.is("find", "clean") && it.n > 1 }
	for k > 0 && k >= i-farthest && !items[k].has("neg") && !none(items[k]) && p.weightless(items[k]) {
		k--
	}
	if k < 0 || !items[k].has("neg") && !(r == "yes" && none(items[k])) {
		return r
	}
	w := p.toks[items[k].at+items[k].n-1].w
	switch {
	case none(items[k]): // "cant see any | leaks"
	case w == "no":
		if k != i-1 || k == 0 || !items[k-1].has("aux") && !items[k-1].is("glue", "v") {
			return r
		}
	case w == "not", w == "never", strings.HasSuffix(w, "nt"), w == "cannot":
	default:
		return r
	}
	if r == "yes" {
		return "no"
	}
	return "yes"
}

// weightless says whether an item has nothing of its own to say within an answer.
func (p *parse) weightless(it item) bool {
	return it.filler() || it.brk == 0 && !it.named && !it.numeric && !it.dated && lightRun(p.toks[it.at:], true) >= it.n
}

// ownWords says whether an answer opens with no more than a nod, so that what it goes
// on to say counts: "yeah its plugged" of an air filter that should be clean.
func (p *parse) ownWords(items []item) bool {
	switch p.word(items[0]) {
	case "yeah", "yea", "yah", "ya":
		return true
	}
	return false
}

// barely says whether items name nothing but what was asked about: "no it | isnt".
func (p *parse) barely(items []item) bool {
	for _, it := range items {
		switch w := p.word(it); {
		case it.has("pron"), it.has("neg"), w == "its", w == "that", w == "thats", w == "is", w == "does", w == "did", w == "was":
		default:
			return false
		}
	}
	return true
}
