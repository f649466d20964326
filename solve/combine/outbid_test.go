package combine

import "testing"

// TestWiderStockOfHigherCredit: hand: one strip of 81 costs 1.5 · 120 = 180 a
// length on the narrower stock, 1.5 · 122 − 0.2 · 41 = 174.8 on the wider one,
// which pays 0.2 for what is not good: ten pieces of 40 cost 69,920.
func TestWiderStockOfHigherCredit(t *testing.T) {
	p := Problem{
		Line:   Line{TrimMost: 41, Outs: 2, LevelOuts: []int{2}, Orders: 1, RunLeast: 1},
		Stocks: []Stock{{Width: 120, Price: 1.5}, {Width: 122, Price: 1.5, Credit: 0.2}},
		Items:  []Item{{Width: 81, Length: 40, Least: 10, Want: 10, Most: 10, Kinds: []int{0}}},
	}
	r := Solve(&p, Options{Rounds: 5})
	if err := Check(p, r); err != nil {
		t.Fatal(err)
	}
	if r.Cost != 69_920 || r.Bound > r.Cost*(1+1e-9) {
		t.Errorf("cost %v, bound %v", r.Cost, r.Bound)
	}
}
