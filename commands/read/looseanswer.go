package read

import "strings"

// An answer may come wrapped: "the one down by the creek, sorry, I should have
// said so", "that was on thursday, right after the rain quit", "it was the
// cartridge, the one inside the separator". Where the strict reading of an answer
// does not know all its words, the message still answers if it holds exactly one
// value of the slot that was asked for, nothing that would be a report, a plan or a question of
// its own, and some word that points back to what was asked about.

// Words that point back to what was said, and words that make it talk of
// something else: of the other person, of what is to come or might be.
var (
	pointsBack = set("it that this one was did done had got been meant mean thats its were sorry forgot on")
	turnsAway  = set("you your yours youre we well will wont gonna going ill lets see next if can could would might may maybe think guess probably " +
		"when what why how who where which whose hope tomorrow not never nobody neither nor hasnt havent didnt wasnt dont isnt but except only plus also and then")
)

// parting says that a day is named to part or to ask, not to answer: "see you
// thursday", "was that thursday?".
func (p *parse) parting() bool {
	for i, t := range p.toks {
		if t.mark == '?' || t.w == "you" && i > 0 && (p.toks[i-1].w == "see" || p.toks[i-1].w == "cya" || p.toks[i-1].w == "for") || t.w == "cya" {
			return true
		}
	}
	return false
}

func set(words string) map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq(words) {
		out[w] = true
	}
	return out
}

// mostLoose is how long a wrapped answer may be, in words.
const mostLoose = 18

// looseAnswer reads a wrapped answer.
func (p *parse) looseAnswer(a *Asked) ([]Candidate, bool) {
	if a.Ask != AskMachine && a.Ask != AskJobs && a.Ask != AskDay || len(a.Held) == 0 || len(p.toks) > mostLoose {
		return nil, false
	}
	back, ahead := false, false
	for _, h := range a.Held {
		ahead = ahead || h.Kind == PutOff
	}
	for _, t := range p.toks {
		if t.mark == '?' || turnsAway[t.w] && !(ahead && a.Ask == AskDay) {
			return nil, false
		}
		back = back || pointsBack[t.w]
	}
	if !back || ahead {
		return nil, false // a day to come is told in too many ways that promise nothing
	}
	if a.Ask == AskMachine {
		p.nameLoosely()
	}
	var at []int
	for i, it := range p.items {
		switch {
		case it.dated && a.Ask == AskDay:
			if d := it.when.past(p.ctx); d.day != 0 && !d.unsure { // not "after the rain"
				at = append(at, i)
			}
		case it.named && a.Ask == AskMachine, it.has("part") && a.Ask == AskJobs:
			at = append(at, i)
		case it.numeric && p.word(it) == "one": // "that one"
		case it.named, it.dated, it.numeric, it.has("part"), it.has("find"), it.has("symptom"), it.has("verb") && a.Ask != AskJobs && !it.is("verb", "do"):
			return nil, false
		}
	}
	if len(at) == 0 {
		return nil, false
	}
	if a.Ask == AskDay {
		if len(at) > 1 {
			return nil, false
		}
		return p.dayAnswer(a, at, 0)
	}
	vals := p.values(at)
	if len(vals) != 1 || vals[0].ask != "" || vals[0].field != slotField[a.Ask] {
		return nil, false
	}
	to := vals[0].to
	if a.Ask == AskMachine {
		return p.filled(a, func(x *Act) { x.Machine = to.Machine }), true
	}
	jobs := to.Jobs[:0:0]
	for _, j := range to.Jobs {
		if len(jobs) == 0 || jobs[len(jobs)-1] != j {
			jobs = append(jobs, j)
		}
	}
	if len(jobs) != 1 {
		return nil, false
	}
	return p.filled(a, func(x *Act) { x.Jobs = jobs }), true
}

// nameLoosely lets one word that is in one machine's name alone name it.
func (p *parse) nameLoosely() {
	at := -1
	var ids []int32
	for i, it := range p.items {
		if it.named {
			return
		}
		for k := it.at; k < it.at+it.n; k++ {
			nw := p.names.partial[p.toks[k].lem]
			if nw == nil || p.toks[k].kind != word || len(nw.ids) != 1 {
				continue
			}
			if at >= 0 && ids[0] != nw.ids[0] {
				return // two words of two machines
			}
			at, ids = i, nw.ids
		}
	}
	if at >= 0 {
		for i := range p.items {
			if p.word(p.items[i]) == "one" {
				p.items[i].numeric = false // "the one by the creek"
			}
		}
		p.items[at].named, p.items[at].dated, p.items[at].senses = true, false, nil
		p.items[at].m = mention{ids: ids}
	}
}
