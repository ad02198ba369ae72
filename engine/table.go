package engine

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// row is one line of a table with named columns.
type row struct {
	line int
	cell map[string]string
}

// ErrTable says that a table cannot be read; the message names the line.
var ErrTable = errors.New("not a table as expected")

// readTable reads comma-separated values with a heading. The heading must name
// every needed column and may name the others; lines that start with # are
// comments. Cells are trimmed.
func readTable(r io.Reader, need, may []string) ([]row, error) {
	text := bufio.NewReader(r)
	if mark, err := text.Peek(3); err == nil && string(mark) == "\ufeff" {
		text.Discard(3)
	}
	in := csv.NewReader(text)
	in.Comment = '#'
	in.TrimLeadingSpace = true
	head, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("%w: no heading: %v", ErrTable, err)
	}
	for i := range head {
		head[i] = strings.ToLower(strings.TrimSpace(head[i]))
		if !slices.Contains(need, head[i]) && !slices.Contains(may, head[i]) {
			return nil, fmt.Errorf("%w: line 1: unknown column %q", ErrTable, head[i])
		}
		if slices.Contains(head[:i], head[i]) {
			return nil, fmt.Errorf("%w: line 1: column %q twice", ErrTable, head[i])
		}
	}
	for _, n := range need {
		if !slices.Contains(head, n) {
			return nil, fmt.Errorf("%w: line 1: no column %q", ErrTable, n)
		}
	}
	var rows []row
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrTable, err) // names the line itself
		}
		line, _ := in.FieldPos(0)
		r := row{line: line, cell: make(map[string]string, len(cells))}
		for i, c := range cells {
			if !utf8.ValidString(c) {
				return nil, fmt.Errorf("%w: line %d, column %s: not UTF-8", ErrTable, line, head[i])
			}
			r.cell[head[i]] = strings.TrimSpace(c)
		}
		rows = append(rows, r)
	}
}
