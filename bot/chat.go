package main

import (
	"context"
	"fmt"
	"os"
	"os/user"
	"path/filepath"

	"woodruff/bot/demo"
	"woodruff/bot/terminal"
	"woodruff/commands"
)

type chatCmd struct {
	bookFlag
	By   string `placeholder:"NAME" help:"Who is at the keyboard; the account's own name where not given."`
	Role string `default:"foreman" enum:"tech,owner,foreman" help:"tech, owner or foreman (${default})."`
	Zone string `placeholder:"ZONE" help:"Makes the book, in this time zone, where it is not there yet."`
}

func (c *chatCmd) Run(ctx context.Context, w outside) (err error) {
	s, err := openShop(ctx, c.Book, c.Zone, w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	if c.By == "" {
		c.By = account()
	}
	return s.talk(ctx, w, commands.Speaker{Name: c.By, Role: commands.Role(c.Role)})
}

// account is what the operating system calls whoever is at the keyboard.
func account() string {
	u, err := user.Current()
	if err != nil {
		return "somebody"
	}
	if u.Name != "" {
		return u.Name
	}
	return u.Username
}

// talk is a conversation on the terminal.
func (s *shop) talk(ctx context.Context, w outside, who commands.Speaker) error {
	return terminal.Talk(ctx, terminal.Talker{
		In: w.in, Out: w.out, Handle: s.desk.Handle, Who: who, Now: w.now, NewID: freshID,
	})
}

type demoCmd struct{}

func (c *demoCmd) Help() string {
	return "The demo shed is made anew each time, with a log that ends yesterday, in a temporary place that is cleared at the end."
}

// demoZone is where the demo shed stands.
const demoZone = "America/Toronto"

func (c *demoCmd) Run(ctx context.Context, w outside) (err error) {
	dir, err := os.MkdirTemp("", "woodruff-demo-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	s, err := openShop(ctx, filepath.Join(dir, "book.db"), demoZone, w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	now := w.instant()
	machines, log := demo.Shed(s.cal.DayAt(now)-1, s.cal)
	if _, err := s.bring(ctx, demoFiles(machines, log), now); err != nil {
		return err
	}
	fmt.Fprintln(w.out, "Hollin Ridge orchard shed: 14 machines, two years of log. You are Runa, the foreman.")
	fmt.Fprintln(w.out, "Ask:  whats due this week   |   hours since last drain on RT1   |   history of the dam pump")
	fmt.Fprintln(w.out, "Log:  rt1 drained bit of water   |   om1 greased   |   undo   (help says more, quit ends)")
	return s.talk(ctx, w, commands.Speaker{Name: "Runa Tveit", Role: commands.Foreman})
}
