package engine

import (
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

var fullPlan = append(slices.Clone(GenericPlan().For(Machine{}, nil)),
	PlanLine{Job: Battery, Interval: Interval{Every: 2000, Marks: true, Severable: true}}, PlanLine{Job: Bowl, Interval: Interval{Season: 1101}})

// genMachine draws what of a machine can change a due point: its kind, and
// severe use, in some cases with an end.
func genMachine(t *rapid.T, kind string) Machine {
	m := Machine{ID: 1, Kind: kind, BowlML: Millilitres(rapid.SampledFrom([]int{0, 60, 120}).Draw(t, "bowl"))}
	m.Severe = rapid.SampledFrom([]string{"", "", "dust", FactorWater, "high-sulphur"}).Draw(t, "severe")
	if m.Severe != "" {
		m.SevereSince = Day(rapid.IntRange(20000, 20100).Draw(t, "since"))
		m.SevereUntil = m.SevereSince + Day(rapid.IntRange(0, 300).Draw(t, "until"))
		if rapid.Bool().Draw(t, "no end") {
			m.SevereUntil = 0
		}
	}
	return m
}

var genJobs = rapid.SliceOfNDistinct(rapid.SampledFrom([]Job{Drain, Separator, EngineOil, OilFilter, Belt, Grease, Battery, Valves, Coolant}), 1, 3, rapid.ID)

// history draws an accepted log: readings and services whose figures never go
// back, findings, fills, put-offs, all at distinct instants.
func history(t *rapid.T) []Entry {
	var h []Entry
	at, hours := morning(20000), Tenths(rapid.IntRange(0, 50000).Draw(t, "first"))
	for n := range rapid.IntRange(2, 25).Draw(t, "entries") {
		gap := rapid.Int64Range(600, 12*86400).Draw(t, "gap")
		at += Instant(gap)
		hours += Tenths(rapid.Int64Range(0, gap/3600*3).Draw(t, "gain"))
		e := Entry{Seq: Seq(n + 1), At: at, Day: utc.DayAt(at), Said: at}
		switch rapid.SampledFrom([]string{"read", "read", "serve", "serve unread", "find", "look", "fill", "rain", "putoff"}).Draw(t, "what") {
		case "read":
			e.Kind, e.Hours = KindReading, Known(hours)
		case "serve":
			e.Kind, e.Hours, e.Jobs = KindService, Known(hours), genJobs.Draw(t, "jobs")
		case "serve unread":
			e.Kind, e.Jobs = KindService, genJobs.Draw(t, "jobs")
		case "find":
			e.Kind, e.Finding = KindFinding, rapid.SampledFrom([]Finding{Clean, Water, RingUp, Unseen, NothingCame, Slime, Weep}).Draw(t, "finding")
			e.Amount.Measured = TenthsML(rapid.IntRange(0, 600).Draw(t, "tenths of ml"))
		case "look":
			e.Kind, e.Finding = KindFinding, rapid.SampledFrom([]Finding{Clean, Clean, Water}).Draw(t, "saw")
			e.Amount.Class = rapid.SampledFrom([]AmountClass{"", Trace, Some, Lots}).Draw(t, "amount")
			if rapid.Bool().Draw(t, "read too") {
				h = append(h, e)
				h[len(h)-1].Seq += 1000
				e.Kind, e.Finding, e.Hours = KindReading, "", Known(hours)
			}
		case "fill":
			e.Kind, e.Litres = KindFill, 400
		case "rain":
			e.Kind = KindRain
		case "putoff":
			e.Kind, e.Jobs, e.Until = KindPutOff, genJobs.Draw(t, "jobs"), e.Day+Day(rapid.IntRange(0, 20).Draw(t, "until"))
		}
		h = append(h, e)
	}
	return h
}

func end(h []Entry) Instant { return h[len(h)-1].At }

func now(t *rapid.T, h []Entry) Instant {
	return end(h) + Instant(rapid.Int64Range(0, 60*86400).Draw(t, "asked after"))
}

func equalItems(t *rapid.T, a, b []Item) {
	t.Helper()
	if !slices.Equal(a, b) {
		for i := range a {
			if a[i] != b[i] {
				t.Fatalf("got  %+v\nwant %+v", a[i], b[i])
			}
		}
	}
}

func TestOrderOfEntryDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		at := now(t, h)
		shuffled := slices.Clone(h)
		r := rand.New(rand.NewSource(rapid.Int64().Draw(t, "shuffle")))
		r.Shuffle(len(h), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		m := genMachine(t, "tractor")
		equalItems(t, Due(m, shuffled, fullPlan, at, utc), Due(m, h, fullPlan, at, utc))
		if !slices.Equal(FollowUps(m, shuffled, at, utc), FollowUps(m, h, at, utc)) {
			t.Fatal("follow-ups differ")
		}
	})
}

