package read

import (
	"flag"
	"strings"
	"testing"
)

// seenCell is a word of a grid and what it adds to the acts.
type seenCell struct{ say, want string }

// seenGrid reads every word of every list in every frame. In a frame and in what it
// expects, % stands for the word; a frame without % in its acts expects them
// whatever the word. Failures are counted, the first dozen are shown.
func seenGrid(t *testing.T, ctx Context, frames, cells []seenCell) {
	t.Helper()
	bad, all := 0, 0
	for _, f := range frames {
		for _, c := range cells {
			msg, want := strings.ReplaceAll(f.say, "%", c.say), strings.ReplaceAll(f.want, "%", c.want)
			all++
			got := short(Read(msg, shedNames, ctx).Candidates[0].Acts)
			if got == want {
				continue
			}
			if bad++; bad <= *gridShown {
				t.Errorf("%q in %q: %q:\n\tgot  %s\n\twant %s", c.say, f.say, msg, got, want)
			}
		}
	}
	if bad > 0 {
		t.Errorf("%d of %d cells are read otherwise", bad, all)
	}
}

// gridShown is how many failing cells a grid prints.
var gridShown = flag.Int("gridshown", 12, "failing cells printed per grid")

func seenWords(want string, words ...string) []seenCell {
	out := make([]seenCell, len(words))
	for i, w := range words {
		out[i] = seenCell{w, want}
	}
	return out
}

func joinCells(lists ...[]seenCell) []seenCell {
	var out []seenCell
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}

// amounts of water, as they stand before "water" or "wtr".
var (
	traceWords = seenWords(" trace", "bit of", "a bit of", "a lil bit of", "little", "a little", "just a touch of", "tiny bit", "a tiny bit of", "tad", "few drops", "a few drops of", "couple drops",
		"a couple of drops of", "3 drops of", "maybe 2 drops of", "trace of", "a trace of", "slight trace of", "a small splash of", "a dribble of", "hardly any", "barely any", "a smidge of", "a smidgen of",
		"the odd drop of", "a drop or two of", "only a few drops of", "just a small bit of", "wee bit of", "a wee drop of", "very little", "lil bit", "a hint of", "a speck of", "few small drops of", "a couple tiny drops of", "1 drop of")
	someWords = seenWords(" some", "some", "a few tablespoons of", "few tbsp", "fair bit of", "a good bit of", "a few spoonfuls of", "a fair amount of", "quite a bit of", "a decent amount of", "several tablespoons of", "2-3 tbsp of", "2 or 3 tablespoons of", "a good few spoons of", "3 spoons of", "two or three spoonfuls", "a shot of", "a good splash of", "less than half a bowl of", "a quarter bowl of", "a third of a bowl of", "a glug of", "a decent drop of")
	lotsWords = seenWords(" lots", "lots of", "a lot of", "lot of", "loads of", "lotta", "tons of", "a ton of", "heaps of", "plenty of", "a whole lot of", "half a bowl of", "half a bowl", "1/2 bowl", "half bowl of", "over half a bowl of",
		"a full bowl of", "a bowl full of", "bowlful of", "nearly a full bowl of", "3/4 of a bowl of", "three quarters of a bowl of", "a bunch of", "a whole bunch of", "way too much", "a good cup or more of", "an awful lot of", "a real lot of", "a bloody lot of", "more than a cup of", "most of a bowl of", "more than half the bowl of", "two thirds of a bowl of", "shitload of", "a huge amount of", "buckets of")
	mlWords = joinCells(seenWords(" 30ml", "2 tbsp", "2 tbsp of", "two tablespoons", "2 tablespoons of", "a couple tablespoons of", "couple tbsp", "about 2 tbsp", "2 tbl of", "2tbsp", "30 ml", "30ml of", "30 mls", "thirty mils of", "30cc of", "6 tsp of", "roughly 30 ml of", "abt 30 ml"),
		seenWords(" 15ml", "a tablespoon of", "tablespoon of", "1 tbsp", "one tablespoon", "a tbsp of", "tbsp", "maybe a tablespoon of", "a good tablespoon of", "a full tablespoon", "15 ml", "about a tbsp of"),
		seenWords(" 5ml", "a teaspoon of", "tsp of", "1 tsp", "a tsp", "teaspoon", "5 ml of", "5 mil of", "about a teaspoon of", "a single teaspoon of"),
		seenWords(" 10ml", "2 tsp", "couple tsp of", "a couple of teaspoons of", "10ml", "10 millilitres of", "ten ml"),
		seenWords(" 120ml", "half a cup", "half a cup of", "half cup", "1/2 cup", "1/2 a cup of", "a half cup of", "about half a cup of", "120 ml"),
		seenWords(" 60ml", "1/4 cup", "quarter cup of", "a quarter of a cup of", "a quarter cup", "60 ml", "4 tbsp"),
		seenWords(" 240ml", "a cup of", "cup of", "1 cup", "one cup of", "a whole cup of", "about a cup of", "240 ml", "a full cup of"),
		seenWords(" 360ml", "a cup and a half of", "1 1/2 cups of", "one and a half cups of", "1.5 cups"),
		seenWords(" 480ml", "2 cups of", "two cups", "couple cups of", "2 full cups of"),
		seenWords(" 7.5ml", "half a tablespoon of", "1/2 tbsp", "a tsp and a half of", "1.5 tsp"),
		seenWords(" 2.5ml", "half a teaspoon of", "1/2 tsp"),
		seenWords(" 180ml", "3/4 cup", "three quarters of a cup of", "3/4 of a cup of"))
)

