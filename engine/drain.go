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
func (l Look) Over(ml TenthsML) bool {
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
	looks := slices.Clone(s.looks)
	for i := range looks {
		if b, ok := s.Forecast.HoursAt(looks[i].At); ok {
			looks[i].Hours = Known(TenthsOf(b.Mid))
		}
	}
	return looks
}

// look notes what an entry tells of the bowl, if it does.
func (s *Sheet) look(i int) {
	e := &s.h[i]
	l := Look{Seq: e.Seq, At: when(e), Day: s.dayOf(e), entry: i}
	if e.Kind == KindService {
		if !drains(e) {
			return
		}
		l.Drained = !s.cameToNothing(e)
	} else {
		saw, ok := e.Finding.saw()
		if !ok {
			return
		}
		l.Saw, l.Finding, l.Amount = saw, e.Finding, e.Amount
	}
	if s.looks == nil {
		s.looks = make([]Look, 0, len(s.h)-i)
	}
	s.looks = append(s.looks, l)
}

// orderLooks puts the looks in time order and makes one of those of a message.
func (s *Sheet) orderLooks() {
	byTime := func(a, b Look) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Seq, b.Seq))
	}
	if !slices.IsSortedFunc(s.looks, byTime) {
		slices.SortStableFunc(s.looks, byTime)
	}
	s.looks = s.merged(s.looks)
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
	RainedSince BowlWhy = "rain or washing since"
	StillShort  BowlWhy = "water not long ago" // finds make it more often than the plan
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
	TooOften  TankWhy = "water too often" // more than once in 50 h, for certain: tank, cap or can
)

// What accuses the tank, and when a look falls due of itself [common practice].
const (
	bigFind        = 20 * ML
	standsDays Day = 14 // a machine that stood so long is looked at before the next start
)

// BowlState is what the book says of one separator bowl.
type BowlState struct {
	Item     Item
	Last     Look // the last look of any kind; its Seq is 0 for none
	CleanRow int  // clean looks in a row up to the last
	Water    WaterRecord
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
// the ceiling: it is shortened so far that the chance of more than half a bowl
// before the next drain stays under 5 %, and clean looks stretch it back. Any
// water last time means before the next start. A fill, rain or washing, a spell
// laid up and two weeks without a look each ask for a look of their own.
func (s *Sheet) Bowl(line PlanLine, now Instant) BowlState { return s.bowl(line, s.at(now)) }

func (s *Sheet) bowl(line PlanLine, at present) BowlState {
	looks := s.looks
	b := BowlState{Item: s.blank(line, at), SelfGoes: s.Machine.SelfStarts == Yes, Pace: s.Forecast.Pace.Mid}
	if n := len(looks); n > 0 {
		b.Last = looks[n-1]
	}
	b.CleanRow, b.Water = cleanInRow(looks), s.record(looks)
	b.Tank, b.TankSeq = s.tank(b.Water)
	s.drainDue(&b)
	s.settle(&b.Item)
	if b.Item.Reason.Rule == ByMonths && b.Item.Reason.Bowl.Why == Stood {
		b.Item.Reason.Rule = ByDays
	}
	s.promise(&b.Item)
	b.OffList = s.offList(&b)
	return b
}

// drainDue sets the clocks of a bowl's item and its reason.
func (s *Sheet) drainDue(b *BowlState) {
	i := &b.Item
	if i.Last.Seq != 0 {
		if within := b.Water.Within(i.Reason.Every, s.Machine.BowlML); within < i.Reason.Every {
			i.Reason.Every = within
			i.Reason.Bowl = BowlReason{StillShort, b.Water.Last}
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
		if e.State != Standing || sinceWhy(e.Kind) == "" || when(e) <= since {
			continue
		}
		if first == nil || s.before(e, first) {
			first = e
		}
	}
	if first == nil {
		return BowlReason{}, 0
	}
	return BowlReason{sinceWhy(first.Kind), first.Seq}, when(first)
}

// sinceWhy is why an entry asks for a look of its own, "" for not: water comes
// with a fill, with rain on the cap, with washing and with standing.
func sinceWhy(k Kind) BowlWhy {
	switch k {
	case KindFill:
		return FilledSince
	case KindRain:
		return RainedSince
	case KindWoken:
		return WokenSince
	}
	return ""
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

// tank says whether the tank is accused: by rust or slime, by two finds over
// 20 ml in a row, or by finds that come too often, since it was last cleaned.
func (s *Sheet) tank(r WaterRecord) (TankWhy, Seq) {
	since := s.cleaned()
	var big *Look
	for i := len(s.looks) - 1; i >= 0 && s.looks[i].At > since; i-- {
		l := &s.looks[i]
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
	if r.Often() {
		return TooOften, r.Last
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
	RankEvent   DrainRank = "filled or stood"  // or rained on
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
	case why == FilledSince || why == RainedSince || why == WokenSince:
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
