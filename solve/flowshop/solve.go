package flowshop

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

const (
	defaultRounds = 2000
	defaultNodes  = 200_000
	taken         = 4   // jobs taken out a round (Ruiz and Stützle)
	warmth        = 0.4 // of the acceptance, by the mean time (Ruiz and Stützle)
	progressEvery = 100
)

// Solve returns the best sequence found, with a lower bound. Cancelling ctx is a
// normal end. Same seed, same result. It returns fault.Violations for a problem
// that cannot be.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	s := newShop(p)
	s.best = s.construct()
	s.bestSpan = s.span(s.best)
	r := Result{Bound: max(p.Bound(), s.pairs()), Status: RoundLimit}
	r.Status = s.greedy(ctx, opt, r.Bound)
	if s.bestSpan > r.Bound && ctx.Err() == nil && opt.Nodes >= 0 {
		if s.branch(ctx, cmp.Or(opt.Nodes, defaultNodes)) {
			r.Bound = s.bestSpan
		}
	}
	if ctx.Err() != nil {
		r.Status = Stopped
	}
	r.Sequence, r.Makespan = s.best, s.bestSpan
	if r.Makespan == r.Bound {
		r.Status = Optimal
	}
	return r, nil
}

type shop struct {
	times    [][]int
	machines int
	head     [][]int // Taillard's e: ends, by place and machine
	tail     [][]int // q: from start to the end of all
	best     []int
	bestSpan int
}

func newShop(p Problem) *shop {
	s := &shop{times: p.Times, machines: len(p.Times[0])}
	s.head, s.tail = make([][]int, len(p.Times)+2), make([][]int, len(p.Times)+2)
	for i := range s.head {
		s.head[i], s.tail[i] = make([]int, s.machines+2), make([]int, s.machines+2)
	}
	return s
}

func (s *shop) span(seq []int) int {
	ends := make([]int, s.machines)
	for _, j := range seq {
		free := 0
		for i, t := range s.times[j] {
			free = max(free, ends[i]) + t
			ends[i] = free
		}
	}
	return ends[s.machines-1]
}

// construct inserts the jobs by falling total time, each where it does least;
// of equals the lower job and the leftmost place.
func (s *shop) construct() []int {
	order := make([]int, len(s.times))
	total := make([]int, len(s.times))
	for j, row := range s.times {
		order[j] = j
		for _, t := range row {
			total[j] += t
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(total[b], total[a]) })
	seq := make([]int, 0, len(order))
	for _, j := range order {
		seq, _ = s.insert(seq, j)
	}
	return seq
}

// insert puts j at its best place, the leftmost of equals, and returns the makespan.
func (s *shop) insert(seq []int, j int) ([]int, int) {
	n, m := len(seq), s.machines
	for k := 0; k < n; k++ {
		row, before, here := s.times[seq[k]], s.head[k], s.head[k+1]
		for i := 1; i <= m; i++ {
			here[i] = max(before[i], here[i-1]) + row[i-1]
		}
	}
	clear(s.tail[n])
	for k := n - 1; k >= 0; k-- {
		row, after, here := s.times[seq[k]], s.tail[k+1], s.tail[k]
		for i := m; i >= 1; i-- {
			here[i] = max(after[i], here[i+1]) + row[i-1]
		}
	}
	at, best := 0, math.MaxInt
	for k := 0; k <= n; k++ {
		free, span := 0, 0
		for i := 1; i <= m; i++ {
			free = max(free, s.head[k][i]) + s.times[j][i-1]
			span = max(span, free+s.tail[k][i])
		}
		if span < best {
			at, best = k, span
		}
	}
	return slices.Insert(seq, at, j), best
}

// greedy takes jobs out and puts them back at their best places, improves the
// sequence by moving each job once more, and accepts with a constant warmth.
func (s *shop) greedy(ctx context.Context, opt Options, bound int) Status {
	n := len(s.times)
	if n < 2 {
		return RoundLimit
	}
	rnd := rand.New(rand.NewPCG(opt.Seed, 11))
	sum := 0
	for _, row := range s.times {
		for _, t := range row {
			sum += t
		}
	}
	heat := warmth * float64(sum) / float64(n*s.machines*10)
	at, atSpan := s.descend(slices.Clone(s.best), s.bestSpan, rnd)
	s.keep(at, atSpan)
	rounds := cmp.Or(opt.Rounds, defaultRounds)
	for round := 1; round <= rounds; round++ {
		switch {
		case s.bestSpan <= bound:
			return Optimal
		case ctx.Err() != nil:
			return Stopped
		}
		next := slices.Clone(at)
		var out []int
		for range min(taken, n-1) {
			k := rnd.IntN(len(next))
			out = append(out, next[k])
			next = slices.Delete(next, k, k+1)
		}
		span := 0
		for _, j := range out {
			next, span = s.insert(next, j)
		}
		next, span = s.descend(next, span, rnd)
		s.keep(next, span)
		if span <= atSpan || heat > 0 && rnd.Float64() < math.Exp(-float64(span-atSpan)/heat) {
			at, atSpan = next, span
		}
		if opt.OnProgress != nil && round%progressEvery == 0 {
			opt.OnProgress(Progress{round, s.bestSpan, bound})
		}
	}
	return RoundLimit
}

func (s *shop) keep(seq []int, span int) {
	if span < s.bestSpan {
		s.best, s.bestSpan = slices.Clone(seq), span
	}
}

// descend moves jobs, in a drawn order, to their best places until none gains.
func (s *shop) descend(seq []int, span int, rnd *rand.Rand) ([]int, int) {
	for better := true; better; {
		better = false
		for _, j := range rnd.Perm(len(s.times)) {
			k := slices.Index(seq, j)
			with, got := s.insert(slices.Delete(slices.Clone(seq), k, k+1), j)
			if got < span {
				seq, span, better = with, got, true
			}
		}
	}
	return seq, span
}
