package combine

import (
	"math"
	"slices"

	"github.com/flutewright/flutewright/solve/lp"
)

// Prices are the dual prices of the plain relaxation (see root) with its resources limited.
type Prices struct {
	Item     []float64 // of one more wanted piece, credit for what is cut away deducted
	Resource []float64 // of one more unit: what the plan would cost less; 0 where enough is left
	Cost     float64   // of the relaxation with its resources; no plan of all items costs less where Settled, but for 1e-6 of it
	Settled  bool      // no pattern outside improves the programme by more than 1e-6 of it
}

const (
	marginalRounds = 200 // of column generation at most
	priceRounds    = 60  // of pricing the resources at most
)

// ResourcePrices returns what one more wanted piece of every item costs at the margin of
// the plain relaxation, and what one more unit of each resource is worth. It is an
// estimate for small changes only: runs are whole, and a plan's next piece may cost
// nothing or a run. Items that Front finishes, or that may be left out, have 0. Its patterns come
// by pricing them with the stocks' draws charged at the resources' prices; those
// come from the programme of all patterns so far with a row for each resource. It
// is Lagrangian relaxation whose multipliers a master programme sets (Geoffrion,
// Mathematical Programming Study 2 (1974) 82–114, from memory), which is column
// generation by another name. Items that the relaxation cannot make within the
// resources have prices out of all proportion: leave them out. stop ends it early;
// nil: never.
func ResourcePrices(p *Problem, stop func() bool) Prices {
	if stop == nil {
		stop = func() bool { return false }
	}
	g := newRationed(p)
	out := Prices{Item: make([]float64, len(p.Items)), Resource: make([]float64, len(p.Limits))}
	if len(g.items) == 0 {
		out.Settled = true
		return out
	}
	best, at := math.Inf(-1), make([]float64, len(p.Limits))
	centre := slices.Clone(at)
	for k := 0; k < priceRounds && !stop(); k++ {
		if v := g.relax(at, stop); v > best || k == 0 {
			best = max(best, v)
			copy(centre, at)
		}
		out.Cost = g.solve(out.Item, out.Resource)
		if out.Settled = out.Cost-best <= 1e-6*math.Abs(out.Cost); out.Settled {
			break
		}
		for r := range at { // every other time halfway to the best so far, lest the prices swing
			if at[r] = out.Resource[r]; k%2 == 1 {
				at[r] = (at[r] + centre[r]) / 2
			}
		}
	}
	return out
}

// rationed is the plain relaxation with a row for every resource.
type rationed struct {
	whole *Problem
	s     *shop
	items []int32
	rows  []int // of each resource, -1 where it cannot run out
	pool  []pattern
	keys  map[string]bool // of the pool
	known *root           // for the items' terms
}

func newRationed(p *Problem) *rationed {
	g := &rationed{whole: p, s: prepare(p), rows: make([]int, len(p.Limits)), keys: map[string]bool{}}
	for i := range g.s.Items {
		if it := &g.s.Items[i]; it.Want > 0 && it.Least > 0 {
			g.items = append(g.items, int32(i))
		}
	}
	n := len(g.items)
	for r := range g.rows {
		if g.rows[r] = -1; g.s.scarce[r] {
			g.rows[r] = n
			n++
		}
	}
	return g
}

// relax solves the plain relaxation with the draws charged, keeps its patterns, and
// returns its bound for the rationed one. The charge goes on the time by length; where
// a run's least time counts instead, it is left out, so that the bound stays one.
func (g *rationed) relax(price []float64, stop func() bool) float64 {
	charged := *g.whole
	charged.Stocks = slices.Clone(g.whole.Stocks)
	for k := range charged.Stocks {
		st := &charged.Stocks[k]
		for _, d := range st.Draws {
			if g.rows[d.Resource] >= 0 {
				st.Rate += price[d.Resource] * d.PerLength
			}
		}
	}
	s := prepare(&charged)
	r, l := newRoot(s, g.items), &lister{s: s}
	for k := 0; k < marginalRounds && !stop() && r.round(l, stop); k++ {
		continue
	}
	if g.known == nil {
		g.known = r // of the first prices, which are 0
	}
	for i := range r.pool {
		q := &r.pool[i]
		if key := (&bestRun{stock: q.stock, lanes: q.lanes}).key(); !g.keys[key] {
			g.keys[key], g.pool = true, append(g.pool, *q)
		}
	}
	v := r.bound
	for res, row := range g.rows {
		if row >= 0 {
			v -= price[res] * g.s.Limits[res]
		}
	}
	return v
}

// solve solves the programme over the pool, and reads its prices and its value.
func (g *rationed) solve(item, resource []float64) float64 {
	s, r := g.s, g.known
	n := len(g.items)
	lo, hi := slices.Clone(r.want), slices.Clone(r.want)
	for _, row := range g.rows {
		if row >= 0 {
			lo, hi = append(lo, math.Inf(-1)), append(hi, 1)
		}
	}
	var x lp.Simplex
	x.Reset(lo, hi)
	fixed := 0.0
	for k := range g.items {
		row := []int32{int32(k)}
		x.Add(1e4*s.dearest*s.unit, 0, math.Inf(1), row, []float64{1})
		x.Add(0, 0, math.Inf(1), row, []float64{-1})
		x.Add(r.short[k], 0, r.slack[k], row, []float64{1})
		x.Add(r.over[k], 0, r.extra[k], row, []float64{-1})
		fixed += r.fixed[k]
	}
	var coef [64]float64
	for i := range g.pool {
		q := &g.pool[i]
		c := r.column(q, coef[:])
		rows, earned := []int32{}, slices.Clone(coef[:len(q.lanes)])
		for _, l := range q.lanes {
			rows = append(rows, r.row[l.item])
		}
		for _, d := range s.Stocks[q.stock].Draws {
			if row := g.rows[d.Resource]; row >= 0 {
				rows, earned = append(rows, int32(row)), append(earned, d.PerLength*s.unit/max(s.Limits[d.Resource], 1e-9))
			}
		}
		x.Add(c, 0, math.Inf(1), rows, earned)
	}
	x.Solve(400*(n+len(lo)) + 20_000)
	for k, i := range g.items {
		it := &s.Items[i]
		item[i] = max(0, x.Dual(k))*s.scaled(i) + s.leastCredit(i)*float64(it.Width)*float64(it.Length)
	}
	for res, row := range g.rows {
		if row >= 0 {
			resource[res] = max(0, -x.Dual(row)) / max(s.Limits[res], 1e-9)
		}
	}
	return x.Objective() + fixed
}
