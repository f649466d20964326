package desk

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
)

// Deps is what a desk needs of the outside. Store, Clock and Worker must be
// given; without Orders, Tables or Make the use cases that need them fail.
type Deps struct {
	Store  Store
	Clock  func() time.Time
	Worker Worker
	Orders OrderReader
	Tables TableReader
	Make   func(context.Context, plant.Book, plan.Options) (*plan.Plan, error)
	Check  func(plant.Book, *plan.Plan) error // every plan must pass it before it is kept; must be given with Make
	Log    *slog.Logger                       // nil: silent
}

// Desk is the door to all use cases. It is safe for use by many goroutines.
type Desk struct {
	Deps
	shelves shelves
	plans   planCache
	live    livePlans
	asked   asked
	webs    websKept

	explained explanations
}

// New returns a desk on its dependencies.
func New(d Deps) (*Desk, error) {
	switch {
	case d.Store == nil:
		return nil, errors.New("desk: no store")
	case d.Clock == nil:
		return nil, errors.New("desk: no clock")
	case d.Worker == nil:
		return nil, errors.New("desk: no worker")
	case d.Make != nil && d.Check == nil:
		return nil, errors.New("desk: a planner without its check")
	}
	if d.Log == nil {
		d.Log = slog.New(slog.DiscardHandler)
	}
	return &Desk{Deps: d, live: newLivePlans()}, nil
}

// Now returns the desk's time: the wall clock, or the demo's own.
func (d *Desk) Now() time.Time { return d.Clock() }
