package desk_test

import (
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// TestWetEnd holds the rolls that the stands take to the runs' own needs.
func TestWetEnd(t *testing.T) {
	h := weekendHouse(t)
	c, err := h.CrewCorrugator(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if !c.Forced || len(c.Runs) != 10 {
		t.Fatalf("in force %v, %d runs ahead", c.Forced, len(c.Runs))
	}
	type ply struct{ run, ply int }
	drawn := map[ply]quantity.Distance{}
	for _, r := range c.Rolls {
		drawn[ply{r.Run, r.Ply}] += r.Metres
	}
	for _, r := range c.Runs {
		for _, n := range r.Needs {
			if gap := n.Metres - drawn[ply{r.Seq, n.Ply}]; gap > quantity.FromMetres(1) || gap < -quantity.FromMetres(1) {
				t.Errorf("run %d ply %d draws %v, its rolls give %v", r.Seq, n.Ply, n.Metres, drawn[ply{r.Seq, n.Ply}])
			}
		}
		for _, x := range c.Rolls {
			if x.Run == r.Seq && (x.At < 0 || x.At > r.Length || x.Cuts > r.Setup.EndsCount || x.Splice != (x.At > 0)) {
				t.Errorf("run %d of %v: %s at %v, cut %d, spliced %v", r.Seq, r.Length, x.Roll, x.At, x.Cuts, x.Splice)
			}
		}
	}
	first := c.Rolls[0]
	h.told(t, trace.Fact{Kind: trace.Held, Roll: first.Roll, Reason: "wet edge"})
	if c, err = h.CrewCorrugator(t.Context()); err != nil || !strings.Contains(c.Rolls[0].Amiss, "wet edge") {
		t.Errorf("a held roll: %+v (%v)", c.Rolls[0], err)
	}
}

// TestWhatAJobLacks follows one job from no sheets to cured ones.
func TestWhatAJobLacks(t *testing.T) {
	h := weekendHouse(t)
	p, err := demoPlanned()
	if err != nil {
		t.Fatal(err)
	}
	j := p.Clock.Jobs[0]
	lacks := func() []desk.Lack {
		t.Helper()
		m, err := h.CrewMachine(t.Context(), j.Machine)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range m.Next {
			if n.Release == j.Release {
				return n.Missing
			}
		}
		t.Fatalf("%s is not ahead on %s", j.Release, j.Machine)
		return nil
	}
	if l := lacks(); len(l) == 0 || !strings.Contains(l[0].Words, "sheets: 0 of") || l[0].Late {
		t.Errorf("before its run: %+v", l)
	}
	h.told(t, trace.Fact{Kind: trace.StackMade, Release: j.Release, Stack: ident.Stack("S1"), Good: j.Sheets, Place: "L01", At: demo.Now})
	if l := lacks(); len(l) != 1 || !strings.HasPrefix(l[0].Words, "cure: may be fed from Mon") {
		t.Errorf("fresh off the corrugator: %+v", l)
	}
	h.later(30 * time.Hour) // longer than any cure
	if l := lacks(); len(l) != 0 {
		t.Errorf("cured: %+v", l)
	}
	h.told(t, trace.Fact{Kind: trace.Held, Release: j.Release, Reason: "print"})
	if l := lacks(); len(l) != 1 || !l[0].Late {
		t.Errorf("on hold: %+v", l)
	}
}
