package peers

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/solve/lp"
)

// Keep leaves so many columns in the programme: those of least reduced cost in
// the relaxation that spreads each column's loss over its longest run. It returns the
// relaxation's cost. Plans of the columns kept are plans of all; a bound of them
// is none.
func (m *Model) Keep(count int) (float64, error) {
	worth, cost, err := m.relax()
	if err != nil {
		return 0, err
	}
	reduced := func(c column) float64 { return m.reduced(c, worth) }
	slices.SortStableFunc(m.columns, func(a, b column) int { return cmp.Compare(reduced(a), reduced(b)) })
	m.columns = m.columns[:min(count, len(m.columns))]
	return cost, nil
}

// spread is the cost of a metre with the loss spread over the longest run.
func (m *Model) spread(c column) float64 { return c.price * (1 + m.loss/c.longest) }

func (m *Model) reduced(c column, worth []float64) float64 {
	r := m.spread(c)
	for k, i := range c.items {
		r -= float64(c.outs[k]) * worth[i]
	}
	return r
}

// relax solves the relaxation by column generation over the whole list, and
// returns what a metre of each item is worth in it.
func (m *Model) relax() ([]float64, float64, error) {
	const batch, improves = 300, -1e-9
	var s lp.Simplex
	s.Reset(m.least, m.most)
	in := make([]bool, len(m.columns))
	for j, c := range m.columns {
		if c.outs[1] == 0 { // an item alone: together they make every book
			m.enter(&s, c)
			in[j] = true
		}
	}
	worth := make([]float64, len(m.least))
	for {
		if status := s.Solve(0); status != lp.Optimal {
			return nil, 0, fmt.Errorf("the relaxation ended with status %d: %w", status, fault.Infeasible)
		}
		for i := range worth {
			worth[i] = s.Dual(i)
		}
		var better []int
		for j, c := range m.columns {
			if !in[j] && m.reduced(c, worth) < improves {
				better = append(better, j)
			}
		}
		if len(better) == 0 {
			return worth, s.Objective(), nil
		}
		slices.SortStableFunc(better, func(a, b int) int {
			return cmp.Compare(m.reduced(m.columns[a], worth), m.reduced(m.columns[b], worth))
		})
		for _, j := range better[:min(batch, len(better))] {
			m.enter(&s, m.columns[j])
			in[j] = true
		}
	}
}

func (m *Model) enter(s *lp.Simplex, c column) {
	rows, coef := entries(c)
	s.Add(m.spread(c), 0, math.Inf(1), rows, coef)
}

// entries are a column's rows and strips.
func entries(c column) (rows []int32, coef []float64) {
	for k, i := range c.items {
		if c.outs[k] > 0 {
			rows, coef = append(rows, int32(i)), append(coef, float64(c.outs[k]))
		}
	}
	return rows, coef
}
