package combine

import (
	"math"
	"slices"
)

// pruning cuts an enumeration of lanes short.
type pruning interface {
	alone(lanes []lane, used int64) bool // these lanes by themselves can matter
	pays(lanes []lane, used int64) bool  // further lanes beside these can matter
}

// sieve cuts off lanes that no further lanes can make earn more than the run
// costs under a master's duals. Of each lane it knows the most that it earns, at
// any length, above the bare price of its width; what all lanes earn so must pay
// for the start of the run. Lanes to come are as good as the width left allows.
type sieve struct {
	m     *master
	kind  int
	fill  [][]float64 // most earned by width and number of lanes; the last row may be for any number
	grain float64
}

// prepare sets the worth of every lane for a kind, fills the table, and puts the best lanes first.
func (p *sieve) prepare(kind int, items []int32) {
	s, m := p.m.s, p.m
	p.kind, p.grain = kind, float64(s.widest[kind])/grains
	price := math.Inf(1) // of a unit of area
	for _, k := range s.byKind[kind] {
		price = min(price, s.Stocks[k].Price-s.Stocks[k].Credit+s.Stocks[k].Rate/float64(s.Stocks[k].Width))
	}
	best := make([]float64, len(m.strands))
	for _, i := range items {
		t := &m.strands[m.of[i]]
		best[m.of[i]] = math.Inf(-1)
		more := m.mostAsked(m.of[i])
		for a := range t.profiles {
			w := float64(s.Items[i].Width) * float64(a+1)
			t.profiles[a].reach(price * w / m.scale)
			t.profiles[a].worth += more
			best[m.of[i]] = max(best[m.of[i]], t.profiles[a].worth)
		}
	}
	slices.SortStableFunc(items, func(a, b int32) int {
		switch x, y := best[m.of[a]], best[m.of[b]]; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	more := s.Line.Orders - 1
	rows := min(more, fillCounts)
	if more > fillCounts {
		rows++
	}
	p.fill = append(p.fill[:0], make([]float64, grains+1))
	for d := 1; d <= rows; d++ {
		to, from := slices.Clone(p.fill[d-1]), p.fill[d-1]
		if d > fillCounts {
			from = to
		}
		p.join(items, from, to)
		p.fill = append(p.fill, to)
	}
}

// join improves to by one more lane on from. Widths are rounded down, in favour of the lanes.
func (p *sieve) join(items []int32, from, to []float64) {
	s, m := p.m.s, p.m
	least := make([]int, 0, 4*len(items))
	worth := make([]float64, 0, 4*len(items))
	for _, i := range items {
		for a, q := range m.strands[m.of[i]].profiles {
			if q.worth > 0 {
				least = append(least, int(float64(s.Items[i].Width)*float64(a+1)/p.grain))
				worth = append(worth, q.worth)
			}
		}
	}
	for g := range to {
		if g > 0 {
			to[g] = max(to[g], to[g-1])
		}
		for k, w := range least {
			switch {
			case w > g:
			case w == 0 && &from[0] == &to[0]: // narrower than a step, any number of times
				to[g] = math.Inf(1)
			default:
				to[g] = max(to[g], from[g-w]+worth[k])
			}
		}
	}
}

// start is what a run on a stock costs beyond its length.
func (p *sieve) start(st *Stock) float64 {
	return (float64(st.Width)*(st.Price-st.Credit)*p.m.s.Line.RunLoss)/p.m.scale - p.m.asked.every - 1e-12
}

func (p *sieve) worth(lanes []lane) float64 {
	v := 0.0
	for _, l := range lanes {
		v += p.m.strands[p.m.of[l.item]].profiles[l.outs-1].worth
	}
	return v
}

func (p *sieve) alone(lanes []lane, used int64) bool {
	s := p.m.s
	v := p.worth(lanes)
	if v <= 0 && p.m.asked.every <= 0 {
		return false
	}
	for _, k := range s.byKind[p.kind] {
		st := &s.Stocks[k]
		if trim := st.Width - used; trim >= s.Line.TrimLeast && trim <= s.Line.TrimMost {
			bare := float64(trim) * (st.Price - st.Credit) * float64(s.Line.RunLeast) / p.m.scale
			if v > p.start(st)+bare {
				return true
			}
		}
	}
	return false
}

func (p *sieve) pays(lanes []lane, used int64) bool {
	s := p.m.s
	v := p.worth(lanes)
	fill := p.fill[min(s.Line.Orders-len(lanes), len(p.fill)-1)]
	for _, k := range s.byKind[p.kind] {
		st := &s.Stocks[k]
		if rest := st.Width - s.Line.TrimLeast - used; rest > 0 && v+fill[min(grains, int(float64(rest)/p.grain)+1)] > p.start(st) {
			return true
		}
	}
	return false
}
