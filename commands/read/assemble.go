package read

import (
	"strings"

	"woodruff/engine"
)

// dropUnfounded takes out what nothing supports: a bare noun beside no work, a
// finding that may be about the weather; and turns what has words in it that
// nobody explained into a question.
func (r *report) dropUnfounded() {
	kept := make([]fact, 0, len(r.facts))
	for _, f := range r.facts {
		g := r.groups[f.clause]
		switch {
		case f.weak && f.ask == AskMeaning && r.worked(f):
			r.pass(f)
			continue // "belt was shredded. new one on"
		case f.act.Kind == Symptom && len(f.act.Symptoms) == 0 && hasPart(r.p.clauses[f.clause].items) && r.worked(f):
			continue // "lift pump packed it in, new one fitted"
		case r.putRight(f):
			r.pass(f)
			continue // what was wrong is why it was worked on
		case f.act.Kind == Symptom && len(f.act.Symptoms) == 0 && r.saidWhat(f):
			continue // "grumpy in the cold, hard to start"
		case f.weak && !r.standsOn(f):
			if !g.own || !r.onlyNouns(f.clause) {
				continue
			}
			f.ask = AskMeaning
		case f.ctx && !r.ofFuel(f):
			if !g.own || f.act.Finding == engine.Debris || f.act.Finding == engine.Ice || r.p.clauses[f.clause].has("other") {
				continue
			}
			f.ask = AskMeaning
		}
		if r.stopped(f) {
			r.pass(f)
			continue
		}
		if r.strange(f) {
			if r.toWorld(f) {
				continue
			}
			if !(g.own && f.act.Kind == Service) {
				r.lost = r.lost || g.known() && !f.weak
				continue
			}
			f.ask = AskMeaning
		}
		kept = append(kept, f)
	}
	r.facts = kept
}

// pass enters a fact that is left out on purpose.
func (r *report) pass(f fact) {
	if r.p.passed == nil {
		r.p.passed = map[int]bool{}
	}
	r.p.passed[r.p.toks[r.p.clauses[f.clause].items[f.at].at].pos] = true
}

// worked says whether firm work is told of the machines of a fact.
func (r *report) worked(f fact) bool {
	for _, o := range r.facts {
		if o.act.Kind == Service && !o.weak && r.sameGroup(o.clause, f.clause) {
			return true
		}
	}
	return false
}

// stopped says whether "dry" only tells that what was weeping does so no more, and
// nothing of what came out of a bowl.
func (r *report) stopped(f fact) bool {
	if f.act.Kind != Finding || f.act.Finding != engine.Clean {
		return false
	}
	it := r.p.clauses[f.clause].items[f.at]
	if !r.p.phraseHas(it, "dry") && !r.p.phraseHas(it, "drop") && !r.p.phraseHas(it, "drip") {
		return false
	}
	for _, o := range r.facts {
		if o.act.Finding == engine.Weep && o.clause <= f.clause && r.sameGroup(o.clause, f.clause) {
			return true
		}
	}
	return false
}

// saidWhat says whether a symptom is named beside vague words about the same
// machine.
func (r *report) saidWhat(f fact) bool {
	for _, o := range r.facts {
		if o.act.Kind == Symptom && len(o.act.Symptoms) > 0 && r.sameGroup(o.clause, f.clause) {
			return true
		}
	}
	return false
}

// toWorld says whether the verb of a fact is done to what a person owns and no
// machine has: "drained my wallet".
func (r *report) toWorld(f fact) bool {
	items := r.p.clauses[f.clause].items
	if f.at+2 >= len(items) || !items[f.at+1].has("det") {
		return false
	}
	if items[f.at+2].has("world") && !namedIn(items[:f.at]) {
		return true
	}
	switch r.p.word(items[f.at+1]) {
	case "my", "our", "your", "his", "her", "their":
		return items[f.at+2].unknown()
	}
	return false
}

// onlyNouns says whether a clause is nothing but a machine and jobs.
func (r *report) onlyNouns(c int) bool {
	for _, it := range r.p.clauses[c].items {
		if it.is("glue", "v") || it.unknown() || it.has("world") || it.has("verb0") && !it.has("event") && !it.has("find") {
			return false
		}
	}
	return true
}

