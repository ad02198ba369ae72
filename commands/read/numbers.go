package read

import (
	"strconv"
	"strings"

	"woodruff/engine"
)

// number is a figure of a message, in digits or in words.
type number struct {
	milli    int64 // thousandths
	decimals int   // as written; 0 is a whole number
	fraction bool  // a half, a quarter: of something
	joined   bool  // 2 and a half
	clock    bool  // 6:30
	ordinal  bool  // 20th
	slash    bool  // 3/4
	a, b     int   // the two sides of a slash
	c        int   // and a third
	spoken   []string
	money    bool
	minus    bool
	unreal   bool // no figure of this trade
	blurred  bool // a digit of it could not be read
}

func (n number) whole() bool { return n.decimals == 0 && !n.fraction && !n.clock && !n.slash }

// tenths is the figure as hours; ok is false where a meter cannot show it.
func (n number) tenths() (engine.Tenths, bool) {
	if n.milli%100 != 0 || n.unreal || n.clock || n.slash || n.ordinal || n.fraction || n.decimals > 1 || n.minus {
		return 0, false
	}
	return engine.Tenths(n.milli / 100), true
}

// readNumber reads the number that starts at the first token.
func readNumber(toks []token) (number, int) {
	var n number
	k := 0
	switch {
	case toks[0].kind == figure:
		n, k = digits(toks)
	case toks[0].w == "minus" && len(toks) > 1 && toks[1].kind == figure:
		n, k = digits(toks[1:])
		n.minus = true
		return n, k + 1
	default:
		n, k = spoken(toks)
	}
	if k == 0 || !n.whole() || n.ordinal {
		return n, k
	}
	return pointAndHalf(n, k, toks)
}

// pointAndHalf adds "point 4", "and a half" to a whole number.
func pointAndHalf(n number, k int, toks []token) (number, int) {
	rest := toks[k:]
	if len(rest) >= 2 && is(rest[0], "point", "") {
		places := 0
		var frac int64
		j := 1
		for ; j < len(rest) && places < 3; j++ {
			s := rest[j].w
			if v, ok := digitWord(rest[j].lem); ok && v < 10 {
				s = strconv.Itoa(v)
			} else if s == "o" {
				s = "0"
			}
			v, err := strconv.ParseInt(s, 10, 32)
			if err != nil || rest[j].kind != figure && len(s) > 1 || len(s) > 3-places {
				break
			}
			for range s {
				frac *= 10
				places++
			}
			frac += v
			if rest[j].kind == figure {
				j++
				break
			}
		}
		if places > 0 {
			scale := int64(1000)
			for i := 0; i < places; i++ {
				scale /= 10
			}
			n.milli += frac * scale
			n.decimals = places
			return n, k + j
		}
	}
	if t, j := tenthsSaid(rest); j > 0 {
		n.milli += t * 100
		n.decimals = 1
		return n, k + j
	}
	for _, h := range halves {
		if matches(rest, h.words) {
			n.milli += h.milli
			n.decimals, n.joined = h.decimals, true
			return n, k + len(h.words)
		}
	}
	return n, k
}

// tenthsSaid reads "and six tenths", "6 tenths".
func tenthsSaid(rest []token) (tenths int64, n int) {
	j := 0
	if len(rest) > 0 && (rest[0].w == "and" || rest[0].w == "n") {
		j = 1
	}
	if len(rest) < j+2 || !strings.HasPrefix(rest[j+1].w, "tenth") {
		return 0, 0
	}
	v, ok := digitWord(rest[j].lem)
	if d, err := strconv.Atoi(rest[j].w); err == nil {
		v, ok = d, true
	}
	if !ok || v > 9 {
		return 0, 0
	}
	return int64(v), j + 2
}

var halves = []struct {
	words    []string
	milli    int64
	decimals int
}{
	{[]string{"and", "a", "half"}, 500, 1}, {[]string{"n", "a", "half"}, 500, 1},
	{[]string{"and", "a", "quarter"}, 250, 2}, {[]string{"and", "three", "quarters"}, 750, 2},
	{[]string{"n", "a", "quarter"}, 250, 2}, {[]string{"an", "a", "half"}, 500, 1},
	{[]string{"and", "half"}, 500, 1}, {[]string{"1/2"}, 500, 1},
	{[]string{"and", "1/2"}, 500, 1}, {[]string{"1/4"}, 250, 2},
}

func matches(toks []token, words []string) bool {
	if len(toks) < len(words) {
		return false
	}
	for i, w := range words {
		if toks[i].w != w {
			return false
		}
	}
	return true
}

// is says whether a token alone has a class, and a value where one is given.
func is(t token, c class, value string) bool {
	n := lex.words.next[t.lem]
	if n == nil {
		return false
	}
	for _, s := range n.senses {
		if s.class == c && (value == "" || s.value == value) {
			return true
		}
	}
	return false
}

func digitWord(w string) (int, bool) {
	n := lex.words.next[w]
	if n == nil {
		return 0, false
	}
	for _, s := range n.senses {
		if s.class == "digit" {
			v, err := strconv.Atoi(s.value)
			return v, err == nil
		}
	}
	return 0, false
}

func scaleWord(w string) int64 {
	switch {
	case w == "hundred" || is(token{lem: w}, "scale", "100"):
		return 100
	case is(token{lem: w}, "scale", "1000"):
		return 1000
	}
	return 0
}

