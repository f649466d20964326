package desk_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// planOf is a small plan made by hand.
func planOf(cost quantity.Money, orders ...string) *plan.Plan {
	p := &plan.Plan{Summary: plan.Summary{Cost: cost, Orders: 42, Planned: len(orders)}}
	for i, o := range orders {
		key := ident.NewRelease(o, "", "")
		p.Runs = append(p.Runs, runs.Run{Seq: i + 1, Grade: "B-ST", Web: 2200 * quantity.Millimetre, Length: quantity.FromMetres(1000),
			Lanes: []runs.Lane{{Order: o, Level: 1, Outs: 4, Sheets: 2000}}})
		p.Orders = append(p.Orders, runs.Made{Order: o, Planned: 2000, Runs: []int{i + 1}})
		p.Clock.Jobs = append(p.Clock.Jobs, jobs.Job{Release: key, Step: 1, Machine: "FFG-1"})
		p.Clock.Finishes = append(p.Clock.Finishes, jobs.Finish{Release: key})
	}
	p.Totals.Length = quantity.FromMetres(1000 * float64(len(orders)))
	return p
}

func answers(p *plan.Plan) func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) {
	return func(_ context.Context, b plant.Book, o plan.Options) (*plan.Plan, error) {
		o.OnProgress(plan.Progress{Stage: "runs", Cost: p.Summary.Cost})
		return p, nil
	}
}

// untilCancelled finds a plan, says so and goes on until it is told to end.
func untilCancelled(p *plan.Plan) func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) {
	return func(ctx context.Context, b plant.Book, o plan.Options) (*plan.Plan, error) {
		o.OnProgress(plan.Progress{Stage: "runs", Cost: p.Summary.Cost})
		<-ctx.Done()
		return p, nil
	}
}

func start(t *testing.T, h *house, o desk.PlanOptions) ident.Plan {
	t.Helper()
	id, err := h.StartPlan(t.Context(), o, "Ana")
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// last watches a plan to its end.
func last(t *testing.T, h *house, id ident.Plan) desk.PlanHead {
	t.Helper()
	ch, err := h.WatchPlan(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	var head desk.PlanHead
	for head = range ch {
	}
	return head
}

func TestAPlanIsMadeFromTheBookAndKept(t *testing.T) {
	h := demoHouse(t)
	h.make = func(_ context.Context, b plant.Book, o plan.Options) (*plan.Plan, error) {
		if len(b.Lines) != 42 || !o.Now.Equal(h.clock()) || o.Seconds != 3 || o.Seed != 9 {
			t.Errorf("%d lines, %+v", len(b.Lines), o)
		}
		return planOf(100, "J1001"), nil
	}
	id := start(t, h, desk.PlanOptions{Seconds: 3, Seed: 9, Note: "first"})
	head := last(t, h, id)
	if head.State != desk.PlanReady || head.Summary.Cost != 100 || head.Note != "first" || head.Who != "Ana" || head.Revision != h.snapshot(t).Revision {
		t.Fatalf("%+v", head)
	}
	p, kept, err := h.another(t).Plan(t.Context(), id)
	if err != nil || len(p.Runs) != 1 || kept.State != desk.PlanReady || kept.ID != id {
		t.Errorf("%+v, %v", kept, err)
	}
	h.make = answers(planOf(90, "J1001"))
	second := start(t, h, desk.PlanOptions{})
	last(t, h, second)
	if heads, err := h.Plans(t.Context()); err != nil || len(heads) != 2 || heads[0].ID != second {
		t.Errorf("%+v, %v", heads, err)
	}
}

func TestCancelKeepsTheBestSoFar(t *testing.T) {
	h := demoHouse(t)
	h.make = untilCancelled(planOf(100, "J1001"))
	id := start(t, h, desk.PlanOptions{})
	ch, err := h.WatchPlan(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	for head := range ch {
		if head.State == desk.PlanRunning && head.Progress.Cost == 100 { // it has something
			if _, _, err := h.Plan(t.Context(), id); !errors.Is(err, fault.Refused) {
				t.Errorf("a running plan: %v", err)
			}
			if err := h.CancelPlan(t.Context(), id); err != nil {
				t.Fatal(err)
			}
		}
	}
	head, err := h.PlanHead(t.Context(), id)
	if err != nil || head.State != desk.PlanCancelled || head.Summary.Cost != 100 {
		t.Fatalf("%+v, %v", head, err)
	}
	if err := h.CancelPlan(t.Context(), id); err != nil {
		t.Errorf("cancelling what has ended: %v", err)
	}
	if err := h.CancelPlan(t.Context(), 99); !errors.Is(err, fault.NotFound) {
		t.Errorf("cancelling what is not there: %v", err)
	}
}

func TestAPlanThatFailsSaysWhyAndIsNotKept(t *testing.T) {
	for name, c := range map[string]struct {
		make  func(context.Context, plant.Book, plan.Options) (*plan.Plan, error)
		check error
		fault string
	}{
		"a fault": {make: func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) {
			return nil, fault.Violations{{Field: "webs_mm", Rule: "must not be empty"}}
		}, fault: "webs_mm: must not be empty"},
		"an internal error": {make: func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) {
			return nil, errors.New("index 7 out of range")
		}, fault: "an internal error"},
		"a panic": {make: func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) {
			panic("broken invariant")
		}, fault: "an internal error"},
		"nothing": {make: func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) {
			return nil, nil
		}, fault: "an internal error"},
		"a plan that does not pass its check": {make: answers(planOf(1, "J1001")), check: errors.New("run 1 overlaps"), fault: "an internal error"},
	} {
		h := demoHouse(t)
		h.make, h.check = c.make, c.check
		id := start(t, h, desk.PlanOptions{})
		head := last(t, h, id)
		if head.State != desk.PlanFailed || !strings.HasPrefix(head.Fault, c.fault) {
			t.Errorf("%s: %s, %q", name, head.State, head.Fault)
		}
		if _, _, err := h.Plan(t.Context(), id); !errors.Is(err, fault.Refused) {
			t.Errorf("%s: has a body: %v", name, err)
		}
		if err := h.PutInForce(t.Context(), id, desk.AreaCorrugator, "Ana"); !errors.Is(err, fault.Refused) {
			t.Errorf("%s: in force: %v", name, err)
		}
		h.runner.Wait()
	}
}

