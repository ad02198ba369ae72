package commands

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"woodruff/commands/read"
	"woodruff/engine"
)

// Label keys. A nickname may be dropped again; tags and names are superseded.
const (
	labelTag      = "tag"
	labelName     = "name"
	labelNickname = "nickname"
	labelDrop     = "drop-nickname"
)

// addMachine adds a machine, after a yes: a name misheard would be a machine
// that nobody has.
func addMachine(t *turn, a read.Act) (*doubt, error) {
	tag := strings.ToUpper(a.Tag)
	if tag == "" {
		tag = t.freeTag(a.Name)
	}
	for _, word := range []string{tag, a.Name} {
		if m, taken := t.called(word); taken && word != "" {
			t.line("\"" + word + "\" is " + m.Tag + ", " + m.Name + ", already. Nothing written.")
			return nil, nil
		}
	}
	if a.Value != confirmed {
		return t.confirmAdd(a, tag), nil
	}
	e := t.entry(engine.KindMachine)
	e.Name, e.Words, e.Reason, e.Value = tag, capital(a.Name), a.Owner, kindOfNew(a)
	place := t.add(e)
	if yes, said := startsByItself(a); said {
		s := t.entry(engine.KindTrait)
		s.Machine, s.Key, s.Value = engine.MachineID(place), engine.TraitSelfStart, string(engine.No)
		if yes {
			s.Value = string(engine.Yes)
		}
		t.add(s)
	}
	for _, f := range a.Features {
		s := t.entry(engine.KindTrait)
		s.Machine, s.Key, s.Value = engine.MachineID(place), f.Key, f.Value
		t.add(s)
	}
	if a.Hours.Known {
		r := t.entry(engine.KindReading)
		r.Machine, r.Hours, r.Known = engine.MachineID(place), a.Hours, a.Known
		t.add(r)
	}
	t.line(sentence(tag + ", " + a.Name + ", is in the book" + hoursAt(a.Hours)))
	t.line(cautionOfNew(a)...)
	if told := featureWords(a, t.today); len(told) > 0 {
		t.line(sentence(capital(list(told))))
	}
	t.beside = newDoubt(tag, a)
	return nil, nil
}

// featureWords word the traits given with a new machine.
func featureWords(a read.Act, today engine.Day) (words []string) {
	for _, f := range a.Features {
		words = append(words, traitWords(read.Act{Key: f.Key, Value: f.Value}, today))
	}
	return words
}

// confirmed marks an act that the person has said yes to.
const confirmed = "confirmed"

func hoursAt(h engine.Maybe[engine.Tenths]) string {
	if !h.Known {
		return ""
	}
	return " at " + h.Value.String() + " h"
}

func (t *turn) confirmAdd(a read.Act, tag string) *doubt {
	a.Tag, a.Value = tag, confirmed
	words := []string{tag, a.Name}
	if a.Hours.Known {
		words = append(words, strings.TrimSuffix(a.Hours.Value.String(), ".0")+" h")
	}
	if a.Owner != "" {
		words = append(words, a.Owner)
	}
	if yes, said := startsByItself(a); said {
		value := engine.No
		if yes {
			value = engine.Yes
		}
		words = append(words, traitWords(read.Act{Key: a.Key, Value: string(value)}, t.today))
	}
	words = append(words, featureWords(a, t.today)...)
	return &doubt{
		lines: []string{"Add " + list(words) + "?"},
		held: held{Ask: read.AskMeaning, Acts: []read.Act{a}, Options: []option{
			{Label: "yes", Acts: []read.Act{a}, Yes: true},
			{Label: "no", Nothing: true},
		}},
	}
}

// freeTag makes a tag from the initials of a name and its number, or the first
// free one; those of also are not free.
func (t *turn) freeTag(name string, also ...string) string {
	initials := ""
	name, number := numbered(name)
	for _, w := range strings.Fields(name) {
		if r := []rune(w)[0]; unicode.IsLetter(r) && len(initials) < 3 {
			initials += string(unicode.ToUpper(r))
		}
	}
	if len(initials) < 2 {
		initials = strings.ToUpper(name + "X")[:min(2, len(name)+1)]
	}
	for n := max(number, 1); ; n++ {
		tag := initials + strconv.Itoa(n)
		if _, taken := ByTag(t.shed, tag); !taken && !slices.Contains(also, tag) {
			return tag
		}
	}
}

