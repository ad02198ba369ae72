package read

import (
	"fmt"
	"strings"
)

// Explain is Read with the Why lines filled.
func Explain(text string, names *Names, ctx Context) Result { return run(text, names, ctx, true) }

func (p *parse) note(format string, args ...any) {
	if p.explain {
		p.why = append(p.why, fmt.Sprintf(format, args...))
	}
}

// noteItems tells what each stretch of the message was taken for.
func (p *parse) noteItems() {
	if !p.explain {
		return
	}
	for _, it := range p.items {
		p.note("%q: %s", tokensOf(it, p.toks), p.describe(it))
	}
}

func kindsOf(acts []Act) string {
	var s []string
	for _, a := range acts {
		k := string(a.Kind)
		if a.Kind == Unclear {
			k += " " + string(a.Ask)
		}
		s = append(s, k)
	}
	return strings.Join(s, ", ")
}

// describe says in plain words what an item was taken for.
func (p *parse) describe(it item) string {
	var s []string
	if it.brk != 0 {
		return "a break"
	}
	if it.named {
		var tags []string
		for i, id := range it.m.ids {
			if i == 6 {
				tags = append(tags, "...")
				break
			}
			tags = append(tags, p.names.machines[id].Tag)
		}
		kind := "machine "
		if it.m.unsure {
			kind = "one of the machines "
		}
		s = append(s, kind+strings.Join(tags, " "))
	}
	if it.numeric {
		s = append(s, strings.TrimSpace("figure "+decimal(it.num.milli)+" "+it.unit))
	}
	if it.dated {
		s = append(s, "day")
	}
	if it.clock {
		s = append(s, "time of day")
	}
	if it.person != "" {
		s = append(s, "person "+it.person)
	}
	for _, x := range it.senses {
		s = append(s, strings.TrimSpace(string(x.class)+" "+x.value))
	}
	if len(s) == 0 {
		return "not known"
	}
	return strings.Join(s, " or ")
}
