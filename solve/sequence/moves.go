package sequence

import (
	"context"
	"math"
	"slices"
)

// book works out end times and costs from place lo on. From place hi on the
// sequence is as it was booked: once an end time there agrees with the old
// booking, the rest only shifts in cost.
func (s *search) book(lo, hi int) {
	n := len(s.now)
	before, at := -1, int64(0)
	if lo > 0 {
		before, at = s.now[lo-1], s.end[lo-1]
	}
	for k := lo; k < n; k++ {
		j := s.now[k]
		c := s.change(before, j)
		at = max(at, s.p.Jobs[j].Release) + c.Time + s.p.Jobs[j].Time
		cost := s.cost[k] + c.Cost + s.p.Jobs[j].lateness(at)
		if k >= hi && at == s.end[k] {
			shift := cost - s.cost[k+1]
			for ; k <= n; k++ {
				s.cost[k+1] += shift
			}
			return
		}
		s.end[k], s.cost[k+1], before = at, cost, j
	}
	s.cost[n+1] = s.cost[n]
	if n > 0 {
		s.cost[n+1] += s.p.back(s.now[n-1])
	}
}

// priced returns the cost of the sequence with try[lo:hi] in the place of
// now[lo:hi], without booking it. It gives up with +Inf once the cost is sure to
// reach limit: a job behind hi that ends no sooner than booked makes none behind
// it end sooner, so the rest costs no less than it did.
func (s *search) priced(lo, hi int, limit float64) float64 {
	n := len(s.now)
	before, at := -1, int64(0)
	if lo > 0 {
		before, at = s.now[lo-1], s.end[lo-1]
	}
	cost := s.cost[lo]
	for k := lo; k < n; k++ {
		j := s.now[k]
		if k < hi {
			j = s.try[k]
		}
		c := s.change(before, j)
		at = max(at, s.p.Jobs[j].Release) + c.Time + s.p.Jobs[j].Time
		cost += c.Cost + s.p.Jobs[j].lateness(at)
		s.steps++
		if k >= hi && at == s.end[k] {
			return cost + s.cost[n+1] - s.cost[k+1]
		}
		if cost >= limit || k >= hi && at > s.end[k] && cost+s.cost[n+1]-s.cost[k+1] >= limit {
			return math.Inf(1)
		}
		before = j
	}
	return cost + s.p.back(before)
}

// hottest is the start temperature in mean costs of a job.
const hottest = 0.5

// round tries one random move; heat falls from 1 to 0 over a cycle.
func (s *search) round(heat float64) {
	n := len(s.now)
	from := s.rnd.IntN(n)
	to := s.rnd.IntN(n)
	if s.rnd.IntN(2) == 0 { // half of the moves stay near
		to = min(n-1, max(0, from-20+s.rnd.IntN(41)))
	}
	var lo, hi int
	switch s.rnd.IntN(4) {
	case 0, 1:
		lo, hi = s.moveBlock(from, 1+s.rnd.IntN(4), to)
	case 2:
		lo, hi = s.turn(from, 2+s.rnd.IntN(6))
	default:
		lo, hi = s.swap(from, to)
	}
	if lo >= hi {
		return
	}
	have := s.cost[n+1]
	bar := have + hottest*heat*heat*s.meanCost*s.rnd.ExpFloat64()
	if s.priced(lo, hi, bar+1e-12) <= bar {
		s.keep(lo, hi)
	}
}

func (s *search) keep(lo, hi int) {
	copy(s.now[lo:hi], s.try[lo:hi])
	s.book(lo, hi)
	if c := s.cost[len(s.now)+1]; c < s.bestCost-1e-9 {
		s.best, s.bestCost = slices.Clone(s.now), c
	}
}

// moveBlock writes to try the sequence with the block of size jobs at place
// from moved so that it begins at place to; the changed places are [lo, hi).
func (s *search) moveBlock(from, size, to int) (lo, hi int) {
	n := len(s.now)
	size = min(size, n-from)
	to = min(to, n-size)
	switch {
	case to < from:
		lo, hi = to, from+size
		copy(s.try[to:], s.now[from:from+size])
		copy(s.try[to+size:hi], s.now[to:from])
	case to > from:
		lo, hi = from, to+size
		copy(s.try[from:], s.now[from+size:hi])
		copy(s.try[to:hi], s.now[from:from+size])
	}
	return lo, hi
}

// turn reverses size places from from on.
func (s *search) turn(from, size int) (lo, hi int) {
	hi = min(from+size, len(s.now))
	copy(s.try[from:hi], s.now[from:hi])
	slices.Reverse(s.try[from:hi])
	return from, hi
}

// swap exchanges two places.
func (s *search) swap(a, b int) (lo, hi int) {
	if a == b {
		return 0, 0
	}
	lo, hi = min(a, b), max(a, b)+1
	copy(s.try[lo:hi], s.now[lo:hi])
	s.try[a], s.try[b] = s.now[b], s.now[a]
	return lo, hi
}

// descend moves blocks of one to three to every place within reach of the best
// sequence until none is cheaper, for a bounded number of steps.
func (s *search) descend(ctx context.Context) {
	const reach, budget = 40, 3_000_000 // places priced
	n := len(s.now)
	s.steps = 0
	for improved := true; improved && s.steps < budget && ctx.Err() == nil; {
		improved = false
		for from := 0; from < n && s.steps < budget; from++ {
			for size := 1; size <= 3; size++ {
				for to := max(0, from-reach); to <= min(n-1, from+reach); to++ {
					lo, hi := s.moveBlock(from, size, to)
					if lo >= hi {
						continue
					}
					have := s.cost[n+1]
					if s.priced(lo, hi, have) < have-1e-9 {
						s.keep(lo, hi)
						improved = true
					}
				}
			}
		}
	}
}
