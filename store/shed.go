package store

import (
	"context"
	"database/sql"
	"slices"
	"strconv"

	"woodruff/engine"
)

// Label keys of an entry of kind label.
const (
	labelTag      = "tag"
	labelName     = "name"
	labelNickname = "nickname"
	labelDrop     = "drop-nickname"
)

// shedMark says which state of the shop a Shed is of.
type shedMark struct {
	head     engine.Seq
	erasures string
}

type shedCache struct {
	mark shedMark
	shed *engine.Shed
}

const shedMarkColumns = `(SELECT max(seq) FROM lines WHERE shop = 1), (SELECT value FROM meta WHERE key = 'erasures')`

func readShedMark(ctx context.Context, q querier) (shedMark, error) {
	var head sql.NullInt64
	var erasures sql.NullString
	err := q.row(ctx, `SELECT `+shedMarkColumns).Scan(&head, &erasures)
	return shedMark{engine.Seq(head.Int64), erasures.String}, err
}

// Shed gives the shop as it stands: the same value until an entry that changes
// the shop is written, by whatever process. It is shared; nobody changes it.
func (b *Book) Shed(ctx context.Context) (*engine.Shed, error) {
	var mark shedMark
	err := b.near(func(q querier) (err error) {
		mark, err = readShedMark(ctx, q)
		return err
	})
	if err != nil {
		return nil, b.explain(err)
	}
	return b.shedOf(ctx, mark)
}

// shedOf gives the shop in a state that was just looked up, or in a later one.
func (b *Book) shedOf(ctx context.Context, mark shedMark) (*engine.Shed, error) {
	b.shedMu.Lock()
	defer b.shedMu.Unlock()
	if b.shed != nil && mark == b.shed.mark {
		return b.shed.shed, nil
	}
	var made shedCache
	err := b.within(ctx, func(s snapshot) (err error) {
		if made.mark, err = readShedMark(ctx, s); err != nil {
			return err
		}
		made.shed, err = readShed(ctx, s)
		return err
	})
	if err != nil {
		return nil, err
	}
	made.shed.Head = made.mark.head
	b.shed = &made
	return made.shed, nil
}

