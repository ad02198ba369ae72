package triage

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"
)

//go:embed table.csv
var table string

// Generic is the network of the shipped table.
var Generic = sync.OnceValue(func() *Net {
	n, err := Load(strings.NewReader(table))
	if err != nil {
		panic(err) // the table is part of the program and tested
	}
	return n
})

// sources are the classes of source that a line may have: judgement, common
// practice, published.
var sources = []string{"j", "cp", "pub"}

// loader reads the table from top to bottom: what a line refers to stands
// before it.
type loader struct {
	n       *Net
	classes map[string]float64
	parts   map[string]Minutes
	column  map[string]int // by name: a sign's, or a side of it
}

// Load reads a network from its table: lines of kind, name and what that kind
// has; # begins a remark. Every line ends with the class of its source. An error
// names the line.
func Load(r io.Reader) (*Net, error) {
	l := loader{
		n:       &Net{cause: map[CauseID]int{}, sign: map[SignID]int{}, factor: map[FactorID]int{}, setups: map[string]Minutes{}, joined: map[[2]CauseID]float64{}},
		classes: map[string]float64{}, parts: map[string]Minutes{}, column: map[string]int{},
	}
	rows := csv.NewReader(r)
	rows.Comment, rows.FieldsPerRecord = '#', -1
	for {
		row, err := rows.Read()
		if err == io.EOF {
			break
		}
		if err == nil {
			err = l.line(row)
		}
		if err != nil {
			at, _ := rows.FieldPos(0)
			return nil, fmt.Errorf("triage: line %d: %w", at, err)
		}
	}
	if len(l.n.Causes) == 0 || len(l.n.Signs) == 0 {
		return nil, errors.New("triage: a table without causes or signs")
	}
	l.n.finish()
	return l.n, nil
}

// kinds are the lines of a table, with how many fields each has.
var kinds = map[string]struct {
	fields int
	read   func(*loader, []string) error
}{
	"class":  {4, (*loader).class},
	"setup":  {4, (*loader).setup},
	"parts":  {4, (*loader).part},
	"sign":   {11, (*loader).sign},
	"cause":  {13, (*loader).cause},
	"factor": {5, (*loader).factor},
	"pair":   {5, (*loader).pair},
}

func (l *loader) line(row []string) error {
	k, ok := kinds[row[0]]
	switch {
	case !ok:
		return fmt.Errorf("%q is no kind of line", row[0])
	case len(row) != k.fields:
		return fmt.Errorf("%d fields, want %d", len(row), k.fields)
	case row[1] == "":
		return errors.New("no name")
	case !slices.Contains(sources, row[len(row)-1]):
		return fmt.Errorf("%q is no class of source", row[len(row)-1])
	}
	return k.read(l, row)
}

// number reads a number that lies between two bounds.
func number(s string, low, high float64) (float64, error) {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || !(x >= low && x <= high) {
		return 0, fmt.Errorf("%q is no number from %g to %g", s, low, high)
	}
	return x, nil
}

const mostMinutes = 10_000

func (l *loader) class(row []string) (err error) {
	if _, twice := l.classes[row[1]]; twice {
		return fmt.Errorf("class %q twice", row[1])
	}
	l.classes[row[1]], err = number(row[2], 1e-6, 1-1e-6)
	return err
}

func (l *loader) setup(row []string) error {
	m, err := number(row[2], 0, mostMinutes)
	l.n.setups[row[1]] = Minutes(m)
	return err
}

func (l *loader) part(row []string) error {
	m, err := number(row[2], 0, mostMinutes)
	l.parts[row[1]] = Minutes(m)
	return err
}

func (l *loader) knownSetup(name string) error {
	if _, ok := l.n.setups[name]; !ok && name != "" {
		return fmt.Errorf("no set-up %q", name)
	}
	return nil
}

