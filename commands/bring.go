package commands

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"woodruff/commands/csvbook"
	"woodruff/engine"
)

// importer is who writes what a file brings in where a row names nobody.
const importer = "Import"

// Brought is what became of a shop's two files.
type Brought struct {
	Faults   []csvbook.Fault // with any, nothing was written
	Machines int             // added
	Changed  []string        // particulars of machines that were there already
	Rows     int             // of the log, new
	Lines    int             // of the service book that they made
	Repeats  int             // rows that are in the book already
	Beside   []string        // new rows that stand beside an older one of the same moment
	Doubtful []string        // figures that do not follow from those around them; written all the same
}

// bringing gathers one batch.
type bringing struct {
	*turn
	out      Brought
	machines map[string]engine.MachineID // by upper-case tag; negative in this batch
	touched  map[engine.MachineID][]engine.Entry
	where    map[engine.MachineID]map[engine.Seq]csvbook.LogRow // of touched's new entries
	inFile   map[string]bool                                    // every row of this log, by its message
	fresh    []csvbook.LogRow                                   // those that are new, of a moment of their own
}

// Bring writes a shop's machines and log into the book, all or nothing. The
// same row a second time adds nothing. Either reader may be nil.
func (d *Desk) Bring(ctx context.Context, machines, log io.Reader, at engine.Instant) (Brought, error) {
	t, err := d.turn(ctx, Said{Channel: csvbook.Channel, At: at, By: Speaker{Name: importer, Role: Foreman}})
	if err != nil {
		return Brought{}, err
	}
	t.msg.ID = fmt.Sprintf("people-%d", t.shed.Head) // the source of whoever it adds
	b := bringing{
		turn: t, machines: map[string]engine.MachineID{},
		touched: map[engine.MachineID][]engine.Entry{}, where: map[engine.MachineID]map[engine.Seq]csvbook.LogRow{},
		inFile: map[string]bool{},
	}
	for _, m := range t.shed.Machines {
		if m.InShed() {
			b.machines[strings.ToUpper(m.Tag)] = m.ID
		}
	}
	for _, m := range t.shed.Machines { // a log reaches back before a machine went
		if _, there := b.machines[strings.ToUpper(m.Tag)]; !there {
			b.machines[strings.ToUpper(m.Tag)] = m.ID
		}
	}
	rows, err := b.readMachines(machines)
	if err != nil {
		return b.out, err
	}
	if err := b.readLog(log, csvbook.KnownFrom(rows, t.shed)); err != nil || len(b.out.Faults) > 0 {
		return b.out, err
	}
	if err := b.moved(); err != nil {
		return b.out, err
	}
	b.doubtful()
	t.batch.AgainstShop = engine.Known(t.shed.Head)
	_, err = t.book.Write(ctx, t.batch)
	return b.out, err
}

// put adds an entry whose source is set already.
func (b *bringing) put(e engine.Entry) engine.Seq {
	if e.Writer == 0 {
		e.Writer = b.person(importer)
	}
	b.batch.Entries = append(b.batch.Entries, e)
	return -engine.Seq(len(b.batch.Entries))
}

// readMachines takes the machines file: new ones are added, what has changed on
// known ones is noted as of today.
func (b *bringing) readMachines(r io.Reader) ([]csvbook.MachineRow, error) {
	if r == nil {
		return nil, nil
	}
	rows, faults := csvbook.ParseMachines(r)
	b.out.Faults = append(b.out.Faults, faults...)
	if len(faults) > 0 {
		return rows, nil
	}
	for _, row := range rows {
		trace, err := b.book.Message(b.ctx, csvbook.Channel, row.Message())
		if err != nil {
			return nil, err
		}
		seen := len(trace.Entries) > 0
		if m, there := ByTag(b.shed, row.Tag); there {
			if err := b.changed(m, row, seen); err != nil {
				return nil, err
			}
			continue
		}
		if seen {
			continue // it has left since
		}
		b.claim(engine.Machine{}, row, csvbook.ColTag, row.Tag)
		b.claim(engine.Machine{}, row, csvbook.ColName, row.Name)
		for _, aka := range row.Aka {
			b.claim(engine.Machine{}, row, csvbook.ColAka, aka)
		}
		writer := b.person(importer)
		place := engine.MachineID(-len(b.batch.Entries) - 1)
		for _, e := range row.Entries(place, b.now, b.today) {
			e.Writer = writer
			b.put(e)
		}
		b.machines[strings.ToUpper(row.Tag)] = place
		b.out.Machines++
	}
	return rows, nil
}

