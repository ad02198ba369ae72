package engine

import "slices"

// FactorWater is the factor of severe use that the book finds by itself: water
// in the fuel. The shop may also say it.
const FactorWater = "water"

// severity is the one factor of severe use that shortens an interval.
type severity struct {
	factor string
	until  Day // not from this day on, 0 for as long as it is said
	seq    Seq // the find that brought it, 0 where the shop said so
}

// severity is the factor in force for a job on a day: the worst of what the
// shop has said and of water found, taken once. What was said ends on its day,
// or with "none". Water ends by itself, with two clean looks 25 h apart.
func (s *Sheet) severity(job Job, today Day) severity {
	m := &s.Machine
	said := severity{factor: m.Severe, until: m.SevereUntil}
	switch {
	case said.until != 0 && today >= said.until:
		said = severity{}
	case m.Severe == FactorWater && m.SevereSince != 0 && s.dryAgain(m.SevereSince):
		said = severity{}
	}
	found := severity{}
	if waterWears(job) {
		if seq := s.waterWearing(); seq != 0 {
			found = severity{factor: FactorWater, seq: seq}
		}
	}
	if SevereShare(found.factor) > SevereShare(said.factor) {
		return found
	}
	return said
}

// waterWears says whether water in the fuel is severe use for a job: what it
// goes through first.
func waterWears(job Job) bool { return job == Separator || job == FuelFilter }

// waterWearing is the last find of more than 20 ml for certain, as long as no
// two clean looks 25 h apart have followed without water between, 0 for none
// [common practice]. Hours are counted up to the reading before the last, as in
// a WaterRecord.
func (s *Sheet) waterWearing() Seq {
	var dry dryRow
	settled := s.settled()
	for _, l := range slices.Backward(s.looks) {
		switch {
		case l.Over(bigFind):
			return l.Seq
		case l.Saw == SawWater:
			dry = dryRow{}
		case l.Saw == SawClean && l.At <= settled && dry.over(s, l.At):
			return 0
		}
	}
	return 0
}

// dryAgain says whether two clean looks 25 h apart, without water between, were
// made after a day.
func (s *Sheet) dryAgain(since Day) bool {
	var dry dryRow
	settled := s.settled()
	for _, l := range slices.Backward(s.looks) {
		switch {
		case l.Day <= since:
			return false
		case l.Saw == SawWater:
			dry = dryRow{}
		case l.Saw == SawClean && l.At <= settled && dry.over(s, l.At):
			return true
		}
	}
	return false
}

// dryRow are clean looks in a row, gone through backwards.
type dryRow struct{ last Instant }

// over says whether a clean look is far enough before the last of its row.
func (d *dryRow) over(s *Sheet, at Instant) bool {
	if d.last == 0 {
		d.last = at
		return false
	}
	hours, ok := s.between(at, d.last)
	return ok && hours >= dryHours
}

// severeHours are the hours of an interval under a factor of severe use: those
// given for it, or the factor's share. There is one factor, the worst, and
// never less than a quarter of the interval is left.
func severeHours(iv Interval, factor string) (hours Tenths, why string) {
	n := SevereShare(factor)
	if n <= 1 || iv.Every == 0 || (iv.Severe == 0 && !iv.Severable) {
		return iv.Every, ""
	}
	hours = iv.Every / n
	if iv.Severe > 0 {
		hours = min(iv.Severe, iv.Every)
	}
	return max(hours, iv.Every/leastShare, 1), factor
}

const leastShare = 4

// SevereShare is what an interval is divided by under a factor of severe use: 2
// as manuals have it for dust, water, own bulk tank, blends with biodiesel,
// short runs, idling and cold below -12 °C (utility tractor, construction
// engine and telehandler manuals), 4 for fuel with more than 1 % sulphur (tractor
// manual for poor-fuel markets), and 1 for none.
func SevereShare(factor string) Tenths {
	switch factor {
	case "", "none":
		return 1
	case "high-sulphur":
		return leastShare
	}
	return 2
}
