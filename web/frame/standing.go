package frame

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"sync"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/runs"
)

// Standing is the plan that a page reads, with its parts by release.
type Standing struct {
	Plan    *plan.Plan
	Head    desk.PlanHead
	Demands map[ident.Release]*plan.Demand
	Ends    map[ident.Release]*jobs.Finish
	Loads   map[ident.Release]*loads.Load
	Made    map[ident.Release]*runs.Made

	stored *plan.Plan // as it is kept
	units  quantity.Format
}

// Standing returns the plan that the request names by ?plan=, else the one in
// force on the corrugator, else the newest usable one; fault.NotFound if there
// is none.
func (f *Frame) Standing(r *http.Request) (*Standing, error) {
	if s := r.FormValue("plan"); s != "" {
		n, err := strconv.ParseInt(s, 10, 64)
		if err != nil {
			return nil, fault.NotFound
		}
		p, head, err := f.Desk.Plan(r.Context(), ident.Plan(n))
		if err != nil {
			return nil, err
		}
		return f.index(r.Context(), p, head)
	}
	return f.Current(r.Context())
}

// StandingOrNone is Standing for a page that also reads without a plan: nil
// where there is none yet. A plan that the request names must be there.
func (f *Frame) StandingOrNone(r *http.Request) (*Standing, error) {
	if r.FormValue("plan") != "" {
		return f.Standing(r)
	}
	return Maybe(f.Current(r.Context()))
}

// Current returns the plan that holds now: fault.NotFound if there is none.
func (f *Frame) Current(ctx context.Context) (*Standing, error) {
	p, head, err := f.Desk.Current(ctx)
	if err != nil {
		return nil, err
	}
	return f.index(ctx, p, head)
}

// index returns a plan's parts by release, its sentences in the plant's units.
func (f *Frame) index(ctx context.Context, p *plan.Plan, head desk.PlanHead) (*Standing, error) {
	snap, err := f.Desk.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	return index(p, head, FiguresOf(snap).Format, func(code ident.Item) string {
		i, _ := snap.Item(code)
		return i.Description
	}), nil
}

// Maybe returns nil in place of fault.NotFound: a page that also reads without a plan.
func Maybe(s *Standing, err error) (*Standing, error) {
	if errors.Is(err, fault.NotFound) {
		return nil, nil
	}
	return s, err
}

// indexed keeps the newest few plans' indexes; a plan never changes.
var indexed struct {
	sync.Mutex
	plans []*Standing
}

func index(stored *plan.Plan, head desk.PlanHead, units quantity.Format, description func(ident.Item) string) *Standing {
	indexed.Lock()
	defer indexed.Unlock()
	for _, s := range indexed.plans {
		if s.stored == stored && s.units == units {
			return s
		}
	}
	p := plan.Worded(stored, units, description)
	s := &Standing{
		stored: stored, units: units,
		Plan: p, Head: head,
		Demands: make(map[ident.Release]*plan.Demand, len(p.Demands)),
		Ends:    make(map[ident.Release]*jobs.Finish, len(p.Clock.Finishes)),
		Loads:   make(map[ident.Release]*loads.Load, len(p.Loads)),
		Made:    make(map[ident.Release]*runs.Made, len(p.Orders)),
	}
	for i := range p.Demands {
		s.Demands[p.Demands[i].Release] = &p.Demands[i]
	}
	for i := range p.Clock.Finishes {
		s.Ends[p.Clock.Finishes[i].Release] = &p.Clock.Finishes[i]
	}
	for i := range p.Loads {
		s.Loads[p.Loads[i].Release] = &p.Loads[i]
	}
	for i := range p.Orders {
		if r, err := ident.ParseRelease(p.Orders[i].Order); err == nil {
			s.Made[r] = &p.Orders[i]
		}
	}
	indexed.plans = append([]*Standing{s}, indexed.plans[:min(len(indexed.plans), 3)]...)
	return s
}
