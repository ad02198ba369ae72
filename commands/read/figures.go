package read

import "woodruff/engine"

// findHours reads the hours of each clause's machines.
func (r *report) findHours() {
	r.hours = make([]map[engine.MachineID]hoursRead, len(r.p.clauses))
	for c := range r.p.clauses {
		if s := r.p.clauses[c].silent; s != "" && !r.figureStands(c) {
			continue
		}
		if r.hours[c] == nil && !r.inTurn(c) {
			r.hours[c] = r.hoursOf(c)
		}
	}
}

// figureStands says whether a silent clause still gives a figure: "N1 hasnt
// moved still 1220.8", "not drained yet 1223.4".
func (r *report) figureStands(c int) bool {
	if r.p.clauses[c].asks {
		return true
	}
	s, g := r.p.clauses[c].silent, r.groups[c]
	if s == silencers["plan"] && g.own || (s == silencers["plan"] || s == silencers["neg"]) && g.ctxID != 0 && c == 0 {
		return r.figureFirst(c)
	}
	return s == silencers["neg"] && g.own && indexOf(r.p.clauses[c].items, "half") < 0 && !r.deniesFigure(c)
}

// deniesFigure says whether a "not" is about the figure itself: "isnt at 1560 yet",
// "hasnt hit 1560". After "hasnt moved" the figure stands.
func (r *report) deniesFigure(c int) bool {
	items := r.p.clauses[c].items
	for k := indexOf(items, "neg") + 1; k > 0 && k < len(items); k++ {
		it := items[k]
		if it.numeric && !it.named {
			return k > indexOf(items, "neg")+1
		}
		if !it.has("at") && !it.has("sayshours") && !it.is("glue", "v") && !it.has("aux") && !it.has("det") && r.p.word(it) != "quite" && r.p.word(it) != "even" {
			return false
		}
	}
	return false
}

// figureFirst says whether a figure with a decimal stands right after the machine
// and before what is only planned: "rt1 2850.4 needs grease".
func (r *report) figureFirst(c int) bool {
	items := r.p.clauses[c].items
	for i, it := range items {
		if (i > 0 && items[i-1].named || i == 0 && !r.groups[c].own) && it.numeric && !it.named && it.num.decimals == 1 {
			return true
		}
		if !it.named && !it.has("det") && !it.filler() {
			return false
		}
	}
	return false
}

func (r *report) hoursOf(c int) map[engine.MachineID]hoursRead {
	p, g := r.p, r.groups[c]
	items := p.clauses[c].items
	out := map[engine.MachineID]hoursRead{}
	var ms []int
	for i, it := range items {
		if it.named {
			ms = append(ms, i)
		}
	}
	if len(ms) > 1 && !g.unsure {
		for n, i := range ms {
			end := len(items)
			if n+1 < len(ms) {
				end = ms[n+1]
			}
			k := i + 1
			for k < end && (items[k].has("at") || items[k].has("aux") || items[k].has("sayshours") || items[k].has("meterword")) {
				k++
			}
			if k < end && len(items[i].m.ids) == 1 && p.hoursRank(c, k, items[i].m.ids[0]) > 0 {
				t, ok := items[k].num.tenths()
				out[p.names.id(items[i].m.ids[0])] = hoursRead{ok: true, hours: t, unsure: !ok || p.halfRead(items, k), at: k}
				items[k].used = true
			}
		}
		for i := range items {
			if !items[i].used && p.hoursRank(c, i, -1) >= 3 && items[i].num.decimals == 1 {
				out[p.names.id(g.ids[0])] = hoursRead{ok: true, unsure: true, at: i}
			}
		}
		return out
	}
	place := int32(-1)
	if len(g.ids) == 1 {
		place = g.ids[0]
	} else if g.ctxID != 0 {
		place = p.names.place(g.ctxID)
	}
	h := p.hoursIn(c, place)
	if k := r.figureCut(c); k >= 0 {
		items[k].num.blurred = true
		h = hoursRead{ok: true, unsure: true, at: k}
	}
	if !h.ok {
		if i := indexOf(items, "half"); i > 0 && g.own && !h.ok {
			for k := i - 1; k >= 0 && k >= i-3; k-- {
				if items[k].numeric && !items[k].named && items[k].unit == "" || items[k].has("meterword") || items[k].has("sayshours") {
					h = hoursRead{ok: true, unsure: true, at: k}
				}
			}
		}
	}
	if h.ok {
		p.clauses[c].items[h.at].used = true
		switch {
		case g.ctxID != 0:
			out[g.ctxID] = h
		case len(g.ids) == 1 && !g.unsure:
			out[p.names.id(g.ids[0])] = h
		case g.unsure || len(g.ids) == 0:
			out[0] = h
		default:
			h.unsure = true
			out[p.names.id(g.ids[0])] = h
		}
	}
	return out
}

