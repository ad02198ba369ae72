package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"woodruff/commands"
	"woodruff/engine"
	"woodruff/store"
)

// bookFlag is the book that a subcommand works on.
type bookFlag struct {
	Book string `required:"" type:"path" placeholder:"FILE" help:"The shop's service book."`
}

// shop is an open book with its desk.
type shop struct {
	book *store.Book
	desk *commands.Desk
	cal  engine.Calendar
}

// openShop opens a book that is there already, or makes it where a zone is
// given.
func openShop(ctx context.Context, path, zone string, w outside) (*shop, error) {
	return openWith(ctx, path, zone, w, store.Options{
		Now:  func() engine.Instant { return engine.Instant(w.now().Unix()) },
		Hook: w.hook,
	})
}

// openToRead opens a book for answers alone. One that cannot be written can
// still be read, as long as SQLite needs nothing beside it.
func openToRead(ctx context.Context, path string, w outside) (*shop, error) {
	s, err := openShop(ctx, path, "", w)
	if errors.Is(err, store.ErrReadOnly) {
		return openWith(ctx, path, "", w, store.Options{Now: w.instant, ReadOnly: true})
	}
	return s, err
}

func openWith(ctx context.Context, path, zone string, w outside, options store.Options) (*shop, error) {
	if zone != "" {
		if _, err := time.LoadLocation(zone); err != nil || zone == "Local" {
			return nil, wrongUse("--zone %s is no time zone; one is written America/Toronto", zone)
		}
		options.Zone, options.Create = zone, true
	}
	book, err := store.Open(ctx, path, options)
	if err != nil {
		return nil, bookError(err)
	}
	s := &shop{book: book, desk: commands.NewDesk(book, time.LoadLocation)}
	if s.cal, err = s.desk.Calendar(ctx); err == nil && zone != "" && s.cal.Zone() != zone {
		err = wrongUse("%s keeps the zone %s; another one, %s, is refused", path, s.cal.Zone(), zone)
	}
	if err != nil {
		return nil, errors.Join(err, book.Close())
	}
	return s, nil
}

// bookError makes the errors of a path into wrong use, and leaves the rest.
func bookError(err error) error {
	for _, wrong := range []error{store.ErrNoBook, store.ErrNotBook, store.ErrNewer, store.ErrReadOnly} {
		if errors.Is(err, wrong) {
			return usageError{err}
		}
	}
	return err
}

// close closes the book and keeps the first error.
func (s *shop) close(err *error) { *err = errors.Join(*err, s.book.Close()) }

// timeLayouts are the ways to write a time; the last two carry an offset.
var timeLayouts = []string{"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02 15:04:05", "2006-01-02"}

// at reads a --at flag; none given is now.
func (s *shop) at(text string, w outside) (engine.Instant, error) {
	if text == "" {
		return engine.Instant(w.now().Unix()), nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02 15:04Z07:00"} {
		if t, err := time.Parse(layout, text); err == nil {
			return engine.Instant(t.Unix()), nil
		}
	}
	for _, layout := range timeLayouts {
		t, err := time.Parse(layout, text)
		if err != nil {
			continue
		}
		at, err := s.cal.At(engine.DayOf(t.Date()), engine.ClockOf(t.Hour(), t.Minute()))
		if err != nil {
			return 0, wrongUse("--at %s: %w", text, err)
		}
		return at + engine.Instant(t.Second()), nil
	}
	return 0, wrongUse("--at %s is no time; one is written 2026-11-24T07:40, with an offset where it is not the shop's own", text)
}

// machine finds a machine by its tag, whatever the case.
func (s *shop) machine(ctx context.Context, tag string) (engine.Machine, error) {
	shed, err := s.book.Shed(ctx)
	if err != nil {
		return engine.Machine{}, err
	}
	m, ok := commands.ByTag(shed, tag)
	if !ok {
		return engine.Machine{}, wrongUse("no machine %s in this book", tag)
	}
	return m, nil
}

// ever is machine, or, where none in the shed has the tag, the one that left last
// with it: its lines stay in the book.
func (s *shop) ever(ctx context.Context, tag string) (engine.Machine, error) {
	m, err := s.machine(ctx, tag)
	if err == nil {
		return m, nil
	}
	shed, failed := s.book.Shed(ctx)
	if failed != nil {
		return m, failed
	}
	for _, left := range shed.Machines {
		if strings.EqualFold(left.Tag, tag) && (m.ID == 0 || left.GoneDay >= m.GoneDay) {
			m, err = left, nil
		}
	}
	return m, err
}

// only is the machine that a --machine flag names; 0, for every one, where it
// was not given.
func (s *shop) only(ctx context.Context, tag string) (engine.MachineID, error) {
	if tag == "" {
		return 0, nil
	}
	m, err := s.machine(ctx, tag)
	return m.ID, err
}

func printLines(w outside, lines []string) {
	for _, l := range lines {
		fmt.Fprintln(w.out, l)
	}
}
