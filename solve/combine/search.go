package combine

import (
	"math"
	"math/rand/v2"
	"slices"
)

// search is one search on a part: a current plan, changed by destroy and
// repair under a falling temperature, and the best plan so far.
type search struct {
	s     *shop
	opt   *Options
	rnd   *rand.Rand
	dive  *diver
	need  *need
	cur   *plan
	trial *plan
	best  *plan
	cost  float64 // of best
	curC  float64
	gone  []bool
	inset []bool
	set   []int32 // items to dive on

	stretcher   stretcher
	pair        []int   // runs of one item that pieces may be moved between
	free        []int   // runs that may be removed
	at, holders []int32 // runs of the current plan by item
	indexed     bool
	epoch       int  // rounds of a search that begins again from nothing when it is stuck; 0: it never does
	began       int  // round at which it did last
	better      int  // round of the best plan
	halved      bool // the current plan is shared with the other search
	round       int
	rounds      int               // of this part; 0: no limit
	unheld      []bool            // runs of Hold that were given up
	beside      map[int32][]int32 // items that may stand beside an item, of those asked for
}

func newSearch(s *shop, opt *Options, seed uint64) *search {
	x := &search{s: s, opt: opt, rnd: rand.New(rand.NewPCG(opt.Seed, seed))}
	x.dive = newDiver(s, x.rnd, opt.Done)
	x.need = s.newNeed()
	x.cur, x.trial, x.best = s.newPlan(), s.newPlan(), s.newPlan()
	x.inset = make([]bool, len(s.Items))
	x.unheld = make([]bool, len(s.Hold))
	return x
}

// first makes the first plan from start, nil: from nothing.
func (x *search) first(start []run) {
	x.build(start)
	x.recount()
	x.s.polish(x.cur, x.need.left, 0)
	x.shift(x.cur, nil)
	x.curC = x.s.total(x.cur)
	x.best.copyFrom(x.cur)
	x.cost = x.curC
}

// adoptPlan goes on from the best plan of another search.
func (x *search) adoptPlan(o *search) {
	x.cur.copyFrom(o.best)
	x.curC = o.cost
	x.indexed = false
	copy(x.unheld, o.unheld)
	if o.cost < x.cost-1e-9 {
		x.best.copyFrom(o.best)
		x.cost = o.cost
	}
}

// build makes the first plan: the runs held, what start offers, and the rest.
func (x *search) build(start []run) {
	s := x.s
	for {
		x.cur = s.newPlan()
		x.need.reset(s)
		x.adopt(x.holdRuns(slices.Clone(start)))
		if start == nil && len(s.Hold) == 0 {
			x.fresh()
		} else {
			x.mend(s.all())
		}
		x.recount()
		if !x.drop() {
			return
		}
	}
}

// chunk is the number of items that the first plan is made of at once. All their
// patterns are enumerated: more would be slow, fewer would combine worse.
const chunk = 24

// fresh adds runs for all items, as far as they can be made, chunk by chunk in a drawn order.
func (x *search) fresh() {
	items := x.s.all()
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

// temperature falls with the share of the search that is done.
func (x *search) temperature() float64 {
	share := 0.0
	switch {
	case x.began > 0:
		share = float64(x.round-x.began) / float64(x.epoch)
	case x.rounds > 0:
		share = float64(x.round) / float64(x.rounds)
	case x.opt.Share != nil:
		share = x.opt.Share()
	}
	share = min(max(share, 0), 1)
	return heat * x.cost / float64(max(1, len(x.cur.runs))) * math.Pow(0.01, share) * (1 - share)
}

// heat is the temperature at the beginning as a share of what a run costs in the mean.
const heat = 0.002

// block does rounds until there are as many, or the time is over.
func (x *search) block(rounds int) {
	for range rounds {
		if x.rounds > 0 && x.round >= x.rounds || x.opt.Done != nil && x.opt.Done() {
			return
		}
		if x.stuck() {
			x.again()
		}
		x.round++
		x.step()
	}
}

// step removes a few runs, dives on what they carried, and keeps what is better
// or, by chance, a little worse.
func (x *search) step() {
	s := x.s
	if len(x.cur.runs) == 0 && !x.lacks() {
		return
	}
	items := x.destroy()
	if len(items) == 0 {
		return
	}
	trial := x.trial
	trial.copyFrom(x.cur)
	trial.remove(s, x.gone)
	x.need.after(s, trial)
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
	tolerated := x.temperature() * -math.Log(x.rnd.Float64()+1e-12)
	x.dive.worth = x.curC + tolerated - s.total(trial)
	for _, i := range items {
		x.dive.worth += s.itemCost(int(i), trial.made[i], trial.parts[i])
	}
	noise := [4]float64{0, 0.002, 0.01, 0.03}[x.rnd.IntN(4)]
	x.dive.floor = floors[x.rnd.IntN(len(floors))]
	runs, ok := x.dive.dive(x.need, items, noise)
	x.dive.worth = math.Inf(1)
	if !ok {
		return
	}
	trial.add(s, runs...)
	s.polish(trial, x.need.left, kept)
	cost := s.total(trial)
	if cost < x.cost-1e-9 {
		x.shift(trial, items)
		cost = s.total(trial)
	}
	if cost >= x.curC-1e-9 && cost-x.curC >= tolerated {
		return
	}
	if cost < x.cost-1e-9 || cost < x.cost*(1+stretchWithin) && x.rnd.IntN(stretchOne) == 0 {
		x.stretch(trial, items)
		cost = s.total(trial)
	}
	x.cur, x.trial, x.curC = trial, x.cur, cost
	x.indexed = false
	if cost < x.cost-1e-9 {
		x.cost, x.better = cost, x.round
		x.best.copyFrom(trial)
	}
}

// floors are the ratios of value to cost from which patterns of two lanes are
// looked at in a step, falling; one is drawn.
var floors = [4]float32{0.98, 0.97, 0.95, 0.9}

// lacks reports whether some item is missing.
func (x *search) lacks() bool {
	for i := range x.s.Items {
		if x.s.Items[i].Least > 0 && x.cur.parts[i] == 0 {
			return true
		}
	}
	return false
}
