package lp

import (
	"testing"

	"pgregory.net/rapid"
)

// TestResumedIsOptimal solves a drawn programme, draws its bounds in and adds
// rows, goes on from its basis, and holds the end against the optimality
// conditions (primal and dual feasible, complementary slackness) or, where no
// point is left, against a solution from nothing. Source: hand.
func TestResumedIsOptimal(t *testing.T) {
	mended, shut := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		m, n := rapid.IntRange(2, 8).Draw(t, "rows"), rapid.IntRange(1, 14).Draw(t, "columns")
		few := rapid.IntRange(1, m).Draw(t, "rows at first")
		number := rapid.IntRange(-5, 5)
		a := make([][]float64, m)
		cost, lo, hi, x0 := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
		for j := range n {
			cost[j], x0[j] = float64(number.Draw(t, "cost")), float64(number.Draw(t, "inner"))
			lo[j], hi[j] = x0[j]-float64(rapid.IntRange(0, 3).Draw(t, "below")), x0[j]+float64(rapid.IntRange(0, 3).Draw(t, "above"))
		}
		rl, rh := make([]float64, m), make([]float64, m)
		for i := range m {
			a[i] = make([]float64, n)
			v := 0.0
			for j := range n {
				a[i][j] = float64(number.Draw(t, "a"))
				v += a[i][j] * x0[j]
			}
			rl[i], rh[i] = v-float64(rapid.IntRange(0, 4).Draw(t, "under")), v+float64(rapid.IntRange(0, 4).Draw(t, "over"))
		}
		write := func(s *Simplex, m int) {
			s.Reset(rl[:m], rh[:m])
			for j := range n {
				var rows []int32
				var coef []float64
				for i := range m {
					if a[i][j] != 0 {
						rows, coef = append(rows, int32(i)), append(coef, a[i][j])
					}
				}
				s.Add(cost[j], lo[j], hi[j], rows, coef)
			}
		}
		var s, anew Simplex
		write(&s, few)
		s.Solve(0)
		columns, rows := s.Basis()
		for i := few; i < m; i++ {
			rows = append(rows, i)
		}
		if at := rapid.IntRange(0, n-1).Draw(t, "drawn in"); rapid.Bool().Draw(t, "narrower") {
			hi[at] = lo[at]
		}
		write(&s, m)
		s.Resume(columns, rows)
		write(&anew, m)
		st, want := s.Solve(0), anew.Solve(0)
		if st != want {
			t.Fatalf("status %v, %v from nothing", st, want)
		}
		if shut++; st != Optimal {
			return
		}
		mended++
		x := make([]float64, n)
		s.Values(x)
		proven(t, &s, a, x, lo, hi, rl, rh, cost)
	})
	if mended == 0 || mended == shut {
		t.Errorf("of %d programmes %d had a point: both kinds are wanted", shut, mended)
	}
}
