package read

import "slices"

// How much water there was is said in more ways than a list can hold: "a lil bit
// of", "maybe 3 tiny drops of", "a good few spoons", "more than half the bowl". So
// it is read by its build: a count, words for the size, and a noun that the sets
// of data/sets.csv sort by what it holds.
//
//	[a|the odd|couple|few|2|half|two or three] [tiny|good|whole]* drop|spoon|shot|lot|bowl|tbsp [of]
//
// A measure with a plain count stays a figure (joinUnits); here is only what gives
// a class.

// counted is how many, as the beginning of an amount says it.
type counted struct {
	kind  string  // "", one, number, few, fraction, range
	value float64 // of a number or fraction; the upper end of a range
	n     int     // tokens
}

// amountFrom is quantity at a place of a message: a noun that is counted by what
// stands before it is no amount of its own ("2 | cups of").
func amountFrom(toks []token, i int) (class string, liquid bool, n int) {
	class, liquid, n = quantity(toks[i:])
	if n > 0 && i > 0 && countOf(toks[i:]).kind == "" {
		end := i // "2 full | cups of"
		for end > 0 && sizeOf(toks[end-1].lem) != "" {
			end--
		}
		for k := max(end-4, 0); k < end; k++ {
			if c := countOf(toks[k:]); c.kind != "" && c.n == end-k {
				return "", false, 0
			}
		}
	}
	return class, liquid, n
}

// quantity reads an amount by its build. Liquid is true of what only a liquid is
// measured in: it stands for water even where that is not said.
func quantity(toks []token) (class string, liquid bool, n int) {
	if c, n := scant(toks); n > 0 {
		return c, toks[0].w == "next" || n == 2 && (toks[1].w == "any" || toks[1].w == "none"), n
	}
	if toks[0].kind == word && toks[0].lem == "some" && !startsAmount(toks[1:]) {
		return "some", false, 1
	}
	c := countOf(toks)
	i := c.n
	size := ""
	for ; i < len(toks); i++ {
		s := sizeOf(toks[i].lem)
		if s == "" || c.kind == "fraction" && toks[i].w == "full" {
			break // "a third full": the share of a bowl
		}
		if size == "" || s != "little" {
			size = s
		}
	}
	if i >= len(toks) || toks[i].kind != word {
		return "", false, 0
	}
	class, liquid = amountClass(c, size, toks[i])
	if class == "" {
		return "", false, 0
	}
	end := i + 1
	end = skipOf(toks, end)
	if i == 0 && end == 1 && !ofSet(toks[0], "<qbare>") {
		return "", false, 0 // "touch", "load", "spot" alone are other things
	}
	return class, liquid, end
}

// skipOf steps over "of", "o'", "or two of", "or so" behind an amount.
func skipOf(toks []token, i int) int {
	for j := i; j < len(toks) && j < i+3; j++ {
		switch toks[j].w {
		case "of", "o", "ov":
			return j + 1
		case "worth":
		case "or", "so", "more", "two", "three", "2", "3":
			if j == i && toks[j].w != "or" { // "a drop 2"
				return i
			}
			if j == i+1 && toks[i].w == "or" && !(j+1 < len(toks) && (toks[j+1].w == "of" || toks[j+1].w == "o")) {
				return j + 1
			}
		default:
			return i
		}
	}
	return i
}

// startsAmount says whether "some" only counts what follows: "some drops".
func startsAmount(rest []token) bool {
	return len(rest) > 0 && (ofSet(rest[0], "<qsmall>") || ofSet(rest[0], "<qspoon>")) && rest[0].w != "of"
}

// ofSet is inSet for a word as corrected.
func ofSet(t token, set string) bool { return slices.Contains(lex.setsOf(t), set) }

// sizeOf sorts the words for how big a drop or a spoon was.
func sizeOf(w string) string {
	for _, s := range lex.sets[w] {
		switch s {
		case "<qlittle>":
			return "little"
		case "<qfair>":
			return "fair"
		case "<qgreat>":
			return "great"
		}
	}
	return ""
}

