package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// putOff notes that a job waits until a day, or for a reason.
func putOff(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	if a.Until != 0 && a.Until <= t.today {
		return &doubt{
			lines: []string{v.m.Tag + ": " + dayWords(a.Until, t.today) + " is over. Put off to which day?"},
			held:  held{Ask: read.AskDay, Acts: wantingDay(a)},
		}, nil
	}
	e := t.lineEntry(engine.KindPutOff, a)
	e.Jobs, e.Until, e.Reason = withOilFilter(v.sheet(t), a.Jobs), a.Until, a.Reason
	t.add(e)
	t.line(v.m.Tag + ": " + putOffWords(e) + ".")
	if a.Until == 0 {
		t.line("It comes up once a week until it is done.")
	}
	return nil, nil
}

// withOilFilter puts the oil filter off with the oil where the two were last
// done together: nobody lets the oil out for the filter alone, and the answer
// names both.
func withOilFilter(sheet *engine.Sheet, jobs []engine.Job) []engine.Job {
	if !slices.Contains(jobs, engine.EngineOil) || slices.Contains(jobs, engine.OilFilter) {
		return jobs
	}
	oil, ok := sheet.LastDone(engine.EngineOil)
	filter, too := sheet.LastDone(engine.OilFilter)
	if !ok || !too || oil.Seq != filter.Seq {
		return jobs
	}
	return append(jobs[:len(jobs):len(jobs)], engine.OilFilter)
}

func wantingDay(a read.Act) []read.Act {
	a.Until, a.Wants = 0, []read.Slot{read.AskDay}
	return []read.Act{a}
}

// newMeter notes that the hour meter was replaced.
func newMeter(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindMeter, a)
	e.Hours, e.Old, e.Value = a.Hours, a.Old, a.Value
	t.add(e)
	t.line(v.m.Tag + ": " + meterChangeWords(v.m, e) + ".")
	if !a.Old.Known && a.Value == "" {
		if meter := v.timeline(); len(meter.Points) > 1 {
			t.line("The old one's last figure isn't known: counted from its last reading.")
		}
	}
	return nil, nil
}

// outOfUse takes a machine out of use. Anybody who may write may do so; it is
// lifted only by saying what was fixed.
func outOfUse(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	before, _, err := t.outReason(v)
	if err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindOut, a)
	e.Reason = alsoOut(before, a.Reason)
	t.add(e)
	if read.TellsOfLeak(a.Reason) {
		t.line(leakCaution(v.m, "fuel leak"))
	}
	t.line(v.m.Tag + ": " + withReason("out of use from now", e.Reason) + " (" + firstName(t.msg.By.Name) + ", " + t.cal.ClockAt(t.msg.At).String() + ").")
	t.line(toLift(e.Reason))
	return nil, nil
}

// toLift says what lifts it.
func toLift(reason string) string {
	if read.TellsOfLeak(reason) {
		return "To lift it: say what was fixed and that it stayed dry."
	}
	return "To lift it: say what was fixed."
}

// backInUse lifts it. Who says so is in the book by name, with what was fixed.
func backInUse(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	why, out, err := t.outReason(v)
	switch {
	case err != nil:
		return nil, err
	case !out && v.sheet(t).LaidUp() != nil:
		return woken(t, a)
	case !out:
		t.line(v.m.Tag + " is not out of use in the book. Nothing written.")
		return nil, nil
	case read.TellsOfLeak(why) && !(read.StayedDry(a.Reason) && read.SaysWhatWasFixed(a.Reason)):
		return whatWasFixed(a, v.m.Tag+" stays out of use, "+why+": say what was fixed and that it stayed dry.", "For example: "+v.m.Tag+" back in use, new hose, stayed dry."), nil
	case strings.TrimSpace(a.Reason) == "":
		return whatWasFixed(a, v.m.Tag+" stays out of use: say what was fixed.", "For example: "+v.m.Tag+" back in use, new belt."), nil
	}
	e := t.lineEntry(engine.KindBack, a)
	e.Reason = a.Reason
	t.add(e)
	t.line(v.m.Tag + ": back in use, as " + firstName(t.msg.By.Name) + " says: " + a.Reason + ".")
	t.line("Written. " + fitToRun)
	return nil, nil
}

// whatWasFixed asks what was fixed, so that "new hose, stayed dry" lifts it.
func whatWasFixed(a read.Act, lines ...string) *doubt {
	a.Reason = ""
	return &doubt{lines: lines, held: held{Ask: askFixed, Acts: []read.Act{a}}}
}

// parked lays a machine up; woken takes it into use again.
func parked(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindParked, a)
	e.Reason = a.Reason
	t.add(e)
	t.line(v.m.Tag + ": parked from " + dayWords(e.Day, t.today) + ". What is due by the calendar still comes up.")
	return nil, nil
}

func woken(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindWoken, a)
	e.Reason = a.Reason
	t.add(e)
	t.line(v.m.Tag + ": in use again. Look into the bowl before the first start.")
	if v.m.SelfStarts == engine.Yes {
		t.line(selfStartCaution)
	}
	return nil, nil
}

