package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"woodruff/commands"
	"woodruff/engine"
)

// maxLine is the longest line taken from a pipe, in bytes.
const maxLine = 1 << 20

type sayCmd struct {
	bookFlag
	By     string `required:"" placeholder:"NAME" help:"Who says it."`
	Role   string `required:"" enum:"tech,owner,foreman" placeholder:"tech|owner|foreman" help:"tech, owner or foreman."`
	At     string `placeholder:"TIME" help:"When it is said; now where not given."`
	ID     string `name:"id" placeholder:"ID" help:"The message's own id: the same id again is the same message. Each call is a new message where not given."`
	Place  string `default:"terminal" placeholder:"ID" help:"Where it is said: questions and undo belong to a place."`
	Thread string `placeholder:"TAG" help:"The machine that the thread is about."`
	Zone   string `placeholder:"ZONE" help:"Makes the book, in this time zone, where it is not there yet."`
	Text   string `arg:"" help:"The message."`
}

func (c *sayCmd) Run(ctx context.Context, w outside) (err error) {
	if strings.TrimSpace(c.By) == "" {
		return wrongUse("--by is empty: the book has no line by nobody")
	}
	s, err := openShop(ctx, c.Book, c.Zone, w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	at, err := s.at(c.At, w)
	if err != nil {
		return err
	}
	if c.Thread != "" {
		m, err := s.machine(ctx, c.Thread)
		if err != nil {
			return err
		}
		c.Thread = m.Tag
	}
	if c.ID == "" {
		c.ID = freshID()
	}
	answer, err := s.desk.Handle(ctx, commands.Said{
		Channel: "say", ID: c.ID, Place: c.Place, At: at, Text: c.Text, Thread: c.Thread,
		By: commands.Speaker{Name: c.By, Role: commands.Role(c.Role)}, Mention: true,
	})
	if err != nil {
		return err
	}
	printLines(w, answer.Terminal())
	return nil
}

// freshID is an id that no other message has.
func freshID() string { return rand.Text() }

type readCmd struct {
	bookFlag
	At  string `placeholder:"TIME" help:"When the messages are said; now where not given."`
	All bool   `help:"Also the slots beyond the published vocabulary: how, by whom, how known."`
	Why bool   `help:"Plain lines on how each message was read, instead of JSON; the messages may be plain text then."`
}

func (c *readCmd) Help() string {
	return `Each line in is {"id":…,"say":…,"from":"tech"} with, where there are any, "thread", "reply", "asked" and "mention"; each line out is {"id":…,"acts":[…]}.`
}

func (c *readCmd) Run(ctx context.Context, w outside) (err error) {
	s, err := openToRead(ctx, c.Book, w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	at, err := s.at(c.At, w)
	if err != nil {
		return err
	}
	return eachLine(w.in, func(n int, raw []byte) error {
		if len(bytes.TrimSpace(raw)) == 0 {
			return nil
		}
		var l commands.Line
		if err := json.Unmarshal(raw, &l); err != nil {
			if !c.Why || bytes.HasPrefix(raw, []byte("{")) {
				return wrongUse("line %d is no JSON message: %w", n, err)
			}
			l = commands.Line{Say: string(raw)}
		}
		meaning, err := s.desk.ReadLine(ctx, l, at, commands.Shown{Own: c.All, Why: c.Why})
		if err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		if c.Why {
			printLines(w, append([]string{l.Say}, meaning.Why...))
			return nil
		}
		out, err := json.Marshal(meaning)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(w.out, "%s\n", out)
		return err
	})
}

// eachLine hands over the lines of a pipe, numbered from 1.
func eachLine(r io.Reader, each func(n int, line []byte) error) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 0, 64<<10), maxLine)
	for n := 1; lines.Scan(); n++ {
		if err := each(n, lines.Bytes()); err != nil {
			return err
		}
	}
	if errors.Is(lines.Err(), bufio.ErrTooLong) {
		return wrongUse("a line is longer than %d bytes", maxLine)
	}
	return lines.Err()
}

// instant is now, for whatever has no time of its own.
func (w outside) instant() engine.Instant { return engine.Instant(w.now().Unix()) }
