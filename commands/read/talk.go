package read

// talk reads what is said to the bot about itself: help and undo.
func (p *parse) talk() ([]Candidate, bool) {
	if p.asksHow() {
		return []Candidate{{Acts: []Act{{Kind: Help}}, Score: 5, Why: []string{"asks how something is told"}}}, true
	}
	undo, help, rest := false, false, false
	for i, it := range p.items {
		switch {
		case undo && p.saysWhy(i):
		case it.has("undoit") && (p.find("wrong") >= 0 || p.find("misplaced") >= 0 || p.find("thatwas") >= 0 || p.find("vague") >= 0):
			undo = true
		case it.has("neg") && i+1 < len(p.items) && p.items[i+1].has("help") && p.items[i+1].n > 1, it.has("notme") && undo, it.has("vague") && p.find("undoit") > 0:
		case it.has("newhand"), help && it.has("prep") && !p.asksHow(), it.has("misplaced"), it.has("req") && p.opens(i), it.has("plan") && it.n > 1 && !undo && !help && p.opens(i):
			// "could you", "i would like to" before it; "wrong chat" beside it
		case it.has("undo"):
			undo = true
		case it.has("help"):
			help = true
		case it.brk != 0, it.filler() && !it.has("prep"), it.has("fix"), it.has("no"), it.has("and"), it.is("glue", "polite"), it.has("really"), it.has("wrong"), it.has("thatwas"), it.person != "" && !undo:
		default:
			rest = true
		}
	}
	if rest || undo == help {
		return nil, false
	}
	if p.ctx.Asked != nil && p.ctx.Asked.Ask != "" && undo && len(p.items) == 1 && p.items[0].has("fix") {
		return nil, false
	}
	kind := Undo
	if help {
		kind = Help
	}
	return []Candidate{{Acts: []Act{{Kind: kind}}, Score: 5, Why: []string{"the whole message says " + string(kind)}}}, true
}

// asksHow finds "how do i log a drain", "what should i write for an oil change":
// how something is told, whatever it is. Not spoken to, the bot takes it so only
// where the rest is of its own words.
func (p *parse) asksHow() bool {
	lead := false
	for i, it := range p.items {
		if it.has("helplead") {
			lead = true
			for k := 0; k < i; k++ {
				if x := p.items[k]; !x.filler() && x.brk == 0 && !x.has("req") && !x.has("fix") && !x.has("newhand") && x.person == "" && !x.has("neg") && !x.has("doubt") && !x.has("asktell") {
					return false
				}
			}
			continue
		}
		if it.numeric || !p.ctx.Mention && (it.has("world") || it.unknown() || it.named) {
			return false
		}
	}
	return lead
}

// saysWhy says whether an item after a firm "delete my last one" only gives the
// reason: "wrong chat", "I hadn't drained it". A value makes it a correction.
func (p *parse) saysWhy(i int) bool {
	firm, denied, verbs := false, false, 0
	for k, it := range p.items {
		firm = firm || it.has("undo") && k < i && it.n > 2
		denied = denied || it.has("neg") || it.has("wrong")
		if it.named || it.numeric || it.dated || it.has("shouldbe") || it.person != "" {
			return false
		}
		if (it.has("verb") || it.has("verb0")) && !it.has("undo") {
			verbs++
			firm = firm || k > 0 && p.items[k-1].has("neg") && verbs == 1
		}
	}
	own := false
	for k := i; k < len(p.items); k++ {
		w := p.word(p.items[k])
		own = own || w == "i" || w == "it" || w == "me" || w == "my"
	}
	firm = firm && verbs < 2 && (own || denied)
	it := p.items[i]
	if it.has("verb") || it.has("part") || it.has("event") || it.has("verb0") {
		return firm && denied
	}
	return firm && (it.unknown() || it.has("pron") || it.has("neg") || it.has("prep") || it.has("world"))
}

func isTakeBack(w string) bool {
	switch w {
	case "undo", "scratch", "delete", "del", "remove", "strike", "erase", "cancel", "void", "drop", "scrap", "wipe":
		return true
	}
	return false
}
