package read

import (
	"io"
	"slices"
	"strings"
)

// A frame is a phrase whose steps stand in one part of a message with nothing of
// weight between them. It is written in the data files like any phrase, its steps
// parted by " + " where they may come in any order and by " > " where the order
// counts: "<smoke> + <black>" is found in "smokes real black" and in "black as tar,
// the smoke" without its comma, "<wont> > <start>" in "wont even let me start". A
// step is a phrase of its own, with sets and words that may be missing.
//
// A last step in round brackets must follow but is left for itself: "<quits> >
// (<when>)" takes "quits" alone out of "quits when i put it in gear".
//
// Between two steps may stand light words, links (both in light.csv), and a machine,
// which keeps its own item: "cant get rt1 to start". What is in neither list ends
// the frame: above all a "not" or an "only".

// frame is one row of steps with what it means.
type frame struct {
	steps   int
	ordered bool
	peek    bool // the last step is only looked for
	sense   sense
}

// stepUse is a place where a step stands in a frame.
type stepUse struct {
	frame, step int
}

// frameBook is the frames that go with a tree of phrases.
type frameBook struct {
	list  []frame
	steps *node // the steps as phrases; the value of a step is its text
	uses  map[string][]stepUse
}

// mostBetween is how many words may stand between two steps.
const mostBetween = 5

// stepClass is the class of all steps in the tree of a frameBook.
const stepClass class = "step"

func newFrameBook() *frameBook {
	return &frameBook{steps: &node{}, uses: map[string][]stepUse{}}
}

// stepsOf cuts a row into the steps of a frame, nil where it is a plain phrase.
func stepsOf(phrase string) (steps []string, ordered bool) {
	if s := strings.Split(phrase, " + "); len(s) > 1 {
		return s, false
	}
	if s := strings.Split(phrase, " > "); len(s) > 1 {
		return s, true
	}
	return nil, false
}

// add puts a frame into the book and gives the words of its steps.
func (b *frameBook) add(steps []string, ordered bool, s sense) (words [][]token) {
	f := frame{steps: len(steps), ordered: ordered, sense: s}
	for k, text := range steps {
		if ordered && k > 0 && text[0] == '(' {
			f.peek, text = true, strings.Trim(text, "()")
		}
		if b.uses[text] == nil {
			for _, toks := range spellings(text) {
				if long := spellOut(toks); long != nil {
					b.steps.put(long, sense{stepClass, text})
				}
				b.steps.put(toks, sense{stepClass, text})
				words = append(words, toks)
			}
		}
		b.uses[text] = append(b.uses[text], stepUse{len(b.list), k})
	}
	b.list = append(b.list, f)
	return words
}

// match is where a frame was found: how far it reaches, and the machines in it.
type match struct {
	n     int
	sense sense
	holes []hole
}

// hole is a machine between the steps of a frame, from token at.
type hole struct{ at, n int }

// find gives the longest frame that starts at the first of the tokens. Of two as
// long the one with more steps tells more, then the one that was written first.
func (b *frameBook) find(toks []token, names *Names) (best match) {
	if b == nil || toks[0].kind != word {
		return best
	}
	steps := 0
	b.steps.each(toks, 0, func(text string, n int) {
		for _, u := range b.uses[text] {
			f := b.list[u.frame]
			if f.ordered && u.step != 0 {
				continue
			}
			if m, ok := b.fill(u, toks, n, names); ok && (m.n > best.n || m.n == best.n && f.steps > steps) {
				best, steps = m, f.steps
			}
		}
	})
	return best
}

