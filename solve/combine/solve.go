package combine

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Solve searches until Rounds are done, Done is true, or the plan is proven to
// be the best. It always returns the best legal plan so far.
func Solve(p *Problem, opt Options) Result {
	s := prepare(p)
	x := &search{s: s, opt: opt, rnd: rand.New(rand.NewPCG(opt.Seed, 20310303))}
	x.dive = newDiver(s, x.rnd, opt.Done)
	x.need = s.newNeed()
	x.first()
	if opt.First != nil {
		opt.First(x.best.cost)
	}
	status := x.improve()
	return x.result(status)
}

// search is the state of one Solve.
type search struct {
	s     *shop
	opt   Options
	rnd   *rand.Rand
	dive  *diver
	need  *need
	roots []*root
	part  []int32 // component of each item
	cur   *plan
	best  best1
	curC  float64
	gone  []bool
	inset []bool
	round int

	unheld []bool // runs of Hold that were given up
}

// best1 is the best plan so far with its total.
type best1 struct {
	plan *plan
	cost float64
}

func (x *search) stopped() bool { return x.opt.Done != nil && x.opt.Done() }

// first makes the relaxations and the first plan, component by component.
func (x *search) first() {
	s := x.s
	x.part = s.components()
	groups := map[int32][]int32{}
	var order []int32
	for i, c := range x.part {
		if groups[c] == nil {
			order = append(order, c)
		}
		groups[c] = append(groups[c], int32(i))
	}
	x.unheld = make([]bool, len(s.whole.Hold))
	l := &lister{s: s}
	for _, c := range order {
		r := newRoot(s, groups[c])
		k := 0
		stop := func() bool {
			late := x.opt.Share != nil && x.opt.Share() > rootShare || l.nodes > mostPriced
			return x.stopped() && (k >= 4 || l.nodes > patience) || !l.pairs && l.prune != nil && late
		}
		for ; (k < 4 || !x.stopped()) && r.round(l, stop) && k < 200; k++ {
		}
		x.roots = append(x.roots, r)
	}
	x.build()
	s.polish(x.cur, x.need.left, 0)
	x.curC = s.total(x.cur)
	x.best = best1{s.newPlan(), x.curC}
	x.best.plan.copyFrom(x.cur)
	x.gone = make([]bool, 0, 4*len(s.Items))
	x.inset = make([]bool, len(s.Items))
}

// build makes the first plan: the runs held, what Start offers, and the rest.
func (x *search) build() {
	s := x.s
	for {
		x.cur = s.newPlan()
		x.need.reset(s)
		start := []run{}
		for i := range x.opt.Start {
			start = append(start, fromRun(&x.opt.Start[i]))
		}
		x.adopt(x.holdRuns(start))
		for _, r := range x.roots {
			if x.opt.Start == nil && len(s.whole.Hold) == 0 {
				x.firstOf(r)
			} else {
				x.mend(r.items)
			}
		}
		x.recount()
		if !x.drop() {
			return
		}
	}
}

// rootShare of the time may go by until runs of many items are no longer priced for the bound.
const rootShare = 0.4

// mostPriced is the number of patterns of many items looked at in one round, whatever the time.
const mostPriced = 1 << 24

// patience is the number of patterns that a relaxation may look at although the time is over.
const patience = 2 << 20

// chunk is the number of items that the first plan is made of at once. All their
// patterns are enumerated: more would be slow, fewer would combine worse.
const chunk = 24

// firstOf adds runs for the items of a component, as far as they can be made,
// chunk by chunk in a drawn order.
func (x *search) firstOf(r *root) {
	items := slices.Clone(r.items)
	if len(items) > chunk {
		x.rnd.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
	}
	for part := range slices.Chunk(items, chunk) {
		slices.Sort(part)
		runs, ok := x.dive.dive(x.need, part, 0)
		if ok {
			x.cur.add(x.s, runs...)
			continue
		}
		x.recount()
	}
}

func fromRun(r *Run) run {
	out := run{stock: int32(r.Stock), length: r.Length}
	for _, l := range r.Lanes {
		out.lanes = append(out.lanes, lane{int32(l.Item), int32(l.Outs)})
	}
	return out
}

// components joins items that may be cut from the same kind.
func (s *shop) components() []int32 {
	part := make([]int32, len(s.Items))
	for i := range part {
		part[i] = int32(i)
	}
	var find func(i int32) int32
	find = func(i int32) int32 {
		for part[i] != i {
			part[i] = part[part[i]]
			i = part[i]
		}
		return i
	}
	for _, list := range s.kindOf {
		for _, i := range list[min(1, len(list)):] {
			a, b := find(list[0]), find(i)
			part[max(a, b)] = min(a, b)
		}
	}
	for i := range part {
		part[i] = find(int32(i))
	}
	return part
}

// improve is destroy and repair with a falling temperature.
func (x *search) improve() Status {
	bound := x.bound()
	for x.round = 1; ; x.round++ {
		switch {
		case x.best.cost <= bound*(1+1e-9):
			return Optimal
		case x.opt.Rounds > 0 && x.round > x.opt.Rounds:
			return RoundLimit
		case x.stopped():
			return Stopped
		}
		if len(x.cur.runs) == 0 && x.missing() == 0 {
			return Optimal
		}
		x.step()
		if x.opt.Progress != nil && x.round%16 == 0 {
			x.opt.Progress(x.round, x.best.cost, bound)
		}
	}
}

func (x *search) missing() int {
	n := 0
	for i := range x.s.Items {
		if x.s.Items[i].Least > 0 && x.cur.parts[i] == 0 {
			n++
		}
	}
	return n
}

// temperature falls with the share of the search that is done.
func (x *search) temperature() float64 {
	share := 0.0
	switch {
	case x.opt.Rounds > 0:
		share = float64(x.round) / float64(x.opt.Rounds)
	case x.opt.Share != nil:
		share = x.opt.Share()
	}
	share = min(max(share, 0), 1)
	return 2e-5 * x.best.cost * math.Pow(0.01, share) * (1 - share)
}

// step removes a few runs, dives on what they carried, and keeps what is better
// or, by chance, a little worse.
func (x *search) step() {
	s := x.s
	items := x.destroy()
	if len(items) == 0 {
		return
	}
	x.need.reset(s)
	trial := s.newPlan()
	trial.copyFrom(x.cur)
	trial.remove(s, x.gone)
	for i := range trial.runs {
		x.need.add(s, &trial.runs[i], 1)
	}
	kept := len(trial.runs)
	for q, gone := range x.gone {
		if r := x.cur.runs[q]; gone && r.hold > 0 {
			if !x.lengthen(&r, 0) {
				return
			}
			x.need.add(s, &r, 1)
			trial.add(s, r)
		}
	}
	for i := range x.dive.alive {
		x.dive.alive[i] = trial.on[i] > 0
	}
	noise := [4]float64{0, 0.002, 0.01, 0.03}[x.rnd.IntN(4)]
	runs, ok := x.dive.dive(x.need, items, noise)
	if !ok {
		return
	}
	trial.add(s, runs...)
	s.polish(trial, x.need.left, kept)
	cost := s.total(trial)
	if cost >= x.curC-1e-9 && cost-x.curC >= x.temperature()*-math.Log(x.rnd.Float64()+1e-12) {
		return
	}
	x.cur, x.curC = trial, cost
	if cost < x.best.cost-1e-9 {
		x.best.cost = cost
		x.best.plan.copyFrom(trial)
	}
}
