package read

import (
	"io"
	"slices"
	"strings"
)

// A phrase of the lexicon is written as people say it. Two marks keep it from
// being written a hundred times over: <said> stands for any word of the set
// "said" (data/sets.csv), <n> for any number, and ?just for a word that may be
// left out. In a set a star behind a word stands for its regular endings: stall*. So
// one line covers a turn of speech, and a new word in a set reaches
// every turn that uses it.

// numberSet is the set of all figures and number words.
const numberSet = "<n>"

// longSets are the sets whose words are also written in full: doesnt, does not.
var longSets = map[string]string{"<not>": "<be>", "<wont>": "<will>"}

func isSet(t token) bool { return t.w[0] == '<' }

// loadSets reads the sets of words that phrases name.
func (l *lexicon) loadSets(open func(string) (io.Reader, error)) error {
	rows, err := readRows(open, "sets.csv", 2)
	if err != nil {
		return err
	}
	for _, row := range rows {
		for _, w := range strings.Split(row[1], "|") {
			forms := []string{w}
			if base, ok := strings.CutSuffix(w, "*"); ok {
				forms = inflections(base)
			}
			for _, w := range forms {
				l.sets[w] = append(l.sets[w], "<"+row[0]+">")
				l.vocab.add(w)
			}
		}
	}
	return nil
}

// spellings are the rows of words that a phrase stands for: with and without
// what may be left out.
func spellings(phrase string) [][]token {
	fields := strings.Fields(phrase)
	rows := [][]token{make([]token, 0, len(fields))}
	for _, f := range fields {
		f, maybe := strings.CutPrefix(f, "?")
		if f == "" {
			continue // a bare mark
		}
		step := []token{{kind: word, w: f, lem: f, raw: f}}
		if f[0] != '<' {
			step = tokenize(f)
		}
		n := len(rows)
		for i := 0; i < n; i++ {
			if maybe {
				rows = append(rows, slices.Concat(rows[i], step))
			} else {
				rows[i] = append(rows[i], step...)
			}
		}
	}
	return rows
}

func (n *node) put(toks []token, s sense) {
	root := n
	for i := range toks {
		steps := &n.next
		if isSet(toks[i]) {
			steps = &n.sets
		}
		if *steps == nil {
			*steps = map[string]*node{}
		}
		child := (*steps)[toks[i].w]
		switch {
		case child == nil:
			child = &node{root: root}
			(*steps)[toks[i].w] = child
		case child.root != root: // shared with another tree
			copied := child.branch()
			child = &copied
			child.root = root
			(*steps)[toks[i].w] = child
		}
		n = child
	}
	at := slices.Index(n.senses, s)
	if at >= 0 && at < n.own {
		return
	}
	if at >= 0 {
		n.senses = slices.Delete(slices.Clone(n.senses), at, at+1)
	}
	n.senses = slices.Insert(n.senses, n.own, s)
	n.own++
}

// longest finds the longest phrase that starts at the first of the tokens. Words
// are taken as corrected; a phrase does not reach over a break. Light words may stand
// within: "gets so hot", "wont even start". Of two phrases as long both
// count, the one with its own words first.
func (n *node) longest(toks []token) ([]sense, int) {
	return n.walk(toks, 0)
}

// walk goes on from a node with the tokens from i and gives the longest phrase
// that ends there or later, counted from the first token.
func (n *node) walk(toks []token, i int) (best []sense, length int) {
	if i > 0 && n.senses != nil {
		best, length = n.senses, i
	}
	if i == len(toks) {
		return best, length
	}
	t := toks[i]
	child := n.next[t.lem]
	if child == nil && t.lem != t.w {
		child = n.next[t.w]
	}
	if child != nil {
		if s, k := child.walk(toks, i+1); k > length {
			best, length = s, k
		}
	}
	if n.sets != nil {
		for _, set := range lex.setsOf(t) {
			if child := n.sets[set]; child != nil {
				switch s, k := child.walk(toks, i+1); {
				case k > length:
					best, length = s, k
				case k == length && k > 0:
					best = append(best[:len(best):len(best)], s...)
				}
			}
		}
	}
	if i > 0 && i+1 < len(toks) && (n.next != nil || n.sets != nil) {
		if skip := lightRun(toks[i:], false); skip > 0 && i+skip < len(toks) {
			if s, k := n.walk(toks, i+skip); k > i+skip && k > length {
				best, length = s, k
			}
		}
	}
	return best, length
}

// setsOf are the sets that a token is in.
func (l *lexicon) setsOf(t token) []string {
	if t.kind == figure {
		return []string{numberSet}
	}
	if t.kind != word {
		return nil
	}
	if s := l.sets[t.lem]; s != nil || t.lem == t.w {
		return s
	}
	return l.sets[t.w]
}
