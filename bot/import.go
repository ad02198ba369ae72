package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"

	"woodruff/commands"
	"woodruff/engine"
)

// shownDoubts is how many doubtful figures are named one by one.
const shownDoubts = 20

type importCmd struct {
	bookFlag
	Zone     string `required:"" placeholder:"ZONE" help:"The shop's time zone, as in America/Toronto."`
	Machines string `type:"path" placeholder:"M.csv" help:"The machines: tag,name,aka,kind,meter_reads,bowl_ml,owner."`
	Log      string `type:"path" placeholder:"L.csv" help:"The log: day,time,machine,hours,job,finding,amount_ml,by,note."`
}

func (c *importCmd) Help() string {
	return "All or nothing: with a fault anywhere nothing is written, and every faulty line is named. The same row a second time adds nothing."
}

func (c *importCmd) Run(ctx context.Context, w outside) (err error) {
	if c.Machines == "" && c.Log == "" {
		return wrongUse("give --machines, --log or both")
	}
	f, err := openFiles(c.Machines, c.Log)
	if err != nil {
		return err
	}
	defer f.close()
	fresh := false
	if _, err := os.Stat(c.Book); os.IsNotExist(err) {
		fresh = true
	}
	s, err := openShop(ctx, c.Book, c.Zone, w)
	if err != nil {
		return err
	}
	out, err := s.bring(ctx, f, w.instant())
	s.close(&err)
	if fresh && err != nil {
		removeBook(c.Book) // nothing of a new book is left where nothing was written
	}
	if err != nil {
		for _, fault := range out.Faults {
			fmt.Fprintln(w.err, fault)
		}
		return err
	}
	fmt.Fprintf(w.out, "%d machines added, %d rows of the log, %d lines in the book.\n", out.Machines, out.Rows, out.Lines)
	if out.Repeats > 0 {
		fmt.Fprintf(w.out, "%d rows were in the book already.\n", out.Repeats)
	}
	printLines(w, out.Changed)
	printLines(w, out.Beside)
	for i, d := range out.Doubtful {
		if i == shownDoubts {
			fmt.Fprintf(w.err, "and %d more to look at.\n", len(out.Doubtful)-i)
			break
		}
		fmt.Fprintln(w.err, "look at", d)
	}
	return nil
}

// files are a shop's two files; either may be nil.
type files struct{ machines, log io.Reader }

func demoFiles(machines, log []byte) files {
	return files{bytes.NewReader(machines), bytes.NewReader(log)}
}

func openFiles(machines, log string) (files, error) {
	var f files
	for path, to := range map[string]*io.Reader{machines: &f.machines, log: &f.log} {
		if path == "" {
			continue
		}
		file, err := os.Open(path)
		if err != nil {
			f.close()
			return f, usageError{err}
		}
		*to = file
	}
	return f, nil
}

func (f files) close() {
	for _, r := range []io.Reader{f.machines, f.log} {
		if c, ok := r.(io.Closer); ok {
			c.Close()
		}
	}
}

// bring writes the files into the book; faults in them are errFailed.
func (s *shop) bring(ctx context.Context, f files, at engine.Instant) (commands.Brought, error) {
	out, err := s.desk.Bring(ctx, f.machines, f.log, at)
	if err == nil && len(out.Faults) > 0 {
		err = errFailed
	}
	return out, err
}

// removeBook removes a book and what SQLite keeps beside it.
func removeBook(path string) {
	for _, suffix := range []string{"", "-wal", "-shm"} {
		os.Remove(path + suffix)
	}
}
