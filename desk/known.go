package desk

import (
	"context"
	"io"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// Known is what a reader of files must know of the book to judge a row. Its
// maps are shared and must not be changed.
type Known struct {
	Now       time.Time
	Zone      *time.Location // in which a bare date or time is meant
	Plant     plant.Plant    // styles' allowances, grades, flutes, papers, machines, pallets, dates' order
	Items     func(ident.Item) (order.Item, bool)
	Customers func(ident.Customer) (order.Customer, bool)
}

// KnownOf returns what a book knows; for commands that have no desk.
func KnownOf(b plant.Book, now time.Time) Known { return snapshotOf(b).known(now) }

func (s *Snapshot) known(now time.Time) Known {
	return Known{Now: now, Zone: s.zone, Plant: s.Plant, Items: s.Item, Customers: s.Customer}
}

// OrderReader reads order files (CSV, XLSX; by the name's ending and the content).
type OrderReader interface {
	// ReadOrders returns the good rows and the waiting ones. An error means
	// that nothing of the file could be read: fault.Violations where the
	// sender can mend it.
	ReadOrders(name string, r io.Reader, known Known) (order.File, error)
}

// TableReader reads tables of the book.
type TableReader interface {
	ReadTable(kind, name string, r io.Reader, known Known) (Table, error)
}

func (d *Desk) known(ctx context.Context) (Known, *Snapshot, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Known{}, nil, err
	}
	return s.known(d.Clock()), s, nil
}
