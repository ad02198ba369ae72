package store

import (
	"encoding/binary"
	"errors"
	"fmt"

	"woodruff/engine"
)

// bodyVersion is the first byte of every body: the format's own number.
const bodyVersion = 1

// tag numbers a field of a body. The numbers stand in books for good: a field
// keeps its number, a new one takes the next, none is used twice.
type tag uint64

const (
	tagKind tag = iota + 1
	tagChannel
	tagMessage
	tagRevision
	tagOrdinal
	tagSaid
	tagWritten
	tagZone
	tagWrittenDay
	tagReader
	tagWriter
	tagDoer
	tagPlace
	tagMachine
	tagDay
	tagAt
	tagKnown
	tagReplaces
	tagTargets
	tagHours
	tagOld
	tagJobs
	tagHow
	tagFinding
	tagAmountML
	tagAmountClass
	tagLitres
	tagGrade
	tagSymptoms
	tagCheck
	tagUntil
	tagPlanEvery
	tagPlanMonths
	tagPlanFirst
	tagPlanMarks
	tagPlanSevere
	tagPlanSeverable
	tagPlanOff
	tagKey
	tagValue
	tagRaw // SHA-256 of salt and text; likewise the next three
	tagWords
	tagName
	tagReason
	// What came later is added here: a number is never used for anything else.
	tagPlanSeason
	tagAmountTenths // of a millilitre, beyond the whole ones of tagAmountML
	tagEnd          // none: one past the last
)

// hashSize is the length of a SHA-256.
const hashSize = 32

// textHashes are the salted hashes of an entry's texts; nil where there is none.
type textHashes [len(textFields)][]byte

var (
	errBody      = errors.New("the entry's bytes cannot be read")
	errNewerBody = fmt.Errorf("%w: it has a field that this version does not know", ErrNewer)
)

// encoder appends fields to a body. Fields come in ascending order of tag and
// are left out where zero, so that one entry has one encoding.
type encoder struct{ b []byte }

func (w *encoder) head(t tag, size int) {
	w.b = binary.AppendUvarint(w.b, uint64(t))
	w.b = binary.AppendUvarint(w.b, uint64(size))
}

func (w *encoder) bytes(t tag, v []byte) {
	if len(v) > 0 {
		w.head(t, len(v))
		w.b = append(w.b, v...)
	}
}

func (w *encoder) text(t tag, v string) {
	if v != "" {
		w.head(t, len(v))
		w.b = append(w.b, v...)
	}
}

func (w *encoder) known(t tag, v int64) {
	var buf [binary.MaxVarintLen64]byte
	n := binary.PutVarint(buf[:], v)
	w.head(t, n)
	w.b = append(w.b, buf[:n]...)
}

func (w *encoder) number(t tag, v int64) {
	if v != 0 {
		w.known(t, v)
	}
}

func (w *encoder) flag(t tag, v bool) {
	if v {
		w.known(t, 1)
	}
}

func (w *encoder) maybe(t tag, v engine.Maybe[engine.Tenths]) {
	if v.Known {
		w.known(t, int64(v.Value))
	}
}

// words writes a list of words, each with its length before it.
func words[T ~string](w *encoder, t tag, list []T) {
	var field []byte
	for _, v := range list {
		field = binary.AppendUvarint(field, uint64(len(v)))
		field = append(field, v...)
	}
	w.bytes(t, field)
}

// encodeBody gives the canonical bytes of an entry: all of it but its number,
// its texts, which stand as hashes, and what later entries made of it.
func encodeBody(dst []byte, e *engine.Entry, texts *textHashes) []byte {
	w := encoder{append(dst, bodyVersion)}
	w.text(tagKind, string(e.Kind))
	w.text(tagChannel, e.Source.Channel)
	w.text(tagMessage, e.Source.Message)
	w.number(tagRevision, e.Source.Revision)
	w.number(tagOrdinal, int64(e.Source.Ordinal))
	w.number(tagSaid, int64(e.Said))
	w.number(tagWritten, int64(e.Written))
	w.text(tagZone, e.Zone)
	w.number(tagWrittenDay, int64(e.WrittenDay))
	w.text(tagReader, e.Reader)
	w.number(tagWriter, int64(e.Writer))
	w.number(tagDoer, int64(e.Doer))
	w.text(tagPlace, e.Place)
	w.number(tagMachine, int64(e.Machine))
	w.number(tagDay, int64(e.Day))
	w.number(tagAt, int64(e.At))
	w.text(tagKnown, string(e.Known))
	w.number(tagReplaces, int64(e.Replaces))
	w.bytes(tagTargets, seqBytes(e.Targets))
	w.maybe(tagHours, e.Hours)
	w.maybe(tagOld, e.Old)
	words(&w, tagJobs, e.Jobs)
	w.text(tagHow, string(e.How))
	w.text(tagFinding, string(e.Finding))
	w.number(tagAmountML, int64(e.Amount.Measured/engine.ML))
	w.text(tagAmountClass, string(e.Amount.Class))
	w.number(tagLitres, int64(e.Litres))
	w.text(tagGrade, string(e.Grade))
	words(&w, tagSymptoms, e.Symptoms)
	w.text(tagCheck, string(e.Check))
	w.number(tagUntil, int64(e.Until))
	w.number(tagPlanEvery, int64(e.Plan.Every))
	w.number(tagPlanMonths, int64(e.Plan.Months))
	w.number(tagPlanFirst, int64(e.Plan.First))
	w.flag(tagPlanMarks, e.Plan.Marks)
	w.number(tagPlanSevere, int64(e.Plan.Severe))
	w.flag(tagPlanSeverable, e.Plan.Severable)
	w.flag(tagPlanOff, e.Plan.Off)
	w.text(tagKey, e.Key)
	w.text(tagValue, e.Value)
	for i := range texts {
		w.bytes(tagRaw+tag(i), texts[i])
	}
	w.number(tagPlanSeason, int64(e.Plan.Season))
	w.number(tagAmountTenths, int64(e.Amount.Measured%engine.ML))
	return w.b
}