// standsOn says whether a job named without a verb has hours or other work
// beside it.
func (r *report) standsOn(f fact) bool {
	if r.p.firmPast(r.p.clauses[f.clause].items) {
		return true // "oil change rt1 yesterday"
	}
	if r.inLog(f) {
		return true
	}
	if r.labelled(f.clause) {
		n := 0
		for c := range r.p.clauses {
			if r.labelled(c) && r.onlyNouns(c) {
				n++
			}
		}
		if n > 1 {
			return true // "rt1: belt. rt2: coolant" is a log
		}
	}
	for id, h := range r.hours[f.clause] {
		if h.ok && id >= 0 {
			return true
		}
	}
	if r.p.clauses[f.clause].has("find") && f.act.Kind == Service {
		for _, j := range f.act.Jobs {
			if j == engine.Drain {
				return true
			}
		}
	}
	for _, o := range r.facts {
		if o.act.Kind == Service && !o.weak && r.sameGroup(o.clause, f.clause) {
			return true
		}
	}
	for c := range r.hours {
		if r.sameGroup(c, f.clause) && len(r.hours[c]) > 0 {
			return true
		}
	}
	return false
}

// inLog says whether a job without a verb stands as one line of a list of work:
// "rt1 greased, rt2 drained clean, om1 belt".
func (r *report) inLog(f fact) bool {
	if !r.groups[f.clause].own || !r.onlyNouns(f.clause) || f.ask != "" {
		return false
	}
	before := f.clause - 1
	if before < 0 {
		return false
	}
	a, b := r.p.clauses[before], r.p.clauses[f.clause]
	if !r.groups[before].own || a.sentence == b.sentence && b.sep != ',' || a.sentence != b.sentence && a.end != '\n' && a.end != ';' {
		return false
	}
	for _, o := range r.facts {
		if o.clause == before && o.act.Kind == Service && !o.weak && machineFirst(a.items) && machineFirst(b.items) {
			return true
		}
	}
	return false
}

// labelled says whether a clause begins with its machine and a colon.
func (r *report) labelled(c int) bool {
	items := r.p.clauses[c].items
	if len(items) == 0 || !items[0].named {
		return false
	}
	k := items[0].at + items[0].n
	return k < len(r.p.toks) && r.p.toks[k].raw == ":"
}

func (r *report) sameGroup(a, b int) bool {
	return r.groups[a].ctxID == r.groups[b].ctxID && same32(r.groups[a].ids, r.groups[b].ids)
}

// ofFuel says whether a finding is about the fuel side: beside fuel work, in a
// bowl, or in reply to it.
func (r *report) ofFuel(f fact) bool {
	if r.p.fuelPlace(f.clause, f.at) || len(r.p.replyJobs()) > 0 {
		return true
	}
	items := r.p.clauses[f.clause].items
	if f.act.Finding == engine.Slime && r.groups[f.clause].own {
		return true // nothing else on a machine grows it
	}
	if f.act.Finding == engine.Clean && items[f.at].n > 1 && r.p.phraseHas(items[f.at], "water") {
		return true
	}
	if f.act.Finding == engine.Air && r.groups[f.clause].own && (r.p.phraseHas(items[f.at], "bubbles") || r.p.phraseHas(items[f.at], "bubbling")) {
		return true
	}
	if f.act.Finding == engine.Water && r.groups[f.clause].own && (r.p.phraseHas(items[f.at], "had") || r.p.phraseHas(items[f.at], "got")) {
		return true
	}
	if f.act.Finding == engine.Water && f.act.Amount != (engine.Amount{}) && r.groups[f.clause].known() {
		return true
	}
	if f.act.Finding == engine.Water && f.at+2 < len(items) && items[f.at+1].has("prep") && (items[f.at+2].named || f.at+3 < len(items) && items[f.at+3].named) {
		return true
	}
	for _, o := range r.facts {
		if o.act.Kind == Service && !o.weak && (r.sameGroup(o.clause, f.clause) || overlap(r.groups[o.clause].ids, r.groups[f.clause].ids)) {
			for _, j := range o.act.Jobs {
				if fuelJobs[j] {
					return true
				}
			}
		}
		if o.act.Kind == Finding && o.act.Finding == engine.RingUp && r.sameGroup(o.clause, f.clause) {
			return true
		}
		if o.weak && o.act.Kind == Service && o.clause == f.clause && len(o.act.Jobs) == 1 && o.act.Jobs[0] == engine.Drain {
			return true
		}
	}
	return false
}

