package combine

import (
	"math"

	"github.com/flutewright/flutewright/solve/lp"
)

// stretcher chooses the lengths of runs that share items all at once: a linear
// programme over the lengths, the pieces short and the pieces over. Moving
// pieces between two runs (shift) does not find what three or more save together.
type stretcher struct {
	lp    lp.Simplex
	runs  []int   // of the plan
	items []int32 // that they hold
	row   []int32 // of each item, -1 outside
	in    []bool  // runs taken
	seen  []bool  // items looked at
	was   []int64 // their lengths
}

// mostStretched is the number of runs that are looked at together.
const mostStretched = 40

// Lengths are chosen anew for each best plan, and for one in so many of those that are dearer by at most a share.
const (
	stretchWithin = 1e-4
	stretchOne    = 24
)

// stretch gives the runs that hold the items, directly or through others, the lengths that
// cost least together, and keeps them where the plan is cheaper then.
func (x *search) stretch(p *plan, items []int32) {
	t := &x.stretcher
	if t.row == nil {
		t.row, t.seen = make([]int32, len(x.s.Items)), make([]bool, len(x.s.Items))
	}
	clear(t.seen)
	for _, i := range items {
		if !t.seen[i] && t.gather(p, i) && len(t.runs) > 1 {
			x.stretchAll(p)
		}
		for _, j := range t.items {
			t.seen[j] = true
		}
	}
}

// gather collects the runs that are joined to an item, directly or by others; false where they are too many.
func (t *stretcher) gather(p *plan, i int32) bool {
	for k := range t.row {
		t.row[k] = -1
	}
	t.runs, t.items = t.runs[:0], append(t.items[:0], i)
	t.row[i] = 0
	t.in = append(t.in[:0], make([]bool, len(p.runs))...)
	for grown := true; grown; {
		grown = false
		for q := range p.runs {
			if t.in[q] || !t.touches(&p.runs[q]) {
				continue
			}
			t.in[q], grown = true, true
			if t.runs = append(t.runs, q); len(t.runs) > mostStretched {
				return false
			}
			for _, l := range p.runs[q].lanes {
				if t.row[l.item] < 0 {
					t.row[l.item] = int32(len(t.items))
					t.items = append(t.items, l.item)
				}
			}
		}
	}
	return true
}

func (t *stretcher) touches(r *run) bool {
	for _, l := range r.lanes {
		if t.row[l.item] >= 0 {
			return true
		}
	}
	return false
}

// loadLengths writes the programme; false where some item has no room to round lengths up.
func (x *search) loadLengths(p *plan) bool {
	s, t := x.s, &x.stretcher
	lo := make([]float64, len(t.items))
	room := make([]float64, len(t.items)) // rounding up makes as many pieces more
	for k, i := range t.items {
		lo[k] = float64(s.Items[i].Want)
	}
	for _, q := range t.runs {
		r := &p.runs[q]
		for _, l := range r.lanes {
			k := t.row[l.item]
			if x.stays(r) {
				lo[k] -= float64(s.good(int(l.item), int(l.outs), r.length))
				continue
			}
			lo[k] += float64(int64(l.outs) * s.Line.Rejects)
			room[k] += float64(l.outs)
		}
	}
	for k, i := range t.items {
		lo[k] *= float64(s.Items[i].Length) / s.unit
	}
	t.lp.Reset(lo, lo)
	for k, i := range t.items {
		it := &s.Items[i]
		c := float64(it.Length) / s.unit
		spare := float64(it.Most-it.Want) - room[k]
		if spare < 0 {
			return false
		}
		row := []int32{int32(k)}
		t.lp.Add(it.Short/c, 0, float64(it.Want-it.Least)*c, row, []float64{1})
		t.lp.Add(it.Over/c, 0, spare*c, row, []float64{-1})
	}
	for _, q := range t.runs {
		r := &p.runs[q]
		if x.stays(r) {
			continue
		}
		st := &s.Stocks[r.stock]
		rate := float64(st.Width) * (st.Price - st.Credit)
		least, most := float64(s.Line.RunLeast), math.Inf(1)
		if st.Rate*float64(r.length) > st.Floor {
			rate += st.Rate
			least = max(least, st.Floor/max(st.Rate, 1e-300))
		} else if st.Rate > 0 {
			most = st.Floor / st.Rate
		}
		var rows []int32
		var coef []float64
		for _, l := range r.lanes {
			it := &s.Items[l.item]
			rate += float64(l.outs) * float64(it.Width) * st.Credit
			least = max(least, float64((s.Line.Rejects+1)*it.Length))
			rows, coef = append(rows, t.row[l.item]), append(coef, float64(l.outs))
		}
		if least > most {
			return false
		}
		t.lp.Add(rate*s.unit, least/s.unit, most/s.unit, rows, coef)
	}
	return true
}

// stretchAll solves the programme, rounds its lengths up to cuts, and keeps them where that is cheaper.
func (x *search) stretchAll(p *plan) {
	s, t := x.s, &x.stretcher
	if !x.loadLengths(p) || t.lp.Solve(20*len(t.runs)+200) != lp.Optimal {
		return
	}
	before := s.total(p)
	value := make([]float64, t.lp.Columns())
	t.lp.Values(value)
	t.was = t.was[:0]
	k := 2 * len(t.items)
	for _, q := range t.runs {
		r := &p.runs[q]
		t.was = append(t.was, r.length)
		if x.stays(r) {
			continue
		}
		length := int64(math.Ceil(value[k]*s.unit - 1e-6))
		k++
		up := int64(math.MaxInt64)
		for _, l := range r.lanes {
			c := s.Items[l.item].Length
			up = min(up, ceil(length, c)*c)
		}
		x.setLength(p, q, max(up, s.Line.RunLeast))
	}
	good := true
	for _, q := range t.runs {
		good = good && x.sound(p, q)
	}
	if good {
		for _, q := range t.runs {
			if !x.stays(&p.runs[q]) {
				s.nudge(p, x.need.left, q)
			}
		}
	}
	if good && s.total(p) < before-1e-9 {
		return
	}
	for k, q := range t.runs {
		x.setLength(p, q, t.was[k])
	}
}