// TestWaterGrid: each amount in each frame of work with what came out.
func TestWaterGrid(t *testing.T) {
	both := "service RT1 drain; finding RT1 water%"
	frames := []seenCell{
		{"rt1 drained, % water", both},
		{"rt1 drained % wtr", both},
		{"drained rt1 % water in it", both},
		{"drained rt1. % water in the bowl", both},
		{"drained rt1, had % water", both},
		{"drained the bowl on rt1 and got % water", both},
		{"drained granny there was % water in it this time", both},
		{"just drained rt1 - % h2o", both},
		{"drained rt1 and % water came out", both},
		{"got rt1 drained, % water again", both},
		{"rt1 bowl drained, found % water in there", both},
		{"% water in rt1, drained it", both},
		{"% water in rt1 bowl, drained", both},
		{"rt1 had % water in the bowl so i drained it", both},
		{"found % water when i drained rt1", both},
		{"there was % water in rt1 when i drained it", both},
		{"rt1 drained w/ % water", both},
		{"rt1 drained with % water in the bowl", both},
	}
	seenGrid(t, base(), frames, joinCells(traceWords, someWords, lotsWords, mlWords))
}

// TestWaterAloneGrid: what is in the bowl, without a word on work.
func TestWaterAloneGrid(t *testing.T) {
	frames := []seenCell{
		{"% water in rt1 bowl", "finding RT1 water%"},
		{"rt1 had % water in the bowl", "finding RT1 water%"},
		{"rt1 bowl has % water in it", "finding RT1 water%"},
		{"theres % water in the bowl on rt1", "finding RT1 water%"},
		{"found % water in rt1 bowl this morning", "finding RT1 water%"},
		{"rt1 bowl: % water", "finding RT1 water%"},
	}
	seenGrid(t, base(), frames, joinCells(traceWords, someWords, lotsWords, mlWords))
}

// TestWaterBehindGrid: the amount behind the water.
func TestWaterBehindGrid(t *testing.T) {
	frames := []seenCell{
		{"rt1 drained, water %", "service RT1 drain; finding RT1 water%"},
		{"rt1 drained. water, %", "service RT1 drain; finding RT1 water%"},
		{"rt1 drained, water in it, %", "service RT1 drain; finding RT1 water%"},
		{"rt1 drained, there was water, %", "service RT1 drain; finding RT1 water%"},
	}
	seenGrid(t, base(), frames, joinCells(
		seenWords(" trace", "a bit", "a few drops", "just a trace", "tiny bit", "couple drops", "not much", "a little", "barely any", "hardly any"),
		seenWords(" some", "a fair bit", "a few tablespoons", "quite a bit", "few tbsp"),
		seenWords(" lots", "lots", "a lot", "loads", "half a bowl", "tons", "half a bowl at least", "plenty", "heaps"),
		seenWords(" 30ml", "2 tbsp", "about 2 tbsp", "couple tablespoons", "30 ml", "maybe 30 ml"),
		seenWords(" 120ml", "half a cup", "about half a cup", "1/2 cup"),
		seenWords(" 15ml", "a tablespoon", "1 tbsp", "maybe a tablespoon")))
}