// figureCut is the figure of a clause of which the next clause says that the
// rest could not be read, -1 for none.
func (r *report) figureCut(c int) int {
	cl := r.p.clauses
	if c+1 >= len(cl) || !cl[c+1].has("half") || r.groups[c+1].own {
		return -1
	}
	for _, it := range cl[c+1].items {
		if it.numeric {
			return -1
		}
	}
	for k, it := range cl[c].items {
		if it.numeric && !it.named && it.unit == "" && !it.dated {
			return k
		}
	}
	return -1
}

// inTurn gives several machines named in a row the figures that follow in a
// row: "wf2 wf3 drained clean 540 and 298". Each must fit its machine.
func (r *report) inTurn(c int) bool {
	p, g := r.p, r.groups[c]
	if len(g.ids) < 2 || g.unsure || !g.own {
		return false
	}
	type place struct{ c, i int }
	var at []place
	for k := c; k < len(p.clauses) && p.clauses[k].sentence == p.clauses[c].sentence; k++ {
		if k > c && (r.groups[k].own || p.clauses[k].silent != "" || core(p.clauses[k].items) && len(p.clauses[k].items) > 1) {
			break
		}
		for i, it := range p.clauses[k].items {
			if it.numeric && !it.named {
				at = append(at, place{k, i})
			}
		}
	}
	if len(at) != len(g.ids) || at[0].c != c {
		return false
	}
	out := map[engine.MachineID]hoursRead{}
	for n, x := range at {
		it := p.clauses[x.c].items[x.i]
		t, ok := it.num.tenths()
		if !ok || p.hoursRank(x.c, x.i, g.ids[n]) == 0 || !p.nearest(g.ids[n], it) {
			return false
		}
		out[p.names.id(g.ids[n])] = hoursRead{ok: true, hours: t, at: at[0].i}
	}
	for _, x := range at {
		p.clauses[x.c].items[x.i].used = true
	}
	r.hours[c] = out
	return true
}

// figureLeft says whether a figure that one of the machines could show was taken
// for nothing.
func (r *report) figureLeft() bool {
	for c := range r.p.clauses {
		cl := &r.p.clauses[c]
		if cl.silent != "" || !r.groups[c].known() {
			continue
		}
		for i, it := range cl.items {
			if !it.used && !it.approx && !it.ago && it.unit == "" && meterLike(it) && r.p.meterFigure(c, it) && (len(r.hours[c]) == 0 || r.otherFigure(c, it)) && !(i > 0 && cl.items[i-1].has("fix")) {
				return true
			}
		}
	}
	return false
}

// otherFigure says whether a clause gave its one machine other hours than a figure.
func (r *report) otherFigure(c int, it item) bool {
	t, ok := it.num.tenths()
	if !ok || len(r.hours[c]) != 1 {
		return false
	}
	for _, h := range r.hours[c] {
		return h.ok && !h.unsure && h.hours != t
	}
	return false
}

// amountLeft says whether a drain has a figure that nothing was made of: "drained
// 10", "drained twice, 5 ml n 10 ml". Part of what came out would be lost.
func (r *report) amountLeft() bool {
	for c := range r.p.clauses {
		cl := &r.p.clauses[c]
		if cl.silent != "" || !r.groups[c].known() {
			continue
		}
		drained := drains(cl.items)
		for i, it := range cl.items {
			last := i == len(cl.items)-1
			switch {
			case it.used || !it.numeric || it.named || it.dated || it.clock || it.approx:
			case drained && (last || cl.items[i+1].is("find", "clean")) && i > 0 && it.unit == "" && it.num.whole() && it.num.milli <= 999000 && cl.items[i-1].is("verb", "drain") && len(r.hours[c]) > 0 && !r.isHours(c, i):
				return true
			case it.unit == "ml" && len(cl.items) == 1 && cl.sep == 'a' && c > 0 && holdsMeasure(r.p.clauses[c-1].items) && r.sameGroup(c, c-1):
				return true
			}
		}
	}
	return false
}

// isHours says whether an item gave the hours of its clause.
func (r *report) isHours(c, i int) bool {
	for _, h := range r.hours[c] {
		if h.ok && h.at == i {
			return true
		}
	}
	return false
}

// meterBroken says whether the sentence of a figure, or the part after it, tells
// that the meter does not work: "2846.3 again, meter stuck".
func (r *report) meterBroken(c int) bool {
	for k := range r.p.clauses {
		if r.p.clauses[k].sentence != r.p.clauses[c].sentence || !r.p.clauses[k].has("meterword") {
			continue
		}
		for _, it := range r.p.clauses[k].items {
			switch r.p.word(it) {
			case "stuck", "stopped", "broke", "broken", "dead", "bust", "busted", "faulty", "frozen", "jammed", "knackered":
				return true
			}
		}
	}
	return false
}

// lostPoint says whether a point and its one digit were parted from the figure
// before them: "1541 .2".
func lostPoint(text string, i int, toks []token) bool {
	if len(toks) == 0 || !digitAt(text, i+1) || digitAt(text, i+2) || i+2 < len(text) && isWordRune(text[i+2:]) {
		return false
	}
	t := toks[len(toks)-1]
	return t.kind == figure && len(t.w) >= 3 && parsesWhole(t.w) && t.pos+len(t.raw)+1 == i && text[i-1] == ' '
}
