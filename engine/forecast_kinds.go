package engine

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed paces.csv
var pacesCSV string

// kindPace is what is usual for a kind of machine.
type kindPace struct {
	kind string
	pace Pace
	// year is the chance that a year's work falls like the year before's, as far
	// as is known before the log shows it.
	year float64
}

var usualPaces = sync.OnceValue(func() []kindPace {
	paces, err := parsePaces(pacesCSV)
	if err != nil {
		panic(err) // the file is embedded and a test reads it
	}
	return paces
})

// KindIn is the usual kind of machine that a name speaks of, the longest one
// where several stand in it: "frost fan" in "River frost fan 4"; "" for none.
func KindIn(name string) string {
	name = " " + strings.Join(strings.Fields(strings.ToLower(name)), " ") + " "
	kind := ""
	for _, p := range usualPaces() {
		if len(p.kind) > len(kind) && strings.Contains(name, " "+p.kind+" ") {
			kind = p.kind
		}
	}
	return kind
}

// usualOf is what is usual for a kind of machine, by common practice.
func usualOf(kind string) kindPace {
	paces := usualPaces()
	for _, p := range paces {
		if strings.EqualFold(p.kind, kind) {
			return p
		}
	}
	return paces[0]
}

// usualPace is the usual pace of a kind of machine, by common practice.
func usualPace(kind string) Pace { return usualOf(kind).pace }

func parsePaces(text string) ([]kindPace, error) {
	rows, err := readTable(strings.NewReader(text), []string{"kind", "low", "mid", "high", "year", "class", "note"}, nil)
	if err != nil {
		return nil, err
	}
	paces := make([]kindPace, 0, len(rows))
	for _, row := range rows {
		var v [4]float64
		for i, name := range []string{"low", "mid", "high", "year"} {
			if v[i], err = strconv.ParseFloat(row.cell[name], 64); err != nil {
				return nil, fmt.Errorf("line %d, column %s: %w", row.line, name, err)
			}
		}
		if !(0 <= v[0] && v[0] <= v[1] && v[1] <= v[2] && v[2] <= 24) {
			return nil, fmt.Errorf("line %d: a pace is low, mid, high in that order, up to 24 h a day", row.line)
		}
		if !(0 <= v[3] && v[3] < 1) {
			return nil, fmt.Errorf("line %d: year is a chance below 1", row.line)
		}
		paces = append(paces, kindPace{row.cell["kind"], Pace{v[0], v[1], v[2]}, v[3]})
	}
	return paces, nil
}
