package commands

import (
	"slices"
	"strconv"
	"strings"

	"woodruff/commands/read"
)

// onlyAdds says that acts add machines and do nothing else.
func onlyAdds(acts []read.Act) bool {
	return len(acts) > 0 && !slices.ContainsFunc(acts, func(a read.Act) bool { return a.Kind != read.Add })
}

// askAdds asks about several machines at once: whoever sets a shop up names one
// after the other, and the next is no answer to the first and does not end it.
func (t *turn) askAdds(all []read.Act) error {
	if refused, err := t.mayWrite(all); refused || err != nil {
		return err
	}
	d := doubt{held: held{Ask: read.AskMeaning}}
	taken := []string{}
	var names []string
	for _, a := range all {
		tag := strings.ToUpper(a.Tag)
		if tag == "" {
			tag = t.freeTag(a.Name, taken...)
		}
		if m, ok := ByTag(t.shed, tag); ok {
			t.line(m.Tag + " is " + m.Name + " already.")
			continue
		}
		if slices.Contains(taken, tag) {
			continue // the same one again
		}
		one := t.confirmAdd(a, tag)
		taken = append(taken, tag)
		d.held.Acts = append(d.held.Acts, one.held.Acts...)
		names = append(names, strings.TrimSuffix(strings.TrimPrefix(one.lines[0], "Add "), "?"))
	}
	if len(names) == 0 {
		t.line("Nothing written.")
		return nil
	}
	before := t.out.Lines
	d.lines = append(before, "Add "+strings.Join(names, "; ")+"?")
	d.held.Options = []option{{Label: "yes", Acts: d.held.Acts, Yes: true}, {Label: "no", Nothing: true}}
	return t.ask(d)
}

// numberWords are the numbers that end a machine's name.
var numberWords = []string{"one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}

// numbered parts a name from the number at its end, "row tractor two"; 0 where
// there is none.
func numbered(name string) (rest string, n int) {
	words := strings.Fields(name)
	if len(words) < 2 {
		return name, 0
	}
	last := strings.ToLower(words[len(words)-1])
	if i := slices.Index(numberWords, last); i >= 0 {
		n = i + 1
	} else if i, err := strconv.Atoi(last); err == nil && i > 0 && i < 100 {
		n = i
	}
	if n == 0 {
		return name, 0
	}
	return strings.Join(words[:len(words)-1], " "), n
}
