package engine

import "errors"

// Batch is all that one message changes, committed as one.
//
// Entries carry Seq 0; the book numbers them. Where an entry refers to a
// machine or person that the same batch adds, or replaces one of its own
// entries, it gives the negative place of that entry: -1 is the batch's first.
type Batch struct {
	// Against names, per machine, the last entry that the decision was judged
	// against; a book where that has moved refuses the batch with ErrMoved.
	Against map[MachineID]Seq
	// AgainstShop is the Shed.Head judged against, where the decision rests on it; 0 does not ask.
	AgainstShop Maybe[Seq]

	Entries []Entry
	Ask     []Question   // questions to open
	Close   []Closing    // questions to close
	Posts   []Post       // what the bot will say on its own
	Heard   *HeardChange // an edit or deletion heard of
}

// IsZero says that the batch changes nothing.
func (b Batch) IsZero() bool {
	return len(b.Entries) == 0 && len(b.Ask) == 0 && len(b.Close) == 0 && len(b.Posts) == 0 && b.Heard == nil
}

// Edition numbers a state of a machine's lines that has only grown since: two
// of the same number have the same lines as far as the shorter one goes. 0 is
// none: nothing can be built on the lines that come with it.
type Edition int64

// Have says which of a machine's lines somebody has already: so many of an
// edition. The zero value is none.
type Have struct {
	Edition Edition
	Lines   int
	// Keep says that what is new will be kept: it is then the asker's own.
	Keep bool
}

// Lines are the lines of a machine that somebody does not have yet: those after
// the first so many of the edition, or all of them where the edition is another.
type Lines struct {
	Machine MachineID
	Edition Edition
	After   int
	New     []Entry
	Last    Figure
}

// Figure is a machine's last figure that stands: the latest by day, then by when
// it happened, then as written. Hours are what the meter showed, in tenths.
type Figure struct {
	Known bool
	Hours Tenths
	Day   Day
}

// Arrival is what the book has to say when a message comes in.
type Arrival struct {
	Shed    *Shed // as it stands; shared, and never changed
	Trace   MessageTrace
	Pending []Question // open or lapsed, in the order asked
}

// QuestionID numbers the questions of a book.
type QuestionID int64

// QuestionState says what became of a question.
type QuestionState string

// States of a question.
const (
	Open      QuestionState = "open"
	Answered  QuestionState = "answered"
	Lapsed    QuestionState = "lapsed"    // unanswered, with work in it: on the list of unwritten lines
	Dropped   QuestionState = "dropped"   // unanswered, nothing lost with it
	Mentioned QuestionState = "mentioned" // lapsed, and named to the foreman since
)

// Question is one that the bot asked and keeps open.
type Question struct {
	ID      QuestionID
	State   QuestionState
	Person  PersonID
	Who     string // the person's name as given, for one the book does not know yet
	Place   string
	Asked   Instant
	Expires Instant
	Source  Source // the message that it is about
	Said    Instant
	Raw     string // that message's text
	Held    []byte // what waits for the answer, in the asker's own encoding
}

// Closing ends a question.
type Closing struct {
	ID    QuestionID
	State QuestionState
	By    Source // the message that ended it
}

// PostState says how far a post has come.
type PostState string

// States of a post.
const (
	Planned PostState = "planned"
	Sent    PostState = "sent"
	Skipped PostState = "skipped" // too late for its day; the next one carries the items
)

// Post is something that the bot says on its own. There is one per shop, kind
// and local day.
type Post struct {
	Kind  string // "morning"
	Day   Day
	State PostState
	Text  string
	At    Instant
	Data  []byte // what its buttons stand for, in the speaker's own encoding
}

// HeardChange records that a message was edited or deleted, so that a late
// copy of what it was before revives nothing.
type HeardChange struct {
	Channel  string
	Message  string
	Revision int64
	Deleted  bool
	At       Instant
}

// MessageTrace is what the book holds of one message.
type MessageTrace struct {
	Revision int64 // the latest heard
	Deleted  bool
	Entries  []Seq        // all entries under its id, in order
	Closed   []QuestionID // questions that this message ended
}

// What a book says of a batch that it refuses.
var (
	// ErrMoved says that an entry which the decision was judged against is no
	// longer the last: judge again.
	ErrMoved = errors.New("the book has moved on since this was judged")
	// ErrRepeat says that the message is in the book already.
	ErrRepeat = errors.New("this message is in the book already")
)
