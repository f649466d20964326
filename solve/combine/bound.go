package combine

import (
	"math"

	"github.com/flutewright/flutewright/solve/lp"
)

// root is the relaxation that the bound comes from, over the items of one
// component: items that share a kind, directly or through others.
//
//	min Σ cₚ·xₚ + Σ (shortᵢ − crᵢ)·sᵢ + Σ (overᵢ + crᵢ)·oᵢ + Σ crᵢ·wantᵢ
//	Σ αᵢₚ·xₚ + sᵢ − oᵢ − fᵢ = wantᵢ,   sᵢ ≤ wantᵢ − leastᵢ,   oᵢ ≤ mostᵢ − wantᵢ
//
// cₚ = (price − credit)·width·(1 + loss/longest) + time, α = strips·(1 −
// rejects/longest), cr the credit lost with a good piece. Every plan gives a
// point of it that costs no more: a run of length x ≤ longest makes at most α·x.
// Limited resources bound the longest run only, which relaxes further.
//
// Columns come by pricing every legal pattern. With θ the greatest value of a
// pattern over its cost under the duals y, y/θ is feasible for the dual, so its
// value is a bound in every round (Farley, Operations Research 38 (1990) 922–923).
// Before the first full round the bare sheets are the bound.
type root struct {
	s       *shop
	n       *need
	items   []int32
	row     []int32
	short   []float64 // reduced cost rates per unit of scaled length
	over    []float64
	want    []float64 // scaled lengths
	slack   []float64 // want − least
	extra   []float64 // most − want
	fixed   []float64 // cr·want
	lp      lp.Simplex
	pool    []pattern
	bound   float64
	dual    []float64 // feasible point that the bound comes from, nil before the first
	offers  *listing  // of runs of few items, until the relaxation is solved
	ceiling float64   // no ratio of a pattern to its cost was above this in the last round
	deep    bool      // patterns of more than two lanes are priced
	done    bool      // the relaxation is solved
}

func newRoot(s *shop, items []int32) *root {
	r := &root{s: s, n: s.newNeed(), items: items, row: make([]int32, len(s.Items))}
	r.n.reset(s)
	for i := range r.row {
		r.row[i] = -1
	}
	var lo []float64
	for k, i := range items {
		it := &s.Items[i]
		c := s.scaled(i)
		cr := s.leastCredit(i) * float64(it.Width) * float64(it.Length)
		r.row[i] = int32(k)
		r.short = append(r.short, (it.Short-cr)/c)
		r.over = append(r.over, (it.Over+cr)/c)
		r.want = append(r.want, float64(it.Want)*c)
		r.slack = append(r.slack, float64(it.Want-it.Least)*c)
		r.extra = append(r.extra, float64(it.Most-it.Want)*c)
		r.fixed = append(r.fixed, cr*float64(it.Want))
		lo = append(lo, r.want[k])
	}
	r.lp.Reset(lo, lo)
	begin := make([]int, len(items))
	for k := range items {
		row := []int32{int32(k)}
		begin[k] = r.lp.Add(1e4*s.dearest*s.unit, 0, math.Inf(1), row, []float64{1}) // missing: only until patterns are there
		r.lp.Add(0, 0, math.Inf(1), row, []float64{-1})
		if r.slack[k] > 0 {
			r.lp.Add(r.short[k], 0, r.slack[k], row, []float64{1})
		}
		if r.extra[k] > 0 {
			r.lp.Add(r.over[k], 0, r.extra[k], row, []float64{-1})
		}
	}
	r.singles(begin)
	r.lp.Begin(begin)
	r.bound = s.bare(r.items)
	return r
}

