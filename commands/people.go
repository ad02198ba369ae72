package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// doubtWho asks who is meant where a name that the book does not know is near
// one that it does, or is two people's: a slip of the finger would be a colleague
// whom nobody has.
func (t *turn) doubtWho(all []read.Act) *doubt {
	for _, a := range all {
		by := namedDoer(a)
		first, _ := doers(by)
		if first == "" || a.Value == confirmed || t.personByName(first) != 0 {
			continue
		}
		near := t.peopleNear(first)
		if len(near) == 0 {
			continue
		}
		d := &doubt{lines: []string{"Who is " + capital(first) + "?"}, held: held{Ask: read.AskMeaning, Acts: all}}
		for _, p := range near {
			d.held.Options = append(d.held.Options, option{Label: p.Name, Acts: renamed(all, by, strings.Replace(by, first, p.Name, 1), "")})
		}
		d.held.Options = append(d.held.Options,
			option{Label: "somebody new, " + capital(first), Acts: renamed(all, by, by, confirmed)},
			option{Label: "leave it", Nothing: true})
		return d
	}
	return nil
}

// namedDoer is who did it, as named in an act.
func namedDoer(a read.Act) string {
	if a.Kind == read.Correct && a.To.By != "me" {
		return a.To.By
	}
	return a.By
}

// peopleNear are the people of the book whose name a word may stand for.
func (t *turn) peopleNear(word string) []engine.Person {
	var out []engine.Person
	for _, p := range t.shed.People {
		if read.NearName(word, firstName(p.Name)) || read.NearName(word, p.Name) {
			out = append(out, p)
		}
	}
	if len(out) > undoShown {
		return nil // says nothing
	}
	return out
}

// renamed are a message's acts with another doer.
func renamed(all []read.Act, by, now, value string) []read.Act {
	out := slices.Clone(all)
	for i := range out {
		if namedDoer(out[i]) != by {
			continue
		}
		if out[i].Kind == read.Correct {
			out[i].To.By = now
		} else {
			out[i].By = now
		}
		if value != "" {
			out[i].Value = value
		}
	}
	return out
}
