package lp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestFactor: what the factors of a basis solve, the basis itself confirms, for rows and for columns, also where a
// column names a row twice; positions that depend on others are named, with as many rows for them.
func TestFactor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.IntRange(1, 40).Draw(t, "rows")
		var beg, idx []int32
		var val []float64
		beg = append(beg, 0)
		head := make([]int32, m)
		a := make([][]float64, m)
		for r := range a {
			a[r] = make([]float64, m)
		}
		for k := range m {
			head[k] = int32(k)
			for range rapid.IntRange(1, 6).Draw(t, "entries") {
				r := rapid.IntRange(0, m-1).Draw(t, "row")
				v := float64(rapid.IntRange(1, 9).Draw(t, "value")) / 3
				idx, val = append(idx, int32(r)), append(val, v)
				a[r][k] += v
			}
			beg = append(beg, int32(len(idx)))
		}
		var f factor
		positions, rows := f.build(m, head, beg, idx, val)
		if len(positions) != len(rows) {
			t.Fatalf("%d positions depend, %d rows are left", len(positions), len(rows))
		}
		if len(positions) > 0 {
			return
		}
		b, x, y := make([]float64, m), make([]float64, m), make([]float64, m)
		for r := range b {
			b[r] = float64(rapid.IntRange(-5, 5).Draw(t, "right side"))
		}
		f.ftran(append([]float64(nil), b...), x)
		f.btran(append([]float64(nil), b...), y)
		size := 1.0
		for k := range m {
			size = max(size, math.Abs(x[k]), math.Abs(y[k]))
		}
		for r := range m {
			row, column := -b[r], -b[r]
			for k := range m {
				row += a[r][k] * x[k]
				column += a[k][r] * y[k]
			}
			if math.Abs(row) > 1e-9*size || math.Abs(column) > 1e-9*size {
				t.Fatalf("row %d misses by %v, column by %v", r, row, column)
			}
		}
	})
}
