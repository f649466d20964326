package jobs

import (
	"github.com/flutewright/flutewright/base/quantity"
)

// insertTries is how many places of one machine a job is priced at, from the
// first at which it could start.
const insertTries = 40

// insertMost is how many jobs are put among kept ones in this way; more are
// assigned to gaps and sequenced anew.
const insertMost = 60

// insert puts t where the whole machine is cheapest: its own cost and lateness,
// and those of the jobs behind it, which move back. Jobs that wait for others'
// steps are taken as they stand; the times that follow are exact.
func (f *floor) insert(t *task) {
	f.refeed(t)
	var least quantity.Money
	chosen, at := -1, 0
	for k := range t.choices {
		q := f.queues[t.choices[k].press]
		t.on = k
		ready := t.readyAt(t.choice(), f.Now)
		first := q.fixed
		for first < len(q.tasks) && !q.tasks[first].end.After(ready) {
			first++
		}
		had := q.costFrom(nil, first, -1)
		for place := first; place <= min(len(q.tasks), first+insertTries); place++ {
			if cost := q.costFrom(t, first, place) - had; chosen < 0 || cost < least {
				chosen, least, at = k, cost, place
			}
		}
	}
	t.on = chosen
	q := f.queues[t.choice().press]
	q.tasks = append(q.tasks[:at:at], append([]*task{t}, q.tasks[at:]...)...)
	q.time()
}

// costFrom is the cost of q's tasks from index first on, with t put at place.
func (q *queue) costFrom(t *task, first, place int) (sum quantity.Money) {
	free, before := q.Now, (*task)(nil)
	if first > 0 {
		before = q.tasks[first-1]
		free = before.end
	}
	since := max(0, q.since(free))
	add := func(o *task) {
		c := o.choice()
		setUp := q.setUp(before, o)
		x := max(since, q.since(o.readyAt(c, q.Now)))
		since = x + wholeSeconds(setUp) + wholeSeconds(c.run)
		end := q.endAt(since)
		sum += c.cost + quantity.Money(float64(setUp-q.setUp(nil, o))/60)*q.CostPerHour
		switch {
		case o.next == nil:
			sum += q.lateCost(q.Releases[o.release], end)
		case end.After(o.made):
			sum += q.latePerDay(q.Releases[o.release]) * quantity.Money(end.Sub(o.made).Hours()/24)
		}
		before = o
	}
	for i := first; i < len(q.tasks); i++ {
		if i == place {
			add(t)
		}
		add(q.tasks[i])
	}
	if place == len(q.tasks) {
		add(t)
	}
	return sum
}
