package engine

// MeterGrain is what a meter shows. The zero value is not known, and is read
// as tenths.
type MeterGrain string

// Grains.
const (
	ReadsTenths MeterGrain = "tenths"
	ReadsWhole  MeterGrain = "whole"
	NoMeter     MeterGrain = "none"
)

// Answer3 is yes, no, or not known.
type Answer3 string

// Answers.
const (
	Yes Answer3 = "yes"
	No  Answer3 = "no"
)

// Machine is one machine as the shop knows it now.
type Machine struct {
	ID         MachineID
	Tag        string
	Name       string
	Nicknames  []string
	Kind       string
	Owner      string
	Reads      MeterGrain
	BowlML     Millilitres
	SelfStarts Answer3
	Injection  string // mechanical, common-rail, or "" for not known
	ColdAid    string // glow-plugs, heater, none, or "" for not known
	Severe     string // the one severe factor that the shop has said, or ""
	// SevereSince and SevereUntil are the day on which it was said and the one
	// from which it is over; 0 is not known, and until it is taken off.
	SevereSince Day
	SevereUntil Day
	Added       Day
	Gone        string // retired or sold; "" while in the shed
	GoneDay     Day
}

// KindStartsByItself says whether machines of a kind start by themselves unless
// the shop says otherwise: a controller starts them, not a person [common
// practice].
func KindStartsByItself(kind string) bool { return kind == "frost fan" || kind == "generator" }

// InShed says whether the machine is still looked after.
func (m Machine) InShed() bool { return m.Gone == "" }

// Person is somebody who writes or works.
type Person struct {
	ID   PersonID
	Name string
}

// Setting keys of a shop.
const (
	SetZone     = "zone"
	SetName     = "name"
	SetMorning  = "morning"  // clock time of the morning post, "06:15"
	SetWorkdays = "workdays" // "mon-sat"
	SetDates    = "dates"    // how the shop writes 3/4: "day-first" or "month-first"
	SetFirstDay = "first-day"
)

// Shed is the shop as it stands: machines, people, plan and settings. It is
// shared between callers and never changed in place.
type Shed struct {
	Head     Seq // the last entry that changed it
	Machines []Machine
	People   []Person
	Plan     []PlanLine // the shop's own lines, in the order written
	Settings map[string]string

	byID map[MachineID]int
}

// Index makes the look-up by id; whoever fills a Shed calls it once.
func (s *Shed) Index() {
	s.byID = make(map[MachineID]int, len(s.Machines))
	for i, m := range s.Machines {
		s.byID[m.ID] = i
	}
}

// Machine looks a machine up by id.
func (s *Shed) Machine(id MachineID) (Machine, bool) {
	i, ok := s.byID[id]
	if !ok {
		return Machine{}, false
	}
	return s.Machines[i], true
}

// PersonName is the name of a person, or "" for one that is not known.
func (s *Shed) PersonName(id PersonID) string {
	for _, p := range s.People {
		if p.ID == id {
			return p.Name
		}
	}
	return ""
}
