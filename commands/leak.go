package commands

import (
	"slices"
	"strings"
	"unicode"

	"woodruff/commands/read"
	"woodruff/engine"
)

// A fuel leak takes a machine out of use until it is said what was fixed and
// that it stayed dry: "new ring" alone says nothing of whether it holds.

// leakWords are what makes a reason for being out of use a leak.
var leakWords = []string{"leak", "weep", "drip", "seep", "wet"}

// isLeak says whether a reason for being out of use is a leak.
func isLeak(reason string) bool {
	reason = strings.ToLower(reason)
	return slices.ContainsFunc(leakWords, func(w string) bool { return strings.Contains(reason, w) })
}

// dryWords and wetWords are how the shop says that a joint stayed dry, and that
// it did not.
var (
	dryWords = []string{"dry", "no leak", "no leaks", "no weep", "no weeps", "no weeping", "no drip", "no drips", "not leaking", "not weeping",
		"not dripping", "not a drop", "leak free", "doesnt leak", "isnt leaking", "stopped leaking", "nothing leaks", "no leakage", "no fuel out"}
	wetWords = []string{"not dry", "isnt dry", "didnt stay", "wasnt dry", "still leaks", "still leaking", "still weeps", "still weeping", "still drips",
		"still dripping", "still wet", "stay dry till", "if it stays", "will stay", "should stay", "hope", "not yet"}
)

// plainText is a text in small letters, without marks, a space at both ends.
func plainText(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r):
			return unicode.ToLower(r)
		case r == '\'' || r == '’':
			return -1
		}
		return ' '
	}, s)
	return " " + strings.Join(strings.Fields(s), " ") + " "
}

func holdsAny(text string, phrases []string) bool {
	return slices.ContainsFunc(phrases, func(p string) bool { return strings.Contains(text, " "+p+" ") })
}

// stayedDry says whether a text tells that what leaked has stayed dry.
func stayedDry(s string) bool {
	text := plainText(s)
	return holdsAny(text, dryWords) && !holdsAny(text, wetWords)
}

// saysWhatWasFixed says whether something is left of a text beside how dry it
// stayed and how long it ran.
func saysWhatWasFixed(s string) bool {
	text := plainText(s)
	for _, p := range dryWords {
		text = strings.ReplaceAll(text, " "+p+" ", "  ")
	}
	for w := range strings.FieldsSeq(text) {
		if !emptyWords[w] && strings.IndexFunc(w, unicode.IsLetter) >= 0 {
			return true
		}
	}
	return false
}

var emptyWords = map[string]bool{
	"stayed": true, "stays": true, "ran": true, "run": true, "min": true, "mins": true, "minutes": true, "and": true, "n": true, "it": true, "its": true,
	"is": true, "was": true, "all": true, "ok": true, "good": true, "now": true, "fixed": true, "in": true, "use": true, "back": true, "again": true,
	"the": true, "a": true, "for": true, "at": true, "h": true, "hour": true, "after": true, "with": true,
}

// outReason is why a machine is out of use, "" where it is not or none was
// given.
func (t *turn) outReason(v *view) (reason string, out bool, err error) {
	e := v.sheet(t).OutOfUse()
	if e == nil {
		return "", false, nil
	}
	if e.Reason != "" { // written by this message: its words are not in the book yet
		return e.Reason, true, nil
	}
	texts, err := t.book.Texts(t.ctx, e.Seq)
	return texts[e.Seq].Reason, true, err
}

// alsoOut is the reason of a machine that is taken out of use once more: what
// held it so far still holds it.
func alsoOut(before, now string) string {
	switch {
	case before == "" || strings.Contains(strings.ToLower(now), strings.ToLower(before)):
		return now
	case now == "" || strings.Contains(strings.ToLower(before), strings.ToLower(now)):
		return before
	}
	return before + "; " + now
}

// stillOut offers to lift a leak's hold after work that can have mended it.
func (t *turn) stillOut(ids []engine.MachineID) {
	if len(ids) != 1 || len(t.leaks) > 0 || t.msg.By.Role == "" {
		return
	}
	v := t.views[ids[0]]
	reason, out, err := t.outReason(v)
	if err != nil || !out {
		t.besideErr = err
		return
	}
	var mended []string
	for _, k := range t.acks {
		if k.day == t.today && !k.leaks() && k.mayMend() {
			mended = append(mended, k.parts...)
		}
	}
	if len(mended) > 0 && isLeak(reason) {
		t.beside = t.liftDoubt(v.m, reason, list(mended))
	}
}

// mayMend says that there was work that can have mended a leak: the fuel side
// was opened, or something was done that is no job of the list.
func (k *ack) mayMend() bool {
	return slices.ContainsFunc(k.jobs, func(j engine.Job) bool {
		info, _ := j.Info()
		return info.OpensFuel && j != engine.Bleed
	}) || k.other
}

// liftDoubt asks whether a machine is back in use after work on it. Who says yes
// is in the book with what was done; where fuel leaked, with that it stayed dry.
func (t *turn) liftDoubt(m engine.Machine, reason, work string) *doubt {
	said := work
	ask := m.Tag + " back in use?"
	no := "no"
	if isLeak(reason) {
		said += ", stayed dry"
		if !stayedDry(t.msg.Text) {
			ask = "Did " + m.Tag + " stay dry? Then it is back in use."
			no = "not yet"
		}
	}
	back := read.Act{Kind: read.Back, Machine: m.ID, Reason: said}
	return &doubt{
		lines: []string{ask},
		held: held{Ask: read.AskMeaning, Options: []option{
			{Label: "yes, back in use", Acts: []read.Act{back}, Trust: true, Yes: true, Words: "dry stayed stays", Beside: "ran run min mins 10 15 20 30 now all"},
			{Label: no, Nothing: true, Words: "not leaks leaking wet weeps weeping drips dripping", Beside: "still it yet dry"},
		}},
	}
}
