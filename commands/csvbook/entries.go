package csvbook

import "woodruff/engine"

// Channel is the source channel of everything that comes from a file, Reader
// the version of the reader that took it so.
const (
	Channel = "import"
	Reader  = "csv1"
)

// Entries is what the row becomes in the ledger: the reading, then the work,
// then what was found. The machine and the doer are the caller's to look up
// from Machine and By; a doer of 0 leaves the work to whoever writes.
func (r LogRow) Entries(machine engine.MachineID, doer engine.PersonID) []engine.Entry {
	entries := make([]engine.Entry, 0, 2+len(r.Findings))
	add := func(e engine.Entry) {
		e.Source = engine.Source{Channel: Channel, Message: r.Message(), Ordinal: len(entries)}
		e.Reader = Reader
		e.Said, e.At, e.Day = r.At, r.At, r.Day
		e.Machine, e.Doer = machine, doer
		e.Raw = r.Raw
		entries = append(entries, e)
	}
	if r.Hours.Known {
		add(engine.Entry{Kind: engine.KindReading, Hours: r.Hours})
	}
	if len(r.Jobs) > 0 {
		add(engine.Entry{Kind: engine.KindService, Hours: r.Hours, Jobs: r.Jobs})
	}
	for _, f := range r.Findings {
		e := engine.Entry{Kind: engine.KindFinding, Finding: f}
		if f == engine.Water {
			e.Amount = engine.Amount{Measured: r.Amount}
		}
		add(e)
	}
	if len(entries) > 0 {
		entries[r.noted()].Words = r.Note
	}
	return entries
}

// noted is the entry that carries the note: the work where there is some, else
// the first thing found, else the reading.
func (r LogRow) noted() int {
	if r.Hours.Known && len(r.Jobs)+len(r.Findings) > 0 {
		return 1
	}
	return 0
}

// Entries is what the machine becomes in the ledger: itself, and a nickname for
// each word that it also goes by. The nicknames belong to the machine whose id
// is given; in the batch that adds it, that is the negative place of the first
// of these entries. A row has no day of its own, so the caller gives both.
func (m MachineRow) Entries(machine engine.MachineID, at engine.Instant, day engine.Day) []engine.Entry {
	entries := make([]engine.Entry, 0, 1+len(m.Aka))
	add := func(e engine.Entry) {
		e.Source = engine.Source{Channel: Channel, Message: m.Message(), Ordinal: len(entries)}
		e.Reader = Reader
		e.Said, e.At, e.Day = at, at, day
		e.Raw = m.Raw
		entries = append(entries, e)
	}
	add(engine.Entry{
		Kind:   engine.KindMachine,
		Key:    string(m.Reads),
		Value:  m.Kind,
		Amount: engine.Amount{Measured: m.BowlML.Tenths()},
		Texts:  engine.Texts{Name: m.Tag, Words: m.Name, Reason: m.Owner},
	})
	for _, name := range m.Aka {
		add(engine.Entry{Kind: engine.KindLabel, Machine: machine, Key: "nickname", Texts: engine.Texts{Name: name}})
	}
	return entries
}
