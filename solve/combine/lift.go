package combine

import (
	"math"
	"slices"

	"github.com/flutewright/flutewright/solve/lp"
)

// counterOf packs the masses of the shares into ways. Where they hold less than one way, the packing's dual
// is a price of each share under which every way costs 1 or more and the point less: a counter. It is a cut of
// Gomory's group kind for one knapsack row, found by column generation, with a knapsack for the cheapest way.
// full is the mass of lanes that finish the item by themselves. It returns the counter and by how much the point
// breaks it; 0 where it does not.
func (w *ways) counterOf(full float64, least int64, most func(strand int32) int64) (counter, float64) {
	price, ok := w.pack(full)
	if !ok {
		return counter{}, 0
	}
	w.outside(price)
	w.lift(price)
	others := w.others(-1)
	unit := min(1, joined(&w.base, &others)) // what a way earns at least, by rounding below 1
	c := counter{}
	for u := 1; u < cells; u++ {
		if v := w.anyone[u]; !math.IsInf(v, 1) {
			for _, more := range w.anyone[u:] {
				v = min(v, more)
			}
			c.earned = append(c.earned, min(1, v/unit))
			c.from = append(c.from, piecesOf(u, least)+1)
		}
	}
	c.earned = append(c.earned, 1)
	held := full
	for k := range w.list {
		s := &w.list[k]
		top := piecesOf(s.own, least)
		v := c.at(top)
		if p := price[k] / unit; s.partner >= 0 && p < v-1e-9 {
			if c.links == nil {
				c.links = map[int32][]link{}
			}
			c.links[s.partner] = append(c.links[s.partner], link{top, ceil(int64(s.theirs)*most(s.partner), cells), p})
			v = p
		}
		held += v * s.mass
	}
	return c, 1 - held
}

// pack finds the prices of the shares; false where the masses hold a way.
func (w *ways) pack(full float64) ([]float64, bool) {
	n := len(w.list)
	if n == 0 || full >= 1-1e-6 {
		return nil, false
	}
	var p lp.Simplex
	lo, hi := make([]float64, n), make([]float64, n)
	for k := range w.list {
		lo[k], hi[k] = math.Inf(-1), w.list[k].mass
	}
	p.Reset(lo, hi)
	price, number := make([]float64, n), make([]int, n)
	v := 0.0
	for range 300 {
		if p.Solve(packing) != lp.Optimal {
			return nil, false
		}
		if full-p.Objective() >= 1-breaks { // what is packed so far is enough
			return nil, false
		}
		for k := range price {
			price[k] = max(0, -p.Dual(k))
		}
		w.settle(price)
		clear(number)
		if v = w.cheapest(number); v >= 1-1e-7 {
			break
		}
		var rows []int32
		var coef []float64
		for k, c := range number {
			if c > 0 {
				rows, coef = append(rows, int32(k)), append(coef, float64(c))
			}
		}
		p.Add(-1, 0, math.Inf(1), rows, coef)
	}
	if v < 1e-6 {
		return nil, false
	}
	for k := range price {
		price[k] = min(1, price[k]/min(v, 1))
	}
	w.settle(price)
	return price, true
}

// packing is the number of exchanges after which a packing is given up: masses
// near the programme's tolerances may take turns for ever.
const packing = 2000

// others joins the choices of all groups but one; -1 for all.
func (w *ways) others(but int) (to [cells + 1]float64) {
	for r := 1; r <= cells; r++ {
		to[r] = math.Inf(1)
	}
	for g := range w.groups {
		if g != but {
			to = join(&to, &w.groups[g].price)
		}
	}
	return to
}

// outside sets what lanes beside anyone earn, by cells: as little as any way with them allows. Where no share
// has a partner, that is what the shares cost.
func (w *ways) outside(price []float64) {
	if len(w.groups) == 0 {
		for k := range w.list {
			w.anyone[w.list[k].own] = price[k]
		}
		w.free = nil
		w.settleBase(price)
		return
	}
	var levels []int
	for k := range w.list {
		levels = append(levels, w.list[k].own)
	}
	slices.Sort(levels)
	others := w.others(-1)
	for _, u := range slices.Compact(levels) {
		best := join(&w.base, &others)
		v := 1 - best[max(0, cells-u)]
		for k := 2; (k-1)*u < cells; k++ {
			v = max(v, (1-best[max(0, cells-k*u)])/float64(k))
		}
		w.anyone[u] = min(1, max(0, v))
		w.settleBase(price)
	}
}

// lift makes lanes earn as little as every way allows: what lanes beside anyone earn holds for more cells, what
// lanes beside a partner earn for more cells and for less of the partner.
func (w *ways) lift(price []float64) {
	others := w.others(-1)
	if joined(&w.base, &others) < 1-rounding {
		return
	}
	for u := 1; u < cells; u++ {
		p := w.anyone[u]
		if math.IsInf(p, 1) || p > 1-rounding {
			continue
		}
		next := u + 1
		for next < cells && math.IsInf(w.anyone[next], 1) {
			next++
		}
		top := last(u, next-1, func(v int) bool {
			w.anyone[v] = p
			w.settleBase(price)
			ok := joined(&w.base, &others) >= 1-rounding
			w.anyone[v] = math.Inf(1)
			return ok
		})
		w.anyone[u] = math.Inf(1)
		w.anyone[top] = p
		w.settleBase(price)
		u = top
	}
	for g := range w.groups {
		w.liftGroup(g, price)
	}
}

// rounding is by how much a way may cost less than 1.
const rounding = 1e-9

func (w *ways) liftGroup(g int, price []float64) {
	q := &w.groups[g]
	others := w.others(g)
	rest := join(&w.base, &others)
	for _, k := range q.at {
		s := &w.list[k]
		if price[k] >= w.beside(s.own)-1e-9 {
			continue
		}
		fits := func() bool {
			w.settleGroup(g, price)
			return joined(&rest, &q.price) >= 1-rounding
		}
		s.theirs = -last(-s.theirs, 0, func(v int) bool { s.theirs = -v; return fits() })
		s.own = last(s.own, cells-1, func(v int) bool { s.own = v; return fits() })
	}
	w.settleGroup(g, price)
}

// beside is what a lane of so many cells earns beside anyone.
func (w *ways) beside(own int) float64 {
	v := 1.0
	for _, p := range w.anyone[own:] {
		v = min(v, p)
	}
	return v
}

// last is the greatest number from lo to hi that passes, where lo does and what passes comes first.
func last(lo, hi int, passes func(int) bool) int {
	for lo < hi {
		if mid := lo + (hi-lo+1)/2; passes(mid) {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return lo
}
