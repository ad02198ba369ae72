package commands

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"woodruff/commands/read"
	"woodruff/engine"
)

// questionLife is how long a question stays open without an answer, in seconds.
const questionLife engine.Instant = 30 * 60

// doubt is a question that must be answered before anything is written.
type doubt struct {
	lines []string // the question as shown, its options after it
	held  held
}

// held is what waits for the answer. It stands in the book as JSON, so that
// the answer may come to another process.
type held struct {
	Acts    []read.Act
	Ask     read.Slot
	Likely  engine.Maybe[engine.Tenths]
	Options []option `json:",omitempty"`
	Lines   []string // as shown, to show again
	// TakeBack are lines that go when the answer is written: those of a message
	// that was edited into this question.
	TakeBack []engine.Seq `json:",omitempty"`
	Bare     []engine.Seq `json:",omitempty"` // lines whose figure goes while the work stands
	// Check is what fault-finding asks of the machine Of. An answer is a message of
	// its own, and not a part of the one that was asked about.
	Check engine.Check     `json:",omitempty"`
	Of    engine.MachineID `json:",omitempty"`
	// Old is the machine whose old hour meter's last figure the answer is.
	Old      engine.MachineID `json:",omitempty"`
	Revision int64            `json:",omitempty"`
	// Written is how many entries the message has already: what the answer adds
	// comes after them.
	Written int `json:",omitempty"`
	// Waits is who else has to change a line first: nobody is asked any more.
	Waits string `json:",omitempty"`
}

// option is one likely answer: what picking it means.
type option struct {
	Label string
	Acts  []read.Act `json:",omitempty"` // the message as this answer makes it
	// Trust says that the person has confirmed the figures: they are not judged
	// again.
	Trust    bool         `json:",omitempty"`
	TakeBack []engine.Seq `json:",omitempty"` // and these lines go
	Bare     []engine.Seq `json:",omitempty"` // and these lose their figure, which was wrong: the work stands
	Instead  read.Slot    `json:",omitempty"` // ask for this slot instead of writing
	// Machine is the one that the next question is about, where the acts hold several.
	Machine engine.MachineID `json:",omitempty"`
	Refer   engine.Seq       `json:",omitempty"` // a line that is somebody else's to change: nothing is written
	Nothing bool             `json:",omitempty"` // write nothing
	Yes     bool             `json:",omitempty"` // what a bare "yes" picks
	DidIt   bool             `json:",omitempty"` // an item of a post was done: ask what came out
	No      bool             `json:",omitempty"` // what a bare "no" picks, where it writes something
	Days    []read.Act       `json:",omitempty"` // what waits for a day, where one in answer picks it
	Number  bool             `json:",omitempty"` // only its number picks it: what words mean is the reader's to say
	Next    string           `json:",omitempty"` // the tag of a new machine of which one thing more is asked
	Words   string           `json:",omitempty"` // words that pick it beside those of its label
	Beside  string           `json:",omitempty"` // words that say nothing for or against it
}

// openQuestion is the question that waits for this person in this place, if
// any. One whose time is up is closed on the way.
func (t *turn) openQuestion(pending []engine.Question) *engine.Question {
	var mine *engine.Question
	for i, q := range pending {
		if q.State == engine.Lapsed {
			t.unwrittenSoFar = append(t.unwrittenSoFar, q)
			continue
		}
		if h, err := unhold(q); err == nil && h.Waits != "" {
			t.unwrittenSoFar = append(t.unwrittenSoFar, q)
			continue
		}
		if !strings.EqualFold(q.Who, t.msg.By.Name) || q.Place != t.msg.Place {
			continue
		}
		if q.Expires <= t.now {
			t.lapse(q)
			continue
		}
		mine = &pending[i]
	}
	return mine
}

// close ends a question with this message.
func (t *turn) close(q engine.Question, state engine.QuestionState) {
	t.batch.Close = append(t.batch.Close, engine.Closing{
		ID: q.ID, State: state,
		By: engine.Source{Channel: t.msg.Channel, Message: t.msg.ID, Revision: t.rev},
	})
}

// lapse closes a question that nobody answered; work that it held goes on the
// list of unwritten lines.
func (t *turn) lapse(q engine.Question) {
	state := engine.Dropped
	if h, err := unhold(q); err == nil && holdsWork(h.Acts) {
		state = engine.Lapsed
	}
	t.close(q, state)
}

