package read

import "testing"

// What people ask about, in the words of the yard.
var asked = slots{
	"m":   {"rt1=RT1", "the loader=BL1", "granny=RT1", "ridge fan=WF1", "the trencher=TD1"},
	"did": {"drained=drain", "greased=grease", "bled=bleed"},
	"do":  {"drain=drain", "grease=grease", "bleed=bleed"},
	"ing": {"draining=drain", "greasing=grease"},
	"job": {"drain=drain", "oil change=engineoil", "grease=grease", "separator=separator", "coolant=coolant", "fuel filter=fuelfilter"},
	"part": {"oil filter=oilfilter", "belt=belt", "air filter=aircleaner", "separator=separator", "battery=battery", "oring=oring",
		"hyd filter=hydfilter"},
	"span": {"this week=7", "tomorrow=1", "next week=7", "in the next two weeks=14", "in the next 10 days=10", "over the next week=7"},
	"lead": {"", "hey ", "hey bot, ", "quick q ", "quick question: ", "morning. ", "so ", "ok so ", "um ", "can you tell me ", "could u tell me ",
		"do you know ", "just wondering ", "was wondering ", "i need to know ", "any idea ", "tell me ", "pls tell me "},
	"tail": {"", "?", " ?", " pls", " please", " thx", "? thanks", " cheers", " again", " by any chance", " right now", " do you know", " roughly"},
}

// TestAskSince: how long since, with the machine before or behind, in the
// active and the passive.
func TestAskSince(t *testing.T) {
	tryAll(t, base(), asked, []family{
		{"question {m} since {did}", []string{
			"when was {m} last {did}", "when {m} was last {did}", "wen was {m} last {did}", "when did {m} last get {did}", "when was {m} {did} last", "whens the last time {m} was {did}",
			"when was the last time {m} got {did}", "how long since {m} was {did}", "how long since we {did} {m}", "how long ago was {m} {did}",
			"how long has it been since {m} was {did}", "last time {m} was {did}?", "last time anybody {did} {m}?", "when was the last time anyone {did} {m}",
			"has {m} been {did} lately", "has {m} been {did} yet", "was {m} {did} this week", "did {m} get {did}", "did {m} ever get {did}",
			"how many hours since {m} was {did}", "how many hrs since {m} was last {did}",
		}},
		{"question {m} since {do}", []string{
			"when did we last {do} {m}", "when did we {do} {m} last", "when did anyone last {do} {m}", "when did somebody last {do} {m}",
		}},
		{"question {m} since {job}", []string{
			"last {job} on {m}", "last {job} on {m}?", "{m} last {job}?", "hours since last {job} on {m}", "hrs since the last {job} on {m}", "how long since {m} had a {job}",
			"how long since the last {job} on {m}", "how long ago was the {job} on {m}", "when was the last {job} on {m}", "when was {m}'s last {job}", "when was the {job} on {m} last done",
			"when was the {job} done on {m}", "when did {m} last have a {job}", "date of the last {job} on {m}", "when'd {m} get its last {job}", "whens the last time {m} had a {job}",
			"when was the {job} last done on {m}", "how long since {job} on {m}", "time since last {job} on {m}",
		}},
		{"question {m} since engineoil", []string{"how old is the oil in {m}", "how many hours on the oil in {m}", "how many hrs are on the oil in {m}", "when was the oil in {m} last changed", "when was the oil changed in {m}", "how long has the oil been in {m}", "did the oil in {m} get changed"}},
		{"question RT1 since drain", []string{"{lead}when was rt1 last drained{tail}", "{lead}how long since rt1 was drained{tail}", "{lead}when rt1 was last drained{tail}"}},
	})
}

