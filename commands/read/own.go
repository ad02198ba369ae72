package read

import (
	"strings"

	"woodruff/engine"
)

// ownActs reads what is said of machines rather than of work on them: added,
// renamed, sold, out of use, laid up, a new hour meter, the plan, baselines.
func (p *parse) ownActs() ([]Candidate, bool) {
	if p.opensAsking() {
		return nil, false // "how do i put om1 away for winter" lays nothing up
	}
	for _, f := range []struct {
		read func() []Act
		why  string
	}{
		{p.meterChange, "the hour meter was replaced"},
		{p.addMachine, "a machine is added"},
		{p.naming, "a name is given"},
		{p.planLine, "an interval is given"},
		{p.baseline, "a last service from before the book"},
		{p.told, "a last service that somebody remembers"},
		{p.countAll, "counting starts today"},
		{p.noMeter, "a machine without a meter"},
		{p.gone, "a machine leaves the shed"},
		{p.outOrBack, "out of use or back"},
		{p.laidUp, "laid up or woken"},
		{p.trait, "a trait of a machine"},
		{p.weather, "rain or washing"},
		{p.severe, "severe use"},
		{p.setting, "a setting of the shop"},
	} {
		if acts := f.read(); acts != nil {
			return []Candidate{{Acts: acts, Score: 4, Why: []string{f.why}}}, true
		}
	}
	return nil, false
}

// opensAsking says whether the message, or a part of it, begins with a question
// word.
func (p *parse) opensAsking() bool {
	if len(p.items) > 1 && (p.items[1].has("det") || p.items[1].named || p.items[1].person != "") {
		switch p.word(p.items[0]) {
		case "did", "does", "has", "was", "is", "can", "could", "will":
			return true // "did the pump guy call back"
		}
	}
	for i, it := range p.items {
		if it.n == 0 || it.brk != 0 || !p.opens(i) {
			continue
		}
		n := lex.questions.next[p.toks[it.at].lem]
		if n == nil {
			continue
		}
		for _, s := range n.senses {
			if s.class == "ask" || s.class == "askwhy" {
				return true
			}
		}
	}
	return false
}

// find is the first item of a class, -1 for none.
func (p *parse) find(k class) int { return indexOf(p.items, k) }

// oneMachine is the machine that the message is about: named, or of the
// context; with what is in doubt as an act to ask.
func (p *parse) oneMachine(kind ActKind) (id engine.MachineID, ids []engine.MachineID, ask *Act) {
	for _, it := range p.items {
		if !it.named {
			continue
		}
		if !it.m.one() {
			return 0, nil, &Act{Kind: Unclear, Ask: AskMachine, Held: []Act{{Kind: kind, Wants: []Slot{AskMachine}}}, Options: p.machineOptions(it.m.ids)}
		}
		ids = append(ids, p.names.machineIDs(it.m.ids)...)
	}
	if len(ids) == 0 {
		if c := p.contextMachine(); c != 0 {
			return c, []engine.MachineID{c}, nil
		}
		return 0, nil, nil
	}
	return ids[0], ids, nil
}

// firm says whether nothing in the message makes it a plan, a question, hearsay
// or a denial.
func (p *parse) firm(allow ...class) bool {
	if p.asksByMark() {
		return false
	}
	for _, it := range p.items {
		for _, s := range it.senses {
			if silencers[s.class] == "" || it.dated && it.when.date {
				continue // "5 may" is a day
			}
			ok := false
			for _, a := range allow {
				ok = ok || it.has(a)
			}
			if !ok {
				return false
			}
		}
		if it.has("ask") || it.has("askwhy") {
			return false
		}
	}
	return true
}

