package engine

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

// The usual intervals against what the manuals they cite say.
func TestGenericPlanAgainstManuals(t *testing.T) {
	for _, c := range []struct {
		source string
		kind   string
		job    Job
		want   Interval
	}{
		{"utility tractor manual: water separator at 10 h", "tractor", Drain, Interval{Every: 100}},
		{"utility tractor manual: axle grease at 50 h", "tractor", Grease, Interval{Every: 500, Severable: true}},
		{"industrial engine manual: first 50 h, then 250 h or 1 year", "tractor", EngineOil, Interval{Every: 2500, Months: 12, First: 500, Severable: true}},
		{"industrial engine manual: the same for the filter", "tractor", OilFilter, Interval{Every: 2500, Months: 12, First: 500, Severable: true}},
		{"industrial engine manual: belts at 250 h or 1 year", "loader", Belt, Interval{Every: 2500, Months: 12, First: 500}},
		{"manual for a standby engine: 200 h or 6 months", "generator", EngineOil, Interval{Every: 2000, Months: 6, First: 500, Severable: true}},
		{"manual for a standby engine: fuel filter at 1000 h or 12 months", "generator", FuelFilter, Interval{Every: 10000, Months: 12, Severable: true}},
		{"manual for a standby engine: valves at 1000 h or 12 months", "generator", Valves, Interval{Every: 10000, Months: 12, First: 2500}},
		{"commercial mower manual: coolant at 1000 h or 2 years", "mower", Coolant, Interval{Every: 10000, Months: 24}},
		{"commercial mower manual: hydraulic fluid at 1000 h or 2 years", "mower", HydOil, Interval{Every: 10000, Months: 24, Severable: true}},
		{"commercial mower manual: transmission filter at 200 h", "mower", HydFilter, Interval{Every: 2000, Months: 12, First: 500, Severable: true}},
		{"emission list, engines under 37 kW: nozzles at 1500 h", "pump", Injectors, Interval{Every: 15000}},
		// TM 5-6115-545-12 has 100 h or 12 months, an industrial engine manual
		// 1000 h or 2 years: ours lies between [common practice].
		{"between two manuals", "tractor", Separator, Interval{Every: 4000, Months: 12, Severable: true}},
		{"common practice: two years at the latest", "tractor", ORing, Interval{Months: 24}},
		{"common practice: a fan is a standby engine", "frost fan", EngineOil, Interval{Every: 2000, Months: 6, First: 500, Severable: true}},
	} {
		lines := GenericPlan().For(Machine{Kind: c.kind}, nil)
		i := slices.IndexFunc(lines, func(l PlanLine) bool { return l.Job == c.job })
		if i < 0 {
			t.Fatalf("%s: no line", c.source)
		}
		same(t, c.source, lines[i].Interval, c.want)
	}
}

func TestGenericPlanIsWhole(t *testing.T) {
	plan := GenericPlan()
	for _, l := range plan {
		if l.Note == "" || (l.Source != Published && l.Source != CommonPractice) {
			t.Errorf("%s %s: source %q, note %q", l.Kind, l.Job, l.Source, l.Note)
		}
		same(t, string(l.Job)+": of no one machine", l.Machine, 0)
	}
	var have []Job
	for _, l := range plan.For(Machine{}, nil) {
		have = append(have, l.Job)
	}
	want := []Job{
		Drain, Separator, FuelFilter, ORing, Tank, Vent, Hose, Injectors, EngineOil, OilFilter,
		AirCleaner, Coolant, HydOil, HydFilter, Belt, Grease, Valves,
	}
	if !slices.Equal(have, want) { // in the order of the job list
		t.Errorf("got %v, want %v", have, want)
	}
}

// The usual plan as a file is one that a shop can hand back.
func TestUsualPlanReadsBack(t *testing.T) {
	plan, err := ParsePlan(strings.NewReader(UsualPlanCSV()))
	if err != nil || !slices.Equal(plan, GenericPlan()) {
		t.Errorf("%v, %d lines", err, len(plan))
	}
}

