package read

// andPart counts the tokens of a half that stands behind a measure: "a cup and a
// half", "2 cups n a half", "a tablespoon and half".
func andPart(rest []token) (milli int64, n int) {
	for _, h := range halves {
		if len(h.words) > 1 && matches(rest, h.words) {
			return h.milli, len(h.words)
		}
	}
	return 0, 0
}

// bareMeasure says that a unit in the singular is one of it: "teaspoon of
// water", "tablespoon n a half of water".
func bareMeasure(items []item, i int, toks []token) bool {
	it := items[i]
	if !it.has("unit") || it.numeric || !p1Unit(it.val("unit")) || toks[it.at].lem != singular(toks[it.at].lem) {
		return false
	}
	_, part := andPart(toks[it.at+it.n:])
	next := i + 1
	for next < len(items) && items[next].at < it.at+it.n+part {
		next++
	}
	if next < len(items) && items[next].has("approx") {
		next++ // "tsp or so of water"
	}
	return next < len(items) && (items[next].is("prep", "of") || items[next].is("find", "water"))
}

// sizedMeasure says whether an item only tells how full the measure after it was:
// "a single teaspoon", "2 full cups".
func sizedMeasure(items []item, i int, toks []token) bool {
	it := items[i]
	return it.n == 1 && !it.numeric && sizeOf(toks[it.at].lem) != "" && i+1 < len(items) && items[i+1].n == 1 && p1Unit(items[i+1].val("unit"))
}

// liquidMeasure says whether a unit measures what comes out of a bowl.
func liquidMeasure(u string) bool { return measures[u] > 0 && u != "litres" || u == "bowl" }
