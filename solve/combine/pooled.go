package combine

import "slices"

// mostPooled is the number of items that one relaxation over a pool takes in.
const mostPooled = 450

// pooled makes a plan from nothing by diving on the patterns that the
// relaxation of the whole part found worth having, all items at once, and then
// on every pattern of the few items that they leave.
func (x *search) pooled(pool []pattern, items []int32) {
	s, d := x.s, x.dive
	x.cur = s.newPlan()
	x.need.reset(s)
	d.n, d.loose = x.need, false
	groups := [][]int32{items}
	if len(items) > mostPooled {
		all := slices.Clone(items)
		x.rnd.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		count := (len(all) + mostPooled - 1) / mostPooled
		groups = slices.Collect(slices.Chunk(all, (len(all)+count-1)/count))
	}
	in := make([]bool, len(s.Items))
	for _, group := range groups {
		var out []run
		for x.opt.Done == nil || !x.opt.Done() {
			clear(in)
			d.open = d.open[:0]
			for _, i := range group {
				if x.need.want[i] > 0 && x.need.least[i] > 0 && x.need.parts[i] > 0 {
					d.open = append(d.open, i)
					in[i] = true
				}
			}
			if len(d.open) <= chunk {
				break
			}
			d.rel.set(x.need, d.open, x.usable(pool, in), nil, 0, nil)
			d.rel.solve()
			if d.candidates(0); len(d.cand) == 0 {
				break
			}
			d.fix(&out)
		}
		x.cur.add(s, out...)
	}
	x.mend(items)
	x.recount()
	s.polish(x.cur, x.need.left, 0)
	x.curC = s.total(x.cur)
	x.indexed = false
}

// usable are the patterns of a pool whose items are all open and that some length still fits.
func (x *search) usable(pool []pattern, open []bool) []pattern {
	s := x.s
	var out []pattern
	for _, p := range pool {
		ok := true
		for _, l := range p.lanes {
			ok = ok && open[l.item] && int64(l.outs) <= x.need.most[l.item]
		}
		if !ok {
			continue
		}
		p.least, p.most = s.reach(x.need, p.lanes)
		if p.most = min(p.most, s.capacity(x.need, int(p.stock))); p.least <= p.most {
			out = append(out, p)
		}
	}
	return out
}
