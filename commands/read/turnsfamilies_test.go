package read

import (
	"testing"

	"woodruff/engine"
)

// TestTakeBack: the last line goes, in many words.
func TestTakeBack(t *testing.T) {
	tryAll(t, base(), slots{
		"verb": {"undo", "scratch", "delete", "remove", "erase", "cancel", "strike", "ignore", "disregard", "forget", "drop", "void", "reverse", "nix", "wipe"},
		"what": {"that", "that last one", "the last one", "my last one", "that last entry", "my last entry", "that one", "last entry", "my last message", "the last thing i said", "that last bit", "my last post"},
		"lead": {"", "oops ", "sorry, ", "pls ", "please ", "can you ", "whoops ", "bot, ", "crap, ", "wait "},
		"end":  {"", " pls", " please", " sorry", " wrong chat", " my mistake", " thx", " it was a mistake"},
	}, []family{{"undo", []string{"{lead}{verb} {what}", "{verb} that{end}", "{verb} that last one{end}", "take that back", "take that last one back", "take back that last one", "take it back", "take that off", "take that out", "take that out of the book", "take that one out", "i take that back", "undo", "undo!", "undo it", "undo last", "undo pls", "oops undo", "undo please", "get rid of that", "get rid of that last one", "that last one was a mistake", "that was a mistake take it off", "didnt mean to send that", "didnt mean to log that", "i didnt mean to put that in", "back that out", "nvm that last one", "never mind that last one", "pull that last one", "please remove what i just put in", "that last one never happened", "didnt happen, delete it", "wrong chat, ignore that", "dont count that last one", "dont write that down", "dont log that", "that shouldnt be in there", "that last one shouldnt be there", "throw that last one out", "can that last one be removed", "can you take that last one out"}}})
	// a verb alone, or with another thing, takes nothing back
	tryAll(t, base(), slots{}, []family{{"chat", []string{"delete your browser history", "forget it", "ignore him", "cancel my lunch order", "cancel the meeting", "remove your boots at the door", "scratch on the truck door", "drop the bins at the gate", "disregard the sign", "forget the rain", "wipe your feet", "strike three", "reverse into the shed", "i forget", "void cheque is on the desk", "take it easy", "take that road"}}})
}

