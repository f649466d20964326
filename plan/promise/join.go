package promise

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// joined puts the release beside other orders on their runs: on the run's own
// web or on another of the grade, for as many outs as are legal. A run that is
// longer than wanted is parted in two, the first of them with the release; a
// shorter one gives what it can, and a run of its own right behind it the rest.
func (f *finder) joined() (out []candidate) {
	may := map[string]runs.Grade{}
	for _, g := range f.grades() {
		may[string(g.Grade)] = g
	}
	for k := f.Going; k < len(f.Clock.Runs); k++ {
		g, ok := may[string(f.Clock.Runs[k].Grade)]
		if !ok {
			continue
		}
		webs := g.Webs
		if webs == nil {
			webs = f.Trim.Corrugator.Webs
		}
		for _, web := range webs {
			out = append(out, f.join(k, web)...)
		}
	}
	return out
}

func (f *finder) join(k int, web quantity.Length) (out []candidate) {
	r := f.Clock.Runs[k]
	if slices.Contains(f.order.BarredWebs, web) {
		return nil
	}
	for outs := 1; outs <= f.mostOuts(web); outs++ {
		with, ok := f.beside(r, web, outs)
		if !ok {
			continue
		}
		rejects := f.Trim.Corrugator.RejectCutsPerLane
		whole := (quantity.Length((f.order.Sheets+outs-1)/outs+rejects) * f.order.Chop).Distance()
		most := int(float64(f.order.Sheets) * (1 + f.order.OverPct/100))
		gives := outs * max(0, int(int64(r.Length)/int64(f.order.Chop))-rejects)
		c := candidate{joins: r.Seq, frozen: k < f.Front, exit: f.ends[k]}
		replaced := func(number int, by ...runs.Run) func() ([]runs.Run, []int) {
			return func() ([]runs.Run, []int) {
				was := numbers(f.Clock.Runs)
				if len(by) > 1 {
					was = slices.Insert(was, k+1, number)
				}
				return slices.Replace(slices.Clone(f.Clock.Runs), k, k+1, by...), was
			}
		}
		switch {
		case gives > most:
			with.Length = whole
			rest := f.rest(r, whole)
			c.build = replaced(r.Seq, with, rest)
			c.exit = f.startOf(k).Add(f.minutes(with).Duration())
			c.cost = f.paperOf(with) + f.paperOf(rest) - f.paperOf(r)
		case gives >= f.order.Sheets:
			c.build = replaced(0, with)
			c.cost = f.paperOf(with) - f.paperOf(r)
		default:
			more, ok := f.remainder(r, web, f.order.Sheets-gives)
			if gives <= 0 || !ok {
				continue
			}
			c.build = replaced(0, with, more)
			c.cost = f.paperOf(with) + f.paperOf(more) - f.paperOf(r)
			c.exit = c.exit.Add(f.minutes(more).Duration())
		}
		out = append(out, c)
	}
	return out
}

// remainder is a run of the release's own for what a partner's run does not
// give: on the run's grade and web, or else on the first of its webs that is legal.
func (f *finder) remainder(r runs.Run, web quantity.Length, sheets int) (runs.Run, bool) {
	for _, g := range f.grades() {
		if g.Grade != r.Grade {
			continue
		}
		for _, w := range append([]quantity.Length{web}, g.Webs...) {
			if more, ok := f.ownRun(g, w, sheets); ok {
				return more, true
			}
		}
	}
	return r, false
}

// paperOf is what a run's paper costs.
func (f *finder) paperOf(r runs.Run) quantity.Money {
	return quantity.Money(f.prices[r.Grade] * r.Web.Metres() * (r.Length + f.Trim.Corrugator.RunChangeLoss).Metres())
}

// rest is what remains of a run after its first stretch, so long that each of
// its orders still gets its sheets: both parts lose their first rejects.
func (f *finder) rest(r runs.Run, first quantity.Distance) runs.Run {
	rejects := f.Trim.Corrugator.RejectCutsPerLane
	need := f.Trim.Corrugator.MinRun
	for _, l := range r.Lanes {
		have := max(0, int(int64(first)/int64(l.Chop))-rejects)
		whole := max(0, int(int64(r.Length)/int64(l.Chop))-rejects)
		if cuts := whole - have; cuts > 0 {
			need = max(need, (quantity.Length(cuts+rejects) * l.Chop).Distance())
		}
	}
	r.Length = need
	return r
}

// beside lays the release's lane next to the run's others, on a level that cuts
// its chop or a free one; false when no place across the web is legal.
func (f *finder) beside(r runs.Run, web quantity.Length, outs int) (runs.Run, bool) {
	trim := web - quantity.Length(outs)*f.order.Slit
	for _, l := range r.Lanes {
		trim -= quantity.Length(l.Outs) * l.Slit
	}
	if limit := f.Trim.Corrugator.SideTrimMax; trim < 2*f.Trim.Corrugator.SideTrimMin || limit != nil && trim > 2**limit {
		return r, false
	}
	levels := max(f.Trim.Corrugator.KnifeLevels, 1)
	for level := 1; level <= levels; level++ {
		lane := runs.Lane{Order: f.order.Order, Level: level, Outs: outs, Slit: f.order.Slit, Chop: f.order.Chop, Upgraded: r.Grade != f.order.Grade}
		for at := len(r.Lanes); at >= 0; at-- {
			with := r
			with.Web, with.Lanes = web, slices.Insert(slices.Clone(r.Lanes), at, lane)
			if f.legal(with) {
				return with, true
			}
		}
	}
	return r, false
}

// legal judges one run by itself, whatever its orders' windows say.
func (f *finder) legal(r runs.Run) bool {
	one := f.Trim
	one.Orders = nil
	for _, l := range r.Lanes {
		if !slices.ContainsFunc(one.Orders, func(o runs.Order) bool { return o.Order == l.Order }) {
			one.Orders = append(one.Orders, f.orders[l.Order])
		}
	}
	r.Seq = 1
	one = one.Admitting([]runs.Run{r})
	return runs.Check(one, runs.Of(one, []runs.Run{r})) == nil
}
