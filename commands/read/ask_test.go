package read

import (
	"testing"

	"woodruff/engine"
)

func TestQuestions(t *testing.T) {
	check(t, base(), []say{
		{"when was rt1 last drained", "question RT1 since drain"},
		{"hours since last drain on bl1 and pg1", "question BL1 since drain; question PG1 since drain"},
		{"has rt1 been drained this week", "question RT1 since drain"},
		{"whats due this week", "question due 7d"},
		{"anything due tomorrow", "question due 1d"},
		{"whats due on rt1 and rt2 next week", "question RT1 due 7d; question RT2 due 7d"},
		{"when is rt1 due for oil", "question RT1 due engineoil"},
		{"when is the next oil change on rt1", "question RT1 next engineoil"},
		{"can rt1 go another 20 hours before its oil change", "question RT1 due engineoil"},
		{"how many hours on rt1 and rt2", "question RT1 hours; question RT2 hours"},
		{"whats the trencher at", "question TD1 hours"},
		{"history on the loader pls", "question BL1 history"},
		{"what was done on om1 last month", "question OM1 history"},
		{"part numbers for the loader oil filter and the rt2 separator", "question BL1 parts oilfilter; question RT2 parts separator"},
		{"which belt fits wf1", "question WF1 parts belt"},
		{"whats next on om1 and hows the genny doing", "question OM1 next; question PG1 status"},
		{"how much fuel went in rt1 and 21 this month", "question RT1 fuel; question 21 fuel"},
		{"which machines had water this fall", "question water"},
		{"who drained wf2 and wf3 last", "question WF2 who drain; question WF3 who drain"},
		{"how do i put the pump and the wide mower away for winter", "question DP1 storage; question OM2 storage"},
		{"rt1 1541.2 is it due for anything", "reading RT1 1541.2; question RT1 due"},
		{"which machines are in the book", "question machines"},
		{"what didnt you write", "question unwritten"},
		{"when was the fan last drained", "unclear machine"},
		{"how do i use this thing", "help"},
	})
	check(t, Context{Day: today, Thread: 5, Mention: true}, []say{{"status", "question WF1 status"}})
}

func TestPutOffs(t *testing.T) {
	check(t, base(), []say{
		{"remind me about greasing om1 on monday", "putoff OM1 grease until 2026-11-30"},
		{"bl1 oil change can wait til dec 3", "putoff BL1 engineoil+oilfilter until 2026-12-03"},
		{"push the trencher service back to thursday", "putoff TD1 until 2026-11-26"},
		{"snooze rt1 drain for 3 days", "putoff RT1 drain until 2026-11-27"},
		{"rt1 drain can wait", "unclear day"},
		{"bl1 oil waiting on parts", "putoff BL1 engineoil reason(waiting on parts)"},
	})
	ctx := base()
	ctx.Reply = &Reply{Machine: 1, Jobs: []engine.Job{engine.Drain, engine.Grease}}
	check(t, ctx, []say{
		{"tomorrow", "putoff RT1 drain+grease until 2026-11-25"},
		{"cant today will do it friday", "putoff RT1 drain+grease until 2026-11-27"},
		{"later", "unclear day"},
		{"not today", "unclear day"},
		{"done", "service RT1 drain+grease"},
		{"did it yesterday", "service RT1 drain+grease on 2026-11-23"},
		{"drained clean, grease tomorrow", "service RT1 drain; finding RT1 clean; putoff RT1 grease until 2026-11-25"},
		{"thanks", "chat"},
		{"hows rt2", "question RT2 status"},
	})
}

