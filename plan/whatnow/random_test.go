package whatnow_test

import (
	"errors"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// Whatever happens whenever, the answers pass Check, or the event is refused in
// words. WHATNOW_EVENTS asks for more than the usual few.
func TestAnyEvent(t *testing.T) {
	n := 5
	if s := os.Getenv("WHATNOW_EVENTS"); s != "" {
		n, _ = strconv.Atoi(s)
	}
	in, err := monday()
	if err != nil {
		t.Fatal(err)
	}
	for seed := range n {
		rnd := rand.New(rand.NewPCG(uint64(seed), 8))
		b := routed()
		now := demo.Now.Add(time.Duration(rnd.IntN(40*60)) * time.Minute)
		if rnd.IntN(2) == 0 {
			b.Plant.Freezes = []plant.Freeze{{Area: "corrugator", Minutes: 300, Owner: "Ida"}, {Area: "FFG-1", Minutes: 120, Owner: "Jon"}}
		}
		l := b.Lines[rnd.IntN(len(b.Lines))]
		e := whatnow.Event{Kind: whatnow.Kinds()[rnd.IntN(len(whatnow.Kinds()))], Release: l.Key}
		machines := []int{rnd.IntN(len(b.Plant.Machines) + 1)}
		if e.Machine = b.Plant.Corrugator.Code; machines[0] < len(b.Plant.Machines) {
			e.Machine = b.Plant.Machines[machines[0]].Code
		}
		e.Until = now.Add(time.Duration(1+rnd.IntN(12)) * time.Hour)
		roll := b.Rolls[rnd.IntN(len(b.Rolls))]
		if e.Paper, e.Web = roll.Paper, roll.Width; rnd.IntN(2) == 0 {
			e.Roll = roll.ID
		}
		e.Good, e.Spare, e.Held = l.Quantity*(80+rnd.IntN(20))/100, rnd.IntN(200), 1+rnd.IntN(l.Quantity)
		e.Line = l
		e.Line.Quantity, e.Line.Due = 1+l.Quantity*(50+rnd.IntN(100))/100, l.Due.Add(time.Duration(rnd.IntN(48)-24)*time.Hour)
		if e.Kind == whatnow.Rush {
			e.Line.Key.Order = "RUSH"
		}
		p := whatnow.Problem{Book: b, Plan: in, Now: now, Silent: true, Event: e}
		r, err := whatnow.Solve(t.Context(), p, whatnow.Options{Seed: uint64(seed), Rounds: 60})
		var vs fault.Violations
		switch {
		case errors.As(err, &vs):
			t.Logf("REF %s %v", e.Kind, err)
		case err != nil:
			t.Errorf("seed %d, %s at %v: %v", seed, e.Kind, now, err)
		default:
			t.Logf("ANS %s %d answers, %d refused ways: %s", e.Kind, len(r.Answers), len(r.Refused), r.Sentence)
			if err := whatnow.Check(p, r); err != nil {
				t.Errorf("seed %d, %s at %v: %v", seed, e.Kind, now, err)
			}
		}
	}
}
