package sequence

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// Solve builds a few sequences, takes the cheapest, descends from it, and goes
// on by moving blocks of up to four neighbours, turning stretches round and
// swapping two jobs, with a temperature that falls over a few cycles. Cancelling ctx is a
// normal end. Same seed, same result. It returns no error today: every problem
// has a sequence.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	rounds := opt.Rounds
	if rounds == 0 {
		rounds = 20_000
	}
	s := newSearch(p, opt.Seed)
	starts := [][]int{s.byDue(), s.nearest()}
	if len(opt.Start) == len(p.Jobs) {
		starts = append(starts, slices.Clone(opt.Start))
	}
	for _, start := range starts {
		s.consider(start)
	}
	s.restart()
	s.descend(ctx)
	s.restart()
	s.meanCost = math.Abs(s.bestCost) / float64(max(len(p.Jobs), 1))
	bound := p.LowerBound()
	status := RoundLimit
	for round := range max(rounds, 0) {
		if s.bestCost <= bound+1e-9*math.Abs(bound) || len(p.Jobs) < 2 {
			break
		}
		if round%256 == 0 {
			if ctx.Err() != nil {
				status = Stopped
				break
			}
			if opt.OnProgress != nil {
				opt.OnProgress(round, s.bestCost)
			}
		}
		if s.round(cooling(round, rounds)); (round+1)%(rounds/cycles+1) == 0 {
			s.restart()
		}
	}
	if s.restart(); rounds > 0 {
		s.descend(ctx)
	}
	r := Result{Order: s.best, Bound: min(bound, s.bestCost), Status: status}
	r.ChangeCost, r.LateCost = price(p, s.best)
	r.Cost = r.ChangeCost + r.LateCost
	if r.Cost <= bound+1e-9*math.Abs(bound) || len(p.Jobs) < 2 {
		r.Status = Optimal
	}
	return r, nil
}

// cycles of heating and cooling, each from the best sequence so far.
const cycles = 4

// cooling is 1 at the start of a cycle and 0 at its end.
func cooling(round, rounds int) float64 {
	each := rounds/cycles + 1
	return 1 - float64(round%each)/float64(each)
}

// price adds up a sequence from its first job.
func price(p Problem, order []int) (change, late float64) {
	before, at := -1, int64(0)
	for _, j := range order {
		c := p.change(before, j)
		at = max(at, p.Jobs[j].Release) + c.Time + p.Jobs[j].Time
		change += c.Cost
		late += p.Jobs[j].lateness(at)
		before = j
	}
	if before >= 0 {
		change += p.back(before)
	}
	return change, late
}

// search holds the sequence being worked on, with end times and costs up to each place.
type search struct {
	p    Problem
	rnd  *rand.Rand
	now  []int
	end  []int64   // end[k]: when the job at place k ends
	cost []float64 // cost[k]: of places before k; cost[n+1]: all, with Return
	try  []int

	changes []Change // (before+1)·n + next; nil: too many to keep

	steps int // places priced in the present descent

	best     []int
	bestCost float64
	meanCost float64 // of a job, in the sequence the search began with
}

func newSearch(p Problem, seed uint64) *search {
	n := len(p.Jobs)
	s := &search{
		p: p, rnd: rand.New(rand.NewPCG(seed, 0x5eed)), end: make([]int64, n), cost: make([]float64, n+2),
		try: make([]int, n), best: []int{}, bestCost: math.Inf(1),
	}
	if n <= mostKept && p.Change != nil {
		s.changes = make([]Change, 0, (n+1)*n)
		for before := -1; before < n; before++ {
			for next := range n {
				s.changes = append(s.changes, p.Change(before, next))
			}
		}
	}
	return s
}

// mostKept is the number of jobs up to which all changes are asked for once and kept.
const mostKept = 1000

func (s *search) change(before, next int) Change {
	if s.changes == nil {
		return s.p.change(before, next)
	}
	return s.changes[(before+1)*len(s.p.Jobs)+next]
}

func (s *search) consider(order []int) {
	if change, late := price(s.p, order); change+late < s.bestCost {
		s.best, s.bestCost = order, change+late
	}
}

func (s *search) restart() {
	s.now = slices.Clone(s.best)
	s.book(0, len(s.now))
}

// byDue orders by due time, then release.
func (s *search) byDue() []int {
	order := make([]int, len(s.p.Jobs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if d := s.p.Jobs[a].Due - s.p.Jobs[b].Due; d != 0 {
			return sign(d)
		}
		return sign(s.p.Jobs[a].Release - s.p.Jobs[b].Release)
	})
	return order
}

// nearest takes next, each time, what adds the least cost: change, lateness so
// far, and the worth of the machine's waiting, judged by the mean weight.
func (s *search) nearest() []int {
	n := len(s.p.Jobs)
	var weight float64
	for _, j := range s.p.Jobs {
		weight += j.Weight / float64(n)
	}
	left := make([]int, n)
	for i := range left {
		left[i] = i
	}
	var order []int
	before, at := -1, int64(0)
	for len(left) > 0 {
		pick, least := 0, math.Inf(1)
		for k, j := range left {
			job := s.p.Jobs[j]
			c := s.p.change(before, j)
			wait := max(0, job.Release-at)
			slack := max(0, job.Due-at-c.Time-job.Time)
			score := c.Cost + weight*float64(wait+c.Time) + job.Weight*float64(slack)/float64(len(left))
			if score < least {
				pick, least = k, score
			}
		}
		j := left[pick]
		left = slices.Delete(left, pick, pick+1)
		at = max(at, s.p.Jobs[j].Release) + s.p.change(before, j).Time + s.p.Jobs[j].Time
		order, before = append(order, j), j
	}
	return order
}

func sign(d int64) int {
	switch {
	case d < 0:
		return -1
	case d > 0:
		return 1
	}
	return 0
}
