package read

import (
	"strings"

	"woodruff/engine"
)

// planLine reads "RT1 separator every 400 h or 12 months" and "no valve job on
// the fans".
func (p *parse) planLine() []Act {
	jobs := p.jobsAmong(p.items)
	if len(jobs) == 0 || p.asksByMark() || p.find("hear") >= 0 || p.find("ask") >= 0 || p.find("symptom") >= 0 {
		return nil
	}
	iv := engine.Interval{}
	e := -1
	for i, it := range p.items {
		if it.has("every") || it.has("all") && p.word(it) == "every" || p.word(it) == "each" {
			h, m, ok := p.intervalAt(i + 1)
			if day, dated := p.seasonBy(i + 1); dated && day == 0 {
				return nil // by a day that is none of every year
			} else if dated {
				iv.Season, iv.Every, e = day, max(h, iv.Every), i
			} else if ok {
				iv.Every, iv.Months, e = h, m, i
			}
		}
	}
	switch {
	case e >= 0:
		if p.pastVerbs() && iv.Season == 0 {
			return nil
		}
	case p.find("planoff") == 0 && indexOf(p.items[1:], "neg") < 0 && !p.thisOnce() && !p.pastVerbs() && !p.dayNamed() && (p.find("event") >= 0 || p.jobNamed()) && p.machinePlural() && p.find("find") < 0:
		iv.Off = true
	default:
		return nil
	}
	for _, it := range p.items {
		if it.unknown() {
			return nil
		}
	}
	act := Act{Kind: Plan, Jobs: jobs, Interval: iv}
	var ids []int32
	for _, it := range p.items {
		if !it.named {
			continue
		}
		if !it.m.one() {
			return []Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{withWants(act, AskMachine)}, Options: p.machineOptions(it.m.ids)}}
		}
		if len(it.m.ids) == len(p.names.all) && len(it.m.ids) > 1 {
			continue
		}
		ids = append(ids, it.m.ids...)
	}
	if len(ids) == 0 {
		act.Machine = p.ctx.Thread
		return []Act{act}
	}
	var acts []Act
	for _, id := range p.names.machineIDs(ids) {
		act.Machine = id
		acts = append(acts, act)
	}
	return acts
}

// thisOnce finds "skip the drain this time": one time, no plan.
func (p *parse) thisOnce() bool {
	for i, t := range p.toks {
		if i > 0 && p.toks[i-1].w == "this" && (t.w == "time" || t.w == "round" || t.w == "once") || t.w == "now" {
			return true
		}
	}
	return false
}

func (p *parse) dayNamed() bool {
	for _, it := range p.items {
		if it.dated {
			return true
		}
	}
	return false
}

// jobNamed says whether "job" stands beside the part: "no valve job".
func (p *parse) jobNamed() bool {
	for _, t := range p.toks {
		if t.w == "job" || t.w == "jobs" || t.w == "service" || t.w == "change" || t.w == "changes" {
			return true
		}
	}
	w := p.phrase(p.items[0])
	return w != "no" && w != "skip"
}

func (p *parse) machinePlural() bool {
	for _, it := range p.items {
		if it.named && it.m.one() {
			return true
		}
	}
	return false
}

// pastVerbs says whether the message tells of work done rather than of a plan.
func (p *parse) pastVerbs() bool {
	for _, it := range p.items {
		if it.has("verb") && !it.is("verb", "service") && !it.has("verb0") {
			return true
		}
	}
	return false
}

// intervalAt reads "400 h or 12 months", "250", "6 months".
func (p *parse) intervalAt(i int) (engine.Tenths, int, bool) {
	var h engine.Tenths
	months := 0
	for ; i < len(p.items); i++ {
		it := p.items[i]
		switch {
		case it.numeric && (it.unit == "hours" || it.unit == "" && !it.named && it.num.milli >= 10000):
			if t, ok := it.num.tenths(); ok {
				h = t
			}
		case it.numeric && it.unit == "months" && it.num.whole():
			months = int(it.num.milli / 1000)
		case it.numeric && it.unit == "years" && it.num.whole():
			months = int(it.num.milli/1000) * 12
		case it.is("unit", "years"):
			months = 12
		case it.is("unit", "months"):
			months = 1
		case it.filler(), it.has("and"), p.word(it) == "or", it.has("every"), it.brk == ',':
		default:
			return h, months, h > 0 || months > 0
		}
	}
	return h, months, h > 0 || months > 0
}

