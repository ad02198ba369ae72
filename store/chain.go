package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"io"

	"woodruff/engine"
)

// chainDomain stands before what is hashed, so that a hash of this ledger can
// be no hash of anything else. It stands in books for good.
const chainDomain = "woodruff service book, ledger 1\n"

// saltSize is the length of the salt of a text, in bytes.
const saltSize = 16

// Field names a text of an entry.
type Field string

// The texts of an entry, in the order of their tags.
const (
	FieldRaw    Field = "raw"
	FieldWords  Field = "words"
	FieldName   Field = "name"
	FieldReason Field = "reason"
)

var textFields = [...]Field{FieldRaw, FieldWords, FieldName, FieldReason}

// textOf points to the text that a field names, nil for one that is none.
func textOf(t *engine.Texts, f Field) *string {
	switch f {
	case FieldRaw:
		return &t.Raw
	case FieldWords:
		return &t.Words
	case FieldName:
		return &t.Name
	case FieldReason:
		return &t.Reason
	}
	return nil
}

// linkHash is the hash of an entry: over the domain, its number, the hash of
// the entry before (zeros for the first) and its body.
func linkHash(seq engine.Seq, before []byte, body []byte) [hashSize]byte {
	var number [8]byte
	binary.BigEndian.PutUint64(number[:], uint64(seq))
	h := sha256.New()
	io.WriteString(h, chainDomain)
	h.Write(number[:])
	h.Write(before)
	h.Write(body)
	var sum [hashSize]byte
	h.Sum(sum[:0])
	return sum
}

// textHash is what a body holds of a text.
func textHash(salt []byte, text string) []byte {
	h := sha256.New()
	h.Write(salt)
	io.WriteString(h, text)
	return h.Sum(nil)
}

// saltedText is a text ready to be written beside its entry.
type saltedText struct {
	field Field
	salt  []byte
	text  string
}

// saltTexts salts and hashes the texts of an entry.
func saltTexts(rand io.Reader, t *engine.Texts) ([]saltedText, textHashes, error) {
	var out []saltedText
	var hashes textHashes
	for i, f := range textFields {
		text := *textOf(t, f)
		if text == "" {
			continue
		}
		salt := make([]byte, saltSize)
		if _, err := io.ReadFull(rand, salt); err != nil {
			return nil, hashes, fmt.Errorf("no salt for the text: %w", err)
		}
		out = append(out, saltedText{f, salt, text})
		hashes[i] = textHash(salt, text)
	}
	return out, hashes, nil
}

// rowSum is the checksum of a row outside the chain: it makes one flipped bit
// seen. It is no seal; whoever can write the file can make it again.
func rowSum(table string, values ...any) []byte {
	var row bytes.Buffer
	put := func(v []byte) {
		row.Write(binary.AppendUvarint(nil, uint64(len(v))))
		row.Write(v)
	}
	put([]byte(table))
	for _, v := range values {
		switch v := v.(type) {
		case string:
			put([]byte(v))
		case []byte:
			put(v)
		case int64:
			put(binary.AppendVarint(nil, v))
		default:
			panic(fmt.Sprintf("store: a row of %s holds a %T", table, v))
		}
	}
	sum := sha256.Sum256(row.Bytes())
	return sum[:8]
}
