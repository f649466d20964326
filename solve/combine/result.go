package combine

import (
	"cmp"
	"slices"
)

// result puts the best plan into words, with the bound of the items it makes.
func (w *work) result() Result {
	s := w.s
	best := w.nearer(w.plan())
	res := Result{Status: Stopped}
	if w.opt.Rounds > 0 && !w.stopped() {
		res.Status = RoundLimit
	}
	left := make([]bool, len(s.Items))
	for i := range s.Items {
		if best.parts[i] == 0 && s.Items[i].Least > 0 {
			left[i] = true
			res.Left = append(res.Left, i)
		}
	}
	for k := range s.Hold {
		if !slices.ContainsFunc(best.runs, func(r run) bool { return int(r.hold) == k+1 }) {
			res.Unheld = append(res.Unheld, k)
		}
	}
	for _, r := range s.whole.Front {
		r.Lanes = slices.Clone(r.Lanes)
		res.Runs = append(res.Runs, r)
	}
	sequence, changes := s.arrange(best.on)
	for _, i := range s.sorted(best, sequence) {
		res.Runs = append(res.Runs, s.worded(&best.runs[i]))
	}
	res.Cost = s.total(best) - s.changes(best.on) + changes
	for range res.Left {
		res.Cost -= s.missing
	}
	for _, p := range w.parts {
		res.Rounds += p.round
	}
	if res.Bound = w.boundOf(left); res.Cost <= res.Bound*(1+1e-9) {
		res.Status = Optimal
	}
	return res
}

// nearer is the plan of the search, or what Start became where that costs less
// once its runs are arranged: the search knows the cost of changes by an estimate only.
func (w *work) nearer(found *plan) *plan {
	if w.opt.Start == nil {
		return found
	}
	began := w.s.newPlan()
	for _, p := range w.parts {
		p.words(p.began, w.s, began)
	}
	if held(began) >= held(found) && w.arranged(began) < w.arranged(found)-1e-9 {
		return began
	}
	return found
}

// held counts a plan's runs of Hold.
func held(p *plan) int {
	n := 0
	for _, r := range p.runs {
		if r.hold > 0 {
			n++
		}
	}
	return n
}

// arranged is the cost of a plan with its runs in the sequence found for them.
func (w *work) arranged(p *plan) float64 {
	_, changes := w.s.arrange(p.on)
	return w.s.total(p) - w.s.changes(p.on) + changes
}

// boundOf is the bound of plans that make the items not left.
func (w *work) boundOf(left []bool) float64 {
	s := w.s
	sums := make([]float64, len(w.parts))
	at := map[*part]int{}
	for k, p := range w.parts {
		at[p] = k
	}
	w.each(func(p *part) {
		mine := make([]bool, len(p.items))
		for k, i := range p.items {
			mine[k] = left[i]
		}
		w.seat(func() { sums[at[p]] = max(p.proof.of(mine, w.stopped), p.floorAt(mine)) })
	})
	sum := s.fixed
	for _, v := range sums {
		sum += v
	}
	var made []int32
	for i := range left {
		if !left[i] {
			made = append(made, int32(i))
		}
	}
	v := max(0, sum+s.kindChanges(made))
	if len(w.parts) == 1 && w.parts[0].floorAt(left) > 0 {
		v = max(v, s.fixed+w.parts[0].optimum)
	}
	return v
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

// sorted lists the runs of a plan stock by stock in a sequence, the longest of a stock first.
func (s *shop) sorted(p *plan, sequence []int) []int {
	rank := make([]int, len(s.Stocks))
	for k, st := range sequence {
		rank[st] = k
	}
	list := make([]int, len(p.runs))
	for i := range list {
		list[i] = i
	}
	slices.SortStableFunc(list, func(a, b int) int {
		ra, rb := &p.runs[a], &p.runs[b]
		return cmp.Or(cmp.Compare(rank[ra.stock], rank[rb.stock]), cmp.Compare(rb.length, ra.length), cmp.Compare(ra.lanes[0].item, rb.lanes[0].item))
	})
	return list
}
