package commands

import (
	"slices"
	"strconv"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
	"woodruff/engine/triage"
)

// A fault is what the book has of a machine since somebody complained: it is
// made anew from the lines at every answer, so that it may be left till morning,
// picked up by somebody else, and changed by taking a line back.

// Checks of our own, beside those of the vocabulary: what a question of
// fault-finding is answered with. A sign of the network that is no check of the
// vocabulary is kept under its own name.
const (
	checkCrank engine.Check = "crank" // well, slow, clicks, nothing
	checkSmoke engine.Check = "smoke" // which colour
	checkWhen  engine.Check = "when"  // hard to start cold, hot, or both
	checkRuns  engine.Check = "runs"  // after a repair
)

// faultLife is how long after the last word about it a fault is still the same
// one: a comeback within it reopens the question.
const faultLife = 30 // days

// fault is a machine's open trouble.
type fault struct {
	triage.Fault
	since    engine.Day
	symptoms []engine.Symptom
	answers  map[engine.Check]string // of the questions of our own
	cranks   string
	tried    []triage.CauseID // put right since it was last said whether it runs
	leak     bool
}

// signsOf are what a complaint says of the signs.
var signsOf = map[engine.Symptom]triage.SignID{
	engine.BlackSmoke: "black", engine.BlueSmoke: "blue", engine.HardStartCold: "hard-cold", engine.HardStartHot: "hard-hot",
	engine.StartsDies: "starts-dies", engine.PowerLoss: "no-power", engine.Surging: "surges", engine.RoughIdle: "surges",
	engine.Stalls: "cuts-out", engine.Knock: "knock", engine.FuelSmell: "weep",
}

// signOfFinding is what a finding says of the signs.
var signOfFinding = map[engine.Finding]triage.SignID{
	engine.Water: "ring", engine.RingUp: "ring", engine.Rust: "rust", engine.Debris: "rust", engine.Slime: "slime", engine.Weep: "weep",
	engine.Air: "bubbles", engine.Wax: "wax", engine.Ice: "ice", engine.Cloudy: "hazy",
}

// checkSigns are the checks of the vocabulary that ask for one sign.
var checkSigns = map[engine.Check]triage.SignID{
	engine.CheckRing: "ring", engine.CheckBubbles: "bubbles", engine.CheckCap: "cap", engine.CheckWet: "weep",
	engine.CheckShutoff: "overnight", engine.CheckAirFilter: "air-filter",
}

// cures are the causes that a job puts right.
var cures = map[engine.Job][]triage.CauseID{
	engine.Separator: {"primary", "rusty-element"}, engine.FuelFilter: {"final"}, engine.ORing: {"old-ring", "pinched-ring"},
	engine.Bowl: {"bowl", "old-ring", "pinched-ring"}, engine.Bleed: {"unbled"}, engine.Tank: {"growth", "screen", "old-fuel"},
	engine.Vent: {"vent"}, engine.Hose: {"hose", "suction-line"}, engine.LiftPump: {"lift-pump"}, engine.Injectors: {"injector"},
	engine.AirCleaner: {"air-cleaner"}, engine.Battery: {"cranking"},
}

// faultOf gathers a machine's open fault. ok is false where nobody complains.
func (t *turn) faultOf(v *view) (f fault, ok bool) {
	lines, _ := troubles(v.h, t.today)
	if len(lines) == 0 || t.today-lines[len(lines)-1].Day > faultLife {
		return fault{}, false
	}
	f = faultIn(lines)
	f.Background = t.background(v, lines[0])
	return f, true
}

// troubles are the lines of a machine's latest fault, unless that was found, and
// those of the faults that were: from the first complaint to the word that it
// runs right.
func troubles(h []engine.Entry, today engine.Day) (open []*engine.Entry, found [][]*engine.Entry) {
	for i := range h {
		e := &h[i]
		if !stands(e) || e.Day > today {
			continue
		}
		switch {
		case e.Kind == engine.KindSymptom && (len(open) == 0 || e.Day-open[len(open)-1].Day > faultLife):
			open = []*engine.Entry{e}
		case e.Kind == engine.KindCheck && e.Check == checkRuns && e.Value == "yes" && len(open) > 0:
			open, found = nil, append(found, open)
		case len(open) > 0:
			open = append(open, e)
		}
	}
	return open, found
}

