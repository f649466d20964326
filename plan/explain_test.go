package plan_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
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

// TestExplainOffersASubstitute: where all rolls of a paper are on hold, the orders
// left on a board with it may be freed by the substitute that the plant permits.
func TestExplainOffersASubstitute(t *testing.T) {
	b := demo.Book()
	grade := map[ident.Item]ident.Grade{}
	for _, i := range b.Items {
		grade[i.Code] = i.Grade
	}
	b.Lines = slices.DeleteFunc(slices.Clone(b.Lines), func(l order.Line) bool { return grade[l.Item] != "E-BR" })
	b.Rolls = slices.Clone(b.Rolls)
	for i := range b.Rolls {
		b.Rolls[i].Hold = b.Rolls[i].Hold || b.Rolls[i].Paper == "TL125"
	}
	opt := plan.Options{Now: demo.Now, Seed: 1, Rounds: 10}
	p, err := plan.Make(context.Background(), b, opt)
	if err != nil {
		t.Fatal(err)
	}
	got, err := plan.Explain(context.Background(), b, p, opt, runs.ExplainOptions{Rounds: 1, Plans: -1, Orders: 9})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Unplanned) == 0 {
		t.Fatal("no order is left")
	}
	for _, u := range got.Unplanned {
		for _, f := range u.Frees {
			if f.Limit == "plies" && strings.Contains(f.Words, "TL140 in place of TL125 in ply") {
				return
			}
		}
	}
	t.Errorf("none of %d orders is freed by it", len(got.Unplanned))
}
