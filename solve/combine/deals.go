package combine

import (
	"cmp"
	"math"
	"slices"
)

// deal is a run that may be chosen: a pattern at one length.
type deal struct {
	p      *pattern
	length int64
	good   []int64 // pieces of each lane
	paid   float64
	cost   float64 // paid, and what it draws at the resources' prices
}

// mostDeals is the number of runs of a part beyond which its plans are not all searched.
const mostDeals = 40_000

// newExact lists the runs of a part and settles its accounts under the duals of a
// master; nil where there are more runs than most.
func newExact(s *shop, m *master, most int, stop func() bool) *exact {
	x := &exact{s: s, stop: stop, price: make([]float64, len(s.Limits)), books: map[uint64]*ledger{}}
	if m.dual != nil {
		for _, r := range m.limits {
			x.price[r] = m.dual[m.limitAt[r]] / s.Limits[r] * m.scale
		}
	}
	if !x.list(most) {
		return nil
	}
	for i := range s.Items {
		x.base.accounts = append(x.base.accounts, account{item: int32(i), wage: m.wages(int32(i))})
	}
	x.open(&x.base, 0)
	return x
}

// list lists every run that some plan may need: each pattern at the lengths at
// which some lane has made one cut more. It returns false where they are more than most.
func (x *exact) list(most int) bool {
	s := x.s
	n := s.newNeed()
	n.reset(s)
	l := &lister{s: s, limit: math.MaxInt}
	all := make([]int32, len(s.Items))
	for i := range all {
		all[i] = int32(i)
	}
	patterns := slices.Clone(l.list(n, all, nil))
	if s.Line.WidthLoss > 0 || s.Line.KindLoss > 0 {
		patterns = x.wider(l, patterns)
	}
	for k := range patterns {
		p := &patterns[k]
		if len(x.deals)+s.cutsOf(p) > most {
			return false
		}
		if x.lengths(p); len(x.deals) > most {
			return false
		}
	}
	return !l.ended
}

// wider puts the lanes of patterns on wider stocks, too: where changes cost, the
// narrowest need not be the best.
func (x *exact) wider(l *lister, patterns []pattern) []pattern {
	s := x.s
	type place struct {
		lanes *lane
		stock int32
	}
	seen := map[place]bool{}
	for _, p := range patterns {
		seen[place{&p.lanes[0], p.stock}] = true
	}
	for _, p := range slices.Clone(patterns) {
		_, most := s.reach(l.n, p.lanes)
		for _, st := range s.byKind[s.Stocks[p.stock].Kind] {
			at := place{&p.lanes[0], int32(st)}
			p.stock, p.most = int32(st), min(most, l.cap[st])
			if !seen[at] && s.legal(p.stock, p.lanes) && p.least <= p.most {
				seen[at] = true
				patterns = append(patterns, p)
			}
		}
	}
	return patterns
}

// cutsOf is how many cuts the lane of most cuts can make more or fewer within a
// pattern's lengths: there are at least as many lengths to list.
func (s *shop) cutsOf(p *pattern) int {
	n := int64(0)
	for _, l := range p.lanes {
		c := s.Items[l.item].Length
		n = max(n, p.most/c-ceil(p.least, c)+1)
	}
	return int(max(0, n))
}

func (x *exact) lengths(p *pattern) {
	s := x.s
	list := []int64{p.least}
	for _, l := range p.lanes {
		c := s.Items[l.item].Length
		for at := ceil(p.least, c) * c; at <= p.most; at += c {
			list = append(list, at)
		}
	}
	slices.Sort(list)
	for _, length := range slices.Compact(list) {
		r := run{stock: p.stock, length: length, lanes: p.lanes}
		d := deal{p: p, length: length, paid: s.cost(&r)}
		d.cost = d.paid
		for _, q := range s.Stocks[p.stock].Draws {
			d.cost += x.price[q.Resource] * q.PerLength * float64(length)
		}
		ok := true
		for _, l := range p.lanes {
			g := s.good(int(l.item), int(l.outs), length)
			ok = ok && g > 0 && g <= s.Items[l.item].Most
			d.good = append(d.good, g)
		}
		if ok {
			x.deals = append(x.deals, d)
		}
	}
}

// ledger holds the accounts of the items that are open, and what runs cost
// beyond the wages of their lanes.
type ledger struct {
	accounts []account
	over     []float64 // of each deal; +Inf where it holds a closed item
	holders  [][]int32 // deals of each item, the least over first
}

// book is the ledger of the open items: once an item is closed, no run holds it
// any more, and wages of the others may rise.
func (x *exact) book() *ledger {
	if b := x.books[x.closed]; b != nil {
		return b
	}
	b := &ledger{}
	for i := range x.base.accounts {
		b.accounts = append(b.accounts, account{item: int32(i), wage: slices.Clone(x.base.accounts[i].wage)})
	}
	x.open(b, x.closed)
	x.books[x.closed] = b
	return b
}

// open raises the wages as far as the runs of open items allow, settles what the
// items owe, and sorts the runs.
func (x *exact) open(b *ledger, closed uint64) {
	x.tried += openEffort * len(x.deals)
	b.over = make([]float64, len(x.deals))
	spare := make([][]float64, len(b.accounts))
	for i := range spare {
		spare[i] = make([]float64, len(b.accounts[i].wage))
	}
	for range evenRaises {
		x.look(b, spare, closed)
		for i := range b.accounts {
			b.accounts[i].raise(spare[i], 1/float64(max(2, x.s.Line.Orders)))
		}
	}
	for i := range b.accounts {
		x.look(b, spare, closed)
		b.accounts[i].raise(spare[i], 1)
	}
	x.look(b, spare, closed)
	for i := range b.accounts {
		if closed&(1<<i) == 0 {
			b.accounts[i].settle(x.s)
		}
	}
	b.holders = make([][]int32, len(b.accounts))
	for k := range x.deals {
		if math.IsInf(b.over[k], 1) {
			continue
		}
		b.over[k] = max(0, b.over[k]) // rounding
		for _, l := range x.deals[k].p.lanes {
			b.holders[l.item] = append(b.holders[l.item], int32(k))
		}
	}
	for _, list := range b.holders {
		slices.SortStableFunc(list, func(p, q int32) int { return cmp.Compare(b.over[p], b.over[q]) })
	}
}

// openEffort is what a ledger takes for each run, in runs tried.
const openEffort = 40

// evenRaises is how often what runs cost beyond wages is shared evenly among
// their lanes, before each item takes what is left.
const evenRaises = 6

// look sets over, and spare to the least of it over the runs with each number of
// pieces of each item; +Inf where there is none.
func (x *exact) look(b *ledger, spare [][]float64, closed uint64) {
	for i := range spare {
		for g := range spare[i] {
			spare[i][g] = math.Inf(1)
		}
	}
	for k := range x.deals {
		d := &x.deals[k]
		v := d.cost
		for q, l := range d.p.lanes {
			if closed&(1<<l.item) != 0 {
				v = math.Inf(1)
				break
			}
			v -= b.accounts[l.item].wage[d.good[q]]
		}
		b.over[k] = v
		for q, l := range d.p.lanes {
			spare[l.item][d.good[q]] = min(spare[l.item][d.good[q]], v)
		}
	}
}