// TestPutOffFrames: not now, with a day, around the job and the machine in any
// order.
func TestPutOffFrames(t *testing.T) {
	words := slots{
		"m":   {"rt1=RT1", "the loader=BL1"},
		"j":   {"drain=drain", "oil change=engineoil+oilfilter", "grease=grease", "separator=separator"},
		"do":  {"drain=drain", "grease=grease"},
		"ing": {"draining=drain", "greasing=grease"},
		"d":   {"thurs=2026-11-26", "thursday=2026-11-26", "friday=2026-11-27", "dec 3=2026-12-03", "tomorrow=2026-11-25", "next monday=2026-11-30"},
		"to":  {"til", "till", "until", "'til", "untill"},
	}
	tryAll(t, base(), words, []family{
		{"putoff {m} {j} until {d}", []string{"{m} {j} can wait {to} {d}", "{j} on {m} can wait {to} {d}", "the {j} on {m} can wait {to} {d}", "{m}'s {j} can wait {to} {d}", "{m} {j} will have to wait {to} {d}", "{m} {j} has to wait {to} {d}", "{m} {j} is gonna have to wait {to} {d}", "{m} {j} can hold {to} {d}", "hold off on the {m} {j} {to} {d}", "hold the {m} {j} {to} {d}", "leave the {j} on {m} {to} {d}", "push the {j} on {m} to {d}", "push {m} {j} back to {d}", "push {m} {j} {to} {d}", "put off the {j} on {m} {to} {d}", "put the {m} {j} off {to} {d}", "move the {m} {j} to {d}", "postpone the {m} {j} {to} {d}", "postpone {m} {j} to {d}", "delay the {j} on {m} {to} {d}", "snooze {m} {j} {to} {d}", "bump the {m} {j} to {d}", "kick {m} {j} to {d}", "reschedule {m} {j} for {d}", "remind me about the {j} on {m} {d}", "remind me about {m} {j} {d}", "remind me {d} about the {j} on {m}", "remind me on {d} about {m} {j}", "remind me of the {m} {j} {d}", "nag me about {m} {j} {d}", "ping me about the {m} {j} {d}", "poke me about the {m} {j} on {d}", "ask me about the {m} {j} again {d}", "{m} {j} not {to} {d}", "not doing the {m} {j} {to} {d}", "wont get to the {m} {j} {to} {d}", "cant get to {m} {j} {to} {d}", "wont have time for the {m} {j} {to} {d}", "{m} {j} isnt happening {to} {d}", "let the {m} {j} wait {to} {d}", "{m} {j} is on hold {to} {d}", "{m} {j} pushed to {d}", "{m} {j} put off {to} {d}", "save the {m} {j} for {d}", "no {j} on {m} {to} {d}"}},
		{"putoff {m} {do} until {d}", []string{"remind me to {do} {m} {d}", "remind me {d} to {do} {m}", "remind me to {do} {m} on {d}", "dont {do} {m} {to} {d}", "cant {do} {m} {to} {d}", "wont be able to {do} {m} {to} {d}", "not gonna {do} {m} {to} {d}", "no need to {do} {m} {to} {d}"}},
		{"putoff {m} {ing} until {d}", []string{"{ing} {m} can wait {to} {d}", "put off {ing} {m} {to} {d}", "hold off {ing} {m} {to} {d}", "hold off on {ing} {m} {to} {d}", "wont get to {ing} {m} {to} {d}", "remind me about {ing} {m} {d}", "not {ing} {m} {to} {d}"}},
		// only what is put off beside what was done
		{"service {m} grease; putoff {m} drain until {d}", []string{"{m} greased. drain can wait {to} {d}", "{m} greased, drain can wait {to} {d}", "greased {m}, the drain can wait {to} {d}", "greased {m} but the drain can wait {to} {d}", "greased {m}, hold off on the drain {to} {d}", "{m} greased, draining it can wait {to} {d}", "greased {m}. remind me about the drain {d}", "greased {m}, push the drain to {d}", "{m} greased. snooze the drain {to} {d}", "{m} greased, wont get to the drain {to} {d}"}},
	})
	reply := base()
	reply.Reply = &Reply{Machine: 1, Jobs: []engine.Job{engine.Drain, engine.Grease}}
	tryAll(t, reply, words, []family{
		{"putoff RT1 drain+grease until {d}", []string{"{d}", "{d} pls", "not {to} {d}", "{to} {d}", "will do {d}", "will do it {d}", "ill do it {d}", "i'll get to it {d}", "gonna do that {d}", "cant {to} {d}", "can it wait {to} {d}", "that can wait {to} {d}", "it can wait {to} {d}", "push it to {d}", "push to {d}", "snooze {to} {d}", "remind me {d}", "remind me again {d}", "ask me {d}", "ask again {d}", "ask me again {d}", "try me {d}", "no time, {d}", "too busy, {d}", "maybe not today, {d}", "wait {to} {d}", "hold off {to} {d}", "hold it {to} {d}", "ok {d}", "lets do {d}", "not today {d}", "not now, {d}", "not this week, {d}", "will get it done {d}", "will get to it {d}", "getting to it {d}", "doing it {d}", "planning on {d}", "better {d}", "{d} works", "{d} is fine", "how about {d}", "say {d}", "wont be {to} {d}", "put it off {to} {d}", "postpone {to} {d}", "delay it {to} {d}", "bump it to {d}", "it'll have to be {d}", "gotta be {d}", "leave it {to} {d}"}},
		{"service RT1 grease; putoff RT1 drain until {d}", []string{"greased. drain can wait {to} {d}", "greased, drain {d}", "greased it, drain {d}", "greased it, will drain {d}", "grease done, drain {d}", "greased. will do the drain {d}", "did the grease, drain can wait {to} {d}", "grease done, drain not {to} {d}", "greased it but wont get to the drain {to} {d}", "grease is done. hold the drain {to} {d}", "greased, ill drain it {d}", "greased it. ill get the drain {d}", "did the greasing, the drain will be {d}", "greased, draining it {d}"}},
		{"putoff RT1 drain until {d}", []string{"drain {d}", "will drain it {d}", "ill drain it {d}", "the drain can wait {to} {d}", "hold off on the drain {to} {d}", "gonna drain it {d}", "draining it {d}"}},
		{"unclear day", []string{"later", "not now", "not today", "cant today", "too busy", "too busy today", "no time", "no time today", "will do it later", "maybe later", "later on", "not right now", "next time", "when i get a chance", "when its dry", "soon", "in a bit", "sometime next week", "some other day", "another day", "will do it when i get time", "after the rain", "cant do it now", "busy", "swamped", "remind me later", "ask me later", "snooze", "snooze it", "hold off", "it can wait", "put it off", "not yet", "one of these days"}},
		{"chat", []string{"ok", "thanks", "thx", "k", "cool", "good to know", "got it", "roger", "ta", "cheers bot", "noted", "lol", "nice"}},
	})
}

