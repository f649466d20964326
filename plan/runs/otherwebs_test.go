package runs_test

import (
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// Hand: four outs of 22 5/8 are 90 1/2 in: 98 leaves 7 1/2 or 7.65 %, 93 ran
// with 2 1/2, 91 leaves 1/2 of the least 1, 99 leaves 8 1/2 of the most 8. 5 in ×
// 1,000 m at 0.30 less 0.05 a m² are 31.75.
func TestOtherWebs(t *testing.T) {
	in := quantity.FromInches
	most := in(4)
	limits := corrugator.Limits{Webs: []quantity.Length{in(91), in(93), in(98), in(99)}, SideTrimMin: in(0.5), SideTrimMax: &most}
	run := runs.Run{Web: in(93), Length: quantity.FromMetres(1000), Lanes: []runs.Lane{{Outs: 3, Slit: in(22.625)}, {Outs: 1, Slit: in(22.625)}}}
	want := []struct {
		web, trim, pct, cost float64
		bar                  runs.Bar
	}{{91, 0.5, 0.549, -12.7, runs.TooNarrow}, {98, 7.5, 7.653, 31.75, ""}, {99, 8.5, 8.586, 38.1, runs.TooWide}}
	got := runs.OtherWebs(run, limits, 0.30, 0.05)
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i, w := range want {
		g := got[i]
		if g.Web != in(w.web) || g.Trim != in(w.trim) || math.Abs(g.Pct-w.pct) > 5e-4 || math.Abs(float64(g.Cost)-w.cost) > 1e-9 || g.Bar != w.bar {
			t.Errorf("%v in: %+v, want %+v", w.web, g, w)
		}
	}
}
