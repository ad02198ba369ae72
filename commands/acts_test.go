package commands

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"strconv"
	"testing"
	"time"

	"woodruff/commands/csvbook"
	"woodruff/commands/read"
	"woodruff/engine"
)

// constants gives the string constants of a type that a file declares.
func constants(t *testing.T, path, typeName string) []string {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	ast.Inspect(f, func(n ast.Node) bool {
		v, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if id, ok := v.Type.(*ast.Ident); ok && id.Name == typeName {
			s, err := strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, s)
		}
		return true
	})
	if len(out) == 0 {
		t.Fatalf("no constants of type %s in %s", typeName, path)
	}
	return out
}

// TestEveryActHasARow finds an act that the reader can give and the desk does
// not know.
func TestEveryActHasARow(t *testing.T) {
	kinds := constants(t, "read/act.go", "ActKind")
	for _, k := range kinds {
		row, ok := acts[read.ActKind(k)]
		switch {
		case !ok:
			t.Errorf("%s has no row in acts", k)
		case row.reads == "" || row.do == nil:
			t.Errorf("%s: its row is not whole", k)
		case row.writes && row.undone == "":
			t.Errorf("%s writes, and nothing says how it is undone", k)
		}
	}
	if len(acts) != len(kinds) {
		t.Errorf("%d rows for %d acts", len(acts), len(kinds))
	}
}

// TestEveryTopicHasAnAnswer finds a question that nobody answers.
func TestEveryTopicHasAnAnswer(t *testing.T) {
	for _, k := range constants(t, "read/act.go", "Topic") {
		if row, ok := topics[read.Topic(k)]; !ok || row.one == nil && row.all == nil {
			t.Errorf("%s has no answer", k)
		}
	}
}

// TestExamplesAreReadSo reads the example of each row of the table.
func TestExamplesAreReadSo(t *testing.T) {
	f, err := os.Open("../testdata/messages/machines.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, faults := csvbook.ParseMachines(f)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var machines []engine.Machine
	for i, r := range rows {
		machines = append(machines, engine.Machine{ID: engine.MachineID(i + 1), Tag: r.Tag, Name: r.Name, Nicknames: r.Aka, Kind: r.Kind, Owner: r.Owner, Reads: r.Reads})
	}
	names := read.NewNames(machines, []engine.Person{{ID: 1, Name: "Joss"}, {ID: 2, Name: "Wilm"}})
	for kind, row := range acts {
		ctx := read.Context{Day: engine.DayOf(2026, time.November, 24), Clock: engine.ClockOf(7, 40)}
		if kind == read.Check {
			ctx.Asked = &read.Asked{Machine: 1, Check: engine.CheckBubbles}
		}
		got := read.Read(row.reads, names, ctx).Candidates[0].Acts
		if len(got) == 0 || got[0].Kind != kind {
			var kinds []read.ActKind
			for _, a := range got {
				kinds = append(kinds, a.Kind)
			}
			t.Errorf("%q is read as %v, want %s", row.reads, kinds, kind)
		}
	}
}

// TestEveryWordIsWorded finds a finding, a symptom, a job or a way of doing it
// that an answer could not name.
func TestEveryWordIsWorded(t *testing.T) {
	for _, f := range constants(t, "../engine/finding.go", "Finding") {
		if findingWords[engine.Finding(f)] == "" {
			t.Errorf("finding %s has no words", f)
		}
	}
	for _, s := range constants(t, "../engine/finding.go", "Symptom") {
		if symptomWords[engine.Symptom(s)] == "" {
			t.Errorf("symptom %s has no words", s)
		}
	}
	for _, g := range constants(t, "../engine/finding.go", "Grade") {
		if gradeWords[engine.Grade(g)] == "" {
			t.Errorf("grade %s has no words", g)
		}
	}
	for _, h := range constants(t, "../engine/job.go", "How") {
		if howWords[engine.How(h)] == "" {
			t.Errorf("way %s has no words", h)
		}
	}
}
