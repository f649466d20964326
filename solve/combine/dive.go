package combine

import (
	"math"
	"math/rand/v2"
	"slices"
)

// diver turns needs into runs: it solves the relaxation, fixes the runs that fit
// best, and goes on with the rest until every item is finished.
type diver struct {
	s     *shop
	n     *need
	rel   relaxation
	list  lister
	rnd   *rand.Rand
	stop  func() bool
	alive []bool // stocks used by runs that stay
	open  []int32
	cand  []candidate
	used  []bool
	loose bool // costs are disturbed: choices may be, too
	known *catalog
	floor float32 // ratio of the catalog's patterns that are looked at
	worth float64 // runs that cost as much, with shorts and overs of their items, are of no use; +Inf: any are
	spent float64 // cost of the runs of this dive
}

// candidate is a pattern with the length it would be fixed at.
type candidate struct {
	p      *pattern
	length int64
	score  float64
}

func newDiver(s *shop, rnd *rand.Rand, stop func() bool) *diver {
	d := &diver{s: s, rnd: rnd, stop: stop, worth: math.Inf(1), used: make([]bool, len(s.Items))}
	d.rel.s = s
	d.list = lister{s: s, limit: 20000}
	d.alive = make([]bool, len(s.Stocks))
	return d
}

// dive makes runs for items, which are few, under n, which it changes. It returns the runs and whether every item
// that it began is finished; items it did not begin may stay missing. It gives up where what it has spent and the
// relaxation of the rest, with its disturbed costs, come to worth.
func (d *diver) dive(n *need, items []int32, noise float64) ([]run, bool) {
	d.n, d.loose, d.rel.roomy = n, noise > 0, false
	d.open, d.spent = append(d.open[:0], items...), 0
	var out []run
	var begun []int32 // items begun before the dive
	for _, i := range items {
		if n.touched[i] {
			begun = append(begun, i)
		}
	}
	for {
		d.open = slices.DeleteFunc(d.open, func(i int32) bool {
			return n.most[i] <= 0 || n.parts[i] < 1 || n.want[i] <= 0 && n.least[i] <= 0
		})
		if len(d.open) == 0 {
			break
		}
		cols := d.patterns()
		d.rel.set(n, d.open, cols, d.alive, noise, d.rnd)
		d.rel.solve()
		if i := d.lacking(); i >= 0 {
			if d.known != nil && d.floor > 0 { // what was left out may be what it needs
				d.floor = 0
				continue
			}
			if !d.rel.roomy {
				d.rel.roomy = true
				continue
			}
			if !d.give(i, &out, begun) {
				return nil, false
			}
			continue
		}
		if d.spent+d.rel.lp.Objective() >= d.worth {
			return nil, false
		}
		if d.cand = d.cand[:0]; noise > 0 && d.rnd.IntN(4) == 0 {
			if c, ok := d.force(d.open[d.rnd.IntN(len(d.open))]); ok { // now and then past the relaxation, which spreads what a run costs
				d.cand = append(d.cand, c)
			}
		}
		if len(d.cand) == 0 {
			d.candidates(noise)
		}
		if len(d.cand) == 0 {
			i := d.unfinished()
			if i < 0 {
				break
			}
			if c, ok := d.force(i); ok {
				d.cand = append(d.cand, c)
			} else {
				if !d.give(i, &out, begun) {
					return nil, false
				}
				continue
			}
		}
		d.fix(&out)
	}
	for _, i := range items {
		if n.least[i] > 0 && n.touched[i] {
			return nil, false
		}
	}
	return out, true
}

// patterns lists what the open items may be made of.
func (d *diver) patterns() []pattern {
	if d.known != nil && d.floor > 0 {
		return d.list.catalogued(d.known, d.n, d.open, d.alive, d.floor)
	}
	return d.list.list(d.n, d.open, d.alive)
}

// lacking returns an item that the relaxation cannot finish, or -1.
func (d *diver) lacking() int32 {
	worst, at := 1e-6, int32(-1)
	for k, i := range d.open {
		if v := d.rel.x[d.rel.missing[k]] / d.s.scaled(i); v > worst && d.n.least[i] > 0 {
			worst, at = v, i
		}
	}
	return at
}

// unfinished returns an open item that is still short of its least number, or -1.
func (d *diver) unfinished() int32 {
	for _, i := range d.open {
		if d.n.least[i] > 0 {
			return i
		}
	}
	return -1
}

// give gives an item up: the runs of this dive that hold it are taken back. It
// returns false where runs outside the dive began it.
func (d *diver) give(i int32, out *[]run, begun []int32) bool {
	if slices.Contains(begun, i) {
		return false
	}
	kept := (*out)[:0]
	for _, r := range *out {
		if holds(r.lanes, i) {
			d.n.add(d.s, &r, -1)
			d.spent -= d.s.cost(&r)
			for _, l := range r.lanes {
				if l.item != i && !slices.Contains(d.open, l.item) {
					d.open = append(d.open, l.item)
				}
			}
			continue
		}
		kept = append(kept, r)
	}
	*out = kept
	for k := range d.n.touched { // what no run holds any more is untouched again
		d.n.touched[k] = d.n.touched[k] && slices.Contains(begun, int32(k))
	}
	for _, r := range kept {
		for _, l := range r.lanes {
			d.n.touched[l.item] = true
		}
	}
	d.open = slices.DeleteFunc(d.open, func(k int32) bool { return k == i })
	slices.Sort(d.open)
	return true
}

func holds(lanes []lane, i int32) bool {
	for _, l := range lanes {
		if l.item == i {
			return true
		}
	}
	return false
}

// candidates lists the patterns of the relaxation's point with whole lengths that keep all items finishable.
func (d *diver) candidates(noise float64) {
	d.cand = d.cand[:0]
	for k := range d.rel.cols {
		x := d.rel.x[d.rel.column[k]] * d.s.unit
		if x < 1e-6*d.s.unit {
			continue
		}
		p := &d.rel.cols[k]
		length, score, ok := d.length(p, x)
		if !ok {
			continue
		}
		if noise > 0 {
			score *= 1 + 0.3*d.rnd.Float64()
		}
		d.cand = append(d.cand, candidate{p, length, score})
	}
	slices.SortStableFunc(d.cand, func(a, b candidate) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return 0
	})
}

// fix takes a share of the candidates, best first, each item and resource once.
func (d *diver) fix(out *[]run) {
	take := 1 + len(d.cand)/4
	var marked []int32
	for _, c := range d.cand {
		if take == 0 {
			break
		}
		clash := d.s.limited[c.p.stock] && c.length > d.s.capacity(d.n, int(c.p.stock))
		for _, l := range c.p.lanes {
			clash = clash || d.used[l.item]
		}
		if clash {
			continue
		}
		take--
		r := run{stock: c.p.stock, length: c.length, lanes: slices.Clone(c.p.lanes)}
		d.n.add(d.s, &r, 1)
		for _, l := range r.lanes {
			d.used[l.item] = true
			marked = append(marked, l.item)
		}
		*out = append(*out, r)
		d.spent += d.s.cost(&r)
	}
	for _, i := range marked {
		d.used[i] = false
	}
}
