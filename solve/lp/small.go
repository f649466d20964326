package lp

import "math"

// Small is a linear programme of few rows and many short columns, from a point
// that is feasible at the start:
//
//	min c·x   subject to   rowLo ≤ A·x ≤ rowHi,  0 ≤ x ≤ hi
//
// It is a bounded primal simplex that keeps the whole inverse of the basis: for
// tens of rows that is quicker than factors, and thousands of such programmes are
// solved in a second. Columns are priced in turns: one look at all of them picks
// some that improve, then those are exchanged until none does (multiple pricing;
// Orchard-Hays 1968, from memory). The zero value is empty; Reset begins one.
type Small struct {
	m            int
	rowLo, rowHi []float64
	beg, idx     []int32
	val          []float64
	cost, hi     []float64
	at           []int8  // of each column
	rowAt        []int8  // of each row's own column
	head         []int32 // at each position: a column, or -1-row
	inverse      []float64
	x            []float64 // by position
	y, d, work   []float64
	short        []shortlisted
	iter         int
}

type shortlisted struct {
	j    int32
	gain float64
}

// shortlist is the number of columns that one look at all picks.
const shortlist = 12

// Reset begins a programme with these rows and no column. A row without a bound
// on one side has ±Inf there. All rows must allow activity 0 or be given a
// column by Begin.
func (s *Small) Reset(rowLo, rowHi []float64) {
	m := len(rowLo)
	s.m, s.iter = m, 0
	s.rowLo, s.rowHi = append(s.rowLo[:0], rowLo...), append(s.rowHi[:0], rowHi...)
	s.beg, s.idx, s.val = append(s.beg[:0], 0), s.idx[:0], s.val[:0]
	s.cost, s.hi, s.at = s.cost[:0], s.hi[:0], s.at[:0]
}

// Add appends a column and returns its number, counted from 0.
func (s *Small) Add(cost, hi float64, rows []int32, coef []float64) int {
	s.idx, s.val = append(s.idx, rows...), append(s.val, coef...)
	s.beg = append(s.beg, int32(len(s.idx)))
	s.cost, s.hi, s.at = append(s.cost, cost), append(s.hi, hi), append(s.at, atLo)
	return len(s.cost) - 1
}

// Begin sets the first basis: for each row a column with a positive coefficient
// in that row and none in another row of a column named, or -1 for the row's own.
func (s *Small) Begin(basis []int) {
	m := s.m
	s.head, s.x = grow(s.head, m), grow(s.x, m)
	s.y, s.d, s.work = grow(s.y, m), grow(s.d, m), grow(s.work, m)
	s.rowAt, s.inverse = grow(s.rowAt, m), grow(s.inverse, m*m)
	for r, j := range basis {
		if j < 0 {
			s.head[r], s.rowAt[r] = int32(-1-r), basic
			s.inverse[r*m+r] = -1
			continue
		}
		a := 0.0
		for e := s.beg[j]; e < s.beg[j+1]; e++ {
			if int(s.idx[e]) == r {
				a = s.val[e]
			}
		}
		s.head[r], s.at[j] = int32(j), basic
		s.inverse[r*m+r] = 1 / a
		s.x[r] = s.rowLo[r] / a
		s.rowAt[r] = atLo
	}
	for r, j := range basis { // rows left to their own column see what the others do there
		if j < 0 {
			continue
		}
		for e := s.beg[j]; e < s.beg[j+1]; e++ {
			if q := int(s.idx[e]); q != r {
				s.inverse[q*m+r] = s.val[e] * s.inverse[r*m+r]
				s.x[q] += s.val[e] * s.x[r]
			}
		}
	}
	s.duals()
}

func (s *Small) duals() {
	clear(s.y)
	for k, j := range s.head {
		if j < 0 {
			continue
		}
		if c := s.cost[j]; c != 0 {
			row := s.inverse[k*s.m : (k+1)*s.m]
			for r, v := range row {
				s.y[r] += c * v
			}
		}
	}
}

// Solve iterates until it is optimal or limit exchanges are done.
func (s *Small) Solve(limit int) Status {
	for s.iter < limit {
		if !s.look() {
			return Optimal
		}
		for s.iter < limit {
			best, q := 1e-9, -1
			for k := range s.short {
				if j := s.short[k].j; s.at[j] != basic {
					if g := s.gain(int(j)); g > best {
						best, q = g, int(j)
					}
				}
			}
			for r := range s.m {
				if g := s.rowGain(r); g > best {
					best, q = g, -2-r
				}
			}
			if q == -1 {
				break
			}
			s.iter++
			if !s.exchange(q) {
				return Unbounded
			}
		}
	}
	return Limit
}

// look picks the columns that improve most. It returns false where none does.
func (s *Small) look() bool {
	s.short = s.short[:0]
	least := 1e-9
	y, val, idx := s.y, s.val, s.idx
	for j, c := range s.cost {
		at := s.at[j]
		if at == basic {
			continue
		}
		for e := s.beg[j]; e < s.beg[j+1]; e++ {
			c -= y[idx[e]] * val[e]
		}
		if at == atLo {
			c = -c
		}
		if c <= least {
			continue
		}
		if len(s.short) < shortlist {
			s.short = append(s.short, shortlisted{int32(j), c})
			continue
		}
		worst := 0
		for k := range s.short {
			if s.short[k].gain < s.short[worst].gain {
				worst = k
			}
		}
		s.short[worst] = shortlisted{int32(j), c}
		least = math.Inf(1)
		for k := range s.short {
			least = min(least, s.short[k].gain)
		}
	}
	if len(s.short) > 0 {
		return true
	}
	for r := range s.m {
		if s.rowGain(r) > 1e-9 {
			return true
		}
	}
	return false
}

