package combine

import "slices"

// offer makes a plan of the runs that a point of the programme takes, the surest
// first: as many as are legal side by side, lengthened where pieces of a cut are
// missing, with runs for what is left. It keeps the plan where it is the best so far.
func (x *search) offer(runs []bestRun) {
	s := x.s
	x.cur = s.newPlan()
	x.need.reset(s)
	x.adopt(x.holdRuns(nil))
	for k := range runs {
		x.put(run{stock: runs[k].stock, length: runs[k].length, lanes: runs[k].lanes})
	}
	x.complete()
	x.recount()
	all := make([]int32, len(s.Items))
	for i := range all {
		all[i] = int32(i)
	}
	for i := range x.dive.alive {
		x.dive.alive[i] = x.cur.on[i] > 0
	}
	x.dive.floor = 0
	x.mend(all)
	x.recount()
	for i := range s.Items {
		if n := x.cur.made[i]; n > s.Items[i].Most || x.cur.parts[i] > 0 && n < s.Items[i].Least {
			return
		}
	}
	s.polish(x.cur, x.need.left, 0)
	if s.total(x.cur) < x.cost*(1+shiftWithin) {
		x.shift(x.cur, nil)
		x.stretch(x.cur, s.all())
	}
	if x.curC = s.total(x.cur); x.curC < x.cost-1e-9 {
		x.cost = x.curC
		x.best.copyFrom(x.cur)
	}
}

// shiftWithin is how much dearer than the best an offer may be for its pieces to
// be moved between its runs: that rarely saves more, and takes longer than all else.
const shiftWithin = 0.003

// put adds a run where its lanes and resources are free, shortened where an
// item would become too many.
func (x *search) put(r run) {
	s, n := x.s, x.need
	p := pattern{r.stock, r.lanes, s.Line.RunLeast, 0}
	useful := false
	for _, l := range r.lanes {
		useful = useful || n.least[l.item] > 0 || n.want[l.item] > 0
	}
	p.least, p.most = s.reach(n, r.lanes)
	p.most = min(p.most, s.capacity(n, int(r.stock)))
	if r.length = min(max(r.length, p.least), p.most); !useful || p.least > p.most || !s.legal(r.stock, r.lanes) {
		return
	}
	r.lanes = slices.Clone(r.lanes)
	n.add(s, &r, 1)
	x.cur.add(s, r)
}

// complete lengthens, for each item that is begun and not finished, the run by
// which it is finished at the least cost.
func (x *search) complete() {
	s, p := x.s, x.cur
	for i := range s.Items {
		it := &s.Items[i]
		if p.parts[i] == 0 || p.made[i] >= it.Least {
			continue
		}
		best, at, length := 0.0, -1, int64(0)
		for q := range p.runs {
			r := &p.runs[q]
			k := slices.IndexFunc(r.lanes, func(l lane) bool { return l.item == int32(i) })
			if k < 0 || r.hold > 0 && s.Hold[r.hold-1].Length > 0 {
				continue
			}
			outs := r.lanes[k].outs
			others := p.made[i] - s.good(i, int(outs), r.length)
			long := (ceil(it.Least-others, int64(outs)) + s.Line.Rejects) * it.Length
			if other := (run{stock: r.stock, length: long, lanes: r.lanes}); x.fits(r, long) {
				if v := s.cost(&other) - s.cost(r); at < 0 || v < best {
					best, at, length = v, q, long
				}
			}
		}
		if at >= 0 {
			r := p.runs[at]
			x.need.add(s, &r, -1)
			p.count(s, &r, -1)
			p.runs[at].length = length
			p.count(s, &p.runs[at], 1)
			x.need.add(s, &p.runs[at], 1)
		}
	}
}

// fits reports whether a run may be as long as that: no item too many, no resource short.
func (x *search) fits(r *run, length int64) bool {
	s := x.s
	for _, l := range r.lanes {
		if x.cur.made[l.item]+s.good(int(l.item), int(l.outs), length)-s.good(int(l.item), int(l.outs), r.length) > s.Items[l.item].Most {
			return false
		}
	}
	for _, d := range s.Stocks[r.stock].Draws {
		if d.PerLength*float64(length-r.length) > x.need.left[d.Resource] {
			return false
		}
	}
	return true
}
