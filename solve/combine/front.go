package combine

import (
	"math"
	"slices"
)

// front sets the problem up as its front leaves it: less wanted, fewer parts,
// less of each resource. From then on the front is a constant.
func (s *shop) front(p *Problem) {
	left := *p
	left.Items, left.Limits = slices.Clone(p.Items), slices.Clone(p.Limits)
	s.Problem = &left
	s.parts, s.begun = make([]int32, len(p.Items)), make([]bool, len(p.Items))
	for i := range p.Items {
		s.parts[i] = math.MaxInt32
		if p.Items[i].Parts > 0 {
			s.parts[i] = int32(p.Items[i].Parts)
		}
	}
	for k := range p.Front {
		r := &p.Front[k]
		area := 0.0
		for _, l := range r.Lanes {
			it := &left.Items[l.Item]
			g := p.good(l.Item, l.Outs, r.Length)
			it.Least, it.Want, it.Most = it.Least-g, it.Want-g, it.Most-g
			area += float64(g) * float64(it.Width) * float64(it.Length)
			if s.begun[l.Item] {
				s.fixed += it.Split
			}
			s.begun[l.Item] = true
			if it.Parts > 0 {
				s.parts[l.Item]--
			}
		}
		for _, d := range p.Stocks[r.Stock].Draws {
			left.Limits[d.Resource] -= d.PerLength * float64(r.Length)
		}
		s.fixed += p.runCost(r.Stock, r.Length, area)
		if s.last >= 0 {
			s.fixed += s.change(&p.Stocks[s.last], &p.Stocks[r.Stock])
		}
		s.last = r.Stock
	}
	for i := range left.Items {
		it := &left.Items[i]
		if it.Most <= 0 { // nothing more may be made of an item that is full
			s.parts[i] = 0
		}
		if it.Want < 0 {
			s.fixed -= it.Over * float64(it.Want)
		}
		it.Least, it.Want, it.Most = max(it.Least, 0), max(it.Want, 0), max(it.Most, 0)
	}
	for k := range left.Limits {
		left.Limits[k] = max(left.Limits[k], 0)
	}
}

// parted reports whether an item must not stand beside one of the lanes.
func (s *shop) parted(lanes []lane, i int32) bool {
	for _, l := range lanes {
		if slices.Contains(s.apart[i], l.item) {
			return true
		}
	}
	return false
}
