package desk

import (
	"context"
	"fmt"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// closedStay is how long a closed line stays in the snapshot; older ones are
// found by Desk.Line. Common practice: questions come within two weeks.
const closedStay = 14 * 24 * time.Hour

// Snapshot is the book at one revision, with Done folded from the ledger. It
// is shared and must not be changed.
type Snapshot struct {
	plant.Book
	Revision int64
	Stated   bool // a plant has been stated
	books    books
	plant    plantIndex
	zone     *time.Location
}

// Item, Customer, Line, Roll and Inbound look up the book.
func (s *Snapshot) Item(code ident.Item) (order.Item, bool) { return s.books.items.get(string(code)) }

// Customer returns a customer by code.
func (s *Snapshot) Customer(code ident.Customer) (order.Customer, bool) {
	return s.books.customers.get(string(code))
}

// Line returns a line by its key; lines closed long ago are found by Desk.Line only.
func (s *Snapshot) Line(r ident.Release) (order.Line, bool) { return s.books.lines.get(r.String()) }

// Roll returns a roll in the house.
func (s *Snapshot) Roll(id ident.Roll) (roll.Roll, bool) { return s.books.rolls.get(string(id)) }

// Inbound returns an expected delivery.
func (s *Snapshot) InboundOf(id string) (roll.Inbound, bool) { return s.books.inbound.get(id) }

// Grade returns a board grade of the plant.
func (s *Snapshot) Grade(code ident.Grade) (board.Grade, bool) {
	g, ok := s.plant.grades[code]
	return g, ok
}

// Paper returns a paper of the plant.
func (s *Snapshot) Paper(code ident.Paper) (board.Paper, bool) {
	p, ok := s.plant.papers[code]
	return p, ok
}

// Flute returns a flute of the plant.
func (s *Snapshot) Flute(code ident.Flute) (board.Flute, bool) {
	f, ok := s.plant.flutes[code]
	return f, ok
}

// Machine returns a converting machine of the plant.
func (s *Snapshot) Machine(code ident.Machine) (convert.Machine, bool) {
	m, ok := s.plant.machines[code]
	return m, ok
}

// Pallet returns a pallet of the plant.
func (s *Snapshot) Pallet(code ident.Pallet) (load.Pallet, bool) {
	p, ok := s.plant.pallets[code]
	return p, ok
}

// Zone returns the plant's time zone, UTC where none is stated.
func (s *Snapshot) Zone() *time.Location { return s.zone }

// Version returns the version of an entry for an optimistic edit, 0 if there is none.
func (s *Snapshot) Version(kind Kind, key string) int {
	switch kind {
	case KindPlant:
		return s.books.plants.versions[key]
	case KindCustomer:
		return s.books.customers.versions[key]
	case KindItem:
		return s.books.items.versions[key]
	case KindLine:
		return s.books.lines.versions[key]
	case KindRoll:
		return s.books.rolls.versions[key]
	case KindInbound:
		return s.books.inbound.versions[key]
	}
	return 0
}

// shelves keeps the newest snapshot.
type shelves struct {
	mu   sync.Mutex // held while loading: one load serves all who wait
	last *Snapshot
}

// Snapshot returns the book at its newest revision. It decodes only what has
// changed since the last call.
func (d *Desk) Snapshot(ctx context.Context) (*Snapshot, error) {
	d.shelves.mu.Lock()
	defer d.shelves.mu.Unlock()
	now, err := d.Store.Revision(ctx)
	if err != nil {
		return nil, fmt.Errorf("snapshot: %w", err)
	}
	last := d.shelves.last
	if last != nil && last.Revision == now {
		return last, nil
	}
	if last == nil {
		last = &Snapshot{books: newBooks()}
	}
	next, err := d.advance(ctx, last)
	if err != nil {
		return nil, fmt.Errorf("snapshot: %w", err)
	}
	d.shelves.last = next
	return next, nil
}

func (d *Desk) advance(ctx context.Context, last *Snapshot) (*Snapshot, error) {
	edit := last.books.edit()
	touched := map[ident.Release]bool{}
	var facts []trace.Fact
	since := d.Clock().Add(-closedStay)
	revision, err := d.Store.Load(ctx, last.Revision, since, Visitor{
		Entry:   edit.take,
		Touched: func(r ident.Release) { touched[r] = true },
		Fact:    func(f trace.Fact) error { facts = append(facts, f); return nil },
	})
	if err != nil {
		return nil, err
	}
	next := &Snapshot{Revision: revision, books: edit.finish()}
	next.Book = next.books.book()
	next.Stated = len(next.books.plants.list) > 0
	next.plant = last.plant
	if next.books.plants != last.books.plants {
		next.plant = indexPlant(next.Plant)
	}
	next.zone = zoneOf(next.Plant.Calendar.Zone)
	next.Done = foldDone(last.Done, touched, facts, next)
	return next, nil
}

// foldDone returns the quantities of before with those of the touched lines folded anew.
func foldDone(before map[ident.Release]trace.Quantities, touched map[ident.Release]bool,
	facts []trace.Fact, s *Snapshot) map[ident.Release]trace.Quantities {
	done := make(map[ident.Release]trace.Quantities, len(before)+len(touched))
	for r, q := range before {
		if _, there := s.Line(r); there && !touched[r] {
			done[r] = q
		}
	}
	for r, q := range trace.FoldAlong(facts, s.way) {
		if _, there := s.Line(r); there && touched[r] {
			done[r] = q
		}
	}
	return done
}

// way tells the fold which machines of a line's agreed route come before the last.
func (s *Snapshot) way(r ident.Release) trace.Way {
	l, ok := s.Line(r)
	if !ok {
		return trace.Way{}
	}
	i, ok := s.Item(l.Item)
	if !ok {
		return trace.Way{}
	}
	w := trace.Way{PerSheet: i.PiecesPerSheet}
	if n := len(i.Route); n > 1 {
		w.Before = i.Route[:n-1]
	}
	return w
}

func zoneOf(name string) *time.Location {
	if z, err := time.LoadLocation(name); err == nil {
		return z
	}
	return time.UTC
}
