package engine

import (
	"cmp"
	"slices"
)

// maxJobs bounds the fixed list of jobs; a test holds it against the list.
const maxJobs = 32

var jobPlace = func() map[Job]int {
	at := make(map[Job]int, len(jobs))
	for i, info := range jobs {
		at[info.Job] = i
	}
	return at
}()

// place is the job's place in the fixed list, -1 for a word that is no job.
func (j Job) place() int {
	if at, ok := jobPlace[j]; ok {
		return at
	}
	return -1
}

// Sheet is the service sheet of one machine: its entries folded once, for any
// number of questions. Entries taken back or replaced count for nothing; what
// replaced them stands by itself.
type Sheet struct {
	Machine  Machine
	Meter    Meter
	Forecast Forecast

	h     []Entry
	cal   Calendar
	empty []int // findings that a drain gave nothing
	looks []Look
	jobs  [maxJobs]jobFold
	all   int // the last put-off of all that is due, as index+1
	out   int // the last entry that took it out of use or brought it back
	laid  int // the last that laid it up or woke it
}

// jobFold is what the entries say of one job, as indices+1 into them.
type jobFold struct {
	last   int // done last
	first  int // done first, as a service
	unsure int // nobody knows
	putOff int
}

// Fold reads one machine's entries once. They may come in any order; h is kept
// and must not change while the sheet is in use.
func Fold(m Machine, h []Entry, cal Calendar) Sheet {
	s := Sheet{Machine: m, h: h, cal: cal, Meter: Timeline(m, h)}
	s.Forecast = forecastIn(s.Meter, cal)
	s.empty = s.nothingCame()
	for i := range h {
		e := &h[i]
		if e.State != Standing {
			continue
		}
		switch e.Kind {
		case KindService:
			s.service(i)
			s.look(i)
		case KindFinding:
			s.look(i)
		case KindBaseline:
			s.baseline(i)
		case KindPutOff:
			s.putOff(i)
		case KindOut, KindBack:
			s.later(&s.out, i)
		case KindParked, KindWoken:
			s.later(&s.laid, i)
		}
	}
	s.Forecast.pause = s.laidUp()
	s.orderLooks()
	return s
}

// later keeps the index of the entry that happened last.
func (s *Sheet) later(at *int, i int) {
	if *at == 0 || !s.before(&s.h[i], &s.h[*at-1]) {
		*at = i + 1
	}
}

// before says whether a happened before b; of two at the same time, the one
// written first.
func (s *Sheet) before(a, b *Entry) bool {
	x, y := s.happened(a), s.happened(b)
	return x < y || (x == y && a.Seq < b.Seq)
}

// happened is when an entry's work was done. A baseline that has hours and no
// day was done when the meter passed them; one that has neither, or hours from
// before the book, was done before everything in it.
func (s *Sheet) happened(e *Entry) Instant {
	if e.Kind != KindBaseline || e.Known == Counted || e.Day != 0 {
		return when(e)
	}
	if e.Hours.Known && len(s.Meter.Points) > 0 {
		if hours := s.Meter.undated(e.Hours.Value); hours >= s.Meter.Points[0].Hours {
			if at := s.Forecast.Crossing(hours).Median; at != 0 && at < when(e) {
				return at
			}
			return when(e)
		}
	}
	return 0
}

func (s *Sheet) service(i int) {
	e := &s.h[i]
	for _, j := range e.Jobs {
		if !j.RestartedBy(e.How) {
			continue
		}
		s.done(j, i)
		if n := j.place(); n >= 0 {
			for _, inner := range jobs[n].Contains {
				s.done(inner, i)
			}
		}
	}
}

func (s *Sheet) done(j Job, i int) {
	n := j.place()
	if n < 0 || (j == Drain && s.cameToNothing(&s.h[i])) {
		return
	}
	f := &s.jobs[n]
	s.later(&f.last, i)
	if f.first == 0 || s.before(&s.h[i], &s.h[f.first-1]) {
		f.first = i + 1
	}
}

func (s *Sheet) baseline(i int) {
	e := &s.h[i]
	for _, j := range e.Jobs {
		n := j.place()
		switch {
		case n < 0:
		case e.Known == Unsure:
			s.later(&s.jobs[n].unsure, i)
		default:
			s.later(&s.jobs[n].last, i)
		}
	}
}

func (s *Sheet) putOff(i int) {
	e := &s.h[i]
	if len(e.Jobs) == 0 {
		s.later(&s.all, i)
	}
	for _, j := range e.Jobs {
		if n := j.place(); n >= 0 {
			s.later(&s.jobs[n].putOff, i)
		}
	}
}

// nothingCame are the findings that a drain gave nothing: what was tried with
// them is no drain.
func (s *Sheet) nothingCame() (at []int) {
	for i := range s.h {
		if e := &s.h[i]; e.State == Standing && e.Kind == KindFinding && e.Finding == NothingCame {
			at = append(at, i)
		}
	}
	return at
}

// cameToNothing says whether a drain was tried and gave nothing.
func (s *Sheet) cameToNothing(e *Entry) bool {
	for _, i := range s.empty {
		if together(e, &s.h[i]) {
			return true
		}
	}
	return false
}

