package csvbook

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strings"
)

const (
	// maxLine is the longest line in bytes, maxLines the most lines that one row
	// spans. Both are far beyond any row that somebody typed, and keep a stray
	// quote from swallowing the file.
	maxLine  = 64 << 10
	maxLines = 100
)

// Errors of one row.
var (
	errBareQuote = errors.New("a quote stands inside a field that is not quoted")
	errAfter     = errors.New("text stands after a closing quote")
	errOpenQuote = errors.New("a quote is opened and never closed")
	errLongLine  = errors.New("the line is longer than 64 KB")
)

// record is one row of a file. The slices are reused by the next row.
type record struct {
	line   int    // the line it starts on, from 1
	raw    string // as it stands in the file, without its line end
	fields []string
	starts []int // where each field starts in raw
}

// lineOf is the line of the file on which a field starts.
func (r record) lineOf(field int) int {
	return r.line + strings.Count(r.raw[:r.starts[field]], "\n")
}

// blank says that nothing stands in the row but commas and space.
func (r record) blank() bool {
	for _, f := range r.fields {
		if strings.TrimSpace(f) != "" {
			return false
		}
	}
	return true
}

// records cuts a file into rows. Unlike the standard library's reader it goes
// on with the very next line after a row that it could not read, so that a
// quote left open hides no other fault.
type records struct {
	in   *bufio.Reader
	line int     // lines taken so far
	back []taken // lines read ahead and given back
	rec  record
}

// taken is one line, or why there is none.
type taken struct {
	text string
	err  error
}

func newRecords(r io.Reader) *records {
	in := bufio.NewReaderSize(r, maxLine)
	if mark, _ := in.Peek(3); bytes.Equal(mark, []byte("\xef\xbb\xbf")) {
		_, _ = in.Discard(3) // cannot fail: the bytes were peeked at
	}
	return &records{in: in}
}

// next reads the next row that is not an empty line. The error is io.EOF at the
// end, one of the errors above for a row that is at fault, or what the reader
// underneath said; the record names the line in every case.
func (r *records) next() (*record, error) {
	for {
		text, err := r.take()
		r.rec = record{line: r.line, raw: text, fields: r.rec.fields[:0], starts: r.rec.starts[:0]}
		if err != nil {
			return &r.rec, err
		}
		if text == "" {
			continue
		}
		return &r.rec, r.complete()
	}
}

// complete cuts the row into fields, taking more lines while a quote is open.
// Where that fails the lines taken are given back, to be rows of their own.
func (r *records) complete() error {
	var more []taken
	for {
		err := r.rec.cut()
		if err == nil {
			return nil
		}
		if errors.Is(err, errOpenQuote) && len(more) < maxLines {
			text, end := r.take()
			more = append(more, taken{text, end})
			if end == nil {
				r.rec.raw += "\n" + text
				continue
			}
		}
		r.back = append(more, r.back...)
		r.line = r.rec.line
		return err
	}
}

// take reads one line without its end.
func (r *records) take() (string, error) {
	var t taken
	if len(r.back) > 0 {
		t, r.back = r.back[0], r.back[1:]
	} else {
		t.text, t.err = r.read()
	}
	if t.err == nil || errors.Is(t.err, errLongLine) {
		r.line++
	}
	return t.text, t.err
}

func (r *records) read() (string, error) {
	slice, err := r.in.ReadSlice('\n')
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return "", r.skipLine()
	case err != nil && !errors.Is(err, io.EOF), len(slice) == 0:
		return "", err
	}
	slice = bytes.TrimSuffix(slice, []byte("\n"))
	return string(bytes.TrimSuffix(slice, []byte("\r"))), nil
}

// skipLine reads to the end of a line that is too long.
func (r *records) skipLine() error {
	for {
		_, err := r.in.ReadSlice('\n')
		if err == nil || errors.Is(err, io.EOF) {
			return errLongLine
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return err
		}
	}
}

// cut splits the raw text at its commas, as RFC 4180 says.
func (r *record) cut() error {
	r.fields, r.starts = r.fields[:0], r.starts[:0]
	rest := r.raw
	for {
		r.starts = append(r.starts, len(r.raw)-len(rest))
		field, after, err := cutField(rest)
		if err != nil {
			return err
		}
		r.fields = append(r.fields, field)
		if after == "" {
			return nil
		}
		rest = after[1:] // past the comma
	}
}

// cutField takes one field off the front; what is left is empty or starts with
// the comma.
func cutField(s string) (field, after string, err error) {
	if !strings.HasPrefix(s, `"`) {
		end := strings.IndexByte(s, ',')
		if end < 0 {
			end = len(s)
		}
		if strings.IndexByte(s[:end], '"') >= 0 {
			return "", "", errBareQuote
		}
		return s[:end], s[end:], nil
	}
	doubled := false
	for i := 1; ; {
		q := strings.IndexByte(s[i:], '"')
		if q < 0 {
			return "", "", errOpenQuote
		}
		i += q
		if strings.HasPrefix(s[i+1:], `"`) {
			doubled = true
			i += 2
			continue
		}
		field, after = s[1:i], s[i+1:]
		if doubled {
			field = strings.ReplaceAll(field, `""`, `"`)
		}
		if after != "" && after[0] != ',' {
			return "", "", errAfter
		}
		return field, after, nil
	}
}
