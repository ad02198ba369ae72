package read

import (
	"strings"
	"testing"
)

// cross joins every word of each list with every word of the next: "a|b" and
// "x|y" give a x, a y, b x, b y. An empty word leaves its place out.
func cross(lists ...string) []string {
	out := []string{""}
	for _, list := range lists {
		var next []string
		for _, have := range out {
			for _, w := range strings.Split(list, "|") {
				next = append(next, strings.TrimSpace(have+" "+w))
			}
		}
		out = next
	}
	return out
}

// symptomGrid is what each symptom of the list is called: whatever can be said of a
// machine right behind its name. The words are common ways of speaking, from memory.
var symptomGrid = map[string][][]string{
	"white-smoke": {
		cross("smokes|smoking|smokin|smoked|is smoking|been smoking|was smoking|smoke is|smoke", "|real|kinda|pretty much|so|all", "white|wht|whitish"),
		cross("blowing|blows|blowin|puffing|pouring out|chucking out|belching|throwing|pushing out|rolling|puking|putting out|making|has|got|giving off", "|a lot of|some|a bit of|thick|tons of", "white|wht|whitish", "smoke"),
		cross("white|wht", "smoke|exhaust|haze|puffs|cloud", "|coming out the stack|on startup|pouring out of the exhaust|when it starts|out the pipe"),
		cross("stack|exhaust|pipe", "is|was|looks", "blowing white|smoking white|puffing white"),
	},
	"black-smoke": {
		cross("smokes|smoking|smokin|smoked|smoke is|smoke", "|really|still|pretty|just", "black|blk|dark", "|goin up the ramp|under load|when i load it|going up hill"),
		cross("blowing|blows|pouring|chucking|belching|throwing|rolling|puking|makes|lots of", "|a lot of|some|thick|loads of", "black|blk|sooty", "smoke|exhaust"),
		cross("rolling coal|rollin coal|rolls coal|black smoke|blk smok", "|on the hill|under load|all day|again"),
	},
	"blue-smoke": {
		cross("smokes|smoking|smokin|smoke is|smoke looks", "|a bit|kinda|sorta|all", "blue|bluish|blu"),
		cross("blowing|puffing|burning|throwing|lots of|got", "|a little|some", "blue|bluish", "smoke"),
	},
	"no-start": {
		cross("wont|wouldnt|doesnt|didnt|cant get it to|not gonna|will not|would not|refuses to|refused to|isnt wanting to|doesnt want to|dont want to|does not want to|cant get her to|couldnt get it to|cannot get it to|aint gonna|just wont|failed to", "|even|ever|just|really", "start|start up|fire|fire up|light off|catch"),
		cross("cranks|turns over|cranking|spins", "|fine|good|all day|over fine|and cranks", "but", "wont|doesnt|didnt|just wont|never|will not", "start|fire|catch"),
		cross("no", "start|fire", "|this morning|at all|today"),
		cross("cant get it|couldnt get it|cant get her|cannot get it|cant get the thing", "started|going|running|fired up|to run|to go"),
		cross("isnt starting|not starting|aint starting|not firing|isnt firing|is not starting|never started|wasnt starting", "|this morning|at all|again"),
	},
	"hard-start-cold": {
		cross("hard|tough|slow|rough|a bear|a pig|a real bear|a pain|stubborn|terrible|awful|bit hard|really hard|super slow", "to start|to get going|starting|startin", "|up", "cold|when cold|when its cold|in the cold|on cold mornings|in the mornings|first thing|in the morning|when its frosty|stone cold"),
		cross("starts|startin|starting|started", "hard|rough|slow|bad|terrible|badly|awful", "when cold|cold|in the morning|on frosty mornings|these cold mornings"),
		cross("takes forever|takes ages|takes a lot of cranking|takes a long time|needs an awful lot of cranking|took forever|takes a while|needs a lot of cranking|struggles|takes lots of cranks", "to start|to fire|to get going|to catch", "cold|when cold|in the cold|on these cold mornings"),
		cross("cold", "starts|starting|start", "|is|are", "hard|rough|bad|terrible|a pain|awful"),
	},
	"hard-start-hot": {
		cross("hard|tough|slow|a bear|a pig|a pain|terrible|a pig of a thing", "to start|to restart|to get going|starting", "hot|when hot|when its hot|when warm|once its warm|after its been running|when its warmed up|once hot|warm"),
		cross("starts|starting", "hard|rough|slow|bad|poorly", "when hot|hot|once its warm|warm|after a hot run"),
		cross("takes forever|takes ages|needs a lot of cranking|long crank", "to start|to fire", "hot|when its hot|once its hot"),
	},
	"hard-start": {
		cross("hard|real hard|kinda tough|slow|a bear|a pain|a bugger|stubborn|difficult", "to start|to get started|to get going|startin|to fire up"),
		cross("takes forever|takes ages|takes a while|took ages|takes a lot of cranking|needs lots of cranking|takes some doing|takes a few goes|takes a fair bit of cranking", "to start|to catch|to fire|to get going"),
		cross("starts|starting|startin|started", "|really|kinda", "hard|slow|rough|bad|badly"),
	},
	"starts-dies": {
		cross("starts|fires|fires up|starts up|started|catches|fired up|starts fine|starts right up|will start", "then|and|but|n|and then|but then|then it|and then it|then she", "|just|right away", "dies|quits|stalls|cuts out|shuts off|stops|conks out|dies right away"),
		cross("starts but|starts but it|fires up but|starts ok but|will start but", "wont|doesnt|will not|wouldnt", "stay|keep", "running|going|lit|on"),
		cross("wont|doesnt|will not", "stay running|keep running|stay lit|stay going"),
		cross("dies|quits|cuts out|shuts off|stalls", "right|soon|a few seconds", "after", "it starts|starting|i start it|startup|firing up|start up"),
	},
	"power-loss": {
		cross("no|low|losing|loses|lost|low on|down on|short on|lacks|hardly any|has no|got no|not much|no real|feels down on|has lost|really down on", "power|pwr", "|under load|on hills|today|at all|uphill"),
		cross("gutless|weak|sluggish|feels gutless|is weak|feels weak|is sluggish|kinda gutless|runs weak|feels sluggish|bogs down|bogging|bogs|bogged down|boggin down", "|on the hill|under load|going up the ramp|in the tall grass|when i load it"),
		cross("wont|doesnt|didnt|cant|will not", "|even|really", "pull|rev up|pull itself up the hill|pull the load|pull the hill|rev|rev past half|get up to speed"),
		cross("no", "guts|grunt|oomph|go|poke|pull", "|at all|left|under load"),
	},
	"surging": {
		cross("surges|surging|surgin|hunting|hunts|huntin|surged|keeps surging|keeps hunting|idle hunts|engine is hunting|revs hunting|is surging", "|at idle|all the time|under load|bad|real bad"),
		cross("revs|rpm|rpms|idle|engine|engine speed|speed|idles|revving|rev", "|goes|going|keeps going|is|keep going|wandering", "up and down|up n down|up & down"),
		cross("cant hold|wont hold|doesnt hold|wouldnt hold", "a steady|its|steady|an even", "idle|rpm|speed|revs"),
	},
	"stalls": {
		cross("stalls|stalling|stallin|stalled|keeps stalling|keeps dying|keeps quitting|keeps cutting out|cuts out|cut out|died|dies|quits|quit|conks out|conked out|shuts off", "on me|when i give it throttle|under load|soon as u give it throttle|when i put it in gear|at idle|every time i stop|on the hill|out of nowhere|for no reason|when idling|on me twice"),
		cross("stalls|stalling|stalled|stall|stalls out|keeps stalling|keeps on dying|keeps dying on me|kept stalling|stalled out|cutting out"),
	},
	"knock": {
		cross("knocks|knocking|knockin|knocking away|has a knock|got a knock|making a knocking noise|makes a knocking sound|is knocking|loud knock|bad knock|knock|clattering|hammering|engine knocks|engine knock|got a bad knock|started knocking|pinging", "|under load|when cold|at idle|like crazy|real bad|from the engine"),
	},
	"rough-idle": {
		cross("idles|idling|idlin|idle is|idle|idles real|idles very|idles kinda|its idling|idled|idle sounds", "rough|ruff|lumpy|roughly|very roughly|like crap|uneven|choppy|bad|poorly|like a bag of nails"),
		cross("rough|lumpy|bad|choppy|shaky", "idle|idling"),
		cross("runs|running|runnin|shakes|shaking", "rough|real rough|lumpy", "at idle|when idling|idling"),
	},
	"fuel-smell": {
		cross("smells|smelling|stinks|reeks|stinking|smelt|smelled|smells strong|smells strongly|smells real bad|smells a lot|really stinks|smells bad", "of|like", "diesel|fuel|raw fuel|raw diesel"),
		cross("strong|bad||heavy|awful|real strong|a strong", "diesel|fuel", "smell|stink|odor|fumes", "|in the cab|around the tank"),
		cross("strong|bad|a|quite a strong|awful|got a", "smell|stink|whiff|odor", "of", "diesel|fuel", "|in the cab"),
		cross("can|i can|could", "smell", "diesel|fuel|the fuel|the diesel"),
	},
	"hot": {
		cross("runs|running|runnin|ran|getting|gets|got|gettin|going|keeps getting|keeps running|is running|was running", "|real|kinda|pretty|too|so|way too|a bit", "hot"),
		cross("overheats|overheating|overheated|over heating|keeps overheating|boiling over|boils over|boiled over|overheats bad|is overheating"),
		cross("temp|temp gauge|temperature|needle|temp needle|water temp|coolant temp", "|is|was|goes|went|gets|keeps going|climbing|reading|shot|is way|creeping", "high|up|too high|in the red|into the red|up in the red"),
	},
	"smoke": {
		cross("smokes|smoking|smokin|is smoking|smoked|keeps smoking|blowing smoke|puffing smoke|blows smoke|been smoking", "|a lot|bad|like a chimney|under load|like crazy|pretty bad|real bad"),
	},
}

