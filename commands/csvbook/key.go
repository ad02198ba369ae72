package csvbook

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"slices"
	"strconv"
)

// Key is what makes a row the same row again: a SHA-256 over its normalised
// content, cut to 128 bits. Case of tags and people, space, the order of
// columns, of jobs and of findings, and how a figure is written do not count;
// the words of a note do.
type Key [16]byte

// String writes the key in hex.
func (k Key) String() string { return hex.EncodeToString(k[:]) }

// keyOf hashes a row's content, each part led by its length, so that no two
// different rows run together to the same bytes.
func keyOf(file string, parts ...string) Key {
	buf := make([]byte, 0, 256)
	for _, p := range append([]string{file}, parts...) {
		buf = binary.AppendUvarint(buf, uint64(len(p)))
		buf = append(buf, p...)
	}
	sum := sha256.Sum256(buf)
	return Key(sum[:16])
}

// Origin is where a row stands in its file, and what makes it the same row
// again when the file is read another time.
type Origin struct {
	Line    int
	Raw     string // the row as it stands in the file
	Key     Key
	Ordinal int // its place among equal rows of the file, from 1
}

// Message is the row's key and ordinal as the source of its entries.
func (o Origin) Message() string { return o.Key.String() + "-" + strconv.Itoa(o.Ordinal) }

// ordinals counts equal rows.
type ordinals map[Key]int32

func (o ordinals) next(k Key) int {
	o[k]++
	return int(o[k])
}

// sortedFold is a list of words as it counts for a key.
func sortedFold[S ~string](list []S) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = fold(string(w))
	}
	slices.Sort(out)
	return out
}
