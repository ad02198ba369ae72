package read

import (
	"fmt"
	"strings"
	"testing"

	"woodruff/engine"
)

// today is a Tuesday in the shed's calendar.
var today = engine.DayOf(2026, 11, 24)

var shed = []engine.Machine{
	{ID: 1, Tag: "RT1", Name: "Row tractor 1", Nicknames: []string{"granny", "top row tractor"}, Kind: "tractor"},
	{ID: 2, Tag: "RT2", Name: "Row tractor 2", Nicknames: []string{"low row tractor"}, Kind: "tractor"},
	{ID: 3, Tag: "HT1", Name: "Haul tractor", Nicknames: []string{"the hauler"}, Kind: "tractor", Owner: "Hester Quill"},
	{ID: 4, Tag: "BL1", Name: "Bin loader", Nicknames: []string{"the loader"}, Kind: "loader"},
	{ID: 5, Tag: "WF1", Name: "Ridge frost fan", Nicknames: []string{"ridge fan"}, Kind: "frost fan"},
	{ID: 6, Tag: "WF2", Name: "Hollow frost fan", Nicknames: []string{"hollow fan"}, Kind: "frost fan"},
	{ID: 7, Tag: "WF3", Name: "River frost fan", Nicknames: []string{"river fan"}, Kind: "frost fan"},
	{ID: 8, Tag: "PG1", Name: "Packing shed generator", Nicknames: []string{"genny", "packing genset"}, Kind: "generator"},
	{ID: 9, Tag: "DP1", Name: "Dam pump", Nicknames: []string{"the pump"}, Kind: "pump"},
	{ID: 10, Tag: "OM1", Name: "Orchard mower", Nicknames: []string{"verge mower"}, Kind: "mower"},
	{ID: 11, Tag: "OM2", Name: "Wide orchard mower", Nicknames: []string{"wide mower"}, Kind: "mower"},
	{ID: 12, Tag: "WS1", Name: "Wood splitter", Nicknames: []string{"splitter"}, Kind: "splitter"},
	{ID: 13, Tag: "TD1", Name: "Trench digger", Nicknames: []string{"trencher"}, Kind: "excavator", Owner: "Orde Cider"},
	{ID: 14, Tag: "21", Name: "Spray tractor 21", Nicknames: []string{"dosing tractor"}, Kind: "tractor"},
}

var crew = []engine.Person{{ID: 1, Name: "Runa Tveit"}, {ID: 2, Name: "Joss Penhale"}, {ID: 3, Name: "Wilm Aske"}, {ID: 4, Name: "Dot Farrow"}, {ID: 5, Name: "Anselm Orde"}}

// last figures of the shed, in tenths.
var lasts = map[engine.MachineID]engine.Tenths{1: 15408, 2: 8021, 3: 2201, 4: 33600, 5: 6340, 6: 6120, 7: 5880, 8: 9905, 9: 1620, 10: 4101, 11: 332, 12: 440, 13: 22105, 14: 33105}

var shedNames = NewNames(shed, crew)

func base() Context {
	return Context{Day: today, Clock: engine.ClockOf(7, 40), Last: func(id engine.MachineID) (engine.Tenths, engine.Day, bool) {
		t, ok := lasts[id]
		return t, today - 4, ok
	}}
}

func tag1(id engine.MachineID) string {
	for _, m := range shed {
		if m.ID == id {
			return m.Tag
		}
	}
	return "-"
}

// short writes acts in a line: enough to compare a reading at a glance.
func short(acts []Act) string {
	var out []string
	for _, a := range acts {
		s := []string{string(a.Kind)}
		add := func(format string, args ...any) { s = append(s, fmt.Sprintf(format, args...)) }
		if a.Machine != 0 {
			add("%s", tag1(a.Machine))
		}
		if a.Old.Known {
			add("old %s", a.Old.Value)
		}
		if a.Hours.Known {
			add("%s", a.Hours.Value)
		}
		if len(a.Jobs) > 0 {
			add("%s", jobList(a.Jobs))
		}
		for _, x := range []string{string(a.How), string(a.Known), string(a.Finding), string(a.Amount.Class), string(a.Grade), string(a.Check), a.Result, string(a.About), string(a.Job), a.Field, a.Key, a.Value, string(a.Ask)} {
			if x != "" {
				add("%s", x)
			}
		}
		if a.Amount.Measured != 0 {
			add("%vml", a.Amount.Measured)
		}
		if a.Litres != 0 {
			add("%sl", a.Litres)
		}
		for _, x := range a.Symptoms {
			add("%s", x)
		}
		if a.Days != 0 {
			add("%dd", a.Days)
		}
		if a.Day != 0 {
			add("on %s", a.Day)
		}
		if a.Until != 0 {
			add("until %s", a.Until)
		}
		if a.By != "" {
			add("by %s", a.By)
		}
		for _, x := range [][2]string{{"tag", a.Tag}, {"name", a.Name}, {"owner", a.Owner}, {"words", a.Words}, {"reason", a.Reason}} {
			if x[1] != "" {
				add("%s(%s)", x[0], x[1])
			}
		}
		for _, f := range a.Features {
			add("%s(%s)", f.Key, f.Value)
		}
		if !a.Interval.IsZero() {
			season := ""
			if a.Interval.Season != 0 {
				season = "season " + a.Interval.Season.String() + " "
			}
			add("every %s/%dm %soff=%v", a.Interval.Every, a.Interval.Months, season, a.Interval.Off)
		}
		if a.Field != "" {
			add("%s", toText(a))
		}
		if !a.Target.IsZero() {
			add("target %s %s %s", tag1(a.Target.Machine), a.Target.Job, a.Target.Day)
		}
		out = append(out, strings.Join(s, " "))
	}
	return strings.Join(out, "; ")
}

func jobList(jobs []engine.Job) string {
	var s []string
	for _, j := range jobs {
		s = append(s, string(j))
	}
	return strings.Join(s, "+")
}

func toText(a Act) string {
	switch a.Field {
	case "hours":
		return "to " + a.To.Hours.String()
	case "machine":
		return "to " + tag1(a.To.Machine)
	case "jobs":
		return "to " + jobList(a.To.Jobs)
	case "day":
		return "to " + a.To.Day.String()
	case "by":
		return "to " + a.To.By
	case "how":
		return "to " + string(a.To.How)
	case "amount":
		return fmt.Sprintf("to %vml %s", a.To.Amount.Measured, a.To.Amount.Class)
	}
	return "to " + string(a.To.Finding)
}

// say is one message and what it must come to.
type say struct{ text, want string }

func check(t *testing.T, ctx Context, rows []say) {
	t.Helper()
	for _, r := range rows {
		res := Read(r.text, shedNames, ctx)
		if got := short(res.Candidates[0].Acts); got != r.want {
			t.Errorf("%q\n  got  %s\n  want %s", r.text, got, r.want)
		}
	}
}