// gain is the rate at which an entering column improves.
func (s *Small) gain(j int) float64 {
	c := s.cost[j]
	for e := s.beg[j]; e < s.beg[j+1]; e++ {
		c -= s.y[s.idx[e]] * s.val[e]
	}
	if s.at[j] == atLo {
		return -c
	}
	return c
}

// rowGain is the same for a row's own column, which costs nothing and stands at −1.
func (s *Small) rowGain(r int) float64 {
	switch s.rowAt[r] {
	case atLo:
		return -s.y[r]
	case atHi:
		return s.y[r]
	}
	return 0
}

// exchange brings column q in (-2-r: the own column of row r) as far as it goes.
func (s *Small) exchange(q int) bool {
	m := s.m
	dir := 1.0
	var own, rc float64
	d := s.d
	if q >= 0 {
		own = s.hi[q]
		rc = s.gain(q)
		if s.at[q] == atHi {
			dir = -1
		} else {
			rc = -rc
		}
		beg, end := s.beg[q], s.beg[q+1]
		for k := range m {
			row, v := s.inverse[k*m:], 0.0
			for e := beg; e < end; e++ {
				v += row[s.idx[e]] * s.val[e]
			}
			d[k] = v
		}
	} else {
		r := -2 - q
		own = s.rowHi[r] - s.rowLo[r]
		if s.rowAt[r] == atHi {
			dir = -1
		}
		rc = s.y[r]
		for k := range m {
			d[k] = -s.inverse[k*m+r]
		}
	}
	p, step, at := s.ratio(dir, own)
	if math.IsInf(step, 1) {
		return false
	}
	for k := range m {
		s.x[k] -= dir * step * d[k]
	}
	if p < 0 {
		if q >= 0 {
			s.at[q] = atLo + atHi - s.at[q]
		} else {
			s.rowAt[-2-q] = atLo + atHi - s.rowAt[-2-q]
		}
		return true
	}
	value := step * dir
	if q >= 0 {
		if s.at[q] == atHi {
			value += s.hi[q]
		}
		s.at[q] = basic
	} else {
		r := -2 - q
		if s.rowAt[r] == atHi {
			value += s.rowHi[r]
		} else {
			value += s.rowLo[r]
		}
		s.rowAt[r] = basic
	}
	if j := s.head[p]; j >= 0 {
		s.at[j] = at
	} else {
		s.rowAt[-1-j] = at
	}
	s.head[p] = int32(q)
	if q < 0 {
		s.head[p] = int32(q + 1)
	}
	s.x[p] = value
	s.pivot(p, rc)
	return true
}

// ratio finds how far the entering column goes and what stops it; -1: its own other bound.
func (s *Small) ratio(dir, own float64) (p int, step float64, at int8) {
	p, step = -1, own
	pivot := 0.0
	for k, v := range s.d {
		rate := -dir * v
		if rate > -1e-9 && rate < 1e-9 {
			continue
		}
		var lo, hi float64
		if j := s.head[k]; j >= 0 {
			hi = s.hi[j]
		} else {
			lo, hi = s.rowLo[-1-j], s.rowHi[-1-j]
		}
		to, side := hi, atHi
		if rate < 0 {
			to, side = lo, atLo
		}
		if math.IsInf(to, 0) {
			continue
		}
		t := max(0, (to-s.x[k])/rate)
		if t < step-1e-12 || t <= step+1e-12 && math.Abs(v) > pivot {
			p, step, at, pivot = k, min(t, step), side, math.Abs(v)
		}
	}
	return p, step, at
}

// pivot updates the inverse and the duals.
func (s *Small) pivot(p int, rc float64) {
	m := s.m
	row := s.inverse[p*m : (p+1)*m]
	f := 1 / s.d[p]
	for r := range row {
		row[r] *= f
	}
	for k := range m {
		if v := s.d[k]; k != p && v != 0 {
			to := s.inverse[k*m : (k+1)*m]
			for r, w := range row {
				to[r] -= v * w
			}
		}
	}
	for r, w := range row {
		s.y[r] += rc * w
	}
}

// Value returns the value of a column.
func (s *Small) Value(j int) float64 {
	switch s.at[j] {
	case atHi:
		return s.hi[j]
	case basic:
		for k, h := range s.head {
			if int(h) == j {
				return s.x[k]
			}
		}
	}
	return 0
}

// Values writes the columns' values into x.
func (s *Small) Values(x []float64) {
	for j := range x {
		x[j] = 0
		if s.at[j] == atHi {
			x[j] = s.hi[j]
		}
	}
	for k, j := range s.head {
		if j >= 0 {
			x[j] = s.x[k]
		}
	}
}

// Dual returns the price of a row: by how much the cost rises with a unit more of its bound.
func (s *Small) Dual(r int) float64 { return s.y[r] }

// Columns returns how many columns were added.
func (s *Small) Columns() int { return len(s.cost) }

// Objective returns the cost of the present point.
func (s *Small) Objective() float64 {
	sum := 0.0
	for k, j := range s.head {
		if j >= 0 {
			sum += s.cost[j] * s.x[k]
		}
	}
	for j, at := range s.at {
		if at == atHi {
			sum += s.cost[j] * s.hi[j]
		}
	}
	return sum
}