// faultIn is what some lines say of a fault.
func faultIn(lines []*engine.Entry) fault {
	f := fault{since: lines[0].Day, answers: map[engine.Check]string{}}
	f.Answers = triage.Answers{}
	for _, e := range lines {
		f.take(e)
	}
	return f
}

// cause is the cause of a fault that was found: of what was put right last, the
// likeliest by what was seen. "" where nothing was.
func (f fault) cause() triage.CauseID {
	p, err := triage.Generic().Posterior(f.Background, f.Answers)
	if err != nil {
		return ""
	}
	for _, r := range p.Ranked {
		if slices.Contains(f.tried, r.Cause) {
			return r.Cause
		}
	}
	return ""
}

// settled counts the faults that the shop has found, by cause. They move what is
// likely here.
func (t *turn) settled() map[triage.CauseID]float64 {
	counts := map[triage.CauseID]float64{}
	t.besideErr = t.eachMachine(func(v *view) error {
		_, found := troubles(v.h, t.today)
		for _, lines := range found {
			if c := faultIn(lines).cause(); c != "" {
				counts[c]++
			}
		}
		return nil
	})
	return counts
}

// take lets a line of the book speak for the fault.
func (f *fault) take(e *engine.Entry) {
	switch e.Kind {
	case engine.KindSymptom:
		for _, s := range e.Symptoms {
			if !slices.Contains(f.symptoms, s) {
				f.symptoms = append(f.symptoms, s)
			}
			if sign, ok := signsOf[s]; ok {
				f.Answers[sign] = triage.Yes
			}
			f.leak = f.leak || s == engine.FuelSmell
		}
	case engine.KindFinding:
		if sign, ok := signOfFinding[e.Finding]; ok {
			f.Answers[sign] = triage.Yes
		}
		if e.Finding == engine.Clean {
			f.Answers["ring"] = triage.No
		}
		f.leak = f.leak || e.Finding == engine.Weep
	case engine.KindCheck:
		f.check(e.Check, e.Value)
	case engine.KindService:
		f.repaired(e)
	}
}

// check takes the answer to a question.
func (f *fault) check(c engine.Check, value string) {
	said := triage.Answer(value)
	switch c {
	case checkCrank:
		f.cranks = value
		switch value {
		case "well":
			f.Answers["slow-crank"] = triage.No
			if slices.Contains(f.symptoms, engine.NoStart) {
				f.Answers["no-fire"] = triage.Yes
			}
		case "slow":
			f.Answers["slow-crank"] = triage.Yes
		}
	case checkSmoke:
		if sign, ok := map[string]triage.SignID{"black": "black", "blue": "blue"}[value]; ok {
			f.Answers[sign] = triage.Yes
		}
	case checkWhen:
		if value != "hot" {
			f.Answers["hard-cold"] = triage.Yes
		}
		if value != "cold" {
			f.Answers["hard-hot"] = triage.Yes
		}
	case checkRuns:
		if value == "no" {
			f.Done = append(f.Done, f.tried...)
		}
		f.tried = nil
	case engine.CheckBowl:
		f.bowl(engine.Finding(value))
	case engine.CheckAirFilter:
		f.Answers["air-filter"] = turned(said) // which was asked as whether it is clean
	case "white-warm":
		f.Answers["white-warm"] = said
		if said == triage.No { // it clears
			f.Answers["white-cold"] = triage.Yes
		}
	default:
		sign, ok := checkSigns[c]
		if !ok {
			sign = triage.SignID(c)
		}
		if s, known := triage.Generic().Sign(sign); known && s.Takes(said) {
			f.Answers[sign] = said
			f.leak = f.leak || sign == "weep" && said == triage.Yes
		}
	}
	f.answers[c] = value
}

