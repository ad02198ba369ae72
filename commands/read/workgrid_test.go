package read

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The grids cross short lists of what people call a part with the ways in which
// they say that it was dealt with. Nobody writes all of these; but whoever writes
// at all writes one of them.

// partWords are the names of each part as they are typed, dictated and
// abbreviated, with the job of renewing it.
var partWords = []struct {
	jobs  string
	words string
}{
	{"separator", "separator cartridge|seperator cartrige|sep cart|sep cartridge|sep elmnt|separator elem|separator element|wtr sep element|water separator filter|water sep fltr|primary filter|primary fltr|prim filter|prmry fuel filter|primary fuel fltr|primary element|separator filter|sepr fltr|fuel water separator element|seprtr element|sep filter element|prefilter|pre filter|primary cartridge|fuel separator filter|separator filter cartridge"},
	{"fuelfilter", "final filter|final fltr|final fuel filter|fnl filter|final fuel fltr|secondary filter|secondary fuel filter|sec fuel filter|secondary fltr|2ndary filter|final element|spin on fuel filter|engine fuel filter|final cartridge|fuel filter|fuel fltr|second fuel filter|secndry filter"},
	{"fuelfilter+separator", "both fuel filters|both fuel fltrs|both fltrs|both filters|both ff|fuel filters|fuel fltrs|fuel filts|both of the fuel filters|both the fuel filters|primary and secondary filters|primary and final fltrs|pri and sec fuel filters|primary n secondary fuel filter|2 fuel filters|two fuel fltrs|pair of fuel filters|set of fuel filters|both fuel elements|all the fuel filters"},
	{"oring", "bowl oring|bowl o-ring|bowl o ring|o ring|oring|o-rng|bowl seal|bowl gasket|bowl orng|sep oring|separator bowl o-ring|separator o-ring|bowl ring|sep bowl oring|bowl o rings|o ring for the bowl|oring in the bowl|oring on the separator bowl"},
	{"bowl", "sep bowl|separator bowl|clear bowl|plastic bowl|sediment bowl|glass bowl|sep assy|whole separator|complete separator assembly|separator assembly|water bowl"},
	{"vent", "tank vent|tank cap|fuel cap|fuel tank cap|filler cap|tnk vent|fuel tank vent|tank breather|vented cap|fuel tnk cap|vent cap"},
	{"hose", "fuel hose|fuel line|fuel lines|fuel hoses|supply hose|return line|suction hose|fuel supply line|fuel return hose|feed line|fuel hse|rubber fuel hose|fuel feed hose|fuel pipe|length of fuel hose|piece of fuel line|fuel return line|leak off line"},
	{"liftpump", "lift pump|liftpump|lift pmp|fuel lift pump|transfer pump|feed pump|xfer pump|electric lift pump|lft pump|fuel pump|fuel transfer pump|elec fuel pump"},
	{"injectors", "injectors|injector|injs|injctrs|injector nozzles|nozzles|set of injectors|all the injectors|fuel injectors|injectrs|inj nozzles|injector tips"},
	{"oilfilter", "oil filter|oil fltr|oilfilter|engine oil filter|oil filt|eng oil fltr|spin on oil filter|lube filter|oil filtr|eng oil filter|motor oil filter"},
	{"aircleaner", "air filter|air cleaner|air fltr|air clnr|air cleaner element|air element|air filt|aircleaner|outer air filter|inner air filter|air filter element|engine air filter|air filters|both air filters|inner and outer air filters|air clnr element"},
	{"hydfilter", "hyd filter|hydraulic filter|hyd fltr|hydraulic return filter|hydro filter|hyd oil filter|hydr fltr|hydraulic oil filter|hyd filt|hyd return fltr|hydrolic filter|hydraulic spin on filter|hyd filters|hydraulic fltr|hydrostatic filter"},
	{"belt", "belt|fan belt|v belt|alternator belt|drive belt|alt belt|fanbelt|v-belt|belts|serpentine belt|serp belt|water pump belt"},
	{"battery", "battery|battry|batt|batteries|btry|starter battery|starting battery|both batteries|bat|batery|pair of batteries|12v battery"},
	{"engineoil", "oil|engine oil|eng oil|motor oil|15w40"},
	{"coolant", "coolant|antifreeze|coolent|anti freeze|clnt|radiator coolant|rad fluid|antifreez|engine coolant"},
	{"hydoil", "hyd oil|hydraulic oil|hydraulic fluid|hyd fluid|hydro oil|hydrolic oil|hydrualic oil|hyd fl|hydr oil|hydraulics oil|hydrostatic oil"},
}

