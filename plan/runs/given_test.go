package runs

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// TestFrozenAndPinnedStay: whatever stands at the front of a plan stays there
// when the rest is planned again, and a run pinned by hand is in the plan.
func TestFrozenAndPinnedStay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 8)
		first := solved(t, p, 5)
		if len(first.Runs) == 0 {
			return
		}
		free := false // the search may not find the length again where windows are narrow: it must say so
		n := rapid.IntRange(0, len(first.Runs)).Draw(t, "frozen")
		p.Frozen = first.Runs[:n]
		for _, r := range first.Runs[n:] {
			if rapid.IntRange(1, 3).Draw(t, "pin") == 1 {
				if rapid.IntRange(1, 4).Draw(t, "free") == 1 {
					r.Length, free = 0, true
				}
				p.Pinned = append(p.Pinned, r)
			}
		}
		again, err := Solve(context.Background(), p, Options{Rounds: 5, Seed: 7, Start: &first})
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(p, again); err != nil {
			t.Fatal(err)
		}
		if !free && (len(again.Unpinned) > 0 || len(again.Unplanned) > len(first.Unplanned)) {
			t.Fatalf("the first plan holds all of it, yet %v are unpinned and %d orders unplanned", again.Unpinned, len(again.Unplanned))
		}
	})
}

// TestFrozenMayBreakLimits: a run that stands is counted, even on a web that is
// no longer stocked and with an order that may no longer be cut.
func TestFrozenMayBreakLimits(t *testing.T) {
	p := small()
	p.Orders[0].Sheets, p.Orders[0].UnderPct = 2000, 10
	r := solved(t, p, 20).Runs[0]
	p.Frozen = []Run{r}
	p.BarredWebs = append(p.BarredWebs, r.Web)
	p.Corrugator.MinChop = mm(1300) // order b is shorter
	a := solved(t, p, 20)
	if err := Check(p, a); err != nil {
		t.Fatal(err)
	}
	if a.Runs[0].Web != r.Web || a.Runs[0].Length != r.Length {
		t.Fatalf("the frozen run became %+v", a.Runs[0])
	}
	for _, x := range a.Runs[1:] {
		if x.Web == r.Web {
			t.Fatalf("run %d is on the barred web", x.Seq)
		}
	}
	if len(a.Unplanned) != 1 || a.Unplanned[0].Order != "b" || !strings.Contains(a.Unplanned[0].Reason, "min_chop_mm") {
		t.Fatalf("unplanned %+v", a.Unplanned)
	}
}

// TestTermsHaveTheirUnits: what a term pays for, in its unit (by hand: two
// orders on one machine, every figure from the runs themselves).
func TestTermsHaveTheirUnits(t *testing.T) {
	p := small()
	p.Corrugator.RunChangeLoss, p.Corrugator.RejectCutsPerLane = metres(2), 2
	p.Grades[0].Mass = 0.5
	a := solved(t, p, 50)
	u := a.Totals.CostUnits
	web := 0.0
	for _, r := range a.Runs {
		web += r.Web.Metres() * 2
	}
	if got := u["run_change"]; got.Unit != "m2" || diff(got.Amount, web) || diff(float64(got.Mass), web/2) {
		t.Errorf("run changes lose %+v, want %.3f m2", got, web)
	}
	sum := 0.0
	for _, s := range a.Totals.Paper {
		sum += float64(s.Area)
	}
	if diff(sum, float64(a.Totals.Web)) || diff(float64(a.Totals.Paper["sheets"].Area), float64(a.Totals.Sheet)) || a.Totals.Paper["rejects"].Area <= 0 {
		t.Errorf("paper goes to %+v, %.3f m2 drawn", a.Totals.Paper, a.Totals.Web)
	}
	for term := range a.Totals.CostTerms {
		if u[term].Unit == "" {
			t.Errorf("%s has no unit", term)
		}
	}
}

