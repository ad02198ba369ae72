package demo

import "woodruff/engine"

// year is how a kind of machine is used: hours a day from January to December,
// averaged over all days.
type year [12]float64

// Machines of an orchard: rows are worked in spring and at harvest, grass is
// mown from May to September, fans run on freezing nights when there is blossom
// or late fruit, wood is split in winter.
var (
	rowWork  = year{0.7, 0.8, 1.5, 2.2, 2.4, 1.8, 1.5, 1.8, 2.6, 2.4, 1.2, 0.7}
	lowRows  = year{0.3, 0.3, 0.9, 1.6, 1.7, 1.1, 0.8, 1.1, 1.8, 1.6, 0.6, 0.3}
	hauling  = year{0.4, 0.4, 0.6, 0.8, 0.8, 0.8, 1.0, 2.2, 3.2, 3.0, 1.6, 0.6}
	binWork  = year{1.0, 1.0, 1.2, 1.3, 1.3, 1.3, 1.4, 2.0, 2.6, 2.4, 1.6, 1.1}
	spraying = year{0.1, 0.2, 0.8, 1.7, 2.0, 1.8, 1.4, 1.0, 0.6, 0.4, 0.3, 0.1}
	mowing   = year{0, 0, 0, 0.3, 1.1, 1.3, 1.2, 1.1, 0.8, 0.1, 0, 0}
	wideMow  = year{0, 0, 0, 0.2, 0.8, 0.9, 0.8, 0.7, 0.5, 0.1, 0, 0}
	pumping  = year{0, 0, 0, 0.1, 0.6, 0.9, 1.1, 1.0, 0.5, 0, 0, 0}
	frost    = year{0, 0, 0, 0.9, 0.7, 0, 0, 0, 0, 0.6, 0.8, 0}
	outages  = year{0.3, 0.3, 0.2, 0.1, 0.1, 0.2, 0.2, 0.2, 0.1, 0.2, 0.3, 0.3}
	wood     = year{0.6, 0.5, 0.2, 0, 0, 0, 0, 0, 0, 0.1, 0.5, 0.6}
	trenches = year{0.3, 0.3, 0.5, 0.6, 0.5, 0.4, 0.4, 0.4, 0.4, 0.6, 0.6, 0.4}
)

// round is something that is done every so many days, a little sooner or later,
// by one of several hands.
type round struct {
	every int // days; 0 is never
	at    engine.Clock
	by    []string
}

// habit is how one machine lives.
type habit struct {
	tag    string
	now    engine.Tenths // what its meter shows at the end of yesterday
	whole  bool          // the meter shows whole hours
	use    year
	share  float64 // of the days on which it runs
	starts bool    // by itself, on Sundays too
	with   string  // runs on the same days as others of this name
	test   int     // a test run of half an hour every so many days; 0 is none
	read   round
	drain  round
	quiet  int // nobody wrote a line for so many days
	fits   []string
	fixed  bool // does not leave its place
	chores []chore
}

var (
	early     = engine.ClockOf(7, 5)
	later     = engine.ClockOf(7, 40)
	evening   = engine.ClockOf(17, 10)
	fitters   = []string{"Joss", "Joss", "Wilm"}
	wilm      = []string{"Wilm", "Wilm", "Runa"}
	yard      = []string{"Joss", "Joss", "Wilm", "Runa", "Dot"}
	mowerHand = []string{"Dot", "Dot", "Wilm"}
)

// newHand came to the shed so many days before yesterday. What she does now was
// Wilm's before.
const (
	newHand     = "Dot"
	newHandCame = 140
	beforeHer   = "Wilm"
)

