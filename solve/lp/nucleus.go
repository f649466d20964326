package lp

import "math"

// nucleus is the scratch space of build: who is done, and the part of the basis
// that no pivot without elimination is left in.
type nucleus struct {
	rowBeg, rowPos  []int32
	rowLeft, colNum []int32
	rowDone         []bool
	posDone         []bool
	queue           []int32
	open            []int32   // rows of the part that are left
	rows            [][]cell  // of each row, in columns that are left
	columns         [][]int32 // rows that hold something in each column; some may be done
	upper           [][]cell  // of each column, what done rows hold
	place           []int32   // by position: where a row holds it, plus 1
}

// cell is an entry of a row at a position, or of a column in a row.
type cell struct {
	at int32
	v  float64
}

const (
	candidates = 4     // rows looked at for a pivot
	nothing    = 1e-14 // an entry this small after elimination is none
)

// crunch pivots on what peel left: each time on an entry of one of the shortest
// rows, in its shortest column, that is at least a share of its row's greatest
// (Markowitz, Management Science 3 (1957) 255–269, from memory). It returns the
// positions that turned out dependent.
func (f *factor) crunch(head, beg, idx []int32, val []float64) (positions []int32) {
	n := &f.nucleus
	f.gather(head, beg, idx, val)
	for {
		r, p := n.pick()
		if r < 0 {
			break
		}
		f.pivot(r, p)
	}
	for k := range head {
		if !n.posDone[k] {
			positions = append(positions, int32(k))
		}
	}
	return positions
}

// gather lists the part's rows and columns.
func (f *factor) gather(head, beg, idx []int32, val []float64) {
	n, m := &f.nucleus, f.m
	n.rows, n.columns, n.upper = lists(n.rows, m), lists(n.columns, m), lists(n.upper, m)
	n.place = grow(n.place, m)
	n.open = n.open[:0]
	for r := range m {
		if !n.rowDone[r] {
			n.open = append(n.open, int32(r))
		}
	}
	for k, c := range head {
		if n.posDone[k] {
			continue
		}
		for e := beg[c]; e < beg[c+1]; e++ {
			r := idx[e]
			if n.rowDone[r] {
				n.upper[k] = append(n.upper[k], cell{r, val[e]})
				continue
			}
			if l := len(n.rows[r]); l > 0 && n.rows[r][l-1].at == int32(k) { // named twice in its column
				n.rows[r][l-1].v += val[e]
				continue
			}
			n.rows[r] = append(n.rows[r], cell{int32(k), val[e]})
			n.columns[k] = append(n.columns[k], r)
		}
		n.colNum[k] = int32(len(n.columns[k]))
	}
}

// lists is s with n empty lists, their memory kept.
func lists[T any](s [][]T, n int) [][]T {
	for len(s) < n {
		s = append(s, nil)
	}
	for k := range n {
		s[k] = s[k][:0]
	}
	return s
}

// pick chooses the next pivot: a row and its entry's place; -1 where none is left.
func (n *nucleus) pick() (row, place int32) {
	var short [candidates]int32
	found := 0
	for _, r := range n.open { // the shortest rows, in order
		l := len(n.rows[r])
		if l == 0 || found == candidates && l >= len(n.rows[short[found-1]]) {
			continue
		}
		k := found
		if found < candidates {
			found++
		} else {
			k--
		}
		for ; k > 0 && len(n.rows[short[k-1]]) > l; k-- {
			short[k] = short[k-1]
		}
		short[k] = r
	}
	row, place = -1, -1
	least, size := math.Inf(1), 0.0
	for _, r := range short[:found] {
		most := 0.0
		for _, c := range n.rows[r] {
			most = max(most, math.Abs(c.v))
		}
		if most < pivotLeast {
			n.rows[r] = n.rows[r][:0]
			continue
		}
		for k, c := range n.rows[r] {
			v := math.Abs(c.v)
			fill := float64(len(n.rows[r])-1) * float64(n.colNum[c.at]-1)
			if v >= threshold*most && (fill < least || fill == least && v > size) {
				row, place, least, size = r, int32(k), fill, v
			}
		}
	}
	if row < 0 && found > 0 {
		return n.pick()
	}
	return row, place
}

// pivot takes a row's entry as pivot and eliminates its column from the other rows.
func (f *factor) pivot(row, place int32) {
	n := &f.nucleus
	own := n.rows[row]
	pos, p := own[place].at, own[place].v
	own[place] = own[len(own)-1]
	own = own[:len(own)-1]
	n.rowDone[row], n.posDone[pos] = true, true
	for _, c := range own {
		n.upper[c.at] = append(n.upper[c.at], cell{row, c.v})
		n.colNum[c.at]--
	}
	lower := false
	for _, i := range n.columns[pos] {
		if n.rowDone[i] {
			continue
		}
		if v := n.remove(i, pos); v != 0 {
			f.lidx, f.lval, lower = append(f.lidx, i), append(f.lval, v/p), true
			n.subtract(i, own, v/p)
		}
	}
	for _, c := range n.upper[pos] {
		f.uidx, f.uval = append(f.uidx, c.at), append(f.uval, c.v)
	}
	f.close(row, pos, p, lower)
	left := n.open[:0]
	for _, r := range n.open {
		if r != row {
			left = append(left, r)
		}
	}
	n.open = left
}

// remove takes a row's entry at a position out and returns it.
func (n *nucleus) remove(row, pos int32) float64 {
	list := n.rows[row]
	for k := range list {
		if list[k].at == pos {
			v := list[k].v
			list[k] = list[len(list)-1]
			n.rows[row] = list[:len(list)-1]
			return v
		}
	}
	return 0
}

// subtract takes share times other entries from a row.
func (n *nucleus) subtract(row int32, other []cell, share float64) {
	list := n.rows[row]
	for k := range list {
		n.place[list[k].at] = int32(k) + 1
	}
	for _, c := range other {
		if k := n.place[c.at]; k > 0 {
			list[k-1].v -= share * c.v
			continue
		}
		list = append(list, cell{c.at, -share * c.v})
		n.columns[c.at] = append(n.columns[c.at], row)
		n.colNum[c.at]++
		n.place[c.at] = int32(len(list))
	}
	kept := list[:0]
	for _, c := range list {
		n.place[c.at] = 0
		if math.Abs(c.v) < nothing {
			n.colNum[c.at]--
			continue
		}
		kept = append(kept, c)
	}
	n.rows[row] = kept
}
