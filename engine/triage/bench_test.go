package triage

import (
	"testing"
	"time"
)

// plain weighs every set of one and two causes as the definition has it.
func (n *Net) plain(odds []float64, answers Answers) (chance []float64) {
	chance = make([]float64, len(n.Causes))
	var sum float64
	for k, set := range n.sets {
		w := odds[set[0]] * n.between[k]
		if set[1] != set[0] {
			w *= odds[set[1]]
		}
		for id, a := range answers {
			w *= n.chance(n.Signs[n.sign[id]], a, set)
		}
		sum += w
		chance[set[0]] += w
		if set[1] != set[0] {
			chance[set[1]] += w
		}
	}
	for i := range chance {
		chance[i] /= sum
	}
	return chance
}

// BenchmarkStep finds the first step of a fault and the one after five answers,
// with the looks weighed two deep, against plain enumeration of one posterior;
// and against as many plain enumerations as the step weighs posteriors, which is
// the work that it does.
func BenchmarkStep(b *testing.B) {
	n := Generic()
	for _, c := range []struct {
		name    string
		answers Answers
	}{
		{"first", Answers{"no-power": Yes}},
		{"after-five", Answers{"no-power": Yes, "fades": Yes, "cap": No, "ring": No, "air-filter": No, "starts-dies": Yes}},
	} {
		b.Run(c.name, func(b *testing.B) {
			f := Fault{Background: Background{Neglect: 1}, Answers: c.answers}
			odds, err := n.odds(f.Background)
			if err != nil {
				b.Fatal(err)
			}
			var ours, base time.Duration
			for b.Loop() {
				start := time.Now()
				if _, err := n.Next(f, nil); err != nil {
					b.Fatal(err)
				}
				ours += time.Since(start)
				start = time.Now()
				n.plain(odds, f.Answers)
				base += time.Since(start)
			}
			b.ReportMetric(float64(ours.Microseconds())/float64(b.N), "µs/step")
			b.ReportMetric(float64(base.Microseconds())/float64(b.N), "µs/enumeration")
			b.ReportMetric(float64(ours)/float64(base), "ratio")
		})
	}
}