// renewed are the ways of saying that a part was renewed: %m the machine, %p the
// part.
var renewed = []string{
	"%m replaced %p", "replaced the %p on %m", "%m new %p", "new %p on %m", "new %p in %m", "%m %p replaced",
	"%m changed %p", "changed the %p on %m", "%m %p changed", "%p changed on %m", "%p done on %m", "did the %p on %m", "%m did %p",
	"swapped out the %p on %m", "swapped the %p out on %m", "%m swapd %p", "%m %p swapped", "%m chngd %p", "%m rplcd %p", "%m replcd the %p",
	"%m got a new %p", "%m got new %p today", "put a new %p in %m", "put a new %p on %m", "put new %p in %m", "put in a new %p on %m",
	"stuck a new %p in %m", "threw a new %p in %m", "popped a new %p in %m", "fitted a new %p to %m", "installed new %p in %m", "%m instld new %p",
	"i have replaced the %p on %m", "we've changed the %p on %m", "ive just changed the %p on %m", "just finished changing the %p on %m", "got the %p changed on %m",
	"got %m's %p done", "%m had its %p changed", "the %p has been replaced on %m", "the %p was changed on %m", "the %p on %m got replaced",
	"finally replaced the old %p on %m", "went ahead and changed the %p on %m", "had to replace the %p on %m", "ended up replacing the %p on %m",
	"%m %p renewed", "renewed %p on %m", "%m %p was replaced this morning", "so i changed out the %p on %m", "also replaced the %p on %m",
	"%m - %p replaced", "%m: new %p", "%m, %p changed", "%m new %p in", "new %p in on %m", "%m put new %p on", "%m fresh %p", "%m gave it a new %p", "gave %m a new %p",
	"quickly swapped the %p on %m before lunch", "got round to doing the %p on %m", "managed to get the %p changed on %m", "got the %p swapped on %m", "%m: %p all done", "%m %p done n dusted",
}

// notRenewed tell of a part that was not dealt with, or not yet.
var notRenewed = []string{
	"%m needs a new %p", "gonna change the %p on %m", "didnt change the %p on %m", "havent replaced the %p on %m yet", "%m could use a new %p",
	"someone should change the %p on %m", "can someone change the %p on %m", "ordered a new %p for %m", "will replace the %p on %m tomorrow", "planning to change the %p on %m",
	"%m wants a new %p soon", "i think somebody changed the %p on %m", "might replace the %p on %m", "no new %p for %m yet", "never got to the %p on %m",
	"supposed to swap the %p on %m", "please replace the %p on %m", "still have to do the %p on %m", "if the %p on %m is changed tell me", "we should get the %p changed on %m",
	"want to get the %p swapped on %m", "%m is getting a new %p", "%m will get a new %p", "need to put a new %p in %m", "bought a new %p for %m", "did you change the %p on %m?", "has anyone changed the %p on %m?",
	"forgot to change the %p on %m", "couldnt change the %p on %m", "tell joss to change the %p on %m", "cant get the %p off %m", "a new %p for %m is on the shelf", "have the %p changed on %m please",
}

// doesOnly finds the templates that say no more than that it was done.
var doesOnly = regexp.MustCompile(`\b(did|done|doing)\b`)

func fill(template, machine, part string) string {
	return strings.NewReplacer("%m", machine, "%p", part).Replace(template)
}

// grid runs one grid; with GRID set it prints each row that went wrong.
func grid(t *testing.T, name string, rows [][2]string) {
	t.Helper()
	ctx := base()
	bad := 0
	for _, r := range rows {
		acts := Read(r[0], shedNames, ctx).Candidates[0].Acts
		for i := range acts {
			slices.Sort(acts[i].Jobs) // in the order of their names
		}
		got := short(acts)
		if got == r[1] || r[1] == "silent" && !Writes(acts) {
			continue
		}
		bad++
		if os.Getenv("GRID") != "" {
			fmt.Printf("%s\t%s\t%s\t%s\n", name, r[0], got, r[1])
		}
	}
	if bad > 0 {
		t.Errorf("%s: %d of %d bad", name, bad, len(rows))
	}
}

// sampled says whether a row is tried: one in five of each part's, in turn, or all
// where the environment has GRID set.
func sampled(i, j int) bool { return os.Getenv("GRID") != "" || (i+j)%5 == 0 }

func TestGridRenewed(t *testing.T) {
	var rows [][2]string
	for _, p := range partWords {
		for i, w := range strings.Split(p.words, "|") {
			for j, tpl := range renewed {
				if !sampled(i, j) {
					continue
				}
				if p.jobs == "bowl" && doesOnly.MatchString(tpl) {
					continue // what was done to the bowl is asked: it may have been drained
				}
				rows = append(rows, [2]string{fill(tpl, "rt1", w), "service RT1 " + p.jobs})
			}
		}
	}
	grid(t, "renewed", rows)
}

func TestGridNotRenewed(t *testing.T) {
	var rows [][2]string
	for _, p := range partWords {
		for i, w := range strings.Split(p.words, "|") {
			for j, tpl := range notRenewed {
				if !sampled(i, j) {
					continue
				}
				rows = append(rows, [2]string{fill(tpl, "rt1", w), "silent"})
			}
		}
	}
	grid(t, "notrenewed", rows)
}
