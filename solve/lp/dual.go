package lp

import "math"

// mend brings a basis that was optimal before rows were added or bounds drawn
// in back within all bounds, by exchanges of the dual simplex (Lemke, Naval
// Research Logistics Quarterly 1 (1954) 36–47): the variable farthest outside, for
// the length of its row of the inverse, leaves (Forrest & Goldfarb, Mathematical
// Programming 57 (1992) 341–374, from memory; all lengths are 1 at first), and of those that can take its place the one enters whose reduced cost
// allows it first. Columns that pay already are held back by a higher cost
// meanwhile. It ends early where no column can take a place, a pivot is too
// small, or limit exchanges are done; the primal exchanges go on from there.
func (s *Simplex) mend(limit int) {
	if !s.duals() {
		return
	}
	kept := s.cost
	s.cost = append(s.raised[:0], kept...)
	s.raised = s.cost
	s.slack = grow(s.slack, len(kept))
	s.settleCosts()
	s.across.turn(s)
	s.alpha = grow(s.alpha, len(kept))
	s.edge = grow(s.edge, s.m)
	s.tau = grow(s.tau, s.m)
	for k := range s.edge {
		s.edge[k] = 1
	}
	for range limit {
		p := s.farthest()
		if p < 0 || !s.enterFor(p) {
			break
		}
		if len(s.fac.epos) >= refresh {
			s.refactor()
			s.settleCosts()
		}
	}
	s.cost = kept
	s.refactor()
}

// settleCosts computes the duals and reduced costs of the second phase, and
// raises or lowers costs where a column would pay.
func (s *Simplex) settleCosts() {
	for k, c := range s.head {
		s.c[k] = s.cost[c]
	}
	s.fac.btran(s.c, s.y)
	for j := range s.cost {
		if s.slack[j] = 0; s.at[j] == basic {
			continue
		}
		r := s.reduced(j, false)
		if at := s.at[j]; at == atLo && r < 0 || at == atHi && r > 0 || at == atZero {
			s.cost[j] -= r
			r = 0
		}
		s.slack[j] = r
	}
}

// farthest is the position whose value misses its bounds by most, for its weight; -1 where none does.
func (s *Simplex) farthest() int {
	at, most := -1, 0.0
	for k := range s.m {
		if o := s.outside(k); o != 0 {
			c := s.head[k]
			miss := s.lo[c] - s.x[k]
			if o > 0 {
				miss = s.x[k] - s.hi[c]
			}
			if v := miss * miss / s.edge[k]; v > most {
				at, most = k, v
			}
		}
	}
	return at
}

// enterFor exchanges the variable at a position, which leaves at the bound that
// it misses. It returns false where that cannot be.
func (s *Simplex) enterFor(p int) bool {
	leaves, up := s.head[p], 1.0 // up: the value must rise
	bound, at := s.lo[leaves], atLo
	if s.x[p] > s.hi[leaves] {
		bound, at, up = s.hi[leaves], atHi, -1
	}
	clear(s.c)
	s.c[p] = 1
	s.fac.btran(s.c, s.b)
	norm := 0.0
	for r, v := range s.b {
		norm += v * v
		s.c[r] = v
	}
	widest := math.Inf(1)
	s.across.times(s.b, s.alpha)
	s.entries = s.entries[:0]
	for j, v := range s.alpha {
		if math.Abs(v) < pivotLeast || s.at[j] == basic {
			continue
		}
		s.entries = append(s.entries, entry{int32(j), v})
		if s.raises(j, v*up) {
			widest = min(widest, (math.Abs(s.slack[j])+dual)/math.Abs(v))
		}
	}
	q, pivot := -1, 0.0
	for _, n := range s.entries {
		if v := math.Abs(n.v); v > math.Abs(pivot) && s.raises(int(n.j), n.v*up) && math.Abs(s.slack[n.j]) <= widest*v {
			q, pivot = int(n.j), n.v
		}
	}
	if q < 0 {
		return false
	}
	theta := s.slack[q] / pivot
	for _, n := range s.entries {
		s.slack[n.j] -= theta * n.v
	}
	s.slack[leaves] = -theta
	s.load(q)
	if math.Abs(s.d[p]-pivot) > 1e-6*(1+math.Abs(pivot)) {
		return false
	}
	s.weigh(p, norm)
	far := (s.x[p] - bound) / s.d[p]
	dir := math.Copysign(1, far)
	s.iter++
	s.work += s.m
	s.step(q, p, dir, math.Abs(far), at)
	s.slack[q] = 0
	return true
}

// weigh brings the weights up to date for an exchange at a position; s.c holds its
// row of the inverse, norm the square of that row's length.
func (s *Simplex) weigh(p int, norm float64) {
	s.fac.ftran(s.c, s.tau)
	for k, v := range s.d {
		if k != p && v != 0 {
			r := v / s.d[p]
			s.edge[k] = max(s.edge[k]-2*r*s.tau[k]+r*r*norm, edgeLeast)
		}
	}
	s.edge[p] = max(norm/(s.d[p]*s.d[p]), edgeLeast)
}

const edgeLeast = 1e-4

// entry is what a column that is not basic has in the row of the one that leaves.
type entry struct {
	j int32
	v float64
}

// raises reports whether a column with this entry in the row of a value that
// must rise can raise it from the bound where it rests.
func (s *Simplex) raises(j int, v float64) bool {
	switch s.at[j] {
	case atLo:
		return v < 0
	case atHi:
		return v > 0
	}
	return true
}

// across is the programme by rows, without the columns that cannot move.
type across struct {
	beg, idx, fill []int32
	val            []float64
}

// turn copies the columns.
func (a *across) turn(s *Simplex) {
	a.beg, a.fill = grow(a.beg, s.m+1), grow(a.fill, s.m)
	for j := range s.cost {
		if s.lo[j] < s.hi[j] {
			for _, r := range s.idx[s.beg[j]:s.beg[j+1]] {
				a.beg[r+1]++
			}
		}
	}
	for r := range s.m {
		a.beg[r+1] += a.beg[r]
	}
	copy(a.fill, a.beg)
	n := int(a.beg[s.m])
	a.idx, a.val = grow(a.idx, n), grow(a.val, n)
	for j := range s.cost {
		if s.lo[j] < s.hi[j] {
			for e := s.beg[j]; e < s.beg[j+1]; e++ {
				k := &a.fill[s.idx[e]]
				a.idx[*k], a.val[*k] = int32(j), s.val[e]
				*k++
			}
		}
	}
}

// times writes the products of a row vector with all columns.
func (a *across) times(b, to []float64) {
	clear(to)
	for r, v := range b {
		if v == 0 {
			continue
		}
		for e := a.beg[r]; e < a.beg[r+1]; e++ {
			to[a.idx[e]] += v * a.val[e]
		}
	}
}
