package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// act is one row of the table of acts: everything that the desk knows about a
// kind of act stands here.
type act struct {
	reads string // what is said so, in an example: README and tests lean on it
	// writes says that the act changes the book: who may not write is refused.
	writes bool
	// do judges the act and adds what it writes and says, or comes back with a
	// doubt, and then nothing of the message is written.
	do func(t *turn, a read.Act) (*doubt, error)
	// undone says how it is undone; every act that writes has a way.
	undone string
}

// acts is filled in init, because a rule may itself do acts.
var acts map[read.ActKind]act

func init() {
	const (
		lines  = "its lines are taken back"
		labels = "its entry is taken back, and what stood before stands again"
	)
	acts = map[read.ActKind]act{
		read.Reading:  {reads: "RT1 1223.4", writes: true, do: reading, undone: lines},
		read.Service:  {reads: "RT1 drained, greased", writes: true, do: service, undone: lines},
		read.Finding:  {reads: "ring is up on WF2", writes: true, do: finding, undone: lines},
		read.Fill:     {reads: "40 litres of winter diesel in BL1", writes: true, do: fill, undone: lines},
		read.Symptom:  {reads: "OM1 smokes black", writes: true, do: symptom, undone: lines},
		read.Check:    {reads: "no bubbles", writes: true, do: check, undone: lines},
		read.PutOff:   {reads: "remind me about greasing RT2 on monday", writes: true, do: putOff, undone: lines},
		read.Meter:    {reads: "new hour meter on WS1, starts at 0", writes: true, do: newMeter, undone: lines},
		read.Out:      {reads: "WF2 out of use", writes: true, do: outOfUse, undone: lines},
		read.Back:     {reads: "WF2 back in use, new hose, stayed dry", writes: true, do: backInUse, undone: lines},
		read.Parked:   {reads: "OM2 parked for winter", writes: true, do: parked, undone: lines},
		read.Woken:    {reads: "OM2 woken up", writes: true, do: woken, undone: lines},
		read.Rain:     {reads: "RT1 stood out in the rain", writes: true, do: rain, undone: lines},
		read.Baseline: {reads: "oil on RT1 was at 1140, says the sticker", writes: true, do: baseline, undone: lines},
		read.Add:      {reads: "new machine wood splitter, 61 h", writes: true, do: addMachine, undone: labels},
		read.Rename:   {reads: "rename OM2 to OM3", writes: true, do: rename, undone: labels},
		read.Nickname: {reads: "call BL1 the beast", writes: true, do: nickname, undone: labels},
		read.Gone:     {reads: "TD1 is sold", writes: true, do: gone, undone: labels},
		read.Trait:    {reads: "WS1 shows whole hours", writes: true, do: trait, undone: labels},
		read.Plan:     {reads: "RT1 separator every 400 h or 12 months", writes: true, do: planLine, undone: labels},
		read.Setting:  {reads: "dates are day first", writes: true, do: setting, undone: labels},
		read.Undo:     {reads: "undo", writes: true, do: undo, undone: "by saying the message again"},
		read.Correct:  {reads: "that was 1224.3", writes: true, do: correct, undone: lines},
		read.Question: {reads: "whats due this week", do: question},
		read.Help:     {reads: "help", do: help},
		read.Chat:     {reads: "anyone want coffee", do: func(*turn, read.Act) (*doubt, error) { return nil, nil }},
		read.Unclear:  {reads: "drained it", do: unclear},
	}
}

