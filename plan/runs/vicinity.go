package runs

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// vicinityMost is how many orders a vicinity holds at most beside those it is
// made for: so few are planned to the end in a moment.
const vicinityMost = 6

// Vicinity is a part of a plan that is planned anew while the rest stands: some
// orders, and those that share runs with them or could.
type Vicinity struct {
	Orders []string // in the problem's sequence
	open   []Run
	kept   []Run // in the plan's sequence, the problem's frozen runs first
}

// Vicinity returns the part of a plan around some orders: their own runs, and
// of the boards they may run on the runs that trim most. Frozen runs, and those
// with an order of a pinned run, stay.
func (p Problem) Vicinity(a Answer, targets ...string) Vicinity {
	fixed := map[string]bool{}
	for _, r := range p.Pinned {
		for _, l := range r.Lanes {
			fixed[l.Order] = true
		}
	}
	in, grades := map[string]bool{}, map[ident.Grade]bool{}
	for _, o := range p.Orders {
		if !slices.Contains(targets, o.Order) {
			continue
		}
		in[o.Order] = true
		for _, g := range p.allowed(o) {
			grades[g.Grade] = true
		}
	}
	front := min(len(p.Frozen), len(a.Runs))
	movable := func(i int) bool {
		return i >= front && !slices.ContainsFunc(a.Runs[i].Lanes, func(l Lane) bool { return fixed[l.Order] })
	}
	open := map[int]bool{}
	take := func(i int) {
		open[i] = true
		for _, l := range a.Runs[i].Lanes {
			in[l.Order] = true
		}
	}
	var near []int
	for i, r := range a.Runs {
		switch own := slices.ContainsFunc(r.Lanes, func(l Lane) bool { return slices.Contains(targets, l.Order) }); {
		case !movable(i):
		case own:
			take(i)
		case grades[r.Grade]:
			near = append(near, i)
		}
	}
	slices.SortStableFunc(near, func(x, y int) int { return cmp.Compare(wasted(a.Runs[y]), wasted(a.Runs[x])) })
	for _, i := range near {
		if more := maps.Clone(in); len(withOrders(more, a.Runs[i])) <= len(targets)+vicinityMost {
			take(i)
		}
	}
	v := Vicinity{}
	for _, o := range p.Orders {
		if in[o.Order] {
			v.Orders = append(v.Orders, o.Order)
		}
	}
	for i, r := range a.Runs {
		if open[i] {
			v.open = append(v.open, r)
		} else {
			v.kept = append(v.kept, r)
		}
	}
	return v
}

func withOrders(in map[string]bool, r Run) map[string]bool {
	for _, l := range r.Lanes {
		in[l.Order] = true
	}
	return in
}

// part is the problem of a vicinity: what the kept runs make of its orders
// counts, and what they draw is gone from the paper.
func (p Problem) part(v Vicinity) Problem {
	in := map[string]bool{}
	for _, o := range v.Orders {
		in[o] = true
	}
	q := p
	q.Frozen, q.Pinned, q.Orders, q.Apart = nil, nil, nil, nil
	for _, o := range p.Orders {
		if in[o.Order] {
			q.Orders = append(q.Orders, o)
		}
	}
	for _, pair := range p.Apart {
		if in[pair[0]] && in[pair[1]] {
			q.Apart = append(q.Apart, pair)
		}
	}
	var others []Run
	for _, r := range v.kept {
		held := r
		held.Lanes = slices.DeleteFunc(slices.Clone(r.Lanes), func(l Lane) bool { return !in[l.Order] })
		if len(held.Lanes) > 0 {
			q.Frozen = append(q.Frozen, held)
		} else {
			others = append(others, r)
		}
	}
	q.Papers = p.papersLess(others)
	return q
}

// papersLess is the paper in the house that some runs leave.
func (p Problem) papersLess(list []Run) []Stock {
	type key struct {
		paper ident.Paper
		web   quantity.Length
	}
	drawn, grades := map[key]float64{}, p.byGrade()
	for _, r := range list {
		for _, ply := range grades[r.Grade].Plies {
			drawn[key{ply.Paper, r.Web}] += float64(r.Length) * ply.draw()
		}
	}
	out := slices.Clone(p.Papers)
	for i, s := range out {
		out[i].Metres = map[quantity.Length]quantity.Distance{}
		for web, metres := range s.Metres {
			out[i].Metres[web] = max(0, metres-quantity.Distance(drawn[key{s.Paper, web}]+0.5))
		}
	}
	return out
}

// Again plans a vicinity of a plan anew under p, whose limits may be looser than
// those the plan was made for, and returns the whole plan with it and the
// vicinity's own answer, whose bound speaks of what is planned anew. Orders of p
// that the plan does not answer yet belong to the vicinity where it names them.
func (p Problem) Again(ctx context.Context, a Answer, v Vicinity, opt Options) (whole, part Answer, err error) {
	q := p.part(v)
	opt.Start = &Answer{Runs: append(slices.Clone(q.Frozen), v.open...)}
	if part, err = Solve(ctx, q, opt); err != nil {
		return Answer{}, Answer{}, err
	}
	return p.joined(a, v, part, len(q.Frozen)), part, nil
}

// joined puts what a vicinity came to back among the runs that were kept.
func (p Problem) joined(a Answer, v Vicinity, part Answer, front int) Answer {
	whole := Answer{Runs: p.placed(v.kept, part.Runs[front:]), Orders: []Made{}, Unplanned: []Unplanned{}, Unpinned: a.Unpinned}
	left := map[string]string{}
	for _, u := range a.Unplanned {
		left[u.Order] = u.Reason
	}
	for _, o := range v.Orders {
		delete(left, o)
	}
	for _, u := range part.Unplanned {
		left[u.Order] = u.Reason
	}
	for _, o := range p.Orders {
		if why, out := left[o.Order]; out {
			whole.Unplanned = append(whole.Unplanned, Unplanned{o.Order, why})
			continue
		}
		least, most := o.window()
		whole.Orders = append(whole.Orders, Made{Order: o.Order, Wanted: o.Sheets, Least: least, Most: most})
	}
	whole.Totals.Status = part.Totals.Status
	return p.retotal(whole)
}

// placed puts runs one by one at the cheapest place behind the frozen ones, the others staying as they follow each other.
func (p Problem) placed(kept, fresh []Run) []Run {
	x := &pricing{p: p, grades: p.byGrade(), orders: p.byOrder(), bare: true}
	list := slices.Clone(kept)
	front := min(len(p.Frozen), len(list))
	dearer := x.whole
	if p.Begins.IsZero() && p.Changes.AdhesiveLoss == 0 {
		dearer = x.beside
	}
	for _, r := range fresh {
		best, cost := len(list), dearer(list, r, len(list))
		for at := front; at < len(list); at++ {
			if c := dearer(list, r, at); c < cost-1e-9 {
				best, cost = at, c
			}
		}
		list = slices.Insert(list, best, r)
	}
	return list
}

// whole is what a sequence costs with a run put in.
func (x *pricing) whole(list []Run, r Run, at int) float64 {
	return x.sequenceCost(slices.Insert(slices.Clone(list), at, r))
}

// beside is how much dearer a sequence becomes by a run put in, where only
// neighbours count: no lateness, and no adhesive that runs between would pass on.
func (x *pricing) beside(list []Run, r Run, at int) float64 {
	around := slices.Clone(list[max(0, at-1):min(len(list), at+1)])
	without := x.sequenceCost(around)
	return x.sequenceCost(slices.Insert(around, min(at, 1), r)) - without
}
