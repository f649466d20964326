package quantity

import (
	"cmp"
	"math"
	"strconv"
	"strings"
)

// Format says how values are shown and which unit a bare typed number has. It
// never changes what is stored. The zero value is metric, with dates as
// 2031-03-04. Show a value's text and its unit's name side by side: the methods
// come in pairs, Length and LengthUnit, Run and RunUnit, …
type Format struct {
	US        bool
	InchParts int    // the plant's inch step: 16, 32 or 64; 0 is 16
	Currency  string // shown as the unit of Money, e.g. "EUR"
	Dates     string // ymd (default), dmy, mdy
}

// Step is the plant's rounding step: 1 mm, or 1/InchParts inch.
func (f Format) Step() Length {
	if f.US {
		return Inch / Length(f.inchParts())
	}
	return Millimetre
}

func (f Format) inchParts() int { return cmp.Or(f.InchParts, 16) }

func (f Format) pick(metric, us string) string {
	if f.US {
		return us
	}
	return metric
}

// Count is a whole number with thousands separators: "1,439".
func (f Format) Count(n int) string { return grouped(strconv.Itoa(n)) }

// Number is v with so many decimals and thousands separators: "1,439.50". A
// value that is no number is a dash.
func (f Format) Number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	s := grouped(strconv.FormatFloat(v, 'f', decimals, 64))
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// upTo is Number without trailing zeros after the point.
func (f Format) upTo(v float64, decimals int) string {
	s := f.Number(v, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// scaled is a number with fewer decimals the larger it is.
func (f Format) scaled(v float64) string {
	switch a := math.Abs(v); {
	case a >= 100, a == 0:
		return f.Number(v, 0)
	case a >= 10:
		return f.Number(v, 1)
	case a >= 1:
		return f.Number(v, 2)
	}
	return f.Number(v, 3)
}

// grouped puts a comma between groups of three digits before the point.
func grouped(s string) string {
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "-", s[1:]
	}
	whole, rest, hasRest := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if hasRest {
		whole += "." + rest
	}
	return sign + whole
}
