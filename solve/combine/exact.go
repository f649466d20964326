package combine

import (
	"math"
	"slices"
)

// exact searches all plans of a small part, item by item: the runs that hold the
// first, then what further runs hold the next. A run is tried only where what is
// spent, what it costs and what every item still owes stay under a threshold,
// which rises from the bound to the best plan (iterative deepening; Korf,
// Artificial Intelligence 27 (1985) 97–109, from memory). What an item owes comes
// from wages, see account. A pass that ends without a plan proves its threshold.
//
// Trying only runs whose reduced cost lies within the gap is after Baldacci,
// Christofides & Mingozzi, Mathematical Programming 115 (2008) 351–385, from memory.
type exact struct {
	s     *shop
	deals []deal
	base  ledger             // before any run
	books map[uint64]*ledger // by items closed
	price []float64          // of a unit of each resource
	stop  func() bool

	out     []bool // items that the plan leaves
	made    []int64
	parts   []int32
	closed  uint64
	left    []float64
	chosen  []int32
	spent   float64 // on runs and splits, and by the items closed
	tried   int
	most    int     // of tried
	ceiling float64 // plans at this or more are of no interest
	ended   bool    // by the effort or the time

	best  []int32 // places in deals; nil: none below total as it was given
	total float64 // of the best plan, without what its left items cost
	least float64 // the same without changes, the least of any plan seen
}

// run searches the plans of a set of items, those not left, until all that cost
// less than total are seen or the effort is spent. It returns what a plan of
// them costs at least, changes aside.
func (x *exact) run(left []bool, total float64, effort int) float64 {
	x.out, x.total, x.best, x.least = left, total, nil, math.Inf(1)
	x.most, x.ended = x.tried+effort, false
	floor := x.owed(left)
	proven := floor
	for gap := firstGap * max(math.Abs(floor), total-floor); !math.IsInf(floor, 1); gap *= 2 {
		x.ceiling = min(floor+gap, x.total)
		x.pass()
		if x.ended {
			break
		}
		if proven = max(proven, min(floor+gap, x.total)); floor+gap >= x.total {
			break
		}
	}
	return min(proven, x.least)
}

// firstGap is the share of the bound, or of what is known above it, by which the
// first threshold lies above it.
const firstGap = 1e-3

// owed is the bound of plans that leave these items.
func (x *exact) owed(left []bool) float64 {
	sum := 0.0
	for i := range x.base.accounts {
		if !left[i] {
			sum += x.base.accounts[i].owes(0, 0)
		}
	}
	for r, v := range x.price {
		sum -= v * x.s.Limits[r]
	}
	return sum
}

// pass tries all plans under the ceiling.
func (x *exact) pass() {
	n := len(x.s.Items)
	x.made, x.parts, x.closed = make([]int64, n), make([]int32, n), 0
	for i, out := range x.out {
		if out {
			x.closed |= 1 << i
		}
	}
	x.left = slices.Clone(x.s.Limits)
	x.chosen, x.spent = x.chosen[:0], 0
	x.next()
}

// next goes on with the open item that fewest runs hold, one begun before others.
func (x *exact) next() {
	b := x.book()
	bound, pick, fewest := x.spent, -1, math.MaxInt
	for i := range x.made {
		if x.closed&(1<<i) != 0 {
			continue
		}
		bound += b.accounts[i].owes(x.made[i], x.parts[i])
		n := len(b.holders[i])
		if x.parts[i] == 0 {
			n += len(x.deals)
		}
		if n < fewest {
			pick, fewest = i, n
		}
	}
	for r, v := range x.price {
		bound -= v * x.left[r]
	}
	switch {
	case bound >= x.ceiling:
	case pick < 0:
		x.leaf()
	default:
		x.extend(b, pick, 0, bound)
	}
}

// extend closes an item as it is, or adds a run that holds it, from place from on.
func (x *exact) extend(b *ledger, i, from int, bound float64) {
	if x.made[i] >= x.s.Items[i].Least {
		v := b.accounts[i].ends(x.s, x.made[i])
		if bound-b.accounts[i].owes(x.made[i], x.parts[i])+v < x.ceiling {
			x.closed |= 1 << i
			x.spent += v
			x.next()
			x.spent -= v
			x.closed &^= 1 << i
		}
	}
	for k := from; k < len(b.holders[i]) && !x.ended; k++ {
		at := b.holders[i][k]
		if bound+b.over[at] >= x.ceiling {
			return
		}
		if x.tried++; x.tried > x.most || x.tried&0xffff == 0 && x.stop() {
			x.ended = true
			return
		}
		d := &x.deals[at]
		split, owes, ok := x.with(b, d)
		if !ok || bound+d.cost+split+owes >= x.ceiling {
			continue
		}
		spent := x.spent
		x.spent += d.paid + split
		x.count(d, 1)
		x.chosen = append(x.chosen, at)
		x.extend(b, i, k, bound+d.cost+split+owes)
		x.chosen = x.chosen[:len(x.chosen)-1]
		x.count(d, -1)
		x.spent = spent
	}
}

// with is what one more run costs by splits and changes in what its items owe,
// and whether it may be chosen.
func (x *exact) with(b *ledger, d *deal) (split, owes float64, ok bool) {
	s := x.s
	for k, l := range d.p.lanes {
		i, g := l.item, d.good[k]
		if x.closed&(1<<i) != 0 || x.parts[i] >= s.parts[i] || x.made[i]+g > s.Items[i].Most {
			return 0, 0, false
		}
		a := &b.accounts[i]
		split += a.split(s, x.parts[i])
		owes += a.owes(x.made[i]+g, x.parts[i]+1) - a.owes(x.made[i], x.parts[i])
	}
	for _, q := range s.Stocks[d.p.stock].Draws {
		if q.PerLength*float64(d.length) > x.left[q.Resource]*(1+1e-12) {
			return 0, 0, false
		}
	}
	return split, owes, true
}

func (x *exact) count(d *deal, sign int64) {
	for k, l := range d.p.lanes {
		x.made[l.item] += sign * d.good[k]
		x.parts[l.item] += int32(sign)
	}
	for _, q := range x.s.Stocks[d.p.stock].Draws {
		x.left[q.Resource] -= float64(sign) * q.PerLength * float64(d.length)
	}
}

// leaf takes a plan whose every item is closed.
func (x *exact) leaf() {
	x.least = min(x.least, x.spent)
	p := x.plan(x.chosen)
	if total := x.whole(p); total < x.total-1e-9*math.Abs(total) {
		x.total, x.best = total, slices.Clone(x.chosen)
		x.ceiling = min(x.ceiling, total)
	}
}

// whole is the cost of a plan with its changes in their best sequence, and
// without what it leaves.
func (x *exact) whole(p *plan) float64 {
	_, changes := x.s.arrange(p.on)
	total := p.runCost + changes
	for i, n := range p.parts {
		if n > 0 || x.s.Items[i].Least <= 0 {
			total += x.s.itemCost(i, p.made[i], n)
		}
	}
	return total
}

// plan is the plan of chosen runs.
func (x *exact) plan(chosen []int32) *plan {
	p := x.s.newPlan()
	for _, k := range chosen {
		p.add(x.s, run{stock: x.deals[k].p.stock, length: x.deals[k].length, lanes: x.deals[k].p.lanes})
	}
	return p
}
