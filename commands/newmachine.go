package commands

import (
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

// What helps to know of a machine that was just added is asked after it is
// written: the line stands whether it is answered or not. The machine has no
// number yet, so the answers name it by its tag.

// newDoubt asks what is not known of a machine that was just added, nil where all
// is.
func newDoubt(tag string, added read.Act) *doubt {
	if !slices.ContainsFunc(added.Features, func(f read.Feature) bool { return f.Key == engine.TraitMeterReads }) {
		return meterDoubt(tag, added)
	}
	if yes, said := startsByItself(added); yes || said {
		return nil
	}
	d := selfStartDoubt(tag)
	return &d
}

// meterDoubt asks what a new machine's hour meter shows, and then, where nobody
// has said and its kind doesn't tell, whether it starts by itself.
func meterDoubt(tag string, added read.Act) *doubt {
	next := tag
	if yes, said := startsByItself(added); yes || said {
		next = ""
	}
	is := func(v engine.MeterGrain) []read.Act {
		return []read.Act{{Kind: read.Trait, Tag: tag, Key: engine.TraitMeterReads, Value: string(v)}}
	}
	return &doubt{
		lines: []string{"Does its hour meter show tenths?"},
		held: held{Ask: read.AskMeaning, Options: []option{
			{Label: "tenths", Acts: is(engine.ReadsTenths), Yes: true, Words: "yes it shows does", Next: next},
			{Label: "whole hours", Acts: is(engine.ReadsWhole), No: true, Words: "no only shows", Next: next},
			{Label: "no meter", Acts: is(engine.NoMeter), Words: "none hasnt got", Next: next},
		}},
	}
}

// selfStartDoubt asks whether a machine starts by itself.
func selfStartDoubt(tag string) doubt {
	is := func(v engine.Answer3) []read.Act {
		return []read.Act{{Kind: read.Trait, Tag: tag, Key: engine.TraitSelfStart, Value: string(v)}}
	}
	return doubt{
		lines: []string{"Does " + tag + " start by itself?"},
		held: held{Ask: read.AskMeaning, Options: []option{
			{Label: "yes", Acts: is(engine.Yes), Yes: true, Words: "it does starts by itself"},
			{Label: "no", Acts: is(engine.No), No: true, Words: "it doesnt does not"},
		}},
	}
}

// byTags puts the machines to acts that name them by tag.
func (t *turn) byTags(all []read.Act) []read.Act {
	out := append([]read.Act(nil), all...)
	for i := range out {
		if out[i].Kind != read.Trait || out[i].Machine != 0 || out[i].Tag == "" {
			continue
		}
		if m, ok := ByTag(t.shed, out[i].Tag); ok {
			out[i].Machine = m.ID
		}
	}
	return out
}
