// Package read is the language: it turns what a shop types into acts.
//
// It is pure and deterministic. It knows the names in the shed and the last
// figures, and it never judges hours: whether a figure is plausible is the
// engine's to say, and which reading to act on is the caller's.
package read

import "woodruff/engine"

// ActKind says what a part of a message means.
type ActKind string

// The acts that write in the service book, ask it, or speak to the bot.
const (
	Reading  ActKind = "reading"
	Service  ActKind = "service"
	Finding  ActKind = "finding"
	Fill     ActKind = "fill"
	Symptom  ActKind = "symptom"
	Check    ActKind = "check"
	Question ActKind = "question"
	PutOff   ActKind = "putoff"
	Undo     ActKind = "undo"
	Correct  ActKind = "correct"
	Meter    ActKind = "meter" // the hour meter was replaced
	Help     ActKind = "help"
	Chat     ActKind = "chat"    // not for the bot
	Unclear  ActKind = "unclear" // must ask: Ask, Held, Options
)

// The acts of a shop's first month and of its machines' lives.
const (
	Baseline ActKind = "baseline" // a last service from a sticker, from memory, counted from today, or nobody knows: Jobs, Hours, Day, Known
	// Add is a machine that is added: Name, Tag, MachineKind, Hours, Owner where
	// given; Key self-start where that was said, Off for that it does not.
	Add      ActKind = "add"
	Rename   ActKind = "rename"   // Machine, Tag or Name is the new one
	Nickname ActKind = "nickname" // Machine, Name; Off drops it
	Gone     ActKind = "gone"     // Machine, Value retired or sold
	Out      ActKind = "out"      // Machine out of use, Reason
	Back     ActKind = "back"     // Machine back in use, Reason is what was fixed
	Parked   ActKind = "parked"   // Machine laid up
	Woken    ActKind = "woken"    // Machine taken into use again
	Plan     ActKind = "plan"     // Machine (0: all) and Jobs get Interval
	Rain     ActKind = "rain"     // Machine, Value rain or washed: water may be in at the cap
	Trait    ActKind = "trait"    // Machine, Key (an engine.Trait key), Value or Name
	Setting  ActKind = "setting"  // Key (an engine.Set key), Value
)

// Topic is what a question is about.
type Topic string

// The topics of questions.
const (
	AboutSince   Topic = "since"
	AboutDue     Topic = "due"
	AboutHours   Topic = "hours"
	AboutHistory Topic = "history"
	AboutParts   Topic = "parts"
	AboutNext    Topic = "next"
	AboutStatus  Topic = "status"
	AboutFuel    Topic = "fuel"
	AboutWater   Topic = "water"
	AboutWho     Topic = "who"
	AboutStorage Topic = "storage"
	// AboutMachines asks which machines are in the book, AboutUnwritten what was
	// asked and never answered, AboutReadings which meters are worth reading,
	// AboutEarly whether a Job's part is better renewed before it fails, at Costs.
	AboutMachines  Topic = "machines"
	AboutUnwritten Topic = "unwritten"
	AboutReadings  Topic = "readings"
	AboutEarly     Topic = "early"
)

// Whether is what a question asks that is answered by yes or no.
type Whether string

// What can be so or not.
const (
	WhetherDone   Whether = "done"   // Job, or any work, was done
	WhetherOut    Whether = "out"    // it is out of use
	WhetherIn     Whether = "in"     // it is back in use
	WhetherParked Whether = "parked" // it is laid up
	WhetherGone   Whether = "gone"   // it was sold or retired
	WhetherFit    Whether = "fit"    // it can be used: which no book can tell
	WhetherWater  Whether = "water"  // water was found
	WhetherClean  Whether = "clean"  // the bowl was clean
	WhetherDue    Whether = "due"    // something is due, or Job is
)

// Me is the By of a question about what the asker did.
const Me = "me"

// And stands between the people of a question's By.
const And = " and "

// Slot names a part of an act that can be in doubt.
type Slot string

// The slots that the bot asks for.
const (
	AskMachine Slot = "machine"
	AskHours   Slot = "hours"
	AskJobs    Slot = "jobs"
	AskDay     Slot = "day"
	AskMeaning Slot = "meaning"
)