// singles puts every pattern of one lane into the pool, and the cheapest of each item into the basis.
func (r *root) singles(begin []int) {
	s := r.s
	rate := make([]float64, len(begin))
	for k := range rate {
		rate[k] = math.Inf(1)
	}
	l := &lister{s: s, limit: math.MaxInt}
	var coef [1]float64
	l.visit = func(p *pattern) {
		c := r.column(p, coef[:])
		if coef[0] <= 0 {
			return
		}
		k := r.row[p.lanes[0].item]
		j := r.lp.Add(c, 0, math.Inf(1), []int32{k}, coef[:])
		r.pool = append(r.pool, pattern{p.stock, append([]lane(nil), p.lanes...), p.least, p.most})
		if v := c / coef[0]; v < rate[k] {
			rate[k], begin[k] = v, j
		}
	}
	l.begin(r.n, nil)
	for kind := range s.byKind {
		l.kind = kind
		for _, i := range s.kindOf[kind] {
			if r.row[i] < 0 {
				continue
			}
			for a := int32(1); a <= s.mostOuts(i, kind) && int64(a)*s.Items[i].Width <= s.widest[kind]-s.Line.TrimLeast; a++ {
				l.lanes = append(l.lanes[:0], lane{i, a})
				l.emit(int64(a) * s.Items[i].Width)
			}
		}
	}
}

