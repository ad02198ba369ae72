package engine

// Seq numbers the entries of one book, from 1 without gaps.
type Seq int64

// MachineID names a machine for good; it is the Seq of the entry that added
// it. Tags and names are dated labels on it.
type MachineID int64

// PersonID names a person for good; it is the Seq of the entry that added them.
type PersonID int64

// Kind says what an entry of the ledger records. The words stand in books for
// good.
type Kind string

// Entries about one machine: the service book's lines.
const (
	KindReading Kind = "reading" // the meter showed Hours
	KindService Kind = "service" // Jobs done, How, by Doer; Hours as shown where said
	// KindBaseline is a last service that the book did not see: Jobs, with Hours
	// or Day where known, and how known: sticker, told, counted (from today), or
	// unsure (nobody knows).
	KindBaseline Kind = "baseline"
	KindFinding  Kind = "finding" // Finding, Amount
	KindFill     Kind = "fill"    // Litres, Grade
	KindRain     Kind = "rain"    // heavy rain on it, or washed down: water may be in at the cap
	KindSymptom  Kind = "symptom" // Symptoms
	KindCheck    Kind = "check"   // Check, Value is the result
	KindPutOff   Kind = "putoff"  // Jobs (none: all that is due), Until or 0 for open, Reason
	KindMeter    Kind = "meter"   // the meter was replaced: Old (last figure, where known), Hours (first of the new)
	KindOut      Kind = "out"     // out of use from now, Reason
	KindBack     Kind = "back"    // back in use, Reason is what was fixed
	KindParked   Kind = "parked"  // laid up for a season
	KindWoken    Kind = "woken"   // and taken into use again
)

// Entries about the shop.
const (
	KindMachine Kind = "machine" // added; Name is the tag, Words the full name, Reason the owner, Value the machine's kind
	KindLabel   Kind = "label"   // Key tag, name, nickname or drop-nickname; Name is the text
	KindTrait   Kind = "trait"   // Key one of the Trait keys, Value
	KindGone    Kind = "gone"    // Value retired or sold; the machine keeps its lines, its labels are free
	KindPerson  Kind = "person"  // Name
	KindPlan    Kind = "plan"    // the shop's own interval: Machine (0: every one), Jobs, Plan
	KindSetting Kind = "setting" // Key, Value
	// KindTakeBack takes the Targets back.
	KindTakeBack Kind = "takeback"
	// KindDeleted marks the Targets: their message was deleted, the lines stand.
	KindDeleted Kind = "deleted"
)

// OfShop says whether an entry changes what the whole shop looks like: its
// machines, people, plan or settings.
func (k Kind) OfShop() bool {
	switch k {
	case KindMachine, KindLabel, KindTrait, KindGone, KindPerson, KindPlan, KindSetting:
		return true
	}
	return false
}

// StayedDry is the Value of a service on the fuel side of which it was said that
// nothing leaked afterwards.
const StayedDry = "dry"

// Trait keys.
const (
	TraitMeterReads = "meter-reads" // tenths, whole, none
	TraitBowl       = "bowl-ml"
	TraitOwner      = "owner" // text in Name
	TraitKind       = "kind"
	TraitSelfStart  = "self-start" // yes, no
	TraitInjection  = "injection"  // mechanical, common-rail
	TraitColdAid    = "cold-aid"   // glow-plugs, heater, none
	TraitSevere     = "severe"     // a factor's name, or none: see Severity
)

// Knowledge says how a figure or a service is known. The zero value is seen:
// the writer stood before it.
type Knowledge string

// Ways to know.
const (
	Seen      Knowledge = ""
	Told      Knowledge = "told"
	Sticker   Knowledge = "sticker"
	Estimated Knowledge = "estimated"
	Counted   Knowledge = "counted" // counting starts here, nothing was done
	Unsure    Knowledge = "unsure"  // nobody knows; do not ask again
)

// Source is where an entry came from: the key that makes a repeat harmless.
type Source struct {
	Channel  string // the adapter: "say", "import", a chat platform
	Message  string // the message's own id there
	Revision int64  // 0 for the message as first sent, else the edit's own time
	Ordinal  int    // the entry's place within the message
}

// State is what later entries have made of an entry.
type State string

// States. The zero value is standing.
const (
	Standing  State = ""
	TakenBack State = "taken-back"
	Replaced  State = "replaced" // a later entry corrects it
)

// Entry is one event of the ledger: what was said and taken to mean. It is
// never changed; State, By and Deleted are what later entries made of it and
// are no part of what is hashed. A slot that was not given is zero.
type Entry struct {
	Seq    Seq
	Kind   Kind
	Source Source
	// Said is the message's own time, Written the time of the commit, Zone and
	// WrittenDay the shop's zone and local day at the commit.
	Said       Instant
	Written    Instant
	Zone       string
	WrittenDay Day
	Reader     string // version of the reader that took the message so

	Writer  PersonID
	Doer    PersonID // who did it; 0 is the writer
	Place   string   // where it was said: a channel, a thread, a terminal
	Machine MachineID
	Day     Day     // the shop day it happened
	At      Instant // when it happened, as near as is known; orders a day's entries
	Known   Knowledge

	Replaces Seq
	Targets  []Seq

	Hours    Maybe[Tenths] // as the meter shows
	Old      Maybe[Tenths]
	Jobs     []Job
	How      How
	Finding  Finding
	Amount   Amount
	Litres   DeciLitres
	Grade    Grade
	Symptoms []Symptom
	Check    Check
	Until    Day
	Plan     Interval
	Key      string
	Value    string

	// Texts are kept beside the chain, salted, so that one can be erased.
	Texts

	State   State
	By      Seq  // the entry that took it back or replaced it
	Deleted bool // its message was deleted later; the line stands
}

// Texts are the words of an entry. They are loaded only where they are shown.
type Texts struct {
	Raw    string // the message as sent
	Words  string // work in the words it came in, a note, a full name
	Name   string // a person, a tag, a nickname
	Reason string // why, what was fixed, an owner
}

// By whom the work was done.
func (e Entry) DoneBy() PersonID {
	if e.Doer != 0 {
		return e.Doer
	}
	return e.Writer
}

// Has says whether a service or baseline names the job.
func (e Entry) Has(j Job) bool {
	for _, x := range e.Jobs {
		if x == j {
			return true
		}
	}
	return false
}