// countOf reads how many of something there are.
func countOf(toks []token) counted {
	t := toks[0]
	if t.kind != word && t.kind != figure {
		return counted{}
	}
	if t.kind == word {
		switch t.w {
		case "quite":
			if len(toks) > 2 && toks[1].w == "a" && toks[2].w != "few" {
				return counted{"quite", 1, 2}
			}
		case "few", "several", "some", "coupla":
			return counted{"few", 3, 1}
		case "a", "the", "an", "one":
			if len(toks) > 1 {
				if c := countOf(toks[1:]); t.w != "one" && c.kind == "few" || c.kind == "fraction" && t.w == "a" {
					c.n++
					return c
				}
			}
		}
	}
	if c, n := fractionOf(toks); n > 0 {
		return counted{"fraction", c, n}
	}
	if senses, n := lex.words.longest(toks); n > 0 {
		for _, s := range senses {
			if s.class == "small" {
				return ranges(toks, counted{"couple", float64(atoi(s.value)), n})
			}
		}
	}
	if num, n := readNumber(toks); n > 0 {
		if !num.whole() || num.unreal || num.ordinal || num.milli > 60000 {
			return counted{}
		}
		return ranges(toks, counted{"number", float64(num.milli) / 1000, n})
	}
	if t.kind == word && (t.w == "a" || t.w == "an") {
		return counted{"one", 1, 1}
	}
	if t.kind == word && t.w == "the" && len(toks) > 1 && toks[1].w == "odd" {
		return counted{"one", 1, 1}
	}
	return counted{}
}

// ranges reads on to the upper end of a range: "2-3", "one or two", "2 to 3".
func ranges(toks []token, c counted) counted {
	j := c.n
	if j < len(toks) && (toks[j].w == "or" || toks[j].w == "to") {
		j++
	} else if j >= len(toks) || !toks[j].glued || toks[j].kind != figure {
		return c
	}
	if j >= len(toks) {
		return c
	}
	num, n := readNumber(toks[j:])
	if n == 0 || !num.whole() || num.unreal || float64(num.milli)/1000 <= c.value {
		return c
	}
	return counted{"range", float64(num.milli) / 1000, j + n}
}

// fractionOf reads the share of a bowl: "half a", "over half the", "3/4 of a".
func fractionOf(toks []token) (float64, int) {
	for skip := 0; skip < 3 && skip < len(toks); skip++ {
		senses, n := lex.words.longest(toks[skip:])
		for _, s := range senses {
			if s.class != "frac" {
				continue
			}
			v := float64(atoi(s.value)) / 1000
			if under(toks[:skip]) {
				v -= 0.01
			}
			n += skip
			for n < len(toks) && (toks[n].w == "of" || toks[n].w == "the" || toks[n].w == "a") {
				n++
			}
			return v, n
		}
		switch toks[skip].w {
		case "over", "more", "than", "under", "less", "most", "just", "not", "even", "quite":
		default:
			return 0, 0
		}
		if toks[skip].w == "most" && skip+3 < len(toks) && toks[skip+1].w == "of" {
			return 0.9, skip + 3
		}
	}
	return 0, 0
}

// under says whether a share is less than named: "less than half a bowl".
func under(before []token) bool {
	for _, t := range before {
		switch t.w {
		case "under", "less", "not":
			return true
		}
	}
	return false
}

// amountClass is the class of so many of a noun.
func amountClass(c counted, size string, noun token) (string, bool) {
	sets := lex.setsOf(noun)
	is := func(s string) bool { return slices.Contains(sets, s) }
	several := c.kind == "few" || c.kind == "range" || (c.kind == "number" || c.kind == "couple") && c.value > 1
	switch {
	case is("<qsmall>"):
		if c.kind == "fraction" {
			return "", false
		}
		if (size == "fair" || size == "great" || c.kind == "quite") && !several {
			return "some", true
		}
		return "trace", noun.lem != "bit" && noun.lem != "touch" && noun.lem != "tad" && noun.lem != "hint"
	case is("<qspoon>"):
		if several || size == "fair" || size == "great" {
			return "some", true
		}
		return "trace", true
	case is("<qshot>"):
		return "some", true
	case is("<qmug>"):
		if c.kind == "fraction" {
			return "some", true
		}
		return "lots", true
	case is("<qbig>"):
		if c.kind == "number" || c.kind == "fraction" || c.kind == "range" {
			return "", false
		}
		return "lots", false
	case noun.lem == "amount" && size == "little":
		return "trace", false
	case noun.lem == "amount" && size == "fair":
		return "some", false
	case noun.lem == "amount" && size == "great":
		return "lots", false
	case noun.lem == "little" || noun.w == "lil":
		return "", false
	}
	return vesselClass(c, size, noun)
}

