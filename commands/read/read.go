package read

import (
	"fmt"

	"woodruff/engine"
)

// Version of the reader and its lexicon: kept with every entry.
const Version = "1"

// What is longer is not read: no report of work is. The last bound keeps the
// time in step with the length, since within one part all is compared with all.
const (
	maxBytes  = 6000
	maxTokens = 800
	maxPart   = 80
)

// parse is one message on its way from words to acts.
type parse struct {
	text    string
	toks    []token
	whole   []token      // toks before anything was left out
	passed  map[int]bool // by position: seen, and left out of the acts on purpose
	items   []item
	clauses []clause
	names   *Names
	ctx     Context
	explain bool
	why     []string
}

// Read reads one message.
func Read(text string, names *Names, ctx Context) Result { return run(text, names, ctx, false) }

func run(text string, names *Names, ctx Context, explain bool) Result {
	fillLex()
	if names == nil {
		names = NewNames(nil, nil)
	}
	p := &parse{text: text, names: names, ctx: ctx, explain: explain}
	if len(text) > maxBytes {
		p.note("longer than %d bytes: not read", maxBytes)
		return p.result([]Candidate{chatter("too long")})
	}
	p.toks = newOne(joinTags(partUnits(spokenMarks(gradeMarks(dropNumbers(tokenize(text))))), names))
	if len(p.toks) == 0 || len(p.toks) > maxTokens {
		return p.result([]Candidate{chatter("no words, or too many")})
	}
	p.hear()
	correct(p.toks, names)
	if p.partTooLong() {
		return p.result([]Candidate{chatter("a part without an end")})
	}
	p.whole = append([]token(nil), p.toks...)
	return p.result(choose(p.candidates()))
}

// partTooLong says whether a stretch without any break is longer than people
// write.
func (p *parse) partTooLong() bool {
	n := 0
	for _, t := range p.toks {
		n++
		if t.kind == stop || t.kind == comma {
			n = 0
		}
		if n > maxPart {
			return true
		}
	}
	return false
}

func chatter(why string) Candidate {
	return Candidate{Acts: []Act{{Kind: Chat}}, Why: []string{why}}
}

// margin is how far the best reading must be ahead of a second that says
// something else before it is acted on.
const margin = 1.0

// choose orders the candidates and, where the best two are too near and both
// would act, puts a question first.
func choose(cands []Candidate) []Candidate {
	for i := 1; i < len(cands); i++ {
		for j := i; j > 0 && cands[j].Score > cands[j-1].Score; j-- {
			cands[j], cands[j-1] = cands[j-1], cands[j]
		}
	}
	if len(cands) > 1 && cands[0].Score-cands[1].Score < margin && Writes(cands[0].Acts) && !sameActs(cands[0].Acts, cands[1].Acts) {
		ask := Act{Kind: Unclear, Ask: AskMeaning}
		for _, c := range cands[:2] {
			if Writes(c.Acts) {
				ask.Options = append(ask.Options, Option{Acts: c.Acts})
			}
		}
		both := Candidate{Acts: []Act{ask}, Score: cands[0].Score,
			Why: []string{fmt.Sprintf("the two best readings are only %.1f apart, %.1f is the least", cands[0].Score-cands[1].Score, margin)}}
		cands = append([]Candidate{both}, cands...)
	}
	return cands
}

// Writes says whether any of the acts would change the book.
func Writes(acts []Act) bool {
	for _, a := range acts {
		switch a.Kind {
		case Question, Help, Chat, Unclear:
		default:
			return true
		}
	}
	return false
}

func sameActs(a, b []Act) bool { return fmt.Sprint(a) == fmt.Sprint(b) }

// candidates tries each family of messages on the text.
func (p *parse) candidates() []Candidate {
	if c, ok := p.agedQuestion(); ok {
		return append(c, chatter("nothing to write"))
	}
	p.unwrapAsk()
	p.withoutAsides()
	p.items = settle(tag(p.toks, lex.words, p.names), p.toks, p.names)
	p.bareTags()
	p.comparedDays()
	p.noteItems()
	if c, ok := p.talk(); ok {
		return append(c, chatter("nothing to write"))
	}
	if c, ok := p.answers(); ok {
		return append(c, chatter("nothing to write"))
	}
	if p.mutters() {
		return []Candidate{chatter("too short to be more than an answer, and none to the check")}
	}
	if c, ok := p.outAsked(); ok {
		return append(c, chatter("nothing to write"))
	}
	if c, ok := p.turnedQuestion(); ok {
		return append(c, chatter("nothing to write"))
	}
	if c, ok := p.statedQuestion(); ok {
		return append(c, chatter("nothing to write"))
	}
	if c, ok := p.corrections(); ok {
		return append(c, chatter("nothing to write"))
	}
	if c, ok := p.ownActs(); ok {
		return append(c, chatter("nothing to write"))
	}
	if c, ok := p.putOffs(); ok {
		return append(c, chatter("nothing to write"))
	}
	return append(p.reports(), chatter("nothing to write"))
}

func (p *parse) result(cands []Candidate) Result {
	if p.explain {
		for i, c := range cands {
			p.note("reading %d, %.1f points: %s", i+1, c.Score, kindsOf(c.Acts))
			p.why = append(p.why, c.Why...)
		}
	} else {
		for i := range cands {
			cands[i].Why = nil
		}
	}
	return Result{Candidates: cands, Why: p.why}
}

// near says whether a figure could be a machine's next one: within a season's
// hours of its last.
func (p *parse) near(place int32, v engine.Tenths) bool {
	last, known := p.last(place)
	if !known {
		return true
	}
	d := v - last
	if d < 0 {
		d = -d
	}
	return d <= 5000 || d <= last/5
}

// phraseHas says whether an item's words hold one word.
func (p *parse) phraseHas(it item, w string) bool {
	for i := it.at; i < it.at+it.n; i++ {
		if p.toks[i].lem == w {
			return true
		}
	}
	return false
}

func (p *parse) last(place int32) (engine.Tenths, bool) {
	if p.ctx.Last == nil {
		return 0, false
	}
	t, _, ok := p.ctx.Last(p.names.id(place))
	return t, ok
}