// ByTag finds a machine of the shed by tag, whatever the case.
func ByTag(shed *engine.Shed, tag string) (engine.Machine, bool) {
	for _, m := range shed.Machines {
		if m.InShed() && strings.EqualFold(m.Tag, tag) {
			return m, true
		}
	}
	return engine.Machine{}, false
}

// rename gives a machine another tag or name; its lines stay with it.
func rename(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	e := t.entry(engine.KindLabel)
	e.Machine, e.Key, e.Name = a.Machine, labelName, capital(a.Name)
	if a.Tag != "" {
		e.Key, e.Name = labelTag, strings.ToUpper(a.Tag)
	}
	if m, taken := t.called(e.Name); taken && m.ID != a.Machine {
		t.line("\"" + e.Name + "\" is " + m.Tag + ", " + m.Name + ", already. Nothing written.")
		return nil, nil
	}
	t.add(e)
	t.line(v.m.Tag + " is now " + e.Name + ". All its lines stay with it.")
	return nil, nil
}

// nickname adds or drops one more thing that the shop calls a machine.
func nickname(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	if other, ok := t.called(a.Name); ok && other.ID != a.Machine && !a.Off {
		t.line("\"" + a.Name + "\" is " + other.Tag + " already. Nothing written.")
		return nil, nil
	}
	e := t.entry(engine.KindLabel)
	e.Machine, e.Key, e.Name = a.Machine, labelNickname, a.Name
	if a.Off {
		e.Key = labelDrop
	}
	t.add(e)
	if a.Off {
		t.line(v.m.Tag + " is no longer called \"" + a.Name + "\".")
	} else {
		t.line("\"" + a.Name + "\" is " + v.m.Tag + " from now on.")
	}
	return nil, nil
}

// called finds the machine that goes by a word exactly.
func (t *turn) called(word string) (engine.Machine, bool) {
	for _, m := range t.shed.Machines {
		if !m.InShed() {
			continue
		}
		if sameName(m.Tag, word) || sameName(m.Name, word) ||
			slices.ContainsFunc(m.Nicknames, func(n string) bool { return sameName(n, word) }) {
			return m, true
		}
	}
	return engine.Machine{}, false
}

// sameName says whether two words are one name: "the loader" is "loader".
func sameName(a, b string) bool {
	bare := func(s string) string { return strings.TrimPrefix(strings.ToLower(strings.TrimSpace(s)), "the ") }
	return bare(a) == bare(b)
}

// gone takes a machine out of the shed, after a yes. Its lines stay.
func gone(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	how := a.Value
	if a.Key != confirmed {
		a.Key = confirmed
		return &doubt{
			lines: []string{v.m.Tag + ", " + v.m.Name + ": " + how + ", and off the list?"},
			held: held{Ask: read.AskMeaning, Acts: []read.Act{a}, Options: []option{
				{Label: "yes", Acts: []read.Act{a}, Yes: true}, {Label: "no", Nothing: true},
			}},
		}, nil
	}
	e := t.lineEntry(engine.KindGone, a)
	e.Value = how
	t.add(e)
	t.line(v.m.Tag + onDay(e.Day, t.today) + ": " + how + ". It is off the list; its lines stay in the book.")
	return nil, nil
}

// trait notes what kind of thing a machine is: what its meter shows, whether it
// starts by itself, who owns it.
func trait(t *turn, a read.Act) (*doubt, error) {
	v, err := t.view(a.Machine)
	if err != nil {
		return nil, err
	}
	e := t.entry(engine.KindTrait)
	e.Machine, e.Key, e.Value, e.Name, e.Until = a.Machine, a.Key, a.Value, a.Name, a.Until
	t.add(e)
	t.line(v.m.Tag + ": " + traitWords(a, t.today) + ".")
	if a.Key == engine.TraitSevere {
		t.line(severeEffect(a)...)
	}
	if a.Key == engine.TraitSelfStart && a.Value == string(engine.Yes) {
		t.line(selfStartCaution)
	}
	return nil, nil
}

