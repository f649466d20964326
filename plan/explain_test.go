package plan_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/demo"
)

// TestExplainPlan: every run of a plan says why it is on its web, and a plan of
// another kind makes the same orders; a book that has changed is said to have.
func TestExplainPlan(t *testing.T) {
	b := demo.Book()
	opt := plan.Options{Now: demo.Now, Seed: 1, Rounds: 20}
	p, err := plan.Make(context.Background(), b, opt)
	if err != nil {
		t.Fatal(err)
	}
	got, err := plan.Explain(context.Background(), b, p, opt, runs.ExplainOptions{Rounds: 5, Plans: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Runs) != len(p.Runs) {
		t.Fatalf("%d runs, %d explained", len(p.Runs), len(got.Runs))
	}
	for _, r := range got.Runs {
		if !strings.Contains(r.Words, " ") {
			t.Errorf("run %d: %q", r.Seq, r.Words)
		}
	}
	for _, d := range got.Different {
		if len(d.Answer.Orders) != len(p.Orders) {
			t.Errorf("%s: makes %d orders, the plan %d", d.Words, len(d.Answer.Orders), len(p.Orders))
		}
	}
	b.Lines = b.Lines[1:]
	if _, err := plan.Explain(context.Background(), b, p, opt, runs.ExplainOptions{Rounds: 5}); !errors.Is(err, fault.Conflict) {
		t.Errorf("an order is gone, and yet: %v", err)
	}
}
