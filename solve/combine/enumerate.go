package combine

import "math"

// pattern is lanes on a stock, with the range of lengths it may have.
type pattern struct {
	stock       int32
	lanes       []lane
	least, most int64
}

// lister enumerates the patterns of a set of items under what is still needed.
type lister struct {
	s       *shop
	n       *need
	kind    int
	items   []int32
	cap     []int64 // of each stock
	alive   []bool  // stock is used by runs that stay
	lanes   []lane
	arena   []lane
	out     []pattern
	limit   int            // greatest number of patterns
	visit   func(*pattern) // takes each pattern in place of out; its lanes are valid during the call only
	one     pattern
	prune   pruning     // nil: walk everything
	stop    func() bool // asked now and then; true ends the walk
	nodes   int         // lanes tried since begin
	ended   bool        // stop was true
	deep    int         // greatest number of lanes
	pairs   bool        // no more than two lanes, with visit
	reached bool        // some lanes were as many as deep
	spans   []span
}

// list returns every legal pattern of items, kind by kind. The result is valid until the next call.
func (l *lister) list(n *need, items []int32, alive []bool) []pattern {
	l.begin(n, alive)
	s := l.s
	var own []int32
	for kind := range s.byKind {
		own = own[:0]
		for _, i := range items {
			for _, k := range s.Items[i].Kinds {
				if k == kind && n.most[i] > 0 && n.parts[i] > 0 {
					own = append(own, i)
					break
				}
			}
		}
		if len(own) == 0 || len(s.byKind[kind]) == 0 {
			continue
		}
		l.kind, l.items = kind, own
		l.walk()
	}
	return l.out
}

func (l *lister) begin(n *need, alive []bool) {
	l.n, l.alive = n, alive
	l.out, l.arena, l.lanes = l.out[:0], l.arena[:0], l.lanes[:0]
	l.nodes, l.ended = 0, false
	if len(l.cap) != len(l.s.Stocks) {
		l.cap = make([]int64, len(l.s.Stocks))
	}
	for i := range l.s.Stocks {
		l.cap[i] = l.s.capacity(n, i)
	}
}

// walk enumerates the patterns of the items at hand. Where runs may hold many
// items the few come first, so that a limit cuts off the many.
func (l *lister) walk() {
	if l.s.Line.Orders <= 2 || l.visit != nil {
		if l.deep = l.s.Line.Orders; l.pairs {
			l.deep = 2
		}
		l.extend(0, 0, 0, 0, 0)
		return
	}
	for l.deep = 1; l.deep <= min(l.s.Line.Orders, len(l.items)); l.deep++ {
		l.reached = false
		l.extend(0, 0, 0, 0, 0)
		if !l.reached || len(l.out) >= l.limit {
			return
		}
	}
}

// mostListed is the number of lanes tried for one list: where thin items have
// no limit of strips and few patterns are legal, looking at all never ends.
const mostListed = 1 << 18

// extend adds lanes of the items from position at on.
func (l *lister) extend(at int, used int64, outs, marks, class int) {
	s := l.s
	for k := at; k < len(l.items) && len(l.out) < l.limit && !l.ended; k++ {
		i := l.items[k]
		it := &s.Items[i]
		c := class
		if it.Class != 0 {
			if class != 0 && class != it.Class {
				continue
			}
			c = it.Class
		}
		if !l.lengthFits(it.Length) || s.apart != nil && s.parted(l.lanes, i) {
			continue
		}
		top := int32(min(int64(l.s.mostOuts(i, l.kind)), l.n.most[i]))
		for a := int32(1); a <= top; a++ {
			w := used + int64(a)*it.Width
			if w > s.widest[l.kind]-s.Line.TrimLeast || outs+int(a) > s.Line.Outs || marks+int(a)*it.Marks > s.Line.Marks {
				break
			}
			if l.nodes++; l.nodes&0xfff == 0 && (l.stop != nil && l.stop() || l.visit == nil && l.nodes > mostListed) {
				l.ended = true
				return
			}
			l.lanes = append(l.lanes, lane{i, a})
			l.reached = l.reached || len(l.lanes) == l.deep
			if s.Line.Orders <= 2 || l.visit != nil || len(l.lanes) == l.deep {
				if l.prune == nil || l.prune.alone(l.lanes, w) {
					l.emit(w)
				}
			}
			if len(l.lanes) < l.deep && (l.prune == nil || l.prune.pays(l.lanes, w)) {
				l.extend(k+1, w, outs+int(a), marks+int(a)*it.Marks, c)
			}
			l.lanes = l.lanes[:len(l.lanes)-1]
		}
	}
}

// visitAll visits every pattern of the items that have a place in of, kind by kind, after prepare has
// seen the kind and its items, which it may put in another sequence; false where it was stopped before the end.
func (l *lister) visitAll(n *need, of []int32, prepare func(kind int, items []int32)) bool {
	l.limit = math.MaxInt
	l.begin(n, nil)
	for kind, all := range l.s.kindOf {
		l.items = l.items[:0]
		for _, i := range all {
			if of[i] >= 0 {
				l.items = append(l.items, i)
			}
		}
		if len(l.items) == 0 {
			continue
		}
		l.kind = kind
		prepare(kind, l.items)
		if l.walk(); l.ended {
			return false
		}
	}
	return true
}

// lengthFits reports whether one more lane of this length leaves no more lengths than levels.
func (l *lister) lengthFits(length int64) bool { return lengthFits(l.s, l.lanes, length) }

func lengthFits(s *shop, lanes []lane, length int64) bool {
	if len(lanes) < len(s.Line.LevelOuts) {
		return true
	}
	distinct := 0
	for i, a := range lanes {
		c := s.Items[a.item].Length
		if c == length {
			return true
		}
		fresh := true
		for _, b := range lanes[:i] {
			fresh = fresh && s.Items[b.item].Length != c
		}
		if fresh {
			distinct++
		}
	}
	return distinct < len(s.Line.LevelOuts)
}

// emit records the lanes on the narrowest stock that takes them; on wider ones
// too while a narrower one is limited or may be outbid, and on the narrowest that is in use anyway.
func (l *lister) emit(used int64) {
	s := l.s
	if !s.stands(l.lanes) {
		return
	}
	least, most := s.reach(l.n, l.lanes)
	if least > most {
		return
	}
	var kept []lane
	enough, live := false, false
	for _, st := range s.byKind[l.kind] {
		trim := s.Stocks[st].Width - used
		if trim < s.Line.TrimLeast {
			continue
		}
		if trim > s.Line.TrimMost {
			break
		}
		if enough && (live || l.alive == nil || !l.alive[st]) {
			continue
		}
		top := min(most, l.cap[st])
		if least > top || s.bars(l.lanes, st) {
			continue
		}
		if l.visit != nil {
			l.one = pattern{int32(st), l.lanes, least, top}
			l.visit(&l.one)
			enough = enough || !s.limited[st] && !s.outbid[st]
			continue
		}
		if kept == nil {
			at := len(l.arena)
			l.arena = append(l.arena, l.lanes...)
			kept = l.arena[at:len(l.arena):len(l.arena)]
		}
		l.out = append(l.out, pattern{int32(st), kept, least, top})
		enough = enough || !s.limited[st] && !s.outbid[st]
		live = live || l.alive != nil && l.alive[st]
	}
}
