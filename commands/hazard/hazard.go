// Package hazard hears when somebody is hurt or about to be. It reads every
// message before anything else does, whoever wrote it and whatever it is about,
// so it is small, needs nothing that a shop can set, and would rather speak once
// too often than be silent.
package hazard

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
)

//go:embed hazards.csv
var table string

// Kind is what is dangerous.
type Kind string

// The kinds, the most pressing first.
const (
	Fire       Kind = "fire"
	Runaway    Kind = "runaway"
	Trapped    Kind = "trapped"
	Injected   Kind = "injected"  // fluid under pressure through the skin
	Pesticide  Kind = "pesticide" // sprayed with what was in the sprayer
	Eye        Kind = "eye"
	Fumes      Kind = "fumes"
	Hurt       Kind = "hurt"
	Flame      Kind = "flame" // a flame or welding at fuel
	Gasoline   Kind = "gasoline"
	Bridging   Kind = "bridging" // the starter, or a switch that guards
	ColdAid    Kind = "cold-aid"
	Unguarded  Kind = "unguarded"   // hands in a running machine
	Unsecured  Kind = "unsecured"   // under what can come down
	HotPressed Kind = "hot-pressed" // a hot cap
)

// Order is the kinds as they are said.
var Order = []Kind{Fire, Runaway, Trapped, Injected, Pesticide, Eye, Fumes, Hurt, Flame, Gasoline, Bridging, ColdAid, Unguarded, Unsecured, HotPressed}

// Now says that a kind has happened or is happening: somebody needs help, and the
// foreman is told.
func (k Kind) Now() bool { return slices.Index(Order, k) <= slices.Index(Order, Hurt) }

// rule is one way to say a hazard: a word or phrase of every set, near each other
// and in any order, and none of what makes it something else.
type rule struct {
	kind Kind
	all  [][]phrase
	none [][]phrase
}

// phrase is words one after the other; * within one stands for any ending.
type phrase []string

// within is how many words apart the parts of a hazard may stand.
const within = 14

var rules = sync.OnceValue(func() []rule {
	out, err := load(table)
	if err != nil {
		panic(err) // the table is part of the program and tested
	}
	return out
})

// load reads the table: lines of set,name,words and of hazard,kind,sets,except.
func load(s string) ([]rule, error) {
	r := csv.NewReader(strings.NewReader(s))
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	sets := map[string][]phrase{}
	named := func(field string) (out [][]phrase, err error) {
		for name := range strings.FieldsSeq(field) {
			set, ok := sets[name]
			if !ok {
				return nil, fmt.Errorf("hazard: no set %q", name)
			}
			out = append(out, set)
		}
		return out, nil
	}
	var rules []rule
	for _, row := range rows {
		if want := map[string]int{"set": 3, "hazard": 4}[row[0]]; len(row) != want {
			return nil, fmt.Errorf("hazard: %v has %d fields, want %d", row, len(row), want)
		}
		switch row[0] {
		case "set":
			for p := range strings.SplitSeq(row[2], "|") {
				sets[row[1]] = append(sets[row[1]], phrase(strings.Fields(p)))
			}
		case "hazard":
			x := rule{kind: Kind(row[1])}
			if !slices.Contains(Order, x.kind) {
				return nil, fmt.Errorf("hazard: no kind %q", row[1])
			}
			if x.all, err = named(row[2]); err != nil {
				return nil, err
			}
			if x.none, err = named(row[3]); err != nil {
				return nil, err
			}
			if len(x.all) == 0 {
				return nil, fmt.Errorf("hazard: %s of nothing", row[1])
			}
			rules = append(rules, x)
		}
	}
	return rules, nil
}

// Words are a text's words in small letters, without marks; a break between
// sentences is a word of its own, ".".
func words(text string) (out []string) {
	text = strings.ToLower(text)
	var b strings.Builder
	end := func() {
		if b.Len() > 0 {
			out = append(out, b.String())
			b.Reset()
		}
	}
	for _, r := range text {
		switch {
		case r == '\'' || r == '’':
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		default:
			end()
			if strings.ContainsRune(".!?\n;", r) {
				out = append(out, ".")
			}
		}
	}
	end()
	return out
}

// most is how long a text may be; a hazard is told in fewer words.
const most = 4000

// Heard are the hazards in a message, the most pressing first.
func Heard(text string) []Kind {
	if len(text) > most {
		text = text[:most]
	}
	w := words(text)
	found := map[Kind]bool{}
	for _, r := range rules() {
		if !found[r.kind] && r.in(w) {
			found[r.kind] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(Order), func(k Kind) bool { return !found[k] })
}

// in says whether the words tell of the hazard: each of its parts within a
// stretch, and nothing there that makes it something else.
func (r rule) in(w []string) bool {
	for at := range w {
		if r.all[0] != nil && matchAt(w, at, r.all[0]) == 0 {
			continue
		}
		from, to := max(0, at-within), min(len(w), at+within)
		near := w[from:to]
		ok := true
		for _, set := range r.all[1:] {
			ok = ok && has(near, set)
		}
		for _, set := range r.none {
			ok = ok && !has(near, set)
		}
		if ok {
			return true
		}
	}
	return false
}

func has(w []string, set []phrase) bool {
	for at := range w {
		if matchAt(w, at, set) > 0 {
			return true
		}
	}
	return false
}

// matchAt is how many words a phrase of the set takes at a place, 0 for none.
func matchAt(w []string, at int, set []phrase) int {
	for _, p := range set {
		if n := p.takes(w[at:]); n > 0 {
			return n
		}
	}
	return 0
}

// takes is how many words a phrase takes: ? before a word says that it may be
// missing, * after one stands for any ending.
func (p phrase) takes(w []string) int {
	n := 0
	for _, want := range p {
		optional := strings.HasPrefix(want, "?")
		want = strings.TrimPrefix(want, "?")
		stem, ending := strings.CutSuffix(want, "*")
		switch {
		case n < len(w) && (w[n] == want || ending && strings.HasPrefix(w[n], stem)):
			n++
		case !optional:
			return 0
		}
	}
	return n
}
