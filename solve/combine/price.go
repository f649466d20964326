package combine

import (
	"math"
	"slices"
)

// pricer searches all patterns of a kind for those that the dual values of a
// relaxation make worth more than they cost. It walks the patterns depth first
// and cuts off where even a filling without any limit but width, with as
// many items as may still join, would not pay.
type pricer struct {
	s       *shop
	n       *need
	y       []float64 // value of a unit of length of each item, in programme units
	u       []float64 // price of each resource
	theta   float64   // patterns must be worth more than theta times their cost
	ratio   bool      // raise theta to the ratio of each pattern found
	kind    int
	pieces  []piece
	first   []int       // first piece of each item in the order of pieces
	fill    [][]float64 // greatest value in so much width with up to d items
	grain   float64
	lanes   []lane
	net     []float64 // cost per unit of length of each stock, without fixed charges
	nodes   int
	budget  int // nodes allowed
	exact   bool
	best    []float64
	bestPat []pattern
}

// piece is some strips of one item.
type piece struct {
	lane
	width int64
	value float64
}

const grains = 1024

// run prices one kind and calls found for each pattern that pays.
func (q *pricer) run(kind int, items []int32) {
	s := q.s
	q.kind, q.pieces, q.first = kind, q.pieces[:0], q.first[:0]
	q.nodes, q.exact = 0, true
	type dense struct {
		i int32
		v float64
	}
	var order []dense
	for _, i := range items {
		if q.n.most[i] > 0 && q.n.parts[i] > 0 {
			order = append(order, dense{i, q.y[i] / float64(s.Items[i].Width)})
		}
	}
	slices.SortStableFunc(order, func(a, b dense) int {
		switch {
		case a.v > b.v:
			return -1
		case a.v < b.v:
			return 1
		}
		return 0
	})
	for _, o := range order {
		q.first = append(q.first, len(q.pieces))
		for a := int32(1); a <= s.mostOuts(o.i, kind) && int64(a) <= q.n.most[o.i]; a++ {
			it := &s.Items[o.i]
			v := q.y[o.i] * float64(a)
			for _, st := range s.byKind[kind] { // pieces cost at least their part of the credit
				v = math.Max(v, q.y[o.i]*float64(a)-s.Stocks[st].Credit*float64(it.Width)*float64(a)*s.unit)
			}
			q.pieces = append(q.pieces, piece{lane{o.i, a}, int64(a) * it.Width, v})
		}
	}
	q.first = append(q.first, len(q.pieces))
	q.stocks()
	q.table()
	q.walk(0, 0, 0, 0, 0, 0)
}

// stocks computes what a unit of length of each stock costs at least.
func (q *pricer) stocks() {
	s := q.s
	q.net = grow(q.net, len(s.Stocks))
	for _, i := range s.byKind[q.kind] {
		st := &s.Stocks[i]
		q.net[i] = (float64(st.Width)*(st.Price-st.Credit) + st.Rate) * s.unit
		for _, d := range st.Draws {
			q.net[i] += q.u[d.Resource] * d.PerLength
		}
	}
}

func grow(v []float64, n int) []float64 {
	if cap(v) < n {
		return make([]float64, n)
	}
	v = v[:n]
	clear(v)
	return v
}

// table fills the greatest value by width: fill[d] with at most d items, the
// last with any number. Widths are rounded in favour of the value.
func (q *pricer) table() {
	depth := min(q.s.Line.Orders-1, 3)
	q.grain = float64(q.s.widest[q.kind]) / grains
	for len(q.fill) < depth+1 {
		q.fill = append(q.fill, make([]float64, grains+1))
	}
	q.fill = q.fill[:depth+1]
	clear(q.fill[0])
	for d := 1; d <= depth; d++ {
		from, to := q.fill[d-1], q.fill[d]
		if d == depth && q.s.Line.Orders-1 > depth {
			from = to // any number of items
		}
		copy(to, q.fill[d-1])
		if d == 1 || d == depth && q.s.Line.Orders-1 > depth {
			clear(to)
		}
		for g := 0; g <= grains; g++ {
			if g > 0 {
				to[g] = math.Max(to[g], to[g-1])
			}
			for _, p := range q.pieces {
				w := int(float64(p.width) / q.grain)
				if w <= g {
					if w == 0 && d == depth && q.s.Line.Orders-1 > depth {
						w = 1
					}
					if g-w >= 0 {
						to[g] = math.Max(to[g], from[g-w]+p.value)
					}
				}
			}
		}
	}
}

