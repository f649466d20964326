package webs

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/corrugator"
)

func mm(list ...float64) []quantity.Length {
	var out []quantity.Length
	for _, v := range list {
		out = append(out, quantity.Length(v*float64(quantity.Millimetre)))
	}
	return out
}

// two orders of 1000 sheets, 900 and 1100 mm wide and 1 m long, each on runs of
// its own, paper at 0.5 a square metre, no trim needed and no losses.
func two() Problem {
	price, one := quantity.Money(0.5), 1
	order := func(name string, slit float64) runs.Order {
		return runs.Order{Order: name, Grade: "B", Slit: mm(slit)[0], Chop: quantity.Metre, Sheets: 1000}
	}
	return Problem{
		Trim: runs.Problem{
			Corrugator: corrugator.Limits{Webs: mm(2000), MaxOrdersPerRun: &one},
			Grades:     []runs.Grade{{Grade: "B", PricePerM2: &price}},
			Orders:     []runs.Order{order("A", 900), order("Z", 1100)},
		},
		Candidates: mm(2200, 1800, 2000), Most: 2,
	}
}

func solved(t interface{ Fatal(...any) }, p Problem, opt Options) Result {
	r, err := Solve(context.Background(), p, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := Check(p, r); err != nil {
		t.Fatal(err)
	}
	return r
}

// TestTwoOrders: by hand, area over area. On 1800 A runs two out (900 m²) and Z
// one out (1800 m²); on 2000 1000 and 2000; on 2200 1100 and 1100. A pair takes
// the better of each.
func TestTwoOrders(t *testing.T) {
	r := solved(t, two(), Options{Rounds: 5})
	want := map[string]float64{
		"1800 mm": 1350, "2000 mm": 1500, "2200 mm": 1100,
		"1800, 2000 mm": 1350, "1800, 2200 mm": 1000, "2000, 2200 mm": 1050,
	}
	if len(r.Sets) != len(want) || r.Of != len(want) || r.Status != Exact {
		t.Fatalf("%d of %d sets, %s", len(r.Sets), r.Of, r.Status)
	}
	for _, s := range r.Sets {
		if w := want[s.String()]; math.Abs(float64(s.Cost)-w) > 1e-6 {
			t.Errorf("%s costs %v, by hand %v", s, float64(s.Cost), w)
		}
	}
	best := r.Sets[0]
	if best.String() != "1800, 2200 mm" || best.WastePct > 1e-9 || best.Used[0].Length.Metres() != 500 || best.Used[1].Length.Metres() != 500 {
		t.Errorf("best is %s: %+v", best, best)
	}
	if r.Today == nil || r.Today.String() != "2000 mm" || math.Abs(float64(r.Today.Cost)-1500) > 1e-6 {
		t.Errorf("today %+v", r.Today)
	}
	if len(r.Best) != 2 || r.Best[0].String() != "2200 mm" {
		t.Errorf("best by count %v", r.Best)
	}
}

// TestKeepingDecides: by hand. The second width saves 100 in the 73 days, a
// fifth of a year; keeping one costs a fifth of its year's cost.
func TestKeepingDecides(t *testing.T) {
	for _, c := range []struct {
		year float64
		best string
		cost float64
	}{{499, "1800, 2200 mm", 1000 + 2*99.8}, {501, "2200 mm", 1100 + 100.2}} {
		p := two()
		p.KeepCost, p.Days = quantity.Money(c.year), 73
		if r := solved(t, p, Options{Rounds: 5}); r.Sets[0].String() != c.best || math.Abs(float64(r.Sets[0].Cost)-c.cost) > 1e-6 {
			t.Errorf("at %v a year: %s for %v, by hand %s for %v", c.year, r.Sets[0], r.Sets[0].Cost, c.best, c.cost)
		}
	}
}

// TestTooNarrow: Z fits no web of 1000 mm, so that set stands last, cheap as it is.
func TestTooNarrow(t *testing.T) {
	p := two()
	p.Candidates, p.Most = mm(1000, 2200), 1
	r := solved(t, p, Options{Rounds: 5})
	if last := r.Sets[1]; last.String() != "1000 mm" || last.Unplanned != 1 || last.Cost >= r.Sets[0].Cost {
		t.Errorf("%+v", r.Sets)
	}
}

// TestGradeKeepsItsWebs: a grade stocked in 2000 alone stays there among today's
// widths, and takes a width that the plant does not have yet.
func TestGradeKeepsItsWebs(t *testing.T) {
	p := two()
	p.Trim.Corrugator.Webs, p.Trim.Grades[0].Webs, p.Most = mm(1800, 2000), mm(2000), 1
	for _, s := range solved(t, p, Options{Rounds: 5}).Sets {
		if want := map[string]int{"1800 mm": 2, "2000 mm": 0, "2200 mm": 0}[s.String()]; s.Unplanned != want {
			t.Errorf("%s leaves %d, want %d", s, s.Unplanned, want)
		}
	}
}

// drawn is a random problem whose runs each lose some metres: where they lose
// none, the same orders are cut in ever more runs, and the proof takes ten times as
// long. It is small enough that most plans are searched to the end, which is quicker than parting them for a bound.
func drawn(t *rapid.T) Problem {
	p := two()
	p.Trim.Corrugator.RunChangeLoss = quantity.Distance(rapid.IntRange(5, 20).Draw(t, "loss")) * quantity.Distance(quantity.Metre)
	p.Trim.Orders = nil
	for i := range rapid.IntRange(1, 4).Draw(t, "orders") {
		p.Trim.Orders = append(p.Trim.Orders, runs.Order{
			Order: fmt.Sprint("O", i), Grade: "B", Slit: mm(float64(rapid.IntRange(300, 1400).Draw(t, "slit")))[0],
			Chop: mm(float64(rapid.IntRange(500, 2000).Draw(t, "chop")))[0], Sheets: rapid.IntRange(20, 150).Draw(t, "sheets"), OverPct: 5,
		})
	}
	two := 2
	p.Trim.Corrugator.MaxOrdersPerRun, p.Trim.Corrugator.KnifeLevels = &two, 2
	p.Trim.Corrugator.SideTrimMin = 15 * quantity.Millimetre
	p.Candidates = mm(1600, 1850, 2100, 2350)[:rapid.IntRange(1, 3).Draw(t, "candidates")]
	return p
}

// TestMoreNeverCostMore: with one more candidate, or one more width allowed, and
// keeping free, the best set is no dearer and leaves no more orders.
func TestMoreNeverCostMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		p.Most = 1
		a := solved(t, p, Options{Rounds: 40, Seed: 3})
		wider, longer := p, p
		wider.Candidates = mm(1600, 1850, 2100, 2350)[:len(p.Candidates)+1]
		longer.Most = 2
		for _, looser := range []Problem{wider, longer} {
			b := solved(t, looser, Options{Rounds: 40, Seed: 3})
			if x, y := a.Sets[0], b.Sets[0]; y.Unplanned > x.Unplanned || y.Unplanned == x.Unplanned && y.Cost > x.Cost*(1+1e-9) {
				t.Fatalf("%s costs %v with %d left; with more to choose from %s costs %v with %d left", x, x.Cost, x.Unplanned, y, y.Cost, y.Unplanned)
			}
			if x, y := a.Sets[0], b.Sets[0]; x.Unplanned == y.Unplanned && b.Bound > x.Cost*(1+1e-9) {
				t.Fatalf("bound %v of the wider choice is above %s at %v", b.Bound, x, x.Cost)
			}
		}
	})
}

