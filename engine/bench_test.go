package engine

import (
	"math"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mathext"
)

// threeYears is a machine's book of some 150 lines over three years.
func threeYears() (Machine, []Entry) {
	l := &log{}
	for w := range Day(50) {
		d := 20000 + 21*w
		l.read(d, 1000+Tenths(w)*250)
		l.look(d+7, []Finding{Clean, Water, Clean}[w%3], Amount{Measured: 15 * ML})
		if w%10 == 0 {
			l.serve(d+8, 1000+Tenths(w)*250+90, EngineOil, OilFilter)
		}
	}
	return Machine{ID: 1, Kind: "tractor"}, l.entries
}

func BenchmarkMorningOfOneMachine(b *testing.B) {
	m, h := threeYears()
	plan := GenericPlan()
	now := morning(20000 + 21*50)
	b.ReportAllocs()
	b.ReportMetric(float64(len(h)), "lines")
	for b.Loop() {
		s := Fold(m, h, utc)
		items := s.Due(plan.For(m, nil), now)
		if len(items) != 17 {
			b.Fatal(len(items))
		}
	}
}

func BenchmarkFollowUps(b *testing.B) {
	m, h := threeYears()
	s := Fold(m, h, utc)
	now := morning(20000 + 21*50)
	b.ReportAllocs()
	for b.Loop() {
		s.FollowUps(now)
	}
}

func BenchmarkJudge(b *testing.B) {
	m, h := threeYears()
	meter := Timeline(m, h)
	now := morning(20000 + 21*50)
	b.ReportAllocs()
	for b.Loop() {
		JudgeReading(meter, 139000, utc.DayAt(now), now, utc, nil)
	}
}

// read150 writes a machine's book of 150 readings over three years and its last
// services into a buffer: machines can so be gone through one at a time. How
// hard it works depends on its number.
func read150(into []Entry, machine int) []Entry {
	into = into[:0]
	hours, pace := Tenths(1000), Tenths(20+machine*7%60)
	for n := range Day(150) {
		d := 20000 + 7*n
		hours += pace * Tenths(1+(int(n)*machine)%3)
		e := Entry{Seq: Seq(n + 1), Kind: KindReading, Day: d, At: morning(d), Hours: Known(hours)}
		if n%30 == 20 {
			e.Kind, e.Jobs = KindService, benchJobs
		}
		into = append(into, e)
	}
	return into
}

var benchJobs = []Job{Drain, Separator, FuelFilter, EngineOil, OilFilter, AirCleaner, HydOil, HydFilter, Belt, Grease, Valves, Coolant, Tank, Vent, Injectors}

// BenchmarkDueItems works out every item of 1,000, 10,000 and 100,000 machines
// of 150 readings each, from their entries. The time of a machine is to be the
// same however many there are.
func BenchmarkDueItems(b *testing.B) {
	plan, now := GenericPlan().For(Machine{}, nil), morning(20000+7*150)
	for _, machines := range []int{1_000, 10_000, 100_000} {
		b.Run(strconv.Itoa(machines), func(b *testing.B) {
			var h []Entry
			items := 0
			for b.Loop() {
				for m := range machines {
					h = read150(h, m)
					s := Fold(Machine{ID: MachineID(m + 1), Kind: "tractor"}, h, utc)
					items += len(s.Due(plan, now))
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*machines), "µs/machine")
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(items), "µs/item")
		})
	}
}

// BenchmarkDueAgainstGonum sets the items of one machine, folding included,
// against solving the first passages of the same items with gonum's incomplete
// gamma function: when a gamma process of the machine's pace gets to the due
// point with chances of 10, 50 and 90 %, to a minute. At most twice as long is
// what it aims for.
func BenchmarkDueAgainstGonum(b *testing.B) {
	plan, now := GenericPlan().For(Machine{}, nil), morning(20000+7*150)
	h := read150(nil, 5)
	var ours, gonums float64
	items, passages := 0, 0
	for range b.N {
		start := b.Elapsed()
		s := Fold(Machine{ID: 1, Kind: "tractor"}, h, utc)
		due := s.Due(plan, now)
		mid := b.Elapsed()
		for _, i := range due {
			if !i.DueHours.Known || i.DueHours.Value <= s.Forecast.Basis.Last.Hours {
				continue
			}
			left := (i.DueHours.Value - s.Forecast.Basis.Last.Hours).Hours()
			for _, p := range []float64{0.1, 0.5, 0.9} {
				passages += int(min(firstPassage(s.Forecast.Pace.Mid, 8, left, p), 1))
			}
		}
		ours += float64((mid - start).Nanoseconds())
		gonums += float64((b.Elapsed() - mid).Nanoseconds())
		items += len(due)
	}
	if passages == 0 {
		b.Fatal("no passage was solved")
	}
	b.ReportMetric(ours/1e3/float64(items), "µs/item")
	b.ReportMetric(gonums/1e3/float64(items), "gonum-µs/item")
	b.ReportMetric(ours/gonums, "times-gonum")
}

// firstPassage is after how many days a gamma process has gained so many hours
// with a chance of p, to a minute.
func firstPassage(pace, scale, left, p float64) float64 {
	gets := func(days float64) float64 { return mathext.GammaIncRegComp(pace*days/scale, left/scale) }
	low, high := 0.0, 1.0
	for gets(high) < p && high < horizon {
		low, high = high, 2*high
	}
	for high-low > 1.0/(24*60) {
		if mid := (low + high) / 2; gets(mid) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Max(low, 0)
}