// room is the greatest value that more items can add beside width used, less the stock's cost.
func (q *pricer) room(used int64, lanes int) float64 {
	s := q.s
	fill := q.fill[min(s.Line.Orders-lanes, len(q.fill)-1)]
	best := math.Inf(-1)
	for _, i := range s.byKind[q.kind] {
		rest := s.Stocks[i].Width - s.Line.TrimLeast - used
		if rest < 0 {
			continue
		}
		best = math.Max(best, fill[min(grains, int(float64(rest)/q.grain)+1)]-q.theta*q.net[i])
	}
	return best
}

// walk extends the lanes by the items from position at on.
func (q *pricer) walk(at int, used int64, outs, marks, class int, value float64) {
	s := q.s
	for k := at; k+1 < len(q.first); k++ {
		lo, hi := q.first[k], q.first[k+1]
		if lo == hi {
			continue
		}
		it := &s.Items[q.pieces[lo].item]
		c := class
		if it.Class != 0 {
			if class != 0 && class != it.Class {
				continue
			}
			c = it.Class
		}
		if !lengthFits(s, q.lanes, it.Length) {
			continue
		}
		for _, p := range q.pieces[lo:hi] {
			w := used + p.width
			o, m := outs+int(p.outs), marks+int(p.outs)*it.Marks
			if w > s.widest[q.kind]-s.Line.TrimLeast || o > s.Line.Outs || m > s.Line.Marks {
				break
			}
			q.nodes++
			if q.nodes > q.budget {
				q.exact = false
				return
			}
			v := value + p.value
			last := len(q.lanes)+1 >= s.Line.Orders
			if v+q.room(w, len(q.lanes)+1) <= tiny {
				continue
			}
			q.lanes = append(q.lanes, p.lane)
			q.emit(w, v)
			if !last {
				q.walk(k+1, w, o, m, c, v)
			}
			q.lanes = q.lanes[:len(q.lanes)-1]
		}
	}
}

// tiny is the gain below which a pattern is not worth a column.
const tiny = 1e-9

// emit weighs the lanes on each stock that takes them.
func (q *pricer) emit(used int64, value float64) {
	s := q.s
	checked := false
	var least, most int64
	for _, i := range s.byKind[q.kind] {
		trim := s.Stocks[i].Width - used
		if trim < s.Line.TrimLeast {
			continue
		}
		if trim > s.Line.TrimMost || value-q.theta*q.net[i] <= tiny && !s.limited[i] {
			break
		}
		if !checked {
			checked = true
			if !s.stands(q.lanes) {
				return
			}
			if least, most = s.reach(q.n, q.lanes); least > most {
				return
			}
		}
		p := pattern{int32(i), q.lanes, least, min(most, s.capacity(q.n, i))}
		if p.least > p.most {
			continue
		}
		worth, cost := q.weigh(&p)
		gain := worth - q.theta*cost
		if gain <= tiny {
			if !s.limited[i] {
				break
			}
			continue
		}
		if q.ratio {
			q.theta = math.Max(q.theta, worth/cost)
			continue
		}
		kept := false
		for _, l := range q.lanes {
			if gain > q.best[l.item] {
				if !kept {
					kept = true
					p.lanes = slices.Clone(q.lanes)
				}
				q.best[l.item], q.bestPat[l.item] = gain, p
			}
		}
	}
}

// weigh returns what a unit of length of a pattern is worth and what it costs in the relaxation.
func (q *pricer) weigh(p *pattern) (worth, cost float64) {
	s := q.s
	st := &s.Stocks[p.stock]
	cost = runRate(s, st, p.most)
	for _, l := range p.lanes {
		it := &s.Items[l.item]
		a := s.yield(l, p.most)
		worth += q.y[l.item] * a
		cost += st.Credit * float64(it.Width) * a
	}
	cost *= s.unit
	for _, d := range st.Draws {
		cost += q.u[d.Resource] * d.PerLength
	}
	return worth, cost
}
