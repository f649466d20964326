package desk_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/trace"
)

// planning is the demo's desk with a real plan in force on the corrugator.
func planning(t *testing.T) (*house, ident.Plan) {
	t.Helper()
	h := demoHouse(t)
	h.make = func(ctx context.Context, b plant.Book, o plan.Options) (*plan.Plan, error) {
		o.Rounds = 60
		return plan.Make(ctx, b, o)
	}
	id := start(t, h, desk.PlanOptions{})
	if head := last(t, h, id); head.State != desk.PlanReady {
		t.Fatalf("plan: %s %s", head.State, head.Fault)
	}
	if err := h.PutInForce(t.Context(), id, desk.AreaCorrugator, "Ana"); err != nil {
		t.Fatal(err)
	}
	return h, id
}

// A machine stops: the fact is in the ledger once, however often the form is
// sent; an answer taken becomes a plan that rules the areas chosen; a second
// one is refused; that the ledger has moved in between is no matter.
func TestWhatNow(t *testing.T) {
	h, in := planning(t)
	h.later(3*time.Hour + 20*time.Minute)
	e := whatnow.Event{Kind: whatnow.MachineDown, Machine: "FFG-2", Until: h.Now().Add(220 * time.Minute), Cause: "feed drive"}
	w, err := h.WhatNow(t.Context(), e, "form-1", "Ben")
	if err != nil {
		t.Fatal(err)
	}
	h.later(time.Second)
	if again, err := h.WhatNow(t.Context(), e, "form-1", "Ben"); err != nil || again.ID != w.ID {
		t.Fatalf("sent twice: event %d, %v", again.ID, err)
	}
	facts, err := h.Facts(t.Context(), desk.FactQuery{Machine: "FFG-2"})
	if err != nil || len(facts) != 1 || facts[0].Kind != trace.Stopped || facts[0].Who != "Ben" {
		t.Fatalf("facts %+v, %v", facts, err)
	}
	if w.Plan != in || len(w.Result.Answers) < 2 {
		t.Fatalf("plan %d, %d answers", w.Plan, len(w.Result.Answers))
	}
	roll := h.snapshot(t).Rolls[0]
	record(t, h, trace.Fact{ID: "moved-on", At: h.Now(), Kind: trace.RollFound, Source: "desk", Roll: roll.ID, Place: "A9"})
	id, err := h.TakeAnswer(t.Context(), desk.Chosen{Event: w.ID, Answer: 1, Areas: []string{"FFG-1", "FFG-2"}}, "Ben")
	if err != nil {
		t.Fatal(err)
	}
	_, head, err := h.Plan(t.Context(), id)
	if err != nil || head.Note != w.Result.Answers[1].Title {
		t.Errorf("kept %q: %v", head.Note, err)
	}
	if ruling, _ := h.InForce(t.Context()); ruling["FFG-2"] != id || ruling[desk.AreaCorrugator] != in {
		t.Errorf("in force: %v", ruling)
	}
	if _, err := h.TakeAnswer(t.Context(), desk.Chosen{Event: w.ID, Answer: 2}, "Ben"); !errors.Is(err, fault.Conflict) {
		t.Errorf("a second answer: %v", err)
	}
	if _, err := h.Asked(99); !errors.Is(err, fault.NotFound) {
		t.Errorf("an event nobody asked: %v", err)
	}
}

