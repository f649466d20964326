package combine

// shared is the number of runs from which the two searches of a part share one
// plan between them, each changing its own half, in place of a plan each: on all
// but small plans one long search gains more than two short ones.
const shared = 25

// owner says which search may change a run.
type owner int8

const (
	mine   owner = iota // the search that has the plan
	others              // the other search
	nobody              // an item of it is in runs of both
)

// mayShare reports whether the searches may halve their plan: what one changes
// must not matter to the other.
func (p *part) mayShare() bool {
	if len(p.a.cur.runs) < shared || len(p.s.Hold) > 0 || p.a.lacks() {
		return false
	}
	for _, l := range p.s.limited {
		if l {
			return false
		}
	}
	return true
}

// halve gives each search its half of a's current plan: runs that hang together
// by their items, grown from one that is drawn.
func (p *part) halve() {
	a, b := p.a, p.b
	runs := a.cur.runs
	a.index()
	half := make([]bool, len(runs))
	inA := make([]bool, len(p.s.Items))
	inB := make([]bool, len(p.s.Items))
	taken, queue := 0, []int32{}
	for taken < len(runs)/2 {
		if len(queue) == 0 {
			queue = append(queue, int32(a.rnd.IntN(len(runs))))
		}
		q := queue[0]
		queue = queue[1:]
		if half[q] {
			continue
		}
		half[q] = true
		taken++
		for _, l := range runs[q].lanes {
			queue = append(queue, a.holders[a.at[l.item]:a.at[l.item+1]]...)
		}
	}
	for q := range runs {
		for _, l := range runs[q].lanes {
			inA[l.item] = inA[l.item] || half[q]
			inB[l.item] = inB[l.item] || !half[q]
		}
	}
	b.cur.copyFrom(a.cur)
	for q := range runs {
		own, other := mine, others
		if !half[q] {
			own, other = others, mine
		}
		for _, l := range runs[q].lanes {
			if inA[l.item] && inB[l.item] {
				own, other = nobody, nobody
			}
		}
		a.cur.runs[q].owner, b.cur.runs[q].owner = own, other
	}
	for _, x := range []*search{a, b} {
		x.curC = p.s.total(x.cur)
		x.best.copyFrom(x.cur)
		x.cost, x.indexed, x.halved = x.curC, false, true
	}
}

// join puts the halves together again, the current ones and the best ones.
func (p *part) join() {
	a, b := p.a, p.b
	best, cur := p.s.newPlan(), p.s.newPlan()
	merge := func(to, x, y *plan) {
		for k, from := range [2]*plan{x, y} {
			for _, r := range from.runs {
				if r.owner == mine || r.owner == nobody && k == 0 {
					r.owner = mine
					to.add(p.s, r)
				}
			}
		}
	}
	merge(best, a.best, b.best)
	merge(cur, a.cur, b.cur)
	a.best, a.cost = best, p.s.total(best)
	a.cur, a.curC = cur, p.s.total(cur)
	a.indexed, a.halved = false, false
	b.adoptPlan(a)
	b.best.copyFrom(a.best)
	b.cost, b.halved = a.cost, false
	b.cur.copyFrom(a.cur)
	b.curC = a.curC
}
