package desk

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// closedStay is how long a closed line stays in the snapshot; older ones are
// found by Desk.Line. Common practice: questions come within two weeks.
const closedStay = 14 * 24 * time.Hour

// Snapshot is the book at one revision, with Done folded from the ledger. It
// is shared and must not be changed.
//
// What facts hold is on hold in Lines and Rolls, on which plans are made; Line
// and Roll return what people stated, which is what an edit starts from.
type Snapshot struct {
	plant.Book
	Revision int64
	Stated   bool        // a plant has been stated
	Holds    trace.Holds // by facts
	books    books
	plant    plantIndex
	zone     *time.Location
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
	next.Holds = trace.HoldsOf(facts)
	next.holdBack()
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

// holdBack puts on hold what facts hold.
func (s *Snapshot) holdBack() {
	if len(s.Holds.Releases) > 0 {
		s.Lines = slices.Clone(s.Lines)
		for i, l := range s.Lines {
			if _, held := s.Holds.Releases[l.Key]; held && l.State == order.Open {
				s.Lines[i].State = order.OnHold
			}
		}
	}
	if len(s.Holds.Rolls) > 0 {
		s.Rolls = slices.Clone(s.Rolls)
		for i, r := range s.Rolls {
			if h, held := s.Holds.Rolls[r.ID]; held && !r.Hold {
				s.Rolls[i].Hold, s.Rolls[i].HoldReason = true, h.Reason
			}
		}
	}
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
