package combine

// shift moves pieces of an item from one of its runs to another while that
// saves money: a run is made shorter or longer, and another that holds the item makes
// up for it. No single length can do this, for the item would be short or too many between.
//
// Only items listed are looked at; nil: all.
func (x *search) shift(p *plan, items []int32) {
	if items == nil {
		items = x.s.all()
	}
	for left := mostPairs; x.shiftOnce(p, items, &left); {
	}
}

// mostPairs is how many pairs of runs are tried for one plan: an item may be in hundreds.
const mostPairs = 2000

// shiftOnce makes the first move that saves.
func (x *search) shiftOnce(p *plan, items []int32, left *int) bool {
	for _, i := range items {
		if p.parts[i] < 2 {
			continue
		}
		x.pair = x.pair[:0]
		for q := range p.runs {
			if holds(p.runs[q].lanes, i) && !x.stays(&p.runs[q]) {
				x.pair = append(x.pair, q)
			}
		}
		for _, a := range x.pair {
			for _, b := range x.pair {
				if b == a {
					continue
				}
				if *left--; *left < 0 {
					return false
				}
				if x.shiftPair(p, i, a, b) {
					return true
				}
			}
		}
	}
	return false
}

// stays reports whether a run keeps its length.
func (x *search) stays(r *run) bool {
	return r.hold > 0 && x.s.Hold[r.hold-1].Length > 0 || r.owner != mine
}

// shiftPair tries other lengths of run a, with what run b must then have for the item.
func (x *search) shiftPair(p *plan, i int32, a, b int) bool {
	s := x.s
	it := &s.Items[i]
	was, other := p.runs[a].length, p.runs[b].length
	before := x.costOf(p, a, b)
	var outs int64
	for _, l := range p.runs[b].lanes {
		if l.item == i {
			outs = int64(l.outs)
		}
	}
	for _, length := range s.lengthsNear(p, a, i) {
		if length == was {
			continue
		}
		x.setLength(p, a, length)
		rest := p.made[i] - s.good(int(i), int(outs), other)
		for _, goal := range [2]int64{it.Least, it.Want} {
			x.setLength(p, b, max(s.Line.RunLeast, (ceil(max(goal-rest, 1), outs)+s.Line.Rejects)*it.Length))
			if x.sound(p, a) && x.sound(p, b) && x.costOf(p, a, b) < before-1e-9 {
				return true
			}
		}
		x.setLength(p, b, other)
	}
	x.setLength(p, a, was)
	return false
}

// lengthsNear lists lengths at which a run's lanes make a cut more or less or
// finish their items, and these rounded up to whole cuts of item i.
func (s *shop) lengthsNear(p *plan, q int, i int32) []int64 {
	r := &p.runs[q]
	var out []int64
	add := func(length int64) {
		if length >= s.Line.RunLeast {
			c := s.Items[i].Length
			out = append(out, length, ceil(length, c)*c)
		}
	}
	add(s.Line.RunLeast)
	for _, l := range r.lanes {
		it := &s.Items[l.item]
		cuts := r.length / it.Length
		add((cuts - 1) * it.Length)
		add((cuts + 1) * it.Length)
		others := p.made[l.item] - s.good(int(l.item), int(l.outs), r.length)
		for _, goal := range [3]int64{it.Least, it.Want, it.Most - int64(l.outs) + 1} {
			add((ceil(max(goal-others, 1), int64(l.outs)) + s.Line.Rejects) * it.Length)
		}
	}
	return out
}

// setLength changes a run of the plan and the resources left.
func (x *search) setLength(p *plan, q int, length int64) {
	r := p.runs[q]
	for _, d := range x.s.Stocks[r.stock].Draws {
		x.need.left[d.Resource] -= d.PerLength * float64(length-r.length)
	}
	p.relength(x.s, q, length)
}

// sound reports whether a run and its items are within their limits.
func (x *search) sound(p *plan, q int) bool {
	s, r := x.s, &p.runs[q]
	for _, l := range r.lanes {
		it := &s.Items[l.item]
		if n := p.made[l.item]; n < it.Least || n > it.Most || s.good(int(l.item), int(l.outs), r.length) < 1 {
			return false
		}
	}
	for _, d := range s.Stocks[r.stock].Draws {
		if x.need.left[d.Resource] < 0 {
			return false
		}
	}
	return true
}

// costOf is the cost of two runs and of what their items have too few or too many.
func (x *search) costOf(p *plan, a, b int) float64 {
	s := x.s
	sum := s.cost(&p.runs[a]) + s.cost(&p.runs[b])
	for _, l := range p.runs[a].lanes {
		sum += s.itemCost(int(l.item), p.made[l.item], 1)
	}
	for _, l := range p.runs[b].lanes {
		if !holds(p.runs[a].lanes, l.item) {
			sum += s.itemCost(int(l.item), p.made[l.item], 1)
		}
	}
	return sum
}
