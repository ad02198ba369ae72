package engine

import (
	"cmp"
	"slices"
)

// FollowKind is what a finding or a job brings with it.
type FollowKind string

// Follow-ups.
const (
	AskRing      FollowKind = "new ring asked"
	RingReused   FollowKind = "ring reused, air risk"
	LookForLeaks FollowKind = "look for leaks and air"
	CleanTank    FollowKind = "clean the tank"
	FiltersTwice FollowKind = "filters twice"
	LookAtCap    FollowKind = "look at tank and cap"
	TakeOut      FollowKind = "out of use, fuel leak"
	RenewRing    FollowKind = "renew the ring"
	RenewBowl    FollowKind = "renew the bowl"
	NotCounted   FollowKind = "nothing came, not counted"
	LookAgain    FollowKind = "could not be seen"
	DrainFirst   FollowKind = "drain before the next start"
	MarkComeback FollowKind = "comeback"
)

// Signal is a signal word of ANSI Z535. The zero value is none.
type Signal string

// Signal words.
const (
	Danger  Signal = "DANGER"
	Warning Signal = "WARNING"
	Caution Signal = "CAUTION"
)

// FollowUp is what is to be done because of something that was done or seen.
type FollowUp struct {
	Kind   FollowKind
	Signal Signal
	Seq    Seq    // the entry that brought it
	Since  Day    // the day of that entry
	From   Day    // not before this day
	Until  Tenths // machine hours after which it is over, 0 for none
	What   string // what to do, in plain words
	When   string
	Why    string

	at Instant
}

// The spans of the follow-ups [common practice].
const (
	airHours      Tenths = 100 // 10 h: air is the first suspect, and a comeback is one
	comebackDays  Day    = 30
	filtersAfter         = 2 // filter changes after slime
	openLooksDays Day    = 30
)

// FollowUps are what the book of a machine still asks for: what its findings
// and jobs brought and nothing written since has settled, one of each kind, in time order.
func FollowUps(m Machine, h []Entry, now Instant, cal Calendar) []FollowUp {
	s := Fold(m, h, cal)
	return s.FollowUps(now)
}

// FollowUps is the same for a sheet that is folded already.
func (s *Sheet) FollowUps(now Instant) []FollowUp {
	at := s.at(now)
	var all []FollowUp
	for i := range s.h {
		if e := &s.h[i]; e.State == Standing && when(e) <= now {
			all = s.brings(all, e, at)
		}
	}
	if f, ok := s.capFollowUp(); ok {
		all = append(all, f)
	}
	slices.SortStableFunc(all, func(a, b FollowUp) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.Seq, b.Seq))
	})
	return latest(all)
}

// latest keeps the last of each kind: what is asked for once is not asked for
// again by every find.
func latest(all []FollowUp) []FollowUp {
	var out []FollowUp
	for i, f := range all {
		later := slices.ContainsFunc(all[i+1:], func(o FollowUp) bool { return o.Kind == f.Kind })
		if !later {
			out = append(out, f)
		}
	}
	return out
}

// Brought are the follow-ups of some entries alone: what an acknowledgement
// says of what was just written.
func (s *Sheet) Brought(seqs []Seq, now Instant) []FollowUp {
	if !s.bringsAny(seqs, now) {
		return nil // most bring nothing, and then the rest of the book is no matter
	}
	var out []FollowUp
	for _, f := range s.FollowUps(now) {
		if slices.Contains(seqs, f.Seq) {
			out = append(out, f)
		}
	}
	return out
}

// bringsAny says whether anything comes of some entries, taken by themselves.
func (s *Sheet) bringsAny(seqs []Seq, now Instant) bool {
	at := s.at(now)
	for i := range s.h {
		e := &s.h[i]
		if e.State == Standing && when(e) <= now && slices.Contains(seqs, e.Seq) && len(s.brings(nil, e, at)) > 0 {
			return true
		}
	}
	f, ok := s.capFollowUp()
	return ok && slices.Contains(seqs, f.Seq)
}

