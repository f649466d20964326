package order

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Compare sets a file against the lines of the book: which are new, changed,
// the same, or open in the book and not in the file. A row that waits is in
// the file, so its line is not gone. What the file has no column for, and what
// people decide on the desk (state, parent), stays as the book has it, in the
// changed row as well.
func Compare(current []Line, file File) Difference {
	book := make(map[ident.Release]Line, len(current))
	for _, l := range current {
		book[l.Key] = l
	}
	seen := map[ident.Release]bool{}
	for _, w := range file.Waiting {
		if key, ok := w.Key(); ok {
			seen[key] = true
		}
	}
	d := Difference{New: []FileRow{}, Changed: []Change{}, Gone: []Line{}}
	for _, row := range file.Rows {
		seen[row.Line.Key] = true
		before, known := book[row.Line.Key]
		if !known {
			d.New = append(d.New, row)
			continue
		}
		row.Line = row.Line.keeping(before, file.Columns)
		fields := changes(before, row.Line)
		if row.Item != nil && row.Line.Item == before.Item {
			fields = append(fields, "specification of item "+string(row.Item.Code))
		}
		if len(fields) == 0 {
			d.Same++
			continue
		}
		d.Changed = append(d.Changed, Change{Row: row, Before: before, Fields: fields})
	}
	for _, l := range current {
		if !seen[l.Key] && l.State != Closed {
			d.Gone = append(d.Gone, l)
		}
	}
	return d
}

// Key returns the key that a waiting row states, and false if it names no order.
func (w Waiting) Key() (ident.Release, bool) {
	cell := func(name string) string { return strings.TrimSpace(w.Cells[name]) }
	order := cell("order")
	return ident.NewRelease(order, cell("line"), cell("release")), order != ""
}

// keeping returns l with what the file does not state taken from before.
// columns nil means that the file states everything.
func (l Line) keeping(before Line, columns []string) Line {
	l.State, l.Parent, l.ToStock, l.Taken, l.Given = before.State, before.Parent, before.ToStock, before.Taken, before.Given
	l.Cause, l.Cost = before.Cause, before.Cost
	if columns == nil {
		return l
	}
	states := func(column string) bool { return slices.Contains(columns, column) }
	if !states("under_pct") {
		l.UnderPct = before.UnderPct
	}
	if !states("over_pct") {
		l.OverPct = before.OverPct
	}
	if !states("due_at") {
		l.DueAt = before.DueAt
	}
	if !states("ship_to") {
		l.ShipTo = before.ShipTo
	}
	if !states("price_per_1000") {
		l.PricePer1000 = before.PricePer1000
	}
	if !states("priority") {
		l.Priority = before.Priority
	}
	if !states("kind") {
		l.Kind = before.Kind
	}
	if !states("closes") {
		l.Closes = before.Closes
	}
	if !states("note") {
		l.Note = before.Note
	}
	return l
}

// changes says in words what differs from a to b.
func changes(a, b Line) []string {
	var out []string
	differ := func(name, was, is string) {
		if was != is {
			out = append(out, fmt.Sprintf("%s %s → %s", name, orNone(was), orNone(is)))
		}
	}
	differ("customer", string(a.Customer), string(b.Customer))
	differ("item", string(a.Item), string(b.Item))
	differ("quantity", Thousands(a.Quantity), Thousands(b.Quantity))
	differ("under %", plain(a.UnderPct), plain(b.UnderPct))
	differ("over %", plain(a.OverPct), plain(b.OverPct))
	if !a.Due.Equal(b.Due) {
		was, is := a.Due.In(b.Due.Location()), b.Due
		differ("due", was.Format("2006-01-02 15:04"), is.Format("2006-01-02 15:04 MST"))
	}
	differ("due at", string(a.DueAt), string(b.DueAt))
	differ("ship to", a.ShipTo, b.ShipTo)
	differ("price per 1000", price(a.PricePer1000), price(b.PricePer1000))
	differ("priority", strconv.Itoa(a.Priority), strconv.Itoa(b.Priority))
	differ("kind", string(a.Kind), string(b.Kind))
	differ("closes the order", yesNo(a.Closes), yesNo(b.Closes))
	differ("note", a.Note, b.Note)
	return out
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func price(m quantity.Money) string { return plain(float64(m)) }
