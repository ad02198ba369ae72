package read

import (
	"io"
	"path"
	"strings"
	"testing"
	"time"

	"woodruff/engine"
)

// seeds are messages of every family that the metamorphic tests and the fuzzer
// start from.
var seeds = []string{
	"rt1 1541.2 drained, bit of water", "greased 21 and om1", "all three frost fans drained clean",
	"oil and filter on bl1 3361.0, greased", "21 took 30l of winter", "ridge fan wont start",
	"hollow fan 613 drained. ring was up, half a bowl of water", "when was rt1 last drained",
	"that was rt2 not rt1", "remind me about greasing om1 on monday", "gonna drain rt2 after lunch",
	"both filters on the genny yesterday", "the mower is greased", "wilm drained pg1", "rt1 15 something",
	"new hour meter on the loader, old one quit at 3361.3 new one starts at 0",
	"RT1 separator every 400 h or 12 months", "welded the bracket on om1", "whats due this week",
}

// TestMetamorphic says the same in other dress: the reading stays, or it is
// asked; it never becomes another write.
func TestMetamorphic(t *testing.T) {
	changes := map[string]func(string) string{
		"capitals":   strings.ToUpper,
		"spaces":     func(s string) string { return "  " + strings.ReplaceAll(s, " ", "  ") + " " },
		"point":      func(s string) string { return s + "." },
		"marks":      func(s string) string { return s + " !!" },
		"greeting":   func(s string) string { return "morning, " + s },
		"politeness": func(s string) string { return s + " thanks" },
		"please":     func(s string) string { return s + ", cheers guys" },
		"typo": func(s string) string {
			return strings.NewReplacer("drained", "drianed", "greased", "greasd", "filter", "fliter").Replace(s)
		},
		"machine": func(s string) string { return strings.NewReplacer("ridge fan", "wf1", "hollow fan", "wf2").Replace(s) },
	}
	for _, s := range seeds {
		want := Read(s, shedNames, base()).Candidates[0].Acts
		for name, change := range changes {
			got := Read(change(s), shedNames, base()).Candidates[0].Acts
			if strings.ToLower(short(got)) != strings.ToLower(short(want)) && (Writes(got) || got[0].Kind == Chat && Writes(want)) {
				t.Errorf("%s: %q\n  got  %s\n  want %s", name, change(s), short(got), short(want))
			}
		}
	}
}

// TestOtherMachine: another machine of the same kind changes the machine only.
func TestOtherMachine(t *testing.T) {
	for _, s := range []string{"%s 9.9 drained clean", "put 20 litres of winter in %s", "%s wont start", "when was %s last greased"} {
		a := short(Read(strings.ReplaceAll(s, "%s", "wf1"), shedNames, base()).Candidates[0].Acts)
		b := short(Read(strings.ReplaceAll(s, "%s", "river fan"), shedNames, base()).Candidates[0].Acts)
		if strings.ReplaceAll(a, "WF1", "WF3") != b {
			t.Errorf("%q: %s is not %s", s, a, b)
		}
	}
}

// TestNearNames: a slip that could be two machines is asked about.
func TestNearNames(t *testing.T) {
	n := NewNames([]engine.Machine{{ID: 1, Tag: "A1", Name: "Barton"}, {ID: 2, Tag: "A2", Name: "Burton"}, {ID: 3, Tag: "A3", Name: "Crawler"}}, nil)
	for text, one := range map[string]bool{"berton drained": false, "barton drained": true, "crawlr drained": true} {
		a := Read(text, n, Context{Day: today}).Candidates[0].Acts
		if Writes(a) != one {
			t.Errorf("%q: %v", text, a)
		}
	}
}

// TestAddAWord: one line of data is all that a new word takes.
func TestAddAWord(t *testing.T) {
	open := func(name string) (io.Reader, error) {
		b, err := dataFiles.ReadFile(path.Join("data", name))
		if name == "work.csv" {
			b = append(b, "swilled,verb,drain\n"...)
		}
		return strings.NewReader(string(b)), err
	}
	plain := Read("swilled rt1", shedNames, base()).Candidates[0].Acts
	if Writes(plain) {
		t.Fatalf("the word is known already: %s", short(plain))
	}
	was := lex
	defer func() { lex = was }()
	var err error
	if lex, err = load(open); err != nil {
		t.Fatal(err)
	}
	if got := short(Read("swilled rt1", shedNames, base()).Candidates[0].Acts); got != "service RT1 drain" {
		t.Errorf("got %s", got)
	}
}

