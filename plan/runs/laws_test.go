package runs

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

func solved(t interface{ Fatal(...any) }, p Problem, rounds int) Answer {
	a, err := Solve(context.Background(), p, Options{Rounds: rounds, Seed: 7})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestEveryPlanIsLegal: whatever the limits, the plan passes Check and costs no less than its bound.
func TestEveryPlanIsLegal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 14)
		a := solved(t, p, 20)
		if err := Check(p, a); err != nil {
			t.Fatal(err)
		}
		for _, u := range a.Unplanned {
			if len(u.Reason) < 20 {
				t.Fatalf("%s is left with the reason %q", u.Order, u.Reason)
			}
		}
	})
}

// TestBoundFollowsTheProblem: the bound of a looser problem is no bound for the
// tighter one's plans if it is above their cost.
func TestBoundFollowsTheProblem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tight := drawn(t, 8)
		a := solved(t, tight, 20)
		loose := tight
		loose.Orders = slices.Clone(tight.Orders)
		if len(a.Unplanned) > 0 {
			return // the bound speaks of the orders that are planned: two sets cannot be compared
		}
		loose.Corrugator.Webs = append(slices.Clone(tight.Corrugator.Webs), 1975*quantity.Millimetre)
		loose.Corrugator.MinRun = 0
		for i := range loose.Orders {
			loose.Orders[i].OverPct += 5
		}
		b := solved(t, loose, 1)
		if len(b.Unplanned) == 0 && b.Totals.Bound > a.Totals.Cost*(1+1e-9) {
			t.Fatalf("bound %v of the looser problem is above the tighter one's plan at %v", b.Totals.Bound, a.Totals.Cost)
		}
	})
}

// TestAgainstEveryPlan compares one order on one web with every number of outs
// and cuts tried. Lateness is left out: it is weighed in the sequence of runs
// only, never in their length.
func TestAgainstEveryPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 1)
		p.Papers = nil
		p.Orders[0].MaxParts, p.Orders[0].LateCost = 1, 0
		a := solved(t, p, 40)
		best, found := everyPlan(p)
		if found != (len(a.Unplanned) == 0) {
			t.Fatalf("a plan exists: %v, answer %+v", found, a)
		}
		if found && float64(a.Totals.Cost) > best*(1+1e-9) {
			t.Fatalf("cost %v, %v is possible\n%+v\n%+v\n%+v", a.Totals.Cost, best, p.Orders, p.Corrugator, a.Runs)
		}
		if found && float64(a.Totals.Bound) > best*(1+1e-9) {
			t.Fatalf("bound %v, %v is possible", a.Totals.Bound, best)
		}
	})
}

// everyPlan tries each grade, web, outs and number of cuts for the one order.
func everyPlan(p Problem) (best float64, found bool) {
	o, c := p.Orders[0], p.Corrugator
	if p.neverCut(o) != "" {
		return 0, false
	}
	least, most := o.window()
	for _, g := range p.allowed(o) {
		for _, web := range g.webs(c) {
			for place := range 8 * max(c.KnifeLevels, 1) {
				outs := place%8 + 1
				lane := Lane{Order: o.Order, Level: place/8 + 1, Outs: outs, Slit: o.Slit, Chop: o.Chop, Upgraded: g.Grade != o.Grade}
				for cuts := 1; outs*(cuts-c.RejectCutsPerLane) <= most; cuts++ {
					lane.Cuts, lane.Sheets = cuts, outs*(cuts-c.RejectCutsPerLane)
					if lane.Sheets < least {
						continue
					}
					length := max(quantity.Distance(cuts)*quantity.Distance(o.Chop), c.MinRun)
					a := Answer{Runs: []Run{{Grade: g.Grade, Web: web, Length: length, Trim: web - quantity.Length(outs)*o.Slit, Lanes: []Lane{lane}}}, Orders: []Made{{Order: o.Order, Wanted: o.Sheets, Least: least, Most: most}}}
					a = p.retotal(a)
					a.Totals.Bound = 0
					if Check(p, a) == nil && (!found || float64(a.Totals.Cost) < best) {
						best, found = float64(a.Totals.Cost), true
					}
				}
			}
		}
	}
	return best, found
}

