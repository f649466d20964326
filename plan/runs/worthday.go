package runs

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// later prices the webs that an order may run on besides were it due a day later:
// those whose paper is still on the road.
func (c *changes) later(webs []quantity.Length) {
	if len(webs) == 0 {
		return
	}
	o := c.o
	o.BarredWebs = slices.DeleteFunc(slices.Clone(o.BarredWebs), func(w quantity.Length) bool { return slices.Contains(webs, w) })
	col := c.best(o, c.p.allowed(o))
	if !slices.Contains(webs, col.web) {
		return
	}
	words := fmt.Sprintf("%s due a day later could wait for the paper on its way: %s", o.Order, c.way("run", col))
	c.add("due_d", 1, words, c.saving(col), col, func(_ *Problem, own *Order) { own.BarredWebs = o.BarredWebs })
}

// daysTried is for how many orders a day later, and for how many a day sooner, the runs are sequenced anew.
const daysTried = 4

// days prices a day more and a day less until the due time of the orders it is worth
// most to, where the problem prices lateness: in the plan's sequence, and in one
// sought anew, which is weighed without the day as well. The bound does not
// speak of lateness, so nothing of it is sure.
func (p Problem) days(ctx context.Context, a Answer, opt ExplainOptions) []Detail {
	out := []Detail{}
	if p.Begins.IsZero() {
		return out
	}
	for _, by := range []int{1, -1} {
		list := p.standingDays(a, by)
		for _, d := range list[:min(len(list), daysTried)] {
			if ctx.Err() != nil {
				return out
			}
			p.tryDay(a, &d, opt)
			if float64(d.Saves)*float64(by) > 1e-6 {
				out = append(out, d)
			}
		}
	}
	return out
}

// dayed is the problem with an order's due time moved by days.
func (p Problem) dayed(order string, by int) Problem {
	p.Orders = slices.Clone(p.Orders)
	for k := range p.Orders {
		if o := &p.Orders[k]; o.Order == order {
			o.Due = o.Due.AddDate(0, 0, by)
		}
	}
	return p
}

// standingDays are the days that change what the plan costs in the sequence it has,
// the dearest first. Nobody can ask for an order before the first run begins.
func (p Problem) standingDays(a Answer, by int) []Detail {
	var out []Detail
	for _, o := range p.Orders {
		if o.LateCost <= 0 || o.Due.IsZero() || o.Due.AddDate(0, 0, by).Before(p.Begins) {
			continue
		}
		d := Detail{Order: o.Order, Field: "due_d", Change: float64(by), Words: o.Order + " due a day later would be less late, or in time"}
		if by < 0 {
			d.Words = o.Order + " due a day sooner would be late where the runs stand"
		}
		if d.About = a.Totals.Cost - p.dayed(o.Order, by).again(a, slices.Clone(a.Runs)); d.About != 0 {
			out = append(out, d)
		}
	}
	slices.SortStableFunc(out, func(x, y Detail) int { return cmp.Compare(y.About*quantity.Money(by), x.About*quantity.Money(by)) })
	return out
}

// tryDay sequences the runs anew with a day and without it.
func (p Problem) tryDay(a Answer, d *Detail, opt ExplainOptions) {
	q := p.dayed(d.Order, int(d.Change))
	with, without := slices.Clone(a.Runs), slices.Clone(a.Runs)
	q.inSequence(with, opt.Seed)
	p.inSequence(without, opt.Seed)
	d.Tried = true
	d.Saves = min(a.Totals.Cost, p.again(a, without), p.again(a, with)) - min(a.Totals.Cost-d.About, q.again(a, with))
}

// again is the cost of an answer with its runs in another sequence.
func (p Problem) again(a Answer, list []Run) quantity.Money {
	a.Runs, a.Orders = list, slices.Clone(a.Orders)
	for i := range a.Orders {
		a.Orders[i].Runs = nil
	}
	return p.retotal(a).Totals.Cost
}
