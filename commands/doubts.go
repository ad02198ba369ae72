package commands

import (
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// doubtTold asks before a figure is written that somebody else has told the
// writer: it is plausible, but heard at second hand.
func (t *turn) doubtTold(all []read.Act, a read.Act, v *view) *doubt {
	line := v.m.Tag + " " + meterWords(v.m, a.Hours.Value) + ", as told"
	if a.By != "" {
		line += " by " + capital(a.By)
	}
	line += "?"
	k := ack{m: v.m, day: t.today}
	if k.gained(v.timeline(), a.Hours.Value); k.since != "" {
		line += " " + capital(k.since) + "."
	}
	return &doubt{lines: []string{line}, held: held{Ask: read.AskMeaning, Acts: all, Options: []option{
		{Label: "yes", Acts: all, Trust: true, Yes: true}, {Label: "no", Nothing: true},
	}}}
}

// figured is a figure of one act of a message, with what the engine says of it.
type figured struct {
	all     []read.Act
	act     read.Act
	m       engine.Machine
	figure  engine.Tenths
	verdict engine.Verdict
}

// old says that the figure is where an old hour meter stopped.
func (f figured) old() bool { return f.act.Kind == read.Meter }

// words are the figure as it was typed, near enough.
func (f figured) words() string { return strings.TrimSuffix(f.figure.String(), ".0") }

// with is the message with another figure in the place of this one.
func (f figured) with(figure engine.Tenths) []read.Act {
	if f.old() {
		return withOld(f.all, f.act.Machine, engine.Known(figure))
	}
	return edit(f.all, f.act, func(x *read.Act) { x.Hours.Value = figure })
}

// again is the message waiting for the figure.
func (f figured) again() option {
	o := option{Label: "I mistyped", Acts: f.all, Instead: read.AskHours}
	if f.old() {
		o.Instead, o.Machine = askOld, f.act.Machine
	}
	return o
}

// held is what waits while the figure is in doubt.
func (f figured) held() held {
	if f.old() {
		return held{Ask: read.AskMeaning, Acts: f.all}
	}
	return held{Ask: read.AskHours, Acts: waitingForHours(f.all, f.act)}
}

// doubtTenths asks about tenths on a meter that shows whole hours: the figure is
// another one's, or what the book has of the meter is wrong.
func (t *turn) doubtTenths(f figured) *doubt {
	whole := f.figure / 10 * 10
	tenths := read.Act{Kind: read.Trait, Machine: f.m.ID, Key: engine.TraitMeterReads, Value: string(engine.ReadsTenths)}
	return &doubt{
		lines: []string{f.m.Tag + ": its meter shows whole hours, not " + f.words() + ". Nothing written."},
		held: held{Ask: read.AskHours, Acts: f.held().Acts, Options: []option{
			{Label: meterWords(f.m, whole), Acts: f.with(whole)},
			{Label: "it shows tenths", Acts: append([]read.Act{tenths}, f.all...), Words: "has tenths"},
			f.again(),
		}},
	}
}

// doubtHours makes the question about a figure that is not plausible.
func (t *turn) doubtHours(f figured) *doubt {
	v := f.verdict
	d := &doubt{held: f.held()}
	figure, what := f.words(), f.m.Tag+": "
	if f.old() {
		what += "the old meter's "
	}
	against := meterWords(f.m, v.Against.Shown) + " (" + t.pointWords(v.Against) + ")"
	switch v.Why {
	case engine.BelowLast:
		d.lines = []string{what + figure + " is below " + against + ". Nothing written."}
	case engine.AboveNext:
		d.lines = []string{what + figure + " is above " + against + ". Nothing written."}
	default:
		from, to := against, figure
		if v.Against.Day > f.act.Day && f.act.Day != 0 && v.Against.Shown > f.figure {
			from, to = figure+" ("+dayWords(f.act.Day, t.today)+")", against // judged against a later one
		}
		much := "far more than it usually runs"
		if v.Why == engine.OverDay {
			much = "more than 24 h a day"
		}
		d.lines = []string{fmt.Sprintf("%s%s is %s on from %s, %s. Nothing written.", what, to, span(v.Gain.Hours()), from, much)}
	}
	t.offer(d, f)
	if len(v.Likely) == 1 && v.Likely[0].Kind == engine.RightAsIs {
		d.held.Options[0].Yes = true
	}
	return d
}

// offer adds the likely answers. Work at a figure that is over can be the last
// service from before the book: that is offered before a new meter, and before
// all but slips of the finger where the words tell of it ("was done at 1400").
func (t *turn) offer(d *doubt, f figured) {
	offered := false
	var last []option
	then, isThen := f.doneThen()
	for _, s := range f.verdict.Likely {
		o, ok := t.slipOption(f, s)
		if !ok {
			continue
		}
		if typed(s.Kind) && !offered && len(d.held.Options) == 0 {
			offered, o.Yes, d.held.Likely = true, true, engine.Known(s.Figure)
		}
		switch {
		case s.Kind == engine.NewMeter:
			last = append(last, o)
			continue
		case !typed(s.Kind) && isThen && f.act.Then:
			d.held.Options = append(d.held.Options, then)
			isThen = false
		}
		d.held.Options = append(d.held.Options, o)
	}
	if isThen {
		d.held.Options = append(d.held.Options, then)
	}
	if f.old() {
		last = append(last, option{Label: "not known", Acts: withOld(f.all, f.act.Machine, engine.Maybe[engine.Tenths]{}), Words: "dont don't know"})
	}
	d.held.Options = append(append(d.held.Options, last...), f.again())
}

// doneThen is the answer that the work was the last service of its kind, at a
// figure that today's meter is past. What was seen is seen today, and makes it
// no such thing.
func (f figured) doneThen() (option, bool) {
	if f.verdict.Why != engine.BelowLast || f.act.Kind == read.Meter || f.act.Day != 0 {
		return option{}, false
	}
	var acts []read.Act
	found, alone, what := false, true, ""
	for _, a := range f.all {
		same := a.Machine == f.act.Machine && a.Hours == f.act.Hours && a.Day == f.act.Day
		switch {
		case same && a.Kind == read.Reading:
		case same && a.Kind == read.Service && !slices.Contains(a.Jobs, engine.OtherWork) && !slices.Contains(a.Jobs, engine.Drain) && a.How == "":
			acts = append(acts, read.Act{Kind: read.Baseline, Machine: a.Machine, Jobs: a.Jobs, Hours: a.Hours, Known: engine.Told})
			found, what = true, jobNames(a.Jobs)
		case a.Machine == f.act.Machine:
			return option{}, false
		default:
			acts, alone = append(acts, a), false
		}
	}
	return option{Trust: alone, Label: "last " + what + " was at " + meterWords(f.m, f.figure), Acts: acts, Words: "then that done service before"}, found
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
	day := dayWords(p.Day, t.today) + knownWords(p.Known)
	if who == "" {
		return day
	}
	return who + ", " + day
}

// slipOption is what picking a suggestion of the engine's does.
func (t *turn) slipOption(f figured, s engine.Suggestion) (option, bool) {
	shown, against := meterWords(f.m, s.Figure), f.verdict.Against
	switch {
	case typed(s.Kind):
		return option{Label: shown, Acts: f.with(s.Figure)}, true
	case s.Kind == engine.RightAsIs:
		return option{Label: shown + " is right", Acts: f.all, Trust: true}, true
	case s.Kind == engine.OneBeforeWrong:
		return t.otherWrong(f, against)
	case f.old():
		return option{}, false
	case s.Kind == engine.NewMeter:
		if f.act.Kind == read.Baseline {
			return option{}, false
		}
		change := read.Act{Kind: read.Meter, Machine: f.act.Machine, Hours: f.act.Hours, Day: f.act.Day}
		return option{Label: "new meter", Acts: withMeter(f.all, f.act, change), Instead: askOld, Machine: f.act.Machine}, true
	case s.Kind == engine.RolledOver:
		return option{Label: "it rolled over to " + shown, Acts: withMeter(f.all, f.act, read.Act{Kind: read.Meter, Machine: f.act.Machine, Hours: f.act.Hours, Day: f.act.Day, Value: engine.MeterRolledOver}), Trust: true}, true
	case s.Kind == engine.EarlierDay || s.Kind == engine.LaterDay:
		o := option{Label: string(s.Kind), Acts: withDay(f.all, f.act, 0), Instead: read.AskDay, Days: withDay(f.all, f.act, 0), Words: "earlier later another other day"}
		if s.Day != 0 && s.Day != t.today {
			o.Label, o.Acts, o.Instead = "from "+dayWords(s.Day, t.today), withDay(f.all, f.act, s.Day), ""
		}
		return o, true
	case s.Kind == engine.AnotherMachines:
		other, ok := t.shed.Machine(s.Machine)
		return option{Label: "it is " + other.Tag, Acts: withMachine(f.all, f.act.Machine, s.Machine)}, ok
	}
	return option{}, false
}

// otherWrong is the answer that the figure judged against is wrong. It goes, and
// the work that it stood at stays, without a figure. Where it is somebody else's
// to change, picking it writes nothing and leaves it to them.
func (t *turn) otherWrong(f figured, against engine.Point) (option, bool) {
	o := option{Label: dayWords(against.Day, t.today) + "'s " + meterWords(f.m, against.Shown) + " is wrong", Acts: f.all}
	for _, e := range t.figureLines(f.act.Machine, against) {
		switch {
		case e.Kind == engine.KindMeter:
			return option{}, false // a whole meter is not taken off in passing
		case !t.mayChange(e):
			return option{Label: o.Label, Acts: f.all, Refer: e.Seq}, true
		case e.Kind == engine.KindReading:
			o.TakeBack = append(o.TakeBack, e.Seq)
		default:
			o.Bare = append(o.Bare, e.Seq)
		}
	}
	return o, len(o.TakeBack)+len(o.Bare) > 0
}

// figureLines are the standing lines that carry the figure judged against.
func (t *turn) figureLines(id engine.MachineID, p engine.Point) []engine.Entry {
	var out []engine.Entry
	for _, q := range t.views[id].timeline().Points {
		if q.Hours != p.Hours || q.Shown != p.Shown {
			continue
		}
		for _, e := range t.views[id].h {
			if e.Seq == q.Seq {
				out = append(out, e)
			}
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

// withOld is a message whose new hour meter took over from one that stopped at a
// figure, or at none that is known.
func withOld(all []read.Act, id engine.MachineID, old engine.Maybe[engine.Tenths]) []read.Act {
	out := slices.Clone(all)
	for i := range out {
		if out[i].Kind == read.Meter && out[i].Machine == id {
			out[i].Old = old
		}
	}
	return out
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
