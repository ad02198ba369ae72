package read

import (
	"strings"
	"unicode/utf8"

	edlib "github.com/hbollon/go-edlib"
)

// Misspellings are looked for only among words that start with the same letter
// and are about as long, so that a message costs the same in a large shed.
type buckets struct {
	known map[string]bool
	lists map[bucketKey][]string
	bones map[string][]string // by what is left of a word without its vowels
}

type bucketKey struct {
	first  rune
	length int
}

func newBuckets() *buckets {
	return &buckets{known: map[string]bool{}, lists: map[bucketKey][]string{}, bones: map[string][]string{}}
}

func (b *buckets) add(w string) {
	if b.known[w] {
		return
	}
	b.known[w] = true
	first, _ := utf8.DecodeRuneInString(w)
	k := bucketKey{first, utf8.RuneCountInString(w)}
	b.lists[k] = append(b.lists[k], w)
	if x := bones(w); len(x) >= fewestBones {
		b.bones[x] = append(b.bones[x], w)
	}
}

// fewestBones is how many consonants tell one word from another.
const fewestBones = 3

func vowel(c byte) bool { return strings.IndexByte("aeiou", c) >= 0 }

// bones is what a thumb in a hurry leaves of a word: its first letter and the
// consonants after it, doubled ones once. "elmnt" and "element" have the same.
func bones(w string) string {
	var out []byte
	for i := 0; i < len(w); i++ {
		if i > 0 && (vowel(w[i]) || len(out) > 0 && out[len(out)-1] == w[i]) {
			continue
		}
		out = append(out, w[i])
	}
	return string(out)
}

// boned finds the known words that w is without most of their vowels: chngd,
// fltr, seprtr.
func (b *buckets) boned(w string) []string {
	vowels := 0
	for i := 1; i < len(w); i++ {
		if vowel(w[i]) {
			vowels++
		}
	}
	if len(w) < fewestBones || vowels*4 > len(w) {
		return nil
	}
	var found []string
	for _, c := range b.bones[bones(w)] {
		if len(c) > len(w) && within(w, c) {
			found = append(found, c)
		}
	}
	return found
}

// within says whether the letters of w stand in c in the same order.
func within(w, c string) bool {
	i := 0
	for k := 0; k < len(c) && i < len(w); k++ {
		if c[k] == w[i] {
			i++
		}
	}
	return i == len(w)
}

// shortest is the shortest word that is corrected, and longer the length from
// which two slips are forgiven.
const (
	shortest = 5
	longer   = 9
)

// likeliest is the one of several near words that w comes from by the thumb's
// commonest slips: two letters swapped, a doubled letter written once, a vowel
// left out. It is
// "" where none or several do.
func likeliest(w string, near []string) string {
	found := ""
	for _, c := range near {
		if !swapped(w, c) && !undoubled(w, c) && !lacksVowel(w, c) {
			continue
		}
		if found != "" {
			return ""
		}
		found = c
	}
	return found
}

// lacksVowel says whether w is c with one vowel left out, as the terse do.
func lacksVowel(w, c string) bool {
	if len(w)+1 != len(c) {
		return false
	}
	i := 0
	for i < len(w) && w[i] == c[i] {
		i++
	}
	return w[i:] == c[i+1:] && vowel(c[i])
}

func swapped(w, c string) bool {
	if len(w) != len(c) {
		return false
	}
	i := 0
	for i < len(w) && w[i] == c[i] {
		i++
	}
	return i+1 < len(w) && w[i] == c[i+1] && w[i+1] == c[i] && w[i+2:] == c[i+2:]
}

// undoubled says whether w is c with one of two like letters left out, or the
// other way round.
func undoubled(w, c string) bool {
	if len(w) > len(c) {
		w, c = c, w
	}
	if len(w)+1 != len(c) {
		return false
	}
	i := 0
	for i < len(w) && w[i] == c[i] {
		i++
	}
	return i > 0 && c[i] == c[i-1] && w[i:] == c[i+1:]
}

// missing finds the known words that a short one lacks a single letter of.
func (b *buckets) missing(w string) []string {
	first, _ := utf8.DecodeRuneInString(w)
	var found []string
	for _, cand := range b.lists[bucketKey{first, len(w) + 1}] {
		if edlib.OSADamerauLevenshteinDistance(w, cand) == 1 {
			found = append(found, cand)
		}
	}
	return found
}

// inflected says whether a word is a known one with a regular ending.
func inflected(w string, names *Names) bool {
	for _, end := range []string{"ing", "ed", "er", "s", "y", "ly"} {
		stem, ok := strings.CutSuffix(w, end)
		if !ok || len(stem) < 3 {
			continue
		}
		known := func(s string) bool { return lex.vocab.known[s] || names.vocab.known[s] }
		n := len(stem)
		doubled := n > 3 && stem[n-1] == stem[n-2] && vowel(stem[n-3]) && !vowel(stem[n-4])
		if known(stem) || end[0] != 's' && end != "ly" && (known(stem+"e") || doubled && known(stem[:n-1])) {
			return true
		}
	}
	return false
}

// nearest finds the known words that w could be a slip for, all at the same
// smallest distance.
func (b *buckets) nearest(w string) ([]string, int) {
	n := utf8.RuneCountInString(w)
	if n < shortest || n > 20 {
		return nil, 0
	}
	limit := 1
	if n >= longer {
		limit = 2
	}
	first, _ := utf8.DecodeRuneInString(w)
	var found []string
	best := limit
	for length := n - limit; length <= n+limit; length++ {
		if length < shortest-1 {
			continue
		}
		for _, cand := range b.lists[bucketKey{first, length}] {
			d := edlib.OSADamerauLevenshteinDistance(w, cand)
			if d < best {
				best, found = d, found[:0]
			}
			if d == best {
				found = append(found, cand)
			}
		}
	}
	return found, best
}
