package cells

import (
	"regexp"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/exchange/rows"
)

var (
	plainNumber  = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)$`)
	grouped      = regexp.MustCompile(`^[+-]?\d{1,3}([,  ' ]\d{3})+(\.\d+)?$`)
	pointGroups  = regexp.MustCompile(`^[+-]?\d{1,3}(\.\d{3})+$`)
	decimalComma = regexp.MustCompile(`^[+-]?\d+,\d+$`)
	fraction     = regexp.MustCompile(`^(?:(\d+)[ -])?(\d+)/(\d+)$`)
)

// Whole returns a whole number; thousands may be parted by commas or spaces.
func (r *Record) Whole(name string) int {
	c, as, ok := r.take(name)
	if !ok {
		return 0
	}
	if c.Number == "" && pointGroups.MatchString(c.Text) {
		r.fault(as, c.Text, "may be a fraction or have points between the thousands", "write it without points")
		return 0
	}
	v, why, remedy := number(c)
	switch {
	case why != "":
		r.fault(as, Clip(c.Text), why, remedy)
		return 0
	case v > 1e12 || v < -1e12:
		r.fault(as, Clip(c.Text), "is beyond any number that is counted here", "")
		return 0
	case v != float64(int64(v)):
		r.fault(as, Clip(c.Text), "must be a whole number", "")
		return 0
	}
	return int(v)
}

// Number returns a number, 0 where the cell is blank.
func (r *Record) Number(name string) float64 {
	c, as, ok := r.take(name)
	if !ok {
		return 0
	}
	v, why, remedy := number(c)
	if why != "" {
		r.fault(as, Clip(c.Text), why, remedy)
	}
	return v
}

// Percent returns a share in percent; its cell may carry the sign.
func (r *Record) Percent(name string) float64 {
	c, as, ok := r.take(name)
	if !ok {
		return 0
	}
	if bare, signed := strings.CutSuffix(c.Text, "%"); signed {
		c.Text, c.Number = strings.TrimSpace(bare), ""
	}
	v, why, remedy := number(c)
	if why != "" {
		r.fault(as, Clip(c.Text), why, remedy)
	}
	return v
}

// number reads a cell as a number, or says why it is none and what to do.
func number(c rows.Cell) (v float64, why, remedy string) {
	s := c.Text
	switch {
	case formula.MatchString(s):
		return 0, "is a formula where a number is due", "paste the value itself"
	case c.Day != "" || damagedDay.MatchString(s):
		return 0, "a spreadsheet has made a day of it", "format the column as text and type the size or fraction again"
	case c.Number != "" && !strings.ContainsAny(s, "%/"):
		v, err := strconv.ParseFloat(c.Number, 64)
		if err != nil {
			return 0, "is not a number", ""
		}
		return v, "", ""
	case plainNumber.MatchString(s):
	case grouped.MatchString(s):
		s = strings.NewReplacer(",", "", " ", "", "'", "", "\u00A0", "", "\u202F", "").Replace(s)
	case decimalComma.MatchString(s):
		return 0, "a comma parts thousands here", "write decimals with a point"
	case scientific.MatchString(s):
		return 0, "was shortened by a spreadsheet, its digits are lost", "format the column as a number without exponent"
	default:
		return 0, "is not a number", ""
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, "is beyond any number that is counted here", ""
	}
	return v, "", ""
}

// Length returns a length in the unit of the column's name, _mm or _in. A cell
// in inches may be a fraction, 16 3/16; one in millimetres only at a plant with US units.
func (r *Record) Length(name string) quantity.Length {
	c, as, ok := r.take(name)
	if !ok {
		return 0
	}
	l, why, remedy := r.length(c, as)
	if why != "" {
		r.fault(as, Clip(c.Text), why, remedy)
	}
	return l
}

func (r *Record) length(c rows.Cell, as string) (l quantity.Length, why, remedy string) {
	inches, marked := strings.HasSuffix(as, "_in"), false
	bare := c.Text
	for _, mark := range []string{"inches", "inch", "in", `"`, "″", "”"} {
		if s, ok := strings.CutSuffix(bare, mark); ok {
			bare, marked = strings.TrimSpace(s), true
			break
		}
	}
	if m := fraction.FindStringSubmatch(bare); m != nil {
		if l, ok := fractionOfInch(m); ok && (inches || r.manner.Units == "us") {
			return l, "", ""
		} else if ok {
			return 0, "looks like inches, the column is in millimetres", "write " + l.String() + ", or call the column " + strings.TrimSuffix(as, "_mm") + "_in"
		}
		return 0, "is not a length", ""
	}
	if marked && !inches && r.manner.Units != "us" {
		return 0, "is in inches, the column is in millimetres", "call the column " + strings.TrimSuffix(as, "_mm") + "_in"
	}
	if s, ok := strings.CutSuffix(bare, "mm"); ok && !marked && !inches {
		bare = strings.TrimSpace(s)
	}
	v, why, remedy := number(rows.Cell{Text: bare, Number: c.Number, Day: c.Day})
	if why != "" {
		return 0, why, remedy
	}
	if inches || marked {
		return quantity.FromInches(v), "", ""
	}
	return quantity.FromMillimetres(v), "", ""
}

func fractionOfInch(m []string) (quantity.Length, bool) {
	whole, _ := strconv.ParseFloat("0"+m[1], 64)
	top, err1 := strconv.ParseFloat(m[2], 64)
	under, err2 := strconv.ParseFloat(m[3], 64)
	if err1 != nil || err2 != nil || under < 1 || top >= under || under > 64 || whole > 10_000 {
		return 0, false
	}
	return quantity.FromInches(whole + top/under), true
}

// Lengths returns lengths between slashes, in the unit of the column's name.
func (r *Record) Lengths(name string) []quantity.Length {
	c, as, ok := r.take(name)
	if !ok {
		return nil
	}
	if c.Day != "" || damagedDay.MatchString(c.Text) {
		r.fault(as, Clip(c.Text), "a spreadsheet has made a day of it", "format the column as text and type it again")
		return nil
	}
	parts := strings.Split(c.Text, "/")
	if strings.HasSuffix(as, "_in") && strings.ContainsAny(c.Text, ";") || len(parts) > 100 {
		r.fault(as, Clip(c.Text), "must be lengths with a slash between them", "write decimals of an inch")
		return nil
	}
	out := make([]quantity.Length, 0, len(parts))
	for _, p := range parts {
		one := rows.Cell{Text: strings.TrimSpace(p)}
		if len(parts) == 1 {
			one.Number = c.Number
		}
		l, why, remedy := r.length(one, as)
		if why != "" {
			r.fault(as, Clip(c.Text), why, remedy)
			return nil
		}
		out = append(out, l)
	}
	return out
}
