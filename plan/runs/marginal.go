package runs

import (
	"context"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/combine"
)

// Metre is what one more metre of a paper in the house is worth at the margin.
type Metre struct {
	Paper ident.Paper       `json:"paper"`
	Web   quantity.Length   `json:"web_mm"`
	Have  quantity.Distance `json:"have_m"` // the problem's, before frozen runs
	Worth quantity.Money    `json:"worth_per_m"`
}

// PaperPrices returns what one more wanted sheet of each order costs at the margin
// of the relaxation that the bound begins from, with the paper in the house limited:
// paper less the credit of waste, and minutes, with the partners that lie beside
// it; and what a metre more is worth of each paper that runs short, in the
// problem's sequence. Changes of web and grade and lateness are not in it. Orders
// that are left are not asked for. It returns fault.Violations for a problem that cannot be.
func PaperPrices(ctx context.Context, p Problem, left []Unplanned) (map[string]quantity.Money, []Metre, error) {
	if err := p.Validate(); err != nil {
		return nil, nil, err
	}
	m := translate(p)
	for _, u := range left {
		if i, known := m.item[u.Order]; known {
			m.problem.Items[i].Least, m.problem.Items[i].Want = 0, 0
		}
	}
	y := combine.ResourcePrices(&m.problem, func() bool { return ctx.Err() != nil })
	short, k := []Metre{}, 0
	for _, s := range p.Papers {
		for _, web := range sortedWebs(s.Metres) {
			if v := y.Resource[k] / nm; v > 1e-9 {
				short = append(short, Metre{s.Paper, web, s.Metres[web], quantity.Money(v)})
			}
			k++
		}
	}
	return m.byOrder(y.Item), short, nil
}

func (m *translation) byOrder(y []float64) map[string]quantity.Money {
	out := map[string]quantity.Money{}
	for i, v := range y {
		out[m.p.Orders[m.items[i]].Order] = quantity.Money(v)
	}
	return out
}
