package read

import (
	"unicode/utf8"

	edlib "github.com/hbollon/go-edlib"
)

// Misspellings are looked for only among words that start with the same letter
// and are about as long, so that a message costs the same in a large shed.
type buckets struct {
	known map[string]bool
	lists map[bucketKey][]string
}

type bucketKey struct {
	first  rune
	length int
}

func newBuckets() *buckets {
	return &buckets{known: map[string]bool{}, lists: map[bucketKey][]string{}}
}

func (b *buckets) add(w string) {
	if b.known[w] {
		return
	}
	b.known[w] = true
	first, _ := utf8.DecodeRuneInString(w)
	k := bucketKey{first, utf8.RuneCountInString(w)}
	b.lists[k] = append(b.lists[k], w)
}

// shortest is the shortest word that is corrected, and longer the length from
// which two slips are forgiven.
const (
	shortest = 5
	longer   = 9
)

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
