package read

// dropCorrected takes out what the writer corrected within a part of the
// message: "N1 no wait N2", "1232.4 sorry 1223.4".
func dropCorrected(items []item, toks []token) []item {
	for i := 1; i < len(items); i++ {
		if !items[i].has("fix") && !barelyNo(items, toks, i) {
			continue
		}
		if next := readAgain(items, i); next > 0 {
			for j := i - 1; j < next; j++ {
				items[j] = item{at: items[j].at, n: items[j].n, senses: glueSense}
			}
			continue
		}
		if indexOf(items[:i], "isaid") >= 0 && items[i-1].has("but") {
			continue // "I said the loader but I meant the digger": an earlier line
		}
		next := nextThing(items, i+1)
		if next < 0 {
			next = saidBefore(items, toks, i) // "genny, I mean"
		}
		if next < 0 {
			continue
		}
		prev := lastLike(items, min(i, next)-1, items[next])
		if prev < 0 {
			continue
		}
		if items[next].unit == "" && items[prev].unit != "" {
			items[next].unit = items[prev].unit // "15 gallons, no, 14"
			items[next].dated = false
		}
		items[prev] = item{at: items[prev].at, n: items[prev].n, senses: glueSense}
		items[i].senses = glueSense
		if items[next].has("verb") {
			saidAnew(items, prev, i, next)
		}
		for j := i - 1; j > prev && (items[j].brk == ',' || items[j].has("no") || items[j].is("glue", "corrected")); j-- {
			items[j] = item{at: items[j].at, n: items[j].n, senses: glueSense}
		}
		for j := i - 1; j > prev && items[j].brk == ','; j-- {
			items[j] = item{at: items[j].at, n: items[j].n, senses: glueSense}
		}
		for j := i + 1; j < next; j++ {
			if items[j].brk != 0 || items[j].has("no") {
				items[j] = item{at: items[j].at, n: items[j].n, senses: glueSense}
			}
		}
	}
	takenBack(items, toks)
	slipsMended(items, toks)
	echoes(items)
	return items
}

// readAgain finds the figure read a second time, with what was done to read it in
// between: "2847.2 hang on wiped the glass, 2847.7". It is 0 where there is none.
func readAgain(items []item, i int) int {
	a := items[i-1]
	if !items[i].has("fix") || !a.numeric || a.named || a.num.decimals != 1 {
		return 0
	}
	for k := i + 1; k < len(items) && k <= i+10; k++ {
		it := items[k]
		switch {
		case it.named && !it.m.bare, it.brk != 0 && it.brk != ',' && it.brk != '.', it.dated, it.has("part"), it.has("neg"):
			return 0
		case it.numeric:
			if it.num.decimals != 1 || it.unit != a.unit && it.unit != "hours" {
				return 0
			}
			return k
		}
	}
	return 0
}

// saidAnew takes out what a whole part said again puts in other words: "I greased
// the wide mower, no, hold on, I greased the verge mower".
func saidAnew(items []item, prev, i, next int) {
	for k := next + 1; k < len(items) && items[k].brk == 0; k++ {
		if it := items[k]; !it.named && !it.dated && !it.has("part") && !it.numeric {
			continue
		}
		if old := lastLike(items, i-1, items[k]); old > prev {
			items[old] = item{at: items[old].at, n: items[old].n, senses: glueSense}
		}
	}
}

// saidBefore is the value that a trailing "I mean" stands behind, -1 for none.
func saidBefore(items []item, toks []token, i int) int {
	if w := toks[items[i].at+items[i].n-1].w; w != "mean" && w != "meant" && w != "say" && w != "rather" || i == 0 {
		return -1
	}
	if y := items[i-1]; y.named || y.numeric || y.dated || y.has("part") || y.has("event") || y.has("find") {
		return i - 1
	}
	return -1
}

// takenBack takes out what is named again only to be denied: "changed the lift
// pump, not the lift pump, the injectors".
func takenBack(items []item, toks []token) {
	for i := 1; i < len(items); i++ {
		if !items[i].has("neg") || items[i].n != 1 || toks[items[i].at].w != "not" {
			continue
		}
		y := i + 1
		for y < len(items) && items[y].has("det") {
			y++
		}
		if y >= len(items) || items[y].brk != 0 {
			continue
		}
		prev := lastLike(items, i-1, items[y])
		if prev < 0 || !sameThing(items[prev], items[y]) {
			continue
		}
		if next := nextThing(items, y+1); next < 0 || lastLike(items, y, items[next]) != y {
			continue
		}
		for _, k := range []int{prev, i, y} {
			items[k] = item{at: items[k].at, n: items[k].n, senses: glueSense}
		}
	}
}