// TestSymptomGrid says each symptom of each machine in each frame.
func TestSymptomGrid(t *testing.T) {
	frames := []string{"rt1 %", "the loader %", "rt1 % again", "rt1 still %"}
	for symptom, grids := range symptomGrid {
		wrong, n := 0, 0
		for _, grid := range grids {
			for i, core := range grid {
				for k, f := range frames {
					if (i+k)%len(frames) != 0 {
						continue // one frame for each
					}
					say := strings.ReplaceAll(f, "%", core)
					tag := "RT1"
					if k == 1 {
						tag = "BL1"
					}
					n++
					if got := short(Read(say, shedNames, base()).Candidates[0].Acts); got != "symptom "+tag+" "+symptom {
						wrong++
						t.Errorf("%s: %q is %s", symptom, say, got)
					}
				}
			}
		}
		t.Logf("%s: %d of %d", symptom, n-wrong, n)
	}
}

// TestNoSymptomGrid: what is denied, gone away, asked of somebody, only thought of
// for later, or said of something else is no trouble of a machine.
func TestNoSymptomGrid(t *testing.T) {
	says := slicesOf(
		// gone away
		cross("rt1|the loader", "no longer|quit|stopped|has stopped|isnt|is not|not", "smoking|knocking|surging|stalling|overheating|smoking black|hunting", "|now|anymore|any more"),
		cross("rt1", "was smoking|was stalling on me|was knocking|was surging|was running hot|wouldnt start", "last week|this morning|yesterday", "but", "its quit doing that now|its fine now|it cleared up|it stopped|its gone now|all good now"),
		cross("rt1", "runs great now|starts right up now|starts fine again|back to normal|power is back|smoke is gone|knock is gone|no more smoke|no more knocking|stopped smoking by itself"),
		// denied
		cross("rt1", "doesnt|didnt|does not|never|isnt", "smoke|knock|stall|surge|overheat|hunt"),
		cross("no smoke|no knock|no knocking|no surging|no white smoke|no black smoke|no fuel smell|no overheating", "from|on|out of", "rt1"),
		// conditions and requests
		cross("if|when|in case|let me know if|call me if|shout if|tell me when", "rt1", "smokes|stalls|overheats|starts smoking|wont start|starts knocking|dies"),
		// other meanings
		cross("going for a smoke|smoke break|joss is out having a smoke|hunting season|gone hunting|knock off at five|knocking off early|running late|its hot out today|hot day|the stove smokes|my truck wont start|my car stalled|stalls at the market|power is out at the house|power went out in the shop|no power in the shed|the coffee maker is hot|lights keep going up and down in the office|meeting starts at eight|can we start at six|start on rt1 after lunch|cant start on rt1 til friday|didnt start the oil change on rt1 yet|havent started draining rt1|wont get to start rt1 today", ""),
	)
	wrong := 0
	for _, say := range says {
		got := short(Read(say, shedNames, base()).Candidates[0].Acts)
		if got != "chat" {
			wrong++
			t.Errorf("%q is %s", say, got)
		}
	}
	t.Logf("%d of %d silent", len(says)-wrong, len(says))
}

func slicesOf(lists ...[]string) []string {
	var out []string
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}