func traitWords(a read.Act, today engine.Day) string {
	switch a.Key {
	case engine.TraitMeterReads:
		return map[string]string{"tenths": "meter shows tenths", "whole": "meter shows whole hours", "none": "no hour meter"}[a.Value]
	case engine.TraitSelfStart:
		return map[string]string{"yes": "starts by itself", "no": "does not start by itself"}[a.Value]
	case engine.TraitBowl:
		return "bowl holds " + a.Value + " ml"
	case engine.TraitOwner:
		return "belongs to " + a.Name
	case engine.TraitInjection:
		return "injection " + strings.ReplaceAll(a.Value, "-", " ")
	case engine.TraitColdAid:
		return "cold aid: " + strings.ReplaceAll(a.Value, "-", " ")
	case engine.TraitSevere:
		if a.Value == "none" {
			return "usual use again"
		}
		s := "severe use (" + strings.ReplaceAll(a.Value, "-", " ") + ")"
		if a.Until != 0 {
			s += " until " + dayWords(a.Until, today)
		}
		return s
	}
	return a.Key + " " + a.Value
}

// severeEffect says what severe use does to the intervals, and how it ends.
func severeEffect(a read.Act) []string {
	if a.Value == "none" {
		return []string{"Its usual intervals are back, but where the bowl had water."}
	}
	part := "half"
	if engine.SevereShare(a.Value) > 2 {
		part = "a quarter of"
	}
	lines := []string{"Jobs that suffer from it come round at " + part + " the hours."}
	if a.Until == 0 {
		lines = append(lines, "To end it: \"usual use again\".")
	}
	return lines
}

// setting notes how the shop does things.
func setting(t *turn, a read.Act) (*doubt, error) {
	if t.msg.By.Role != Foreman {
		t.line("The foreman sets that. Nothing changed.")
		return nil, nil
	}
	e := t.entry(engine.KindSetting)
	e.Key, e.Value = a.Key, a.Value
	t.add(e)
	t.line(sentence(settingWords(a)))
	return nil, nil
}

// daysWords writes working days as they are said: "Mon to Fri, Sun".
func daysWords(days string) string {
	for _, d := range weekdayNames {
		days = strings.ReplaceAll(days, d, capital(d))
	}
	return strings.NewReplacer("-", " to ", ",", ", ").Replace(days)
}

func settingWords(a read.Act) string {
	switch a.Key {
	case engine.SetName:
		return "The shop is " + a.Value + " from now on"
	case engine.SetWorkdays:
		return "Working days: " + daysWords(a.Value) + ". The morning post comes on those"
	case engine.SetMorning:
		return "The morning post comes at " + a.Value
	}
	return "Noted: " + a.Key + " " + strings.ReplaceAll(a.Value, "-", " ")
}

// planLine notes the shop's own interval.
func planLine(t *turn, a read.Act) (*doubt, error) {
	if t.msg.By.Role == Owner {
		t.line("The shop sets the intervals. Nothing changed.")
		return nil, nil
	}
	where := "Every machine"
	if a.Machine != 0 {
		v, err := t.view(a.Machine)
		if err != nil {
			return nil, err
		}
		where = v.m.Tag
	}
	e := t.entry(engine.KindPlan)
	e.Machine, e.Jobs, e.Plan = a.Machine, a.Jobs, a.Interval
	t.add(e)
	if a.Interval.Off {
		t.line(where + ": " + jobNames(a.Jobs) + " not looked after.")
		return nil, nil
	}
	both := ""
	if a.Interval.Every > 0 && (a.Interval.Months > 0 || a.Interval.Season != 0) {
		both = ", whichever is first"
	}
	t.line(where + ": " + jobNames(a.Jobs) + " " + everyWords(a.Interval) + both + ". The shop's own figure from now on.")
	if a.Machine != 0 {
		t.nextJobs(a.Machine, a.Jobs)
	}
	return nil, nil
}
