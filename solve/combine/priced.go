package combine

import (
	"math"
	"slices"
)

// priced is the state of one pricing round.
type priced struct {
	m     *master
	draw  []float64 // price of a unit of length of each stock for what it draws
	top   float64   // greatest ratio of value to cost
	found []bestRun // by strand
}

// bestRun is the run of greatest ratio seen for a strand.
type bestRun struct {
	ratio  float64
	stock  int32
	lanes  []lane
	length int64
}

// setDuals puts duals into the strands and their profiles.
func (m *master) setDuals(y []float64) *priced {
	s := m.s
	p := &priced{m: m, top: 1, draw: make([]float64, len(s.Stocks)), found: make([]bestRun, len(m.strands))}
	for k := range m.strands {
		t := &m.strands[k]
		it := &s.Items[t.item]
		cr := s.leastCredit(t.item) * float64(it.Width) * float64(it.Length)
		t.price(y, max(0, it.Over+cr)/m.scale)
	}
	m.priceAsked(y)
	m.link()
	for k := range s.Stocks {
		for _, d := range s.Stocks[k].Draws {
			if r := m.limitAt[d.Resource]; r >= 0 {
				p.draw[k] += y[r] * d.PerLength / s.Limits[d.Resource]
			}
		}
	}
	return p
}

// cost is what a run costs the programme, its draws not counted, in its money.
func (m *master) cost(st *Stock, lanes []lane, length int64) float64 {
	s := m.s
	c := float64(st.Width)*(st.Price-st.Credit)*(float64(length)+s.Line.RunLoss) + max(st.Rate*float64(length), st.Floor)
	for _, l := range lanes {
		if it := &s.Items[l.item]; it.Split > 0 && it.Least > 0 {
			c += it.Split
		}
	}
	return c / m.scale
}

// visit looks at every length of a pattern that can matter.
func (p *priced) visit(pat *pattern) {
	m := p.m
	st := &m.s.Stocks[pat.stock]
	var prof [64]*profile
	var at [64]int
	n := len(pat.lanes)
	x := pat.least
	for k, l := range pat.lanes {
		prof[k] = &m.strands[m.of[l.item]].profiles[l.outs-1]
		x = max(x, prof[k].from)
	}
	bonus, ok := m.earnsAsked(pat.lanes)
	if !ok {
		return
	}
	fine, linked := m.fineOf(pat), m.linkedIn(pat.lanes)
	flat := int64(math.MaxInt64) // where time begins to count by length
	if st.Rate > 0 && st.Floor > 0 {
		flat = int64(st.Floor / st.Rate)
	}
	for x <= pat.most {
		end, barred := pat.most, false
		v, slope := bonus, 0.0
		for k := range n {
			q := prof[k]
			for at[k]+1 < len(q.steps) && q.steps[at[k]+1].at <= x {
				at[k]++
			}
			if at[k]+1 < len(q.steps) {
				end = min(end, q.steps[at[k]+1].at-1)
			}
			barred = barred || q.steps[at[k]].barred || m.asked.inOne(pat.lanes[k].item, m) && !q.steps[at[k]].full
			v += q.lines[at[k]].at
			slope += q.lines[at[k]].slope
		}
		for _, f := range fine {
			g := &m.asked.list[m.asked.fine[f]]
			switch {
			case x < g.lo:
				end = min(end, g.lo-1)
			case x <= g.hi:
				end = min(end, g.hi)
				v += m.asked.fines[f]
				barred = barred || g.law == atMost && g.n == 0
			}
		}
		if linked {
			var less float64
			less, end = m.less(pat.lanes, x, end)
			v -= less
		}
		if x <= flat && flat < end {
			end = flat
		}
		if !barred {
			p.look(pat, st, x, v+slope*float64(x))
			if end > x {
				p.look(pat, st, end, v+slope*float64(end))
			}
		}
		x = end + 1
	}
}

// look compares what a run earns with what it costs.
func (p *priced) look(pat *pattern, st *Stock, length int64, value float64) {
	m := p.m
	value -= p.draw[pat.stock] * float64(length)
	cost := m.cost(st, pat.lanes, length)
	if value <= cost*(1+1e-9) {
		return
	}
	ratio := value / cost
	p.top = max(p.top, ratio)
	for _, l := range pat.lanes {
		if b := &p.found[m.of[l.item]]; ratio > b.ratio {
			b.ratio, b.stock, b.length = ratio, pat.stock, length
			b.lanes = append(b.lanes[:0], pat.lanes...)
		}
	}
}

// key tells runs apart.
func (b *bestRun) key() string {
	k := make([]byte, 0, 8*(2+len(b.lanes)))
	put := func(v int64) {
		for range 8 {
			k = append(k, byte(v))
			v >>= 8
		}
	}
	put(b.length)
	put(int64(b.stock))
	lanes := slices.Clone(b.lanes)
	slices.SortFunc(lanes, func(a, b lane) int { return int(a.item - b.item) })
	for _, l := range lanes {
		put(int64(l.item)<<16 | int64(l.outs))
	}
	return string(k)
}
