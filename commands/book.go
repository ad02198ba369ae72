package commands

import (
	"context"

	"woodruff/engine"
)

// Shelf is what answers are read from.
type Shelf interface {
	// Shed is the shop as it stands; the value is shared and never changed.
	Shed(ctx context.Context) (*engine.Shed, error)
	// Since hands over a machine's lines in the order written, without those that
	// somebody has already.
	Since(ctx context.Context, id engine.MachineID, have engine.Have) (engine.Lines, error)
	// AllSince does so for every machine, one at a time; unless it is to be kept,
	// what is new is the callee's only during the call.
	AllSince(ctx context.Context, have func(engine.MachineID) engine.Have, each func(engine.Lines) error) error
	// Last is the last standing figure of a machine.
	Last(ctx context.Context, id engine.MachineID) (engine.Tenths, engine.Day, bool, error)
	// Texts are the words of entries.
	Texts(ctx context.Context, seqs ...engine.Seq) (map[engine.Seq]engine.Texts, error)
}

// Memory is what the talk rests on.
type Memory interface {
	// Arrive says what is held of a message that comes in, and of the shop.
	Arrive(ctx context.Context, channel, id string) (engine.Arrival, error)
	// Message says what is held of one message.
	Message(ctx context.Context, channel, id string) (engine.MessageTrace, error)
	// Entry is one entry with its texts.
	Entry(ctx context.Context, seq engine.Seq) (engine.Entry, error)
	// Latest are the entries of a person's last messages in a place since an
	// instant, one slice a message, the newest first.
	Latest(ctx context.Context, who engine.PersonID, place string, since engine.Instant, n int) ([][]engine.Entry, error)
	// Lately are the standing lines of a person in a place since an instant, the
	// newest first, among the last few, until each has enough.
	Lately(ctx context.Context, who engine.PersonID, place string, since engine.Instant, each func(engine.Entry) (enough bool)) error
	// Questions are those in the given states, the oldest first.
	Questions(ctx context.Context, states ...engine.QuestionState) ([]engine.Question, error)
	// Head is the last entry and its hash in hexadecimal; 0 and "" where there is
	// none.
	Head(ctx context.Context) (engine.Seq, string, error)
	// Post is what was planned or sent for a day.
	Post(ctx context.Context, kind string, day engine.Day) (engine.Post, bool, error)
}

// Book is one shop's service book.
type Book interface {
	Shelf
	Memory
	// Write commits a batch as one, or leaves nothing behind. It fails with an
	// error that is ErrMoved where an entry judged against is no longer the last,
	// and ErrRepeat where the message is already in the book.
	Write(ctx context.Context, b engine.Batch) ([]engine.Seq, error)
}
