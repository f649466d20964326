package runs

import (
	"cmp"
	"context"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/sequence"
)

// sequenceMoves of the sequencing search, and sequenceMost runs, keep it under a
// tenth of a second; longer plans keep the blocks that the combination has.
const (
	sequenceMoves = 3000
	sequenceMost  = 120
)

// inSequence sorts the runs behind the frozen ones by grade (cheap paper first,
// so that dear changes are few), then wide to narrow, then long to short; and
// where a problem prices what a sequence costs, searches for a cheaper one: among
// all where there are few runs.
func (p Problem) inSequence(list []Run, seed uint64) {
	rank := map[any]float64{}
	for _, g := range p.Grades {
		rank[g.Grade] = float64(g.price())
	}
	front := min(len(p.Frozen), len(list))
	free := list[front:]
	slices.SortStableFunc(free, func(a, b Run) int {
		return cmp.Or(cmp.Compare(rank[a.Grade], rank[b.Grade]), cmp.Compare(a.Grade, b.Grade), cmp.Compare(b.Web, a.Web),
			cmp.Compare(b.Length, a.Length), cmp.Compare(a.Lanes[0].Order, b.Lanes[0].Order))
	})
	if !p.sequencePriced() || len(free) < 2 || len(free) > sequenceMost {
		return
	}
	x := &pricing{p: p, grades: p.byGrade(), orders: p.byOrder(), bare: true}
	if len(free) <= sequenceAll {
		x.cheapestOfAll(list, front)
		return
	}
	problem := x.asJobs(list[:front], free)
	start := make([]int, len(free))
	for i := range start {
		start[i] = i
	}
	// The context is not the caller's: a cancelled search still gets its sequence.
	res, err := sequence.Solve(context.Background(), problem, sequence.Options{Seed: seed, Rounds: sequenceMoves, Start: start})
	if err != nil {
		return
	}
	best, cost := slices.Clone(list), x.sequenceCost(list)
	trial := slices.Clone(list)
	for to, from := range res.Order {
		trial[front+to] = free[from]
	}
	x.descend(trial, front)
	if x.sequenceCost(trial) < cost-1e-9 {
		best = trial
	}
	copy(list, best)
}

// sequencePriced reports whether the cost of a plan depends on the sequence of its runs.
func (p Problem) sequencePriced() bool {
	c := p.Corrugator
	if c.WebChangeLoss > 0 || c.GradeChangeLoss > 0 || p.Changes != (Changes{}) {
		return true
	}
	return !p.Begins.IsZero() && slices.ContainsFunc(p.Orders, func(o Order) bool { return o.LateCost > 0 && !o.Due.IsZero() })
}

// sequenceCost is what changes and lateness of the runs cost in this sequence.
func (x *pricing) sequenceCost(list []Run) float64 {
	t := &Totals{CostTerms: map[string]quantity.Money{}}
	x.t = t
	x.neighbours(list)
	x.late(list)
	sum := 0.0
	for _, name := range sortedKeys(t.CostTerms) {
		sum += float64(t.CostTerms[name])
	}
	return sum
}

// asJobs states the free runs as jobs in seconds. An order's lateness is charged
// to its longest run only: the sequence's exact cost is worked out afterwards.
func (x *pricing) asJobs(front, free []Run) sequence.Problem {
	before := 0.0
	for _, r := range front {
		before += x.p.minutes(x.grades[r.Grade], r.Length)
	}
	longest := map[string]int{}
	for i, r := range free {
		for _, l := range r.Lanes {
			if k, seen := longest[l.Order]; !seen || r.Length > free[k].Length {
				longest[l.Order] = i
			}
		}
	}
	jobs := make([]sequence.Job, len(free))
	for i, r := range free {
		jobs[i] = sequence.Job{Time: int64(60 * x.p.minutes(x.grades[r.Grade], r.Length)), Due: 1 << 40}
		for _, l := range r.Lanes {
			o := x.orders[l.Order]
			if longest[l.Order] != i || o.LateCost <= 0 || o.Due.IsZero() || x.p.Begins.IsZero() {
				continue
			}
			due := o.Due.Sub(x.p.Begins).Seconds() - 60*(before+float64(o.Behind))
			jobs[i].Due = min(jobs[i].Due, int64(due))
			jobs[i].Weight += float64(o.LateCost) / 3600
		}
	}
	cost := make([][]float64, len(free)+1) // by place before, from 0 for the front's last
	for b := range cost {
		cost[b] = make([]float64, len(free))
		for n := range free {
			switch {
			case b > 0:
				cost[b][n] = x.pair(free[b-1], free[n])
			case len(front) > 0:
				cost[b][n] = x.pair(front[len(front)-1], free[n])
			}
		}
	}
	change := func(b, n int) sequence.Change { return sequence.Change{Cost: cost[b+1][n]} }
	return sequence.Problem{Jobs: jobs, Change: change}
}

// pair is what one run following another costs in changes.
func (x *pricing) pair(a, b Run) float64 {
	x.t = &Totals{CostTerms: map[string]quantity.Money{}}
	on, after := x.glue(a), x.glue(b)
	x.change(a, b, on != "" && after != "" && on != after)
	sum := 0.0
	for _, name := range sortedKeys(x.t.CostTerms) {
		sum += float64(x.t.CostTerms[name])
	}
	return sum
}

// descendMost runs are put into their exactly cheapest places one by one; more would take too long.
const descendMost = 40

// descend moves single runs to cheaper places until none is left, by the exact cost.
func (x *pricing) descend(list []Run, front int) {
	if len(list)-front > descendMost {
		return
	}
	cost := x.sequenceCost(list)
	for better := true; better; {
		better = false
		for from := front; from < len(list); from++ {
			for to := front; to < len(list); to++ {
				if to == from {
					continue
				}
				trial := slices.Clone(list)
				r := trial[from]
				trial = slices.Insert(slices.Delete(trial, from, from+1), to, r)
				if c := x.sequenceCost(trial); c < cost-1e-9 {
					copy(list, trial)
					cost, better = c, true
				}
			}
		}
	}
}
