package combine

import (
	"math"
	"math/rand/v2"

	"github.com/flutewright/flutewright/solve/lp"
)

// relaxation is the linear programme over a few items and their patterns. A row
// is an item: strips' length made, shorts and overs balance what is wanted.
//
//	want ≤ Σ αₚ·xₚ + short − over + missing ≤ want + what a run makes anyway
//
// xₚ is the length of pattern p; α counts the length that good pieces take up.
// Shorts and overs without a price widen the row instead.
type relaxation struct {
	s       *shop
	lp      lp.Small
	row     []int32 // row of each item, -1 outside
	items   []int32
	cols    []pattern
	column  []int     // column of each pattern
	missing []int     // column of each row, -1 where the item must be finished
	limits  []int     // resources that have a row
	x       []float64 // of every column
	price   []float64 // of every row
	lo, hi  []float64
	rows    []int32
	coef    []float64
	begin   []int     // basis at the start: the cheapest pattern of one lane, by row
	rate    []float64 // its cost per length made
	roomy   bool      // every strip of a run, not one of them, may make a cut less than its length says
}

// missingRate is the cost of a missing length in a relaxation, above any sensible run.
func (r *relaxation) missingRate() float64 { return 1e4 * r.s.dearest * r.s.unit }

// set builds the programme for items under n, over cols. Costs are disturbed by up to noise.
func (r *relaxation) set(n *need, items []int32, cols []pattern, alive []bool, noise float64, rnd *rand.Rand) {
	s := r.s
	if len(r.row) != len(s.Items) {
		r.row = make([]int32, len(s.Items))
		for i := range r.row {
			r.row[i] = -1
		}
	}
	for _, i := range r.items {
		r.row[i] = -1
	}
	r.items, r.cols = append(r.items[:0], items...), cols
	r.lo, r.hi, r.limits = r.lo[:0], r.hi[:0], r.limits[:0]
	for k, i := range items {
		r.row[i] = int32(k)
		it, c := &s.Items[i], s.scaled(i)
		lo, hi := max(n.want[i], 0), max(n.want[i], 0)
		if it.Short <= 0 {
			lo = max(n.least[i], 0)
		}
		if it.Over == 0 {
			hi = max(n.most[i], hi)
		}
		// A run makes up to one cut, and the rejects, less than its length says: free.
		strips := int64(1)
		if r.roomy {
			strips = int64(s.Line.Outs)
		}
		r.lo, r.hi = append(r.lo, float64(lo)*c), append(r.hi, float64(hi+strips*(1+s.Line.Rejects))*c)
	}
	used := make([]bool, len(s.Limits))
	for i := range cols {
		for _, d := range s.Stocks[cols[i].stock].Draws {
			used[d.Resource] = true
		}
	}
	for k, u := range used {
		if u {
			r.limits = append(r.limits, k)
			r.lo, r.hi = append(r.lo, math.Inf(-1)), append(r.hi, max(0, n.left[k])/s.unit)
		}
	}
	r.lp.Reset(r.lo, r.hi)
	r.column, r.missing = r.column[:0], r.missing[:0]
	r.begin, r.rate = r.begin[:0], r.rate[:0]
	for k, i := range items {
		r.slacks(n, k, i)
		r.begin, r.rate = append(r.begin, r.missing[k]), append(r.rate, math.Inf(1))
	}
	for i := range cols {
		p := &cols[i]
		c := r.load(p, alive)
		if noise > 0 {
			c *= 1 + noise*rnd.Float64()
		}
		j := r.lp.Add(c, math.Inf(1), r.rows, r.coef)
		r.column = append(r.column, j)
		if len(p.lanes) == 1 && len(r.limits) == 0 {
			if k, rate := r.rows[0], c/r.coef[0]; rate < r.rate[k] {
				r.rate[k], r.begin[k] = rate, j
			}
		}
	}
	for range r.limits {
		r.begin = append(r.begin, -1)
	}
	r.lp.Begin(r.begin)
}

// scaled is the length of one piece in the programme's unit.
func (s *shop) scaled(i int32) float64 { return float64(s.Items[i].Length) / s.unit }

// slacks adds what may be short, over and missing of an item.
func (r *relaxation) slacks(n *need, k int, i int32) {
	s := r.s
	it, c := &s.Items[i], s.scaled(i)
	row := []int32{int32(k)}
	want, least := max(n.want[i], 0), max(n.least[i], 0)
	if it.Short > 0 && want > least {
		r.lp.Add(it.Short/c, float64(want-least)*c, row, []float64{1})
	}
	if over := n.most[i] - want; it.Over != 0 && over > 0 {
		r.lp.Add(it.Over/c, float64(over)*c, row, []float64{-1})
	}
	r.missing = append(r.missing, r.lp.Add(r.missingRate(), math.Inf(1), row, []float64{1}))
}

// load writes the coefficients of a pattern and returns its cost per unit of length,
// with what a run costs once spread over the longest run it may be.
func (r *relaxation) load(p *pattern, alive []bool) float64 {
	s := r.s
	st := &s.Stocks[p.stock]
	most := float64(p.most)
	net := float64(st.Width) * (st.Price - st.Credit)
	c := net*(1+s.Line.RunLoss/most) + max(st.Rate, st.Floor/most)
	if alive != nil && !alive[p.stock] {
		c += s.Line.WidthLoss * float64(st.Width) * st.Price / most
	}
	r.rows, r.coef = r.rows[:0], r.coef[:0]
	for _, l := range p.lanes {
		it := &s.Items[l.item]
		a := float64(l.outs) * (1 - float64(s.Line.Rejects*it.Length)/most)
		r.rows, r.coef = append(r.rows, r.row[l.item]), append(r.coef, max(a, 1e-3))
		c += st.Credit * float64(it.Width) * a
	}
	for k, res := range r.limits {
		for _, d := range st.Draws {
			if d.Resource == res {
				r.rows, r.coef = append(r.rows, int32(len(r.items)+k)), append(r.coef, d.PerLength)
			}
		}
	}
	return c * s.unit
}

// solve runs the simplex and reads the values.
func (r *relaxation) solve() {
	r.lp.Solve(50*len(r.items) + 2000)
	if n := r.lp.Columns(); cap(r.x) < n {
		r.x = make([]float64, n, 2*n)
	} else {
		r.x = r.x[:n]
	}
	r.lp.Values(r.x)
	r.price = r.price[:0]
	for k := range r.lo {
		r.price = append(r.price, r.lp.Dual(k))
	}
}

// takeRoot takes over the point of a part's plain relaxation, with the patterns that it found worth having.
func (r *relaxation) takeRoot(o *root) {
	r.items, r.cols, r.row = append(r.items[:0], o.items...), o.pool, append(r.row[:0], o.row...)
	r.x = append(r.x[:0], make([]float64, o.lp.Columns())...)
	o.lp.Values(r.x)
	r.column, r.price = r.column[:0], r.price[:0]
	for k := range o.pool { // its last columns
		r.column = append(r.column, len(r.x)-len(o.pool)+k)
	}
	for k := range o.items {
		r.price = append(r.price, o.lp.Dual(k))
	}
}