func TestAnInterruptedPlanCanBeStartedAgain(t *testing.T) {
	h := demoHouse(t)
	id, err := h.store.NewPlan(t.Context(), desk.PlanHead{State: desk.PlanInterrupted, Options: desk.PlanOptions{Seed: 5}})
	if err != nil {
		t.Fatal(err)
	}
	if head := last(t, h, id); head.State != desk.PlanInterrupted {
		t.Errorf("%s", head.State)
	}
	h.make = answers(planOf(100, "J1001"))
	if err := h.RestartPlan(t.Context(), id, "Bo"); err != nil {
		t.Fatal(err)
	}
	if head := last(t, h, id); head.State != desk.PlanReady || head.Options.Seed != 5 || head.Who != "Bo" {
		t.Errorf("%+v", head)
	}
	if err := h.RestartPlan(t.Context(), id, "Bo"); !errors.Is(err, fault.Conflict) {
		t.Errorf("starting a ready plan again: %v", err)
	}
}

func TestAShutDownCountsAsCancelled(t *testing.T) {
	h := demoHouse(t)
	h.make = untilCancelled(planOf(100, "J1001"))
	id := start(t, h, desk.PlanOptions{})
	if err := h.runner.Shutdown(t.Context()); err != nil {
		t.Fatal(err)
	}
	if head, err := h.PlanHead(t.Context(), id); err != nil || head.State != desk.PlanCancelled {
		t.Errorf("%+v, %v", head, err)
	}
	if _, err := h.StartPlan(t.Context(), desk.PlanOptions{}, "Ana"); !errors.Is(err, fault.Refused) {
		t.Errorf("a plan after the end: %v", err)
	}
}

