package combine

import (
	"github.com/flutewright/flutewright/solve/lp"
)

// round solves the programme once and prices every run under its duals, or
// under duals between them and the best. It returns false when it is solved.
func (m *master) round(l *lister, stop func() bool) bool {
	if m.lp.Solve(200*len(m.items)+5000) == lp.Infeasible {
		return false
	}
	out := make([]float64, m.rows)
	for r := range out {
		out[r] = max(0, m.lp.Dual(r))
	}
	for _, res := range m.limits {
		out[m.limitAt[res]] = max(0, -m.lp.Dual(int(m.limitAt[res])))
	}
	for k := range m.asked.list {
		if g := &m.asked.list[k]; g.row >= 0 && g.upper() {
			out[g.row] = max(0, -m.lp.Dual(g.row))
		}
	}
	share := smoothing
	for {
		y := out
		if m.dual != nil && share > 0 {
			y = make([]float64, len(out))
			for r := range y {
				y[r] = share*m.dual[r] + (1-share)*out[r]
			}
		}
		p := m.setDuals(y)
		l.visit, l.stop = p.visit, stop
		if !m.visitAll(l) {
			return false
		}
		added := m.take(p.found)
		m.raise(y, p.top)
		if added > 0 {
			return true
		}
		if share == 0 || m.dual == nil {
			m.done = true
			return false
		}
		share = 0
	}
}

// begin takes the runs of a plan as the first columns, and duals of the plain
// relaxation as the first to smooth towards.
func (m *master) begin(known *plan, r *root, l *lister, stop func() bool) {
	var first []bestRun
	for k := range known.runs {
		q := &known.runs[k]
		first = append(first, bestRun{1, q.stock, q.lanes, q.length})
	}
	m.take(first)
	if r.dual == nil {
		return
	}
	y := make([]float64, m.rows)
	for k := range m.strands {
		t := &m.strands[k]
		d := r.dual[r.row[t.item]] * m.s.scaled(t.item) / m.scale // of a piece
		if t.wanted {
			v := min(d, t.short/m.scale)
			y[t.met] = v * t.want
			d -= v
		}
		if t.counted {
			y[t.enough] = d * t.least
		}
	}
	p := m.setDuals(y)
	l.visit, l.stop = p.visit, stop
	whole := m.visitAll(l)
	m.take(p.found)
	if whole {
		m.raise(y, p.top)
	}
}

// smoothing is the share of the best duals in the duals that runs are priced under.
const smoothing = 0.6

// visitAll enumerates every pattern that can pay; false where it was stopped before the end.
func (m *master) visitAll(l *lister) bool {
	p := &sieve{m: m}
	l.prune = p
	return l.visitAll(m.n, m.of, p.prepare)
}

// raise computes the value of the dual point y/top, a bound, and keeps the best.
func (m *master) raise(y []float64, top float64) {
	z := make([]float64, len(y))
	for r := range y {
		z[r] = y[r] / top
	}
	if v := m.value(z, nil); v > m.bound || m.dual == nil {
		m.dual = z
		m.bound = max(m.bound, v)
	}
}
