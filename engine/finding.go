package engine

// Finding is what was seen, mostly in the bowl.
type Finding string

// The findings of the trade.
const (
	Clean        Finding = "clean" // nothing in the bowl
	Water        Finding = "water"
	RingUp       Finding = "ringup" // the float ring was up: water, amount not known
	Rust         Finding = "rust"
	Slime        Finding = "slime" // growth, dark jelly
	Debris       Finding = "debris"
	SwollenORing Finding = "swollen-oring"
	HardORing    Finding = "hard-oring"
	WarpedBowl   Finding = "warped-bowl"
	Weep         Finding = "weep" // fuel outside where it should not be
	Air          Finding = "air"  // bubbles in the line
	Wax          Finding = "wax"
	Ice          Finding = "ice"
	Cloudy       Finding = "cloudy"
	// Unseen is a bowl that could not be looked into: not known, not clean.
	Unseen Finding = "unseen"
	// NothingCame is a drain that gave nothing, perhaps frozen: not known, not clean.
	NothingCame Finding = "nothing-came"
)

// AmountClass is an amount of water in words. The zero value is not known.
type AmountClass string

// The classes: under 10 ml, 10 to 60 ml, over 60 ml.
const (
	Trace AmountClass = "trace"
	Some  AmountClass = "some"
	Lots  AmountClass = "lots"
)

// Amount is an amount of water: measured, or a class, or neither.
type Amount struct {
	// Measured is 0 where it was not. Questions that wait in a book have it under
	// its older name.
	Measured TenthsML `json:"ML"`
	Class    AmountClass
}

// Class bounds [common practice].
const (
	TraceUnder = 10 * ML
	LotsOver   = 60 * ML
)

// Bounds are the amounts that it can stand for; high 0 is no bound.
func (a Amount) Bounds() (low, high TenthsML) {
	switch {
	case a.Measured > 0:
		return a.Measured, a.Measured
	case a.Class == Trace:
		return 0, TraceUnder
	case a.Class == Some:
		return TraceUnder, LotsOver
	case a.Class == Lots:
		return LotsOver, 0
	}
	return 0, 0
}

// Symptom is a complaint in the trade's words.
type Symptom string

// The symptoms that a shop reports.
const (
	WhiteSmoke    Symptom = "white-smoke"
	BlackSmoke    Symptom = "black-smoke"
	BlueSmoke     Symptom = "blue-smoke"
	HardStartCold Symptom = "hard-start-cold"
	HardStartHot  Symptom = "hard-start-hot"
	HardStart     Symptom = "hard-start"
	NoStart       Symptom = "no-start"
	StartsDies    Symptom = "starts-dies"
	PowerLoss     Symptom = "power-loss"
	Surging       Symptom = "surging"
	Stalls        Symptom = "stalls"
	Knock         Symptom = "knock"
	RoughIdle     Symptom = "rough-idle"
	FuelSmell     Symptom = "fuel-smell"
	RunsHot       Symptom = "hot"
	Smoke         Symptom = "smoke"
)

// Check is a check asked for in fault-finding.
type Check string

// The checks that an answer can be for.
const (
	CheckRing      Check = "ring"
	CheckBubbles   Check = "bubbles"
	CheckCap       Check = "cap"
	CheckBowl      Check = "bowl"
	CheckVacuum    Check = "vacuum"
	CheckFlow      Check = "flow"
	CheckWet       Check = "wet"
	CheckShutoff   Check = "shutoff"
	CheckAirFilter Check = "air-filter"
)

// Grade is a grade of diesel. The zero value is not known.
type Grade string

// The grades that fills are told in.
const (
	WinterFuel Grade = "winter"
	SummerFuel Grade = "summer"
	No1        Grade = "no1"
	No2        Grade = "no2"
	Blend      Grade = "blend"
)