// together says whether two entries tell of one and the same job: they came in
// one message and are of one day, or they are of the same instant.
func together(a, b *Entry) bool {
	if a.Source.Message != "" && a.Source.Message == b.Source.Message && a.Source.Channel == b.Source.Channel {
		return a.Day == b.Day
	}
	return a.At != 0 && a.At == b.At
}

// laidUp is the spell for which the machine is, or was last, laid up.
func (s *Sheet) laidUp() pause {
	if s.laid == 0 {
		return pause{}
	}
	e := &s.h[s.laid-1]
	if e.Kind == KindParked {
		return pause{from: when(e)}
	}
	var p pause
	for i := range s.h {
		o := &s.h[i]
		if o.State == Standing && o.Kind == KindParked && when(o) > p.from && when(o) <= when(e) {
			p = pause{from: when(o), until: when(e)}
		}
	}
	return p
}

// entry is the entry at a kept index, nil for none.
func (s *Sheet) entry(at int) *Entry {
	if at == 0 {
		return nil
	}
	return &s.h[at-1]
}

// Last is when and how a job was last done, by the book.
type Last struct {
	Seq   Seq
	Kind  Kind // service, or baseline
	Day   Day  // 0 is not known
	At    Instant
	Known Knowledge     // counted: nothing was done, counting starts here
	Shown Maybe[Tenths] // as written with it
	Hours Maybe[Tenths] // machine hours then
	// Projected says that no figure was written with it and Hours are worked
	// out from the readings.
	Projected bool
	// ReadThatDay says that they are projected from a reading of the same day:
	// they are good to what the machine ran in part of a day.
	ReadThatDay bool
	By          PersonID
	How         How
}

// LastDone is when a job was last done, by the book; ok is false for never.
// Only ways of doing it that count as the job count.
func (s *Sheet) LastDone(job Job) (l Last, ok bool) {
	n := job.place()
	if n < 0 {
		return Last{}, false
	}
	e := s.entry(s.jobs[n].last)
	if e == nil {
		return Last{}, false
	}
	return s.lastOf(e), true
}

func (s *Sheet) lastOf(e *Entry) Last {
	l := Last{Seq: e.Seq, Kind: e.Kind, Day: e.Day, At: s.happened(e), Known: e.Known, Shown: e.Hours, By: e.DoneBy(), How: e.How}
	if l.Day == 0 && l.At != 0 {
		l.Day = s.cal.DayAt(l.At)
	}
	switch {
	case e.Hours.Known && e.Kind == KindBaseline && e.Day == 0 && e.Known != Counted:
		l.Hours = Known(s.Meter.undated(e.Hours.Value))
	case e.Hours.Known:
		l.Hours = Known(s.Meter.Machine(e.Hours.Value, l.At))
	case l.At != 0:
		if b, ok := s.Forecast.HoursAt(l.At); ok {
			l.Hours, l.Projected = Known(TenthsOf(b.Mid)), true
		}
		if p, ok := s.readOn(l.Day, l.At); ok {
			l.Hours, l.ReadThatDay = Known(p.Hours), true
		}
	}
	return l
}

// readOn is the reading of a day that is nearest before an instant, or the
// first of the day after it: who writes a figure and then the work on the same
// day means that figure [common practice].
func (s *Sheet) readOn(day Day, at Instant) (Point, bool) {
	points := s.Meter.Points
	after, _ := slices.BinarySearchFunc(points, at+1, func(p Point, i Instant) int { return cmp.Compare(p.At, i) })
	switch {
	case day == 0:
	case after > 0 && points[after-1].Day == day:
		return points[after-1], true
	case after < len(points) && points[after].Day == day:
		return points[after], true
	}
	return Point{}, false
}

// DoneBefore is when a job was last done before an entry, by lines that name the
// job itself: opening the separator empties the bowl, but nobody has looked at
// what ran out. ok is false where it was not.
func (s *Sheet) DoneBefore(job Job, than Seq) (l Last, ok bool) {
	this := s.bySeq(than)
	if this == nil {
		return Last{}, false
	}
	var last *Entry
	for i := range s.h {
		e := &s.h[i]
		switch {
		case e.State != Standing || !e.Has(job) || together(e, this) || !s.before(e, this):
		case e.Kind == KindService && (!job.RestartedBy(e.How) || job == Drain && s.cameToNothing(e)):
		case e.Kind != KindService && (e.Kind != KindBaseline || e.Known == Unsure):
		case last == nil || s.before(last, e):
			last = e
		}
	}
	if last == nil {
		return Last{}, false
	}
	return s.lastOf(last), true
}

// Of is what one service or baseline says of when and how its job was done.
func (s *Sheet) Of(seq Seq) (Last, bool) {
	e := s.bySeq(seq)
	if e == nil {
		return Last{}, false
	}
	return s.lastOf(e), true
}

func (s *Sheet) bySeq(seq Seq) *Entry {
	i := slices.IndexFunc(s.h, func(e Entry) bool { return e.Seq == seq })
	if i < 0 {
		return nil
	}
	return &s.h[i]
}
