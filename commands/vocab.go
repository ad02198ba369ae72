package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"woodruff/commands/read"
	"woodruff/engine"
)

// Line is one message as a script hands it over, with what surrounds it: a
// thread's machine, what it replies to, what was asked.
type Line struct {
	ID      string       `json:"id"`
	Say     string       `json:"say"`
	From    string       `json:"from"`
	Thread  string       `json:"thread"`
	Mention bool         `json:"mention"`
	Reply   *lineContext `json:"reply"`
	Asked   *lineContext `json:"asked"`
}

// lineContext is a reply's line, a check asked for, or a slot asked for with
// the acts that wait for it; a null in a held act is where the answer goes.
type lineContext struct {
	Machine string                       `json:"machine"`
	Jobs    []engine.Job                 `json:"jobs"`
	Check   engine.Check                 `json:"check"`
	Ask     read.Slot                    `json:"ask"`
	Likely  *float64                     `json:"likely"`
	Held    []map[string]json.RawMessage `json:"held"`
}

// Meaning is what a message means, in the published vocabulary.
type Meaning struct {
	ID   string           `json:"id"`
	Acts []map[string]any `json:"acts"`
	Why  []string         `json:"why,omitempty"`
}

// Shown says what ReadLine gives beside the published slots.
type Shown struct {
	Own bool // slots of our own: how, by, known, words
	Why bool // how the message was read, in plain lines
}

// ReadLine says what a message means at an instant. It writes nothing.
func (d *Desk) ReadLine(ctx context.Context, l Line, at engine.Instant, show Shown) (Meaning, error) {
	t, err := d.turn(ctx, Said{By: Speaker{Name: l.From, Role: Role(l.From)}, At: at, Text: l.Say, Thread: l.Thread, Mention: l.Mention})
	if err != nil {
		return Meaning{}, err
	}
	if l.Reply != nil {
		t.msg.Reply = &read.Reply{Machine: t.byTag(l.Reply.Machine), Jobs: l.Reply.Jobs}
	}
	asked, err := t.asked(l.Asked)
	if err != nil {
		return Meaning{}, fmt.Errorf("message %s: %w", l.ID, err)
	}
	t.explain = show.Why
	m, err := t.interpret(asked)
	if err != nil {
		return Meaning{}, err
	}
	out := Meaning{ID: l.ID, Acts: []map[string]any{}}
	acts := m.Acts
	if !show.Own {
		acts = oneService(acts)
	}
	for _, a := range acts {
		out.Acts = append(out.Acts, t.slots(a, show.Own))
	}
	out.Why = m.why
	return out, nil
}

// oneService joins the services of a machine and day: they differ in how the work
// was done or by whom, for which the published vocabulary has no slots. Work that
// has no job there stays apart.
func oneService(acts []read.Act) []read.Act {
	var out []read.Act
	for _, a := range acts {
		at := -1
		for i, o := range out {
			if a.Kind == read.Service && o.Kind == read.Service && o.Machine == a.Machine && o.Day == a.Day && !notPublished(o) && !notPublished(a) {
				at = i
			}
		}
		if at < 0 {
			out = append(out, a)
			continue
		}
		jobs := slices.Clone(out[at].Jobs)
		for _, j := range a.Jobs {
			if !slices.Contains(jobs, j) {
				jobs = append(jobs, j)
			}
		}
		out[at].Jobs = jobs
	}
	return out
}

// byTag finds a machine by its exact tag; 0 where there is none.
func (t *turn) byTag(tag string) engine.MachineID {
	for _, m := range t.shed.Machines {
		if m.InShed() && m.Tag == tag && tag != "" {
			return m.ID
		}
	}
	return 0
}

