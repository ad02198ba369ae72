package demo

import "woodruff/engine"

// span is a stretch of a machine's life: hours of it, days, months, or what of
// them is over first.
type span struct {
	hours  engine.Tenths
	days   int
	months int // with days: so many days less or more than the months
}

// chore is a service that comes round: how often, and how long ago it was last
// done by the end of yesterday. Earlier ones are laid out backwards from there.
type chore struct {
	jobs  string
	every span
	since span
	note  string
	// unseen counts since from yesterday's figure although nobody has read it:
	// where the job stands is not in the book.
	unseen bool
}

func (c chore) notSeen() chore { c.unseen = true; return c }

func oil(hours engine.Tenths, since span) chore {
	return chore{jobs: "engineoil;oilfilter", every: span{hours: hours * 10, months: 12}, since: since}
}

func fuelFilters(since span) chore {
	return chore{jobs: "separator;fuelfilter;oring", every: span{hours: 4000, months: 12}, since: since}
}

func air(since span) chore {
	return chore{jobs: "aircleaner;belt", every: span{hours: 2500, months: 12}, since: since}
}

func vent(since span) chore {
	return chore{jobs: "vent", every: span{hours: 2000, months: 12}, since: since}
}

func hydraulics(since span) chore {
	return chore{jobs: "hydfilter", every: span{hours: 4000, months: 12}, since: since}
}

func grease(since span) chore {
	return chore{jobs: "grease", every: span{hours: 450}, since: since}
}

func twoYears(since span) chore {
	return chore{jobs: "coolant;hydoil;tank;hose", every: span{months: 24}, since: since}
}

// bench is what is set and tested every thousand hours or so.
func bench(since span) chore {
	return chore{jobs: "valves;injectors", every: span{hours: 10000}, since: since}
}

// standby is what a frost fan gets, told by when its oil was last changed.
func standby(oil int) []chore {
	return []chore{
		{jobs: "engineoil;oilfilter", every: span{hours: 2000, months: 6}, since: span{days: oil}},
		fuelFilters(span{days: oil + 90}), air(span{days: oil + 30}), vent(span{days: oil + 30}),
		{jobs: "grease", every: span{hours: 400, months: 3}, since: span{days: oil - 52}},
		{jobs: "coolant;tank;hose", every: span{months: 24}, since: span{days: oil + 220}},
		bench(span{days: oil + 310}),
	}
}
