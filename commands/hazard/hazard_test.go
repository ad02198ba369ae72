package hazard

import (
	"bufio"
	"os"
	"slices"
	"strings"
	"testing"
)

// corpus reads a file of lines "kind: message"; "-" is no hazard.
func corpus(t *testing.T, name string) (rows [][2]string) {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		if line := s.Text(); line != "" && line[0] != '#' {
			kind, text, ok := strings.Cut(line, ": ")
			if !ok {
				t.Fatalf("%q", line)
			}
			rows = append(rows, [2]string{kind, text})
		}
	}
	return rows
}

// No hazard is missed, by whatever words; of the look-alikes at most two.
func TestCorpus(t *testing.T) {
	var hazards, harmless, alarms int
	for _, r := range corpus(t, "messages.txt") {
		heard := Heard(r[1])
		if r[0] == "-" {
			harmless++
			if len(heard) > 0 {
				alarms++
				t.Logf("false alarm %v: %s", heard, r[1])
			}
			continue
		}
		hazards++
		if !slices.Contains(heard, Kind(r[0])) {
			t.Errorf("%s is missed (%v): %s", r[0], heard, r[1])
		}
	}
	if alarms > 2 {
		t.Errorf("%d false alarms", alarms)
	}
	if hazards < 80 || harmless < 80 {
		t.Errorf("%d hazards and %d look-alikes", hazards, harmless)
	}
}
