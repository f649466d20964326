package cells

import (
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/exchange/rows"
	"github.com/flutewright/flutewright/plant/order"
)

// Column is one column that a table may have. Its name carries its unit; a
// column in another unit (Other) is the same field.
type Column struct {
	Name   string
	Other  []string
	Needed bool
}

// Columns makes columns of names; a name in millimetres may come in inches, and
// so on for every unit of the trade. A name that ends in "!" is needed.
func Columns(names ...string) []Column {
	out := make([]Column, len(names))
	for i, n := range names {
		bare := strings.TrimSuffix(n, "!")
		out[i] = Column{Name: bare, Needed: bare != n}
		longest := ""
		for unit := range otherUnits { // _kn_m ends in _m as well
			if strings.HasSuffix(bare, unit) && len(unit) > len(longest) {
				longest = unit
			}
		}
		for _, o := range otherUnits[longest] {
			out[i].Other = append(out[i].Other, strings.TrimSuffix(bare, longest)+o)
		}
	}
	return out
}

// otherUnits are the units that a metric column may come in instead.
var otherUnits = map[string][]string{
	"_mm": {"_in"}, "_gsm": {"_lb_msf"}, "_kg": {"_lb"}, "_kn_m": {"_lb_in"}, "_kpa": {"_psi"}, "_m": {"_ft"},
	"_km": {"_mi"}, "_per_t": {"_per_short_ton"},
}

// Head is a file's header row, matched with the columns of a table.
type Head struct {
	at      map[string]int    // canonical name to position
	as      map[string]string // canonical name to the name in the file
	Names   []string          // the canonical names that the file has
	Given   []string          // every name of the file, by position
	Ignored []string          // what is no column of the table
}

// ReadHead matches the header, in any order and case. The error is
// fault.Violations: needed columns that are missing, and columns given twice.
func ReadHead(name string, row rows.Row, columns []Column) (*Head, error) {
	canonical := map[string]string{}
	for _, c := range columns {
		canonical[c.Name] = c.Name
		for _, o := range c.Other {
			canonical[o] = c.Name
		}
	}
	h := &Head{at: map[string]int{}, as: map[string]string{}}
	var v fault.Violations
	for i, cell := range row.Cells {
		given := plainName(cell.Text)
		h.Given = append(h.Given, given)
		field, known := canonical[given]
		switch _, twice := h.at[field]; {
		case given == "":
		case !known:
			h.Ignored = append(h.Ignored, strings.TrimSpace(cell.Text))
		case twice:
			v = append(v, fault.Violation{Row: row.Number, Field: given, Rule: "stands twice in the header", Remedy: "keep one of " + h.as[field] + " and " + given})
		default:
			h.at[field], h.as[field] = i, given
			h.Names = append(h.Names, field)
		}
	}
	if len(h.Names) == 0 {
		return nil, append(v, noHeader(name, row, columns))
	}
	for _, c := range columns {
		if _, has := h.at[c.Name]; c.Needed && !has {
			v = append(v, fault.Violation{Row: row.Number, Field: c.Name, Rule: "is missing in the header", Remedy: missingRemedy(c, h)})
		}
	}
	return h, v.Err()
}

// Has tells whether the file has the column.
func (h *Head) Has(name string) bool { _, ok := h.at[name]; return ok }

// plainName makes "Due At" and " due-at " the same as "due_at".
func plainName(s string) string {
	s = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(s, "\uFEFF")))
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' || r == '_' || r == '\u00A0' }), "_")
}

func noHeader(name string, row rows.Row, columns []Column) fault.Violation {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.Name
	}
	v := fault.Violation{Row: row.Number, Field: name, Rule: "the first row must be a header with names such as " + strings.Join(names[:min(6, len(names))], ", ")}
	if len(row.Cells) == 1 {
		v.Value = Clip(row.Cells[0].Text)
		for sign, word := range map[string]string{";": "semicolons", "\t": "tabs"} {
			if strings.Contains(row.Cells[0].Text, sign) {
				v.Rule, v.Remedy = "cells must be separated by commas, not by "+word, "save it as CSV UTF-8 with commas, or as .xlsx"
			}
		}
	}
	return v
}

func missingRemedy(c Column, h *Head) string {
	if near, ok := Nearest(c.Name, h.Ignored); ok {
		return "is it the column " + near + "?"
	}
	return "the file has " + strings.Join(h.Names, ", ")
}

// Clip shortens a value for a message.
func Clip(s string) string {
	if r := []rune(s); len(r) > order.MostCodeLen {
		return string(r[:order.MostCodeLen]) + "…"
	}
	return s
}
