package runs

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
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
	Order  string         `json:"order"`           // "" for a substitute, which is the board's
	Grade  ident.Grade    `json:"grade,omitempty"` // of a substitute
	Field  string         `json:"field"`           // slit_mm, under_pct, over_pct, due_d, may_upgrade_to, papers or substitutes
	Change float64        `json:"change"`          // of the field in its unit; 0 for a board or a paper
	Words  string         `json:"words"`           // one sentence, in SI
	About  quantity.Money `json:"about"`
	Tried  bool           `json:"tried"`
	Saves  quantity.Money `json:"saves"`    // cost of what lies around the order, planned anew without and with the change
	Sure   quantity.Money `json:"sure"`     // of it beyond what the searches leave open: the bound without less the cost with the change
	Area   quantity.Area  `json:"saves_m2"` // of web, planned anew without and with the change; negative: more of a cheaper board

	Week  quantity.Money `json:"saves_a_week"`      // Saves where Tried, else About, over the span of the plan, in seven days
	Sheet quantity.Money `json:"saves_per_1000_m2"` // the same by the area of the order's wanted sheets, or of all those of the board

	runs []Run
}

// Runs are those of the whole plan that the change came to; nil where it was not tried.
func (d Detail) Runs() []Run { return d.runs }

// Likely is what a change saves as far as is known.
func (d Detail) Likely() quantity.Money {
	if d.Tried {
		return d.Saves
	}
	return d.About
}

const (
	detailsMost  = 12 // changes are told, and, where rounds are counted, tried
	detailsField = 6  // of them of one field, where there are others
)

// Details prices small changes order by order: each by an estimate from the
// prices of the bound, and the dearest by planning the order's vicinity as it is
// and with the change, with the same rounds from the same seed. They come in
// the sequence of SortDetails. Cancelling ctx is a normal end: what was not tried
// by then is told as such. Savings of several changes do not add up where their
// orders share runs.
func Details(ctx context.Context, p Problem, a Answer, opt ExplainOptions) ([]Detail, error) {
	x, err := p.priced(ctx, a)
	if err != nil {
		return nil, err
	}
	return p.details(ctx, a, x, opt)
}

func (p Problem) details(ctx context.Context, a Answer, x *priced, opt ExplainOptions) ([]Detail, error) {
	opt.Rounds = cmp.Or(opt.Rounds, explainRounds)
	opt.Slit = cmp.Or(opt.Slit, slitAllowance)
	list := dearest(p.estimates(ctx, a, x, opt))
	t := trial{p: p, a: a, opt: opt, without: map[string]Answer{}}
	for k := range list {
		if ctx.Err() != nil {
			break
		}
		if err := t.try(ctx, &list[k]); err != nil {
			return nil, err
		}
	}
	out := p.days(ctx, a, opt)
	for _, e := range list {
		out = append(out, e.Detail)
	}
	p.Spread(out, cmp.Or(opt.Days, p.Span(a)))
	SortDetails(out)
	return out, nil
}

// dearest are the estimates that are told, of those that come dearest first.
func dearest(list []estimate) []estimate {
	var out, rest []estimate
	of, seen := map[string]int{}, map[string]bool{}
	for _, e := range list {
		if seen[e.same] {
			continue
		}
		seen[e.same] = e.same != ""
		if of[e.Field]++; of[e.Field] <= detailsField {
			out = append(out, e)
		} else {
			rest = append(rest, e)
		}
	}
	out = out[:min(len(out), detailsMost)]
	return append(out, rest[:min(len(rest), detailsMost-len(out))]...)
}

// SortDetails puts those first that save for sure, then by what they save or
// would save about; what costs comes last.
func SortDetails(list []Detail) {
	slices.SortStableFunc(list, func(x, y Detail) int {
		return cmp.Or(cmp.Compare(max(y.Sure, 0), max(x.Sure, 0)), cmp.Compare(y.Likely(), x.Likely()))
	})
}

// Span is how many days a plan's runs take without a pause, at least one, for
// problems without a speed one.
func (p Problem) Span(a Answer) float64 {
	grades, minutes := p.byGrade(), 0.0
	for _, r := range a.Runs {
		minutes += p.minutes(grades[r.Grade], r.Length)
	}
	return max(1, minutes/(24*60))
}

// Spread works out what details save a week, the plan's runs taking days of them,
// and by the area of the sheets concerned.
func (p Problem) Spread(list []Detail, days float64) {
	of, on := map[string]float64{}, map[ident.Grade]float64{}
	for _, o := range p.Orders {
		area := float64(o.Sheets) * o.Slit.Metres() * o.Chop.Metres()
		of[o.Order] = area
		on[o.Grade] += area
	}
	for k := range list {
		d := &list[k]
		d.Week = d.Likely() * quantity.Money(7/max(days, 1))
		area := of[d.Order]
		if d.Order == "" {
			area = on[d.Grade]
		}
		if area > 0 {
			d.Sheet = d.Likely() * quantity.Money(1000/area)
		}
	}
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
	stand := p.decided(q, v, with)
	e.Saves, e.Area = as.Totals.Cost-with.Totals.Cost-stand, as.Totals.Web-with.Totals.Web
	e.Sure = max(0, as.Totals.Bound-with.Totals.Cost-stand)
	e.runs = whole.Runs
	return nil
}

// loosened is the problem with one change made.
func (p Problem) loosened(e *estimate) Problem {
	q := p
	q.Orders, q.Grades, q.Papers = slices.Clone(p.Orders), slices.Clone(p.Grades), slices.Clone(p.Papers)
	e.make(&q, &q.Orders[e.at])
	return q
}

// worthTelling is the share of an order's cost below which an estimate is not told.
const worthTelling = 1e-3

func (e estimate) tells(cost float64) bool {
	return float64(e.About) > worthTelling*math.Abs(cost)
}
