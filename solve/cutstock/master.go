package cutstock

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/flutewright/flutewright/solve/lp"
)

// master is the relaxation min Σ x over patterns that meet the demand, with its
// pool of patterns. Rows are Σ count·x ≥ demand.
type master struct {
	p    Problem
	pool [][]int
	lp   lp.Simplex
	x    []float64
	cols []int     // pool index of each column in the programme
	best []float64 // knapsack scratch, by width used
}

func newMaster(p Problem) *master {
	return &master{p: p}
}

// relax solves the relaxation for a demand by column generation and returns its value.
func (m *master) relax(demand []int) float64 {
	lo, hi := make([]float64, len(demand)), make([]float64, len(demand))
	for i, d := range demand {
		lo[i], hi[i] = float64(d), math.Inf(1)
	}
	m.lp.Reset(lo, hi)
	m.cols = m.cols[:0]
	for i, d := range demand {
		if d > 0 {
			c := make([]int, len(demand))
			c[i] = min(d, int(m.p.Stock/m.p.Items[i].Width))
			m.keep(c)
		}
	}
	for k, c := range m.pool {
		if fits(c, demand) && !slices.Contains(m.cols, k) {
			m.add(k)
		}
	}
	for {
		m.lp.Solve(0)
		price := make([]float64, len(demand))
		for i := range price {
			price[i] = m.lp.Dual(i)
		}
		c, value := m.knapsack(price, demand)
		if value <= 1+1e-9 {
			break
		}
		m.keep(c)
	}
	m.x = slices.Grow(m.x[:0], m.lp.Columns())[:m.lp.Columns()]
	m.lp.Values(m.x)
	return m.lp.Objective()
}

// keep puts a pattern into the programme, and into the pool if it is new.
func (m *master) keep(c []int) {
	k := slices.IndexFunc(m.pool, func(d []int) bool { return slices.Equal(c, d) })
	if k < 0 {
		k = len(m.pool)
		m.pool = append(m.pool, c)
	}
	m.add(k)
}

// fits reports whether a pattern cuts nothing oftener than it is wanted.
func fits(c, demand []int) bool {
	for i, n := range c {
		if n > demand[i] {
			return false
		}
	}
	return true
}

func (m *master) add(k int) {
	m.cols = append(m.cols, k)
	c := m.pool[k]
	var rows []int32
	var coef []float64
	for i, n := range c {
		if n > 0 {
			rows, coef = append(rows, int32(i)), append(coef, float64(n))
		}
	}
	m.lp.Add(1, 0, math.Inf(1), rows, coef)
}

// knapsack returns the pattern of greatest price that cuts no item oftener than
// it is wanted. It works on the widths' greatest common divisor; each item is
// split into lots of 1, 2, 4, … so that any count up to the demand can be had.
func (m *master) knapsack(price []float64, demand []int) ([]int, float64) {
	g := m.p.Stock
	for _, it := range m.p.Items {
		g = gcd(g, it.Width)
	}
	n := int(m.p.Stock / g)
	m.best = slices.Grow(m.best[:0], n+1)[:n+1]
	clear(m.best)
	type lot struct{ item, count int }
	var lots []lot
	for i, it := range m.p.Items {
		if price[i] <= 0 {
			continue
		}
		for rest, size := min(demand[i], int(m.p.Stock/it.Width)), 1; rest > 0; size *= 2 {
			k := min(size, rest)
			lots = append(lots, lot{i, k})
			rest -= k
		}
	}
	taken := make([][]bool, len(lots))
	for l, lt := range lots {
		taken[l] = make([]bool, n+1)
		w := lt.count * int(m.p.Items[lt.item].Width/g)
		v := float64(lt.count) * price[lt.item]
		for c := n; c >= w; c-- {
			if m.best[c-w]+v > m.best[c]+1e-12 {
				m.best[c], taken[l][c] = m.best[c-w]+v, true
			}
		}
	}
	value := m.best[n]
	count := make([]int, len(price))
	for l, c := len(lots)-1, n; l >= 0; l-- {
		if taken[l][c] {
			count[lots[l].item] += lots[l].count
			c -= lots[l].count * int(m.p.Items[lots[l].item].Width/g)
		}
	}
	return count, value
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// dive fixes patterns from the relaxation, whole times first, then one rounded
// up, until the demand is met. noise from 0 to 1 disturbs which one is rounded.
func (m *master) dive(demand []int, noise float64, rnd *rand.Rand) ([]Pattern, int) {
	left := slices.Clone(demand)
	times := map[int]int{}
	for slices.Max(append(left, 0)) > 0 {
		m.relax(left)
		fixed := false
		pick, score := -1, 0.0
		for j, x := range m.x {
			k := m.cols[j]
			if whole := int(x + 1e-7); whole > 0 {
				times[k] += whole
				m.take(left, k, whole)
				fixed = true
			}
			part := x - math.Floor(x+1e-7)
			if v := part * (1 - noise*rnd.Float64()) * float64(m.useful(left, k)+1); part > 1e-7 && v > score {
				pick, score = k, v
			}
		}
		if !fixed || pick >= 0 && rnd.Float64() > noise {
			if pick < 0 {
				break
			}
			if slices.Max(left) > 0 {
				times[pick]++
				m.take(left, pick, 1)
			}
		}
	}
	var out []Pattern
	pieces := 0
	for k := range m.pool {
		if n := times[k]; n > 0 {
			out = append(out, Pattern{slices.Clone(m.pool[k]), n})
			pieces += n
		}
	}
	return out, pieces
}

func (m *master) take(left []int, k, times int) {
	for i, n := range m.pool[k] {
		left[i] = max(0, left[i]-n*times)
	}
}

// useful is the width of a pattern that still meets demand.
func (m *master) useful(left []int, k int) int64 {
	sum := int64(0)
	for i, n := range m.pool[k] {
		sum += int64(min(n, left[i])) * m.p.Items[i].Width
	}
	return sum
}
