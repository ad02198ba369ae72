package commands

import (
	"woodruff/commands/read"
	"woodruff/engine"
)

// Inbound is one thing that reaches the bot. Every adapter makes these.
type Inbound interface{ inbound() }

// Role is what a person may do. The zero value may ask and not write.
type Role string

// Roles. A foreman is a tech who may also correct anybody's line.
const (
	Tech    Role = "tech"
	Owner   Role = "owner"
	Foreman Role = "foreman"
)

// Speaker is who wrote a message.
type Speaker struct {
	Name string
	Role Role
}

// Said is a message as first sent.
type Said struct {
	Channel string // the adapter's name; with ID the message's key
	ID      string
	Place   string // the channel or thread it stands in
	By      Speaker
	At      engine.Instant // its own time
	Text    string
	Thread  string      // the tag of the machine that the thread is about
	Reply   *read.Reply // what it replies to, where that was about a machine
	Mention bool        // the bot was addressed by name
}

// Edited is a message whose text was changed. Said.At is the time of the
// message, not of the edit; Revision is the edit's own time.
type Edited struct {
	Said
	Revision int64
}

// Deleted is a message that was deleted.
type Deleted struct {
	Channel string
	ID      string
	Place   string
	At      engine.Instant // of the deletion
	Bulk    bool           // many at once, or the whole channel
}

// Pressed is a press of one of an answer's choices.
type Pressed struct {
	Channel string
	ID      string // the press's own id: the key of what it writes
	Place   string
	By      Speaker
	At      engine.Instant
	Button  string // Choice.Button as it was shown
}

func (Said) inbound()    {}
func (Edited) inbound()  {}
func (Deleted) inbound() {}
func (Pressed) inbound() {}

// Answer is what the bot says. The zero value is silence.
type Answer struct {
	Lines   []string
	Choices []Choice // numbered in a terminal, buttons in a chat
	// Numbered says that the choices answer a question and are shown; otherwise
	// they are next steps, which a terminal leaves out.
	Numbered bool
}

// Choice is a next step or a likely answer.
type Choice struct {
	Label  string
	Button string // what a press gives back
}

// Silent says that there is nothing to say.
func (a Answer) Silent() bool { return len(a.Lines) == 0 && len(a.Choices) == 0 }

func say(lines ...string) Answer { return Answer{Lines: lines} }