func (s *Sheet) brings(out []FollowUp, e *Entry, at present) []FollowUp {
	switch e.Kind {
	case KindService:
		return s.jobBrings(out, e, at)
	case KindFinding:
		if f, ok := s.findingBrings(e); ok {
			out = append(out, f)
		}
	case KindSymptom:
	default:
		return out
	}
	if f, ok := s.comeback(e, at); ok {
		out = append(out, f)
	}
	return out
}

// jobBrings are the follow-ups of work: a bowl that was opened wants a new
// ring, and a fuel side that was opened a look for leaks and air.
func (s *Sheet) jobBrings(out []FollowUp, e *Entry, at present) []FollowUp {
	bowl, fuel := opens(e)
	if !bowl && !fuel {
		return out
	}
	day := s.dayOf(e)
	f := FollowUp{Seq: e.Seq, Since: day, From: day, at: when(e)}
	if b, ok := s.Forecast.HoursAt(when(e)); ok {
		f.Until = TenthsOf(b.Mid) + airHours
	}
	over := at.today-day > openLooksDays || (f.Until != 0 && at.hours.Known && at.hours.Value >= f.Until)
	if over {
		return out
	}
	if bowl && !s.ringWith(e) {
		out = append(out, s.oldRing(f, e, at.today))
	}
	if fuel && !s.lookedAfter(e) {
		f.Kind, f.What, f.When = LookForLeaks, "Look for wet joints, and for bubbles in the line.", "after the first hours"
		f.Why = "The fuel side was open: air is the first suspect for the next 10 h."
		out = append(out, f)
	}
	return out
}

// oldRing asks for a new ring after the bowl was opened. On the day itself it
// asks whether there is one, unless it was said that the old one went back.
func (s *Sheet) oldRing(f FollowUp, e *Entry, today Day) FollowUp {
	said := ringReused(e) || s.hasWith(e, ringReused)
	if !said && today <= f.Since {
		f.Kind, f.What, f.When = AskRing, "Say whether the bowl O-ring is new.", "now"
		f.Why = "The bowl was opened, and no new ring is in the book. An old ring draws air."
		return f
	}
	f.Kind, f.From = RingReused, f.Since+1
	f.What, f.When = "Look for air at the bowl before the first start, and renew the ring.", "next morning"
	f.Why = "The bowl was opened and no new ring is in the book: air after standing overnight points to it."
	if said {
		f.Why = "The old ring was put back: air after standing overnight points to it."
	}
	return f
}

// ringReused says whether an entry tells that the old ring was put back.
func ringReused(e *Entry) bool { return e.Kind == KindService && e.How == Reused && e.Has(ORing) }

// opens says whether a service opened the bowl and the fuel side. Looking at a
// thing opens nothing.
func opens(e *Entry) (bowl, fuel bool) {
	if e.How == LookedAt || e.How == ToppedUp {
		return false, false
	}
	for _, j := range e.Jobs {
		if n := j.place(); n >= 0 {
			bowl = bowl || jobs[n].OpensBowl
			fuel = fuel || jobs[n].OpensFuel
		}
	}
	return bowl, fuel
}

// ringWith says whether a new ring is in the book with a job or since.
func (s *Sheet) ringWith(e *Entry) bool {
	ring := s.entry(s.jobs[ORing.place()].last)
	return ring != nil && ring.Kind == KindService && (when(ring) > when(e) || s.dayOf(ring) == s.dayOf(e))
}

// lookedAfter says whether somebody looked for leaks or air after a job.
func (s *Sheet) lookedAfter(e *Entry) bool {
	return e.Value == StayedDry || s.has(e, func(o *Entry) bool {
		switch o.Kind {
		case KindCheck:
			return o.Check == CheckBubbles || o.Check == CheckWet
		case KindFinding:
			return o.Finding == Weep || o.Finding == Air
		}
		return false
	})
}

// has says whether a standing entry later than e answers to what is asked.
func (s *Sheet) has(e *Entry, is func(*Entry) bool) bool { return s.count(e, is) > 0 }

func (s *Sheet) count(e *Entry, is func(*Entry) bool) (n int) {
	for i := range s.h {
		o := &s.h[i]
		if o.State == Standing && s.before(e, o) && !together(e, o) && is(o) {
			n++
		}
	}
	return n
}