// TestGreedy: beyond MostExact sets the status says so, no set is priced twice,
// and the best of each number is among what was priced.
func TestGreedy(t *testing.T) {
	p := two()
	p.Candidates, p.Most = nil, 3
	for w := 1500.0; w <= 2700; w += 100 {
		p.Candidates = append(p.Candidates, mm(w)...)
	}
	n := 0
	r := solved(t, p, Options{Rounds: 1, OnProgress: func(v Progress) {
		if n++; v.Done != n || v.Of < n {
			t.Errorf("progress %+v at set %d", v, n)
		}
	}})
	if r.Status != Greedy || r.Bound != 0 || r.Of != 13+78+286 || len(r.Sets) > greedySets(13, 3) || len(r.Sets) != n {
		t.Errorf("%s, %d sets of %d, bound %v", r.Status, len(r.Sets), r.Of, r.Bound)
	}
	if r.Sets[0].Cost > 1000+1e-6 { // 1800 and 2200 are without waste
		t.Errorf("best is %s at %v", r.Sets[0], r.Sets[0].Cost)
	}
	if len(r.Best) != 3 {
		t.Errorf("%d numbers of widths", len(r.Best))
	}
}

func TestStoppedKeepsTheBest(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	p := two()
	r, err := Solve(ctx, p, Options{Rounds: 2, OnProgress: func(v Progress) {
		if v.Done == 2 {
			stop()
		}
	}})
	if err != nil || r.Status != Stopped || len(r.Sets) != 2 || r.Bound != 0 {
		t.Fatalf("%v, %+v", err, r)
	}
	if err := Check(p, r); err != nil {
		t.Error(err)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		field string
		spoil func(*Problem)
	}{
		{"candidates_mm", func(p *Problem) { p.Candidates = nil }},
		{"candidates_mm[1]", func(p *Problem) { p.Candidates = mm(1800, -5) }},
		{"candidates_mm[2]", func(p *Problem) { p.Candidates = mm(1800, 2000, 1800) }},
		{"most", func(p *Problem) { p.Most = 0 }},
		{"keep_cost_per_web_y", func(p *Problem) { p.KeepCost = -1 }},
		{"days", func(p *Problem) { p.KeepCost = 100 }},
		{"days", func(p *Problem) { p.Days = math.NaN() }},
		{"trim.orders", func(p *Problem) { p.Trim.Orders = nil }},
		{"trim.orders[0].sheets", func(p *Problem) { p.Trim.Orders[0].Sheets = 0 }},
	} {
		p := two()
		c.spoil(&p)
		_, err := Solve(context.Background(), p, Options{Rounds: 1})
		var vs fault.Violations
		if !errors.As(err, &vs) || !slices.ContainsFunc(vs, func(v fault.Violation) bool { return v.Field == c.field && v.Rule != "" }) {
			t.Errorf("%s: %v", c.field, err)
		}
	}
}

// TestCheckFinds: a spoiled result does not pass.
func TestCheckFinds(t *testing.T) {
	for name, spoil := range map[string]func(*Result){
		"cost":    func(r *Result) { r.Sets[0].Cost -= 10 },
		"keep":    func(r *Result) { r.Sets[0].Keep += 10 },
		"order":   func(r *Result) { slices.Reverse(r.Sets) },
		"used":    func(r *Result) { r.Sets[0].Used[0].Length++ },
		"foreign": func(r *Result) { r.Sets[0].Webs[0] += quantity.Millimetre },
		"plan":    func(r *Result) { r.Sets[0].Answer.Runs[0].Web = mm(2000)[0] },
		"bound":   func(r *Result) { r.Bound = r.Sets[0].Cost + 1 },
		"left":    func(r *Result) { r.Sets[0].Unplanned++ },
	} {
		r := solved(t, two(), Options{Rounds: 2})
		if spoil(&r); Check(two(), r) == nil {
			t.Errorf("%s passes", name)
		}
	}
}
