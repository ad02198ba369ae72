package main

import (
	"path/filepath"
	"strings"
	"testing"
)

const (
	machinesHead = "tag,name,aka,kind,meter_reads,bowl_ml,owner\n"
	logHead      = "day,time,machine,hours,job,finding,amount_ml,by,note\n"
)

// bring brings files of a test's own into a book.
func bring(t *testing.T, book, machines, log string) (code int, out, errs string) {
	t.Helper()
	args := []string{"import", "--book", book, "--zone", "America/Toronto"}
	for flag, text := range map[string]string{"machines": machines, "log": log} {
		if text != "" {
			path := filepath.Join(t.TempDir(), flag+".csv")
			put(t, path, text)
			args = append(args, "--"+flag, path)
		}
	}
	return here(t, "", args...)
}

// TestImportReportsARowThatMoved: a row that was corrected in its day, its time
// or its machine comes beside the old one, which is named.
func TestImportReportsARowThatMoved(t *testing.T) {
	const machines = machinesHead + "OM1,Orchard mower,,mower,tenths,90,Co-op\nOM2,Wide mower,,mower,tenths,90,Co-op\n"
	const first = "2026-11-02,07:00,OM1,100.0,grease,,,Wilm Aske,\n"
	const was = "2026-11-09,08:00,OM1,110.0,drain,clean,,Wilm Aske,\n"
	for _, c := range []struct {
		name, row, old string // old is what is named of the old row; "" is not to be
	}{
		{"another day", "2026-11-10,08:00,OM1,110.0,drain,clean,,Wilm Aske,\n", "OM1 2026-11-09 08:00"},
		{"another time", "2026-11-09,15:30,OM1,110.0,drain,clean,,Wilm Aske,\n", "OM1 2026-11-09 08:00"},
		{"another machine", "2026-11-09,08:00,OM2,110.0,drain,clean,,Wilm Aske,\n", "OM1 2026-11-09 08:00"},
		{"work of its own", "2026-11-12,08:00,OM1,112.0,drain,clean,,Wilm Aske,\n", ""},
	} {
		book := filepath.Join(t.TempDir(), "book.db")
		if code, _, errs := bring(t, book, machines, logHead+first+was); code != exitDone {
			t.Fatal(errs)
		}
		code, out, errs := bring(t, book, machines, logHead+first+c.row)
		if code != exitDone || strings.Contains(out, "beside") != (c.old != "") || !strings.Contains(out, c.old) {
			t.Errorf("%s: exit %d\n%s%s", c.name, code, out, errs)
		}
	}
	// A file of what is new alone takes nothing for moved that is not.
	book := filepath.Join(t.TempDir(), "book.db")
	if code, _, errs := bring(t, book, machines, logHead+first+was); code != exitDone {
		t.Fatal(errs)
	}
	for _, row := range []string{"2026-11-12,08:00,OM1,,drain,clean,,Wilm Aske,\n", "2026-11-16,08:00,OM1,114.0,drain,clean,,Wilm Aske,\n"} {
		if _, out, _ := bring(t, book, "", logHead+row); strings.Contains(out, "beside") {
			t.Errorf("%s: %s", row, out)
		}
	}
}

// TestImportTakesNoNameTwice: what another machine of the book goes by is a
// fault, and nothing is written.
func TestImportTakesNoNameTwice(t *testing.T) {
	const head, ours = machinesHead, "RT1,Row tractor 1,granny,tractor,tenths,120,Co-op\nBL1,Bin loader,the loader,loader,tenths,150,Co-op\n"
	for _, c := range []struct{ rows, fault string }{
		{"OM1,Orchard mower,granny,mower,tenths,90,Co-op\n", `line 2, aka: "granny" is what RT1 in the book goes by`},
		{"OM1,Orchard mower,loader,mower,tenths,90,Co-op\n", `line 2, aka: "loader" is what BL1 in the book goes by`},
		{"OM1,Bin loader,,mower,tenths,90,Co-op\n", `line 2, name: "Bin loader" is what BL1 in the book goes by`},
		{"granny,Orchard mower,,mower,tenths,90,Co-op\n", `line 2, tag: "granny" is what RT1 in the book goes by`},
		{"BL1,Bin loader,granny,loader,tenths,150,Co-op\n", `line 2, aka: "granny" is what RT1 in the book goes by`},
		{"BL1,Granny,the loader,loader,tenths,150,Co-op\n", `line 2, name: "Granny" is what RT1 in the book goes by`},
	} {
		book := filepath.Join(t.TempDir(), "book.db")
		if code, _, errs := bring(t, book, head+ours, ""); code != exitDone {
			t.Fatal(errs)
		}
		before := headOf(t, book)
		code, out, errs := bring(t, book, head+c.rows, "")
		if code != exitFailed || out != "" || !strings.Contains(errs, c.fault) || headOf(t, book) != before {
			t.Errorf("%s: exit %d\n%s%s", c.rows, code, out, errs)
		}
	}
}

// TestImportOfAMachineThatWentBack: a row as it was before changes back what a
// file has changed, and not what was changed by message.
func TestImportOfAMachineThatWentBack(t *testing.T) {
	const one = machinesHead + "RT1,Row tractor 1,granny,tractor,tenths,120,Co-op\n"
	const other = machinesHead + "RT1,Row tractor 1,granny,tractor,tenths,150,Hester Quill\n"
	book := filepath.Join(t.TempDir(), "book.db")
	for _, c := range []struct {
		file string
		want []string // changes named
	}{
		{one, nil},
		{other, []string{"bowl-ml is 150, was 120", "owner is Hester Quill, was Co-op"}},
		{other, nil},
		{one, []string{"bowl-ml is 120, was 150", "owner is Co-op, was Hester Quill"}},
		{one, nil},
		{other, []string{"bowl-ml is 150, was 120", "owner is Hester Quill, was Co-op"}},
	} {
		code, out, errs := bring(t, book, c.file, "")
		if code != exitDone || strings.Count(out, ", was ") != len(c.want) {
			t.Fatalf("exit %d, want %v\n%s%s", code, c.want, out, errs)
		}
		for _, w := range c.want {
			if !strings.Contains(out, w) {
				t.Errorf("not named: %s\n%s", w, out)
			}
		}
	}
	must(t, "say", "--book", book, "--by", "Runa Tveit", "--role", "foreman", "the bowl on rt1 is 130 ml")
	before := headOf(t, book)
	if _, out, _ := bring(t, book, other, ""); headOf(t, book) != before {
		t.Errorf("the same file again undid a message:\n%s", out)
	}
	mustHold(t, book)
}