// claim says whether a word is free for a row's machine, m where the book has
// it. A word that another machine of the book goes by is a fault: a message with
// it could mean either.
func (b *bringing) claim(m engine.Machine, row csvbook.MachineRow, c csvbook.Column, word string) bool {
	other, taken := b.called(word)
	if word == "" || !taken || other.ID == m.ID {
		return true
	}
	b.out.Faults = append(b.out.Faults, csvbook.Fault{
		File: csvbook.MachinesFile, Line: row.Line, Column: c,
		Reason: fmt.Sprintf("%q is what %s in the book goes by", word, other.Tag),
	})
	return false
}

// changed notes what a row says otherwise of a machine that is in the book. A
// row that was brought in before, and now again, is one that went back to how it
// was: it changes what a file has changed since, and leaves what was changed by
// message.
func (b *bringing) changed(m engine.Machine, row csvbook.MachineRow, seen bool) error {
	source := engine.Source{Channel: csvbook.Channel, Message: row.Message()}
	byFile := func(engine.Kind, string) bool { return true }
	var failed error
	if seen {
		byFile = func(kind engine.Kind, key string) bool { // asked of the few that differ
			l, err := b.book.Since(b.ctx, m.ID, engine.Have{})
			failed = errors.Join(failed, err)
			return err == nil && lastByFile(l.New, kind, key)
		}
		source.Message += fmt.Sprintf("-again-%d", b.shed.Head)
	}
	note := func(kind engine.Kind, key, value, name, was string) {
		e := b.entry(kind)
		e.Source = source
		e.Machine, e.Key, e.Value, e.Name = m.ID, key, value, name
		b.put(e)
		source.Ordinal++
		b.out.Changed = append(b.out.Changed, fmt.Sprintf("%s: %s is %s, was %s", m.Tag, key, value+name, was))
	}
	trait := func(key, now, was string) {
		if now != "" && now != was && byFile(engine.KindTrait, key) {
			note(engine.KindTrait, key, now, "", was)
		}
	}
	trait(engine.TraitKind, row.Kind, m.Kind)
	trait(engine.TraitMeterReads, string(row.Reads), string(m.Reads))
	if row.BowlML != 0 && row.BowlML != m.BowlML && byFile(engine.KindTrait, engine.TraitBowl) {
		note(engine.KindTrait, engine.TraitBowl, fmt.Sprint(row.BowlML), "", fmt.Sprint(m.BowlML))
	}
	if row.Owner != "" && row.Owner != m.Owner && byFile(engine.KindTrait, engine.TraitOwner) {
		note(engine.KindTrait, engine.TraitOwner, "", row.Owner, m.Owner)
	}
	if row.Name != "" && row.Name != m.Name && byFile(engine.KindLabel, labelName) && b.claim(m, row, csvbook.ColName, row.Name) {
		note(engine.KindLabel, labelName, "", row.Name, m.Name)
	}
	for _, aka := range row.Aka {
		if seen || slices.ContainsFunc(m.Nicknames, func(n string) bool { return sameName(n, aka) }) {
			continue // no file takes a nickname away, so one that is gone was dropped by message
		}
		if b.claim(m, row, csvbook.ColAka, aka) {
			note(engine.KindLabel, labelNickname, "", aka, "none")
		}
	}
	return failed
}

// lastByFile says whether what stands now of one of a machine's particulars came
// from a file.
func lastByFile(h []engine.Entry, kind engine.Kind, key string) bool {
	byFile := true
	for _, e := range h {
		if e.State == engine.Standing && e.Kind == kind && e.Key == key {
			byFile = e.Source.Channel == csvbook.Channel
		}
	}
	return byFile
}

