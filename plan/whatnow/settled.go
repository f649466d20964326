package whatnow

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
)

// settled leaves out of the runs to come what is not wanted any more: a run of
// which nothing is wanted falls away, and where a partner is, its orders are cut
// anew in its place. One that has no legal run without what was cut beside it is
// an orphan: it is left without a run, and every answer says why.
func (r *repair) settled(ctx context.Context) error {
	defer r.forget()
	g, err := r.ready(way{book: r.st.book})
	if err != nil {
		return err
	}
	wanted := map[string]bool{}
	for _, o := range g.trim().Orders {
		wanted[o.Order] = true
	}
	free := map[int]bool{}
	var rest []ident.Release
	for i, run := range r.st.runs {
		for _, l := range run.Lanes {
			free[i] = free[i] || !wanted[l.Order]
		}
		if !free[i] {
			delete(free, i)
			continue
		}
		for _, k := range ordersOf(run) {
			if wanted[k.String()] {
				rest = append(rest, k)
			}
		}
	}
	if len(free) == 0 {
		return nil
	}
	if front := r.frozenRuns(); slices.ContainsFunc(slices.Collect(maps.Keys(free)), func(i int) bool { return i < front }) {
		r.melted = true
	}
	fresh, left, err := r.cutAnew(ctx, r.st.book, plan.Choices{}, r.st.runs, free, rest...)
	if err != nil {
		return err
	}
	list, at := spliced(r.st.runs, free, fresh)
	for i := range fresh {
		list[at+i].Seq = -1 - i // no run of the plan in force
	}
	r.st.runs, r.orphans = list, left
	return nil
}

// seated gives what lies on the floor and has no job in the plan in force its
// place on a machine once, so that the ways need not seek it each for itself.
func (r *repair) seated(ctx context.Context) {
	defer r.forget()
	p, _, err := r.clocked(ctx, way{book: r.st.book, runs: r.st.runs, jobs: r.st.jobs})
	if err != nil {
		return // every way will say why it cannot be
	}
	planned := map[jobKey]jobs.Job{}
	for _, j := range r.st.jobs {
		planned[jobKey{j.Release, j.Step}] = j
	}
	var all []jobs.Job
	for _, j := range p.Clock.Jobs {
		if was, known := planned[jobKey{j.Release, j.Step}]; known {
			was.Machine, was.Seq = j.Machine, j.Seq
			j = was
		}
		all = append(all, j)
		delete(planned, jobKey{j.Release, j.Step})
	}
	for _, j := range r.st.jobs {
		if _, left := planned[jobKey{j.Release, j.Step}]; left {
			all = append(all, j) // of no use now; a way may bring its order back
		}
	}
	r.st.jobs = inSequence(all)
}

// forget drops what is known: the event changes what is done.
func (r *repair) forget() { r.known.grounds, r.known.clocks = nil, nil }

// waits reports whether an order has no run before any way is tried: it had none
// in the plan in force either, or lost it with what was cut beside it.
func (r *repair) waits(name string) bool {
	is := func(u runs.Unplanned) bool { return u.Order == name }
	return slices.ContainsFunc(r.Plan.Unplanned, is) || slices.ContainsFunc(r.orphans, is)
}

// rescue gives orphans a run with the movable runs of their grades cut anew.
func (r *repair) rescue(ctx context.Context, nothing way) []way {
	if len(r.orphans) == 0 {
		return nil
	}
	var lost []ident.Release
	grades := map[ident.Grade]bool{}
	for _, u := range r.orphans {
		if k, err := ident.ParseRelease(u.Order); err == nil {
			lost = append(lost, k)
			grades[r.gradeOf(k)] = true
			r.out = append(r.out, Refused{Release: k, Way: fmt.Sprintf("%s as it was planned", k), Reason: "what was cut beside it is not wanted any more; " + u.Reason})
		}
	}
	free := map[int]bool{}
	for i, run := range nothing.runs {
		if i >= r.fixedRuns() && grades[run.Grade] {
			free[i] = true
		}
	}
	if len(free) == 0 || ctx.Err() != nil {
		return nil
	}
	title := fmt.Sprintf("Give %s a run with its grade cut anew", list(lost))
	fresh, left, err := r.cutAnew(ctx, nothing.book, nothing.choices, nothing.runs, free, lost...)
	if err != nil {
		r.out = append(r.out, Refused{Release: lost[0], Way: title, Reason: plainly(err)})
		return nil
	}
	if slices.ContainsFunc(left, func(u runs.Unplanned) bool { return !r.waits(u.Order) }) {
		return nil // it takes another's run away
	}
	lost = slices.DeleteFunc(lost, func(k ident.Release) bool {
		return slices.ContainsFunc(left, func(u runs.Unplanned) bool { return u.Order == k.String() })
	})
	if len(lost) == 0 {
		return nil
	}
	return r.inPlace(ctx, nothing, free, fresh, fmt.Sprintf("Give %s a run with its grade cut anew", list(lost)))
}

// gradeOf is the grade that a release's item is made of.
func (r *repair) gradeOf(k ident.Release) ident.Grade {
	l, _ := lineOf(r.st.book, k)
	return itemOf(r.st.book, l.Item).Grade
}