var habits = []habit{
	{tag: "RT1", now: 28463, use: rowWork, share: 0.55,
		read: round{10, early, yard}, drain: round{12, early, fitters}, fits: fitters,
		chores: []chore{
			oil(250, span{hours: 2460}), // four hours left
			fuelFilters(span{hours: 1500}), air(span{hours: 1100}), vent(span{hours: 600}),
			hydraulics(span{hours: 1900}), grease(span{hours: 90}), twoYears(span{days: 310}), bench(span{days: 420}),
		}},
	{tag: "RT2", now: 9174, use: lowRows, share: 0.45, quiet: 24, // stands in the low block, and its oil may be due
		read: round{10, early, yard}, drain: round{13, early, fitters}, fits: fitters,
		chores: []chore{
			oil(250, span{hours: 2400}).notSeen(), fuelFilters(span{hours: 1200, days: 200}), air(span{hours: 900, days: 190}),
			vent(span{hours: 700, days: 190}), hydraulics(span{hours: 1000, days: 150}), grease(span{hours: 60}),
			twoYears(span{days: 280}), bench(span{days: 500}),
		}},
	{tag: "HT1", now: 62038, use: hauling, share: 0.6, // Hester Quill reads her own meter
		read: round{9, evening, []string{"Hester"}}, drain: round{16, later, fitters}, fits: fitters,
		chores: []chore{
			{jobs: "engineoil;oilfilter", every: span{hours: 2900}, since: span{hours: 900, days: 260}}, // late each time
			fuelFilters(span{hours: 1300, days: 260}), air(span{hours: 800, days: 260}),
			vent(span{hours: 500, days: 260}), hydraulics(span{hours: 900, days: 200}), grease(span{hours: 60}), bench(span{days: 390}),
		}},
	{tag: "BL1", now: 39725, use: binWork, share: 0.65,
		read: round{8, early, yard}, drain: round{13, early, wilm}, fits: fitters,
		chores: []chore{
			oil(250, span{hours: 1200}), air(span{hours: 700}), vent(span{hours: 900}),
			{jobs: "separator;fuelfilter;oring", every: span{hours: 4000, months: 12}, since: span{hours: 4140}}, // fourteen hours past
			hydraulics(span{hours: 1400}), grease(span{hours: 80}), twoYears(span{days: 330}), bench(span{days: 450}),
		}},
	{tag: "WF1", now: 6124, whole: true, use: frost, share: 0.17, starts: true, fixed: true, with: "frost", test: 14,
		read: round{12, later, wilm}, drain: round{15, later, wilm}, fits: wilm, chores: standby(70)},
	{tag: "WF2", now: 7384, whole: true, use: frost, share: 0.17, starts: true, fixed: true, with: "frost", test: 14,
		read: round{12, later, wilm}, drain: round{15, later, wilm}, fits: wilm, chores: standby(75)},
	{tag: "WF3", now: 5967, whole: true, use: frost, share: 0.17, starts: true, fixed: true, with: "frost", test: 14,
		read: round{12, later, wilm}, drain: round{15, later, wilm}, fits: wilm, chores: standby(80)},
	{tag: "PG1", now: 18746, use: outages, share: 0.05, starts: true, fixed: true, test: 7,
		read: round{10, later, wilm}, drain: round{17, later, wilm}, fits: wilm,
		chores: []chore{
			{jobs: "engineoil;oilfilter", every: span{hours: 2000, months: 6}, since: span{days: 66}},
			{jobs: "separator;oring", every: span{months: 12}, since: span{months: 12, days: -6}}, // due in six days
			{jobs: "fuelfilter", every: span{months: 12}, since: span{days: 318}, note: "was not on the shelf with the separator element"},
			air(span{days: 140}), vent(span{days: 140}), twoYears(span{days: 250}),
			{jobs: "valves;injectors", every: span{months: 12}, since: span{days: 160}},
		}},
	{tag: "DP1", now: 7052, use: pumping, share: 0.4, fixed: true, quiet: 36, // nobody walks down to the dam
		read: round{12, later, wilm}, drain: round{12, later, wilm}, fits: wilm,
		chores: []chore{
			oil(250, span{hours: 600, days: 170}), fuelFilters(span{days: 180}), air(span{hours: 500, days: 120}),
			vent(span{hours: 400, days: 120}), twoYears(span{days: 260}), bench(span{days: 350}),
		}},
	{tag: "OM1", now: 6431, use: mowing, share: 0.4,
		read: round{10, early, mowerHand}, drain: round{14, early, mowerHand}, fits: fitters,
		chores: []chore{
			oil(250, span{months: 12, days: -3}), // due in three days
			fuelFilters(span{days: 150}), air(span{days: 130}), vent(span{days: 130}),
			{jobs: "hydfilter", every: span{hours: 2000, months: 12}, since: span{days: 210}},
			grease(span{hours: 50}), twoYears(span{days: 270}), bench(span{days: 360}),
		}},
	{tag: "OM2", now: 6197, use: wideMow, share: 0.35,
		read: round{10, early, mowerHand}, drain: round{14, early, mowerHand}, fits: fitters,
		chores: []chore{
			oil(250, span{days: 200}), air(span{days: 125}), vent(span{days: 125}),
			{jobs: "hydfilter", every: span{hours: 2000, months: 12}, since: span{days: 190}},
			grease(span{hours: 60}), {jobs: "coolant;hydoil;hose", every: span{months: 24}, since: span{days: 290}}, bench(span{days: 370}),
		}},
	{tag: "WS1", now: 4302, whole: true, use: wood, share: 0.3, // half of its jobs were never written down
		read: round{11, later, mowerHand}, drain: round{18, later, mowerHand}, fits: fitters,
		chores: []chore{
			oil(250, span{days: 190}), fuelFilters(span{days: 190}), grease(span{hours: 50}),
			{jobs: "aircleaner", every: span{hours: 2500, months: 12}, since: span{months: 12, days: -5}}, // due in five days
		}},
	{tag: "TD1", now: 15309, use: trenches, share: 0.15}, // comes to the shed now and then: see the story
	{tag: "21", now: 11213, use: spraying, share: 0.4,
		read: round{10, early, yard}, drain: round{12, early, fitters}, fits: fitters,
		chores: []chore{
			oil(250, span{hours: 800, days: 210}), fuelFilters(span{hours: 900, days: 220}), air(span{hours: 600, days: 160}),
			vent(span{hours: 600, days: 160}), hydraulics(span{hours: 700, days: 170}), grease(span{hours: 60}), bench(span{days: 400}),
		}},
}
