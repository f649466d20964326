package whatnow

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/order"
)

// changed cuts the runs of an order that was changed or cancelled anew, alone
// or with its grade, and brings it forward where it would be late. Doing nothing
// makes the runs as they are: too many sheets, or too few.
func (r *repair) changed(ctx context.Context) (nothing way, ways []way, err error) {
	k := r.Event.Release
	if r.Event.Kind == Changed {
		k = r.Event.Line.Key
	}
	was, _ := lineOf(r.Book, k)
	is := r.Event.Line
	nothing = way{book: r.st.book, runs: r.st.runs, jobs: r.st.jobs, about: k}
	with := nothing
	x := wordsOf(r.Book)
	if r.Event.Kind == Cut {
		nothing.title = fmt.Sprintf("Do nothing: make %s all the same", k)
		nothing.note = "nobody has ordered it any more"
		is = was
		is.State = order.Closed
	} else {
		is.State = order.Open
		kept := is
		kept.Quantity = max(was.Quantity, is.Quantity)
		nothing.book = withLine(nothing.book, kept)
		nothing.title = fmt.Sprintf("Do nothing: make %s as it stands in the plan", k)
		if is.Quantity < was.Quantity {
			nothing.note = fmt.Sprintf("%s boxes more than are ordered now", x.Count(was.Quantity-is.Quantity))
		}
	}
	nothing.lines = []order.Line{is}
	with.book, with.lines, with.jobs = withLine(with.book, is), nothing.lines, r.st.jobs
	if r.Event.Kind == Cut {
		with.book, with.jobs = withoutLine(r.st.book, k), without(r.st.jobs, k)
	}
	free, all := r.runsOf(k)
	if len(free) > 0 || is.Quantity > was.Quantity {
		ways = append(ways, r.recutWith(ctx, with, free, k, "Cut its runs anew")...)
	}
	if len(all) > len(free) {
		ways = append(ways, r.recutWith(ctx, with, all, k, "Cut all runs of its grade anew")...)
	}
	if r.Event.Kind == Changed {
		if more, err := r.hurried(ctx, nothing); err == nil {
			ways = append(ways, more...)
		}
	}
	return nothing, ways, nil
}

// recutWith is anew for free runs with one more order in them.
func (r *repair) recutWith(ctx context.Context, w way, free map[int]bool, k ident.Release, title string) []way {
	fresh, err := r.recut(ctx, w.book, w.choices, w.runs, free, k)
	if err != nil {
		r.out = append(r.out, Refused{Release: k, Way: title, Reason: plainly(err)})
		return nil
	}
	return r.inPlace(ctx, w, free, fresh, title)
}

// inPlace is the way with fresh runs where the free ones stood; and the same
// with what becomes late brought forward.
func (r *repair) inPlace(ctx context.Context, w way, free map[int]bool, fresh []runs.Run, title string) []way {
	w.title, w.family = title, title
	w.runs, _ = spliced(w.runs, free, fresh)
	out := []way{w}
	if more, err := r.hurried(ctx, w); err == nil && len(more) > 0 {
		more[0].title = title + ", and b" + more[0].title[1:]
		out = append(out, more[0])
	}
	return out
}

// runsOf returns the places of an order's movable runs, and of those and all
// other movable runs of their grades.
func (r *repair) runsOf(k ident.Release) (own, grade map[int]bool) {
	own, grades := map[int]bool{}, map[ident.Grade]bool{}
	front := r.fixedRuns()
	for i, run := range r.st.runs {
		if i >= front && slices.Contains(ordersOf(run), k) {
			own[i], grades[run.Grade] = true, true
		}
	}
	grade = maps.Clone(own)
	for i, run := range r.st.runs {
		if i >= front && grades[run.Grade] {
			grade[i] = true
		}
	}
	return own, grade
}
