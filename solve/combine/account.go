package combine

import "math"

// account says what an item is worth in the exact search. A lane that makes g
// pieces earns a wage, and wages are such that no run costs less than its lanes
// earn. So runs yet to come cost at least the wages of their lanes, and the item
// owes the least sum of wages and of its own cost (splits, short, over, missing)
// over all ways to go on from what is made: a dynamic programme over pieces.
type account struct {
	item int32
	cell int64       // pieces that count as one in debt
	wage []float64   // by pieces; +Inf where no run makes as many
	debt [][]float64 // by runs so far and cells made
}

// debtCells is the number of cells of an account: with fewer pieces each is its own.
const debtCells = 600

// mostCounted is the number of runs of an item that its account tells apart.
const mostCounted = 3

// owes is what the item costs at least from here on.
func (a *account) owes(made int64, parts int32) float64 {
	return a.debt[min(int(parts), len(a.debt)-1)][made/a.cell]
}

// split is what one more run of the item costs where it has so many.
func (a *account) split(s *shop, parts int32) float64 {
	if parts > 0 || s.begun[a.item] {
		return s.Items[a.item].Split
	}
	return 0
}

// raise adds a share of what is spare to each wage. Where no run makes so many
// pieces, it is +Inf.
func (a *account) raise(spare []float64, share float64) {
	for g, v := range spare {
		a.wage[g] += share * v
	}
}

// settle computes the debt from the wages.
func (a *account) settle(s *shop) {
	it := &s.Items[a.item]
	a.cell = it.Most/debtCells + 1
	n := it.Most/a.cell + 1
	var size []int64 // cells with a finite wage, and the least of them
	var least []float64
	for c := range n {
		v := math.Inf(1)
		for g := max(1, c*a.cell); g <= min(it.Most, (c+1)*a.cell-1); g++ {
			v = min(v, a.wage[g])
		}
		if !math.IsInf(v, 1) {
			size, least = append(size, c), append(least, v)
		}
	}
	levels, bounded := int32(2), false
	if s.parts[a.item] <= mostCounted {
		levels, bounded = s.parts[a.item]+1, true
	}
	a.debt = make([][]float64, levels)
	for k := levels - 1; k >= 0; k-- {
		debt := make([]float64, n)
		a.debt[k] = debt
		then := debt
		if k+1 < levels {
			then = a.debt[k+1]
		}
		split := a.split(s, k)
		for c := n - 1; c >= 0; c-- {
			v := a.close(s, c)
			if k+1 < levels || !bounded {
				for q, d := range size {
					to := c + d
					if a.cell > 1 {
						v = min(v, a.step(then, c, d)+least[q]+split)
					} else if to < n {
						v = min(v, then[to]+least[q]+split)
					}
				}
			}
			debt[c] = v
		}
	}
}

// step is the debt after a lane of d cells more: it may end one cell further. A
// lane of less than a cell that stays in its cell gains nothing.
func (a *account) step(then []float64, c, d int64) float64 {
	v := math.Inf(1)
	if d > 0 || &then[0] != &a.debt[len(a.debt)-1][0] {
		if c+d < int64(len(then)) {
			v = then[c+d]
		}
	}
	if c+d+1 < int64(len(then)) {
		v = min(v, then[c+d+1])
	}
	return v
}

// ends is what the item costs where no further run holds it, splits aside; +Inf
// where it must not end so.
func (a *account) ends(s *shop, made int64) float64 {
	it := &s.Items[a.item]
	switch {
	case made < it.Least:
		return math.Inf(1)
	case made < it.Want:
		return it.Short * float64(it.Want-made)
	}
	return it.Over * float64(made-it.Want)
}

// close is the least that it costs to end in a cell.
func (a *account) close(s *shop, c int64) float64 {
	v := math.Inf(1)
	for made := c * a.cell; made <= min(s.Items[a.item].Most, (c+1)*a.cell-1); made++ {
		v = min(v, a.ends(s, made))
	}
	return v
}

// wages are the wages that a master's duals pay, for pieces up to Most.
func (m *master) wages(i int32) []float64 {
	s := m.s
	it := &s.Items[i]
	wage := make([]float64, it.Most+1)
	if m.dual == nil || m.of[i] < 0 {
		return wage
	}
	t := &m.strands[m.of[i]]
	cr := s.leastCredit(i) * float64(it.Width) * float64(it.Length)
	over := max(0, it.Over+cr)
	for g := range wage {
		v := 0.0
		if t.counted {
			v += m.dual[t.enough] * min(1, float64(g)/t.least)
			for c := range t.counters {
				v += m.dual[t.counters[c].row] * t.counters[c].at(int64(g))
			}
			v -= it.Split / m.scale
		}
		if t.wanted {
			v += m.dual[t.met] * min(1, float64(g)/t.want)
		}
		wage[g] = v*m.scale + cr*float64(g) - over*max(0, float64(g)-t.want)
	}
	return wage
}
