package read

import "strings"

// Speech recognition writes words that sound like the ones that were said: "trained
// the ball" for "drained the bowl". data/sounds.csv lists what is heard, what is
// meant, and what must stand near so that only that reading is left.

// hearing is one row of sounds.csv.
type hearing struct {
	meant  []token
	beside map[string]bool
	place  string // "number": behind one; "between": between two; "*": anywhere
	same   bool   // the words mean what they say: "ball joint"
}

// earshot is how many words away what makes sense of a slip may stand.
const earshot = 8

// loadSounds reads the slips of speech recognition.
func (l *lexicon) loadSounds(rows [][]string) {
	for i, row := range rows {
		h := hearing{meant: tokenize(row[1]), same: row[0] == row[1]}
		switch row[2] {
		case "*", "number", "between":
			h.place = row[2]
		default:
			h.beside = map[string]bool{}
			for _, w := range strings.Split(row[2], "|") {
				h.beside[w] = true
			}
		}
		l.hearings = append(l.hearings, h)
		for _, heard := range strings.Split(row[0], "|") {
			l.sounds.put(tokenize(heard), sense{"sounds", itoa(i)})
		}
	}
}

// hear puts what was meant in the place of what was heard.
func (p *parse) hear() {
	var out []token
	for i := 0; i < len(p.toks); i++ {
		h, k := p.heard(i)
		if k == 0 {
			if out != nil {
				out = append(out, p.toks[i])
			}
			continue
		}
		if out == nil {
			out = append(make([]token, 0, len(p.toks)+2), p.toks[:i]...)
		}
		first, last := p.toks[i], p.toks[i+k-1]
		raw := p.text[first.pos : last.pos+len(last.raw)]
		for j, t := range h.meant {
			t.pos, t.raw = first.pos, raw
			if j > 0 {
				t.pos, t.raw = last.pos+len(last.raw), ""
			}
			out = append(out, t)
		}
		p.note("%q: sounds like %s", raw, tokensSaid(h.meant))
		i += k - 1
	}
	if out != nil {
		p.toks = out
	}
}

func tokensSaid(toks []token) string {
	var s []string
	for _, t := range toks {
		s = append(s, t.w)
	}
	return strings.Join(s, " ")
}

// heard is the slip that starts at a token, where what stands near leaves only
// that reading.
func (p *parse) heard(i int) (hearing, int) {
	if p.toks[i].kind != word {
		return hearing{}, 0
	}
	senses, k := lex.sounds.longest(p.toks[i:])
	for _, s := range senses {
		if h := lex.hearings[atoi(s.value)]; p.fitsEar(h, i, k) {
			return h, k
		}
	}
	return hearing{}, 0
}

func (p *parse) fitsEar(h hearing, i, k int) bool {
	switch {
	case h.same:
		return true
	case h.place == "*":
		return true
	case h.place == "number":
		return i > 0 && numeral(p.toks[i-1])
	case h.place == "between":
		return i > 0 && i+k < len(p.toks) && numeral(p.toks[i-1]) && numeral(p.toks[i+k])
	}
	for j := max(0, i-earshot); j < len(p.toks) && j < i+k+earshot; j++ {
		if (j < i || j >= i+k) && h.beside[p.toks[j].w] {
			return true
		}
	}
	return false
}

// soundings are spellings that sound alike, longest first.
var soundings = strings.NewReplacer("sch", "s", "ph", "f", "ck", "k", "gh", "", "kn", "n", "wr", "r", "wh", "w", "au", "o", "aw", "o", "ow", "o", "ou", "o",
	"ee", "i", "ea", "i", "ie", "i", "ey", "i", "ei", "i", "ay", "a", "ai", "a", "oo", "u", "ew", "u", "y", "i", "j", "g", "c", "k", "q", "k", "z", "s", "x", "ks", "h", "")

// soundOf is how a word sounds, roughly: genny, jenny and jennie are the same.
func soundOf(w string) string {
	s := soundings.Replace(w)
	out := make([]byte, 0, len(s))
	for i := 0; i < len(s); i++ {
		if i == 0 || s[i] != s[i-1] {
			out = append(out, s[i])
		}
	}
	if n := len(out); n > 2 && out[n-1] == 'e' {
		out = out[:n-1]
	}
	return string(out)
}

// addSound enters how a word of a name sounds; one that sounds like another
// stands for neither.
func (n *Names) addSound(w string) {
	if len(w) < shortest-1 {
		return
	}
	key := soundOf(w)
	if have, ok := n.sounds[key]; ok && have != w {
		w = ""
	}
	n.sounds[key] = w
}

// soundsLike is the name that an unknown word sounds like, where it stands as a
// machine does and a person would not: "drained jenny", "jenny is at 1879.2".
func (n *Names) soundsLike(toks []token, i int) string {
	w := ownerForm(toks[i])
	if len(w) < shortest-1 {
		return ""
	}
	name := n.sounds[soundOf(w)]
	if name == "" || name == w {
		return ""
	}
	at := func(k int) token {
		if k < 0 || k >= len(toks) {
			return token{}
		}
		return toks[k]
	}
	before, next, then := at(i-1), at(i+1), at(i+2)
	owned := w != toks[i].w
	switch {
	case before.w == "the", is(before, "prep", "in"), is(before, "verb", "drain"), is(before, "verb", "grease"):
		return name
	case numeral(next), owned && (next.w == "at" || numeral(next)):
		return name
	case next.w == "is" || next.w == "was" || next.w == "says" || next.w == "reads" || next.w == "at":
		if next.w != "at" && then.w == "at" {
			then = at(i + 3)
		}
		if numeral(then) {
			return name
		}
	}
	return ""
}

// numeral says whether a token is a figure or a number word.
func numeral(t token) bool {
	_, digit := digitWord(t.w)
	return t.kind == figure || digit || scaleWord(t.w) != 0
}
