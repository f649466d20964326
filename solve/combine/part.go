package combine

import (
	"math"
	"slices"
	"sync/atomic"
)

// part is a component of the problem: items that share a kind, a resource that
// may run out, or another item that shares one. Parts are planned apart.
type part struct {
	s     *shop
	items []int32 // in the whole problem
	hold  []int   // in the whole problem
	a, b  *search
	best  *plan
	began *plan // what Start became; nil without
	cost  float64
	round int
	proof *proof
	pace  *pace
	bound atomic.Uint64 // of the proof, as bits

	floorOf []bool  // items left by the plans that floor speaks of; nil before an exact search
	floor   float64 // no such plan costs less, what is left and changes not counted
	optimum float64 // nor with the changes between its own runs less than this; 0: not known
}

// lower is the bound of the part.
func (p *part) lower() float64 { return math.Float64frombits(p.bound.Load()) }

func bits(v float64) uint64 { return math.Float64bits(max(v, 0)) }

// split makes the parts. Runs of Hold whose items lie in different parts are in none.
func (s *shop) split() []*part {
	group := s.components()
	at := map[int32]*part{}
	var list []*part
	place := make([]int32, len(s.Items)) // of an item within its part
	for i, g := range group {
		p := at[g]
		if p == nil {
			p = &part{pace: newPace()}
			at[g] = p
			list = append(list, p)
		}
		place[i] = int32(len(p.items))
		p.items = append(p.items, int32(i))
	}
	for _, p := range list {
		sub := Problem{Line: s.Line, Stocks: s.Stocks, Limits: s.Limits}
		for _, i := range p.items {
			sub.Items = append(sub.Items, s.Items[i])
		}
		for _, a := range s.Apart {
			if group[a[0]] == group[p.items[0]] && group[a[1]] == group[p.items[0]] {
				sub.Apart = append(sub.Apart, [2]int{int(place[a[0]]), int(place[a[1]])})
			}
		}
		for k, h := range s.Hold {
			if mine := slices.ContainsFunc(h.Lanes, func(l Lane) bool { return group[l.Item] != group[p.items[0]] }); mine || len(h.Lanes) == 0 {
				continue
			}
			h.Lanes = slices.Clone(h.Lanes)
			for q := range h.Lanes {
				h.Lanes[q].Item = int(place[h.Lanes[q].Item])
			}
			sub.Hold = append(sub.Hold, h)
			p.hold = append(p.hold, k)
		}
		p.s = prepare(&sub)
		for q, i := range p.items {
			p.s.parts[q], p.s.begun[q] = s.parts[i], s.begun[i]
		}
		if len(list) == 1 {
			p.s.last = s.last
		}
	}
	return list
}

// components gives items that belong together the same number.
func (s *shop) components() []int32 {
	part := make([]int32, len(s.Items))
	for i := range part {
		part[i] = int32(i)
	}
	find := func(i int32) int32 {
		for part[i] != i {
			part[i] = part[part[i]]
			i = part[i]
		}
		return i
	}
	first := make([]int32, len(s.Limits)) // 1 + an item that may draw on the resource
	join := func(a, b int32) {
		a, b = find(a), find(b)
		part[max(a, b)] = min(a, b)
	}
	for k, list := range s.kindOf {
		for _, i := range list {
			join(list[0], i)
			for _, st := range s.byKind[k] {
				for _, d := range s.Stocks[st].Draws {
					if !s.scarce[d.Resource] {
						continue
					}
					if first[d.Resource] == 0 {
						first[d.Resource] = 1 + i
					}
					join(first[d.Resource]-1, i)
				}
			}
		}
	}
	for i := range part {
		part[i] = find(int32(i))
	}
	return part
}

// words puts a plan of the part into the plan of the whole.
func (p *part) words(own *plan, whole *shop, to *plan) {
	for _, r := range own.runs {
		out := run{stock: r.stock, length: r.length}
		for _, l := range r.lanes {
			out.lanes = append(out.lanes, lane{p.items[l.item], l.outs})
		}
		if r.hold > 0 {
			out.hold = 1 + int32(p.hold[r.hold-1])
		}
		to.add(whole, out)
	}
}
