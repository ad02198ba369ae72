package read

import "woodruff/engine"

// meterChange reads "new hour meter on the chipper, old one quit at 101.3 new
// one starts at 0".
func (p *parse) meterChange() []Act {
	m := p.meterRenewed()
	if m < 0 || !p.firm("meterword", "doubt", "sayshours") {
		return nil
	}
	_, ids, ask := p.oneMachine(Meter)
	if ask != nil {
		return []Act{*ask}
	}
	act := Act{Kind: Meter}
	if len(ids) == 1 {
		act.Machine = ids[0]
	}
	if !p.meterSides(m, &act) {
		return []Act{{Kind: Unclear, Ask: AskHours, Held: []Act{{Kind: Meter, Wants: []Slot{AskHours}}}}}
	}
	switch {
	case len(ids) != 1:
		act.Wants = []Slot{AskMachine}
		return []Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{act}}}
	case !act.Hours.Known:
		act.Wants = []Slot{AskHours}
		return []Act{{Kind: Unclear, Ask: AskHours, Held: []Act{act}}}
	}
	return []Act{act}
}

// meterRenewed is the item of the hour meter that was renewed, -1 for none: a new
// one is named beside it, or a new one beside an old.
func (p *parse) meterRenewed() int {
	meter, old := -1, false
	for i, it := range p.items {
		old = old || it.has("oldone") || p.phraseHas(it, "old")
		if !it.has("meterword") {
			continue
		}
		meter = i
		reach := i + 3
		for k := max(0, i-2); k < len(p.items) && k <= reach; k++ {
			x := p.items[k]
			if x.has("new") && k < i || x.is("verb", "renew") {
				return i
			}
			if x.has("prep") || x.named || x.has("det") || x.has("aux") {
				reach++ // "the hour meter on the haul tractor was replaced"
			}
			if x.brk != 0 && k > i || x.numeric && !x.named && k > i {
				break
			}
		}
	}
	if meter < 0 {
		return -1
	}
	for i, it := range p.items {
		part := i+1 < len(p.items) && (p.items[i+1].has("part") || p.items[i+1].has("other"))
		if it.has("newone") || it.has("new") && !part && (old || p.items[i].at > p.items[meter].at) {
			if indexOf(p.items, "part") < 0 {
				return meter
			}
		}
	}
	return -1
}

// The words that tell which of two hour meters a figure was on.
var (
	oldMeter = map[string]bool{"old": true, "previous": true, "last": true, "quit": true, "died": true, "stopped": true,
		"packed": true, "finished": true, "ended": true, "before": true, "was": true, "broke": true, "failed": true, "removed": true}
	newMeter = map[string]bool{"new": true, "starts": true, "start": true, "started": true, "begins": true, "begin": true,
		"now": true, "fresh": true, "starting": true, "beginning": true, "over": true, "to": true, "replacement": true}
)

// meterSides gives the figures to the old meter and the new one: by the words
// before a figure, by those after it ("on the old"), and what is then left by
// which of them the machine could have shown. It is false where a figure is none
// of a meter or two are left for one place.
func (p *parse) meterSides(m int, act *Act) bool {
	type loose struct {
		t    engine.Tenths
		side string
	}
	var figs []loose
	side := ""
	for i, it := range p.items {
		for k := it.at; k < it.at+it.n; k++ {
			switch w := p.toks[k].lem; {
			case oldMeter[w] && !(w == "was" && side != ""):
				side = "old"
			case newMeter[w] && i > m, w == "reads" && side == "" && i > m:
				side = "new"
			}
		}
		if !it.numeric || it.named || it.dated || it.unit != "" && it.unit != "hours" {
			continue
		}
		t, ok := it.num.tenths()
		if !ok {
			return false
		}
		if s := p.meterAfter(i); s != "" {
			side = s
		}
		figs = append(figs, loose{t, side})
		side = ""
	}
	if len(figs) == 2 && figs[0].side == figs[1].side {
		figs[0].side, figs[1].side = "", "" // the words do not tell them apart
	}
	shown := func(t engine.Tenths) bool {
		i := p.names.place(act.Machine)
		_, known := p.last(max(i, 0))
		return act.Machine != 0 && known && p.near(i, t)
	}
	for n, f := range figs {
		if f.side == "" && len(figs) == 2 && figs[1-n].side != "" {
			f.side = map[string]string{"old": "new", "new": "old"}[figs[1-n].side]
		}
		if f.side == "" && shown(f.t) {
			f.side = "old"
		} else if f.side == "" {
			f.side = "new"
		}
		if f.side == "old" && !act.Old.Known {
			act.Old = engine.Known(f.t)
		} else if f.side == "new" && !act.Hours.Known {
			act.Hours = engine.Known(f.t)
		} else {
			return false
		}
	}
	return true
}

// meterAfter is the side that the words right after a figure tell: "220.1 on the
// old, 0 on the new", "1880.2 before".
func (p *parse) meterAfter(i int) string {
	on := false
	for k := i + 1; k < len(p.items) && k <= i+4; k++ {
		it := p.items[k]
		switch {
		case on && (it.has("oldone") || p.phraseHas(it, "old")), p.word(it) == "before":
			return "old"
		case on && (it.has("new") || it.has("newone")):
			return "new"
		case it.has("prep"):
			on = true
		case it.has("det"):
		default:
			return ""
		}
	}
	return ""
}