// holdsWork says that something would be lost with the acts.
func holdsWork(acts []read.Act) bool {
	return slices.ContainsFunc(acts, func(a read.Act) bool {
		return a.Kind != read.Question && a.Kind != read.Undo && a.Kind != read.Help && !(a.Kind == read.Back && a.Reason == "")
	})
}

func unhold(q engine.Question) (held, error) {
	var h held
	if err := json.Unmarshal(q.Held, &h); err != nil {
		return h, fmt.Errorf("commands: question %d in the book: %w", q.ID, err)
	}
	return h, nil
}

// ask opens a question instead of writing anything.
func (t *turn) ask(d doubt) error {
	t.batch.Entries, t.out, t.acks = nil, Answer{}, nil
	clear(t.persons)
	return t.askAlso(d)
}

// askAlso opens a question beside what is written.
func (t *turn) askAlso(d doubt) error {
	d.held.Lines, d.held.Revision = d.lines, t.rev
	d.held.Written = t.written + len(t.batch.Entries)
	raw, err := json.Marshal(d.held)
	if err != nil {
		return fmt.Errorf("commands: a question that cannot be kept: %w", err)
	}
	t.batch.Ask = []engine.Question{{
		State: engine.Open, Person: t.who, Who: t.msg.By.Name, Place: t.msg.Place,
		Asked: t.now, Expires: t.now + questionLife,
		Source: engine.Source{Channel: t.msg.Channel, Message: t.msg.ID, Revision: t.rev},
		Said:   t.msg.At, Raw: t.msg.Text, Held: raw,
	}}
	before := t.out.Lines
	t.show(d.held, t.msg.ID)
	t.out.Lines = append(before, t.out.Lines...)
	return nil
}

// show makes the question the answer.
func (t *turn) show(h held, message string) {
	t.out, t.asks = Answer{Lines: h.Lines, Numbered: true}, h.Acts
	for i, o := range h.Options {
		t.out.Choices = append(t.out.Choices, Choice{Label: o.Label, Button: button("q", message, strconv.Itoa(i+1))})
	}
}

// askAgain shows a question whose message came a second time.
func (t *turn) askAgain(q engine.Question) (Answer, error) {
	h, err := unhold(q)
	if err != nil {
		return Answer{}, err
	}
	t.show(h, q.Source.Message)
	err = t.nameOut(t.asks)
	return t.out, err
}

// withQuestion handles a message while a question is open: a pick, an answer in
// words, chatter, a question of theirs, or another act.
func (t *turn) withQuestion(q engine.Question) error {
	h, err := unhold(q)
	if err != nil {
		return err
	}
	if i := picked(t.msg.Text, h.Options); i >= 0 {
		return t.pick(q, h, h.Options[i])
	}
	if words := answerWords(t.msg.Text); len(h.Options) > 0 && len(words) == 1 && len(words[0]) == 1 && words[0] <= "9" {
		t.show(h, q.Source.Message) // a number that is not offered is no figure either
		return nil
	}
	if drops(t.msg.Text) {
		t.close(q, engine.Dropped)
		t.line("Dropped. Nothing written.")
		return nil
	}
	m, err := t.interpret(h.asked())
	if err != nil {
		return err
	}
	if other := h.byDay(); !m.Answers && other != nil {
		days, err := t.interpret(other.asked())
		if err != nil {
			return err
		}
		if days.Answers {
			m = days
		}
	}
	if m.Answers {
		t.close(q, engine.Answered)
		t.of(q, h)
		if h.Old != 0 {
			return t.do(withOld(h.Acts, h.Old, m.Acts[0].Hours), &option{TakeBack: h.TakeBack, Bare: h.Bare})
		}
		if m.doubted != nil {
			m.doubted.held.TakeBack, m.doubted.held.Bare = h.TakeBack, h.Bare
			return t.ask(*m.doubted)
		}
		return t.do(m.Acts, &option{TakeBack: h.TakeBack, Bare: h.Bare})
	}
	if h.Ask == askFixed && tellsOfMending(m.Acts) {
		back := h.Acts[0]
		back.Reason = strings.TrimSpace(t.msg.Text)
		t.close(q, engine.Answered)
		t.of(q, h)
		return t.do([]read.Act{back}, nil)
	}
	if corrects(m.Acts) && holdsWork(h.Acts) {
		// The line before, or what was just asked about? Nobody can tell.
		t.show(h, q.Source.Message)
		t.out.Lines = append([]string{"First this, or say never mind:"}, t.out.Lines...)
		return nil
	}
	if vague(m.Acts) {
		return nil // chatter: the question stays
	}
	if silent(m.Acts) && answersNothing(t.msg.Text) {
		t.show(h, q.Source.Message)
		return nil
	}
	if m.doubted == nil && onlyAdds(h.Acts) && onlyAdds(m.Acts) {
		t.close(q, engine.Answered)
		return t.askAdds(append(slices.Clone(h.Acts), m.Acts...))
	}
	if !silent(m.Acts) && !asking(m.Acts) {
		at := len(t.batch.Close)
		t.lapse(q)
		if t.batch.Close[at].State == engine.Lapsed {
			defer func() {
				if t.nowWritten(h.Acts) {
					t.batch.Close[at].State = engine.Answered // said again, and written this time
					return
				}
				t.line("Not written: \"" + shorten(q.Raw, 40) + "\". Say it again to write it.")
			}()
		}
	}
	return t.mean(m)
}