// sameThing says whether two items mean the same machine, part or figure.
func sameThing(a, b item) bool {
	switch {
	case a.named && b.named:
		return same32(a.m.ids, b.m.ids)
	case a.numeric && b.numeric:
		return a.num.milli == b.num.milli
	case a.has("part") && b.has("part"):
		return a.val("part") == b.val("part")
	case a.has("symptom") && b.has("symptom"):
		return a.val("symptom") == b.val("symptom")
	}
	return false
}

// echoes takes out a figure that is said again, with its unit, right after it was
// corrected: "sorry, twelve, it was twelve litres".
func echoes(items []item) {
	corrected := false
	last := -1
	for i, it := range items {
		switch {
		case it.is("glue", "corrected"), it.has("yes") && !it.named && !it.numeric && last >= 0 && items[last].num.decimals > 0:
			corrected = true // "1124.2, yeah 1124.2"
		case it.brk != 0 && it.brk != ',':
			corrected, last = false, -1
		case !it.numeric || it.named:
			if !it.filler() && it.brk == 0 && !it.has("thatwas") {
				last = -1
			}
		case corrected && last >= 0 && items[last].num.milli == it.num.milli && (items[last].unit == it.unit || items[last].unit == "" || it.unit == ""):
			if it.unit == "" {
				items[i].unit = items[last].unit
			}
			items[last] = item{at: items[last].at, n: items[last].n, senses: glueSense}
			last = i
		default:
			last = i
		}
	}
}

// alike says whether a figure can take the place of another: of the same unit, or
// said without one and of the same size.
func alike(was, is item) bool {
	if was.unit == is.unit || was.unit == "" && was.num.whole() && was.num.milli < 100000 {
		return true // "five, no, three tablespoons"
	}
	if was.unit != "" && is.unit != "" || !correctable[was.unit+is.unit] {
		return false
	}
	a, b := was.num.milli, is.num.milli
	return a <= 5*b && b <= 5*a // eighty for eighteen
}

// correctable are the units that a figure said without one may stand for.
var correctable = map[string]bool{"litres": true, "gallons": true, "impgallons": true, "ml": true, "tsp": true, "tbsp": true,
	"cup": true, "kPa": true, "inHg": true, "hours": true}

// barelyNo says whether a "no" stands between two values of one sort and so
// takes the first back: "2857.4 no 2847.4", "the ridge no the river fan".
func barelyNo(items []item, toks []token, i int) bool {
	if items[i].n != 1 || !items[i].has("no") || toks[items[i].at].w == "none" {
		return false
	}
	a, b := i-1, i+1
	for a >= 0 && (items[a].brk == ',' || items[a].has("det")) {
		a--
	}
	for a >= 0 && a >= i-6 && (items[a].has("find") || items[a].is("prep", "of") || items[a].brk == ',' || items[a].is("glue", "")) {
		a-- // "2 tbsp water no 3 tbsp", "a cup of water, well no, half a cup"
	}
	for b < len(items) && (items[b].brk == ',' || items[b].has("det")) {
		b++
	}
	if a < 0 || b >= len(items) {
		return false
	}
	x, y := items[a], items[b]
	switch {
	case y.named:
		return x.named && !(b+1 < len(items) && items[b+1].has("neg"))
	case y.numeric && x.numeric:
		return !x.named && alike(x, y)
	case y.numeric:
		// "a tablespoon of water in the bowl, no, two"
		return items[i-1].brk == ',' && items[i+1].brk == ',' && lastLike(items, i-1, y) >= 0
	}
	return y.dated && x.dated
}

var glueSense = []sense{{"glue", "corrected"}}

// nextThing is the first item with a content after a correction word.
func nextThing(items []item, i int) int {
	for ; i < len(items) && i >= 0; i++ {
		it := items[i]
		if it.named || it.numeric || it.dated || it.has("part") || it.has("event") || it.has("find") || it.has("verb") || it.has("symptom") {
			return i
		}
		if it.brk == ',' || it.filler() || it.has("fix") || it.has("no") || it.has("mod") {
			continue
		}
		return -1
	}
	return -1
}

// lastLike is the last item before i of the same sort as like, in the same
// sentence.
func lastLike(items []item, i int, like item) int {
	for ; i >= 0; i-- {
		it := items[i]
		if it.brk != 0 && it.brk != ',' && it.brk != '.' {
			return -1
		}
		switch {
		case like.named && !like.m.bare && it.named,
			like.m.bare && like.named && it.named && it.m.bare,
			like.numeric && !like.named && it.numeric && !it.named && alike(it, like),
			like.has("symptom") && it.has("symptom"),
			like.dated && it.dated,
			!like.named && !like.numeric && !like.dated && (like.has("part") || like.has("event")) && (it.has("part") || it.has("event")),
			!like.named && !like.numeric && !like.dated && like.has("find") && it.has("find"),
			like.has("verb") && !like.named && !like.numeric && it.has("verb"):
			return i
		}
	}
	return -1
}
