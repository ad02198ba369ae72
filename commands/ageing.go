package commands

import (
	"fmt"
	"strconv"

	"woodruff/commands/read"
	"woodruff/engine"
)

// earlyAll answers whether a part is better renewed at an age than run until it
// fails, from the failures that the shop's own book has seen.
func earlyAll(t *turn, a read.Act) error {
	var lives []engine.Life
	err := t.eachMachine(func(v *view) error {
		lives = append(lives, v.sheet(t).Lives(a.Job, t.now)...)
		return nil
	})
	if err != nil {
		return err
	}
	said := engine.AgeReplacement(lives, a.Costs)
	t.line(capital(jobName(a.Job)) + ": " + livesWords(said) + ".")
	t.line(earlyWords(said, a)...)
	return nil
}

// livesWords says what the book has seen.
func livesWords(a engine.Ageing) string {
	if a.Failures == 0 && a.Others == 0 {
		return "no life of one in the book"
	}
	return count(a.Failures, "failure") + " in the book, " + strconv.Itoa(a.Others) + " that ran without"
}

// earlyWords is the answer, and what it rests on.
func earlyWords(said engine.Ageing, a read.Act) []string {
	none := a.Costs == engine.Costs{}
	switch {
	case said.Why == engine.FewFailures:
		return []string{"Not enough failures to tell wear-out from chance.", "Until there are, its manual rules."}
	case said.Why == engine.LikeChance:
		return []string{"They fail as by chance, not by age: early would save nothing."}
	case none:
		return []string{
			"They wear out. What does one cost in time, what broken down?",
			fmt.Sprintf("Say: is it worth changing %ss early, 80 planned, 400 failed", jobName(a.Job)),
		}
	case said.Why == engine.NoDearer:
		return []string{"One that fails costs no more than one in time: let it run."}
	case said.Why == engine.LittleSaved:
		return []string{"They wear out, but early would save next to nothing: let it run."}
	}
	o := said.Optimum
	return []string{
		fmt.Sprintf("They wear out: renew at about %s.", span(o.Age)),
		fmt.Sprintf("At %s in time and %s failed that saves about %.0f %%.", money(a.Costs.Planned), money(a.Costs.Failed), 100*o.Saving),
		"The machine's manual rules where it says sooner.",
	}
}

// money writes a cost in whatever unit it was given.
func money(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
