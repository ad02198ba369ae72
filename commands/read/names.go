package read

import (
	"sort"
	"strings"

	edlib "github.com/hbollon/go-edlib"

	"woodruff/engine"
)

// Names is the index of a shed's machines and people. It is made once and may
// be read by many at a time.
type Names struct {
	machines []engine.Machine
	exact    map[string][]int32 // a whole tag, name or nickname, run together
	starts   map[string]int     // first word of any of these, and the most words it can have
	partial  map[string]*nameWord
	prefixes map[string]bool // letters that tags begin with
	spelled  map[string]bool // tags made of letters and figures, for dictation
	kinds    map[string][]int32
	people   map[string]string // as written in small letters, to the name
	peopleN  int               // most words in a person's name
	vocab    *buckets
	sounds   map[string]string // how a word of a name sounds, to the word
	places   map[engine.MachineID]int32
	all      []int32
	family   map[string][]int32 // by the letters that tags begin with
}

// nameWord is a word that occurs in names.
type nameWord struct {
	ids  []int32
	head bool // it can stand for the machine by itself: fan, loader
}

// mention is a machine as a message names it.
type mention struct {
	ids     []int32
	set     bool // each of ids is meant
	unsure  bool // one of ids is meant, or none: ask
	near    bool // a slip was forgiven
	bare    bool // a figure alone that is also a tag
	plural  bool
	partial bool
	pron    bool
}

// one says whether the mention singles out what it means.
func (m mention) one() bool { return !m.unsure && len(m.ids) > 0 }

// NewNames indexes a shed's machines and people once.
func NewNames(machines []engine.Machine, people []engine.Person) *Names {
	n := &Names{exact: map[string][]int32{}, starts: map[string]int{}, partial: map[string]*nameWord{},
		prefixes: map[string]bool{}, spelled: map[string]bool{}, kinds: map[string][]int32{},
		people: map[string]string{}, vocab: newBuckets(), places: map[engine.MachineID]int32{}, sounds: map[string]string{}, family: map[string][]int32{}}
	for _, m := range machines {
		if m.InShed() {
			n.machines = append(n.machines, m)
		}
	}
	for i := range n.machines {
		n.addMachine(int32(i), n.machines[i])
	}
	for _, p := range people {
		n.addPerson(p.Name)
	}
	for i := range n.machines {
		n.all = append(n.all, int32(i))
		if letters := tagLetters(n.machines[i].Tag); letters != "" {
			n.family[letters] = append(n.family[letters], int32(i))
		}
		n.places[n.machines[i].ID] = int32(i)
		if o := n.machines[i].Owner; o != "" {
			n.addPerson(o)
		}
	}
	return n
}

func (n *Names) addMachine(i int32, m engine.Machine) {
	n.addTag(i, m.Tag)
	for _, name := range append([]string{m.Name}, m.Nicknames...) {
		n.addName(i, name)
	}
	if words := nameTokens(m.Kind); len(words) > 0 {
		n.kinds[keyOf(words)] = append(n.kinds[keyOf(words)], i)
		n.addWords(i, words)
	}
}

func (n *Names) addTag(i int32, tag string) {
	key := keyOf(nameTokens(tag))
	if key == "" {
		return
	}
	n.put(key, i)
	letters := strings.TrimRight(key, "0123456789")
	if letters != "" && letters != key {
		n.prefixes[letters] = true
		n.spelled[key] = true
		n.reach(letters, 2)
	}
	n.reach(nameTokens(tag)[0].w, len(nameTokens(tag)))
	n.reach(key, 1)
}

func (n *Names) addName(i int32, name string) {
	toks := nameTokens(name)
	if len(toks) == 0 {
		return
	}
	n.put(keyOf(toks), i)
	n.reach(toks[0].w, len(toks))
	n.reach(keyOf(toks), 1)
	n.addWords(i, toks)
}

// addWords enters the words of a name; the last that is no figure is its head.
func (n *Names) addWords(i int32, toks []token) {
	head := true
	for k := len(toks) - 1; k >= 0; k-- {
		w := digitsOf(toks[k])
		nw := n.partial[w]
		if nw == nil {
			nw = &nameWord{}
			n.partial[w] = nw
		}
		if len(nw.ids) == 0 || nw.ids[len(nw.ids)-1] != i {
			nw.ids = append(nw.ids, i)
		}
		if !hasDigit(w) {
			if head {
				nw.head = true
			}
			head = false
			n.vocab.add(w)
			n.addSound(w)
		}
	}
}

