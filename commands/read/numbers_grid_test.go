package read

import (
	"strings"
	"testing"
)

// The grids of this file cross short lists of how people write figures, machines
// and days with how they put them in a sentence. A cell that fails names the two
// that do not go together.

// crossing is a list of words crossed with a list of sentences, in which "%" stands
// for the word.
type crossing struct {
	name      string
	words     []string
	sentences []string
	want      string // what each must come to
}

func (g crossing) run(t *testing.T, ctx Context) {
	t.Run(g.name, func(t *testing.T) {
		bad, said := map[string]int{}, 0
		for _, w := range g.words {
			for _, s := range g.sentences {
				text := strings.Replace(s, "%", w, 1)
				got := short(Read(text, shedNames, ctx).Candidates[0].Acts)
				if got == g.want {
					continue
				}
				bad["word "+w]++
				bad["sentence "+s]++
				if said++; said <= 40 {
					t.Errorf("%q\n  got  %s\n  want %s", text, got, g.want)
				}
			}
		}
		for k, n := range bad {
			if n > 1 {
				t.Logf("%3d fail with %s", n, k)
			}
		}
	})
}

// figures1541 are ways to write or say what RT1's meter shows.
var figures1541 = []string{"1541.2", "1541,2", "1,541.2", "1541.2h", "1541.2 h", "1541.2hrs", "1541.2 hrs", "1541.2 hours", "1541.2 hr",
	"1541.2 on it", "1541 point 2", "1541 pt 2", "1541 decimal 2", "1541 dot 2", "fifteen forty one point two", "fifteen forty-one point two",
	"fifteen hundred forty one point two", "fifteen hundred and forty one point two", "one thousand five hundred forty one point two",
	"one thousand five hundred and forty-one point two", "one five four one point two", "fifteen forty one and two tenths",
	"1541 and two tenths", "fifteen four one point two", "fifteen forty one decimal two", "1541.2 hrs on the clock", "1541.2 engine hours",
	"1541.2 on the meter", "1541 .2"}

var readingSentences = []string{"rt1 %", "rt1 at %", "rt1 @ %", "rt1 is at %", "rt1's at %", "rt1 sits at %", "rt1 sitting on %", "rt1 reads %",
	"rt1 reading %", "rt1 showing %", "rt1 says %", "rt1 meter says %", "rt1 clock %", "rt1 hr meter %", "rt1 hourmeter %", "rt1 hours %", "rt1 hrs %",
	"rt1 - %", "rt1: %", "rt1 = %", "rt1 (%)", "rt1, %", "rt1 now %", "rt1 now at %", "rt1 is now at %", "rt1 has %", "rt1 got %", "rt1 hit %",
	"rt1 up to %", "rt1 clocked %", "got % on rt1", "% on rt1", "% rt1", "% for rt1", "just looked at rt1 its at %", "just looked at rt1, %",
	"checked rt1, shes at %", "rt1 this morning %", "rt1 today %", "this morning rt1 was at %", "meter on rt1 is %", "meter on rt1 reads %",
	"hour meter on rt1 shows %", "clock on rt1 says %", "the clock in rt1 reads %", "the hours on rt1 are %", "hours on rt1 are %", "hours for rt1 %",
	"um rt1 is at %", "ok so rt1 is at uh %", "so i looked at rt1 and it was at %", "morning. rt1 %", "rt1 % hours update", "hey rt1 is sitting at %",
	"i make it % on rt1", "rt1 % this morning", "rt1 % today", "rt1 is showing % now", "reading for rt1 is %", "reading on rt1 %", "row tractor one is at %",
	"rt1 shut down at %", "parked rt1 at %", "rt1 parked up, %", "that's rt1 at %", "rt1 ended the day on %",
	"rt1 just ticked over to %", "put down % for rt1", "rt1 meter now at %", "rt1 meter is at %",
	"rt1s meter reads %", "rt1's clock says %", "rt1 current hours %", "rt1 total hours %", "log rt1 at %", "log % for rt1", "enter rt1 %",
	"rt1 number is %", "todays number for rt1 is %", "rt1 today's hours %"}

func TestReadingGrid(t *testing.T) {
	crossing{"readings", figures1541, readingSentences, "reading RT1 1541.2"}.run(t, base())
	crossing{"work", figures1541, []string{"rt1 % drained", "drained rt1 at %", "rt1 drained at %", "rt1 drained, %", "rt1 drained %", "% rt1 drained", "rt1 at %, drained it",
		"rt1 at % drained", "rt1 % and drained", "rt1 % - drained", "drained rt1 %", "drained rt1, it's at %", "drained rt1 its at %", "drained rt1 and it's at %", "i drained rt1 and it was at %",
		"just drained rt1 at %", "drained rt1 this morning at %", "rt1 drained this morning, %", "rt1 drained, meter %", "rt1 drained. meter reads %",
		"rt1 drained. %", "rt1 is at % and i drained it", "went out to rt1 it was at % so i drained it", "rt1 - drained - %", "rt1 got drained at %", "drain done on rt1 at %", "drained rt1 (%)",
		"rt1 drained by me at %", "at % i drained rt1", "rt1 %, got drained", "drained rt1 with % showing", "drained rt1 with % on the clock"}, "reading RT1 1541.2; service RT1 1541.2 drain"}.run(t, base())
}

