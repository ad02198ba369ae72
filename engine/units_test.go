package engine

import (
	"encoding/json"
	"errors"
	"testing"
)

func TestTenthsAreWrittenAsTheShopDoes(t *testing.T) {
	for _, c := range []struct {
		in   Tenths
		want string
	}{
		{12234, "1223.4"},
		{0, "0.0"},
		{7, "0.7"},
		{10, "1.0"},
		{-5, "-0.5"}, // past by half an hour
		{-120, "-12.0"},
	} {
		same(t, "tenths", c.in.String(), c.want)
	}
	same(t, "hours", Tenths(12234).Hours(), 1223.4)
}

func TestTenthsOfRoundsHalfAwayFromZero(t *testing.T) {
	for _, c := range []struct {
		in   float64
		want Tenths
	}{
		{1223.44, 12234},
		{0.25, 3}, // exactly half a tenth in binary: up
		{-0.25, -3},
		{-1223.44, -12234},
		{0, 0},
		{0.04, 0},
	} {
		same(t, "tenths of", TenthsOf(c.in), c.want)
	}
}

func TestParseTenths(t *testing.T) {
	for _, c := range []struct {
		in   string
		want Tenths
	}{
		{"1223", 12230},
		{"1223.4", 12234},
		{"1223,4", 12234}, // a comma is a point to many
		{"0", 0},
		{"0.9", 9},
		{"0.0", 0},
		{"100000000000", 1000000000000},
	} {
		got, err := ParseTenths(c.in)
		if err != nil || got != c.want {
			t.Errorf("%q: got %v, %v, want %v", c.in, got, err, c.want)
		}
	}
	for _, bad := range []string{
		"", ".5", "1223.", "1223.45", "1223.x", "1223./", "1223.:", "12 23", "-3", "+3", "1,2,3", "1.2.3", "x",
		"1000000000000", // 13 digits: no meter has them
		"999999999999999999999",
		"1e3",
		"2000000000000",
	} {
		if got, err := ParseTenths(bad); !errors.Is(err, ErrHours) {
			t.Errorf("%q: got %v, %v, want ErrHours", bad, got, err)
		}
	}
}

func TestLitres(t *testing.T) {
	same(t, "whole", DeciLitres(400).String(), "40")
	same(t, "tenth", DeciLitres(379).String(), "37.9")
	same(t, "none", DeciLitres(0).String(), "0")
}

// US customary spoons as the trade rounds them: 15 ml and 5 ml.
func TestAmounts(t *testing.T) {
	for _, c := range []struct {
		ml    float64
		want  TenthsML
		words string
	}{
		{40, 400, "40"},
		{2.5 * 15, 375, "37.5"},
		{1.5 * 5, 75, "7.5"},
		{0.04, 0, "0"},
		{0.06, 1, "0.1"},
		{29.5735, 296, "29.6"}, // an ounce
		{1e12, 1<<31 - 1, "214748364.7"},
	} {
		got := TenthsMLOf(c.ml)
		same(t, "tenths", got, c.want)
		same(t, "written", got.String(), c.words)
		raw, err := json.Marshal(Amount{Measured: got})
		var back Amount
		if err != nil || json.Unmarshal(raw, &back) != nil || back.Measured != got {
			t.Errorf("%s came back as %+v (%v)", raw, back, err)
		}
	}
	same(t, "a bowl", Millilitres(120).Tenths(), 1200)
	// A question that waited in a book when amounts were whole.
	var held Amount
	if err := json.Unmarshal([]byte(`{"ML":40,"Class":"some"}`), &held); err != nil || held != (Amount{400, Some}) {
		t.Errorf("got %+v: %v", held, err)
	}
	if json.Unmarshal([]byte(`{"ML":"a lot"}`), &held) == nil {
		t.Error("no figure was read as one")
	}
}

func TestMaybe(t *testing.T) {
	same(t, "known", Known(Tenths(0)), Maybe[Tenths]{Value: 0, Known: true})
	same(t, "zero value", Maybe[Tenths]{}.Known, false)
}
