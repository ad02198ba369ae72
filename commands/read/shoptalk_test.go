package read

import (
	"testing"

	"woodruff/engine"
)

// TestShopTalk: the same things in the words of a tired tech or of somebody who
// dictates.
func TestShopTalk(t *testing.T) {
	check(t, base(), []say{
		// a new part is fitted in many verbs, and only spoken of in others
		{"slung a new belt on 21", "service 21 belt"},
		// the same as what another message told
		{"same for rt1 1541.2", "unclear meaning"},
		{"drained rt2, same for rt1", "service RT2 drain; service RT1 drain"},
		// tools are nobody's upkeep
		{"whos got the 19mm", "chat"},
		{"who took my 19 mm", "chat"},
		{"who got fuel for rt1", "question RT1 who"},
		{"om1 greesed n new blade belt", "service OM1 grease+belt"},
		{"rt1 new seat belt", "service RT1 other words(new seat belt)"},
		{"rt1 new roller belt", "service RT1 other words(new roller belt)"},
		{"om1 alternator and belt replaced", "service OM1 other words(alternator and belt replaced); service OM1 belt"},
		{"threw a fresh final filter on the pump n purged the air out", "service DP1 fuelfilter+bleed"},
		{"lift pump packed it in on ws1, new one fitted", "service WS1 liftpump"},
		{"belt on 21 was shredded. its got a new one", "service 21 belt"},
		{"the o-ring on the rt2 bowl was cracked so that's been replaced", "service RT2 oring; finding RT2 hard-oring"},
		{"rt1 1541.2 brought the new belt", "unclear meaning"},
		{"rt1 1541.2 new belt squeals", "unclear meaning"},
		{"dp1 is getting a new belt", "chat"},
		{"once rt1 is drained park it", "chat"},
		{"rt1 fine since the new fuel filter", "chat"},
		{"took the bowl off rt1, new o ring", "service RT1 oring"},
		// oil let out and filled again, and what stayed in
		{"hyd oil drained n refilled in the loader", "service BL1 hydoil"},
		{"drained the engine oil in rt2, new oil in, same filter", "service RT2 engineoil"},
		{"drained the coolant on rt1, new belt on", "unclear jobs"},
		{"oil changed on the loader, filter left alone", "service BL1 engineoil"},
		{"changed the oil in granny and the filter as well", "service RT1 engineoil+oilfilter"},
		{"did the oil on rt1 but not the filter", "service RT1 engineoil"},
		{"hyd oil changed in the loader, 45 litres", "service BL1 hydoil"},
		// where a part sits is none that was worked on
		{"fuel pipe between tank n separator renewed on wf1", "service WF1 hose"},
		// why it was done does not take it back
		{"bled rt1 twice because the first time it did not take", "service RT1 bleed"},
		{"gave the loader a good greasing", "service BL1 grease"},
		{"Could you write down that the hauler got a new battery today?", "service HT1 battery"},
		{"could you write down that rt1 needs oil?", "chat"},
		{"bled the brakes on rt2", "service RT2 other words(bled the brakes)"},
	})
}

// TestBareNouns: a job's name without a verb stands only where nothing else is
// said of it.
func TestBareNouns(t *testing.T) {
	check(t, base(), []say{
		{"rt1 1541.2 oil", "reading RT1 1541.2; service RT1 1541.2 engineoil"},
		{"rt1 1541.2 oil ok", "reading RT1 1541.2"},
		{"rt1 1541.2 battery 12.6", "unclear meaning"},
		{"rt1 1541.2 oil 40 psi", "unclear meaning"},
		{"rt1 1541.2 oil at 1500", "unclear meaning"},
		{"rt1 1541.2, belt squeaking", "unclear meaning"},
		{"oil change rt1 yesterday", "service RT1 engineoil+oilfilter on 2026-11-23"},
		{"rt1: belt. rt2: coolant. 21: grease + battery", "service RT1 belt; service RT2 coolant; service 21 grease+battery"},
		{"rt1 greased, rt2 drained clean, om1 belt", "service RT1 grease; service RT2 drain; finding RT2 clean; service OM1 belt"},
	})
}

