package read

import "woodruff/engine"

// A shop's first weeks: everything counted from today, a last service that
// somebody remembers, a machine without a meter.

// countAll reads "count from today", "count everything on rt2 from now": no job
// is named, so what the book has no date for is meant. Machine 0 is every one.
func (p *parse) countAll() []Act {
	if p.find("countword") < 0 && !p.countFromToday() || !p.firm() || len(p.jobsAmong(p.items)) > 0 {
		return nil
	}
	for _, it := range p.items {
		if it.has("verb") || it.has("find") || it.numeric && !it.named {
			return nil // "drained rt1, count from there"
		}
	}
	act := Act{Kind: Baseline, Known: engine.Counted}
	_, ids, ask := p.oneMachine(Baseline)
	switch {
	case ask != nil:
		ask.Held = []Act{withWants(act, AskMachine)}
		return []Act{*ask}
	case len(ids) == 0:
		return []Act{act}
	}
	var acts []Act
	for _, id := range ids {
		act.Machine = id
		acts = append(acts, act)
	}
	return acts
}

// told reads a last service that somebody remembers or that stands elsewhere:
// "last oil on the loader was 2250", "oil on bl1 was done at 3870" where the
// meter is past that. Whether it is one is asked before it is written.
func (p *parse) told() []Act {
	if p.asksByMark() || p.find("ask") >= 0 || p.find("sticker") >= 0 || p.find("half") >= 0 || !p.firm() {
		return nil
	}
	last, was := p.tellsOfLast()
	if !last && !was {
		return nil
	}
	jobs := p.jobsAmong(p.items)
	_, ids, ask := p.oneMachine(Baseline)
	if len(jobs) == 0 || ask != nil || len(ids) != 1 {
		return nil
	}
	act := Act{Kind: Baseline, Machine: ids[0], Jobs: jobs, Known: engine.Told}
	figures, date := 0, false
	for _, it := range p.items {
		switch {
		case it.dated:
			date = date || it.when.date
			act.Day = it.when.past(p.ctx).day
		case it.numeric && !it.named && !it.has("pron") && (it.unit == "" || it.unit == "hours"):
			t, ok := it.num.tenths()
			if !ok {
				return nil
			}
			figures++
			act.Hours = engine.Known(t)
		}
	}
	if figures == 0 && last && date && act.Day != 0 {
		return []Act{act} // "om2 oil last done 3 march": its hours are not known
	}
	shown, known := p.last(p.names.place(ids[0]))
	if figures != 1 || !known || clockHours(act.Hours.Value) && !last || act.Hours.Value >= shown || !last && act.Day != 0 {
		return nil // of today, or a line of work like any other
	}
	return []Act{act}
}

// tellsOfLast says whether the message speaks of the last time ("last oil"), or
// of one that was ("was done at", "says the book").
func (p *parse) tellsOfLast() (last, was bool) {
	for i, t := range p.toks {
		next := ""
		if i+1 < len(p.toks) {
			next = p.toks[i+1].w
		}
		switch t.w {
		case "last":
			switch next {
			case "week", "night", "month", "weekend", "year", "fall", "spring", "summer", "winter":
			default: // no day either: "last friday"
				last = last || next == "" || weekdayOf(p.toks[i+1]) == 0
			}
		case "was":
			was = was || next == "at" || next == "done" || next == "changed"
		case "says":
			last = last || next == "the" || next == "in"
		}
	}
	return last, was
}

// noMeter reads "ws1 has no hour meter".
func (p *parse) noMeter() []Act {
	no := false
	for i, t := range p.toks {
		switch t.w {
		case "no", "without", "hasnt", "doesnt", "hasn't", "doesn't":
			for _, u := range p.toks[i+1 : min(i+6, len(p.toks))] {
				no = no || u.w == "meter" || u.w == "hourmeter" || u.w == "clock" && p.toks[i+1].w == "hour"
			}
		}
	}
	_, ids, ask := p.oneMachine(Trait)
	if !no || ask != nil || len(ids) != 1 || !p.firm("neg") || len(p.toks) > 9 || p.anyFigure() {
		return nil
	}
	for _, t := range p.toks {
		if t.w == "reading" || t.w == "today" || t.w == "work" || t.w == "working" || t.w == "move" || t.w == "run" || t.w == "change" {
			return nil // "the meter doesnt work"
		}
	}
	return []Act{{Kind: Trait, Machine: ids[0], Key: engine.TraitMeterReads, Value: string(engine.NoMeter)}}
}