// fill finds the other steps of a frame behind one that ends at token i.
func (b *frameBook) fill(first stepUse, toks []token, i int, names *Names) (match, bool) {
	f := b.list[first.frame]
	m := match{sense: f.sense}
	done := 1 << first.step
	m.n = i
	for filled, between := 1, 0; filled < f.steps; {
		if i >= len(toks) || toks[i].kind != word && toks[i].kind != figure {
			return m, false
		}
		at, n := -1, 0
		b.steps.each(toks[i:], 0, func(text string, k int) {
			for _, u := range b.uses[text] {
				if u.frame == first.frame && done&(1<<u.step) == 0 && (!f.ordered || u.step == filled) && k > n {
					at, n = u.step, k
				}
			}
		})
		if at >= 0 {
			done |= 1 << at
			filled, i, between = filled+1, i+n, 0
			if filled < f.steps || !f.peek {
				m.n = i
			} else if len(m.holes) > 0 && m.holes[len(m.holes)-1].at >= m.n {
				return m, false // a machine that would be left over
			}
			continue
		}
		n = lightRun(toks[i:], true)
		if n == 0 && names != nil {
			if mention, k := names.findExact(toks[i:]); k > 0 && !mention.bare {
				m.holes, n = append(m.holes, hole{i, k}), k
			}
		}
		if between += n; n == 0 || between > mostBetween {
			return m, false
		}
		i += n
	}
	return m, true
}

// each calls f for every phrase that starts at the first of the tokens, whatever
// its length.
func (n *node) each(toks []token, i int, f func(value string, length int)) {
	if i > 0 {
		for _, s := range n.senses {
			f(s.value, i)
		}
	}
	if i == len(toks) || n.next == nil && n.sets == nil {
		return
	}
	t := toks[i]
	child := n.next[t.lem]
	if child == nil && t.lem != t.w {
		child = n.next[t.w]
	}
	if child != nil {
		child.each(toks, i+1, f)
	}
	if n.sets != nil {
		for _, set := range lex.setsOf(t) {
			if c := n.sets[set]; c != nil {
				c.each(toks, i+1, f)
			}
		}
	}
}

// loadLight reads the words without weight, and makes room for frames.
func (l *lexicon) loadLight(open func(string) (io.Reader, error)) error {
	l.light = &node{}
	l.words.frames, l.questions.frames, l.checks.frames = newFrameBook(), newFrameBook(), newFrameBook()
	rows, err := readRows(open, "light.csv", 2)
	if err != nil {
		return err
	}
	for _, row := range rows {
		for _, phrase := range strings.Split(row[0], "|") {
			for _, toks := range spellings(phrase) {
				l.light.put(toks, sense{class(row[1]), ""})
				for _, t := range toks {
					l.vocab.add(t.w)
				}
			}
		}
	}
	return nil
}

// lightRun is how many of the first tokens are one light word ("really", "a bit"),
// or a link as well; 0 for none.
func lightRun(toks []token, links bool) int {
	if toks[0].kind != word {
		return 0
	}
	n := 0
	lex.light.eachSense(toks, 0, func(s sense, k int) {
		if k > n && (s.class == "light" || links) {
			n = k
		}
	})
	return n
}

// eachSense is each with the whole sense.
func (n *node) eachSense(toks []token, i int, f func(s sense, length int)) {
	for _, s := range n.senses {
		f(s, i)
	}
	if i < len(toks) {
		if child := n.next[toks[i].lem]; child != nil {
			child.eachSense(toks, i+1, f)
		}
	}
}

// inflections are a word with its regular endings: stall, stalls, stalled, stalling.
// What is said without the g (stallin) is put right before words are looked up.
func inflections(base string) []string {
	stem := base
	switch n := len(base); {
	case strings.HasSuffix(base, "e"):
		stem = base[:n-1]
	case n > 2 && n < 5 && !vowel(base[n-1]) && vowel(base[n-2]) && !vowel(base[n-3]) && strings.IndexByte("wxy", base[n-1]) < 0:
		stem = base + base[n-1:] // stop, stopped
	}
	s := base + "s"
	if strings.HasSuffix(base, "s") || strings.HasSuffix(base, "sh") || strings.HasSuffix(base, "ch") || strings.HasSuffix(base, "x") {
		s = base + "es"
	}
	return slices.Compact([]string{base, s, stem + "ed", stem + "ing"})
}
