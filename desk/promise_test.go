package desk_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// A promise needs a plan; it is set into the one that holds, keeps nothing, and
// counts the ended jobs and runs that its chance would rest on.
func TestPromiseFromThePlanAndTheLedger(t *testing.T) {
	h := demoHouse(t)
	ask := plan.Ask{Item: "FW-1002", Quantity: 12000, Due: demo.Now.AddDate(0, 0, 3), DueAt: "dock"}
	if _, _, err := h.Promise(t.Context(), ask); !errors.Is(err, fault.NotFound) {
		t.Errorf("without a plan: %v", err)
	}
	h.make = func(ctx context.Context, b plant.Book, o plan.Options) (*plan.Plan, error) {
		o.Rounds = 3
		return plan.Make(ctx, b, o)
	}
	id := start(t, h, desk.PlanOptions{Seed: 1})
	if head := last(t, h, id); !head.State.Usable() {
		t.Fatalf("plan is %s: %s", head.State, head.Fault)
	}
	before := h.snapshot(t).Revision
	got, head, err := h.Promise(t.Context(), ask)
	if err != nil || head.ID != id || got.Sentence == "" || got.Chance.Known {
		t.Fatalf("%v %+v", err, got)
	}
	if n := len(h.snapshot(t).Lines); n != len(demo.Book().Lines) || h.snapshot(t).Revision != before {
		t.Errorf("asking left a trace: %d lines, revision %d after %d", n, h.snapshot(t).Revision, before)
	}
	h.later(3 * time.Hour)
	began, ended := told("j1", trace.JobStarted, 0), told("j2", trace.JobEnded, 9000)
	ended.At = demo.Now.Add(time.Hour)
	record(t, h, began)
	record(t, h, ended)
	if got, _, err = h.Promise(t.Context(), ask); err != nil {
		t.Fatal(err)
	}
	for _, s := range got.Chance.Samples {
		want := 0
		if s.Station == "FFG-1" {
			want = 1
		}
		if s.N != want {
			t.Errorf("%s rests on %d ended, told were %d", s.Station, s.N, want)
		}
	}
	ask.Due = demo.Now
	if _, _, err := h.Promise(t.Context(), ask); !errors.Is(err, fault.Invalid) {
		t.Errorf("a time that is over: %v", err)
	}
}
