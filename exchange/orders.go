package exchange

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/plant/order"
)

// lineColumns are the columns of an order line; those of its item may follow.
var lineColumns = []string{
	"order!", "line", "release", "customer!", "item", "due!", "due_at", "quantity!", "under_pct", "over_pct",
	"ship_to", "price_per_1000", "priority", "note", "kind", "closes",
}

// ReadOrders reads an order file, CSV or XLSX. The good rows are returned, the
// faulty ones wait beside their reasons. The error is fault.Violations where
// nothing of the file can be read.
func (o Orders) ReadOrders(name string, r io.Reader, known desk.Known) (file order.File, err error) {
	columns := cells.Columns(slices.Concat(lineColumns, itemColumns)...)
	s, err := openSheet(name, r, columns, mannerOf(known, o.Dates))
	if err != nil {
		return order.File{}, err
	}
	defer func() { err = errors.Join(err, s.file.Close()) }()
	if !s.head.Has("item") && !s.head.Has("style") {
		return order.File{}, fault.Violations{{Row: 1, Field: "item", Rule: "the header must have item, or style with the item's other columns"}}
	}
	in := orderFile{book: newBook(known, o.NewCustomers), first: map[ident.Release]int{}, kits: map[int]order.Waiting{}}
	if err := s.each(name, in.row); err != nil {
		return order.File{}, err
	}
	in.checkKits()
	slices.SortStableFunc(in.waiting, func(a, b order.Waiting) int { return a.Row - b.Row })
	file = order.File{
		Name: name, Columns: s.head.Names, Rows: in.rows, Waiting: in.waiting,
		Asks: s.asking.Asks, Ignored: s.head.Ignored, Notes: s.asking.Notes,
	}
	for _, code := range slices.Sorted(maps.Keys(in.book.customers)) {
		file.Customers = append(file.Customers, in.book.customers[code])
		file.Notes = append(file.Notes, fmt.Sprintf("customer %s is not in the book: taken as new, 0 km away, no tolerances", code))
	}
	return file, nil
}

// orderFile collects the rows of one order file.
type orderFile struct {
	book    *book
	rows    []order.FileRow
	waiting []order.Waiting
	first   map[ident.Release]int // row that states the line
	kits    map[int]order.Waiting // rows whose item names parts, as they would wait
}

func (in *orderFile) row(r *cells.Record) {
	line := in.line(r)
	made := in.book.itemOf(r, &line)
	if made != nil {
		r.Merge(made.Validate(), itemFields)
	}
	r.Merge(line.Validate(), nil)
	if first, twice := in.first[line.Key]; twice {
		r.Add("order", fmt.Sprintf("%s stands in row %d already", line.Key, first), "give it another line or release number")
	}
	if len(r.Faults) > 0 {
		in.waiting = append(in.waiting, r.Waiting())
		return
	}
	in.first[line.Key] = r.Row
	if made != nil {
		in.book.items[made.Code] = stated{*made, r.Row}
		if len(made.Kit) > 0 {
			in.kits[r.Row] = r.Waiting()
		}
	}
	in.rows = append(in.rows, order.FileRow{Row: r.Row, Line: line, Item: made})
}

// line reads the order line of a row; its item is set by itemOf.
func (in *orderFile) line(r *cells.Record) order.Line {
	r.Needs("order", "customer", "due", "quantity")
	l := order.Line{
		Key:          ident.NewRelease(r.Code("order"), r.Code("line"), r.Code("release")),
		Customer:     ident.Customer(r.Code("customer")),
		Item:         ident.Item(r.Code("item")),
		Due:          r.Moment("due"),
		DueAt:        order.AtDock,
		Quantity:     r.Whole("quantity"),
		UnderPct:     r.Percent("under_pct"),
		OverPct:      r.Percent("over_pct"),
		ShipTo:       r.Text("ship_to"),
		PricePer1000: quantity.Money(r.Number("price_per_1000")),
		Priority:     r.Whole("priority"),
		Note:         r.Text("note"),
		State:        order.Open,
		Kind:         order.LineKind(r.Word("kind")),
		Closes:       r.YesNo("closes"),
	}
	if l.Kind == "order" || l.Kind == "call-off" {
		l.Kind = order.Ordinary
	}
	if !r.Empty("due_at") {
		l.DueAt = order.Dock(r.Word("due_at"))
	}
	if c, ok := in.book.customer(r, l.Customer); ok {
		if r.Empty("under_pct") {
			l.UnderPct = c.UnderPct
		}
		if r.Empty("over_pct") {
			l.OverPct = c.OverPct
		}
	}
	return l
}

// customer finds the customer of a row, takes it as new where that is allowed, or records the fault.
func (b *book) customer(r *cells.Record, code ident.Customer) (order.Customer, bool) {
	if code == "" {
		return order.Customer{}, false
	}
	if c, ok := b.Customers(code); ok {
		return c, true
	}
	if !b.newCustomers {
		r.Add("customer", "is not in the book", "enter the customer first, or correct the code")
		return order.Customer{}, false
	}
	c := order.Customer{Code: code}
	if c.Validate() == nil {
		b.customers[code] = c
	}
	return c, true
}

// checkKits lets rows wait whose item names a part that neither the book nor the file has.
func (in *orderFile) checkKits() {
	in.rows = slices.DeleteFunc(in.rows, func(row order.FileRow) bool {
		w, has := in.kits[row.Row]
		if !has {
			return false
		}
		for _, part := range row.Item.Kit {
			if _, ok := in.book.item(part); !ok {
				w.Faults = append(w.Faults, fault.Violation{Row: row.Row, Field: "kit", Value: string(part),
					Rule: "is no item of the book or of this file"})
			}
		}
		if len(w.Faults) == 0 {
			return false
		}
		in.waiting = append(in.waiting, w)
		return true
	})
}
