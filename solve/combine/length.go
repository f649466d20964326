package combine

import "math"

// length chooses a whole length near x for a pattern, so that every item in it
// can still be finished. The score is higher for runs that finish their items.
func (d *diver) length(p *pattern, x float64) (length int64, score float64, ok bool) {
	lo, hi := p.least, p.most
	all, first := lo, int64(math.MaxInt64)
	top := hi
	for _, l := range p.lanes {
		f, t := d.s.finish(d.n, l, d.target(l.item))
		all, first, top = max(all, f), min(first, f), min(top, t)
	}
	w := float64(d.s.Stocks[p.stock].Width)
	if all <= top && math.Abs(float64(all)-x) < 0.15*float64(all) && d.keeps(p, all) {
		return all, 2 * w * float64(all), true
	}
	near := d.whole(p, int64(x))
	one := max(first, lo)
	try := [4]int64{one, near, max(near, lo), d.whole(p, int64(x)) + d.shortest(p)}
	if math.Abs(float64(one)-x) > 0.3*float64(one) || d.loose && d.rnd.IntN(3) == 0 {
		// Near the relaxation rather than to the end of an item: two items that
		// need each other on every run must both go on.
		try = [4]int64{near, max(near, lo), near + d.shortest(p), one}
	}
	for k, r := range try {
		if r >= lo && r <= hi && d.keeps(p, r) {
			f := 1.0
			if k > 0 {
				f = 0.5
			}
			return r, f * w * float64(r), true
		}
	}
	return 0, 0, false
}

// target is the number that finishing an item aims at: what is wanted, or the
// least where the relaxation leaves it short.
func (d *diver) target(i int32) int64 {
	if d.s.Items[i].Short <= 0 {
		return d.n.least[i]
	}
	k := d.rel.row[i]
	if k >= 0 && d.rel.price[k]/d.s.unit*float64(d.s.Items[i].Length) > d.s.Items[i].Short*(1-1e-9) {
		return d.n.least[i]
	}
	return d.n.want[i]
}

// whole rounds a length to whole cuts of the lane that loses least.
func (d *diver) whole(p *pattern, x int64) int64 {
	best := int64(0)
	for _, l := range p.lanes {
		c := d.s.Items[l.item].Length
		best = max(best, (x+c/1000)/c*c)
	}
	return best
}

func (d *diver) shortest(p *pattern) int64 {
	c := int64(math.MaxInt64)
	for _, l := range p.lanes {
		c = min(c, d.s.Items[l.item].Length)
	}
	return c
}

// keeps reports whether after a run of this length every item in it is finished or can be.
func (d *diver) keeps(p *pattern, length int64) bool {
	for _, l := range p.lanes {
		g := d.s.good(int(l.item), int(l.outs), length)
		if g > d.n.most[l.item] {
			return false
		}
		if d.n.least[l.item] <= g {
			continue
		}
		if d.n.parts[l.item] < 2 || d.n.most[l.item]-g < d.s.smallest(l.item) {
			return false
		}
	}
	return true
}

// smallest is the least number of good pieces that a run makes with one strip.
func (s *shop) smallest(i int32) int64 {
	return max(1, s.Line.RunLeast/s.Items[i].Length-s.Line.Rejects)
}

// force finds the cheapest run that finishes an item by itself, whatever the relaxation says.
func (d *diver) force(i int32) (candidate, bool) {
	best := candidate{score: math.Inf(1)}
	for k := range d.rel.cols {
		p := &d.rel.cols[k]
		if !holds(p.lanes, i) {
			continue
		}
		for _, l := range p.lanes {
			f, _ := d.s.finish(d.n, l, d.n.least[l.item])
			for _, r := range [2]int64{max(f, p.least), p.least} {
				if r > p.most || !d.keeps(p, r) {
					continue
				}
				value := 0.0
				for _, m := range p.lanes {
					g := min(d.s.good(int(m.item), int(m.outs), r), max(d.n.want[m.item], 0))
					value += float64(g) * d.s.scaled(m.item) * math.Abs(d.rel.price[d.rel.row[m.item]])
				}
				rr := run{stock: p.stock, length: r, lanes: p.lanes}
				c := d.s.cost(&rr) - value
				if l.item != i {
					c += 0.1 * math.Abs(c)
				}
				if c < best.score {
					best = candidate{p, r, c}
				}
			}
		}
	}
	return best, best.p != nil
}
