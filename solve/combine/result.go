package combine

import "slices"

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
		if x.best.plan.parts[i] == 0 && s.Items[i].Want > 0 {
			left[i] = true
			res.Left = append(res.Left, i)
		}
	}
	for i := range x.best.plan.runs {
		r := &x.best.plan.runs[i]
		out := Run{Stock: int(r.stock), Length: r.length}
		level := make([]int, len(r.lanes))
		s.levels(r.lanes, level)
		for k, l := range r.lanes {
			out.Lanes = append(out.Lanes, Lane{int(l.item), int(l.outs), level[k]})
		}
		slices.SortStableFunc(out.Lanes, func(a, b Lane) int { return a.Level - b.Level })
		res.Runs = append(res.Runs, out)
	}
	res.Cost = x.best.cost
	for range res.Left {
		res.Cost -= s.missing
	}
	res.Bound = x.boundOf(left)
	return res
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
	return max(0, sum+s.kindChanges(all))
}
