package combine

import (
	"iter"
	"math"
	"slices"
)

// mostExact is the number of items of a part up to which all its plans are searched.
const mostExact = 12

// Effort of searching all plans of a part, in runs tried.
const (
	mostTried    = 20_000_000
	triedByRound = 20_000 // where rounds are counted
)

// exactShare of the time may go by until all plans are searched no further.
const exactShare = 0.3

// exhaust searches all plans of a small part. It reports whether the best that
// it leaves there is proven to be the cheapest of those that make its items.
func (w *work) exhaust(p *part) (done bool) {
	if len(p.items) > mostExact || len(p.items) == 0 || len(p.s.Hold) > 0 {
		return false
	}
	for k := range p.s.Stocks {
		if p.s.Stocks[k].Price < p.s.Stocks[k].Credit { // a longer run may then cost less
			return false
		}
	}
	effort := mostTried
	if w.opt.Rounds > 0 {
		effort = min(effort, triedByRound*w.opt.Rounds)
	}
	w.seat(func() {
		done = w.sets(p, effort)
	})
	return done
}

// exactOf makes the exact search of a part for plans of the items not left; nil
// where it is too large for the effort or the time is over.
func (w *work) exactOf(p *part, left []bool, effort int) *exact {
	stop := func() bool {
		return w.stopped() || w.opt.Share != nil && w.opt.Share() > exactShare
	}
	made := p.s.newPlan()
	for _, r := range p.best.runs {
		if !slices.ContainsFunc(r.lanes, func(l lane) bool { return left[l.item] }) {
			made.add(p.s, r)
		}
	}
	for i := range made.parts {
		if !left[i] {
			made.parts[i] = max(1, made.parts[i])
		}
	}
	proof := p.proof
	if len(proof.items) != len(left)-count(left) || !proof.speaksOf(made) {
		proof = newProof(p.s, made)
		proof.most = walkedByItem * len(p.items)
	}
	for k := 0; k < proofRounds && proof.cuts <= proofCuts && proof.branch == nil && !stop() && proof.round(math.Inf(1), stop); k++ {
	}
	if proof.master == nil || stop() {
		return nil
	}
	return newExact(p.s, proof.master, min(mostDeals, effort/openEffort), stop)
}

func count(marks []bool) int {
	n := 0
	for _, m := range marks {
		if m {
			n++
		}
	}
	return n
}

// sets searches the plans that leave each set of items, the smallest sets first,
// up to as many as the best plan leaves, and keeps the best. It reports whether
// all were searched to the end.
func (w *work) sets(p *part, effort int) bool {
	x := w.exactOf(p, make([]bool, len(p.items)), effort)
	if x == nil {
		return false
	}
	never, may := x.makeable()
	least, most := count(never), count(p.left())
	all := true
	for n := least; n <= most; n++ {
		for set := range subsets(len(may), n-least) {
			left := slices.Clone(never)
			for _, k := range set {
				left[may[k]] = true
			}
			if effort <= 0 {
				return false
			}
			if n > 0 && x.scarce() { // what all items would pay for what is scarce is too much for fewer
				if x = w.exactOf(p, left, effort); x == nil {
					return false
				}
			}
			total, share := x.whole(p.best), effort
			if n < most {
				total, share = p.s.missing/reason, effort/4
			}
			floor := x.run(left, total, share)
			effort -= x.tried
			x.tried = 0
			all = all && !x.ended
			if x.best != nil {
				most = n
				w.adopt(p, x)
			}
			w.learn(p, x, floor)
		}
	}
	return all
}

// reason is what part of the price of a missing item a plan that leaves fewer
// items may cost: as much as every piece made by itself, one strip at a time.
const reason = 4

// makeable parts the items into those that no run makes and those that may be
// made or left. Items of which nothing must be made are in neither.
func (x *exact) makeable() (never []bool, may []int) {
	never = make([]bool, len(x.s.Items))
	for i := range never {
		switch {
		case math.IsInf(x.base.accounts[i].owes(0, 0), 1):
			never[i] = true
		case x.s.Items[i].Least > 0:
			may = append(may, i)
		}
	}
	return never, may
}

// scarce reports whether resources have a price.
func (x *exact) scarce() bool {
	return slices.ContainsFunc(x.price, func(v float64) bool { return v > 0 })
}

// left marks the items that the best plan leaves.
func (p *part) left() []bool {
	left := make([]bool, len(p.items))
	for i := range left {
		left[i] = p.best.parts[i] == 0 && p.s.Items[i].Least > 0
	}
	return left
}

// adopt takes the plan of an exact search as the best of the part.
func (w *work) adopt(p *part, x *exact) {
	w.mu.Lock()
	defer w.mu.Unlock()
	p.best = x.plan(x.best)
	p.cost = p.s.total(p.best)
	p.a.best.copyFrom(p.best)
	p.a.cost = p.cost
	p.a.adoptPlan(p.a)
	p.b.best.copyFrom(p.best)
	p.b.cost = p.cost
	p.b.adoptPlan(p.a)
}

// learn keeps what the last run proved, where the best plan leaves what it left.
func (w *work) learn(p *part, x *exact, floor float64) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if !slices.Equal(x.out, p.left()) {
		return
	}
	p.floorOf, p.floor, p.optimum = x.out, floor, 0
	if !x.ended {
		p.optimum = x.total
	}
}

// floorAt is what an exact search proved of plans that leave these items; 0 of others.
func (p *part) floorAt(left []bool) float64 {
	if p.floorOf == nil || !slices.Equal(left, p.floorOf) {
		return 0
	}
	return max(0, p.floor)
}

// subsets yields the sets of n of so many, each in ascending order; what it
// yields is valid until the next.
func subsets(of, n int) iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		set := make([]int, n)
		var from func(k, at int) bool
		from = func(k, at int) bool {
			if k == n {
				return yield(set)
			}
			for ; at <= of-(n-k); at++ {
				set[k] = at
				if !from(k+1, at+1) {
					return false
				}
			}
			return true
		}
		from(0, 0)
	}
}
