package jobs

import (
	"cmp"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
)

// assignFrom puts every task that start names on its machine, in start's
// sequence, and finds the others a place by assign's rule: in a gap, or behind.
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
	placed := map[*task]bool{}
	for _, j := range inPlace(start) {
		t := byKey[key{j.Release, j.Step}]
		if t == nil || placed[t] {
			continue
		}
		on := slices.IndexFunc(t.choices, func(c choice) bool { return f.press[c.press].Code == j.Machine })
		if on < 0 {
			continue
		}
		t.on, placed[t] = on, true
		q := f.queues[t.choice().press]
		q.tasks = append(q.tasks, t)
	}
	for _, t := range f.firstStepsFirst() {
		if placed[t] {
			f.refeed(t)
		}
	}
	f.retime()
	taken := make([][]busy, len(f.queues))
	for i, q := range f.queues {
		for _, t := range q.tasks {
			end := q.since(t.end)
			taken[i] = append(taken[i], busy{end - wholeSeconds(t.choice().setUp) - wholeSeconds(t.choice().run), end, t})
		}
	}
	f.place(taken, placed)
}

// inPlace returns the jobs by machine and sequence.
func inPlace(list []Job) []Job {
	out := slices.Clone(list)
	slices.SortStableFunc(out, func(a, b Job) int { return cmp.Or(cmp.Compare(a.Machine, b.Machine), cmp.Compare(a.Seq, b.Seq)) })
	return out
}