// TestCleanGrid: nothing in the bowl.
func TestCleanGrid(t *testing.T) {
	both := "service RT1 drain; finding RT1 clean"
	frames := []seenCell{
		{"rt1 drained, %", both},
		{"rt1 drained %", both},
		{"drained rt1, %", both},
		{"drained rt1. %", both},
		{"rt1 drained and %", both},
		{"rt1 drained - % this time", both},
		{"rt1 drained, % again", both},
		{"drained the bowl on rt1 %", both},
	}
	seenGrid(t, base(), frames, seenWords("", "clean", "cln", "all clean", "nice and clean", "nice n clean", "clean as a whistle", "perfectly clean", "totally clean", "still clean", "clean fuel", "just clean fuel", "good clean diesel",
		"no water", "no wtr", "no water at all", "zero water", "not a drop", "not a drop of water", "no sign of water", "no trace of water", "didnt get any water", "didnt find any water", "didnt see any water", "found no water",
		"nothing in it", "nothing in the bowl", "nothing in there", "nothing at all in it", "nothing but fuel", "nothing but clean diesel", "came out clean", "came out nice and clean", "it was clean", "it was all clean", "bowl clean", "bowl was clean", "bowl was nice and clean", "bowl looked clean", "fuel looked clean", "fuel was nice and clear", "crystal clear", "clear as a bell", "there was no water", "there was nothing in it", "there wasnt any water in it", "there was no water in the bowl", "no water in it", "no water in the bowl", "bone clean", "real clean", "spotless", "had no water", "had no water in it", "wasnt any water in it", "no water or dirt", "no dirt no water", "no water no crud", "no moisture", "zip", "nada", "diddly"))
}

// TestFindingGrid: each finding in each frame.
func TestFindingGrid(t *testing.T) {
	frames := []seenCell{
		{"rt1 drained, %", "service RT1 drain; finding RT1 %"},
		{"rt1 drained, some % in it", "service RT1 drain; finding RT1 %"},
		{"drained rt1 and found % in the bowl", "service RT1 drain; finding RT1 %"},
		{"drained rt1, % in bowl", "service RT1 drain; finding RT1 %"},
		{"drained rt1 there was a bit of % in it", "service RT1 drain; finding RT1 %"},
		{"drained rt1 lots of %", "service RT1 drain; finding RT1 %"},
		{"% in rt1 bowl", "finding RT1 %"},
		{"found a little % in rt1 bowl", "finding RT1 %"},
		{"rt1 bowl has % in it", "finding RT1 %"},
		{"rt1 bowl had some % in the bottom", "finding RT1 %"},
		{"drained rt1, got a few drops of water and some %", "service RT1 drain; finding RT1 water trace; finding RT1 %"},
		{"drained rt1, bit of water n % in it", "service RT1 drain; finding RT1 water trace; finding RT1 %"},
		{"drained rt1, no water but some %", "service RT1 drain; finding RT1 %"},
		{"drained rt1, no water just %", "service RT1 drain; finding RT1 %"},
		{"rt1 swapped the separator, % in the old bowl", "service RT1 separator; finding RT1 %"},
	}
	seenGrid(t, base(), frames, joinCells(
		seenWords("rust", "rust", "rust flakes", "flakes of rust", "rusty bits", "rust specks", "rusty crap", "fine rust", "rust particles", "surface rust", "rusty flakes", "brown rust", "orange rust"),
		seenWords("slime", "slime", "black slime", "dark jelly", "jelly", "algae", "black jelly", "goo", "snot", "growth", "brown slime", "dark slime", "black goo", "slimy stuff", "black slimy stuff", "slimy crap"),
		seenWords("debris", "dirt", "crud", "grit", "sediment", "debris", "black specks", "sand", "gunk", "lots of junk", "some crap", "junk in the bowl", "dirt n crud", "little black specks", "bits of dirt", "particles", "specks of dirt", "fine grit", "black bits", "dirty bits"),
		seenWords("wax", "wax", "wax flakes", "waxy stuff", "wax crystals", "waxy bits", "white wax"),
		seenWords("ice", "ice", "ice crystals", "slush", "chunks of ice", "bits of ice")))
}

