package read

import (
	"fmt"
	"strings"
	"testing"
)

// limitsShort writes what the questions of a message are limited to.
func limitsShort(acts []Act) string {
	var out []string
	for _, a := range acts {
		if a.Kind != Question {
			continue
		}
		s := []string{string(a.About)}
		if a.By != "" {
			s = append(s, "by "+a.By)
		}
		if a.From != 0 {
			s = append(s, fmt.Sprintf("%s..%s", a.From.String()[5:], a.Till.String()[5:]))
		}
		if a.Late {
			s = append(s, "late")
		}
		if a.Whether != "" {
			s = append(s, "whether "+string(a.Whether))
		}
		out = append(out, strings.Join(s, " "))
	}
	return strings.Join(out, "; ")
}

// What a question is limited to. Today is Tuesday 24 November 2026.
func TestLimits(t *testing.T) {
	rows := []struct{ text, want string }{
		// a person, a stretch of days that is over or under way
		{"what did wilm do this week", "history by Wilm Aske 11-23..11-24"},
		{"what did i do yesterday", "history by me 11-23..11-23"},
		{"what did wilm and joss do yesterday", "history by Wilm Aske and Joss Penhale 11-23..11-23"},
		{"what was done on rt1 last week", "history 11-16..11-22"},
		{"what did joss do since monday", "history by Joss Penhale 11-23..11-24"},
		{"what was done in november", "history 11-01..11-24"},
		{"what was done on rt1 last month", "history 10-01..10-31"},
		{"any water in the last 3 weeks", "water 11-03..11-24 whether water"},
		{"any water since nov 3", "since 11-03..11-24 whether water"},
		{"which machines had water this fall", "water 09-01..11-24"},
		{"who drained rt2 on nov 3", "who 11-03..11-03"},
		{"who did what this week", "history 11-23..11-24"},
		// a day that is only compared with limits nothing
		{"was rt2 drained before the weekend", "since whether done"},
		{"when was rt1 last drained", "since"},
		// to come, and past its day
		{"whats due at the weekend", "due 11-28..11-29"},
		{"whats due next week", "due 11-30..12-06"},
		{"whats due this week", "due"}, // the published look-ahead says it
		{"whats overdue", "due late"},
		// yes or no
		{"did wilm drain rt2", "who by Wilm Aske whether done"},
		{"did i drain rt1", "who by me whether done"},
		{"has rt1 been drained this week", "since 11-23..11-24 whether done"},
		{"rt2 drained yet", "since 11-24..11-24 whether done"},
		{"is rt2 out of use", "status whether out"},
		{"is rt2 out of use?", "status whether out"},
		{"why is rt2 out of use", "status"},
		{"is anything out of use", "status whether out"},
		{"anything out of use", "status whether out"},
		{"is rt2 good to go", "status whether fit"},
		{"was the bowl clean on wf2", "water whether clean"},
		{"does rt2 need oil", "due whether due"},
		{"is anything overdue", "due late whether due"},
		// the days of a report before it are not the question's
		{"drained rt1 clean yesterday, did wilm do rt2", "who by Wilm Aske whether done"},
	}
	for _, r := range rows {
		res := Read(r.text, shedNames, base())
		if got := limitsShort(res.Candidates[0].Acts); got != r.want {
			t.Errorf("%q\n  got  %s\n  want %s", r.text, got, r.want)
		}
	}
}
