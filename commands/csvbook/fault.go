package csvbook

import "strconv"

// Column is the name of a column as the first line of a file gives it.
type Column string

// Columns of the machines file.
const (
	ColTag   Column = "tag"
	ColName  Column = "name"
	ColAka   Column = "aka"
	ColKind  Column = "kind"
	ColReads Column = "meter_reads"
	ColBowl  Column = "bowl_ml"
	ColOwner Column = "owner"
)

// Columns of the log.
const (
	ColDay     Column = "day"
	ColTime    Column = "time"
	ColMachine Column = "machine"
	ColHours   Column = "hours"
	ColJob     Column = "job"
	ColFinding Column = "finding"
	ColAmount  Column = "amount_ml"
	ColBy      Column = "by"
	ColNote    Column = "note"
)

// The two files, as faults name them.
const (
	MachinesFile = "machines.csv"
	LogFile      = "log.csv"
)

var (
	machineColumns = []Column{ColTag, ColName, ColAka, ColKind, ColReads, ColBowl, ColOwner}
	logColumns     = []Column{ColDay, ColTime, ColMachine, ColHours, ColJob, ColFinding, ColAmount, ColBy, ColNote}
)

// Fault is one thing that is wrong in a file. A line has at most one for each
// of its columns.
type Fault struct {
	File   string // MachinesFile or LogFile; the caller may put the path in its place
	Line   int    // from 1, as an editor counts
	Column Column // "" where the line as a whole is at fault
	Reason string
}

// String writes "log.csv line 14, hours: below zero".
func (f Fault) String() string {
	s := f.File + " line " + strconv.Itoa(f.Line)
	if f.Column != "" {
		s += ", " + string(f.Column)
	}
	return s + ": " + f.Reason
}
