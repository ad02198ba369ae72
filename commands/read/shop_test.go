package read

import (
	"testing"

	"woodruff/engine"
)

// How the shop works is set in a sentence of its own; a remark sets nothing.
func TestShopSettings(t *testing.T) {
	for _, c := range []struct{ say, key, value string }{
		{"we work monday to friday", engine.SetWorkdays, "mon-fri"},
		{"We work Mon-Fri.", engine.SetWorkdays, "mon-fri"},
		{"working days are tue-sat, sun", engine.SetWorkdays, "tue-sat,sun"},
		{"our working days: mon, weds and fridays", engine.SetWorkdays, "mon,wed,fri"},
		{"workdays mon thru thu", engine.SetWorkdays, "mon-thu"},
		{"the shop is open every day", engine.SetWorkdays, "sun-sat"},
		{"the shop is called Hollin Ridge", engine.SetName, "Hollin Ridge"},
		{"shop name: Hollin Ridge Orchard Co-op", engine.SetName, "Hollin Ridge Orchard Co-op"},
		{"call the shop Hollin Ridge", engine.SetName, "Hollin Ridge"},
		{"morning post at 5:45", engine.SetMorning, "05:45"},
		{"we work saturday", "", ""},                    // a plan
		{"we work monday to friday?", "", ""},           // a question
		{"we work on the loader friday", "", ""},        // no days alone
		{"working days are long in the fall", "", ""},   // a sigh
		{"the shop is cold", "", ""},                    // weather
		{"i'll call the shop tomorrow at 10", "", ""},   // a telephone
		{"the shop is open monday and so on", "", ""},   // half said
		{"working days are monday to some day", "", ""}, // half said
	} {
		a := Read(c.say, nil, Context{}).Candidates[0].Acts
		switch {
		case c.key == "" && len(a) == 1 && a[0].Kind == Setting:
			t.Errorf("%q sets %s to %s", c.say, a[0].Key, a[0].Value)
		case c.key != "" && (len(a) != 1 || a[0].Kind != Setting || a[0].Key != c.key || a[0].Value != c.value):
			t.Errorf("%q is %+v, want %s %s", c.say, a, c.key, c.value)
		}
	}
}
