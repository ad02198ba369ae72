package commands

import (
	"encoding/json"
	"fmt"

	"woodruff/commands/read"
	"woodruff/engine"
)

// askOld asks where an hour meter stopped that another has taken over from.
const askOld read.Slot = "old"

// whichOld asks where the old meter stopped, before a new one is written: hours
// that it ran after its last reading would be lost to every interval.
func (t *turn) whichOld(id engine.MachineID, acts []read.Act) (*doubt, error) {
	v, err := t.view(id)
	if err != nil {
		return nil, err
	}
	unknown := withOld(acts, id, engine.Maybe[engine.Tenths]{})
	d := &doubt{
		lines: []string{v.m.Tag + ": what did the old meter stop at?"},
		held:  held{Ask: read.AskHours, Acts: unknown, Old: id},
	}
	if last, ok := v.timeline().Last(); ok {
		d.held.Options = append(d.held.Options, option{
			Label: meterWords(v.m, last.Shown) + ", its last reading", Acts: withOld(acts, id, engine.Known(last.Shown)),
		})
	}
	d.held.Options = append(d.held.Options, option{Label: "not known", Acts: unknown, Words: "dont don't know no idea unknown"})
	return d, nil
}

// asked is what the reader is told of the question that is open.
func (h held) asked() *read.Asked {
	if h.Check != "" {
		return &read.Asked{Machine: h.Of, Check: h.Check}
	}
	acts := h.Acts
	if h.Old != 0 {
		acts = []read.Act{{Kind: read.Meter, Machine: h.Old, Wants: []read.Slot{read.AskHours}}}
	}
	return &read.Asked{Ask: h.Ask, Likely: h.Likely, Held: acts}
}

// refer ends a question whose answer is somebody else's to give: nothing is
// written, and what was said waits for them. The next post names it so: the
// question itself was answered.
func (t *turn) refer(q engine.Question, h held, line engine.Seq) error {
	e, err := t.book.Entry(t.ctx, line)
	if err != nil {
		return err
	}
	who := firstName(t.shed.PersonName(e.Writer))
	h.Waits, h.Options = who, nil
	raw, err := json.Marshal(h)
	if err != nil {
		return fmt.Errorf("commands: what waits cannot be kept: %w", err)
	}
	q.ID, q.State, q.Expires, q.Held = 0, engine.Open, t.now, raw
	t.batch.Ask = []engine.Question{q}
	t.line("That figure is "+possessive(who)+": "+who+" or the foreman can change it. Nothing written.",
		"The next morning post names what you said.")
	return nil
}

// carry lets what a picked answer takes back go with the answer to the next
// question.
func (h *held) carry(o option) {
	h.TakeBack = append(h.TakeBack, o.TakeBack...)
	h.Bare = append(h.Bare, o.Bare...)
}
