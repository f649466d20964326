// Package quantity holds the physical quantities of the trade as types.
//
// Inside, everything is SI: lengths are whole nanometres, so that millimetres
// and 1/64 inch are both exact and sums of widths never drift; strengths and
// masses are float64 in coherent SI. At a JSON edge each type writes the unit
// that the field's name carries (Length in width_mm, Distance in length_m,
// Grammage in grammage_gsm, LineLoad in ect_kn_m, …).
package quantity

import (
	"fmt"
	"math"
	"strconv"
)

// Length is a whole number of nanometres. JSON: millimetres, field suffix _mm.
type Length int64

const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1_000_000 * Nanometre
	Metre             = 1000 * Millimetre
	Inch              = 25_400_000 * Nanometre
	Inch64            = Inch / 64 // 396,875 nm: exact
)

// Millimetres returns l in mm; for the edges (JSON, SVG, forms) and for formulas.
func (l Length) Millimetres() float64 { return float64(l) / float64(Millimetre) }

// Metres returns l in m.
func (l Length) Metres() float64 { return float64(l) / float64(Metre) }

// Inches returns l in inches.
func (l Length) Inches() float64 { return float64(l) / float64(Inch) }

// Distance returns the same length in the type that is written in metres.
func (l Length) Distance() Distance { return Distance(l) }

// FromMillimetres returns the nearest whole number of nanometres. A value
// beyond ±9·10⁹ m saturates.
func FromMillimetres(mm float64) Length { return Length(saturate(mm * float64(Millimetre))) }

// FromInches returns the nearest whole number of nanometres.
func FromInches(in float64) Length { return Length(saturate(in * float64(Inch))) }

// CeilTo returns the least multiple of step not below l; step must be positive.
func (l Length) CeilTo(step Length) Length {
	q := l / step
	if l%step > 0 {
		q++
	}
	return q * step
}

// RoundTo returns the nearest multiple of step, halves away from zero.
func (l Length) RoundTo(step Length) Length {
	half := step / 2
	if l < 0 {
		return -((-l + half) / step * step)
	}
	return (l + half) / step * step
}

// Scale returns l·f, rounded to the nanometre.
func (l Length) Scale(f float64) Length { return Length(saturate(float64(l) * f)) }

// String is for messages: "443 mm", "18.5 mm".
func (l Length) String() string { return decimal(int64(l), int64(Millimetre)) + " mm" }

// MarshalJSON writes millimetres with as many decimals as the value has.
func (l Length) MarshalJSON() ([]byte, error) {
	return []byte(decimal(int64(l), int64(Millimetre))), nil
}

// UnmarshalJSON reads millimetres.
func (l *Length) UnmarshalJSON(b []byte) error {
	v, err := number(b)
	if err != nil {
		return err
	}
	*l = FromMillimetres(v)
	return nil
}

// MarshalText lets a Length be a JSON map key, in millimetres.
func (l Length) MarshalText() ([]byte, error) { return l.MarshalJSON() }

// UnmarshalText reads a JSON map key in millimetres.
func (l *Length) UnmarshalText(b []byte) error { return l.UnmarshalJSON(b) }

// Distance is a length along the web or the road, in whole nanometres. JSON: metres, field suffix _m.
type Distance int64

// Metres returns d in m.
func (d Distance) Metres() float64 { return float64(d) / float64(Metre) }

// Length returns the same length in the type that is written in millimetres.
func (d Distance) Length() Length { return Length(d) }

// FromMetres returns the nearest whole number of nanometres.
func FromMetres(m float64) Distance { return Distance(saturate(m * float64(Metre))) }

// String is for messages: "1250 m".
func (d Distance) String() string { return decimal(int64(d), int64(Metre)) + " m" }

// MarshalJSON writes metres with up to nine decimals.
func (d Distance) MarshalJSON() ([]byte, error) { return []byte(decimal(int64(d), int64(Metre))), nil }

// UnmarshalJSON reads metres.
func (d *Distance) UnmarshalJSON(b []byte) error {
	v, err := number(b)
	if err != nil {
		return err
	}
	*d = FromMetres(v)
	return nil
}

func saturate(v float64) int64 {
	switch {
	case math.IsNaN(v):
		return 0
	case v >= math.MaxInt64:
		return math.MaxInt64
	case v <= math.MinInt64:
		return math.MinInt64
	}
	return int64(math.Round(v))
}

// decimal writes v/unit exactly, unit a power of ten, without trailing zeros.
func decimal(v, unit int64) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	whole, rest := v/unit, v%unit
	if rest == 0 {
		return sign + strconv.FormatInt(whole, 10)
	}
	digits := strconv.FormatInt(unit+rest, 10)[1:]
	for digits[len(digits)-1] == '0' {
		digits = digits[:len(digits)-1]
	}
	return sign + strconv.FormatInt(whole, 10) + "." + digits
}

// number reads a JSON number; in quotes too, since a map key reaches UnmarshalJSON that way.
func number(b []byte) (float64, error) {
	if n := len(b); n > 2 && b[0] == '"' && b[n-1] == '"' {
		b = b[1 : n-1]
	}
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%.40q is not a number", b)
	}
	return v, nil
}