// hasWith is has, or an entry of the same message.
func (s *Sheet) hasWith(e *Entry, is func(*Entry) bool) bool {
	for i := range s.h {
		if o := &s.h[i]; o.State == Standing && together(e, o) && is(o) {
			return true
		}
	}
	return s.has(e, is)
}

// renewed says whether a service is one of some jobs, done in a way that counts.
func renewed(of ...Job) func(*Entry) bool {
	return func(o *Entry) bool {
		return o.Kind == KindService && slices.ContainsFunc(of, func(j Job) bool { return o.Has(j) && j.RestartedBy(o.How) })
	}
}

// findingBrings is the follow-up of a finding, unless it is settled.
func (s *Sheet) findingBrings(e *Entry) (FollowUp, bool) {
	f := FollowUp{Seq: e.Seq, Since: s.dayOf(e), From: s.dayOf(e), at: when(e), When: "before the next start"}
	var settled func(*Entry) bool // by what was done with it or since
	var looked bool               // only since: what was done with it is how it was found
	switch e.Finding {
	case Water, RingUp, Ice:
		f.Kind, f.What = DrainFirst, "Drain the bowl."
		f.Why = "There was water last time."
		settled, looked = s.lookedIn, true
	case Slime:
		return s.slime(f, e)
	case Rust:
		f.Kind, f.What = CleanTank, "Look into the tank and clean it."
		f.When, f.Why = "before the next filters", "Rust in the bowl comes from the tank."
		settled = renewed(Tank)
	case Weep:
		f.Kind, f.Signal, f.What, f.When = TakeOut, Warning, "Stop it, key out, let it cool. Out of use until it is mended and stayed dry.", "now"
		f.Why = "Fuel leak, fire. Any fuel leak takes a machine out of use." // public: TM 9-6115-641-10
		if s.has(e, mendsLeak) {
			return f, false
		}
		settled = func(o *Entry) bool { return o.Kind == KindOut || o.Kind == KindBack }
	case SwollenORing, HardORing:
		f.Kind, f.What = RenewRing, "Renew the bowl O-ring."
		f.Why = "A hard or swollen ring draws air, most of all after a night."
		settled = renewed(ORing)
	case WarpedBowl:
		f.Kind, f.What = RenewBowl, "Renew the bowl."
		f.Why = "A warped bowl does not seal, new ring or not."
		settled = renewed(Bowl)
	case NothingCame:
		f.Kind, f.What = NotCounted, "Warm the bowl, no flame or heat gun, and try again."
		f.Why = "Nothing came, perhaps frozen: that says nothing about water, and is not counted as clean."
		settled, looked = s.lookedIn, true
	case Unseen:
		f.Kind, f.What = LookAgain, "Wipe or wash the bowl and look again."
		f.Why = "The bowl could not be looked into: that is not clean, it is not known."
		settled, looked = s.lookedIn, true
	default:
		return f, false
	}
	if looked {
		return f, !s.has(e, settled)
	}
	return f, !s.hasWith(e, settled)
}

// mendsLeak says that an entry is work on the fuel side, or a look that found it
// dry. What was done before the leak was seen, or in one breath with it, has not
// stopped it.
func mendsLeak(o *Entry) bool {
	switch o.Kind {
	case KindService:
		return o.How != LookedAt && slices.ContainsFunc(o.Jobs, func(j Job) bool { return j != Bleed && j.place() >= 0 && jobs[j.place()].OpensFuel })
	case KindCheck:
		return o.Check == CheckWet && o.Value == "no"
	}
	return false
}

// lookedIn says that an entry is a drain, or tells whether there was water.
func (s *Sheet) lookedIn(o *Entry) bool {
	if o.Kind == KindFinding {
		saw, _ := o.Finding.saw()
		return saw != SawNothing
	}
	return o.Kind == KindService && drains(o) && !s.cameToNothing(o)
}

