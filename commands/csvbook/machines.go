package csvbook

import (
	"io"
	"strconv"
	"strings"

	"woodruff/engine"
)

// MachineRow is one machine of the machines file.
type MachineRow struct {
	Origin
	Tag    string
	Name   string   // in full; "" is not known
	Aka    []string // nicknames
	Kind   string   // in lower case
	Reads  engine.MeterGrain
	BowlML engine.Millilitres // 0 is not known
	Owner  string
}

// ParseMachines reads the machines file. Where there are faults the rows are
// good only for checking a log against, and nothing of them is to be written.
func ParseMachines(r io.Reader) ([]MachineRow, []Fault) {
	p := machineParser{
		table: newTable(MachinesFile, machineColumns, r),
		seen:  ordinals{},
		taken: map[string]label{},
	}
	if !p.header() {
		return nil, p.faults
	}
	var rows []MachineRow
	for p.next() {
		if row, ok := p.row(); ok {
			rows = append(rows, row)
		}
	}
	return rows, p.faults
}

// label is who has a tag, a name or a nickname already.
type label struct {
	tag  string
	line int
}

type machineParser struct {
	*table
	seen  ordinals
	taken map[string]label
}

// row reads one machine; ok is false where not even its tag can stand.
func (p *machineParser) row() (row MachineRow, ok bool) {
	row = MachineRow{
		Origin: Origin{Line: p.rec.line, Raw: p.rec.raw},
		Tag:    p.text(ColTag),
		Name:   p.text(ColName),
		Aka:    words(p.text(ColAka)),
		Kind:   fold(p.text(ColKind)),
		Reads:  engine.MeterGrain(fold(p.text(ColReads))),
		Owner:  p.text(ColOwner),
	}
	if row.Kind == "" {
		p.fault(ColKind, "every machine needs its kind, such as tractor or pump")
	}
	switch row.Reads {
	case "", engine.ReadsTenths, engine.ReadsWhole, engine.NoMeter:
	default:
		p.fault(ColReads, quoted(string(row.Reads))+" is not tenths, whole or none")
	}
	row.BowlML = p.bowl()
	if !p.claim(&row) {
		return row, false
	}
	aka := sortedFold(row.Aka)
	row.Key = keyOf(MachinesFile, append([]string{
		fold(row.Tag), row.Name, row.Kind, string(row.Reads), strconv.Itoa(int(row.BowlML)), fold(row.Owner),
	}, aka...)...)
	row.Ordinal = p.seen.next(row.Key)
	return row, true
}

func (p *machineParser) bowl() engine.Millilitres {
	n, reason := millilitres(p.text(ColBowl))
	if reason != "" {
		p.fault(ColBowl, reason)
	}
	return n
}

// amountOf reads millilitres above zero with at most one decimal; empty is not
// measured.
func amountOf(s string) (engine.TenthsML, string) {
	whole, tenth, split := strings.Cut(s, ".")
	if !split {
		ml, reason := millilitres(s)
		return ml.Tenths(), reason
	}
	n, err := strconv.ParseUint(whole+tenth, 10, 64)
	switch {
	case err != nil || whole == "" || len(tenth) != 1:
		return 0, quoted(s) + " is not millilitres with at most one decimal, such as 37.5"
	case n == 0:
		return 0, "zero; leave it empty where it is not known"
	case n > mostML*uint64(engine.ML):
		return 0, "more than 100 litres"
	}
	return engine.TenthsML(n), ""
}

// mostML is a hundred litres: no bowl, and no find in one, comes near.
const mostML = 100_000

// millilitres reads a whole number of millilitres above zero; empty is not known.
func millilitres(s string) (engine.Millilitres, string) {
	if s == "" {
		return 0, ""
	}
	n, err := strconv.ParseInt(s, 10, 64)
	switch {
	case err != nil:
		return 0, quoted(s) + " is not a whole number of millilitres"
	case n < 0:
		return 0, "below zero"
	case n == 0:
		return 0, "zero; leave it empty where it is not known"
	case n > mostML:
		return 0, "more than 100 litres"
	}
	return engine.Millilitres(n), ""
}

// claim takes the tag, the name and the nicknames for the machine. A word that
// another machine goes by is a fault: a message with it could mean either.
func (p *machineParser) claim(row *MachineRow) bool {
	if row.Tag == "" {
		p.fault(ColTag, "every machine needs a tag")
		return false
	}
	if strings.Contains(row.Tag, ";") {
		p.fault(ColTag, "one tag a machine; other names go under aka")
	}
	if at, dup := p.taken[fold(row.Tag)]; dup && fold(at.tag) == fold(row.Tag) {
		p.fault(ColTag, "the tag "+printable(at.tag)+" is on line "+strconv.Itoa(at.line)+" already")
		return false
	}
	p.claimOne(*row, ColTag, row.Tag)
	if row.Name != "" {
		p.claimOne(*row, ColName, row.Name)
	}
	kept := row.Aka[:0]
	for _, name := range row.Aka {
		if p.claimOne(*row, ColAka, name) {
			kept = append(kept, name)
		}
	}
	row.Aka = kept
	return true
}

// claimOne is false for a word that this or another machine has.
func (p *machineParser) claimOne(row MachineRow, c Column, name string) bool {
	key := fold(name)
	at, dup := p.taken[key]
	if !dup {
		p.taken[key] = label{tag: row.Tag, line: row.Line}
		return true
	}
	if fold(at.tag) != fold(row.Tag) {
		p.fault(c, quoted(name)+" is what "+printable(at.tag)+" on line "+strconv.Itoa(at.line)+" goes by")
	}
	return false
}

// Known are the machines that a log may speak of.
type Known struct {
	byTag map[string]knownMachine // by folded tag
	other map[string]string       // folded name or nickname to the tag
}

type knownMachine struct {
	tag   string
	reads engine.MeterGrain
}

// KnownFrom gathers the machines of a file and of the book. The file's are
// preferred, then those in the shed, then those that have gone: a log reaches
// back before they went. The shed may be nil.
func KnownFrom(rows []MachineRow, shed *engine.Shed) Known {
	k := Known{byTag: make(map[string]knownMachine, len(rows)), other: map[string]string{}}
	for _, r := range rows {
		k.add(r.Tag, r.Reads, append([]string{r.Name}, r.Aka...))
	}
	if shed == nil {
		return k
	}
	for _, inShed := range []bool{true, false} {
		for _, m := range shed.Machines {
			if m.InShed() == inShed {
				k.add(m.Tag, m.Reads, append([]string{m.Name}, m.Nicknames...))
			}
		}
	}
	return k
}

func (k Known) add(tag string, reads engine.MeterGrain, names []string) {
	if _, ok := k.byTag[fold(tag)]; ok {
		return
	}
	k.byTag[fold(tag)] = knownMachine{tag: tag, reads: reads}
	for _, n := range names {
		if _, ok := k.other[fold(n)]; !ok && n != "" {
			k.other[fold(n)] = tag
		}
	}
}

// find looks a tag up; where it is none the reason says so, and names the tag
// of a machine that goes by that word.
func (k Known) find(tag string) (m knownMachine, reason string) {
	m, ok := k.byTag[tag]
	if !ok {
		m, ok = k.byTag[fold(tag)]
	}
	switch {
	case ok:
		return m, ""
	case tag == "":
		return m, "every row needs a machine's tag"
	case k.other[fold(tag)] != "":
		return m, quoted(tag) + " is what " + printable(k.other[fold(tag)]) + " goes by; give the tag"
	}
	return m, "no machine has the tag " + quoted(tag)
}
