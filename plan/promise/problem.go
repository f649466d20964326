package promise

import (
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
)

// Problem is the plan in force as it stands now, and the release that is asked
// about. It is not changed.
type Problem struct {
	Clock jobs.Problem // runs still to come in sequence, all releases; PaperAt is worked out from Paper
	Jobs  []jobs.Job   // of the plan in force
	Trim  runs.Problem // the corrugator's limits, grades and every order of the runs; no Papers, no Frozen
	Ask   int          // index into Clock.Releases
	Front int          // so many runs at the front are frozen
	Going int          // so many of those are in progress: they stand whatever anybody agrees to
	Paper []Arrival    // by time; none: paper sets no limit

	Scatter Scatter // the plant's own
}

// Arrival is paper of one width that can be drawn on from a moment on.
type Arrival struct {
	Paper  ident.Paper
	Web    quantity.Length
	Metres quantity.Distance // 0: as much as is called off
	At     time.Time         // zero: in the house
	From   string            // delivery or supplier, for the words
}

// Scatter is how long runs and jobs have really taken, by what they were
// planned to take: 1.1 is a tenth longer. Stops in them are part of it.
type Scatter struct {
	Corrugator []float64
	Machines   map[ident.Machine][]float64
}

// Options for Solve; the zero value works.
type Options struct {
	Seed   uint64
	Tries  int // plans worked through; 0: 24
	Trials int // of the chance; 0: 2,000, negative: none
}

const (
	defaultTries  = 24
	defaultTrials = 2000
)

// ask is the release that is asked about.
func (p Problem) ask() jobs.Release { return p.Clock.Releases[p.Ask] }

// order is its order on the corrugator; none: it needs no sheets.
func (p Problem) order() (runs.Order, bool) {
	i := slices.IndexFunc(p.Trim.Orders, func(o runs.Order) bool { return o.Order == p.ask().Key.String() })
	if i < 0 {
		return runs.Order{}, false
	}
	return p.Trim.Orders[i], true
}

// Validate returns every violation of the problem.
func (p Problem) Validate() error {
	var vs fault.Violations
	vs.Require(p.Ask >= 0 && p.Ask < len(p.Clock.Releases), "ask", fmt.Sprint(p.Ask), "must be a release of the problem")
	vs.Require(p.Going >= 0 && p.Going <= p.Front && p.Front <= len(p.Clock.Runs), "front", fmt.Sprint(p.Front), "must be runs of the plan, those in progress first")
	known := map[string]bool{}
	for _, o := range p.Trim.Orders {
		known[o.Order] = true
	}
	for i, r := range p.Clock.Runs {
		for _, l := range r.Lanes {
			vs.Require(known[l.Order], fmt.Sprintf("runs[%d]", i), l.Order, "must be an order of the trim problem")
		}
	}
	for i := range p.Paper {
		vs.Require(i == 0 || !p.Paper[i].At.Before(p.Paper[i-1].At), fmt.Sprintf("paper[%d]", i), "", "must be sorted by time")
	}
	return vs.Err()
}
