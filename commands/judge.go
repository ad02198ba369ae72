package commands

import (
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// nearMargin is how far behind the best reading another one may be and still be
// taken instead when only the other one's figures are plausible.
const nearMargin = 0.15

// meaning is what a message means after its figures were judged.
type meaning struct {
	Acts    []read.Act
	Answers bool // it answers what was asked
	doubted *doubt
	why     []string // how it was read, where that is asked for
}

// interpret reads the message of this turn and judges its figures. A figure in
// doubt makes it one unclear act that holds the message.
func (t *turn) interpret(asked *read.Asked) (meaning, error) {
	var failed error
	dates := t.shed.Settings[engine.SetDates]
	reader := read.Read
	if t.explain {
		reader = read.Explain
	}
	result := reader(t.msg.Text, t.names, read.Context{
		Day: t.today, Clock: t.cal.ClockAt(t.msg.At), Thread: t.byTag(t.msg.Thread), Reply: t.msg.Reply, Asked: asked,
		Mention: t.msg.Mention, DayFirst: dates == "day-first", MonthFirst: dates == "month-first",
		Last: func(id engine.MachineID) (engine.Tenths, engine.Day, bool) {
			hours, day, known, err := t.book.Last(t.ctx, id)
			if err != nil {
				failed = err
			}
			return hours, day, known && err == nil
		},
	})
	if failed != nil {
		return meaning{}, failed
	}
	var first meaning
	for i, c := range result.Candidates {
		if i > 0 && c.Score < result.Candidates[0].Score-nearMargin {
			break
		}
		m := meaning{Acts: c.Acts, Answers: c.Answers, why: result.Why}
		d, err := t.judge(c.Acts)
		if err != nil {
			return meaning{}, err
		}
		if d == nil {
			return m, nil
		}
		if i == 0 {
			m.Acts = []read.Act{{Kind: read.Unclear, Ask: d.held.Ask, Held: d.held.Acts}}
			m.doubted = d
			if t.explain {
				m.why = append(m.why, "The figure is in doubt: "+strings.Join(d.lines, " "))
			}
			first = m
		}
	}
	return first, nil
}

// judge asks the engine about every figure that a meter is said to show, in
// the order of their days. The first in doubt is the message's doubt.
func (t *turn) judge(all []read.Act) (*doubt, error) {
	seen := map[engine.MachineID][]engine.Entry{}
	for i, a := range all {
		if !a.Hours.Known || a.Machine == 0 || a.Kind != read.Reading && a.Kind != read.Service || t.judgedAlready(all[:i], a) {
			continue
		}
		v, err := t.view(a.Machine)
		if err != nil {
			return nil, err
		}
		meter := v.timeline()
		h, there := seen[a.Machine]
		if there {
			meter = engine.Timeline(v.m, h)
		} else {
			h = v.h
		}
		day, at := t.today, t.msg.At
		if a.Day != 0 && a.Day != t.today {
			day, at = a.Day, t.onDay(meter, a.Day, a.Hours)
		}
		verdict := engine.JudgeReading(meter, a.Hours.Value, day, at, t.cal, t.whoseFigure(a.Machine, at))
		if !verdict.OK {
			d := t.doubtHours(all, a, v.m, verdict)
			return &d, nil
		}
		if a.Kind == read.Reading && a.Known == engine.Told {
			d := t.doubtTold(all, a, v)
			return &d, nil
		}
		if !t.figuresAfter(all, i) {
			continue
		}
		seen[a.Machine] = append(h[:len(h):len(h)], engine.Entry{
			Seq: unwritten(-engine.Seq(len(h) + 1)), Kind: engine.KindReading, Machine: a.Machine, Day: day, At: at, Hours: a.Hours,
		})
	}
	return nil, nil
}

// doubtTold asks before a figure is written that somebody else has told the
// writer: it is plausible, but heard at second hand.
func (t *turn) doubtTold(all []read.Act, a read.Act, v *view) doubt {
	line := v.m.Tag + " " + meterWords(v.m, a.Hours.Value) + ", as told"
	if a.By != "" {
		line += " by " + capital(a.By)
	}
	line += "?"
	k := ack{m: v.m, day: t.today}
	if k.gained(v.timeline(), a.Hours.Value); k.since != "" {
		line += " " + capital(k.since) + "."
	}
	return doubt{lines: []string{line}, held: held{Ask: read.AskMeaning, Acts: all, Options: []option{
		{Label: "yes", Acts: all, Trust: true, Yes: true}, {Label: "no", Nothing: true},
	}}}
}

// figuresAfter says that a later act has a figure of the same machine, to be
// judged with this one.
func (t *turn) figuresAfter(all []read.Act, i int) bool {
	return slices.ContainsFunc(all[i+1:], func(b read.Act) bool {
		return b.Machine == all[i].Machine && b.Hours.Known && !t.judgedAlready(all[:i+1], b)
	})
}

// onDay is when on a past day a figure was shown, as far as can be told: at
// noon, or after or before the figures that are in the book for that day.
func (t *turn) onDay(meter engine.Meter, day engine.Day, figure engine.Maybe[engine.Tenths]) engine.Instant {
	at := t.noon(day)
	if !figure.Known {
		return at
	}
	for _, p := range meter.Points {
		switch {
		case p.Day != day:
		case p.Shown <= figure.Value && p.At >= at:
			at = p.At + 1
		case p.Shown > figure.Value && p.At <= at:
			return p.At - 1
		}
	}
	return at
}

// judgedAlready says that the figure stands in an earlier act: a service
// carries the hours of its reading.
func (t *turn) judgedAlready(before []read.Act, a read.Act) bool {
	return slices.ContainsFunc(before, func(b read.Act) bool {
		return b.Machine == a.Machine && b.Hours == a.Hours && b.Day == a.Day
	})
}

// whoseFigure says which other machines a figure would fit: near above their
// last one.
func (t *turn) whoseFigure(not engine.MachineID, at engine.Instant) func(engine.Tenths) []engine.MachineID {
	const near = 200 // tenths: what a machine may gain between readings
	return func(figure engine.Tenths) []engine.MachineID {
		var fit []engine.MachineID
		for _, m := range t.shed.Machines {
			if m.ID == not || !m.InShed() {
				continue
			}
			last, _, known, err := t.book.Last(t.ctx, m.ID)
			if err == nil && known && figure >= last && figure-last <= near {
				fit = append(fit, m.ID)
			}
			if len(fit) > 2 {
				return nil // fits half the shed: says nothing
			}
		}
		return fit
	}
}

// doubtHours makes the question about a figure that is not plausible.
func (t *turn) doubtHours(all []read.Act, a read.Act, m engine.Machine, v engine.Verdict) doubt {
	d := doubt{held: held{Ask: read.AskHours, Acts: waitingForHours(all, a)}}
	figure := strings.TrimSuffix(a.Hours.Value.String(), ".0")
	against := meterWords(m, v.Against.Shown) + " (" + t.pointWords(v.Against) + ")"
	switch v.Why {
	case engine.BelowLast:
		d.lines = []string{m.Tag + ": " + figure + " is below " + against + ". Nothing written."}
	case engine.AboveNext:
		d.lines = []string{m.Tag + ": " + figure + " is above " + against + ". Nothing written."}
	default:
		from, to := against, figure
		if v.Against.Day > a.Day && a.Day != 0 && v.Against.Shown > a.Hours.Value {
			from, to = figure+" ("+dayWords(a.Day, t.today)+")", against // judged against a later one
		}
		much := "far more than it usually runs"
		if v.Why == engine.OverDay {
			much = "more than 24 h a day"
		}
		d.lines = []string{fmt.Sprintf("%s: %s is %s on from %s, %s. Nothing written.", m.Tag, to, span(v.Gain.Hours()), from, much)}
	}
	offered := false
	for _, s := range v.Likely {
		o, ok := t.slipOption(all, a, m, v, s)
		if !ok {
			continue
		}
		if typed(s.Kind) && !offered && len(d.held.Options) == 0 {
			offered, o.Yes, d.held.Likely = true, true, engine.Known(s.Figure)
		}
		d.held.Options = append(d.held.Options, o)
	}
	if o, ok := t.lastOption(all, a, m, v); ok {
		d.held.Options = append(d.held.Options, o)
	}
	d.held.Options = append(d.held.Options, option{Label: "I mistyped", Acts: all, Instead: read.AskHours})
	if len(v.Likely) == 1 && v.Likely[0].Kind == engine.RightAsIs {
		d.held.Options[0].Yes = true
	}
	return d
}

// lastOption offers to take work at hours that are long past as the last time
// that a job was done, before the book: "loader oil 2250".
func (t *turn) lastOption(all []read.Act, a read.Act, m engine.Machine, v engine.Verdict) (option, bool) {
	if v.Why != engine.BelowLast || len(all) > 2 {
		return option{}, false
	}
	for _, s := range all {
		if s.Kind == read.Service && s.Machine == m.ID && s.How == "" && !slices.Contains(s.Jobs, engine.Drain) && !slices.Contains(s.Jobs, engine.OtherWork) {
			last := read.Act{Kind: read.Baseline, Machine: m.ID, Jobs: s.Jobs, Hours: a.Hours, Known: engine.Told}
			return option{Label: "last " + jobNames(s.Jobs) + " was at " + meterWords(m, a.Hours.Value), Acts: []read.Act{last}, Trust: true}, true
		}
	}
	return option{}, false
}

func typed(s engine.Slip) bool {
	switch s {
	case engine.PointMissing, engine.PointAdded, engine.DigitsSwapped, engine.DigitDoubled, engine.DigitDropped:
		return true
	}
	return false
}

// pointWords says whose figure it was: "Ines, Sat 21 Nov".
func (t *turn) pointWords(p engine.Point) string {
	who := ""
	for _, v := range t.views {
		for _, e := range v.h {
			if e.Seq == p.Seq {
				who = firstName(t.shed.PersonName(e.DoneBy()))
			}
		}
	}
	if who == "" {
		return dayWords(p.Day, t.today)
	}
	return who + ", " + dayWords(p.Day, t.today)
}

// slipOption is what picking a suggestion of the engine's does.
func (t *turn) slipOption(all []read.Act, a read.Act, m engine.Machine, v engine.Verdict, s engine.Suggestion) (option, bool) {
	shown := meterWords(m, s.Figure)
	switch {
	case typed(s.Kind):
		return option{Label: shown, Acts: withHours(all, a, s.Figure)}, true
	case s.Kind == engine.RightAsIs:
		return option{Label: shown + " is right", Acts: all, Trust: true}, true
	case s.Kind == engine.OneBeforeWrong:
		whose := dayWords(v.Against.Day, t.today) + "'s"
		return option{Label: whose + " " + meterWords(m, v.Against.Shown) + " is wrong", Acts: all, Trust: true, TakeBack: t.figureLines(a.Machine, v.Against)}, true
	case s.Kind == engine.NewMeter:
		return option{Label: "new meter", Acts: withMeter(all, a, read.Act{Kind: read.Meter, Machine: a.Machine, Old: engine.Known(v.Against.Shown), Hours: a.Hours, Day: a.Day}), Trust: true}, true
	case s.Kind == engine.RolledOver:
		return option{Label: "it rolled over to " + shown, Acts: withMeter(all, a, read.Act{Kind: read.Meter, Machine: a.Machine, Hours: a.Hours, Day: a.Day, Value: engine.MeterRolledOver}), Trust: true}, true
	case s.Kind == engine.EarlierDay || s.Kind == engine.LaterDay:
		if s.Day != 0 && s.Day != t.today {
			return option{Label: "from " + dayWords(s.Day, t.today), Acts: withDay(all, a, s.Day)}, true
		}
		return option{Label: string(s.Kind), Acts: withDay(all, a, 0), Instead: read.AskDay}, true
	case s.Kind == engine.AnotherMachines:
		other, ok := t.shed.Machine(s.Machine)
		return option{Label: "it is " + other.Tag, Acts: withMachine(all, a.Machine, s.Machine)}, ok
	}
	return option{}, false
}

// figureLines are the lines that carry the figure judged against.
func (t *turn) figureLines(id engine.MachineID, p engine.Point) []engine.Seq {
	var out []engine.Seq
	v := t.views[id]
	for _, e := range standing(v.h) {
		if e.Seq == p.Seq || e.Kind == engine.KindReading && e.Day == p.Day && e.Hours.Known && e.Hours.Value == p.Shown {
			out = append(out, e.Seq)
		}
	}
	return out
}

// waitingForHours marks the acts that carry the figure in doubt.
func waitingForHours(all []read.Act, a read.Act) []read.Act {
	return edit(all, a, func(x *read.Act) {
		x.Hours, x.Wants = engine.Maybe[engine.Tenths]{}, []read.Slot{read.AskHours}
	})
}

func withHours(all []read.Act, a read.Act, figure engine.Tenths) []read.Act {
	return edit(all, a, func(x *read.Act) { x.Hours.Value = figure })
}

func withDay(all []read.Act, a read.Act, day engine.Day) []read.Act {
	return edit(all, a, func(x *read.Act) {
		x.Day = day
		if day == 0 {
			x.Wants = []read.Slot{read.AskDay}
		}
	})
}

// withMachine moves everything said of one machine to another.
func withMachine(all []read.Act, from, to engine.MachineID) []read.Act {
	out := slices.Clone(all)
	for i := range out {
		if out[i].Machine == from {
			out[i].Machine = to
		}
	}
	return out
}

// withMeter puts a meter change in the place of the reading: a new meter's
// first figure is no reading.
func withMeter(all []read.Act, a, change read.Act) []read.Act {
	out := slices.Clone(all)
	for i := range out {
		if out[i].Kind == read.Reading && out[i].Machine == a.Machine && out[i].Hours == a.Hours {
			out[i] = change
			return out
		}
	}
	return append([]read.Act{change}, out...)
}

// edit changes the acts that carry the same figure of the same machine.
func edit(all []read.Act, a read.Act, change func(*read.Act)) []read.Act {
	out := slices.Clone(all)
	for i := range out {
		if out[i].Machine == a.Machine && out[i].Hours == a.Hours && out[i].Day == a.Day {
			change(&out[i])
		}
	}
	return out
}

// judgeInstead judges a corrected figure as if the old lines were not there.
func (t *turn) judgeInstead(id engine.MachineID, a read.Act, old []engine.Entry) (*doubt, error) {
	v, err := t.view(id)
	if err != nil {
		return nil, err
	}
	var day engine.Day
	var at engine.Instant
	without := slices.Clone(v.h)
	for i := range without {
		for _, o := range old {
			if without[i].Seq == o.Seq && o.Machine == id && o.Hours.Known {
				without[i].State, day, at = engine.Replaced, o.Day, o.At
			}
		}
	}
	verdict := engine.JudgeReading(engine.Timeline(v.m, without), a.To.Hours, day, at, t.cal, nil)
	if verdict.OK {
		return nil, nil
	}
	return &doubt{
		lines: []string{fmt.Sprintf("%s: %s is %s (%s), against %s. Nothing changed. What does it show?", v.m.Tag, meterWords(v.m, a.To.Hours), string(verdict.Why), t.pointWords(verdict.Against), meterWords(v.m, verdict.Against.Shown))},
		held: held{Ask: read.AskHours, Acts: []read.Act{a}, Options: []option{
			{Label: "leave it as it was", Nothing: true},
		}},
	}, nil
}

// judgeOnOther judges a reading that is moved to another machine.
func (t *turn) judgeOnOther(a read.Act, e engine.Entry) (*doubt, error) {
	v, err := t.view(a.To.Machine)
	if err != nil {
		return nil, err
	}
	verdict := engine.JudgeReading(v.timeline(), e.Hours.Value, e.Day, e.At, t.cal, nil)
	if verdict.OK {
		return nil, nil
	}
	m := v.m
	return &doubt{
		lines: []string{fmt.Sprintf("%s at %s doesn't fit %s: %s.", m.Tag, e.Hours.Value, meterWords(m, verdict.Against.Shown), verdict.Why)},
		held: held{Ask: read.AskMeaning, Acts: []read.Act{a}, Options: []option{
			{Label: "take the old lines back", TakeBack: []engine.Seq{e.Seq}},
			{Label: "leave it as it was", Nothing: true},
		}},
	}, nil
}

// unclear asks for the slot in doubt.
func unclear(t *turn, a read.Act) (*doubt, error) {
	d := &doubt{held: held{Ask: a.Ask, Acts: a.Held}}
	for _, o := range a.Options {
		if option := t.optionFrom(a, o); option.Label != "" {
			d.held.Options = append(d.held.Options, option)
		}
	}
	if n := len(d.held.Options); a.Ask == read.AskMeaning && n > 0 {
		d.held.Options[0].Yes = n == 1
		d.held.Options = append(d.held.Options, option{Label: "no", Nothing: true})
	}
	d.lines = []string{t.askLine(a)}
	return d, nil
}

// askLine words the question: what was understood, then the slot in doubt.
func (t *turn) askLine(a read.Act) string {
	gist := t.gist(a.Held)
	if ids := heldMachines(a.Held); gist == "" && len(ids) == 1 {
		m, _ := t.shed.Machine(ids[0])
		gist = m.Tag
	}
	if gist != "" {
		gist += ": "
	}
	switch a.Ask {
	case read.AskMachine:
		return gist + "which machine?"
	case read.AskHours:
		return gist + "what does the meter show?"
	case read.AskJobs:
		return gist + "which job was it?"
	case read.AskDay:
		return gist + "which day?"
	}
	if gist != "" {
		return strings.TrimSuffix(gist, ": ") + ": what exactly?"
	}
	return "What do you mean, and on which machine?"
}

// heldMachines are the machines that the held acts name.
func heldMachines(all []read.Act) (ids []engine.MachineID) {
	for _, a := range all {
		if a.Machine != 0 && !slices.Contains(ids, a.Machine) {
			ids = append(ids, a.Machine)
		}
	}
	return ids
}

// gist says in a few words what was understood.
func (t *turn) gist(all []read.Act) string {
	var parts []string
	for _, a := range all {
		m, _ := t.shed.Machine(a.Machine)
		var what string
		switch a.Kind {
		case read.Service:
			if len(a.Jobs) > 0 {
				what = workDone(engine.Entry{Jobs: a.Jobs, How: a.How, Texts: engine.Texts{Words: a.Words}})
			} else {
				what = "work done"
			}
		case read.Finding:
			what = found(a.Finding, a.Amount)
		case read.Symptom:
			what = symptomsOf(a.Symptoms)
		case read.PutOff:
			what = "put off"
		case read.Reading:
			if a.Hours.Known {
				what = meterWords(m, a.Hours.Value)
			}
		case read.Fill:
			what = a.Litres.String() + " l"
		case read.Rain:
			what = rainWords(engine.Entry{Value: a.Value})
		case read.Trait:
			if a.Key == engine.TraitSevere {
				what = traitWords(a, t.today)
			}
		}
		if what == "" {
			continue // a machine alone says nothing of what was done
		}
		what = strings.TrimSpace(m.Tag + " " + what)
		if what != "" && !slices.Contains(parts, what) {
			parts = append(parts, what)
		}
		if len(parts) == 4 {
			break
		}
	}
	return capital(list(parts))
}

// optionFrom turns a likely answer of the reader's into a choice.
func (t *turn) optionFrom(a read.Act, o read.Option) option {
	out := option{Label: o.Label, Acts: slices.Clone(a.Held)}
	fill := func(slot read.Slot, set func(*read.Act)) {
		for i := range out.Acts {
			if at := slices.Index(out.Acts[i].Wants, slot); at >= 0 {
				set(&out.Acts[i])
				out.Acts[i].Wants = slices.Delete(slices.Clone(out.Acts[i].Wants), at, at+1)
			}
		}
	}
	label := ""
	switch {
	case len(o.Acts) > 0:
		out.Acts = o.Acts
		label = t.gist(o.Acts)
	case o.Machine != 0:
		m, _ := t.shed.Machine(o.Machine)
		label = m.Tag + " " + strings.ToLower(m.Name)
		fill(read.AskMachine, func(x *read.Act) { x.Machine = o.Machine })
	case o.Hours.Known:
		label = o.Hours.Value.String()
		fill(read.AskHours, func(x *read.Act) { x.Hours = o.Hours })
	case len(o.Jobs) > 0:
		label = jobNames(o.Jobs)
		fill(read.AskJobs, func(x *read.Act) { x.Jobs = o.Jobs })
	case o.Day != 0:
		label = dayWords(o.Day, t.today)
		fill(read.AskDay, func(x *read.Act) {
			if x.Kind == read.PutOff {
				x.Until = o.Day
			} else {
				x.Day = o.Day
			}
		})
	}
	if out.Label == "" {
		out.Label = label
	}
	return out
}