func TestParsePlan(t *testing.T) {
	text := "\ufeff# ours\r\n" +
		"Job, hours,months ,machine,kind,first,marks,severe,severable,off,class,note\r\n" +
		"separator,400,12,,tractor,50,yes,200.5,YES,no,published,\"a, b\"\r\n" +
		"engineoil,,6,RT1,,,,,,,,\r\n" +
		"belt,,,,,,,,,yes,own,\r\n"
	plan, err := ParsePlanFor(strings.NewReader(text), func(tag string) (MachineID, bool) { return 7, tag == "RT1" })
	if err != nil {
		t.Fatal(err)
	}
	want := Plan{
		{Kind: "tractor", Job: Separator, Interval: Interval{Every: 4000, Months: 12, First: 500, Marks: true, Severe: 2005, Severable: true}, Source: Published, Note: "a, b"},
		{Machine: 7, Job: EngineOil, Interval: Interval{Months: 6}, Source: OwnShop},
		{Job: Belt, Interval: Interval{Off: true}, Source: OwnShop},
	}
	if !slices.Equal(plan, want) {
		t.Errorf("got %+v\nwant %+v", plan, want)
	}
}

func TestParsePlanNamesWhatIsWrong(t *testing.T) {
	const head = "job,hours,months,kind,machine,first,marks,severe,severable,off,class,note\n"
	for _, c := range []struct{ text, want string }{
		{"", "no heading"},
		{"job,hours\n", `no column "months"`},
		{"job,hours,months,colour\n", `unknown column "colour"`},
		{"job,hours,months,job\n", `column "job" twice`},
		{head + "paint,10,,,,,,,,,,\n", `line 2, column job: "paint" is no job`},
		{head + "drain,10,,,,,,,,,,\ndrain,x,,,,,,,,,,\n", "line 3, column hours"},
		{head + "drain,0,,,,,,,,,,\n", "line 2, column hours: 0.0 h is no interval"},
		{head + "drain,20000.1,,,,,,,,,,\n", "line 2, column hours: 20000.1 h is no interval"},
		{head + "drain,10,0,,,,,,,,,\n", "line 2, column months: 0 months"},
		{head + "drain,10,241,,,,,,,,,\n", "line 2, column months: 241 months"},
		{head + "drain,10,1.5,,,,,,,,,\n", "line 2, column months"},
		{head + "drain,10,,,,x,,,,,,\n", "line 2, column first"},
		{head + "drain,10,,,,,,x,,,,\n", "line 2, column severe"},
		{head + "drain,10,,,,,maybe,,,,,\n", `line 2, column marks: "maybe" is neither yes nor no`},
		{head + "drain,10,,,,,,,maybe,,,\n", "line 2, column severable"},
		{head + "drain,10,,,,,,,,maybe,,\n", "line 2, column off"},
		{head + "drain,10,,,,,,,,,gospel,\n", `line 2, column class: "gospel" is no source class`},
		{head + "drain,,,,,,,,,,,\n", "line 2, column hours: neither hours, months nor season"},
		{head + "drain,,12,,,,yes,,,,,\n", "line 2, column marks: marks need hours"},
		{head + "drain,,12,,,,,,yes,,,\n", "line 2, column severe: severe use needs hours"},
		{head + "drain,,12,,,,,5,,,,\n", "line 2, column severe: severe use needs hours"},
		{head + "drain,10,,,,,,10.1,,,,\n", "line 2, column severe: more hours"},
		{head + "drain,10,,,,,,,,yes,,\n", "line 2, column off: off has no interval"},
		{head + "drain,,1,,,,,,,yes,,\n", "line 2, column off"},
		{head + "drain,,,,,1,,,,yes,,\n", "line 2, column off"},
		{head + "drain,,,,,,,1,,yes,,\n", "line 2, column off"},
		{head + "drain,10,,,RT1,,,,,,,\n", "line 2, column machine: no single machines here"},
		{head + "drain,10,,,,,,,,,,\n\n#\ndrain,20,,,,,,,,,,\n", "line 5, column job: drain is there already"},
		{head + "drain,10,,Pump,,,,,,,,\ndrain,20,,pump,,,,,,,,\n", "line 3, column job"},
		{head + "drain,10\n", "wrong number of fields"},
		{head + "drain,10,,,,,,,,,,\"\n", "line 2"},
		{head + "drain,10,,,,,,,,,,\xff\n", "line 2, column note: not UTF-8"},
	} {
		_, err := ParsePlan(strings.NewReader(c.text))
		if !errors.Is(err, ErrPlan) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %s", c.text, err, c.want)
		}
	}
	_, err := ParsePlanFor(strings.NewReader(head+"drain,10,,,XX,,,,,,,\n"), func(string) (MachineID, bool) { return 0, false })
	if err == nil || !strings.Contains(err.Error(), `line 2, column machine: no machine "XX"`) {
		t.Errorf("got %v", err)
	}
	// At the bounds, and the same job for two kinds.
	plan, err := ParsePlan(strings.NewReader(head + "drain,20000,240,,,,,20000,,,,\ndrain,10,,pump,,,,,,,,\nbelt,0.1,1,,,,,,,,,\n"))
	if err != nil || len(plan) != 3 {
		t.Errorf("bounds: %v, %v", plan, err)
	}
	_, err = ParsePlan(strings.NewReader("\xef\xbb"))
	if !errors.Is(err, ErrTable) {
		t.Errorf("got %v, want ErrTable", err)
	}
}