// TestAskAhead: what is due and what comes next.
func TestAskAhead(t *testing.T) {
	tryAll(t, base(), asked, []family{
		{"question due", []string{"whats due", "what's due?", "what is due", "wats due", "anything due", "anything due?", "whats overdue", "what's late", "anything overdue", "what needs doing", "what needs done", "whats coming up", "what's coming due",
			"whats on the list", "anything need doing", "does anything need doing", "what have we got coming up", "anything coming up", "what machines are due", "which machines are due", "which ones are overdue", "whats due on everything", "is anything due", "what do we have due",
			"{lead}whats due{tail}"}},
		{"question due {span}d", []string{"whats due {span}", "anything due {span}", "whats coming up {span}", "whats coming due {span}", "what needs doing {span}", "what do we have due {span}", "what have we got coming up {span}", "is anything due {span}", "does anything need doing {span}", "whats on {span}", "what comes due {span}", "what will be due {span}"}},
		{"question {m} due", []string{"whats due on {m}", "anything due on {m}", "is {m} due", "is {m} due for anything", "is {m} due anything", "is {m} overdue", "is {m} overdue for anything", "does {m} need anything", "does {m} need anything done", "what does {m} need", "what needs doing on {m}", "what needs done on {m}",
			"whats coming up on {m}", "anything coming up on {m}", "is anything due on {m}", "{m} due?", "whats {m} due for", "what is due for {m}", "is there anything due on {m}", "what do i need to do on {m}", "whats overdue on {m}"}},
		{"question {m} due {job}", []string{"is {m} due for {job}", "is {m} due for a {job}", "is {m} due a {job}", "is the {job} due on {m}", "is the {job} on {m} due", "when is {m} due for {job}", "when is the {job} due on {m}", "when's {m} due for its {job}", "is it time for {job} on {m}", "is it time for the {job} on {m}",
			"does {m} need a {job}", "does {m} need a {job} yet", "does {m} need {job} soon", "is {m} overdue for {job}", "is {m} overdue for its {job}", "how long till {m} is due for {job}", "{job} due on {m}?", "how many hours till {m} is due for a {job}", "how close is {m} to its {job}", "{m} due for {job}?",
			"how many hours left on the {job} on {m}", "how long can {m} go before its {job}"}},
		{"question {m} due {do}", []string{"is it time to {do} {m}", "do i need to {do} {m}", "do we need to {do} {m} yet"}},
		{"question {m} due {ing}", []string{"does {m} need {ing}", "is {m} due for {ing}", "does {m} need {ing} yet"}},
		{"question {m} next", []string{"whats next on {m}", "what's next for {m}", "what is next on {m}", "what comes next on {m}", "whats the next job on {m}", "whats the next thing on {m}", "what do i do next on {m}", "next service on {m}", "next job on {m}?", "{m} next?", "when is the next service on {m}", "when's {m}'s next service", "whats up next for {m}"}},
		{"question {m} next {job}", []string{"when is the next {job} on {m}", "whens the next {job} on {m}", "next {job} on {m}", "next {job} on {m}?", "{m} next {job}?", "when's {m}'s next {job}", "whens the next {job} for {m}", "when will {m} have its next {job}", "when does {m} get its next {job}"}},
		{"question {m} next {do}", []string{"when do we {do} {m} next", "when do i next {do} {m}", "when am i supposed to {do} {m} next"}},
	})
}

