package read

import "testing"

// What is said of work that nobody has done, or not for the bot.
var unsaid = slots{
	"m":    {"rt1", "the loader"},
	"do":   {"drain", "grease", "bleed"},
	"did":  {"drained", "greased", "bled"},
	"ing":  {"draining", "greasing", "bleeding"},
	"job":  {"oil change", "drain", "separator"},
	"will": {"gonna", "going to", "planning to", "ill", "i'll", "i will", "need to", "gotta", "have to", "i should", "supposed to", "about to", "want to", "wanna", "might", "hoping to", "trying to", "fixing to", "meaning to", "intend to", "off to", "heading out to", "on my way to", "lets", "we should", "we ought to", "id better", "someone should", "somebody needs to", "plan is to", "the plan is to", "we will need to", "were going to", "im gonna", "im going to", "we're gonna", "i was going to", "i was gonna", "i meant to", "i have yet to", "wilm will", "dot is going to", "runa wants to", "you should", "we could", "would like to"},
	"not":  {"havent", "didnt", "i never", "no time to", "couldnt", "cant", "wasnt able to", "forgot to", "wont", "i didn't", "did not", "have not", "nobody", "no one", "still havent", "didn't get around to", "never got to", "didnt get to", "didnt have time to", "didnt manage to"},
	"when": {"", " after lunch", " tomorrow", " friday", " later", " when it dries up", " before the weekend", " if i get time"},
}

// TestUnsaidStaysOut: plans, negations, hearsay, conditions and requests of
// colleagues write nothing and speak to nobody.
func TestUnsaidStaysOut(t *testing.T) {
	tryAll(t, base(), unsaid, []family{
		{"chat", []string{
			// plans
			"{will} {do} {m}{when}", "{m} ill {do} it{when}", "thinking of {ing} {m}", "thinking about {ing} {m}", "plan on {ing} {m}", "next up is {ing} {m}", "looking at {ing} {m} this week", "remember to {do} {m}", "dont forget to {do} {m}", "i'll be {ing} {m}{when}", "how about {ing} {m}",
			"{m} gets {did} tomorrow", "{m} to be {did} tomorrow", "{m} is getting {did} tomorrow", "{m} will be {did}{when}", "{m} is going to be {did}{when}", "{m} has to be {did}{when}", "{m} should be {did}{when}", "{m} should get {did}", "tomorrow i {do} {m}", "starting on {ing} {m}", "about to start {ing} {m}",
			// negations
			"havent {did} {m}", "didnt {do} {m}", "didnt {do} {m} today", "never {did} {m}", "no time to {do} {m}", "couldnt {do} {m}", "wasnt able to {do} {m}", "forgot to {do} {m}", "wont {do} {m}", "{m} not {did} yet", "{m} hasnt been {did}", "{m} hasn't been {did} yet", "nobody {did} {m}", "no one {did} {m}", "still havent {did} {m}", "have not {did} {m} yet",
			"didnt get around to {ing} {m}", "ran out of time to {do} {m}", "skipped {ing} {m}", "{m} still needs {ing}", "{m} needs {ing}", "{m} wants {ing}", "didnt bother {ing} {m}", "{m} wasnt {did}", "{m} was not {did}", "{m} never got {did}", "{m} didnt get {did}", "{m} isnt {did} yet", "i have yet to {do} {m}", "no i did not {do} {m}", "neither {did} nor looked at {m}", "gave up on {ing} {m}", "too wet to {do} {m}", "couldn't get to {ing} {m}", "haven't got round to {ing} {m}",
			// hearsay and doubt
			"i think wilm {did} {m}", "i think somebody {did} {m}", "heard {m} was {did}", "heard that joss {did} {m}", "wilm reckons {m} was {did}", "pretty sure {m} was {did}", "pretty sure someone {did} {m}", "apparently {m} was {did}", "{m} supposedly got {did}", "supposedly {m} got {did}", "somebody said {m} was {did}", "someone told me {m} was {did}", "if i remember right {m} was {did}", "{m} mightve been {did}", "{m} might have been {did}", "maybe someone {did} {m}", "maybe {m} was {did}", "not sure if {m} was {did}", "not sure whether i {did} {m}",
			"i thought {m} was {did}", "i thought wilm {did} {m}", "i guess {m} got {did}", "looks like someone {did} {m}", "looks like {m} was {did}", "{m} was probably {did}", "{m} probably got {did}", "somebody mustve {did} {m}", "{m} must have been {did}", "could be that {m} was {did}", "word is {m} got {did}", "im told {m} was {did}", "cant remember if i {did} {m}", "dont know if {m} was {did}", "no idea if {m} was {did}", "dunno if anyone {did} {m}", "rumour has it {m} was {did}", "i could swear i {did} {m}", "i may have {did} {m}", "who knows if {m} was {did}", "i assume {m} was {did}", "presumably {m} was {did}", "i believe {m} was {did}",
			// conditions
			"if it freezes {do} {m}", "if it rains ill {do} {m}", "once the rain stops ill {do} {m}", "when {m} comes back {do} it", "unless it rains im {ing} {m}", "if somebody {did} {m} say so", "if you {did} {m} let me know", "had i {did} {m} it would run", "wish i had {did} {m}", "if only we had {did} {m}", "shouldve {did} {m} last week", "should have {did} {m}", "couldve {did} {m} by now", "would have {did} {m} but it rained",
			// requests
			"can you {do} {m}", "could someone {do} {m}", "wilm {do} {m} before you go", "please {do} {m}", "pls {do} {m}", "dot can u {do} {m}", "someone {do} {m}", "make sure {m} gets {did}", "make sure to {do} {m}", "would you mind {ing} {m}", "whoever is at {m} please {do} it", "{do} {m} when you get a chance", "hey joss {do} {m} would ya", "dont let {m} leave without {ing} it", "tell wilm to {do} {m}", "ask dot to {do} {m}", "get wilm to {do} {m}", "joss you need to {do} {m}", "anyone free to {do} {m}", "who can {do} {m}", "who wants to {do} {m}", "who is going to {do} {m}", "whos up for {ing} {m}", "wilm can you {do} {m} pls", "could you get {m} {did}", "i want {m} {did} by friday", "need {m} {did} by friday", "need somebody to {do} {m}", "any volunteers to {do} {m}", "joss said to {do} {m}", "runa wants {m} {did}", "joss are you {ing} {m}", "will you {do} {m}{when}",
		}},
	})
}

