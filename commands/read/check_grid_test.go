package read

import (
	"strings"
	"testing"

	"woodruff/engine"
)

// checkGrid is how each check is answered, by its result. The words are common ways
// of speaking, from memory.
var checkGrid = map[engine.Check]map[string][][]string{
	engine.CheckRing: {
		"yes": {
			cross("its|the ring is|ring is|float is|the float ring is|float ring is|ring|its all|float|shes", "up|floating|way up|up high|at the top|up near the top|lifted|raised|off the bottom|right up top|part way up|halfway up|floated up|up a bit|sitting up high"),
			cross("yes|yep|yeah|yup|aye|y|yeah it is|yes sir|yessir|sure is|it is|oh yes|yes its up|ya", ""),
		},
		"no": {
			cross("its|the ring is|ring is|float is|the float ring is|ring|its just|float|shes", "down|at the bottom|sitting at the bottom|on the bottom|sitting on the bottom|right at the bottom|laying on the bottom|sat on the floor|sunk|down low|all the way down|still down|resting on the bottom|not up|not floating|sitting low"),
			cross("no|nope|nah|naw|no sir|not at all|no it isnt|no its not|it isnt|its not|negative", ""),
		},
	},
	engine.CheckBubbles: {
		"yes": {
			cross("|theres|got|i see|seeing|i can see|there are|yeah|still", "lots of bubbles|bubbles|a few bubbles|tons of bubbles|some bubbles|little bubbles|a steady stream of bubbles|loads of air|air bubbles|a bunch of bubbles|air in the line|plenty of bubbles|tiny bubbles|the odd bubble"),
			cross("its|line is|the line is|hose is", "bubbling|bubbling away|full of bubbles|full of air|foamy|fizzing|all bubbles|all foamy|frothy|sucking air"),
			cross("yes|yep|yup lots|yeah tons|oh yeah loads|yes a few|yeah some|a few|lots|tons of em|yep all the time|yeah steady stream", ""),
		},
		"no": {
			cross("|i see|theres|there are|seeing|nope|can see|got", "no bubbles|no air|not a bubble|no air bubbles|not a single bubble|zero bubbles|no bubbles at all|no bubbles anywhere"),
			cross("cant see|dont see|didnt see|couldnt see|havent seen|never saw|not seeing", "any|any bubbles|a bubble|a single bubble|any air|a single one"),
			cross("its|line is|the line is|its all|its just", "clear|solid fuel|clear fuel|clear as a bell|all fuel|nice and clear|bubble free|totally clear"),
			cross("no|nope|none|nah none|not one|none at all|nope not one|no none that i can see", ""),
		},
	},
	engine.CheckCap: {
		"yes": {
			cross("|runs|it runs|its|a lot|lots|ran|way|yeah|yes|bit|definitely|seems|goes|much|works|it ran", "better"),
			cross("|yep|with it off|with the cap loose|loosened it and", "it picked right up|it cleared up|runs fine|it perked up|she picked up|it took off|big difference|huge difference|runs great|it smoothed out|it woke up|it pulled fine|it revs up fine|the power came back|it helped|that helped|that fixed it|that did it"),
			cross("yes|yep|yeah|sure did|it did|yes it did|yup it did|a bit|yes a lot|yeah big time|oh yeah", ""),
		},
		"no": {
			cross("|made|makes|theres|nope|it made|saw|really|with the cap off|loosened it", "no difference|no change|no diff|zero difference|no improvement|no real difference|not a bit of difference|no difference at all"),
			cross("didnt|doesnt|did not|does not|it didnt|that didnt|loosening it didnt|nope didnt", "help|change anything|make a difference|make any difference|do anything|help any|do a thing|help at all|make a bit of difference|change a thing"),
			cross("|its|runs|still|exactly|just|runs just", "the same|same as before|same|just as bad"),
			cross("still", "no power|weak|stalls|dies|gutless|bogs|surging|smokes|runs bad|wont pull|hunting|rough"),
			cross("no|nope|nah|not really|not any|no better|not any better|not a bit better|no worse no better|nope no better", ""),
		},
	},
	engine.CheckFlow: {
		"yes": {
			cross("|it|fuel|yeah it|its|yep", "flows good|flows fine|flows freely|pours out|flows real good|comes out good|gushes out|gushing|pouring out|runs out fine|flowing fine|flows great|shoots out|comes out strong|came out fine|flowed good|flows well|running out freely|really pours out"),
			cross("|its|nice|got|good|theres", "full stream|steady stream|good flow|strong flow|plenty of fuel|lots of fuel|plenty"),
			cross("yes|yep|yeah|yes it does|sure does|yep no problem|yeah lots|it does", ""),
		},
		"no": {
			cross("|its|just|only|barely|yeah just|its just", "dribbles|a dribble|a trickle|trickles|dribbling|trickling|drips|dripping|a slow trickle|a few drops"),
			cross("|it|fuel|really", "barely flows|hardly flows|doesnt flow|barely comes out|hardly comes out|flows slow|comes out slow|comes out weak|wont flow|not flowing|spits and stops|doesnt flow much|barely drips"),
			cross("|theres|got|its", "no flow|weak flow|slow flow|poor flow|hardly anything|barely anything|next to nothing|nothing|not much|hardly any|no fuel|very little"),
			cross("no|nope|nah|not really|not much|no it doesnt|nope barely|not at all", ""),
		},
	},
	engine.CheckWet: {
		"yes": {
			cross("|its|yeah its|a bit|its all|kinda|yes|looks", "wet|damp|soaked|moist|dripping|greasy|oily|wet with fuel", "|at the filter head|at the banjo|around the fittings|at the hose|on one joint|by the lift pump|at a union|under the separator"),
			cross("|theres|i see|got|found", "fuel on the hose|a drip at the fitting|a leak at the banjo|a wet spot|a damp spot|fuel around the clamp|a weep at the joint|a drip|seepage at the union"),
			cross("yes|yep|yeah|it is|sure is|yes a little|yep a bit", ""),
		},
		"no": {
			cross("|its|all|yeah|everything is|theyre all|they are all|nope|its all|everythings|joints are", "dry|bone dry|dry as a bone|dry everywhere|nice and dry|all dry|totally dry"),
			cross("|theres|see|found|i see|nope", "no leaks|no leak|no wet spots|no drips|nothing wet|no fuel|no sign of fuel|no leaks anywhere|nothing"),
			cross("cant see|couldnt find|didnt find|dont see|cant find", "any|any leaks|a leak|anything wet|any wet spots|a drop|any fuel"),
			cross("no|nope|nah|not at all|not a drop|none|not that i can see|no its not", ""),
		},
	},
	engine.CheckShutoff: {
		"yes": {
			cross("|its|yeah|yes|just|its just|yep", "only after it sits|only overnight|only in the morning|only after standing|only first thing|only after sitting overnight|only after a night|only when its been sitting|only first start|after it sits overnight|only mornings|only when it sits all night|only the first start of the day"),
			cross("yes|yep|yeah|it is|thats right|yup|exactly|correct", ""),
		},
		"no": {
			cross("|its|nope|no|it does it|happens|no its", "all day|any time|anytime|all the time|every time|all day long|whenever|every start|even when warm|middle of the day too|after lunch too|day and night|at any time|even after an hour"),
			cross("no|nope|nah|not just overnight|not only overnight|no its not|not just mornings", ""),
		},
	},
	engine.CheckAirFilter: {
		"yes": {
			cross("|its|it is|looks|its real|yeah its|filter is|its pretty|air filter is|looks pretty|its nice and", "clean|good|fine|like new|ok|new"),
			cross("yes|yep|yeah|sure is|it is|spotless|just changed it|brand new|not bad|clean as a whistle|yep looks new", ""),
		},
		"no": {
			cross("|its|it is|looks|its real|yeah its|filter is|pretty|air filter is|its totally|its absolutely|its kinda", "dirty|filthy|plugged|clogged|black|plugged solid|full of dust|packed with dust|caked|choked|disgusting|plugged up|blocked|packed full of chaff|dusty"),
			cross("no|nope|nah|not really|not at all|needs changing|needs a new one|no its not|not clean|not very clean|no way|no its filthy|could be better", ""),
		},
	},
	engine.CheckBowl: {
		"clean":  {cross("|its|looks|bowl is|its all|nothing but", "clean|clear|clean fuel|clear fuel"), cross("nothing|nothing in it|nothing in there|no water|all clean|just fuel|clean as a whistle|no water nothing|looks good and clean", "")},
		"water":  {cross("|theres|its got|got|a bit of|some|lots of|half full of|full of|yeah|little|i see|couple drops of|its half", "water", "|in it|in there|in the bottom")},
		"rust":   {cross("|its|its got|some|bits of|full of|little|lots of", "rust|rust flakes|rusty flakes", "|in it|in there")},
		"slime":  {cross("|its|its got|some|full of|black", "slime|jelly|black slime|algae", "|in it|in there")},
		"debris": {cross("|its got|some|bits of|full of|little", "dirt|debris|grit|crud|sand", "|in it|in there")},
		"wax":    {cross("|its got|some|full of|bits of", "wax|wax flakes", "|in it|in there")},
	},
	engine.CheckVacuum: {
		"8 inHg":   {cross("|its|gauge says|pulling|reads|gauge reads|got|its pulling|shows|it is|sitting at|im getting|vacuum is", "8|eight", "inhg|in hg|inches|inches of mercury|inches of vacuum")},
		"27 kPa":   {cross("|its|gauge says|pulling|reads|gauge shows|got|reading", "27|twenty seven", "kpa|kilopascals|kpa of vacuum")},
		"7.5 inHg": {cross("7.5|seven and a half|7,5", "inhg|inches", "|of vacuum|on the gauge")},
	},
}

