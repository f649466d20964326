package whatnow

import (
	"cmp"
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

// slot is a set of runs that makes an order, with what the board costs.
type slot struct {
	title string
	with  []runs.Run // the whole list
	mine  []int      // places in it of the runs that make the order
	board quantity.Money
}

// mostSlots is how many sets of runs get their best place in the sequence sought.
const mostSlots = 4

// slots returns the cheapest ways of giving an order sheets. The board's cost
// decides which sets of runs are tried; the clock decides where they stand.
func (r *repair) slots(ctx context.Context, w way, k ident.Release, verb string) (ways []way, err error) {
	g, err := r.ready(w)
	if err != nil {
		return nil, err
	}
	trim := g.trim()
	var found []slot
	for _, c := range r.companies(w, trim, k) {
		if ctx.Err() != nil {
			break
		}
		fresh, err := r.recut(ctx, w.book, w.choices, w.runs, c.free, append(c.add, k)...)
		if err != nil {
			r.out = append(r.out, Refused{Release: k, Way: verb + c.words, Reason: plainly(err)})
			continue
		}
		s := slot{title: verb + c.words}
		s.with, _ = spliced(w.runs, c.free, fresh)
		for i, run := range s.with {
			if slices.Contains(ordersOf(run), k) {
				s.mine = append(s.mine, i)
			}
		}
		s.board = runs.Of(trim.Admitting(wanting(trim, s.with)), wanting(trim, s.with)).Totals.Cost
		if beside := partners(s.with, k); beside != "" {
			s.title = fmt.Sprintf("%s beside %s", verb, beside)
		}
		found = append(found, s)
	}
	alone, err := r.lateness(ctx, w)
	if err != nil {
		return nil, err
	}
	family := w.family
	slices.SortStableFunc(found, func(a, b slot) int { return cmp.Compare(a.board, b.board) })
	for _, s := range found[:min(len(found), mostSlots)] {
		if ctx.Err() != nil && len(ways) > 0 {
			break
		}
		w.family = cmp.Or(family, s.title)
		best, ok := r.placed(ctx, w, s)
		if !ok {
			continue
		}
		ways = append(ways, best)
		if _, m, err := r.clocked(ctx, best); err == nil && m.Late > alone+noticed {
			again := r.reordered(best, s.title)
			again.title += r.when(ctx, again) + ", runs and machines sequenced anew"
			ways = append(ways, again)
		}
	}
	if len(ways) == 0 {
		return nil, nil
	}
	first := r.promising(ctx, ways)[0]
	if first.ordered {
		return ways, nil
	}
	if more, err := r.hurried(ctx, first); err == nil && len(more) > 0 {
		more[0].title = first.title + ", and b" + more[0].title[1:]
		ways = append(ways, more[0])
	}
	return ways, nil
}

// noticed is the money from which a way counts as making others late.
const noticed = 0.5

// lateness is what is late before a way gives anything a run.
func (r *repair) lateness(ctx context.Context, w way) (quantity.Money, error) {
	_, m, err := r.clocked(ctx, w)
	return m.Late, err
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

// placed moves the order's runs to the places of the sequence that are worth
// trying, and keeps the cheapest.
func (r *repair) placed(ctx context.Context, w way, s slot) (best way, ok bool) {
	var rest, mine []runs.Run
	for i, run := range s.with {
		if slices.Contains(s.mine, i) {
			mine = append(mine, run)
		} else {
			rest = append(rest, run)
		}
	}
	w.title, w.runs, w.slot = s.title, s.with, true
	tries := []way{w}
	for _, at := range r.gaps(rest, mine) {
		w.runs = slices.Insert(slices.Clone(rest), at, mine...)
		tries = append(tries, w)
	}
	best, _, ok = r.least(ctx, tries)
	if ok {
		best.title += r.when(ctx, best)
	}
	return best, ok
}

// mostGaps is how many places of the sequence are tried for a set of runs.
const mostGaps = 10

// gaps are the places where the grade changes, from the end of the frozen front
// on, the places around runs of the same grade, and the end.
func (r *repair) gaps(rest, mine []runs.Run) (out []int) {
	first := r.fixedRuns()
	for i := first; i <= len(rest) && len(out) < mostGaps; i++ {
		edge := i == first || i == len(rest) || rest[i-1].Grade != rest[i].Grade
		near := len(mine) > 0 && (i > 0 && rest[i-1].Grade == mine[0].Grade || i < len(rest) && rest[i].Grade == mine[0].Grade)
		if edge || near {
			out = append(out, i)
		}
	}
	return out
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