func (n *Names) put(key string, i int32) {
	have := n.exact[key]
	if len(have) == 0 || have[len(have)-1] != i {
		n.exact[key] = append(have, i)
	}
}

func (n *Names) reach(first string, words int) {
	if words > n.starts[first] {
		n.starts[first] = words
	}
}

func (n *Names) addPerson(name string) {
	toks := tokenize(name)
	if len(toks) == 0 {
		return
	}
	if _, have := n.people[toks[0].w]; !have && toks[0].kind == word {
		n.people[toks[0].w] = name
	}
	n.people[strings.ToLower(name)] = name
	if len(toks) > n.peopleN {
		n.peopleN = len(toks)
	}
}

// nameTokens splits a name as messages are split and drops a leading article.
func nameTokens(name string) []token {
	toks := tokenize(name)
	kept := toks[:0]
	for _, t := range toks {
		if t.kind == word || t.kind == figure {
			kept = append(kept, t)
		}
	}
	if len(kept) > 1 && (kept[0].w == "the" || kept[0].w == "a") {
		kept = kept[1:]
	}
	return kept
}

// numberWords are the figures that a dictated name can hold.
var numberWords = map[string]string{"zero": "0", "one": "1", "two": "2", "three": "3", "four": "4",
	"five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9", "ten": "10", "eleven": "11",
	"twelve": "12", "thirteen": "13", "fourteen": "14", "fifteen": "15", "sixteen": "16",
	"seventeen": "17", "eighteen": "18", "nineteen": "19", "twenty": "20"}

// tensWords begin figures of two words.
var tensWords = map[string]string{"twenty": "2", "thirty": "3", "forty": "4", "fifty": "5", "sixty": "6",
	"seventy": "7", "eighty": "8", "ninety": "9"}

// spokenFigure reads a figure in words that a name can hold, up to 99: twenty
// one is two tokens.
func spokenFigure(toks []token) (string, int) {
	if tens, ok := tensWords[toks[0].lem]; ok {
		if len(toks) > 1 && len(numberWords[toks[1].lem]) == 1 && toks[1].lem != "zero" {
			return tens + numberWords[toks[1].lem], 2
		}
		return tens + "0", 1
	}
	if d, ok := numberWords[toks[0].lem]; ok {
		return d, 1
	}
	return "", 0
}

// digitsOf is a token's word with a figure in words made a figure.
func digitsOf(t token) string { return figureWord(t.w) }

// figureWord makes a word for a figure the figure.
func figureWord(w string) string {
	if d, ok := numberWords[w]; ok {
		return d
	}
	return w
}

func keyOf(toks []token) string {
	var b strings.Builder
	for _, t := range toks {
		b.WriteString(digitsOf(t))
	}
	return b.String()
}

// knows says whether a word belongs to a name, so that it is not corrected.
func (n *Names) knows(w string) bool {
	if _, ok := n.starts[w]; ok {
		return true
	}
	if n.partial[w] != nil || n.partial[singular(w)] != nil {
		return true
	}
	_, ok := n.people[w]
	return ok
}

func singular(w string) string {
	if len(w) > 3 && w[len(w)-1] == 's' {
		return w[:len(w)-1]
	}
	return w
}

// find finds the longest name that starts at the first token.
func (n *Names) find(toks []token) (mention, int) {
	m, length := n.findExact(toks)
	if s, k := n.findSpelled(toks); k > length {
		m, length = s, k
	}
	if p, k := n.findPartial(toks); k > length {
		m, length = p, k
	}
	if length == 0 {
		return n.findUnknown(toks)
	}
	return m, length
}