// openers are what people say before an answer.
var openers = []string{"%", "umm %", "ok %", "just looked, %", "hey %", "so %", "checked it %", "%.", "well %", "alright %", "% boss", "% thanks"}

// unheard are answers of the grid that the reader does not make out yet: it stays
// silent, which loses an answer and writes nothing wrong.
var unheard = map[string]bool{
	"runs just as bad thanks": true, "just looked, runs just just as bad": true, "checked it exactly": true,
	"checked it no it isnt": true, "well not bad": true, "got nothing.": true,
	"its just sat on the floor.": true, "checked it yup it did": true, "a bit.": true,
	"checked it just changed it": true, "just looked, like new": true,
	"checked it yeah it is": true, "does not do anything boss": true,
	"well nice plenty": true, "good plenty boss": true,
}

// TestCheckGrid answers each check in the words of the grid.
func TestCheckGrid(t *testing.T) {
	for check, results := range checkGrid {
		wrong, n := 0, 0
		for result, grids := range results {
			for _, grid := range grids {
				for i, core := range grid {
					say := strings.ReplaceAll(openers[i%len(openers)], "%", core)
					ctx := base()
					ctx.Asked = &Asked{Machine: 1, Check: check}
					acts := Read(say, shedNames, ctx).Candidates[0].Acts
					n++
					if unheard[say] {
						wrong++
						if Writes(acts) {
							t.Errorf("%s: %q is %s, want silence at worst", check, say, short(acts))
						}
						continue
					}
					if len(acts) != 1 || acts[0].Kind != Check || acts[0].Check != check || acts[0].Result != result || acts[0].Machine != 1 {
						wrong++
						t.Errorf("%s: %q is %s, want %s", check, say, short(acts), result)
					}
				}
			}
		}
		t.Logf("%s: %d of %d", check, n-wrong, n)
	}
}

// TestNoCheckGrid: what puts an answer off, asks back or speaks of something else
// answers nothing, whichever check was asked for.
func TestNoCheckGrid(t *testing.T) {
	says := slicesOf(
		cross("cant find|dont have|havent got|where is|lost", "the gauge|the cap|it"),
		cross("will|ill|gonna", "look|check|do it|try it", "later|tomorrow|after lunch|in a minute"),
		cross("hang on|one sec|on it|looking now|no time right now|give me a minute|which one|whats that|how do i tell|where do i look|not yet|havent looked yet|cant tell|hard to say|no idea", ""),
	)
	for check := range checkGrid {
		for _, say := range says {
			ctx := base()
			ctx.Asked = &Asked{Machine: 1, Check: check}
			if acts := Read(say, shedNames, ctx).Candidates[0].Acts; Writes(acts) {
				t.Errorf("%s: %q is %s", check, say, short(acts))
			}
		}
	}
}