func TestTakenBackLeavesNoTrace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		at := now(t, h)
		without := slices.Clone(h)
		i := rapid.IntRange(0, len(h)-1).Draw(t, "which")
		with := slices.Clone(h)
		with[i].State = rapid.SampledFrom([]State{TakenBack, Replaced}).Draw(t, "state")
		without = slices.Delete(without, i, i+1)
		m := genMachine(t, "loader")
		equalItems(t, Due(m, with, fullPlan, at, utc), Due(m, without, fullPlan, at, utc))
		if !slices.Equal(FollowUps(m, with, at, utc), FollowUps(m, without, at, utc)) {
			t.Fatal("follow-ups differ")
		}
		figure := Tenths(rapid.IntRange(0, 200000).Draw(t, "figure"))
		a := JudgeReading(Timeline(m, with), figure, utc.DayAt(at), at, utc, nil)
		b := JudgeReading(Timeline(m, without), figure, utc.DayAt(at), at, utc, nil)
		if a.Why != b.Why || a.Against != b.Against || !slices.Equal(a.Likely, b.Likely) {
			t.Fatalf("judged %+v, without it %+v", a, b)
		}
	})
}

func TestRaisingTheLastReadingNeverDelays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		hours := Tenths(0)
		for _, e := range h {
			if e.Hours.Known {
				hours = e.Hours.Value
			}
		}
		last := Entry{Seq: Seq(len(h) + 1), Kind: KindReading, At: end(h) + 3600, Hours: Known(hours + Tenths(rapid.IntRange(0, 300).Draw(t, "gain")))}
		last.Day = utc.DayAt(last.At)
		h = append(h, last)
		if len(Timeline(Machine{}, h).Points) < 2 {
			return // the last is the first as well: raised, the machine is no longer new
		}
		raised := slices.Clone(h)
		raised[len(h)-1].Hours.Value += Tenths(rapid.IntRange(1, 500).Draw(t, "more"))
		if figure := raised[len(h)-1]; JudgeReading(Timeline(Machine{}, h[:len(h)-1]), figure.Hours.Value, figure.Day, figure.At, utc, nil).Why == OverDay {
			return // no machine runs more than 24 h a day: a slip, which would have been asked about
		}
		at := now(t, h)
		m := genMachine(t, "pump")
		before, after := Due(m, h, fullPlan, at, utc), Due(m, raised, fullPlan, at, utc)
		for _, b := range before {
			if b.Reason.Count != FromLast && b.Last.Projected {
				continue // it was done at more hours, and may so have been done for the next mark, or as the break-in
			}
			i := slices.IndexFunc(after, func(i Item) bool { return i.Job == b.Job })
			if b.HoursDay != 0 && (after[i].HoursDay == 0 || after[i].HoursDay > b.HoursDay) {
				t.Fatalf("%s went from %s to %s", b.Job, b.HoursDay, after[i].HoursDay)
			}
		}
	})
}

func TestSplittingAtAReplacementChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		var reads []int
		for i, e := range h {
			if e.Kind == KindReading {
				reads = append(reads, i)
			}
		}
		if len(reads) == 0 {
			return
		}
		at := now(t, h)
		cut := rapid.SampledFrom(reads).Draw(t, "at")
		start := Tenths(rapid.IntRange(0, 500).Draw(t, "new meter's first"))
		split := slices.Clone(h)
		old := h[cut].Hours.Value
		split[cut].Kind, split[cut].Old, split[cut].Hours = KindMeter, Known(old), Known(start)
		for i := cut + 1; i < len(split); i++ {
			if split[i].Hours.Known {
				split[i].Hours.Value += start - old
			}
		}
		m := genMachine(t, "mower")
		a, b := Due(m, split, fullPlan, at, utc), Due(m, h, fullPlan, at, utc)
		for i := range a {
			// What is shown and where it stands differ, hours and days do not.
			got, want := a[i], b[i]
			got.DueShown, got.HoursNow, got.Last.Shown, got.Reason.Basis.Last = want.DueShown, want.HoursNow, want.Last.Shown, want.Reason.Basis.Last
			if got != want {
				t.Fatalf("got  %+v\nwant %+v", got, want)
			}
		}
	})
}

