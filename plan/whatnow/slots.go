package whatnow

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// slot is a set of runs that makes an order, with what the board costs.
type slot struct {
	title string
	with  []runs.Run // the whole list
	mine  []int      // places in it of the runs that make the order
	board quantity.Money
	err   error
}

// mostSlots is how many sets of runs get their best place in the sequence sought.
const mostSlots = 4

// noticed is the money from which a way counts as making others late.
const noticed = 0.5

// slots returns the cheapest ways of giving an order sheets. The board's cost
// decides which sets of runs are tried; the clock decides where they stand.
// Where the cheapest makes something late, it is tried with everything behind
// the frozen front sequenced anew, or with what is late brought forward.
func (r *repair) slots(ctx context.Context, w way, k ident.Release, verb string) (ways []way, err error) {
	_, alone, err := r.clocked(ctx, w)
	if err != nil {
		return nil, err
	}
	found, err := r.found(ctx, w, k, verb)
	if err != nil {
		return nil, err
	}
	family := w.family
	for _, s := range found[:min(len(found), mostSlots)] {
		if ctx.Err() != nil && len(ways) > 0 {
			break
		}
		w.family = cmp.Or(family, s.title)
		if best, ok := r.placed(ctx, w, s); ok {
			ways = append(ways, best)
		}
	}
	best, _, ok := r.least(ctx, ways)
	if !ok {
		return ways, nil
	}
	if _, m, err := r.clocked(ctx, best); err == nil && m.Late > alone.Late+noticed && ctx.Err() == nil {
		again := r.reordered(best, best.bare)
		again.title += r.when(ctx, again) + ", runs and machines sequenced anew"
		ways = append(ways, again)
		if more, err := r.hurried(ctx, best); err == nil && len(more) > 0 {
			more[0].title = best.title + ", and b" + more[0].title[1:]
			ways = append(ways, more[0])
		}
	}
	return ways, nil
}

// found cuts an order with each company anew, and returns the sets of runs that
// make it, the cheapest board first.
func (r *repair) found(ctx context.Context, w way, k ident.Release, verb string) ([]slot, error) {
	g, err := r.ready(w)
	if err != nil {
		return nil, err
	}
	trim := g.trim()
	companies := r.companies(w, trim, k)
	all := make([]slot, len(companies))
	atOnce(len(all), func(i int) { all[i] = r.cutWith(ctx, w, trim, companies[i], k, verb) })
	var out []slot
	for _, s := range all {
		if s.err != nil {
			r.out = append(r.out, Refused{Release: k, Way: s.title, Reason: plainly(s.err)})
			continue
		}
		out = append(out, s)
	}
	slices.SortStableFunc(out, func(a, b slot) int { return cmp.Compare(a.board, b.board) })
	return out, nil
}

// cutWith cuts an order with one company anew.
func (r *repair) cutWith(ctx context.Context, w way, trim runs.Problem, c company, k ident.Release, verb string) slot {
	s := slot{title: verb + c.words}
	fresh, err := r.recut(ctx, w.book, w.choices, w.runs, c.free, slices.Concat(c.add, []ident.Release{k})...)
	if err != nil {
		s.err = err
		return s
	}
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
	return s
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
	w.title, w.bare, w.runs, w.slot = s.title, s.title, s.with, true
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