// addMachine reads "new machine wood splitter 61 hrs belongs to quill".
func (p *parse) addMachine() []Act {
	i := p.find("addword")
	if i < 0 || !p.opens(i) || !p.firm() {
		return nil
	}
	act := Act{Kind: Add}
	var name []string
	owner := false
	for k := i + 1; k < len(p.items); k++ {
		it := p.items[k]
		f, n := p.featureAt(k)
		switch {
		case n > 0:
			act.Features = append(act.Features, f)
			k += n - 1
		case it.has("selfstart"):
			act.Key, act.Off = engine.TraitSelfStart, it.is("selfstart", "no")
		case it.has("ownerword"):
			owner = true
		case owner && act.Owner == "" && (it.person != "" || it.unknown()):
			act.Owner = it.person
			if act.Owner == "" {
				act.Owner = tokensOf(it, p.toks)
			}
		case owner && it.unknown():
			act.Owner += " " + tokensOf(it, p.toks)
		case it.numeric && !it.named && (it.unit == "hours" || it.num.decimals == 1 || p.items[k-1].has("at")):
			if t, ok := it.num.tenths(); ok {
				act.Hours = engine.Known(t)
			}
		case it.brk != 0, it.has("at"), it.has("det") && len(name) == 0, it.has("aux"), it.has("meterword"), it.has("sayshours"), it.has("tagword"), it.has("callword"), it.has("renameword"):
		case it.n > 1 && act.Tag == "" && len(name) == 0 && p.tagLike(item{at: it.at, n: 1}):
			act.Tag = strings.ToUpper(p.toks[it.at].raw) // "DP2, dam pump 2" is near a machine that is there
			if rest := strings.TrimLeft(tokensOf(item{at: it.at + 1, n: it.n - 1}, p.toks), " ,"); rest != "" {
				name = append(name, rest)
			}
		case p.tagLike(it):
			act.Tag = strings.ToUpper(tokensOf(it, p.toks))
		case !owner:
			name = append(name, tokensOf(it, p.toks))
		}
	}
	act.Name = strings.Join(name, " ")
	if act.Name == "" && act.Tag == "" {
		return nil
	}
	if nw := p.names.kinds[strings.ToLower(act.Name)]; nw != nil {
		act.MachineKind = strings.ToLower(act.Name)
	} else if f := strings.Fields(strings.ToLower(act.Name)); len(f) > 0 && p.names.kinds[f[len(f)-1]] != nil {
		act.MachineKind = f[len(f)-1]
	}
	return []Act{act}
}

// tagLike says whether an item looks like a tag: letters and a figure.
func (p *parse) tagLike(it item) bool {
	if it.n != 1 || p.toks[it.at].kind != word {
		return false
	}
	w := p.toks[it.at].w
	letters := strings.TrimRight(w, "0123456789")
	return letters != w && letters != "" && len(letters) <= 3 && !hasDigit(letters)
}

// naming reads new tags, names and nicknames, and nicknames dropped.
func (p *parse) naming() []Act {
	call, ren := p.find("callword"), p.find("renameword")
	if call < 0 && ren < 0 || !p.firm("neg") {
		return nil
	}
	m := -1
	for i, it := range p.items {
		if it.named {
			m = i
			break
		}
	}
	if m < 0 {
		return nil
	}
	if !p.items[m].m.one() || len(p.items[m].m.ids) != 1 {
		return []Act{{Kind: Unclear, Ask: AskMachine, Held: []Act{{Kind: Nickname, Wants: []Slot{AskMachine}}}, Options: p.machineOptions(p.items[m].m.ids)}}
	}
	id := p.names.id(p.items[m].m.ids[0])
	off := p.find("neg") >= 0
	if call >= 0 && (ren < 0 || call < ren) {
		if call > m+2 || m > call+2 {
			return nil
		}
		from := max(call, m) + 1
		name := p.nameText(from)
		if name == "" {
			return nil
		}
		return []Act{{Kind: Nickname, Machine: id, Name: name, Off: off}}
	}
	w := p.phrase(p.items[ren])
	if w == "is now" || off {
		return nil
	}
	name := p.nameText(max(ren, m) + 1)
	if name == "" || !(p.opens(ren) || ren > m) {
		return nil
	}
	a := Act{Kind: Rename, Machine: id}
	if f := strings.Fields(name); len(f) == 1 && hasDigit(f[0]) && len(f[0]) <= 6 {
		a.Tag = strings.ToUpper(f[0])
	} else {
		a.Name = name
	}
	return []Act{a}
}

// nameText is the text of a new name from item i on.
func (p *parse) nameText(i int) string {
	for i < len(p.items) && (p.items[i].is("prep", "to") || p.items[i].has("until") || p.items[i].has("aux") || p.items[i].brk == ',' || p.items[i].has("renameword") || p.items[i].has("callword")) {
		i++
	}
	if i < len(p.items) && p.items[i].has("det") && i+1 < len(p.items) {
		i++
	}
	to := i
	for ; to < len(p.items); to++ {
		it := p.items[to]
		if it.brk != 0 || it.is("glue", "polite") || it.has("neg") || p.phrase(it) == "from now on" {
			break
		}
	}
	if to <= i {
		return ""
	}
	s := p.stretch(p.items[i], p.items[to-1])
	if len(s) > 40 {
		return ""
	}
	return s
}

// gone reads "sold the trench digger", "OM2 is retired".
func (p *parse) gone() []Act {
	value, i := "retired", p.find("gone-retired")
	if i < 0 {
		value, i = "sold", p.find("gone-sold")
	}
	if i < 0 || !p.firm() || !p.onlyAbout(i) {
		return nil
	}
	_, ids, ask := p.oneMachine(Gone)
	if ask != nil {
		return []Act{*ask}
	}
	if len(ids) != 1 || !p.namesMachine() {
		return nil
	}
	return []Act{{Kind: Gone, Machine: ids[0], Value: value, Day: p.dayGiven()}}
}

