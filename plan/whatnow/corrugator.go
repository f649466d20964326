package whatnow

import (
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// corrugatorDown lets the runs wait, brings those of orders that become late
// forward, and sequences the machines behind anew.
func (r *repair) corrugatorDown(ctx context.Context) (nothing way, ways []way, err error) {
	nothing = r.stopped()
	if ways, err = r.hurried(ctx, nothing); err != nil {
		return nothing, nil, err
	}
	anew := nothing
	anew.title, anew.leaves = "Keep the runs, sequence the machines anew behind them", true
	return nothing, append(ways, anew, r.reordered(nothing, "Sequence runs and machines anew")), nil
}

// reordered is the way with the runs behind the fixed front, and the machines,
// sequenced anew.
func (r *repair) reordered(w way, title string) way {
	w.title, w.leaves, w.ordered, w.fixed = title, true, true, r.fixedRuns()
	return w
}

// mostHurried is how many late orders are brought forward.
const mostHurried = 4

// hurried brings the runs of late orders forward, one order after the other, to
// the place where the whole is cheapest; and the same with the machines anew.
func (r *repair) hurried(ctx context.Context, w way) ([]way, error) {
	p, cost, err := r.clocked(ctx, w)
	if err != nil {
		return nil, err
	}
	var brought []ident.Release
	best, least := w, cost.Total
	for i, l := range append(against(fates(r.Plan), p), lateIn(p)...) {
		if i >= mostHurried || ctx.Err() != nil {
			break
		}
		if slices.Contains(brought, l.Release) {
			continue
		}
		if c, total, ok := r.forward(ctx, best, l.Release, least); ok {
			best, least, brought = c, total, append(brought, l.Release)
		}
	}
	if len(brought) == 0 {
		return nil, nil
	}
	best.title = fmt.Sprintf("Bring %s forward on the corrugator", list(brought))
	anew := best
	anew.title, anew.leaves = best.title+", and sequence the machines anew", true
	return []way{best, anew}, nil
}

func list(rs []ident.Release) string {
	s := ""
	for i, r := range rs {
		switch {
		case i > 0 && i == len(rs)-1:
			s += " and "
		case i > 0:
			s += ", "
		}
		s += r.String()
	}
	return s
}

// forward puts the runs of an order at an earlier place, where that is cheaper.
func (r *repair) forward(ctx context.Context, w way, k ident.Release, had quantity.Money) (best way, cost quantity.Money, ok bool) {
	var mine, rest []runs.Run
	last := 0
	for _, run := range w.runs {
		if slices.Contains(ordersOf(run), k) && len(rest)+len(mine) >= r.fixedRuns() {
			mine = append(mine, run)
			last = len(rest)
			continue
		}
		rest = append(rest, run)
	}
	var tries []way
	for _, at := range r.gaps(rest, mine) {
		if len(mine) == 0 || at > last {
			break
		}
		w.runs = slices.Insert(slices.Clone(rest), at, mine...)
		tries = append(tries, w)
	}
	if best, cost, ok = r.least(ctx, tries); !ok || cost >= had {
		return way{}, had, false
	}
	return best, cost, true
}
