package read

import "testing"

func TestReadings(t *testing.T) {
	check(t, base(), []say{
		// tag and figure, spaced, glued, with a unit in several spellings
		{"rt1 1541.2", "reading RT1 1541.2"},
		{"RT 1 at 1541.2 hrs", "reading RT1 1541.2"},
		{"rt-1 1541,2h", "reading RT1 1541.2"},
		{"granny 1,541.2", "reading RT1 1541.2"},
		// dictated tags and figures
		{"are tea one is at fifteen forty one point two", "reading RT1 1541.2"},
		{"double u ess one forty six", "reading WS1 46.0"},
		{"Pee Gee One Nine Ninety One And A Half", "reading PG1 991.5"},
		{"the hauler two hundred twenty point four", "reading HT1 220.4"},
		{"ridge fan six oh eight", "reading WF1 608.0"},
		// a tag that is a figure beside other figures
		{"21 3311.0", "reading 21 3311.0"},
		{"twenty one thirty three eleven point five", "reading 21 3311.5"},
		{"21 is on 3311, rt2 802.6", "reading 21 3311.0; reading RT2 802.6"},
		// several in one line
		{"rt1 1541.2 rt2 802.6 BL1 3361.0", "reading RT1 1541.2; reading RT2 802.6; reading BL1 3361.0"},
		{"sat: rt1 1540.9 rt2 802.3", "reading RT1 1540.9 on 2026-11-21; reading RT2 802.3 on 2026-11-21"},
		// corrected within the message
		{"rt1 1514.2 sorry 1541.2", "reading RT1 1541.2"},
		{"rt1 no wait rt2 802.6", "reading RT2 802.6"},
		// it did not move, and the figure stands
		{"rt1 hasnt moved still 1540.8", "reading RT1 1540.8"},
		// told by telephone
		{"hester rang haul tractor 220.4", "reading HT1 220.4 told by Hester Quill"},
		// neither hours run nor rough figures are readings
		{"ran rt1 6 hours", "chat"},
		{"put 6 hours on rt1", "chat"},
		{"rt1 around 1540", "chat"},
		{"rt1 1541ish", "chat"},
		// digits that are missing are asked for
		{"rt1 15 something", "unclear hours"},
		{"rt1 1541.25", "unclear hours"},
		// a figure with a decimal and nothing else has lost its machine
		{"1541.2", "unclear machine"},
		{"1541", "chat"},
	})
}

