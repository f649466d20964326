package combine

// Relaxed is the optimum of the plain relaxation (see root): runs need not be
// whole, and what a run costs once is spread over the longest run it may be.
type Relaxed struct {
	Cost  float64   // of what is made
	Bound float64   // no plan that makes every item but Left costs less; Cost, but for rounding, where Done
	Left  []int     // items, rising, that no legal pattern holds
	Use   []float64 // length on each stock
	Good  float64   // area of good pieces
	Done  bool      // not stopped before the optimum
}

// Relax solves the relaxation of a problem, part by part. Items that no legal
// pattern holds are left, and the others solved again without them. Pieces beyond
// the most are cut as waste, so that a small partner may run along all of a great
// one. Limits on resources bound the longest run only, and neither changes nor
// splits are in it; Front and Hold are not read. It is repeatable, and quick: 2,000
// items take seconds. stop ends it early; nil: never.
func Relax(p *Problem, stop func() bool) Relaxed {
	bare := *p
	bare.Front, bare.Hold = nil, nil
	if stop == nil {
		stop = func() bool { return false }
	}
	out := Relaxed{Use: make([]float64, len(p.Stocks)), Done: true}
	left := make([]bool, len(p.Items))
	for _, part := range prepare(&bare).split() {
		part.relax(&out, left, stop)
	}
	for i, l := range left {
		if l {
			out.Left = append(out.Left, i)
		}
	}
	return out
}

// relax adds what a part comes to, leaving items until all others can be made.
func (p *part) relax(to *Relaxed, left []bool, stop func() bool) {
	s := p.s
	gone := make([]bool, len(s.Items))
	for {
		var items []int32
		for i := range s.Items {
			if !gone[i] && s.Items[i].Want > 0 {
				items = append(items, int32(i))
			}
		}
		if len(items) == 0 {
			return
		}
		r, l := newRoot(s, items), &lister{s: s}
		for k := 0; k < relaxRounds && r.round(l, stop); k++ {
			continue
		}
		x := make([]float64, r.lp.Columns())
		r.lp.Values(x)
		made, missing := r.made(x)
		short := false
		for k, i := range items {
			if gone[i] = missing[k] > missingShare*float64(s.Items[i].Least); gone[i] {
				left[p.items[i]], short = true, true
			}
		}
		if short && !stop() {
			continue
		}
		first := len(x) - len(r.pool)
		for k := range r.pool {
			to.Use[r.pool[k].stock] += x[first+k] * s.unit
		}
		for k, i := range items {
			to.Good += made[k] * float64(s.Items[i].Width) * float64(s.Items[i].Length)
		}
		to.Cost += r.paid(x, missing)
		to.Bound += r.value(r.dual, gone)
		to.Done = to.Done && r.done
		return
	}
}

// relaxRounds of column generation at most; 2,000 items need some dozens.
const relaxRounds = 1000

// missingShare of an item's least may be missing by rounding.
const missingShare = 1e-6

// made returns the good pieces of each item, and those that no pattern makes. An
// item's columns are those of newRoot: missing, cut beyond need, short, over.
func (r *root) made(x []float64) (made, missing []float64) {
	j := 0
	for k, i := range r.items {
		c := r.s.scaled(i)
		n, gone := r.want[k], x[j]
		j += 2
		if r.slack[k] > 0 {
			n -= x[j]
			j++
		}
		if r.extra[k] > 0 {
			n += x[j]
			j++
		}
		made, missing = append(made, (n-gone)/c), append(missing, gone/c)
	}
	return made, missing
}

// paid is what a point costs, without the price of what is missing.
func (r *root) paid(x, missing []float64) float64 {
	sum := 0.0
	for j, v := range x {
		sum += r.lp.Cost(j) * v
	}
	for k, i := range r.items {
		it := &r.s.Items[i]
		sum += r.fixed[k] - missing[k]*(1e4*r.s.dearest*r.s.scaled(i)*r.s.unit+r.s.leastCredit(i)*float64(it.Width)*float64(it.Length))
	}
	return sum
}