// asked turns a script's context into the reader's.
func (t *turn) asked(c *lineContext) (*read.Asked, error) {
	if c == nil {
		return nil, nil
	}
	a := &read.Asked{Machine: t.byTag(c.Machine), Check: c.Check, Ask: c.Ask}
	if c.Likely != nil {
		a.Likely = engine.Known(engine.TenthsOf(*c.Likely))
	}
	for _, h := range c.Held {
		act, err := t.heldAct(h)
		if err != nil {
			return nil, err
		}
		a.Held = append(a.Held, act)
	}
	return a, nil
}

// heldAct reads one held act; a slot that is null waits for the answer.
func (t *turn) heldAct(h map[string]json.RawMessage) (read.Act, error) {
	var plain struct {
		Act     read.ActKind     `json:"act"`
		Machine string           `json:"machine"`
		Hours   *float64         `json:"hours"`
		Jobs    []engine.Job     `json:"jobs"`
		Day     string           `json:"day"`
		Until   string           `json:"until"`
		Finding engine.Finding   `json:"finding"`
		Amount  json.RawMessage  `json:"amount"`
		Litres  float64          `json:"litres"`
		Grade   engine.Grade     `json:"grade"`
		Symptom []engine.Symptom `json:"symptoms"`
		About   read.Topic       `json:"about"`
		Job     engine.Job       `json:"job"`
		Days    int              `json:"days"`
	}
	raw, err := json.Marshal(h)
	if err == nil {
		err = json.Unmarshal(raw, &plain)
	}
	if err != nil {
		return read.Act{}, fmt.Errorf("a held act: %w", err)
	}
	a := read.Act{
		Kind: plain.Act, Machine: t.byTag(plain.Machine), Jobs: plain.Jobs, Finding: plain.Finding,
		Litres: engine.DeciLitres(plain.Litres*10 + 0.5), Grade: plain.Grade, Symptoms: plain.Symptom,
		About: plain.About, Job: plain.Job, Days: plain.Days,
	}
	if plain.Hours != nil {
		a.Hours = engine.Known(engine.TenthsOf(*plain.Hours))
	}
	for text, day := range map[string]*engine.Day{plain.Day: &a.Day, plain.Until: &a.Until} {
		if text == "" {
			continue
		}
		if *day, err = engine.ParseDay(text); err != nil {
			return read.Act{}, err
		}
	}
	var ml float64
	if json.Unmarshal(plain.Amount, &ml) == nil {
		a.Amount.Measured = engine.TenthsMLOf(ml)
	} else {
		_ = json.Unmarshal(plain.Amount, &a.Amount.Class) // absent: not known
	}
	for slot, null := range map[read.Slot]string{read.AskMachine: "machine", read.AskHours: "hours", read.AskJobs: "jobs", read.AskDay: "day"} {
		if v, there := h[null]; there && string(v) == "null" {
			a.Wants = append(a.Wants, slot)
		}
	}
	if v, there := h["until"]; there && string(v) == "null" {
		a.Wants = append(a.Wants, read.AskDay)
	}
	return a, nil
}

// slots writes an act in the published vocabulary; a slot not given is absent.
func (t *turn) slots(a read.Act, all bool) map[string]any {
	out := map[string]any{"act": string(a.Kind)}
	if a.Kind == read.Unclear {
		out["ask"] = a.Ask
		return out
	}
	if a.Kind == read.Service && !all && notPublished(a) {
		out["act"] = "work" // the published vocabulary has no such job
	}
	put := func(name string, value any, given bool) {
		if given {
			out[name] = value
		}
	}
	m, _ := t.shed.Machine(a.Machine)
	put("machine", m.Tag, a.Machine != 0 && a.Kind != read.Correct && a.Kind != read.Undo)
	hours := "hours"
	if a.Kind == read.Meter {
		hours = "new"
		put("old", a.Old.Value.Hours(), a.Old.Known)
	}
	put(hours, a.Hours.Value.Hours(), a.Hours.Known)
	put("jobs", a.Jobs, len(a.Jobs) > 0)
	put("day", a.Day.String(), a.Day != 0)
	put("finding", a.Finding, a.Finding != "")
	put("amount", a.Amount.Class, a.Amount.Class != "")
	put("amount", a.Amount.Measured, a.Amount.Measured != 0)
	put("litres", float64(a.Litres)/10, a.Litres != 0)
	put("grade", a.Grade, a.Grade != "")
	put("symptoms", a.Symptoms, len(a.Symptoms) > 0)
	put("check", a.Check, a.Check != "")
	put("result", a.Result, a.Result != "")
	put("about", a.About, a.About != "")
	put("job", a.Job, a.Job != "")
	put("days", a.Days, a.Days != 0)
	put("until", a.Until.String(), a.Until != 0)
	if a.Kind == read.Correct {
		put("field", a.Field, true)
		put("to", t.toSlot(a), true)
	}
	if all || !published[a.Kind] {
		t.ownSlots(a, put)
	}
	return out
}