func TestServices(t *testing.T) {
	check(t, base(), []say{
		{"rt1 1541.2 drained, bit of water", "reading RT1 1541.2; service RT1 1541.2 drain; finding RT1 water trace"},
		{"greased 21 and both mowers", "service 21 grease; service OM1 grease; service OM2 grease"},
		{"all three frost fans drained clean", "service WF1 drain; finding WF1 clean; service WF2 drain; finding WF2 clean; service WF3 drain; finding WF3 clean"},
		{"all the fans but the river fan greased", "service WF1 grease; service WF2 grease"},
		{"did both filters on the loader and bled it", "service BL1 separator+fuelfilter+bleed"},
		{"oil change on rt2 802.6, new belt, greased", "reading RT2 802.6; service RT2 802.6 engineoil+oilfilter+belt+grease"},
		{"injectors replaced n valves set on rt1 yesterday", "service RT1 injectors+valves on 2026-11-23"},
		{"swapped the injectors n lift pump in td1 n set the valves 2211.0", "reading TD1 2211.0; service TD1 2211.0 injectors+liftpump+valves"},
		{"drained rt1 this morning, greased it yesterday", "service RT1 drain; service RT1 grease on 2026-11-23"},
		{"new cap on the pump and cleaned the vent on om1", "service DP1 vent; service OM1 vent"},
		{"drained the tank on wf1 rust in there", "service WF1 tank; finding WF1 rust"},
		{"rt1 drained. rt2 same.", "service RT1 drain; service RT2 drain"},
		{"o-ring on ws1 all swollen, put a new one in", "service WS1 oring; finding WS1 swollen-oring"},
		{"belt on om2 was shot, put a new one on", "service OM2 belt"},
		// less than the job
		{"blew out the air filter on om1", "service OM1 aircleaner cleaned"},
		{"topped up the oil on granny", "service RT1 engineoil topped-up"},
		{"checked the coolant in the genny", "service PG1 coolant looked-at"},
		{"tightened the belt on om2", "service OM2 belt adjusted"},
		{"put oil in rt1", "service RT1 engineoil topped-up"},
		{"put new oil in rt1", "service RT1 engineoil"},
		// a part without a verb goes on with the one that stood first
		{"drained rt1 yesterday and rt2 today", "service RT1 drain on 2026-11-23; service RT2 drain"},
		{"drained the fans. wf2 had half a cup, others clean", "service WF1 drain; finding WF1 clean; service WF2 drain; finding WF2 water 120ml; service WF3 drain; finding WF3 clean"},
		{"rt1 1541.2 drained clean, rt2 802.6", "reading RT1 1541.2; service RT1 1541.2 drain; finding RT1 clean; reading RT2 802.6"},
		{"rt1 1541.2\nrt2 802.6 drained clean\nbl1 not today", "reading RT1 1541.2; reading RT2 802.6; service RT2 802.6 drain; finding RT2 clean"},
		// by a named person
		{"wilm drained pg1 this morning", "service PG1 drain by Wilm Aske"},
		{"Dot greased OM1 and OM2", "service OM1 grease by Dot Farrow; service OM2 grease by Dot Farrow"},
		// work with no interval, in its words
		{"welded the bracket on om1", "service OM1 other words(welded the bracket)"},
		{"new seat on RT1", "service RT1 other words(new seat)"},
		// what must be asked
		{"changed the filter on rt2", "unclear jobs"},
		{"serviced the loader", "unclear jobs"},
		{"greased the mower", "unclear machine"},
		{"rt3 drained clean", "unclear machine"},
		{"drained it, bit of water", "unclear machine"},
		{"drained wf2 some time last week", "unclear day"},
		{"drained rt1 3/4", "unclear day"},
		{"drained rt1 in october", "unclear day"},
		{"rt1 drained the swamp", "unclear meaning"},
		{"drained all but the river fan", "unclear machine"},
	})
}

func TestDays(t *testing.T) {
	check(t, base(), []say{
		{"drained rt1 tuesday", "service RT1 drain on 2026-11-17"}, // a bare weekday is the last one
		{"drained rt1 last friday", "service RT1 drain on 2026-11-20"},
		{"drained rt1 on the 20th", "service RT1 drain on 2026-11-20"},
		{"drained rt1 on the 31st", "service RT1 drain on 2026-10-31"},
		{"drained rt1 nov 3", "service RT1 drain on 2026-11-03"},
		{"drained rt1 3 november 2025", "service RT1 drain on 2025-11-03"},
		{"drained rt1 2026-11-19", "service RT1 drain on 2026-11-19"},
		{"drained rt1 11/20", "service RT1 drain on 2026-11-20"}, // only one way round is a date
		{"drained rt1 two days ago", "service RT1 drain on 2026-11-22"},
		{"drained rt1 3 weeks ago", "service RT1 drain on 2026-11-03"},
		{"drained rt1 last night", "service RT1 drain on 2026-11-23"},
		{"drained rt1 an hour ago", "service RT1 drain"},
		{"drained rt1 at 6:30", "service RT1 drain"}, // a time of day is no figure
		{"drained rt1 at 12", "service RT1 drain"},
	})
	day := base()
	day.DayFirst = true
	check(t, day, []say{{"drained rt1 5/11", "service RT1 drain on 2026-11-05"}})
	month := base()
	month.MonthFirst = true
	check(t, month, []say{{"drained rt1 5/11", "service RT1 drain on 2026-05-11"}})
}

