package combine

import "slices"

// mostPooled is the number of items that one relaxation over a pool takes in.
const mostPooled = 450

// pooled makes a plan from nothing by diving on the patterns that the
// relaxation of the whole part found worth having, all items at once, and then
// on every pattern of the few items that they leave. The first runs are fixed
// from the relaxation's own point.
func (x *search) pooled(r *root) {
	s, d := x.s, x.dive
	x.cur = s.newPlan()
	x.need.reset(s)
	d.n, d.loose = x.need, false
	var out []run
	d.rel.takeRoot(r)
	d.candidates(0)
	d.fix(&out)
	for _, group := range x.groups(r.items) {
		for x.opt.Done == nil || !x.opt.Done() {
			if d.open = x.lacking(d.open[:0], group); len(d.open) <= chunk {
				break
			}
			d.rel.set(x.need, d.open, x.usable(r.pool, d.open), nil, 0, nil)
			d.rel.solve()
			if d.candidates(0); len(d.cand) == 0 {
				break
			}
			d.fix(&out)
		}
	}
	x.cur.add(s, out...)
	x.mend(r.items)
	x.recount()
	s.polish(x.cur, x.need.left, 0)
	x.curC = s.total(x.cur)
	x.indexed = false
}

// groups are the items still to be made, drawn apart where they are too many for one relaxation.
func (x *search) groups(items []int32) [][]int32 {
	all := x.lacking(nil, items)
	if len(all) <= mostPooled {
		return [][]int32{all}
	}
	x.rnd.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	count := (len(all) + mostPooled - 1) / mostPooled
	return slices.Collect(slices.Chunk(all, (len(all)+count-1)/count))
}

// lacking appends those of items that still must be made and may be.
func (x *search) lacking(to, items []int32) []int32 {
	for _, i := range items {
		if x.need.want[i] > 0 && x.need.least[i] > 0 && x.need.parts[i] > 0 {
			to = append(to, i)
		}
	}
	return to
}

// usable are the patterns of a pool whose items are all open and that some length still fits.
func (x *search) usable(pool []pattern, items []int32) []pattern {
	s := x.s
	open := make([]bool, len(s.Items))
	for _, i := range items {
		open[i] = true
	}
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
