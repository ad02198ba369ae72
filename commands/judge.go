package commands

import (
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
		Opened: t.openedOf(&failed),
		Last: func(id engine.MachineID) (engine.Tenths, engine.Day, bool) {
			v, err := t.view(id) // whoever is named is judged next
			if err != nil {
				failed = err
				return 0, 0, false
			}
			return v.figure.Hours, v.figure.Day, v.figure.Known
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

// judge asks the engine about every figure that a meter is said to show, or to
// have shown, in the order of the acts. The first in doubt is the message's
// doubt.
func (t *turn) judge(all []read.Act) (*doubt, error) {
	seen := map[engine.MachineID][]engine.Entry{}
	for i, a := range all {
		f := figureOf(a)
		if !f.Known || a.Machine == 0 || t.judgedAlready(all[:i], a) {
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
		day, at := t.whenOf(a, meter)
		if d := t.doubtAct(all, a, v, meter, f.Value, day, at); d != nil {
			return d, nil
		}
		if !t.figuresAfter(all, i) {
			continue
		}
		e := engine.Entry{Seq: unwritten(-engine.Seq(len(h) + 1)), Kind: engine.KindReading, Machine: a.Machine, Day: day, At: at, Hours: a.Hours}
		switch a.Kind {
		case read.Meter:
			e.Kind, e.Old, e.Value = engine.KindMeter, a.Old, a.Value
		case read.Baseline:
			continue
		}
		seen[a.Machine] = append(h[:len(h):len(h)], e)
	}
	return nil, nil
}

// whenOf is when the figure of an act was shown.
func (t *turn) whenOf(a read.Act, meter engine.Meter) (engine.Day, engine.Instant) {
	if a.Day != 0 && a.Day != t.today {
		return a.Day, t.onDay(meter, a.Day, figureOf(a))
	}
	return t.today, t.msg.At
}

// doubtAlone judges an act as if it stood alone in its message.
func (t *turn) doubtAlone(all []read.Act, a read.Act, v *view) *doubt {
	day, at := t.whenOf(a, v.timeline())
	return t.doubtAct(all, a, v, v.timeline(), a.Hours.Value, day, at)
}

// figureOf is the figure of an act that is to be judged: what the meter shows,
// what it showed at a last service, or where an old meter stopped.
func figureOf(a read.Act) engine.Maybe[engine.Tenths] {
	switch a.Kind {
	case read.Reading, read.Service, read.Baseline:
		return a.Hours
	case read.Meter:
		return a.Old
	}
	return engine.Maybe[engine.Tenths]{}
}

// doubtAct judges the figure of one act against a meter; nil where it is
// plausible.
func (t *turn) doubtAct(all []read.Act, a read.Act, v *view, meter engine.Meter, figure engine.Tenths, day engine.Day, at engine.Instant) *doubt {
	f := figured{all: all, act: a, m: v.m, figure: figure}
	if v.m.Reads == engine.ReadsWhole && figure%10 != 0 && !slices.ContainsFunc(all, showsTenths(a.Machine)) {
		return t.doubtTenths(f)
	}
	f.verdict = engine.JudgeReading(meter, figure, day, at, t.cal, t.whoseFigure(a.Machine, at))
	if against := f.verdict.Against; !f.verdict.OK && against.Known == engine.Estimated && a.Known == engine.Seen {
		// A guess does not stand against what somebody has seen.
		if v := engine.JudgeReading(withoutGuesses(meter), figure, day, at, t.cal, nil); v.OK {
			return nil
		}
	}
	switch {
	case a.Kind == read.Baseline && a.Day == 0 && hasShown(meter, figure):
		return nil // a last service of which no day is told was at some time before
	case !f.verdict.OK:
		return t.doubtHours(f)
	case a.Kind == read.Reading && a.Known == engine.Told:
		return t.doubtTold(all, a, v)
	}
	return nil
}

// hasShown says that a machine's meter, or one before it, has gone past a figure.
func hasShown(meter engine.Meter, figure engine.Tenths) bool {
	return slices.ContainsFunc(meter.Points, func(p engine.Point) bool { return p.Shown >= figure })
}

// withoutGuesses is a meter by the figures alone that somebody has seen.
func withoutGuesses(meter engine.Meter) engine.Meter {
	meter.Points = slices.DeleteFunc(slices.Clone(meter.Points), func(p engine.Point) bool { return p.Known == engine.Estimated && p.Kind != engine.KindMeter })
	return meter
}

// showsTenths finds the act that says that a machine's meter shows tenths.
func showsTenths(id engine.MachineID) func(read.Act) bool {
	return func(a read.Act) bool {
		return a.Kind == read.Trait && a.Machine == id && a.Key == engine.TraitMeterReads && a.Value == string(engine.ReadsTenths)
	}
}

// figuresAfter says that a later act has a figure of the same machine, to be
// judged with this one.
func (t *turn) figuresAfter(all []read.Act, i int) bool {
	return slices.ContainsFunc(all[i+1:], func(b read.Act) bool {
		return b.Machine == all[i].Machine && figureOf(b).Known && !t.judgedAlready(all[:i+1], b)
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
// carries the hours of its reading, or the first figure of a new meter.
func (t *turn) judgedAlready(before []read.Act, a read.Act) bool {
	return a.Kind != read.Meter && slices.ContainsFunc(before, func(b read.Act) bool {
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

// unclear asks for the slot in doubt.
func unclear(t *turn, a read.Act) (*doubt, error) {
	d := &doubt{held: held{Ask: a.Ask, Acts: a.Held}}
	for _, o := range a.Options {
		if option := t.optionFrom(a, o); option.Label != "" {
			d.held.Options = append(d.held.Options, option)
		}
	}
	if a.Ask == read.AskMachine && len(a.Options) == 0 {
		if err := t.offerMachines(d, a); err != nil {
			return nil, err
		}
	}
	if n := len(d.held.Options); a.Ask == read.AskMeaning && n > 0 {
		d.held.Options[0].Yes = n == 1
		if o := &d.held.Options[0]; n == 1 {
			d.lines = []string{sentence(o.Label + "?")} // "what exactly?" with one answer to it is no question
			o.Words, o.Label = strings.ToLower(o.Label), "yes"
		}
		d.held.Options = append(d.held.Options, option{Label: "no", Nothing: true})
	}
	if d.lines == nil {
		d.lines = []string{t.askLine(a)}
	}
	return d, nil
}

// offerMachines offers the likely machines where none was named: those that a
// figure fits, else those that this person has written about of late.
func (t *turn) offerMachines(d *doubt, a read.Act) error {
	const most = 3
	const lately engine.Instant = 14 * engine.DayLength
	var ids []engine.MachineID
	for _, h := range a.Held {
		if h.Hours.Known && len(ids) == 0 {
			ids = t.whoseFigure(0, t.msg.At)(h.Hours.Value)
		}
	}
	if len(ids) == 0 {
		recent, err := t.lastMessages(t.now-lately, undoShown)
		if err != nil {
			return err
		}
		for _, message := range recent {
			for _, id := range machinesOf(message) {
				if m, ok := t.shed.Machine(id); ok && m.InShed() && !slices.Contains(ids, id) {
					ids = append(ids, id)
				}
			}
		}
	}
	for _, id := range ids[:min(most, len(ids))] {
		o := t.optionFrom(a, read.Option{Machine: id})
		o.Number = true // "the tractor" is not the one of late
		d.held.Options = append(d.held.Options, o)
	}
	return nil
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
		return capital(gist + "which machine?")
	case read.AskHours:
		return capital(gist + "what does the meter show?")
	case read.AskJobs:
		return capital(gist + "which job was it?")
	case read.AskDay:
		return capital(gist + "which day?")
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
		case read.Check:
			what = checkedWords(a.Check, a.Result)
		case read.Fill:
			what = a.Litres.String() + " l"
		case read.Rain:
			what = rainWords(engine.Entry{Value: a.Value})
		case read.Trait:
			if a.Key == engine.TraitSevere {
				what = traitWords(a, t.today)
			}
		case read.Baseline:
			what = "last " + jobNames(a.Jobs)
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
