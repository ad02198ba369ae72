package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
)

// TestRenewedEarly: eight lift pumps that all failed at about 600 h wear out, and
// are better renewed before; eight that failed at any age are not. The answers
// come from the shop's own book.
func TestRenewedEarly(t *testing.T) {
	const asked = "is it worth changing lift pumps early, 80 planned against 400 broken down"
	for _, c := range []struct {
		what string
		ages []int
		say  string
		want []string
	}{
		{"worn out", []int{560, 580, 590, 600, 610, 620, 640, 600}, asked,
			[]string{"Lift pump: 8 failures in the book, 8 that ran without.", "They wear out: renew at about 5", "At 80 in time and 400 failed that saves about "}},
		{"costs are asked for", []int{560, 580, 590, 600, 610, 620, 640, 600}, "is it worth changing lift pumps early",
			[]string{"What does one cost in time, what broken down?"}},
		{"a failure costs no more", []int{560, 580, 590, 600, 610, 620, 640, 600}, "is it worth changing lift pumps early, 80 planned against 80 broken down",
			[]string{"One that fails costs no more than one in time: let it run."}},
		{"by chance", []int{20, 900, 55, 1400, 130, 260, 420, 650}, asked, []string{"They fail as by chance, not by age"}},
		{"too few", []int{600, 610, 590}, asked, []string{"Lift pump: 3 failures in the book, 3 that ran without.", "Not enough failures to tell wear-out from chance."}},
	} {
		dir := t.TempDir()
		machines, log := "tag,name,aka,kind,meter_reads,bowl_ml,owner\n", "day,time,machine,hours,job,finding,amount_ml,by,note\n"
		for i, age := range c.ages {
			tag := fmt.Sprintf("HP%d", i+1)
			machines += tag + ",Hill pump " + fmt.Sprint(i+1) + ",,pump,tenths,90,Co-op\n"
			log += fmt.Sprintf("2024-01-0%d,07:00,%s,1.0,,,,Wilm,\n", i+1, tag)
			log += fmt.Sprintf("2026-05-0%d,07:00,%s,%d.0,liftpump,weep,,Wilm,\n", i+1, tag, age)
			log += fmt.Sprintf("2026-06-0%d,07:00,%s,%d.0,,,,Wilm,\n", i+1, tag, age+20)
		}
		put(t, filepath.Join(dir, "m.csv"), machines)
		put(t, filepath.Join(dir, "l.csv"), log)
		book := filepath.Join(dir, "b.db")
		must(t, "import", "--book", book, "--zone", "America/Toronto", "--machines", filepath.Join(dir, "m.csv"), "--log", filepath.Join(dir, "l.csv"))
		got := must(t, "say", "--book", book, "--by", "Runa Tveit", "--role", "foreman", "--at", "2026-06-10T07:00", c.say)
		for _, want := range c.want {
			if !strings.Contains(got, want) {
				t.Errorf("%s: %q is not in\n%s", c.what, want, got)
			}
		}
	}
}
