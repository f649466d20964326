package whatnow

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// way is one way on before it is priced.
type way struct {
	title   string
	bare    string // title without place and time, where it has one
	family  string // of which only the cheapest is of interest, as long as there are others; empty: its own
	book    plant.Book
	runs    []runs.Run
	jobs    []jobs.Job
	choices plan.Choices
	lines   []order.Line   // as the book must have them
	extra   quantity.Money // what the answer itself takes: sorting, overtime
	short   quantity.Money // price of boxes that are given up on purpose
	note    string
	name    string        // why a name is needed beside the areas' owners
	about   ident.Release // the order whose run is shown
	leaves  bool          // jobs sequence anew from the given ones
	slot    bool          // the note says where the order stands
	ordered bool          // runs behind the fixed front sequence anew
	fixed   int
	total   quantity.Money // by its clock, where that has been looked at
}

// given is the way as plan.Follow takes it: runs numbered by their place.
func (w way) given() plan.Given {
	g := plan.Given{Runs: make([]runs.Run, len(w.runs)), Jobs: w.jobs, Improve: w.leaves, Sequence: w.ordered, Fixed: w.fixed}
	for i, r := range w.runs {
		r.Seq = i + 1
		g.Runs[i] = r
	}
	return g
}

// repair carries what all ways are priced against.
type repair struct {
	Problem
	opt     Options
	st      standing
	orphans []runs.Unplanned // lost their run with what was cut beside them, which is not wanted any more
	melted  bool             // of the frozen runs, one made what is not wanted any more
	leave   bool             // orders may be left without a run, at their price
	thaw    bool             // ways may break the corrugator's freeze

	known known
	out   []Refused
}

func (r *repair) options(w way) plan.Options {
	return plan.Options{Now: r.Now, Seed: r.opt.Seed, Choices: w.choices}
}

// given is the way as plan.Follow takes it, with why the orders that no run makes
// have none, and the overtime that the plan in force has the corrugator work.
func (r *repair) given(w way) plan.Given {
	given := w.given()
	given.Left = slices.Concat(r.orphans, r.Plan.Unplanned)
	for _, m := range r.Plan.Clock.Manning {
		if m.Machine == r.Book.Plant.Corrugator.Code {
			given.Over = append(given.Over, m)
		}
	}
	return given
}

// clocked prices a way as far as its clock.
func (r *repair) clocked(ctx context.Context, w way) (*plan.Plan, Money, error) {
	c := r.clockOf(ctx, w)
	if c.err != nil {
		return nil, Money{}, c.err
	}
	return c.at.Plan, w.with(c.cost), nil
}

// with adds what the way takes or gives up itself to what its plan costs.
func (w way) with(m Money) Money {
	m.Lost += w.extra + w.short
	m.Total += w.extra + w.short
	return m
}

// money splits what a plan costs. Sheets short of what is wanted are not priced
// as such: the boxes that are then missing are, at their price.
func (r *repair) money(b plant.Book, p *plan.Plan) Money {
	t := p.Totals.CostTerms
	m := Money{Minutes: t["minutes"], Press: p.Clock.Cost, Late: p.Clock.LateCost, Lost: lost(b, p)}
	m.Paper = p.Totals.Cost - m.Minutes - t["short"]
	m.Total = m.Paper + m.Minutes + m.Press + m.Late + m.Lost
	return m
}

// lost is the price of the boxes that the plan's orders want and the plan does not make.
func lost(b plant.Book, p *plan.Plan) (sum quantity.Money) {
	made := expected(p)
	lines := make(map[ident.Release]*order.Line, len(b.Lines))
	for i := range b.Lines {
		lines[b.Lines[i].Key] = &b.Lines[i]
	}
	for i := range p.Demands {
		d := &p.Demands[i]
		if missing := d.ToMake - made[d.Release]; missing > 0 {
			l := cmp.Or(lines[d.Release], &order.Line{}) // one that fills up stock is in no book yet
			sum += boxPrice(b, *l) * quantity.Money(missing)
		}
	}
	return sum
}

// boxPrice is what one box of a line sells for.
func boxPrice(b plant.Book, l order.Line) quantity.Money {
	if l.PricePer1000 > 0 {
		return l.PricePer1000 / 1000
	}
	return b.Plant.Prices.DefaultPer1000 / 1000
}

// expected is the good boxes that a plan makes of each release: what its last
// job gives, or its sheets where no machine converts them.
func expected(p *plan.Plan) map[ident.Release]int {
	out, step := map[ident.Release]int{}, map[ident.Release]int{}
	perSheet := map[string]int{} // of those that no machine converts
	for i := range p.Demands {
		if d := &p.Demands[i]; len(d.Route) == 0 {
			perSheet[d.Release.String()] = max(1, d.PerSheet)
			out[d.Release] = d.OnFloor * max(1, d.PerSheet)
		}
	}
	for _, o := range p.Orders {
		if k, err := ident.ParseRelease(o.Order); err == nil && perSheet[o.Order] > 0 {
			out[k] += o.Planned * perSheet[o.Order]
		}
	}
	for _, j := range p.Clock.Jobs {
		if j.Step > step[j.Release] {
			step[j.Release], out[j.Release] = j.Step, j.Pieces
		}
	}
	return out
}

// least is the fewest boxes that the customer of a line takes.
func least(l order.Line) int {
	return int(math.Ceil(float64(l.Quantity)*(1-l.UnderPct/100) - 1e-9))
}
