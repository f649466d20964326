package rolls

import "math"

// item is a roll that a stand is to take next, and how much of it; 0: all.
type item struct {
	roll int
	cap  int64
}

// use is a piece of a roll on a stand.
type use struct {
	run, cell, roll int
	at              float64 // web of the run
	metres          int64
	splice          bool
	from            int // lane before; -1 none
}

// followed is how the runs go with given lists.
type followed struct {
	uncovered int64
	cost      float64
	splices   int
	mounts    int
	uses      []use
	left      []int64
	stand     []int  // lane that each roll stands on at the end; -1 none
	wasted    []bool // stripped
	touched   []bool
}

// better reports whether f covers more than g, or as much and costs less.
func (f *followed) better(g *followed) bool {
	if d := f.uncovered - g.uncovered; d > tolerance || d < -tolerance {
		return d < 0
	}
	return f.cost < g.cost-1e-9
}

// tolerance is what metres may be off by rounding: a millimetre, in nanometres.
const tolerance = 1_000_000

// chooser picks the next roll of a lane where its list has none; -1 without.
type chooser func(f *follower, d *draw, c *cell, now float64, warm bool) int

// follower walks the runs. Rolls change hands in the order of time.
type follower struct {
	*task
	followed
	lists  [][]item
	next   chooser
	on     []int     // roll on each lane; -1 none
	capped []int64   // what the roll on a lane may still give; -1: all
	done   []int     // items of each list that are through
	off    []float64 // minute at which each roll ran last
	last   []int     // lane that each roll was on last
	active []bool    // lanes that the run at hand uses
	begun  []stretch // lanes of the run at hand
}

// stretch is how far a lane of a run has come.
type stretch struct {
	pos  int64 // paper
	x    float64
	warm bool // paper has run here just before: a change is a splice
}

func (t *task) newFollower() *follower {
	n := len(t.rolls)
	f := &follower{task: t, on: make([]int, len(t.lanes)), capped: make([]int64, len(t.lanes)), done: make([]int, len(t.lanes)),
		off: make([]float64, n), last: make([]int, n), active: make([]bool, len(t.lanes))}
	f.left, f.stand, f.wasted, f.touched = make([]int64, n), make([]int, n), make([]bool, n), make([]bool, n)
	return f
}

// follow walks the runs with the lists; next answers where they are through.
// What it returns shares memory with the follower until keep.
func (f *follower) follow(lists [][]item, next chooser) *followed {
	f.lists, f.next = lists, next
	f.uncovered, f.cost, f.splices, f.mounts, f.uses = 0, 0, 0, 0, f.uses[:0]
	for l := range f.on {
		f.on[l], f.capped[l], f.done[l] = -1, -1, 0
	}
	for k, r := range f.rolls {
		f.left[k], f.stand[k], f.wasted[k], f.touched[k] = r.length, -1, false, false
		f.off[k], f.last[k] = math.Inf(-1), -1
		if r.lane >= 0 && f.on[r.lane] < 0 {
			f.on[r.lane], f.stand[k], f.last[k] = k, r.lane, r.lane
		}
	}
	for i := range f.runs {
		f.run(i)
	}
	return &f.followed
}

// run walks one run: the lane that is furthest behind goes on.
func (f *follower) run(i int) {
	d := &f.runs[i]
	clear(f.active)
	for _, c := range d.cells {
		f.active[c.lane] = true
	}
	f.begun = f.begun[:0]
	for k := range d.cells {
		c := &d.cells[k]
		if f.on[c.lane] >= 0 && !c.hot && !c.kept {
			f.takeOff(c.lane)
		}
		f.begun = append(f.begun, stretch{warm: c.hot && f.on[c.lane] >= 0})
	}
	for {
		at := -1
		for k := range d.cells {
			if f.begun[k].pos < d.cells[k].want && (at < 0 || f.begun[k].x < f.begun[at].x) {
				at = k
			}
		}
		if at < 0 {
			return
		}
		f.step(i, d, at)
	}
}

