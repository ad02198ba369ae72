package engine

import "testing"

// threeYears is a machine's book of some 150 lines over three years.
func threeYears() (Machine, []Entry) {
	l := &log{}
	for w := range Day(50) {
		d := 20000 + 21*w
		l.read(d, 1000+Tenths(w)*250)
		l.look(d+7, []Finding{Clean, Water, Clean}[w%3], Amount{ML: 15})
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