func TestMachineGrid(t *testing.T) {
	work := []string{"drained %", "% drained", "just drained %", "drained % this morning", "% got drained", "% was drained", "i drained %", "got % drained", "% drained just now", "um drained % ok", "% has been drained", "drained % today"}
	one := func(name, tag string, words ...string) {
		crossing{name, words, work, "service " + tag + " drain"}.run(t, base())
	}
	one("tag", "RT1", "rt1", "RT1", "RT-1", "rt 1", "r t 1", "rt one", "are tee one", "ar tee one", "r.t.1", "rt#1", "rt number one", "rt number 1",
		"tractor rt1", "the rt1", "old rt1", "our rt1", "rt01", "rt_1", "RT 01", "machine rt1", "unit rt1", "rt1 tractor", "are t one", "R T one")
	one("name", "RT1", "row tractor 1", "row tractor one", "row tractor number one", "row tractor number 1", "row tractor #1", "rowtractor1",
		"row tracter 1", "row trctr 1", "number one row tractor", "number 1 row tractor", "no 1 row tractor", "granny", "grany", "old granny", "the granny", "good old granny", "Granny (rt1)", "rt1 granny", "granny, rt1,")
	one("part", "WF1", "ridge fan", "the ridge fan", "ridge frost fan", "rige fan", "ridgefan", "the fan on the ridge", "fan on the ridge", "ridge's fan", "ridge fan wf1", "the frost fan on the ridge", "ridge one", "the fan up on the ridge", "frost fan one", "fan 1", "fan one", "fan number one", "frost fan 1", "wf one", "double u eff one", "w f one")
	one("owner", "HT1", "haul tractor", "the hauler", "hauler", "hualer", "the haul tractor", "that haul tractor")
	one("others", "OM2", "wide mower", "the wide mower", "wide orchard mower", "mower 2", "mower two", "the other mower om2", "om two", "oh em two", "o m 2", "wide mowr")
	one("generator", "PG1", "genny", "the genny", "genset", "the generator", "genrator", "generater", "packing genset", "packing shed generator", "packing shed genny", "pee gee one", "the gennie", "geny", "gennerator")
	one("figure", "21", "21", "twenty one", "twenty-one", "spray tractor", "spray tractor 21", "spray tractor twenty one", "tractor 21", "tractor twenty one", "number 21", "#21", "the 21", "dosing tractor", "spray tracter", "unit 21")
	two := func(name, want string, words ...string) {
		crossing{name, words, []string{"drained %", "% drained", "just drained %", "% got drained", "% have been drained", "i drained %", "% all drained"}, want}.run(t, base())
	}
	two("both", "service RT1 drain; service RT2 drain", "rt1 and rt2", "rt1 & rt2", "rt1 n rt2", "rt1+rt2", "rt1/rt2", "rt1 + 2", "rt1&2", "rt1 and 2", "rt1 n 2", "rt1/2", "rt1 rt2", "rt1, rt2", "both row tractors", "both the row tractors", "both of the row tractors",
		"the two row tractors", "two row tractors", "the row tractors", "row tractors", "row tractors 1 and 2", "row tractor 1 and 2", "row tractor one and two", "row tractors one and two", "rt1 plus rt2", "rt1 as well as rt2", "granny and rt2", "granny and the low row tractor", "rt 1 and 2")
	two("three", "service WF1 drain; service WF2 drain; service WF3 drain", "all three fans", "all 3 fans", "all the fans", "all fans", "all the frost fans", "every fan", "every one of the fans", "each of the fans", "each fan", "the fans", "frost fans", "the three fans", "the 3 fans", "3 fans", "fans 1 2 and 3", "fans 1, 2 and 3",
		"wf1 2 and 3", "wf1, 2 and 3", "wf1 2 3", "wf1 2 n 3", "wf1-3", "wf1 to 3", "wf1 thru 3", "wf1 to wf3", "wf1 thru wf3", "wf1 through wf3", "wf1, wf2 and wf3", "wf1 wf2 wf3", "ridge, hollow and river", "ridge fan hollow fan river fan", "wf1 wf2 and the river fan", "all three of the fans", "all three of the frost fans", "the whole lot of fans")
	two("but", "service WF1 drain; service WF3 drain", "all fans but wf2", "all the fans but the hollow one", "all fans except wf2", "all the fans bar the hollow one", "all but wf2 of the fans", "every fan but the hollow", "all the fans apart from wf2", "the fans except the hollow fan", "all fans minus wf2", "every fan except the hollow fan", "all three fans except wf2", "wf1 and wf3", "wf1 and 3", "the ridge and river fans", "ridge and river fans", "fans 1 and 3", "frost fans 1 and 3", "ridge fan and river fan", "the ridge fan and the river one", "all fans, not the hollow")
}
