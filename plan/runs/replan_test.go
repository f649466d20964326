package runs

import (
	"context"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/quantity"
)

// TestReplanAfterAnything: an order comes, one goes, one is cut, a web goes; the
// front stays, every way is legal, and no way is cheaper than the bound of planning anew.
func TestReplanAfterAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 9)
		before := solved(t, p, 5)
		n := rapid.IntRange(0, min(2, len(before.Runs))).Draw(t, "frozen")
		var frozen []int
		held := map[string]bool{}
		for _, r := range before.Runs[:n] {
			frozen = append(frozen, r.Seq)
			for _, l := range r.Lanes {
				held[l.Order] = true
			}
		}
		now := p
		now.Orders = slices.DeleteFunc(slices.Clone(p.Orders), func(o Order) bool { return o.Order == "A02" && !held["A02"] })
		now.Apart = slices.DeleteFunc(slices.Clone(p.Apart), func(pair [2]string) bool { return pair[1] == "A02" })
		now.Orders[0].Sheets = now.Orders[0].Sheets*9/10 + 1
		rush := drawnOrder(t, 50)
		now.Orders = append(now.Orders, rush)
		if len(p.Corrugator.Webs) > 2 {
			now.BarredWebs = append(slices.Clone(p.BarredWebs), p.Corrugator.Webs[1])
		}
		ways, err := Replan(context.Background(), now, before, frozen, Options{Rounds: 5})
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range ways {
			if len(w.Answer.Unplanned) == len(ways[0].Answer.Unplanned) && w.Answer.Totals.Cost < ways[0].Answer.Totals.Cost {
				t.Fatalf("%s is cheaper than the first way", w.Way)
			}
			for i := range frozen {
				if !same(w.Answer.Runs[i], before.Runs[i]) {
					t.Fatalf("%s: the frozen run %d moved", w.Way, i+1)
				}
			}
		}
	})
}

// TestReplanKeepsWhatItMay: a rush order beside two that stand (hand: nothing of
// the two need move).
func TestReplanKeepsWhatItMay(t *testing.T) {
	p := small()
	before := solved(t, p, 50)
	now := p
	now.Orders = append(slices.Clone(p.Orders), Order{Order: "rush", Grade: "B", Slit: mm(650), Chop: mm(900), Sheets: 3000, OverPct: 5})
	ways, err := Replan(context.Background(), now, before, []int{1}, Options{Rounds: 50})
	if err != nil {
		t.Fatal(err)
	}
	keep := ways[slices.IndexFunc(ways, func(w Replanned) bool { return w.Way == Keep })]
	if keep.Kept != len(before.Runs) || len(keep.Moves) != 1 || keep.Moves[0].Order != "rush" || len(keep.Moves[0].Was.Runs) != 0 {
		t.Errorf("kept %d of %d, moves %+v", keep.Kept, len(before.Runs), keep.Moves)
	}
	if is := keep.Moves[0].Is; is.Sheets < 3000 || is.Length < 900*quantity.Distance(quantity.Metre) {
		t.Errorf("the rush order stands as %+v", is)
	}
	if _, err := Replan(context.Background(), now, before, []int{99}, Options{Rounds: 1}); err == nil {
		t.Error("a frozen run that is not there was taken")
	}
}
