package whatnow

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
)

// answer sets a way against doing nothing, as far as its clock says. It has no
// whole plan yet.
func (r *repair) answer(ctx context.Context, w way, nothing *Answer) (Answer, error) {
	c := r.clockOf(ctx, w)
	if c.err != nil {
		return Answer{}, c.err
	}
	p := c.at.Plan
	a := Answer{Title: w.title, Cost: w.with(c.cost), Note: w.note, Lines: w.lines, Choices: w.choices, Book: w.book, family: cmp.Or(w.family, w.title), clocked: c.at}
	if w.slot {
		a.Note = r.slotWords(p, w.about)
		if w.note != "" {
			a.Note += "; " + w.note
		}
		a.Web = runOf(p, w.about)
	}
	a.Late = lateIn(p)
	for _, l := range a.Late {
		a.Hours += float64(l.Late) / 60
	}
	a.Newly = against(fates(r.Plan), p)
	if nothing != nil {
		before := nothing.clocked.Plan
		a.More = a.Cost.minus(nothing.Cost)
		a.Saved = saved(before, p)
		a.Moves, a.Shifted = wordsOf(r.Book).moves(before, p)
	}
	a.DecideBy = r.decideBy(a.Moves, p, w)
	a.Agree = r.agree(w, p)
	return a, nil
}

// runOf is the first run that makes the release.
func runOf(p *plan.Plan, about ident.Release) *runs.Run {
	for i, run := range p.Runs {
		if slices.Contains(ordersOf(run), about) {
			return &p.Runs[i]
		}
	}
	return nil
}

func lateIn(p *plan.Plan) (out []Lateness) {
	for _, f := range p.Clock.Finishes {
		if f.Late > 0 {
			out = append(out, Lateness{Release: f.Release, Late: f.Late})
		}
	}
	return byLateness(out)
}

func byLateness(list []Lateness) []Lateness {
	slices.SortStableFunc(list, func(a, b Lateness) int {
		return cmp.Or(cmp.Compare(b.Late-b.Before, a.Late-a.Before), ident.Compare(a.Release, b.Release))
	})
	return list
}

// fates is each release's finish; a release that is to be made and has none is missing.
func fates(p *plan.Plan) map[ident.Release]jobs.Finish {
	out := map[ident.Release]jobs.Finish{}
	for _, f := range p.Clock.Finishes {
		if !f.MadeAt.IsZero() {
			out[f.Release] = f
		}
	}
	return out
}

// noticeable is how many minutes later count: less is the rounding of times.
const noticeable = 1

// against lists the orders that are later in p than before, or are not made in it any more.
func against(before map[ident.Release]jobs.Finish, p *plan.Plan) (out []Lateness) {
	now := fates(p)
	for _, d := range p.Demands {
		b, was := before[d.Release]
		f, is := now[d.Release]
		switch {
		case was && !is:
			out = append(out, Lateness{Release: d.Release, Before: b.Late, Unmade: true})
		case is && f.Late > b.Late+noticeable:
			out = append(out, Lateness{Release: d.Release, Late: f.Late, Before: b.Late, Was: !was})
		}
	}
	return byLateness(out)
}

// saved lists the orders that doing nothing makes later, or does not make.
func saved(nothing, p *plan.Plan) (out []Lateness) {
	now, before := fates(p), fates(nothing)
	for _, d := range p.Demands {
		b, was := before[d.Release]
		f, is := now[d.Release]
		if is && (!was && slices.ContainsFunc(nothing.Demands, func(o plan.Demand) bool { return o.Release == d.Release }) || was && b.Late > f.Late+noticeable) {
			out = append(out, Lateness{Release: d.Release, Late: f.Late, Before: b.Late, Was: !was})
		}
	}
	slices.SortStableFunc(out, func(a, b Lateness) int { return cmp.Compare(a.Late-a.Before, b.Late-b.Before) })
	return out
}

// decideBy is the earliest moment at which one of the moves begins, at its old
// place or its new one: by then the floor must know. An answer that moves
// nothing can be taken until the order it is about leaves.
func (r *repair) decideBy(moves []Move, p *plan.Plan, w way) time.Time {
	var at time.Time
	first := func(t time.Time) {
		if t.After(r.Now) && (at.IsZero() || t.Before(at)) {
			at = t
		}
	}
	for _, m := range moves {
		if m.From != "" {
			first(m.Was)
		}
		if m.To != "" {
			if !m.Is.After(r.Now) {
				return r.Now
			}
			first(m.Is)
		}
	}
	if at.IsZero() {
		for _, f := range p.Clock.Finishes {
			if f.Release == w.about {
				first(f.Due.Add(-f.AtDock.Sub(f.AtGate)))
			}
		}
	}
	return at
}
