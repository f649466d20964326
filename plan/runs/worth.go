package runs

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/quantity"
)

// Detail is one small change of an order with what it would save in this plan:
// a question to the customer, the stock or the box's designer, not a plan.
//
// About is an estimate: what a piece of the order would cost less in the cheapest
// column that the change allows, at the prices of the bound, times the pieces that
// the partners' sheets last for. Prices hold at the margin, so it is often too
// much. Saves and Sure say what came of planning with the change, where Tried.
type Detail struct {
	Order  string         `json:"order"`
	Field  string         `json:"field"`  // slit_mm, under_pct, over_pct, due_d, may_upgrade_to or papers
	Change float64        `json:"change"` // of the field in its unit; 0 for a board or a paper
	Words  string         `json:"words"`  // in SI
	About  quantity.Money `json:"about"`
	Tried  bool           `json:"tried"`
	Saves  quantity.Money `json:"saves"`    // cost of what lies around the order, planned anew without and with the change
	Sure   quantity.Money `json:"sure"`     // of it beyond what the searches leave open: the bound without less the cost with the change
	Area   quantity.Area  `json:"saves_m2"` // of web, planned anew without and with the change; negative: more of a cheaper board
}

// detailsMost is how many changes are told, and, where rounds are counted, how many are tried.
const detailsMost = 12

// Details prices small changes order by order: each by an estimate from the
// prices of the bound, and the dearest by planning the order's vicinity as it is
// and with the change, with the same rounds from the same seed. Those come first
// that save for sure, then by what they save or would save about. Cancelling ctx is
// a normal end: what was not tried by then is told as such. Savings of several
// changes do not add up where their orders share runs.
func Details(ctx context.Context, p Problem, a Answer, opt ExplainOptions) ([]Detail, error) {
	opt.Rounds = cmp.Or(opt.Rounds, explainRounds)
	opt.Slit = cmp.Or(opt.Slit, slitAllowance)
	list, err := p.estimates(ctx, a, opt)
	if err != nil {
		return nil, err
	}
	list = list[:min(len(list), detailsMost)]
	x := trial{p: p, a: a, opt: opt, without: map[string]Answer{}}
	for k := range list {
		if ctx.Err() != nil {
			break
		}
		if err := x.try(ctx, &list[k]); err != nil {
			return nil, err
		}
	}
	out := p.days(a, opt)
	for _, e := range list {
		out = append(out, e.Detail)
	}
	slices.SortStableFunc(out, func(x, y Detail) int {
		return cmp.Or(cmp.Compare(max(y.Sure, 0), max(x.Sure, 0)), cmp.Compare(y.likely(), x.likely()))
	})
	return out, nil
}

// likely is what a change saves as far as is known.
func (d Detail) likely() quantity.Money {
	if d.Tried {
		return d.Saves
	}
	return d.About
}

// trial plans with a change and without.
type trial struct {
	p       Problem
	a       Answer
	opt     ExplainOptions
	without map[string]Answer // the vicinity of some orders as it is
}

// try plans a change. One that cannot be, or leaves out an order, saves nothing.
func (x *trial) try(ctx context.Context, e *estimate) error {
	p, q := x.p, x.p.loosened(e)
	v := q.Vicinity(x.a, e.with...)
	key := strings.Join(v.Orders, "\x00")
	opt := Options{Seed: x.opt.Seed, Rounds: x.opt.Rounds}
	as, known := x.without[key]
	if !known {
		var err error
		if _, as, err = p.Again(ctx, x.a, v, opt); err != nil {
			return err
		}
	}
	whole, with, err := q.Again(ctx, x.a, v, opt)
	if err != nil {
		return err
	}
	if ctx.Err() != nil { // cut short, one of the two may be worse than it could be
		return nil
	}
	x.without[key] = as
	e.Tried = true
	if len(with.Unplanned) > len(as.Unplanned) {
		return nil
	}
	if err := Check(q, whole); err != nil {
		return err
	}
	e.Saves, e.Area = as.Totals.Cost-with.Totals.Cost, as.Totals.Web-with.Totals.Web
	e.Sure = max(0, as.Totals.Bound-with.Totals.Cost)
	return nil
}

// loosened is the problem with one change made.
func (p Problem) loosened(e *estimate) Problem {
	q := p
	q.Orders, q.Grades, q.Papers = slices.Clone(p.Orders), slices.Clone(p.Grades), slices.Clone(p.Papers)
	e.make(&q, &q.Orders[e.at])
	return q
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
			out = append(out, Detail{Order: o.Order, Field: "due_d", Change: 1, Words: "one day more until it is due", About: same, Tried: true, Saves: saves})
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

// worthTelling is the share of an order's cost below which an estimate is not told.
const worthTelling = 1e-3

func (e estimate) tells(cost float64) bool {
	return float64(e.About) > worthTelling*math.Abs(cost)
}
