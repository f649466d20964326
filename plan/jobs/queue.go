package jobs

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
)

// queue is the tasks of one machine in sequence.
type queue struct {
	*shop
	*press
	tasks []*task
	fixed int // so many at the front keep their places
}

// since is the manned time from now to t, negative before now.
func (q *queue) since(t time.Time) time.Duration { return q.manned.Between(q.Now, t) }

// beyond stands for a moment that the calendar does not reach.
const beyond = 10 * 366 * 24 * time.Hour

// startAt and endAt turn manned time since now into moments: a start stands at
// the beginning of a crew's time, an end at the end of one.
func (q *queue) startAt(x time.Duration) time.Time {
	if at, ok := q.manned.AddWorking(q.Now, x); ok {
		if at, ok = q.manned.Next(at); ok {
			return at
		}
	}
	return q.Now.Add(beyond)
}

func (q *queue) endAt(x time.Duration) time.Time {
	if at, ok := q.manned.AddWorking(q.Now, x); ok {
		return at
	}
	return q.Now.Add(beyond)
}

// setUp is the set-up of t behind the task before; nil: the machine stands right.
func (q *queue) setUp(before, t *task) quantity.Minutes {
	if t.begun {
		return t.left
	}
	if before == nil {
		return convert.SetUpMinutes(q.Machine, t.spec, nil)
	}
	return convert.SetUpMinutes(q.Machine, t.spec, &before.spec)
}

// time sets start and end of every task from the sequence, and says whether any end moved.
func (q *queue) time() (moved bool) {
	var free time.Duration
	var before *task
	for _, t := range q.tasks {
		c := t.choice()
		c.setUp = q.setUp(before, t)
		x := max(free, q.since(t.readyAt(c, q.Now)))
		free = x + wholeSeconds(c.setUp) + wholeSeconds(c.run)
		end := q.endAt(free)
		moved = moved || !end.Equal(t.end)
		t.start, t.end, before = q.startAt(x), end, t
	}
	return moved
}

// floor is all machines' queues.
type floor struct {
	*shop
	queues   []*queue       // indexed like shop.press
	padsLate quantity.Money // lateness of releases without jobs
	tasks    []*task
	only     ident.Release // zero: all
	watches  []watch       // of shifts whose crews are counted
}

// retime sets all times until steps that wait for one another agree; false when
// they wait in a circle.
func (f *floor) retime() bool {
	for range len(f.tasks) + 2 {
		moved := false
		for _, q := range f.queues {
			moved = q.time() || moved
		}
		if !moved {
			return true
		}
		if !f.chained() {
			return true // no step waits for another: one pass is enough
		}
	}
	return false
}

func (f *floor) chained() bool {
	return slices.ContainsFunc(f.tasks, func(t *task) bool { return t.before != nil || t.after != nil })
}

// cost is what the sequences are judged by: machines, sheets lost, lateness.
func (f *floor) cost() quantity.Money {
	var sum quantity.Money
	for _, q := range f.queues {
		for _, t := range q.tasks {
			c := t.choice()
			sum += c.cost + quantity.Money(float64(c.setUp-q.setUp(nil, t))/60)*q.CostPerHour
			if t.next == nil {
				sum += f.lateCost(f.Releases[t.release], t.end)
			}
		}
		for _, m := range q.crewing {
			sum += m.Cost
		}
	}
	return sum
}

// snapshot is every queue's sequence and every task's machine.
type snapshot struct {
	tasks [][]*task
	on    [][]int
}

func (f *floor) snapshot() (s snapshot) {
	for _, q := range f.queues {
		s.tasks = append(s.tasks, slices.Clone(q.tasks))
		var on []int
		for _, t := range q.tasks {
			on = append(on, t.on)
		}
		s.on = append(s.on, on)
	}
	return s
}

func (f *floor) restore(s snapshot) {
	for i, q := range f.queues {
		q.tasks = slices.Clone(s.tasks[i])
		for k, t := range q.tasks {
			t.on = s.on[i][k]
		}
	}
	f.retime()
}
