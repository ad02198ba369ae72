package read

import "strings"

// Words of the trade are cut down in ways that are as fixed as the words
// themselves: fltr, clnr, battry. data/short.csv lists them, and they are put
// back before a phrase is looked for, so that a phrase is written once and in
// full. A word that the lexicon has as it stands ("grs") keeps that use: phrases
// are looked up by both.

func (l *lexicon) loadShort(rows [][]string) {
	l.short = make(map[string]string, len(rows))
	for _, row := range rows {
		l.short[row[0]] = row[1]
		l.vocab.add(row[1])
	}
}

// inFull is the word that a short form stands for, "" where it is none. An s at
// its end makes the word a plural, where there is one.
func (l *lexicon) inFull(w string) string {
	if full := l.short[w]; full != "" {
		return full
	}
	stem, ok := strings.CutSuffix(w, "s")
	if !ok || len(stem) < fewestBones {
		return ""
	}
	full := l.short[stem]
	if full == "" || strings.HasSuffix(full, "s") {
		return full
	}
	if l.vocab.known[full+"s"] {
		return full + "s"
	}
	return full
}
