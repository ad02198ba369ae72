package read

import "woodruff/engine"

// A message is looked through, beside its acts, for whether a joint stayed dry and
// for words that tell of some time before. Reasons that stand in the book are
// looked through in the same way.

// marked are the classes of the marks in some tokens, and what words are left
// beside them.
type marked struct {
	classes map[class]bool
	left    []token
}

// marksIn looks tokens through, the longest phrase first. A break is no word.
func marksIn(toks []token) marked {
	fillLex()
	m := marked{classes: map[class]bool{}}
	for i := 0; i < len(toks); {
		senses, n := lex.marks.longest(toks[i:])
		for _, s := range senses {
			m.classes[s.class] = true
		}
		if n == 0 && toks[i].kind == word {
			m.left = append(m.left, toks[i])
		}
		i += max(n, 1)
	}
	return m
}

func (m marked) dry() bool { return m.classes["dry"] && !m.classes["wet"] }

// TellsOfLeak says whether a reason for being out of use is a leak.
func TellsOfLeak(reason string) bool { return marksIn(tokenize(reason)).classes["leak"] }

// StayedDry says whether a text tells that what leaked has stayed dry.
func StayedDry(text string) bool { return marksIn(tokenize(text)).dry() }

// SaysWhatWasFixed says whether something is left of a text beside how dry it
// stayed and how long it ran.
func SaysWhatWasFixed(text string) bool { return len(marksIn(tokenize(text)).left) > 0 }

// mark gives acts what the message says beside them.
func (p *parse) mark(acts []Act) {
	if len(acts) == 1 && (acts[0].Kind == Chat || acts[0].Kind == Question) {
		return // nothing that a mark is of
	}
	m := marksIn(p.toks)
	if m.dry() || m.classes["then"] {
		m.give(acts)
	}
}

func (m marked) give(acts []Act) {
	for i := range acts {
		a := &acts[i]
		switch a.Kind {
		case Service, Finding, Symptom:
			a.Dry = m.dry()
		}
		switch a.Kind {
		case Service, Reading, Baseline:
			a.Then = m.classes["then"]
		}
		m.give(a.Held)
		for k := range a.Options {
			m.give(a.Options[k].Acts)
		}
	}
}

// lookedDry reads "rt2 ran 10 min no leaks" where the fuel side was opened and
// nobody has looked since: anywhere else it is talk.
func (p *parse) lookedDry() ([]Candidate, bool) {
	if p.ctx.Opened == nil || p.asksByMark() || len(p.toks) > 16 || turnable[p.toks[0].w] {
		return nil, false
	}
	var rest []token
	var ids []engine.MachineID
	for _, it := range p.items {
		switch {
		case it.named && !it.m.one():
			return nil, false
		case it.named:
			ids = append(ids, p.names.machineIDs(it.m.ids)...)
		case it.person != "", it.dated:
			return nil, false
		case !it.numeric || it.unit == "":
			rest = append(rest, p.toks[it.at:it.at+it.n]...)
		}
	}
	m := marksIn(rest)
	if !m.dry() || len(m.left) > 0 || len(ids) > 1 {
		return nil, false
	}
	id := p.contextMachine()
	if len(ids) == 1 {
		id = ids[0]
	}
	named := id != 0
	id, open := p.ctx.Opened(id)
	if !open {
		return nil, false
	}
	acts := []Act{{Kind: Check, Machine: id, Check: engine.CheckWet, Result: "no"}}
	if !named { // most likely the one that was just worked on: ask
		acts = []Act{{Kind: Unclear, Ask: AskMeaning, Held: acts, Options: []Option{{Acts: acts}}}}
	}
	return []Candidate{{Acts: acts, Score: 4, Why: []string{"tells that nothing leaks where the fuel side was opened"}}}, true
}
