package read

import (
	"slices"
	"strings"
)

// A part is called by its head and by what tells it from others of its kind:
// "primary fuel filter", "hyd return fltr", "new cap on the tank". There are far
// more such names than anybody lists, so they are put together here: data/pieces.csv
// has the words that name a kind of part ("head") and those that say of what it is
// ("of"), data/partnames.csv what a head is of something, the telling ones first.
// A name that is written out in work.csv counts before one of the same length
// made here.

// partRow is what a head of something is called here.
type partRow struct {
	of   string
	with []string // what else may be said of it in one name; the rest begins another
	part string
}

// partNames is the grammar of the names of parts.
type partNames struct {
	pieces *node
	parts  map[string][]partRow // by head, the telling rows first
}

// fullName is how long a name of a part can be, in pieces.
const fullName = 6

// loadPartNames fills the grammar from its two files.
func (l *lexicon) loadPartNames(pieces, rows [][]string) {
	n := &partNames{pieces: &node{}, parts: map[string][]partRow{}}
	l.grammar(n.pieces, pieces)
	for _, row := range rows {
		n.parts[row[0]] = append(n.parts[row[0]], partRow{row[1], strings.Split(row[2], "|"), row[3]})
	}
	l.partNames = n
}

// named is the part that a head is of the given things; "" where they tell nothing,
// or do not go together: "oil | fuel filter" are two parts without a mark between.
func (n *partNames) named(head string, of []string) string {
	for _, r := range n.parts[head] {
		if !slices.Contains(of, r.of) {
			continue
		}
		for _, o := range of {
			if o != "" && o != "both" && o != r.of && !slices.Contains(r.with, o) {
				return ""
			}
		}
		return r.part
	}
	return ""
}

// grammar fills a tree of its own, whose words are known to the spelling.
func (l *lexicon) grammar(tree *node, rows [][]string) {
	for _, row := range rows {
		for _, phrase := range strings.Split(row[0], "|") {
			toks := tokenize(phrase)
			tree.put(toks, sense{class(row[1]), row[2]})
			for _, t := range toks {
				if t.kind == word {
					l.vocab.add(t.w)
				}
			}
		}
	}
}

// partSense is what the name of a part means to the grammar of work: some things
// are of no job here.
func partSense(part string) []sense {
	if part == "other" {
		return []sense{{"other", ""}}
	}
	return []sense{{"part", part}}
}

// name reads the name of a part that starts at the first of the tokens; shared
// says that its head comes later.
func (n *partNames) name(toks []token) (part string, length int, shared bool) {
	var of []string
	at := 0
	for step := 0; step < fullName && at < len(toks); step++ {
		senses, k := n.pieces.longest(toks[at:])
		it := item{senses: senses}
		if k == 0 || at > 0 && toks[at].lem == toks[at-1].lem || length == at && at > 0 && it.has("of") && slices.Contains(of, it.val("of")) {
			break // "engine oil | oil filter", "hyd oil | hyd filter"
		}
		if head := it.val("head"); it.has("head") && len(of) > 0 {
			if p := n.named(head, of); p != "" {
				part, length = p, at+k
			}
		}
		if it.has("head") {
			// a head that is of nothing yet: where it sits may tell
			if p, m := n.placed(it.val("head"), of, toks[at+k:]); m > 0 {
				part, length = p, at+k+m
			}
		}
		if !it.has("of") || it.is("of", "both") && at > 0 {
			break
		}
		of = append(of, it.val("of"))
		at += k
	}
	if length == 0 {
		part, length = n.shared(of, toks, at)
		return part, length, length > 0
	}
	return part, length, false
}

// phrase is the longest stretch from the first of the tokens that means something:
// a phrase of the lexicon, the name of a part, or a verb with what leads to it.
func (n *node) phrase(toks []token) ([]sense, int) {
	senses, k := n.longest(toks)
	if part, m, shared := lex.partNames.name(toks); m > k || shared && m == k && m > 0 {
		senses, k = partSense(part), m
	} else if it := (item{senses: senses}); m == k && m > 0 && !it.has("part") && !it.has("other") {
		senses = append(slices.Clip(senses), partSense(part)...)
	}
	if k <= 2 && apart(toks) {
		return []sense{{"verb", "clean"}}, 1
	}
	if s, m := n.achieved(toks); m > k {
		senses, k = s, m
	}
	return senses, k
}

