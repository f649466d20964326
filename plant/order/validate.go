package order

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// The widest that an order book takes: beyond these a value is a slip of the pen.
const (
	MostBoxes    = 10_000_000
	LeastSize    = 10 * quantity.Millimetre
	MostSize     = 6 * quantity.Metre
	FirstYear    = 2000
	LastYear     = 2100
	MostColours  = 12
	MostPieces   = 1000 // pieces per sheet, boxes per bundle, bundles per layer
	MostMoney    = 10_000_000
	MostCodeLen  = 40
	MostTextLen  = 400
	MostRoad     = 20_000 * 1000 * quantity.Distance(quantity.Metre)
	LastPriority = 99
)

// Validate returns every broken rule of the line as fault.Violations, or nil.
// It looks at the line alone: whether its item and customer exist is the book's matter.
func (l Line) Validate() error {
	var v fault.Violations
	code(&v, "order", l.Key.Order, true)
	code(&v, "line", l.Key.Line, true)
	code(&v, "release", l.Key.Release, true)
	for _, part := range []struct{ field, value string }{{"order", l.Key.Order}, {"line", l.Key.Line}, {"release", l.Key.Release}} {
		if strings.Contains(part.value, "/") {
			v.Add(part.field, part.value, "must not hold a slash, which parts order, line and release", "write a hyphen instead")
		}
	}
	code(&v, "customer", string(l.Customer), true)
	code(&v, "item", string(l.Item), true)
	whole(&v, "quantity", l.Quantity, 1, MostBoxes)
	percent(&v, "under_pct", l.UnderPct)
	percent(&v, "over_pct", l.OverPct)
	due(&v, l.Due)
	if l.DueAt != AtGate && l.DueAt != AtDock {
		v.Add("due_at", string(l.DueAt), "must be gate or dock", "")
	}
	money(&v, "price_per_1000", l.PricePer1000)
	whole(&v, "priority", l.Priority, 0, LastPriority)
	switch l.State {
	case Open, OnHold, Closed:
	default:
		v.Add("state", string(l.State), "must be open, on hold or closed", "")
	}
	l.kind(&v)
	text(&v, "ship_to", l.ShipTo)
	text(&v, "parent", l.Parent)
	text(&v, "cause", l.Cause)
	text(&v, "note", l.Note)
	return v.Err()
}

// Validate returns every broken rule of the customer as fault.Violations, or nil.
func (c Customer) Validate() error {
	var v fault.Violations
	code(&v, "customer", string(c.Code), true)
	text(&v, "name", c.Name)
	if c.Road < 0 || c.Road > MostRoad {
		v.Add("road_m", c.Road.String(), "must be between 0 and 20,000 km", "")
	}
	percent(&v, "over_pct", c.OverPct)
	percent(&v, "under_pct", c.UnderPct)
	optional(&v, "unit_max_height_mm", c.UnitMaxHeight, 100*quantity.Millimetre, MostSize)
	code(&v, "pallet", string(c.Pallet), false)
	optional(&v, "overhang_mm", c.Overhang, quantity.Nanometre, 500*quantity.Millimetre)
	text(&v, "note", c.Note)
	c.receiving(&v)
	return v.Err()
}

func code(v *fault.Violations, field, s string, needed bool) {
	switch {
	case s == "" && needed:
		v.Add(field, "", "must not be empty", "")
	case s == "":
	case utf8.RuneCountInString(s) > MostCodeLen:
		v.Add(field, clip(s), fmt.Sprintf("must have at most %d characters", MostCodeLen), "")
	case strings.TrimSpace(s) != s:
		v.Add(field, s, "must not begin or end with a space", "")
	case !printable(s):
		v.Add(field, clip(s), "must hold printable characters only", "")
	}
}

func text(v *fault.Violations, field, s string) {
	switch {
	case utf8.RuneCountInString(s) > MostTextLen:
		v.Add(field, clip(s), fmt.Sprintf("must have at most %d characters", MostTextLen), "")
	case !printable(strings.NewReplacer("\n", "", "\r", "", "\t", "").Replace(s)):
		v.Add(field, clip(s), "must hold printable characters only", "")
	}
}

func printable(s string) bool {
	if !utf8.ValidString(s) {
		return false
	}
	for _, r := range s {
		if !unicode.IsPrint(r) && !unicode.IsSpace(r) || unicode.IsControl(r) {
			return false
		}
	}
	return true
}

func clip(s string) string {
	if r := []rune(s); len(r) > MostCodeLen {
		return string(r[:MostCodeLen]) + "…"
	}
	return s
}

func whole(v *fault.Violations, field string, n, least, most int) {
	if n < least || n > most {
		v.Add(field, strconv.Itoa(n), fmt.Sprintf("must be a whole number from %s to %s", Thousands(least), Thousands(most)), "")
	}
}

func percent(v *fault.Violations, field string, p float64) {
	if !(p >= 0 && p <= 100) {
		v.Add(field, strconv.FormatFloat(p, 'g', -1, 64), "must be from 0 to 100 %", "")
	}
}

func money(v *fault.Violations, field string, m quantity.Money) {
	if !(m >= 0 && m <= MostMoney) {
		v.Add(field, strconv.FormatFloat(float64(m), 'g', -1, 64), "must be from 0 to "+Thousands(MostMoney), "")
	}
}

func size(v *fault.Violations, field string, l quantity.Length) {
	if l < LeastSize || l > MostSize {
		v.Add(field, l.String(), fmt.Sprintf("must be from %v to %v", LeastSize, MostSize), "")
	}
}

// optional allows 0, which stands for "not stated".
func optional(v *fault.Violations, field string, l, least, most quantity.Length) {
	if l != 0 && (l < least || l > most) {
		rule := fmt.Sprintf("must be from %v to %v, or left out", least, most)
		if least == quantity.Nanometre {
			rule = fmt.Sprintf("must be from 0 to %v", most)
		}
		v.Add(field, l.String(), rule, "")
	}
}

func due(v *fault.Violations, t time.Time) {
	switch y := t.UTC().Year(); {
	case t.IsZero():
		v.Add("due", "", "must not be empty", "write it as 2006-01-02 or 2006-01-02T15:04")
	case y < FirstYear || y > LastYear:
		v.Add("due", t.Format("2006-01-02"), fmt.Sprintf("must be in the years %d to %d", FirstYear, LastYear), "")
	}
}

// Thousands writes n with a comma between its groups of three digits: "10,000,000".
func Thousands(n int) string {
	s, sign := strconv.Itoa(n), ""
	if n < 0 {
		s, sign = s[1:], "-"
	}
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return sign + s
}
