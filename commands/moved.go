package commands

import (
	"fmt"
	"slices"
	"strings"

	"woodruff/commands/csvbook"
	"woodruff/engine"
)

// A row that was corrected in its day, its time or its machine is a row of
// another moment: nothing says what it stands for. It is told by what it has in
// common with a row that the book has from an earlier file and this file has no
// more.

// oldRow is where such a row stands in the book.
type oldRow struct {
	machine engine.MachineID
	day     engine.Day
	at      engine.Instant
}

// moved reports new rows that look like an older one of another day, time or
// machine: both stand.
func (b *bringing) moved() error {
	if len(b.fresh) == 0 || b.shed.Head == 0 {
		return nil
	}
	gone, err := b.goneRows()
	if err != nil || len(gone) == 0 {
		return err
	}
	for _, row := range b.fresh {
		id := b.machines[strings.ToUpper(row.Machine)]
		old := gone[sayingOf(row.Entries(id, 0))]
		i := slices.IndexFunc(old, func(o oldRow) bool { return o.becomes(row, id) })
		if i < 0 {
			continue
		}
		was, _ := b.shed.Machine(old[i].machine)
		b.out.Beside = append(b.out.Beside, fmt.Sprintf("line %d, %s %s: new beside a like row of %s %s %s, which is in the book and not in this file",
			row.Line, row.Machine, row.Day, was.Tag, old[i].day, b.cal.ClockAt(old[i].at)))
	}
	return nil
}

// goneRows are the rows that the book has from a file and this one has not, by
// what they say.
func (b *bringing) goneRows() (map[string][]oldRow, error) {
	gone := map[string][]oldRow{}
	none := func(engine.MachineID) engine.Have { return engine.Have{} }
	err := b.book.AllSince(b.ctx, none, func(l engine.Lines) error {
		rows := map[string][]engine.Entry{}
		for _, e := range l.New {
			if m := e.Source.Message; fromFile(e) && !b.inFile[m] {
				rows[m] = append(rows[m], e)
			}
		}
		for _, lines := range rows {
			key := sayingOf(lines)
			gone[key] = append(gone[key], oldRow{machine: l.Machine, day: lines[0].Day, at: lines[0].At})
		}
		return nil
	})
	for _, rows := range gone { // the latest of several is the likeliest
		slices.SortFunc(rows, func(a, b oldRow) int { return int(b.at - a.at) })
	}
	return gone, err
}

// sayingOf is what a row says, without its machine, day and time.
func sayingOf(lines []engine.Entry) string {
	var s strings.Builder
	for _, e := range lines {
		fmt.Fprint(&s, e.Kind, e.Hours, e.Jobs, e.Finding, e.Amount, ";")
	}
	return s.String()
}

// becomes says whether a row that says the same may be what an old one was
// corrected to: another time of the same day, another machine at the same time,
// or another day with the same figure.
func (o oldRow) becomes(row csvbook.LogRow, id engine.MachineID) bool {
	sameDay := o.day == row.Day
	switch {
	case o.machine != id:
		return sameDay && o.at == row.At
	case sameDay:
		return true
	}
	return row.Hours.Known
}
