package whatnow

import (
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
	tried   int
	orphans []runs.Unplanned // lost their run with what was cut beside them, which is not wanted any more
	melted  bool             // of the frozen runs, one made what is not wanted any more
	leave   bool             // orders may be left without a run, at their price
	thaw    bool             // ways may break the corrugator's freeze

	prep  *plan.Prepared // of the book with these lines and stops
	lines *order.Line
	stops []plant.Stop
	out   []Refused
}

func (r *repair) options(w way) plan.Options {
	return plan.Options{Now: r.Now, Seed: r.opt.Seed, Choices: w.choices}
}

// ready returns the way's book prepared; ways of one book and one set of
// choices share the preparation as long as they are searched one after the other.
func (r *repair) ready(w way) (*plan.Prepared, error) {
	if r.prep != nil && len(w.book.Lines) > 0 && &w.book.Lines[0] == r.lines && len(w.choices.Routes) == 0 && sameStops(w.book, r.stops) {
		return r.prep, nil
	}
	d, err := plan.Prepare(w.book, r.options(w))
	if err == nil && len(w.book.Lines) > 0 && len(w.choices.Routes) == 0 {
		r.prep, r.lines, r.stops = d, &w.book.Lines[0], w.book.Plant.Stops
	}
	return d, err
}

func sameStops(b plant.Book, stops []plant.Stop) bool { return slices.Equal(b.Plant.Stops, stops) }

// clocked prices a way as far as its clock.
func (r *repair) clocked(ctx context.Context, w way) (*plan.Plan, Money, error) {
	r.tried++
	d, err := r.ready(w)
	if err != nil {
		return nil, Money{}, err
	}
	p, err := d.Clocked(ctx, w.given())
	if err != nil {
		return nil, Money{}, err
	}
	return p, r.money(w, p), nil
}

// followed makes the whole plan of a way.
func (r *repair) followed(ctx context.Context, w way) (*plan.Plan, Money, error) {
	r.tried++
	given := w.given()
	given.Left = slices.Concat(r.orphans, r.Plan.Unplanned)
	p, err := plan.Follow(ctx, w.book, given, r.options(w))
	if err != nil {
		return nil, Money{}, err
	}
	return p, r.money(w, p), nil
}

// money splits what a plan costs. Sheets short of what is wanted are not priced
// as such: the boxes that are then missing are, at their price.
func (r *repair) money(w way, p *plan.Plan) Money {
	t := p.Totals.CostTerms
	m := Money{Minutes: t["minutes"], Press: p.Clock.Cost, Late: p.Clock.LateCost, Lost: w.extra + w.short + lost(w.book, p)}
	m.Paper = p.Totals.Cost - m.Minutes - t["short"]
	m.Total = m.Paper + m.Minutes + m.Press + m.Late + m.Lost
	return m
}

// lost is the price of the boxes that the plan's orders want and the plan does not make.
func lost(b plant.Book, p *plan.Plan) (sum quantity.Money) {
	made := expected(p)
	for _, d := range p.Demands {
		if missing := d.ToMake - made[d.Release]; missing > 0 {
			l, _ := lineOf(b, d.Release)
			sum += boxPrice(b, l) * quantity.Money(missing)
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
	for _, d := range p.Demands {
		if len(d.Route) == 0 {
			out[d.Release] = d.OnFloor * max(1, d.PerSheet)
		}
	}
	for _, o := range p.Orders {
		if k, err := ident.ParseRelease(o.Order); err == nil {
			for _, d := range p.Demands {
				if d.Release == k && len(d.Route) == 0 {
					out[k] += o.Planned * max(1, d.PerSheet)
				}
			}
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
