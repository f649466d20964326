package jobs

import (
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
)

// begin puts first on their machines what stands there already: the jobs in
// progress, then those that are frozen, in their sequence.
func (f *floor) begin() {
	type name struct {
		release ident.Release
		step    int
	}
	f.keepOvertime()
	by := map[name]*task{}
	for _, t := range f.tasks {
		by[name{f.Releases[t.release].Key, t.step}] = t
	}
	for _, q := range f.queues {
		on, any := f.On[q.Code]
		if !any {
			continue
		}
		for _, t := range f.tasks {
			if f.Releases[t.release].Key == on.Release && !t.begun && t.only(q) && !t.readyAt(t.choice(), f.Now).After(f.Now) {
				f.goOn(q, t)
				break
			}
		}
	}
	for _, k := range f.Frozen {
		t := by[name{k.Release, k.Step - 1}]
		at := slices.IndexFunc(f.queues, func(q *queue) bool { return q.Code == k.Machine })
		if t == nil || at < 0 || t.placed || !t.sits(at) {
			continue
		}
		q := f.queues[at]
		t.placed, t.frozen = true, true
		q.tasks = append(q.tasks, t)
		q.fixed = len(q.tasks)
	}
	f.refeedAll()
	f.retime()
}

// keepOvertime takes over the overtime of the plan in force that is still ahead.
func (f *floor) keepOvertime() {
	for i := range f.press {
		p := &f.press[i]
		for _, m := range f.Manning {
			if m.Overtime && m.Machine == p.Code && !m.From.Before(f.Now) {
				p.crewing = append(p.crewing, m)
			}
		}
		if len(p.crewing) > 0 && len(f.Crews) == 0 {
			p.rewind()
		}
	}
}

// only says whether t can run on q, and chooses it.
func (t *task) only(q *queue) bool {
	for k, c := range t.choices {
		if q.shop.press[c.press].Code == q.Code {
			t.on = k
			return true
		}
	}
	return false
}

// sits chooses machine i for t; false when t cannot run there.
func (t *task) sits(i int) bool {
	k := slices.IndexFunc(t.choices, func(c choice) bool { return c.press == i })
	if k >= 0 {
		t.on = k
	}
	return k >= 0
}

// goOn lets the job in progress on q go on: of its set-up only what is not yet
// done is left, and steps before it are behind it.
func (f *floor) goOn(q *queue, t *task) {
	on := f.On[q.Code]
	t.begun, t.placed, t.frozen = true, true, true
	t.choices = []choice{*t.choice()}
	t.on = 0
	c := t.choice()
	whole := convert.SetUpMinutes(q.Machine, t.spec, nil)
	if on.Good+on.Waste == 0 {
		t.left = max(0, whole-quantity.InMinutes(q.own.Between(on.Since, f.Now)))
	}
	c.setUp = t.left
	c.cost -= quantity.Money(float64(whole-t.left)/60) * q.CostPerHour
	for b := t.before; b != nil; b = b.before {
		f.tasks = slices.DeleteFunc(f.tasks, func(o *task) bool { return o == b })
	}
	t.before = nil
	q.tasks = append(q.tasks, t)
	q.fixed = len(q.tasks)
}

// refeedAll sets what later steps are fed where the steps before them are placed.
func (f *floor) refeedAll() {
	for _, t := range f.firstStepsFirst() {
		if t.placed && !t.begun {
			f.refeed(t)
		}
	}
}
