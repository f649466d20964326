package whatnow_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// An order whose partner in the cut is closed, and which no web takes alone by
// the side trim that the plant takes (hand: 2,200 − 1 × 1,518 mm leaves 682 mm,
// 2,350 − 2 × 1,020 mm leaves 310 mm, 2,350 − 4 × 505 mm leaves 330 mm; 250 mm
// are legal), is left without a run and says why; whatever else happens is
// answered. An answer that does give it a run makes it.
func TestOrphan(t *testing.T) {
	in, err := monday()
	if err != nil {
		t.Fatal(err)
	}
	down := whatnow.Event{Kind: whatnow.MachineDown, Machine: "FFG-2", Until: at("2031-03-03 13:00")}
	for _, tt := range []struct {
		closed, orphan string
		event          whatnow.Event
		part           bool // another run still makes some of the orphan
		frozen         bool
	}{
		{"J1010", "J1003", down, false, false},
		{"J1008", "J1007", whatnow.Event{Kind: whatnow.Cut, Release: key("J1022")}, false, false},
		{"J1039", "J1015", whatnow.Event{Kind: whatnow.MachineDown, Machine: "CORR-1", Until: at("2031-03-03 09:00")}, true, true},
	} {
		t.Run(tt.closed, func(t *testing.T) {
			b := routed()
			b.Lines[slices.IndexFunc(b.Lines, func(l order.Line) bool { return l.Key == key(tt.closed) })].State = order.Closed
			if tt.frozen {
				b.Plant.Freezes = []plant.Freeze{{Area: "corrugator", Minutes: 300, Owner: "Ida"}}
			}
			r := judged(t, whatnow.Problem{Book: b, Plan: in, Now: at("2031-03-03 06:00"), Silent: true, Event: tt.event})
			for i, a := range r.Answers {
				at := slices.IndexFunc(a.Plan.Unplanned, func(u runs.Unplanned) bool { return u.Order == tt.orphan })
				unmade := slices.ContainsFunc(a.Newly, func(l whatnow.Lateness) bool { return l.Release == key(tt.orphan) && l.Unmade })
				switch {
				case tt.part:
					if a.Cost.Lost <= 0 {
						t.Errorf("%s: what is missing of %s costs nothing", a.Title, tt.orphan)
					}
				case i == 0 && at < 0:
					t.Errorf("doing nothing makes %s", tt.orphan)
				case at >= 0 && (!unmade || !strings.Contains(a.Plan.Unplanned[at].Reason, "side_trim_max_mm")):
					t.Errorf("%s: %s is unmade %v: %s", a.Title, tt.orphan, unmade, a.Plan.Unplanned[at].Reason)
				case at < 0 && unmade:
					t.Errorf("%s: %s is said to be unmade", a.Title, tt.orphan)
				}
				if tt.frozen && !slices.ContainsFunc(a.Agree, func(g whatnow.Agreement) bool { return g.Owner == "Ida" }) {
					t.Errorf("%s: the front is not what Ida froze, and she is not asked", a.Title)
				}
			}
			if !slices.ContainsFunc(r.Refused, func(x whatnow.Refused) bool {
				return x.Release == key(tt.orphan) && strings.Contains(x.Reason, "beside it")
			}) {
				t.Errorf("nothing says what became of %s: %+v", tt.orphan, r.Refused)
			}
		})
	}
}

// An orphan that fits beside others of its grade is offered a run with them,
// though it costs more than its boxes sell for.
func TestOrphanGetsARun(t *testing.T) {
	p := problem(t, "2031-03-03 06:00", whatnow.Event{Kind: whatnow.OnHold, Release: key("J1041"), Held: 100})
	p.Book.Lines[slices.IndexFunc(p.Book.Lines, func(l order.Line) bool { return l.Key == key("J1010") })].State = order.Closed
	r, err := whatnow.Solve(t.Context(), p, whatnow.Options{Seed: 1, Rounds: 60, Most: 9})
	if err != nil {
		t.Fatal(err)
	}
	if err := whatnow.Check(p, r); err != nil {
		t.Error(err)
	}
	for _, a := range r.Answers {
		if strings.HasPrefix(a.Title, "Give J1003 a run") {
			if !slices.ContainsFunc(a.Plan.Runs, func(run runs.Run) bool {
				return slices.ContainsFunc(run.Lanes, func(l runs.Lane) bool { return l.Order == "J1003" })
			}) || a.More.Lost >= 0 {
				t.Errorf("%s: no run makes it: %+v", a.Title, a.More)
			}
			return
		}
	}
	show(t, r)
	t.Error("no answer gives J1003 a run")
}
