package whatnow_test

import (
	"context"
	"testing"

	"github.com/flutewright/flutewright/plan/whatnow"
)

// A search that is told to end at once still answers, and truly.
func TestCancelled(t *testing.T) {
	ctx, end := context.WithCancel(t.Context())
	end()
	for _, e := range []whatnow.Event{
		{Kind: whatnow.MachineDown, Machine: "FFG-2", Until: at("2031-03-03 13:00")},
		{Kind: whatnow.Cut, Release: key("J1022")},
		{Kind: whatnow.Short, Release: key("J1002"), Good: 11350},
	} {
		p := problem(t, "2031-03-03 15:10", e)
		if e.Kind == whatnow.MachineDown {
			p = problem(t, "2031-03-03 09:20", e)
		}
		r, err := whatnow.Solve(ctx, p, whatnow.Options{Seed: 1})
		if err != nil {
			t.Errorf("%s: %v", e.Kind, err)
			continue
		}
		if err := whatnow.Check(p, r); err != nil {
			t.Errorf("%s: %v", e.Kind, err)
		}
	}
}