// readLog takes the log.
func (b *bringing) readLog(r io.Reader, known csvbook.Known) error {
	if r == nil {
		return nil
	}
	var failed error
	faults := csvbook.ScanLog(r, known, b.cal, b.now, func(row csvbook.LogRow) {
		if failed == nil && len(b.out.Faults) == 0 {
			failed = b.row(row)
		}
	})
	b.out.Faults = append(b.out.Faults, faults...)
	return failed
}

// row takes one row of the log.
func (b *bringing) row(row csvbook.LogRow) error {
	trace, err := b.book.Message(b.ctx, csvbook.Channel, row.Message())
	if err != nil {
		return err
	}
	b.inFile[row.Message()] = true
	if len(trace.Entries) > 0 {
		b.out.Repeats++
		return nil
	}
	id := b.machines[strings.ToUpper(row.Machine)]
	before, err := b.before(id)
	if err != nil {
		return err
	}
	if !b.beside(row, before) {
		b.fresh = append(b.fresh, row)
	}
	by := row.By
	if by == "" {
		by = importer
	}
	doer := b.person(by)
	b.out.Rows++
	for _, e := range row.Entries(id, 0) {
		e.Writer = doer
		place := b.put(e)
		b.out.Lines++
		e.Seq = unwritten(place)
		b.touched[id] = append(b.touched[id], e)
		if b.where[id] == nil {
			b.where[id] = map[engine.Seq]csvbook.LogRow{}
		}
		b.where[id][e.Seq] = row
	}
	return nil
}

// before are the lines of a machine before this batch and what it has added.
func (b *bringing) before(id engine.MachineID) ([]engine.Entry, error) {
	if id <= 0 {
		return b.touched[id], nil
	}
	if h, there := b.touched[id]; there {
		return h, nil
	}
	l, err := b.book.Since(b.ctx, id, engine.Have{})
	b.touched[id] = slices.Clip(l.New)
	return l.New, err
}

// beside reports a row that says something else of a moment that the book has
// from a file already: it is new beside the old one, which stands.
func (b *bringing) beside(row csvbook.LogRow, before []engine.Entry) bool {
	for i := len(before) - 1; i >= 0; i-- {
		e := before[i]
		if e.Seq < unwritten(0) && fromFile(e) && e.Day == row.Day && e.At == row.At {
			b.out.Beside = append(b.out.Beside, fmt.Sprintf("line %d, %s %s: new beside an older row of the same moment", row.Line, row.Machine, row.Day))
			return true
		}
	}
	return false
}

func fromFile(e engine.Entry) bool {
	return e.State == engine.Standing && e.Source.Channel == csvbook.Channel && !e.Kind.OfShop()
}

// doubtful looks at the figures that came in beside those around them. A file
// is taken as it stands, slips and all, but they are named.
func (b *bringing) doubtful() {
	for id, h := range b.touched {
		m, _ := b.shed.Machine(id)
		meter := engine.Timeline(m, h)
		for i := 1; i < len(meter.Points); i++ {
			p, last := meter.Points[i], meter.Points[i-1]
			row, isNew := b.where[id][p.Seq]
			if !isNew {
				continue
			}
			days := max(float64(p.At-last.At)/float64(engine.DayLength), 1)
			switch gain := (p.Hours - last.Hours).Hours(); {
			case gain < 0:
				b.out.Doubtful = append(b.out.Doubtful, fmt.Sprintf("line %d, hours: %s %s is below %s of %s", row.Line, row.Machine, p.Shown, last.Shown, last.Day))
			case gain > 24*days:
				b.out.Doubtful = append(b.out.Doubtful, fmt.Sprintf("line %d, hours: %s %s is more than 24 h a day after %s of %s", row.Line, row.Machine, p.Shown, last.Shown, last.Day))
			}
		}
	}
	slices.Sort(b.out.Doubtful)
	b.out.Doubtful = slices.Compact(b.out.Doubtful)
}
