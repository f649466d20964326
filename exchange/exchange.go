// Package exchange brings the outside's files in and takes the desk's out:
// order files and tables (CSV, XLSX), PLANT.json, and the folder of a plan.
//
// A faulty row never stops the others: it waits with its cells and its reason.
package exchange

import (
	"errors"
	"io"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/exchange/rows"
	"github.com/flutewright/flutewright/plant/order"
)

// Orders reads order files; it is the desk's OrderReader. The zero value is ready.
type Orders struct {
	// NewCustomers takes a customer that is not in the book as new, no road
	// and no tolerances, and says so; otherwise its rows wait.
	NewCustomers bool
	Dates        string // dmy or mdy: the file's order of day and month; "" as the plant displays dates
}

// Tables reads tables of the book; it is the desk's TableReader. The zero value is ready.
type Tables struct {
	NewCustomers bool   // an item may name a customer that is not in the book
	Dates        string // as in Orders
}

var (
	_ desk.OrderReader = Orders{}
	_ desk.TableReader = Tables{}
)

func mannerOf(k desk.Known, dates string) cells.Manner {
	if dates == "" {
		dates = k.Plant.Display.Dates
	}
	zone := k.Zone
	if zone == nil {
		zone = time.UTC
	}
	return cells.Manner{Zone: zone, Dates: dates, Units: k.Plant.Display.Units}
}

// sheet is a table file under its matched header.
type sheet struct {
	file   *rows.File
	head   *cells.Head
	manner cells.Manner
	asking cells.Asking
	read   int
}

// openSheet opens a file and matches its header. Close s.file after use.
func openSheet(name string, r io.Reader, columns []cells.Column, m cells.Manner) (*sheet, error) {
	f, err := rows.Open(name, r)
	if err != nil {
		return nil, err
	}
	first, err := f.Next()
	if err == nil {
		var h *cells.Head
		if h, err = cells.ReadHead(name, first, columns); err == nil {
			s := &sheet{file: f, head: h, manner: m}
			s.asking.Notes = f.Notes
			return s, nil
		}
	} else if errors.Is(err, io.EOF) {
		err = fault.Violations{{Field: name, Rule: "the file is empty", Remedy: "export it again"}}
	}
	return nil, errors.Join(err, f.Close())
}

// each calls do for every row below the header. A file without rows is refused:
// it is a failed export rather than an empty book.
func (s *sheet) each(name string, do func(*cells.Record)) error {
	for {
		row, err := s.file.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		s.read++
		do(cells.NewRecord(s.head, row, s.manner, &s.asking))
	}
	if s.read == 0 {
		return fault.Violations{{Field: name, Rule: "has a header and no rows", Remedy: "export it again"}}
	}
	return nil
}

// book answers what is known: the desk's book, and what the file itself has brought so far.
type book struct {
	desk.Known
	newCustomers bool
	customers    map[ident.Customer]order.Customer
	items        map[ident.Item]stated
}

// stated is an item of the file, with the row that states it.
type stated struct {
	item order.Item
	row  int
}

func newBook(k desk.Known, newCustomers bool) *book {
	if k.Items == nil {
		k.Items = func(ident.Item) (order.Item, bool) { return order.Item{}, false }
	}
	if k.Customers == nil {
		k.Customers = func(ident.Customer) (order.Customer, bool) { return order.Customer{}, false }
	}
	return &book{Known: k, newCustomers: newCustomers, customers: map[ident.Customer]order.Customer{}, items: map[ident.Item]stated{}}
}

// item finds an item of the file or the book.
func (b *book) item(code ident.Item) (order.Item, bool) {
	if s, ok := b.items[code]; ok {
		return s.item, true
	}
	return b.Items(code)
}
