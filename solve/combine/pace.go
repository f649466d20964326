package combine

import "sync"

// pace gives the proof of a part its share of the work, where it and the
// searches stand in one queue. Work is counted, not timed: a unit is a lane tried
// while patterns are priced, or a row of one exchange of the simplex, some 100 ns.
type pace struct {
	mu    sync.Mutex
	turn  sync.Cond // the searches went on or ended
	steps int       // of both searches
	over  bool      // the searches ended
}

// A step of a search counts for stepWork units. At first the searches gain much and the proof
// has one unit for every searchFirst of theirs; after firstSteps steps for each item, one for one.
const (
	stepWork    = 600
	searchFirst = 4
	firstSteps  = 150
)

// due is the work that the proof of so many items may have done after so many steps.
func due(steps, items int) int {
	first := min(steps, firstSteps*items)
	return stepWork * (first/searchFirst + steps - first)
}

func newPace() *pace {
	p := &pace{}
	p.turn.L = &p.mu
	return p
}

// wait returns once a proof of so many items that has spent so many units is due, or the searches ended.
func (p *pace) wait(spent, items int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for !p.over && spent > due(p.steps, items) {
		p.turn.Wait()
	}
}

// went says how many steps both searches have done.
func (p *pace) went(steps int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.steps = steps
	p.turn.Broadcast()
}

// end lets the proof go on without waiting.
func (p *pace) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.over = true
	p.turn.Broadcast()
}

// solved is the work of the proof's linear programmes and counters so far.
func (p *proof) solved() int {
	n := p.root.lp.Work()
	if p.master != nil {
		n += p.master.lp.Work() + p.master.weighed
	}
	return n
}
