// Package lp minimises a linear cost over variables and rows that each lie
// between two bounds.
//
//	min c·x   subject to   rowLo ≤ A·x ≤ rowHi,  lo ≤ x ≤ hi
//
// It is a revised primal simplex with bounded variables: a sparse LU of the
// basis with product-form updates, a composite first phase that minimises the
// sum of infeasibilities, and a two-pass ratio test (Harris 1973). Columns may be
// added between two calls of Solve, which then goes on from the last basis; that is
// what column generation needs; a basis taken over from another programme is first
// mended by dual exchanges. See V. Chvátal, Linear Programming (1983),
// chapters 7, 8 and 24, for the method.
//
// Tolerances are absolute: scale rows and columns so that coefficients are near 1.
package lp

import "math"

// Status is how Solve ended.
type Status int

const (
	Optimal    Status = iota
	Infeasible        // no x meets all bounds
	Unbounded         // the cost has no least value
	Limit             // the iteration limit came first
)

const (
	feasible  = 1e-7 // a bound may be missed by this, relative to its size
	dual      = 1e-9 // a reduced cost below this counts as zero
	progress  = 1e-9 // what counts as a saving between two refactorisations, as a share of the cost
	stuckMost = 10   // refactorisations without one after which it gives up
	refresh   = 100  // exchanges between two refactorisations

	blockLeast = 300 // columns priced at once, at least
	blockShare = 8   // and this part of all
)

// Where a variable stands.
const (
	atLo int8 = iota
	atHi
	atZero // free, not basic
	basic
)

// Simplex is one linear programme with its current basis. The zero value is an
// empty programme; Reset begins one. It is not for use by two goroutines at once.
type Simplex struct {
	m        int
	beg, idx []int32 // columns; the first m are the rows' own, with coefficient -1
	val      []float64
	cost     []float64
	lo, hi   []float64
	weight   []float64 // 1/√(1+|a|²), for pricing
	at       []int8
	head     []int32   // column basic at each position
	x        []float64 // its value
	y        []float64 // dual values by row
	d, b, c  []float64 // scratch: entering column by position, by row, costs by position
	raised   []float64 // scratch of mend: costs and reduced costs by column, entries of a row
	slack    []float64
	edge     []float64 // scratch of mend: weights of the positions
	tau      []float64
	alpha    []float64
	across   across
	entries  []entry
	resumed  bool // the basis is that of another programme, see mend
	fac      factor
	iter     int
	work     int     // rows of all exchanges
	stuck    int     // refactorisations in a row without progress
	merit    float64 // cost, or what is missed by, at the last progress
	phase    bool    // that was of the first phase
	next     int     // column that pricing goes on from
	rnd      uint64
}

// Reset begins a programme with these rows and no column, keeping the memory of
// the last one. A row without a bound on one side has ±Inf there.
func (s *Simplex) Reset(rowLo, rowHi []float64) {
	m := len(rowLo)
	s.m, s.iter, s.next, s.rnd = m, 0, 0, 0x9e3779b97f4a7c15
	s.beg, s.idx, s.val = append(s.beg[:0], 0), s.idx[:0], s.val[:0]
	s.cost, s.lo, s.hi, s.weight, s.at = s.cost[:0], s.lo[:0], s.hi[:0], s.weight[:0], s.at[:0]
	s.head = grow(s.head, m)
	s.x, s.y, s.d, s.b, s.c = grow(s.x, m), grow(s.y, m), grow(s.d, m), grow(s.b, m), grow(s.c, m)
	for i := range m {
		s.column(0, rowLo[i], rowHi[i], []int32{int32(i)}, []float64{-1})
		s.head[i], s.at[i] = int32(i), basic
	}
}

// Add appends a column and returns its number, counted from 0. It starts at
// its finite bound nearest to zero.
func (s *Simplex) Add(cost, lo, hi float64, rows []int32, coef []float64) int {
	s.column(cost, lo, hi, rows, coef)
	return len(s.cost) - s.m - 1
}