// published are the acts whose slots are fixed; ours are shown only on request.
var published = map[read.ActKind]bool{
	read.Reading: true, read.Service: true, read.Finding: true, read.Fill: true, read.Symptom: true,
	read.Check: true, read.Question: true, read.PutOff: true, read.Undo: true, read.Correct: true,
	read.Meter: true, read.Help: true, read.Chat: true, read.Unclear: true,
}

// notPublished says whether a service is less or other than any job of the
// published vocabulary: work in its own words, or only looked at, topped up or
// adjusted.
func notPublished(a read.Act) bool {
	switch a.How {
	case engine.LookedAt, engine.ToppedUp, engine.Adjusted, engine.Reused:
		return true
	}
	return slices.Contains(a.Jobs, engine.OtherWork)
}

// ownSlots are the slots of our own.
func (t *turn) ownSlots(a read.Act, put func(string, any, bool)) {
	put("how", a.How, a.How != "")
	put("by", a.By, a.By != "")
	put("known", a.Known, a.Known != "")
	put("words", a.Words, a.Words != "")
	put("from", a.From.String(), a.From != 0)
	put("till", a.Till.String(), a.Till != 0)
	put("late", true, a.Late)
	put("whether", a.Whether, a.Whether != "")
	put("reason", a.Reason, a.Reason != "")
	put("open", true, a.Open)
	put("tag", a.Tag, a.Tag != "")
	put("name", a.Name, a.Name != "")
	put("kind", a.MachineKind, a.MachineKind != "")
	put("owner", a.Owner, a.Owner != "")
	put("every", a.Interval.Every.Hours(), a.Interval.Every != 0)
	put("months", a.Interval.Months, a.Interval.Months != 0)
	put("planned", a.Costs.Planned, a.Costs.Planned != 0)
	put("failed", a.Costs.Failed, a.Costs.Failed != 0)
	put("season", a.Interval.Season.String(), a.Interval.Season != 0)
	put("key", a.Key, a.Key != "")
	put("value", a.Value, a.Value != "")
	put("off", true, a.Off)
	put("dry", true, a.Dry)
	put("then", true, a.Then)
	put("traits", a.Features, len(a.Features) > 0)
	if !a.Target.IsZero() {
		m, _ := t.shed.Machine(a.Target.Machine)
		put("of", map[string]any{"machine": m.Tag, "job": a.Target.Job, "day": a.Target.Day.String(), "by": a.Target.By}, true)
	}
}

// toSlot is the corrected value as the vocabulary writes it.
func (t *turn) toSlot(a read.Act) any {
	switch a.Field {
	case "hours":
		return a.To.Hours.Hours()
	case "machine":
		m, _ := t.shed.Machine(a.To.Machine)
		return m.Tag
	case "jobs":
		return a.To.Jobs
	case "day":
		return a.To.Day.String()
	case "finding":
		return a.To.Finding
	case "how":
		return a.To.How
	case "amount":
		if a.To.Amount.Measured != 0 {
			return a.To.Amount.Measured
		}
		return a.To.Amount.Class
	}
	return a.To.By
}