// TestStateGrid: the o-ring's and the bowl's states, alone and beside work.
func TestStateGrid(t *testing.T) {
	rings := []seenCell{}
	for _, noun := range []string{"oring", "o ring", "o-ring", "old oring", "bowl o ring", "the old o-ring", "oh ring", "bowl oring"} {
		for _, s := range []string{"swollen", "swole up", "all swole up", "swelled up", "puffed up", "was swollen", "is all swollen up", "had swelled up", "badly swollen", "bit swollen", "was real swollen"} {
			rings = append(rings, seenCell{noun + " " + s, "swollen-oring"})
		}
		for _, s := range []string{"cracked", "hard", "was hard", "hard as a rock", "was flat", "flattened", "brittle", "is brittle", "was hard and cracked", "had gone hard", "all dried out", "was cracked right thru", "gone brittle", "totally flat", "pretty hard"} {
			rings = append(rings, seenCell{noun + " " + s, "hard-oring"})
		}
	}
	rings = append(rings, seenWords("swollen-oring", "swollen oring", "swollen up o ring")...)
	rings = append(rings, seenWords("hard-oring", "cracked oring", "hard o ring", "brittle o-ring", "flat oring")...)
	for _, s := range []string{"warped", "was warped", "is a bit warped", "looks warped", "badly warped", "bent", "is distorted", "out of shape", "was all warped", "is slightly warped"} {
		rings = append(rings, seenCell{"bowl " + s, "warped-bowl"}, seenCell{"the bowl " + s, "warped-bowl"})
	}
	frames := []seenCell{
		{"drained rt1, %", "service RT1 drain; finding RT1 %"},
		{"drained rt1. %", "service RT1 drain; finding RT1 %"},
		{"drained rt1, clean, %", "service RT1 drain; finding RT1 clean; finding RT1 %"},
		{"rt1 %", "finding RT1 %"},
		{"% on rt1", "finding RT1 %"},
		{"rt1 separator changed, %", "service RT1 separator; finding RT1 %"},
	}
	seenGrid(t, base(), frames, rings)
}

// TestRingGrid: the float ring.
func TestRingGrid(t *testing.T) {
	frames := []seenCell{
		{"drained rt1, %", "service RT1 drain; finding RT1 ringup"},
		{"rt1 drained. %", "service RT1 drain; finding RT1 ringup"},
		{"rt1 %, drained it", "service RT1 drain; finding RT1 ringup"},
		{"% on rt1 so i drained it", "service RT1 drain; finding RT1 ringup"},
		{"rt1 %", "finding RT1 ringup"},
		{"drained rt1, %, some water", "service RT1 drain; finding RT1 ringup; finding RT1 water some"},
		{"drained rt1 cuz %", "service RT1 drain; finding RT1 ringup"},
	}
	seenGrid(t, base(), frames, seenWords("", "ring up", "ring was up", "the ring was up", "float ring up", "float up", "float was up", "red ring up", "red ring was up", "ring had come up", "ring came up", "ring floating", "ring was floating",
		"ring is up", "rings up", "ring was right up", "ring was way up", "ring was all the way up", "the float was up again", "ring half up", "ring was half way up", "float ring had risen", "ring was at the top", "the little red ring was up", "red float was up"))
}