func (s *Simplex) column(cost, lo, hi float64, rows []int32, coef []float64) {
	sq := 1.0
	for _, v := range coef {
		sq += v * v
	}
	s.idx, s.val = append(s.idx, rows...), append(s.val, coef...)
	s.beg = append(s.beg, int32(len(s.idx)))
	s.cost, s.lo, s.hi = append(s.cost, cost), append(s.lo, lo), append(s.hi, hi)
	s.weight = append(s.weight, 1/math.Sqrt(sq))
	switch {
	case !math.IsInf(lo, -1):
		s.at = append(s.at, atLo)
	case !math.IsInf(hi, 1):
		s.at = append(s.at, atHi)
	default:
		s.at = append(s.at, atZero)
	}
}

// Begin names the column that is basic in each row at the start, or -1 for the
// row's own. A good choice, one column a row with its own coefficient, spares
// the first phase. It must be called before Solve.
func (s *Simplex) Begin(basis []int) {
	for i, j := range basis {
		if j < 0 {
			continue
		}
		own := s.head[i]
		s.at[own] = atLo
		if math.IsInf(s.lo[own], -1) {
			s.at[own] = atHi
		}
		s.head[i] = int32(j + s.m)
		s.at[j+s.m] = basic
	}
}

// Basis returns the columns and the rows whose own column is basic.
func (s *Simplex) Basis() (columns, rows []int) {
	for _, c := range s.head {
		if int(c) < s.m {
			rows = append(rows, int(c))
		} else {
			columns = append(columns, int(c)-s.m)
		}
	}
	return columns, rows
}

// Resume names the basis to start from: columns, and rows whose own column is
// basic, together as many as there are rows. It must be called before Solve.
// Solve mends a basis that is singular.
func (s *Simplex) Resume(columns, rows []int) {
	s.resumed = true
	for _, c := range s.head {
		s.at[c] = atLo
		if math.IsInf(s.lo[c], -1) {
			s.at[c] = atHi
			if math.IsInf(s.hi[c], 1) {
				s.at[c] = atZero
			}
		}
	}
	k := 0
	put := func(c int) {
		s.head[k], s.at[c] = int32(c), basic
		k++
	}
	for _, j := range columns {
		put(j + s.m)
	}
	for _, r := range rows {
		put(r)
	}
}

// Reduced returns the reduced cost of a column after Solve.
func (s *Simplex) Reduced(j int) float64 { return s.reduced(j+s.m, false) }

// Cost returns the cost of a column.
func (s *Simplex) Cost(j int) float64 { return s.cost[j+s.m] }

// Columns returns how many columns were added.
func (s *Simplex) Columns() int { return len(s.cost) - s.m }

// Iterations returns the exchanges and bound flips since Reset.
func (s *Simplex) Iterations() int { return s.iter }

// Work returns the rows of every exchange so far added up, over all programmes
// since Reset was first called: what the solving has cost, whatever the machine.
func (s *Simplex) Work() int { return s.work }

// Dual returns the value of one more unit of row i: the rate of the cost.
func (s *Simplex) Dual(i int) float64 { return s.y[i] }

// Values writes each column's value into dst, which has Columns() places.
func (s *Simplex) Values(dst []float64) {
	for j := range dst {
		dst[j] = s.resting(j + s.m)
	}
	for k, c := range s.head {
		if int(c) >= s.m {
			dst[int(c)-s.m] = s.x[k]
		}
	}
}

// Objective returns the cost of the current point.
func (s *Simplex) Objective() float64 {
	total := 0.0
	for j := s.m; j < len(s.cost); j++ {
		if s.at[j] != basic {
			total += s.cost[j] * s.resting(j)
		}
	}
	for k, c := range s.head {
		total += s.cost[c] * s.x[k]
	}
	return total
}

// SetBounds changes a column's bounds; the next Solve starts from the same basis.
func (s *Simplex) SetBounds(j int, lo, hi float64) {
	j += s.m
	s.lo[j], s.hi[j] = lo, hi
	if s.at[j] == atHi && math.IsInf(hi, 1) {
		s.at[j] = atLo
	}
}

// resting is the value of a variable that is not basic.
func (s *Simplex) resting(j int) float64 {
	switch s.at[j] {
	case atLo:
		return s.lo[j]
	case atHi:
		return s.hi[j]
	}
	return 0
}

