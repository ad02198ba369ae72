package read

import "woodruff/engine"

// What a machine goes through: rain and washing, which may bring water in at the
// cap, and severe use, which shortens its intervals. Each is a message of its
// own; beside work it is only how things were.

// weather reads "washed rt1 down", "the loader stood out in the rain all night".
func (p *parse) weather() []Act {
	i := p.find("wetword")
	if i < 0 || !p.onlyThis("wetword") {
		return nil
	}
	_, ids, ask := p.oneMachine(Rain)
	if ask != nil {
		ask.Held[0].Value = p.items[i].val("wetword")
		return []Act{*ask}
	}
	var acts []Act
	for _, id := range ids {
		acts = append(acts, Act{Kind: Rain, Machine: id, Value: p.items[i].val("wetword"), Day: p.dayGiven(), By: p.personIn()})
	}
	return acts
}

// severe reads "rt1 on dusty work till friday", "back to usual use on rt1". Dust
// without an end may be no more than a coat that wants washing off.
func (p *parse) severe() []Act {
	i := p.find("severeword")
	if i < 0 || !p.onlyThis("severeword") || p.tellsOfBefore() {
		return nil
	}
	until, given := p.untilGiven()
	if given && until == 0 || !given && p.dayNamed() {
		return nil
	}
	act := Act{Kind: Trait, Key: engine.TraitSevere, Value: p.items[i].val("severeword"), Until: until}
	if p.items[i].is("severeword", "dusty") {
		act.Value = "dust"
		if !given {
			return nil
		}
	}
	_, ids, ask := p.oneMachine(Trait)
	if ask != nil {
		ask.Held = []Act{withWants(act, AskMachine)}
		return []Act{*ask}
	}
	var acts []Act
	for _, id := range ids {
		act.Machine = id
		acts = append(acts, act)
	}
	return acts
}

// onlyThis says whether the message is firm and holds nothing beside a thing of
// one class but machines, a day, who it was and small words.
func (p *parse) onlyThis(k class) bool {
	if !p.firm("until", "day") || p.opensInverted(p.items) {
		return false
	}
	for _, it := range p.items {
		switch {
		case it.numeric && !it.named && it.num.whole() && (it.unit == "days" || it.unit == "weeks"):
		case it.has(k), it.named, it.dated, it.person != "", it.filler(), it.brk != 0, it.has("and"), it.has("all"), it.has("daymod"), it.has("approx"), it.has("sayshours"):
		default:
			return false
		}
	}
	return true
}

// tellsOfBefore says whether the message is of something that is over: "rt1 was
// in the dust for three weeks".
func (p *parse) tellsOfBefore() bool {
	for _, tok := range p.toks {
		switch tok.w {
		case "was", "were", "been", "had", "wasnt", "werent":
			return true
		}
	}
	return false
}

// personIn is who is named as having done it, "" for the writer.
func (p *parse) personIn() string {
	for _, it := range p.items {
		if it.person != "" {
			return it.person
		}
	}
	return ""
}

// untilGiven is the day from which something is over: "till friday" is over on
// that day, "through friday" the day after, "for two weeks" in fourteen days. given says that an end was named; the
// day is 0 where it is not certain.
func (p *parse) untilGiven() (day engine.Day, given bool) {
	for i, it := range p.items {
		if it.numeric && !it.named && it.num.whole() && i > 0 && p.word(p.items[i-1]) == "for" {
			n := engine.Day(it.num.milli / 1000)
			if it.unit == "weeks" {
				n *= 7
			}
			return p.ctx.Day + n, true
		}
		if !it.dated || i == 0 {
			continue
		}
		switch p.word(p.items[i-1]) {
		case "until", "till", "til", "untill", "through", "thru", "for":
		default:
			continue
		}
		d := it.when.future(p.ctx)
		if d.unsure {
			return 0, true
		}
		if w := p.word(p.items[i-1]); w == "through" || w == "thru" {
			d.day++
		}
		return d.day, true
	}
	return 0, false
}

// seasonBy reads the day of every year in "every year by nov 1", "every fall
// before the 1st of november", from an item on; dated says that some day was
// named so, which is 0 where it is none of every year.
func (p *parse) seasonBy(i int) (day engine.YearDay, dated bool) {
	for k := max(i, 1); k < len(p.items); k++ {
		w, it := p.word(p.items[k-1]), p.items[k]
		if !it.dated || w != "by" && w != "before" {
			continue
		}
		if w := it.when; w.date && !w.either && w.year == 0 && w.month > 0 && w.dom > 0 {
			return engine.YearDay(w.month*100 + w.dom), true
		}
		return 0, true
	}
	return 0, false
}
