package jobs

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/solve/sequence"
)

const (
	defaultRounds = 20_000
	moveTries     = 400 // moves of late tasks to other places, priced in full
)

// improve sequences every machine anew, moves late tasks to other machines, and
// sequences the machines again where that changed them. A step that does not
// lower the cost is taken back.
func (f *floor) improve(ctx context.Context, opt Options) {
	rounds := opt.Rounds
	if rounds == 0 {
		rounds = defaultRounds
	}
	if rounds < 0 {
		return
	}
	for i := range f.queues {
		f.resequence(ctx, i, rounds, opt.Seed)
		if opt.OnProgress != nil {
			f.report(opt, string(f.queues[i].Code))
		}
	}
	if f.moveLate(ctx) {
		for i := range f.queues {
			f.resequence(ctx, i, rounds/4, opt.Seed+1)
		}
	}
	f.reman(ctx)
}

func (f *floor) report(opt Options, stage string) {
	p := Progress{Stage: stage}
	for _, q := range f.queues {
		for _, t := range q.tasks {
			p.Cost += machineCost(q.Machine, t.choice().setUp, t.choice().run)
			if t.next == nil {
				p.LateCost += f.lateCost(f.Releases[t.release], t.end)
			}
		}
	}
	opt.OnProgress(p)
}

// resequence orders one machine's tasks by the sequencing engine, in seconds of
// its manned time; lateness in manned time is weighed up to wall time.
func (f *floor) resequence(ctx context.Context, i, rounds int, seed uint64) {
	q := f.queues[i]
	free := q.tasks[q.fixed:]
	if len(free) < 2 || ctx.Err() != nil {
		return
	}
	before, had := f.snapshot(), f.cost()
	p := q.problem()
	start := make([]int, len(free))
	for k := range start {
		start[k] = k
	}
	r, err := sequence.Solve(ctx, p, sequence.Options{Seed: seed, Rounds: max(rounds, 1), Start: start})
	if err != nil {
		return // the engine has none; the sequence stays as it is
	}
	old := slices.Clone(free)
	for k, j := range r.Order {
		free[k] = old[j]
	}
	if !f.retime() || f.cost() >= had {
		f.restore(before)
	}
}

// problem states the queue behind its fixed front to the sequencing engine.
func (q *queue) problem() sequence.Problem {
	free := q.tasks[q.fixed:]
	n := len(free)
	var last *task
	var from int64
	if q.fixed > 0 {
		last = q.tasks[q.fixed-1]
		from = int64(q.since(last.end) / time.Second)
	}
	const month = 28 * 24 * time.Hour
	wall := 1.0 // wall time to manned time
	if manned := q.own.Between(q.Now, q.Now.Add(month)); manned > 0 {
		wall = float64(month) / float64(manned)
	}
	p := sequence.Problem{Jobs: make([]sequence.Job, n)}
	extra := make([]int64, (n+1)*n) // seconds of set-up beyond that of a machine that stands right; the last row is the front's
	for k, t := range free {
		c := t.choice()
		p.Jobs[k] = sequence.Job{
			Time:    int64((wholeSeconds(q.setUp(nil, t)) + wholeSeconds(c.run)) / time.Second),
			Release: max(from, int64(q.since(t.readyAt(c, q.Now))/time.Second)),
			Due:     int64(q.since(t.made) / time.Second),
			Weight:  float64(q.latePerDay(q.Releases[t.release])) / 86400 * wall,
			Once:    float64(q.Prices.LateEach),
		}
		for b, other := range free {
			extra[b*n+k] = int64((wholeSeconds(q.setUp(other, t)) - wholeSeconds(q.setUp(nil, t))) / time.Second)
		}
		extra[n*n+k] = int64((wholeSeconds(q.setUp(last, t)) - wholeSeconds(q.setUp(nil, t))) / time.Second)
	}
	perSecond := float64(q.CostPerHour) / 3600
	p.Change = func(before, next int) sequence.Change {
		if before < 0 {
			before = n
		}
		x := extra[before*n+next]
		return sequence.Change{Time: x, Cost: float64(x) * perSecond}
	}
	return p
}

// moveLate tries late tasks of one step on their other machines, the latest
// first; it says whether any went.
func (f *floor) moveLate(ctx context.Context) (any bool) {
	var late []*task
	for _, t := range f.tasks {
		if t.before == nil && t.next == nil && !t.shared && !t.frozen && len(t.choices) > 1 && t.end.After(t.made) {
			late = append(late, t)
		}
	}
	slices.SortStableFunc(late, func(a, b *task) int { return cmp.Compare(b.end.Sub(b.made), a.end.Sub(a.made)) })
	tries := moveTries
	for _, t := range late {
		if tries <= 0 || ctx.Err() != nil {
			break
		}
		any = f.moveOne(t, &tries) || any
	}
	return any
}

// moveOne prices t at places of its other machines from its ready time on.
func (f *floor) moveOne(t *task, tries *int) (moved bool) {
	for k := range t.choices {
		if k == t.on {
			continue
		}
		q := f.queues[t.choices[k].press]
		ready := t.readyAt(&t.choices[k], f.Now)
		first := slices.IndexFunc(q.tasks, func(o *task) bool { return !o.start.Before(ready) })
		if first < 0 {
			first = len(q.tasks)
		}
		first = max(first, q.fixed)
		for place := first; place <= min(len(q.tasks), first+6) && *tries > 0; place++ {
			*tries--
			before, had := f.snapshot(), f.cost()
			from := f.queues[t.choice().press]
			from.tasks = slices.Delete(from.tasks, slices.Index(from.tasks, t), slices.Index(from.tasks, t)+1)
			t.on = k
			q.tasks = slices.Insert(q.tasks, place, t)
			if f.retime() && f.cost() < had {
				return true
			}
			f.restore(before)
		}
	}
	return false
}
