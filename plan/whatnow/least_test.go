package whatnow

import (
	"context"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// The least run that tops J1002 up, by hand: 120 m, the shortest run, at 5 outs
// of 320 on 1,800 (trim 200, 100 a side) is ⌊120/0.945⌋ = 126 cuts, 630 sheets
// (planning handbook, scenario 17); 50 boxes want ⌈(50 + 15 + 12)/0.994⌉ = 78.
func TestLeastRuns(t *testing.T) {
	b := demo.Book()
	in, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Rounds: 30, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	k := ident.NewRelease("J1002", "", "")
	r := &repair{Problem: Problem{Book: b, Plan: in, Now: demo.Now, Event: Event{Kind: Short, Release: k, Good: 11350}}}
	trim, err := plan.Trim(b, plan.Options{Now: demo.Now})
	if err != nil {
		t.Fatal(err)
	}
	l, _ := lineOf(b, k)
	for _, o := range trim.Orders {
		if o.Order != "J1002" {
			continue
		}
		found := false
		for _, top := range r.leastRuns(trim, o, l) {
			if top.boxes < 50 {
				t.Errorf("%d outs on %v give %d boxes, the customer lacks 50", top.run.Lanes[0].Outs, top.run.Web, top.boxes)
			}
			if top.run.Web == quantity.FromMillimetres(1800) {
				found = top.run.Lanes[0].Outs == 5 && top.run.Length == quantity.FromMetres(120) && top.sheets == 630
			}
		}
		if !found {
			t.Error("120 m × 5 outs on 1,800 = 630 sheets is not among the least runs")
		}
	}
}
