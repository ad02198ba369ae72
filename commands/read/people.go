package read

import (
	"strings"

	edlib "github.com/hbollon/go-edlib"
)

// NearName says whether a word may be a person's name miswritten or cut short:
// "jos" for Joss. The same name is near too.
func NearName(word, name string) bool {
	w, n := strings.ToLower(word), strings.ToLower(name)
	if len(w) < 2 || len(n) < 2 {
		return w == n
	}
	if strings.HasPrefix(n, w) || len(n) > 2 && strings.HasPrefix(w, n) {
		return true
	}
	return min(len(w), len(n)) > 2 && edlib.OSADamerauLevenshteinDistance(w, n) == 1
}
