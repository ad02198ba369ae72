package commands

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"woodruff/commands/read"
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
	// A large shop has a hundred thousand items: each is kept as it is written.
	type line struct {
		day  engine.Day
		text string
	}
	var lines []line
	var one bytes.Buffer
	row := csv.NewWriter(&one)
	err = t.eachMachine(func(v *view) error {
		for _, i := range t.itemsOf(v) {
			day := i.DueDay
			if i.Unknown != "" || day == 0 {
				day = undatedDay
			}
			if days >= 0 && (day == undatedDay || day > t.today+engine.Day(days)) {
				continue
			}
			one.Reset()
			if err := row.Write(t.dueRow(tagged{v.m, i})); err != nil {
				return err
			}
			row.Flush()
			lines = append(lines, line{day, one.String()})
		}
		return nil
	})
	if err != nil {
		return err
	}
	slices.SortStableFunc(lines, func(a, b line) int { return cmp.Compare(a.day, b.day) })
	out := bufio.NewWriter(w)
	out.WriteString(strings.Join(DueColumns, ",") + "\n")
	for _, l := range lines {
		out.WriteString(l.text)
	}
	return out.Flush()
}

// undatedDay comes after every day that an item can be due on.
const undatedDay engine.Day = 1<<31 - 1

func (t *turn) dueRow(x tagged) []string {
	i := x.i
	due := figure(i.DueShown)
	if byCalendar(i) && i.HoursDay == 0 && !i.DueHours.Known {
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
	err = t.listDue(dueSpan{by: t.today + engine.Day(days), today: t.today}, read.Act{})
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
	none := func(engine.MachineID) engine.Have { return engine.Have{} }
	err = t.book.AllSince(ctx, none, func(l engine.Lines) error {
		if id == 0 || l.Machine == id {
			lines = append(lines, kept(l.New)...)
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
	if changedLate(e) {
		state = strings.TrimSpace(state + " changed-later")
	}
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