func TestCorrections(t *testing.T) {
	check(t, base(), []say{
		{"that was rt2 not rt1", "correct machine to RT2 target RT1  "},
		{"oops wrong machine that should be the wide mower", "correct machine to OM2"},
		{"sorry meant 1541.2 not 1514.2", "correct hours to 1541.2 target -  "},
		{"i meant fuel filter not separator", "correct jobs to fuelfilter target - separator "},
		{"that last one should say oil and filter not just oil", "correct jobs to engineoil+oilfilter target - engineoil "},
		{"wrong day, i did it saturday", "correct day to 2026-11-21"},
		{"no it was slime not debris", "correct finding to slime"},
		{"no i said NO water", "correct finding to clean"},
		{"rt1 should be 1541.2 not 1514.2", "correct hours to 1541.2 target RT1  "},
		{"the drain on RT1 monday was wilm not me", "correct by to Wilm Aske target RT1 drain 2026-11-23"},
		{"RT1 oil was topped up not changed", "correct how to topped-up target RT1 engineoil "},
		{"scratch that", "undo"},
		{"undo that pls", "undo"},
		{"scratch that, it was rt2", "correct machine to RT2"},
		{"scratch the grease on 21 from saturday", "undo target 21 grease 2026-11-21"},
		{"it was clean", "chat"},
		{"that was fun", "chat"},
	})
}

func TestCheckAnswers(t *testing.T) {
	ask := func(c engine.Check) Context {
		ctx := base()
		ctx.Asked = &Asked{Machine: 4, Check: c}
		return ctx
	}
	check(t, ask(engine.CheckRing), []say{
		{"yep", "check BL1 ring yes"},
		{"nope its sitting on the bottom", "check BL1 ring no"},
		{"ring down, bowl clean", "check BL1 ring no; check BL1 bowl clean"},
		{"yes its up. rt1 is at 1541.2", "check BL1 ring yes; reading RT1 1541.2"},
		{"yes. drained it, half a cup of water", "check BL1 ring yes; service BL1 drain; finding BL1 water 120ml"},
		{"brb phone", "chat"},
		{"cant tell", "chat"},
	})
	check(t, ask(engine.CheckBubbles), []say{{"no bubbles and the ring is down", "check BL1 bubbles no; check BL1 ring no"}, {"none", "check BL1 bubbles no"}})
	check(t, ask(engine.CheckCap), []say{{"loosened the cap way better now", "check BL1 cap yes"}, {"no difference", "check BL1 cap no"}})
	check(t, ask(engine.CheckBowl), []say{{"just water no rust", "check BL1 bowl water"}, {"nothing in it, clean", "check BL1 bowl clean"}})
	check(t, ask(engine.CheckVacuum), []say{{"7 inhg", "check BL1 vacuum 7 inHg"}, {"gauge says 18.5 kpa", "check BL1 vacuum 18.5 kPa"}, {"7", "unclear meaning"}})
	check(t, ask(engine.CheckFlow), []say{{"nope just dribbles, bubbles in the clear line too", "check BL1 flow no; check BL1 bubbles yes"}})
	check(t, ask(engine.CheckWet), []say{{"yeah wet at the filter head", "check BL1 wet yes"}, {"all dry", "check BL1 wet no"}})
	check(t, ask(engine.CheckShutoff), []say{{"only after it sits overnight", "check BL1 shutoff yes"}, {"no does it all day long", "check BL1 shutoff no"}})
	check(t, ask(engine.CheckAirFilter), []say{{"filthy", "check BL1 air-filter no"}, {"looks clean to me", "check BL1 air-filter yes"}})
}