func seqBytes(list []engine.Seq) []byte {
	var b []byte
	for _, s := range list {
		b = binary.AppendVarint(b, int64(s))
	}
	return b
}

// decoder reads bodies. It keeps the words that it met, so that a long history
// does not hold a copy of each for every line. It is not safe for two at once.
type decoder struct {
	last  [tagEnd]string // the value each text field had last
	words map[string]string
	jobs  []engine.Job // where the next lists of jobs go
}

func newDecoder() *decoder { return &decoder{words: make(map[string]string)} }

// word gives a string for v, the same one for the same word.
func (d *decoder) word(v []byte) string {
	if s, ok := d.words[string(v)]; ok {
		return s
	}
	s := string(v)
	if len(d.words) < 4096 {
		d.words[s] = s
	}
	return s
}

// repeated is word for a field that mostly says what it said last time.
func (d *decoder) repeated(t tag, v []byte) string {
	if string(v) != d.last[t] {
		d.last[t] = d.word(v)
	}
	return d.last[t]
}

// number reads a field that is one integer.
func number(v []byte) (int64, error) {
	if len(v) == 1 { // most of them
		return int64(v[0]>>1) ^ -int64(v[0]&1), fault(v[0] >= 0x80)
	}
	n, size := binary.Varint(v)
	return n, fault(size != len(v) || size <= 0)
}

func fault(bad bool) error {
	if bad {
		return errBody
	}
	return nil
}

// uvarint reads a tag or a length.
func uvarint(b []byte) (uint64, []byte, bool) {
	if len(b) > 0 && b[0] < 0x80 {
		return uint64(b[0]), b[1:], true
	}
	n, size := binary.Uvarint(b)
	if size <= 0 {
		return 0, nil, false
	}
	return n, b[size:], true
}

// decode reads a body into e, which must be zero. Where texts is not nil it
// gets the hashes of the texts, which then lie in body's own memory.
func (d *decoder) decode(body []byte, e *engine.Entry, texts *textHashes) error {
	if len(body) == 0 {
		return errBody
	}
	if body[0] > bodyVersion {
		return errNewerBody
	}
	if body[0] != bodyVersion {
		return errBody
	}
	rest, before := body[1:], tag(0)
	for len(rest) > 0 {
		n, after, ok := uvarint(rest)
		if !ok {
			return errBody
		}
		size, after, ok := uvarint(after)
		if !ok || size == 0 || size > uint64(len(after)) {
			return errBody
		}
		t, v := tag(n), after[:size]
		rest = after[size:]
		switch {
		case n >= uint64(tagEnd):
			return errNewerBody
		case t <= before:
			return errBody
		case t >= tagRaw && t <= tagReason:
			if texts != nil {
				texts[t-tagRaw] = v
			}
		default:
			if err := d.field(t, v, e); err != nil {
				return err
			}
		}
		before = t
	}
	return nil
}

// appendWithoutTexts puts a body behind dst without the hashes of its texts,
// which a history does not need; one that cannot be read goes as it is.
func appendWithoutTexts(dst, body []byte) []byte {
	if len(body) == 0 || body[0] != bodyVersion {
		return append(dst, body...)
	}
	from, until := 0, 0 // where the hashes are: fields come in order
	for at := 1; at < len(body); {
		t, rest, ok := uvarint(body[at:])
		size, after, sized := uvarint(rest)
		if !ok || !sized || size > uint64(len(after)) {
			return append(dst, body...)
		}
		end := len(body) - len(after) + int(size)
		if t >= uint64(tagRaw) && t <= uint64(tagReason) {
			if from == 0 {
				from = at
			}
			until = end
		}
		at = end
	}
	if from == 0 {
		return append(dst, body...)
	}
	return append(append(dst, body[:from]...), body[until:]...)
}