// digits reads a figure written in digits.
func digits(toks []token) (number, int) {
	s := toks[0].w
	if len(s) > 16 {
		return number{unreal: true}, 1
	}
	if len(toks) > 1 && toks[1].glued && toks[1].kind == word {
		switch toks[1].w {
		case "st", "nd", "rd", "th":
			if v, err := strconv.Atoi(s); err == nil {
				return number{milli: int64(v) * 1000, ordinal: true}, 2
			}
		}
	}
	n, ok := parseDigits(s)
	if !ok {
		return number{unreal: true, blurred: strings.ContainsAny(s, "xX?_*")}, 1
	}
	k := 1
	if n.whole() && len(toks) > 1 {
		if m := scaleWord(toks[1].lem); m != 0 && toks[1].kind == word {
			n.milli *= m
			k = 2
			// "14 hundred 29"
			if len(toks) > 2 && toks[2].kind == figure {
				if more, ok := parseDigits(toks[2].w); ok && more.milli < m*1000 && more.decimals <= 1 && !more.clock && !more.slash {
					n.milli += more.milli
					n.decimals = more.decimals
					k = 3
				}
			}
		}
	}
	return n, k
}

// parseDigits reads 1223.4, 1223,4, 4,144.6, 5.530,2, 6:30 and 3/4.
func parseDigits(s string) (number, bool) {
	if strings.Contains(s, ":") {
		h, m, _ := strings.Cut(s, ":")
		hv, err1 := strconv.Atoi(h)
		mv, err2 := strconv.Atoi(m)
		return number{clock: true, a: hv, b: mv}, err1 == nil && err2 == nil && hv < 25 && mv < 60
	}
	if strings.Contains(s, "/") {
		return parseSlash(s)
	}
	s = strings.ReplaceAll(s, "'", "")
	last := strings.LastIndexAny(s, ".,")
	if last < 0 {
		v, err := strconv.ParseInt(s, 10, 48)
		return number{milli: v * 1000}, err == nil
	}
	head, tail := s[:last], s[last+1:]
	whole := strings.ReplaceAll(strings.ReplaceAll(head, ".", ""), ",", "")
	thousands := len(tail) == 3 && (s[last] == ',' || strings.ContainsAny(head, ".,"))
	if thousands && strings.ContainsAny(head, ".,") && strings.LastIndexAny(head, ".,") >= 0 && s[strings.LastIndexAny(head, ".,")] != s[last] {
		thousands = false // 1.223,456 has three decimals
	}
	if thousands {
		v, err := strconv.ParseInt(whole+tail, 10, 48)
		return number{milli: v * 1000}, err == nil
	}
	if i := strings.LastIndexAny(head, ".,"); i >= 0 && len(head)-i-1 != 3 {
		return number{}, false // 1.2.3
	}
	v, err := strconv.ParseInt(whole, 10, 48)
	if err != nil || len(tail) > 3 {
		return number{}, false
	}
	frac, err := strconv.ParseInt((tail + "000")[:3], 10, 32)
	return number{milli: v*1000 + frac, decimals: len(tail)}, err == nil
}

func parseSlash(s string) (number, bool) {
	parts := strings.Split(s, "/")
	if len(parts) > 3 {
		return number{}, false
	}
	var v [3]int
	for i, p := range parts {
		x, err := strconv.Atoi(p)
		if err != nil {
			return number{}, false
		}
		v[i] = x
	}
	return number{slash: true, a: v[0], b: v[1], c: v[2]}, true
}

// spoken reads a figure in words: standard ones and those said in pairs or
// digit by digit, as meters are: "twenty three twelve", "five oh one".
func spoken(toks []token) (number, int) {
	var total, group int64
	var atoms []string
	scaled := false
	i := 0
	for ; i < len(toks) && i < 16; i++ {
		t := toks[i]
		if v, ok := digitWord(t.lem); ok && !(t.w == "oh" && len(atoms) == 0) {
			small := int64(v)
			if v >= 20 && i+1 < len(toks) {
				if u, ok := digitWord(toks[i+1].lem); ok && u > 0 && u < 10 {
					small += int64(u)
					i++
				}
			}
			if scaled {
				if group%100 != 0 && group != 0 {
					i = unread(i, v, small)
					break
				}
				group += small
			}
			atoms = append(atoms, strconv.FormatInt(small, 10))
			continue
		}
		if t.w == "o" && len(atoms) > 0 {
			atoms = append(atoms, "0")
			continue
		}
		if m := scaleWord(t.lem); m != 0 && t.kind == word {
			if !scaled {
				group = joinAtoms(atoms)
			}
			if len(atoms) == 0 {
				return number{}, 0
			}
			scaled = true
			if m == 1000 {
				total += group * 1000
				group = 0
			} else {
				group *= 100
			}
			continue
		}
		if t.w == "a" && len(atoms) == 0 && i+1 < len(toks) && scaleWord(toks[i+1].lem) != 0 {
			atoms, group = append(atoms, "1"), 1
			continue
		}
		if t.w == "and" && scaled && i+1 < len(toks) {
			if _, ok := digitWord(toks[i+1].lem); ok && group%100 == 0 {
				continue
			}
		}
		break
	}
	if len(atoms) == 0 {
		return number{}, 0
	}
	n := number{spoken: atoms}
	if scaled {
		n.milli = (total + group) * 1000
		n.spoken = n.spoken[:1]
	} else {
		joined := joinAtoms(atoms)
		if joined < 0 {
			n.unreal = true
		}
		n.milli = joined * 1000
	}
	return n, i
}

// unread steps back to before the small number that did not fit.
func unread(i, first int, small int64) int {
	if int64(first) != small {
		return i - 1
	}
	return i
}

// joinAtoms puts the parts of a figure side by side: 23 and 12 make 2312.
func joinAtoms(atoms []string) int64 {
	s := strings.Join(atoms, "")
	if len(s) > 9 {
		return -1
	}
	v, err := strconv.ParseInt("0"+s, 10, 64)
	if err != nil {
		return -1
	}
	return v
}