func (l *loader) sign(row []string) error {
	s := Sign{ID: SignID(row[1]), Kind: SignKind(row[2]), Group: row[4], Setup: row[6], Flags: strings.Fields(row[7]), Tools: row[8], Words: row[9]}
	if _, twice := l.n.sign[s.ID]; twice {
		return fmt.Errorf("sign %q twice", s.ID)
	}
	for _, f := range s.Flags {
		if !slices.Contains(flags, f) {
			return fmt.Errorf("%q is no flag", f)
		}
	}
	if s.Words == "" || s.Group == "" {
		return errors.New("a sign needs words and a group")
	}
	m, err := number(row[5], 0, mostMinutes)
	if err == nil {
		err = l.knownSetup(s.Setup)
	}
	if err != nil {
		return err
	}
	s.Minutes = Minutes(m)
	names := []string{row[1]}
	switch s.Kind {
	case Told, Check:
	case Sides:
		names = []string{row[1] + "-before", row[1] + "-after"}
	default:
		return fmt.Errorf("%q is no kind of sign", s.Kind)
	}
	leaks := strings.Fields(row[3])
	if len(leaks) != len(names) {
		return fmt.Errorf("%d backgrounds, want %d", len(leaks), len(names))
	}
	for i, name := range names {
		often, ok := l.classes[leaks[i]]
		if !ok {
			return fmt.Errorf("no class %q", leaks[i])
		}
		l.column[name] = len(l.n.columns)
		s.columns = append(s.columns, len(l.n.columns))
		l.n.columns = append(l.n.columns, column{leak: 1 - often})
	}
	l.n.sign[s.ID] = len(l.n.Signs)
	l.n.Signs = append(l.n.Signs, s)
	return nil
}

func (l *loader) cause(row []string) error {
	c := Cause{ID: CauseID(row[1]), Setup: row[6], Dirty: row[7] == "yes", Limit: row[8], Name: row[10], Fix: row[11]}
	if _, twice := l.n.cause[c.ID]; twice {
		return fmt.Errorf("cause %q twice", c.ID)
	}
	if c.Name == "" || c.Fix == "" {
		return errors.New("a cause needs a name and a fix")
	}
	if row[7] != "" && row[7] != "yes" {
		return fmt.Errorf("%q is neither yes nor nothing", row[7])
	}
	neglected, err := number(row[2], 1e-6, 1e6)
	kept, err2 := number(row[3], 1e-6, 1e6)
	minutes, err3 := number(row[4], 0, mostMinutes)
	if err := errors.Join(err, err2, err3, l.knownSetup(c.Setup)); err != nil {
		return err
	}
	var ok bool
	if c.Parts, ok = l.parts[row[5]]; !ok {
		return fmt.Errorf("no class of parts %q", row[5])
	}
	c.Neglected, c.Kept, c.Minutes = neglected, kept, Minutes(minutes)
	l.n.cause[c.ID] = len(l.n.Causes)
	l.n.Causes = append(l.n.Causes, c)
	for i := range l.n.columns {
		l.n.columns[i].not = append(l.n.columns[i].not, 1)
	}
	return pairs(row[9], func(name, class string) error {
		often, ok := l.classes[class]
		at, ok2 := l.column[name]
		if !ok || !ok2 {
			return fmt.Errorf("%s:%s: no such sign or class", name, class)
		}
		col := &l.n.columns[at]
		col.not[len(col.not)-1] = 1 - link(often, 1-col.leak)
		return nil
	})
}

func (l *loader) factor(row []string) error {
	f := Factor{ID: FactorID(row[1]), Words: row[3], Times: map[CauseID]float64{}}
	if _, twice := l.n.factor[f.ID]; twice {
		return fmt.Errorf("factor %q twice", f.ID)
	}
	if f.Words == "" {
		return errors.New("a factor needs words")
	}
	err := pairs(row[2], func(name, times string) error {
		x, err := number(times, 1e-3, 1e3)
		if err != nil {
			return err
		}
		if _, err := l.n.causeIndex(CauseID(name)); err != nil {
			return err
		}
		f.Times[CauseID(name)] = x
		return nil
	})
	l.n.factor[f.ID] = len(l.n.Factors)
	l.n.Factors = append(l.n.Factors, f)
	return err
}

func (l *loader) pair(row []string) error {
	a, b := CauseID(row[1]), CauseID(row[2])
	_, err := l.n.causeIndex(a)
	_, err2 := l.n.causeIndex(b)
	times, err3 := number(row[3], 1e-3, 1e3)
	l.n.joined[[2]CauseID{a, b}], l.n.joined[[2]CauseID{b, a}] = times, times
	return errors.Join(err, err2, err3)
}

// pairs reads "name:value name:value".
func pairs(s string, each func(name, value string) error) error {
	seen := map[string]bool{}
	for p := range strings.FieldsSeq(s) {
		name, value, ok := strings.Cut(p, ":")
		if !ok || seen[name] {
			return fmt.Errorf("%q is no pair, or twice", p)
		}
		seen[name] = true
		if err := each(name, value); err != nil {
			return err
		}
	}
	return nil
}

// flags are what a look may need or do: the engine running, a start, cranking, a
// line cracked open, two people, level ground, hours of waiting; and dead, what
// only a machine that does not start can show.
var flags = []string{"run", "start", "crank", "crack", "two", "level", "wait", "dead"}