// A short shipment needs a name; a re-make's child line goes into the book with
// its parent, its cause and what it costs.
func TestWhatNowShort(t *testing.T) {
	h, _ := planning(t)
	h.later(20 * time.Hour)
	j1002 := ident.NewRelease("J1002", "", "")
	w, err := h.WhatNow(t.Context(), whatnow.Event{Kind: whatnow.Short, Release: j1002, Good: 11350}, "", "Ben")
	if err != nil {
		t.Fatal(err)
	}
	_, err = h.TakeAnswer(t.Context(), desk.Chosen{Event: w.ID, Answer: 0}, "Ben")
	var vs fault.Violations
	if !errors.As(err, &vs) || !strings.Contains(err.Error(), "name") {
		t.Errorf("shipping short without a name: %v", err)
	}
	for i, a := range w.Result.Answers {
		for _, l := range a.Lines {
			if l.Parent == "" {
				continue
			}
			if _, err := h.TakeAnswer(t.Context(), desk.Chosen{Event: w.ID, Answer: i, By: "Cara"}, "Ben"); err != nil {
				t.Fatal(err)
			}
			child, _, err := h.Line(t.Context(), l.Key)
			if err != nil || child.Parent != "J1002" || child.Cause == "" || child.Cost <= 0 || child.Quantity != 650 {
				t.Errorf("child %+v: %v", child, err)
			}
			return
		}
	}
	t.Error("no answer makes it again")
}

// What is chosen by hand goes with the plan, and what cannot be kept is refused at once.
func TestPlanByHand(t *testing.T) {
	h, _ := planning(t)
	bad := desk.PlanOptions{Choices: plan.Choices{Pins: []plan.Pin{{Release: ident.NewRelease("J9999", "", "")}}}}
	if _, err := h.StartPlan(t.Context(), bad, "Ana"); !errors.Is(err, fault.Invalid) {
		t.Errorf("a pin of an order that is not there: %v", err)
	}
	if _, err := h.StartPlan(t.Context(), desk.PlanOptions{Broken: []string{desk.AreaCorrugator}}, "Ana"); !errors.Is(err, fault.Invalid) {
		t.Errorf("a broken freeze without a name: %v", err)
	}
	s, err := h.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	barred := s.Plant.Corrugator.Limits.Webs[2]
	id := start(t, h, desk.PlanOptions{Choices: plan.Choices{Barred: s.Plant.Corrugator.Limits.Webs[2:3]}})
	head := last(t, h, id)
	p, _, err := h.Plan(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range p.Runs {
		if r.Web == barred {
			t.Errorf("run %d is on the barred web", r.Seq)
		}
	}
	if len(head.Options.Choices.Barred) != 1 {
		t.Errorf("the head forgot the choice: %+v", head.Options)
	}
}

// A new plan keeps the frozen front of the plan in force, unless a named person
// breaks it.
func TestFrozenFront(t *testing.T) {
	h, in := planning(t)
	s, err := h.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	pl := s.Plant
	pl.Freezes = []plant.Freeze{{Area: desk.AreaCorrugator, Minutes: 240, Owner: "Ida"}}
	if err := h.SavePlant(t.Context(), pl, s.Version(desk.KindPlant, desk.PlantKey), "Ana", "freeze"); err != nil {
		t.Fatal(err)
	}
	before, _, err := h.Plan(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	frozen := 0
	for _, r := range before.Clock.Runs {
		if r.Start.Before(h.Now().Add(4 * time.Hour)) {
			frozen++
		}
	}
	o := desk.PlanOptions{Choices: plan.Choices{Barred: []quantity.Length{before.Runs[0].Web}}}
	front := func(o desk.PlanOptions) (n int) {
		id := start(t, h, o)
		if head := last(t, h, id); head.State != desk.PlanReady {
			t.Fatalf("plan: %s %s", head.State, head.Fault)
		}
		p, _, err := h.Plan(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		for n < len(p.Runs) && n < frozen && p.Runs[n].Web == before.Runs[n].Web && p.Runs[n].Length == before.Runs[n].Length && p.Runs[n].Lanes[0].Order == before.Runs[n].Lanes[0].Order {
			n++
		}
		return n
	}
	if got := front(o); got != frozen || frozen == 0 {
		t.Errorf("%d of %d frozen runs stay", got, frozen)
	}
	o.Broken, o.By = []string{desk.AreaCorrugator}, "Ida"
	if got := front(o); got != 0 {
		t.Errorf("%d runs stay though %s's freeze is broken and their web barred", got, o.By)
	}
}
