package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"woodruff/commands/read"
	"woodruff/engine"
)

// judgeTries is how often a decision is judged again because the book moved on
// while it was made. Each time somebody else has written, so that a dozen at one
// moment all get through; more means that something else is wrong.
const judgeTries = 12

// Zones finds a time zone by name, as time.LoadLocation does.
type Zones func(name string) (*time.Location, error)

// Desk is where messages come in and answers go out: the one door that every
// adapter knows. It is safe for use by several goroutines.
type Desk struct {
	book  Book
	zones Zones
	plan  engine.Plan
	views *views

	mu    sync.Mutex
	shed  *engine.Shed // what names and cal were made from
	names *read.Names
	// former are the names of machines that have left; nil where none has.
	former *read.Names
	cal    engine.Calendar
}

// NewDesk puts a desk before a book.
func NewDesk(book Book, zones Zones) *Desk {
	return &Desk{book: book, zones: zones, plan: engine.GenericPlan(), views: newViews(viewsMost)}
}

// Handle takes one thing that came in through all stages: place and rights,
// read, judge, commit, answer. Silence is the zero Answer. A hazard in it is
// spoken to first, whatever becomes of the rest.
func (d *Desk) Handle(ctx context.Context, in Inbound) (Answer, error) {
	answer, err := d.stages(ctx, in)
	if lines := hazardsIn(in); len(lines) > 0 {
		answer.Lines = append(lines, answer.Lines...)
	}
	return answer, err
}

func (d *Desk) stages(ctx context.Context, in Inbound) (Answer, error) {
	for range judgeTries {
		answer, err := d.once(ctx, in)
		if !errors.Is(err, engine.ErrMoved) {
			return answer, err
		}
	}
	return say("The book is being written to by somebody else. Nothing written; say it again."), nil
}

// once goes through the stages one time.
func (d *Desk) once(ctx context.Context, in Inbound) (Answer, error) {
	switch in := in.(type) {
	case Said:
		return d.said(ctx, in)
	case Edited:
		return d.edited(ctx, in)
	case Deleted:
		return d.deleted(ctx, in)
	case Pressed:
		return d.pressed(ctx, in)
	}
	return Answer{}, fmt.Errorf("commands: no stage for %T", in)
}

// said handles a message as first sent.
func (d *Desk) said(ctx context.Context, m Said) (Answer, error) {
	arrival, err := d.book.Arrive(ctx, m.Channel, m.ID)
	if err != nil {
		return Answer{}, err
	}
	t, err := d.turnIn(ctx, m, arrival.Shed)
	if err != nil {
		return Answer{}, err
	}
	trace := arrival.Trace
	switch {
	case trace.Deleted || trace.Revision > 0:
		return Answer{}, nil // a late copy of what was changed since
	case len(trace.Entries) > 0:
		return t.repeated(trace.Entries)
	case len(trace.Closed) > 0:
		return say("Answered already."), nil
	}
	open := t.openQuestion(arrival.Pending)
	if open != nil && open.Source.Channel == m.Channel && open.Source.Message == m.ID {
		return t.askAgain(*open)
	}
	return t.finish(t.message(open))
}

// message reads and judges, with an open question or none.
func (t *turn) message(open *engine.Question) error {
	if open == nil {
		m, err := t.interpret(nil)
		if err != nil {
			return err
		}
		if lost(m.Acts) {
			if answered, err := t.ofFormer(); answered || err != nil {
				return err
			}
		}
		return t.mean(m)
	}
	return t.withQuestion(*open)
}

// mean does what a message means, or asks where a figure in it is in doubt.
func (t *turn) mean(m meaning) error {
	if m.doubted == nil {
		return t.do(m.Acts, nil)
	}
	if refused, err := t.mayWrite(m.doubted.held.Acts); refused || err != nil {
		return err
	}
	return t.ask(*m.doubted)
}

// silent says that a message is not for the bot.
func silent(acts []read.Act) bool {
	return len(acts) == 0 || len(acts) == 1 && acts[0].Kind == read.Chat
}

// asking says that a message only asks.
func asking(acts []read.Act) bool {
	return !slices.ContainsFunc(acts, func(a read.Act) bool { return a.Kind != read.Question && a.Kind != read.Help })
}

// finish commits what the turn has come to and gives its answer.
func (t *turn) finish(err error) (Answer, error) {
	defer func() {
		for _, v := range t.views {
			t.desk.views.back(v)
		}
	}()
	if err != nil {
		return Answer{}, err
	}
	if err := t.nameOut(t.asks); err != nil {
		return Answer{}, err
	}
	t.settleUnwritten()
	if err := t.commit(); err != nil {
		return Answer{}, err
	}
	return t.out, nil
}

// turn is one message on its way through the stages.
type turn struct {
	ctx   context.Context
	desk  *Desk
	book  Book
	shed  *engine.Shed
	names *read.Names
	cal   engine.Calendar
	now   engine.Instant // the message's own time
	today engine.Day
	msg   Said
	rev   int64
	// written is how many entries the message has already, by an earlier turn.
	written int
	who     engine.PersonID // 0 while the book does not know the speaker

	views      map[engine.MachineID]*view
	batch      engine.Batch
	persons    map[string]engine.PersonID // added by this batch
	wordsKept  bool                       // an entry of the batch has the message's words
	late       bool                       // judged as of an earlier time than the last lines
	owner      string                     // of most machines
	ownerKnown bool
	explain    bool // keep how the message was read
	acks       []*ack
	leaks      []engine.MachineID              // taken out of use by this message
	restored   []engine.Entry                  // stand again, as an edit takes their correction back
	askRing    engine.MachineID                // whose bowl was opened, with no word on the ring
	instead    map[engine.MachineID]engine.Seq // wrong figures that the readings of this message replace
	asks       []read.Act                      // what waits for the answer to the question that is shown
	beside     *doubt                          // to be asked beside what is written
	besideErr  error
	// unwrittenSoFar are the questions that lapsed with work in them and that
	// nobody was told of yet.
	unwrittenSoFar []engine.Question
	many           bool           // more baselines than are told one by one
	based          []engine.Entry // baselines, where there are more than a few
	left           []string       // tags of machines that had a date already
	manual         bool           // whose figures the usual ones are was said
	out            Answer
}

