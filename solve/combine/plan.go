package combine

import "slices"

// run is one set-up and its length. Lanes are shared between plans and never changed.
type run struct {
	stock  int32
	length int64
	lanes  []lane
	hold   int32 // 1 + its place in Problem.Hold; 0: free
	owner  owner // while two searches share a plan
}

func (s *shop) cost(r *run) float64 {
	area := 0.0
	for _, l := range r.lanes {
		it := &s.Items[l.item]
		area += float64(s.good(int(l.item), int(l.outs), r.length)) * float64(it.Width) * float64(it.Length)
	}
	return s.runCost(int(r.stock), r.length, area)
}

// plan is a set of runs with its sums.
type plan struct {
	runs    []run
	made    []int64
	parts   []int32
	on      []int32 // runs on each stock
	runCost float64 // cost of the runs
}

func (s *shop) newPlan() *plan {
	return &plan{made: make([]int64, len(s.Items)), parts: make([]int32, len(s.Items)), on: make([]int32, len(s.Stocks))}
}

func (p *plan) copyFrom(o *plan) {
	p.runs = append(p.runs[:0], o.runs...)
	copy(p.made, o.made)
	copy(p.parts, o.parts)
	copy(p.on, o.on)
	p.runCost = o.runCost
}

func (p *plan) count(s *shop, r *run, sign int64) {
	for _, l := range r.lanes {
		p.made[l.item] += sign * s.good(int(l.item), int(l.outs), r.length)
		p.parts[l.item] += int32(sign)
	}
	p.on[r.stock] += int32(sign)
	p.runCost += float64(sign) * s.cost(r)
}

// relength changes the length of a run.
func (p *plan) relength(s *shop, q int, length int64) {
	r := &p.runs[q]
	p.runCost -= s.cost(r)
	for _, l := range r.lanes {
		p.made[l.item] += s.good(int(l.item), int(l.outs), length) - s.good(int(l.item), int(l.outs), r.length)
	}
	r.length = length
	p.runCost += s.cost(r)
}

func (p *plan) add(s *shop, rs ...run) {
	for i := range rs {
		p.count(s, &rs[i], 1)
	}
	p.runs = append(p.runs, rs...)
}

// remove takes out the runs marked in gone.
func (p *plan) remove(s *shop, gone []bool) {
	kept := p.runs[:0]
	for i := range p.runs {
		if gone[i] {
			p.count(s, &p.runs[i], -1)
		} else {
			kept = append(kept, p.runs[i])
		}
	}
	p.runs = kept
}

// itemCost is what an item adds: short, over, or missing.
func (s *shop) itemCost(i int, made int64, parts int32) float64 {
	it := &s.Items[i]
	if parts == 0 && it.Least > 0 {
		return s.missing
	}
	v := 0.0
	if s.begun[i] {
		parts++
	}
	if parts > 1 {
		v = it.Split * float64(parts-1)
	}
	switch {
	case made < it.Least:
		return v + s.missing
	case made < it.Want:
		return v + it.Short*float64(it.Want-made)
	}
	return v + it.Over*float64(made-it.Want)
}

// total is the cost of a plan, with s.missing for each item that it leaves out.
func (s *shop) total(p *plan) float64 {
	sum := s.fixed + p.runCost + s.changes(p.on)
	for i := range s.Items {
		sum += s.itemCost(i, p.made[i], p.parts[i])
	}
	return sum
}

// changes estimates the cost of the changes between runs: kinds in blocks, the
// widths of a block wide to narrow, blocks by price.
func (s *shop) changes(on []int32) float64 {
	if s.Line.WidthLoss == 0 && s.Line.KindLoss == 0 {
		return 0
	}
	sum := 0.0
	var last *Stock
	if s.last >= 0 {
		last = &s.Stocks[s.last]
	}
	for _, k := range s.order() {
		list := s.byKind[k]
		for at := len(list) - 1; at >= 0; at-- {
			if on[list[at]] == 0 {
				continue
			}
			st := &s.Stocks[list[at]]
			if last != nil {
				sum += s.change(last, st)
			}
			last = st
		}
	}
	return sum
}

// change is the cost of one run following another.
func (s *shop) change(a, b *Stock) float64 {
	loss := 0.0
	if a.Width != b.Width {
		loss += s.Line.WidthLoss
	}
	if a.Kind != b.Kind {
		loss += s.Line.KindLoss
	}
	return loss * float64(max(a.Width, b.Width)) * max(a.Price, b.Price)
}

// order lists the kinds by price, which keeps the dear changes few.
func (s *shop) order() []int {
	if s.kindOrder == nil {
		s.kindOrder = make([]int, len(s.byKind))
		for k := range s.kindOrder {
			s.kindOrder[k] = k
		}
		price := func(k int) float64 {
			if len(s.byKind[k]) == 0 {
				return 0
			}
			return s.Stocks[s.byKind[k][0]].Price
		}
		slices.SortStableFunc(s.kindOrder, func(a, b int) int {
			switch x, y := price(a), price(b); {
			case x < y:
				return -1
			case x > y:
				return 1
			}
			return 0
		})
	}
	return s.kindOrder
}
