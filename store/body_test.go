package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"woodruff/engine"
)

// fullEntry has something in every field that a body holds.
func fullEntry() engine.Entry {
	return engine.Entry{
		Kind:   engine.KindService,
		Source: engine.Source{Channel: "say", Message: "m-17", Revision: 1795521607, Ordinal: 2},
		Said:   noon, Written: noon + 3, Zone: testZone, WrittenDay: 20781, Reader: "reader 3",
		Writer: 7, Doer: 300, Place: "bay", Machine: 9, Day: 20780, At: noon - 60, Known: engine.Told,
		Replaces: 12, Targets: []engine.Seq{3, 4000},
		Hours: engine.Known[engine.Tenths](12234), Old: engine.Known[engine.Tenths](0),
		Jobs: []engine.Job{engine.Drain, engine.Separator}, How: engine.Renewed, Finding: engine.Water,
		Amount: engine.Amount{Measured: 40 * engine.ML, Class: engine.Some}, Litres: 455, Grade: engine.WinterFuel,
		Symptoms: []engine.Symptom{engine.WhiteSmoke, engine.HardStartCold}, Check: engine.CheckBowl, Until: 20900,
		Plan: engine.Interval{Every: 4000, Months: 12, First: 500, Marks: true, Severe: 2000, Severable: true, Off: true},
		Key:  "key", Value: "value",
		Texts: engine.Texts{Raw: "rt1 1223.4 drained", Words: "a little water", Name: "Wilm Aske", Reason: "waiting on parts"},
	}
}

