package jobs

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/sequence"
)

const poolRounds = 20_000 // moves of a job to another place or machine

// SolvePool gives each job a machine and each machine its sequence. Cancelling
// ctx is a normal end with the best so far; the same seed and no cancelling give
// the same answer. It returns fault.Violations for a document that cannot be; a
// job that no machine can do is answered as unplanned.
func SolvePool(ctx context.Context, p Pool, opt Options) (PoolAnswer, error) {
	if err := p.Validate(); err != nil {
		return PoolAnswer{}, err
	}
	s := newPool(p)
	s.deal()
	for i := range s.queues {
		s.sort(ctx, i, cmp.Or(opt.Rounds, 5000), opt.Seed)
	}
	a := PoolAnswer{Status: RoundLimit, Unplanned: []PoolLeft{}}
	s.anneal(ctx, opt.Seed)
	for i := range s.queues {
		s.sort(ctx, i, cmp.Or(opt.Rounds, 5000), opt.Seed)
	}
	s.answer(&a)
	a.Bound = min(s.bound(), a.Cost)
	switch {
	case a.Cost-a.Bound <= 1e-9*(1+a.Cost):
		a.Status = Optimal
	case ctx.Err() != nil:
		a.Status = Stopped
	}
	return a, nil
}

// pool works in milliseconds.
type pool struct {
	Pool
	jobs   []int   // that some machine can do, earliest due first
	queues [][]int // by machine
	setUps []map[[2]int]int64
}

func ms(m quantity.Minutes) int64 { return int64(math.Round(float64(m) * 60_000)) }

func newPool(p Pool) *pool {
	s := &pool{Pool: p, queues: make([][]int, len(p.Machines)), setUps: make([]map[[2]int]int64, len(p.Machines))}
	at := map[string]int{"": -1}
	for i, j := range p.Jobs {
		at[j.Job] = i
		if len(j.Minutes) > 0 {
			s.jobs = append(s.jobs, i)
		}
	}
	for i, m := range p.Machines {
		s.setUps[i] = map[[2]int]int64{}
		for _, u := range p.SetUps {
			if u.Machine == "" || u.Machine == m.Machine {
				s.setUps[i][[2]int{at[u.Before], at[u.Next]}] = ms(u.Minutes)
			}
		}
	}
	slices.SortStableFunc(s.jobs, func(a, b int) int { return cmp.Compare(s.due(a), s.due(b)) })
	return s
}

func (s *pool) due(j int) int64 {
	if d := s.Jobs[j].Due; d != nil {
		return ms(*d)
	}
	return 1 << 50
}

// cost is what a machine's sequence costs, lateness in it.
func (s *pool) cost(i int, queue []int) (sum, late float64) {
	free, before := ms(s.Machines[i].FreeAt), -1
	for _, j := range queue {
		start, end := s.span(i, before, j, free)
		sum += float64(end-start) / 3_600_000 * float64(s.Machines[i].CostPerHour)
		late += s.late(j, end)
		free, before = end, j
	}
	return sum + late, late
}

func (s *pool) span(i, before, j int, free int64) (start, end int64) {
	start = max(free, ms(s.Jobs[j].Release))
	return start, start + s.setUps[i][[2]int{before, j}] + ms(s.Jobs[j].Minutes[s.Machines[i].Machine])
}

func (s *pool) late(j int, end int64) float64 {
	if over := end - s.due(j); over > 0 {
		return float64(s.Jobs[j].LateOnce) + float64(over)/3_600_000*float64(s.Jobs[j].LatePerHour)
	}
	return 0
}

func (s *pool) able(i, j int) bool {
	_, ok := s.Jobs[j].Minutes[s.Machines[i].Machine]
	return ok
}

// deal gives the jobs, earliest due first, to the machine that is dearer by the
// least; of equals to the one that is done with it first.
func (s *pool) deal() {
	ends := make([]int64, len(s.Machines))
	for i, m := range s.Machines {
		ends[i] = ms(m.FreeAt)
	}
	for _, j := range s.jobs {
		best, at := math.Inf(1), -1
		var done int64
		for i := range s.Machines {
			if !s.able(i, j) {
				continue
			}
			before := -1
			if n := len(s.queues[i]); n > 0 {
				before = s.queues[i][n-1]
			}
			start, end := s.span(i, before, j, ends[i])
			more := float64(end-start)/3_600_000*float64(s.Machines[i].CostPerHour) + s.late(j, end)
			if more < best || more == best && end < done {
				best, at, done = more, i, end
			}
		}
		s.queues[at], ends[at] = append(s.queues[at], j), done
	}
}

