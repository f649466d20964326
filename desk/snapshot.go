package desk

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

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
// What facts hold is on hold in Lines and Rolls, on which plans are made, and
// Rolls are as facts left them; Line and Roll return what people stated, which is what an edit starts from.
type Snapshot struct {
	plant.Book
	Revision int64
	Stated   bool        // a plant has been stated
	Holds    trace.Holds // by facts
	state    trace.State
	books    books
	plant    plantIndex
	zone     *time.Location
	goods    goodsOnce
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
	var touched []trace.Subject
	var facts []trace.Fact
	next := &Snapshot{}
	since := d.Clock().Add(-closedStay)
	revision, err := d.Store.Load(ctx, last.Revision, since, Visitor{
		Entry:   edit.take,
		Also:    func() []trace.Subject { next.rebook(edit, last); return next.rerouted(last) },
		Touched: func(t trace.Subject) { touched = append(touched, t) },
		Fact:    func(f trace.Fact) error { facts = append(facts, f); return nil },
	})
	if err != nil {
		return nil, err
	}
	next.Revision = revision
	if last.Revision == 0 {
		next.rebook(edit, last)
		next.state = trace.StateOf(facts, next.way)
	} else {
		next.state = last.state.With(touched, facts, next.way)
	}
	next.Holds = next.state.Holds
	next.fill()
	next.holdBack()
	return next, nil
}

// rebook takes the books as edited.
func (s *Snapshot) rebook(edit *booksEdit, last *Snapshot) {
	s.books = edit.finish()
	s.Book = s.books.book()
	s.Stated = len(s.books.plants.list) > 0
	s.plant = last.plant
	if s.books.plants != last.books.plants {
		s.plant = indexPlant(s.Plant)
	}
	s.zone = zoneOf(s.Plant.Calendar.Zone)
}

// rerouted are the releases with an account whose way through the machines is
// another than it was, so that their facts must be read anew.
func (s *Snapshot) rerouted(last *Snapshot) []trace.Subject {
	if s.books.items == last.books.items && s.books.plants == last.books.plants {
		return nil
	}
	var out []trace.Subject
	for r := range last.state.Accounts {
		if !s.way(r).Equal(last.way(r)) {
			out = append(out, trace.Subject{Release: r})
		}
	}
	return out
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

func zoneOf(name string) *time.Location {
	if z, err := time.LoadLocation(name); err == nil {
		return z
	}
	return time.UTC
}
