package plan_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// A plan followed as it is comes out as it was: the same runs at the same
// times, the same jobs, the same money (law of the stations).
func TestFollowKeepsAPlan(t *testing.T) {
	p := planOfMonday(t)
	got, err := plan.Follow(context.Background(), demo.Book(), plan.Given{Runs: p.Runs, Jobs: p.Clock.Jobs}, plan.Options{Now: demo.Now, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(got.Summary.Cost-p.Summary.Cost)) > 1e-6 || got.Summary.Late != p.Summary.Late || len(got.Clock.Jobs) != len(p.Clock.Jobs) {
		t.Errorf("followed: cost %.4f, %d late, %d jobs; made: %.4f, %d, %d", got.Summary.Cost, got.Summary.Late, len(got.Clock.Jobs), p.Summary.Cost, p.Summary.Late, len(p.Clock.Jobs))
	}
	for i, j := range got.Clock.Jobs {
		if w := p.Clock.Jobs[i]; j.Release != w.Release || j.Machine != w.Machine || !j.Start.Equal(w.Start) || !j.End.Equal(w.End) {
			t.Errorf("job %d: %s on %s from %v, was %s on %s from %v", i, j.Release, j.Machine, j.Start, w.Release, w.Machine, w.Start)
		}
	}
}

// Choices by hand hold in the plan that is made: the pin, the barred web, the
// machine (hand; the demo's FW-1005 fits FFG-2, which is dearer than FFG-1).
func TestChoicesHold(t *testing.T) {
	web, barred := quantity.FromMillimetres(2500), quantity.FromMillimetres(2000)
	j1001, j1005 := ident.Release{Order: "J1001"}, ident.Release{Order: "J1005"}
	for _, l := range demo.Book().Lines {
		switch l.Key.String() {
		case "J1001":
			j1001 = l.Key
		case "J1005":
			j1005 = l.Key
		}
	}
	base := planOfMonday(t)
	var apart plan.Apart
	for _, r := range base.Runs {
		if len(r.Lanes) > 1 && apart.A.Order == "" {
			apart.A, _ = ident.ParseRelease(r.Lanes[0].Order)
			apart.B, _ = ident.ParseRelease(r.Lanes[1].Order)
		}
	}
	c := plan.Choices{Apart: []plan.Apart{apart}, Pins: []plan.Pin{{Release: j1001, Web: web}}, Barred: []quantity.Length{barred}, Routes: []plan.Routed{{Release: j1005, Route: []ident.Machine{"FFG-2"}}}}
	p, err := plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Rounds: rounds, Seed: 1, Choices: c})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range p.Runs {
		if r.Web == barred {
			t.Errorf("run %d stands on the barred %s", r.Seq, r.Web)
		}
		if both := map[string]bool{}; len(r.Lanes) > 1 {
			for _, l := range r.Lanes {
				both[l.Order] = true
			}
			if both[apart.A.String()] && both[apart.B.String()] {
				t.Errorf("run %d holds %s and %s, to be kept apart", r.Seq, apart.A, apart.B)
			}
		}
		for _, l := range r.Lanes {
			if l.Order == j1001.String() && r.Web != web {
				t.Errorf("run %d makes %s on %s, pinned to %s", r.Seq, l.Order, r.Web, web)
			}
		}
	}
	for _, j := range p.Clock.Jobs {
		if j.Release == j1005 && j.Machine != "FFG-2" {
			t.Errorf("J1005 stands on %s, routed to FFG-2", j.Machine)
		}
	}
	_, err = plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Choices: plan.Choices{Pins: []plan.Pin{{Release: j1001, Web: barred}}, Barred: []quantity.Length{barred}}})
	if !errors.Is(err, fault.Invalid) {
		t.Errorf("a pin on a barred web: %v", err)
	}
}
