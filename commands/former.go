package commands

import (
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

// formerNames are the names of the machines that have left the shed. nil where
// none has.
func formerNames(all []engine.Machine, people []engine.Person) *read.Names {
	var left []engine.Machine
	for _, m := range all {
		if !m.InShed() {
			m.Gone = "" // the reader knows machines in the shed only
			left = append(left, m)
		}
	}
	if left == nil {
		return nil
	}
	return read.NewNames(left, people)
}

// lost says that a message was not understood, as one is that names a machine
// the shed no longer has.
func lost(acts []read.Act) bool {
	return silent(acts) || len(acts) == 1 && acts[0].Kind == read.Unclear && (acts[0].Ask == read.AskMeaning || acts[0].Ask == read.AskMachine)
}

// ofFormer answers a message that makes sense of a machine that has left the
// shed, and says whether it was one. What the book holds of the machine can
// still be asked; nothing more is written.
func (t *turn) ofFormer() (bool, error) {
	if t.desk.former == nil {
		return false, nil
	}
	now := t.names
	t.names = t.desk.former
	m, err := t.interpret(nil)
	t.names = now
	if err != nil || lost(m.Acts) || slices.ContainsFunc(m.Acts, func(a read.Act) bool { return a.Machine == 0 }) {
		return false, err
	}
	said := map[engine.MachineID]bool{}
	for _, a := range m.Acts {
		left, _ := t.shed.Machine(a.Machine)
		if !said[left.ID] {
			said[left.ID] = true
			t.line(left.Tag + ", " + left.Name + ": " + left.Gone + " " + dayWords(left.GoneDay, t.today) + ".")
		}
		if a.Kind != read.Question {
			t.line("Nothing written.")
			return true, nil
		}
		v, err := t.view(a.Machine)
		if err != nil {
			return true, err
		}
		topic := topics[a.About]
		switch a.About {
		case read.AboutDue, read.AboutNext, read.AboutStatus:
			topic = topics[read.AboutHistory] // nothing is due on it any more
		}
		if topic.one == nil {
			continue
		}
		if err := topic.one(t, v, a); err != nil {
			return true, err
		}
	}
	return true, nil
}
