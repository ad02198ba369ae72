package read

import (
	"strings"
	"testing"
)

// jobWays are the jobs that are told by what was done rather than by what is new:
// %m is the machine, as somebody names it at the start, the end or within.
var jobWays = []struct {
	want string
	ways string
}{
	{"drain", "%m drained|drained %m|%m drnd|%m drained off|drained the bowl on %m|%m bowl drained|drained the water off %m|let the water out of %m|drained the separator on %m|%m sep drained|dumped the bowl on %m|%m drain done|did the drain on %m|%m bowl emptied|emptied the bowl on %m|%m's been drained|i drained %m earlier|drained %m out|opened the drain on %m|cracked the drain on %m|%m got drained|bled the water off %m|drained the sep bowl on %m|drained the sediment bowl on %m|just drained %m|drained %m first thing|had to drain %m|got %m drained|%m is drained|drained the fuel bowl on %m|drained her bowl, %m|%m drained the bowl real quick|gave %m a drain"},
	{"bleed", "%m bled|bled %m|bled the system on %m|bled the air out of %m|%m air bled out|primed %m|%m primed|bled the fuel lines on %m|bled the injectors on %m|%m bled n primed|got the air out of %m|purged the air from %m|had to bleed %m|%m bld|%m bled it|bled the fuel system on %m|re-primed %m|primed the fuel system on %m|bled her out, %m|cracked the lines on %m and bled it|%m fuel system bled|bled the lines through on %m|%m is bled|got %m bled"},
	{"tank", "%m tank drained|drained the tank on %m|cleaned the tank on %m|washed out the tank on %m|washed the tank out on %m|%m tank cleaned out|cleaned out %m's fuel tank|flushed the fuel tank on %m|%m fuel tank flushed|rinsed the tank out on %m|pulled the tank on %m and washed it out|pulled %m's tank n washed it out|dropped the tank on %m and cleaned it|took the fuel tank off %m and flushed it out|had the tank off %m, washed it out|scrubbed the tank out on %m|emptied the fuel tank on %m|pumped out the tank on %m|%m tank emptied and cleaned|drained %m's tank|swilled out the tank on %m|steam cleaned the tank on %m|%m cleaned fuel tnk|%m fuel tank drained n cleaned|hosed out the tank on %m|sloshed out the tank on %m"},
	{"vent", "cleaned the tank vent on %m|%m vent cleaned|%m tank vent cleaned out|blew out the vent on %m|blew the tank vent out on %m|unplugged the vent on %m|cleaned out the vent in the fuel cap on %m|cleared the tank vent on %m|%m fuel cap cleaned|poked out the vent on %m|vent on %m unblocked|cleaned the fuel cap vent on %m|blown out the cap vent on %m|%m vent in the cap cleaned"},
	{"grease", "%m greased|greased %m|%m grsd|%m lubed|lubed %m up|greased all the fittings on %m|hit the zerks on %m|hit all the zerks on %m|hit every zerk on %m|hit all the grease points on %m|%m zerks hit|pumped grease into %m|shot some grease in %m|shot grease in all the zerks on %m|gave %m a grease|gave %m a good greasing|%m grease job done|did the grease on %m|%m all greased up|greased the whole thing %m|greased %m front to back|greased %m top to bottom|put grease in %m|got %m greased|went round the grease points on %m|did the zerks on %m|%m zerks done|did all the grease nipples on %m|hit the grease fittings on %m|%m got its grease|greased every nipple on %m"},
	{"valves", "set the valves on %m|%m valves set|valves adjusted on %m|adjusted the valves on %m|did the valves on %m|%m valve lash set|set valve lash on %m|set the valve clearance on %m|%m valve clearances adjusted|%m valves done|%m vlvs set|adjusted valve clearance on %m|set the tappets on %m|%m tappets set|reset the valves on %m|valve clearance set on %m|checked and set the valves on %m|set the lash on %m|%m valve adjustment done|did a valve adjustment on %m|valves set on %m|gapped the valves on %m|got the valves set on %m|set up the valves on %m"},
	{"coolant", "flushed the coolant on %m|%m coolant flushed|flushed the cooling system on %m|%m coolant drained n refilled|drained and refilled the coolant on %m|%m coolant swapped|coolant flush done on %m|did a coolant flush on %m|%m coolant flush|flushed out the coolant in %m"},
	{"hydoil", "hyd oil changed in %m|changed the hydraulic oil in %m|drained n refilled the hyd oil in %m|%m hydraulic fluid changed|did the hyd oil on %m|%m hyd fluid swapped|flushed the hyd oil on %m|%m hydraulic oil change done|new hydraulic fluid in %m"},
	{"engineoil+oilfilter", "did an oil change on %m|changed the oil and filter on %m|%m oil + filter done|oil and oil filter changed on %m|%m had its oil changed, filter too|%m oil changed and new oil filter|%m new oil and filter|gave %m an oil change|oil change done on %m|%m got an oil change|%m lof done|did oil n fltr on %m|changed oil and put on a new oil filter on %m|oil changed with filter on %m"},
	{"hydfilter+hydoil", "changed hyd oil and hyd filter on %m|hydraulic oil and filter done on %m|%m hydraulic oil n filter changed|new hyd oil and filter in %m|%m hydraulic fluid and filter done"},
	{"fuelfilter+separator", "changed the separator and the final filter on %m|%m new sep cart and final fltr|did both filters on %m|%m both fuel filters done|replaced primary and secondary fuel filters on %m|%m new fuel filters, primary and final|new fuel filters in %m"},
	{"oring+separator", "new separator element and o-ring on %m|changed the separator on %m, new oring too|%m sep element + new bowl o-ring|put a new separator cartridge and oring in %m"},
	{"aircleaner+battery", "new air clnr n battry in %m|%m new battery and air filter|put a battery and an air filter in %m|changed the battery on %m and the air cleaner|air filter and battery done on %m"},
	{"fuelfilter+oilfilter", "oil filter n fuel filter done on %m"},
	{"belt+grease", "%m greased, new belt|greased %m and changed the fan belt|%m new belt n greased|swapped the belt on %m and hit the zerks"},
	{"aircleaner", "%m air filter was shot, swapped it|%m air cleaner plugged, put a new one in|air filter on %m filthy so i changed it|%m air filter toast. new one in|pulled the air filter on %m and put a new one in|%m old air filter out new one in|%m air cleaner had had it, replaced|air cleaner on %m choked solid, fitted a new one"},
	{"belt", "%m belt shot, swapped it|%m belt shot. swapped it|fan belt on %m frayed, new one on|belt on %m snapped so put another on|%m belt was glazed, changed it out|%m belt gone, replaced|threw the old belt out and put a new one on %m|%m alternator belt worn out, swapped|belt broke on %m, replaced it|%m drive belt cracked. replaced it|%m belt squealing so i swapped it|took the old belt off %m and put a new one on|%m v belt done for, new one on"},
	{"battery", "%m battery dead, new one in|battery on %m wouldnt hold a charge, replaced it|%m battery toast, swapped it|%m battery was done, put a new one in|old battery out of %m, new one in"},
	{"hose", "%m fuel hose split, replaced it|return hose on %m cracked, new one on|fuel hose on %m rotten so changed it|swapped a bad fuel hose on %m|cut out the bad fuel line on %m and put new in"},
	{"liftpump", "%m lift pump packed up, new one on|lift pump on %m died, swapped it|%m lift pump weak so i replaced it|%m liftpump dead. fitted a new one"},
}