// turn sets the stage: the shop as it stands, its calendar, who speaks.
func (d *Desk) turn(ctx context.Context, m Said) (*turn, error) {
	shed, err := d.book.Shed(ctx)
	if err != nil {
		return nil, err
	}
	return d.turnIn(ctx, m, shed)
}

func (d *Desk) turnIn(ctx context.Context, m Said, shed *engine.Shed) (*turn, error) {
	names, cal, err := d.of(shed)
	if err != nil {
		return nil, err
	}
	t := &turn{
		ctx: ctx, desk: d, book: d.book, shed: shed, names: names, cal: cal,
		now: m.At, today: cal.DayAt(m.At), msg: m,
		views:   map[engine.MachineID]*view{},
		persons: map[string]engine.PersonID{},
	}
	t.who = t.personByName(m.By.Name)
	return t, nil
}

// of gives what is made once from the shop as it stands.
func (d *Desk) of(shed *engine.Shed) (*read.Names, engine.Calendar, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.shed != shed {
		zone, err := d.zones(shed.Settings[engine.SetZone])
		if err != nil {
			return nil, engine.Calendar{}, fmt.Errorf("the book's time zone %q: %w", shed.Settings[engine.SetZone], err)
		}
		d.shed, d.cal = shed, engine.CalendarIn(zone)
		d.names, d.former = read.NewNames(inShed(shed.Machines), shed.People), formerNames(shed.Machines, shed.People)
	}
	return d.names, d.cal, nil
}

// Calendar is the calendar of the shop's own zone.
func (d *Desk) Calendar(ctx context.Context) (engine.Calendar, error) {
	shed, err := d.book.Shed(ctx)
	if err != nil {
		return engine.Calendar{}, err
	}
	_, cal, err := d.of(shed)
	return cal, err
}

func inShed(all []engine.Machine) []engine.Machine {
	var in []engine.Machine
	for _, m := range all {
		if m.InShed() {
			in = append(in, m)
		}
	}
	return in
}

// personByName finds a person by full name; by first name where only one has
// it; or, for a full name, somebody whom the book knows by that first name
// alone. 0 where nobody fits, or two do.
func (t *turn) personByName(name string) engine.PersonID {
	var near []engine.PersonID
	for _, p := range t.shed.People {
		if strings.EqualFold(p.Name, name) {
			return p.ID
		}
		if strings.EqualFold(firstName(p.Name), firstName(name)) && (firstName(p.Name) == p.Name || firstName(name) == name) {
			near = append(near, p.ID)
		}
	}
	if len(near) != 1 || name == "" {
		return 0
	}
	return near[0]
}

// person is personByName, adding to the batch somebody whom the book does not
// know yet.
func (t *turn) person(name string) engine.PersonID {
	if id := t.personByName(name); id != 0 {
		return id
	}
	key := strings.ToLower(name)
	if id, ok := t.persons[key]; ok {
		return id
	}
	e := t.entry(engine.KindPerson)
	e.Name = name
	id := engine.PersonID(t.add(e))
	t.persons[key] = id
	return id
}

// entry starts an entry of this message. Writer and ordinal are set by add.
func (t *turn) entry(kind engine.Kind) engine.Entry {
	return engine.Entry{
		Kind: kind, Said: t.msg.At, Day: t.today, At: t.msg.At,
		Reader: read.Version, Place: t.msg.Place,
	}
}

// add puts an entry into the batch and gives its place there, as Batch refers
// to it.
func (t *turn) add(e engine.Entry) engine.Seq {
	if e.Kind != engine.KindPerson {
		e.Writer = t.person(t.msg.By.Name)
	}
	e.Source = engine.Source{Channel: t.msg.Channel, Message: t.msg.ID, Revision: t.rev, Ordinal: t.written + len(t.batch.Entries)}
	if e.Kind != engine.KindPerson && t.written == 0 && !t.wordsKept {
		e.Raw, t.wordsKept = t.msg.Text, true // once a message is enough, and whoever it adds did not say it
	}
	t.batch.Entries = append(t.batch.Entries, e)
	place := -engine.Seq(len(t.batch.Entries))
	if v := t.views[e.Machine]; v != nil {
		v.take(t, e, place)
	}
	return place
}

// commit writes the batch, if there is anything in it.
func (t *turn) commit() error {
	if t.batch.IsZero() {
		return nil
	}
	if len(t.batch.Entries) > 0 {
		t.batch.Against = map[engine.MachineID]engine.Seq{}
		for id, v := range t.views {
			if id > 0 {
				t.batch.Against[id] = v.last
			}
		}
		t.batch.AgainstShop = engine.Known(t.shed.Head)
	}
	_, err := t.book.Write(t.ctx, t.batch)
	if errors.Is(err, engine.ErrRepeat) {
		return engine.ErrMoved // somebody wrote the same message meanwhile: go and see
	}
	return err
}

// line adds lines to the answer.
func (t *turn) line(lines ...string) { t.out.Lines = append(t.out.Lines, lines...) }
