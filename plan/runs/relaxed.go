package runs

import (
	"context"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/combine"
)

// Relaxed is what orders cost where runs need not be whole: below every plan of
// the same orders, and without a search's chance in it, so that two problems
// can be set against each other closer than by their plans.
type Relaxed struct {
	Cost  quantity.Money
	Bound quantity.Money                        // Cost but for rounding; no plan of all orders but Left costs less
	Left  []string                              // orders that no legal run holds, in the problem's sequence
	Web   map[quantity.Length]quantity.Distance // run on each width
	Good  quantity.Area                         // of good sheets
	Done  bool                                  // not stopped before its end
}

// Relax solves the relaxation that the bound of a plan begins from. Paper is in
// it, less the credit of waste, and minutes; a small partner may run along all of
// a great order, what is too much of it being waste. Changes between runs, splits
// and lateness are not in it, nor are frozen and pinned runs. Cancelling ctx is a
// normal end. It returns fault.Violations for a problem that cannot be.
func Relax(ctx context.Context, p Problem) (Relaxed, error) {
	p.Frozen, p.Pinned = nil, nil
	if err := p.Validate(); err != nil {
		return Relaxed{}, err
	}
	m := translate(p)
	r := combine.Relax(&m.problem, func() bool { return ctx.Err() != nil })
	out := Relaxed{Cost: quantity.Money(r.Cost), Bound: quantity.Money(r.Bound), Web: map[quantity.Length]quantity.Distance{}, Good: quantity.Area(r.Good * squareNM), Done: r.Done}
	left := map[int]bool{}
	for _, i := range r.Left {
		left[m.items[i]] = true
	}
	for i, o := range p.Orders {
		if left[i] || m.barred[i] != "" {
			out.Left = append(out.Left, o.Order)
		}
	}
	for k, v := range r.Use {
		out.Web[quantity.Length(m.problem.Stocks[k].Width)] += quantity.Distance(v)
	}
	return out, nil
}