func overlap(a, b []int32) bool {
	for _, x := range a {
		if has32(b, x) {
			return true
		}
	}
	return false
}

var fuelJobs = map[engine.Job]bool{engine.Drain: true, engine.Separator: true, engine.FuelFilter: true, engine.ORing: true,
	engine.Bowl: true, engine.Bleed: true, engine.Tank: true, engine.Hose: true, engine.Vent: true, engine.LiftPump: true}

// draft is the acts of one machine while they are put together.
type draft struct {
	id       engine.MachineID
	unsure   bool
	twice    bool // one job was said to be done by two hands
	options  []Option
	readings []*Act
	services []*Act
	rest     []*Act
	dated    map[*Act]bool // of the services, those whose day was said
	order    int
}

// assemble makes the acts, or the one question that must come first.
func (r *report) assemble() ([]Act, []string) {
	var drafts []*draft
	var why []string
	find := func(id engine.MachineID, g group) *draft {
		for _, d := range drafts {
			if d.id == id && (id != 0 || d.unsure == g.unsure) {
				return d
			}
		}
		d := &draft{id: id, unsure: id == 0, dated: map[*Act]bool{}}
		if id == 0 {
			d.options = r.p.machineOptions(g.ids)
		}
		drafts = append(drafts, d)
		return d
	}
	asks := map[Slot][]Option{}
	asked := map[Slot]bool{}
	ask := func(s Slot, opts []Option) {
		if !asked[s] {
			asks[s] = opts
		}
		asked[s] = true
	}
	for c := range r.p.clauses {
		g := r.groups[c]
		ids := r.idsOf(g)
		for _, id := range ids {
			h, ok := r.hours[c][id]
			if !ok || !h.ok {
				continue
			}
			if !r.p.clauses[c].items[h.at].num.blurred && r.strangeReading(c, h.at) {
				why = append(why, "words beside the figure are not known")
				continue
			}
			if id == 0 && !r.figureAlone(c, h) {
				continue
			}
			a := &Act{Kind: Reading, Machine: id, Hours: engine.Known(h.hours), Day: r.dayOf(c, ask)}
			r.told(c, a)
			if h.unsure || r.p.clauses[c].asks || r.meterBroken(c) {
				a.Hours, a.Wants = engine.Maybe[engine.Tenths]{}, append(a.Wants, AskHours)
				ask(AskHours, nil)
			}
			d := find(id, g)
			for _, o := range d.readings {
				if o.Day == a.Day && o.Hours != a.Hours {
					ask(AskHours, nil) // two figures for one meter
				}
			}
			d.readings = append(d.readings, a)
		}
		for _, f := range r.facts {
			if f.clause != c {
				continue
			}
			if g.none() && !r.firmAlone(f) {
				continue
			}
			if f.ask != "" {
				ask(f.ask, f.opts)
			}
			for n, id := range ids {
				a := f.act
				if n < len(ids)-1 {
					a = a.clone() // each machine has its own
				}
				a.Machine = id
				d := find(id, g)
				if a.Kind == Service {
					a.Day = r.dayOf(c, ask)
					a.By = r.by[c]
					dated := r.days[c].day != 0
					if s := r.sameWorkAgain(f, d, dated); s != nil {
						s.Day = a.Day
						continue
					}
					d.service(a)
					d.dated[a] = dated
				} else {
					d.seen(a)
				}
			}
		}
	}
	acts := r.settleDrafts(drafts, asks, asked)
	if len(acts) == 0 || !Writes(acts) && acts[0].Kind != Unclear {
		return acts, why
	}
	said := acts
	if acts[0].Kind == Unclear {
		said = acts[0].Held
	}
	if owed := r.owed(said); owed != "" {
		why = append(why, owed)
		if Writes(acts) {
			acts = []Act{{Kind: Unclear, Ask: AskMeaning, Held: acts, Options: []Option{{Acts: acts}}}}
		}
	}
	return acts, why
}

// idsOf is the machines of a group; a single 0 where it must be asked.
func (r *report) idsOf(g group) []engine.MachineID {
	switch {
	case g.ctxID != 0:
		return []engine.MachineID{g.ctxID}
	case g.unsure || len(g.ids) == 0:
		return []engine.MachineID{0}
	}
	return r.p.names.machineIDs(g.ids)
}