// askFixed asks what was fixed on a machine that is to be back in use.
const askFixed read.Slot = "fixed"

// tellsOfMending says that a message tells of work that can have mended
// something, and names no machine: one that names its machine stands by itself.
func tellsOfMending(acts []read.Act) bool {
	if len(acts) != 1 || acts[0].Kind != read.Unclear || acts[0].Ask != read.AskMachine {
		return false
	}
	return slices.ContainsFunc(acts[0].Held, func(a read.Act) bool {
		return a.Kind == read.Service && slices.ContainsFunc(a.Jobs, func(j engine.Job) bool { return j != engine.Drain && j != engine.Grease })
	})
}

// corrects says that a message only changes an earlier line, and names no machine
// of it.
func corrects(acts []read.Act) bool {
	return len(acts) == 1 && acts[0].Kind == read.Correct && acts[0].Target.Machine == 0
}

// vague says that a message has nothing in it that could be written or answered.
func vague(acts []read.Act) bool {
	return len(acts) == 1 && acts[0].Kind == read.Unclear && len(acts[0].Held) == 0
}

// answersNothing says that a message is an answer, but none to the question: a
// "yes" where there is nothing to agree to, a number that is not offered.
func answersNothing(text string) bool {
	words := answerWords(text)
	if len(words) == 0 {
		return false
	}
	_, err := strconv.Atoi(words[0])
	return agrees(words) || len(words) == 1 && err == nil
}

// plainText is a text in small letters, without marks.
func plainText(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r):
			return unicode.ToLower(r)
		case r == '\'' || r == '’':
			return -1
		}
		return ' '
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// drops says that the person wants no more of the question.
func drops(text string) bool {
	text = plainText(text)
	text = strings.TrimPrefix(strings.TrimPrefix(text, "oh "), "no ")
	return slices.Contains(dropWords, text)
}

var dropWords = []string{"never mind", "nevermind", "nvm", "nm", "forget it", "forget that", "forget about it", "drop it", "drop that",
	"cancel", "cancel that", "cancel it", "skip it", "dont bother", "dont write it", "dont write anything", "doesnt matter", "ignore that", "ignore it", "ignore me"}

// byDay is what waits where an answer may give the day instead: "last thursday"
// to a figure below the last one. nil where none may.
func (h held) byDay() *held {
	for _, o := range h.Options {
		if len(o.Days) > 0 {
			return &held{Ask: read.AskDay, Acts: o.Days}
		}
	}
	return nil
}

// of makes this turn speak for the message that the question was about: its
// entries are that message's.
func (t *turn) of(q engine.Question, h held) {
	if h.Check != "" {
		return
	}
	t.msg.Channel, t.msg.ID, t.msg.Text = q.Source.Channel, q.Source.Message, q.Raw
	t.msg.At, t.rev, t.written = q.Said, h.Revision, h.Written
	t.today = t.cal.DayAt(q.Said)
}

// pick does what an option says.
func (t *turn) pick(q engine.Question, h held, o option) error {
	t.close(q, engine.Answered)
	t.of(q, h)
	if o.Nothing {
		t.line("Nothing written.")
		return nil
	}
	if o.Refer != 0 {
		return t.refer(q, h, o.Refer)
	}
	o.TakeBack, o.Bare = append(o.TakeBack, h.TakeBack...), append(o.Bare, h.Bare...)
	if o.Instead != "" {
		return t.askInstead(o)
	}
	if o.DidIt {
		return t.writeDid(o.Acts[0])
	}
	if err := t.do(t.byTags(o.Acts), &o); err != nil || o.Next == "" || len(t.batch.Entries) == 0 {
		return err
	}
	return t.askAlso(selfStartDoubt(o.Next))
}