// vesselClass is the class of a share of the bowl, or of measures without a plain
// count.
func vesselClass(c counted, size string, noun token) (string, bool) {
	unit := unitOf(noun)
	switch {
	case noun.w == "full" && c.kind == "fraction", unit == "bowl" && c.kind == "fraction":
		if c.value >= 0.5 {
			return "lots", true
		}
		return "some", true
	case unit == "bowl" && noun.w != "bowls" && (size == "great" || noun.w == "bowlful" && (c.kind == "one" || c.kind == "")):
		return "lots", true
	case unit == "ml" && (c.kind == "few" || c.kind == "couple"):
		return "trace", true
	case c.kind == "few":
		switch unit {
		case "tbsp", "tsp", "oz", "capful":
			return "some", true
		case "cup", "pint":
			return "lots", true
		}
	case c.kind == "range" && measures[unit] > 0 && unit != "litres":
		return string(classOf(c.value * measures[unit])), true
	case c.kind == "" && unit == "cup" && noun.lem != singular(noun.lem):
		return "lots", true // "cups of water"
	}
	return "", false
}

// unitOf is the unit that a word is, "" for none.
func unitOf(t token) string {
	n := lex.words.next[t.lem]
	if n == nil {
		return ""
	}
	for _, s := range n.senses {
		if s.class == "unit" {
			return s.value
		}
	}
	return ""
}

// scant reads amounts that are told by how little they are: "hardly any", "not
// much", "next to nothing", "very little", "a little".
func scant(toks []token) (string, int) {
	w := func(i int) string {
		if i < len(toks) && toks[i].kind == word {
			return toks[i].w
		}
		return ""
	}
	switch w(0) {
	case "hardly", "barely", "scarcely", "almost", "nearly", "practically", "basically":
		switch w(1) {
		case "any", "anything", "none", "nothing", "no":
			if (w(1) == "nothing" || w(1) == "no" || w(1) == "none") && (w(0) == "hardly" || w(0) == "barely" || w(0) == "scarcely") {
				return "", 0
			}
			return "trace", skipOf(toks, 2)
		}
		if n := smallAfter(toks, 1); n > 0 {
			return "trace", n
		}
	case "next":
		if w(1) == "to" && (w(2) == "nothing" || w(2) == "none" || w(2) == "no") {
			return "trace", 3
		}
	case "not":
		switch {
		case w(1) == "much", w(1) == "that" && w(2) == "much", w(1) == "very" && w(2) == "much", w(1) == "too" && w(2) == "much":
			n := 2
			if w(1) != "much" {
				n = 3
			}
			return "trace", n
		case w(1) == "a" && w(2) == "lot":
			return "trace", skipOf(toks, 3)
		case w(1) == "a" && w(2) == "whole" && w(3) == "lot":
			return "trace", skipOf(toks, 4)
		}
	case "very", "ever", "so", "a", "just", "only", "real":
		i := 1
		for i < len(toks) && (w(i) == "a" || w(i) == "very" || w(i) == "so") {
			i++
		}
		if w(i) == "little" || w(i) == "lil" {
			if n := smallAfter(toks, i); n > 0 {
				return "trace", n
			}
			if w(0) == "so" {
				return "", 0
			}
			return "trace", skipOf(toks, i+1)
		}
	case "little", "slight":
		if smallAfter(toks, 0) == 0 {
			return "trace", skipOf(toks, 1)
		}
	case "too", "way":
		i := 0
		if w(0) == "way" {
			i = 1
		}
		if w(i) == "too" && w(i+1) == "much" {
			return "lots", i + 2
		}
	}
	return "", 0
}

// smallAfter is where "a drop of", "little bit of" ends that begins at i, 0 for
// none.
func smallAfter(toks []token, i int) int {
	for i < len(toks) && (toks[i].w == "a" || sizeOf(toks[i].lem) == "little") {
		i++
	}
	if i < len(toks) && ofSet(toks[i], "<qsmall>") {
		return skipOf(toks, i+1)
	}
	return 0
}
