package combine

import (
	"cmp"
	"slices"
)

// cells is the number of parts of an item's least number that its pieces are
// rounded up to where new counters are looked for.
const cells = 96

// broken looks for counters that a point breaks, the most broken first.
//
// Of one item, the point takes a mass of lanes that finish it and masses of
// lanes that make a part. If those cannot be packed into whole ways of making it
// (parts that sum to the least), a counter says so. Where they can, the packing
// looks at their partners, too: see ways.
func (m *master) broken(x []float64) []find {
	full, shares := m.shares(x)
	most := func(k int32) int64 { return m.s.Items[m.strands[k].item].Most }
	var found []find
	for k := range m.strands {
		t := &m.strands[k]
		if !t.counted {
			continue
		}
		c, miss := newWays(alone(shares[k])).counterOf(full[k], int64(t.least), nil)
		if miss <= breaks && m.links {
			w := newWays(weighty(shares[k]))
			c, miss = w.counterOf(full[k], int64(t.least), most)
			m.weighed += w.spent
		}
		if miss > breaks {
			found = append(found, find{k, c, miss})
		}
	}
	slices.SortStableFunc(found, func(a, b find) int { return cmp.Compare(b.miss, a.miss) })
	return found
}

// breaks is by how much a point must break a counter for it to be taken.
const breaks = 1e-3

// shares lists, by strand, the mass of lanes that finish the item and the shares of all others.
func (m *master) shares(x []float64) (full []float64, shares [][]share) {
	s := m.s
	full, shares = make([]float64, len(m.strands)), make([][]share, len(m.strands))
	for q := range m.runs {
		y := x[m.first+q]
		if y < 1e-9 {
			continue
		}
		r := &m.runs[q]
		for _, l := range r.lanes {
			k := m.of[l.item]
			own := cellOf(s.good(int(l.item), int(l.outs), r.length), s.Items[l.item].Least)
			if own == cells {
				full[k] += y
			}
			if own == cells || own == 0 {
				continue
			}
			h := share{own: own, partner: -1}
			for _, o := range r.lanes {
				if v := int(s.good(int(o.item), int(o.outs), r.length) * cells / s.Items[o.item].Most); o.item != l.item && v > h.theirs {
					h.partner, h.theirs = m.of[o.item], v
				}
			}
			shares[k] = gather(shares[k], h, y)
		}
	}
	return full, shares
}

// weighty drops the shares of so little mass that they hardly count: each makes the packing longer.
func weighty(list []share) []share {
	return slices.DeleteFunc(slices.Clone(list), func(h share) bool { return h.mass < massLeast })
}

const massLeast = 1e-4

// gather adds mass to a share of a list.
func gather(list []share, h share, mass float64) []share {
	for k := range list {
		if o := &list[k]; o.own == h.own && o.partner == h.partner && o.theirs == h.theirs {
			o.mass += mass
			return list
		}
	}
	h.mass = mass
	return append(list, h)
}

// alone is the shares without their partners.
func alone(list []share) []share {
	var out []share
	for _, h := range list {
		out = gather(out, share{own: h.own, partner: -1}, h.mass)
	}
	return out
}

// cellOf is the cell that pieces are rounded up to: the last of them only where
// they finish the item, for what is missing another lane makes.
func cellOf(g, least int64) int {
	if g >= least {
		return cells
	}
	return int(min(cells-1, ceil(g*cells, least)))
}

// piecesOf is the most pieces that are rounded up to a cell.
func piecesOf(cell int, least int64) int64 {
	if cell == cells-1 {
		return least - 1
	}
	return int64(cell) * least / cells
}

// find is a counter that a point breaks, and by how much.
type find struct {
	k    int // strand
	c    counter
	miss float64
}

// cut looks for counters that the present point breaks, gives them rows, and
// loads the programme with them. It returns how many it found.
func (m *master) cut(most int) int {
	x := make([]float64, m.lp.Columns())
	m.lp.Values(x)
	found := m.broken(x)
	found = found[:min(len(found), most)]
	if len(found) == 0 {
		return 0
	}
	if m.dual == nil {
		m.dual = make([]float64, m.rows)
	}
	m.shed()
	columns, rows := m.lp.Basis()
	for _, f := range found {
		f.c.row = m.addRow()
		rows = append(rows, f.c.row)
		m.strands[f.k].counters = append(m.strands[f.k].counters, f.c)
		m.dual = append(m.dual, 0)
	}
	for k := range m.strands {
		m.profile(&m.strands[k])
	}
	m.load()
	m.lp.Resume(columns, rows)
	m.done = false
	return len(found)
}

// shed drops the counters that do not bind and the runs far from paying, and
// loads the programme without them.
func (m *master) shed() {
	columns, rows := m.lp.Basis()
	loose := make([]bool, m.rows)
	for _, r := range rows {
		loose[r] = true
	}
	at := make([]int, m.rows) // new number of each row, -1 where it goes
	m.rows = 0
	keep := func(r int) int {
		at[r] = m.addRow()
		return at[r]
	}
	old := m.dual
	m.dual = m.dual[:0:0]
	for r := range at {
		at[r] = -1
	}
	for k := range m.strands {
		t := &m.strands[k]
		if t.counted {
			t.enough = keep(t.enough)
			kept := t.counters[:0]
			for _, c := range t.counters {
				if !loose[c.row] {
					c.row = keep(c.row)
					kept = append(kept, c)
				}
			}
			t.counters = kept
		}
		if t.wanted {
			t.met = keep(t.met)
		}
	}
	for _, res := range m.limits {
		m.limitAt[res] = int32(keep(int(m.limitAt[res])))
	}
	m.dual = make([]float64, m.rows)
	for r, to := range at {
		if to >= 0 {
			m.dual[to] = old[r]
		}
	}
	var slack []int
	for _, r := range rows {
		if at[r] >= 0 {
			slack = append(slack, at[r])
		}
	}
	// runs: basic ones stay, and those whose reduced cost is small
	basic := make([]bool, m.lp.Columns())
	for _, j := range columns {
		basic[j] = true
	}
	to := make([]int, len(m.runs))
	kept := m.runs[:0]
	for q := range m.runs {
		j := m.first + q
		if !basic[j] && len(m.runs) > 3*m.rows && m.lp.Reduced(j) > shedding*m.lp.Cost(j) {
			delete(m.keys, m.runs[q].key())
			continue
		}
		to[q] = len(kept)
		kept = append(kept, m.runs[q])
	}
	clear(m.runs[len(kept):])
	m.runs = kept
	for k, j := range columns {
		if j >= m.first {
			columns[k] = m.first + to[j-m.first]
		}
	}
	m.load()
	m.lp.Resume(columns, slack)
}

// shedding is the share of its cost by which a run must miss paying to be dropped.
const shedding = 0.01
