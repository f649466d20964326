package combine

import (
	"math"
	"slices"

	"github.com/flutewright/flutewright/solve/lp"
)

// master is the programme that the bound comes from, over the items of one
// component. A column is a run: lanes on a stock at one length, taken so many
// times. Its rows are the strands' and the resources'.
//
//	min Σ cost·y + Σ shortᵢ·sᵢ   subject to
//	Σ earned·y ≥ 1 (enough, count),   Σ earned·y + sᵢ ≥ 1 (wanted),   Σ drawn·y ≤ limit
//
// Every plan gives a point that costs no more. Columns come by pricing every
// legal run: between two steps of its lanes a run earns and costs along straight
// lines, so the ends of the stretches are all that matters. With θ the greatest
// ratio of what a run earns to what it costs under the duals, duals/θ are feasible,
// so their value is a bound in every round (Farley, Operations Research 38 (1990)
// 922–923). Duals are smoothed towards the best ones so far (Wentges,
// International Transactions in Operational Research 4 (1997) 151–162).
type master struct {
	s       *shop
	n       *need
	items   []int32
	of      []int32 // strand of each item, -1 outside
	strands []strand
	rows    int // of strands and resources
	limits  []int
	limitAt []int32   // row of each resource, -1
	runs    []bestRun // columns
	first   int       // column of the first run
	scale   float64   // money that counts as 1 in the programme
	lp      lp.Simplex
	keys    map[string]bool

	bound   float64
	dual    []float64 // feasible: all rows, resources as positive prices; nil before the first
	done    bool
	asked   asks
	links   bool         // counters may look at partners
	weighed int          // work of looking for counters, see pace
	linked  [][]*counter // those with links that have a price, by strand and partner
}

func newMaster(s *shop, items []int32) *master {
	m := &master{s: s, n: s.newNeed(), items: items, of: make([]int32, len(s.Items)), keys: map[string]bool{}, links: len(items) > mostExact}
	m.n.reset(s)
	for i := range m.of {
		m.of[i] = -1
	}
	m.bound = s.bare(items)
	m.scale = max(m.bound/float64(max(1, len(items))), 1e-9*s.missing, 1e-300)
	for k, i := range items {
		m.of[i] = int32(k)
		m.strands = append(m.strands, m.strandOf(i))
	}
	m.resources()
	m.load()
	return m
}

// load writes the programme anew: rows, slacks, and the runs known so far.
func (m *master) load() {
	lo, hi := make([]float64, m.rows), make([]float64, m.rows)
	for r := range m.rows {
		lo[r], hi[r] = 1, math.Inf(1)
	}
	for _, res := range m.limits {
		lo[m.limitAt[res]], hi[m.limitAt[res]] = math.Inf(-1), 1
	}
	for k := range m.asked.list {
		if g := &m.asked.list[k]; g.row >= 0 && g.upper() {
			lo[g.row], hi[g.row] = math.Inf(-1), 1
		}
	}
	m.lp.Reset(lo, hi)
	var rows []int32
	var coef []float64
	for k := range m.strands {
		t := &m.strands[k]
		rows, coef = rows[:0], coef[:0]
		put := func(r int) { rows, coef = append(rows, int32(r)), append(coef, 1) }
		if t.counted {
			put(t.enough)
			for c := range t.counters {
				put(t.counters[c].row)
			}
		}
		if t.wanted {
			put(t.met)
		}
		if len(rows) > 0 {
			m.lp.Add(1e4, 0, math.Inf(1), rows, coef) // missing: only until runs are there
		}
		if t.wanted {
			it := &m.s.Items[t.item]
			m.lp.Add(t.short*t.want/m.scale, 0, float64(it.Want-it.Least)/t.want, []int32{int32(t.met)}, []float64{1})
		}
	}
	for k := range m.asked.list {
		if g := &m.asked.list[k]; g.row >= 0 && !g.upper() {
			m.lp.Add(1e4, 0, math.Inf(1), []int32{int32(g.row)}, []float64{1})
		}
	}
	m.first = m.lp.Columns()
	for k := range m.runs {
		var c float64
		rows, coef, c = m.earned(&m.runs[k], rows[:0], coef[:0])
		most := math.Inf(1)
		if !m.allows(&m.runs[k]) {
			most = 0
		}
		m.lp.Add(c, 0, most, rows, coef)
	}
}

// addRow gives a row its number.
func (m *master) addRow() int {
	m.rows++
	return m.rows - 1
}

// strandOf gives an item its rows and adds what is constant about it.
func (m *master) strandOf(i int32) strand {
	s := m.s
	it := &s.Items[i]
	cr := s.leastCredit(i) * float64(it.Width) * float64(it.Length)
	t := strand{item: i, least: float64(it.Least), want: float64(it.Want), short: it.Short - cr, enough: -1, met: -1}
	t.fixed += cr*float64(it.Want) + min(0, it.Over+cr)*float64(it.Most-it.Want)
	if t.counted = it.Least > 0; t.counted {
		t.enough = m.addRow()
		for k := int64(1); k <= degrees; k++ {
			c := counts(it.Least, k)
			c.row = m.addRow()
			t.counters = append(t.counters, c)
		}
		if !s.begun[i] {
			t.fixed -= it.Split
		}
	}
	switch {
	case t.short <= 0:
		t.fixed += t.short * float64(it.Want-it.Least)
	case it.Want > it.Least:
		t.wanted, t.met = true, m.addRow()
	}
	m.profile(&t)
	return t
}

