// Package cells turns the cells of a table's row into values, with every way in
// which a spreadsheet damages them recognised and said. A record collects all
// faults of its row; it never stops at the first.
package cells

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/exchange/rows"
	"github.com/flutewright/flutewright/plant/order"
)

// Manner is how a file's writer writes: where there are two readings of a cell, it decides.
type Manner struct {
	Zone  *time.Location // the plant's; nil: UTC
	Dates string         // order of day and month where a date leaves it open: dmy or mdy; else it is asked
	Units string         // us: a fraction in a metric column is taken as inches
}

// Asking collects what a reader could not decide alone, each question once, and
// what it read otherwise than written.
type Asking struct {
	Asks  []string
	Notes []string
	dates bool // the order of day and month has been asked
}

func (a *Asking) askDates(example string) {
	if !a.dates {
		a.dates = true
		a.Asks = append(a.Asks, "Is the day or the month first in dates such as "+example+"? State it (dmy or mdy) and read the file again, or write 2006-01-02.")
	}
}

func (a *Asking) note(s string) {
	if len(a.Notes) < 100 && !slices.Contains(a.Notes, s) {
		a.Notes = append(a.Notes, s)
	}
}

// Record is one row of a table.
type Record struct {
	Row    int
	Faults fault.Violations
	head   *Head
	cells  []rows.Cell
	manner Manner
	asking *Asking
}

// NewRecord sets a row under its header.
func NewRecord(h *Head, row rows.Row, m Manner, a *Asking) *Record {
	if m.Zone == nil {
		m.Zone = time.UTC
	}
	r := &Record{Row: row.Number, head: h, cells: row.Cells, manner: m, asking: a}
	if row.Fault != "" {
		r.fault("row", "", row.Fault, "")
	}
	if n := len(h.Given); len(row.Cells) > n {
		for _, c := range row.Cells[n:] {
			if strings.TrimSpace(c.Text) != "" {
				r.fault("row", Clip(c.Text), fmt.Sprintf("has %d cells, the header has %d", len(row.Cells), n), "put a cell that holds a comma in quotes")
				break
			}
		}
	}
	return r
}

// Given returns the row's cells as given, by the name of the field where there is one.
func (r *Record) Given() map[string]string {
	out := map[string]string{}
	for i, c := range r.cells {
		if i >= len(r.head.Given) || c.Text == "" {
			continue
		}
		name := r.head.Given[i]
		for field, at := range r.head.at {
			if at == i {
				name = field
			}
		}
		if name != "" {
			out[name] = c.Text
		}
	}
	return out
}

// Empty tells that a column is not in the file or its cell is blank.
func (r *Record) Empty(names ...string) bool {
	for _, n := range names {
		if c, _ := r.cell(n); strings.TrimSpace(c.Text) != "" || c.Fault != "" {
			return false
		}
	}
	return true
}

// Add records a fault of a column of this row, with the cell as given.
func (r *Record) Add(name, rule, remedy string) {
	c, as := r.cell(name)
	r.fault(as, Clip(strings.TrimSpace(c.Text)), rule, remedy)
}

// Merge adds the violations of a value made of this row, its fields named as
// columns are. A column that already has a fault keeps the first.
func (r *Record) Merge(err error, columns map[string]string) {
	if err == nil {
		return
	}
	var all fault.Violations
	all.Under("", err)
	for _, v := range all {
		field := strings.TrimPrefix(v.Field, ".")
		if c, ok := columns[field]; ok {
			field = c
		}
		cell, as := r.cell(field)
		if r.faulty(as) {
			continue
		}
		if cell.Text != "" {
			v.Value = Clip(strings.TrimSpace(cell.Text))
		}
		r.fault(as, v.Value, v.Rule, v.Remedy)
	}
}

func (r *Record) faulty(as string) bool {
	return slices.ContainsFunc(r.Faults, func(v fault.Violation) bool { return v.Field == as })
}

func (r *Record) fault(field, value, rule, remedy string) {
	r.Faults = append(r.Faults, fault.Violation{Row: r.Row, Field: field, Value: value, Rule: rule, Remedy: remedy})
}

// cell returns a column's cell, and the column's name in the file. A blank or missing one is empty.
func (r *Record) cell(name string) (rows.Cell, string) {
	at, ok := r.head.at[name]
	if !ok {
		return rows.Cell{}, name
	}
	as := r.head.as[name]
	if at >= len(r.cells) {
		return rows.Cell{}, as
	}
	return r.cells[at], as
}

// take returns a column's cell with its text trimmed; ok is false when it is
// blank or cannot be read, the latter being recorded.
func (r *Record) take(name string) (c rows.Cell, as string, ok bool) {
	c, as = r.cell(name)
	c.Text = strings.TrimSpace(strings.ReplaceAll(c.Text, "\u00A0", " "))
	if c.Fault != "" {
		r.fault(as, Clip(c.Text), c.Fault, "paste the value itself")
		return c, as, false
	}
	return c, as, c.Text != ""
}

// Needs records a fault for each blank cell among the columns.
func (r *Record) Needs(names ...string) {
	for _, n := range names {
		if _, as := r.cell(n); r.Empty(n) && !r.faulty(as) {
			r.fault(as, "", "must not be empty", "")
		}
	}
}

// Waiting makes of the record a row that waits.
func (r *Record) Waiting() order.Waiting {
	return order.Waiting{Row: r.Row, Cells: r.Given(), Faults: r.Faults}
}
