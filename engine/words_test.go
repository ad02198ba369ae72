package engine

import "testing"

func TestJobList(t *testing.T) {
	if len(Jobs()) > maxJobs {
		t.Fatalf("%d jobs, room for %d", len(Jobs()), maxJobs)
	}
	for i, info := range Jobs() {
		got, ok := info.Job.Info()
		if !ok || got.Name == "" || got.Done == "" {
			t.Errorf("%s: %+v, %v", info.Job, got, ok)
		}
		same(t, string(info.Job), info.Job.place(), i)
	}
	_, ok := Job("paint").Info()
	same(t, "no job", ok, false)
	same(t, "no place", Job("paint").place(), -1)
}

func TestWhatRestartsAJob(t *testing.T) {
	for _, c := range []struct {
		job  Job
		how  How
		want bool
	}{
		{AirCleaner, "", true},
		{AirCleaner, Renewed, true},
		{AirCleaner, Cleaned, false}, // blown out is not renewed
		{AirCleaner, LookedAt, false},
		{Vent, Cleaned, true},
		{Tank, Cleaned, true},
		{Drain, Cleaned, true},
		{Drain, LookedAt, false},
		{Valves, Adjusted, true},
		{Belt, Adjusted, true},
		{Coolant, ToppedUp, false},
		{Battery, LookedAt, false},
		{Job("paint"), Cleaned, false},
	} {
		same(t, string(c.job)+" "+string(c.how), c.job.RestartedBy(c.how), c.want)
	}
}

// What renews a job only as such need not be said to be renewed.
func TestRenewedSaid(t *testing.T) {
	filter, _ := FuelFilter.Info()
	vent, _ := Vent.Info()
	same(t, "filter", filter.RenewedSaid(), true)
	same(t, "vent", vent.RenewedSaid(), false)
}

func TestAmountBounds(t *testing.T) {
	for _, c := range []struct {
		in        Amount
		low, high TenthsML
	}{
		{Amount{Measured: 40 * ML}, 400, 400},
		{Amount{Measured: 40 * ML, Class: Lots}, 400, 400}, // measured outweighs the word
		{Amount{Class: Trace}, 0, 100},
		{Amount{Class: Some}, 100, 600},
		{Amount{Class: Lots}, 600, 0},
		{Amount{}, 0, 0},
	} {
		low, high := c.in.Bounds()
		same(t, "low", low, c.low)
		same(t, "high", high, c.high)
	}
}

func TestEntryWords(t *testing.T) {
	same(t, "writer", Entry{Writer: 3}.DoneBy(), PersonID(3))
	same(t, "doer", Entry{Writer: 3, Doer: 4}.DoneBy(), PersonID(4))
	e := Entry{Jobs: []Job{Drain, EngineOil}}
	same(t, "has", e.Has(EngineOil), true)
	same(t, "has not", e.Has(Belt), false)
	for k, want := range map[Kind]bool{
		KindMachine: true, KindLabel: true, KindTrait: true, KindGone: true, KindPerson: true, KindPlan: true, KindSetting: true,
		KindReading: false, KindService: false, KindTakeBack: false, KindPutOff: false,
	} {
		same(t, string(k), k.OfShop(), want)
	}
}

func TestShedLooksUp(t *testing.T) {
	s := Shed{Machines: []Machine{{ID: 4, Tag: "RT1"}, {ID: 9, Tag: "TD1", Gone: "sold"}}, People: []Person{{ID: 2, Name: "Joss Penhale"}}}
	s.Index()
	m, ok := s.Machine(9)
	same(t, "tag", m.Tag, "TD1")
	same(t, "found", ok, true)
	same(t, "gone", m.InShed(), false)
	m, ok = s.Machine(5)
	same(t, "not found", ok, false)
	same(t, "nothing", m.Tag, "")
	same(t, "in the shed", s.Machines[0].InShed(), true)
	same(t, "person", s.PersonName(2), "Joss Penhale")
	same(t, "nobody", s.PersonName(3), "")
}

func TestEmptyBatch(t *testing.T) {
	same(t, "zero", Batch{}.IsZero(), true)
	for _, b := range []Batch{
		{Entries: make([]Entry, 1)}, {Ask: make([]Question, 1)}, {Close: make([]Closing, 1)}, {Posts: make([]Post, 1)}, {Heard: &HeardChange{}},
	} {
		same(t, "something", b.IsZero(), false)
	}
	same(t, "no interval", Interval{}.IsZero(), true)
	same(t, "off is said", Interval{Off: true}.IsZero(), false)
}
