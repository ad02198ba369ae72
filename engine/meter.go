package engine

import (
	"cmp"
	"slices"
)

// MeterRolledOver is the Value of a KindMeter entry that is no new meter but
// the old one starting again at zero after 9,999.9 h.
const MeterRolledOver = "rolled-over"

// rollsAt is where the drums of an hour meter start again: after 9,999.9 h, or
// after 9,999 h where it shows whole hours.
const rollsAt Tenths = 100_000

// Point is one figure of an hour meter in time.
type Point struct {
	Seq   Seq     // the entry that it stands in
	Kind  Kind    // reading, service, baseline, or meter for the first figure of a new one
	At    Instant // as near as is known
	Day   Day
	Shown Tenths // as the meter showed it
	Hours Tenths // machine hours: the same across meters
	// Slack are hours that the machine may have run on top of Hours by then,
	// because a meter was replaced and nobody knew its last figure.
	Slack Tenths
	Known Knowledge
	Grain Tenths // what the meter can tell apart: 0.1 h, or 1 h on a whole-hour meter

	old  Maybe[Tenths]
	roll bool
}

// swap is a meter that took over from another.
type swap struct {
	at     Instant
	start  Tenths // its first figure
	offset Tenths // machine hours less figure
	slack  Tenths
	point  int
}

// Meter is the hour meter of one machine, seen as one line across every meter
// that it has had. The first meter's figures are its machine hours.
type Meter struct {
	Kind   string // the machine's kind, for the usual pace where it has none of its own
	Reads  MeterGrain
	Points []Point // in time order: At, then Day, then Seq

	swaps []swap
}

// Timeline puts the standing figures of one machine's entries in time order
// and gives each its machine hours. Entries taken back or replaced leave no
// trace, and the order in which they were written does not matter.
//
// A new meter takes over where the old one stood: machine hours are the old
// final figure, no hours for the time between, plus what the new one has
// gained. Where the old final figure is not known, the last reading stands for
// it and what may have been run since is kept as Slack. A meter never rolls
// over by itself: that is an entry of kind meter with MeterRolledOver.
func Timeline(m Machine, h []Entry) Meter {
	meter := Meter{Kind: m.Kind, Reads: m.Reads, Points: make([]Point, 0, figures(h))}
	grain := Tenths(1)
	if m.Reads == ReadsWhole {
		grain = 10
	}
	for i := range h {
		e := &h[i]
		if e.State != Standing || !showsFigure(e) {
			continue
		}
		meter.Points = append(meter.Points, Point{
			Seq: e.Seq, Kind: e.Kind, At: when(e), Day: e.Day, Shown: e.Hours.Value, Known: e.Known, Grain: grain,
			old: e.Old, roll: e.Value == MeterRolledOver || (e.Old.Known && e.Old.Value == rollsAt-1),
		})
	}
	if !slices.IsSortedFunc(meter.Points, inTime) {
		slices.SortFunc(meter.Points, inTime)
	}
	meter.count()
	return meter
}

func figures(h []Entry) (n int) {
	for i := range h {
		if h[i].State == Standing && showsFigure(&h[i]) {
			n++
		}
	}
	return n
}

// showsFigure says whether an entry tells where the meter stood at a time. A
// baseline of an unknown day tells a figure but not when.
func showsFigure(e *Entry) bool {
	switch e.Kind {
	case KindReading, KindService:
		return e.Hours.Known
	case KindBaseline:
		return e.Hours.Known && e.Day != 0
	case KindMeter:
		return true
	}
	return false
}

// when is the instant of an entry as near as is known: its own, or noon of its
// day, or when it was said.
func when(e *Entry) Instant {
	switch {
	case e.At != 0:
		return e.At
	case e.Day != 0:
		return Instant(e.Day)*DayLength + DayLength/2
	case e.Said != 0:
		return e.Said
	}
	return e.Written
}

func inTime(a, b Point) int {
	if c := cmp.Compare(a.At, b.At); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Day, b.Day); c != 0 {
		return c
	}
	return cmp.Compare(a.Seq, b.Seq)
}

// count works out machine hours, point by point.
func (m *Meter) count() {
	var offset, slack Tenths
	for i := range m.Points {
		p := &m.Points[i]
		if p.Kind == KindMeter {
			stood := p.Shown // with nothing before it, the new figure is all there is
			switch {
			case p.roll:
				stood = offset + rollsAt + p.Shown
			case p.old.Known:
				stood = offset + p.old.Value
			case i > 0:
				stood = m.Points[i-1].Hours
				slack += m.unread(i)
			}
			offset = stood - p.Shown
			start := p.Shown
			if p.roll {
				start = 0
			}
			m.swaps = append(m.swaps, swap{at: p.At, start: start, offset: offset, slack: slack, point: i})
		}
		p.Hours, p.Slack = p.Shown+offset, slack
	}
}

// unread is what the machine may have run between the last figure of a meter
// and the next meter at point i: the time between at the pace so far, or at
// the usual pace of its kind.
func (m *Meter) unread(i int) Tenths {
	first, last := m.Points[0], m.Points[i-1]
	pace := usualPace(m.Kind).Mid
	if days := span(first.At, last.At); days >= paceSpan {
		pace = (last.Hours - first.Hours).Hours() / days
	}
	return TenthsOf(possible(pace) * span(last.At, m.Points[i].At))
}

// span is the time between two instants in days of 24 hours.
func span(from, to Instant) float64 { return float64(to-from) / float64(DayLength) }

// Last is the latest point in time; ok is false without any.
func (m Meter) Last() (p Point, ok bool) {
	if len(m.Points) == 0 {
		return Point{}, false
	}
	return m.Points[len(m.Points)-1], true
}

// Machine turns a figure that the meter showed at an instant into machine
// hours, by the meter that was on the machine then.
func (m Meter) Machine(shown Tenths, at Instant) Tenths {
	return shown + m.inForce(at).offset
}

// Shown is what today's meter shows at some machine hours. It is not known for
// hours before this meter's first.
func (m Meter) Shown(hours Tenths) Maybe[Tenths] {
	if len(m.swaps) == 0 {
		return Known(hours)
	}
	now := m.swaps[len(m.swaps)-1]
	if hours < now.offset+now.start {
		return Maybe[Tenths]{}
	}
	return Known(hours - now.offset)
}

// ShownAs is Shown as this meter reads: a whole-hour meter shows no tenths.
func (m Meter) ShownAs(hours Tenths) Maybe[Tenths] {
	s := m.Shown(hours)
	if m.Reads == ReadsWhole && s.Known {
		s.Value -= s.Value % 10
	}
	return s
}

func (m Meter) inForce(at Instant) swap {
	for i := len(m.swaps) - 1; i >= 0; i-- {
		if m.swaps[i].at <= at {
			return m.swaps[i]
		}
	}
	return swap{}
}

// undated turns a figure of unknown day, such as one from a sticker, into
// machine hours: by the newest meter that has shown it, else by the first.
func (m Meter) undated(shown Tenths) Tenths {
	end := len(m.Points)
	for i := len(m.swaps) - 1; i >= 0; i-- {
		s := m.swaps[i]
		if s.start <= shown && shown <= m.Points[end-1].Shown {
			return shown + s.offset
		}
		end = s.point
	}
	return shown
}