// readShed folds the entries about the shop, in the order written, leaving out
// what was taken back or corrected.
func readShed(ctx context.Context, q querier) (*engine.Shed, error) {
	rows, err := q.query(ctx, `SELECT DISTINCT l.seq, l.state, g.body,
			(SELECT text FROM texts AS t WHERE t.seq = l.seq AND t.field = 'words'),
			(SELECT text FROM texts AS t WHERE t.seq = l.seq AND t.field = 'name'),
			(SELECT text FROM texts AS t WHERE t.seq = l.seq AND t.field = 'reason')
		FROM lines AS l JOIN ledger AS g ON g.seq = l.seq WHERE l.shop = 1 ORDER BY l.seq`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	f := newFolder()
	d := newDecoder()
	for rows.Next() {
		var e engine.Entry
		var body sql.RawBytes
		var words, name, reason sql.NullString
		if err := rows.Scan(&e.Seq, &e.State, &body, &words, &name, &reason); err != nil {
			return nil, err
		}
		if err := d.decode(body, &e, nil); err != nil {
			return nil, err
		}
		e.Words, e.Name, e.Reason = words.String, name.String, reason.String
		f.add(&e)
	}
	return f.shed(), rows.Err()
}

// folder makes a Shed out of entries.
type folder struct {
	machines []*foldedMachine
	byID     map[engine.MachineID]*foldedMachine
	people   []engine.Person
	person   map[engine.PersonID]int        // place in people
	roots    map[engine.Seq]engine.PersonID // a correction of a name, to whom it belongs
	plan     []engine.PlanLine
	settings map[string]string
}

type foldedMachine struct {
	engine.Machine
	selfStarts engine.Answer3 // as said, "" where nobody did
}

func newFolder() *folder {
	return &folder{
		byID:     make(map[engine.MachineID]*foldedMachine),
		person:   make(map[engine.PersonID]int),
		roots:    make(map[engine.Seq]engine.PersonID),
		settings: make(map[string]string),
	}
}

func (f *folder) add(e *engine.Entry) {
	if e.Kind == engine.KindPerson {
		f.addPerson(e)
		return
	}
	if e.State != engine.Standing {
		return
	}
	m := f.byID[e.Machine]
	switch {
	case e.Kind == engine.KindMachine:
		f.addMachine(e)
	case e.Kind == engine.KindSetting:
		f.settings[e.Key] = e.Value
	case e.Kind == engine.KindPlan:
		f.addPlan(e)
	case m == nil: // its machine was taken back
	case e.Kind == engine.KindLabel:
		m.label(e.Key, e.Name)
	case e.Kind == engine.KindTrait:
		m.trait(e)
	case e.Kind == engine.KindGone:
		m.Gone, m.GoneDay = e.Value, dayOf(e)
	}
}

// dayOf is the day that an entry speaks of, or was written on.
func dayOf(e *engine.Entry) engine.Day {
	if e.Day != 0 {
		return e.Day
	}
	return e.WrittenDay
}

// addPerson adds a person, or gives one the corrected name. The id stays that
// of the entry which added them, also where that was corrected since.
func (f *folder) addPerson(e *engine.Entry) {
	id, corrected := f.roots[e.Replaces]
	if !corrected || e.Replaces == 0 {
		id = engine.PersonID(e.Seq)
	}
	f.roots[e.Seq] = id
	if e.State == engine.TakenBack {
		return
	}
	i, known := f.person[id]
	if !known {
		i = len(f.people)
		f.person[id] = i
		f.people = append(f.people, engine.Person{ID: id})
	}
	f.people[i].Name = e.Name
}

func (f *folder) addMachine(e *engine.Entry) {
	m := &foldedMachine{Machine: engine.Machine{
		ID:     e.Machine,
		Tag:    e.Name,
		Name:   e.Words,
		Owner:  e.Reason,
		Kind:   e.Value,
		Reads:  engine.MeterGrain(e.Key),
		BowlML: engine.Millilitres(e.Amount.Measured / engine.ML),
		Added:  dayOf(e),
	}}
	f.byID[m.ID] = m
	f.machines = append(f.machines, m)
}

func (m *foldedMachine) label(key, text string) {
	switch key {
	case labelTag:
		m.Tag = text
	case labelName:
		m.Name = text
	case labelNickname:
		if !slices.Contains(m.Nicknames, text) {
			m.Nicknames = append(m.Nicknames, text)
		}
	case labelDrop:
		m.Nicknames = slices.DeleteFunc(m.Nicknames, func(n string) bool { return n == text })
	}
}

func (m *foldedMachine) trait(e *engine.Entry) {
	switch e.Key {
	case engine.TraitMeterReads:
		m.Reads = engine.MeterGrain(e.Value)
	case engine.TraitBowl:
		m.BowlML = bowl(e)
	case engine.TraitOwner:
		m.Owner = e.Name
	case engine.TraitKind:
		m.Kind = e.Value
	case engine.TraitSelfStart:
		m.selfStarts = engine.Answer3(e.Value)
	case engine.TraitInjection:
		m.Injection = e.Value
	case engine.TraitColdAid:
		m.ColdAid = e.Value
	case engine.TraitSevere:
		m.Severe, m.SevereSince, m.SevereUntil = e.Value, dayOf(e), e.Until
		if e.Value == noFactor {
			m.Severe, m.SevereSince, m.SevereUntil = "", 0, 0
		}
	}
}

// noFactor ends severe use.
const noFactor = "none"

// bowl reads a bowl's size in millilitres; what is no size is not known.
func bowl(e *engine.Entry) engine.Millilitres {
	n, err := strconv.ParseInt(e.Value, 10, 32)
	if err != nil || n < 0 {
		return engine.Millilitres(e.Amount.Measured / engine.ML)
	}
	return engine.Millilitres(n)
}

// addPlan puts the shop's own lines in; the latest for a machine and job is
// the one in force, and one without an interval drops the shop's own.
func (f *folder) addPlan(e *engine.Entry) {
	for _, job := range e.Jobs {
		f.plan = slices.DeleteFunc(f.plan, func(p engine.PlanLine) bool {
			return p.Machine == e.Machine && p.Kind == e.Value && p.Job == job
		})
		if e.Plan.IsZero() {
			continue
		}
		note := e.Reason
		if note == "" {
			note = e.Words
		}
		f.plan = append(f.plan, engine.PlanLine{
			Machine: e.Machine, Kind: e.Value, Job: job, Interval: e.Plan, Source: engine.OwnShop, Note: note,
		})
	}
}

func (f *folder) shed() *engine.Shed {
	s := &engine.Shed{People: f.people, Plan: f.plan, Settings: f.settings}
	for _, m := range f.machines {
		m.SelfStarts = m.selfStarts
		if m.SelfStarts == "" && engine.KindStartsByItself(m.Kind) {
			m.SelfStarts = engine.Yes
		}
		s.Machines = append(s.Machines, m.Machine)
	}
	s.Index()
	return s
}

// lastSeq is the last entry about a machine, 0 where there is none.
func lastSeq(ctx context.Context, q querier, id engine.MachineID) (engine.Seq, error) {
	var seq sql.NullInt64
	err := q.row(ctx, `SELECT max(seq) FROM lines WHERE machine = ?`, int64(id)).Scan(&seq)
	return engine.Seq(seq.Int64), err
}

// LastSeq is the last entry about a machine: what a decision about it is
// judged against. It is the last one of History.
func (b *Book) LastSeq(ctx context.Context, id engine.MachineID) (engine.Seq, error) {
	seq, err := lastSeq(ctx, b.r.all, id)
	return seq, b.explain(err)
}

// Last gives the machine's last figure that stands (engine.Figure). A last service from before the book and a
// put-off name hours too, but those are no reading of the meter.
func (b *Book) Last(ctx context.Context, id engine.MachineID) (hours engine.Tenths, day engine.Day, known bool, err error) {
	r, state, err := b.kept.get(ctx, id)
	if err == nil && r == nil { // whoever asks for the last figure asks for the rest next
		d := b.decoders.Get().(*decoder)
		defer b.decoders.Put(d)
		_, r, err = b.readLines(ctx, d, id, state)
	}
	if err != nil {
		return 0, 0, false, b.explain(err)
	}
	return r.last.hours, r.last.day, r.last.known, nil
}
