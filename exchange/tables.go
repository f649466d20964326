package exchange

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/plant/order"
)

// kind is one kind of table: its columns, the column that keys its rows, and what reads a row.
type kind struct {
	columns []string
	key     string
	read    func(*tableFile, *cells.Record)
}

// kinds are the tables that can be read, by the desk's names for them.
var kinds = map[string]kind{
	desk.TablePapers:    {paperColumns, "paper", (*tableFile).paper},
	desk.TableGrades:    {gradeColumns, "grade", (*tableFile).grade},
	desk.TableItems:     {slices.Concat([]string{"item!", "customer"}, itemColumns), "item", (*tableFile).item},
	desk.TableCustomers: {customerColumns, "customer", (*tableFile).customer},
	desk.TableRolls:     {rollColumns, "roll", (*tableFile).roll},
	desk.TableInbound:   {inboundColumns, "inbound", (*tableFile).inbound},
	desk.TableStacks:    {stackColumns, "stack", (*tableFile).stack},
	desk.TableUnits:     {unitColumns, "unit", (*tableFile).unit},
	desk.TableJobs:      {jobColumns, "machine", (*tableFile).job},
}

// ReadTable reads one table, CSV or XLSX. The good rows are returned, the
// faulty ones wait beside their reasons. The error is fault.Violations where
// nothing of the file can be read.
func (t Tables) ReadTable(name, file string, r io.Reader, known desk.Known) (table desk.Table, err error) {
	k, ok := kinds[name]
	if !ok {
		return desk.Table{}, fault.Violations{{Field: "kind", Value: name, Rule: cells.Known(name, "tables", keys(kinds))}}
	}
	s, err := openSheet(file, r, cells.Columns(k.columns...), mannerOf(known, t.Dates))
	if err != nil {
		return desk.Table{}, err
	}
	defer func() { err = errors.Join(err, s.file.Close()) }()
	in := tableFile{book: newBook(known, t.NewCustomers), first: map[string]int{}, kits: map[int]order.Waiting{}}
	in.table.Kind = name
	err = s.each(file, func(rec *cells.Record) {
		r := rec
		key := r.Code(k.key)
		r.Needs(k.key)
		named := key != ""
		if name == desk.TableJobs { // a machine may have several jobs half done, each of another release
			key += " " + ident.NewRelease(r.Code("order"), r.Code("line"), r.Code("release")).String()
		}
		if first, twice := in.first[key]; twice && named {
			r.Add(k.key, fmt.Sprintf("stands in row %d already", first), "keep one of them")
		}
		k.read(&in, r)
		if len(r.Faults) == 0 {
			in.first[key] = r.Row
		}
	})
	if err != nil {
		return desk.Table{}, err
	}
	in.checkKits()
	slices.SortStableFunc(in.table.Waiting, func(a, b order.Waiting) int { return a.Row - b.Row })
	in.table.Asks = append(in.table.Asks, s.asking.Asks...)
	return in.table, nil
}

// tableFile collects the rows of one table.
type tableFile struct {
	book  *book
	table desk.Table
	first map[string]int        // row that states the key
	kits  map[int]order.Waiting // rows whose item names parts, by the item's place in the table
}

// take keeps a good value, or lets its row wait.
func take[T any](in *tableFile, r *cells.Record, to *[]T, v T) {
	if len(r.Faults) > 0 {
		in.table.Waiting = append(in.table.Waiting, r.Waiting())
		return
	}
	*to = append(*to, v)
}

func (in *tableFile) item(r *cells.Record) {
	code := ident.Item(r.Text("item"))
	base, known := in.book.Items(code)
	if !known {
		base = order.Item{Code: code, Revision: 1, PiecesPerSheet: 1}
	}
	set(&base.Customer, ident.Customer(r.Code("customer")))
	if base.Customer != "" {
		in.book.customer(r, base.Customer)
	}
	made := in.book.overlay(r, base)
	r.Merge(made.Validate(), itemFields)
	if len(r.Faults) == 0 {
		in.book.items[code] = stated{made, r.Row}
		if len(made.Kit) > 0 {
			in.kits[len(in.table.Items)] = r.Waiting()
		}
	}
	take(in, r, &in.table.Items, made)
}

// checkKits lets items wait that name a part which neither the book nor the table has.
func (in *tableFile) checkKits() {
	var good []order.Item
	for n, i := range in.table.Items {
		w, has := in.kits[n]
		for _, part := range i.Kit {
			if _, ok := in.book.item(part); has && !ok {
				w.Faults = append(w.Faults, fault.Violation{Row: w.Row, Field: "kit", Value: string(part),
					Rule: "is no item of the book or of this file"})
			}
		}
		if has && len(w.Faults) > 0 {
			in.table.Waiting = append(in.table.Waiting, w)
			continue
		}
		good = append(good, i)
	}
	in.table.Items = good
}

var customerColumns = []string{
	"customer!", "name", "road_km", "over_pct", "under_pct", "unit_max_height_mm", "pallet", "overhang_mm", "case_erector", "note", "receives", "closed",
}

func (in *tableFile) customer(r *cells.Record) {
	v := order.Customer{
		Code: ident.Customer(r.Text("customer")), Name: r.Text("name"), OverPct: r.Percent("over_pct"), UnderPct: r.Percent("under_pct"),
		UnitMaxHeight: r.Length("unit_max_height_mm"), Pallet: ident.Pallet(r.Code("pallet")), Overhang: r.Length("overhang_mm"),
		CaseErector: r.YesNo("case_erector"), Note: r.Text("note"),
	}
	v.Road = r.Road("road_km")
	hours, err := order.ParseReceiving(r.Text("receives"))
	r.Merge(err, nil)
	v.Receives, v.ClosedDays = hours, r.List("closed")
	r.Merge(v.Validate(), map[string]string{"road_m": "road_km"})
	in.knownPallet(r, v.Pallet)
	take(in, r, &in.table.Customers, v)
}

func (in *tableFile) knownPallet(r *cells.Record, code ident.Pallet) {
	var known []string
	for _, p := range in.book.Plant.Pallets {
		if p.Code == code {
			return
		}
		known = append(known, string(p.Code))
	}
	if code != "" {
		unknown(r, "pallet", string(code), "pallets", known)
	}
}