// rain notes that water may have come in at the cap: out in the rain, or washed
// down. The bowl is looked into before the next start.
func rain(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindRain, a)
	e.Value = a.Value
	t.add(e)
	bowl := t.bowlOf(v)
	look := bowl != nil && bowl.Item.Reason.Bowl.Why != "" && bowl.Item.Reason.Bowl.Why != engine.StillShort
	if look && v.m.SelfStarts == engine.Yes {
		t.line(ofMachine(v.m.Tag, selfStartCaution))
	}
	t.line(sentence(v.m.Tag + ": " + rainWords(e) + onDay(e.Day, t.today)))
	if look {
		t.line("Look into the bowl before the next start.")
	}
	return nil, nil
}

// bowlOf is what the book says of a machine's bowl, nil where it has none to
// look after.
func (t *turn) bowlOf(v *view) *engine.BowlState {
	for _, line := range t.desk.plan.For(v.m, t.shed.Plan) {
		if line.Job == engine.Drain && !line.Interval.Off {
			b := v.sheet(t).Bowl(line, t.now)
			return &b
		}
	}
	return nil
}

func rainWords(e engine.Entry) string {
	switch e.Value {
	case "washed":
		return "washed down"
	case "rain":
		return "out in the rain"
	}
	return "heavy rain or wash-down"
}

// onDay writes a day that is not today, after a comma.
func onDay(d, today engine.Day) string {
	if d == 0 || d == today {
		return ""
	}
	return ", " + dayWords(d, today)
}

// baseline notes a last service that the book did not see.
func baseline(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	e := t.lineEntry(engine.KindBaseline, a)
	e.Day, e.At = a.Day, 0
	e.Hours, e.Jobs, e.Known = a.Hours, a.Jobs, a.Known
	if a.Known == engine.Counted {
		e.Day, e.At = t.today, t.msg.At
	}
	if a.Day != 0 {
		e.At = t.noon(a.Day)
	}
	t.add(e)
	if t.many || len(e.Jobs) > 3 && a.Known == engine.Counted {
		t.based = append(t.based, e)
		return nil, nil
	}
	if a.Day != 0 {
		t.line(v.m.Tag + ", " + dayWords(a.Day, t.today) + ": " + baselineWords(v.m, e) + ".")
	} else {
		t.line(v.m.Tag + " " + baselineWords(v.m, e) + ".")
	}
	if a.Known != engine.Unsure {
		t.nextJobs(a.Machine, a.Jobs)
	}
	return nil, nil
}

// help says how to use it, in a breath.
func help(t *turn, _ read.Act) (*doubt, error) {
	t.line(
		"Say it the way you'd tell a colleague:",
		"  rt1 1223.4 drained, bit of water",
		"  wilm greased om1 yesterday",
		"  whats due this week / history of dp1",
		"  hours since last drain on rt1",
		"  rt1 separator every 400 h or 12 months",
		"  wf2 out of use, fuel leak",
		"  undo / that was rt2 not rt1",
		"In doubt I ask. Small talk gets no answer.",
	)
	return nil, nil
}

// owns says whether a machine is the speaker's to write about: theirs by name,
// or the shop's own for an owner who is not known by name.
func (t *turn) owns(m engine.Machine) bool {
	if sharesName(m.Owner, t.msg.By.Name) {
		return true
	}
	return m.Owner == t.shopOwner() && !slices.ContainsFunc(t.shed.Machines, func(o engine.Machine) bool {
		return sharesName(o.Owner, t.msg.By.Name)
	})
}

// shopOwner is the owner of most machines: the shop's own are in that name.
func (t *turn) shopOwner() string {
	if !t.ownerKnown {
		t.owner, t.ownerKnown = mostOwned(t.shed.Machines), true
	}
	return t.owner
}

// shopsOwn says whether a machine is the shop's, not a customer's.
func (t *turn) shopsOwn(m engine.Machine) bool { return m.Owner == "" || m.Owner == t.shopOwner() }

// oursAndTheirs parts what is about the shop's own machines from what is about
// its customers'.
func oursAndTheirs[T any](t *turn, all []T, of func(T) engine.Machine) (ours, theirs []T) {
	for _, x := range all {
		if t.shopsOwn(of(x)) {
			ours = append(ours, x)
		} else {
			theirs = append(theirs, x)
		}
	}
	return ours, theirs
}

func mostOwned(machines []engine.Machine) string {
	counts := map[string]int{}
	most := ""
	for _, m := range machines {
		counts[m.Owner]++
		if n := counts[m.Owner]; n > counts[most] || n == counts[most] && m.Owner < most {
			most = m.Owner
		}
	}
	return most
}

// sharesName says whether an owner's name and a speaker's have a word in common.
func sharesName(owner, speaker string) bool {
	for _, part := range strings.Fields(strings.ToLower(owner)) {
		for _, own := range strings.Fields(strings.ToLower(speaker)) {
			if part == own && len(part) > 2 {
				return true
			}
		}
	}
	return false
}
