package csvbook

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxText is the longest text of one field, in bytes.
const maxText = 4000

// table walks over the rows of one file and gathers its faults.
type table struct {
	file    string
	columns []Column // those of the format
	in      *records
	rec     *record
	place   map[Column]int // where the file has a column; missing ones are absent
	width   int            // fields of the first line
	faults  []Fault
	before  int // faults before the current row
}

func newTable(file string, columns []Column, r io.Reader) *table {
	return &table{file: file, columns: columns, in: newRecords(r), place: map[Column]int{}}
}

// header reads the first line. It is false where nothing in the file can be
// checked without a better one; with a column too few or too many the rows are
// checked for all that they do have.
func (t *table) header() bool {
	rec, err := t.in.next()
	t.rec = rec
	switch {
	case errors.Is(err, io.EOF):
		t.faults = append(t.faults, Fault{t.file, 1, "", "the file is empty; its first line names the columns " + t.list()})
		return false
	case err != nil:
		t.broken(err)
		return false
	}
	t.width = len(rec.fields)
	known := map[Column]bool{}
	for _, c := range t.columns {
		known[c] = true
	}
	var wrong []Fault
	for i, f := range rec.fields {
		name := Column(fold(f))
		_, twice := t.place[name]
		switch {
		case !known[name]:
			wrong = append(wrong, Fault{t.file, rec.line, Column(printable(f)), fmt.Sprintf("no such column (the file's %d.); the columns are %s", i+1, t.list())})
		case twice:
			wrong = append(wrong, Fault{t.file, rec.line, name, "the column is there twice"})
		default:
			t.place[name] = i
		}
	}
	if len(t.place) == 0 {
		t.lineFault(noHeader(rec.raw) + t.list())
		return false
	}
	for _, c := range t.columns {
		if _, ok := t.place[c]; !ok {
			wrong = append(wrong, Fault{t.file, rec.line, c, "the column is missing"})
		}
	}
	t.faults = append(t.faults, wrong...)
	return true
}

// noHeader says what a first line without one known column most likely is.
func noHeader(line string) string {
	switch {
	case strings.ContainsRune(line, 0):
		return "not UTF-8 text (save it as CSV in UTF-8); the first line names the columns "
	case !strings.Contains(line, ",") && strings.ContainsAny(line, ";\t"):
		return "the columns are not separated by commas; the first line names the columns "
	}
	return "the first line must name the columns "
}

func (t *table) list() string {
	names := make([]string, len(t.columns))
	for i, c := range t.columns {
		names[i] = string(c)
	}
	return strings.Join(names, ",")
}

// next moves to the next row that can be taken apart. It is false at the end.
// A row of commas and space alone, as spreadsheets leave at the foot of a
// table, is passed over.
func (t *table) next() bool {
	for {
		rec, err := t.in.next()
		t.rec, t.before = rec, len(t.faults)
		switch {
		case errors.Is(err, io.EOF):
			return false
		case err != nil:
			if !t.broken(err) {
				return false
			}
		case rec.blank():
		case len(rec.fields) != t.width:
			t.lineFault(fmt.Sprintf("%d fields where the first line has %d", len(rec.fields), t.width))
		default:
			t.checkText()
			return true
		}
	}
}

// broken notes a row that could not be read. It is false where the file itself
// could not be read further.
func (t *table) broken(err error) (more bool) {
	for _, ofRow := range []error{errBareQuote, errAfter, errOpenQuote, errLongLine} {
		if errors.Is(err, ofRow) {
			t.lineFault(err.Error())
			return true
		}
	}
	t.rec.line++ // the one after those that were read
	t.lineFault("the file could not be read further: " + err.Error())
	return false
}

// good says that the current row has no fault so far.
func (t *table) good() bool { return len(t.faults) == t.before }

// checkText looks for what no field may hold.
func (t *table) checkText() {
	for _, c := range t.columns {
		i, ok := t.place[c]
		if !ok {
			continue
		}
		if reason := badText(t.rec.fields[i], t.width); reason != "" {
			t.fault(c, reason)
		}
	}
}

// badText says why a field is no text, or "". A quoted field that holds a whole
// row is one whose closing quote was forgotten: taking it as a text would lose
// that row.
func badText(s string, width int) string {
	plain := true
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] >= utf8.RuneSelf || s[i] == 0x7f {
			plain = false
			break
		}
	}
	switch {
	case len(s) > maxText:
		return fmt.Sprintf("longer than %d bytes", maxText)
	case plain:
		return ""
	case !utf8.ValidString(s):
		return "not UTF-8 text"
	case strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && !unicode.IsSpace(r) }):
		return "holds a control character"
	}
	for _, line := range strings.Split(s, "\n") {
		if width > 1 && line != s && strings.Count(line, ",") >= width-1 {
			return "holds a whole row: is a closing quote missing?"
		}
	}
	return ""
}

// text is a field of the current row: trimmed, and every run of space in it one
// blank. It is "" for a column that the file lacks.
func (t *table) text(c Column) string {
	i, ok := t.place[c]
	if !ok {
		return ""
	}
	return clean(t.rec.fields[i])
}

// fault notes what is wrong in a column of the current row. A column that the
// file lacks was named once at the top, and a column has one fault a row.
func (t *table) fault(c Column, reason string) {
	i, ok := t.place[c]
	if !ok {
		return
	}
	f := Fault{t.file, t.rec.lineOf(i), c, reason}
	for j := len(t.faults) - 1; j >= 0 && t.faults[j].Line >= t.rec.line; j-- {
		if t.faults[j].Line == f.Line && t.faults[j].Column == c {
			return
		}
	}
	t.faults = append(t.faults, f)
}

func (t *table) lineFault(reason string) {
	t.faults = append(t.faults, Fault{t.file, max(t.rec.line, 1), "", reason})
}

// clean trims a text and makes every run of space one blank.
func clean(s string) string {
	for i := 0; i < len(s); i++ {
		c := s[i]
		odd := c < ' ' || c >= utf8.RuneSelf
		if odd || c == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' ') {
			return strings.Join(strings.Fields(s), " ")
		}
	}
	return s
}

// fold is a text as two spellings of it are compared.
func fold(s string) string { return strings.ToLower(clean(s)) }

// words splits a field at its semicolons; empty ones are dropped.
func words(s string) []string {
	if s == "" {
		return nil
	}
	var out []string
	for _, w := range strings.Split(s, ";") {
		if w = clean(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}

// printable is a text of the file as a fault can show it.
func printable(s string) string {
	const most = 40
	s = strings.Map(func(r rune) rune {
		if r == utf8.RuneError || !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, clean(s))
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return s
}

func quoted(s string) string { return `"` + printable(s) + `"` }
