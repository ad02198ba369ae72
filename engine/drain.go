package engine

import (
	"cmp"
	"slices"
)

// Saw is what a look at the bowl told. The zero value is not known.
type Saw string

// What a look can tell.
const (
	SawNothing Saw = ""      // not said, could not be seen, or nothing came
	SawClean   Saw = "clean" // looked at, and no water
	SawWater   Saw = "water"
)

// Look is one look at the separator bowl: a drain, a finding, or both together.
type Look struct {
	Seq     Seq // the finding, else the drain
	At      Instant
	Day     Day
	Saw     Saw
	Finding Finding // as told; "" where only the drain was
	Amount  Amount
	Drained bool
	Hours   Maybe[Tenths] // machine hours then

	entry int
}

// Over says whether the look found more water than some amount for certain.
func (l Look) Over(ml Millilitres) bool {
	low, _ := l.Amount.Bounds()
	return l.Saw == SawWater && low > ml
}

// saw is what a finding tells of water in the bowl. ok is false for one that is
// not about the bowl.
func (f Finding) saw() (s Saw, ok bool) {
	switch f {
	case Clean:
		return SawClean, true
	case Water, RingUp, Ice:
		return SawWater, true
	case Rust, Slime, Debris, Wax, Cloudy, Unseen, NothingCame:
		// The ring may be stuck in slime, and milky may be wax: not known.
		return SawNothing, true
	}
	return SawNothing, false
}

// weight orders findings of one look: water is what counts, then what was not
// seen, then clean.
func (l Look) weight() int {
	switch {
	case l.Saw == SawWater:
		return 3
	case l.Saw == SawNothing && l.Finding != "":
		return 2
	case l.Saw == SawClean:
		return 1
	}
	return 0
}

// Looks are the looks at the bowl in time order. A finding and a drain of one
// message are one look.
func (s *Sheet) Looks() []Look {
	looks := s.looks()
	for i := range looks {
		if b, ok := s.Forecast.HoursAt(looks[i].At); ok {
			looks[i].Hours = Known(TenthsOf(b.Mid))
		}
	}
	return looks
}

func (s *Sheet) looks() []Look {
	var looks []Look
	for i := range s.h {
		e := &s.h[i]
		if e.State != Standing {
			continue
		}
		l := Look{Seq: e.Seq, At: when(e), Day: s.dayOf(e), entry: i}
		switch {
		case e.Kind == KindService && drains(e):
			l.Drained = !s.cameToNothing(e)
		case e.Kind == KindFinding:
			saw, ok := e.Finding.saw()
			if !ok {
				continue
			}
			l.Saw, l.Finding, l.Amount = saw, e.Finding, e.Amount
		default:
			continue
		}
		looks = append(looks, l)
	}
	slices.SortStableFunc(looks, func(a, b Look) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Seq, b.Seq))
	})
	return s.merged(looks)
}

func (s *Sheet) merged(looks []Look) []Look {
	out := looks[:0]
	for _, l := range looks {
		n := len(out)
		if n == 0 || !together(&s.h[out[n-1].entry], &s.h[l.entry]) {
			out = append(out, l)
			continue
		}
		drained := out[n-1].Drained || l.Drained
		if l.weight() > out[n-1].weight() {
			out[n-1] = l
		}
		out[n-1].Drained = drained
	}
	return out
}

// drains says whether a service lets the water out of the bowl.
func drains(e *Entry) bool {
	for _, j := range e.Jobs {
		if !j.RestartedBy(e.How) {
			continue
		}
		if n := j.place(); j == Drain || (n >= 0 && slices.Contains(jobs[n].Contains, Drain)) {
			return true
		}
	}
	return false
}

// BowlWhy is why a drain or a look is due. The zero value is the plan's own
// interval.
type BowlWhy string

// Why a drain or a look is due sooner than the plan has it.
const (
	WaterLast   BowlWhy = "water last time"
	NotSeenLast BowlWhy = "last look not known"
	FilledSince BowlWhy = "filled since"
	WokenSince  BowlWhy = "stood laid up"
	Stood       BowlWhy = "two weeks without a look"
	StillShort  BowlWhy = "water not long ago" // stretching back to the plan's interval
)

// BowlReason is why, and the entry that says so.
type BowlReason struct {
	Why BowlWhy
	Seq Seq
}

// TankWhy is why the tank is accused. The zero value is that it is not.
type TankWhy string

// What accuses the tank, its cap or the can rather than the bowl.
const (
	TwoFinds  TankWhy = "two finds over 20 ml"
	RustFound TankWhy = "rust"
	SlimeSeen TankWhy = "slime"
)

// The water rules of the simple form [common practice].
const (
	bigFind    Millilitres = 20
	standsDays Day         = 14 // a machine that stood so long is looked at before the next start
	cleanRow               = 3  // clean looks after water until the plan's interval is back
)

