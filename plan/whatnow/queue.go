package whatnow

import (
	"maps"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
)

// queues are jobs by machine, in sequence.
func queues(list []jobs.Job) map[ident.Machine][]jobs.Job {
	out := map[ident.Machine][]jobs.Job{}
	for _, j := range list {
		out[j.Machine] = append(out[j.Machine], j)
	}
	for _, q := range out {
		slices.SortStableFunc(q, func(a, b jobs.Job) int { return a.Seq - b.Seq })
	}
	return out
}

// inSequence returns jobs by machine, then sequence.
func inSequence(list []jobs.Job) []jobs.Job { return flat(queues(list)) }

// flat numbers the jobs of each machine by their place.
func flat(qs map[ident.Machine][]jobs.Job) (out []jobs.Job) {
	for _, m := range slices.Sorted(maps.Keys(qs)) {
		for i, j := range qs[m] {
			j.Machine, j.Seq = m, i+1
			out = append(out, j)
		}
	}
	return out
}

// moved returns the jobs with one of them at a place of a machine, from 0.
func moved(list []jobs.Job, k jobKey, to ident.Machine, place int) []jobs.Job {
	qs := queues(list)
	var it jobs.Job
	for m, q := range qs {
		if i := slices.IndexFunc(q, func(j jobs.Job) bool { return j.Release == k.release && j.Step == k.step }); i >= 0 {
			it = q[i]
			qs[m] = slices.Delete(slices.Clone(q), i, i+1)
		}
	}
	it.Release, it.Step = k.release, k.step
	q := qs[to]
	qs[to] = slices.Insert(slices.Clone(q), min(place, len(q)), it)
	return flat(qs)
}

// without returns the jobs but those of one release.
func without(list []jobs.Job, r ident.Release) []jobs.Job {
	return slices.DeleteFunc(slices.Clone(list), func(j jobs.Job) bool { return j.Release == r })
}