// doActs goes through a message's acts. The option that a person has picked, if
// any, says what is confirmed and which lines go as well. A doubt in any act
// means that nothing of the message is written.
func (t *turn) doActs(all []read.Act, picked *option) error {
	if d, err := t.mayWrite(all); d || err != nil {
		return err
	}
	if picked != nil && len(picked.TakeBack)+len(picked.Bare) > 0 {
		if refused, err := t.dropPicked(*picked, all); refused || err != nil {
			return err
		}
	}
	if d := t.doubtWho(all); d != nil {
		if picked != nil {
			d.held.carry(*picked)
		}
		return t.ask(*d)
	}
	if picked == nil || !picked.Trust {
		acts, d, err := t.firstDates(all)
		if err != nil {
			return err
		}
		if d != nil {
			return t.ask(*d)
		}
		all = acts
		d, err = t.judge(all)
		if err != nil {
			return err
		}
		if d != nil {
			if picked != nil {
				d.held.carry(*picked)
			}
			return t.ask(*d)
		}
		if d, err := t.thatDay(all); d != nil || err != nil {
			if err != nil {
				return err
			}
			if picked != nil {
				d.held.carry(*picked)
			}
			return t.ask(*d)
		}
		if d, err := t.again(all); d != nil || err != nil {
			if err != nil {
				return err
			}
			if picked != nil {
				d.held.carry(*picked)
			}
			return t.ask(*d)
		}
	}
	t.many = baselines(all) > fewBaselines
	for _, a := range asTheWork(all) {
		d, err := acts[a.Kind].do(t, a)
		if err != nil {
			return err
		}
		if d != nil {
			if picked != nil {
				d.held.carry(*picked)
			}
			return t.ask(*d)
		}
	}
	t.looksTold()
	t.countedLines()
	if err := t.takeOutLeaks(all); err != nil {
		return err
	}
	t.acknowledge()
	return t.besideErr
}

// asTheWork gives what was seen the day and the doer of the work that it was
// seen at: "wilm drained rt1 yesterday, clean" was clean yesterday, and Wilm saw
// it.
func asTheWork(all []read.Act) []read.Act {
	out := slices.Clone(all)
	for i := range out {
		if out[i].Kind == read.Service && guessed(all, out[i]) {
			out[i].Known = engine.Estimated
		}
		if out[i].Kind != read.Finding {
			continue
		}
		for _, a := range all {
			if out[i].By == "" && a.Kind == read.Service && a.Machine == out[i].Machine && a.By != "" {
				out[i].By, _ = doers(a.By)
			}
		}
		if out[i].Day != 0 {
			continue
		}
		for _, a := range all {
			if a.Kind == read.Service && a.Machine == out[i].Machine && a.Day != 0 {
				out[i].Day = a.Day
			}
			if a.Kind == read.Service && a.Machine == out[i].Machine && a.Day == 0 {
				out[i].Day = 0 // work of today as well: seen today
				break
			}
		}
	}
	return out
}

// guessed says that the figure of some work was read as a guess.
func guessed(all []read.Act, work read.Act) bool {
	return slices.ContainsFunc(all, func(a read.Act) bool {
		return a.Kind == read.Reading && a.Machine == work.Machine && a.Hours == work.Hours && a.Hours.Known && a.Known == engine.Estimated
	})
}

// takeOutLeaks takes a machine out of use whose fuel leaks, unless the same
// message says that the fuel side was worked on and stayed dry: "new hose, still
// weeping" mends nothing. Any fuel leak takes a machine out of use (TM
// 9-6115-641-10, operator's checks).
func (t *turn) takeOutLeaks(all []read.Act) error {
	for _, a := range all {
		seen, smelt := a.Kind == read.Finding && a.Finding == engine.Weep, smellsOfFuel(a.Symptoms)
		if !seen && !smelt || a.Day != 0 && a.Day != t.today || mends(all, a.Machine) && a.Dry {
			continue
		}
		before, out, err := t.outReason(t.views[a.Machine])
		if err != nil {
			return err
		}
		if out && read.TellsOfLeak(before) {
			continue
		}
		e := t.lineEntry(engine.KindOut, a)
		e.Symptoms = nil
		e.Reason = alsoOut(before, fuelLeak)
		if smelt && !seen {
			e.Reason = alsoOut(before, fuelSmell)
		}
		t.add(e)
		t.leaks = append(t.leaks, a.Machine)
	}
	return nil
}

// fuelSmell is the reason of one that smells of fuel: a leak until it is found to
// be none.
const fuelSmell = "smell of fuel, a leak until found otherwise"

func smellsOfFuel(all []engine.Symptom) bool { return slices.Contains(all, engine.FuelSmell) }

// fuelLeak is the reason of a machine that is taken out of use for a leak.
const fuelLeak = "fuel leak"

