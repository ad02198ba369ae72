package commands

import (
	"context"
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"woodruff/engine"
)

// DueColumns are the columns of the due list as CSV. due_hours is what today's
// meter will show, empty where only months rule; due_day is the shop's day that
// holds the median crossing; early_day and late_day are the 10 % and 90 % days.
var DueColumns = []string{"machine", "job", "last_day", "last_hours", "due_hours", "due_day", "early_day", "late_day", "hours_now", "reason"}

// WriteDue writes the due list as CSV: with days, what is due within them; with
// days < 0 every item of the plan, those that cannot be dated last.
func (d *Desk) WriteDue(ctx context.Context, w io.Writer, at engine.Instant, days int) error {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return err
	}
	var all []tagged
	err = t.eachMachine(func(v *view) error {
		for _, i := range t.itemsOf(v) {
			if days < 0 || i.Unknown == "" && i.DueDay != 0 && i.DueDay <= t.today+engine.Day(days) {
				all = append(all, tagged{v.m, i})
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	rank := func(i engine.Item) engine.Day {
		if i.Unknown != "" || i.DueDay == 0 {
			return 1<<31 - 1
		}
		return i.DueDay
	}
	slices.SortStableFunc(all, func(a, b tagged) int {
		switch ra, rb := rank(a.i), rank(b.i); {
		case ra < rb:
			return -1
		case ra > rb:
			return 1
		}
		return 0
	})
	out := csv.NewWriter(w)
	if err := out.Write(DueColumns); err != nil {
		return err
	}
	for _, x := range all {
		if err := out.Write(t.dueRow(x)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func (t *turn) dueRow(x tagged) []string {
	i := x.i
	due := figure(i.DueShown)
	if i.Reason.Rule == engine.ByMonths && i.HoursDay == 0 && !i.DueHours.Known {
		due = ""
	}
	return []string{
		x.m.Tag, string(i.Job), i.Last.Day.String(), figure(i.Last.Shown), due,
		i.DueDay.String(), i.EarlyDay.String(), i.LateDay.String(), figure(i.HoursNow), t.why(i),
	}
}

func figure(h engine.Maybe[engine.Tenths]) string {
	if !h.Known {
		return ""
	}
	return h.Value.String()
}

// DueText is what is due within so many days, from 0 for today, as an answer.
func (d *Desk) DueText(ctx context.Context, at engine.Instant, days int) (Answer, error) {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return Answer{}, err
	}
	err = t.dueBy(t.today+engine.Day(days), "")
	return t.out, err
}

// LogColumns are the columns of the service book as CSV.
var LogColumns = []string{"seq", "day", "said", "machine", "kind", "what", "hours", "done_by", "written_by", "words", "state", "by_seq"}

// textsAtOnce is how many lines' words are fetched together.
const textsAtOnce = 500

// WriteLog writes the service book: every line in the order written, those
// taken back or replaced included and marked. id 0 is every machine.
func (d *Desk) WriteLog(ctx context.Context, w io.Writer, at engine.Instant, id engine.MachineID, asCSV bool) error {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return err
	}
	var lines []engine.Entry
	err = t.book.Histories(ctx, func(of engine.MachineID, h []engine.Entry) error {
		if id == 0 || of == id {
			lines = append(lines, kept(h)...)
		}
		return nil
	})
	if err != nil {
		return err
	}
	slices.SortFunc(lines, func(a, b engine.Entry) int { return int(a.Seq - b.Seq) })
	out := csv.NewWriter(w)
	if asCSV {
		if err := out.Write(LogColumns); err != nil {
			return err
		}
	}
	for chunk := range slices.Chunk(lines, textsAtOnce) {
		if err := t.withTexts(chunk); err != nil {
			return err
		}
		for _, e := range chunk {
			if asCSV {
				err = out.Write(t.logRow(e))
			} else {
				_, err = io.WriteString(w, t.logLine(e)+"\n")
			}
			if err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

func (t *turn) logRow(e engine.Entry) []string {
	m, _ := t.shed.Machine(e.Machine)
	by := ""
	if e.By != 0 {
		by = strconv.FormatInt(int64(e.By), 10)
	}
	state := string(e.State)
	if e.Deleted {
		state = strings.TrimSpace(state + " message-deleted")
	}
	return []string{
		strconv.FormatInt(int64(e.Seq), 10), e.Day.String(), time.Unix(int64(e.Said), 0).UTC().Format(time.RFC3339),
		m.Tag, string(e.Kind), describe(m, e), figure(e.Hours), t.shed.PersonName(e.DoneBy()), t.shed.PersonName(e.Writer),
		e.Raw, state, by,
	}
}

// logLine is a line of the book with the day in full and its mark.
func (t *turn) logLine(e engine.Entry) string {
	m, _ := t.shed.Machine(e.Machine)
	s := strconv.FormatInt(int64(e.Seq), 10) + "  " + m.Tag + "  " + t.bookLine(m, e)
	if e.Writer != e.DoneBy() {
		s += ", written by " + firstName(t.shed.PersonName(e.Writer))
	}
	switch e.State {
	case engine.TakenBack:
		s += "  [taken back by " + strconv.FormatInt(int64(e.By), 10) + "]"
	case engine.Replaced:
		s += "  [replaced by " + strconv.FormatInt(int64(e.By), 10) + "]"
	}
	return s
}
