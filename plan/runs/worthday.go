package runs

import (
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

// days prices a day more until the due time of each order that is late, where the
// problem prices lateness: in the plan's sequence, and in one sought anew. The
// bound does not speak of lateness, so nothing of it is sure.
func (p Problem) days(a Answer, opt ExplainOptions) []Detail {
	out := []Detail{}
	if p.Begins.IsZero() {
		return out
	}
	for k, o := range p.Orders {
		if o.LateCost <= 0 || o.Due.IsZero() {
			continue
		}
		q := p
		q.Orders = slices.Clone(p.Orders)
		q.Orders[k].Due = o.Due.AddDate(0, 0, 1)
		same := a.Totals.Cost - q.again(a, slices.Clone(a.Runs))
		anew := slices.Clone(a.Runs)
		q.inSequence(anew, opt.Seed)
		before := slices.Clone(a.Runs)
		p.inSequence(before, opt.Seed)
		was := min(a.Totals.Cost, p.again(a, before))
		if saves := max(same, was-q.again(a, anew)); saves > 1e-6 {
			out = append(out, Detail{Order: o.Order, Field: "due_d", Change: 1, Words: o.Order + " due a day later would be less late", About: same, Tried: true, Saves: saves})
		}
	}
	return out
}

// again is the cost of an answer with its runs in another sequence.
func (p Problem) again(a Answer, list []Run) quantity.Money {
	a.Runs, a.Orders = list, slices.Clone(a.Orders)
	for i := range a.Orders {
		a.Orders[i].Runs = nil
	}
	return p.retotal(a).Totals.Cost
}