// TestFluidGrid: weeps, air and clouded fuel, alone and beside work.
func TestFluidGrid(t *testing.T) {
	frames := []seenCell{
		{"rt1 %", "finding RT1 %"},
		{"rt1 drained clean, %", "service RT1 drain; finding RT1 clean; finding RT1 %"},
		{"% on rt1", "finding RT1 %"},
		{"drained rt1. %", "service RT1 drain; finding RT1 %"},
	}
	seenGrid(t, base(), frames[:2], seenWords("air", "air in the line", "bubbles in the clear line"))
	frames = append(frames[:1:1], frames[2:]...) // clouded fuel is not clean
	seenGrid(t, base(), frames, joinCells(
		seenWords("weep", "bowl weeping", "bowl is weeping", "bowl leaking a bit", "bowl drips", "weeping at the bowl", "bowl seeping fuel", "fuel weeping at the bowl", "fuel hose leaking", "fuel line is weeping a little", "seeping round the bowl", "wet with fuel round the bowl", "little weep at the bowl", "slight leak at the fuel filter", "bowl's dripping", "drip from the bowl", "fuel leak at the separator", "bowl gasket leaking", "leaking fuel at the bowl", "leaks a bit of fuel at the bowl", "bowl weeping slightly"),
		seenWords("air", "air in the line", "bubbles in the line", "bubbles in the clear line", "lots of bubbles in the line", "air bubbles in the fuel line", "few bubbles in the line", "some air in the line", "tiny bubbles in the clear line", "bubbles coming thru the line"),
		seenWords("cloudy", "fuel cloudy", "fuel was cloudy", "fuel looks cloudy", "fuel a bit cloudy", "fuel is kinda hazy", "cloudy fuel", "fuel looks milky", "milky fuel in the bowl", "fuel looked a bit hazy", "hazy fuel")))
}

// TestNoFindingGrid: plans, denials, questions and other meanings of the words.
func TestNoFindingGrid(t *testing.T) {
	frames := []seenCell{
		{"gonna check rt1 for %", "chat"},
		{"hope theres no % in rt1", "chat"},
		{"if theres % in rt1 drain it", "chat"},
		{"need to see if rt1 has % in it", "chat"},
		{"wilm reckons there might be % in rt1", "chat"},
		{"never seen so much % in my life", "chat"},
		{"theres % all over the road", "chat"},
		{"% in my boots", "chat"},
	}
	seenGrid(t, base(), frames, seenWords("", "water", "rust", "slime", "dirt", "ice", "some water", "a bit of water", "lots of water", "wax"))
	seenGrid(t, base(), []seenCell{
		{"rt1 drained, %", "service RT1 drain"},
		{"drained rt1. %", "service RT1 drain"},
	}, seenWords("", "ring down", "ring was down", "ring not up", "float was down", "the ring wasnt up"))
	seenGrid(t, base(), []seenCell{{"rt1 %", "chat"}},
		seenWords("", "bowl not leaking", "bowl isnt weeping", "no bubbles in the line", "oring not swollen", "o ring isnt cracked", "bowl isnt warped", "not leaking", "no air in the line", "oring looked good", "fuel isnt cloudy"))
}

// TestLetOutGrid: water got out of a bowl is a drain, whatever the verb.
func TestLetOutGrid(t *testing.T) {
	frames := []seenCell{
		{"pulled % water out of rt1", "service RT1 drain; finding RT1 water%"},
		{"let % water out of the bowl on rt1", "service RT1 drain; finding RT1 water%"},
		{"took % water out of the rt1 bowl", "service RT1 drain; finding RT1 water%"},
		{"got % water out of granny this morning", "service RT1 drain; finding RT1 water%"},
		{"drew % water off rt1", "service RT1 drain; finding RT1 water%"},
	}
	seenGrid(t, base(), frames, joinCells(seenWords(" trace", "a few drops of", "a bit of"), seenWords(" lots", "a lot of", "half a bowl of"), seenWords(" 30ml", "2 tbsp of", "about 30 ml"), seenWords(" 360ml", "a cup and a half of")))
	seenGrid(t, base(), []seenCell{{"gonna pull % water out of rt1", "chat"}, {"need to let % water out of rt1", "chat"}},
		seenWords("", "a bit of", "2 tbsp of", "a lot of"))
}