// begins says whether the name of a part starts at the first of the tokens.
func (n *partNames) begins(toks []token) bool {
	_, k, _ := n.name(toks)
	return k > 0
}

// placed reads where a part sits, when that tells what it is: "the cap on the
// tank", "seal round the bowl".
func (n *partNames) placed(head string, of []string, toks []token) (part string, length int) {
	if len(toks) == 0 || !placing[toks[0].lem] && !(head == "hose" && leading[toks[0].lem]) {
		return "", 0
	}
	switch head {
	case "ring", "filter", "cap", "hose":
	default:
		return "", 0
	}
	at := 1
	for at < len(toks) && is(toks[at], "det", "") {
		at++
	}
	senses, k := n.pieces.longest(toks[at:])
	if k == 0 {
		return "", 0
	}
	it := item{senses: senses}
	place := it.val("of")
	if place != "bowl" && place != "separator" && place != "tank" && place != "fuel" && place != "lift" {
		return "", 0
	}
	if head == "hose" {
		head = "hose at"
	}
	// the place may have a head of its own: "in the separator bowl", "to the lift pump"
	if s, m := n.pieces.longest(toks[at+k:]); m > 0 && (&item{senses: s}).has("head") {
		k += m
	}
	if p := n.named(head, of); p != "" && p != n.named(head, append(of, place)) {
		return "", 0
	}
	if p := n.named(head, append(of, place)); p != "" {
		return p, at + k
	}
	return "", 0
}

// placing are the words between a part and its place, leading those between a hose
// and what it leads to.
var (
	placing = map[string]bool{"on": true, "in": true, "of": true, "for": true, "round": true, "around": true,
		"under": true, "inside": true, "off": true}
	leading = map[string]bool{"from": true, "to": true, "at": true}
)

// shared reads a telling word whose head comes only after the next ones: "air and
// oil filters", "engine and hyd oil". Where the word by itself is a thing too, only
// a plural shows that it shares the head.
func (n *partNames) shared(of []string, toks []token, at int) (part string, length int) {
	if len(of) == 0 || at >= len(toks) || !joins(toks[at]) {
		return "", 0
	}
	head, several := n.headAfter(toks, at)
	if head == "" || !several && !bound[of[len(of)-1]] {
		return "", 0
	}
	part = n.named(head, of)
	switch {
	case part == "":
		return "", 0
	case of[len(of)-1] == "oil":
		part = "oilshared" // the oil, or its filter
	}
	return part, at
}

// bound are the telling words that are nothing by themselves.
var bound = map[string]bool{"engine": true, "final": true, "supply": true, "inner": true}

func joins(t token) bool { return t.lem == "and" || t.lem == "n" || t.kind == comma }

// headAfter is the head that a list of telling words ends with, and whether it is
// said of several. The last member must be joined by a word; counted ones are a
// name of their own: "oil and both fuel filters".
func (n *partNames) headAfter(toks []token, at int) (head string, several bool) {
	var link token
	for i := at; i < len(toks) && i < at+3*fullName; {
		if joins(toks[i]) {
			link = toks[i]
			i++
			continue
		}
		senses, k := n.pieces.longest(toks[i:])
		it := item{senses: senses}
		if k == 0 || it.is("of", "both") {
			return "", false
		}
		end := i+k >= len(toks) || !joins(toks[i+k]) && !n.goesOn(toks[i+k:])
		if end {
			w := toks[i+k-1].lem
			return it.val("head"), link.kind != comma && w[len(w)-1] == 's'
		}
		i += k
	}
	return "", false
}

// goesOn says whether the name of a part goes on with the tokens.
func (n *partNames) goesOn(toks []token) bool {
	_, k := n.pieces.longest(toks)
	return k > 0
}