// field reads one field of a body.
func (d *decoder) field(t tag, v []byte, e *engine.Entry) error {
	switch t {
	case tagKind:
		e.Kind = engine.Kind(d.repeated(t, v))
	case tagChannel:
		e.Source.Channel = d.repeated(t, v)
	case tagMessage:
		if string(v) != d.last[t] {
			d.last[t] = string(v)
		}
		e.Source.Message = d.last[t]
	case tagZone:
		e.Zone = d.repeated(t, v)
	case tagReader:
		e.Reader = d.repeated(t, v)
	case tagPlace:
		e.Place = d.repeated(t, v)
	case tagKnown:
		e.Known = engine.Knowledge(d.repeated(t, v))
	case tagHow:
		e.How = engine.How(d.repeated(t, v))
	case tagFinding:
		e.Finding = engine.Finding(d.repeated(t, v))
	case tagAmountClass:
		e.Amount.Class = engine.AmountClass(d.repeated(t, v))
	case tagGrade:
		e.Grade = engine.Grade(d.repeated(t, v))
	case tagCheck:
		e.Check = engine.Check(d.repeated(t, v))
	case tagKey:
		e.Key = d.repeated(t, v)
	case tagValue:
		e.Value = d.repeated(t, v)
	case tagTargets:
		return d.targets(v, e)
	case tagJobs:
		return d.jobList(v, e)
	case tagSymptoms:
		list, err := wordList[engine.Symptom](d, nil, v)
		e.Symptoms = list
		return err
	default:
		n, err := number(v)
		if err == nil {
			setNumber(t, n, e)
		}
		return err
	}
	return nil
}

// setNumber puts an integer into its slot.
func setNumber(t tag, n int64, e *engine.Entry) {
	switch t {
	case tagRevision:
		e.Source.Revision = n
	case tagOrdinal:
		e.Source.Ordinal = int(n)
	case tagSaid:
		e.Said = engine.Instant(n)
	case tagWritten:
		e.Written = engine.Instant(n)
	case tagWrittenDay:
		e.WrittenDay = engine.Day(n)
	case tagWriter:
		e.Writer = engine.PersonID(n)
	case tagDoer:
		e.Doer = engine.PersonID(n)
	case tagMachine:
		e.Machine = engine.MachineID(n)
	case tagDay:
		e.Day = engine.Day(n)
	case tagAt:
		e.At = engine.Instant(n)
	case tagReplaces:
		e.Replaces = engine.Seq(n)
	case tagHours:
		e.Hours = engine.Known(engine.Tenths(n))
	case tagOld:
		e.Old = engine.Known(engine.Tenths(n))
	case tagAmountML:
		e.Amount.Measured += engine.TenthsML(n) * engine.ML
	case tagAmountTenths:
		e.Amount.Measured += engine.TenthsML(n)
	case tagLitres:
		e.Litres = engine.DeciLitres(n)
	case tagUntil:
		e.Until = engine.Day(n)
	case tagPlanEvery:
		e.Plan.Every = engine.Tenths(n)
	case tagPlanMonths:
		e.Plan.Months = int(n)
	case tagPlanFirst:
		e.Plan.First = engine.Tenths(n)
	case tagPlanMarks:
		e.Plan.Marks = n == 1
	case tagPlanSevere:
		e.Plan.Severe = engine.Tenths(n)
	case tagPlanSeverable:
		e.Plan.Severable = n == 1
	case tagPlanOff:
		e.Plan.Off = n == 1
	case tagPlanSeason:
		e.Plan.Season = engine.YearDay(n)
	}
}

func (d *decoder) targets(v []byte, e *engine.Entry) error {
	for len(v) > 0 {
		n, size := binary.Varint(v)
		if size <= 0 {
			return errBody
		}
		e.Targets = append(e.Targets, engine.Seq(n))
		v = v[size:]
	}
	return nil
}

// jobList puts the jobs behind those of earlier entries, into memory that is
// handed out once, so that a line costs no memory of its own for them.
func (d *decoder) jobList(v []byte, e *engine.Entry) error {
	if cap(d.jobs)-len(d.jobs) < len(v) { // a word takes at least one byte
		d.jobs = make([]engine.Job, 0, max(128, len(v)))
	}
	from := len(d.jobs)
	list, err := wordList(d, d.jobs, v)
	if err != nil {
		return err
	}
	d.jobs = list
	e.Jobs = list[from:len(list):len(list)]
	return nil
}

// wordList reads a list of words behind those in list.
func wordList[T ~string](d *decoder, list []T, v []byte) ([]T, error) {
	for len(v) > 0 {
		size, after, ok := uvarint(v)
		if !ok || size > uint64(len(after)) {
			return nil, errBody
		}
		list = append(list, T(d.word(after[:size])))
		v = after[size:]
	}
	return list, nil
}
