package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"

	"woodruff/engine"
	"woodruff/store"
)

// mostDays is how far ahead "due" looks: a hundred years, beyond any plan.
const mostDays = 36500

type dueCmd struct {
	bookFlag
	At   string `placeholder:"TIME" help:"As of when; now where not given."`
	Days *int   `placeholder:"N" help:"What is due within so many days; the whole plan as CSV, a week as text where not given."`
	CSV  bool   `name:"csv" help:"As CSV: machine,job,last_day,last_hours,due_hours,due_day,early_day,late_day,hours_now,reason."`
}

func (c *dueCmd) Run(ctx context.Context, w outside) (err error) {
	if c.Days != nil && (*c.Days < 0 || *c.Days > mostDays) {
		return wrongUse("--days %d: give 0 to %d", *c.Days, mostDays)
	}
	s, at, err := lookInto(ctx, c.Book, c.At, w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	if c.CSV {
		days := -1
		if c.Days != nil {
			days = *c.Days
		}
		return s.desk.WriteDue(ctx, w.out, at, days)
	}
	days := 7
	if c.Days != nil {
		days = *c.Days
	}
	answer, err := s.desk.DueText(ctx, at, days)
	if err == nil {
		printLines(w, answer.Terminal())
	}
	return err
}

// lookInto opens a book for an answer as of a time.
func lookInto(ctx context.Context, path, at string, w outside) (*shop, engine.Instant, error) {
	s, err := openToRead(ctx, path, w)
	if err != nil {
		return nil, 0, err
	}
	instant, err := s.at(at, w)
	if err != nil {
		s.close(&err)
		return nil, 0, err
	}
	return s, instant, nil
}

type forecastCmd struct {
	bookFlag
	At      string `placeholder:"TIME" help:"As of when; now where not given."`
	Machine string `placeholder:"TAG" help:"One machine."`
	Days    []int  `default:"0,3,14,60" help:"How many days ahead (${default})."`
	CSV     bool   `name:"csv" help:"As CSV: machine,day,hours_low,hours,hours_high."`
}

func (c *forecastCmd) Help() string {
	return "Where each meter will stand at this time of day, with the 80 % band and what it rests on."
}

func (c *forecastCmd) Run(ctx context.Context, w outside) (err error) {
	for _, n := range c.Days {
		if n < 0 {
			return wrongUse("--days %d: give 0 or more", n)
		}
	}
	s, at, err := lookInto(ctx, c.Book, c.At, w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	id, err := s.only(ctx, c.Machine)
	if err != nil {
		return err
	}
	if c.CSV {
		return s.desk.WriteForecast(ctx, w.out, at, id, c.Days)
	}
	lines, err := s.desk.ForecastText(ctx, at, id, c.Days)
	printLines(w, lines)
	return err
}

type backtestCmd struct {
	bookFlag
}

func (c *backtestCmd) Help() string {
	return "Hides the last readings of each machine, forecasts them from those before at 3, 14 and 60 days, and says how often the 80 % band held."
}

func (c *backtestCmd) Run(ctx context.Context, w outside) (err error) {
	s, at, err := lookInto(ctx, c.Book, "", w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	lines, err := s.desk.Backtest(ctx, at)
	printLines(w, lines)
	return err
}

type morningCmd struct {
	bookFlag
	At string `placeholder:"TIME" help:"The day whose post it is; today where not given."`
}

func (c *morningCmd) Run(ctx context.Context, w outside) (err error) {
	s, at, err := lookInto(ctx, c.Book, c.At, w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	answer, err := s.desk.Morning(ctx, at)
	if err == nil {
		printLines(w, answer.Terminal())
	}
	return err
}

type logCmd struct {
	bookFlag
	Machine string `placeholder:"TAG" help:"One machine's lines."`
	CSV     bool   `name:"csv" help:"As CSV."`
}

func (c *logCmd) Run(ctx context.Context, w outside) (err error) {
	s, at, err := lookInto(ctx, c.Book, "", w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	var id engine.MachineID // every one
	if c.Machine != "" {
		m, err := s.ever(ctx, c.Machine)
		if err != nil {
			return err
		}
		id = m.ID
	}
	return s.desk.WriteLog(ctx, w.out, at, id, c.CSV)
}

type verifyCmd struct {
	bookFlag
	Expect string `placeholder:"SEQ:HASH" help:"A head written down elsewhere: the entry of that number must have that hash."`
}

func (c *verifyCmd) Run(ctx context.Context, w outside) (err error) {
	var seq engine.Seq
	var hash string
	if c.Expect != "" {
		number, rest, ok := strings.Cut(c.Expect, ":")
		n, err := strconv.ParseInt(number, 10, 64)
		if !ok || err != nil || n < 1 {
			return wrongUse("--expect %s: give the entry's number and its hash, as in 120:3fa9…", c.Expect)
		}
		seq, hash = engine.Seq(n), rest
	}
	book, err := openToCheck(ctx, c.Book, w)
	if err != nil {
		return err
	}
	defer func() {
		if e := book.Close(); err == nil {
			err = e
		}
	}()
	report, err := book.Verify(ctx, seq, hash)
	switch {
	case errors.Is(err, store.ErrExpected):
		return usageError{err}
	case errors.Is(err, store.ErrBroken):
		fmt.Fprintln(w.out, err)
		for _, f := range report.Faults {
			fmt.Fprintf(w.out, "  %s: %s\n", faultPlace(f), f.What)
		}
		return errFailed
	case err != nil:
		return err
	}
	fmt.Fprintf(w.out, "The book holds. Head %d:%s\n", report.Head, report.Hash)
	return nil
}

// faultPlace says where in the book a fault is.
func faultPlace(f store.Fault) string {
	if f.Seq == 0 {
		return f.Table
	}
	return fmt.Sprintf("%s, entry %d", f.Table, f.Seq)
}

// openToCheck opens a book without a desk: one that does not hold must open too.
func openToCheck(ctx context.Context, path string, w outside) (*store.Book, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, wrongUse("no book at %s", path)
	}
	book, err := store.Open(ctx, path, store.Options{Now: w.instant, ReadOnly: true})
	return book, bookError(err)
}

type rebuildCmd struct {
	bookFlag
}

func (c *rebuildCmd) Run(ctx context.Context, w outside) (err error) {
	book, err := store.Open(ctx, c.Book, store.Options{Now: w.instant, Hook: w.hook})
	if err != nil {
		return bookError(err)
	}
	defer func() {
		if e := book.Close(); err == nil {
			err = e
		}
	}()
	made, err := book.Rebuild(ctx)
	if err != nil {
		return err
	}
	if len(made.Remade) > 0 {
		printLines(w, append([]string{"Differed, and made again:"}, made.Remade...))
	}
	if len(made.Left) > 0 {
		printLines(w, append([]string{"Not as it was written, and nothing to make it from:"}, made.Left...))
		return errFailed
	}
	if len(made.Remade) == 0 {
		fmt.Fprintln(w.out, "Nothing differed.")
	}
	return nil
}