// BowlState is what the book says of one separator bowl.
type BowlState struct {
	Item     Item
	Last     Look // the last look of any kind; its Seq is 0 for none
	CleanRow int  // clean looks in a row up to the last
	Tank     TankWhy
	TankSeq  Seq
	OffList  BowlOff
	SelfGoes bool    // it starts by itself
	Pace     float64 // hours a day
}

// BowlOff is why a machine is off the drain list. The zero value is that it is
// on it.
type BowlOff string

// Why a machine is off the drain list.
const (
	OffOutOfUse BowlOff = "out of use"
	OffLaidUp   BowlOff = "laid up"
	OffGone     BowlOff = "gone"
	OffPutOff   BowlOff = "put off"
	OffUnknown  BowlOff = "not in the book"
)

// Bowl works out when the bowl is to be drained. The interval of the plan is
// the ceiling. Any water last time means before the next start, and clean looks
// stretch it back over a quarter and a half of the interval. A fill, a spell
// laid up and two weeks without a look each ask for one before the next start.
func (s *Sheet) Bowl(line PlanLine, now Instant) BowlState { return s.bowl(line, s.at(now)) }

func (s *Sheet) bowl(line PlanLine, at present) BowlState {
	looks := s.looks()
	b := BowlState{Item: s.blank(line, at), SelfGoes: s.Machine.SelfStarts == Yes, Pace: s.Forecast.Pace.Mid}
	if n := len(looks); n > 0 {
		b.Last = looks[n-1]
	}
	b.CleanRow = cleanInRow(looks)
	b.Tank, b.TankSeq = s.tank(looks)
	s.drainDue(&b, looks)
	s.settle(&b.Item)
	if b.Item.Reason.Rule == ByMonths && b.Item.Reason.Bowl.Why == Stood {
		b.Item.Reason.Rule = ByDays
	}
	s.promise(&b.Item)
	b.OffList = s.offList(&b)
	return b
}

// drainDue sets the clocks of a bowl's item and its reason.
func (s *Sheet) drainDue(b *BowlState, looks []Look) {
	i := &b.Item
	if i.Last.Seq != 0 {
		share := shortenedTo(looks, b.CleanRow)
		if share > 1 {
			i.Reason.Every = max(i.Reason.Every/share, 1)
			i.Reason.Bowl = BowlReason{StillShort, lastFind(looks)}
		}
		if i.Last.Hours.Known && i.Reason.Every > 0 {
			s.dueAt(i, i.Last.Hours.Value+i.Reason.Every, s.since(i.Last))
		}
		if i.Last.Day != 0 {
			i.MonthDay = i.Last.Day + standsDays
			if m := i.Line.Interval.Months; m > 0 {
				i.MonthDay = i.Last.Day.AddMonths(m)
			}
			if s.LaidUp() != nil {
				i.MonthDay = 0
			}
		}
		if i.MonthDay != 0 && (i.HoursDay == 0 || i.MonthDay < i.HoursDay) && i.Line.Interval.Months == 0 {
			i.Reason.Bowl = BowlReason{Stood, i.Last.Seq}
		}
	}
	if why, at := s.beforeStart(b.Last, i.Last); why.Why != "" {
		s.beforeNextStart(i, why, at)
	}
}

// beforeStart is what asks for a look before the next start, and when it came.
func (s *Sheet) beforeStart(look Look, last Last) (BowlReason, Instant) {
	switch {
	case look.Saw == SawWater:
		return BowlReason{WaterLast, look.Seq}, look.At
	case look.Finding == NothingCame || look.Finding == Unseen:
		return BowlReason{NotSeenLast, look.Seq}, look.At
	case last.Seq == 0:
		return BowlReason{}, 0
	}
	since := max(last.At, look.At)
	var first *Entry
	for i := range s.h {
		e := &s.h[i]
		if e.State != Standing || when(e) <= since || (e.Kind != KindFill && e.Kind != KindWoken) {
			continue
		}
		if first == nil || s.before(e, first) {
			first = e
		}
	}
	switch {
	case first == nil:
		return BowlReason{}, 0
	case first.Kind == KindFill:
		return BowlReason{FilledSince, first.Seq}, when(first)
	}
	return BowlReason{WokenSince, first.Seq}, when(first)
}

// beforeNextStart makes an item due where the machine stood when it was asked
// for.
func (s *Sheet) beforeNextStart(i *Item, why BowlReason, at Instant) {
	i.Reason.Bowl = why
	i.HoursDay = s.cal.DayAt(at)
	i.EarlyDay, i.LateDay, i.MonthDay = i.HoursDay, i.HoursDay, 0
	i.DueHours, i.DueShown = Maybe[Tenths]{}, Maybe[Tenths]{}
	if b, ok := s.Forecast.HoursAt(at); ok {
		i.DueHours = Known(TenthsOf(b.Mid))
		i.DueShown = s.Meter.Shown(i.DueHours.Value)
	}
}

// shortenedTo is what the interval is divided by after water: a quarter of it
// after the first clean look, a half after the second, all of it from the third.
func shortenedTo(looks []Look, clean int) Tenths {
	if lastFind(looks) == 0 {
		return 1
	}
	return 1 << max(cleanRow-max(clean, 1), 0)
}

