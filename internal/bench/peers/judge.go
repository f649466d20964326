package peers

import (
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/solve/combine"
	"github.com/flutewright/flutewright/solve/lp"
)

// Judge makes a plan of a solver's answer and returns what it costs. A solver takes
// 0.000001 for 0, which times a longest run of 50 km is a run of 5 cm without its
// loss; so only the columns that do run count, and their lengths are found anew,
// the cheapest there are, in whole millimetres. The plan then passes the trim
// engine's check, which knows nothing of this programme. It fails with
// fault.Infeasible where no lengths make the book of these columns.
func (m *Model) Judge(values map[string]float64) (combine.Result, error) {
	var ran []column
	for k, c := range m.columns {
		if values[fmt.Sprintf("y%d", k)] > 0.5 {
			ran = append(ran, c)
		}
	}
	metres, err := m.lengths(ran)
	if err != nil {
		return combine.Result{}, err
	}
	var r combine.Result
	for k, c := range ran {
		run := combine.Run{Stock: c.stock, Length: int64(math.Ceil(metres[k] * metre))}
		rows, _ := entries(c)
		for n, i := range rows {
			run.Lanes = append(run.Lanes, combine.Lane{Item: int(i), Outs: c.outs[n], Level: n})
		}
		r.Runs = append(r.Runs, run)
	}
	r.Cost = m.Cost(r.Runs)
	return r, combine.Check(m.problem, r)
}

// lengths are the cheapest of the columns that run, with room for rounding up to
// whole millimetres.
func (m *Model) lengths(ran []column) ([]float64, error) {
	const slack = 1e-5 // m: what the simplex forgives, and more
	least, most := slices.Clone(m.least), slices.Clone(m.most)
	for _, c := range ran {
		rows, coef := entries(c)
		for n, i := range rows {
			most[i] -= coef[n] / metre
		}
	}
	for i := range least {
		if least[i] += slack; least[i] > most[i] {
			return nil, fmt.Errorf("item %d has no room: %w", i, fault.Infeasible)
		}
	}
	var s lp.Simplex
	s.Reset(least, most)
	for _, c := range ran {
		rows, coef := entries(c)
		s.Add(c.price, m.shortest, math.Inf(1), rows, coef)
	}
	if status := s.Solve(0); status != lp.Optimal {
		return nil, fmt.Errorf("no lengths of these %d runs make the book (status %d): %w", len(ran), status, fault.Infeasible)
	}
	metres := make([]float64, len(ran))
	s.Values(metres)
	return metres, nil
}

// Cost is what runs cost, by the problem's own figures: area and the area lost with each.
func (m *Model) Cost(runs []combine.Run) float64 {
	cost := 0.0
	for _, r := range runs {
		st := m.problem.Stocks[r.Stock]
		cost += st.Price * float64(st.Width) * (float64(r.Length) + m.problem.Line.RunLoss)
	}
	return cost
}
