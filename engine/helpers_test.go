package engine

import (
	"testing"
	"time"
	_ "time/tzdata"
)

// The tests' shop is on UTC unless a test is about clock changes.
var utc = CalendarIn(time.UTC)

func day(t testing.TB, s string) Day {
	t.Helper()
	d, err := ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func zone(t testing.TB, name string) Calendar {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return CalendarIn(loc)
}

// morning is 07:30 of a day on UTC.
func morning(d Day) Instant { return Instant(d)*DayLength + 7*hour + 30*minute }

// log writes entries for tests: every call is a message of its own, at 07:30 of
// its day unless At is set.
type log struct{ entries []Entry }

func (l *log) add(e Entry) *Entry {
	e.Seq = Seq(len(l.entries) + 1)
	if e.At == 0 {
		e.At = morning(e.Day)
	}
	l.entries = append(l.entries, e)
	return &l.entries[len(l.entries)-1]
}

func (l *log) read(d Day, shown Tenths) {
	l.add(Entry{Kind: KindReading, Day: d, Hours: Known(shown)})
}

func (l *log) serve(d Day, shown Tenths, jobs ...Job) {
	l.add(Entry{Kind: KindService, Day: d, Hours: Known(shown), Jobs: jobs})
}

func (l *log) serveUnread(d Day, jobs ...Job) {
	l.add(Entry{Kind: KindService, Day: d, Jobs: jobs})
}

func (l *log) find(d Day, f Finding, ml Millilitres) {
	l.add(Entry{Kind: KindFinding, Day: d, Finding: f, Amount: Amount{Measured: ml.Tenths()}})
}

// steady is a log with a reading every third day at a steady pace, in tenths a
// day, from a first figure.
func steady(from Day, first, pace Tenths, readings int) *log {
	l := &log{}
	for i := range readings {
		l.read(from+Day(3*i), first+pace*Tenths(3*i))
	}
	return l
}

func line(job Job, every Tenths, months int) PlanLine {
	return PlanLine{Job: job, Interval: Interval{Every: every, Months: months}}
}

// due is the one item of one line.
func due(t testing.TB, m Machine, l *log, p PlanLine, now Instant) Item {
	t.Helper()
	items := Due(m, l.entries, []PlanLine{p}, now, utc)
	if len(items) != 1 {
		t.Fatalf("%d items for one line", len(items))
	}
	return items[0]
}

// reporter is what the checks need of a test, so that rapid's fit as well.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

func same[T comparable](t reporter, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

func near(t reporter, what string, got, want, within float64) {
	t.Helper()
	if !(got >= want-within && got <= want+within) {
		t.Errorf("%s: got %v, want %v within %v", what, got, want, within)
	}
}
