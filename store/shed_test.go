package store

import (
	"reflect"
	"slices"
	"testing"

	"woodruff/engine"
)

func about(kind engine.Kind, id engine.MachineID, key, value, name string) engine.Entry {
	return engine.Entry{Kind: kind, Source: from(key + value + name), Machine: id, Key: key, Value: value, Texts: engine.Texts{Name: name}, Day: 20781}
}

// What each entry about the shop does to a machine. Machine 2 is RT1, a tractor
// whose meter reads tenths, with a bowl of 120 ml.
func TestShedMachine(t *testing.T) {
	plain := engine.Machine{
		ID: 2, Tag: "RT1", Name: "Machine RT1", Kind: "tractor", Owner: "Co-op", Reads: engine.ReadsTenths, BowlML: 120, Added: 20781,
	}
	with := func(f func(*engine.Machine)) engine.Machine {
		m := plain
		f(&m)
		return m
	}
	cases := []struct {
		what  string
		steps []engine.Entry
		want  engine.Machine
	}{
		{"as added", nil, plain},
		{"another tag", []engine.Entry{about(engine.KindLabel, 2, "tag", "", "RT7")}, with(func(m *engine.Machine) { m.Tag = "RT7" })},
		{"another name", []engine.Entry{about(engine.KindLabel, 2, "name", "", "Row tractor 1")}, with(func(m *engine.Machine) { m.Name = "Row tractor 1" })},
		{"nicknames, one twice", []engine.Entry{
			about(engine.KindLabel, 2, "nickname", "", "granny"),
			about(engine.KindLabel, 2, "nickname", "", "top row tractor"),
			about(engine.KindLabel, 2, "nickname", "2", "granny"),
		}, with(func(m *engine.Machine) { m.Nicknames = []string{"granny", "top row tractor"} })},
		{"a nickname dropped", []engine.Entry{
			about(engine.KindLabel, 2, "nickname", "", "granny"), about(engine.KindLabel, 2, "drop-nickname", "", "granny"),
		}, with(func(m *engine.Machine) { m.Nicknames = []string{} })},
		{"whole hours", []engine.Entry{about(engine.KindTrait, 2, engine.TraitMeterReads, "whole", "")}, with(func(m *engine.Machine) { m.Reads = engine.ReadsWhole })},
		{"a bigger bowl", []engine.Entry{about(engine.KindTrait, 2, engine.TraitBowl, "150", "")}, with(func(m *engine.Machine) { m.BowlML = 150 })},
		{"a bowl that is no size", []engine.Entry{about(engine.KindTrait, 2, engine.TraitBowl, "big", "")}, with(func(m *engine.Machine) { m.BowlML = 0 })},
		{"another owner", []engine.Entry{about(engine.KindTrait, 2, engine.TraitOwner, "", "Hester Quill")}, with(func(m *engine.Machine) { m.Owner = "Hester Quill" })},
		{"a generator starts by itself", []engine.Entry{about(engine.KindTrait, 2, engine.TraitKind, "generator", "")}, with(func(m *engine.Machine) { m.Kind, m.SelfStarts = "generator", engine.Yes })},
		{"a generator that does not", []engine.Entry{
			about(engine.KindTrait, 2, engine.TraitSelfStart, "no", ""), about(engine.KindTrait, 2, engine.TraitKind, "generator", ""),
		}, with(func(m *engine.Machine) { m.Kind, m.SelfStarts = "generator", engine.No })},
		{"injection, cold aid", []engine.Entry{
			about(engine.KindTrait, 2, engine.TraitInjection, "mechanical", ""), about(engine.KindTrait, 2, engine.TraitColdAid, "heater", ""),
		}, with(func(m *engine.Machine) { m.Injection, m.ColdAid = "mechanical", "heater" })},
		{"severe use", []engine.Entry{about(engine.KindTrait, 2, engine.TraitSevere, "dust", "")}, with(func(m *engine.Machine) { m.Severe, m.SevereSince = "dust", 20781 })},
		{"severe use over", []engine.Entry{
			about(engine.KindTrait, 2, engine.TraitSevere, "dust", ""), about(engine.KindTrait, 2, engine.TraitSevere, "none", ""),
		}, plain},
		{"sold", []engine.Entry{about(engine.KindGone, 2, "", "sold", "")}, with(func(m *engine.Machine) { m.Gone, m.GoneDay = "sold", 20781 })},
		{"sold, taken back", []engine.Entry{about(engine.KindGone, 2, "", "sold", ""), takeBack("undo", 3)}, plain},
		{"a trait that nobody knows", []engine.Entry{about(engine.KindTrait, 2, "paint", "green", "")}, plain},
		{"a label corrected", []engine.Entry{
			about(engine.KindLabel, 2, "tag", "", "RT7"),
			func() engine.Entry { e := about(engine.KindLabel, 2, "tag", "", "RT8"); e.Replaces = 3; return e }(),
		}, with(func(m *engine.Machine) { m.Tag = "RT8" })},
	}
	for _, c := range cases {
		t.Run(c.what, func(t *testing.T) {
			b := newBook(t)
			addMachine(t, b, "RT1", "tractor")
			for _, e := range c.steps {
				write(t, b, e)
			}
			shed, err := b.Shed(ctx)
			if err != nil {
				t.Fatal(err)
			}
			if got, ok := shed.Machine(2); !ok || !reflect.DeepEqual(got, c.want) {
				t.Errorf("got  %+v\nwant %+v", got, c.want)
			}
		})
	}
}