// mends says that a message holds work on a machine's fuel side.
func mends(all []read.Act, id engine.MachineID) bool {
	return slices.ContainsFunc(all, func(a read.Act) bool {
		return a.Kind == read.Service && a.Machine == id && opensFuel(a.Jobs)
	})
}

// dropPicked takes the lines back that an answer says go, and the wrong figure
// off those whose work stands; where that is all it does, it reads them back.
// Somebody else's line is not changed by picking an answer.
func (t *turn) dropPicked(o option, all []read.Act) (refused bool, err error) {
	gone, err := t.stillStanding(o.TakeBack)
	if err != nil {
		return false, err
	}
	bare, err := t.stillStanding(o.Bare)
	if err != nil {
		return false, err
	}
	for _, e := range append(gone[:len(gone):len(gone)], bare...) {
		if !t.mayChange(e) {
			t.refuseChange(e)
			return true, nil
		}
	}
	if len(all) == 0 {
		return false, t.takeOff(gone)
	}
	if len(gone) > 0 {
		t.line(sentence("Taken back: " + t.together(gone) + whenNotToday(t, gone)))
		rest, err := t.inTheirPlace(gone, all)
		if err != nil {
			return false, err
		}
		if err := t.dropWhole(rest); err != nil {
			return false, err
		}
	}
	for _, e := range bare {
		if _, err := t.view(e.Machine); err != nil {
			return false, err
		}
		less := e
		less.Hours = engine.Maybe[engine.Tenths]{}
		if err := t.replace(e, less); err != nil {
			return false, err
		}
	}
	if len(bare) > 0 {
		t.line(sentence("Stands, without hours: " + t.together(bare) + whenNotToday(t, bare)))
	}
	return false, nil
}

// inTheirPlace notes which wrong figures the readings of a message are to replace,
// one a machine, and gives the lines that are only taken back. What is replaced
// stands again when the message is undone.
func (t *turn) inTheirPlace(gone []engine.Entry, all []read.Act) (rest []engine.Entry, err error) {
	for _, e := range gone {
		reads := slices.ContainsFunc(all, func(a read.Act) bool { return a.Kind == read.Reading && a.Machine == e.Machine })
		if e.Kind != engine.KindReading || !reads || t.instead[e.Machine] != 0 {
			rest = append(rest, e)
			continue
		}
		v, err := t.view(e.Machine)
		if err != nil {
			return nil, err
		}
		if t.instead == nil {
			t.instead = map[engine.MachineID]engine.Seq{}
		}
		t.instead[e.Machine] = e.Seq
		v.drop(e.Seq, 0)
	}
	return rest, nil
}

// stillStanding are those of some lines that were neither taken back nor
// replaced since.
func (t *turn) stillStanding(all []engine.Seq) ([]engine.Entry, error) {
	entries, err := t.entriesOf(all)
	return standing(entries), err
}

// mayWrite stops a message of somebody who may not write what it says. An owner
// writes about the machines that are theirs.
func (t *turn) mayWrite(all []read.Act) (refused bool, err error) {
	for _, a := range all {
		if !acts[a.Kind].writes {
			continue
		}
		switch t.msg.By.Role {
		case Tech, Foreman:
			continue
		case Owner:
			m, ok := t.shed.Machine(a.Machine)
			if ok && t.owns(m) || !ok && a.Kind == read.Undo || a.Kind == read.Correct {
				continue
			}
			t.line("That one is for the shop to write. Nothing written.")
			if ok {
				t.out.Lines = []string{m.Tag + " is " + possessive(m.Owner) + ", not yours: the shop can write it. Nothing written."}
			}
		default:
			t.line("You may ask, not write. Nothing written.")
		}
		return true, nil
	}
	return false, nil
}

// reading is a meter's figure; it was judged before.
func reading(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	before := v.timeline()
	e := t.lineEntry(engine.KindReading, a)
	e.Hours, e.Known = a.Hours, a.Known
	e.Replaces = t.instead[a.Machine]
	delete(t.instead, a.Machine)
	t.add(e)
	k := t.ack(a)
	k.figure, k.known = a.Hours, a.Known
	k.gained(before, a.Hours.Value)
	return nil, nil
}

