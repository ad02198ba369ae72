package engine

import "testing"

// A machine that comes by message is told by its name; what a controller starts
// is warned about before anybody says so [common practice].
func TestKindInAName(t *testing.T) {
	for _, c := range []struct {
		name, kind string
		starts     bool
	}{
		{"frost fan 4", "frost fan", true},
		{"River frost fan", "frost fan", true},
		{"standby Generator", "generator", true},
		{"irrigation pump", "pump", false},
		{"mini excavator", "excavator", false},
		{"pumphouse sweeper", "", false}, // part of a word is not the word
		{"", "", false},
	} {
		kind := KindIn(c.name)
		if kind != c.kind || KindStartsByItself(kind) != c.starts {
			t.Errorf("%q is a %q, starts by itself %v; want %q, %v", c.name, kind, KindStartsByItself(kind), c.kind, c.starts)
		}
	}
}
