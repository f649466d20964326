package plan_test

import (
	"context"
	"testing"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// hand: with free minutes no minute costs anything; a bottleneck's minute costs
// 1480/392 of an idle one's for about the same runs.
func TestMinutePrice(t *testing.T) {
	terms := map[plan.Minute]float64{}
	for _, m := range []plan.Minute{plan.MinuteFree, plan.MinuteIdle, plan.MinuteBottleneck} {
		p, err := plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Seed: 1, Rounds: 20, Minute: m})
		if err != nil {
			t.Fatal(err)
		}
		terms[m] = float64(p.Totals.CostTerms["minutes"])
	}
	if terms[plan.MinuteFree] != 0 {
		t.Errorf("free minutes cost %v", terms[plan.MinuteFree])
	}
	if r := terms[plan.MinuteBottleneck] / terms[plan.MinuteIdle]; r < 3.6 || r > 3.9 {
		t.Errorf("a bottleneck's minutes cost %.2f times an idle one's, want about 1480/392 = 3.78", r)
	}
	if _, err := plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Minute: "cheap"}); err == nil {
		t.Error("a price that is not known was taken")
	}
}
