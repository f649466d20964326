package combine

import "math"

// proof finds the bound of a part: first the plain relaxation, which is quick,
// then the programme of runs from its duals, then counters that cut off what no
// plan can be.
type proof struct {
	s                 *shop
	items             []int32 // that the bound speaks of
	known             *plan
	root              *root
	master            *master
	branch            *branching
	offers            *search // plans from the points of parted plans; nil before
	list              lister
	rounds            int
	cuts              int
	raised            []float64 // bound before each cut
	parted            int       // nodes solved
	cutMost, partMost int       // of these, until the proof ends; 0: no limit
	walked            int       // patterns looked at
	spent             int       // work of all steps, see pace
	most              int       // of them, until the proof ends; 0: no limit
}

// newProof begins with the items that a plan makes.
func newProof(s *shop, made *plan) *proof {
	p := &proof{s: s, known: s.newPlan(), list: lister{s: s}}
	p.known.copyFrom(made)
	for i := range s.Items {
		if made.parts[i] > 0 || s.Items[i].Least <= 0 {
			p.items = append(p.items, int32(i))
		}
	}
	p.root = newRoot(s, p.items)
	return p
}

// speaksOf reports whether the proof holds for plans that make what this one
// makes: its patterns are those of its items, and another item beside them may
// make them cheaper.
func (p *proof) speaksOf(made *plan) bool {
	known := make([]bool, len(p.s.Items))
	for _, i := range p.items {
		known[i] = true
	}
	for i, n := range made.parts {
		if n > 0 && !known[i] {
			return false
		}
	}
	return true
}

// bound is the best so far.
func (p *proof) bound() float64 {
	v := p.root.bound
	switch {
	case p.branch != nil:
		v = max(v, p.branch.bound)
	case p.master != nil:
		v = max(v, p.master.bound)
	}
	return v
}

// mostPriced is the number of patterns of many items looked at in one round, whatever the time.
const mostPriced = 1 << 24

// walkedByItem is the number of patterns a proof may look at for each item
// where only rounds are counted.
const walkedByItem = 1 << 19

// patience is the number of patterns that a relaxation may look at although the time is over.
const patience = 2 << 20

// mostBranched is the number of items up to which plans are parted. Of more,
// the least of very many parts hardly rises.
const mostBranched = 48

// round goes one step on. Plans that cost cost or more need no proof. It returns
// false when there is nothing more to do.
func (p *proof) round(cost float64, stopped func() bool) bool {
	l := &p.list
	before := p.solved()
	defer func() {
		p.walked += l.nodes
		p.spent += l.nodes + p.solved() - before
	}()
	l.nodes = 0
	much := func() bool { return p.most > 0 && p.walked+l.nodes > p.most }
	if much() {
		return false
	}
	if p.master == nil {
		stop := func() bool {
			return l.nodes > patience && stopped() || l.nodes > mostPriced || much()
		}
		if p.rounds++; p.rounds <= 200 && p.root.round(l, stop) {
			return true
		}
		p.rounds = 0
		p.master = newMaster(p.s, p.items)
		p.master.begin(p.known, p.root, l, stop)
		return true
	}
	stop := func() bool { return stopped() || l.nodes > mostPriced || much() }
	if p.branch != nil {
		if p.parted++; p.partMost > 0 && p.parted > p.partMost {
			return false
		}
		if p.offers.cost < cost {
			cost = p.offers.cost
		}
		return p.branch.round(l, cost, stop)
	}
	if p.master.round(l, stop) {
		return true
	}
	if !p.master.done {
		return false
	}
	if p.cuts++; (p.cutMost == 0 || p.cuts <= p.cutMost) && !p.cutsTire() {
		if p.master.cut(math.MaxInt) > 0 {
			return true
		}
	}
	if len(p.items) > mostBranched || p.master.dual == nil {
		return false
	}
	p.part()
	return true
}

// Cuts tire when so many in a row have raised the bound by less than this share
// of it. Parted plans soon raise it quicker; where there are too many items to part
// them, only counters that are shed and found again, for ever, are an end of cuts.
const (
	tireAfter   = 12 // where plans are parted
	tireShare   = 4e-5
	cutsLeast   = 40 // before that they never do
	endlessly   = 40 // in a row, where plans are not parted
	endlessRise = 1e-6
)

// cutsTire takes note of a cut to come, and reports whether the last ones gained too little for another.
func (p *proof) cutsTire() bool {
	p.raised = append(p.raised, p.master.bound)
	n, after, share := len(p.raised), tireAfter, tireShare
	if len(p.items) > mostBranched {
		after, share = endlessly, endlessRise
	}
	return n > max(after, cutsLeast) && p.raised[n-1]-p.raised[n-1-after] < share*p.raised[n-1]
}

// part begins to part the plans. What the points of the parts say is offered as plans.
func (p *proof) part() {
	p.offers = newSearch(p.s, &Options{}, 20310305)
	p.offers.best.copyFrom(p.known)
	p.offers.cost = p.s.total(p.known)
	p.branch = newBranching(p.master)
	if len(p.s.Hold) == 0 {
		p.branch.offer = p.offers.offer
	}
}

// of is the bound for plans that make all but the items left: what is proven
// where it speaks of all of them, and a new relaxation where they are fewer or others.
func (p *proof) of(left []bool, stopped func() bool) float64 {
	covered := make([]bool, len(p.s.Items))
	same := true
	for _, i := range p.items {
		covered[i] = true
		same = same && !left[i]
	}
	more := false
	for i := range covered {
		more = more || !covered[i] && !left[i]
	}
	if same && !more {
		return p.bound()
	}
	v := p.anew(left, stopped)
	if more { // no dual point of fewer items prices the patterns of these
		return v
	}
	if p.root.dual != nil {
		v = max(v, p.root.value(p.root.dual, left))
	}
	if p.master != nil && p.master.dual != nil {
		v = max(v, p.master.value(p.rootDual(), left))
	}
	return v
}

// rootDual is the programme's best dual point for all plans.
func (p *proof) rootDual() []float64 {
	if p.branch == nil {
		return p.master.dual
	}
	p.master.ask(nil)
	return p.branch.root
}

// anew is the plain relaxation's bound for the items not left.
func (p *proof) anew(left []bool, stopped func() bool) float64 {
	var items []int32
	for i := range p.s.Items {
		if !left[i] {
			items = append(items, int32(i))
		}
	}
	if len(items) == 0 {
		return 0
	}
	r, walked := newRoot(p.s, items), 0
	l := &lister{s: p.s}
	for k := 0; k < 200 && (walked < patience || !stopped()); k++ {
		more := r.round(l, func() bool {
			return stopped() && walked+l.nodes > patience || l.nodes > mostPriced || p.most > 0 && walked+l.nodes > p.most
		})
		if walked += l.nodes; !more {
			break
		}
	}
	return r.bound
}
