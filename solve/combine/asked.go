package combine

import (
	"math"
	"slices"
)

// sort is a sort of run, by what it holds. A plan has so many runs of it.
type sort struct {
	a, b   int32 // strands that it holds; b is a where only one is asked for, both are -1 for any run
	stock  int32 // -1: any
	ao, bo int32 // strips of each; 0: any
	lo, hi int64 // lengths, from and to
}

// anyRun, holding and sharing are the coarse sorts: any run, runs with an item, runs with two.
func anyRun() sort                  { return sort{-1, -1, -1, 0, 0, 0, math.MaxInt64} }
func holding(a int32) sort          { return sort{a, a, -1, 0, 0, 0, math.MaxInt64} }
func sharing(a, b int32) sort       { return sort{a, b, -1, 0, 0, 0, math.MaxInt64} }
func (q *sort) coarse() bool        { return q.stock < 0 && q.ao == 0 && q.lo == 0 && q.hi == math.MaxInt64 }
func (q *sort) within(x int64) bool { return q.lo <= x && x <= q.hi }

// agreed is what a node of the branching holds of the runs of a sort.
type agreed struct {
	sort
	law law
	n   int64
	row int // of the programme, -1 without
}

type law int8

const (
	atLeast law = iota // n runs
	atMost             // n runs; 0 bars the sort
	inOne              // one run makes the item, and no other holds it
)

// asks is what the present node asks, and its prices spread over strands.
type asks struct {
	list  []agreed
	fine  []int     // of them, those of sorts that are not coarse
	base  int       // rows below this are the root's
	apart []bool    // by pair of strands
	once  []bool    // by strand
	pair  []float64 // price of a run with both strands
	held  []float64 // price of a run with the strand
	every float64   // price of any run
	fines []float64 // price of a run of each of fine, below 0 where it is a cost
}

// ask takes what a node asks and gives rows to what needs one.
func (m *master) ask(list []agreed) {
	n, q := len(m.strands), &m.asked
	q.list, q.fine = list, q.fine[:0]
	q.apart, q.once = make([]bool, n*n), make([]bool, n)
	q.pair, q.held = make([]float64, n*n), make([]float64, n)
	m.rows = q.base
	for k := range list {
		g := &list[k]
		g.row = -1
		switch {
		case g.law == inOne:
			q.once[g.a] = true
		case g.law == atMost && g.n == 0 && g.coarse():
			q.apart[int(g.a)*n+int(g.b)], q.apart[int(g.b)*n+int(g.a)] = true, true
		case g.law == atMost && g.n == 0:
			q.fine = append(q.fine, k)
		default:
			if g.row = m.addRow(); !g.coarse() {
				q.fine = append(q.fine, k)
			}
		}
	}
}

// counts reports whether a run is of a sort, its length aside.
func (m *master) counts(q *sort, stock int32, lanes []lane) bool {
	if q.a < 0 {
		return true
	}
	if q.stock >= 0 && q.stock != stock {
		return false
	}
	a, b := false, false
	for _, l := range lanes {
		k := m.of[l.item]
		a = a || k == q.a && (q.ao == 0 || q.ao == l.outs)
		b = b || k == q.b && (q.bo == 0 || q.bo == l.outs)
	}
	return a && b
}

// share is what one run adds to the row of something asked.
func (g *agreed) share() float64 { return 1 / float64(g.n) }

// allows reports whether a run may stand under what is asked.
func (m *master) allows(b *bestRun) bool {
	for k := range m.asked.list {
		g := &m.asked.list[k]
		switch {
		case g.law == inOne:
			for _, l := range b.lanes {
				if m.of[l.item] == g.a && m.s.good(int(l.item), int(l.outs), b.length) < m.s.Items[l.item].Least {
					return false
				}
			}
		case g.law == atMost && g.n == 0 && m.counts(&g.sort, b.stock, b.lanes) && g.within(b.length):
			return false
		}
	}
	return true
}

// priceAsked spreads duals over strands and pairs.
func (m *master) priceAsked(y []float64) {
	n, q := len(m.strands), &m.asked
	clear(q.pair)
	clear(q.held)
	q.every, q.fines = 0, q.fines[:0]
	for k := range q.list {
		g := &q.list[k]
		d := 0.0
		if g.row >= 0 {
			d = y[g.row] * g.share()
		}
		if g.law == atMost {
			d = -d
		}
		switch {
		case slices.Contains(q.fine, k):
			q.fines = append(q.fines, d)
		case g.row < 0:
		case g.a < 0:
			q.every += d
		case g.a == g.b:
			q.held[g.a] += d
		default:
			q.pair[int(g.a)*n+int(g.b)] += d
			q.pair[int(g.b)*n+int(g.a)] += d
		}
	}
}

// earnsAsked is what lanes earn whatever their length; false where they are barred.
func (m *master) earnsAsked(lanes []lane) (float64, bool) {
	q := &m.asked
	if len(q.list) == 0 {
		return 0, true
	}
	n := len(m.strands)
	v := q.every
	for i, l := range lanes {
		k := int(m.of[l.item])
		v += q.held[k]
		if q.apart[k*n+k] {
			return 0, false
		}
		for _, o := range lanes[:i] {
			at := k*n + int(m.of[o.item])
			if q.apart[at] {
				return 0, false
			}
			v += q.pair[at]
		}
	}
	return v, true
}

// mostAsked is the most that a lane of a strand can add to what a run earns.
func (m *master) mostAsked(k int32) float64 {
	q := &m.asked
	if len(q.list) == 0 {
		return 0
	}
	n := len(m.strands)
	v := max(0, q.held[k])
	for o := range n {
		v += max(0, q.pair[int(k)*n+o])
	}
	for f, d := range q.fines {
		if q.list[q.fine[f]].a == k {
			v += max(0, d)
		}
	}
	return v
}

// asksOf writes what a run adds to the rows of what is asked.
func (m *master) asksOf(b *bestRun, put func(r int, v float64)) {
	for k := range m.asked.list {
		if g := &m.asked.list[k]; g.row >= 0 && m.counts(&g.sort, b.stock, b.lanes) && g.within(b.length) {
			put(g.row, g.share())
		}
	}
}

// upper reports whether a row is one that must not be exceeded.
func (g *agreed) upper() bool { return g.law == atMost }

// inOne reports whether one run must make an item.
func (q *asks) inOne(item int32, m *master) bool { return len(q.list) > 0 && q.once[m.of[item]] }

// fineOf lists those of fine that the lanes and stock of a pattern are of.
func (m *master) fineOf(p *pattern) []int {
	var out []int
	for f, k := range m.asked.fine {
		if m.counts(&m.asked.list[k].sort, p.stock, p.lanes) {
			out = append(out, f)
		}
	}
	return out
}