// step runs a lane to where its roll ends, or leaves it empty to where the next lane changes.
func (f *follower) step(i int, d *draw, k int) {
	c, s := &d.cells[k], &f.begun[k]
	r, u := f.rollOn(d, c, s)
	if r < 0 {
		x := d.length
		for j := range f.begun {
			if o := &f.begun[j]; o.x > s.x && o.x < x {
				x = o.x
			}
		}
		to := c.want
		if x < d.length {
			to = min(c.want, max(s.pos+1, int64(x*c.rate)))
		}
		f.uncovered += to - s.pos
		s.pos, s.x = to, float64(to)/c.rate
		return
	}
	give := min(f.left[r], c.want-s.pos)
	if f.capped[c.lane] >= 0 {
		give = min(give, f.capped[c.lane])
		f.capped[c.lane] -= give
	}
	u.run, u.cell, u.roll, u.at, u.metres = i, k, r, s.x, give
	f.uses = append(f.uses, u)
	f.last[r], f.touched[r] = c.lane, true
	f.left[r] -= give
	s.pos += give
	s.x, s.warm = float64(s.pos)/c.rate, true
	f.off[r] = d.minute(s.x)
}

// rollOn returns the roll that a lane draws on from here, changing it where it
// is through; -1 without one. The use says how it came there.
func (f *follower) rollOn(d *draw, c *cell, s *stretch) (int, use) {
	now := d.minute(s.x)
	if r := f.on[c.lane]; r >= 0 {
		if f.left[r] > 0 && f.capped[c.lane] != 0 {
			return r, use{from: f.last[r]}
		}
		f.takeOff(c.lane)
	}
	r := f.pick(d, c, s, now)
	if r < 0 {
		return r, use{}
	}
	u := use{splice: s.warm, from: f.last[r]}
	if l := f.stand[r]; l >= 0 && l != c.lane { // it idles on a stand that this run does not use
		f.takeOff(l)
	}
	f.on[c.lane], f.stand[r] = r, c.lane
	f.mounts++
	f.cost += f.handling
	if u.splice {
		f.splices++
		f.left[r] -= f.splice
		f.cost += float64(f.splice) / metre * f.perMetre
	}
	return r, u
}

const metre = 1e9 // in nanometres

// minute is when a place of the run passes.
func (d *draw) minute(x float64) float64 {
	if d.length <= 0 {
		return d.start
	}
	return d.start + (d.end-d.start)*x/d.length
}

// takeOff brings the roll of a lane back to its place; a short rest goes to waste.
func (f *follower) takeOff(lane int) {
	r := f.on[lane]
	f.on[lane], f.capped[lane] = -1, -1
	f.stand[r] = -1
	switch {
	case f.left[r] == 0:
	case f.touched[r] && f.left[r] < f.keepFrom:
		f.wasted[r] = true
		f.cost += float64(f.left[r]) / metre * f.stripped
	default:
		f.cost += f.handling
	}
}

// pick is the next roll of a lane: by its list, then by choice.
func (f *follower) pick(d *draw, c *cell, s *stretch, now float64) int {
	if list := f.lists; list != nil {
		for k := f.done[c.lane]; k < len(list[c.lane]); k++ {
			it := list[c.lane][k]
			if f.left[it.roll] == 0 || f.wasted[it.roll] {
				if k == f.done[c.lane] {
					f.done[c.lane]++
				}
				continue
			}
			if f.usable(d, c.lane, it.roll, s.warm, now) {
				if it.cap > 0 {
					f.done[c.lane] = k + 1
					f.capped[c.lane] = it.cap
				}
				return it.roll
			}
		}
	}
	return f.next(f, d, c, now, s.warm)
}

// usable reports whether a roll may come onto a lane now.
func (f *follower) usable(d *draw, lane, r int, warm bool, now float64) bool {
	p := &f.rolls[r]
	switch l := f.stand[r]; {
	case f.left[r] == 0 || f.wasted[r] || p.from.After(d.at):
		return false
	case l >= 0 && (f.active[l] || l == lane):
		return false
	case (p.rest || f.touched[r]) && f.left[r] < f.buttMin, warm && f.left[r] <= f.splice:
		return false
	case f.last[r] >= 0 && f.last[r] != lane && f.touched[r] && f.off[r]+f.move > now:
		return false
	}
	return true
}
