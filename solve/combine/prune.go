package combine

import (
	"math"
	"slices"
)

// pruner cuts off lanes that no further lanes can make worth more than they
// cost under given duals. It fills what is left of the width with items by value
// alone: as many as may still join, and no other limit. That is never too little,
// so no pattern worth more than floor times its cost is missed.
type pruner struct {
	s     *shop
	value []float64 // of a unit of length of one strip of each item
	floor float64
	kind  int
	fill  [][]float64 // greatest value by width and number of items; the last row may be for any number
	grain float64
}

const (
	grains     = 1024 // steps of width in the table
	fillCounts = 3    // more items than this share the row of any number
)

// prepare fills the table for the items of a kind, and puts the dearest by width first.
func (p *pruner) prepare(kind int, items []int32) {
	s := p.s
	p.kind, p.grain = kind, float64(s.widest[kind])/grains
	slices.SortStableFunc(items, func(a, b int32) int {
		switch x, y := p.value[a]/float64(s.Items[a].Width), p.value[b]/float64(s.Items[b].Width); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	more := s.Line.Orders - 1
	rows := min(more, fillCounts)
	if more > fillCounts {
		rows++
	}
	p.fill = p.fill[:0]
	p.fill = append(p.fill, make([]float64, grains+1))
	for d := 1; d <= rows; d++ {
		to := slices.Clone(p.fill[d-1])
		from := p.fill[d-1]
		if d > fillCounts {
			from = to
		}
		p.join(items, from, to)
		p.fill = append(p.fill, to)
	}
}

// join improves to by one more item on from. Widths are rounded down, in favour of the value.
func (p *pruner) join(items []int32, from, to []float64) {
	s := p.s
	for g := range to {
		if g > 0 {
			to[g] = math.Max(to[g], to[g-1])
		}
		for _, i := range items {
			top := s.mostOuts(i, p.kind)
			for a := int32(1); a <= top; a++ {
				w := int(float64(s.Items[i].Width) * float64(a) / p.grain)
				if w > g {
					break
				}
				if w == 0 && &from[0] == &to[0] { // a strip narrower than a step, any number of times
					to[g] = math.Inf(1)
					break
				}
				to[g] = math.Max(to[g], from[g-w]+p.value[i]*float64(a))
			}
		}
	}
}

// worth is the value of lanes, rejects not counted.
func (p *pruner) worth(lanes []lane) float64 {
	v := 0.0
	for _, l := range lanes {
		v += p.value[l.item] * float64(l.outs)
	}
	return v
}

// rate is the least cost of a unit of length of a stock.
func (p *pruner) rate(st *Stock) float64 {
	return (float64(st.Width)*(st.Price-st.Credit) + st.Rate) * p.s.unit
}

// alone reports whether these lanes by themselves can be worth more than floor times the cost of a stock.
func (p *pruner) alone(lanes []lane, used int64) bool {
	v := p.worth(lanes)
	for _, k := range p.s.byKind[p.kind] {
		st := &p.s.Stocks[k]
		trim := st.Width - used
		if trim > p.s.Line.TrimMost {
			break
		}
		if trim >= p.s.Line.TrimLeast && v > p.floor*p.rate(st) { // a wider one may be the cheaper, or the only one allowed
			return true
		}
	}
	return false
}

// ceiling is at least the greatest ratio of value to cost of any pattern of the items prepared last.
func (p *pruner) ceiling(items []int32) float64 {
	last := p.fill[len(p.fill)-1]
	if p.s.Line.Orders-1 <= fillCounts {
		to := slices.Clone(last)
		p.join(items, last, to)
		last = to
	}
	top := 0.0
	for _, k := range p.s.byKind[p.kind] {
		st := &p.s.Stocks[k]
		if rest := st.Width - p.s.Line.TrimLeast; rest > 0 {
			top = max(top, last[min(grains, int(float64(rest)/p.grain)+1)]/p.rate(st))
		}
	}
	return top
}

// pays reports whether more lanes beside these can be worth more than floor times the cost of a stock.
func (p *pruner) pays(lanes []lane, used int64) bool {
	s := p.s
	v := p.worth(lanes)
	fill := p.fill[min(s.Line.Orders-len(lanes), len(p.fill)-1)]
	for _, k := range s.byKind[p.kind] {
		st := &s.Stocks[k]
		rest := st.Width - s.Line.TrimLeast - used
		if rest <= 0 {
			continue
		}
		if v+fill[min(grains, int(float64(rest)/p.grain)+1)] > p.floor*p.rate(st) {
			return true
		}
	}
	return false
}
