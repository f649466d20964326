package promise

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// grades that the release may be made on, its own first.
func (f *finder) grades() []runs.Grade {
	var out []runs.Grade
	for _, g := range f.Trim.Grades {
		if g.Grade == f.order.Grade {
			out = append(out, g)
		}
	}
	if len(out) == 0 || f.order.UpgradeBarred {
		return out
	}
	for _, g := range f.Trim.Grades {
		if slices.Contains(out[0].MayUpgradeTo, g.Grade) {
			out = append(out, g)
		}
	}
	return out
}

// ownRun is the shortest run of the release alone on a web; false when no
// number of outs is legal there.
func (f *finder) ownRun(g runs.Grade, web quantity.Length, sheets int) (runs.Run, bool) {
	for outs := f.mostOuts(web); outs >= 1; outs-- {
		cuts := (sheets+outs-1)/outs + f.Trim.Corrugator.RejectCutsPerLane
		r := runs.Run{Seq: 1, Grade: g.Grade, Web: web, Length: max((quantity.Length(cuts) * f.order.Chop).Distance(), f.Trim.Corrugator.MinRun),
			Lanes: []runs.Lane{{Order: f.order.Order, Level: 1, Outs: outs, Slit: f.order.Slit, Chop: f.order.Chop, Upgraded: g.Grade != f.order.Grade}}}
		one := f.Trim
		one.Orders = []runs.Order{f.order}
		one = one.Admitting([]runs.Run{r})
		if runs.Check(one, runs.Of(one, []runs.Run{r})) == nil {
			return r, true
		}
	}
	return runs.Run{}, false
}

func (f *finder) mostOuts(web quantity.Length) int {
	most := int((web - 2*f.Trim.Corrugator.SideTrimMin) / f.order.Slit)
	if m := f.Trim.Corrugator.MaxOuts; m != nil {
		most = min(most, *m)
	}
	return most
}

// alone puts a run of the release's own at every place behind what is going, on
// the web that is cheapest there and on the one whose paper comes first.
func (f *finder) alone(list []runs.Run, was []int, sheets int) (out []candidate) {
	type own struct {
		run  runs.Run
		cost float64
	}
	var owns []own
	for _, g := range f.grades() {
		webs := g.Webs
		if webs == nil {
			webs = f.Trim.Corrugator.Webs
		}
		for _, web := range webs {
			if r, ok := f.ownRun(g, web, sheets); ok && !slices.Contains(f.order.BarredWebs, web) {
				owns = append(owns, own{r, f.prices[g.Grade] * web.Metres() * (r.Length + f.Trim.Corrugator.RunChangeLoss).Metres()})
			}
		}
	}
	slices.SortStableFunc(owns, func(a, b own) int { return cmp.Compare(a.cost, b.cost) })
	for place := f.Going; place <= len(list); place++ {
		if !f.worth(list, place) {
			continue
		}
		var first time.Time
		for _, o := range owns {
			c := candidate{frozen: place < f.Front, build: func() ([]runs.Run, []int) {
				return slices.Insert(slices.Clone(list), place, o.run), slices.Insert(slices.Clone(was), place, 0)
			}}
			with, _ := c.build()
			ready, lacking := f.paperFor(renumbered(with[:place+1]))
			at := later(f.startOf(min(place, len(f.ends))), ready[place+1].at)
			if lacking != "" || !first.IsZero() && !at.Before(first) {
				continue
			}
			c.exit, first = at.Add(f.minutes(o.run).Duration()), at
			c.cost = quantity.Money(o.cost) + f.changes(with, place)
			out = append(out, c)
		}
	}
	return out
}

// nearPlaces is how many places behind the front are all looked at; further on
// only those beside a run of a grade that the release may be made on.
const nearPlaces = 40

func (f *finder) worth(list []runs.Run, place int) bool {
	if place < f.Front+nearPlaces || place == len(list) {
		return true
	}
	for _, g := range f.grades() {
		if list[place-1].Grade == g.Grade || list[place].Grade == g.Grade {
			return true
		}
	}
	return false
}

func price(g runs.Grade) float64 {
	if g.PricePerM2 == nil {
		return 1
	}
	return float64(*g.PricePerM2)
}
