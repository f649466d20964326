package whatnow_test

import (
	"context"
	"testing"
	"time"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// The corrugator's overtime of the plan in force stays in every way on: an event
// that does not touch it makes nobody late for want of it.
func TestOvertimeStays(t *testing.T) {
	b := demo.Book()
	b.Plant.Corrugator.Shifts = []string{"early"}
	b.Plant.Overtime = plant.Overtime{PerHour: 1e6, Most: 120, Corrugator: 150}
	for i := range b.Lines {
		b.Lines[i].Due = demo.Now.Add(time.Duration(14+i%5*6) * time.Hour)
	}
	in, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Rounds: 20, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if in.Clock.Overtime <= 0 {
		t.Fatal("the plan in force works no overtime")
	}
	p := whatnow.Problem{Book: b, Plan: in, Now: demo.Now, Silent: true, Event: whatnow.Event{Kind: whatnow.MachineDown, Machine: "SFG-1", Until: demo.Now.Add(time.Minute)}}
	r, err := whatnow.Solve(t.Context(), p, whatnow.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := whatnow.Check(p, r); err != nil {
		t.Error(err)
	}
	nothing := r.Answers[0]
	if len(nothing.Newly) > 0 || nothing.Plan.Clock.Overtime != in.Clock.Overtime {
		t.Errorf("doing nothing: %d orders later than planned, overtime %.2f after %.2f", len(nothing.Newly), nothing.Plan.Clock.Overtime, in.Clock.Overtime)
	}
}