// figureAlone says whether a figure without a machine is hours for certain:
// with a machine to choose, beside work, or with a decimal and nothing else.
func (r *report) figureAlone(c int, h hoursRead) bool {
	if r.groups[c].unsure {
		return true
	}
	for _, f := range r.facts {
		if r.sameGroup(f.clause, c) && r.firmAlone(f) {
			return true
		}
	}
	items := r.p.clauses[c].items
	it := items[h.at]
	if it.num.decimals != 1 && it.unit != "hours" && indexOf(items, "meterword") < 0 {
		return false
	}
	for i, x := range items {
		if i != h.at && !x.filler() && !x.has("meterword") && !x.has("sayshours") {
			return false
		}
	}
	return len(r.p.clauses) == 1
}

// firmAlone says whether a fact is worth a question when no machine is named.
func (r *report) firmAlone(f fact) bool {
	switch f.act.Kind {
	case Service:
		if f.weak {
			return false
		}
		for _, it := range r.p.clauses[f.clause].items {
			if it.unknown() {
				return false
			}
		}
		return f.act.Jobs == nil || f.act.Jobs[0] != engine.OtherWork
	case Finding:
		if f.act.Finding == engine.RingUp {
			return true
		}
		for _, o := range r.facts {
			if o.act.Kind == Service && r.sameGroup(o.clause, f.clause) && r.firmAlone(o) {
				return true
			}
		}
		return false
	case Symptom:
		for c := range r.p.clauses {
			for _, it := range r.p.clauses[c].items {
				if it.unknown() && (c == f.clause || it.has("plain")) || it.has("world") || it.has("other") && c == f.clause {
					return false
				}
			}
		}
		return f.ask == "" && len(f.act.Symptoms) > 0 && plainlyMachine[f.act.Symptoms[0]]
	case Fill:
		for _, it := range r.p.clauses[f.clause].items {
			if it.unknown() {
				return false
			}
		}
		c := &r.p.clauses[f.clause]
		return c.has("fuelverb") && c.has("fuel") || c.has("grade")
	}
	return false
}

// plainlyMachine are the symptoms that nobody tells of a room, the weather or a
// door: they are worth the question which machine it is.
var plainlyMachine = map[engine.Symptom]bool{engine.NoStart: true, engine.HardStart: true, engine.HardStartCold: true,
	engine.HardStartHot: true, engine.StartsDies: true, engine.Stalls: true, engine.Surging: true, engine.RoughIdle: true,
	engine.WhiteSmoke: true, engine.BlueSmoke: true, engine.BlackSmoke: true}

// dayOf is the day of a clause, or a question for it.
func (r *report) dayOf(c int, ask func(Slot, []Option)) engine.Day {
	d := r.days[c]
	if d.unsure {
		var opts []Option
		for _, o := range d.options {
			opts = append(opts, Option{Day: o})
		}
		ask(AskDay, opts)
		return 0
	}
	if d.day == r.p.ctx.Day {
		return 0
	}
	return d.day
}

// told marks a reading that somebody rang in, or that is a guess.
func (r *report) told(c int, a *Act) {
	for _, it := range r.p.items { // "TD1 1536, estimated"
		if it.has("frommemory") || it.has("approx") && estimates(r.p.word(it)) {
			a.Known = engine.Estimated
		}
	}
	items := r.p.clauses[c].items
	for i, it := range items {
		if it.has("sticker") {
			a.Known = engine.Sticker
		}
		if it.person == "" {
			continue
		}
		for k := i + 1; k < len(items) && k < i+3; k++ {
			if w := r.p.word(items[k]); items[k].has("rang") || w == "says" || w == "said" {
				a.Known, a.By = engine.Told, it.person
			}
		}
	}
}

// estimates says whether a word owns up to a guess. "About" does not make a
// reading at all.
func estimates(w string) bool {
	return w == "est" || strings.HasPrefix(w, "estimat") || strings.HasPrefix(w, "guess")
}

// machineOptions are the likely machines for a name that fits several.
func (p *parse) machineOptions(ids []int32) []Option {
	var out []Option
	for i, id := range ids {
		if i == 6 {
			break
		}
		out = append(out, Option{Machine: p.names.id(id)})
	}
	return out
}
