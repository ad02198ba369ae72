package engine

// Interval is how often a job comes round: by hours, by months, on a day of
// the year, or by several of them, whichever is first. The zero value is no
// interval.
type Interval struct {
	Every  Tenths  // machine hours, 0 is none
	Months int     // calendar months, 0 is none
	Season YearDay // by this day of every year, such as before the frost
	First  Tenths  // break-in: once, at these hours of a new machine or part
	Marks  bool    // on fixed marks of the meter instead of from when last done
	// Severe are the hours under severe use; 0 halves Every where Severable.
	Severe    Tenths
	Severable bool
	// Off says that the shop does not do the job on this machine.
	Off bool
}

// IsZero says that there is no interval.
func (i Interval) IsZero() bool { return i == Interval{} }

// SourceClass says where an interval comes from.
type SourceClass string

// Source classes, weakest first.
const (
	CommonPractice SourceClass = "common practice"
	Published      SourceClass = "published"
	OwnShop        SourceClass = "own" // the shop's own, from its manuals
)

// PlanLine is one interval for one job, on one machine, one kind of machine,
// or all.
type PlanLine struct {
	Machine  MachineID // 0: not for one machine alone
	Kind     string    // "": every kind
	Job      Job
	Interval Interval
	Source   SourceClass
	Note     string // the published source, or why
}

// UsualPlanCSV is the usual plan as the file it comes in, for a shop to start
// its own from.
func UsualPlanCSV() string { return planCSV }