// TestMeterFrames: a new hour meter, with what the old one showed or without.
func TestMeterFrames(t *testing.T) {
	words := slots{
		"m": {"the loader=BL1", "bl1=BL1"},
		"k": {"hour meter", "hr meter", "meter", "hourmeter", "hours meter"},
		"z": {"0", "0.0", "zero"},
	}
	tryAll(t, base(), words, []family{
		{"meter {m} old 3361.3 0.0", []string{"new {k} on {m}, old one quit at 3361.3 new one starts at {z}", "new {k} in {m} old one died at 3361.3 new one starts at {z}", "replaced the {k} on {m}, old 3361.3 new {z}", "replaced the {k} on {m} old one was at 3361.3 new one at {z}", "swapped the {k} on {m} old was 3361.3 new is {z}", "put a new {k} on {m}. old one read 3361.3, new one reads {z}", "changed out the {k} on {m} old one stopped at 3361.3 new reads {z}", "{m} got a new {k}, old said 3361.3, new says {z}", "{m} has a new {k}, old one showed 3361.3 new one shows {z}", "{k} on {m} died at 3361.3, put a new one in reading {z}", "{k} on {m} quit at 3361.3, new one starts at {z}", "{k} replaced on {m}. it was at 3361.3, new one starts from {z}", "{k} swapped on {m} 3361.3 to {z}", "{m} {k} replaced at 3361.3 new one {z}"}},
		{"meter {m} 0.2", []string{"{k} replaced on {m} new one reads 0.2", "new {k} on {m}, reads 0.2", "new {k} on {m} at 0.2", "put a new {k} on {m}, it reads 0.2", "swapped {k} on {m}, new one says 0.2", "{m} new {k}, starts at 0.2", "changed the {k} on {m} new one shows 0.2", "installed a new {k} on {m}, showing 0.2", "{m} got a new {k} today reads 0.2"}},
		{"chat", []string{"need a new {k} for {m}", "gonna put a new {k} on {m}", "ordered a {k} for {m}", "who sells a {k} for {m}", "waiting on a new {k} for {m}", "new {k} for {m} is in the mail"}},
	})
}

