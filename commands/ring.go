package commands

import (
	"woodruff/commands/read"
	"woodruff/engine"
)

// askBeside asks what is to be asked beside what was written: the lines stand
// whether it is answered or not.
func (t *turn) askBeside() {
	if t.beside == nil && t.askRing != 0 {
		t.beside = t.ringDoubt(t.askRing)
	}
	if t.beside == nil || len(t.batch.Entries) == 0 {
		return
	}
	t.besideErr = t.askAlso(*t.beside)
}

// ringDoubt asks whether the bowl was closed with a new ring. "No" is an answer
// that is written as well: the old ring went back.
func (t *turn) ringDoubt(id engine.MachineID) *doubt {
	ring := read.Act{Kind: read.Service, Machine: id, Jobs: []engine.Job{engine.ORing}}
	old := ring
	old.How = engine.Reused
	return &doubt{
		lines: []string{"Is the bowl O-ring new? An old ring draws air."},
		held: held{Ask: read.AskMeaning, Options: []option{
			{Label: "new", Acts: []read.Act{ring}, Trust: true, Yes: true, Words: "yes yep yeah fresh renewed replaced", Beside: ringWords},
			{Label: "the old one", Acts: []read.Act{old}, Trust: true, No: true, Words: "no nope not reused re-used used same", Beside: ringWords},
		}},
	}
}

// ringWords are what stands beside the answer: "yes new ring", "old ring went
// back in".
const ringWords = "ring oring o-ring rings bowl fitted put in too back brand again went there with got"