// TestExplain: the lines are there when asked for and change nothing.
func TestExplain(t *testing.T) {
	for _, s := range seeds {
		plain, told := Read(s, shedNames, base()), Explain(s, shedNames, base())
		if short(plain.Candidates[0].Acts) != short(told.Candidates[0].Acts) {
			t.Errorf("%q reads otherwise when explained", s)
		}
		if len(told.Why) < 2 || len(plain.Why) != 0 {
			t.Errorf("%q: %d lines, %d without asking", s, len(told.Why), len(plain.Why))
		}
	}
}

// TestLong: what is far too long is not read; what is just short enough costs
// time in step with its length.
func TestLong(t *testing.T) {
	if got := Read(strings.Repeat("rt1 drained ", 900), shedNames, base()).Candidates[0].Acts[0].Kind; got != Chat {
		t.Errorf("ten thousand characters: %s", got)
	}
	for _, part := range []string{"rt1 drained clean, ", "and ", "one ", "rt1 ", "not ", "oil ", "? ", "1 "} {
		took := func(n int) time.Duration {
			s := strings.Repeat(part, n/len(part))
			best := time.Hour
			for range 5 {
				start := time.Now()
				Read(s, shedNames, base())
				best = min(best, time.Since(start))
			}
			return best
		}
		small, large := took(600), took(6000)
		if large > 40*small && large > 40*time.Millisecond {
			t.Errorf("%q: ten times the length took %v instead of %v", part, large, small)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range seeds {
		f.Add(s, uint8(0))
	}
	f.Add("nope its up. 21 3311.0", uint8(1))
	f.Add("yes friday", uint8(2))
	f.Fuzz(func(t *testing.T, s string, mode uint8) {
		ctx := base()
		switch mode % 5 {
		case 1:
			ctx.Asked = &Asked{Machine: 4, Check: engine.CheckRing}
		case 2:
			ctx.Asked = &Asked{Ask: AskDay, Held: []Act{{Kind: PutOff, Machine: 1, Wants: []Slot{AskDay}}}}
		case 3:
			ctx.Reply = &Reply{Machine: 1, Jobs: []engine.Job{engine.Drain}}
		case 4:
			ctx.Thread, ctx.Mention = 5, true
		}
		a, b := Read(s, shedNames, ctx), Read(s, shedNames, ctx)
		if len(a.Candidates) == 0 || len(a.Candidates[0].Acts) == 0 {
			t.Fatal("no reading")
		}
		if short(a.Candidates[0].Acts) != short(b.Candidates[0].Acts) {
			t.Fatalf("read twice, twice otherwise: %s / %s", short(a.Candidates[0].Acts), short(b.Candidates[0].Acts))
		}
		for _, act := range a.Candidates[0].Acts {
			if act.Kind == Unclear && act.Ask == "" {
				t.Fatal("asks for nothing")
			}
			if act.Kind == Unclear && len(a.Candidates[0].Acts) > 1 {
				t.Fatal("writes beside a question")
			}
			if len(act.Options) > 6 {
				t.Fatal("more than six options")
			}
		}
	})
}

// fleet is a shed of n machines with the demo's kinds of names.
func fleet(n int) []engine.Machine {
	kinds := []string{"tractor", "loader", "mower", "frost fan", "pump"}
	var out []engine.Machine
	for i := range n {
		k := kinds[i%len(kinds)]
		tag := strings.ToUpper(k[:2]) + itoa(i+1)
		out = append(out, engine.Machine{ID: engine.MachineID(i + 1), Tag: tag, Name: "Block " + itoa(i+1) + " " + k, Kind: k})
	}
	return out
}

// BenchmarkRead is the time per message in sheds of 14, 200 and 5,000 machines.
func BenchmarkRead(b *testing.B) {
	for _, n := range []int{14, 200, 5000} {
		names := NewNames(fleet(n), crew)
		ctx := Context{Day: today}
		b.Run(itoa(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Read("tr11 1541.2 drained clean, bit of water", names, ctx)
			}
		})
	}
}

// BenchmarkBare is the least that any reader must do: one pass of tokenising
// and one look-up per token.
func BenchmarkBare(b *testing.B) {
	b.ReportAllocs()
	known := 0
	for b.Loop() {
		for _, t := range tokenize("tr11 1541.2 drained clean, bit of water") {
			if lex.vocab.known[t.w] {
				known++
			}
		}
	}
}
