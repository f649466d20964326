// Package pack loads as many equal rectangles as it can onto a rectangular
// deck, each the plain way or turned by 90°: the manufacturer's pallet loading
// problem. It has never heard of a box; sizes are whole numbers of any unit.
//
// Solve first cuts the deck recursively into up to five blocks (Morabito and
// Morales 1998), then looks for what is missing up to the bound among layouts
// made of nested L-shaped pieces (Lins, Lins and Morabito 2003; Birgin,
// Morabito and Nishihara 2005), and last, on small decks, tries every layout.
// The literature is named from memory; the results are tested against
// published optima.
package pack

import (
	"context"
	"math"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
)

// Problem is a deck and the rectangle that is to be laid on it, in one unit.
type Problem struct {
	DeckX, DeckY int64
	BoxX, BoxY   int64
}

// MaxCount is the greatest count that Solve searches for. A layer of more
// rectangles is refused as input: no unit load is built that way.
const MaxCount = 5000

// Options for Solve; the zero value works. The same options give the same layout.
type Options struct {
	MaxWork    int       // steps of the deeper searches; 0: about a second's worth, negative: blocks only
	OnProgress func(int) // the count so far, called from the solving goroutine
}

// defaultWork holds a Solve to about a second on a machine of 2020.
const defaultWork = 4_000_000

// Place is one rectangle, its corner nearest the origin.
type Place struct {
	X, Y   int64
	Turned bool // BoxX runs along Y
}

// Status says why the search ended.
type Status string

const (
	Optimal   Status = "optimal"    // no layout holds more
	WorkLimit Status = "work limit" // more has not been ruled out
	Stopped   Status = "stopped"    // the context ended
)

// Result is a layer with its bound: no layout holds more than Bound.
type Result struct {
	Count   int
	Bound   int
	Optimal bool // proven
	Status  Status
	Places  []Place
}

// validate returns what is wrong with p.
func (p Problem) validate() error {
	const limit = int64(1) << 40
	var v fault.Violations
	for _, f := range []struct {
		name string
		size int64
	}{{"deck_x", p.DeckX}, {"deck_y", p.DeckY}, {"box_x", p.BoxX}, {"box_y", p.BoxY}} {
		v.Require(f.size > 0 && f.size <= limit, f.name, strconv.FormatInt(f.size, 10), "must be from 1 to 2^40")
	}
	if err := v.Err(); err != nil {
		return err
	}
	if float64(p.DeckX)/float64(p.BoxX)*float64(p.DeckY)/float64(p.BoxY) > MaxCount+1 {
		v.Add("box_x", strconv.FormatInt(p.BoxX, 10), "so small that more than "+strconv.Itoa(MaxCount)+" lie on the deck", "load bundles of them")
	}
	return v.Err()
}

// Solve returns the best layer found. A rectangle larger than the deck is no
// error: the layer is empty and proven so. Cancelling ctx is a normal end with
// the best layer so far. Bad sizes are fault.Invalid.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	if opt.MaxWork == 0 {
		opt.MaxWork = defaultWork
	}
	g := newGrid(p)
	s := &search{grid: g, ctx: ctx, budget: opt.MaxWork}
	r := Result{Bound: g.bound(g.top(g.deckX), g.top(g.deckY))}
	r.Bound = min(r.Bound, Bound(p))
	take := func(boxes []rect) {
		if len(boxes) <= r.Count {
			return
		}
		r.Count = len(boxes)
		r.Places = g.places(boxes)
		if opt.OnProgress != nil {
			opt.OnProgress(r.Count)
		}
	}
	take(s.blocks())
	if r.Count < r.Bound && opt.MaxWork > 0 && g.deckX <= math.MaxInt64/4/g.deckY { // the deeper searches reckon in areas
		s.deeper(&r, take)
	}
	r.Optimal = r.Count == r.Bound
	switch {
	case r.Optimal:
		r.Status = Optimal
	case ctx.Err() != nil:
		r.Status = Stopped
	default:
		r.Status = WorkLimit
	}
	return r, nil
}

// deeper raises the count one by one while nested L pieces reach it, then asks
// the exhaustive search whether one more can lie; if not, the count is the bound.
func (s *search) deeper(r *Result, take func([]rect)) {
	for r.Count < r.Bound {
		boxes := s.pieces(r.Count+1, s.budget)
		if boxes == nil {
			break
		}
		take(boxes)
	}
	for r.Count < r.Bound {
		boxes, done := s.exhaust(r.Count+1, s.budget/2)
		switch {
		case boxes != nil:
			take(boxes)
		case done:
			r.Bound = r.Count
		default:
			return
		}
	}
}