// findExact looks up whole tags, names and nicknames.
func (n *Names) findExact(toks []token) (mention, int) {
	first := toks[0].lem
	reach := n.starts[first]
	if reach == 0 && hasDigit(first) {
		if s := ownerForm(toks[0]); s != first {
			if ids := n.exact[s]; ids != nil {
				return mention{ids: ids, unsure: len(ids) > 1}, 1
			}
		}
		if ids := n.exact[dropZero(first)]; ids != nil && toks[0].kind == word {
			return mention{ids: ids, unsure: len(ids) > 1}, 1
		}
	}
	var m mention
	length := 0
	var buf [64]byte
	key := buf[:0]
	for i := 0; i < reach && i < len(toks); i++ {
		if toks[i].kind != word && toks[i].kind != figure {
			break
		}
		w, more := toks[i].lem, 0
		if d, k := spokenFigure(toks[i:]); k > 0 {
			w, more = d, k-1
		}
		if i == reach-1 || i > 0 {
			// a name may carry an owner's s on its last word
			if ids := n.exact[string(append(key, figureWord(ownerForm(toks[i]))...))]; ids != nil {
				m, length = mention{ids: ids, unsure: len(ids) > 1}, i+1
			}
		}
		key = append(key, w...)
		if ids := n.exact[string(key)]; ids != nil && (i > 0 || more == 0) {
			m, length = mention{ids: ids, unsure: len(ids) > 1}, i+1+more
		}
		i += more
	}
	if length == 1 && toks[0].kind == figure {
		m.bare = true
	}
	for i := 0; i < length; i++ {
		m.near = m.near || toks[i].fixed
	}
	return m, length
}

// ownerForm takes an owner's s off: n1's, the loader's.
func ownerForm(t token) string {
	w := t.lem
	if len(w) > 1 && w[len(w)-1] == 's' && (strings.ContainsAny(t.raw, "'’") || hasDigit(w)) {
		return w[:len(w)-1]
	}
	return w
}

// dropZero makes n01 n1.
func dropZero(w string) string {
	i := strings.IndexAny(w, "0123456789")
	if i <= 0 {
		return w
	}
	return w[:i] + strings.TrimLeft(w[i:], "0")
}

// findSpelled reads a dictated tag: "en one", "ef ef two", "are tea one".
func (n *Names) findSpelled(toks []token) (mention, int) {
	if toks[0].kind != word {
		return mention{}, 0
	}
	var buf [16]byte
	key := buf[:0]
	letters, strong, figures := 0, false, 0
	var m mention
	length := 0
	for i := 0; i < len(toks) && i < 7 && len(key) < 8; i++ {
		t := toks[i]
		switch l, spoken := lex.letters[t.w]; {
		case t.kind == word && len(t.w) == 1 && !hasDigit(t.w):
			key, letters, strong = append(key, t.w...), letters+1, true
		case t.w == "double" && i+1 < len(toks) && (toks[i+1].w == "u" || toks[i+1].w == "you"):
			key, letters, strong = append(key, 'w'), letters+1, true
			i++
		case t.kind == figure:
			key, figures = append(key, t.w...), figures+1
		case numberWords[ownerForm(t)] != "":
			key, figures = append(key, numberWords[ownerForm(t)]...), figures+1
		case spoken && l.strength == "digit":
			if letters == 0 || figures > 0 {
				return m, length
			}
			key, figures = append(key, l.text...), figures+1
		case spoken && figures == 0:
			key, letters = append(key, l.text...), letters+1
			strong = strong || l.strength == "strong"
		case t.kind == word && i > 0 && figures == 0 && n.prefixes[string(key)+t.w]:
			key, letters = append(key, t.w...), letters+len(t.w)
		default:
			if length == 0 && i > 1 && letters > 1 && n.prefixes[string(key)] && (is(t, "aux", "") || is(t, "verb", "") || is(t, "at", "")) {
				return n.lacksFigure(string(key)), i
			}
			return m, length
		}
		if letters == 0 {
			return m, length
		}
		if figures > 0 && n.spelled[string(key)] && (strong || letters > 1) {
			ids := n.exact[string(key)]
			m, length = mention{ids: ids, unsure: len(ids) > 1}, i+1
		}
	}
	return m, length
}

