package engine

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Tenths is a number of hours in tenths of an hour: 12234 is 1223.4 h. Whether
// it is what a meter shows or the hours of the machine behind it is said by the
// name of whatever holds it.
type Tenths int64

// Hours is the same figure as a float, in hours.
func (t Tenths) Hours() float64 { return float64(t) / 10 }

// String writes hours as the shop does: one decimal, always.
func (t Tenths) String() string {
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	return sign + strconv.FormatInt(int64(t/10), 10) + "." + strconv.FormatInt(int64(t%10), 10)
}

// TenthsOf rounds hours to tenths, half away from zero.
func TenthsOf(hours float64) Tenths {
	if hours < 0 {
		return -TenthsOf(-hours)
	}
	return Tenths(hours*10 + 0.5)
}

// ErrHours says that a text is no figure in hours with at most one decimal.
var ErrHours = errors.New("not a figure in hours")

// ParseTenths reads "1223", "1223.4" or "1223,4". More than one decimal is an
// error: no hour meter of this trade shows hundredths.
func ParseTenths(s string) (Tenths, error) {
	whole, frac, split := strings.Cut(strings.Replace(s, ",", ".", 1), ".")
	if whole == "" || len(whole) > 12 || (split && len(frac) != 1) {
		return 0, fmt.Errorf("%w: %q", ErrHours, s)
	}
	n, err := strconv.ParseUint(whole, 10, 40)
	if err != nil {
		return 0, fmt.Errorf("%w: %q", ErrHours, s)
	}
	t := Tenths(n) * 10
	if split {
		d := frac[0]
		if d < '0' || d > '9' {
			return 0, fmt.Errorf("%w: %q", ErrHours, s)
		}
		t += Tenths(d - '0')
	}
	return t, nil
}

// Millilitres is the size of a bowl.
type Millilitres int32

// Tenths is the same volume as an amount.
func (m Millilitres) Tenths() TenthsML { return TenthsML(m) * ML }

// TenthsML is an amount of water in tenths of a millilitre: 375 is 37.5 ml, two
// and a half tablespoons.
type TenthsML int32

// ML is one millilitre, so that 40 ml is written 40 * ML.
const ML TenthsML = 10

// TenthsMLOf rounds millilitres to tenths, half away from zero. What no vessel
// holds becomes the most that there can be.
func TenthsMLOf(ml float64) TenthsML {
	tenths := math.Round(ml * float64(ML))
	return TenthsML(max(math.MinInt32, min(tenths, math.MaxInt32)))
}

// Float is the same amount in millilitres.
func (a TenthsML) Float() float64 { return float64(a) / float64(ML) }

// String writes millilitres with a decimal only where there is one: "40", "37.5".
func (a TenthsML) String() string { return strconv.FormatFloat(a.Float(), 'f', -1, 64) }

// MarshalJSON writes millilitres: 40, 37.5.
func (a TenthsML) MarshalJSON() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalJSON reads millilitres.
func (a *TenthsML) UnmarshalJSON(b []byte) error {
	ml, err := strconv.ParseFloat(string(b), 64)
	*a = TenthsMLOf(ml)
	return err
}

// DeciLitres is fuel put in, in tenths of a litre.
type DeciLitres int32

// String writes litres with a decimal only where there is one.
func (d DeciLitres) String() string {
	if d%10 == 0 {
		return strconv.Itoa(int(d / 10))
	}
	return strconv.Itoa(int(d/10)) + "." + strconv.Itoa(int(d%10))
}

// Maybe is a value that may not be known. Its zero value is "not known".
type Maybe[T any] struct {
	Value T
	Known bool
}

// Known wraps a value that is known.
func Known[T any](v T) Maybe[T] { return Maybe[T]{Value: v, Known: true} }

// Instant is a moment in seconds since 1970-01-01 00:00 UTC; 0 is not known.
type Instant int64

const (
	minute Instant = 60
	hour   Instant = 60 * minute
	// DayLength is the length of a day without a clock change.
	DayLength Instant = 24 * hour
)
