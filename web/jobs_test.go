package web_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// What the clock knows of crews, overtime, begun and frozen jobs and worn tools
// is on the jobs page. The plan is the demo's with those lines written in by
// hand, so that each stands there for certain; it is not checked.
func TestJobsSayWhoWorksAndWhatIsHeld(t *testing.T) {
	made, err := demoPlan()
	if err != nil {
		t.Fatal(err)
	}
	with := *made
	with.Clock.Jobs = slices.Clone(made.Clock.Jobs)
	j := with.Clock.Jobs
	m := j[0].Machine
	if len(j) < 4 || j[3].Machine != m {
		t.Fatalf("the demo's first machine has fewer than four jobs")
	}
	j[0].Begun, j[1].Frozen, j[2].Overtime, j[3].Warning = true, true, 45, "die DC-7 has 900 strokes left"
	from := time.Date(2031, 3, 3, 21, 0, 0, 0, time.UTC)
	with.Clock.Manning = []jobs.Manning{
		{Machine: m, Shift: "early", From: from.Add(-16 * time.Hour), Until: from.Add(-8 * time.Hour)},
		{Machine: m, Shift: "late", From: from, Until: from.Add(45 * time.Minute), Overtime: true, Cost: 61},
		{Machine: "CORR-1", Shift: "night", From: from, Until: from.Add(30 * time.Minute), Overtime: true, Cost: 207},
	}
	b := opened(t, func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) { return &with, nil })
	b.Check = func(plant.Book, *plan.Plan) error { return nil }
	if err := b.SetUp(t.Context(), demo.Book(), "test"); err != nil {
		t.Fatal(err)
	}
	b.plan()
	b.says("/runs", "The corrugator's crew works over, which costs 207 EUR", "night")
	b.says("/jobs?machine="+string(m), "Who stands at "+string(m), "overtime costs 61 EUR", "its turn", "45 min overtime", "begun", "frozen",
		"2 jobs are begun or inside the freeze and keep their place", "die DC-7 has 900 strokes left", "tool near its limit")
}
