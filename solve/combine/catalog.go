package combine

import (
	"cmp"
	"slices"
)

// catalog holds patterns of one or two lanes that a part may have, with
// all that does not change while runs are chosen, so that the patterns of a few
// items are listed without looking for them again. It is not changed once made.
type catalog struct {
	s     *shop
	begin []int32 // of the entries of items i ≤ j at i·items + j
	list  []entry
}

// entry is lanes on a kind.
type entry struct {
	lanes [2]lane
	ratio float32 // value over cost under the relaxation's duals
	kind  int32
	first int32 // place of the narrowest stock in the kind's list
	count int8
}

// mostCatalogued is the number of items of a part beyond which a catalog would be too large.
const mostCatalogued = 1200

// newCatalog takes from the relaxation's listing the patterns of one lane, and
// those of two that a step may look at; nil where runs may hold more than two
// items, there are too many, or there are no duals to judge by.
func newCatalog(s *shop, r *root) *catalog {
	n, offers := len(s.Items), r.offers
	if offers == nil || r.dual == nil || n > mostCatalogued {
		return nil
	}
	if len(r.items) < n { // plans may come to hold what the first left out
		offers = newListing(s, s.all())
	}
	if offers.count > mostOffered {
		return nil
	}
	value := make([]float64, n+1)
	for k, i := range r.items {
		value[i] = r.dual[k]
	}
	place := make([]int32, len(s.Stocks))
	for _, list := range s.byKind {
		for k, st := range list {
			place[st] = int32(k)
		}
	}
	c := &catalog{s: s, begin: make([]int32, n*n+1)}
	next := 0
	for _, list := range offers.of {
		for k := range list {
			p := &list[k]
			if k > 0 && p.sameLanes(&list[k-1]) && s.Stocks[p.stock].Kind == s.Stocks[list[k-1].stock].Kind {
				continue // on a wider stock
			}
			e := c.entry(p, value, place)
			at := int(p.i)*n + int(e.lanes[e.count-1].item)
			for ; next <= at; next++ {
				c.begin[next] = int32(len(c.list))
			}
			if e.count == 1 || e.ratio >= floors[len(floors)-1] {
				c.list = append(c.list, e)
			}
		}
	}
	for ; next <= n*n; next++ {
		c.begin[next] = int32(len(c.list))
	}
	c.list = slices.Clone(c.list) // without the room it grew into: many parts have one each
	for at := range n * n {
		if list := c.list[c.begin[at]:c.begin[at+1]]; len(list) > 1 {
			slices.SortStableFunc(list, func(a, b entry) int { return cmp.Compare(b.ratio, a.ratio) })
		}
	}
	return c
}

// entry is a pattern of a listing under the values of the items.
func (c *catalog) entry(p *offered, value []float64, place []int32) entry {
	st := &c.s.Stocks[p.stock]
	e := entry{lanes: [2]lane{{p.i, int32(p.a)}, {p.j, int32(p.b)}}, count: 2, kind: int32(st.Kind), first: place[p.stock]}
	if p.b == 0 {
		e.lanes[1], e.count = lane{}, 1
	}
	worth := value[p.i]*float64(p.a) + value[p.j]*float64(p.b)
	e.ratio = float32(worth / ((float64(st.Width)*(st.Price-st.Credit) + st.Rate) * c.s.unit))
	return e
}

// width is what lanes take up of a web.
func (s *shop) width(lanes []lane) int64 {
	sum := int64(0)
	for _, l := range lanes {
		sum += int64(l.outs) * s.Items[l.item].Width
	}
	return sum
}

// spans are the lengths that a lane of each number of strips of an item may have now.
type span struct{ least, most int64 }

// catalogued lists the patterns of items from the catalog: those of one lane,
// and those of two whose ratio is floor or more.
func (l *lister) catalogued(c *catalog, n *need, items []int32, alive []bool, floor float32) []pattern {
	s := l.s
	l.begin(n, alive)
	width := s.levelTop + 1
	if width > s.Line.Outs+1 {
		width = s.Line.Outs + 1
	}
	l.spans = l.spans[:0]
	for _, i := range items {
		for a := range width {
			if a == 0 || int64(a) > n.most[i] {
				l.spans = append(l.spans, span{1, 0})
				continue
			}
			least, most := s.reach(n, []lane{{i, int32(a)}})
			l.spans = append(l.spans, span{least, most})
		}
	}
	total := len(s.Items)
	for p, i := range items {
		for q := p; q < len(items); q++ {
			j := items[q]
			at := int(i)*total + int(j)
			for k := c.begin[at]; k < c.begin[at+1]; k++ {
				e := &c.list[k]
				sp := l.spans[p*width+int(e.lanes[0].outs)]
				if e.count == 2 {
					if e.ratio < floor { // the rest is worse
						break
					}
					o := l.spans[q*width+int(e.lanes[1].outs)]
					sp.least, sp.most = max(sp.least, o.least), min(sp.most, o.most)
				}
				if sp.least <= sp.most {
					l.place(e, sp)
				}
			}
		}
	}
	return l.out
}

// place puts an entry on the narrowest stock that has room for it; on wider ones
// too while a narrower one is limited or may be outbid, and on the narrowest that is in use anyway.
func (l *lister) place(e *entry, sp span) {
	s := l.s
	list, used := s.byKind[e.kind], s.width(e.lanes[:e.count])
	enough, live := false, s.Line.WidthLoss == 0 && s.Line.KindLoss == 0
	for k := int(e.first); k < len(list); k++ {
		st := list[k]
		if enough && (live || l.alive == nil) {
			return
		}
		if s.Stocks[st].Width-used > s.Line.TrimMost {
			return
		}
		if enough && !l.alive[st] {
			continue
		}
		top := min(sp.most, l.cap[st])
		if sp.least > top || k > int(e.first) && s.bars(e.lanes[:e.count], st) {
			continue
		}
		l.out = append(l.out, pattern{int32(st), e.lanes[:e.count:e.count], sp.least, top})
		enough = enough || !s.limited[st] && !s.outbid[st]
		live = live || l.alive != nil && l.alive[st]
	}
}