// profile lists the profiles of a strand.
func (m *master) profile(t *strand) {
	s := m.s
	it := &s.Items[t.item]
	most := int32(0)
	for _, k := range it.Kinds {
		most = max(most, s.mostOuts(t.item, k))
	}
	t.profiles = t.profiles[:0]
	for a := int64(1); a <= min(int64(most), it.Most); a++ {
		t.profiles = append(t.profiles, s.profileOf(m.n, t, a))
	}
}

// resources gives a row to every limited resource that the items' kinds draw on.
func (m *master) resources() {
	s := m.s
	m.limitAt = make([]int32, len(s.Limits))
	for k := range m.limitAt {
		m.limitAt[k] = -1
	}
	for _, i := range m.items {
		for _, k := range s.Items[i].Kinds {
			for _, st := range s.byKind[k] {
				for _, d := range s.Stocks[st].Draws {
					if m.limitAt[d.Resource] < 0 && s.scarce[d.Resource] && d.PerLength > 0 && s.Limits[d.Resource] > 0 {
						m.limitAt[d.Resource] = int32(m.addRow())
						m.limits = append(m.limits, d.Resource)
					}
				}
			}
		}
	}
}

// earned writes a run's rows and coefficients.
func (m *master) earned(b *bestRun, rows []int32, coef []float64) ([]int32, []float64, float64) {
	s := m.s
	st := &s.Stocks[b.stock]
	c := m.cost(st, b.lanes, b.length)
	x := float64(b.length)
	for _, l := range b.lanes {
		t := &m.strands[m.of[l.item]]
		q := &t.profiles[l.outs-1]
		k := 0
		for k+1 < len(q.steps) && q.steps[k+1].at <= b.length {
			k++
		}
		sp := &q.steps[k]
		g := max(sp.offset+sp.rate*x, 0)
		put := func(r int, v float64) {
			if v > 0 {
				rows, coef = append(rows, int32(r)), append(coef, v)
			}
		}
		if t.counted {
			v := 1.0
			if !sp.full {
				v = g / t.least
			}
			put(t.enough, v)
			for c := range t.counters {
				put(t.counters[c].row, m.counted(&t.counters[c], l, b.lanes, b.length))
			}
		}
		if t.wanted {
			v := 1.0
			if !sp.met {
				v = g / t.want
			}
			put(t.met, v)
		}
		it := &s.Items[t.item]
		if over := it.Over + s.leastCredit(t.item)*float64(it.Width)*float64(it.Length); sp.met && over > 0 {
			c += over * (sp.offset + sp.rate*x - sp.overFrom) / m.scale
		}
	}
	for _, d := range st.Draws {
		if r := m.limitAt[d.Resource]; r >= 0 {
			rows, coef = append(rows, r), append(coef, d.PerLength*x/s.Limits[d.Resource])
		}
	}
	m.asksOf(b, func(r int, v float64) { rows, coef = append(rows, int32(r)), append(coef, v) })
	return rows, coef, c
}

// take adds the found runs, each once.
func (m *master) take(found []bestRun) int {
	var rows []int32
	var coef []float64
	added := 0
	for k := range found {
		b := &found[k]
		if b.ratio == 0 {
			continue
		}
		key := b.key()
		if m.keys[key] {
			continue
		}
		m.keys[key] = true
		m.runs = append(m.runs, bestRun{b.ratio, b.stock, slices.Clone(b.lanes), b.length})
		var c float64
		rows, coef, c = m.earned(b, rows[:0], coef[:0])
		m.lp.Add(c, 0, math.Inf(1), rows, coef)
		added++
	}
	return added
}

// value is the bound that feasible duals give for plans of the items that are
// not left; nil: all.
func (m *master) value(y []float64, left []bool) float64 {
	v := 0.0
	for _, res := range m.limits {
		v -= y[m.limitAt[res]]
	}
	for k := range m.asked.list {
		if g := &m.asked.list[k]; g.row >= 0 && g.upper() {
			v -= y[g.row]
		} else if g.row >= 0 {
			v += y[g.row]
		}
	}
	fixed := 0.0
	for k := range m.strands {
		t := &m.strands[k]
		if left != nil && left[t.item] {
			continue
		}
		fixed += t.fixed
		if t.counted {
			v += y[t.enough]
			for c := range t.counters {
				v += y[t.counters[c].row]
			}
		}
		if t.wanted {
			it := &m.s.Items[t.item]
			v += y[t.met] + min(0, t.short*t.want/m.scale-y[t.met])*float64(it.Want-it.Least)/t.want
		}
	}
	v = v*m.scale + fixed
	return v - 1e-9*math.Abs(v) // rounding of the sums above
}
