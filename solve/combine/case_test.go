package combine_test

import (
	"testing"

	"github.com/flutewright/flutewright/internal/bench/trimcase"
	"github.com/flutewright/flutewright/solve/combine"
)

// TestMadeUpBooks holds the engine to what it reaches on made-up books in a
// number of rounds: the gap between cost and bound in %.
func TestMadeUpBooks(t *testing.T) {
	for _, c := range []struct {
		n      int
		rounds int
		gap    float64
	}{{20, 1500, .2}, {60, 600, .35}, {120, 300, .8}} {
		p := trimcase.Whole(c.n, 1)
		r := combine.Solve(&p, combine.Options{Rounds: c.rounds, Seed: 1})
		if err := combine.Check(p, r); err != nil || len(r.Left) > 0 {
			t.Fatalf("%d orders: %v, left %v", c.n, err, r.Left)
		}
		if g := 100 * (r.Cost/r.Bound - 1); g > c.gap {
			t.Errorf("%d orders: gap %.3f %%, at most %.2f", c.n, g, c.gap)
		}
	}
}

// TestThreadsDoNotMatterOnLargePlans, where two searches share one plan.
func TestThreadsDoNotMatterOnLargePlans(t *testing.T) {
	p := trimcase.Whole(70, 2)
	a := combine.Solve(&p, combine.Options{Rounds: 200, Workers: 1})
	b := combine.Solve(&p, combine.Options{Rounds: 200, Workers: 3})
	if a.Cost != b.Cost || a.Bound != b.Bound {
		t.Errorf("cost %v and %v, bound %v and %v", a.Cost, b.Cost, a.Bound, b.Bound)
	}
}
