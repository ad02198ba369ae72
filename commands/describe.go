package commands

import (
	"strings"

	"woodruff/engine"
)

// describe says what one line of the service book records, without the machine:
// "bowl drained", "read 1223.4", "a little water".
func describe(m engine.Machine, e engine.Entry) string {
	switch e.Kind {
	case engine.KindReading:
		return "read " + meterWords(m, e.Hours.Value) + knownWords(e.Known)
	case engine.KindService:
		if e.Reason != "" {
			return workDone(e) + ", " + e.Reason // who helped
		}
		return workDone(e)
	case engine.KindBaseline:
		return baselineWords(m, e)
	case engine.KindFinding:
		return found(e.Finding, e.Amount)
	case engine.KindFill:
		return fillWords(e)
	case engine.KindSymptom:
		return symptomsOf(e.Symptoms)
	case engine.KindCheck:
		return checkedWords(e.Check, e.Value)
	case engine.KindPutOff:
		return putOffWords(e)
	case engine.KindMeter:
		return meterChangeWords(m, e)
	case engine.KindOut:
		return withReason("out of use", e.Reason)
	case engine.KindBack:
		return withReason("back in use", e.Reason)
	case engine.KindRain:
		return withReason(rainWords(e), e.Reason)
	case engine.KindParked:
		return withReason("parked", e.Reason)
	case engine.KindWoken:
		return withReason("in use again after parking", e.Reason)
	}
	return shopWords(e)
}

// shopWords says what an entry about the shop records.
func shopWords(e engine.Entry) string {
	switch e.Kind {
	case engine.KindMachine:
		return "added " + e.Name + ", " + e.Words
	case engine.KindLabel:
		if e.Key == labelDrop {
			return "no longer called " + e.Name
		}
		return e.Key + " " + e.Name
	case engine.KindTrait:
		return e.Key + ": " + e.Value + e.Name
	case engine.KindGone:
		return e.Value
	case engine.KindPerson:
		return "person " + e.Name
	case engine.KindPlan:
		return jobNames(e.Jobs) + " " + everyWords(e.Plan)
	case engine.KindSetting:
		return e.Key + " " + e.Value
	case engine.KindTakeBack:
		return "taken back"
	case engine.KindDeleted:
		return "message deleted"
	}
	return string(e.Kind)
}

func workDone(e engine.Entry) string {
	parts := make([]string, 0, len(e.Jobs))
	for _, j := range e.Jobs {
		parts = append(parts, done(j, e.How, e.Words))
	}
	if e.Value == engine.StayedDry {
		parts = append(parts, stayedDry)
	}
	return list(parts)
}

func knownWords(k engine.Knowledge) string {
	switch k {
	case engine.Told:
		return ", as told"
	case engine.Sticker:
		return ", from a sticker"
	case engine.Estimated:
		return ", estimated"
	}
	return ""
}

func baselineWords(m engine.Machine, e engine.Entry) string {
	s := jobNames(e.Jobs)
	if e.Known == engine.Unsure {
		return s + ": last one not known"
	}
	if e.Known == engine.Counted {
		return s + ": counted from here"
	}
	if e.Hours.Known {
		s += " at " + meterWords(m, e.Hours.Value)
	}
	return s + map[engine.Knowledge]string{engine.Sticker: ", from the sticker, not our work", engine.Told: ", as told, not our work", engine.Estimated: ", from memory"}[e.Known]
}

func fillWords(e engine.Entry) string {
	s := e.Litres.String() + " l of fuel"
	if e.Grade != "" {
		s += " (" + gradeWords[e.Grade] + ")"
	}
	return s
}

var gradeWords = map[engine.Grade]string{
	engine.WinterFuel: "winter", engine.SummerFuel: "summer", engine.No1: "No. 1", engine.No2: "No. 2", engine.Blend: "blend",
}

func symptomsOf(all []engine.Symptom) string {
	words := make([]string, len(all))
	for i, s := range all {
		words[i] = symptomWords[s]
	}
	return list(words)
}

func putOffWords(e engine.Entry) string {
	what := "what is due"
	if len(e.Jobs) > 0 {
		what = jobNames(e.Jobs)
	}
	if e.Until == 0 {
		return withReason(what+" put off, no day given", e.Reason)
	}
	return withReason(what+" put off to "+dayWords(e.Until, e.Day), e.Reason)
}

func meterChangeWords(m engine.Machine, e engine.Entry) string {
	s := "new hour meter, starts at " + meterWords(m, e.Hours.Value)
	if e.Old.Known {
		s += ", old one stopped at " + meterWords(m, e.Old.Value)
	}
	return s
}

func withReason(s, reason string) string {
	if reason == "" {
		return s
	}
	return s + ": " + reason
}

// sentence puts a full stop where none is.
func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "?") || strings.HasSuffix(s, ":") {
		return s
	}
	return s + "."
}

// bookLine is a line of the service book in full: day, hours, what, who.
func (t *turn) bookLine(m engine.Machine, e engine.Entry) string {
	s := dayWords(e.Day, t.today)
	if e.Day == 0 {
		s = "Day not known"
	}
	if e.Hours.Known && e.Kind != engine.KindReading && e.Kind != engine.KindMeter && e.Kind != engine.KindBaseline {
		s += " " + meterWords(m, e.Hours.Value)
	}
	s += " " + describe(m, e)
	if who := firstName(t.shed.PersonName(e.DoneBy())); who != "" {
		s += ", " + who
	}
	return s + t.afterwards(e)
}

// afterwards says what became of a line's message later: it was deleted, or the
// line comes from a change to it of another day.
func (t *turn) afterwards(e engine.Entry) string {
	s := ""
	if changedLate(e) {
		s += " (changed " + dayWords(t.cal.DayAt(engine.Instant(e.Source.Revision)), t.today) + ")"
	}
	if e.Deleted {
		s += " (message deleted)"
	}
	return s
}

// changedLate says that a line comes from a change to its message a day or more
// after it was said.
func changedLate(e engine.Entry) bool {
	return e.Source.Revision > 0 && engine.Instant(e.Source.Revision) >= e.Said+engine.DayLength
}

// stayedDry is said of work on the fuel side after which nothing leaked.
const stayedDry = "stayed dry"