// service is work done.
func service(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	before := v.h
	e := t.lineEntry(engine.KindService, a)
	e.Hours, e.Known, e.Jobs, e.How, e.Words = a.Hours, a.Known, a.Jobs, a.How, a.Words
	if a.Dry && opensFuel(a.Jobs) {
		e.Value = engine.StayedDry
	}
	place := t.add(e)
	k := t.ack(a)
	for _, j := range a.Jobs {
		k.parts = append(k.parts, done(j, a.How, a.Words))
		k.other = k.other || j == engine.OtherWork
		if j != engine.OtherWork && j.RestartedBy(a.How) {
			k.jobs = append(k.jobs, j)
		}
	}
	k.services = append(k.services, served{entry: unwritten(place), before: before})
	k.looked = k.looked || e.Value == engine.StayedDry
	k.dry = k.dry || a.Dry
	return nil, nil
}

// looksTold says that work on the fuel side stayed dry behind all else that was
// done and seen: the look came last.
func (t *turn) looksTold() {
	for _, k := range t.acks {
		if k.looked {
			k.parts = append(k.parts, stayedDry)
		}
	}
}

// opensFuel says whether one of some jobs opens the fuel side; bleeding is how it
// is closed again.
func opensFuel(jobs []engine.Job) bool {
	return slices.ContainsFunc(jobs, func(j engine.Job) bool {
		info, _ := j.Info()
		return info.OpensFuel && j != engine.Bleed
	})
}

// finding is what was seen.
func finding(t *turn, a read.Act) (*doubt, error) {
	if _, err := t.view(a.Machine); err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindFinding, a)
	e.Finding, e.Amount = a.Finding, a.Amount
	t.add(e)
	k := t.ack(a)
	k.parts = append(k.parts, found(a.Finding, a.Amount))
	k.findings = append(k.findings, e)
	k.dry = k.dry || a.Dry
	return nil, nil
}

// fill is fuel put in.
func fill(t *turn, a read.Act) (*doubt, error) {
	if _, err := t.view(a.Machine); err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindFill, a)
	e.Litres, e.Grade = a.Litres, a.Grade
	t.add(e)
	k := t.ack(a)
	k.parts = append(k.parts, fillWords(e))
	return nil, nil
}

// symptom is a complaint. It is written, and hazards in it are named.
func symptom(t *turn, a read.Act) (*doubt, error) {
	if _, err := t.view(a.Machine); err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindSymptom, a)
	e.Symptoms = a.Symptoms
	t.add(e)
	k := t.ack(a)
	k.parts = append(k.parts, symptomsOf(a.Symptoms))
	k.symptoms = append(k.symptoms, a.Symptoms...)
	return nil, nil
}

// check is the answer to a check.
func check(t *turn, a read.Act) (*doubt, error) {
	if _, err := t.view(a.Machine); err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindCheck, a)
	e.Check, e.Value = a.Check, a.Result
	t.add(e)
	k := t.ack(a)
	k.parts = append(k.parts, checkedWords(a.Check, a.Result))
	return nil, nil
}

// lineEntry starts a line of the service book about the act's machine.
func (t *turn) lineEntry(kind engine.Kind, a read.Act) engine.Entry {
	e := t.entry(kind)
	e.Machine = a.Machine
	if a.Day != 0 && a.Day != t.today {
		e.Day, e.At = a.Day, t.noon(a.Day)
		if v := t.views[a.Machine]; v != nil {
			e.At = t.onDay(v.timeline(), a.Day, a.Hours)
		}
	}
	if first, with := doers(a.By); first != "" {
		if who := t.person(capital(first)); who != t.person(t.msg.By.Name) {
			e.Doer = who
		}
		if with != "" {
			e.Reason = "with " + with
		}
	}
	return e
}

// doers parts who did it, as named, into the first and the others: the book has
// room for one doer, and keeps the others in words.
func doers(by string) (first, with string) {
	names := strings.FieldsFunc(strings.NewReplacer(" and ", ",", " & ", ",", " n ", ",", " + ", ",").Replace(by), func(r rune) bool { return r == ',' })
	for i, n := range names {
		if n = strings.TrimSpace(n); i == 0 {
			first = n
		} else if n != "" {
			with = strings.TrimPrefix(with+" and "+capital(n), " and ")
		}
	}
	return first, with
}
