package commands

import (
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

// thatDay asks before work is written of a past day on which the book has the
// same job of the machine with another figure, or with none: "the grease on RT1
// on 18 Nov was at 2837.0" tells of the line that is there. nil where there is
// none such.
func (t *turn) thatDay(all []read.Act) (*doubt, error) {
	for _, a := range all {
		if a.Kind != read.Service || a.Machine <= 0 || !a.Hours.Known || a.Day == 0 || a.Day == t.today {
			continue
		}
		v, err := t.view(a.Machine)
		if err != nil {
			return nil, err
		}
		for _, e := range standing(v.h) {
			at := slices.IndexFunc(a.Jobs, e.Has)
			if e.Kind != engine.KindService || e.Day != a.Day || at < 0 || e.Hours == a.Hours || a.Jobs[at] == engine.OtherWork {
				continue
			}
			return t.doubtThatDay(all, a, v, e, a.Jobs[at])
		}
	}
	return nil, nil
}

func (t *turn) doubtThatDay(all []read.Act, a read.Act, v *view, e engine.Entry, job engine.Job) (*doubt, error) {
	lines := []engine.Entry{e}
	if err := t.withTexts(lines); err != nil {
		return nil, err
	}
	same := option{Label: "same one, at " + meterWords(v.m, a.Hours.Value), Words: "change correct it", Yes: true}
	if t.mayChange(e) {
		right := read.Act{Kind: read.Correct, Field: "hours", Target: read.Target{Machine: a.Machine, Job: job, Day: e.Day}}
		right.To.Hours = a.Hours.Value
		same.Acts = append(withoutWork(all, a), right)
	} else {
		same.Acts, same.Refer = all, e.Seq
	}
	return &doubt{
		lines: []string{t.tagged(lines[0]) + ", is in the book. The same one?"},
		held: held{Ask: read.AskMeaning, Acts: all, Options: []option{
			same,
			{Label: "another one", Acts: all, Trust: true, No: true, Words: "again second twice new"},
			{Label: "leave it", Nothing: true},
		}},
	}, nil
}

// withoutWork is a message without a piece of work and the reading that it was
// said with.
func withoutWork(all []read.Act, a read.Act) []read.Act {
	return slices.DeleteFunc(slices.Clone(all), func(b read.Act) bool {
		return b.Machine == a.Machine && b.Day == a.Day && b.Hours == a.Hours && (b.Kind == read.Reading || b.Kind == read.Service)
	})
}
