package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// A fuel leak takes a machine out of use until it is said what was fixed and
// that it stayed dry: "new ring" alone says nothing of whether it holds.

// outReason is why a machine is out of use, "" where it is not or none was
// given.
func (t *turn) outReason(v *view) (reason string, out bool, err error) {
	e := v.sheet(t).OutOfUse()
	if e == nil {
		return "", false, nil
	}
	if e.Reason != "" { // written by this message: its words are not in the book yet
		return e.Reason, true, nil
	}
	texts, err := t.book.Texts(t.ctx, e.Seq)
	return texts[e.Seq].Reason, true, err
}

// alsoOut is the reason of a machine that is taken out of use once more: what
// held it so far still holds it.
func alsoOut(before, now string) string {
	switch {
	case before == "" || strings.Contains(strings.ToLower(now), strings.ToLower(before)):
		return now
	case now == "" || strings.Contains(strings.ToLower(before), strings.ToLower(now)):
		return before
	}
	return before + "; " + now
}

// stillOut offers to lift a leak's hold after work that can have mended it.
func (t *turn) stillOut(ids []engine.MachineID) {
	if len(ids) != 1 || len(t.leaks) > 0 || t.msg.By.Role == "" {
		return
	}
	v := t.views[ids[0]]
	reason, out, err := t.outReason(v)
	if err != nil || !out {
		t.besideErr = err
		return
	}
	var mended []string
	for _, k := range t.acks {
		if k.day == t.today && !k.leaks() && k.mayMend() {
			mended = append(mended, slices.DeleteFunc(slices.Clone(k.parts), func(p string) bool { return p == stayedDry })...)
		}
	}
	if len(mended) > 0 && read.TellsOfLeak(reason) {
		t.beside = t.liftDoubt(v.m, reason, list(mended))
	}
}

// mayMend says that there was work that can have mended a leak: the fuel side
// was opened, or something was done that is no job of the list.
func (k *ack) mayMend() bool {
	return opensFuel(k.jobs) || k.other
}

// liftDoubt asks whether a machine is back in use after work on it. Who says yes
// is in the book with what was done; where fuel leaked, with that it stayed dry.
func (t *turn) liftDoubt(m engine.Machine, reason, work string) *doubt {
	said := work
	ask := m.Tag + " back in use?"
	no := "no"
	if read.TellsOfLeak(reason) {
		said += ", stayed dry"
		if !slices.ContainsFunc(t.acks, func(k *ack) bool { return k.m.ID == m.ID && k.dry }) {
			ask = "Did " + m.Tag + " stay dry? Then it is back in use."
			no = "not yet"
		}
	}
	back := read.Act{Kind: read.Back, Machine: m.ID, Reason: said}
	return &doubt{
		lines: []string{ask},
		held: held{Ask: read.AskMeaning, Options: []option{
			{Label: "yes, back in use", Acts: []read.Act{back}, Trust: true, Yes: true, Words: "dry stayed stays", Beside: "ran run min mins 10 15 20 30 now all"},
			{Label: no, Nothing: true, Words: "not leaks leaking wet weeps weeping drips dripping", Beside: "still it yet dry"},
		}},
	}
}

// openedOf tells the reader where a look for leaks is still to come: on a machine
// that is named, or on the one that the speaker worked on last in this place.
func (t *turn) openedOf(failed *error) func(engine.MachineID) (engine.MachineID, bool) {
	return func(id engine.MachineID) (engine.MachineID, bool) {
		if id == 0 {
			recent, err := t.lastMessages(t.now-openedWithin, 1)
			if err != nil {
				*failed = err
			}
			if len(recent) == 0 || len(machinesOf(recent[0])) != 1 {
				return 0, false
			}
			id = machinesOf(recent[0])[0]
		}
		v, err := t.view(id)
		if err != nil {
			*failed = err
			return 0, false
		}
		return id, slices.ContainsFunc(v.sheet(t).FollowUps(t.now), func(f engine.FollowUp) bool { return f.Kind == engine.LookForLeaks })
	}
}

// openedWithin is how long after work on it "ran 10 min, no leaks" is of the same
// machine where none is named.
const openedWithin engine.Instant = 3 * 60 * 60