// baseline reads a last service that the book did not see: from a sticker, from
// memory, counted from today, or of a day that nobody knows.
func (p *parse) baseline() []Act {
	sticker, count, unsure := p.find("sticker"), p.find("countword"), p.find("unsureword")
	memory := p.find("frommemory")
	counted := count >= 0 || p.countFromToday()
	if sticker < 0 && memory < 0 && !counted && unsure < 0 || p.asksByMark() || p.find("ask") >= 0 {
		return nil
	}
	jobs := p.jobsAmong(p.items)
	if len(jobs) == 0 && p.ctx.Reply != nil {
		jobs = p.ctx.Reply.Jobs
	}
	if len(jobs) == 0 {
		return nil
	}
	act := Act{Kind: Baseline, Jobs: jobs}
	slot, days := Slot(""), []engine.Day(nil)
	switch {
	case sticker >= 0, memory >= 0 && !p.seenToo():
		act.Known = engine.Sticker
		if sticker < 0 {
			act.Known = engine.Estimated
		}
		if slot, days = p.lastTime(&act); slot == "" && !act.Hours.Known && act.Day == 0 {
			return nil
		}
	case counted:
		act.Known = engine.Counted
	default:
		if unsure < 0 || !p.unsureWhen() {
			return nil
		}
		act.Known = engine.Unsure
	}
	_, ids, ask := p.oneMachine(Baseline)
	switch {
	case ask != nil:
		ask.Held = []Act{wantsToo(act, slot, AskMachine)}
		return []Act{*ask}
	case len(ids) == 0:
		return []Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{wantsToo(act, slot, AskMachine)}}}
	}
	var acts []Act
	for _, id := range ids {
		act.Machine = id
		acts = append(acts, wantsToo(act, slot))
	}
	if slot != "" {
		ask := Act{Kind: Unclear, Ask: slot, Held: acts}
		for _, d := range days {
			ask.Options = append(ask.Options, Option{Day: d})
		}
		return []Act{ask}
	}
	return acts
}

// wantsToo is an act that waits for slots; "" is none.
func wantsToo(a Act, slots ...Slot) Act {
	a.Wants = nil
	for _, s := range slots {
		if s != "" {
			a.Wants = append(a.Wants, s)
		}
	}
	return a
}

// seenToo says whether the message tells what was seen as well: that is work, and
// no memory of it.
func (p *parse) seenToo() bool { return p.find("find") >= 0 || p.find("symptom") >= 0 }

// lastTime reads the hours and the day of a last service; with a slot that is in
// doubt. A year, or a figure that is one of a date, is no hours.
func (p *parse) lastTime(act *Act) (Slot, []engine.Day) {
	var slot Slot
	var days []engine.Day
	for _, it := range p.items {
		switch {
		case it.dated:
			d := it.when.past(p.ctx)
			act.Day = d.day
			if d.unsure || d.day == 0 {
				act.Day, slot, days = 0, AskDay, d.options
			}
		case it.numeric && !it.named && (it.unit == "" || it.unit == "hours"):
			if it.at > 0 && monthOf(p.toks[it.at-1]) != 0 && it.num.whole() && it.num.milli >= 1990_000 && it.num.milli < 2100_000 {
				slot = AskDay // "may 2026": which day of it is not told
				continue
			}
			t, ok := it.num.tenths()
			if !ok || act.Hours.Known && act.Hours.Value != t {
				return AskHours, nil
			}
			act.Hours = engine.Known(t)
		}
	}
	if slot == AskDay && act.Hours.Known {
		slot, days = "", nil // the hours say when
	}
	return slot, days
}

// countFromToday finds "count the grease from today".
func (p *parse) countFromToday() bool {
	i := p.find("count0")
	if i < 0 || !p.opens(i) {
		return false
	}
	for _, it := range p.items[i:] {
		if it.dated && it.when.known && it.when.offset == 0 || p.word(it) == "now" {
			return true
		}
	}
	return false
}

// unsureWhen finds "dont know when the coolant was done": the when must be
// said, or the answer be to a question about it.
func (p *parse) unsureWhen() bool {
	for _, t := range p.toks {
		if t.w == "when" {
			return true
		}
	}
	return p.ctx.Reply != nil
}

// setting reads how the shop writes dates and when its morning post comes.
func (p *parse) setting() []Act {
	if a := p.shopSetting(); a != nil {
		return a
	}
	var b strings.Builder
	for _, t := range p.toks {
		b.WriteString(t.lem)
		b.WriteByte(' ')
	}
	text := b.String()
	switch {
	case strings.Contains(text, "day first") && strings.Contains(text, "date") || text == "day first ":
		return []Act{{Kind: Setting, Key: engine.SetDates, Value: "day-first"}}
	case strings.Contains(text, "month first") && strings.Contains(text, "date") || text == "month first ":
		return []Act{{Kind: Setting, Key: engine.SetDates, Value: "month-first"}}
	case strings.Contains(text, "morning post") && p.firm():
		for _, it := range p.items {
			if it.clock && it.num.clock {
				return []Act{{Kind: Setting, Key: engine.SetMorning, Value: engine.ClockOf(it.num.a, it.num.b).String()}}
			}
		}
	}
	return nil
}