// TestOtherMeanings: the trade's words and numbers about something else.
func TestOtherMeanings(t *testing.T) {
	tryAll(t, base(), slots{
		"thing":  {"drill", "phone", "truck", "radio", "laptop", "watch", "flashlight", "remote", "car", "smoke alarm"},
		"drink":  {"coffee", "tea"},
		"number": {"4417", "2210.5", "1541", "802.1", "12"},
		"whose":  {"my ", "the ", "somebodys ", "wilms ", ""},
	}, []family{
		{"chat", []string{
			"{whose}{thing} battery is dead", "changed {whose}{thing} battery", "charged {whose}{thing} battery", "need a battery for {whose}{thing}", "new battery in {whose}{thing}",
			"changed the {drink} filter", "{drink} filter needs changing", "out of {drink} filters again", "who drained the {drink} pot", "{drink} pot is empty", "i drained my {drink}",
			"drained the pool", "drained the sink", "the floor drain is plugged", "drain in the wash bay is backed up", "unplugged the floor drain", "drained the pond", "drain the pasta", "feeling drained today", "that meeting drained me", "im drained",
			"bacon grease all over the stove", "got grease on my shirt", "who left grease on the door handle", "elbow grease will do it", "greased the pan", "greased the gate hinges", "oiled the gate hinges", "oiled the door",
			"cooking oil is low", "oil on the floor by the door watch your step", "olive oil is in the kitchen", "oil prices are up again", "changed the oil in my truck", "oil change on my truck at 2", "my truck needs an oil change",
			"water is off til noon", "water bottle rolled under the bench", "watered the seedlings", "water in the basement again", "left water out for the dog", "theres water in my boots", "bit of water on the floor", "need drinking water up top", "fixed the water line to the barn", "water bill came to {number}",
			"fish tank needs cleaning", "cleaned the fish tank", "tank top weather lol", "septic tank got pumped", "propane tank is empty", "swapped the propane tank",
			"lost my belt", "my belt broke pants falling down", "seat belt in the truck is stuck", "conveyor belt is jammed", "belt buckle", "tool belt is in the shop",
			"garden hose is split", "wash hose leaks", "who took the air hose", "hose down the floor pls", "hosed down the yard", "new garden hose", "air compressor hose popped off",
			"soup bowl in the sink is whose", "watching the super bowl sunday", "bowl of chips in the break room", "dog bowl needs water", "bowling tuesday",
			"smoke break", "out for a smoke", "smoke in the valley today", "smoky out there", "smoke alarm keeps chirping", "smoked ribs for lunch", "wilm quit smoking", "black smoke from the neighbours burn pile", "white smoke over the hill, somebody burning brush",
			"knock knock", "knock before you come in", "dont knock it", "knocked my coffee over", "knocked off early", "got knocked down by the wind",
			"season starts monday", "start of the month", "meeting wont start til 8", "dishes got cleaned out", "the truck wont start", "my truck wont start",
			"cleaned out the fridge", "clean up the bench pls", "came back clean", "clean sheet", "the bench is clean",
			"vent in the office is blowing cold", "just venting", "needed to vent", "heater vent is blocked",
			"ice on the road", "ice in the cooler", "ice cream in the freezer", "black ice by the gate", "ice maker broke", "icy out",
			"rust on the gate hinges", "rusty nail in my boot", "im rusty at this", "wax the floor", "ear wax lol", "cloudy today", "cloudy out, no sun", "slime on the pond", "debris all over the road after the wind",
			"cut my hand its bleeding", "bleeding heart", "bleeding cold out", "nose bleed", "bled all over the bench",
			"air in my bike tire is low", "got some fresh air", "air conditioning is out", "on air", "cap on straight", "who has my cap", "baseball cap in the lunch room", "bottle cap",
			"ring me later", "phone rang up front", "ringing in my ears", "lost my ring", "valve on the sprinkler is stuck", "radiator in the office is cold", "power is out", "lost power in the shed", "no power in the break room", "lost power for an hour last night", "power came back on",
			"its hot in here", "running hot today eh", "runs in the family", "stalled at the bank", "stalled in traffic", "truck stalled at the light", "surging crowds lol",
			"invoice {number}", "invoice came to {number}", "cheque for {number} came in", "order number {number}", "po {number}", "call me at 555 {number}", "code is {number}", "the code changed to {number}", "page {number}", "room {number}", "lot {number}", "bin {number} is full", "row {number} is done", "{number} bins", "{number} dollars", "{number} boxes to go", "picked {number} bins today", "ticket {number}", "highway {number} is closed", "truck {number} is here", "weighed in at {number}", "scale says {number}", "load was {number} kg",
			"break at 10", "back at 1", "meeting at 7:30", "be there at 12", "running late be in by 9", "10 4", "10-4", "copy that", "roger", "on it", "will do", "sounds good", "ok", "k", "thx", "lol", "haha", "nice one", "good job", "good work all", "morning all", "night all", "happy friday", "yep", "no worries", "np", "cheers", "no", "yes", "sure", "same", "right", "got it", "wow", "brb", "gtg", "ttyl", "done for the day", "im done", "all done heading home", "done with lunch", "fixed", "sorted",
			"12 below this morning", "minus 14 out there", "21 degrees out", "its 21 out", "21 people coming saturday", "21 days til the fair", "row 21", "lunch for 21", "21 and counting", "granny called", "my granny is visiting", "granny is 90 today", "fan of the leafs", "im a fan", "big fan of pie", "the fan in the office is loud", "desk fan is broken", "turn the fan off in the lunch room", "mower needs parked inside", "mow the lawn", "pump up the tires", "pumped", "pump up the jam", "gas pump is down in town",
			"parts came in for the truck", "truck is due for inspection", "taxes are due friday", "rent is due", "baby is due in march", "her due date is friday", "when is payday", "whats for lunch", "whats on tv tonight", "what time is it", "what time is lunch", "whens lunch", "who is on tonight", "who took my gloves", "who has the truck keys", "wheres runa", "where is everyone", "how was the weekend", "how are you", "hows the weather", "hows your back", "hows it going", "how's everybody doing", "whats the forecast", "is it gonna rain", "anyone going to town", "anybody seen wilm", "did the leafs win", "did anyone order lunch", "did you see the game last night", "what happened to my chair", "whats the wifi password", "who parked by the door", "history channel was good last night", "hours on the timesheet are due", "how many hours did you work", "how many hours did wilm work last week", "my hours are wrong on the timesheet", "next friday is a holiday", "who wants pizza", "who's working saturday", "status of my holiday request",
		}},
	})
}
