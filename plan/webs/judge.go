package webs

import (
	"context"
	"runtime"
	"slices"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// stretches parts the orders by when they are due: see Problem.Together.
func (p Problem) stretches() []runs.Problem {
	whole := p.bare()
	if p.Together <= 0 {
		return []runs.Problem{whole}
	}
	var first time.Time
	for _, o := range whole.Orders {
		if !o.Due.IsZero() && (first.IsZero() || o.Due.Before(first)) {
			first = o.Due
		}
	}
	long := time.Duration(p.Together * 24 * float64(time.Hour))
	by := map[int][]runs.Order{}
	for _, o := range whole.Orders {
		k := -1
		if !o.Due.IsZero() {
			k = int(o.Due.Sub(first) / long)
		}
		by[k] = append(by[k], o)
	}
	var out []runs.Problem
	for _, k := range sortedKeys(by) {
		part := whole
		part.Orders = by[k]
		part.Apart = nil
		for _, a := range whole.Apart {
			if named(by[k], a[0]) && named(by[k], a[1]) {
				part.Apart = append(part.Apart, a)
			}
		}
		out = append(out, part)
	}
	return out
}

func sortedKeys(by map[int][]runs.Order) []int {
	var out []int
	for k := range by {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func named(list []runs.Order, name string) bool {
	return slices.ContainsFunc(list, func(o runs.Order) bool { return o.Order == name })
}

// bare is the trim problem without what speaks of one day, lateness with it.
func (p Problem) bare() runs.Problem {
	t := p.Trim
	t.Papers, t.Frozen, t.Pinned, t.BarredWebs, t.Begins = nil, nil, nil, nil, time.Time{}
	t.Orders = slices.Clone(t.Orders)
	for i := range t.Orders {
		t.Orders[i].LateCost = 0
	}
	return t
}

// on is a stretch's trim problem on one set of widths.
func (p Problem) on(part runs.Problem, set []quantity.Length) runs.Problem {
	part.Corrugator.Webs = set
	part.Grades = slices.Clone(part.Grades)
	for i, g := range part.Grades {
		if g.Webs == nil {
			continue
		}
		kept := []quantity.Length{}
		for _, w := range set {
			if slices.Contains(g.Webs, w) || !slices.Contains(p.Trim.Corrugator.Webs, w) {
				kept = append(kept, w)
			}
		}
		part.Grades[i].Webs = kept
	}
	return part
}

// relaxed is what came of one stretch.
type relaxed struct {
	legal, over runs.Relaxed // over: of the orders that legal leaves, without a most of side trim
	err         error
}

// relax solves a stretch's relaxation, and that of what it leaves with any trim.
func (s *search) relax(ctx context.Context, part runs.Problem, webs []quantity.Length) (out relaxed) {
	p := s.p.on(part, webs)
	if out.legal, out.err = runs.Relax(ctx, p); out.err != nil || len(out.legal.Left) == 0 {
		out.over.Done = true
		return out
	}
	p.Corrugator.SideTrimMax, p.Apart = nil, nil
	p.Orders = slices.DeleteFunc(slices.Clone(p.Orders), func(o runs.Order) bool { return !slices.Contains(out.legal.Left, o.Order) })
	out.over, out.err = runs.Relax(ctx, p)
	return out
}

// judge solves the relaxation of every stretch on a set, side by side, and adds
// them up in their sequence, so that the sum does not depend on the cores.
func (s *search) judge(ctx context.Context, webs []quantity.Length) (Set, error) {
	out := make([]relaxed, len(s.parts))
	seats := make(chan struct{}, runtime.GOMAXPROCS(0))
	var wait sync.WaitGroup
	for k := range s.parts {
		wait.Go(func() {
			seats <- struct{}{}
			defer func() { <-seats }()
			out[k] = s.relax(ctx, s.parts[k], webs)
		})
	}
	wait.Wait()
	set := Set{Webs: slices.Clone(webs), Keep: s.p.keeping(len(webs)), whole: true}
	for _, w := range webs {
		set.Used = append(set.Used, Used{Web: w})
	}
	for _, r := range out {
		if r.err != nil {
			return set, r.err
		}
		set.add(r)
	}
	set.Cost = set.Paper() + set.Keep
	if set.Waste = max(0, set.Waste); set.Web > 0 {
		set.WastePct = 100 * float64(set.Waste/set.Web)
	}
	return set, nil
}

// add counts a stretch.
func (s *Set) add(r relaxed) {
	s.Trim, s.OverCost = s.Trim+r.legal.Cost, s.OverCost+r.over.Cost
	s.Left = append(s.Left, r.over.Left...)
	for _, o := range r.legal.Left {
		if !slices.Contains(r.over.Left, o) {
			s.Over = append(s.Over, o)
		}
	}
	s.whole = s.whole && r.legal.Done && r.over.Done
	for k := range s.Used {
		u := &s.Used[k]
		length := r.legal.Web[u.Web] + r.over.Web[u.Web]
		u.Length += length
		s.Web += quantity.Area(u.Web.Metres() * length.Metres())
		s.Waste += quantity.Area(u.Web.Metres() * length.Metres())
	}
	s.Waste -= r.legal.Good + r.over.Good
}

// plan plans every stretch on a set within so many seconds, shared by their orders.
func (s *search) plan(set *Set, seconds float64) error {
	out := &Planned{}
	var web, good quantity.Area
	for _, part := range s.parts {
		share := seconds * float64(len(part.Orders)) / float64(len(s.p.Trim.Orders))
		a, err := runs.Solve(s.ctx, s.p.on(part, set.Webs), runs.Options{Seconds: max(share, 1e-3), Rounds: s.opt.Rounds, Seed: s.opt.Seed, Unproven: true})
		if err != nil {
			return err
		}
		out.Cost += a.Totals.Cost
		out.Unplanned, out.Runs = out.Unplanned+len(a.Unplanned), out.Runs+len(a.Runs)
		web, good = web+a.Totals.Web, good+a.Totals.Sheet
		out.Answers = append(out.Answers, a)
	}
	if web > 0 {
		out.WastePct = 100 * float64(1-good/web)
	}
	set.Plan = out
	return nil
}
