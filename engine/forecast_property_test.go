package engine

import (
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// readings draws a log of readings alone, up to some years long, that may rest,
// run hard and slip.
func readings(t *rapid.T) []Entry {
	var h []Entry
	at, hours := morning(20000), Tenths(rapid.IntRange(0, 50000).Draw(t, "first"))
	most := rapid.SampledFrom([]int64{3, 12, 40}).Draw(t, "longest gap")
	pace := int64(0)
	for n := range rapid.IntRange(1, 90).Draw(t, "readings") {
		if n%8 == 0 {
			pace = rapid.SampledFrom([]int64{0, 1, 3, 9}).Draw(t, "pace")
		}
		gap := rapid.Int64Range(600, most*86400).Draw(t, "gap")
		at += Instant(gap)
		hours += Tenths(rapid.Int64Range(0, gap/3600*pace+1).Draw(t, "gain"))
		h = append(h, Entry{Seq: Seq(n + 1), Kind: KindReading, At: at, Day: utc.DayAt(at), Said: at, Hours: Known(hours)})
	}
	if rapid.IntRange(0, 9).Draw(t, "slip") == 0 {
		h[rapid.IntRange(0, len(h)-1).Draw(t, "which")].Hours.Value *= 10
	}
	return h
}

var genKind = rapid.SampledFrom([]string{"", "mower", "tractor", "frost fan"})

func TestForecastKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, m := readings(t), Machine{Kind: genKind.Draw(t, "kind"), Reads: rapid.SampledFrom([]MeterGrain{ReadsTenths, ReadsWhole}).Draw(t, "reads")}
		if m.Reads == ReadsWhole {
			for i := range h {
				h[i].Hours.Value -= h[i].Hours.Value % 10
			}
		}
		f := ForecastOf(Timeline(m, h))
		last := f.Basis.Last
		var was, wasRead Band
		still, at := 1.0, last.At
		for range 30 {
			b, _ := f.HoursAt(at)
			read, _ := f.ReadAt(at)
			for _, x := range []struct{ b, was Band }{{b, was}, {read, wasRead}} {
				if !(last.Hours.Hours() <= x.b.Low+1e-9 && x.b.Low <= x.b.Mid+1e-9 && x.b.Mid <= x.b.High+1e-9) {
					t.Fatalf("order: %+v after %v", x.b, last.Hours)
				}
				if x.b.High-x.b.Low < x.was.High-x.was.Low-1e-6 || x.b.Low < x.was.Low-1e-9 || x.b.Mid < x.was.Mid-1e-9 || x.b.High < x.was.High-1e-9 {
					t.Fatalf("from %+v to %+v", x.was, x.b)
				}
			}
			if s := f.Still(at); s > still || s < 0 {
				t.Fatalf("still %v after %v", s, still)
			} else {
				still = s
			}
			was, wasRead = b, read
			at += Instant(rapid.Int64Range(60, 40*86400).Draw(t, "wait"))
		}
		due := last.Hours + Tenths(rapid.IntRange(1, 5000).Draw(t, "left"))
		c := f.Crossing(due)
		if c.Median != 0 && (c.Early == 0 || c.Early > c.Median) || c.Late != 0 && (c.Median == 0 || c.Late < c.Median) {
			t.Fatalf("order: %+v", c)
		}
		for i, when := range []Instant{c.Early, c.Median, c.Late} {
			b, ok := f.HoursAt(when)
			if when == 0 || when == last.At {
				continue
			}
			// A second of the busiest time of the day is a part of a thousandth of an hour.
			if got := []float64{b.High, b.Mid, b.Low}[i]; !ok || got < due.Hours()-0.01 || got > due.Hours()+0.01 {
				t.Fatalf("crossing %d: %v h, want %v: %v after %v, curve %+v, rhythm %+v", i, got, due, when, last, f.curve, f.rhythm)
			}
		}
	})
}

// The last reading raised, whatever the log before it shows of weeks and years:
// no figure is reached later.
func TestRaisingTheLastReadingHurriesEveryFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, m := readings(t), Machine{Kind: genKind.Draw(t, "kind")}
		before := Timeline(m, h)
		n := len(before.Points)
		raised := slices.Clone(h)
		raised[n-1].Hours.Value += Tenths(rapid.IntRange(1, 300).Draw(t, "more"))
		after := Timeline(m, raised)
		if n < 2 || !follows(before.Points[n-2], before.Points[n-1]) || !follows(after.Points[n-2], after.Points[n-1]) {
			return // no such figure is accepted
		}
		f, g := ForecastOf(before), ForecastOf(after)
		if f.Basis.Last.Seq != before.Points[n-1].Seq || g.Basis.Last.Seq != f.Basis.Last.Seq {
			return // a slip before it
		}
		for range 5 {
			due := g.Basis.Last.Hours + Tenths(rapid.IntRange(1, 6000).Draw(t, "left"))
			a, b := f.Crossing(due).Median, g.Crossing(due).Median
			if a != 0 && (b == 0 || b > a+1) {
				t.Fatalf("%v: reached %d later", due, b-a)
			}
		}
	})
}

func TestForecastForgetsTheOrderAndTheCentury(t *testing.T) {
	const days = 146_097 // the Gregorian calendar repeats, weekdays too
	rapid.Check(t, func(t *rapid.T) {
		h := readings(t)
		f := ForecastOf(Timeline(Machine{}, h))
		r := rand.New(rand.NewSource(rapid.Int64().Draw(t, "shuffle")))
		r.Shuffle(len(h), func(i, j int) { h[i], h[j] = h[j], h[i] })
		same(t, "order", ForecastOf(Timeline(Machine{}, h)).curve, f.curve)
		for i := range h {
			h[i].At += days * DayLength
			h[i].Day += days
		}
		g := ForecastOf(Timeline(Machine{}, h))
		same(t, "400 years", g.curve, f.curve)
		due := f.Basis.Last.Hours + Tenths(rapid.IntRange(1, 5000).Draw(t, "left"))
		a, b := f.Crossing(due), g.Crossing(due)
		for i, x := range [3]Instant{a.Early, a.Median, a.Late} {
			if x != 0 {
				same(t, "crossing", [3]Instant{b.Early, b.Median, b.Late}[i], x+days*DayLength)
			}
		}
	})
}