func TestWhichLineRules(t *testing.T) {
	of := func(every Tenths, kind string, m MachineID) PlanLine {
		return PlanLine{Machine: m, Kind: kind, Job: EngineOil, Interval: Interval{Every: every}}
	}
	m := Machine{ID: 7, Kind: "Pump"}
	for _, c := range []struct {
		name string
		plan Plan
		shop []PlanLine
		want Tenths // 0 is none
	}{
		{"nothing", nil, nil, 0},
		{"for all", Plan{of(1, "", 0)}, nil, 1},
		{"for its kind over all", Plan{of(2, "pump", 0), of(1, "", 0)}, nil, 2},
		{"not for another kind", Plan{of(1, "", 0), of(2, "tractor", 0)}, nil, 1},
		{"for itself over its kind", Plan{of(3, "", 7), of(2, "pump", 0)}, nil, 3},
		{"not for another machine", Plan{of(1, "", 0), of(3, "", 8)}, nil, 1},
		{"not for another machine of its kind", Plan{of(1, "", 0), of(3, "pump", 8)}, nil, 1},
		{"the later of two", Plan{of(1, "", 0), of(4, "", 0)}, nil, 4},
		{"the shop's for all over the usual for its kind", Plan{of(2, "pump", 0)}, []PlanLine{of(5, "", 0)}, 5},
		{"the shop's for another machine", Plan{of(2, "pump", 0)}, []PlanLine{of(5, "", 8)}, 2},
		{"the shop's later", nil, []PlanLine{of(5, "", 7), of(6, "", 7)}, 6},
		{"the shop's for itself, though earlier", nil, []PlanLine{of(5, "", 7), of(6, "", 0)}, 5},
		{"taken off", Plan{of(1, "", 0)}, []PlanLine{{Job: EngineOil, Interval: Interval{Off: true}}}, 0},
		{"the usual taken off", Plan{{Job: EngineOil, Interval: Interval{Off: true}}}, nil, 0},
		{"the usual taken off, ours not", Plan{{Job: EngineOil, Interval: Interval{Off: true}}}, []PlanLine{of(5, "", 0)}, 5},
		{"ours dropped: the usual is back", Plan{of(1, "", 0)}, []PlanLine{of(5, "", 7), of(0, "", 7)}, 1},
		{"ours for itself dropped: ours for all", Plan{of(1, "", 0)}, []PlanLine{of(6, "", 0), of(5, "", 7), of(0, "", 7)}, 6},
		{"a word that is no job", Plan{{Job: "paint", Interval: Interval{Every: 1}}}, nil, 0},
	} {
		lines := c.plan.For(m, c.shop)
		var got Tenths
		if len(lines) > 0 {
			got = lines[0].Interval.Every
		}
		same(t, c.name, got, c.want)
	}
}
