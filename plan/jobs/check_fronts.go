package jobs

import (
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
)

// fronts checks that jobs in progress and frozen ones stand first on their
// machines, the frozen in their sequence; those that are made no more are left out.
func (j judge) fronts() error {
	queue := map[ident.Machine][]Job{}
	planned := map[ident.Release]bool{}
	for _, job := range j.a.Jobs {
		queue[job.Machine] = append(queue[job.Machine], job)
		planned[job.Release] = true
	}
	front := map[ident.Machine]int{}
	for code, jobs := range queue {
		on, any := j.p.On[code]
		for i, job := range jobs {
			if job.Begun && (i > 0 || !any || on.Release != job.Release) {
				return fmt.Errorf("%s is said to be in progress on %s, place %d", job.Release, code, i+1)
			}
		}
		if jobs[0].Begun {
			front[code] = 1
		}
	}
	for _, k := range j.p.Frozen {
		jobs := queue[k.Machine]
		at := slices.IndexFunc(jobs, func(job Job) bool { return job.Release == k.Release && job.Step == k.Step })
		switch {
		case at < 0: // it has ended, is refused, or its machine can make it no more
		case jobs[at].Begun:
		case at != front[k.Machine] || !jobs[at].Frozen:
			return fmt.Errorf("%s is frozen on %s at place %d and stands at %d", k.Release, k.Machine, front[k.Machine]+1, at+1)
		default:
			front[k.Machine]++
		}
	}
	return nil
}

// setUps checks each job's set-up against the machine's rule and the job before it.
func (j judge) setUps() error {
	before := map[ident.Machine]*convert.Spec{}
	for _, job := range j.a.Jobs {
		m, _ := j.machine(job.Machine)
		r := j.p.Releases[j.release[job.Release]]
		spec := convert.Spec{Style: r.Style, Sheet: r.Sheet, Flute: j.p.Boards[r.Grade].Flute, Panels: r.Panels}
		if job.Step == 1 {
			spec.Colours, spec.Plate, spec.Die = r.Colours, r.Plate, r.Die
		}
		want := convert.SetUpMinutes(m, spec, before[job.Machine])
		if on := j.p.On[job.Machine]; job.Begun {
			want = min(want, job.SetUp)
			if on.Good+on.Waste > 0 {
				want = 0
			}
		}
		if math.Abs(float64(job.SetUp-want)) > 1e-6 {
			return fmt.Errorf("%s on %s is set up in %.2f min, by the rule %.2f", job.Release, job.Machine, float64(job.SetUp), float64(want))
		}
		if cost := convert.Cost(m, job.SetUp, job.Run, 0, quantity.Money(0)); math.Abs(float64(cost-job.Cost)) > 1e-6 {
			return fmt.Errorf("%s on %s costs %.2f, stated %.2f", job.Release, job.Machine, float64(cost), float64(job.Cost))
		}
		before[job.Machine] = &spec
	}
	return nil
}

// tools checks that no plate or die is at two machines at once, and that a
// strict one is not taken past its limit.
func (j judge) tools() error {
	for _, t := range j.p.Tools {
		left := t.Limit - t.Hits
		var jobs []Job
		for _, job := range j.a.Jobs {
			r := j.p.Releases[j.release[job.Release]]
			if job.Step != 1 || t.ID != string(r.Plate) && t.ID != string(r.Die) {
				continue
			}
			if left -= (r.Pieces + max(r.PiecesPerSheet, 1) - 1) / max(r.PiecesPerSheet, 1); t.Strict && t.Limit > 0 && left < 0 {
				return fmt.Errorf("%s takes %s past its limit of %d", job.Release, t.ID, t.Limit)
			}
			for _, o := range jobs {
				if o.Machine != job.Machine && !(o.Begun && job.Begun) && o.Start.Before(job.End) && job.Start.Before(o.End) {
					return fmt.Errorf("%s is on %s for %s and on %s for %s at once", t.ID, o.Machine, o.Release, job.Machine, job.Release)
				}
			}
			jobs = append(jobs, job)
		}
	}
	return nil
}
