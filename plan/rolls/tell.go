package rolls

import (
	"cmp"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// tell writes a shelf's rolls into the answer.
func (t *task) tell(a *Answer) {
	last := make([]use, len(t.rolls))
	spliced := make([]int, len(t.rolls))
	for _, u := range t.best.uses {
		r, c := t.rolls[u.roll], t.runs[u.run].cells[u.cell]
		n := &a.Needs[c.need]
		v := RollUse{Roll: r.roll, Truck: r.truck, Nth: r.nth, At: quantity.Distance(u.at), Metres: quantity.Distance(u.metres), Splice: u.splice}
		if u.from >= 0 && u.from != c.lane {
			v.From = t.lanes[u.from]
		}
		n.Rolls = append(n.Rolls, v)
		last[u.roll] = u
		if u.splice {
			spliced[u.roll]++
		}
	}
	for i, r := range t.rolls {
		if !t.best.touched[i] {
			continue
		}
		u := last[i]
		v := Rest{
			Roll: r.roll, Truck: r.truck, Nth: r.nth, Paper: t.paper, Web: t.web, After: t.runs[u.run].seq, Splice: spliced[i],
			Left: quantity.Distance(t.best.left[i]), Worth: quantity.Money(float64(t.best.left[i]) / metre * t.perMetre),
		}
		switch {
		case v.Left == 0:
			v.Fate = UsedUp
		case t.best.wasted[i]:
			v.Fate = Strip
		case t.best.stand[i] >= 0:
			v.Fate, v.Stand = OnStand, t.lanes[t.best.stand[i]]
		default:
			v.Fate = Keep
		}
		a.Rests = append(a.Rests, v)
	}
	a.Uncovered += quantity.Distance(t.best.uncovered)
	a.LeastUncovered += quantity.Distance(t.least.uncovered)
	a.Splices += t.best.splices
	a.Mounts += t.best.mounts
	a.Cost += quantity.Money(t.best.cost)
	if t.best.uncovered-t.least.uncovered > tolerance || t.best.cost > t.least.cost+1e-9 {
		a.Status = RoundLimit
	}
}

func sortRests(list []Rest) {
	slices.SortStableFunc(list, func(a, b Rest) int {
		return cmp.Or(cmp.Compare(a.Paper, b.Paper), cmp.Compare(a.Web, b.Web), cmp.Compare(a.After, b.After), cmp.Compare(a.Roll, b.Roll), cmp.Compare(a.Truck, b.Truck), cmp.Compare(a.Nth, b.Nth))
	})
}
