package plan_test

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// TestReserve: hand. A copy of J1001 (443 × 1439 mm on B-ST) that no run makes:
// the estimate draws all plies of its grade on one web, at least its sheets' board, a
// day before it is due; what the plan makes is not reserved twice.
func TestReserve(t *testing.T) {
	b := demo.Book()
	p, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Seed: 1, Rounds: 20})
	if err != nil {
		t.Fatal(err)
	}
	if draws, unknown := plan.Reserve(b, p, demo.Now); len(draws) != 0 || unknown != 0 {
		t.Fatalf("everything is planned, and yet %d draws, %d unknown", len(draws), unknown)
	}
	l := b.Lines[0]
	l.Key = ident.NewRelease("J9001", "", "")
	b.Lines = append(b.Lines, l)
	draws, unknown := plan.Reserve(b, p, demo.Now)
	if len(draws) != 3 || unknown != 0 {
		t.Fatalf("%d draws of a board of three plies, %d unknown", len(draws), unknown)
	}
	d := p.Demands[0]
	outs := math.Floor((draws[0].Web.Metres() - 2*b.Plant.Corrugator.Limits.SideTrimMin.Metres()) / d.Sheet.Slit.Metres())
	want := math.Ceil(float64(d.Wanted)/outs) * d.Sheet.Chop.Metres()
	if got := draws[0].Metres; math.Abs(got.Metres()-want) > 0.01 || !draws[0].Estimated {
		t.Errorf("%s of liner, %.2f m by hand", got, want)
	}
	if draws[1].Metres < draws[0].Metres+quantity.FromMetres(1) {
		t.Error("the medium has no take-up")
	}
	if at := l.Due.Add(-24 * time.Hour); at.After(demo.Now) && !draws[0].At.Equal(at) {
		t.Errorf("drawn at %s, due %s", draws[0].At, l.Due)
	}
}
