package commands

import (
	"fmt"
	"strconv"
	"strings"

	"woodruff/engine"
)

// intervalWords writes how often a job comes round: "400 h or 12 months", "each
// year by 1 Nov".
func intervalWords(i engine.Interval) string {
	var parts []string
	if i.Every > 0 {
		parts = append(parts, strings.TrimSuffix(i.Every.String(), ".0")+" h")
	}
	if i.Months > 0 {
		parts = append(parts, count(i.Months, "month"))
	}
	if i.Season != 0 {
		parts = append(parts, "each year by "+seasonWords(i.Season))
	}
	if len(parts) == 0 {
		return "no interval"
	}
	return strings.Join(parts, " or ")
}

// everyWords is intervalWords after "every", which a season alone does without.
func everyWords(i engine.Interval) string {
	if i.Every == 0 && i.Months == 0 && i.Season != 0 {
		return intervalWords(i)
	}
	return "every " + intervalWords(i)
}

// seasonWords writes a day of the year, "1 Nov".
func seasonWords(y engine.YearDay) string {
	const leapYear = 2024 // has every day
	_, month, day := y.In(leapYear).Date()
	return strconv.Itoa(day) + " " + month.String()[:3]
}

// byCalendar says that no hours make an item due when it is.
func byCalendar(i engine.Item) bool {
	return i.Reason.Rule == engine.ByMonths || i.Reason.Rule == engine.BySeason
}

// calendarWords says which day of the calendar an item is due on, and why.
func calendarWords(i engine.Item) string {
	s := dayWords(i.DueDay, i.Today)
	if i.Reason.Rule == engine.BySeason {
		return s + ", by the season"
	}
	return s + ", by the calendar"
}

// usual says how often, and whose figure that is.
func usual(item engine.Item) string {
	if item.Line.Source == engine.OwnShop {
		return often(item)
	}
	return often(item) + "; the manual rules"
}

// often says how often, by the shop's own figure or the usual one.
func often(item engine.Item) string {
	iv := item.Line.Interval
	if every := item.Reason.Every; item.Job == engine.Drain && every != 0 && every != iv.Every {
		return everyWords(engine.Interval{Every: every}) + " for now, usual " + intervalWords(iv)
	} else if every != 0 && item.Reason.Count != engine.BreakIn {
		iv.Every = every
	}
	first := ""
	if item.Reason.Count == engine.BreakIn {
		first = "first at " + strings.TrimSuffix(item.Reason.Every.String(), ".0") + " h, then "
	}
	if item.Line.Source == engine.OwnShop {
		return first + everyWords(iv) + severeWords(item) + ", the shop's figure"
	}
	return first + "usual " + intervalWords(iv) + severeWords(item)
}

// severeWords says what severe use shortened an interval, and till when: ",
// severe use (dust) until Fri 27 Nov".
func severeWords(i engine.Item) string {
	r := i.Reason
	if r.Severe == "" {
		return ""
	}
	s := ", severe use (" + strings.ReplaceAll(r.Severe, "-", " ") + ")"
	switch {
	case r.SevereUntil != 0:
		s += " until " + dayWords(r.SevereUntil, i.Today)
	case r.SevereSeq != 0:
		s += " until two clean looks in a row"
	}
	return s
}

// footing says what a forecast rests on: "9 readings, the last 6 days ago". A
// machine with few readings leans on its kind.
func footing(b engine.Basis, today engine.Day) string {
	const kind = "the usual pace of its kind"
	if b.Readings == 0 {
		return kind
	}
	s := fmt.Sprintf("%s, the last %s", count(b.Readings, "reading"), ago(b.Last.Day, today))
	if b.From == engine.PaceOfKind {
		s += ", and " + kind
	}
	return s
}
