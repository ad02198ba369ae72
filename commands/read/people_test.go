package read

import "testing"

func TestNearName(t *testing.T) {
	for _, c := range []struct {
		word, name string
		near       bool
	}{
		{"jos", "Joss", true},       // cut short
		{"Josss", "Joss", true},     // a letter too many
		{"wlim", "Wilm", true},      // swapped
		{"dot", "Dot", true},        // the same
		{"pia", "Dot", false},       // somebody else
		{"runa", "Wilm", false},     // somebody else
		{"al", "Anselm", false},     // two letters are no near miss
		{"an", "Anselm", true},      // but may be a beginning
		{"anselma", "Anselm", true}, // a longer form
	} {
		if got := NearName(c.word, c.name); got != c.near {
			t.Errorf("NearName(%q, %q) = %v", c.word, c.name, got)
		}
	}
}
