package commands

import (
	"fmt"
	"strings"
)

// lineWidth is what fits a phone held upright, in runes; numbered choices are
// broken at it.
const lineWidth = 60

// Terminal is the answer as lines of text, with the likely answers to a
// question numbered.
func (a Answer) Terminal() []string {
	lines := append([]string(nil), a.Lines...)
	if !a.Numbered {
		return lines
	}
	row := ""
	for i, c := range a.Choices {
		choice := fmt.Sprintf("%d %s", i+1, c.Label)
		if row != "" && len([]rune(row))+2+len([]rune(choice)) > lineWidth {
			lines, row = append(lines, row), ""
		}
		if row != "" {
			row += "  "
		}
		row += choice
	}
	if row != "" {
		lines = append(lines, row)
	}
	return lines
}

// String is the answer as one text.
func (a Answer) String() string { return strings.Join(a.Terminal(), "\n") }
