package read

import (
	"testing"

	"woodruff/engine"
)

func TestWear(t *testing.T) {
	check(t, base(), []say{
		// what may bring water in at the cap
		{"washed rt1 down", "rain RT1 washed"},
		{"RT1 stood out in the rain", "rain RT1 rain"},
		{"wilm pressure washed the loader yesterday", "rain BL1 washed on 2026-11-23 by Wilm Aske"},
		{"rt1 drained and washed down", "service RT1 drain"}, // beside work it is how things were
		{"rt1 didnt get washed", "chat"},
		{"should i wash rt1", "chat"},
		{"washed my truck", "chat"},
		// severe use and its end
		{"rt1 dusty till friday", "trait RT1 severe dust until 2026-11-27"},
		{"rt1 in the dust through friday", "trait RT1 severe dust until 2026-11-28"}, // over the day after
		{"bl1 on dusty work for two weeks", "trait BL1 severe dust until 2026-12-08"},
		{"bl1 on high sulphur fuel", "trait BL1 severe high-sulphur"},
		{"bl1 back to usual use", "trait BL1 severe none"},
		{"bl1 on dusty work for 10 days", "trait BL1 severe dust until 2026-12-04"},
		{"rt1 was on dusty work for three weeks", "chat"}, // and is not now
		{"rt1 on dusty work the last 3 weeks", "chat"},
		{"rt1 in the dust", "chat"}, // where it stands, perhaps
		{"rt1 is dusty", "chat"},    // wants washing, perhaps
		{"rt1 dusty till last friday", "chat"},
		{"rt1 dusty till monday this week", "chat"}, // which is over
		{"its dusty till friday", "chat"},
		{"is rt1 on dusty work", "chat"},
		// the old ring back in: work, and no new ring
		{"rt1 separator changed, reused the ring", "service RT1 separator; service RT1 oring reused"},
		{"put the old o-ring back in rt1", "service RT1 oring reused"},
		{"didnt reuse the ring on rt1", "chat"},
		{"put the old filter back in rt1", "chat"},
		// an interval by the season
		{"rt1 coolant every year by nov 1", "plan RT1 coolant every 0.0/0m season 11-01 off=false"},
		{"rt1 vent every 200 h or each year by april 1", "plan RT1 vent every 200.0/0m season 04-01 off=false"},
		{"coolant every fall before november 1st", "plan coolant every 0.0/0m season 11-01 off=false"},
		{"rt1 coolant every 12 months", "plan RT1 coolant every 0.0/12m off=false"},
		{"rt1 greased every fall", "unclear day"}, // no day to write it on
	})
}

func TestRenewedEarly(t *testing.T) {
	for _, c := range []struct {
		text string
		want engine.Costs
	}{
		{"is it worth changing lift pumps early, 80 planned against 400 broken down", engine.Costs{Planned: 80, Failed: 400}},
		{"is it worth changing lift pumps early, 400 broken down, 80 planned", engine.Costs{Planned: 80, Failed: 400}},
		{"does it pay to renew the lift pump before it fails? 1.5 h against 4", engine.Costs{Planned: 1.5, Failed: 4}},
		{"should we change lift pumps early", engine.Costs{}}, // asked for
		{"is it worth changing lift pumps early, 80", engine.Costs{}},
	} {
		got := Read(c.text, shedNames, base()).Candidates[0].Acts
		if short(got) != "question early liftpump" || got[0].Costs != c.want {
			t.Errorf("%q: %s, %+v", c.text, short(got), got[0].Costs)
		}
	}
	check(t, base(), []say{
		{"should we renew the fuel hoses early", "question early hose"},
		{"is it worth changing the oil early", "chat"}, // by its interval, not by what fails
		{"rt1 lift pump changed early", "service RT1 liftpump"},
		{"rt1 lift pump changed before it fails", "service RT1 liftpump"},
	})
}
