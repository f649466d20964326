package plan_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// A new plan keeps what the plan in force has frozen: the first six hours of
// the corrugator, the first four of FFG-1 (4 to 8 h, common practice; the demo's
// planner freezes the run list at 06:15), and breaks it only where somebody is named.
func TestNewPlanKeepsTheFrozenFront(t *testing.T) {
	book := demo.Book()
	book.Plant.Freezes = []plant.Freeze{{Area: "corrugator", Minutes: 360, Owner: "planner"}, {Area: "FFG-1", Minutes: 240}}
	old := planOfMonday(t)
	now := demo.Now.Add(2 * time.Hour)
	inForce := map[string]*plan.Plan{"corrugator": old, "FFG-1": old}
	ids := map[string]ident.Plan{"corrugator": 7, "FFG-1": 7}
	// The crew says it has swapped the plan's third and fourth runs that are still to come.
	var ahead []int
	for _, r := range old.Clock.Runs {
		if r.End.After(now) {
			ahead = append(ahead, r.Run)
		}
	}
	swap := trace.Fact{ID: "s1", Kind: trace.RunsSwapped, At: now, Plan: 7, Run: ahead[1], Other: ahead[2]}
	front := plan.FrontOf(book, now, inForce, ids, []trace.Fact{swap}, nil, "")
	if len(front.Runs) < 3 || front.Runs[1].Seq != ahead[2] || front.Runs[2].Seq != ahead[1] {
		t.Fatalf("front of %d runs does not stand as the crew swapped them", len(front.Runs))
	}
	p, err := plan.Make(context.Background(), book, plan.Options{Now: now, Rounds: rounds, Seed: 3, Front: front})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range front.Runs {
		if r := p.Runs[i]; r.Web != f.Web || r.Grade != f.Grade || lanes(r.Lanes) != lanes(f.Lanes) || (r.Length-f.Length).Metres() > 1e-6 {
			t.Errorf("run %d is %s on %s, frozen is %s on %s", i+1, lanes(r.Lanes), r.Web, lanes(f.Lanes), f.Web)
		}
	}
	at := 0
	for _, j := range p.Clock.Jobs {
		if j.Machine == "FFG-1" && at < len(front.Jobs) {
			if k := front.Jobs[at]; j.Release != k.Release || !j.Frozen {
				t.Errorf("FFG-1 place %d holds %s, frozen is %s", at+1, j.Release, k.Release)
			}
			at++
		}
	}
	broken := plan.FrontOf(book, now, inForce, ids, nil, []string{"corrugator"}, "A. Reed")
	if len(broken.Runs) != 0 || len(broken.Jobs) != len(front.Jobs) {
		t.Errorf("broken on the corrugator: %d runs, %d jobs frozen", len(broken.Runs), len(broken.Jobs))
	}
	p, err = plan.Make(context.Background(), book, plan.Options{Now: now, Rounds: rounds, Seed: 3, Front: broken})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(p.Notices, func(n plan.Notice) bool { return n.Kind == "freeze" && strings.Contains(n.Text, "A. Reed") }) {
		t.Error("no notice names who broke the freeze")
	}
}

// A run in progress is behind by what it has worked (hand): its end does not move with the clock.
func TestRunInProgressKeepsItsEnd(t *testing.T) {
	book, old := demo.Book(), planOfMonday(t)
	first := old.Clock.Runs[0]
	now := first.Start.Add(first.End.Sub(first.Start) / 2)
	run := trace.Run{Plan: 7, Run: first.Run}
	book.Floor.RunOn, book.Floor.RunSince = &run, first.Start
	front := plan.FrontOf(book, now, map[string]*plan.Plan{"corrugator": old}, map[string]ident.Plan{"corrugator": 7}, nil, nil, "")
	if len(front.Runs) != 1 {
		t.Fatalf("without a horizon the run in progress alone is kept, got %d", len(front.Runs))
	}
	p, err := plan.Make(context.Background(), book, plan.Options{Now: now, Rounds: rounds, Seed: 3, Front: front})
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Clock.Runs[0]; !got.Start.Equal(first.Start) || got.End.Sub(first.End).Abs() > 2*time.Second {
		t.Errorf("in progress since %v until %v, was until %v", got.Start, got.End, first.End)
	}
}

// A stop told without an end is counted as four hours, and asked about (hand).
func TestStopsOfTheFloorAreKept(t *testing.T) {
	book := demo.Book()
	book.Floor.Stops = map[ident.Machine]trace.StopState{
		"FFG-1": {Since: demo.Now.Add(-time.Hour), Cause: "drive"},
		"FFG-2": {Since: demo.Now, Until: demo.Now.Add(7 * time.Hour), Cause: "feed table"},
	}
	p, err := plan.Make(context.Background(), book, plan.Options{Now: demo.Now, Rounds: rounds, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range p.Clock.Jobs {
		if j.Machine == "FFG-1" && j.Start.Before(demo.Now.Add(4*time.Hour)) || j.Machine == "FFG-2" && j.Start.Before(demo.Now.Add(7*time.Hour)) {
			t.Errorf("%s starts on %s at %v while it stands", j.Release, j.Machine, j.Start)
		}
	}
	if !slices.ContainsFunc(p.Notices, func(n plan.Notice) bool {
		return n.Kind == "stop" && strings.Contains(n.Text, "FFG-1") && strings.Contains(n.Text, "drive")
	}) {
		t.Error("nobody asks until when FFG-1 stands")
	}
	book.Plant.Crews = []plant.Crew{{Shift: "early", Crews: 2}, {Shift: "late", Crews: 1}}
	book.Plant.Overtime = plant.Overtime{PerHour: quantity.Money(80), Most: 120}
	if p, err = plan.Make(context.Background(), book, plan.Options{Now: demo.Now, Rounds: rounds, Seed: 1}); err != nil {
		t.Fatal(err)
	}
	if len(p.Clock.Manning) == 0 {
		t.Error("crews are counted and nobody says where they stand")
	}
	book.Plant.Crews = []plant.Crew{{Shift: "early", Crews: -1}}
	if _, err := plan.Make(context.Background(), book, plan.Options{Now: demo.Now, Rounds: 1}); err == nil || errors.Is(err, context.Canceled) {
		t.Error("minus one crew is a fault")
	}
}

func lanes(list []runs.Lane) string {
	var out []string
	for _, l := range list {
		out = append(out, fmt.Sprintf("%s×%d", l.Order, l.Outs))
	}
	return strings.Join(out, " | ")
}
