package plan

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/plant/order"
)

// index finds the parts of a book by their names.
type index struct {
	book       plant.Book
	items      map[ident.Item]*order.Item
	customers  map[ident.Customer]order.Customer
	grades     map[ident.Grade]board.Grade
	allowances map[ident.Flute]box.Allowance
	machines   map[ident.Machine]convert.Machine
	pallets    map[ident.Pallet]load.Pallet
	catalogue  board.Catalogue
	zone       *time.Location // UTC where the calendar's is unknown, which the clock station refuses
	choices    Choices
}

func newIndex(b plant.Book) *index {
	ix := &index{
		book:       b,
		items:      make(map[ident.Item]*order.Item, len(b.Items)),
		customers:  byKey(b.Customers, func(v order.Customer) ident.Customer { return v.Code }),
		grades:     byKey(b.Plant.Grades, func(v board.Grade) ident.Grade { return v.Code }),
		allowances: byKey(b.Plant.Allowances, func(v box.Allowance) ident.Flute { return v.Flute }),
		machines:   byKey(b.Plant.Machines, func(v convert.Machine) ident.Machine { return v.Code }),
		pallets:    byKey(b.Plant.Pallets, func(v load.Pallet) ident.Pallet { return v.Code }),
	}
	for i := range b.Items { // thousands, each some hundred bytes: named where they stand, not copied
		ix.items[b.Items[i].Code] = &b.Items[i]
	}
	if zone, err := time.LoadLocation(b.Plant.Calendar.Zone); err == nil {
		ix.zone = zone
	} else {
		ix.zone = time.UTC
	}
	ix.catalogue = board.NewCatalogue(b.Plant.Papers, b.Plant.Flutes)
	return ix
}

func byKey[K comparable, V any](list []V, key func(V) K) map[K]V {
	m := make(map[K]V, len(list))
	for _, v := range list {
		m[key(v)] = v
	}
	return m
}