// turned is the answer to the opposite question.
func turned(a triage.Answer) triage.Answer {
	switch a {
	case triage.Yes:
		return triage.No
	case triage.No:
		return triage.Yes
	}
	return a
}

// bowl takes what is in the bowl.
func (f *fault) bowl(found engine.Finding) {
	if found == engine.Clean {
		f.Answers["ring"], f.Answers["rust"], f.Answers["slime"] = triage.No, triage.No, triage.No
		return
	}
	if sign, ok := signOfFinding[found]; ok {
		f.Answers[sign] = triage.Yes
	}
}

// repaired takes work into account: whether it helped is asked.
func (f *fault) repaired(e *engine.Entry) {
	if e.How == engine.LookedAt || e.How == engine.ToppedUp {
		return
	}
	for _, j := range e.Jobs {
		if of := cures[j]; len(of) > 0 {
			f.tried = append(f.tried, of...)
		}
	}
}

// outside are complaints that the network does not know, with where to look.
var outside = map[engine.Symptom]string{
	engine.RunsHot: "Running hot is no fuel matter. Stop it, let it cool, cap shut. Then coolant level cold, fins, fan belt, by its manual.",
}

// startComplaint says that the complaint is about starting.
func (f fault) startComplaint() bool {
	return slices.ContainsFunc(f.symptoms, func(s engine.Symptom) bool {
		return s == engine.NoStart || s == engine.HardStart || s == engine.HardStartCold
	})
}

// firstAsk says what must be known before the network is asked.
func (f fault) firstAsk() (c engine.Check, line string, options []string) {
	has := func(s engine.Symptom) bool { return slices.Contains(f.symptoms, s) }
	switch {
	case f.startComplaint() && f.cranks == "":
		return checkCrank, "Does it crank?", []string{"well", "slow", "clicks", "nothing"}
	case has(engine.HardStart) && f.answers[checkWhen] == "" && !has(engine.HardStartCold) && !has(engine.HardStartHot):
		return checkWhen, "Hard to start when?", []string{"cold", "hot", "both"}
	case has(engine.Smoke) && f.answers[checkSmoke] == "" && !has(engine.BlackSmoke) && !has(engine.BlueSmoke) && !has(engine.WhiteSmoke):
		return checkSmoke, "What colour is the smoke?", []string{"white", "black", "blue"}
	}
	if (has(engine.WhiteSmoke) || f.answers[checkSmoke] == "white") && f.Answers["white-cold"] == "" && f.Answers["white-warm"] == "" {
		return "white-warm", "White smoke still there when warm?", []string{"yes", "no"}
	}
	return "", "", nil
}

// findFault goes on with fault-finding after a message that told of a complaint,
// a look or a repair on one machine: what is likeliest and the one next step.
func (t *turn) findFault(ids []engine.MachineID) {
	if len(ids) != 1 || t.beside != nil || t.askRing != 0 || !t.aboutFault() {
		return
	}
	v := t.views[ids[0]]
	f, ok := t.faultOf(v)
	if !ok {
		t.foundFault(v)
		return
	}
	for _, s := range f.symptoms {
		if line, ok := outside[s]; ok && len(f.symptoms) == 1 {
			t.line(line)
			return
		}
	}
	switch {
	case len(f.tried) > 0:
		t.beside = askCheck(v.m, checkRuns, "Does "+v.m.Tag+" run right after that?", []string{"yes", "no"}, nil)
		return
	case f.cranks == "slow":
		t.line("Cranking first: battery charged and its posts clean, cables, earth, oil for the cold. Then say what was done.")
		return
	case f.cranks == "clicks" || f.cranks == "nothing":
		t.line("That is not fuel: battery, cables, earth, starter, seat and PTO switches, in that order.",
			string(engine.Warning)+" Never bridge the starter or a switch, not to move it either.")
		return
	}
	if c, line, options := f.firstAsk(); c != "" {
		t.beside = askCheck(v.m, c, line, options, nil)
		return
	}
	t.nextStep(v, f)
}

