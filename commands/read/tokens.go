package read

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// tokenKind is the shape of a token.
type tokenKind byte

const (
	word   tokenKind = 'w'
	figure tokenKind = 'd' // starts with a digit: 1223.4, 6:30, 3/4
	stop   tokenKind = '.' // ends a sentence: . ! ? ; or a new line
	comma  tokenKind = ','
)

// token is one word, figure or mark.
type token struct {
	kind  tokenKind
	w     string // in small letters, without apostrophes
	lem   string // as corrected
	raw   string
	pos   int  // of raw in the text
	glued bool // follows the token before without a space
	upper bool // written with a capital
	fixed bool // lem is a correction of an unknown word
	mark  byte // of a stop: . ? ! ; or \n
}

// marks that stand for words.
var markWords = map[rune]string{'&': "and", '+': "and", '@': "at", '#': "#", '~': "about", '=': "is",
	'%': "%", '$': "$", '€': "€", '£': "£", '½': "1/2", '¼': "1/4", '¾': "3/4", '"': "quote", '“': "quote", '”': "quote"}

// tokenize splits a text in one pass.
func tokenize(text string) []token {
	toks := make([]token, 0, len(text)/4+2)
	glued := false
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == '\n' || r == '\r':
			toks = append(toks, token{kind: stop, w: "\n", lem: "\n", raw: "\n", pos: i, mark: '\n'})
		case unicode.IsSpace(r):
			glued = false
			i += size
			continue
		case r >= '0' && r <= '9':
			end := figureEnd(text, i)
			s := text[i:end]
			toks = append(toks, token{kind: figure, w: s, lem: s, raw: s, pos: i, glued: glued})
			i, glued = ownersS(text, end), true
			continue
		case unicode.IsLetter(r):
			end := wordEnd(text, i)
			raw := text[i:end]
			w := plainWord(raw)
			toks = append(toks, token{kind: word, w: w, lem: w, raw: raw, pos: i, glued: glued, upper: unicode.IsUpper(r)})
			i, glued = end, true
			continue
		case r == '.' && lostPoint(text, i, toks):
			t := &toks[len(toks)-1] // "1541 .2"
			t.w, t.raw = t.w+text[i:i+2], text[t.pos:i+2]
			t.lem = t.w
			i += 2
			continue
		case r == '.' && i+1 < len(text) && text[i+1] == '.':
			// "rt2... no, rt1": a pause, not the end of what is said
			for i+1 < len(text) && text[i+1] == '.' {
				i++
			}
			toks = append(toks, token{kind: comma, w: ",", lem: ",", raw: "...", pos: i})
		case r == '.' || r == '!' || r == '?' || r == ';' || r == '…':
			m := byte(r)
			if r == '…' {
				m = '.'
			}
			toks = append(toks, token{kind: stop, w: string(m), lem: string(m), raw: text[i : i+size], pos: i, mark: m})
		case r == ',' || r == '(' || r == ')' || r == '—' || r == '–' || r == '|':
			toks = append(toks, token{kind: comma, w: ",", lem: ",", raw: text[i : i+size], pos: i})
		case r == ':' && (i+1 == len(text) || text[i+1] == ' ' || text[i+1] == '\n'):
			toks = append(toks, token{kind: comma, w: ",", lem: ",", raw: ":", pos: i}) // "did the fans: ..."
		case r == '-':
			// Between letters or figures a dash joins; else it parts, unless a
			// figure follows: -8 is a temperature.
			if !glued && !digitAt(text, i+1) {
				toks = append(toks, token{kind: comma, w: ",", lem: ",", raw: "-", pos: i})
			} else if !glued {
				toks = append(toks, token{kind: word, w: "minus", lem: "minus", raw: "-", pos: i})
			}
		case (r == '<' || r == '>' && len(toks) > 0 && toks[len(toks)-1].mark != '\n') && figureNext(text, i+1):
			w := map[rune]string{'<': "under", '>': "over"}[r]
			toks = append(toks, token{kind: word, w: w, lem: w, raw: text[i : i+1], pos: i})
		case r == '>':
			toks = append(toks, token{kind: word, w: "quote", lem: "quote", raw: ">", pos: i})
		case r == '/':
			toks = append(toks, token{kind: word, w: "and", lem: "and", raw: "/", pos: i})
		case r == '*' && digitAt(text, i+1) && len(toks) > 0 && toks[len(toks)-1].kind == figure:
			toks = append(toks, token{kind: word, w: "oops", lem: "oops", raw: "*", pos: i}) // "1514.2 *1541.2" mends a slip
		case r == '*' || r == '_' || r == '`':
			// bold and the like
		default:
			if w, ok := markWords[r]; ok {
				kind := word
				if w[0] >= '0' && w[0] <= '9' {
					kind = figure
				}
				toks = append(toks, token{kind: kind, w: w, lem: w, raw: text[i : i+size], pos: i, glued: glued})
			}
		}
		glued = r == '-' && glued
		i += size
	}
	return toks
}

