package lp

import "math"

// factor holds a basis as B = L·U·E₁·…·Eₖ: a sparse LU of the basis at the last
// refactorisation, then one elementary column matrix per exchange since
// (product form of the inverse; Dantzig & Orchard-Hays 1954, from memory).
//
// Pivots are taken in three stages: columns with one open row (no elimination),
// rows with one open column (no fill), and the nucleus that remains, in an order
// that fills little. Bases of plain cutting problems are nearly triangular; those
// with many cuts are nearly all nucleus.
type factor struct {
	m          int
	prow, ppos []int32 // pivot k stands in row prow[k], basis position ppos[k]
	piv        []float64
	ubeg, uidx []int32 // column k of U above its pivot: row numbers
	uval       []float64
	lpiv       []int32 // pivots with a column in L
	lbeg, lidx []int32
	lval       []float64
	epos, ebeg []int32 // etas
	eidx       []int32
	eval, epiv []float64
	nucleus    nucleus
}

const (
	pivotLeast = 1e-9 // smaller pivots count as zero
	threshold  = 0.1  // a nucleus pivot is at least this share of its column's largest entry
)

func grow[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n, n+n/2+8)
	}
	s = s[:n]
	clear(s)
	return s
}

// build factors the basis whose position k holds the column beg[head[k]]…. It
// returns the positions that turned out dependent and the rows left over for them.
func (f *factor) build(m int, head, beg, idx []int32, val []float64) (positions, rows []int32) {
	f.m = m
	f.prow, f.ppos, f.piv = f.prow[:0], f.ppos[:0], f.piv[:0]
	f.ubeg, f.uidx, f.uval = append(f.ubeg[:0], 0), f.uidx[:0], f.uval[:0]
	f.lpiv, f.lbeg, f.lidx, f.lval = f.lpiv[:0], append(f.lbeg[:0], 0), f.lidx[:0], f.lval[:0]
	f.epos, f.ebeg, f.eidx, f.eval, f.epiv = f.epos[:0], append(f.ebeg[:0], 0), f.eidx[:0], f.eval[:0], f.epiv[:0]
	n := &f.nucleus
	f.index(head, beg, idx)
	f.peel(head, beg, idx, val)
	positions = f.crunch(head, beg, idx, val)
	if len(positions) > 0 {
		for r := range m {
			if !n.rowDone[r] {
				rows = append(rows, int32(r))
			}
		}
	}
	return positions, rows
}

// index lists the positions of each row and counts open entries.
func (f *factor) index(head, beg, idx []int32) {
	n, m := &f.nucleus, f.m
	n.rowLeft, n.colNum = grow(n.rowLeft, m), grow(n.colNum, m)
	n.rowDone, n.posDone = grow(n.rowDone, m), grow(n.posDone, m)
	n.rowBeg = grow(n.rowBeg, m+1)
	total := 0
	for k, c := range head {
		for _, r := range idx[beg[c]:beg[c+1]] {
			n.rowLeft[r]++
			n.rowBeg[r+1]++
		}
		n.colNum[k] = beg[c+1] - beg[c]
		total += int(n.colNum[k])
	}
	for r := range m {
		n.rowBeg[r+1] += n.rowBeg[r]
	}
	n.rowPos = grow(n.rowPos, total)
	fill := grow(n.queue, m)
	for k, c := range head {
		for _, r := range idx[beg[c]:beg[c+1]] {
			n.rowPos[n.rowBeg[r]+fill[r]] = int32(k)
			fill[r]++
		}
	}
	n.queue = fill[:0]
}

// peel takes column and row singletons until none is left.
func (f *factor) peel(head, beg, idx []int32, val []float64) {
	n := &f.nucleus
	// The queue holds positions as k and rows as -1-r.
	q := n.queue[:0]
	for k := range head {
		if n.colNum[k] == 1 {
			q = append(q, int32(k))
		}
	}
	for r := range f.m {
		if n.rowLeft[r] == 1 {
			q = append(q, int32(-1-r))
		}
	}
	for len(q) > 0 {
		e := q[len(q)-1]
		q = q[:len(q)-1]
		row, pos := int32(-1), int32(-1)
		if e >= 0 {
			if n.posDone[e] || n.colNum[e] != 1 {
				continue
			}
			pos = e
			for _, r := range idx[beg[head[e]]:beg[head[e]+1]] {
				if !n.rowDone[r] {
					row = r
				}
			}
		} else {
			row = -1 - e
			if n.rowDone[row] || n.rowLeft[row] != 1 {
				continue
			}
			for _, k := range n.rowPos[n.rowBeg[row]:n.rowBeg[row+1]] {
				if !n.posDone[k] {
					pos = k
				}
			}
		}
		if row < 0 || pos < 0 || !f.take(row, pos, head[pos], beg, idx, val) {
			continue
		}
		for _, k := range n.rowPos[n.rowBeg[row]:n.rowBeg[row+1]] {
			if n.colNum[k]--; n.colNum[k] == 1 && !n.posDone[k] {
				q = append(q, k)
			}
		}
		for _, r := range idx[beg[head[pos]]:beg[head[pos]+1]] {
			if n.rowLeft[r]--; n.rowLeft[r] == 1 && !n.rowDone[r] {
				q = append(q, -1-r)
			}
		}
	}
	n.queue = q
}

