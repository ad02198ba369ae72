package read

import "strings"

// joinTags joins a tag that was written with points, "w.f.1", and parts one that
// the next word ran on to, "rt1drained". Nothing but a tag of the shed is made so.
func joinTags(toks []token, names *Names) []token {
	for i := 0; i < len(toks); i++ {
		if t, n := dottedTag(toks[i:], names); n > 0 {
			toks = append(toks[:i:i], append([]token{t}, toks[i+n:]...)...)
			continue
		}
		t := toks[i]
		if t.kind != word || len(t.w) != len(t.raw) || lex.vocab.known[t.w] || names.exact[t.w] != nil {
			continue
		}
		k := strings.LastIndexAny(t.w, "0123456789") + 1
		if k < 2 || k+3 > len(t.w) || names.exact[t.w[:k]] == nil || !lex.vocab.known[t.w[k:]] {
			continue
		}
		head, tail := t, token{kind: word, w: t.w[k:], lem: t.w[k:], raw: t.raw[k:], pos: t.pos + k}
		head.w, head.lem, head.raw = t.w[:k], t.w[:k], t.raw[:k]
		toks = append(toks[:i:i], append([]token{head, tail}, toks[i+1:]...)...)
	}
	return toks
}

// dottedTag is the tag that single letters with points between them and a figure
// make, and how many tokens it takes.
func dottedTag(toks []token, names *Names) (token, int) {
	s, points := "", 0
	for k, t := range toks {
		if k > 7 || k > 0 && t.mark == 0 && t.kind == word && toks[k-1].kind == word {
			break
		}
		switch {
		case t.kind == stop && t.mark == '.' && s != "":
			points++
			continue
		case t.kind == word && len(t.w) == 1:
			s += t.w
			continue
		case t.kind == figure && points > 0 && len(s) > 1 && names.exact[s+t.w] != nil:
			return token{kind: word, w: s + t.w, lem: s + t.w, raw: s + t.w, pos: toks[0].pos, glued: toks[0].glued}, k + 1
		}
		break
	}
	return token{}, 0
}

// newOne reads the figure in "a new 1", "new 1 on" as the word: a part, no hours.
// "fitted new" leaves the word out.
func newOne(toks []token) []token {
	for i := 1; i < len(toks); i++ {
		if toks[i].w == "new" && fits[toks[i-1].w] && endsAt(toks, i+1) {
			one := token{kind: word, w: "one", lem: "one", raw: "one", pos: toks[i].pos}
			toks = append(toks[:i+1:i+1], append([]token{one}, toks[i+1:]...)...)
			continue
		}
		if toks[i].w != "1" || toks[i].kind != figure || toks[i-1].w != "new" && toks[i-1].w != "nu" && toks[i-1].w != "another" {
			continue
		}
		if i+1 < len(toks) && (toks[i+1].glued || toks[i+1].kind == figure) {
			continue
		}
		toks[i].kind, toks[i].w, toks[i].lem = word, "one", "one"
	}
	return toks
}

// slipWord says whether a word owns up to a figure written wrongly.
func slipWord(w string) bool {
	switch w {
	case "mistyped", "mistype", "typo", "typoed", "misread", "mistake", "typed", "fat-fingered", "wrong", "oops", "whoops":
		return true
	}
	return false
}

// wrongMachine reads "oops wrong machine": a correction that does not say which
// machine it was.
func (p *parse) wrongMachine() ([]Candidate, bool) {
	found := false
	for _, it := range p.items {
		switch p.phrase(it) {
		case "wrong machine", "wrong tractor", "wrong fan", "wrong mower", "wrong one":
			found = true
			continue
		}
		if it.brk == 0 && !it.filler() && !it.has("fix") && !it.has("thatwas") && !slipWord(p.toks[it.at].w) || it.named {
			return nil, false
		}
	}
	if !found || p.asksByMark() {
		return nil, false
	}
	return p.corrected([]Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{{Kind: Correct, Field: "machine", Wants: []Slot{AskMachine}}}}}, "which machine was it?"), true
}

var fits = map[string]bool{"fitted": true, "put": true, "stuck": true, "whacked": true, "chucked": true, "popped": true, "bunged": true, "slapped": true}

// endsAt says whether a part ends at a token, but for "in" or "on".
func endsAt(toks []token, i int) bool {
	if i < len(toks) && (toks[i].w == "in" || toks[i].w == "on") {
		i++
	}
	return i >= len(toks) || toks[i].kind == stop || toks[i].kind == comma
}