// TestBodyGolden fixes the format for good. The bytes were taken down once, when
// the format was settled; what they say, field by field, is in the test below.
// A change here means that no earlier book verifies any more.
func TestBodyGolden(t *testing.T) {
	cases := []struct {
		file  string
		entry engine.Entry
	}{
		{"body_full.hex", fullEntry()},
		// A reading with nothing but what it must have, of 0.0 h: known, and zero.
		{"body_small.hex", engine.Entry{Kind: engine.KindReading, Source: from("m1"), Machine: 2, Hours: engine.Known[engine.Tenths](0)}},
		// Negative numbers: nothing writes them, but they have an encoding.
		{"body_negative.hex", engine.Entry{Kind: engine.KindReading, Source: from("m1"), Said: -1, Day: -365, Hours: engine.Known[engine.Tenths](-5)}},
	}
	for _, c := range cases {
		_, hashes, err := saltTexts(&salts{}, &c.entry.Texts)
		if err != nil {
			t.Fatal(err)
		}
		got := hex.EncodeToString(encodeBody(nil, &c.entry, &hashes))
		path := filepath.Join("testdata", c.file)
		want, err := os.ReadFile(path)
		if errors.Is(err, os.ErrNotExist) && *update {
			// Only a file that is not there yet is written.
			if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if got != string(bytes.TrimSpace(want)) {
			t.Errorf("%s:\ngot  %s\nwant %s", c.file, got, want)
		}
	}
}

// TestBodyByHand compares with bytes put together by hand after the rules of
// the format: version, then tag, length, value; integers as zigzag varints as
// in the protocol buffers encoding, https://protobuf.dev/programming-guides/encoding/
// (there: 150 is 96 01, zigzag of -1 is 1, of 1 is 2).
func TestBodyByHand(t *testing.T) {
	e := engine.Entry{
		Kind: "fill", Source: engine.Source{Channel: "c", Message: "m", Ordinal: 75}, Said: -1,
		Jobs: []engine.Job{"a", "bc"}, Hours: engine.Known[engine.Tenths](0), Targets: []engine.Seq{1, 75},
	}
	want := []byte{
		1, // version
		1, 4, 'f', 'i', 'l', 'l',
		2, 1, 'c',
		3, 1, 'm',
		5, 2, 0x96, 0x01, // 75 zigzag is 150
		6, 1, 1, // -1 zigzag is 1
		19, 3, 2, 0x96, 0x01, // targets 1, 75
		20, 1, 0, // hours known to be 0
		22, 5, 1, 'a', 2, 'b', 'c',
	}
	if got := encodeBody(nil, &e, &textHashes{}); !bytes.Equal(got, want) {
		t.Errorf("got  %x\nwant %x", got, want)
	}
}

// TestAmountsByHand: whole millilitres have the bytes that they always had, and
// tenths beyond them a field of their own behind everything else.
func TestAmountsByHand(t *testing.T) {
	for _, c := range []struct {
		what   string
		amount engine.TenthsML
		want   []byte
	}{
		{"not measured", 0, []byte{1}},
		{"40 ml", 400, []byte{1, 25, 1, 80}},
		{"37.5 ml", 375, []byte{1, 25, 1, 74, 46, 1, 10}},
		{"half a millilitre", 5, []byte{1, 46, 1, 10}},
	} {
		e := engine.Entry{Amount: engine.Amount{Measured: c.amount}}
		body := encodeBody(nil, &e, &textHashes{})
		if !bytes.Equal(body, c.want) {
			t.Errorf("%s: got %x, want %x", c.what, body, c.want)
		}
		if got, _, err := decodeOne(body); err != nil || got.Amount != e.Amount {
			t.Errorf("%s: came back as %+v: %v", c.what, got.Amount, err)
		}
	}
}

// TestLinkByHand makes a hash of the chain from its definition.
func TestLinkByHand(t *testing.T) {
	before := bytes.Repeat([]byte{7}, 32)
	in := append([]byte("woodruff service book, ledger 1\n"), 0, 0, 0, 0, 0, 0, 1, 2)
	in = append(append(in, before...), "body"...)
	if got, want := linkHash(258, before, []byte("body")), sha256.Sum256(in); got != want {
		t.Errorf("got %x, want %x", got, want)
	}
}

func decodeOne(body []byte) (engine.Entry, textHashes, error) {
	var e engine.Entry
	var hashes textHashes
	err := newDecoder().decode(body, &e, &hashes)
	return e, hashes, err
}

func TestBodyRoundTrip(t *testing.T) {
	e := fullEntry()
	_, hashes, err := saltTexts(&salts{}, &e.Texts)
	if err != nil {
		t.Fatal(err)
	}
	got, gotHashes, err := decodeOne(encodeBody(nil, &e, &hashes))
	if err != nil {
		t.Fatal(err)
	}
	e.Texts = engine.Texts{} // they lie beside
	if !reflect.DeepEqual(got, e) {
		t.Errorf("got  %+v\nwant %+v", got, e)
	}
	if !reflect.DeepEqual(gotHashes, hashes) {
		t.Error("the hashes of the texts did not come back")
	}
}

// TestEveryFieldIsHashed changes each field of an entry in turn: the body must
// change with it, or a line could be altered under the chain's nose; and it must
// come back, with the texts' hashes asked for, as verify does, and without.
func TestEveryFieldIsHashed(t *testing.T) {
	outside := map[string]bool{"Seq": true, "State": true, "By": true, "Deleted": true, "Texts": true}
	plain := encodeBody(nil, &engine.Entry{}, &textHashes{})
	var visit func(path string, v reflect.Value, e *engine.Entry)
	visit = func(path string, v reflect.Value, e *engine.Entry) {
		if v.Kind() == reflect.Struct && v.Type() != reflect.TypeFor[engine.Maybe[engine.Tenths]]() {
			for i := range v.NumField() {
				if name := v.Type().Field(i).Name; path != "" || !outside[name] {
					visit(path+"."+name, v.Field(i), e)
				}
			}
			return
		}
		was := reflect.New(v.Type()).Elem()
		was.Set(v)
		switch v.Kind() {
		case reflect.String:
			v.SetString("x")
		case reflect.Bool:
			v.SetBool(true)
		case reflect.Int, reflect.Int32, reflect.Int64:
			v.SetInt(3)
		case reflect.Slice:
			v.Set(reflect.MakeSlice(v.Type(), 1, 1))
			if v.Index(0).Kind() == reflect.String {
				v.Index(0).SetString("x")
			} else {
				v.Index(0).SetInt(3)
			}
		case reflect.Struct:
			v.Set(reflect.ValueOf(engine.Known[engine.Tenths](0)))
		default:
			t.Fatalf("%s: no rule for %s", path, v.Kind())
		}
		body := encodeBody(nil, e, &textHashes{})
		if bytes.Equal(body, plain) {
			t.Errorf("%s is not in the body", path)
		}
		var bare engine.Entry
		if err := newDecoder().decode(body, &bare, nil); err != nil || !reflect.DeepEqual(bare, *e) {
			t.Errorf("%s: came back as %+v: %v", path, bare, err)
		}
		if got, _, err := decodeOne(body); err != nil || !reflect.DeepEqual(got, *e) {
			t.Errorf("%s: came back to verify as %+v: %v", path, got, err)
		}
		v.Set(was)
	}
	var e engine.Entry
	visit("", reflect.ValueOf(&e).Elem(), &e)
}

func TestBodyRefused(t *testing.T) {
	cases := []struct {
		what string
		body []byte
		want error
	}{
		{"nothing at all", nil, errBody},
		{"a version of the future", []byte{2}, ErrNewer},
		{"version 0", []byte{0}, errBody},
		{"a tag of the future", []byte{1, byte(tagEnd), 1, 0}, ErrNewer},
		{"a tag of two bytes, of the future", []byte{1, 0x80, 0x01, 1, 0}, ErrNewer},
		{"tags out of order", []byte{1, 2, 1, 'c', 1, 1, 'k'}, errBody},
		{"a tag twice", []byte{1, 1, 1, 'k', 1, 1, 'k'}, errBody},
		{"tag 0", []byte{1, 0, 1, 'k'}, errBody},
		{"a length beyond the end", []byte{1, 1, 9, 'k'}, errBody},
		{"no length", []byte{1, 1}, errBody},
		{"an empty field", []byte{1, 1, 0}, errBody},
		{"an integer cut off", []byte{1, 6, 1, 0x80}, errBody},
		{"an integer with more behind it", []byte{1, 6, 2, 1, 1}, errBody},
		{"a word in a list cut off", []byte{1, 22, 2, 5, 'a'}, errBody},
		{"a target cut off", []byte{1, 19, 1, 0x80}, errBody},
		{"a tag cut off", []byte{1, 0x80}, errBody},
	}
	for _, c := range cases {
		if _, _, err := decodeOne(c.body); !errors.Is(err, c.want) {
			t.Errorf("%s: got %v, want %v", c.what, err, c.want)
		}
	}
}

// TestBodyProperty: what decodes encodes to the same bytes, whatever the entry.
func TestBodyProperty(t *testing.T) {
	word := rapid.StringMatching(`[a-z0-9 é]{0,12}`)
	tenths := rapid.Custom(func(t *rapid.T) engine.Maybe[engine.Tenths] {
		if rapid.Bool().Draw(t, "known") {
			return engine.Known(engine.Tenths(rapid.Int64().Draw(t, "tenths")))
		}
		return engine.Maybe[engine.Tenths]{}
	})
	rapid.Check(t, func(t *rapid.T) {
		e := engine.Entry{
			Kind:   engine.Kind(word.Draw(t, "kind")),
			Source: engine.Source{Channel: word.Draw(t, "channel"), Message: word.Draw(t, "message"), Revision: rapid.Int64().Draw(t, "revision"), Ordinal: int(rapid.Int32().Draw(t, "ordinal"))},
			Said:   engine.Instant(rapid.Int64().Draw(t, "said")),
			Day:    engine.Day(rapid.Int32().Draw(t, "day")),
			Hours:  tenths.Draw(t, "hours"), Old: tenths.Draw(t, "old"),
			Place: word.Draw(t, "place"), Key: word.Draw(t, "key"),
			Plan:   engine.Interval{Every: engine.Tenths(rapid.Int64().Draw(t, "every")), Off: rapid.Bool().Draw(t, "off"), Season: engine.YearDay(rapid.Int32Range(0, 1231).Draw(t, "season"))},
			Amount: engine.Amount{Measured: engine.TenthsML(rapid.Int32Range(0, 5000).Draw(t, "tenths of ml"))},
		}
		for _, j := range rapid.SliceOfN(word, 0, 4).Draw(t, "jobs") {
			e.Jobs = append(e.Jobs, engine.Job(j))
		}
		for _, s := range rapid.SliceOfN(rapid.Int64(), 0, 4).Draw(t, "targets") {
			e.Targets = append(e.Targets, engine.Seq(s))
		}
		body := encodeBody(nil, &e, &textHashes{})
		got, hashes, err := decodeOne(body)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, e) {
			t.Fatalf("got  %+v\nwant %+v", got, e)
		}
		if again := encodeBody(nil, &got, &hashes); !bytes.Equal(again, body) {
			t.Fatalf("got  %x\nwant %x", again, body)
		}
	})
}

// FuzzBody: no bytes make the decoder fall over.
func FuzzBody(f *testing.F) {
	e := fullEntry()
	_, hashes, _ := saltTexts(&salts{}, &e.Texts)
	f.Add(encodeBody(nil, &e, &hashes))
	f.Add([]byte{1, 22, 2, 5, 'a'})
	f.Fuzz(func(t *testing.T, body []byte) {
		e, _, err := decodeOne(body)
		if err == nil && e.Source.Ordinal < 0 && len(body) == 0 {
			t.Error("an entry out of nothing")
		}
	})
}