// Solve iterates until it is optimal, limit exchanges are done (0: no limit), or many of them have saved nothing.
func (s *Simplex) Solve(limit int) Status {
	s.refactor()
	if s.resumed {
		s.resumed = false
		s.mend(2*s.m + 100)
	}
	fresh := true
	s.stuck, s.merit, s.phase = 0, math.Inf(1), true
	for n := 0; limit == 0 || n < limit; n++ {
		if len(s.fac.epos) >= refresh {
			s.refactor()
			fresh = true
			if s.settle(); s.stuck > stuckMost+s.m/refresh {
				return Limit
			}
		}
		infeasible := s.duals()
		q := s.price(infeasible)
		if q < 0 {
			if !fresh {
				s.refactor()
				fresh = true
				continue
			}
			if infeasible {
				return Infeasible
			}
			return Optimal
		}
		dir := 1.0
		if s.at[q] == atHi || s.at[q] == atZero && s.reduced(q, infeasible) > 0 {
			dir = -1
		}
		s.load(q)
		p, step, at := s.ratio(dir, s.hi[q]-s.lo[q])
		if math.IsInf(step, 1) {
			if !fresh {
				s.refactor()
				fresh = true
				continue
			}
			return Unbounded
		}
		s.iter++
		s.work += s.m
		s.step(q, p, dir, step, at)
		fresh = false
	}
	return Limit
}

// refactor builds the factors anew, mends a dependent basis with the rows' own
// columns, and computes the basic values.
func (s *Simplex) refactor() {
	for {
		positions, rows := s.fac.build(s.m, s.head, s.beg, s.idx, s.val)
		if len(positions) == 0 {
			break
		}
		for i, k := range positions {
			old := s.head[k]
			s.at[old] = atLo
			if math.IsInf(s.lo[old], -1) {
				s.at[old] = atHi
				if math.IsInf(s.hi[old], 1) {
					s.at[old] = atZero
				}
			}
			s.head[k] = rows[i]
			s.at[rows[i]] = basic
		}
	}
	clear(s.b)
	for j := range s.cost {
		if s.at[j] == basic {
			continue
		}
		if v := s.resting(j); v != 0 {
			for e := s.beg[j]; e < s.beg[j+1]; e++ {
				s.b[s.idx[e]] -= v * s.val[e]
			}
		}
	}
	s.fac.ftran(s.b, s.x)
}

// outside says on which side of its bounds a basic value lies: -1, 0 or 1.
func (s *Simplex) outside(k int) int {
	c, v := s.head[k], s.x[k]
	if lo := s.lo[c]; v < lo-feasible*(1+math.Abs(lo)) {
		return -1
	}
	if hi := s.hi[c]; v > hi+feasible*(1+math.Abs(hi)) {
		return 1
	}
	return 0
}

// duals computes the dual values of the phase that the basis is in.
func (s *Simplex) duals() (infeasible bool) {
	for k := range s.m {
		o := s.outside(k)
		s.c[k] = float64(o)
		infeasible = infeasible || o != 0
	}
	if !infeasible {
		for k, c := range s.head {
			s.c[k] = s.cost[c]
		}
	}
	s.fac.btran(s.c, s.y)
	return infeasible
}

func (s *Simplex) reduced(j int, infeasible bool) float64 {
	r := 0.0
	if !infeasible {
		r = s.cost[j]
	}
	for e := s.beg[j]; e < s.beg[j+1]; e++ {
		r -= s.y[s.idx[e]] * s.val[e]
	}
	return r
}

// step moves the entering variable and exchanges it with the one that stopped it.
func (s *Simplex) step(q, p int, dir, step float64, at int8) {
	for k, d := range s.d {
		s.x[k] -= dir * step * d
	}
	if p < 0 {
		if s.at[q] == atLo {
			s.at[q] = atHi
		} else {
			s.at[q] = atLo
		}
		return
	}
	value := s.resting(q) + dir*step
	s.at[s.head[p]] = at
	s.fac.exchange(int32(p), s.d)
	s.head[p], s.x[p], s.at[q] = int32(q), value, basic
}
