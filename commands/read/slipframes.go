package read

import "slices"

// A slip that is put right in the same breath: the two values stand close to each
// other with a word between them that owns up to it. Which word it is, and what
// small words stand around it, does not matter.

// ownsUp are words that own up to a slip of the hand, the eye or the tongue.
var ownsUp = map[string]bool{"typo": true, "typoed": true, "mistyped": true, "mistype": true, "misread": true, "mistake": true, "wrong": true,
	"error": true, "thumb": true, "thumbs": true, "finger": true, "fingers": true, "fingered": true, "pardon": true, "incorrect": true,
	"whoops": true, "oops": true, "woops": true, "nope": true, "nah": true, "misheard": true, "sorry": true, "apologies": true, "glasses": true}

// slipsMended takes the first of two figures out, or of two machines, where only
// a word that owns up to a slip stands between them: "1514.2 thats wrong its
// 1541.2", "1514.2 fat thumb 1541.2", "1514.2 *1541.2".
func slipsMended(items []item, toks []token) {
	for a := 0; a+1 < len(items); a++ {
		if !slipValue(items[a]) {
			continue
		}
		owned := false
		for b := a + 1; b < len(items) && b <= a+8; b++ {
			it := items[b]
			if slipValue(it) {
				if owned && (it.named && items[a].named && !same32(it.m.ids, items[a].m.ids) || it.numeric && items[a].numeric && sameShape(items[a], it)) {
					leaveGlue(items, a, b)
				}
				break
			}
			if it.has("shouldbe") && toks[it.at].w != "make" || it.has("thatwas") && toks[it.at].w != "thats" || it.brk != 0 && it.brk != ',' {
				break // of an earlier message
			}
			n := 0
			for k := it.at; k < it.at+it.n; k++ {
				if ownsUp[toks[k].w] && !(items[a].named && it.n == 1 && toks[k].w == "wrong") {
					n++
				}
			}
			owned = owned || n > 0 || it.has("no") && items[a].numeric || toks[it.at].raw == "*"
			if n == 0 && !it.filler() && !it.has("shouldbe") && !it.has("fix") && !it.has("no") && !it.has("neg") && it.brk != ',' && !(it.n == 1 && lightInSlip[toks[it.at].w]) {
				break
			}
		}
	}
	denied(items, toks)
}

var lightInSlip = map[string]bool{"fat": true, "make": true, "read": true, "it": true, "its": true, "that": true, "thats": true, "big": true, "clumsy": true, "try": true, "again": true, "my": true}

func slipValue(it item) bool {
	return it.named && !it.m.bare && it.m.one() || it.numeric && !it.named && !it.dated
}

// sameShape says whether two figures can be two readings of one meter.
func sameShape(a, b item) bool {
	return a.num.milli != b.num.milli && a.num.milli >= 20000 && b.num.milli >= 20000 && (a.unit == b.unit || b.unit == "hours" && a.unit == "" || a.unit == "hours" && b.unit == "") &&
		a.num.milli <= 10*b.num.milli && b.num.milli <= 10*a.num.milli && !a.num.slash && !b.num.slash && !a.num.clock && !b.num.clock
}

func leaveGlue(items []item, from, to int) {
	for j := from; j < to; j++ {
		items[j] = item{at: items[j].at, n: items[j].n, senses: glueSense}
	}
}

// denied takes a value out that is denied before the right one is said: "not rt2
// rt1", "not 1514.2 but 1541.2".
func denied(items []item, toks []token) {
	for i := 0; i+2 < len(items); i++ {
		if !items[i].has("neg") || items[i].n != 1 || toks[items[i].at].w != "not" {
			continue
		}
		if !hasVerb(items) && !namedIn(items[:i]) {
			return // "not the loader, the trencher": of an earlier message
		}
		a := skipDet(items, i+1)
		if a >= len(items) || !slipValue(items[a]) || lastLike(items, i-1, items[a]) >= 0 {
			continue
		}
		b := a + 1
		for b < len(items) && (items[b].has("det") || items[b].has("but") || items[b].brk == ',' || items[b].has("pron") || items[b].has("aux")) {
			b++
		}
		if b < len(items) && slipValue(items[b]) && (items[a].named && items[b].named && !same32(items[a].m.ids, items[b].m.ids) || items[a].numeric && items[b].numeric && sameShape(items[a], items[b])) {
			leaveGlue(items, i, b)
		}
	}
}

// readsThenMends says whether a message gives a machine and what it shows, and
// puts that right before it ends: "rt1 reads 1514.2, typo, 1541.2". That is one
// reading and changes no earlier line; "rt1 1514.2 should be 1541.2" does.
func (p *parse) readsThenMends() bool {
	if figures := slices.IndexFunc(p.toks, numeral); figures < 0 || !slices.ContainsFunc(p.toks[figures+1:], numeral) {
		return false
	}
	q := *p
	q.items = joined(tag(q.toks, lex.words, q.names), q.toks, q.names) // with what was taken back
	q.bareTags()
	return q.figureMended()
}

func (p *parse) figureMended() bool {
	k := 0
	for k < len(p.items) && !(p.items[k].named && !p.items[k].m.bare) {
		if !p.items[k].filler() && !p.items[k].has("meterword") {
			return false
		}
		k++
	}
	for k++; k < len(p.items) && (p.items[k].has("at") || p.items[k].has("sayshours") || p.items[k].has("aux") || p.items[k].has("meterword")); k++ {
	}
	if k >= len(p.items) || !p.items[k].numeric || p.items[k].named {
		return false
	}
	mended := false
	for i, it := range p.items[k+1:] {
		switch {
		case it.has("shouldbe") && !it.has("fix") && p.toks[it.at].w != "make", it.has("thatwas") && p.word(it) != "thats", p.word(it) == "should", i == 0 && it.has("neg") && !it.has("no"):
			return false
		case it.numeric && !it.named && sameShape(p.items[k], it):
			return mended
		}
		for j := it.at; j < it.at+it.n; j++ {
			mended = mended || ownsUp[p.toks[j].w]
		}
		mended = mended || it.has("fix") || it.has("no")
	}
	return false
}