// sort sequences one machine anew, where that is cheaper.
func (s *pool) sort(ctx context.Context, i, rounds int, seed uint64) {
	queue := s.queues[i]
	if len(queue) < 2 {
		return
	}
	p := sequence.Problem{Jobs: make([]sequence.Job, len(queue))}
	start := make([]int, len(queue))
	perMS := float64(s.Machines[i].CostPerHour) / 3_600_000
	for k, j := range queue {
		p.Jobs[k] = sequence.Job{
			Time: ms(s.Jobs[j].Minutes[s.Machines[i].Machine]), Release: max(0, ms(s.Jobs[j].Release)-ms(s.Machines[i].FreeAt)),
			Due: s.due(j) - ms(s.Machines[i].FreeAt), Weight: float64(s.Jobs[j].LatePerHour) / 3_600_000, Once: float64(s.Jobs[j].LateOnce),
		}
		start[k] = k
	}
	p.Change = func(before, next int) sequence.Change {
		b := -1
		if before >= 0 {
			b = queue[before]
		}
		t := s.setUps[i][[2]int{b, queue[next]}]
		return sequence.Change{Time: t, Cost: float64(t) * perMS}
	}
	r, err := sequence.Solve(ctx, p, sequence.Options{Seed: seed, Rounds: rounds, Start: start})
	if err != nil {
		return // the engine has none; the sequence stays
	}
	next := make([]int, len(queue))
	for k, at := range r.Order {
		next[k] = queue[at]
	}
	had, _ := s.cost(i, queue)
	if got, _ := s.cost(i, next); got < had {
		s.queues[i] = next
	}
}

// anneal moves drawn jobs to drawn places of drawn machines, with a temperature
// that falls (Kirkpatrick, Gelatt and Vecchi, Science 220 (1983) 671–680; from
// memory), and keeps the best it has seen.
func (s *pool) anneal(ctx context.Context, seed uint64) {
	if len(s.jobs) < 2 {
		return
	}
	rnd := rand.New(rand.NewPCG(seed, 17))
	at := 0.0
	for i, q := range s.queues {
		sum, _ := s.cost(i, q)
		at += sum
	}
	best, kept := at, slices.Clone(s.queues)
	first := 0.2*at/float64(len(s.jobs)) + 1e-9
	for round := range poolRounds {
		if round%256 == 0 && ctx.Err() != nil {
			break
		}
		heat := first * math.Pow(1e-4, float64(round)/poolRounds)
		j := s.jobs[rnd.IntN(len(s.jobs))]
		to := rnd.IntN(len(s.Machines))
		if !s.able(to, j) {
			continue
		}
		from := slices.IndexFunc(s.queues, func(q []int) bool { return slices.Contains(q, j) })
		next := slices.Clone(s.queues)
		k := slices.Index(next[from], j)
		next[from] = slices.Delete(slices.Clone(next[from]), k, k+1)
		next[to] = slices.Insert(slices.Clone(next[to]), rnd.IntN(len(next[to])+1), j)
		got := at
		for _, i := range []int{from, to} {
			was, _ := s.cost(i, s.queues[i])
			now, _ := s.cost(i, next[i])
			if got += now - was; from == to {
				break
			}
		}
		if got <= at || rnd.Float64() < math.Exp((at-got)/heat) {
			s.queues, at = next, got
			if at < best-1e-9 {
				best, kept = at, next
			}
		}
	}
	s.queues = slices.Clone(kept)
}

// bound is every job on the machine that is cheapest for it, alone and without a dearer set-up than its least.
func (s *pool) bound() quantity.Money {
	sum := 0.0
	for _, j := range s.jobs {
		best, late := math.Inf(1), math.Inf(1)
		for i, m := range s.Machines {
			if !s.able(i, j) {
				continue
			}
			least := s.setUps[i][[2]int{-1, j}]
			for _, b := range s.jobs {
				if b != j {
					least = min(least, s.setUps[i][[2]int{b, j}])
				}
			}
			run := least + ms(s.Jobs[j].Minutes[m.Machine])
			best = min(best, float64(run)/3_600_000*float64(m.CostPerHour))
			late = min(late, s.late(j, max(ms(m.FreeAt), ms(s.Jobs[j].Release))+run))
		}
		sum += best + late
	}
	return quantity.Money(sum)
}

func (s *pool) answer(a *PoolAnswer) {
	minutes := func(v int64) quantity.Minutes { return quantity.Minutes(float64(v) / 60_000) }
	for i, m := range s.Machines {
		out := PoolSequence{Machine: m.Machine, Jobs: []PoolPlace{}}
		free, before := ms(m.FreeAt), -1
		for _, j := range s.queues[i] {
			start, end := s.span(i, before, j, free)
			out.Jobs = append(out.Jobs, PoolPlace{
				Job: s.Jobs[j].Job, SetUp: minutes(s.setUps[i][[2]int{before, j}]), Start: minutes(start), End: minutes(end), Late: minutes(max(0, end-s.due(j))),
			})
			free, before = end, j
		}
		sum, late := s.cost(i, s.queues[i])
		a.Cost += quantity.Money(sum)
		a.LateCost += quantity.Money(late)
		a.Sequences = append(a.Sequences, out)
	}
	for _, j := range s.Jobs {
		if len(j.Minutes) == 0 {
			a.Unplanned = append(a.Unplanned, PoolLeft{j.Job, "no machine is stated that can do it: name one in minutes"})
		}
	}
}
