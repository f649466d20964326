package whatnow

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
)

// stopped is the way of doing nothing while a machine stands: everything keeps
// its machine and its sequence and waits.
func (r *repair) stopped() way {
	e := r.Event
	return way{
		title: fmt.Sprintf("Do nothing: what waits for %s waits until %s", e.Machine, wordsOf(r.Book).clock(e.Until)),
		book:  withStop(r.st.book, plant.Stop{Machine: e.Machine, From: r.Now, Until: e.Until, Cause: e.Cause}),
		runs:  r.st.runs, jobs: r.st.jobs,
	}
}

// machineDown moves waiting jobs to machines that can make them: each alone to
// its best place, then those together that still gain; and sequences all
// machines anew around the stop.
func (r *repair) machineDown(ctx context.Context) (nothing way, ways []way, err error) {
	nothing = r.stopped()
	base, cost, err := r.clocked(ctx, nothing)
	if err != nil {
		return nothing, nil, err
	}
	singles := r.singles(ctx, nothing, base)
	for _, s := range singles {
		ways = append(ways, s.way)
	}
	if both, ok := r.together(ctx, singles, cost.Total); ok {
		ways = append(ways, both)
	}
	anew := nothing
	anew.title, anew.leaves = "Sequence the machines anew around the stop", true
	return nothing, append(ways, anew), nil
}

// single is one job on another machine, with what that costs.
type single struct {
	way
	key   jobKey
	to    ident.Machine
	total quantity.Money
}

// singles tries each waiting job of the machine on each other machine that can
// make it, and keeps each job's cheapest; the cheapest job first. What cannot be
// is kept with the limit that forbids it.
func (r *repair) singles(ctx context.Context, nothing way, base *plan.Plan) (out []single) {
	fits := plan.Fits(nothing.book, r.Now)
	for _, j := range base.Clock.Jobs {
		if j.Machine != r.Event.Machine || j.Step > len(fits[j.Release]) || ctx.Err() != nil {
			continue
		}
		var tries []way
		on := map[string]ident.Machine{} // by title
		for _, f := range fits[j.Release][j.Step-1] {
			if f.Machine == j.Machine {
				continue
			}
			if f.Refusal != "" {
				r.out = append(r.out, Refused{Release: j.Release, Way: fmt.Sprintf("%s to %s", j.Release, f.Machine), Reason: f.Refusal})
				continue
			}
			for _, place := range r.places(base, f.Machine, j) {
				w := r.onMachine(nothing, j, f.Machine, place)
				tries, on[w.title] = append(tries, w), f.Machine
			}
		}
		if best, total, ok := r.least(ctx, tries); ok {
			s := single{way: best, key: jobKey{j.Release, j.Step}, to: on[best.title], total: total}
			p, _, err := r.clocked(ctx, best)
			if err == nil {
				s.note = r.alone(best, p, j.Release, s.to)
			}
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b single) int { return cmp.Compare(a.total, b.total) })
	return out
}

// alone says how long the job takes by itself at its new machine, standing right
// for it, and how long where it is to stand.
func (r *repair) alone(w way, p *plan.Plan, of ident.Release, on ident.Machine) string {
	line, _ := lineOf(w.book, of)
	item := itemOf(w.book, line.Item)
	m, _ := machineOf(w.book, on)
	for _, j := range p.Clock.Jobs {
		if j.Release != of || j.Machine != on {
			continue
		}
		setUp := convert.SetUpMinutes(m, convert.Spec{Colours: item.Colours}, nil)
		fed := convert.SheetsWanted(j.Pieces, max(1, item.PiecesPerSheet), []convert.Machine{m}, item.Colours)
		if d := demandOf(p, of); d != nil && j.Step == 1 {
			fed = convert.SheetsWanted(min(j.Pieces, d.ToMake), max(1, d.PerSheet), []convert.Machine{m}, item.Colours)
		}
		s := fmt.Sprintf("%s takes %s + %s on %s", of, minutes(setUp), minutes(convert.RunMinutes(m, fed)), on)
		if more := j.SetUp - setUp; more > 0 {
			s += fmt.Sprintf(", and %s more set-up behind the job before it", minutes(more))
		}
		return s
	}
	return ""
}

func demandOf(p *plan.Plan, k ident.Release) *plan.Demand {
	for i := range p.Demands {
		if p.Demands[i].Release == k {
			return &p.Demands[i]
		}
	}
	return nil
}

// nearPlaces is how many places of a machine are tried from the first that the
// job could take: further back it waits for others without need.
const nearPlaces = 5

// places are those of a machine where j could stand: behind the frozen front,
// from the first job on that starts after j's sheets are there, and the end.
func (r *repair) places(base *plan.Plan, m ident.Machine, j jobs.Job) (out []int) {
	q := queues(base.Clock.Jobs)[m]
	first := slices.IndexFunc(q, func(o jobs.Job) bool { return !o.Start.Before(j.SheetsAt) })
	if first < 0 {
		first = len(q)
	}
	first = max(first, len(r.frozenJobs(m)))
	for i := first; i <= min(len(q), first+nearPlaces); i++ {
		out = append(out, i)
	}
	if first+nearPlaces < len(q) {
		out = append(out, len(q))
	}
	return out
}

// onMachine is the way with one job moved; an agreed route is left for this once.
func (r *repair) onMachine(w way, j jobs.Job, to ident.Machine, place int) way {
	w.title = fmt.Sprintf("Move %s from %s to %s", j.Release, j.Machine, to)
	w.jobs = moved(w.jobs, jobKey{j.Release, j.Step}, to, place)
	w.about = j.Release
	line, _ := lineOf(w.book, j.Release)
	if item := itemOf(w.book, line.Item); len(item.Route) > 0 {
		route := slices.Clone(item.Route)
		if j.Step <= len(route) {
			route[j.Step-1] = to
		}
		w.choices.Routes = append(slices.Clone(w.choices.Routes), plan.Routed{Release: j.Release, Route: route})
	}
	return w
}

// mostTogether is how many jobs are moved at once.
const mostTogether = 4

// together moves the jobs that gain alone one after the other, as long as the
// whole becomes cheaper.
func (r *repair) together(ctx context.Context, list []single, had quantity.Money) (best way, ok bool) {
	n := 0
	for _, s := range list {
		if s.total >= had || n == mostTogether || ctx.Err() != nil {
			break
		}
		if n == 0 {
			best, had, n = s.way, s.total, 1
			continue
		}
		var tries []way
		for place := range len(queues(best.jobs)[s.to]) + 1 {
			if place < len(r.frozenJobs(s.to)) || place > mostTogether+nearPlaces+len(r.frozenJobs(s.to)) {
				continue
			}
			w := best
			w.jobs = moved(best.jobs, s.key, s.to, place)
			w.choices.Routes = append(slices.Clone(best.choices.Routes), s.choices.Routes...)
			w.title = best.title + fmt.Sprintf(", and %s to %s", s.key.release, s.to)
			tries = append(tries, w)
		}
		if next, total, ok := r.least(ctx, tries); ok && total < had {
			best, had, n = next, total, n+1
		}
	}
	return best, n > 1
}