// foundFault says what a fault was, where this message ended it.
func (t *turn) foundFault(v *view) {
	_, found := troubles(v.h, t.today)
	if len(found) == 0 || !slices.ContainsFunc(t.batch.Entries, func(e engine.Entry) bool { return e.Kind == engine.KindCheck && e.Check == checkRuns }) {
		return
	}
	if c, ok := triage.Generic().Cause(faultIn(found[len(found)-1]).cause()); ok {
		t.line("Fault found: " + c.Name + ". If it comes back within 30 days, say so.")
	}
}

// aboutFault says that the message told of a complaint, of a look, or of work.
func (t *turn) aboutFault() bool {
	return slices.ContainsFunc(t.batch.Entries, func(e engine.Entry) bool {
		switch e.Kind {
		case engine.KindSymptom, engine.KindCheck:
			return true
		case engine.KindService:
			return slices.ContainsFunc(e.Jobs, func(j engine.Job) bool { return len(cures[j]) > 0 })
		}
		return false
	})
}

// onlyAboutFault says that a message told of a complaint or a look and of nothing
// else: what is due next is then no matter.
func (t *turn) onlyAboutFault() bool {
	return len(t.batch.Entries) > 0 && !slices.ContainsFunc(t.batch.Entries, func(e engine.Entry) bool {
		return e.Kind != engine.KindSymptom && e.Kind != engine.KindCheck && e.Kind != engine.KindPerson
	})
}

// nextStep names what is likeliest, and the next step with what it takes.
func (t *turn) nextStep(v *view, f fault) {
	n := triage.Generic()
	safe := triage.Machine{
		Mechanical: v.m.Injection == "mechanical", Leaks: f.leak, Owner: t.msg.By.Role == Owner,
		Dead: slices.Contains(f.symptoms, engine.NoStart), Runs: !f.startComplaint(),
	}
	f.Background.Settled = t.settled()
	plan, err := n.Next(f.Fault, safe.Allows)
	if err != nil {
		t.besideErr = err
		return
	}
	t.line(likeliest(n, f, plan)...)
	step := plan.Next
	switch {
	case step.Sign != "":
		s, _ := n.Sign(step.Sign)
		t.line(stepCautions(s)...)
		t.beside = askCheck(v.m, checkFor(step.Sign), lookWords(s, step), answersTo(s), s.Possible())
	case step.Cause != "":
		c, _ := n.Cause(step.Cause)
		if c.Limit != "" || safe.Owner {
			t.line(handOn(c, safe.Owner))
			return
		}
		t.line("Do next: " + c.Fix + " (" + minuteWords(c.Minutes) + "). Then say what was done.")
	default:
		t.line("Nothing is left to look at here. Ring the shop, or the machine's dealer.")
	}
}

// likely is a chance from which a cause is named; mentioned the least of a second.
const likely, mentioned = 0.08, 0.10

// likeliest words the causes and what of the book moved them.
func likeliest(n *triage.Net, f fault, plan triage.Plan) []string {
	var names []string
	var first triage.CauseID
	for _, r := range plan.Ranked {
		c, _ := n.Cause(r.Cause)
		if slices.Contains(f.Done, r.Cause) || r.Chance < likely || r.Cause == "other" {
			continue
		}
		if first == "" {
			first = r.Cause
		} else if r.Chance < mentioned || len(names) == 3 {
			break
		}
		names = append(names, c.Name)
	}
	if len(names) == 0 {
		return []string{"Nothing stands out yet."}
	}
	lines := []string{"Likeliest: " + strings.Join(names, "; then ") + "."}
	if why := n.Moved(f.Background.Factors, first); len(why) > 0 {
		lines = append(lines, capital(list(why))+".")
	}
	return lines
}

// checkFor is the check under which the answer about a sign is kept.
func checkFor(sign triage.SignID) engine.Check {
	for c, s := range checkSigns {
		if s == sign {
			return c
		}
	}
	return engine.Check(sign)
}

