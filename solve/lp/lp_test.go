package lp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestPublishedExample is the first example of Chvátal, Linear Programming
// (1983), chapter 1 (from memory): max 5x₁+4x₂+3x₃ under three rows, optimum 13
// at (2, 0, 1).
func TestPublishedExample(t *testing.T) {
	var s Simplex
	inf := math.Inf(1)
	s.Reset([]float64{-inf, -inf, -inf}, []float64{5, 11, 8})
	s.Add(-5, 0, inf, []int32{0, 1, 2}, []float64{2, 4, 3})
	s.Add(-4, 0, inf, []int32{0, 1, 2}, []float64{3, 1, 4})
	s.Add(-3, 0, inf, []int32{0, 1, 2}, []float64{1, 2, 2})
	if st := s.Solve(0); st != Optimal || math.Abs(s.Objective()+13) > 1e-9 {
		t.Fatalf("status %v, objective %v", st, s.Objective())
	}
	x := make([]float64, 3)
	s.Values(x)
	if math.Abs(x[0]-2) > 1e-9 || math.Abs(x[1]) > 1e-9 || math.Abs(x[2]-1) > 1e-9 {
		t.Fatal(x)
	}
	t.Logf("linear programme | Chvátal, Linear Programming 1983, ch. 1 (from memory) | objective | 13 | %.9f | %.1e", -s.Objective(), math.Abs(s.Objective()+13))
}

func TestEnds(t *testing.T) {
	inf := math.Inf(1)
	var s Simplex
	s.Reset([]float64{3}, []float64{inf})
	s.Add(1, 0, 2, []int32{0}, []float64{1})
	if st := s.Solve(0); st != Infeasible {
		t.Errorf("x ≤ 2 and x ≥ 3: %v", st)
	}
	s.Reset([]float64{-inf}, []float64{1})
	s.Add(-1, 0, inf, []int32{0}, []float64{-1})
	if st := s.Solve(0); st != Unbounded {
		t.Errorf("min −x, −x ≤ 1: %v", st)
	}
}

// TestOptimalityConditions draws programmes that are feasible by construction
// and checks feasibility, the signs of reduced costs and complementary slackness,
// which together prove the optimum.
func TestOptimalityConditions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnProgramme(t, 1)
		var s Simplex
		p.write(&s, len(p.rl))
		if st := s.Solve(0); st != Optimal {
			t.Fatalf("status %v of a feasible bounded programme", st)
		}
		x := make([]float64, len(p.cost))
		s.Values(x)
		proven(t, &s, p.a, x, p.lo, p.hi, p.rl, p.rh, p.cost)
	})
}

const slack = 1e-6

// programme is a small one that a drawn point fulfils.
type programme struct {
	a                         [][]float64
	cost, lo, hi, rl, rh, fit []float64
}

// drawnProgramme draws whole numbers for a programme of so many rows or more.
func drawnProgramme(t *rapid.T, leastRows int) programme {
	m, n := rapid.IntRange(leastRows, 8).Draw(t, "rows"), rapid.IntRange(1, 14).Draw(t, "columns")
	number := rapid.IntRange(-5, 5)
	p := programme{a: make([][]float64, m), rl: make([]float64, m), rh: make([]float64, m)}
	for range n {
		x := float64(number.Draw(t, "x"))
		p.fit = append(p.fit, x)
		p.lo = append(p.lo, x-float64(rapid.IntRange(0, 3).Draw(t, "below")))
		p.hi = append(p.hi, x+float64(rapid.IntRange(0, 3).Draw(t, "above")))
		p.cost = append(p.cost, float64(number.Draw(t, "cost")))
	}
	for i := range m {
		p.a[i] = make([]float64, n)
		v := 0.0
		for j := range n {
			p.a[i][j] = float64(number.Draw(t, "a"))
			v += p.a[i][j] * p.fit[j]
		}
		p.rl[i], p.rh[i] = v-float64(rapid.IntRange(0, 4).Draw(t, "under")), v+float64(rapid.IntRange(0, 4).Draw(t, "over"))
	}
	return p
}

// write writes the first m rows.
func (p programme) write(s *Simplex, m int) {
	s.Reset(p.rl[:m], p.rh[:m])
	for j := range p.cost {
		var rows []int32
		var coef []float64
		for i := range m {
			if p.a[i][j] != 0 {
				rows, coef = append(rows, int32(i)), append(coef, p.a[i][j])
			}
		}
		s.Add(p.cost[j], p.lo[j], p.hi[j], rows, coef)
	}
}

func proven(t *rapid.T, s *Simplex, a [][]float64, x, lo, hi, rl, rh, cost []float64) {
	for i := range a {
		v := 0.0
		for j := range x {
			v += a[i][j] * x[j]
		}
		y := s.Dual(i)
		if v < rl[i]-slack || v > rh[i]+slack || y > slack && v > rl[i]+slack || y < -slack && v < rh[i]-slack {
			t.Fatalf("row %d: %v in [%v, %v], dual %v", i, v, rl[i], rh[i], y)
		}
	}
	for j := range x {
		r := cost[j]
		for i := range a {
			r -= s.Dual(i) * a[i][j]
		}
		if x[j] < lo[j]-slack || x[j] > hi[j]+slack || r > slack && x[j] > lo[j]+slack || r < -slack && x[j] < hi[j]-slack {
			t.Fatalf("column %d: %v in [%v, %v], reduced cost %v", j, x[j], lo[j], hi[j], r)
		}
	}
}

// TestSmallAgrees compares Small with Simplex on covering programmes like those of a dive.
func TestSmallAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := rapid.IntRange(1, 8).Draw(t, "rows"), rapid.IntRange(0, 40).Draw(t, "columns")
		inf := math.Inf(1)
		lo, hi := make([]float64, m), make([]float64, m)
		for r := range m {
			lo[r] = float64(rapid.IntRange(0, 50).Draw(t, "least"))
			hi[r] = lo[r] + float64(rapid.IntRange(0, 9).Draw(t, "room"))
		}
		if rapid.Bool().Draw(t, "limited") {
			lo[m-1], hi[m-1] = -inf, float64(rapid.IntRange(1, 60).Draw(t, "limit"))
		}
		var a Simplex
		var b Small
		a.Reset(lo, hi)
		b.Reset(lo, hi)
		begin := make([]int, m)
		for r := range m {
			begin[r] = -1
			if lo[r] > 0 {
				a.Add(1e4, 0, inf, []int32{int32(r)}, []float64{1})
				begin[r] = b.Add(1e4, inf, []int32{int32(r)}, []float64{1})
			}
		}
		for range n {
			var rows []int32
			var coef []float64
			for r := range m {
				if v := rapid.IntRange(-1, 4).Draw(t, "a"); v > 0 {
					rows, coef = append(rows, int32(r)), append(coef, float64(v))
				}
			}
			c := float64(rapid.IntRange(0, 30).Draw(t, "cost"))
			h := inf
			if rapid.IntRange(0, 3).Draw(t, "bounded") == 0 {
				h = float64(rapid.IntRange(1, 9).Draw(t, "most"))
			}
			a.Add(c, 0, h, rows, coef)
			b.Add(c, h, rows, coef)
		}
		b.Begin(begin)
		if st := b.Solve(10000); st != Optimal || a.Solve(0) != Optimal {
			t.Fatalf("status %v", st)
		}
		if v, w := a.Objective(), b.Objective(); math.Abs(v-w) > 1e-6*(1+math.Abs(v)) {
			t.Fatalf("%v, small says %v", v, w)
		}
	})
}