// TestMeterTalk: figures as people read them out.
func TestMeterTalk(t *testing.T) {
	check(t, base(), []say{
		{"21 just clicked over to 3311.4", "reading 21 3311.4"},
		{"clock on bl1 was showing 3361.2 when i shut her down", "reading BL1 3361.2"},
		{"granny says fifteen hundred and forty one and six tenths", "reading RT1 1541.6"},
		{"ridge 610 hollow 634 river 612", "reading WF1 610.0; reading WF2 634.0; reading WF3 612.0"},
		{"rt2 801.9 fri 802.6 today", "reading RT2 801.9 on 2026-11-20; reading RT2 802.6"},
		{"rt1 1541.2 hang on wiped the glass, 1541.7", "reading RT1 1541.7"},
		{"1) rt1 greased 2) rt2 drained", "service RT1 grease; service RT2 drain"},
		{"rt1 1541 or thereabouts", "chat"},
		{"rt1 1541.2 again, meter stuck", "unclear hours"},
		{"both fuel filters done on the hauler, took me two hours", "service HT1 separator+fuelfilter"},
		{"hour meter packed up on rt2 at 802.9, fitted a new one reading 0.0", "meter RT2 old 802.9 0.0"},
		{"om2 hour meter swapped, 2.1 on the old, new starts 0.0", "meter OM2 old 2.1 0.0"},
	})
}

// TestEachItsOwn: what was found is given to the machine it was found in, and
// asked for where that is not told.
func TestEachItsOwn(t *testing.T) {
	check(t, base(), []say{
		{"both row tractors drained, top one clean low one a teaspoon of water", "service RT1 drain; finding RT1 clean; service RT2 drain; finding RT2 water 5ml"},
		{"drained both mowers, one clean, one had a teaspoon", "unclear machine"},
		{"drained hollow and river. hollow clean, river a trace", "service WF2 drain; finding WF2 clean; service WF3 drain; finding WF3 water trace"},
		{"greased and drained both mowers, nothing in either", "service OM1 grease+drain; finding OM1 clean; service OM2 grease+drain; finding OM2 clean"},
		{"40l rt1 38l rt2", "fill RT1 40l; fill RT2 38l"},
		{"60 litres between om1 and om2", "unclear meaning"},
		{"rt2 n 21 30L each, # 1", "fill RT2 no1 30l; fill 21 no1 30l"},
		{"fuelled wf1 wf2 wf3 60 L each winter diesel", "fill WF1 winter 60l; fill WF2 winter 60l; fill WF3 winter 60l"},
		{"38 liters in granny dunno which grade", "fill RT1 38l"},
		{"drained rt1, five, no, three tablespoons of water", "service RT1 drain; finding RT1 water 45ml"},
		{"rt1 has no water in the washer bottle", "chat"},
		{"rt2 drained. water: 20ml. rust: no", "service RT2 drain; finding RT2 water 20ml"},
		{"rt2 drained 2-3 tbsp water", "service RT2 drain; finding RT2 water some"},
		{"bl1 drained n greased n put 50 in", "unclear meaning"},
		{"bled wf1 till it ran clean", "service WF1 bleed"},
		{"greased most of bl1", "chat"},
		{"drained rt1 clean, rt2 friday", "unclear day"},
		{"changed the belt on wf1, anybody got a spare for wf2?", "service WF1 belt"},
	})
}

// TestShortReplies: a reminder gives the job that a short answer leaves out.
func TestShortReplies(t *testing.T) {
	ctx := base()
	ctx.Reply = &Reply{Machine: 1, Jobs: []engine.Job{engine.Belt}}
	check(t, ctx, []say{
		{"swapped it", "service RT1 belt"},
		{"new one on", "service RT1 belt"},
		{"greased, 21 too", "service RT1 grease; service 21 grease"},
	})
}
