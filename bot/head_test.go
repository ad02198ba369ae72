package main

import (
	"strings"
	"testing"
)

// TestAPostCarriesTheHead: what stands in the channel is what the book can be
// checked against.
func TestAPostCarriesTheHead(t *testing.T) {
	book := shed(t)
	post := must(t, "morning", "--book", book, "--at", "2026-11-24T06:15")
	first, _, _ := strings.Cut(post, "\n")
	_, head, ok := strings.Cut(first, ", book ")
	if !ok {
		t.Fatalf("no head:\n%s", post)
	}
	must(t, "verify", "--book", book, "--expect", head)
	must(t, "say", "--book", book, "--by", "Joss Penhale", "--role", "tech", "--at", "2026-11-24T07:40", "rt1 greased")
	must(t, "verify", "--book", book, "--expect", head) // it holds of the book up to there
	seq, hash, _ := strings.Cut(head, ":")
	other := seq + ":" + strings.Map(func(r rune) rune { return 'a' + (r+1)%6 }, hash)
	if code, out, _ := here(t, "", "verify", "--book", book, "--expect", other); code != exitFailed {
		t.Errorf("another head: exit %d\n%s", code, out)
	}
}

// TestANewPersonsWordsAreTheirLines and not those of the entry that adds them.
func TestANewPersonsWordsAreTheirLines(t *testing.T) {
	book := shed(t)
	must(t, "say", "--book", book, "--by", "Pia Lund", "--role", "tech", "--at", "2026-11-24T07:40", "rt1 1104.2 greased")
	for _, row := range csvRows(t, must(t, "log", "--book", book, "--csv")) {
		if row["written_by"] == "Pia Lund" && row["kind"] == "reading" && row["words"] == "rt1 1104.2 greased" {
			return
		}
	}
	t.Error("no line has the words")
}

// TestTheLogOfAMachineThatLeft can still be asked for by its tag.
func TestTheLogOfAMachineThatLeft(t *testing.T) {
	book := shed(t)
	for _, say := range []string{"ht1 is sold", "yes"} {
		must(t, "say", "--book", book, "--by", "Runa Tveit", "--role", "foreman", "--at", "2026-11-24T07:40", say)
	}
	if out := must(t, "log", "--book", book, "--machine", "ht1"); !strings.Contains(out, "sold") {
		t.Errorf("its log:\n%s", out)
	}
	if code, _, errs := here(t, "", "forecast", "--book", book, "--machine", "ht1"); code != exitUsage || !strings.Contains(errs, "no machine ht1") {
		t.Errorf("a forecast of it: exit %d %s", code, errs)
	}
}