// lastFind is the last find of water.
func lastFind(looks []Look) Seq {
	for i := len(looks) - 1; i >= 0; i-- {
		if looks[i].Saw == SawWater {
			return looks[i].Seq
		}
	}
	return 0
}

// cleanInRow counts clean looks back from the last. A look of which nothing is
// known neither counts nor breaks the row.
func cleanInRow(looks []Look) (n int) {
	for i := len(looks) - 1; i >= 0 && looks[i].Saw != SawWater; i-- {
		if looks[i].Saw == SawClean {
			n++
		}
	}
	return n
}

// tank says whether the tank is accused: by two finds over 20 ml in a row, or
// by rust or slime, since it was last cleaned.
func (s *Sheet) tank(looks []Look) (TankWhy, Seq) {
	var since Instant
	if e := s.entry(s.jobs[Tank.place()].last); e != nil && e.Kind == KindService {
		since = when(e)
	}
	var big *Look
	for i := len(looks) - 1; i >= 0 && looks[i].At > since; i-- {
		l := &looks[i]
		switch {
		case l.Finding == Slime:
			return SlimeSeen, l.Seq
		case l.Finding == Rust:
			return RustFound, l.Seq
		case l.Saw == SawNothing:
		case l.Over(bigFind) && big != nil:
			return TwoFinds, big.Seq
		case l.Over(bigFind):
			big = l
		default:
			big = nil
		}
	}
	return "", 0
}

func (s *Sheet) offList(b *BowlState) BowlOff {
	switch {
	case !s.Machine.InShed():
		return OffGone
	case s.OutOfUse() != nil:
		return OffOutOfUse
	case s.LaidUp() != nil:
		return OffLaidUp
	case b.Item.Mention(0) == PutOffHeld:
		return OffPutOff
	case b.Item.Unknown != "":
		return OffUnknown
	}
	return ""
}

// DrainRank is why a bowl is worth a look this morning.
type DrainRank string

// Ranks, the most pressing first.
const (
	RankWater   DrainRank = "water last time"
	RankNotSeen DrainRank = "last look not known"
	RankSelf    DrainRank = "starts by itself" // due, and nobody decides when it runs
	RankEvent   DrainRank = "filled or stood"
	RankLong    DrainRank = "long without a look"
	RankRunning DrainRank = "about to run"
)

var drainRanks = []DrainRank{RankWater, RankNotSeen, RankSelf, RankEvent, RankLong, RankRunning}

// Ranked is a bowl with why it is on the list.
type Ranked struct {
	Bowl BowlState
	Why  DrainRank
}

// aboutToRun is the pace in hours a day from which a machine is taken to run
// today [common practice].
const aboutToRun = 1.0

// Rank is why the bowl is worth a look today, "" for not.
func (b BowlState) Rank() DrainRank {
	i := b.Item
	switch why := i.Reason.Bowl.Why; {
	case b.OffList != "":
		return ""
	case why == WaterLast:
		return RankWater
	case why == NotSeenLast:
		return RankNotSeen
	case i.DueDay > i.Today:
		return ""
	case b.SelfGoes:
		return RankSelf
	case why == FilledSince || why == WokenSince:
		return RankEvent
	case b.long():
		return RankLong
	case b.Pace >= aboutToRun:
		return RankRunning
	}
	return ""
}

// long says that nobody looked for two weeks, or for twice the interval.
func (b BowlState) long() bool {
	i := b.Item
	return i.Today-i.Last.Day >= standsDays || (i.Left.Known && i.Left.Value <= -i.Reason.Every)
}

// left are the hours left, so that what ran most comes first; not known counts
// as nothing run.
func (b BowlState) left() Tenths {
	if i := b.Item; i.Left.Known {
		return i.Left.Value
	}
	return b.Item.Reason.Every
}

// RankDrains are the bowls to look at this morning, the most pressing first, at
// most n, and how many more there are. A whole shed is past its 10 h by nearly
// every morning, and nobody drains fourteen bowls for that: a bowl is on the
// list when there is a reason beside the hours.
func RankDrains(bowls []BowlState, n int) (top []Ranked, more int) {
	for _, b := range bowls {
		if why := b.Rank(); why != "" {
			top = append(top, Ranked{b, why})
		}
	}
	slices.SortStableFunc(top, func(a, b Ranked) int {
		return cmp.Or(
			cmp.Compare(slices.Index(drainRanks, a.Why), slices.Index(drainRanks, b.Why)),
			cmp.Compare(a.Bowl.left(), b.Bowl.left()),
			cmp.Compare(a.Bowl.Item.DueDay, b.Bowl.Item.DueDay),
			cmp.Compare(a.Bowl.Item.Machine, b.Bowl.Item.Machine),
		)
	})
	if n = max(n, 0); len(top) > n {
		top, more = top[:n], len(top)-n
	}
	return top, more
}