// TestAskNow: what the meter shows, what was done, how it stands.
func TestAskNow(t *testing.T) {
	tryAll(t, base(), asked, []family{
		{"question {m} hours", []string{"how many hours on {m}", "how many hrs on {m}", "how many hrs has {m} got", "how many hours has {m} got on it", "how many hours does {m} have", "how many hours does {m} have on it", "hours on {m}", "hours on {m}?", "hrs on {m}", "{m} hours?", "{m} hrs?", "whats {m} at", "whats {m} up to", "what is {m} at",
			"where is {m} at on hours", "whats the meter on {m} say", "what does the meter on {m} say", "what does {m}'s meter read", "whats the reading on {m}", "last reading on {m}", "last reading on {m}?", "what was the last reading on {m}", "whats the last reading for {m}", "current hours on {m}", "whats the hour meter at on {m}",
			"what's {m} sitting at", "whats {m} showing", "whats the hours on {m}", "what are the hours on {m}", "how many hours are on {m}", "how many hours is {m} at", "what was {m} at last", "whats {m} reading", "what hours is {m} on", "meter on {m}?", "last hours on {m}", "how much time is on {m}"}},
		{"question {m} history", []string{"history on {m}", "history of {m}", "history for {m} pls", "{m} history", "show me the history on {m}", "whats been done on {m}", "what's been done to {m}", "what has been done on {m}", "what did we do to {m} last month", "what did we do on {m}", "what have we done to {m}", "what was done on {m}", "what got done on {m} last week",
			"log for {m}", "service log for {m}", "show me the log for {m}", "{m} service record", "service history on {m}", "what work has been done on {m}", "what work was done on {m}", "list everything done on {m}", "what all has been done on {m}", "what all have we done to {m}", "maintenance history for {m}", "records for {m}", "pull up the records on {m}", "last few jobs on {m}", "past work on {m}"}},
		{"question {m} status", []string{"hows {m}", "how is {m} doing", "how's {m} doing", "hows {m} looking", "how is {m} looking", "how is {m}", "status of {m}", "status on {m}", "{m} status", "status {m}", "whats the status of {m}", "whats the status on {m}", "rundown on {m}", "give me the rundown on {m}", "quick rundown on {m}", "whats the story with {m}", "whats the story on {m}", "whats the latest on {m}",
			"tell me about {m}", "tell me everything about {m}", "where are we at with {m}", "how's {m} holding up", "what shape is {m} in", "overview of {m}", "summary for {m}", "summary of {m}", "fill me in on {m}", "give me everything on {m}", "what have you got on {m}", "what do you have on {m}", "what do we know about {m}", "update on {m}?", "hows {m} getting on"}},
		{"question RT1 hours", []string{"{lead}how many hours on rt1{tail}", "{lead}what rt1 is at{tail}"}},
		{"question RT1 status", []string{"{lead}hows rt1 doing{tail}"}},
		{"question RT1 history", []string{"{lead}whats been done on rt1{tail}"}},
	})
}

