package commands

import (
	"slices"
	"strings"

	"woodruff/commands/read"
	"woodruff/engine"
)

// settleUnwritten takes off the list of unwritten lines what the same person has
// said again in this message, and what is written now.
func (t *turn) settleUnwritten() {
	if len(t.batch.Entries) == 0 {
		return
	}
	for _, q := range t.unwrittenSoFar {
		if !strings.EqualFold(q.Who, t.msg.By.Name) {
			continue
		}
		if h, err := unhold(q); err == nil && t.nowWritten(h.Acts) {
			t.close(q, engine.Answered)
		}
	}
}

// nowWritten says whether this turn writes all that some held acts would have:
// as much on the same machines, whatever the figure in doubt is now.
func (t *turn) nowWritten(acts []read.Act) bool {
	n := 0
	for _, a := range acts {
		kind, ok := entryKinds[a.Kind]
		if !ok {
			continue
		}
		n++
		if !slices.ContainsFunc(t.batch.Entries, func(e engine.Entry) bool {
			return e.Kind == kind && (a.Machine == 0 || e.Machine == a.Machine) &&
				(len(a.Jobs) == 0 || slices.ContainsFunc(a.Jobs, e.Has)) && (a.Finding == "" || a.Finding == e.Finding)
		}) {
			return false
		}
	}
	return n > 0
}

// entryKinds are the entries that acts about a machine write.
var entryKinds = map[read.ActKind]engine.Kind{
	read.Reading: engine.KindReading, read.Service: engine.KindService, read.Finding: engine.KindFinding, read.Fill: engine.KindFill,
	read.Symptom: engine.KindSymptom, read.PutOff: engine.KindPutOff, read.Meter: engine.KindMeter, read.Baseline: engine.KindBaseline,
	read.Out: engine.KindOut, read.Back: engine.KindBack, read.Add: engine.KindMachine,
}
