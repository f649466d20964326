package runs

import (
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/combine"
)

// websOf are the grade's webs that runs may be on: not those barred for the whole problem.
func (p Problem) websOf(g Grade) []quantity.Length {
	return slices.DeleteFunc(g.webs(p.Corrugator), func(w quantity.Length) bool { return slices.Contains(p.BarredWebs, w) })
}

// frozenSheets are the good sheets that frozen runs make of each order they hold.
func (p Problem) frozenSheets() map[string]int {
	out := map[string]int{}
	orders := p.byOrder()
	for _, r := range p.Frozen {
		for _, l := range r.Lanes {
			out[l.Order] += l.Outs * max(0, int(int64(r.Length)/int64(orders[l.Order].Chop))-p.Corrugator.RejectCutsPerLane)
		}
	}
	return out
}

// barredStocks are the stocks that an order must not run on: its own barred
// webs, and those that stand in the problem for frozen runs only.
func (m *translation) barredStocks(o Order) []int {
	var out []int
	for k, st := range m.problem.Stocks {
		if k >= m.offered || slices.Contains(o.BarredWebs, quantity.Length(st.Width)) {
			out = append(out, k)
		}
	}
	return out
}

// stockOf finds the stock that a run is on.
func (m *translation) stockOf(r Run) (int, bool) {
	kind, known := m.kind[r.Grade]
	k := slices.IndexFunc(m.problem.Stocks, func(s combine.Stock) bool { return s.Kind == kind && s.Width == int64(r.Web) })
	return k, known && k >= 0
}

// worded is a run in the solver's words, false where it names something that is not there.
func (m *translation) worded(r Run) (combine.Run, bool) {
	k, known := m.stockOf(r)
	c := combine.Run{Stock: k, Length: int64(r.Length)}
	for _, l := range r.Lanes {
		item, ok := m.item[l.Order]
		known = known && ok
		c.Lanes = append(c.Lanes, combine.Lane{Item: item, Outs: l.Outs, Level: max(l.Level, 1) - 1})
	}
	return c, known
}

// given puts frozen and pinned runs and pairs apart into the solver's words.
func (m *translation) given() {
	for _, r := range m.p.Frozen {
		if c, known := m.worded(r); known {
			m.problem.Front = append(m.problem.Front, c)
		}
	}
	for k, r := range m.p.Pinned {
		c, known := m.worded(r)
		if !known || c.Stock >= m.offered {
			m.unheld = append(m.unheld, k)
			continue
		}
		m.problem.Hold = append(m.problem.Hold, c)
		m.held = append(m.held, k)
	}
	for _, pair := range m.p.Apart {
		a, one := m.item[pair[0]]
		b, two := m.item[pair[1]]
		if one && two {
			m.problem.Apart = append(m.problem.Apart, [2]int{a, b})
		}
	}
}

// checkGiven judges what people state beside the orders.
func (p Problem) checkGiven(v *fault.Violations, grades map[ident.Grade]bool) {
	orders := p.byOrder()
	p.checkRuns(v, "frozen", p.Frozen, grades, orders)
	p.checkRuns(v, "pinned", p.Pinned, grades, orders)
	for i, r := range p.Frozen {
		v.Require(r.Length > 0, fmt.Sprintf("frozen[%d].length_m", i), r.Length.String(), "must be more than 0")
	}
	for i, pair := range p.Apart {
		for _, name := range pair {
			_, known := orders[name]
			v.Require(known, fmt.Sprintf("apart[%d]", i), name, "is not an order of this problem")
		}
		v.Require(pair[0] != pair[1], fmt.Sprintf("apart[%d]", i), pair[0], "must name two orders")
	}
	for i, w := range p.BarredWebs {
		v.Require(w > 0 && w <= mostWeb, fmt.Sprintf("barred_webs_mm[%d]", i), w.String(), "must be more than 0 and at most 10,000 mm")
	}
	v.Require(p.Minute == "" || p.Minute == Bottleneck || p.Minute == Idle, "minute", string(p.Minute), `must be "bottleneck" or "idle"`)
	v.Require(p.IdleMinuteCost >= 0, "idle_minute_cost", fmt.Sprint(float64(p.IdleMinuteCost)), "must not be negative")
	losses := map[string]quantity.Distance{"flute_change_loss_m": p.Changes.FluteLoss, "wall_change_loss_m": p.Changes.WallLoss, "adhesive_change_loss_m": p.Changes.AdhesiveLoss}
	for _, name := range sortedKeys(losses) {
		v.Require(losses[name] >= 0 && losses[name] <= mostLoss, "changes."+name, losses[name].String(), "must be from 0 to 10,000 m")
	}
}

func (p Problem) checkRuns(v *fault.Violations, field string, list []Run, grades map[ident.Grade]bool, orders map[string]Order) {
	for i, r := range list {
		at := func(f string) string { return fmt.Sprintf("%s[%d].%s", field, i, f) }
		v.Require(grades[r.Grade], at("grade"), string(r.Grade), "is not a grade of this problem")
		v.Require(r.Web > 0 && r.Web <= mostWeb, at("web_mm"), r.Web.String(), "must be more than 0 and at most 10,000 mm")
		v.Require(r.Length >= 0 && r.Length <= quantity.FromMetres(mostMetres/1000), at("length_m"), r.Length.String(), "must be from 0 to 1,000,000 m")
		v.Require(len(r.Lanes) > 0, at("lanes"), "", "must name at least one lane")
		seen := map[string]bool{}
		for k, l := range r.Lanes {
			lane := func(f string) string { return fmt.Sprintf("%s[%d].lanes[%d].%s", field, i, k, f) }
			_, known := orders[l.Order]
			v.Require(known, lane("order"), l.Order, "is not an order of this problem")
			v.Require(!seen[l.Order], lane("order"), l.Order, "stands twice in the run")
			seen[l.Order] = true
			v.Require(l.Outs >= 1 && l.Outs <= mostOuts, lane("outs"), fmt.Sprint(l.Outs), "must be from 1 to 64")
			v.Require(l.Level >= 0 && l.Level <= mostLevels, lane("level"), fmt.Sprint(l.Level), "must be from 1 to 16")
		}
	}
}