// partUnits parts a unit from a word run on to it: "20mlwater".
func partUnits(toks []token) []token {
	for i := 1; i < len(toks); i++ {
		t := toks[i]
		if !t.glued || t.kind != word || toks[i-1].kind != figure || lex.vocab.known[t.w] || len(t.w) != len(t.raw) {
			continue
		}
		for k := 1; k < len(t.w)-2 && k < 6; k++ {
			u, rest := token{kind: word, w: t.w[:k]}, t.w[k:]
			u.lem = u.w
			if !is(u, "unit", "") || is(u, "unit", "foreign") || !lex.vocab.known[rest] {
				continue
			}
			u.raw, u.pos, u.glued = t.raw[:k], t.pos, true
			tail := token{kind: word, w: rest, lem: rest, raw: t.raw[k:], pos: t.pos + k, glued: true}
			toks = append(toks[:i:i], append([]token{u, tail}, toks[i+1:]...)...)
			break
		}
	}
	return toks
}

// dropNumbers takes the numbers of a list out: "1) rt1 greased 2) rt2 drained".
func dropNumbers(toks []token) []token {
	out := toks[:0]
	open := 0
	for i := 0; i < len(toks); i++ {
		t := toks[i]
		switch t.raw {
		case "(":
			open++
		case ")":
			open--
		}
		if t.kind == figure && len(t.w) <= 2 && i+1 < len(toks) && toks[i+1].raw == ")" && open <= 0 {
			out = append(out, token{kind: stop, w: "\n", lem: "\n", raw: t.raw, pos: t.pos, mark: '\n'})
			i++
			continue
		}
		out = append(out, t)
	}
	return out
}

// ownersS skips an owner's s after a figure: 14's, 14s.
func ownersS(s string, i int) int {
	rest := s[i:]
	for _, tail := range []string{"'s", "’s", "s"} {
		if strings.HasPrefix(rest, tail) && (len(rest) == len(tail) || !isWordRune(rest[len(tail):])) {
			return i + len(tail)
		}
	}
	return i
}

// figureNext says whether a figure follows, after a space or none.
func figureNext(s string, i int) bool {
	return digitAt(s, i) || i < len(s) && s[i] == ' ' && digitAt(s, i+1)
}

func digitAt(s string, i int) bool { return i < len(s) && s[i] >= '0' && s[i] <= '9' }

// figureEnd is where a figure that starts at i ends; a point, comma, colon or
// slash belongs to it when a digit follows.
func figureEnd(s string, i int) int {
	from := i
	for i < len(s) {
		if blurred(s, from, i) {
			for mark := s[i]; i < len(s) && s[i] == mark; {
				i++
			}
			continue
		}
		if s[i] == '.' && i+1 < len(s) && (s[i+1] == '?' || s[i+1] == '_' || s[i+1] == 'x') && (i+2 == len(s) || !isWordRune(s[i+2:])) {
			i += 2 // 2850.?
			continue
		}
		if digitAt(s, i) || (strings.IndexByte(".,:/'", s[i]) >= 0 && digitAt(s, i+1)) {
			i++
			continue
		}
		break
	}
	return i
}

// blurred says whether a mark within a figure stands for a digit that could not
// be read: 22x.4, 12?3.4, 28__. A size such as 2x4 has none.
func blurred(s string, from, i int) bool {
	switch s[i] {
	case 'x', 'X', '?', '_', '*':
	default:
		return false
	}
	if i < from+2 {
		return false
	}
	j := i + 1
	for j < len(s) && (s[j] == s[i] || digitAt(s, j)) {
		j++
	}
	if j < len(s) && s[j] == '.' && digitAt(s, j+1) {
		return !strings.Contains(s[from:i], ".")
	}
	if j == i+1 && i >= from+3 && (s[i] == 'x' || s[i] == 'X' || s[i] == '_') && !isWordRune(s[j:]) {
		return true // 154x: no size has as many digits
	}
	return j > i+1 && s[j-1] == s[i] && !isWordRune(s[j:]) && s[i] != '?' // 28xx; ?? asks
}

// wordEnd is where a word that starts at i ends; it may hold digits and
// apostrophes.
func wordEnd(s string, i int) int {
	for i < len(s) {
		r, size := utf8.DecodeRuneInString(s[i:])
		inner := (r == '\'' || r == '’') && i+size < len(s) && isWordRune(s[i+size:])
		if !inner && !isWordRune(s[i:]) {
			if r == '/' && s[i-1] == 'w' && (i < 2 || s[i-2] == ' ') {
				return i + 1
			}
			return i
		}
		i += size
	}
	return i
}

func isWordRune(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r) || (r >= '0' && r <= '9') || unicode.Is(unicode.Mn, r)
}

// plainWord is a word in small letters without apostrophes.
func plainWord(raw string) string {
	w := strings.ToLower(raw)
	if strings.ContainsAny(w, "'’") {
		w = strings.ReplaceAll(strings.ReplaceAll(w, "'", ""), "’", "")
	}
	return w
}