// TestHeldFrames: answers to what the bot holds back.
func TestHeldFrames(t *testing.T) {
	held := func(s Slot, likely bool, acts ...Act) Context {
		ctx := base()
		for i := range acts {
			acts[i].Wants = []Slot{s}
		}
		ctx.Asked = &Asked{Ask: s, Held: acts}
		if likely {
			ctx.Asked.Likely = engine.Known(engine.Tenths(15412))
		}
		return ctx
	}
	words := slots{
		"m": {"rt2=RT2", "the loader=BL1", "low row tractor=RT2", "bl1=BL1"},
		"n": {"1542.1", "1542.1 hrs", "1542.1h"},
		"x": {"friday=2026-11-20", "yesterday=2026-11-23", "nov 20=2026-11-20", "sat=2026-11-21", "last friday=2026-11-20", "3 days ago=2026-11-21", "the day before yesterday=2026-11-22"},
	}
	tryAll(t, held(AskMachine, false, Act{Kind: Service, Jobs: []engine.Job{engine.Drain}}, Act{Kind: Finding, Finding: engine.Clean}), words, []family{
		{"service {m} drain; finding {m} clean", []string{"{m}", "{m}.", "on {m}", "{m} mate", "{m} sorry", "sorry {m}", "oh {m}", "oh sorry, {m}", "that was {m}", "it was {m}", "i meant {m}", "meant {m}", "{m} of course", "its {m}", "thats {m}", "i mean {m}", "was {m}", "should be {m}", "for {m}", "talking about {m}", "the one i did was {m}", "i did {m}", "{m} pls", "yes {m}", "{m} lol", "my bad {m}", "oops, {m}", "{m}, forgot to say", "forgot to say {m}", "shouldve said {m}", "{m} is the one", "that one was {m}", "{m} i mean"}},
	})
	tryAll(t, held(AskHours, true, Act{Kind: Reading, Machine: 1}, Act{Kind: Service, Machine: 1, Jobs: []engine.Job{engine.Drain}}), words, []family{
		{"reading RT1 1541.2; service RT1 1541.2 drain", []string{"yes", "yep", "yeah", "ya", "y", "yup", "yes please", "yes thats right", "yeah thats right", "thats right", "thats it", "thats the one", "correct", "right", "sure is", "exactly", "you got it", "affirmative", "that's correct", "yep thats it", "yes it is", "yes sorry", "yup missed the dot", "yes i missed the decimal", "yea forgot the point", "sounds right", "yes 1541.2", "yeah 1541.2", "uh huh", "si", "bingo", "aye", "yessir"}},
		{"reading RT1 1542.1; service RT1 1542.1 drain", []string{"{n}", "no {n}", "nope its {n}", "its {n}", "sorry {n}", "should be {n}", "i meant {n}", "nah {n}", "no, {n}", "no it says {n}", "it reads {n}", "no its {n}", "nope, {n}", "meter says {n}", "meant {n}", "went back and looked its {n}", "checked again, {n}", "just looked, {n}", "oops {n}", "actually {n}", "{n} sorry", "{n} it says", "{n} on the meter", "that should read {n}", "make that {n}"}},
		{"chat", []string{"no", "nope", "hang on", "one sec", "let me check", "ill go look", "give me a min", "brb", "not sure", "dunno", "checking", "will check"}},
	})
	tryAll(t, held(AskJobs, false, Act{Kind: Service, Machine: 4}), words, []family{
		{"service BL1 engineoil+oilfilter", []string{"oil and filter", "oil n filter", "oil & filter", "the oil and filter", "just oil and filter", "oil and the filter", "an oil change", "oil change", "did the oil and filter", "i did oil and filter", "it was the oil and filter", "oil + filter", "changed the oil and filter", "oil and filter only", "just the oil and filter"}},
		{"service BL1 fuelfilter", []string{"fuel filter", "the fuel filter", "the final filter", "final one", "the final one", "it was the fuel filter", "final fuel filter", "sorry the fuel filter", "fuel one"}},
		{"service BL1 separator+fuelfilter", []string{"both filters", "both fuel filters", "the fuel filters", "separator and final"}},
		{"service BL1 separator", []string{"the separator", "separator", "separator one", "the separator one", "the seperator filter", "sep", "separator cartridge", "primary", "the primary", "primary filter"}},
	})
	tryAll(t, held(AskDay, false, Act{Kind: Service, Machine: 1, Jobs: []engine.Job{engine.Drain}}), words, []family{
		{"service RT1 drain on {x}", []string{"{x}", "it was {x}", "{x} sorry", "that was {x}", "sorry, {x}", "oh {x}", "{x} morning", "did it {x}", "i did it {x}"}},
		{"service RT1 drain", []string{"today", "this morning", "just now", "it was today", "today sorry"}},
		{"chat", []string{"dont remember", "no idea", "cant remember", "dunno"}},
	})
	tryAll(t, held(AskDay, false, Act{Kind: PutOff, Machine: 1, Jobs: []engine.Job{engine.Drain}}), slots{"d": {"friday=2026-11-27", "tomorrow=2026-11-25", "dec 3=2026-12-03", "monday=2026-11-30"}}, []family{
		{"putoff RT1 drain until {d}", []string{"{d}", "til {d}", "until {d}", "{d} then", "say {d}", "lets say {d}", "{d} pls", "{d} works", "{d} is good", "ok {d}", "ask me {d}", "how about {d}", "remind me {d}", "on {d}", "hmm {d}", "by {d}"}},
	})
}
