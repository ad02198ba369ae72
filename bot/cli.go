package main

import (
	"context"
	"errors"
	"fmt"
	"os/signal"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"
)

// Exit codes that scripts rely on.
const (
	exitDone   = 0
	exitFailed = 1 // it did not hold
	exitUsage  = 2 // wrong use
)

// errFailed ends with exitFailed after everything has been said already.
var errFailed = errors.New("it did not hold")

// usageError is wrong use: a flag, a time, a book that is not there.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

func wrongUse(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// cli is every subcommand with its flags.
type cli struct {
	Demo     demoCmd     `cmd:"" help:"Chat with a demo shed: an orchard co-op, 14 machines, two years of log. No set-up, nothing kept."`
	Chat     chatCmd     `cmd:"" help:"Chat in the terminal on a shop's own book."`
	Import   importCmd   `cmd:"" help:"Bring a shop's machines and log into a book, all or nothing."`
	Say      sayCmd      `cmd:"" help:"Say one message and print the answer. Silence prints nothing."`
	Due      dueCmd      `cmd:"" help:"What is or comes due."`
	Forecast forecastCmd `cmd:"" help:"Where meters will stand, with the 80 % band."`
	Backtest backtestCmd `cmd:"" help:"How well a shop's own log would have been forecast."`
	Morning  morningCmd  `cmd:"" help:"The morning post of a day, or nothing."`
	Log      logCmd      `cmd:"" help:"The service book, with the lines that were taken back."`
	Plan     planCmd     `cmd:"" help:"The intervals: the usual ones and the shop's own."`
	Read     readCmd     `cmd:"" help:"Say what messages mean: JSON lines in, acts out. Writes nothing."`
	Verify   verifyCmd   `cmd:"" help:"Check the file and the chain of entries."`
	Rebuild  rebuildCmd  `cmd:"" help:"Make everything that is derived from the ledger again, and say what differed."`
}

// run is the whole program for one command line.
func run(args []string, w outside) (code int) {
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	var c cli
	exited := -1
	parser, err := kong.New(&c,
		kong.Name("bot"),
		kong.Description("Woodruff keeps a repair shop's service book from what the shop types.\n\nTimes are written 2026-11-24T07:40 and are the shop's own; with an offset they are taken as given.\nExit codes: 0 done, 1 it did not hold, 2 wrong use."),
		kong.Writers(w.out, w.err),
		kong.Exit(func(code int) { exited = code }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}),
		kong.BindTo(ctx, (*context.Context)(nil)),
		kong.Bind(w),
	)
	if err != nil {
		fmt.Fprintln(w.err, "bot:", err)
		return exitFailed
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	k, err := parser.Parse(args)
	if exited >= 0 { // --help has printed and is done
		return exited
	}
	if err != nil {
		fmt.Fprintf(w.err, "bot: %v\nbot --help says what there is.\n", err)
		return exitUsage
	}
	return exitOf(k.Run(), w)
}

// exitOf says what went wrong and gives the exit code for it.
func exitOf(err error, w outside) int {
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFailed):
		return exitFailed
	case errors.As(err, &usage):
		fmt.Fprintln(w.err, "bot:", strings.TrimSpace(err.Error()))
		return exitUsage
	}
	fmt.Fprintln(w.err, "bot:", err)
	return exitFailed
}
