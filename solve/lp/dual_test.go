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
		p := drawnProgramme(t, 2)
		m, n := len(p.rl), len(p.cost)
		few := rapid.IntRange(1, m).Draw(t, "rows at first")
		var s, anew Simplex
		p.write(&s, few)
		s.Solve(0)
		columns, rows := s.Basis()
		for i := few; i < m; i++ {
			rows = append(rows, i)
		}
		if at := rapid.IntRange(0, n-1).Draw(t, "drawn in"); rapid.Bool().Draw(t, "narrower") {
			p.hi[at] = p.lo[at]
		}
		p.write(&s, m)
		s.Resume(columns, rows)
		p.write(&anew, m)
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
		proven(t, &s, p.a, x, p.lo, p.hi, p.rl, p.rh, p.cost)
	})
	if mended == 0 || mended == shut {
		t.Errorf("of %d programmes %d had a point: both kinds are wanted", shut, mended)
	}
}
