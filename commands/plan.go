package commands

import (
	"context"
	"fmt"
	"io"

	"woodruff/engine"
)

// PlanOf says which intervals rule for a machine, and where each comes from.
func (d *Desk) PlanOf(ctx context.Context, id engine.MachineID) ([]string, error) {
	t, err := d.turn(ctx, Said{})
	if err != nil {
		return nil, err
	}
	m, _ := t.shed.Machine(id)
	var lines []string
	for _, l := range d.plan.For(m, t.shed.Plan) {
		s := fmt.Sprintf("%s: %s", jobName(l.Job), intervalWords(l.Interval))
		if l.Interval.First > 0 {
			s += ", first at " + l.Interval.First.String() + " h"
		}
		if l.Source == engine.OwnShop {
			s += " (the shop's own)"
		} else {
			s += " (usual, " + string(l.Source) + ")"
		}
		lines = append(lines, s)
	}
	return lines, nil
}

// BringPlan writes a shop's own intervals from a file, all or nothing; lines
// that rule already are counted and not written again.
func (d *Desk) BringPlan(ctx context.Context, r io.Reader, at engine.Instant) (written, same int, err error) {
	t, err := d.turn(ctx, Said{Channel: "plan", At: at, By: Speaker{Name: importer, Role: Foreman}})
	if err != nil {
		return 0, 0, err
	}
	t.msg.ID = fmt.Sprintf("plan-%d", t.shed.Head)
	plan, err := engine.ParsePlanFor(r, func(tag string) (engine.MachineID, bool) {
		m, ok := ByTag(t.shed, tag)
		return m.ID, ok
	})
	if err != nil {
		return 0, 0, err
	}
	for _, l := range plan {
		if t.rulesAlready(l) {
			same++
			continue
		}
		e := t.entry(engine.KindPlan)
		e.Machine, e.Value, e.Jobs, e.Plan, e.Words = l.Machine, l.Kind, []engine.Job{l.Job}, l.Interval, l.Note
		t.add(e)
		written++
	}
	return written, same, t.commit()
}

// rulesAlready says that the shop's last word on a job is the same.
func (t *turn) rulesAlready(l engine.PlanLine) bool {
	for i := len(t.shed.Plan) - 1; i >= 0; i-- {
		if p := t.shed.Plan[i]; p.Machine == l.Machine && p.Kind == l.Kind && p.Job == l.Job {
			return p.Interval == l.Interval
		}
	}
	return false
}

// ownPlan are the shop's own intervals as this turn leaves them.
func (t *turn) ownPlan() []engine.PlanLine {
	plan := t.shed.Plan
	for _, e := range t.batch.Entries {
		if e.Kind != engine.KindPlan {
			continue
		}
		for _, j := range e.Jobs {
			plan = append(plan[:len(plan):len(plan)], engine.PlanLine{Machine: e.Machine, Kind: e.Value, Job: j, Interval: e.Plan, Source: engine.OwnShop})
		}
	}
	return plan
}
