// Package terminal is the shop's conversation on a terminal or a pipe.
package terminal

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/peterh/liner"
	"golang.org/x/term"

	"woodruff/commands"
	"woodruff/engine"
)

// Place is where everything said on a terminal stands.
const Place = "terminal"

// Talker is one conversation.
type Talker struct {
	In     io.Reader
	Out    io.Writer
	Handle func(context.Context, commands.Inbound) (commands.Answer, error)
	Who    commands.Speaker
	Now    func() time.Time
	NewID  func() string // an id that no other message has
}

// Talk answers line after line until the input ends or somebody says quit. On
// a real terminal lines can be edited and called back; on a pipe there are no
// prompts. An answer that fails is told, and the talk goes on.
func Talk(ctx context.Context, t Talker) error {
	next, done := t.lines()
	defer done()
	for ctx.Err() == nil {
		text, err := next()
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, liner.ErrPromptAborted):
			return nil
		case err != nil:
			return err
		}
		switch strings.ToLower(strings.TrimSpace(text)) {
		case "":
			continue
		case "quit", "exit", "bye":
			return nil
		}
		answer, err := t.Handle(ctx, commands.Said{
			Channel: "chat", ID: t.NewID(), Place: Place, By: t.Who,
			At: engine.Instant(t.Now().Unix()), Text: text, Mention: true,
		})
		if err != nil {
			fmt.Fprintln(t.Out, "Not written:", err)
			continue
		}
		for _, l := range answer.Terminal() {
			fmt.Fprintln(t.Out, l)
		}
	}
	return nil
}

// lines gives the way to the next line, and the way to put the terminal back.
func (t Talker) lines() (next func() (string, error), done func()) {
	if f, ok := t.In.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		edit := liner.NewLiner()
		edit.SetCtrlCAborts(true)
		return func() (string, error) {
			text, err := edit.Prompt("> ")
			if err == nil && strings.TrimSpace(text) != "" {
				edit.AppendHistory(text)
			}
			return text, err
		}, func() { edit.Close() }
	}
	pipe := bufio.NewReader(t.In)
	return func() (string, error) {
		text, err := pipe.ReadString('\n')
		if errors.Is(err, io.EOF) && text != "" {
			err = nil // a last line without its end
		}
		return strings.TrimRight(text, "\r\n"), err
	}, func() {}
}