// slime asks for a clean tank first, and then for the filters to be changed
// twice: what grew goes on coming loose.
func (s *Sheet) slime(f FollowUp, e *Entry) (FollowUp, bool) {
	if !s.hasWith(e, renewed(Tank)) {
		f.Kind, f.What, f.When = CleanTank, "Clean the tank.", "before the next filters"
		f.Why = "Slime grows where water stands in the tank. Draining the bowl does not stop it."
		return f, true
	}
	f.Kind, f.What, f.When = FiltersTwice, "Change the separator element twice, early.", "after the first hours, and once more"
	f.Why = "After slime the rest of it comes through the filters."
	return f, s.count(e, renewed(Separator, FuelFilter)) < filtersAfter
}

// comeback says that a complaint has come back within 10 h or 30 days of work
// that was done for it.
func (s *Sheet) comeback(e *Entry, at present) (FollowUp, bool) {
	day := s.dayOf(e)
	if !sameComplaint(e, e) || at.today-day > comebackDays {
		return FollowUp{}, false
	}
	work := s.workFor(e)
	if work == nil {
		return FollowUp{}, false
	}
	f := FollowUp{Kind: MarkComeback, Seq: e.Seq, Since: day, From: day, at: when(e), When: "now"}
	f.What = "Mark it as a comeback, and look first at what was done."
	f.Why = "The same complaint within 10 h or 30 days of the work."
	if day-s.dayOf(work) <= comebackDays {
		return f, true
	}
	then, ok := s.Forecast.HoursAt(when(work))
	now, _ := s.Forecast.HoursAt(when(e)) // known where the earlier one is
	return f, ok && TenthsOf(now.Mid-then.Mid) <= airHours
}

// workFor is the last work before a complaint, where it followed an earlier
// report of the same.
func (s *Sheet) workFor(e *Entry) (work *Entry) {
	for i := range s.h {
		o := &s.h[i]
		if o.State != Standing || !(o.Kind == KindService || o.Kind == KindBack) || !s.before(o, e) || together(o, e) {
			continue
		}
		if work == nil || s.before(work, o) {
			work = o
		}
	}
	if work == nil || !s.reportedBefore(work, e) {
		return nil
	}
	return work
}

func (s *Sheet) reportedBefore(work, e *Entry) bool {
	for i := range s.h {
		o := &s.h[i]
		if o.State == Standing && sameComplaint(o, e) && (s.before(o, work) || together(o, work)) {
			return true
		}
	}
	return false
}

// sameComplaint says whether two entries complain of the same: a symptom, a
// leak, or air in the line.
func sameComplaint(a, b *Entry) bool {
	switch {
	case a.Kind != b.Kind:
		return false
	case a.Kind == KindSymptom:
		return slices.ContainsFunc(a.Symptoms, func(x Symptom) bool { return slices.Contains(b.Symptoms, x) })
	case a.Kind == KindFinding:
		return a.Finding == b.Finding && (a.Finding == Weep || a.Finding == Air)
	}
	return false
}

// capFollowUp accuses tank, cap and can, after two big finds in a row or where
// water comes too often.
func (s *Sheet) capFollowUp() (FollowUp, bool) {
	why, seq := s.tank(s.record(s.looks))
	var because string
	switch why {
	case TwoFinds:
		because = "Two finds over 20 ml in a row: that much comes from a cap, a can or a delivery, not from the air."
	case TooOften:
		because = "Water comes more than once in 50 h for certain: that is a tank, a cap or a can, not the air."
	default:
		return FollowUp{}, false
	}
	if s.capSeen(seq) {
		return FollowUp{}, false
	}
	i := slices.IndexFunc(s.looks, func(l Look) bool { return l.Seq == seq })
	return FollowUp{
		Kind: LookAtCap, Seq: seq, Since: s.looks[i].Day, From: s.looks[i].Day, at: s.looks[i].At,
		What: "Look at the tank, its cap and the can.", When: "before the next fill", Why: because,
	}, true
}

// capSeen says that the cap or vent was done since.
func (s *Sheet) capSeen(seq Seq) bool {
	i := slices.IndexFunc(s.h, func(e Entry) bool { return e.Seq == seq })
	return s.hasWith(&s.h[i], renewed(Vent, Tank))
}
