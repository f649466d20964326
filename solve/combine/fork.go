package combine

import (
	"math"
	"slices"
)

// fork parts plans by the number of runs of a sort: floor or fewer, or more.
type fork struct {
	sort
	floor int64
	part  float64 // of the number, what is above floor
}

// sides are what either part asks.
func (f *fork) sides() [2]agreed {
	few, more := agreed{sort: f.sort, law: atMost, n: f.floor}, agreed{sort: f.sort, law: atLeast, n: f.floor + 1}
	if f.a >= 0 && f.a == f.b && f.coarse() && f.floor == 1 {
		few.law = inOne
	}
	return [2]agreed{few, more}
}

// whole is by how much a number of runs may miss a whole one and pass for it.
const whole = 1e-4

// forks lists the sorts of which a point takes a broken number of runs: first
// all runs, those with an item, those with two; where there is none of these, those on one
// stock with their strips; then those above a length.
func (m *master) forks(x []float64) []fork {
	n := len(m.strands)
	total, held, pair := 0.0, make([]float64, n), make([]float64, n*n)
	for q := range m.runs {
		y := x[m.first+q]
		total += y
		for i, l := range m.runs[q].lanes {
			k := int(m.of[l.item])
			held[k] += y
			for _, o := range m.runs[q].lanes[:i] {
				j := int(m.of[o.item])
				pair[max(k, j)*n+min(k, j)] += y
			}
		}
	}
	var out []fork
	add := func(q sort, v float64) {
		if f := math.Floor(v); v-f > whole && v-f < 1-whole {
			out = append(out, fork{q, int64(f), v - f})
		}
	}
	add(anyRun(), total)
	for k := range n {
		add(holding(int32(k)), held[k])
	}
	for k := range n {
		for j := range k {
			add(sharing(int32(k), int32(j)), pair[k*n+j])
		}
	}
	if len(out) == 0 {
		out = m.fineForks(x)
	}
	return out
}

// fineForks parts runs that hold the same items by stock, strips and length.
func (m *master) fineForks(x []float64) []fork {
	type alike struct {
		sort
		at  []int64
		sum []float64
	}
	var list []alike
	for q := range m.runs {
		y := x[m.first+q]
		if y < 1e-9 {
			continue
		}
		r := &m.runs[q]
		a, b := r.lanes[0], r.lanes[len(r.lanes)-1]
		s := sort{m.of[a.item], m.of[b.item], r.stock, a.outs, b.outs, 0, math.MaxInt64}
		if s.a < s.b {
			s.a, s.b, s.ao, s.bo = s.b, s.a, s.bo, s.ao
		}
		k := slices.IndexFunc(list, func(o alike) bool { return o.sort == s })
		if k < 0 {
			k = len(list)
			list = append(list, alike{sort: s})
		}
		list[k].at, list[k].sum = append(list[k].at, r.length), append(list[k].sum, y)
	}
	var out []fork
	add := func(q sort, v float64) {
		if f := math.Floor(v); v-f > whole && v-f < 1-whole {
			out = append(out, fork{q, int64(f), v - f})
		}
	}
	for k := range list {
		v := 0.0
		for _, y := range list[k].sum {
			v += y
		}
		add(list[k].sort, v)
	}
	if len(out) > 0 {
		return out
	}
	for k := range list { // by length: those longer than their mean
		g := &list[k]
		mass, length := 0.0, 0.0
		for i, y := range g.sum {
			mass, length = mass+y, length+y*float64(g.at[i])
		}
		q, v := g.sort, 0.0
		q.lo = int64(length/mass) + 1
		for i, y := range g.sum {
			if g.at[i] >= q.lo {
				v += y
			}
		}
		add(q, v)
	}
	return out
}

// gains remembers by how much either side of a fork raised the bound, for each
// unit of its part (pseudo-costs; Bénichou et al., Mathematical Programming 1 (1971) 76–94).
type gains map[sort]*[2]struct {
	sum float64
	n   int
}

const (
	tried  = 6   // forks tried at a node at most
	enough = 2   // tries after which a sort is known
	swaps  = 400 // exchanges of one try
)

// choose takes the fork both of whose sides raise the bound most.
func (b *branching) choose(d *node, forks []fork, top float64) fork {
	if forks[0].a < 0 {
		return forks[0]
	}
	slices.SortStableFunc(forks, func(p, q fork) int {
		v, w := b.hope(&p), b.hope(&q)
		switch {
		case v > w:
			return -1
		case v < w:
			return 1
		}
		return 0
	})
	base := b.m.lp.Objective()
	best, at, tries := -1.0, 0, 0
	for k := range forks {
		f := &forks[k]
		g := b.gain[f.sort]
		if g == nil {
			g = new([2]struct {
				sum float64
				n   int
			})
			b.gain[f.sort] = g
		}
		if g[0].n < enough && tries < tried {
			tries++
			for side, a := range f.sides() {
				far := f.part
				if side == 1 {
					far = 1 - f.part
				}
				g[side].sum += min(b.try(d, a)-base, (top-d.bound)/b.m.scale) / far
				g[side].n++
			}
		}
		if v := b.hope(f); v > best {
			best, at = v, k
		}
	}
	return forks[at]
}

// hope is the product of what both sides are known to gain; of sorts never tried, by how broken they are.
func (b *branching) hope(f *fork) float64 {
	g := b.gain[f.sort]
	if g == nil || g[0].n == 0 {
		return 1e-9 * min(f.part, 1-f.part)
	}
	u, v := g[0].sum/float64(g[0].n)*f.part, g[1].sum/float64(g[1].n)*(1-f.part)
	return max(u, 1e-4) * max(v, 1e-4)
}

// try is what a node's programme costs with one thing more asked, of the runs known.
func (b *branching) try(d *node, g agreed) float64 {
	e := *d
	e.list = append(slices.Clone(d.list), g)
	b.enter(&e)
	b.m.lp.Solve(swaps)
	return b.m.lp.Objective()
}
