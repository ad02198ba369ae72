package read

import "testing"

// What turns its verb round asks, with and without a mark, and never writes.
func TestTurnedQuestions(t *testing.T) {
	check(t, base(), []say{
		// who did it
		{"did wilm drain rt2", "question RT2 who drain by Wilm Aske"},
		{"rt2 did wilm drain it", "question RT2 who drain by Wilm Aske"},
		{"has joss greased bl1 yet", "question BL1 who grease by Joss Penhale"},
		{"anyone drained rt2", "question RT2 who drain"},
		{"wilm drained rt2, didnt he", "question RT2 who drain by Wilm Aske"},
		// whether it was done
		{"was the oil changed on rt2", "question RT2 since engineoil"},
		{"rt2 drained yet", "question RT2 since drain"},
		{"did the loader get its oil", "question BL1 since engineoil"},
		{"did wilm or joss drain rt2", "question RT2 who drain by Wilm Aske and Joss Penhale"},
		{"did wilm and joss drain rt2", "question RT2 who drain by Wilm Aske and Joss Penhale"},
		{"hasnt om1 been greased", "question OM1 since grease"},
		// how it is
		{"is rt2 out of use", "question RT2 status"},
		{"why is rt2 out of use", "question RT2 status"},
		{"is rt2 good to go", "question RT2 status"},
		{"was the bowl clean on wf2", "question WF2 water"},
		{"does rt2 need oil", "question RT2 due engineoil"},
		// what was reported before it stands
		{"drained rt2 clean, did wilm do rt1", "service RT2 drain; finding RT2 clean; question RT1 who by Wilm Aske"},
		{"did anyone drain the bowls", "question since drain"},
		// these only look like it
		{"has anyone got a spare oring", "chat"},
		{"did the drain on rt2", "service RT2 drain"},
		{"did rt1 oil filter", "service RT1 oilfilter"},
		{"rt2 was drained", "service RT2 drain"},
		{"joss did you drain rt2", "chat"},
	})
}
