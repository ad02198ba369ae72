package read

import "woodruff/engine"

// trait reads "it reads whole hours", "WS1 starts by itself", "bowl is 120 ml".
func (p *parse) trait() []Act {
	key, val := "", ""
	denied := p.find("neg") >= 0
	for _, it := range p.items {
		switch {
		case it.has("selfstart"):
			key, val = engine.TraitSelfStart, "yes"
			if denied || it.is("selfstart", "no") {
				val = "no"
			}
		case it.has("injection") && p.mostly():
			key, val = engine.TraitInjection, it.val("injection")
		case it.has("coldaid") && p.mostly():
			key, val = engine.TraitColdAid, it.val("coldaid")
		case it.has("wholeword") && (p.find("sayshours") >= 0 || p.find("meterword") >= 0 || p.phrase(it) == "whole hours"):
			key, val = engine.TraitMeterReads, string(engine.ReadsWhole)
		case it.has("tenthsword") && !p.anyFigure(): // "and six tenths" is the end of a figure
			key, val = engine.TraitMeterReads, string(engine.ReadsTenths)
		case it.numeric && it.unit == "ml" && p.bowlSize():
			key, val = engine.TraitBowl, itoa(int(it.num.milli/1000))
		}
	}
	if key == "" || p.asksByMark() || p.find("ask") >= 0 || !p.allKnown() || p.find("verb") >= 0 && key != engine.TraitBowl || p.find("plan") >= 0 || p.find("cond") >= 0 || p.find("doubt") >= 0 || p.find("symptom") >= 0 {
		return nil
	}
	_, ids, ask := p.oneMachine(Trait)
	if ask != nil {
		ask.Held = []Act{{Kind: Trait, Key: key, Value: val, Wants: []Slot{AskMachine}}}
		return []Act{*ask}
	}
	if len(ids) == 0 && p.ctx.Asked != nil {
		ids = append(ids, p.ctx.Asked.Machine)
	}
	if len(ids) == 0 || ids[0] == 0 {
		return nil
	}
	var acts []Act
	for _, id := range ids {
		acts = append(acts, Act{Kind: Trait, Machine: id, Key: key, Value: val})
	}
	return acts
}

// anyFigure says whether the message holds a number, in digits or in words.
func (p *parse) anyFigure() bool {
	for _, it := range p.items {
		if it.numeric && !it.named {
			return true
		}
	}
	return false
}

// mostly says whether the message holds hardly more than a machine and a trait.
func (p *parse) mostly() bool {
	for _, it := range p.items {
		if !it.named && !it.filler() && !it.has("injection") && !it.has("coldaid") && !it.has("part") && !it.has("other") && it.brk == 0 && !it.has("yes") && !it.has("v") {
			return false
		}
		if it.has("new") || it.has("verb") {
			return false
		}
	}
	return true
}

// bowlSize finds "the bowl on RT1 is 120 ml", with nothing drained.
func (p *parse) bowlSize() bool {
	bowl := false
	for _, it := range p.items {
		bowl = bowl || it.is("part", "bowl")
		if it.has("verb") || it.has("find") || it.has("amount") {
			return false
		}
	}
	return bowl && p.find("aux")+p.find("sayshours") > -2
}

// featureAt reads a trait among the words for a new machine, "tenths", "bowl 120",
// and how many items it takes; 0 where there is none. The first word of a name is
// none: "whole tree chipper".
func (p *parse) featureAt(k int) (Feature, int) {
	it := p.items[k]
	reads := it.has("sayshours") && k+1 < len(p.items)
	if reads {
		it = p.items[k+1]
	}
	hours := k+1 < len(p.items) && (p.items[k+1].has("hoursword") || p.items[k+1].unit == "hours")
	f, n := Feature{}, 1
	switch {
	case it.has("tenthsword"):
		f = Feature{engine.TraitMeterReads, string(engine.ReadsTenths)}
	case it.has("wholeword") && (p.phrase(it) != "whole" || reads || hours):
		f = Feature{engine.TraitMeterReads, string(engine.ReadsWhole)}
	case it.has("injection"):
		f = Feature{engine.TraitInjection, it.val("injection")}
	case it.has("coldaid"):
		f = Feature{engine.TraitColdAid, it.val("coldaid")}
	case it.is("part", "bowl"), it.numeric, it.has("det"), it.has("and"):
		return p.bowlAt(k)
	default:
		return f, 0
	}
	if reads {
		n++
	}
	return f, n
}

// bowlAt reads "bowl 120", "bowl holds 120 ml", "120 ml bowl".
func (p *parse) bowlAt(k int) (Feature, int) {
	bowl, size, n := false, 0, 0
	for i := k; i < len(p.items) && i < k+5; i++ {
		it := p.items[i]
		switch {
		case it.is("part", "bowl") && !bowl:
			bowl, n = true, i+1-k
		case it.numeric && !it.named && size == 0 && (it.unit == "ml" || it.unit == "" && bowl && it.num.whole()):
			size, n = int(it.num.milli/1000), i+1-k
		case (it.filler() || it.has("and")) && !bowl, bowl && size == 0 && (it.filler() || it.has("plain")): // "and the bowl", "holds"
		default:
			i = len(p.items) // anything else ends it
		}
	}
	if !bowl || size <= 0 {
		return Feature{}, 0
	}
	return Feature{engine.TraitBowl, itoa(size)}, n
}
