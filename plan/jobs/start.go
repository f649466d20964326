package jobs

import (
	"cmp"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
)

// assignFrom puts every task that start names on its machine, in start's
// sequence, and finds the others a place: a few where the whole machine is
// cheapest, many by assign's rule, in a gap or behind.
// Jobs that start names and the problem does not have are left out; so is a
// machine that can no longer make its job.
func (f *floor) assignFrom(start []Job) {
	type key struct {
		release ident.Release
		step    int
	}
	byKey := map[key]*task{}
	for _, t := range f.tasks {
		byKey[key{f.Releases[t.release].Key, t.step + 1}] = t
	}
	for _, j := range inPlace(start) {
		t := byKey[key{j.Release, j.Step}]
		if t == nil || t.placed {
			continue
		}
		on := slices.IndexFunc(t.choices, func(c choice) bool { return f.press[c.press].Code == j.Machine })
		if on < 0 {
			continue
		}
		t.on, t.placed = on, true
		q := f.queues[t.choice().press]
		q.tasks = append(q.tasks, t)
	}
	f.refeedAll()
	f.retime()
	f.man()
	var free []*task
	for _, t := range f.firstStepsFirst() {
		if !t.placed {
			free = append(free, t)
		}
	}
	if len(free) > insertMost {
		f.place(f.taken())
		return
	}
	for _, t := range free {
		f.insert(t)
	}
}

// inPlace returns the jobs by machine and sequence.
func inPlace(list []Job) []Job {
	out := slices.Clone(list)
	slices.SortStableFunc(out, func(a, b Job) int { return cmp.Or(cmp.Compare(a.Machine, b.Machine), cmp.Compare(a.Seq, b.Seq)) })
	return out
}
