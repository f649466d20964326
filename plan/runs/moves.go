package runs

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// same reports whether two runs are one and the same set-up and length.
func same(a, b Run) bool {
	if a.Grade != b.Grade || a.Web != b.Web || a.Length != b.Length || len(a.Lanes) != len(b.Lanes) {
		return false
	}
	for _, l := range a.Lanes {
		if !slices.ContainsFunc(b.Lanes, func(m Lane) bool { return l.Order == m.Order && l.Outs == m.Outs }) {
			return false
		}
	}
	return true
}

// kept counts the runs of a plan that another holds as well.
func kept(list, before []Run) int {
	n, taken := 0, make([]bool, len(before))
	for _, r := range list {
		for k, b := range before {
			if !taken[k] && same(r, b) {
				taken[k] = true
				n++
				break
			}
		}
	}
	return n
}

// likeBefore puts runs that stood before into the sequence they had, and each
// other run into its cheapest place among them; the answer's own sequence stays
// where that is cheaper and no run stood before.
func (p Problem) likeBefore(a Answer, before []Run) Answer {
	front := len(p.Frozen)
	taken := make([]bool, len(a.Runs))
	order := []int{}
	for i := range a.Runs[:front] {
		order, taken[i] = append(order, i), true
	}
	for _, b := range before {
		for i := front; i < len(a.Runs); i++ {
			if !taken[i] && same(a.Runs[i], b) {
				order, taken[i] = append(order, i), true
				break
			}
		}
	}
	if len(order) == front {
		return a
	}
	x := &pricing{p: p, grades: p.byGrade(), orders: p.byOrder(), bare: true}
	list := func(order []int) []Run {
		out := make([]Run, len(order))
		for k, i := range order {
			out[k] = a.Runs[i]
		}
		return out
	}
	for i := range a.Runs {
		if !taken[i] {
			order = slices.Insert(order, p.cheapestPlace(x, list(order), a.Runs[i]), i)
		}
	}
	return Resequence(p, a, order)
}

// cheapestPlace of a run behind the frozen ones of a list: by the exact cost of
// the sequence, or by the two changes alone where a list is long.
func (p Problem) cheapestPlace(x *pricing, list []Run, r Run) int {
	best, at := 0.0, -1
	for k := len(p.Frozen); k <= len(list); k++ {
		c := 0.0
		if len(list) <= descendMost {
			c = x.sequenceCost(slices.Insert(slices.Clone(list), k, r))
		} else {
			if k > 0 {
				c += x.pair(list[k-1], r)
			}
			if k < len(list) {
				c += x.pair(r, list[k])
			}
			if k > 0 && k < len(list) {
				c -= x.pair(list[k-1], list[k])
			}
		}
		if at < 0 || c < best-1e-9 {
			best, at = c, k
		}
	}
	return at
}

// stands says where each order stands in a plan.
func (p Problem) stands(a Answer) map[string]Stand {
	grades := p.byGrade()
	out := map[string]Stand{}
	for _, r := range a.Runs {
		for _, l := range r.Lanes {
			s := out[l.Order]
			s.Runs = append(s.Runs, r.Seq)
			s.Length += r.Length
			s.Minutes += quantity.Minutes(p.minutes(grades[r.Grade], r.Length))
			s.Sheets += l.Sheets
			out[l.Order] = s
		}
	}
	return out
}

// moves lists the orders whose length, sheets or number of runs differ, and those that came or went.
func (p Problem) moves(was, is map[string]Stand) []Move {
	var names []string
	for _, o := range p.Orders {
		names = append(names, o.Order)
	}
	for _, name := range sortedKeys(was) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	out := []Move{}
	for _, name := range names {
		a, b := was[name], is[name]
		if a.Length != b.Length || a.Sheets != b.Sheets || len(a.Runs) != len(b.Runs) {
			if a.Runs == nil {
				a.Runs = []int{}
			}
			if b.Runs == nil {
				b.Runs = []int{}
			}
			out = append(out, Move{name, a, b})
		}
	}
	return out
}
