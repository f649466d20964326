package plan_test

import (
	"context"
	"math"
	"testing"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// hand: a minute costs nothing, 392/60 or 1480/60 by the choice; what is dearer is not used more.
func TestMinutePrice(t *testing.T) {
	minutes := map[plan.Minute]float64{}
	for _, c := range []struct {
		minute plan.Minute
		each   float64
	}{{plan.MinuteFree, 0}, {plan.MinuteIdle, 392.0 / 60}, {plan.MinuteBottleneck, 1480.0 / 60}} {
		p, err := plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Seed: 1, Rounds: 20, Minute: c.minute})
		if err != nil {
			t.Fatal(err)
		}
		used := p.Totals.CostUnits["minutes"].Amount
		if cost := float64(p.Totals.CostTerms["minutes"]); (c.each > 0) != (cost > 0) || math.Abs(cost-c.each*used) > 1e-6*cost+1e-9 {
			t.Errorf("%q: %.1f min cost %.2f, want %.4f each", c.minute, used, cost, c.each)
		}
		minutes[c.minute] = used
	}
	if minutes[plan.MinuteBottleneck] > minutes[plan.MinuteIdle]*1.02 {
		t.Errorf("a bottleneck's plan takes %.0f min, an idle one's %.0f", minutes[plan.MinuteBottleneck], minutes[plan.MinuteIdle])
	}
	if _, err := plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Minute: "cheap"}); err == nil {
		t.Error("a price that is not known was taken")
	}
}