func (p *parse) namesMachine() bool {
	for _, it := range p.items {
		if it.named {
			return true
		}
	}
	return false
}

// onlyAbout says whether the message holds a machine, the word at i, a day and
// fillers before the word; what follows may be a reason.
func (p *parse) onlyAbout(i int) bool {
	for k, it := range p.items {
		switch {
		case k == i, it.named, it.filler(), it.dated, it.brk != 0, it.person != "":
		case it.has("aux"), it.has("and"), k > i && it.is("prep", "to"), k > i && !it.has("part") && !it.has("other") && i > 0 && it.unknown():
		default:
			return false
		}
	}
	return true
}

// dayGiven is the past day that the message names, 0 for today.
func (p *parse) dayGiven() engine.Day {
	for _, it := range p.items {
		if it.dated {
			if d := it.when.past(p.ctx); !d.unsure && d.day != p.ctx.Day {
				return d.day
			}
		}
	}
	return 0
}

// outOrBack reads "WF2 out of use till the hose is in" and "RT1 back in use,
// new hose, stayed dry".
func (p *parse) outOrBack() []Act {
	kind, i := Out, p.find("outword")
	if b := p.find("backword"); b >= 0 {
		kind, i = Back, b
	}
	if i < 0 || p.asksByMark() || p.find("ask") == 0 {
		return nil
	}
	for _, it := range p.items[:i] {
		for _, s := range it.senses {
			if silencers[s.class] != "" && s.class != "doubt" {
				return nil
			}
		}
		if it.unknown() {
			return nil
		}
	}
	about := *p
	if namedIn(p.items[:i]) {
		about.items = p.items[:i] // "WF2 out of use: pump seal's gone" is not about the pump
	}
	_, ids, ask := about.oneMachine(kind)
	if ask != nil {
		return []Act{*ask}
	}
	if len(ids) != 1 || !p.namesMachine() && p.ctx.Thread == 0 {
		return nil
	}
	if kind == Back && p.phrase(p.items[i]) == "is back" && i+1 < len(p.items) && p.items[i+1].brk == 0 {
		return nil // "is back at the north end"
	}
	reason := p.reasonAfter(i)
	for _, lead := range []string{"because ", "cause ", "cuz ", "since ", "due to ", "for ", "with "} {
		if len(reason) > len(lead) && strings.EqualFold(reason[:len(lead)], lead) {
			reason = reason[len(lead):]
		}
	}
	return []Act{{Kind: kind, Machine: ids[0], Reason: reason}}
}

// reasonAfter is what follows an item as it stands; the machine is left out where
// it is named only there.
func (p *parse) reasonAfter(i int) string {
	rest := p.items[i+1:]
	if !namedIn(p.items[:i]) {
		return p.textOf(rest)
	}
	for len(rest) > 0 && rest[0].brk != 0 {
		rest = rest[1:]
	}
	for len(rest) > 0 && rest[len(rest)-1].brk != 0 {
		rest = rest[:len(rest)-1]
	}
	if len(rest) == 0 {
		return ""
	}
	return p.stretch(rest[0], rest[len(rest)-1])
}

// laidUp reads "parked k14 for winter", "RT2 out of storage".
func (p *parse) laidUp() []Act {
	kind, i := Parked, p.find("parkword")
	if w := p.find("wakeword"); w >= 0 {
		kind, i = Woken, w
	}
	if i < 0 {
		i = p.splitPark()
	}
	if i < 0 || !p.firm() {
		return nil
	}
	_, ids, ask := p.oneMachine(kind)
	if ask != nil {
		return []Act{*ask}
	}
	if len(ids) == 0 || !p.namesMachine() && p.ctx.Thread == 0 {
		return nil
	}
	var acts []Act
	for _, id := range ids {
		acts = append(acts, Act{Kind: kind, Machine: id, Day: p.dayGiven()})
	}
	for k, it := range p.items {
		if it.numeric && !it.named && (it.unit == "hours" || it.num.decimals == 1 && it.unit == "") && len(ids) == 1 && !it.approx {
			if t, ok := p.items[k].num.tenths(); ok {
				acts = append([]Act{{Kind: Reading, Machine: ids[0], Hours: engine.Known(t), Day: acts[0].Day}}, acts...)
			}
		}
	}
	return acts
}

// splitPark finds "parked k14 for winter": the words apart.
func (p *parse) splitPark() int {
	for i, it := range p.items {
		switch p.word(it) {
		case "parked", "laid", "stored", "put":
		default:
			continue
		}
		for k := i + 1; k < len(p.items) && k < i+6; k++ {
			for t := p.items[k].at; t < p.items[k].at+p.items[k].n; t++ {
				if w := p.toks[t].lem; (w == "winter" || w == "season") && t > 0 && (p.toks[t-1].w == "for" || p.toks[t-1].w == "the") {
					return i
				}
			}
		}
	}
	return -1
}
