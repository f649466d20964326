package runs

import (
	"context"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/solve/combine"
)

// Marginals returns what one more wanted sheet of each order costs at the margin
// of the relaxation that the bound comes from: paper less the credit of waste,
// and minutes, with the partners that lie beside it. Changes of web and grade
// and lateness are not in it. Orders that cannot be cut at all are left out. It
// returns fault.Violations for a problem that cannot be.
func Marginals(ctx context.Context, p Problem) (map[string]quantity.Money, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	m := translate(p)
	y := combine.Marginals(&m.problem, func() bool { return ctx.Err() != nil })
	out := map[string]quantity.Money{}
	for i, v := range y {
		out[p.Orders[m.items[i]].Order] = quantity.Money(v)
	}
	return out, nil
}
