package combine

import "slices"

// listing holds every pattern of one or two lanes of some items on full needs,
// ready to be priced: a round then looks along lists in place of seeking what
// fits anew. Patterns of the same two items stand together, on narrower
// stocks first.
type listing struct {
	of    [][]offered // by first item
	count int
}

// offered is a pattern with its coefficients over its cost, both per length.
type offered struct {
	u, v  float64 // of its lanes
	i, j  int32   // its items; j is as many as there are items where there is one lane
	stock int32
	a, b  int16 // strips of its lanes
}

// sameLanes reports whether another pattern has the same lanes.
func (p *offered) sameLanes(o *offered) bool {
	return p.i == o.i && p.j == o.j && p.a == o.a && p.b == o.b
}

const (
	mostOffered = 1 << 21 // patterns of a listing, 32 bytes each
	listedByOne = 16      // so many of it are priced in the time in which one is sought
)

// newListing lists the patterns of items, which stand in rising sequence. Where
// there are too many to keep, it ends early with a count above mostOffered.
func newListing(s *shop, items []int32) *listing {
	out := &listing{of: make([][]offered, len(s.Items))}
	o := offering{s: s, n: s.newNeed()}
	o.n.reset(s)
	o.cap = make([]int64, len(s.Stocks))
	for st := range s.Stocks {
		o.cap[st] = s.capacity(o.n, st)
	}
	o.measure(items)
	for k, i := range items {
		o.list = o.list[:0]
		for _, kind := range s.Items[i].Kinds {
			o.alone(i, kind)
		}
		if s.Line.Orders > 1 {
			for _, j := range items[k+1:] {
				o.pair(i, j)
			}
		}
		if out.count += len(o.list); out.count > mostOffered {
			out.of = nil
			break
		}
		out.of[i] = slices.Clone(o.list)
	}
	return out
}

// offering makes a listing.
type offering struct {
	s     *shop
	n     *need
	cap   []int64 // of each stock
	wide  int
	spans []span    // by item and strips
	list  []offered // of the item at hand and those behind it
}

// measure notes the lengths that lanes of one item may have.
func (o *offering) measure(items []int32) {
	s := o.s
	o.wide = min(s.levelTop, s.Line.Outs) + 1
	o.spans = make([]span, o.wide*len(s.Items))
	for _, i := range items {
		for a := range o.wide {
			sp := span{1, 0}
			if a > 0 && int64(a) <= o.n.most[i] {
				sp.least, sp.most = s.reach(o.n, []lane{{i, int32(a)}})
			}
			o.spans[int(i)*o.wide+a] = sp
		}
	}
}

func (o *offering) alone(i int32, kind int) {
	for a := int32(1); a <= o.s.mostOuts(i, kind); a++ {
		lanes := [2]lane{{i, a}}
		if o.s.stands(lanes[:1]) {
			o.put(lanes, 1, kind, int64(a)*o.s.Items[i].Width)
		}
	}
}

func (o *offering) pair(i, j int32) {
	s := o.s
	p, q := &s.Items[i], &s.Items[j]
	if p.Class != 0 && q.Class != 0 && p.Class != q.Class || s.apart != nil && s.parted([]lane{{i, 1}}, j) {
		return
	}
	if len(s.Line.LevelOuts) < 2 && p.Length != q.Length {
		return
	}
	for _, kind := range p.Kinds {
		if !slices.Contains(q.Kinds, kind) {
			continue
		}
		topI, topJ, room := s.mostOuts(i, kind), s.mostOuts(j, kind), s.widest[kind]-s.Line.TrimLeast
		for a := int32(1); a <= topI; a++ {
			for b := int32(1); b <= topJ; b++ {
				used := int64(a)*p.Width + int64(b)*q.Width
				if used > room || int(a+b) > s.Line.Outs || int(a)*p.Marks+int(b)*q.Marks > s.Line.Marks {
					break
				}
				if lanes := [2]lane{{i, a}, {j, b}}; s.stands(lanes[:]) {
					o.put(lanes, 2, kind, used)
				}
			}
		}
	}
}

// put adds lanes on the narrowest stock that takes them, and on wider ones
// while a narrower one is limited or may be outbid.
func (o *offering) put(lanes [2]lane, count, kind int, used int64) {
	s := o.s
	sp := o.spans[int(lanes[0].item)*o.wide+int(lanes[0].outs)]
	if count == 2 {
		other := o.spans[int(lanes[1].item)*o.wide+int(lanes[1].outs)]
		sp.least, sp.most = max(sp.least, other.least), min(sp.most, other.most)
	}
	if sp.least > sp.most {
		return
	}
	for _, st := range s.byKind[kind] {
		trim := s.Stocks[st].Width - used
		if trim < s.Line.TrimLeast {
			continue
		}
		if trim > s.Line.TrimMost {
			return
		}
		p := pattern{int32(st), lanes[:count], sp.least, min(sp.most, o.cap[st])}
		if p.least > p.most || s.bars(p.lanes, st) {
			continue
		}
		var coef [2]float64
		c := s.perLength(&p, coef[:])
		made := offered{coef[0] / c, coef[1] / c, lanes[0].item, lanes[1].item, int32(st), int16(lanes[0].outs), int16(lanes[1].outs)}
		if count == 1 {
			made.j = int32(len(s.Items))
		}
		o.list = append(o.list, made)
		if !s.limited[st] && !s.outbid[st] {
			return
		}
	}
}

// price looks at every pattern under the values of the items, which end with
// one more of 0, and writes the ratio and the place of the best of each item that
// is worth more than it costs. It returns the greatest ratio of value to cost, at least 1.
func (o *listing) price(value, ratio []float64, found []*offered) float64 {
	top := 1.0
	for i, list := range o.of {
		own := value[i]
		for k := range list {
			p := &list[k]
			r := own*p.u + value[p.j]*p.v
			if top = max(top, r); r < 1+1e-7 {
				continue
			}
			if r > ratio[i] {
				ratio[i], found[i] = r, p
			}
			if r > ratio[p.j] {
				ratio[p.j], found[p.j] = r, p
			}
		}
	}
	return top
}

// pattern writes a pattern out.
func (p *offered) pattern(s *shop, n *need) pattern {
	out := pattern{stock: p.stock, lanes: []lane{{p.i, int32(p.a)}}}
	if p.b > 0 {
		out.lanes = append(out.lanes, lane{p.j, int32(p.b)})
	}
	out.least, out.most = s.reach(n, out.lanes)
	out.most = min(out.most, s.capacity(n, int(p.stock)))
	return out
}

// lists reports whether the patterns of the relaxation are priced from a listing.
func (r *root) lists(l *lister) bool {
	if r.s.Line.Orders > 2 {
		return false
	}
	if r.offers == nil {
		r.offers = newListing(r.s, r.items)
		l.nodes += r.offers.count
	}
	return r.offers.count <= mostOffered
}

// priceListed is a round's pricing from the listing.
func (r *root) priceListed(y []float64, l *lister, stop func() bool) bool {
	n := len(r.s.Items)
	value, ratio, of := make([]float64, n+1), make([]float64, n+1), make([]*offered, n+1)
	for k, i := range r.items {
		value[i] = y[k]
	}
	if l.nodes += r.offers.count / listedByOne; stop != nil && stop() {
		return false
	}
	top := r.offers.price(value, ratio, of)
	found := make([]best, len(r.items))
	for k, i := range r.items {
		if ratio[i] > 0 {
			found[k] = best{ratio[i], of[i].pattern(r.s, r.n)}
		}
	}
	added := r.take(found)
	r.raise(y, top)
	r.done = added == 0
	return true
}
