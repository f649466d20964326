package runs

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/quantity"
)

// TestSequenceWithEveryPrice compares the sequence of up to 6 runs with all of
// them where each change has a price and orders are late: web, grade, flute,
// wall, adhesive and lateness (hand: every permutation is priced).
func TestSequenceWithEveryPrice(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 6)
		c := &p.Corrugator
		c.WebChangeLoss, c.GradeChangeLoss, c.Speed = metres(18), metres(12), 200*quantity.MetrePerMinute
		p.Begins = time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC)
		p.Grades[0].Flute, p.Grades[1].Flute, p.Grades[1].Wall = "B", "BC", 2
		p.Changes = Changes{FluteLoss: metres(20), WallLoss: metres(30), AdhesiveLoss: metres(40)}
		for i := range p.Orders {
			o := &p.Orders[i]
			o.Adhesive = rapid.SampledFrom([]string{"", "dry", "wet"}).Draw(t, "adhesive")
			o.LateCost, o.Due = 30, p.Begins.Add(time.Duration(rapid.IntRange(-2, 90).Draw(t, "due"))*time.Minute)
		}
		a := solved(t, p, 3)
		if n := len(a.Runs); n < 2 || n > 6 {
			return
		}
		compared++
		order := make([]int, len(a.Runs))
		for i := range order {
			order[i] = i
		}
		best := a.Totals.Cost
		permute(order, 0, func(o []int) { best = min(best, Resequence(p, a, o).Totals.Cost) })
		if float64(a.Totals.Cost) > float64(best)*(1+1e-9) {
			t.Fatalf("%d runs cost %v in their sequence, %v in another", len(a.Runs), a.Totals.Cost, best)
		}
	})
	if compared == 0 {
		t.Error("no plan had 2 to 6 runs")
	}
}