// checkedWords say what a check came to: "float ring up: no".
func checkedWords(c engine.Check, result string) string {
	sign, ok := checkSigns[c]
	if !ok {
		sign = triage.SignID(c)
	}
	if result == string(triage.CantTell) || result == string(triage.NoTool) {
		result = map[string]string{string(triage.CantTell): "can't tell", string(triage.NoTool): "no tool here"}[result]
	}
	if s, ok := triage.Generic().Sign(sign); ok && c != engine.CheckAirFilter {
		return s.Words + ": " + result
	}
	if words, ok := map[engine.Check]string{
		checkCrank: "cranks", checkSmoke: "smoke", checkWhen: "hard to start", checkRuns: "runs right", engine.CheckAirFilter: "air filter clean",
	}[c]; ok {
		return words + ": " + result
	}
	return "checked " + string(c) + ": " + result
}

func minuteWords(m triage.Minutes) string { return strconv.Itoa(int(m+0.5)) + " min" }

// lookWords asks for a look: what for, how long, with what.
func lookWords(s triage.Sign, step triage.Step) string {
	line := capital(s.Words) + "?"
	var takes []string
	if step.Minutes > 0 {
		takes = append(takes, minuteWords(step.Minutes))
	}
	if s.Tools != "" {
		takes = append(takes, s.Tools)
	}
	if len(takes) > 0 {
		line += " (" + strings.Join(takes, "; ") + ")"
	}
	return line
}

// stepCautions are said before a look that can hurt somebody.
func stepCautions(s triage.Sign) (lines []string) {
	for _, c := range []struct{ flag, line string }{
		{"crack", string(engine.Warning) + " Fuel from a nozzle goes through skin: gloves, shield, a card and never a finger. Not alone."},
		{"two", string(engine.Caution) + " Two people: one in the seat, neutral, PTO out, brake on."},
		{"crank", string(engine.Caution) + " Crank in short bursts with rests, by the manual."},
		{"level", string(engine.Caution) + " Cap loosened, not off; level ground."},
	} {
		if s.Has(c.flag) {
			lines = append(lines, c.line)
		}
	}
	return lines
}

// answersTo are the answers of a look, as they are picked.
func answersTo(s triage.Sign) []string {
	if s.Kind == triage.Sides {
		return []string{"high before", "high only after", "low both", "can't tell", "no gauge here"}
	}
	if s.Tools != "" {
		return []string{"yes", "no", "can't tell", "haven't got it here"}
	}
	return []string{"yes", "no", "can't tell"}
}

// askCheck asks a question of fault-finding; what is picked is written as its
// answer. values are what each option stands for, nil for its own words.
func askCheck(m engine.Machine, c engine.Check, line string, options []string, values []triage.Answer) *doubt {
	d := &doubt{lines: []string{line}, held: held{Check: c, Of: m.ID}}
	for i, label := range options {
		value := label
		switch {
		case i < len(values):
			value = string(values[i])
		case label == "can't tell":
			value = string(triage.CantTell)
		case strings.HasSuffix(label, " here"):
			value = string(triage.NoTool)
		}
		if c == engine.CheckAirFilter { // kept as whether it is clean
			value = string(turned(triage.Answer(value)))
		}
		d.held.Options = append(d.held.Options, option{
			Label: label, Trust: true, Yes: label == "yes", No: label == "no",
			Acts: []read.Act{{Kind: read.Check, Machine: m.ID, Check: c, Result: value}},
		})
	}
	return d
}

// handOn says where the shop's own work ends, and who goes on.
func handOn(c triage.Cause, owner bool) string {
	switch {
	case owner:
		return "Likeliest now: " + c.Name + ". Leave it as it is and ring the shop."
	case c.Limit == "pump":
		return "Next would be " + c.Name + ": pump internals are a pump shop's."
	case c.Limit == "timing":
		return "Next would be " + c.Name + ": past the marks it is a specialist's, by the manual for that serial."
	}
	return "Next would be " + c.Name + ": sealed stops are a pump shop's."
}