func TestShiftingBy400Years(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const days = 146_097 // the Gregorian calendar repeats, weekdays too
		h := history(t)
		at := now(t, h)
		later := slices.Clone(h)
		for i := range later {
			later[i].At += days * DayLength
			later[i].Said += days * DayLength
			later[i].Day += days
			if later[i].Until != 0 {
				later[i].Until += days
			}
		}
		m := genMachine(t, "excavator")
		b := Due(m, h, fullPlan, at, utc)
		if m.Severe != "" {
			m.SevereSince += days
		}
		if m.SevereUntil != 0 {
			m.SevereUntil += days
		}
		a := Due(m, later, fullPlan, at+days*DayLength, utc)
		shift := func(d Day) Day {
			if d == 0 {
				return 0
			}
			return d + days
		}
		for i, got := range a {
			want := b[i]
			same(t, "job", got.Job, want.Job)
			same(t, "due", got.DueDay, shift(want.DueDay))
			same(t, "early", got.EarlyDay, shift(want.EarlyDay))
			same(t, "late", got.LateDay, shift(want.LateDay))
			same(t, "month", got.MonthDay, shift(want.MonthDay))
			same(t, "hours", got.DueHours, want.DueHours)
			same(t, "left", got.Left, want.Left)
			same(t, "stand", got.Stand(), want.Stand())
			same(t, "mention", got.Mention(0), want.Mention(0))
			same(t, "promise", got.Promise(), shift(want.Promise()))
		}
	})
}

// What goes by hours is due a day later where everything was a day later. No
// season is learned from logs so short.
func TestShiftingByADay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		at := now(t, h)
		later := slices.Clone(h)
		for i := range later {
			later[i].At += DayLength
			later[i].Said += DayLength
			later[i].Day++
		}
		m := Machine{ID: 1}
		a, b := Due(m, later, fullPlan, at+DayLength, utc), Due(m, h, fullPlan, at, utc)
		for _, want := range b {
			got := a[slices.IndexFunc(a, func(i Item) bool { return i.Job == want.Job })]
			if want.HoursDay != 0 {
				want.HoursDay++
			}
			same(t, string(want.Job)+": day", got.HoursDay, want.HoursDay)
			same(t, string(want.Job)+": hours", got.DueHours, want.DueHours)
			same(t, string(want.Job)+": left", got.Left, want.Left)
			same(t, string(want.Job)+": every", got.Reason.Every, want.Reason.Every)
		}
	})
}

func TestWaitingNeverNarrowsTheBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		f := ForecastOf(Timeline(Machine{Kind: "generator"}, h))
		last := f.Basis.Last
		if f.Basis.Readings == 0 {
			return
		}
		var was Band
		at := last.At
		for range 20 {
			b, ok := f.HoursAt(at)
			if !ok || b.Low > b.Mid || b.Mid > b.High || b.Low < last.Hours.Hours() {
				t.Fatalf("%+v, %v", b, ok)
			}
			if b.High-b.Low < was.High-was.Low-1e-9 || b.Low < was.Low || b.High < was.High {
				t.Fatalf("went from %+v to %+v", was, b)
			}
			was = b
			at += Instant(rapid.Int64Range(60, 40*86400).Draw(t, "wait"))
		}
	})
}

// With the reading already in, a service makes nothing else due sooner.
func TestAServiceHurriesNothingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := history(t)
		p, ok := Timeline(Machine{}, h).Last()
		if !ok {
			return
		}
		at := end(h)
		read := Entry{Seq: Seq(len(h) + 1), Kind: KindReading, At: at + 60, Day: utc.DayAt(at + 60), Hours: Known(p.Shown)}
		serve := Entry{Seq: read.Seq + 1, Kind: KindService, At: read.At, Day: read.Day, Hours: read.Hours, Jobs: genJobs.Draw(t, "jobs")}
		h = append(h, read)
		m := genMachine(t, "")
		before := Due(m, h, fullPlan, read.At, utc)
		after := Due(m, append(slices.Clone(h), serve), fullPlan, read.At, utc)
		for _, b := range before {
			if done := jobs[b.Job.place()]; serve.Has(done.Job) || (done.Job == Drain && drains(&serve)) {
				continue
			}
			i := slices.IndexFunc(after, func(i Item) bool { return i.Job == b.Job })
			if b.DueDay != 0 && after[i].DueDay != 0 && after[i].DueDay < b.DueDay {
				t.Fatalf("%s came forward from %s to %s", b.Job, b.DueDay, after[i].DueDay)
			}
		}
	})
}