func TestShedSelfStarters(t *testing.T) {
	b := newBook(t)
	for kind, want := range map[string]engine.Answer3{"frost fan": engine.Yes, "generator": engine.Yes, "tractor": "", "pump": ""} {
		id := addMachine(t, b, "X "+kind, kind)
		shed, err := b.Shed(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if m, _ := shed.Machine(id); m.SelfStarts != want {
			t.Errorf("a %s starts by itself: %q, want %q", kind, m.SelfStarts, want)
		}
	}
}

func TestShedTakenBackMachine(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	write(t, b, about(engine.KindLabel, id, "nickname", "", "granny"))
	write(t, b, takeBack("undo", engine.Seq(id)))
	shed, err := b.Shed(ctx)
	if err != nil || len(shed.Machines) != 0 {
		t.Errorf("in the shed: %+v (%v)", shed.Machines, err)
	}
	mustHold(t, b)
}

func TestShedPeople(t *testing.T) {
	b := newBook(t)
	joss := write(t, b, person("Joss Penhall"))[0]
	write(t, b, person("Wilm Aske"))
	fixed := person("Joss Penhale")
	fixed.Replaces = joss
	correctionSeq := write(t, b, fixed)[0]
	name := func() string {
		t.Helper()
		shed, err := b.Shed(ctx)
		if err != nil || len(shed.People) != 2 {
			t.Fatalf("people %+v (%v)", shed.People, err)
		}
		return shed.PersonName(engine.PersonID(joss))
	}
	if got := name(); got != "Joss Penhale" {
		t.Errorf("named %q", got)
	}
	write(t, b, takeBack("undo", correctionSeq))
	if got := name(); got != "Joss Penhall" {
		t.Errorf("after the correction was taken back: %q", got)
	}
}

func TestShedPlanAndSettings(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	plan := func(message string, id engine.MachineID, every engine.Tenths, jobs ...engine.Job) engine.Entry {
		return engine.Entry{Kind: engine.KindPlan, Source: from(message), Machine: id, Jobs: jobs, Plan: engine.Interval{Every: every}, Texts: engine.Texts{Reason: "its manual"}}
	}
	write(t, b, plan("a", id, 4000, engine.Separator, engine.EngineOil))
	write(t, b, plan("b", 0, 5000, engine.Separator))
	write(t, b, plan("c", id, 3000, engine.Separator)) // the latest for machine and job
	write(t, b, plan("d", id, 0, engine.EngineOil))    // the shop's own is dropped
	write(t, b, engine.Entry{Kind: engine.KindSetting, Source: from("e"), Key: engine.SetMorning, Value: "06:15"})
	write(t, b, engine.Entry{Kind: engine.KindSetting, Source: from("f"), Key: engine.SetMorning, Value: "06:30"})
	shed, err := b.Shed(ctx)
	if err != nil {
		t.Fatal(err)
	}
	line := func(id engine.MachineID, every engine.Tenths) engine.PlanLine {
		return engine.PlanLine{Machine: id, Job: engine.Separator, Interval: engine.Interval{Every: every}, Source: engine.OwnShop, Note: "its manual"}
	}
	if want := []engine.PlanLine{line(0, 5000), line(id, 3000)}; !slices.Equal(shed.Plan, want) {
		t.Errorf("got  %+v\nwant %+v", shed.Plan, want)
	}
	if want := map[string]string{engine.SetZone: testZone, engine.SetMorning: "06:30"}; !reflect.DeepEqual(shed.Settings, want) {
		t.Errorf("got %v, want %v", shed.Settings, want)
	}
}

// The same value is given until the shop changes, here or in another process.
func TestShedIsKept(t *testing.T) {
	b := newBook(t)
	other := openBook(t, b.Path())
	id := addMachine(t, b, "RT1", "tractor")
	shed := func() *engine.Shed {
		t.Helper()
		s, err := b.Shed(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	first := shed()
	if first.Head != engine.Seq(id) {
		t.Errorf("its head is %d", first.Head)
	}
	write(t, b, reading("a", id, 1))
	if shed() != first {
		t.Error("made again for a reading")
	}
	label := about(engine.KindLabel, id, "nickname", "", "granny")
	seq := write(t, other, label)[0]
	second := shed()
	if second == first || second.Head != seq || len(second.Machines[0].Nicknames) != 1 {
		t.Errorf("another handle's label was not seen: %+v", second)
	}
	if len(first.Machines[0].Nicknames) != 0 {
		t.Error("the value given out before was changed")
	}
	write(t, other, takeBack("undo", seq))
	if third := shed(); len(third.Machines[0].Nicknames) != 0 {
		t.Errorf("a take-back was not seen: %+v", third)
	}
	if err := other.Erase(ctx, engine.Seq(id), FieldReason); err != nil {
		t.Fatal(err)
	}
	if fourth := shed(); fourth.Machines[0].Owner != "" {
		t.Errorf("an erased owner is still %q", fourth.Machines[0].Owner)
	}
}

func TestHistories(t *testing.T) {
	b := newBook(t)
	n1, n2 := addMachine(t, b, "RT1", "tractor"), addMachine(t, b, "RT2", "tractor")
	write(t, b, drained("a", n2, 5), reading("b", n1, 6), drained("c", n2, 7))
	write(t, b, takeBack("d", 4))
	got := map[engine.MachineID][]engine.Entry{}
	var order []engine.MachineID
	err := b.Histories(ctx, func(id engine.MachineID, h []engine.Entry) error {
		order = append(order, id)
		for _, e := range h {
			e.Jobs = slices.Clone(e.Jobs) // good until this returns
			got[id] = append(got[id], e)
		}
		return nil
	})
	if err != nil || !slices.Equal(order, []engine.MachineID{n1, n2}) {
		t.Fatalf("came as %v (%v)", order, err)
	}
	for _, id := range order {
		want, err := b.History(ctx, id)
		if err != nil || !reflect.DeepEqual(got[id], want) {
			t.Errorf("machine %d:\ngot  %+v\nwant %+v (%v)", id, got[id], want, err)
		}
	}
	stop := ErrZone // any error of the callee ends it
	n := 0
	if err := b.Histories(ctx, func(engine.MachineID, []engine.Entry) error { n++; return stop }); err != stop || n != 1 {
		t.Errorf("called %d times, gave %v", n, err)
	}
}

func TestTexts(t *testing.T) {
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	var seqs []engine.Seq
	for i := range 2*textsAtOnce[1] + 3 {
		e := reading("m", id, 1)
		e.Source.Ordinal = i
		if i%2 == 1 {
			e.Texts = engine.Texts{}
		}
		seqs = append(seqs, write(t, b, e)...)
	}
	got, err := b.Texts(ctx, seqs...)
	if err != nil || len(got) != textsAtOnce[1]+2 {
		t.Fatalf("%d entries have texts (%v)", len(got), err)
	}
	if got[seqs[0]].Raw != "m" || got[seqs[1]] != (engine.Texts{}) {
		t.Errorf("got %+v and %+v", got[seqs[0]], got[seqs[1]])
	}
	one, err := b.Texts(ctx, engine.Seq(id))
	if want := (engine.Texts{Name: "RT1", Words: "Machine RT1", Reason: "Co-op"}); err != nil || one[engine.Seq(id)] != want {
		t.Errorf("got %+v (%v)", one, err)
	}
}
