package store

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"woodruff/engine"
)

// projector works out, entry by entry in the order of the ledger, what the
// projections hold. Writing and rebuilding go through the same one.
type projector struct {
	s       *session
	path    string
	changes *changes // what is done to lines is noted here, where it is not nil

	addLine, addSource, look, mark, unmark, markDeleted string
}

// freshPrefix stands before the names of the projections that are made beside
// those of the book, to be compared with them.
const freshPrefix = "temp.fresh_"

// newProjector projects into the tables whose names start with prefix.
func newProjector(s *session, path, prefix string) *projector {
	in := func(query string) string { return strings.ReplaceAll(query, "{}", prefix) }
	return &projector{
		s: s, path: path,
		addLine: in(`INSERT INTO {}lines (machine, seq, kind, day, at, hours_tenths, jobs, finding, shop, state, by_seq, deleted)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, '', 0, 0)`),
		addSource:   in(`INSERT INTO {}sources (channel, message, revision, ordinal, seq, writer, place) VALUES (?, ?, ?, ?, ?, ?, ?)`),
		look:        in(`SELECT machine, kind, shop, state FROM {}lines WHERE seq = ? ORDER BY machine`),
		mark:        in(`UPDATE {}lines SET state = ?, by_seq = ? WHERE seq = ?`),
		unmark:      in(`UPDATE {}lines SET state = '', by_seq = 0 WHERE seq = ? AND state = 'replaced' AND by_seq = ?`),
		markDeleted: in(`UPDATE {}lines SET deleted = 1 WHERE seq = ?`),
	}
}

// target is a line that a later entry corrects, takes back or marks.
type target struct {
	machines []engine.MachineID
	kind     engine.Kind
	shop     bool
	state    engine.State
}

func (p *projector) target(ctx context.Context, seq engine.Seq) (target, error) {
	rows, err := p.s.query(ctx, p.look, seq)
	if err != nil {
		return target{}, err
	}
	defer rows.Close()
	var t target
	for rows.Next() {
		var id engine.MachineID
		if err := rows.Scan(&id, &t.kind, &t.shop, &t.state); err != nil {
			return target{}, err
		}
		t.machines = append(t.machines, id)
	}
	if err := rows.Err(); err != nil {
		return target{}, err
	}
	if len(t.machines) == 0 {
		return target{}, p.refuse(seq, "", "is not in the book")
	}
	if p.changes != nil { // nothing is looked at but to change it
		p.changes.move(t.machines)
	}
	return t, nil
}

func (p *projector) refuse(seq engine.Seq, state engine.State, why string) error {
	return &TargetError{Path: p.path, Seq: seq, State: string(state), Why: why}
}

// standing refuses what does not stand any more, or never counts as a line.
func (p *projector) standing(seq engine.Seq, t target) error {
	switch {
	case t.kind == engine.KindTakeBack, t.kind == engine.KindDeleted:
		return p.refuse(seq, "", "is itself a mark on other lines")
	case t.state == engine.TakenBack:
		return p.refuse(seq, t.state, "was taken back already")
	case t.state == engine.Replaced:
		return p.refuse(seq, t.state, "was corrected already")
	}
	return nil
}

// apply adds an entry, which is in the ledger already, to the projections.
func (p *projector) apply(ctx context.Context, e *engine.Entry) error {
	about, shop, err := p.effects(ctx, e)
	if err != nil {
		return err
	}
	if p.changes != nil {
		p.changes.line(about, e.Seq)
		p.changes.shop = shop && len(about) > 0
	}
	var hours any
	if e.Hours.Known {
		hours = int64(e.Hours.Value)
	}
	for _, id := range about {
		_, err := p.s.exec(ctx, p.addLine, int64(id), int64(e.Seq), string(e.Kind), int64(e.Day), int64(e.At),
			hours, joinJobs(e.Jobs), string(e.Finding), shop)
		if err != nil {
			return err
		}
	}
	_, err = p.s.exec(ctx, p.addSource, e.Source.Channel, e.Source.Message, e.Source.Revision, e.Source.Ordinal,
		int64(e.Seq), int64(e.Writer), e.Place)
	return err
}

