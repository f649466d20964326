package runs

import (
	"maps"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/combine"
)

func sortedWebs(m map[quantity.Length]quantity.Distance) []quantity.Length {
	return slices.Sorted(maps.Keys(m))
}

// answer puts the solver's result into the words of the trade, in sequence.
func (m *translation) answer(res combine.Result, seed uint64) Answer {
	a := Answer{Runs: []Run{}, Orders: []Made{}, Unplanned: []Unplanned{}}
	for _, r := range res.Runs {
		a.Runs = append(a.Runs, m.run(r))
	}
	m.p.inSequence(a.Runs, seed)
	gone := map[int]string{}
	for i, why := range m.barred {
		gone[i] = why
	}
	for _, item := range res.Left {
		gone[m.items[item]] = m.p.noRun(m.p.Orders[m.items[item]])
	}
	a.Unpinned = slices.Clone(m.unheld)
	for _, k := range res.Unheld {
		a.Unpinned = append(a.Unpinned, m.held[k])
	}
	slices.Sort(a.Unpinned)
	for i, o := range m.p.Orders {
		if why, left := gone[i]; left {
			a.Unplanned = append(a.Unplanned, Unplanned{o.Order, why})
			continue
		}
		least, most := o.window()
		a.Orders = append(a.Orders, Made{Order: o.Order, Wanted: o.Sheets, Least: least, Most: most})
	}
	a.Totals.Bound = quantity.Money(res.Bound)
	switch res.Status {
	case combine.Optimal:
		a.Totals.Status = Optimal
	case combine.RoundLimit:
		a.Totals.Status = RoundLimit
	default:
		a.Totals.Status = Stopped
	}
	return m.p.retotal(a)
}

func (m *translation) run(r combine.Run) Run {
	s := m.problem.Stocks[r.Stock]
	out := Run{Grade: m.p.Grades[s.Kind].Grade, Web: quantity.Length(s.Width), Length: quantity.Distance(r.Length), Trim: quantity.Length(s.Width)}
	for _, l := range r.Lanes {
		o := m.p.Orders[m.items[l.Item]]
		cuts := int(r.Length / int64(o.Chop))
		out.Lanes = append(out.Lanes, Lane{
			Order: o.Order, Level: l.Level + 1, Outs: l.Outs, Slit: o.Slit, Chop: o.Chop, Cuts: cuts,
			Sheets: l.Outs * max(0, cuts-m.p.Corrugator.RejectCutsPerLane), Upgraded: o.Grade != out.Grade,
		})
		out.Trim -= quantity.Length(l.Outs) * o.Slit
	}
	return out
}

// Resequence returns the answer with its runs in another order; order holds the
// present places (from 0) in their new sequence. Costs of changes and totals follow.
func Resequence(p Problem, a Answer, order []int) Answer {
	list := make([]Run, len(a.Runs))
	for to, from := range order {
		list[to] = a.Runs[from]
	}
	a.Runs = list
	a.Orders = slices.Clone(a.Orders)
	return p.retotal(a)
}

// retotal numbers the runs and works out orders and totals anew; bound, seconds and status stay.
func (p Problem) retotal(a Answer) Answer {
	place := map[string]int{}
	for i := range a.Orders {
		place[a.Orders[i].Order] = i
		a.Orders[i].Planned, a.Orders[i].Runs = 0, []int{}
	}
	kept := a.Totals
	t := Totals{Bound: kept.Bound, Seconds: kept.Seconds, Status: kept.Status}
	for i := range a.Runs {
		r := &a.Runs[i]
		r.Seq = i + 1
		for _, l := range r.Lanes {
			if k, in := place[l.Order]; in { // an order whose frozen runs do not suffice is unplanned
				a.Orders[k].Planned += l.Sheets
				a.Orders[k].Runs = append(a.Orders[k].Runs, r.Seq)
			}
			t.Sheet += quantity.Area(float64(l.Sheets) * l.Slit.Metres() * l.Chop.Metres())
		}
		t.Length += r.Length
		t.Web += quantity.Area(r.Web.Metres() * r.Length.Metres())
		t.Trim += quantity.Area(r.Trim.Metres() * r.Length.Metres())
	}
	t.Runs = len(a.Runs)
	if t.Web > 0 {
		t.WastePct = 100 * (1 - float64(t.Sheet/t.Web))
	}
	p.price(a, &t)
	a.Totals = t
	return a
}