func TestSlotAnswers(t *testing.T) {
	held := func(s Slot, acts ...Act) Context {
		ctx := base()
		for i := range acts {
			acts[i].Wants = []Slot{s}
		}
		ctx.Asked = &Asked{Ask: s, Held: acts, Likely: engine.Known(engine.Tenths(15412))}
		return ctx
	}
	check(t, held(AskMachine, Act{Kind: Service, Jobs: []engine.Job{engine.Drain}}, Act{Kind: Finding, Finding: engine.Clean}), []say{
		{"low row tractor", "service RT2 drain; finding RT2 clean"},
		{"21", "service 21 drain; finding 21 clean"},
		{"the ridge one", "service WF1 drain; finding WF1 clean"},
		{"row tractor", "unclear machine"},
		{"rt1 1541.2", "reading RT1 1541.2"}, // another act is read as itself
		{"coffee first", "chat"},
	})
	check(t, held(AskHours, Act{Kind: Reading, Machine: 1}, Act{Kind: Service, Machine: 1, Jobs: []engine.Job{engine.Drain}}), []say{
		{"yes", "reading RT1 1541.2; service RT1 1541.2 drain"},
		{"no 1542.1", "reading RT1 1542.1; service RT1 1542.1 drain"},
		{"no", "chat"},
	})
	check(t, held(AskJobs, Act{Kind: Service, Machine: 4}), []say{{"oil and filter", "service BL1 engineoil+oilfilter"}})
	check(t, held(AskDay, Act{Kind: PutOff, Machine: 1, Jobs: []engine.Job{engine.Drain}}), []say{{"friday", "putoff RT1 drain until 2026-11-27"}})
	check(t, held(AskDay, Act{Kind: Service, Machine: 1, Jobs: []engine.Job{engine.Drain}}), []say{{"friday", "service RT1 drain on 2026-11-20"}})
	res := Read("yes", shedNames, held(AskHours, Act{Kind: Reading, Machine: 1}))
	if !res.Candidates[0].Answers {
		t.Error("an answer is not marked as one")
	}
}

func TestOwnActs(t *testing.T) {
	check(t, base(), []say{
		{"new hour meter on the loader, old one quit at 3361.3 new one starts at 0", "meter BL1 old 3361.3 0.0"},
		{"new machine wood chipper 61 hrs belongs to quill", "add 61.0 name(wood chipper) owner(quill)"},
		// what is said of it besides is no part of its name
		{"new machine RT3, row tractor 3, tenths, bowl 120", "add tag(RT3) name(row tractor 3) meter-reads(tenths) bowl-ml(120)"},
		{"new machine wood chipper, 61 hrs, whole hours, 60 ml bowl, mechanical injection", "add 61.0 name(wood chipper) meter-reads(whole) bowl-ml(60) injection(mechanical)"},
		{"new machine DP2, dam pump 2, the bowl holds 90 ml, glow plugs", "add tag(DP2) name(dam pump 2) bowl-ml(90) cold-aid(glow-plugs)"},
		{"new machine whole tree chipper 40.5 hrs", "add 40.5 name(whole tree chipper)"},
		{"call BL1 the beast", "nickname BL1 name(beast)"},
		{"rename WS1 WS5", "rename WS1 tag(WS5)"},
		{"retired OM2", "gone OM2 retired"},
		{"TD1 was sold yesterday", "gone TD1 sold on 2026-11-23"},
		{"RT1 separator every 400 h or 12 months", "plan RT1 separator every 400.0/12m off=false"},
		{"coolant every 2 years", "plan coolant every 0.0/24m off=false"},
		{"no valve job on the splitter", "plan WS1 valves every 0.0/0m off=true"},
		{"WF2 out of use till the hose is in", "out WF2 reason(till the hose is in)"},
		{"RT1 back in use, new hose, stayed dry", "back RT1 reason(new hose, stayed dry)"},
		{"RT1 is parked at the north end", "chat"},
		{"parked RT2 for the winter 802.5", "reading RT2 802.5; parked RT2"},
		{"woke up RT2", "woken RT2"},
		{"oil on RT1 was done at 1140 says the sticker", "baseline RT1 1140.0 engineoil sticker"},
		{"count the grease on RT1 from today", "baseline RT1 grease counted"},
		{"dont know when the coolant was done on RT1", "baseline RT1 coolant unsure"},
		{"WS1 reads whole hours", "trait WS1 meter-reads whole"},
		{"the generator starts by itself", "trait PG1 self-start yes"},
		{"dates are day first", "setting dates day-first"},
	})
}