// leastCredit is the least credit of the stocks that an item may be cut from.
func (s *shop) leastCredit(i int32) float64 {
	least := math.Inf(1)
	for _, k := range s.Items[i].Kinds {
		for _, st := range s.byKind[k] {
			least = min(least, s.Stocks[st].Credit)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// column is perLength.
func (r *root) column(p *pattern, coef []float64) float64 { return r.s.perLength(p, coef) }

// perLength returns a pattern's cost and writes its coefficients, per unit of length.
func (s *shop) perLength(p *pattern, coef []float64) float64 {
	st := &s.Stocks[p.stock]
	most := float64(p.most)
	c := float64(st.Width)*(st.Price-st.Credit)*(1+s.Line.RunLoss/most) + max(st.Rate, st.Floor/most)
	for k, l := range p.lanes {
		coef[k] = float64(l.outs) * max(0, 1-float64(s.Line.Rejects*s.Items[l.item].Length)/most)
	}
	return c * s.unit
}

// best is the pattern of greatest value over cost seen for an item.
type best struct {
	ratio float64
	p     pattern
}

// pruneShare of the greatest ratio seen is what a pattern must reach to be looked
// at, where runs may hold so many items that looking at all would take too long.
const pruneShare = 0.97

// round solves the programme once and prices every pattern under its duals. It
// returns false when it was stopped, or was done before.
func (r *root) round(l *lister, stop func() bool) bool {
	if r.done {
		r.offers = nil
		return false
	}
	if r.lp.Solve(200*len(r.items)+5000) == lp.Infeasible {
		return false
	}
	y := make([]float64, len(r.items))
	for k := range y {
		y[k] = max(0, r.lp.Dual(k))
	}
	if r.lists(l) {
		return r.priceListed(y, l, stop)
	}
	found := make([]best, len(r.items))
	top := 1.0
	l.prune, l.stop = nil, stop
	var prune *pruner
	if r.s.Line.Orders > 2 {
		prune = &pruner{s: r.s, value: make([]float64, len(r.s.Items)), floor: 1}
		l.prune = prune
		for k, i := range r.items {
			prune.value[i] = y[k]
		}
	}
	var coef [64]float64
	l.visit = func(p *pattern) {
		c := r.column(p, coef[:])
		v := 0.0
		for k, lane := range p.lanes {
			v += y[r.row[lane.item]] * coef[k]
		}
		ratio := v / c
		if top = max(top, ratio); prune != nil {
			prune.floor = max(1, pruneShare*top) // what is far under the top is neither the top nor a good column
		}
		if ratio < 1+1e-7 {
			return
		}
		for _, lane := range p.lanes {
			if b := &found[r.row[lane.item]]; ratio > b.ratio {
				b.ratio = ratio
				b.p.stock, b.p.least, b.p.most = p.stock, p.least, p.most
				b.p.lanes = append(b.p.lanes[:0], p.lanes...)
			}
		}
	}
	l.pairs, r.ceiling = r.s.Line.Orders > 2 && !r.deep, 1
	whole := r.visitAll(l, prune)
	pairs := l.pairs
	l.prune, l.stop, l.pairs = nil, nil, false
	added := r.take(found)
	if pairs { // first settle the duals on short patterns, which are few
		if r.deep = added == 0 && whole; r.deep {
			r.raise(y, max(1, r.ceiling)) // patterns of more lanes are not priced yet: any filling of the width bounds them
		}
		return whole
	}
	if whole {
		r.raise(y, top)
	}
	r.done = whole && added == 0
	return whole
}

// visitAll enumerates every pattern; false where it was stopped before the end.
func (r *root) visitAll(l *lister, prune *pruner) bool {
	return l.visitAll(r.n, r.row, func(kind int, items []int32) {
		if prune != nil {
			prune.prepare(kind, items)
			r.ceiling = max(r.ceiling, prune.ceiling(items))
		}
	})
}

// take adds the found patterns, each once.
func (r *root) take(found []best) int {
	var coef [64]float64
	var rows [64]int32
	added := 0
	for k := range found {
		b := &found[k]
		if b.ratio == 0 || r.inPool(&b.p, len(r.pool)-added) {
			continue
		}
		c := r.column(&b.p, coef[:])
		for j, lane := range b.p.lanes {
			rows[j] = r.row[lane.item]
		}
		r.lp.Add(c, 0, math.Inf(1), rows[:len(b.p.lanes)], coef[:len(b.p.lanes)])
		r.pool = append(r.pool, b.p)
		added++
	}
	return added
}

// inPool looks among the patterns from at on.
func (r *root) inPool(p *pattern, at int) bool {
	for i := at; i < len(r.pool); i++ {
		q := &r.pool[i]
		if q.stock == p.stock && len(q.lanes) == len(p.lanes) {
			same := true
			for k := range q.lanes {
				same = same && q.lanes[k] == p.lanes[k]
			}
			if same {
				return true
			}
		}
	}
	return false
}

// raise computes the value of the dual point y/top, a bound, and keeps the best.
func (r *root) raise(y []float64, top float64) {
	for k := range y {
		y[k] /= top
	}
	if v := r.value(y, nil); v > r.bound || r.dual == nil {
		r.dual = y
		r.bound = max(r.bound, v)
	}
}

// value is the bound that a feasible dual point gives.
func (r *root) value(dual []float64, left []bool) float64 {
	v := 0.0
	for k, d := range dual {
		if left != nil && left[r.items[k]] {
			continue
		}
		v += r.fixed[k]
		v += d*r.want[k] + min(0, r.short[k]-d)*r.slack[k] + min(0, r.over[k]+d)*r.extra[k]
	}
	return v - 1e-9*math.Abs(v) // rounding of the sums above
}

// kindChanges is a bound on what changes of kind cost: kinds that some item must
// be cut from follow each other in a path, and of each change one end is charged.
func (s *shop) kindChanges(items []int32) float64 {
	if s.Line.KindLoss == 0 {
		return 0
	}
	least := map[int]float64{}
	for _, i := range items {
		if it := &s.Items[i]; len(it.Kinds) == 1 && it.Least > 0 && len(s.byKind[it.Kinds[0]]) > 0 {
			st := &s.Stocks[s.byKind[it.Kinds[0]][0]]
			least[it.Kinds[0]] = float64(st.Width) * st.Price
		}
	}
	sum, cheapest := 0.0, math.Inf(1)
	for k := range s.byKind {
		if v, ok := least[k]; ok {
			sum += v
			cheapest = min(cheapest, v)
		}
	}
	if len(least) < 2 {
		return 0
	}
	return s.Line.KindLoss * (sum - cheapest)
}
