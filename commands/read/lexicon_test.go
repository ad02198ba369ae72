package read

import (
	"io"
	"path"
	"strings"
	"testing"

	"woodruff/engine"
)

// used are the classes that the grammar looks at.
var used = strings.Fields(`and but except prep at det pron who all noun tagword aux glue joke say meterword
	sayshours newone oldone wh verb verb0 new ing event part other find cond-part amount symptom heat startup dies vague
	fuelverb fuel grade order fuelsrc unit day weekday daymod month vagueday agoword digit scale point small frac approx
	neg plan cond hear doubt req collask quote jest gone absent world needfuel habit rest yes no same fix undo help putoff pushverb
	waitverb waitfor until notnow willdo openwait ask askwhy askany asktell topic lastword hoursword topicfuel topicwater span
	pastspan doneon chk wetat gaugeword later didcheck addword ownerword callword renameword gone-retired gone-sold outword
	backword parkword wakeword sticker frommemory countword count0 unsureword every planoff rang tail wholeword tenthsword selfstart
	injection coldaid half misplaced undoit isaid cleft helplead newhand pol weekmod wrong shouldbe thatwas really notme plain mod wetword severeword bound`)

// TestRows: every row is of a class that the grammar knows, has a value that
// the engine knows, and is found again when its words are read.
func TestRows(t *testing.T) {
	known := map[class]bool{}
	for _, c := range used {
		known[class(c)] = true
	}
	open := func(name string) (io.Reader, error) { return dataFiles.Open(path.Join("data", name)) }
	for _, file := range append([]string{"questions", "checks"}, reportFiles...) {
		rows, err := readRows(open, file+".csv", 3)
		if err != nil {
			t.Fatal(err)
		}
		tree := lex.words
		switch file {
		case "questions":
			tree = lex.questions
		case "checks":
			tree = lex.checks
		}
		for _, row := range rows {
			if !known[class(row[1])] {
				t.Errorf("%s: no use for class %q", file, row[1])
			}
			for _, phrase := range strings.Split(row[0], "|") {
				if steps, _ := stepsOf(phrase); steps != nil {
					foundAsFrame(t, tree, steps)
					continue
				}
				rows := spellings(phrase)
				for _, toks := range rows {
					toks = withMembers(t, toks)
					if len(toks) == 0 {
						if len(rows) == 1 {
							t.Errorf("%s: a row of class %s has an empty phrase", file, row[1])
						}
						continue
					}
					senses, n := tree.longest(toks)
					if n != len(toks) || !(&item{senses: senses}).is(class(row[1]), row[2]) {
						t.Errorf("%s: %q is not found as %s %s", file, phrase, row[1], row[2])
					}
				}
			}
		}
	}
}

// foundAsFrame: the steps of a frame, one behind the other, are found as what the
// frame means, unless a longer or an older one says the same words.
func foundAsFrame(t *testing.T, tree *node, steps []string) {
	t.Helper()
	var toks []token
	want := 0
	for _, step := range steps {
		rows := spellings(strings.Trim(step, "()"))
		toks = append(toks, withMembers(t, rows[len(rows)-1])...)
		if step[0] != '(' {
			want = len(toks)
		}
	}
	if m := tree.frames.find(toks, nil); m.n < want {
		t.Errorf("%q is found as %d of %d words", strings.Join(steps, " + "), m.n, len(toks))
	}
}

// withMembers puts a word of each set for the set.
func withMembers(t *testing.T, toks []token) []token {
	out := append([]token(nil), toks...)
	for i := range out {
		if !isSet(out[i]) {
			continue
		}
		for w, sets := range lex.sets {
			for _, s := range sets {
				if s == out[i].w && (out[i].lem == out[i].w || w < out[i].lem) {
					out[i].lem = w
				}
			}
		}
		if out[i].lem == out[i].w {
			t.Errorf("no words in the set %s", out[i].w)
		}
		out[i].w = out[i].lem
	}
	return out
}

// TestValues: jobs, findings, symptoms and checks of the data are the engine's.
func TestValues(t *testing.T) {
	for key, row := range lex.jobs {
		for _, j := range row.jobs {
			if _, ok := engine.Job(j).Info(); !ok && !row.ask {
				t.Errorf("%v: no job %q", key, j)
			}
			if row.ask && jobOptions[j] == nil && j != "other" {
				t.Errorf("%v: nothing to offer for %q", key, j)
			}
		}
	}
	for w, to := range lex.spelling {
		if !lex.vocab.known[to] {
			t.Errorf("%q is corrected to %q, which is no word of the lexicon", w, to)
		}
		if w == to {
			t.Errorf("%q is no slip", w)
		}
	}
	for w, l := range lex.letters {
		if len(l.text) != 1 {
			t.Errorf("%q stands for %q", w, l.text)
		}
	}
}
