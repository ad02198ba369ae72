package read

import "testing"

// TestFillGrid: amounts and grades in each frame of fuel put in.
func TestFillGrid(t *testing.T) {
	amounts := joinCells(
		seenWords("40l", "40 l", "40l", "40 litres", "40 liters", "40 ltrs", "forty litres", "40 lt", "40 litre"),
		seenWords("75.7l", "20 gal", "20 gallons", "twenty gallons", "20gal", "20 gals", "20 us gallons", "20 gallon"),
		seenWords("7.6l", "2 gal", "two gallons", "a couple gallons", "couple gal"),
		seenWords("20.5l", "20.5 l", "20 1/2 litres", "twenty and a half litres", "20,5 l"),
		seenWords("9.5l", "2.5 gal", "2 1/2 gallons", "two and a half gal"))
	frames := []seenCell{
		{"rt1 % diesel", "fill RT1 %"},
		{"put % in rt1", "fill RT1 %"},
		{"put % of diesel in rt1", "fill RT1 %"},
		{"threw % in rt1", "fill RT1 %"},
		{"dumped % of fuel in rt1", "fill RT1 %"},
		{"poured % into rt1", "fill RT1 %"},
		{"pumped % diesel into rt1", "fill RT1 %"},
		{"rt1 got % of diesel", "fill RT1 %"},
		{"rt1 took %", "fill RT1 %"},
		{"fueled rt1 %", "fill RT1 %"},
		{"fueled up rt1, %", "fill RT1 %"},
		{"filled rt1 up, took %", "fill RT1 %"},
		{"topped up rt1 with % of fuel", "fill RT1 %"},
		{"topped off rt1 w/ %", "fill RT1 %"},
		{"gave rt1 % of diesel", "fill RT1 %"},
		{"added % to rt1", "fill RT1 %"},
		{"added % of fuel to the tank on rt1", "fill RT1 %"},
		{"rt1 fuelled % ", "fill RT1 %"},
		{"rt1 fill %", "fill RT1 %"},
		{"% into rt1", "fill RT1 %"},
		{"% of diesel went into rt1", "fill RT1 %"},
		{"filled up rt1 this morning with %", "fill RT1 %"},
		{"fuel in rt1, %", "fill RT1 %"},
		{"just put % in granny", "fill RT1 %"},
		{"stuck % of diesel in the tank on rt1", "fill RT1 %"},
		{"rt1 was filled with %", "fill RT1 %"},
		{"rt1 had % put in", "fill RT1 %"},
		{"refueled rt1 with about %", "fill RT1 %"},
	}
	seenGrid(t, base(), frames, amounts)
}

// TestGradeGrid: the grade of what was put in.
func TestGradeGrid(t *testing.T) {
	grades := joinCells(
		seenWords("winter ", "winter", "winter diesel", "winter fuel", "winter grade", "wntr diesel", "winter dsl", "winter blend"),
		seenWords("summer ", "summer", "summer diesel", "summer fuel", "smmr diesel", "summer grade"),
		seenWords("no1 ", "no 1", "#1", "# 1", "number one", "number 1 diesel", "no. 1", "no1", "num 1", "#1 diesel", "number one diesel"),
		seenWords("no2 ", "no 2", "#2", "number two", "number 2 diesel", "no. 2", "#2 diesel", "no2"),
		seenWords("blend ", "blend", "blended", "50/50 blend", "the blend", "blended diesel", "50/50", "50/50 mix"),
		seenWords("", "diesel", "fuel", "regular diesel", "dyed diesel", "off road diesel", "red diesel"))
	frames := []seenCell{
		{"put 40 l of % in rt1", "fill RT1 %40l"},
		{"put 40 litres % in rt1", "fill RT1 %40l"},
		{"dumped 20 gal of % in rt1", "fill RT1 %75.7l"},
		{"rt1 40 l %", "fill RT1 %40l"},
		{"rt1 fueled 20 gal %", "fill RT1 %75.7l"},
		{"filled rt1 with 40 l of %", "fill RT1 %40l"},
		{"fueled rt1 w/ 20 gallons of %", "fill RT1 %75.7l"},
		{"added 40 l % to rt1", "fill RT1 %40l"},
		{"rt1 took 40 l of %", "fill RT1 %40l"},
		{"40 l % into rt1", "fill RT1 %40l"},
		{"topped off granny with 20 gal of %", "fill RT1 %75.7l"},
		{"threw 20 gal of the % in rt1", "fill RT1 %75.7l"},
	}
	seenGrid(t, base(), frames, grades)
}

// TestNoFillGrid: fuel that went into no machine, plans, denials and other fluids.
func TestNoFillGrid(t *testing.T) {
	amounts := seenWords("", "40 l", "20 gal", "40 litres", "twenty gallons")
	seenGrid(t, base(), []seenCell{
		{"gonna put % in rt1 later", "chat"},
		{"need to put % in rt1", "chat"},
		{"ordered % of diesel", "chat"},
		{"ordered % for rt1", "chat"},
		{"didnt put % in rt1", "chat"},
		{"rt1 burned % today", "chat"},
		{"rt1 used % of fuel this week", "chat"},
		{"rt1 holds %", "chat"},
		{"fuel truck dropped % in the yard tank", "chat"},
		{"% of diesel delivered to the yard", "chat"},
		{"can somebody put % in rt1", "chat"},
		{"rt1 needs % of diesel", "chat"},
		{"paid for % of diesel", "chat"},
		{"spilled % of diesel by rt1", "chat"},
		{"wilm says he might put % in rt1", "chat"},
		{"bought % of winter diesel", "chat"},
		{"if rt1 gets low put % in", "chat"},
		{"rt1 tank takes % when its empty", "chat"},
	}, amounts)
	// cans and drums of no stated size, and fills without a figure, give no litres
	seenGrid(t, base(), []seenCell{
		{"dumped % in rt1", "unclear meaning"},
		{"put % of diesel in rt1", "unclear meaning"},
		{"rt1 took % of fuel", "unclear meaning"},
	}, seenWords("", "2 cans", "two jerry cans", "a can", "a jerry can", "3 jugs", "couple of cans", "half a can"))
}

// TestSharedGrade: one grade said of several fills is each one's.
func TestSharedGrade(t *testing.T) {
	seenGrid(t, base(), []seenCell{
		{"rt1 40 litres and rt2 35 litres, both %", "fill RT1 %40l; fill RT2 %35l"},
		{"40 l in rt1, 35 l in rt2, both %", "fill RT1 %40l; fill RT2 %35l"},
	}, joinCells(seenWords("summer ", "summer", "summer diesel"), seenWords("no2 ", "number 2", "#2"), seenWords("winter ", "winter")))
}
