package rolls_test

import (
	"math"
	"testing"
	"time"

	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/roll"
)

// TestCapOfThePaperInTwice: the demo plant's own figures, worked by hand: three
// rolls of TL140 at 2200 hold 17,933 m, and B-ST draws two metres of it a metre: 8,966 m.
func TestCapOfThePaperInTwice(t *testing.T) {
	b := demo.Book()
	p := problem(b.Rolls, 1000)
	p.ButtMin = b.Plant.Corrugator.ButtMin
	for _, c := range rolls.Caps(p, b.Plant.Corrugator.Limits.Webs) {
		if c.Web == mm(2350) && (c.Metres != 0 || c.Paper != "TL140" || c.Rolls != 0) {
			t.Errorf("TL140 at 2350 is out of stock: %+v", c)
		}
		if c.Web == mm(2200) && (math.Floor(c.Metres.Metres()) != 8966 || c.Paper != "TL140" || c.Times != 2) {
			t.Errorf("%+v", c)
		}
	}
}

// TestHeldRoll: the demo plant holds R0076 while 15,971 m of TL125 at 2200 are free.
func TestHeldRoll(t *testing.T) {
	held := rolls.HeldRolls(demo.Book().Rolls, nil)
	if len(held) != 1 || held[0].Roll.ID != "R0076" || held[0].Free != metres(15971) || held[0].Rolls != 3 {
		t.Errorf("%+v", held)
	}
}

// TestCoverUntil: a plan on whole rolls, of which one is held and one is gone
// since. Runs that are through, and those that start later, are not asked.
func TestCoverUntil(t *testing.T) {
	list := append(many("TL140", 2, 6000), many("RM110", 1, 6000)...)
	p := problem(list, 500, 500, 500)
	a := solved(t, p)
	now, until := demo.Now.Add(90*time.Minute), demo.Now.Add(2*time.Hour)
	c := rolls.CoverUntil(a, p.Times, list, now, until)
	if c.Runs != 1 || len(c.Plies) != 3 || c.Uncovered != 0 {
		t.Fatalf("%+v", c)
	}
	since := []roll.Roll{list[0], list[2]}
	since[0].Hold, since[0].HoldReason = true, "wet edge"
	c = rolls.CoverUntil(a, p.Times, since, now, until)
	if c.Uncovered != metres(1000) {
		t.Errorf("%s uncovered, both liners are", c.Uncovered)
	}
	said := map[string]bool{}
	for _, v := range c.Plies {
		for _, w := range v.Why {
			said[w] = true
		}
	}
	if !said["TL1400 is on hold: wet edge"] || !said["TL1401 is not in the house any more"] {
		t.Errorf("said %v", said)
	}
	var none []roll.Roll
	if c = rolls.CoverUntil(a, p.Times, none, now, until); math.Abs(c.Uncovered.Metres()-1665) > .01 {
		t.Errorf("%s uncovered of an empty house", c.Uncovered)
	}
}