// TestSequenceOfOrdersDoesNotMatter: the same orders in another sequence have the
// same cost where both plans are proven to be the cheapest, and no bound above the other's cost.
// What only the sequence of runs weighs has no price here.
func TestSequenceOfOrdersDoesNotMatter(t *testing.T) {
	proven := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 6)
		p.Begins, p.Changes = time.Time{}, Changes{}
		for i := range p.Orders {
			p.Orders[i].LateCost = 0
		}
		a := solved(t, p, 8)
		q := p
		q.Orders = rapid.Permutation(p.Orders).Draw(t, "orders")
		b := solved(t, q, 8)
		if len(a.Unplanned) > 0 || len(b.Unplanned) > 0 {
			return
		}
		apart := func(x, y quantity.Money, share float64) bool {
			return math.Abs(float64(x-y)) > share*float64(x)+1e-6
		}
		if a.Totals.Status == Optimal && b.Totals.Status == Optimal {
			proven++
			if apart(a.Totals.Cost, b.Totals.Cost, 1e-8) {
				t.Fatalf("costs %v and %v, both called the least", a.Totals.Cost, b.Totals.Cost)
			}
		}
		if a.Totals.Bound > b.Totals.Cost*(1+1e-9) || b.Totals.Bound > a.Totals.Cost*(1+1e-9) {
			t.Fatalf("bounds %v and %v, costs %v and %v", a.Totals.Bound, b.Totals.Bound, a.Totals.Cost, b.Totals.Cost)
		}
	})
	if proven == 0 {
		t.Error("no plan was proven to be the cheapest")
	}
}

func TestCancelKeepsALegalPlan(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := small()
	a, err := Solve(ctx, p, Options{})
	if err != nil || a.Totals.Status != Stopped || len(a.Runs) == 0 || Check(p, a) != nil {
		t.Fatalf("%v %+v", err, a)
	}
}

// small is the two-order example of the interchange document's kind.
func small() Problem {
	p := Problem{Grades: []Grade{{Grade: "B"}}}
	p.Corrugator.Webs, p.Corrugator.KnifeLevels = []quantity.Length{mm(2000), mm(2200)}, 2
	p.Corrugator.SideTrimMin, p.Corrugator.SideTrimMax = mm(15), pointer(mm(125))
	p.Orders = []Order{
		{Order: "a", Grade: "B", Slit: mm(443), Chop: mm(1439), Sheets: 18137, OverPct: 5},
		{Order: "b", Grade: "B", Slit: mm(360), Chop: mm(1085), Sheets: 28200, OverPct: 5},
	}
	return p
}

func TestCheckSeesWhatIsBroken(t *testing.T) {
	p := small()
	good := solved(t, p, 50)
	if err := Check(p, good); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*Answer){
		"trim":          func(a *Answer) { a.Runs[0].Trim++ },
		"length":        func(a *Answer) { a.Runs[0].Length /= 2 },
		"web":           func(a *Answer) { a.Runs[0].Web = mm(2100) },
		"grade":         func(a *Answer) { a.Runs[0].Grade = "C" },
		"outs":          func(a *Answer) { a.Runs[0].Lanes[0].Outs++ },
		"cuts":          func(a *Answer) { a.Runs[0].Lanes[0].Cuts++ },
		"level":         func(a *Answer) { a.Runs[0].Lanes[0].Level = 3 },
		"left out":      func(a *Answer) { a.Orders = a.Orders[1:] },
		"cost":          func(a *Answer) { a.Totals.Cost++ },
		"bound":         func(a *Answer) { a.Totals.Bound = a.Totals.Cost + 1 },
		"waste":         func(a *Answer) { a.Totals.WastePct++ },
		"sequence":      func(a *Answer) { a.Runs[0].Seq = 9 },
		"unplanned too": func(a *Answer) { a.Unplanned = append(a.Unplanned, Unplanned{"a", "no reason at all"}) },
	} {
		a := good
		a.Runs, a.Orders, a.Unplanned = slices.Clone(good.Runs), slices.Clone(good.Orders), slices.Clone(good.Unplanned)
		for i := range a.Runs {
			a.Runs[i].Lanes = slices.Clone(a.Runs[i].Lanes)
		}
		spoil(&a)
		if Check(p, a) == nil {
			t.Errorf("%s: not seen", name)
		}
	}
}

func TestFaultsAreAllNamed(t *testing.T) {
	p := small()
	p.Corrugator.Webs = append(p.Corrugator.Webs, -1)
	p.Orders[0].Sheets = -5
	p.Orders[1].Grade = "Z"
	p.Orders = append(p.Orders, p.Orders[0])
	_, err := Solve(context.Background(), p, Options{})
	if !errors.Is(err, fault.Invalid) {
		t.Fatal(err)
	}
	for _, want := range []string{"corrugator.webs_mm[2]", "orders[0].sheets", "orders[1].grade", "orders[2].order"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%s is not named in:\n%v", want, err)
		}
	}
}

func TestResequence(t *testing.T) {
	p := small()
	p.Corrugator.WebChangeLoss = metres(18)
	a := solved(t, p, 50)
	order := make([]int, len(a.Runs))
	for i := range order {
		order[i] = len(order) - 1 - i
	}
	b := Resequence(p, a, order)
	if err := Check(p, b); err != nil {
		t.Fatal(err)
	}
	if b.Runs[0].Length != a.Runs[len(a.Runs)-1].Length || b.Runs[0].Seq != 1 {
		t.Error("the runs are not in the order asked for")
	}
}
