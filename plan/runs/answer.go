package runs

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/combine"
)

func sortedWebs(m map[quantity.Length]quantity.Distance) []quantity.Length {
	return slices.Sorted(maps.Keys(m))
}

// answer puts the solver's result into the words of the trade, in sequence.
func (m *translation) answer(res combine.Result) Answer {
	a := Answer{Runs: []Run{}, Orders: []Made{}, Unplanned: []Unplanned{}}
	for _, r := range res.Runs {
		a.Runs = append(a.Runs, m.run(r))
	}
	inSequence(m.p, a.Runs)
	gone := map[int]string{}
	for i, why := range m.barred {
		gone[i] = why
	}
	for _, item := range res.Left {
		gone[m.items[item]] = m.p.noRun(m.p.Orders[m.items[item]])
	}
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

// inSequence sorts runs by grade (cheap paper first, so that dear changes are
// few), then wide to narrow, then long to short.
func inSequence(p Problem, list []Run) {
	rank := map[any]float64{}
	for _, g := range p.Grades {
		rank[g.Grade] = float64(g.price())
	}
	slices.SortStableFunc(list, func(a, b Run) int {
		return cmp.Or(cmp.Compare(rank[a.Grade], rank[b.Grade]), cmp.Compare(a.Grade, b.Grade), cmp.Compare(b.Web, a.Web),
			cmp.Compare(b.Length, a.Length), cmp.Compare(a.Lanes[0].Order, b.Lanes[0].Order))
	})
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
	t := Totals{Bound: kept.Bound, Seconds: kept.Seconds, Status: kept.Status, CostTerms: map[string]quantity.Money{}}
	for i := range a.Runs {
		r := &a.Runs[i]
		r.Seq = i + 1
		for _, l := range r.Lanes {
			o := &a.Orders[place[l.Order]]
			o.Planned += l.Sheets
			o.Runs = append(o.Runs, r.Seq)
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

// price works out the cost terms.
func (p Problem) price(a Answer, t *Totals) {
	grades := map[any]Grade{}
	for _, g := range p.Grades {
		grades[g.Grade] = g
	}
	c := p.Corrugator
	for i, r := range a.Runs {
		g := grades[r.Grade]
		price := float64(g.price())
		paid := r.Web.Metres() * (r.Length + c.RunChangeLoss).Metres()
		good := 0.0
		for _, l := range r.Lanes {
			good += float64(l.Sheets) * l.Slit.Metres() * l.Chop.Metres()
		}
		t.CostTerms["paper"] += quantity.Money(price * r.Web.Metres() * r.Length.Metres())
		t.CostTerms["run_change"] += quantity.Money(price * r.Web.Metres() * c.RunChangeLoss.Metres())
		t.CostTerms["waste_credit"] -= quantity.Money(float64(g.WasteCredit) * (paid - good))
		perMetre, least := timeCost(c, g)
		t.CostTerms["minutes"] += quantity.Money(max(perMetre*r.Length.Metres(), least))
		if i == 0 {
			continue
		}
		before := a.Runs[i-1]
		size := quantity.Money(max(r.Web, before.Web).Metres() * max(price, float64(grades[before.Grade].price())))
		if before.Web != r.Web {
			t.CostTerms["web_change"] += size * quantity.Money(c.WebChangeLoss.Metres())
		}
		if before.Grade != r.Grade {
			t.CostTerms["grade_change"] += size * quantity.Money(c.GradeChangeLoss.Metres())
		}
	}
	orders := map[string]Order{}
	for _, o := range p.Orders {
		orders[o.Order] = o
	}
	for _, m := range a.Orders {
		o := orders[m.Order]
		t.CostTerms["short"] += o.ShortCost * quantity.Money(max(0, o.Sheets-m.Planned))
		t.CostTerms["over"] += o.OverCost * quantity.Money(max(0, m.Planned-o.Sheets))
	}
	for _, name := range sortedKeys(t.CostTerms) {
		t.Cost += t.CostTerms[name]
	}
	if t.Bound > t.Cost && t.Bound <= t.Cost*(1+1e-9) { // the same sum in another order of additions
		t.Bound = t.Cost
	}
	if t.Bound > 0 {
		t.GapPct = math.Max(0, 100*(float64(t.Cost/t.Bound)-1))
	}
}
