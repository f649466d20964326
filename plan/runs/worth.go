package runs

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// Detail is one small change of an order with what it would save in this plan:
// a question to the customer or to the box's designer, not a plan.
type Detail struct {
	Order  string         `json:"order"`
	Field  string         `json:"field"` // slit_mm or over_pct
	Change float64        `json:"change"`
	Words  string         `json:"words"` // in SI
	Saves  quantity.Money `json:"saves"` // cost of what lies around the order, planned anew without and with the change
	Sure   quantity.Money `json:"sure"`  // of it beyond what the searches leave open: the bound without less the cost with the change
}

// detail is a change that is tried.
type detail struct {
	field  string
	change float64
	words  string
	make   func(o *Order)
}

// details are the changes tried for an order. The slit is changed by little: the
// box must still be the one that was ordered, and its scores stay.
func details() (out []detail) {
	for _, mm := range []int{-1, -4, 4} {
		word := "narrower"
		if mm > 0 {
			word = "wider"
		}
		out = append(out, detail{"slit_mm", float64(mm), fmt.Sprintf("%d mm %s", max(mm, -mm), word), func(o *Order) {
			o.Slit += quantity.Length(mm) * quantity.Millimetre
		}})
	}
	return append(out, detail{"over_pct", 1, "1 % more over", func(o *Order) { o.OverPct++ }})
}

// Details prices small changes order by order: each order's vicinity is planned
// anew as it is and with one change, with the same rounds from the same seed, and a
// change is told only where its cost is below the bound of what is without it:
// then it saves whatever the searches have missed. The dearest saving comes first.
// Cancelling ctx is a normal end with what was found so far. Savings of several
// orders do not add up where they share runs.
func Details(ctx context.Context, p Problem, a Answer, opt ExplainOptions) ([]Detail, error) {
	opt.Rounds = cmp.Or(opt.Rounds, explainRounds)
	out := []Detail{}
	for k, o := range p.Orders {
		if ctx.Err() != nil || !slices.ContainsFunc(a.Orders, func(m Made) bool { return m.Order == o.Order }) {
			continue
		}
		v := p.Vicinity(a, o.Order)
		_, as, err := p.Again(ctx, a, v, Options{Seed: opt.Seed, Rounds: opt.Rounds})
		if err != nil {
			return out, err
		}
		for _, d := range details() {
			found, err := p.worth(ctx, a, as, v, k, d, opt)
			if err != nil {
				return out, err
			}
			if found != nil {
				out = append(out, *found)
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Detail) int { return cmp.Compare(y.Sure, x.Sure) })
	return out, nil
}

// worth plans a vicinity with one change of order k; nil where it saves nothing for sure.
func (p Problem) worth(ctx context.Context, a, as Answer, v Vicinity, k int, d detail, opt ExplainOptions) (*Detail, error) {
	q := p
	q.Orders = slices.Clone(p.Orders)
	d.make(&q.Orders[k])
	if q.Validate() != nil { // no sheet of that size may be asked for
		return nil, nil
	}
	whole, with, err := q.Again(ctx, a, v, Options{Seed: opt.Seed, Rounds: opt.Rounds})
	if err != nil {
		return nil, err
	}
	if len(with.Unplanned) > len(as.Unplanned) || as.Totals.Bound <= with.Totals.Cost {
		return nil, nil
	}
	if err := Check(q, whole); err != nil {
		return nil, err
	}
	out := &Detail{Order: p.Orders[k].Order, Field: d.field, Change: d.change, Words: d.words, Saves: as.Totals.Cost - with.Totals.Cost, Sure: as.Totals.Bound - with.Totals.Cost}
	if before, after := websOf(as, out.Order), websOf(with, out.Order); len(before) > 0 && len(after) > 0 && before[0] > after[0] {
		out.Words += fmt.Sprintf(": %s mm in place of %s mm", millimetres(after[0]), millimetres(before[0]))
	}
	return out, nil
}

func millimetres(w quantity.Length) string { return fmt.Sprintf("%.0f", w.Millimetres()) }

// websOf are the webs that an order runs on, widest first.
func websOf(a Answer, order string) (out []quantity.Length) {
	for _, r := range a.Runs {
		if slices.ContainsFunc(r.Lanes, func(l Lane) bool { return l.Order == order }) && !slices.Contains(out, r.Web) {
			out = append(out, r.Web)
		}
	}
	slices.SortFunc(out, func(x, y quantity.Length) int { return cmp.Compare(y, x) })
	return out
}
