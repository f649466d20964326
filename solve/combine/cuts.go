package combine

import (
	"math"
	"slices"

	"github.com/flutewright/flutewright/solve/lp"
)

// cells is the number of parts of an item's least number that its pieces are
// rounded up to where new counters are looked for.
const cells = 96

// broken looks for counters that a point breaks, the most broken first.
//
// Of one item, the point takes a mass of lanes that finish it and masses of
// lanes that make a part. If those masses cannot be packed into whole ways of
// making it (parts that sum to the least), the dual of that packing is a price for
// each part under which every way costs 1 or more and the point less: a counter.
// It is the cut of Gomory's group kind for one knapsack row, found by column
// generation, with a knapsack for the cheapest way.
func (m *master) broken(x []float64) []find {
	mass := make([][]float64, len(m.strands))
	for k := range mass {
		mass[k] = make([]float64, cells+1)
	}
	for q := range m.runs {
		y := x[m.first+q]
		if y < 1e-9 {
			continue
		}
		for _, l := range m.runs[q].lanes {
			k := m.of[l.item]
			if t := &m.strands[k]; t.counted {
				g := m.s.good(int(l.item), int(l.outs), m.runs[q].length)
				mass[k][min(cells, ceil(g*cells, int64(t.least)))] += y
			}
		}
	}
	var found []find
	for k := range m.strands {
		if t := &m.strands[k]; t.counted {
			if c, miss := counterFor(mass[k], int64(t.least)); miss > 1e-3 {
				found = append(found, find{k, c, miss})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b find) int { return -int(math.Copysign(1, a.miss-b.miss)) })
	return found
}

// find is a counter that a point breaks, and by how much.
type find struct {
	k    int // strand
	c    counter
	miss float64
}

// cut looks for counters that the present point breaks, gives them rows, and
// loads the programme with them. It returns how many it found.
func (m *master) cut(most int) int {
	x := make([]float64, m.lp.Columns())
	m.lp.Values(x)
	found := m.broken(x)
	found = found[:min(len(found), most)]
	if len(found) == 0 {
		return 0
	}
	if m.dual == nil {
		m.dual = make([]float64, m.rows)
	}
	m.shed()
	columns, rows := m.lp.Basis()
	for _, f := range found {
		f.c.row = m.addRow()
		rows = append(rows, f.c.row)
		m.strands[f.k].counters = append(m.strands[f.k].counters, f.c)
		m.dual = append(m.dual, 0)
	}
	for k := range m.strands {
		m.profile(&m.strands[k])
	}
	m.load()
	m.lp.Resume(columns, rows)
	m.done = false
	return len(found)
}

// shed drops the counters that do not bind and the runs far from paying, and
// loads the programme without them.
func (m *master) shed() {
	columns, rows := m.lp.Basis()
	loose := make([]bool, m.rows)
	for _, r := range rows {
		loose[r] = true
	}
	at := make([]int, m.rows) // new number of each row, -1 where it goes
	m.rows = 0
	keep := func(r int) int {
		at[r] = m.addRow()
		return at[r]
	}
	old := m.dual
	m.dual = m.dual[:0:0]
	for r := range at {
		at[r] = -1
	}
	for k := range m.strands {
		t := &m.strands[k]
		if t.counted {
			t.enough = keep(t.enough)
			kept := t.counters[:0]
			for _, c := range t.counters {
				if !loose[c.row] {
					c.row = keep(c.row)
					kept = append(kept, c)
				}
			}
			t.counters = kept
		}
		if t.wanted {
			t.met = keep(t.met)
		}
	}
	for _, res := range m.limits {
		m.limitAt[res] = int32(keep(int(m.limitAt[res])))
	}
	m.dual = make([]float64, m.rows)
	for r, to := range at {
		if to >= 0 {
			m.dual[to] = old[r]
		}
	}
	var slack []int
	for _, r := range rows {
		if at[r] >= 0 {
			slack = append(slack, at[r])
		}
	}
	// runs: basic ones stay, and those whose reduced cost is small
	basic := make([]bool, m.lp.Columns())
	for _, j := range columns {
		basic[j] = true
	}
	to := make([]int, len(m.runs))
	kept := m.runs[:0]
	for q := range m.runs {
		j := m.first + q
		if !basic[j] && len(m.runs) > 3*m.rows && m.lp.Reduced(j) > shedding*m.lp.Cost(j) {
			delete(m.keys, m.runs[q].key())
			continue
		}
		to[q] = len(kept)
		kept = append(kept, m.runs[q])
	}
	clear(m.runs[len(kept):])
	m.runs = kept
	for k, j := range columns {
		if j >= m.first {
			columns[k] = m.first + to[j-m.first]
		}
	}
	m.load()
	m.lp.Resume(columns, slack)
}

// shedding is the share of its cost by which a run must miss paying to be dropped.
const shedding = 0.01

// packing is the number of exchanges after which a packing is given up: masses
// near the programme's tolerances may take turns for ever.
const packing = 2000

// counterFor packs the masses into ways. It returns the counter that says how
// much less than one way they hold, and how much; 0 where they hold one.
func counterFor(mass []float64, least int64) (counter, float64) {
	var at []int
	for u := 1; u < cells; u++ {
		if mass[u] > 1e-9 {
			at = append(at, u)
		}
	}
	full := mass[cells]
	if len(at) == 0 || full >= 1-1e-6 {
		return counter{}, 0
	}
	var pack lp.Simplex
	lo, hi := make([]float64, len(at)), make([]float64, len(at))
	for k, u := range at {
		lo[k], hi[k] = math.Inf(-1), mass[u]
	}
	pack.Reset(lo, hi)
	price := make([]float64, len(at))
	for range 200 {
		if pack.Solve(packing) != lp.Optimal {
			return counter{}, 0
		}
		for k := range at {
			price[k] = max(0, -pack.Dual(k))
		}
		way, cost := cheapestWay(at, price)
		if cost >= 1-1e-7 {
			break
		}
		var rows []int32
		var coef []float64
		for k, n := range way {
			if n > 0 {
				rows, coef = append(rows, int32(k)), append(coef, float64(n))
			}
		}
		pack.Add(-1, 0, math.Inf(1), rows, coef)
	}
	_, cost := cheapestWay(at, price)
	if cost < 1e-6 {
		return counter{}, 0
	}
	// A part earns the least of what parts of its size or more earn: a way stays one when a part grows.
	c := counter{}
	held := full
	for k := range at {
		v := 1.0
		for q := k; q < len(at); q++ {
			v = min(v, price[q]/min(cost, 1))
		}
		held += v * mass[at[k]]
		c.earned = append(c.earned, v)
		c.from = append(c.from, int64(at[k])*least/cells+1)
	}
	c.earned = append(c.earned, 1)
	if last := len(c.from) - 1; c.from[last] > least {
		c.from[last] = least
	}
	return c, 1 - held
}

// cheapestWay is the cheapest choice of parts that sum to all cells or more, as
// numbers of each part, and its price.
func cheapestWay(at []int, price []float64) ([]int, float64) {
	var best [cells + 1]float64
	var with [cells + 1]int
	for r := 1; r <= cells; r++ {
		best[r] = math.Inf(1)
		for k, u := range at {
			if v := best[max(0, r-u)] + price[k]; v < best[r] {
				best[r], with[r] = v, k
			}
		}
	}
	way := make([]int, len(at))
	for r := cells; r > 0; r = max(0, r-at[with[r]]) {
		way[with[r]]++
	}
	return way, best[cells]
}