// correct gives each unknown word its likely spelling: listed slips first, then
// the one nearest word of the lexicon or of the shed's names. Where two are as
// near it is left alone.
func correct(toks []token, names *Names) {
	for i := range toks {
		t := &toks[i]
		if t.kind != word {
			continue
		}
		if stem, ok := contracted(*t); ok && !names.knows(t.w) {
			t.lem = stem
			continue
		}
		if len(t.w) >= shortest && strings.HasSuffix(t.w, "in") && lex.vocab.known[t.w+"g"] && !names.knows(t.w) {
			t.lem = t.w + "g" // smokin, drainin
			continue
		}
		if t.w == "n" && i+1 < len(toks) && toks[i+1].kind == word {
			t.lem = "and"
			continue
		}
		if full := lex.inFull(t.w); full != "" && !names.knows(t.w) {
			t.lem = full
			continue
		}
		if names.knows(t.w) {
			continue
		}
		// A listed short form counts also where some phrase has it as it stands:
		// phrases are looked up both ways.
		if to, ok := lex.spelling[t.w]; ok {
			t.lem = to
			continue
		}
		if lex.vocab.known[t.w] {
			continue
		}
		if hasDigit(t.w) {
			continue
		}
		if name := names.soundsLike(toks, i); name != "" {
			t.lem, t.fixed = name, true
			continue
		}
		if inflected(t.w, names) {
			continue // hauled, charging: words of their own, no slips
		}
		if full := fullWord(t.w, names); full != "" {
			t.lem, t.fixed = full, true
			continue
		}
		near, d := lex.vocab.nearest(t.w)
		named, dn := names.vocab.nearest(t.w)
		if len(t.w) == shortest-1 {
			named, dn = names.vocab.missing(t.w), 1
		}
		if len(named) == 1 && len(near) > 0 && d == dn {
			near = meaningful(near, named[0])
		}
		if len(named) > 0 && len(near) > 0 && d == dn {
			if w := likeliest(t.w, append(append([]string(nil), named...), near...)); w != "" {
				t.lem, t.fixed = w, true // grany is granny, not grand
				continue
			}
		}
		switch {
		case len(near) == 1 && (len(named) == 0 || d < dn):
			t.lem, t.fixed = near[0], true
		case len(named) == 1 && (len(near) == 0 || dn < d):
			t.lem, t.fixed = named[0], true
		case len(near) == 0 && len(named) > 1 && likeliest(t.w, named) != "":
			t.lem, t.fixed = likeliest(t.w, named), true
		case len(near) > 1 && len(named) == 0 && likeliest(t.w, near) != "":
			t.lem, t.fixed = likeliest(t.w, near), true
		case len(near) > 1 && len(named) == 0 && len(meaningful(near, "")) == 1:
			t.lem, t.fixed = meaningful(near, "")[0], true
		case len(near) > 1 && len(named) == 0:
			// Slips that mean the same thing either way do no harm: seperater
			// for separator or separaters is settled by the sense.
			if lem, ok := sameSense(near); ok {
				t.lem, t.fixed = lem, true
			}
		}
	}
}

// fullWord is the one word of a use here that a message gives without its
// vowels; "" where none or several could be meant.
func fullWord(w string, names *Names) string {
	found := append(meaningful(lex.vocab.boned(w), ""), names.vocab.boned(w)...)
	slices.Sort(found)
	found = slices.Compact(found)
	if len(found) == 1 {
		return found[0]
	}
	if len(found) > 1 && !slices.ContainsFunc(found, func(f string) bool { return names.vocab.known[f] }) {
		if same, ok := sameSense(found); ok {
			return same
		}
	}
	return ""
}

// contracted is the word before an "is" or "has" run on to it: "the oil's been
// done". Words that the lexicon has in that form keep it.
func contracted(t token) (string, bool) {
	stem, ok := strings.CutSuffix(t.w, "s")
	if !ok || !strings.ContainsAny(t.raw, "'’") || strings.HasSuffix(t.raw, "s'") {
		return "", false
	}
	if n := lex.words.next[t.w]; n != nil && len(n.senses) > 0 {
		return "", false
	}
	n := lex.words.next[stem]
	return stem, n != nil && len(n.senses) > 0
}

// meaningful leaves out the words that do not compete with a machine's name:
// the name itself and everyday words without a use here.
func meaningful(ws []string, name string) []string {
	var out []string
	for _, w := range ws {
		n := lex.words.next[w]
		if w == name || n == nil || len(n.senses) == 0 || n.senses[0].class == "plain" {
			continue
		}
		out = append(out, w)
	}
	return out
}

// sameSense says whether all the words mean the same by themselves.
func sameSense(ws []string) (string, bool) {
	first := lex.words.next[ws[0]]
	if first == nil || len(first.senses) == 0 {
		return "", false
	}
	for _, w := range ws[1:] {
		n := lex.words.next[w]
		if n == nil || len(n.senses) == 0 || n.senses[0] != first.senses[0] {
			return "", false
		}
	}
	return ws[0], true
}

func hasDigit(w string) bool {
	for i := 0; i < len(w); i++ {
		if w[i] >= '0' && w[i] <= '9' {
			return true
		}
	}
	return false
}
