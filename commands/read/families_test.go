package read

import (
	"regexp"
	"strings"
	"testing"
)

// family is a row of messages: every form with every word of each slot that
// stands in it. What a slot's word means ("drained=drain") takes the slot's
// place in what is wanted.
type family struct {
	want  string
	forms []string
}

// slots are the words of a family's slots, each "as said=as meant".
type slots map[string][]string

var slotName = regexp.MustCompile(`\{(\w+)\}`)

// spread gives every sentence of a form with what it must come to.
func spread(form, want string, words slots) []say {
	m := slotName.FindStringSubmatchIndex(form)
	if m == nil {
		return []say{{form, want}}
	}
	name := form[m[2]:m[3]]
	var out []say
	for _, w := range words[name] {
		said, meant, ok := strings.Cut(w, "=")
		if !ok {
			meant = said
		}
		out = append(out, spread(form[:m[0]]+said+form[m[1]:], strings.ReplaceAll(want, "{"+name+"}", meant), words)...)
	}
	return out
}

// try reads a family and tells which forms fail, and in how many sentences.
func (f family) try(t *testing.T, ctx Context, words slots) (n int) {
	t.Helper()
	for _, form := range f.forms {
		rows, bad, first := spread(form, f.want, words), 0, ""
		if len(rows) == 0 {
			t.Fatalf("%q: a slot without words", form)
		}
		for _, r := range rows {
			n++
			if got := short(Read(r.text, shedNames, ctx).Candidates[0].Acts); got != r.want {
				if bad++; first == "" {
					first = r.text + "\n  got  " + got + "\n  want " + r.want
				}
			}
		}
		if bad > 0 {
			t.Errorf("%q: %d of %d, such as %s", form, bad, len(rows), first)
		}
	}
	return n
}

func tryAll(t *testing.T, ctx Context, words slots, frames []family) {
	t.Helper()
	n := 0
	for _, f := range frames {
		n += f.try(t, ctx, words)
	}
	t.Logf("%d sentences", n)
}