func TestAWatcherMayLeave(t *testing.T) {
	h := demoHouse(t)
	h.make = untilCancelled(planOf(100, "J1001"))
	id := start(t, h, desk.PlanOptions{})
	ctx, leave := context.WithCancel(t.Context())
	ch, err := h.WatchPlan(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	leave()
	for range ch {
	}
	if err := h.CancelPlan(t.Context(), id); err != nil {
		t.Error(err)
	}
	h.runner.Wait()
}

func TestPlanOptionsAreChecked(t *testing.T) {
	h := emptyHouse(t)
	if _, err := h.StartPlan(t.Context(), desk.PlanOptions{Seconds: -1}, "Ana"); !errors.Is(err, fault.Invalid) {
		t.Error(err)
	}
	h.make = answers(planOf(1))
	if _, err := h.StartPlan(t.Context(), desk.PlanOptions{}, "Ana"); !errors.Is(err, fault.Refused) {
		t.Errorf("a plan of an empty book: %v", err)
	}
}

func TestInForceByArea(t *testing.T) {
	h := demoHouse(t)
	if _, _, err := h.Current(t.Context()); !errors.Is(err, fault.NotFound) {
		t.Errorf("no plan yet: %v", err)
	}
	h.make = answers(planOf(100, "J1001"))
	a := start(t, h, desk.PlanOptions{})
	last(t, h, a)
	b := start(t, h, desk.PlanOptions{})
	last(t, h, b)
	if _, head, err := h.Current(t.Context()); err != nil || head.ID != b {
		t.Errorf("the newest usable: %d, %v", head.ID, err)
	}
	for _, area := range []string{desk.AreaCorrugator, desk.AreaTrucks, "FFG-1"} {
		if err := h.PutInForce(t.Context(), a, area, "Ana"); err != nil {
			t.Error(err)
		}
	}
	if err := h.PutInForce(t.Context(), b, "FFG-1", "Bo"); err != nil {
		t.Error(err)
	}
	if err := h.PutInForce(t.Context(), a, "KITCHEN", "Ana"); !errors.Is(err, fault.Invalid) {
		t.Errorf("an unknown area: %v", err)
	}
	if err := h.PutInForce(t.Context(), 99, desk.AreaTrucks, "Ana"); !errors.Is(err, fault.NotFound) {
		t.Errorf("an unknown plan: %v", err)
	}
	now, err := h.InForce(t.Context())
	if err != nil || now[desk.AreaCorrugator] != a || now["FFG-1"] != b || len(now) != 3 {
		t.Errorf("%v, %v", now, err)
	}
	if _, head, err := h.Current(t.Context()); err != nil || head.ID != a {
		t.Errorf("current is %d, %v", head.ID, err)
	}
}

func TestCompare(t *testing.T) {
	h := demoHouse(t)
	pa, pb := planOf(100, "J1001", "J1002"), planOf(80, "J1002", "J1003")
	pa.Clock.Finishes[1].Late = 90
	pa.Summary.Late, pa.Summary.LateHours, pa.Totals.WastePct = 1, 1.5, 3.5
	h.make = answers(pa)
	a := start(t, h, desk.PlanOptions{})
	last(t, h, a)
	h.make = answers(pb)
	b := start(t, h, desk.PlanOptions{})
	last(t, h, b)
	c, err := h.Compare(t.Context(), a, b)
	if err != nil {
		t.Fatal(err)
	}
	if c.Cost.A != 100 || c.Cost.B != 80 || c.Late.A != 1 || c.Late.B != 0 || c.LateHours.A != 1.5 || c.WastePct.A != 3.5 || c.Metres.A != c.Metres.B {
		t.Errorf("%+v", c)
	}
	if len(c.OnlyA) != 1 || c.OnlyA[0].Lanes[0].Order != "J1001" || len(c.OnlyB) != 1 || c.OnlyB[0].Lanes[0].Order != "J1003" {
		t.Errorf("only in a %v, only in b %v", c.OnlyA, c.OnlyB)
	}
	if len(c.Orders) != 3 || c.Orders[0].Release.Order != "J1002" || c.Orders[0].Late.A != 90 || c.Orders[1].Planned.B || c.Orders[2].Sheets.B != 2000 {
		t.Errorf("%+v", c.Orders)
	}
	if c, err := h.Compare(t.Context(), a, a); err != nil || len(c.Orders)+len(c.OnlyA)+len(c.OnlyB) != 0 {
		t.Errorf("a plan beside itself: %+v, %v", c, err)
	}
	if _, err := h.Compare(t.Context(), a, 99); !errors.Is(err, fault.NotFound) {
		t.Error(err)
	}
}
