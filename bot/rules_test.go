package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rule says what one package may import, and why no more.
type rule struct {
	ours    []string // our own packages
	outside []string // modules beyond the standard library, by prefix
	denied  []string // standard packages that would break a promise
	why     string
}

// impure are standard packages that reach out of the program.
var impure = []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "math/rand", "math/rand/v2", "crypto/rand", "context", "io/fs"}

// rules has a line for every package. Adding a package means deciding here what
// it may lean on.
var rules = map[string]rule{
	"woodruff/engine": {
		outside: []string{"gonum.org/v1/gonum"}, denied: impure,
		why: "the engine is arithmetic on plain values: anything that reaches out would make an answer depend on more than the book",
	},
	"woodruff/engine/triage": {
		denied: impure,
		why:    "fault-finding is arithmetic on a table and on answers; what the book knows is handed in",
	},
	"woodruff/store": {
		ours: []string{"woodruff/engine"}, outside: []string{"github.com/mattn/go-sqlite3"},
		why: "the book knows entries, not messages: what is said must be able to change without touching what is kept",
	},
	"woodruff/commands/read": {
		ours: []string{"woodruff/engine"}, outside: []string{"github.com/hbollon/go-edlib"}, denied: impure,
		why: "the language is a pure function of a message and the shed, so that every reading can be explained and repeated",
	},
	"woodruff/commands/hazard": {
		denied: impure,
		why:    "what tells of a hazard must not depend on the shop, its settings or the book",
	},
	"woodruff/commands/csvbook": {
		ours: []string{"woodruff/engine"}, denied: impure,
		why: "a shop's files become values; where they come from and where they go is the caller's",
	},
	"woodruff/commands": {
		ours:   []string{"woodruff/engine", "woodruff/engine/triage", "woodruff/commands/read", "woodruff/commands/hazard", "woodruff/commands/csvbook"},
		denied: []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "math/rand", "math/rand/v2", "crypto/rand", "io/fs"},
		why:    "commands declares what it needs of the book; knowing the store would tie every answer to SQLite",
	},
	"woodruff/bot/demo": {
		ours:   []string{"woodruff/engine"},
		denied: []string{"os", "net", "net/http", "database/sql", "crypto/rand"},
		why:    "the demo shed is two files made from a seed, brought in like any shop's",
	},
	"woodruff/bot/terminal": {
		ours: []string{"woodruff/commands", "woodruff/engine"}, outside: []string{"github.com/peterh/liner", "golang.org/x/term"},
		why: "an adapter knows one door: a message in, an answer out",
	},
	"woodruff/bot/morning": {
		ours: []string{"woodruff/commands", "woodruff/engine"},
		why:  "the scheduler asks what should have been said by now; what it says is made elsewhere",
	},
	"woodruff/bot": {
		ours: []string{
			"woodruff/engine", "woodruff/store", "woodruff/commands", "woodruff/commands/read", "woodruff/commands/csvbook",
			"woodruff/bot/demo", "woodruff/bot/terminal", "woodruff/bot/morning",
		},
		outside: []string{"github.com/alecthomas/kong"},
		why:     "main wires the parts and holds none of their work",
	},
}

// TestImportsKeepTheRule reads the imports of every package.
func TestImportsKeepTheRule(t *testing.T) {
	for pkg, files := range packages(t) {
		r, ok := rules[pkg]
		if !ok {
			t.Errorf("%s has no rule: say in this file what it may import, and why no more", pkg)
			continue
		}
		for _, f := range files {
			for _, spec := range f.ast.Imports {
				path, _ := strconv.Unquote(spec.Path.Value)
				if !r.allows(path) {
					t.Errorf("%s imports %s, and may not: %s", f.name, path, r.why)
				}
			}
		}
	}
}

// TestEveryRuleHasAPackage keeps the table from naming what is gone.
func TestEveryRuleHasAPackage(t *testing.T) {
	found := packages(t)
	for pkg := range rules {
		if len(found[pkg]) == 0 {
			t.Errorf("there is a rule for %s and no such package", pkg)
		}
	}
}

// allows says whether a path is within the rule.
func (r rule) allows(path string) bool {
	switch {
	case strings.HasPrefix(path, "woodruff/"):
		return slices.Contains(r.ours, path)
	case strings.Contains(strings.SplitN(path, "/", 2)[0], "."):
		return slices.ContainsFunc(r.outside, func(m string) bool { return path == m || strings.HasPrefix(path, m+"/") })
	}
	return !slices.Contains(r.denied, path)
}

// clocks are the ways to read or wait for the clock.
var clocks = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}

// TestTheClockIsReadInBotOnly keeps time an argument everywhere below.
func TestTheClockIsReadInBotOnly(t *testing.T) {
	for pkg, files := range packages(t) {
		if strings.HasPrefix(pkg, "woodruff/bot") {
			continue
		}
		for _, f := range files {
			ast.Inspect(f.ast, func(n ast.Node) bool {
				if call, ok := n.(*ast.SelectorExpr); ok {
					if x, ok := call.X.(*ast.Ident); ok && x.Name == "time" && slices.Contains(clocks, call.Sel.Name) {
						t.Errorf("%s reads the clock with time.%s: take the instant as an argument", f.name, call.Sel.Name)
					}
				}
				return true
			})
			ast.Inspect(f.ast, func(n ast.Node) bool {
				if _, ok := n.(*ast.GoStmt); ok {
					t.Errorf("%s starts a goroutine: those live in bot", f.name)
				}
				return true
			})
		}
	}
}

// file is one parsed file that is not a test.
type file struct {
	name string
	ast  *ast.File
}

// packages parses every package of the project.
func packages(t *testing.T) map[string][]file {
	t.Helper()
	found := map[string][]file{}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && d.Name() != ".." || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), path, src, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		dir := strings.TrimPrefix(filepath.ToSlash(filepath.Dir(path)), "..")
		found["woodruff"+dir] = append(found["woodruff"+dir], file{path, parsed})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}
