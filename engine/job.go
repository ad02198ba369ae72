package engine

// Job is one kind of work in the service book. The words are those of the
// trade; they stand in books for good and are never renamed.
type Job string

// The jobs that the shop schedules and asks for.
const (
	Drain      Job = "drain"      // water let out of the separator bowl
	Separator  Job = "separator"  // primary element or separator cartridge renewed
	FuelFilter Job = "fuelfilter" // final fuel filter renewed
	ORing      Job = "oring"      // bowl O-ring renewed
	Bowl       Job = "bowl"       // bowl or whole separator renewed
	Bleed      Job = "bleed"      // air bled, system primed
	Tank       Job = "tank"       // tank drained or cleaned
	Vent       Job = "vent"       // tank vent or cap cleaned or renewed
	Hose       Job = "hose"       // fuel hose or line renewed
	LiftPump   Job = "liftpump"
	Injectors  Job = "injectors"
	EngineOil  Job = "engineoil"
	OilFilter  Job = "oilfilter"
	AirCleaner Job = "aircleaner"
	Coolant    Job = "coolant"
	HydOil     Job = "hydoil"
	HydFilter  Job = "hydfilter"
	Belt       Job = "belt"
	Grease     Job = "grease"
	Valves     Job = "valves" // valve clearance set
	Battery    Job = "battery"
	// OtherWork is any other job, kept in the words it came in. It has no interval.
	OtherWork Job = "other"
)

// How a job was done. The zero value is the job as such: renewed for a filter,
// let out for a drain.
type How string

// The ways that are less than the job, and the one that says it in full.
const (
	LookedAt How = "looked-at"
	Cleaned  How = "cleaned"
	Adjusted How = "adjusted"
	ToppedUp How = "topped-up"
	Reused   How = "reused" // the old one put back, such as a ring
	Renewed  How = "renewed"
)

// JobInfo is what the trade knows of a job beside its interval.
type JobInfo struct {
	Job  Job
	Name string // as it stands in a list: "bowl drain"
	Done string // as it stands in an answer: "bowl drained"
	// Restarts are the ways that count as the job besides doing it as such:
	// cleaning a vent is the job, cleaning an air cleaner is not.
	Restarts  []How
	OpensFuel bool  // air can get in: the fuel system was open
	OpensBowl bool  // the bowl came off, so its ring must be new
	BreaksIn  bool  // a new one wants a first service soon: a belt is retightened
	Contains  []Job // jobs that this one truly includes
}

var jobs = []JobInfo{
	{Job: Drain, Name: "bowl drain", Done: "bowl drained", Restarts: []How{Cleaned}},
	{Job: Separator, Name: "separator element", Done: "separator element renewed", OpensFuel: true, OpensBowl: true, Contains: []Job{Drain}},
	{Job: FuelFilter, Name: "final fuel filter", Done: "final fuel filter renewed", OpensFuel: true},
	{Job: ORing, Name: "bowl O-ring", Done: "bowl O-ring renewed", OpensFuel: true, OpensBowl: true, Contains: []Job{Drain}},
	{Job: Bowl, Name: "bowl", Done: "bowl renewed", OpensFuel: true, OpensBowl: true, Contains: []Job{Drain}},
	{Job: Bleed, Name: "bleeding", Done: "bled", OpensFuel: true},
	{Job: Tank, Name: "tank clean", Done: "tank drained or cleaned", Restarts: []How{Cleaned}, OpensFuel: true},
	{Job: Vent, Name: "tank vent", Done: "tank vent or cap done", Restarts: []How{Cleaned}},
	{Job: Hose, Name: "fuel hose", Done: "fuel hose renewed", OpensFuel: true},
	{Job: LiftPump, Name: "lift pump", Done: "lift pump renewed", OpensFuel: true},
	{Job: Injectors, Name: "injectors", Done: "injectors done", OpensFuel: true},
	{Job: EngineOil, Name: "engine oil", Done: "engine oil changed"},
	{Job: OilFilter, Name: "oil filter", Done: "oil filter renewed"},
	{Job: AirCleaner, Name: "air cleaner", Done: "air cleaner renewed"},
	{Job: Coolant, Name: "coolant", Done: "coolant changed"},
	{Job: HydOil, Name: "hydraulic oil", Done: "hydraulic oil changed"},
	{Job: HydFilter, Name: "hydraulic filter", Done: "hydraulic filter renewed"},
	{Job: Belt, Name: "belt", Done: "belt renewed", Restarts: []How{Adjusted}, BreaksIn: true},
	{Job: Grease, Name: "grease", Done: "greased"},
	{Job: Valves, Name: "valve clearance", Done: "valves set", Restarts: []How{Adjusted}},
	{Job: Battery, Name: "battery", Done: "battery renewed"},
	{Job: OtherWork, Name: "other work", Done: "work done"},
}

// Jobs lists every job in the order in which lists show them.
func Jobs() []JobInfo { return jobs }

// Info looks a job up; ok is false for a word that is no job.
func (j Job) Info() (info JobInfo, ok bool) {
	for i := range jobs {
		if jobs[i].Job == j {
			return jobs[i], true
		}
	}
	return JobInfo{}, false
}

// RestartedBy says whether doing the job this way starts its interval anew.
// Looking at a thing, topping it up or blowing it out does not renew it.
func (j Job) RestartedBy(how How) bool {
	if how == "" || how == Renewed {
		return true
	}
	info, _ := j.Info()
	for _, h := range info.Restarts {
		if h == how {
			return true
		}
	}
	return false
}

// RenewedSaid says whether "renewed" is what the job's own words say already.
func (i JobInfo) RenewedSaid() bool { return len(i.Restarts) == 0 }
