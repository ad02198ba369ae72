package read

import "testing"

var mended = slots{
	"n":    {"1541.2"},
	"o":    {"1514.2"},
	"m":    {"rt2=RT2", "the loader=BL1", "the wide mower=OM2", "low row tractor=RT2"},
	"x":    {"saturday=2026-11-21", "yesterday=2026-11-23", "on friday=2026-11-20", "nov 20=2026-11-20", "sat=2026-11-21", "last friday=2026-11-20"},
	"f":    {"slime", "rust", "wax", "ice"},
	"oops": {"", "oops ", "sorry ", "whoops ", "my bad ", "fat thumb. ", "fat fingers, ", "typo, ", "butter fingers. ", "ugh ", "ah crap ", "correction: ", "hang on, ", "wait, ", "oh no, ", "sry ", "oops sorry, ", "my mistake, ", "dang "},
	"end":  {"", " sorry", " my bad", " oops", " thx", " pls", " lol", " my mistake", " fat fingers"},
	"sb":   {"should be", "shld be", "shoulda been", "should of been", "should have been", "shouldve been", "should read", "should say", "shd be", "supposed to be", "was supposed to be", "was meant to be", "ought to be", "meant to be"},
}

// TestMendHours: a figure that was typed wrong, with the old one or without.
func TestMendHours(t *testing.T) {
	free := []family{
		{"correct hours to 1541.2", []string{
			"{oops}{sb} {n}", "{oops}that {sb} {n}{end}", "{oops}it {sb} {n}", "{oops}meant {n}", "{oops}i meant {n}{end}", "make that {n}", "{oops}make it {n}", "correction {n}", "wrong hours its {n}", "wrong hours, {sb} {n}", "hours are wrong {sb} {n}", "hours were wrong, {n}", "change the hours to {n}", "change that to {n}", "change hours to {n}", "fix that to {n}", "fix the hours to {n}", "fix last hours to {n}", "can you change that to {n}", "please change the hours to {n}",
			"i swapped the digits its {n}", "i typed {o} its {n}", "i typed {o} but its {n}", "i put {o} {sb} {n}", "i put {o} but it {sb} {n}", "i wrote {o} but meant {n}", "said {o} meant {n}", "i said {o} i meant {n}", "it says {o} {sb} {n}", "transposed the digits, {sb} {n}", "i read it wrong it was {n}", "misread the meter, {n}", "misread it, {n}", "last reading {sb} {n}", "last one {sb} {n}", "hours {sb} {n}", "that reading {sb} {n}", "the reading {sb} {n}", "*{n}", "hit the wrong key. {n}", "typed it wrong, {n}", "i typed it wrong its {n}", "typed that wrong {sb} {n}", "wrote it down wrong, {n}", "put it in wrong its {n}", "got the number wrong, {n}", "wrong number, its {n}", "wrong figure {sb} {n}", "that number is wrong, {n}", "my last one {sb} {n}", "my last {sb} {n}", "the hours on that last one {sb} {n}", "i fat fingered that, {n}", "fat fingered it {sb} {n}",
		}},
		{"correct hours to 1541.2 target -  ", []string{
			"{oops}{n} not {o}", "{oops}{o} {sb} {n}{end}", "{oops}that {sb} {n} not {o}", "{oops}meant {n} not {o}", "{oops}i meant {n} not {o}{end}", "not {o}, {n}", "not {o} its {n}", "{n} instead of {o}", "change {o} to {n}", "the {o} {sb} {n}", "that {o} {sb} {n}", "it was {n} not {o}", "its {n} not {o}", "{o} was wrong its {n}", "{o} is wrong, {sb} {n}", "{o} was a typo, {n}",
		}},
	}
	tryAll(t, base(), mended, free)
	thread := base()
	thread.Thread = 1
	tryAll(t, thread, mended, []family{{"correct hours to 1541.2", []string{"{oops}that {sb} {n}", "{oops}i meant {n}{end}", "wrong hours its {n}", "change the hours to {n}", "misread the meter, {n}"}}})
}

