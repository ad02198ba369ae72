package read

import (
	"embed"
	"encoding/csv"
	"fmt"
	"io"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
)

//go:embed data/*.csv
var dataFiles embed.FS

// class is what a word or phrase of the lexicon is good for. The names stand
// in the data files.
type class string

// sense is one meaning of a phrase.
type sense struct {
	class class
	value string
}

// node is one step in the tree of phrases, word by word. A step may also be any
// word of a set.
type node struct {
	next   map[string]*node
	sets   map[string]*node
	senses []sense
	own    int        // senses of its own file, which come before those of the reports
	root   *node      // of the tree that the step was made for; others may share it
	frames *frameBook // of a whole tree, at its root
}

// lexicon is everything that the reader knows about words.
type lexicon struct {
	words     *node               // phrases of all reports
	questions *node               // the same, and the phrases of questions
	checks    *node               // the same, and the answers to checks
	asides    *node               // set phrases that report nothing
	limits    *node               // what a question is limited to
	marks     *node               // what a message is looked through for beside its acts
	vocab     *buckets            // single words, for spelling
	sets      map[string][]string // the sets that a word is in
	light     *node               // words without weight
	sounds    *node               // slips of speech recognition, by number
	hearings  []hearing           // what each of them means
	spelling  map[string]string
	mend      map[string]string // what a word does in a correction
	weights   map[string]string // what words beside a report are of: the weather, a machine
	letters   map[string]letter
	jobs      map[[2]string]jobRow
	partNames *partNames
	leads     *node             // words that lead to a form of a verb which tells of work done
	short     map[string]string // what a word of the trade is cut down to, to the word

	later []phrase // for the trees that branch off
}

// phrase is a row of a file with its words.
type phrase struct {
	toks  []token
	sense sense
	file  string
}

// letter is a spoken letter or digit of a tag.
type letter struct {
	text     string
	strength string // strong, weak (an everyday word as well), digit
}

// jobRow is what a verb does to a part.
type jobRow struct {
	jobs []string
	how  string
	ask  bool // which job it is must be asked
}

// reportFiles feed three trees; questions.csv, checks.csv, asides.csv, limits.csv
// and marks.csv one of their own.
var reportFiles = []string{"glue", "work", "findings", "symptoms", "fuel", "units", "days",
	"numbers", "silence", "talk", "shed", "everyday", "plain"}

// lex is filled when the first message is read: a process that reads none, such
// as one that makes the morning's post, goes without.
var lex = &lexicon{}

var fillLex = sync.OnceFunc(func() { *lex = *mustLoad() })

func mustLoad() *lexicon {
	l, err := load(openData)
	if err != nil {
		panic(err) // the embedded data is part of the program; tests load it too
	}
	return l
}

func openData(name string) (io.Reader, error) { return dataFiles.Open(path.Join("data", name)) }

// load builds a lexicon from its data files, which open gives by name.
func load(open func(name string) (io.Reader, error)) (*lexicon, error) {
	l := &lexicon{words: &node{}, questions: &node{}, checks: &node{}, asides: &node{}, limits: &node{}, marks: &node{}, sounds: &node{}, vocab: newBuckets(), sets: map[string][]string{},
		spelling: map[string]string{}, weights: map[string]string{}, letters: map[string]letter{}, jobs: map[[2]string]jobRow{}}
	if err := l.loadSets(open); err != nil {
		return nil, err
	}
	if err := l.loadLight(open); err != nil {
		return nil, err
	}
	for _, name := range append([]string{"questions", "checks", "asides", "limits", "marks"}, reportFiles...) {
		rows, err := readRows(open, name+".csv", 3)
		if err != nil {
			return nil, err
		}
		for _, row := range rows {
			for _, phrase := range strings.Split(row[0], "|") {
				l.add(phrase, sense{class(row[1]), row[2]}, name)
			}
		}
	}
	l.grow()
	if err := l.loadMend(open); err != nil {
		return nil, err
	}
	spelling, err := readRows(open, "spelling.csv", 2)
	if err != nil {
		return nil, err
	}
	for _, row := range spelling {
		l.spelling[row[0]] = row[1]
	}
	weights, err := readRows(open, "weights.csv", 2)
	if err != nil {
		return nil, err
	}
	for _, row := range weights {
		for _, w := range strings.Split(row[0], "|") {
			l.weights[w] = row[1]
		}
	}
	sounds, err := readRows(open, "sounds.csv", 3)
	if err != nil {
		return nil, err
	}
	l.loadSounds(sounds)
	short, err := readRows(open, "short.csv", 2)
	if err != nil {
		return nil, err
	}
	l.loadShort(short)
	leads, err := readRows(open, "leads.csv", 3)
	if err != nil {
		return nil, err
	}
	l.leads = &node{}
	l.grammar(l.leads, leads)
	pieces, err := readRows(open, "pieces.csv", 3)
	if err != nil {
		return nil, err
	}
	partnames, err := readRows(open, "partnames.csv", 4)
	if err != nil {
		return nil, err
	}
	l.loadPartNames(pieces, partnames)
	letters, err := readRows(open, "letters.csv", 3)
	if err != nil {
		return nil, err
	}
	for _, row := range letters {
		l.letters[row[0]] = letter{row[1], row[2]}
	}
	jobs, err := readRows(open, "jobs.csv", 4)
	if err != nil {
		return nil, err
	}
	for _, row := range jobs {
		list := strings.TrimPrefix(row[2], "?")
		l.jobs[[2]string{row[0], row[1]}] = jobRow{strings.Split(list, ";"), row[3], list != row[2]}
	}
	return l, nil
}

