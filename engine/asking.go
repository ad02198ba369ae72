package engine

import (
	"cmp"
	"math"
	"slices"
)

// NotAsked is why nobody is asked to read a meter. The zero value is that one
// may be.
type NotAsked string

// Why nobody is asked.
const (
	NotOurs     NotAsked = "a customer's" // read when it comes in
	NotHere     NotAsked = "gone"
	NotInUse    NotAsked = "out of use"
	NotAwake    NotAsked = "laid up"
	HasNoMeter  NotAsked = "no meter"
	NothingOpen NotAsked = "nothing would change"
)

// Worth is what a fresh reading of one machine's meter is worth: the chance
// that it changes what is due within the week. It is the value of information
// (Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961) of a
// reading for the list of what is due, where a line wrongly on it and one
// wrongly off it weigh alike.
type Worth struct {
	Machine MachineID
	Chance  float64 // of a change, 0 to 1
	Job     Job     // the one most likely to come onto the list or go off it
	OnList  bool    // it is on the list now, and may go off it
	Last    Point   // the last reading, its Seq 0 without any
	Not     NotAsked
}

// The bounds of what is asked for [common practice].
const (
	askedDays   Day = 7
	leastChance     = 0.05 // a chance of one in twenty is worth nobody's walk
)

// WorthReading works out what a reading now is worth. items are what Due gave
// for the same moment; own says whether the machine is the shop's own: a
// customer's, seen once a year, is not asked for.
//
// An item by hours is due within the week where the middle of the forecast gets
// there. A fresh figure moves the whole forecast to where the machine truly
// stands; how likely that is to take the item across the end of the week
// follows from the 80 % band of today's hours. The hours of one machine move
// all its items together, so that the chances on either side are those of the
// nearest item.
func (s *Sheet) WorthReading(items []Item, own bool, now Instant) Worth {
	w := Worth{Machine: s.Machine.ID, Not: s.notAsked(own)}
	w.Last, _ = s.Meter.Last()
	if w.Not != "" {
		return w
	}
	week := askedWeek{s: s, now: now, end: s.cal.Start(s.cal.DayAt(now) + askedDays + 1)}
	var on, off chanceOf
	for i := range items {
		p, listed := week.flips(&items[i])
		side := &off
		if listed {
			side = &on
		}
		if p > side.chance {
			*side = chanceOf{p, items[i].Job}
		}
	}
	w.Chance = min(on.chance+off.chance, 1)
	w.Job, w.OnList = off.job, false
	if on.chance > off.chance {
		w.Job, w.OnList = on.job, true
	}
	if w.Chance < leastChance {
		w.Not = NothingOpen
	}
	return w
}

type chanceOf struct {
	chance float64
	job    Job
}

// notAsked is why nobody is asked to read this meter.
func (s *Sheet) notAsked(own bool) NotAsked {
	switch {
	case !own:
		return NotOurs
	case !s.Machine.InShed():
		return NotHere
	case s.Machine.Reads == NoMeter:
		return HasNoMeter
	case s.OutOfUse() != nil:
		return NotInUse
	case s.LaidUp() != nil:
		return NotAwake
	}
	return ""
}

// askedWeek is the week that a reading now may change.
type askedWeek struct {
	s        *Sheet
	now, end Instant
}

// flips is the chance that a fresh figure takes an item onto the week's list or
// off it, and whether it is on it now. What the calendar makes due, or what was
// put off, no reading changes; nor a drain, which goes by looks: whoever reads
// the meter stands before the bowl.
func (w *askedWeek) flips(i *Item) (p float64, listed bool) {
	by := i.Today + askedDays
	switch {
	case !i.DueHours.Known || i.Job == Drain || i.PutOff.Seq != 0 || (i.MonthDay != 0 && i.MonthDay <= by):
		return 0, false
	case len(w.s.Meter.Points) == 0:
		return 1, false // it has no date at all until the meter is read
	}
	f := w.s.since(i.Last)
	now, _ := f.HoursAt(w.now)
	end, _ := f.HoursAt(w.end)
	// Where it must stand now to be due by the end of the week.
	from := i.DueHours.Value.Hours() - (end.Mid - now.Mid)
	below := now.below(from)
	if i.HoursDay != 0 && i.HoursDay <= by {
		return below, true
	}
	return 1 - below, false
}

// below is the chance that hours are below a figure: half a normal distribution
// on each side of the middle, each with its end of the 80 % band as its tenth.
func (b Band) below(hours float64) float64 {
	side := b.High - b.Mid
	if hours <= b.Mid {
		side = b.Mid - b.Low
	}
	switch {
	case side > 0:
		return normalBelow(z80 * (hours - b.Mid) / side)
	case hours <= b.Mid:
		return 0
	}
	return 1
}

// normalBelow is the standard normal distribution function.
func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// KeepWorth puts what one machine's reading is worth into a list of at most so
// many, the most worth first, and returns the list. Of two alike the older
// reading comes first. Machines can so be gone through one at a time.
func KeepWorth(top []Worth, w Worth, most int) []Worth {
	if w.Not != "" || most <= 0 {
		return top
	}
	at, _ := slices.BinarySearchFunc(top, w, func(a, b Worth) int {
		return cmp.Or(cmp.Compare(b.Chance, a.Chance), cmp.Compare(a.Last.At, b.Last.At), cmp.Compare(a.Machine, b.Machine))
	})
	if at >= most {
		return top
	}
	top = slices.Insert(top, at, w)
	return top[:min(len(top), most)]
}
