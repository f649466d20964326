package rolls_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/roll"
)

// many returns n rolls of a paper, each of the length.
func many(paper ident.Paper, n int, length float64) []roll.Roll {
	var out []roll.Roll
	for i := range n {
		out = append(out, full(fmt.Sprint(paper, i), paper, length))
	}
	return out
}

// TestThreeRollsOnTwoStands: three rolls of 6,000 m do for 9,000 m on each of two
// stands when one of them runs on both, one after the other (McNaughton 1959,
// Management Science 6(1): the wrap-around rule); without time to move it, they do not.
func TestThreeRollsOnTwoStands(t *testing.T) {
	p := problem(append(many("TL140", 3, 6000), many("RM110", 3, 6000)...), 9000)
	a := solved(t, p)
	if a.Uncovered != 0 || a.LeastUncovered != 0 {
		t.Errorf("%s uncovered, %s at least", a.Uncovered, a.LeastUncovered)
	}
	moved := 0
	for _, n := range a.Needs {
		for _, u := range n.Rolls {
			if u.From != "" {
				moved++
			}
		}
	}
	if moved == 0 {
		t.Error("no roll is said to come from another stand")
	}
	p.MoveTime = 60 // the run takes an hour: nothing gets to the other stand within it
	if a = solved(t, p); a.Uncovered < metres(2999) {
		t.Errorf("%s uncovered; on one of the stands the last 3,000 m are", a.Uncovered)
	}
}

// TestARollNoLongerThanTheRun: hand. 5,000 m and 3,000 m for 4,000 m on each of
// two stands leave 1,000 m uncovered however they are shared.
func TestARollNoLongerThanTheRun(t *testing.T) {
	a := solved(t, problem(append([]roll.Roll{full("A", "TL140", 5000), full("B", "TL140", 3000)}, many("RM110", 1, 6000)...), 4000))
	if a.Uncovered != metres(1000) || a.LeastUncovered != metres(1000) {
		t.Errorf("%s uncovered, %s at least", a.Uncovered, a.LeastUncovered)
	}
}

// TestSharingReachesTheFlow: with rolls that cost nothing to move and splice,
// what one run leaves uncovered is what the greatest flow leaves (McNaughton 1959).
func TestSharingReachesTheFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []roll.Roll
		for i := range rapid.IntRange(1, 6).Draw(t, "rolls") {
			list = append(list, full(fmt.Sprint("T", i), "TL140", float64(rapid.IntRange(10, 60).Draw(t, "length"))*100))
		}
		p := problem(append(list, many("RM110", 4, 6000)...), float64(rapid.IntRange(10, 90).Draw(t, "run"))*100)
		a := solved(t, p)
		if d := a.Uncovered - a.LeastUncovered; d > metres(1) {
			t.Fatalf("%s uncovered, %s would do", a.Uncovered, a.LeastUncovered)
		}
	})
}

// TestRollsOnStandsFirst: a roll that stands there is drawn on before an older one is brought.
func TestRollsOnStandsFirst(t *testing.T) {
	list := append(many("TL140", 3, 5000), many("RM110", 2, 5000)...)
	list[4].Stand = "facer 1 medium"
	list[3].Received = demo.Now.AddDate(0, -2, 0)
	p := problem(list, 1000)
	p.Handling = 6.5
	a := solved(t, p)
	for _, n := range a.Needs {
		if n.Paper == "RM110" && (len(n.Rolls) != 1 || n.Rolls[0].Roll != list[4].ID) {
			t.Errorf("%+v was taken, %s stands there", n.Rolls, list[4].ID)
		}
	}
	if a.Mounts != 2 || a.Status != rolls.Optimal {
		t.Errorf("%d mounts, %s", a.Mounts, a.Status)
	}
}

// TestRestsInShortRuns: hand. A rest of 400 m feeds the short run, so that the
// full roll need not be opened; a rest under the break-even is stripped.
func TestRestsInShortRuns(t *testing.T) {
	rest := full("R", "RM110", 400)
	rest.Butt = true
	rest.Received = demo.Now.AddDate(0, 1, 0)
	p := problem(append([]roll.Roll{rest}, append(many("RM110", 2, 6000), many("TL140", 3, 6000)...)...), 250)
	p.Handling, p.SpliceLoss, p.ButtMin = 6.5, metres(3), metres(60)
	a := solved(t, p)
	for _, n := range a.Needs {
		if n.Paper == "RM110" && n.Rolls[0].Roll != "R" {
			t.Errorf("%s was opened for %s, the rest does", n.Rolls[0].Roll, n.Metres)
		}
	}
	for _, r := range a.Rests {
		if r.Roll == "R" && (r.Fate != rolls.OnStand || r.Left != metres(400)-a.Needs[1].Metres) {
			t.Errorf("%+v", r)
		}
	}
}

// TestSameSeedSamePlan, and the order in which rolls are told changes nothing of what is covered.
func TestSameSeedSamePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []roll.Roll
		for i := range rapid.IntRange(2, 9).Draw(t, "rolls") {
			list = append(list, full(fmt.Sprint("T", i), rapid.SampledFrom([]ident.Paper{"TL140", "RM110"}).Draw(t, "paper"), float64(rapid.IntRange(200, 6000).Draw(t, "length"))))
		}
		p := problem(list, 2000, 1500)
		p.Handling, p.SpliceLoss, p.MoveTime = 6.5, metres(3), quantity.Minutes(12)
		a, b := solved(t, p), solved(t, p)
		if fmt.Sprint(a.Needs, a.Rests) != fmt.Sprint(b.Needs, b.Rests) {
			t.Fatal("the same seed gave two plans")
		}
	})
}
