package engine

import "testing"

// A put-off brings its job up on its day, also where nobody knows when it is
// due; it does not go on for good about a job that is not due.
func TestPutOffThatIsOver(t *testing.T) {
	d := day(t, "2026-11-02")
	for _, c := range []struct {
		name string
		line PlanLine
		want map[Day]Mention // by the days since the put-off was said; it was for three
	}{
		{"not in the book", line(Coolant, 0, 12), map[Day]Mention{
			0: PutOffHeld, 2: PutOffHeld, 3: PutOffCame, 4: PutOffHeld, 9: PutOffHeld, 10: PutOffCame, 11: PutOffHeld, 17: PutOffCame}},
		{"due in a month", line(EngineOil, 0, 12), map[Day]Mention{ // last done eleven months ago
			2: PutOffHeld, 3: PutOffCame, 4: NotYet, 10: NotYet, 30: PutOffCame, 40: PutOffCame}},
		{"past", line(Grease, 0, 1), map[Day]Mention{2: PutOffHeld, 3: PutOffCame, 4: PutOffCame, 20: PutOffCame}},
	} {
		l := &log{}
		l.serve(d.AddMonths(-11), 1000, EngineOil, Grease)
		l.add(Entry{Kind: KindPutOff, Day: d, At: morning(d) + hour, Until: d + 3, Jobs: []Job{c.line.Job}})
		for n, want := range c.want {
			same(t, c.name, due(t, Machine{}, l, c.line, morning(d+n)+2*hour).Mention(0), want)
		}
	}
	// The day fell on one without a morning: it comes with the next.
	l := &log{}
	l.add(Entry{Kind: KindPutOff, Day: d, Until: d + 6, Jobs: []Job{Coolant}})
	i := due(t, Machine{}, l, line(Coolant, 0, 12), morning(d+7))
	same(t, "after a day without", i.Mention(d+5), PutOffCame)
	same(t, "said on its day", i.Mention(d+6), PutOffHeld)
}