// TestMendOthers: the machine, the jobs, the day and the find.
func TestMendOthers(t *testing.T) {
	tryAll(t, base(), mended, []family{
		{"correct machine to {m}", []string{
			"{oops}wrong machine it was {m}", "{oops}wrong machine, {m}", "{oops}wrong machine that {sb} {m}", "{oops}i meant {m}", "{oops}meant {m}", "{oops}that was {m}", "that {sb} {m}", "thats for {m}", "that was for {m}", "that was on {m}", "{oops}{sb} on {m}", "{sb} {m}", "shouldve put {m}", "put that on {m} instead", "that goes on {m}", "that belongs to {m}", "that belongs on {m}", "move that to {m}", "move that last one to {m}", "that last one was for {m}", "that last one was {m}", "last one was {m}", "my last one was {m}", "the last one {sb} {m}", "change the machine to {m}", "change that to {m}", "typed the wrong tag its {m}", "wrong tag, {m}", "wrong one, it was {m}", "wrong one, {m}", "had the wrong one, {m}", "last entry belongs to {m}", "last entry was for {m}", "it was {m} i did", "make that {m}", "correction {m}", "wrong machine {sb} {m}{end}",
		}},
		{"correct machine to RT2", []string{"i put rt1 but meant rt2", "i said rt1 i meant rt2", "i typed rt1 but it was rt2"}},
		{"correct jobs to fuelfilter", []string{"i said separator i meant fuel filter", "i put separator but meant fuel filter"}},
		{"correct jobs to grease", []string{"i said drained i meant greased"}},
		{"correct machine to RT2 target RT1  ", []string{"{oops}that was rt2 not rt1{end}", "{oops}rt2 not rt1", "not rt1, rt2", "{oops}i meant rt2 not rt1", "not rt1 i meant rt2", "that {sb} rt2 not rt1", "it was rt2 not rt1", "it was rt2 i did not rt1", "change rt1 to rt2", "that last one was rt2 not rt1", "rt2 instead of rt1", "the rt1 one {sb} rt2", "wasnt rt1 it was rt2", "that wasnt rt1, it was rt2", "that was on rt2 not on rt1"}},
		{"correct jobs to engineoil", []string{"just the oil on that last one, no filter", "only the oil on that last one no filter", "what i meant to put was just the oil", "only did the oil on that last one", "just did the oil on that last one, no filter", "that was just the oil", "that was only the oil, no filter", "that {sb} just the oil", "{oops}that {sb} oil only", "change that to oil only", "make that just the oil", "last one was just the oil", "the last one {sb} just the oil, no filter", "oil only on that last one", "{oops}only the oil, i didnt do the filter"}},
		{"correct jobs to engineoil target - oilfilter ", []string{"{oops}that was oil not oil filter", "i meant oil not oil filter", "it was the oil not the oil filter"}},
		{"correct jobs to grease target - drain ", []string{"only greased it on that last one, no drain", "just greased it on that last one, no drain"}},
		{"correct jobs to hydoil", []string{"only the hyd oil on that last one, no filter", "just the hyd oil on that last one", "that last one was only hyd oil, no filter", "that was just the hyd oil no filter"}},
		{"correct jobs to fuelfilter target - separator ", []string{"{oops}i meant fuel filter not separator", "{oops}meant the fuel filter not the separator", "it was the fuel filter not the separator", "{oops}that was the fuel filter not the separator", "that {sb} fuel filter not separator", "fuel filter not separator", "not the separator, the fuel filter", "i did the fuel filter not the separator", "that last one was the fuel filter not the separator", "fuel filter instead of separator", "change separator to fuel filter", "wasnt the separator it was the fuel filter", "separator {sb} fuel filter"}},
		{"correct jobs to grease target - drain ", []string{"i meant grease not drain", "that was grease not drain", "it was greased not drained", "that {sb} grease not drain", "meant greased not drained"}},
		{"correct jobs to engineoil+oilfilter", []string{"that {sb} oil and filter", "that was oil and filter", "i meant oil and filter", "{oops}wrong job, oil and filter", "wrong job it was oil and filter", "last one was oil n filter", "change the job to oil and filter", "that last one {sb} oil and filter"}},
		{"correct day to {x}", []string{"{oops}that was {x}", "{oops}that was {x}{end}", "wrong day it was {x}", "{oops}wrong day, {x}", "wrong date, {x}", "{sb} {x}", "that {sb} {x}", "{sb} dated {x}", "date {sb} {x}", "make that {x}", "change the date to {x}", "change the day to {x}", "i did that {x} not today", "did that {x} not today", "that was {x} not today", "it was {x} not today", "meant {x}", "i meant {x}", "i did it {x} not today", "that one was {x}", "that last one was {x}", "last one was {x}", "actually that was {x}", "that was {x} actually", "forgot to say it was {x}", "forgot to say that was {x}", "shouldve said {x}", "that was done {x}", "it was done {x} not today", "last one was done {x}", "that last entry was from {x}", "the date is wrong it was {x}"}},
		{"correct finding to {f}", []string{"{oops}it was {f} not debris", "{f} not debris", "{oops}{f} not debris{end}", "not debris, {f}", "meant {f} not debris", "i meant {f} not debris", "that was {f} not debris", "that {sb} {f} not debris", "that wasnt debris it was {f}", "wasnt debris, it was {f}", "i said debris i meant {f}", "that was {f} i saw not debris", "finding {sb} {f}", "it was {f} in the bowl not debris", "debris {sb} {f}"}},
	})
}
