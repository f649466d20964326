package combine

import (
	"cmp"
	"slices"
)

// bound adds up the components' bounds.
func (x *search) bound() float64 {
	sum := 0.0
	var all []int32
	for _, r := range x.roots {
		sum += r.bound
		all = append(all, r.items...)
	}
	return sum + x.s.kindChanges(all)
}

// result puts the best plan into words, with the bound of the items it makes.
func (x *search) result(status Status) Result {
	s := x.s
	res := Result{Rounds: x.round, Status: status}
	left := make([]bool, len(s.Items))
	for i := range s.Items {
		if x.best.plan.parts[i] == 0 && s.Items[i].Least > 0 {
			left[i] = true
			res.Left = append(res.Left, i)
		}
	}
	for k, gone := range x.unheld {
		if gone {
			res.Unheld = append(res.Unheld, k)
		}
	}
	for _, r := range s.whole.Front {
		r.Lanes = slices.Clone(r.Lanes)
		res.Runs = append(res.Runs, r)
	}
	for _, i := range s.sorted(x.best.plan) {
		res.Runs = append(res.Runs, s.worded(&x.best.plan.runs[i]))
	}
	res.Cost = x.best.cost
	for range res.Left {
		res.Cost -= s.missing
	}
	res.Bound = x.boundOf(left)
	return res
}

// worded is a run with its lanes on levels.
func (s *shop) worded(r *run) Run {
	out := Run{Stock: int(r.stock), Length: r.length}
	level := make([]int, len(r.lanes))
	s.levels(r.lanes, level)
	for k, l := range r.lanes {
		out.Lanes = append(out.Lanes, Lane{int(l.item), int(l.outs), level[k]})
	}
	slices.SortStableFunc(out.Lanes, func(a, b Lane) int { return a.Level - b.Level })
	return out
}

// sorted lists the runs of a plan kind by kind as changes has them, wide to
// narrow, long to short.
func (s *shop) sorted(p *plan) []int {
	rank := make([]int, len(s.byKind))
	for k, kind := range s.order() {
		rank[kind] = k
	}
	list := make([]int, len(p.runs))
	for i := range list {
		list[i] = i
	}
	slices.SortStableFunc(list, func(a, b int) int {
		ra, rb := &p.runs[a], &p.runs[b]
		sa, sb := &s.Stocks[ra.stock], &s.Stocks[rb.stock]
		return cmp.Or(cmp.Compare(rank[sa.Kind], rank[sb.Kind]), cmp.Compare(sb.Width, sa.Width),
			cmp.Compare(rb.length, ra.length), cmp.Compare(ra.lanes[0].item, rb.lanes[0].item))
	})
	return list
}

// boundOf is the bound of plans that make the items not left.
func (x *search) boundOf(left []bool) float64 {
	s := x.s
	sum := 0.0
	var all []int32
	l := &lister{s: s}
	for _, r := range x.roots {
		gone := false
		for _, i := range r.items {
			if gone = gone || left[i]; !left[i] {
				all = append(all, i)
			}
		}
		if gone {
			r = r.without(left)
			walked := 0
			for k := 0; len(r.items) > 0 && k < 200 && (walked < patience || !x.stopped()); k++ {
				more := r.round(l, func() bool {
					return x.stopped() && walked+l.nodes > patience || !l.pairs && l.prune != nil && l.nodes > mostPriced
				})
				if walked += l.nodes; !more {
					break
				}
			}
		}
		sum += r.bound
	}
	return max(0, s.fixed+sum+s.kindChanges(all))
}
