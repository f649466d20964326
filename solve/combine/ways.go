package combine

import "math"

// share is what lanes make of one item: cells of its least, and, where they
// have a partner on their run, cells of the most that may be made of the partner.
type share struct {
	own     int
	partner int32 // strand, -1 without
	theirs  int
	mass    float64 // of the point's runs
}

// ways are the choices of shares that make one item whole. The shares beside
// one partner make no more of it than may be made, so two runs that each finish
// the same partner are never in one way.
type ways struct {
	list   []share
	free   []int   // of list: shares without a limit
	groups []group // shares beside one partner each
	anyone []float64
	base   [cells + 1]float64 // least price of so many cells by free shares and those beside anyone
	with   [cells + 1]int     // share that the last of them is, -1 beside anyone
	spent  int                // work, see pace
}

// group is the shares beside one partner.
type group struct {
	at    []int // of list
	price [cells + 1]float64
	grid  [partnerCells + 1][cells + 1]float64 // by cells of the partner at most
	last  [partnerCells + 1][cells + 1]int16   // of at; -1 where a cell of the partner is spare
	alone bool                                 // no two shares are in one way
	only  [cells + 1]int                       // then: the cheapest share of so many cells
}

// apart reports whether any two of some shares make more of their partner than may be made.
func apart(list []share, at []int) bool {
	for _, k := range at {
		if 2*list[k].theirs <= cells {
			return false
		}
	}
	return true
}

// single is the cheapest share of a group with so many cells or more; -1 where there is none.
func (g *group) single(list []share, price []float64, r int) int {
	best := -1
	for _, k := range g.at {
		if list[k].own >= r && (best < 0 || price[k] < price[best]) {
			best = k
		}
	}
	return best
}

// partnerCells is the number of cells of what may be made of a partner. Shares
// are rounded down to them, in favour of the ways.
const partnerCells = 32

// newWays lists the ways of shares. Prices are given later.
func newWays(list []share) *ways {
	w := &ways{list: list, anyone: make([]float64, cells)}
	for u := range w.anyone {
		w.anyone[u] = math.Inf(1)
	}
	for k := range list {
		if list[k].partner < 0 {
			w.free = append(w.free, k)
			continue
		}
		g := 0
		for g < len(w.groups) && list[w.groups[g].at[0]].partner != list[k].partner {
			g++
		}
		if g == len(w.groups) {
			w.groups = append(w.groups, group{})
		}
		w.groups[g].at = append(w.groups[g].at, k)
	}
	return w
}

// settle prices the choices of a group's shares.
func (g *group) settle(list []share, price []float64) {
	if len(g.at) == 1 {
		s, p := &list[g.at[0]], price[g.at[0]]
		for r := 1; r <= cells; r++ {
			n := (r + s.own - 1) / s.own
			if g.price[r] = float64(n) * p; n*s.theirs > cells {
				g.price[r] = math.Inf(1)
			}
		}
		return
	}
	if g.alone = apart(list, g.at); g.alone {
		for r := 1; r <= cells; r++ {
			g.price[r] = math.Inf(1)
			if k := g.single(list, price, r); k >= 0 {
				g.price[r] = price[k]
				g.only[r] = k
			}
		}
		return
	}
	for t := range g.grid {
		for r := 1; r <= cells; r++ {
			v, k := math.Inf(1), int16(-1)
			if t > 0 {
				v = g.grid[t-1][r]
			}
			for q, at := range g.at {
				s := &list[at]
				if b := s.theirs * partnerCells / cells; b <= t {
					if c := g.grid[t-b][max(0, r-s.own)] + price[at]; c < v {
						v, k = c, int16(q)
					}
				}
			}
			g.grid[t][r], g.last[t][r] = v, k
		}
	}
	g.price = g.grid[partnerCells]
}

// count adds the shares of a group's cheapest choice for so many cells.
func (g *group) count(list []share, r int, n []int) {
	if len(g.at) == 1 {
		own := list[g.at[0]].own
		n[g.at[0]] += (r + own - 1) / own
		return
	}
	if g.alone {
		n[g.only[r]]++
		return
	}
	for t := partnerCells; r > 0; {
		if g.last[t][r] < 0 {
			t--
			continue
		}
		at := g.at[g.last[t][r]]
		n[at]++
		r = max(0, r-list[at].own)
		t -= list[at].theirs * partnerCells / cells
	}
}

// settleBase prices the choices of free shares and of shares beside anyone.
func (w *ways) settleBase(price []float64) {
	for r := 1; r <= cells; r++ {
		w.base[r] = math.Inf(1)
		for _, k := range w.free {
			if v := w.base[max(0, r-w.list[k].own)] + price[k]; v < w.base[r] {
				w.base[r], w.with[r] = v, k
			}
		}
	}
	for u, p := range w.anyone {
		if u == 0 || math.IsInf(p, 1) {
			continue
		}
		for r := 1; r <= cells; r++ {
			if v := w.base[max(0, r-u)] + p; v < w.base[r] {
				w.base[r], w.with[r] = v, -1
			}
		}
	}
}

// settle prices all choices.
func (w *ways) settle(price []float64) {
	w.settleBase(price)
	for g := range w.groups {
		w.settleGroup(g, price)
	}
}

// settleGroup prices one group's choices.
func (w *ways) settleGroup(g int, price []float64) {
	w.groups[g].settle(w.list, price)
	w.spent += settleWork * len(w.groups[g].at)
}

// settleWork is what pricing one share of a group costs, in units of pace.
const settleWork = 32

// join is the least price of so many cells from two sets of choices.
func join(a, b *[cells + 1]float64) (to [cells + 1]float64) {
	for r := 1; r <= cells; r++ {
		v := min(a[r], b[r])
		for o := 1; o < r; o++ {
			v = min(v, a[r-o]+b[o])
		}
		to[r] = v
	}
	return to
}

// joined is the least price of all cells from two sets of choices.
func joined(a, b *[cells + 1]float64) float64 {
	v := min(a[cells], b[cells])
	for o := 1; o < cells; o++ {
		v = min(v, a[cells-o]+b[o])
	}
	return v
}

// cheapest counts the shares of the cheapest way, without any beside anyone, and returns its price.
func (w *ways) cheapest(n []int) float64 {
	before := make([][cells + 1]float64, len(w.groups)+1)
	before[0] = w.base
	for g := range w.groups {
		before[g+1] = join(&before[g], &w.groups[g].price)
	}
	v := before[len(w.groups)][cells]
	if math.IsInf(v, 1) {
		return v
	}
	r := cells
	for g := len(w.groups) - 1; g >= 0 && r > 0; g-- {
		p := &w.groups[g].price
		best, own := before[g][r], 0
		for o := 1; o <= r; o++ {
			if c := before[g][r-o] + p[o]; c < best {
				best, own = c, o
			}
		}
		if own > 0 {
			w.groups[g].count(w.list, own, n)
			r -= own
		}
	}
	for r > 0 {
		n[w.with[r]]++
		r = max(0, r-w.list[w.with[r]].own)
	}
	return v
}
