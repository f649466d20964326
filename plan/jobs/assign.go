package jobs

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// busy is a stretch of a machine's manned time since now that a task takes.
type busy struct {
	from, until time.Duration
	task        *task
}

// assign takes the tasks in latest-start order, first steps first, and gives
// each to the machine where its own cost and the cost of its lateness are
// least, at the earliest place that is free: behind what is there, or in a gap.
func (f *floor) assign() { f.place(f.taken()) }

// taken is what stands on each machine already.
func (f *floor) taken() [][]busy {
	out := make([][]busy, len(f.queues))
	for i, q := range f.queues {
		for _, t := range q.tasks {
			end := q.since(t.end)
			out[i] = append(out[i], busy{end - wholeSeconds(t.choice().setUp) - wholeSeconds(t.choice().run), end, t})
		}
	}
	return out
}

// firstStepsFirst is the order in which tasks are given to machines.
func (f *floor) firstStepsFirst() []*task {
	order := slices.Clone(f.tasks)
	slices.SortStableFunc(order, func(a, b *task) int {
		ra, rb := f.Releases[a.release], f.Releases[b.release]
		return cmp.Or(
			cmp.Compare(a.step, b.step), a.latest.Compare(b.latest), cmp.Compare(rank(ra.Priority), rank(rb.Priority)), ident.Compare(ra.Key, rb.Key))
	})
	return order
}

// place gives every task that is not placed yet its machine, between what has
// been taken of each, and fills the queues from that.
func (f *floor) place(taken [][]busy) {
	for _, t := range f.firstStepsFirst() {
		if t.placed {
			continue
		}
		f.refeed(t)
		var least quantity.Money
		var at int
		var span busy
		chosen := -1
		for k := range t.choices {
			c := &t.choices[k]
			q := f.queues[c.press]
			place, b := q.gap(taken[c.press], t, c)
			cost := c.cost + f.lateBy(t, q.endAt(b.until))
			if chosen < 0 || cost < least {
				chosen, least, at, span = k, cost, place, b
			}
		}
		t.on = chosen
		p := t.choice().press
		taken[p] = slices.Insert(taken[p], at, span)
		t.start, t.end = f.queues[p].startAt(span.from), f.queues[p].endAt(span.until)
	}
	for p, q := range f.queues {
		q.tasks = nil
		for _, b := range taken[p] {
			q.tasks = append(q.tasks, b.task)
		}
	}
}

// rank puts a release without a priority after all that have one.
func rank(priority int) int {
	if priority <= 0 {
		return int(^uint(0) >> 1)
	}
	return priority
}

// gap finds the earliest place for t on the machine, and its index among taken.
func (q *queue) gap(taken []busy, t *task, c *choice) (int, busy) {
	ready := max(0, q.since(t.readyAt(c, q.Now)))
	run := wholeSeconds(c.run)
	for i := 0; ; i++ {
		var before *task
		from := ready
		if i > 0 {
			before = taken[i-1].task
			from = max(from, taken[i-1].until)
		}
		b := busy{from, from + wholeSeconds(q.setUp(before, t)) + run, t}
		if i < q.fixed {
			continue
		}
		if i == len(taken) || b.until <= taken[i].from {
			return i, b
		}
	}
}

// lateBy is the cost of the release's lateness when t ends at end and the rest goes as it can.
func (f *floor) lateBy(t *task, end time.Time) quantity.Money {
	late := end.Sub(t.made)
	if late <= 0 {
		return 0
	}
	return f.latePerDay(f.Releases[t.release]) * quantity.Money(late.Hours()/24)
}

// refeed sets what a later step is fed to what the step before gives on the machine it went to.
func (f *floor) refeed(t *task) {
	if t.before == nil {
		return
	}
	r := f.Releases[t.release]
	most := r
	most.Pieces = max(r.Pieces, r.MostPieces)
	for k := range t.choices {
		j := t.choices[k].press
		fed := min(t.before.choice().good, f.fedFrom(most, f.routeFrom(t, j), t.step))
		t.choices[k] = f.choose(r, j, t.step, fed, 1, 0)
	}
}

// routeFrom is the machines from t on, t on machine j, later steps on their first choice.
func (f *floor) routeFrom(t *task, j int) []int {
	route := make([]int, t.step+1)
	route[t.step] = j
	for n := t.next; n != nil; n = n.next {
		route = append(route, n.choices[0].press)
	}
	return route
}