// Act is one thing that a message means. Slots that were not given are zero.
type Act struct {
	Kind    ActKind
	Machine engine.MachineID // 0: none named; for a question, the whole shop

	Hours engine.Maybe[engine.Tenths] // as the meter shows
	Old   engine.Maybe[engine.Tenths] // Meter: last figure of the old one
	Jobs  []engine.Job
	How   engine.How
	Words string     // OtherWork in the words it came in
	Day   engine.Day // when it is not today
	By    string     // who did it, as named, if not the writer
	Known engine.Knowledge

	Finding engine.Finding
	Amount  engine.Amount
	Litres  engine.DeciLitres
	Grade   engine.Grade

	Symptoms []engine.Symptom
	Check    engine.Check
	Result   string // yes, no, a finding's word for the bowl, or a figure with its unit

	About Topic
	Job   engine.Job
	Days  int // look-ahead, 0 not given
	Costs engine.Costs
	// What a question is limited to, beside By (Me is the asker): the days from
	// From to Till, both inside, and, with Late, to what is past its day.
	From, Till engine.Day
	Late       bool
	Whether    Whether // what it asks where yes or no answers it

	Until  engine.Day // PutOff; 0 with Open: until a reason is gone
	Open   bool
	Reason string

	Field string // Correct: hours, machine, jobs, day, finding, by, how, amount
	To    To
	// Target singles out an older line to correct or take back, where the
	// message does ("the drain on RT1 monday"); its zero value is the last thing
	// this person wrote.
	Target Target

	Tag, Name   string
	MachineKind string
	Owner       string
	Interval    engine.Interval
	Key, Value  string
	Off         bool
	Dry         bool      // Service, Finding: the message says that what may leak stayed dry
	Then        bool      // Reading, Service: its words tell of some time before
	Features    []Feature // Add: what is said of the machine besides

	Ask     Slot
	Held    []Act    // Unclear: what waits for the answer
	Options []Option // Unclear: the likely answers, likeliest first
	Wants   []Slot   // in a held act: the slots that the answer fills
}

// Feature is a trait given together with a new machine: an engine.Trait key and
// its value.
type Feature struct{ Key, Value string }

// To is the corrected value; which member counts follows from Act.Field.
type To struct {
	Hours   engine.Tenths
	Machine engine.MachineID
	Jobs    []engine.Job
	Day     engine.Day
	Finding engine.Finding
	Amount  engine.Amount
	How     engine.How
	By      string
}

// Target describes an older line in the writer's words.
type Target struct {
	Machine engine.MachineID
	Job     engine.Job
	Day     engine.Day
	By      string
	Hours   engine.Maybe[engine.Tenths]
}

// IsZero says that no line was singled out.
func (t Target) IsZero() bool { return t == Target{} }

// Option is one likely answer to a question: exactly one member is set.
type Option struct {
	Machine engine.MachineID
	Hours   engine.Maybe[engine.Tenths]
	Jobs    []engine.Job
	Day     engine.Day
	Acts    []Act  // a whole other reading
	Label   string // how it is shown; "" lets the speaker word it
}

// Context is what surrounds a message.
type Context struct {
	Day     engine.Day   // the shop's day of the message
	Clock   engine.Clock // and its time of day
	Thread  engine.MachineID
	Reply   *Reply
	Asked   *Asked
	Mention bool // the bot was addressed by name
	// DayFirst and MonthFirst say how the shop writes 3/4, where it has said so.
	DayFirst, MonthFirst bool
	// Last gives a machine's last figure, to tell hours from other numbers. It
	// may be nil.
	Last func(engine.MachineID) (engine.Tenths, engine.Day, bool)
	// Opened says whether nobody has looked for leaks yet since a machine's fuel
	// side was opened; of machine 0, which one it was that the speaker worked on
	// last in this place. It may be nil.
	Opened func(engine.MachineID) (engine.MachineID, bool)
}

// Reply is the line that a message replies to.
type Reply struct {
	Machine engine.MachineID
	Jobs    []engine.Job
}

// Asked is what the bot has just asked this person: a check on a machine, or a
// slot of acts that it holds back.
type Asked struct {
	Machine engine.MachineID
	Check   engine.Check

	Ask    Slot
	Likely engine.Maybe[engine.Tenths] // the hours that "yes" accepts
	Held   []Act                       // with Wants
}

// Candidate is one reading of a message.
type Candidate struct {
	Acts  []Act
	Score float64 // higher is better; comparable within one message
	// Answers says that the reading answers what was Asked: the acts are the
	// held ones, filled, or they wait on with what the answer leaves open.
	Answers bool
	Why     []string // in plain lines, only when asked for
}

// Result is what a message can mean, best reading first. There is always at
// least one candidate.
type Result struct {
	Candidates []Candidate
	Why        []string // tokens, what each was taken for, what was rejected and by how much
}
