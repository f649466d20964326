package runs

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// notGiven is the reason for an order that the given runs do not make.
const notGiven = "none of the runs given makes it; plan it anew, or give it a run"

// Of returns the answer that the given runs are, in their sequence: cuts and
// sheets of each lane, trim, numbers, orders and totals are worked out anew.
// Orders without a lane are unplanned. The bound is 0: nothing was searched.
// Lanes of orders that p does not name must not be given.
func Of(p Problem, list []Run) Answer {
	a := Answer{Runs: slices.Clone(list), Orders: []Made{}, Unplanned: []Unplanned{}}
	made := map[string]bool{}
	for i := range a.Runs {
		a.Runs[i] = p.laidOut(a.Runs[i])
		for _, l := range a.Runs[i].Lanes {
			made[l.Order] = true
		}
	}
	for _, o := range p.Orders {
		if !made[o.Order] {
			a.Unplanned = append(a.Unplanned, Unplanned{o.Order, notGiven})
			continue
		}
		least, most := o.window()
		a.Orders = append(a.Orders, Made{Order: o.Order, Wanted: o.Sheets, Least: least, Most: most})
	}
	a.Totals.Status = Stopped
	return p.retotal(a)
}

// laidOut returns the run with cuts, sheets and trim as its length, web and outs give them.
func (p Problem) laidOut(r Run) Run {
	r.Trim, r.Lanes = r.Web, slices.Clone(r.Lanes)
	for k := range r.Lanes {
		l := &r.Lanes[k]
		l.Cuts = int(int64(r.Length) / int64(l.Chop))
		l.Sheets = l.Outs * max(0, l.Cuts-p.Corrugator.RejectCutsPerLane)
		r.Trim -= quantity.Length(l.Outs) * l.Slit
	}
	return r
}

// Admitting returns the problem with the windows, parts and barred webs of its
// orders widened so far that the given runs are legal: what people have decided
// already is priced, not refused.
func (p Problem) Admitting(list []Run) Problem {
	sheets, parts, webs := map[string]int{}, map[string]int{}, map[string][]quantity.Length{}
	for _, r := range list {
		for _, l := range p.laidOut(r).Lanes {
			sheets[l.Order] += l.Sheets
			parts[l.Order]++
			webs[l.Order] = append(webs[l.Order], r.Web)
		}
	}
	p.Orders = slices.Clone(p.Orders)
	for i := range p.Orders {
		o := &p.Orders[i]
		n, given := sheets[o.Order]
		if !given || o.Sheets == 0 {
			continue
		}
		share := 100 * float64(n) / float64(o.Sheets)
		o.UnderPct, o.OverPct = max(o.UnderPct, 100-share), max(o.OverPct, share-100)
		if o.MaxParts > 0 {
			o.MaxParts = max(o.MaxParts, parts[o.Order])
		}
		o.BarredWebs = slices.DeleteFunc(slices.Clone(o.BarredWebs), func(w quantity.Length) bool { return slices.Contains(webs[o.Order], w) })
	}
	return p
}