// TestAskThings: parts, fuel, water, people and storage.
func TestAskThings(t *testing.T) {
	tryAll(t, base(), asked, []family{
		{"question {m} parts {part}", []string{"what {part} does {m} take", "which {part} does {m} take", "what {part} fits {m}", "which {part} fits {m}", "what {part} goes on {m}", "what {part} goes in {m}", "part number for the {part} on {m}", "part number for {m} {part}", "part no for {m} {part}", "part # for the {m} {part}", "pn for {m} {part}", "part num for the {part} on {m}",
			"whats the part number for the {part} on {m}", "what {part} do i need for {m}", "what {part} do we use on {m}", "what {part} does {m} use", "what {part} does {m} need", "what size {part} does {m} take", "what kind of {part} does {m} take", "what kind of {part} is on {m}", "which {part} is it for {m}", "number for the {part} on {m}", "whats the {part} number for {m}", "{m} {part} part number", "{m} {part} part number?", "what is the part number of the {part} for {m}", "what number is the {part} on {m}", "what's the right {part} for {m}"}},
		{"question {m} parts engineoil", []string{"what oil does {m} take", "what kind of oil goes in {m}", "what oil goes in {m}", "how much oil does {m} take", "how much oil does {m} hold", "what weight oil does {m} take", "which oil does {m} use", "what grade of oil for {m}", "how many litres of oil does {m} take"}},
		{"question {m} fuel", []string{"how much fuel went in {m}", "how much fuel did {m} take", "how much fuel did {m} use this month", "how much fuel has {m} used", "how much diesel did {m} burn", "how much diesel did we put in {m}", "how much fuel have we put in {m}", "how many litres went in {m}", "how many litres has {m} had this month", "fuel used by {m}", "fuel used on {m} this year", "is {m} on winter fuel", "is {m} on winter diesel yet", "has {m} got winter fuel in it", "did {m} get winter fuel", "what fuel is in {m}", "what fuel has {m} got in it", "last fill on {m}", "when was {m} last fuelled", "when was {m} last filled up", "does {m} have winter fuel", "does {m} have summer fuel in it", "which fuel is in {m}", "is there winter diesel in {m}", "how much has {m} burned this month"}},
		{"question fuel", []string{"which machines still have summer fuel", "how much fuel did we use this month", "how much diesel did we go through this month", "which ones are on winter fuel", "total fuel this month", "fuel used this month"}},
		{"question {m} water", []string{"any water in {m}", "any water in {m} lately", "any water out of {m}", "any water from {m} lately", "did {m} have water", "did {m} have any water in it", "has {m} had water", "has {m} had any water lately", "how much water came out of {m}", "how much water did we get out of {m}", "how much water was in {m}", "is {m} making water", "is {m} still making water", "is {m} getting water", "is there water in {m}", "was there any water in {m}", "was there water in {m} last time", "when did {m} last have water", "has {m} been making water", "how many times has {m} had water", "has there been water in {m}"}},
		{"question water", []string{"which machines had water this fall", "which machines have had water", "which ones are making water", "any machines making water", "any water anywhere lately", "what machines had water"}},
		{"question {m} who {did}", []string{"who {did} {m}", "who {did} {m} last", "who last {did} {m}", "who was it that {did} {m}", "who was the last one that {did} {m}", "{m} who {did} it last", "who's {did} {m} lately", "who has {did} {m}"}},
		{"question {m} who {do}", []string{"whos the last one to {do} {m}", "who was the last to {do} {m}"}},
		{"question {m} who {job}", []string{"who did the {job} on {m}", "who did the last {job} on {m}", "who did {m} {job} last", "who last did the {job} on {m}", "who did the {job} on {m} last", "whos done the {job} on {m}"}},
		{"question {m} who", []string{"who worked on {m} last", "who serviced {m} last", "who last worked on {m}", "who was last on {m}"}},
		{"question {m} storage", []string{"how do i put {m} away for winter", "how do i put {m} away", "how do i store {m}", "how do i winterize {m}", "how do u winterise {m}", "how should i store {m} for the winter", "how do we lay up {m}", "how do i lay {m} up", "steps for laying up {m}", "steps for storing {m}", "what do i do to put {m} away for winter", "what do i need to do to store {m}", "whats needed to put {m} to bed", "how do i wake {m} up", "how do i wake up {m}", "how do i bring {m} out of storage", "how do i get {m} going after the winter", "storage steps for {m}", "winter storage for {m}?", "storage checklist for {m}", "layup steps for {m}", "what do i do to {m} for storage", "how do i get {m} ready for winter", "how do i get {m} ready for storage", "how do i get {m} ready for spring"}},
	})
}

// TestAskHelp: how the bot is used; a hand that is wanted is not its help.
func TestAskHelp(t *testing.T) {
	tryAll(t, base(), asked, []family{
		{"help", []string{"help", "help!", "help pls", "help please", "help me out here bot", "how does this work", "how does this thing work", "how do i use this", "how do you use this", "how do i use this bot", "what can you do", "what can u do", "what can i say", "what can i ask", "what can i ask you", "how do i log something", "how do i log hours", "how do i enter hours", "how do i record a drain", "what do i type", "what do i type to log a drain", "instructions", "instructions pls", "how do you work", "im new how does this work", "what are you for", "what does this bot do", "what do you do", "how do i talk to you", "show me how to use you", "show me how this works", "explain how this works", "can you help me use this", "need help with this bot", "how do i put in a reading", "how do i correct something", "how do i undo something", "how do i change something i typed"}},
		{"chat", []string{"help me move the bins", "can someone help me with the gate", "need help lifting the head off", "i need a hand with the loader", "could use some help in row 4", "wilm help dot with the tarp", "thanks for the help", "helped dot with the tarp", "can you help me lift this"}},
	})
}