// take records a pivot that needs no elimination.
func (f *factor) take(row, pos, col int32, beg, idx []int32, val []float64) bool {
	n := &f.nucleus
	p := 0.0
	for e := beg[col]; e < beg[col+1]; e++ {
		if idx[e] == row {
			p = val[e]
		}
	}
	if math.Abs(p) < pivotLeast {
		return false
	}
	n.rowDone[row], n.posDone[pos] = true, true
	lower := false
	for e := beg[col]; e < beg[col+1]; e++ {
		switch r := idx[e]; {
		case r == row:
		case n.rowDone[r]:
			f.uidx, f.uval = append(f.uidx, r), append(f.uval, val[e])
		default:
			f.lidx, f.lval, lower = append(f.lidx, r), append(f.lval, val[e]/p), true
		}
	}
	f.close(row, pos, p, lower)
	return true
}

func (f *factor) close(row, pos int32, p float64, lower bool) {
	if lower {
		f.lpiv = append(f.lpiv, row)
		f.lbeg = append(f.lbeg, int32(len(f.lidx)))
	}
	f.prow, f.ppos, f.piv = append(f.prow, row), append(f.ppos, pos), append(f.piv, p)
	f.ubeg = append(f.ubeg, int32(len(f.uidx)))
}

// ftran solves B·x = b: b by row, destroyed; x by position.
func (f *factor) ftran(b, x []float64) {
	for t, row := range f.lpiv {
		if v := b[row]; v != 0 {
			for e := f.lbeg[t]; e < f.lbeg[t+1]; e++ {
				b[f.lidx[e]] -= v * f.lval[e]
			}
		}
	}
	for k := f.m - 1; k >= 0; k-- {
		v := b[f.prow[k]]
		if v == 0 {
			x[f.ppos[k]] = 0
			continue
		}
		v /= f.piv[k]
		x[f.ppos[k]] = v
		for e := f.ubeg[k]; e < f.ubeg[k+1]; e++ {
			b[f.uidx[e]] -= v * f.uval[e]
		}
	}
	for t, p := range f.epos {
		v := x[p]
		if v == 0 {
			continue
		}
		v /= f.epiv[t]
		x[p] = v
		for e := f.ebeg[t]; e < f.ebeg[t+1]; e++ {
			x[f.eidx[e]] -= v * f.eval[e]
		}
	}
}

// btran solves y·B = c: c by position, destroyed; y by row.
func (f *factor) btran(c, y []float64) {
	for t := len(f.epos) - 1; t >= 0; t-- {
		v := c[f.epos[t]]
		for e := f.ebeg[t]; e < f.ebeg[t+1]; e++ {
			v -= c[f.eidx[e]] * f.eval[e]
		}
		c[f.epos[t]] = v / f.epiv[t]
	}
	for k := range f.m {
		v := c[f.ppos[k]]
		for e := f.ubeg[k]; e < f.ubeg[k+1]; e++ {
			v -= y[f.uidx[e]] * f.uval[e]
		}
		y[f.prow[k]] = v / f.piv[k]
	}
	for t := len(f.lpiv) - 1; t >= 0; t-- {
		v := y[f.lpiv[t]]
		for e := f.lbeg[t]; e < f.lbeg[t+1]; e++ {
			v -= y[f.lidx[e]] * f.lval[e]
		}
		y[f.lpiv[t]] = v
	}
}

// exchange replaces the column at position p by the one whose ftran is d.
func (f *factor) exchange(p int32, d []float64) {
	for k, v := range d {
		if int32(k) != p && (v > 1e-14 || v < -1e-14) {
			f.eidx, f.eval = append(f.eidx, int32(k)), append(f.eval, v)
		}
	}
	f.epos, f.epiv = append(f.epos, p), append(f.epiv, d[p])
	f.ebeg = append(f.ebeg, int32(len(f.eidx)))
}