// jobNots say that it was not done, or not yet, or by nobody sure.
var jobNots = strings.Split("didnt drain %m|havent greased %m|%m not drained|%m still to grease|gonna bleed %m|%m needs draining|%m needs a drain|%m needs greasing|%m needs an oil change|"+
	"will flush the coolant on %m tomorrow|someone set the valves on %m please|can you grease %m|grease %m please|drain %m when you get a chance|i think %m was greased|%m might have been drained|"+
	"apparently somebody drained %m|they say %m was greased|supposed to drain %m|was going to grease %m|couldnt get the tank off %m|didnt get round to the valves on %m|never drained %m|"+
	"%m valves need setting|%m battery dead|%m belt squealing|%m belt shot|%m air filter filthy|%m lift pump packed up|%m fuel hose cracked|going to wash the tank out on %m|"+
	"should have drained %m|if i drain %m today|who greased %m|did you drain %m|was %m greased|has %m been drained|lets grease %m friday|drain %m tomorrow|%m wants bleeding|"+
	"dont forget to drain %m|remember to grease %m|about to grease %m|on my way to drain %m|not gonna bother greasing %m|skipped the drain on %m|%m oil looks ok|"+
	"%m grease gun is empty|ran out of grease for %m|waiting on a belt for %m|the belt for %m is in|ordered an air filter for %m|%m coolant low|pulled the tank on %m|"+
	"took the air filter out of %m|drained my coffee|im drained|greased the gate by %m|%m tank is empty|%m tank is full|trying to bleed %m|half way through greasing %m|started on the valves on %m|"+
	"%m air cleaner plugged, needs a new one|%m belt shot, ordered one|%m belt frayed, will swap it friday|%m battery dead, new one coming monday", "|")

func TestGridJobs(t *testing.T) {
	var rows [][2]string
	for _, j := range jobWays {
		for _, w := range strings.Split(j.ways, "|") {
			for _, m := range []string{"rt1", "granny", "the wide mower"} {
				tag := "RT1"
				if m == "the wide mower" {
					tag = "OM2"
				}
				rows = append(rows, [2]string{fill(w, m, ""), "service " + tag + " " + j.want})
			}
		}
	}
	grid(t, "jobs", rows)
}

func TestGridJobsNot(t *testing.T) {
	var rows [][2]string
	for _, w := range jobNots {
		rows = append(rows, [2]string{fill(w, "rt1", ""), "silent"}, [2]string{fill(w, "the genny", ""), "silent"})
	}
	grid(t, "nots", rows)
}
