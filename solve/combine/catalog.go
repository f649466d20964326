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
const mostCatalogued = 700

// newCatalog lists the patterns of one lane, and those of two that a step may
// look at; nil where runs may hold more than two items, there are too many, or
// there are no duals to judge by.
func newCatalog(s *shop, r *root) *catalog {
	n := len(s.Items)
	if s.Line.Orders > 2 || n > mostCatalogued || r.dual == nil {
		return nil
	}
	value := make([]float64, n)
	for k, i := range r.items {
		value[i] = r.dual[k]
	}
	c := &catalog{s: s, begin: make([]int32, n*n+1)}
	for i := range int32(n) {
		for j := range int32(n) {
			c.begin[int(i)*n+int(j)] = int32(len(c.list))
			if j == i {
				c.alone(i, value)
			} else if j > i && s.Line.Orders > 1 {
				c.pair(i, j, value)
			}
		}
	}
	c.begin[n*n] = int32(len(c.list))
	c.list = slices.Clone(c.list) // without the room it grew into: many parts have one each
	for at := range n * n {
		slices.SortStableFunc(c.list[c.begin[at]:c.begin[at+1]], func(a, b entry) int { return cmp.Compare(b.ratio, a.ratio) })
	}
	return c
}

func (c *catalog) alone(i int32, value []float64) {
	s := c.s
	for _, kind := range s.Items[i].Kinds {
		for a := int32(1); a <= s.mostOuts(i, kind); a++ {
			c.put([]lane{{i, a}}, kind, value)
		}
	}
}

func (c *catalog) pair(i, j int32, value []float64) {
	s := c.s
	p, q := &s.Items[i], &s.Items[j]
	if p.Class != 0 && q.Class != 0 && p.Class != q.Class || s.apart != nil && s.parted([]lane{{i, 1}}, j) {
		return
	}
	if len(s.Line.LevelOuts) < 2 && p.Length != q.Length {
		return
	}
	for _, kind := range p.Kinds {
		both := false
		for _, k := range q.Kinds {
			both = both || k == kind
		}
		if !both {
			continue
		}
		topI, topJ := s.mostOuts(i, kind), s.mostOuts(j, kind)
		for a := int32(1); a <= topI; a++ {
			for b := int32(1); b <= topJ; b++ {
				used := int64(a)*p.Width + int64(b)*q.Width
				if used > s.widest[kind]-s.Line.TrimLeast || int(a+b) > s.Line.Outs || int(a)*p.Marks+int(b)*q.Marks > s.Line.Marks {
					break
				}
				c.put([]lane{{i, a}, {j, b}}, kind, value)
			}
		}
	}
}

// put adds lanes if they have a way onto the levels and some stock takes them.
func (c *catalog) put(lanes []lane, kind int, value []float64) {
	s := c.s
	if !s.stands(lanes) {
		return
	}
	e := entry{count: int8(len(lanes)), kind: int32(kind), first: -1}
	v := 0.0
	for k, l := range lanes {
		e.lanes[k] = l
		v += value[l.item] * float64(l.outs)
	}
	used := s.width(lanes)
	for k, st := range s.byKind[kind] {
		trim := s.Stocks[st].Width - used
		if trim >= s.Line.TrimLeast && trim <= s.Line.TrimMost && !s.bars(lanes, st) {
			e.first = int32(k)
			cost := (float64(s.Stocks[st].Width)*(s.Stocks[st].Price-s.Stocks[st].Credit) + s.Stocks[st].Rate) * s.unit
			e.ratio = float32(v / cost)
			break
		}
	}
	if e.first >= 0 && (e.count == 1 || e.ratio >= floors[len(floors)-1]) {
		c.list = append(c.list, e)
	}
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
