package whatnow

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/order"
)

// rush finds the order of the event a run and a place: alone, beside the orders
// of each run that may share one with it, and with its whole grade cut anew.
// Doing nothing is turning it down.
func (r *repair) rush(ctx context.Context) (nothing way, ways []way, err error) {
	l := r.Event.Line
	l.State = order.Open
	list, jobList := r.withoutOrder(l.Key)
	nothing = way{
		title: fmt.Sprintf("Do nothing: turn %s down", l.Key), book: withoutLine(r.st.book, l.Key), runs: list, jobs: jobList,
		extra: boxPrice(r.Book, l) * quantity.Money(l.Quantity),
		note:  "its price counts as lost",
	}
	with := way{book: withLine(r.st.book, l), runs: list, jobs: jobList, about: l.Key, lines: []order.Line{l}}
	ways, err = r.slots(ctx, with, l.Key, fmt.Sprintf("Make %s", l.Key))
	return nothing, ways, err
}

// withoutOrder is the plan in force without an order that stands alone on its
// runs; runs that others share stay as they are.
func (r *repair) withoutOrder(k ident.Release) ([]runs.Run, []jobs.Job) {
	list := slices.DeleteFunc(slices.Clone(r.st.runs), func(run runs.Run) bool {
		o := ordersOf(run)
		return len(o) == 1 && o[0] == k
	})
	return list, without(r.st.jobs, k)
}

// company is a set of runs whose orders are cut anew together with one.
type company struct {
	words string
	free  map[int]bool
	add   []ident.Release // orders without a run that may now get one
}

// mostPartners is how many runs are tried as company by themselves.
const mostPartners = 8

// companies are nobody, each of the first movable runs of a grade that the order may share,
// all of those of its own grade, and all of those it may share by upgrade.
func (r *repair) companies(w way, trim runs.Problem, k ident.Release) []company {
	out := []company{{words: " on runs of its own"}}
	own, wide, paper := map[int]bool{}, map[int]bool{}, map[int]bool{}
	grades := map[ident.Grade]runs.Grade{}
	for _, g := range trim.Grades {
		grades[g.Grade] = g
	}
	var mine runs.Order
	for _, o := range trim.Orders {
		if o.Order == k.String() {
			mine = o
		}
	}
	var alone []ident.Release
	for _, o := range trim.Orders {
		if o.Grade == mine.Grade && o.Order != mine.Order && r.waits(o.Order) {
			if other, err := ident.ParseRelease(o.Order); err == nil {
				alone = append(alone, other)
			}
		}
	}
	if len(alone) > 0 {
		out = append(out, company{words: " with orders that wait for a partner", add: alone})
	}
	for i, run := range w.runs {
		if i < r.fixedRuns() {
			continue
		}
		same := run.Grade == mine.Grade
		up := !mine.UpgradeBarred && slices.Contains(grades[mine.Grade].MayUpgradeTo, run.Grade)
		down := slices.Contains(grades[run.Grade].MayUpgradeTo, mine.Grade)
		if same || up || down {
			wide[i] = true
		}
		if same {
			own[i] = true
		}
		if shared(grades[mine.Grade], grades[run.Grade]) {
			paper[i] = true
		}
		if (same || up) && len(out) < mostPartners {
			out = append(out, company{words: fmt.Sprintf(" with run %d", run.Seq), free: map[int]bool{i: true}})
		}
	}
	if len(own) > 1 {
		out = append(out, company{words: " with its grade cut anew", free: own, add: alone})
	}
	if len(wide) > len(own) {
		out = append(out, company{words: " with its grade and those that may be made on it cut anew", free: wide, add: alone})
	}
	if len(paper) > len(wide) && len(paper) <= mostPaperRuns {
		out = append(out, company{words: " with all that draws on its papers cut anew", free: paper, add: alone})
	}
	return out
}

// mostPaperRuns bounds the runs cut anew because they draw on the same papers.
const mostPaperRuns = 60

// shared reports whether two grades hold a paper in common.
func shared(a, b runs.Grade) bool {
	return slices.ContainsFunc(a.Plies, func(x runs.Ply) bool {
		return slices.ContainsFunc(b.Plies, func(y runs.Ply) bool { return x.Paper == y.Paper })
	})
}

// when says where and when a way's order is made.
func (r *repair) when(ctx context.Context, w way) string {
	p, _, err := r.clocked(ctx, w)
	if err != nil {
		return ""
	}
	run := runOf(p, w.about)
	if run == nil {
		return ""
	}
	x := wordsOf(r.Book)
	return fmt.Sprintf(" on %s at %s", x.width(run.Web), x.clock(startsOf(p)[run.Seq]))
}

// slotWords says what a planner asks of a slot: length, trim, adhesive, and by
// when the sheets must leave the corrugator.
func (r *repair) slotWords(p *plan.Plan, k ident.Release) string {
	run := runOf(p, k)
	if run == nil {
		return ""
	}
	x := wordsOf(r.Book)
	s := fmt.Sprintf("%s with %s of trim", x.metres(run.Length), x.width(run.Trim))
	for _, t := range p.Clock.Runs {
		if t.Run == run.Seq && t.ChangeWhy != "" {
			s += fmt.Sprintf(", after %s (%s)", t.ChangeWhy, minutes(t.Change))
		}
	}
	l := r.Event.Line
	if l.Key != k {
		l, _ = lineOf(r.Book, k)
	}
	if a := itemOf(r.Book, l.Item).Adhesive; a != "" {
		s += ", adhesive " + a
	}
	if exit, _ := exitOf(p, k); !exit.IsZero() {
		s += ", off the corrugator by " + x.clock(exit)
	}
	return s
}

func exitOf(p *plan.Plan, k ident.Release) (time.Time, quantity.Minutes) {
	for _, f := range p.Clock.Finishes {
		if f.Release == k {
			return f.LatestExit, f.Late
		}
	}
	return time.Time{}, 0
}

// tooLate says why no answer has the rush order in time; "" when one has.
func (r *repair) tooLate(res Result) string {
	k := r.Event.Line.Key
	x := wordsOf(r.Book)
	var why string
	for _, a := range res.Answers[1:] {
		exit, late := exitOf(a.Plan, k)
		if late <= 0 && !exit.IsZero() {
			return ""
		}
		route := ""
		for _, j := range a.Plan.Clock.Jobs {
			if j.Release == k && j.Step == 1 {
				route = " by way of " + string(j.Machine)
			}
		}
		if a := itemOf(r.Book, r.Event.Line.Item).Adhesive; a != "" {
			route += ", its adhesive being " + a
		}
		if why == "" {
			why = fmt.Sprintf("%s cannot be in time: it must leave the corrugator by %s%s", k, x.clock(exit), route)
			if !exit.After(r.Now) {
				why += fmt.Sprintf(", and it is %s", x.clock(r.Now))
			} else {
				why += fmt.Sprintf("; the soonest that was found is %s late", span(late))
			}
		}
	}
	if why == "" {
		return fmt.Sprintf("%s has no run that could make it", k)
	}
	return why
}