// readRows reads a data file, checks its width and drops the heading.
func readRows(open func(string) (io.Reader, error), name string, width int) ([][]string, error) {
	f, err := open(name)
	if err != nil {
		return nil, err
	}
	r := csv.NewReader(f)
	r.FieldsPerRecord = width
	r.LazyQuotes = true
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rows[1:], nil
}

// add puts a phrase into the trees, split as messages are.
func (l *lexicon) add(phrase string, s sense, file string) {
	if steps, ordered := stepsOf(phrase); steps != nil {
		l.addFrame(steps, ordered, s, file)
		return
	}
	for _, toks := range spellings(phrase) {
		if len(toks) == 0 {
			continue
		}
		if long := spellOut(toks); long != nil {
			l.enter(long, s, file)
		}
		l.enter(toks, s, file)
	}
}

// addFrame puts a frame with the tree that its file feeds: those of reports with all
// three.
func (l *lexicon) addFrame(steps []string, ordered bool, s sense, file string) {
	trees := []*node{l.words, l.questions, l.checks}
	switch file {
	case "questions":
		trees = trees[1:2]
	case "checks":
		trees = trees[2:]
	}
	for _, tree := range trees {
		for _, toks := range tree.frames.add(steps, ordered, s) {
			for _, t := range toks {
				if t.kind == word && !isSet(t) {
					l.vocab.add(t.w)
				}
			}
		}
	}
}

// enter puts the words of a phrase into the tree that its file feeds.
func (l *lexicon) enter(toks []token, s sense, file string) {
	switch file {
	case "questions", "checks":
		l.later = append(l.later, phrase{toks, s, file})
	case "asides":
		l.asides.put(toks, s)
	case "limits":
		l.limits.put(toks, s)
		return // as below
	case "marks":
		l.marks.put(toks, s)
		return // all of them everyday words: none is to draw a misspelling to it
	default:
		l.words.put(toks, s)
	}
	for _, t := range toks {
		if t.kind == word && !isSet(t) {
			l.vocab.add(t.w)
		}
	}
}

// grow makes the trees that have all phrases of reports and more: they branch off
// from the reports' own.
func (l *lexicon) grow() {
	forQuestions, forChecks := l.questions.frames, l.checks.frames
	*l.questions, *l.checks = l.words.branch(), l.words.branch()
	l.questions.frames, l.checks.frames = forQuestions, forChecks
	for _, p := range l.later {
		if p.file == "questions" {
			l.questions.put(p.toks, p.sense)
		} else {
			l.checks.put(p.toks, p.sense)
		}
	}
	l.later = nil
}

// branch is a copy of a step, whose next ones are shared until they change.
func (n *node) branch() node {
	return node{next: maps.Clone(n.next), sets: maps.Clone(n.sets), senses: slices.Clip(n.senses)}
}

// spelledOut are the short forms that people also write in full.
var spelledOut = map[string][2]string{"didnt": {"did", "not"}, "doesnt": {"does", "not"}, "dont": {"do", "not"},
	"isnt": {"is", "not"}, "arent": {"are", "not"}, "wasnt": {"was", "not"}, "werent": {"were", "not"},
	"couldnt": {"could", "not"}, "cant": {"can", "not"}, "wont": {"will", "not"}, "wouldnt": {"would", "not"},
	"havent": {"have", "not"}, "hasnt": {"has", "not"}, "whats": {"what", "is"}, "thats": {"that", "is"},
	"theres": {"there", "is"}, "its": {"it", "is"}, "im": {"i", "am"}, "somethings": {"something", "is"}}

// spellOut is a phrase with its short forms written in full, nil where it has
// none.
func spellOut(toks []token) []token {
	var out []token
	for i, t := range toks {
		long, ok := spelledOut[t.w]
		if set := longSets[t.w]; set != "" {
			long, ok = [2]string{set, "not"}, true
		}
		if !ok {
			if out != nil {
				out = append(out, t)
			}
			continue
		}
		if out == nil {
			out = append(out, toks[:i]...)
		}
		for _, w := range long {
			out = append(out, token{kind: word, w: w, lem: w, raw: w})
		}
	}
	return out
}
