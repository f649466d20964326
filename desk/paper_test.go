package desk

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// TestPaperOfTheDemo: at 06:10 every run to 14:00 is covered by named usable
// rolls of the demo plant, or the metres that are not are said; 0 m of TL140 stand
// in the house at 2350; B-ST at 2200 is capped at 8,966 m; 15,971 m are free beside R0076.
func TestPaperOfTheDemo(t *testing.T) {
	s := snapshotOf(demo.Book())
	p, err := plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Seed: 1, Rounds: 40})
	if err != nil {
		t.Fatal(err)
	}
	now := demo.Now.Add(10 * time.Minute)
	began := time.Now()
	got := s.PaperAhead(p, 1, now, demo.Now.Add(8*time.Hour))
	t.Logf("%d plies of %d runs, %s uncovered, %s; %d to call off, %d spared", len(got.Cover.Plies), got.Cover.Runs, got.Cover.Uncovered, time.Since(began), len(got.Calls.Calls), len(got.Calls.Spared))
	if got.Cover.Runs == 0 || got.Cover.Uncovered != 0 {
		t.Errorf("%d runs, %s uncovered", got.Cover.Runs, got.Cover.Uncovered)
	}
	found := false
	for _, c := range got.Caps {
		found = found || c.Grade == "B-ST" && c.Web == 2200*quantity.Millimetre && math.Floor(c.Metres.Metres()) == 8966
	}
	if !found {
		t.Errorf("B-ST at 2200 is not said to be capped at 8,966 m: %+v", got.Caps)
	}
	for _, l := range got.Levels {
		if l.Paper == "TL140" && l.Web == 2350*quantity.Millimetre && l.House != 0 {
			t.Errorf("TL140 at 2350: %s", l.House)
		}
	}
	if len(got.Held) != 1 || got.Held[0].Free != quantity.FromMetres(15971) {
		t.Errorf("%+v", got.Held)
	}
	if len(got.Calls.Calls) > 15 {
		t.Errorf("%d rows", len(got.Calls.Calls))
	}
	first := got.Cover.Plies[0].Rolls[0].Roll // a named roll that is held since leaves its metres uncovered
	for i := range s.Rolls {
		s.Rolls[i].Hold = s.Rolls[i].Hold || s.Rolls[i].ID == first
	}
	if again := s.PaperAhead(p, 1, now, demo.Now.Add(8*time.Hour)); again.Cover.Uncovered == 0 {
		t.Errorf("roll %s is held, and nothing is uncovered", first)
	}
}

// TestStillComing: rolls that came with a delivery are not expected again.
func TestStillComing(t *testing.T) {
	s := snapshotOf(demo.Book())
	s.Floor = trace.Floor{Rolls: map[ident.Roll]trace.RollState{"N1": {Came: demo.Now, Inbound: "IN-1"}, "N2": {Inbound: "IN-1"}}}
	if got := s.stillComing(); len(got) != 3 || got[0].Rolls != 9 {
		t.Errorf("%+v", got)
	}
}
