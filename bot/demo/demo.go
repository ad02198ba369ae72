// Package demo makes the demo shed: the machines of Hollin Ridge Orchard Co-op
// and two years of their log, as the two files in which a shop brings its data.
//
// The shed is told in three tables: habits (how each kind of machine is used,
// read and looked after), chores (what is renewed, how often, and how it stands
// yesterday) and the story (the lines that must be there). The rest is drawn
// from a fixed seed. Seasons follow the calendar; everything else hangs on the
// days before yesterday, so that the shed is as interesting on any day of the
// year. Places, people and machines are invented, the figures common practice.
package demo

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"

	"woodruff/engine"
)

// Days is how many days the log spans.
const Days = 730

//go:embed machines.csv
var machines []byte

// Shed makes the machines file and a log that ends yesterday. It makes the same
// bytes whenever it is given the same day and calendar.
func Shed(yesterday engine.Day, cal engine.Calendar) (machinesCSV, logCSV []byte) {
	var rows []row
	for _, h := range habits {
		l := live(h, yesterday)
		rows = append(rows, l.told()...)
		rows = append(rows, l.rounds()...)
		rows = append(rows, l.services()...)
	}
	slices.SortStableFunc(rows, row.compare)
	return slices.Clone(machines), write(rows, yesterday, cal)
}

// row is one line of the log.
type row struct {
	ago     int // days before yesterday
	clock   engine.Clock
	tag     string
	hours   string // as the meter shows them
	jobs    string
	finding string
	ml      int
	by      string
	note    string
}

func (r row) compare(o row) int {
	if r.ago != o.ago {
		return o.ago - r.ago
	}
	return int(r.clock - o.clock)
}

func write(rows []row, yesterday engine.Day, cal engine.Calendar) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	put := func(fields ...string) { _ = w.Write(fields) } // a buffer takes everything
	put("day", "time", "machine", "hours", "job", "finding", "amount_ml", "by", "note")
	for _, r := range rows {
		day := yesterday - engine.Day(r.ago)
		clock := r.clock.String()
		if _, err := cal.At(day, r.clock); err != nil {
			clock = "" // somewhere the clocks jump over it, and the day alone will do
		}
		ml := ""
		if r.ml > 0 {
			ml = strconv.Itoa(r.ml)
		}
		put(day.String(), clock, r.tag, r.hours, r.jobs, r.finding, ml, r.by, r.note)
	}
	w.Flush()
	return b.Bytes()
}
