package read

// A day can be named only to compare with it, and what was seen then is no news:
// "drained same as yesterday", "drained clean, last week it had water".

// comparedDays takes the days out that something is only compared with.
func (p *parse) comparedDays() {
	for i := range p.items {
		it := &p.items[i]
		if !it.dated || it.numeric || it.when.known && it.when.offset >= 0 {
			continue
		}
		for k := i - 1; k >= 0 && k >= i-4; k-- {
			w := p.toks[p.items[k].at+p.items[k].n-1].w
			if p.toks[p.items[k].at].w == "as" && p.toks[it.at-1].w == "of" {
				break // "92 as of sunday"
			}
			if compares[w] || compares[p.toks[p.items[k].at].w] && k == i-1 {
				p.items[i] = item{at: it.at, n: it.n, senses: glueSense}
				break
			}
			if !p.items[k].filler() || p.items[k].has("verb") {
				break
			}
		}
	}
}

var compares = map[string]bool{"as": true, "like": true, "unlike": true, "than": true, "versus": true, "vs": true, "same": true}

// otherTimes silences what was seen at another time than the work that is told:
// the part has a day and a find of its own, and no machine and no work.
func (p *parse) otherTimes() {
	for c := range p.clauses {
		cl := &p.clauses[c]
		if cl.silent != "" || !p.past(cl.items) || onlyDay(cl.items) || namedIn(cl.items) || hasVerb(cl.items) || !p.tellsOfIt(cl.items) {
			continue
		}
		for k := range p.clauses {
			o := &p.clauses[k]
			near := k == c-1 && cl.sep != 'a' || k == c+1 && p.dayIn(o.items)
			if near && o.silent == "" && drains(o.items) && (k > c || !p.past(o.items)) {
				cl.silent = "of another day"
				for i := range cl.items {
					cl.items[i].dated = false
				}
				break
			}
		}
	}
}

func drains(items []item) bool {
	for _, it := range items {
		if it.is("verb", "drain") {
			return true
		}
	}
	return false
}

func (p *parse) dayIn(items []item) bool {
	for _, it := range items {
		if it.dated {
			return true
		}
	}
	return false
}

// past says whether items name a time before today.
func (p *parse) past(items []item) bool {
	for _, it := range items {
		if it.dated && !it.numeric && (it.when.weekday != 0 || it.when.date || it.when.vague == "past" || it.when.known && it.when.offset < 0) {
			return true
		}
	}
	return false
}

// tellsOfIt says whether a part tells how it was: "it had water", "was half full".
func (p *parse) tellsOfIt(items []item) bool {
	had, seen := false, false
	for _, it := range items {
		for k := it.at; k < it.at+it.n; k++ {
			switch p.toks[k].w {
			case "had", "was", "were", "got", "gave":
				had = true
			case "full":
				seen = true
			}
		}
		seen = seen || it.has("find") || it.has("amount") || it.numeric
	}
	return had && seen
}
