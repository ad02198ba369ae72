package engine

// promise looks for a put-off that still counts for an item: said since the job
// was last done, for this job or for all that was due then.
func (s *Sheet) promise(i *Item) {
	e := s.entry(s.jobs[i.Job.place()].putOff)
	if all := s.entry(s.all); all != nil && (e == nil || s.before(e, all)) && s.wasDue(i, all) {
		e = all
	}
	if e == nil || (i.Last.Seq != 0 && when(e) <= i.Last.At) {
		return
	}
	i.PutOff = PutOff{Seq: e.Seq, Said: s.dayOf(e), Until: e.Until, By: e.Writer}
}

// wasDue says whether an item was due, or inside its window, on the day that
// everything due was put off.
func (s *Sheet) wasDue(i *Item, e *Entry) bool {
	return i.DueDay != 0 && i.WindowFrom() <= s.dayOf(e)
}

func (s *Sheet) dayOf(e *Entry) Day {
	if e.Day != 0 {
		return e.Day
	}
	return s.cal.DayAt(when(e))
}

// week is how often an open put-off is raised, in days.
const week = 7

// Promise is the day on which an item is to be spoken of again: the end of a
// put-off, the next weekly day of an open one, or the due day. 0 is not known.
func (i Item) Promise() Day {
	p := i.PutOff
	switch {
	case p.Seq == 0:
		return i.DueDay
	case p.Until != 0:
		return p.Until
	}
	return p.Said + (max(i.raisedBy(i.Today-1), 0)+1)*week
}

// raisedBy is how many weeks an open put-off has run by a day, or one with a day
// since it was over.
func (i Item) raisedBy(day Day) Day { return max(day-max(i.PutOff.Said, i.PutOff.Until), 0) / week }

// Mention is whether an item is spoken of in a morning, and why.
type Mention string

// Mentions. The last three are silence.
const (
	IsDue      Mention = "due"
	PutOffCame Mention = "put off until now"
	PutOffOpen Mention = "put off, raised weekly"
	PutOffHeld Mention = "put off"
	NotYet     Mention = "not yet"
	CannotSay  Mention = "not known"
)

// Spoken says whether the mention is one that is spoken of.
func (m Mention) Spoken() bool { return m == IsDue || m == PutOffCame || m == PutOffOpen }

// Mention is whether the item is to be spoken of today, and why. since is the
// day of the morning before this one, so that a week that ends on a day without
// one is not lost; 0 is yesterday.
//
// A put-off that is over brings its job up on its day. From then on it stands
// where it stood: what is due is spoken of every morning, what is not due yet
// when it falls due, and what cannot be dated once a week until it is done.
func (i Item) Mention(since Day) Mention {
	if since == 0 || since >= i.Today {
		since = i.Today - 1
	}
	weekly := i.raisedBy(i.Today) > i.raisedBy(since)
	switch until := i.PutOff.Until; {
	case i.PutOff.Seq != 0 && until == 0 && weekly:
		return PutOffOpen
	case i.PutOff.Seq != 0 && (until == 0 || i.Today < until):
		return PutOffHeld
	case i.PutOff.Seq != 0 && since < until:
		return PutOffCame
	case i.PutOff.Seq != 0 && i.DueDay == 0:
		if weekly {
			return PutOffCame
		}
		return PutOffHeld
	case i.PutOff.Seq != 0 && i.DueDay <= i.Today:
		return PutOffCame
	case i.DueDay == 0:
		return CannotSay
	case i.DueDay <= i.Today:
		return IsDue
	}
	return NotYet
}

// Stand is where an item stands against its interval. A boundary belongs to
// the worse side. The tenth of the interval is the usual planning window
// ("10 % rule" of preventive maintenance, reliabilityweb.com); it is no
// warranty term.
type Stand string

// Stands, the better first. The zero value is not known.
const (
	Ahead    Stand = "ahead"         // more than the window is left
	InWindow Stand = "in its window" // within a tenth of the interval before it
	Past     Stand = "past"          // past the figure, within a tenth
	WellPast Stand = "well past"     // past by a tenth or more
)

func (s Stand) badness() int {
	switch s {
	case Ahead:
		return 1
	case InWindow:
		return 2
	case Past:
		return 3
	case WellPast:
		return 4
	}
	return 0
}

// Stand is where the item stands today, by the worse of its two clocks.
func (i Item) Stand() Stand {
	var worst Stand
	if i.Left.Known {
		worst = standing(int64(i.Left.Value), int64(i.Reason.Every))
	}
	if i.MonthDay != 0 {
		if s := standing(int64(i.MonthDay-i.Today), int64(i.MonthDay-i.Last.Day)); s.badness() > worst.badness() {
			worst = s
		}
	}
	return worst
}

func standing(left, interval int64) Stand {
	switch {
	case 10*left > interval:
		return Ahead
	case left > 0:
		return InWindow
	case 10*left > -interval:
		return Past
	}
	return WellPast
}

// WindowFrom is the day on which the item comes into its window: a tenth of the
// days from last done to due before it.
func (i Item) WindowFrom() Day {
	if i.DueDay == 0 || i.Last.Day == 0 || i.Last.Day > i.DueDay {
		return i.DueDay
	}
	return i.DueDay - (i.DueDay-i.Last.Day)/10
}
