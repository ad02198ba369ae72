package read

import (
	"testing"

	"woodruff/engine"
)

// TestTurns: the same thing said in other turns of speech, none of which stands
// in the lexicon word for word.
func TestTurns(t *testing.T) {
	check(t, base(), []say{
		// taking back: any such verb, what was said in any words
		{"pls rub out what i just typed", "undo"},
		{"could you bin that last entry", "undo"},
		{"would you mind removing my last message", "undo"},
		{"delete that, wrong chat", "undo"},
		// the same words about something else
		{"bin it", "chat"},
		{"scrap the old hitch", "chat"},
		// how hard it starts
		{"rt1 is a swine to start on frosty mornings", "symptom RT1 hard-start-cold"},
		{"rt1 takes about ten tries to get going when its warm", "symptom RT1 hard-start-hot"},
		{"rt1 does not light up", "symptom RT1 no-start"},
		{"bl1 black smoke when digging", "symptom BL1 black-smoke"},
		{"the loader has lost all its grunt", "symptom BL1 power-loss"},
		{"td1 hot after an hour of digging", "symptom TD1 hot"},
		// vague trouble
		{"hollow fan having one of its moods", "unclear meaning"},
		{"rt1 is not running properly", "unclear meaning"},
		{"whats up with om1, it smokes white", "symptom OM1 white-smoke"},
		// no machine of the shed, or no trouble
		{"splitter for the tv is broke", "chat"},
		{"fans wont start up til the frost comes", "chat"},
		{"joss is drained after that shift", "chat"},
		// put off by an order to the bot, or by a day refused and another named
		{"poke me friday re bl1 grease", "putoff BL1 grease until 2026-11-27"},
		{"dp1 grease not this week, do it monday", "putoff DP1 grease until 2026-11-30"},
		{"could you move the loader grease to next monday?", "putoff BL1 grease until 2026-11-30"},
		{"remind joss to grease om1 friday", "chat"},
		// questions
		{"what needs greasing", "question due grease"},
		{"remind me when bl1 last had its hyd filter done", "question BL1 since hydfilter"},
		{"rt1 oil, when due", "question RT1 due engineoil"},
		{"how old is the belt on om2", "question OM2 since belt"},
		{"Joss, could you tell me what the oil filter on the hollow fan looks like?", "chat"},
		// corrections
		{"I said the loader but I meant the trencher.", "correct machine to TD1"},
		{"not the loader the trencher", "correct machine to TD1 target BL1  "},
		{"its om2 that i greased, not om1", "correct machine to OM2 target OM1 grease "},
		// a name settled by its telling word
		{"the frost fan at the hollow smokes heavily", "symptom WF2 smoke"},
	})
	ctx := base()
	ctx.Reply = &Reply{Machine: 4, Jobs: []engine.Job{engine.Drain, engine.Grease}}
	check(t, ctx, []say{
		{"only did one of em", "unclear jobs"},
		{"only the drain", "service BL1 drain"},
		{"drained it not greased yet", "service BL1 drain"},
		{"maybe after xmas", "unclear day"},
	})
	ctx = base()
	ctx.Mention = true
	check(t, ctx, []say{{"how should i word an oil change", "help"}, {"Can you explain how to use you?", "help"}})
}

// TestPolar: words of quantity and quality answer the check that was asked for.
func TestPolar(t *testing.T) {
	for c, rows := range map[engine.Check][]say{
		engine.CheckBubbles:   {{"heaps of em", "check BL1 bubbles yes"}, {"nowt", "check BL1 bubbles no"}, {"no clear line on it", "chat"}},
		engine.CheckCap:       {{"goes like a rocket now", "check BL1 cap yes"}, {"not one bit better", "check BL1 cap no"}, {"still bogs", "check BL1 cap no"}},
		engine.CheckWet:       {{"no sign of a leak", "check BL1 wet no"}},
		engine.CheckBowl:      {{"nowt in it", "check BL1 bowl clean"}, {"It is full of dirt.", "check BL1 bowl debris"}},
		engine.CheckAirFilter: {{"clean as a whistle", "check BL1 air-filter yes"}, {"not too bad", "check BL1 air-filter yes"}},
		engine.CheckVacuum:    {{"pulling 10 in", "check BL1 vacuum 10 inHg"}},
	} {
		ctx := base()
		ctx.Asked = &Asked{Machine: 4, Check: c}
		check(t, ctx, rows)
	}
}

// TestWeeks: a weekday said with its week is one day. The day is a Tuesday.
func TestWeeks(t *testing.T) {
	ctx := base()
	ctx.Asked = &Asked{Ask: AskDay, Held: []Act{{Kind: Service, Machine: 2, Jobs: []engine.Job{engine.Grease}, Wants: []Slot{AskDay}}}}
	check(t, ctx, []say{
		{"wed last week", "service RT2 grease on 2026-11-18"},
		{"monday of this week", "service RT2 grease on 2026-11-23"},
		{"the friday before last", "service RT2 grease on 2026-11-13"},
		{"two days back", "service RT2 grease on 2026-11-22"},
		{"fri i think", "unclear day"},
	})
	check(t, base(), []say{
		{"remind me about om1 grease a week on friday", "putoff OM1 grease until 2026-12-04"},
		{"remind me about om1 grease wednesday next week", "putoff OM1 grease until 2026-12-02"},
	})
}
