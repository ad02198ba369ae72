package main

import (
	"context"
	"fmt"
	"os"

	"woodruff/engine"
)

type planCmd struct {
	bookFlag
	File    string `type:"path" placeholder:"P.csv" help:"The shop's own intervals to bring in: kind,job,hours,months,season,first,marks,severe,severable,off,class,note, with machine where it is for one; a season is a day of every year, 11-01."`
	Machine string `placeholder:"TAG" help:"Print the intervals that rule for this machine."`
	Usual   bool   `help:"Print the usual intervals that come with the program, as a file to start from."`
}

func (c *planCmd) Help() string {
	return "The usual intervals are generic: the manual of the machine's own serial number rules. A shop's own figures go over them."
}

func (c *planCmd) Run(ctx context.Context, w outside) (err error) {
	if c.Usual {
		_, err := fmt.Fprint(w.out, engine.UsualPlanCSV())
		return err
	}
	if c.Machine != "" {
		s, _, err := lookInto(ctx, c.Book, "", w)
		if err != nil {
			return err
		}
		defer s.close(&err)
		m, err := s.machine(ctx, c.Machine)
		if err != nil {
			return err
		}
		lines, err := s.desk.PlanOf(ctx, m.ID)
		printLines(w, lines)
		return err
	}
	if c.File == "" {
		return wrongUse("give --file, --machine or --usual")
	}
	s, err := openShop(ctx, c.Book, "", w)
	if err != nil {
		return err
	}
	defer s.close(&err)
	f, err := os.Open(c.File)
	if err != nil {
		return usageError{err}
	}
	defer f.Close()
	n, same, err := s.desk.BringPlan(ctx, f, w.instant())
	if err != nil {
		return err
	}
	fmt.Fprintf(w.out, "%d intervals of the shop's own, %d were so already.\n", n, same)
	return nil
}