// findPartial reads a part of a name that holds a head word: "the fan", "wide
// flail", "both narrow tractors", "tractor 2".
func (n *Names) findPartial(toks []token) (mention, int) {
	if toks[0].kind != word && toks[0].kind != figure {
		return mention{}, 0
	}
	var ids []int32
	var m mention
	length := 0
	plural := false
	for i := 0; i < len(toks) && i < 5; i++ {
		if toks[i].kind != word && toks[i].kind != figure {
			break
		}
		w, more := toks[i].lem, 0
		if d, k := spokenFigure(toks[i:]); k > 0 && (i > 0 || k == 1) {
			w, more = d, k-1
		} else if i > 0 {
			w = figureWord(ownerForm(toks[i])) // "tractor one's"
		}
		nw := n.partial[w]
		thisPlural := false
		if nw == nil {
			s := singular(w)
			if nw = n.partial[s]; nw == nil || s == w {
				break
			}
			thisPlural = strings.IndexAny(toks[i].raw, "'’") < 0
		}
		if i == 0 {
			if hasDigit(w) {
				break
			}
			ids = nw.ids
		} else {
			both := intersect(ids, nw.ids)
			if len(both) == 0 {
				break
			}
			ids = both
		}
		if nw.head || (hasDigit(w) && length > 0) {
			plural = plural || thisPlural
			m = mention{ids: ids, plural: plural, partial: true, near: toks[i].fixed}
			length = i + 1 + more
		}
		i += more
	}
	if length == 0 {
		return m, 0
	}
	m.set = m.plural && len(m.ids) > 1
	m.unsure = !m.set && len(m.ids) > 1
	return m, length
}

// findUnknown finds what looks like a tag of this shed but is none.
func (n *Names) findUnknown(toks []token) (mention, int) {
	w := toks[0].w
	if toks[0].kind == word && len(w) > 1 && n.prefixes[w] && !lex.vocab.known[w] && n.partial[w] == nil {
		return n.lacksFigure(w), 1 // "rt 2850.4"
	}
	if toks[0].kind != word || !hasDigit(w) || len(w) > 8 {
		return mention{}, 0
	}
	letters := strings.TrimRight(w, "0123456789")
	if letters == w || hasDigit(letters) || !n.prefixes[letters] && (len(letters) < 2 || lex.vocab.known[w] || !n.nearPrefix(letters)) {
		return mention{}, 0
	}
	figures := w[len(letters):]
	var ids []int32
	for p := range n.prefixes {
		ids = append(ids, n.exact[p+figures]...)
	}
	for i := byte('0'); i <= '9'; i++ {
		ids = append(ids, n.exact[letters+string(i)]...)
	}
	return mention{ids: sortedUnique(ids), unsure: true}, 1
}

// nearPrefix says whether letters are a slip for those of some tag: bp1 for DP1.
func (n *Names) nearPrefix(letters string) bool {
	for p := range n.prefixes {
		if len(p) == len(letters) && edlib.OSADamerauLevenshteinDistance(p, letters) == 1 {
			return true
		}
	}
	return false
}

// lacksFigure is the machines whose tags begin with letters that were dictated
// without a figure: "are tea was drained".
func (n *Names) lacksFigure(letters string) mention {
	var ids []int32
	for i := byte('0'); i <= '9'; i++ {
		ids = append(ids, n.exact[letters+string(i)]...)
	}
	return mention{ids: sortedUnique(ids), unsure: true}
}

func sortedUnique(ids []int32) []int32 {
	sort.Slice(ids, func(a, b int) bool { return ids[a] < ids[b] })
	out := ids[:0]
	for i, id := range ids {
		if i == 0 || id != ids[i-1] {
			out = append(out, id)
		}
	}
	return out
}

// intersect keeps what is in both sorted lists.
func intersect(a, b []int32) []int32 {
	if len(a) > len(b) {
		a, b = b, a
	}
	var out []int32
	for _, x := range a {
		i := sort.Search(len(b), func(i int) bool { return b[i] >= x })
		if i < len(b) && b[i] == x {
			out = append(out, x)
		}
	}
	return out
}

// person finds a person's name at the first token; the longest wins.
func (n *Names) person(toks []token) (string, int) {
	first, ok := n.people[toks[0].w]
	if !ok {
		return "", 0
	}
	name, length := first, 1
	if len(toks) > 1 && n.peopleN > 1 && toks[1].kind == word {
		key := toks[0].w
		for i := 1; i < n.peopleN && i < len(toks); i++ {
			key += " " + toks[i].w
			if full, ok := n.people[key]; ok {
				name, length = full, i+1
			}
		}
	}
	return name, length
}

// place is where a machine stands in the index, -1 for nowhere.
func (n *Names) place(id engine.MachineID) int32 {
	if i, ok := n.places[id]; ok {
		return i
	}
	return -1
}

func (n *Names) id(i int32) engine.MachineID { return n.machines[i].ID }