// askInstead opens the next question after an option that only narrows it down.
func (t *turn) askInstead(o option) error {
	if o.Instead == askOld {
		d, err := t.whichOld(o.Machine, o.Acts)
		if err != nil {
			return err
		}
		d.held.TakeBack, d.held.Bare = o.TakeBack, o.Bare
		return t.ask(*d)
	}
	line := map[read.Slot]string{
		read.AskHours: "What does it show?", read.AskDay: "Which day was it?",
		read.AskMachine: "Which machine?", read.AskJobs: "Which job?",
	}[o.Instead]
	return t.ask(doubt{lines: []string{line}, held: held{Acts: wanting(o.Acts, o.Instead), Ask: o.Instead, TakeBack: o.TakeBack, Bare: o.Bare}})
}

// wanting marks the acts as waiting for a slot.
func wanting(acts []read.Act, slot read.Slot) []read.Act {
	out := slices.Clone(acts)
	for i := range out {
		if slot == read.AskHours && !out[i].Hours.Known || slot == read.AskMachine && out[i].Machine != 0 {
			continue
		}
		out[i].Wants = []read.Slot{slot}
		if slot == read.AskHours {
			out[i].Hours = engine.Maybe[engine.Tenths]{}
		}
	}
	return out
}

var ordinals = map[string]int{"first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3, "fourth": 4, "4th": 4}

// fillers are words that carry nothing in an answer.
var fillers = map[string]bool{
	"the": true, "a": true, "it": true, "its": true, "it's": true, "is": true, "was": true, "i": true, "on": true,
	"that": true, "one": true, "number": true, "no.": true, "please": true, "pls": true, "and": true, "of": true, "an": true,
}

// picked is the place of the option that an answer names: by its number, by
// "yes" or "no", or by words that only its label holds; -1 where none.
func picked(text string, options []option) int {
	words := answerWords(text)
	if len(words) == 0 || len(options) == 0 {
		return -1
	}
	if len(words) == 1 {
		n, err := strconv.Atoi(words[0])
		if o, ok := ordinals[words[0]]; ok {
			n, err = o, nil
		}
		if err == nil {
			if n >= 1 && n <= len(options) {
				return n - 1
			}
			return -1
		}
	}
	if yes, no := agrees(words), refuses(words); yes || no {
		return slices.IndexFunc(options, func(o option) bool { return yes && o.Yes || no && (o.No || o.Nothing) })
	}
	return byLabel(words, options)
}

// answerWords are the words of an answer that carry something.
func answerWords(text string) []string {
	words := strings.Fields(strings.ToLower(strings.Map(func(r rune) rune {
		if strings.ContainsRune("#.,!?()[]\"", r) {
			return ' '
		}
		return r
	}, text)))
	words = slices.DeleteFunc(words, func(w string) bool { return fillers[w] })
	return words
}

func agrees(words []string) bool {
	return len(words) <= 2 && slices.Contains([]string{"yes", "y", "yep", "yeah", "yup", "ya", "ok", "okay", "correct", "right", "sure"}, words[0]) &&
		(len(words) == 1 || words[1] == "right" || words[1] == "correct" || words[1] == words[0])
}

func refuses(words []string) bool {
	return len(words) <= 2 && slices.Contains([]string{"no", "n", "nope", "nah", "neither", "none"}, words[0]) &&
		(len(words) == 1 || words[1] == "thanks" || words[1] == words[0])
}

// byLabel finds the only option whose label holds every word of the answer.
func byLabel(words []string, options []option) int {
	at := -1
	for i, o := range options {
		label := strings.Fields(strings.ToLower(strings.NewReplacer("'s", "", ",", "", ":", "").Replace(o.Label + " " + o.Words)))
		if o.Number {
			continue
		}
		beside := strings.Fields(o.Beside)
		fits, said := true, false
		for _, w := range words {
			hit := slices.Contains(label, strings.TrimSuffix(strings.TrimSuffix(w, "'s"), "s'"))
			fits, said = fits && (hit || slices.Contains(beside, w)), said || hit
		}
		if fits && said {
			if at >= 0 {
				return -1
			}
			at = i
		}
	}
	return at
}

// button makes the value that a choice gives back.
func button(parts ...string) string { return strings.Join(parts, "/") }

// shorten cuts words to a length in runes.
func shorten(s string, n int) string {
	r := []rune(strings.Join(strings.Fields(s), " "))
	if len(r) <= n {
		return string(r)
	}
	return string(r[:n-1]) + "…"
}