// Hand: 1,000 sheets of 1 m² on a board at 0.70 instead of 0.50: 200.00 more, 1,000 m².
func TestUpgradesAreATermOfTheirOwn(t *testing.T) {
	p := alone()
	p.Orders[0].Slit = mm(1000)
	p.Grades[0].Webs, p.Grades[0].MayUpgradeTo = []quantity.Length{}, []ident.Grade{"B+"}
	p.Grades = append(p.Grades, Grade{Grade: "B+", PricePerM2: pointer(quantity.Money(.7))})
	a := solved(t, p, 20)
	terms, units := a.Totals.CostTerms, a.Totals.CostUnits
	if diff(float64(terms["upgrade"]), 200) || units["upgrade"].Unit != "m2" || diff(units["upgrade"].Amount, 1000) || units["upgrade"].Sheets != 1000 {
		t.Errorf("upgrade %v, %+v", terms["upgrade"], units["upgrade"])
	}
	if diff(float64(terms["paper"]), .7*1010-200) || diff(float64(a.Totals.Paper["sheets"].Cost), 500) {
		t.Errorf("paper %v, its sheets %v", terms["paper"], a.Totals.Paper["sheets"])
	}
}

// The terms add up to the cost, and the same plan under a problem that prices neither
// shorts, overs, splits nor lateness has the same amounts at no cost.
func TestTermsWithoutAPriceCostNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 6)
		a := solved(t, p, 5)
		q := p
		q.Orders = slices.Clone(p.Orders)
		for i := range q.Orders {
			o := &q.Orders[i]
			o.ShortCost, o.OverCost, o.SplitCost, o.LateCost = 0, 0, 0, 0
		}
		b := Of(q, a.Runs)
		for _, x := range []Answer{a, b} {
			sum := quantity.Money(0)
			for term, cost := range x.Totals.CostTerms {
				if sum += cost; x.Totals.CostUnits[term].Unit == "" {
					t.Fatalf("%s has no unit", term)
				}
			}
			if math.Abs(float64(sum-x.Totals.Cost)) > 1e-6*(1+float64(x.Totals.Cost)) {
				t.Fatalf("terms give %v, cost %v", sum, x.Totals.Cost)
			}
		}
		for _, term := range []string{"short", "over", "split", "late"} {
			if b.Totals.CostTerms[term] != 0 || diff(b.Totals.CostUnits[term].Amount, a.Totals.CostUnits[term].Amount) {
				t.Fatalf("%s: %v for %+v without a price, %+v with", term, b.Totals.CostTerms[term], b.Totals.CostUnits[term], a.Totals.CostUnits[term])
			}
		}
	})
}

func diff(a, b float64) bool { return a-b > 1e-6*(1+b) || b-a > 1e-6*(1+b) }

// TestGivenFaults: every false name in what is stated by hand is told.
func TestGivenFaults(t *testing.T) {
	p := small()
	p.Frozen = []Run{{Grade: "Q", Web: mm(2000)}}
	p.Pinned = []Run{{Grade: "B", Web: mm(2000), Lanes: []Lane{{Order: "z", Outs: 0, Level: 99}}}}
	p.Apart = [][2]string{{"a", "a"}}
	p.BarredWebs, p.Minute = append(p.BarredWebs, -1), "sometimes"
	p.Orders[0].SplitCost = -1
	err := p.Validate()
	if !errors.Is(err, fault.Invalid) {
		t.Fatal(err)
	}
	for _, want := range []string{"frozen[0].grade", "frozen[0].length_m", "frozen[0].lanes", "pinned[0].lanes[0].order", "pinned[0].lanes[0].outs", "pinned[0].lanes[0].level", "apart[0]", "barred_webs_mm[0]", "minute", "split_cost"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%s is not named in:\n%v", want, err)
		}
	}
}

// TestSequenceAgainstEverySequence compares the sequence of up to 6 runs with
// all of them (hand: every permutation is priced).
func TestSequenceAgainstEverySequence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 5)
		p.Corrugator.WebChangeLoss, p.Corrugator.GradeChangeLoss = metres(18), metres(12)
		a := solved(t, p, 3)
		if n := len(a.Runs); n < 2 || n > 6 {
			return
		}
		order := make([]int, len(a.Runs))
		for i := range order {
			order[i] = i
		}
		best := a.Totals.Cost
		permute(order, 0, func(o []int) { best = min(best, Resequence(p, a, o).Totals.Cost) })
		if float64(a.Totals.Cost) > float64(best)*(1+1e-9) {
			t.Fatalf("the runs cost %v in their sequence, %v in another", a.Totals.Cost, best)
		}
	})
}

func permute(list []int, at int, visit func([]int)) {
	if at == len(list) {
		visit(slices.Clone(list))
		return
	}
	for k := at; k < len(list); k++ {
		list[at], list[k] = list[k], list[at]
		permute(list, at+1, visit)
		list[at], list[k] = list[k], list[at]
	}
}
