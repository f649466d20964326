package combine

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Hand. 1,000 pieces of 1,004 × 1,000 fit on 1,020 and on 1,100 at a price of 0.5 an area of a
// million. Of 1,020 there are 100,000 of length: one more saves 80 of width on that length, 40 of a
// thousandth, and a piece more is cut from 1,100. With 2,000,000 nothing is short.
func TestResourcePricesByHand(t *testing.T) {
	p := &Problem{
		Line: Line{TrimMost: 1 << 40, Outs: 8, LevelOuts: []int{8}, Orders: 8, Marks: 99, RunLeast: 1},
		Stocks: []Stock{
			{Width: 1020, Price: .5e-6, Draws: []Draw{{Resource: 0, PerLength: 1}}},
			{Width: 1100, Price: .5e-6},
		},
		Items:  []Item{{Width: 1004, Length: 1000, Least: 1000, Want: 1000, Most: 1000, Kinds: []int{0}}},
		Limits: []float64{100_000},
	}
	y := ResourcePrices(p, nil)
	if !y.Settled || math.Abs(y.Resource[0]-40e-6) > 1e-12 || math.Abs(y.Item[0]-.55) > 1e-9 || math.Abs(y.Cost-546) > 1e-6 {
		t.Errorf("%+v; 0.00004 a length, 0.55 a piece, 546 in all by hand", y)
	}
	p.Limits[0] = 2_000_000
	if y := ResourcePrices(p, nil); y.Resource[0] != 0 || math.Abs(y.Item[0]-.51) > 1e-9 || math.Abs(y.Cost-510) > 1e-6 {
		t.Errorf("enough of it: %+v; 0, 0.51 and 510 by hand", y)
	}
}

// Chvátal, Linear Programming, 1983, ch. 5 (from memory): the programme's value is convex in a limit and its
// price a subgradient, so a limit's change by d changes the value by at least −price·d; and no plan that makes
// all items costs less than the programme.
func TestResourcePricesAreSubgradients(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawn(rt)
		p.Line.RunLoss, p.Line.Rejects, p.Line.RunLeast = 0, 0, 1 // a limit on the longest run changes columns, too
		for i := range p.Items {
			p.Items[i].Parts = 0
		}
		p.Limits = []float64{300 + p.Limits[0], float64(rapid.IntRange(300, 100_000).Draw(rt, "second limit"))}
		for k := range p.Stocks {
			if rapid.Bool().Draw(rt, "draws") {
				p.Stocks[k].Draws = append(slices.Clone(p.Stocks[k].Draws), Draw{1, 1})
			}
		}
		res := Solve(&p, Options{Rounds: 3, Workers: 1, Unproven: true})
		for _, i := range res.Left {
			p.Items[i].Least, p.Items[i].Want = 0, 0
		}
		y := ResourcePrices(&p, nil)
		if !y.Settled {
			rt.Fatalf("not settled: %+v", y)
		}
		slack := 3e-6 * y.Cost
		if y.Cost > res.Cost+slack {
			rt.Fatalf("programme %v above the plan's %v", y.Cost, res.Cost)
		}
		q := p
		q.Limits = append([]float64{}, p.Limits...)
		for k := range q.Limits {
			d := float64(rapid.IntRange(0, 50_000).Draw(rt, "more"))
			q.Limits[k] = p.Limits[k] + d
			if z := ResourcePrices(&q, nil); z.Cost < y.Cost-y.Resource[k]*d-slack {
				rt.Fatalf("resource %d: %v more save %v, its price is %v", k, d, y.Cost-z.Cost, y.Resource[k])
			}
			q.Limits[k] = p.Limits[k]
		}
	})
}