// effects does to earlier lines what the entry says, and gives the machines
// that it is about (0: the shop alone) and whether the shop changes by it.
func (p *projector) effects(ctx context.Context, e *engine.Entry) ([]engine.MachineID, bool, error) {
	own := []engine.MachineID{e.Machine}
	switch {
	case e.Kind == engine.KindTakeBack:
		return p.onTargets(ctx, e, p.takeBack)
	case e.Kind == engine.KindDeleted:
		return p.onTargets(ctx, e, func(ctx context.Context, _, seq engine.Seq, _ target) ([]engine.MachineID, error) {
			_, err := p.s.exec(ctx, p.markDeleted, int64(seq))
			return nil, err
		})
	case e.Replaces != 0:
		t, err := p.replace(ctx, e)
		// A line that moves to another machine changes both, and shows among
		// the new one's only: it counts as a change of the shop, so that what
		// was judged by the old one's lines is judged again.
		return own, e.Kind.OfShop() || t.shop || !slices.Contains(t.machines, e.Machine), err
	}
	return own, e.Kind.OfShop(), nil
}

// onTarget does to one target of entry by what that says, and gives the machines
// that have a line again through it.
type onTarget func(ctx context.Context, by, seq engine.Seq, t target) (again []engine.MachineID, err error)

// onTargets does a thing to each target, later lines first: where a message is
// taken back that corrected a line of its own, the correction goes first.
func (p *projector) onTargets(ctx context.Context, e *engine.Entry, do onTarget) ([]engine.MachineID, bool, error) {
	seqs := slices.Clone(e.Targets)
	slices.SortFunc(seqs, func(a, b engine.Seq) int { return cmp.Compare(b, a) })
	var about []engine.MachineID
	shop := false
	for _, seq := range slices.Compact(seqs) {
		t, err := p.target(ctx, seq)
		if err != nil {
			return nil, false, err
		}
		again, err := do(ctx, e.Seq, seq, t)
		if err != nil {
			return nil, false, err
		}
		about = append(append(about, t.machines...), again...)
		shop = shop || t.shop
	}
	slices.Sort(about)
	return slices.Compact(about), shop, nil
}

// takeBack takes a line back. What it had corrected stands again.
func (p *projector) takeBack(ctx context.Context, by, seq engine.Seq, t target) ([]engine.MachineID, error) {
	if err := p.standing(seq, t); err != nil {
		return nil, err
	}
	if _, err := p.s.exec(ctx, p.mark, string(engine.TakenBack), int64(by), int64(seq)); err != nil {
		return nil, err
	}
	e, err := entryAt(ctx, p.s, seq)
	if err != nil || e.Replaces == 0 {
		return nil, err
	}
	corrected, err := p.target(ctx, e.Replaces)
	if err != nil {
		return nil, err
	}
	_, err = p.s.exec(ctx, p.unmark, int64(e.Replaces), int64(seq))
	return corrected.machines, err
}

// replace marks the line that an entry corrects.
func (p *projector) replace(ctx context.Context, e *engine.Entry) (target, error) {
	t, err := p.target(ctx, e.Replaces)
	if err != nil {
		return t, err
	}
	if err := p.standing(e.Replaces, t); err != nil {
		return t, err
	}
	switch {
	case t.kind == engine.KindMachine, e.Kind == engine.KindMachine:
		return t, p.refuse(e.Replaces, "", "adds a machine; give it a label or a trait instead")
	case (t.kind == engine.KindPerson) != (e.Kind == engine.KindPerson):
		return t, p.refuse(e.Replaces, "", "is about a person, or the new one is, but not both")
	}
	_, err = p.s.exec(ctx, p.mark, string(engine.Replaced), int64(e.Seq), int64(e.Replaces))
	return t, err
}

// entryAt reads one entry from the ledger, without state and texts.
func entryAt(ctx context.Context, q querier, seq engine.Seq) (engine.Entry, error) {
	e := engine.Entry{Seq: seq}
	var body []byte
	if err := q.row(ctx, `SELECT body FROM main.ledger WHERE seq = ?`, int64(seq)).Scan(&body); err != nil {
		return e, err
	}
	err := newDecoder().decode(body, &e, nil)
	return e, err
}

func joinJobs(jobs []engine.Job) string {
	switch len(jobs) {
	case 0:
		return ""
	case 1:
		return string(jobs[0])
	}
	var b strings.Builder
	for i, j := range jobs {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(string(j))
	}
	return b.String()
}
