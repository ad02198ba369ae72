package demo

import "woodruff/engine"

// line is a row that must be there. Its hours are what the meter shows then.
type line struct {
	ago     int
	hour    int
	minute  int
	tag     string
	jobs    string
	finding string
	ml      int
	by      string
	note    string
}

func (l line) clock() engine.Clock { return engine.ClockOf(l.hour, l.minute) }

// lastDays are told line by line for every machine; before them the rounds are
// drawn.
const lastDays = 8

// aside is how many days the rounds keep away from a line of the story.
const aside = 3

var story = []line{
	// The wide mower grew slime until somebody cleaned its tank.
	{174, 7, 35, "OM2", "drain", "slime", 0, "Wilm", "dark jelly on the ring"},
	{172, 14, 10, "OM2", "separator;fuelfilter;oring", "slime", 0, "Joss", "element black with it"},
	{167, 7, 30, "OM2", "drain", "slime", 0, "Wilm", "back again"},
	{165, 15, 20, "OM2", "tank;bleed", "", 0, "Joss", "tank out, washed, dried two days in the sun"},
	{158, 7, 40, "OM2", "drain", "clean", 0, "Wilm", ""},
	{150, 7, 40, "OM2", "drain", "clean", 0, "Runa", "stays clean"},

	// A bowl ring that swelled, and was renewed.
	{96, 7, 15, "RT2", "drain", "clean;swollen-oring", 0, "Joss", "ring stands proud, new one asked for"},
	{93, 13, 30, "RT2", "oring;bleed", "", 0, "Joss", "ran ten minutes, stayed dry"},

	// A weep on the customer's tractor.
	{241, 16, 50, "HT1", "", "weep", 0, "Hester", "wet under the tap when it stands"},
	{239, 13, 10, "HT1", "hose;bleed", "", 0, "Joss", "hose and clamps from tank to bowl, stayed dry"},

	{118, 7, 50, "PG1", "drain", "rust", 0, "Wilm", "a few flakes"},
	{61, 8, 5, "WF3", "", "unseen", 0, "Wilm", "bowl too cloudy to see through"},
	{58, 13, 40, "WF3", "bowl;oring", "", 0, "Wilm", "new bowl, the old one was crazed"},

	// The trench digger belongs to a cider maker and is seldom in the shed.
	{655, 7, 45, "TD1", "drain", "clean", 0, "Wilm", "first time in our shed"},
	{612, 7, 35, "TD1", "", "", 0, "Runa", ""},
	{548, 7, 40, "TD1", "drain", "water", 6, "Wilm", ""},
	{485, 16, 45, "TD1", "", "", 0, "Anselm", ""},
	{431, 7, 30, "TD1", "", "", 0, "Runa", ""},
	{330, 13, 0, "TD1", "engineoil;oilfilter", "", 0, "Joss", "Orde brought the oil"},
	{209, 7, 40, "TD1", "drain", "rust", 0, "Wilm", "a few flakes"},
	{122, 7, 35, "TD1", "drain", "clean", 0, "Wilm", ""},
	{47, 7, 45, "TD1", "drain;grease", "clean", 0, "Wilm", ""},
	{20, 16, 40, "TD1", "", "", 0, "Anselm", ""},

	// The last days.
	{6, 7, 20, "WF1", "drain", "clean", 0, "Wilm", ""},
	{6, 7, 35, "WF2", "drain", "water", 45, "Wilm", "float ring up"},
	{6, 7, 50, "WF3", "drain", "clean", 0, "Wilm", ""},
	{5, 7, 10, "RT1", "drain", "water", 8, "Joss", "left out in the rain"},
	{5, 16, 30, "WS1", "", "", 0, "Dot", ""},
	{4, 7, 30, "OM1", "", "", 0, "Dot", ""},
	{4, 7, 35, "OM2", "drain", "clean", 0, "Dot", "still clean"},
	{3, 7, 15, "BL1", "drain", "clean", 0, "Wilm", ""},
	{3, 7, 25, "21", "drain", "clean", 0, "Joss", ""},
	{3, 17, 20, "HT1", "", "", 0, "Hester", ""},
	{2, 7, 40, "WF2", "drain", "water", 30, "Wilm", "again, the cap looks poor"},
	{2, 7, 55, "PG1", "drain", "clean", 0, "Wilm", "after the test run"},
	{1, 7, 15, "21", "", "", 0, "Dot", ""},
	{0, 7, 0, "RT1", "", "", 0, "Runa", "yard walk"},
	{0, 7, 10, "BL1", "", "", 0, "Runa", "yard walk"},
	{0, 16, 40, "TD1", "", "", 0, "Anselm", "read after the ditch job"},
	{0, 17, 20, "HT1", "", "", 0, "Hester", ""},
}

// sight is what a drain shows, and how often in a thousand.
type sight struct {
	weight  int
	finding string
	least   int // millilitres, drawn up to most; 0 is not measured
	most    int
	notes   []string // one of them, now and then
}

var sights = []sight{
	{870, "clean", 0, 0, []string{"", "", "", "", "", "", "", "", "", "clear fuel to the end"}},
	{85, "water", 2, 9, []string{"", "", "washed the day before", "rain all week"}},
	{20, "water", 10, 15, []string{"filled from the can", "rain all week"}},
	{13, "water", 0, 0, []string{"a few drops", "not measured"}},
	{7, "debris", 0, 0, []string{"grit", "a bit of leaf"}},
	{5, "ringup", 0, 0, []string{"drained till it was clear"}},
}

// remarks are what is written beside a reading, mostly nothing; the last few
// only of machines that get about.
var remarks = []string{
	"", "", "", "", "", "", "", "", "", "", "", "", "", "", "",
	"meter glass is dull", "cobwebs swept off",
	"dusty", "back from the low block", "parked under the lean-to",
}

// placeBound is how many of the remarks fit a machine that is fixed.
const placeBound = 17