func TestFindings(t *testing.T) {
	check(t, base(), []say{
		{"river fan drained, ring was up, half a bowl of water", "service WF3 drain; finding WF3 ringup; finding WF3 water lots"},
		{"drained rt1 got a cup and a half of water", "service RT1 drain; finding RT1 water 360ml"},
		{"drained rt1 2 tbsp water", "service RT1 drain; finding RT1 water 30ml"},
		{"drained rt1 1/4 cup of water", "service RT1 drain; finding RT1 water 60ml"},
		{"drained rt1 a few tablespoons of water", "service RT1 drain; finding RT1 water some"},
		{"drained rt1 two and a half tablespoons of water", "service RT1 drain; finding RT1 water 37.5ml"},
		{"drained rt1 tablespoon n a half of water", "service RT1 drain; finding RT1 water 22.5ml"},
		{"drained rt1 teaspoon and a quarter of water", "service RT1 drain; finding RT1 water 6.3ml"}, // 6.25, rounded to a tenth
		{"drained rt1 half a cup and a bit of water", "service RT1 drain; finding RT1 water 120ml"},
		{"drained 21 14 ml of water", "service 21 drain; finding 21 water 14ml"},
		{"drained rt1 no water but some rust", "service RT1 drain; finding RT1 rust"},
		{"drained rt1 no water", "service RT1 drain; finding RT1 clean"},
		{"wax in the bowl on rt1, ice in the wf2 bowl", "finding RT1 wax; finding WF2 ice"},
		{"om1 bowl is weeping fuel n theres bubbles in the line on om2", "finding OM1 weep; finding OM2 air"},
		{"oring on rt1 is cracked", "finding RT1 hard-oring"},
		{"nothing came out of wf3 this morning", "finding WF3 nothing-came"},
		{"couldnt see in the bowl on wf1", "finding WF1 unseen"},
		{"bl1 is leaking oil", "unclear meaning"},
		{"rt1 clean", "unclear meaning"}, // washed, or looked into?
		{"yard is all ice", "chat"},
		{"dirt in the rt1 cab", "chat"},
	})
}

func TestFills(t *testing.T) {
	check(t, base(), []say{
		{"12 litres in 21", "fill 21 12l"},
		{"21 took 30l of #1", "fill 21 no1 30l"},
		{"put 15 gallons in the loader", "fill BL1 56.8l"},
		{"20 litres of the blend in the pump, 80 in the genny same stuff", "fill DP1 blend 20l; fill PG1 blend 80l"},
		{"wf1 634 40 l winter, wf2 613 45 l winter", "reading WF1 634.0; fill WF1 winter 40l; reading WF2 613.0; fill WF2 winter 45l"},
		{"td1 fueled 45 litres no 2 at 2211.0", "reading TD1 2211.0; fill TD1 no2 45l"},
		{"two 20 litre cans in rt1", "fill RT1 40l"},
		{"ordered 500 litres of winter diesel", "chat"},
		{"put 2 litres of oil in rt1", "chat"}, // oil is no fuel
	})
}

func TestSymptoms(t *testing.T) {
	check(t, base(), []say{
		{"ridge fan wont start, hollow fan hard to start, river fan smoking", "symptom WF1 no-start; symptom WF2 hard-start; symptom WF3 smoke"},
		{"trencher takes forever to start hot, fine cold", "symptom TD1 hard-start-hot"},
		{"any idea why the genny keeps surging", "symptom PG1 surging"},
		{"pump fires up runs 5 sec n dies, splitter keeps stalling", "symptom DP1 starts-dies; symptom WS1 stalls"},
		{"21 3311.0 no power uphill and surging", "reading 21 3311.0; symptom 21 power-loss surging"},
		{"rt1 was running rough, bled it and its fine now", "service RT1 bleed"}, // gone again
		{"rt1 isnt smoking anymore", "chat"},
		{"rt1 acting up again", "unclear meaning"},
		{"the fan wont start", "unclear machine"},
		{"my truck wont start", "chat"},
		{"rt1 wont start if its below zero", "chat"},
	})
}
