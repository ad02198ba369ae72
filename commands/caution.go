package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// Cautions carry a signal word of ANSI Z535 and come before anything else that
// is said: whoever stands at the machine reads the first line.

// fitToRun is said where a machine is in use: the book does not say that it is safe.
const fitToRun = "Whether it is fit to run is for whoever runs it, by its manual."

// selfStartCaution is said before hands go into a machine that starts by itself.
const selfStartCaution = "WARNING Starts by itself: control off and isolated before hands go in."

// leakCaution is said first of any fuel leak: what to do now. Any fuel leak
// takes a machine out of use (TM 9-6115-641-10, operator's checks).
func leakCaution(m engine.Machine, what string) string {
	return string(engine.Warning) + " " + m.Tag + ": " + what + ", fire. Stop it, key out, no flame."
}

// ofMachine names the machine that a line is about. A signal word stays first.
func ofMachine(tag, line string) string {
	if line == selfStartCaution {
		return strings.Replace(line, "Starts", tag+" starts", 1)
	}
	for _, s := range []engine.Signal{engine.Danger, engine.Warning, engine.Caution} {
		if rest, ok := strings.CutPrefix(line, string(s)+" "); ok {
			return string(s) + " " + tag + ": " + lowerFirst(rest)
		}
	}
	return tag + ": " + lowerFirst(line)
}

// cautionFirst puts the cautions for the leaks of a message before its answer.
func (t *turn) cautionFirst() {
	for _, k := range t.acks {
		if k.leaks() && !(k.mayMend() && k.dry) {
			t.line(leakCaution(k.m, "fuel leak"))
		} else if smellsOfFuel(k.symptoms) {
			t.line(leakCaution(k.m, "smell of fuel"))
		}
	}
}

// leaks says that a fuel leak was seen.
func (k *ack) leaks() bool {
	return slices.ContainsFunc(k.findings, func(e engine.Entry) bool { return e.Finding == engine.Weep })
}

// bringsHands says that what was written sends somebody back to the machine: a
// complaint, or a find that is not clean.
func (k *ack) bringsHands() bool {
	return len(k.symptoms) > 0 || len(k.findings) > 0 && !slices.ContainsFunc(k.findings, isClean)
}

// kindWords are other words of the trade for the usual kinds of machine.
var kindWords = strings.NewReplacer("genset", "generator", "gen set", "generator", "wind machine", "frost fan")

// kindOfNew is the kind of a machine that is being added: what the shop calls
// its own, else the usual kind that its name speaks of.
func kindOfNew(a read.Act) string {
	if kind := engine.KindIn(kindWords.Replace(strings.ToLower(a.Name))); kind != "" && a.MachineKind == "" {
		return kind
	}
	return a.MachineKind
}

// startsByItself says whether a machine that is being added starts by itself:
// as said, else as is usual for its kind.
func startsByItself(a read.Act) (yes, said bool) {
	if a.Key == engine.TraitSelfStart {
		return !a.Off, true
	}
	return engine.KindStartsByItself(kindOfNew(a)), false
}

// cautionOfNew is the caution of a machine that was just added.
func cautionOfNew(a read.Act) []string {
	switch yes, said := startsByItself(a); {
	case yes && said:
		return []string{selfStartCaution}
	case yes:
		return []string{selfStartCaution, "Taken so because a " + kindOfNew(a) + " usually does; say if it doesn't."}
	}
	return nil
}

// do does what the acts of a message say. A machine that was out of use before
// is named as such ahead of anything else, whatever is said of it; only a
// caution comes before.
func (t *turn) do(all []read.Act, picked *option) error {
	from := len(t.out.Lines)
	if err := t.doActs(all, picked); err != nil || len(t.out.Lines) == from {
		return err
	}
	return t.outBehindCautions(from, t.spokenOf(all))
}

// nameOut names the machines out of use that a question is about, ahead of it,
// where the answer doesn't yet.
func (t *turn) nameOut(asked []read.Act) error {
	if len(asked) == 0 || len(t.out.Lines) == 0 {
		return nil
	}
	return t.outBehindCautions(0, t.spokenOf(asked))
}

// outBehindCautions names the machines that were out of use before this message
// ahead of the answer's lines from one on; only a caution comes before.
func (t *turn) outBehindCautions(from int, ids []engine.MachineID) error {
	said := slices.Clone(t.out.Lines[from:])
	t.out.Lines = t.out.Lines[:from:from]
	for len(said) > 0 && isCaution(said[0]) {
		t.line(said[0])
		said = said[1:]
	}
	for _, id := range ids {
		v, err := t.view(id)
		if err != nil {
			return err
		}
		if out := engine.OutOfUse(v.h); out == nil || out.Seq >= unwritten(0) {
			continue // by this very message, which says so itself
		}
		at := len(t.out.Lines)
		if err := t.outFirst(v); err != nil {
			return err
		}
		if slices.Contains(said, t.out.Lines[at]) {
			t.out.Lines = t.out.Lines[:at] // said already
		}
	}
	t.line(said...)
	return nil
}

func isCaution(line string) bool {
	return slices.ContainsFunc([]engine.Signal{engine.Danger, engine.Warning, engine.Caution}, func(s engine.Signal) bool {
		return strings.HasPrefix(line, string(s)+" ")
	})
}

// spokenOf are the machines that the answer to some acts speaks of, leaving out
// those whose acts say themselves whether they are in use.
func (t *turn) spokenOf(all []read.Act) (ids []engine.MachineID) {
	add := func(id engine.MachineID) {
		if id > 0 && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	told := map[engine.MachineID]bool{}
	for _, a := range all {
		switch a.Kind {
		case read.Question, read.Out, read.Back:
			told[a.Machine] = true
			continue
		}
		add(a.Machine)
		for _, id := range heldMachines(a.Held) {
			add(id)
		}
	}
	for _, e := range t.batch.Entries {
		add(e.Machine)
	}
	return slices.DeleteFunc(ids, func(id engine.MachineID) bool { return told[id] })
}
