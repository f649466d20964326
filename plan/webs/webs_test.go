package webs

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

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
// the better of each, so that 2000 beside 1800 brings nothing and the pair is not shown.
func TestTwoOrders(t *testing.T) {
	r := solved(t, two(), Options{Rounds: 5})
	want := map[string]float64{
		"1800 mm": 1350, "2000 mm": 1500, "2200 mm": 1100, "1800, 2200 mm": 1000, "2000, 2200 mm": 1050,
	}
	if len(r.Sets) != len(want) || r.Of != 6 || r.Spare != 1 || r.Status != Exact || r.Stretches != 1 {
		t.Fatalf("%d of %d sets, %d spare, %s", len(r.Sets), r.Of, r.Spare, r.Status)
	}
	for _, s := range r.Sets {
		if w := want[s.String()]; math.Abs(float64(s.Cost)-w) > 1e-6 {
			t.Errorf("%s costs %v, by hand %v", s, float64(s.Cost), w)
		}
	}
	best := r.Sets[0]
	if best.String() != "1800, 2200 mm" || best.WastePct > 1e-9 || math.Abs(best.Used[0].Length.Metres()-500) > 1e-6 || math.Abs(best.Used[1].Length.Metres()-500) > 1e-6 {
		t.Errorf("best is %s: %+v", best, best)
	}
	if best.Plan == nil || math.Abs(float64(best.Plan.Cost)-1000) > 1e-6 || best.Plan.Runs != 2 {
		t.Errorf("the best set's plan is %+v", best.Plan)
	}
	if s := r.Today; s.String() != "2000 mm" || math.Abs(float64(s.Cost)-1500) > 1e-6 || math.Abs(s.WastePct-100.0/3) > 1e-6 || math.Abs(float64(s.Waste)-1000) > 1e-6 || s.Plan == nil {
		t.Errorf("today %+v", s)
	}
	if r.All.String() != "1800, 2000, 2200 mm" || math.Abs(float64(r.All.Cost)-1000) > 1e-6 {
		t.Errorf("all %+v", r.All)
	}
	if len(r.Best) != 2 || r.Best[0].String() != "2200 mm" || r.Best[1].Plan == nil {
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
		r := solved(t, p, Options{Rounds: 5})
		if r.Sets[0].String() != c.best || math.Abs(float64(r.Sets[0].Cost)-c.cost) > 1e-6 {
			t.Errorf("at %v a year: %s for %v, by hand %s for %v", c.year, r.Sets[0], r.Sets[0].Cost, c.best, c.cost)
		}
		if y := r.Year(100); math.Abs(float64(y)-500) > 1e-9 {
			t.Errorf("100 in 73 days are %v a year", y)
		}
	}
}

// TestStretches: by hand. Side by side A and Z fill 2000 for 1000 m, 1000 m²
// each; due three days apart and planned a day at a time they never meet, and A
// takes 500 m two out, Z 1000 m alone: 3000 m² at 0.5.
func TestStretches(t *testing.T) {
	day := time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		together float64
		parts    int
		cost     float64
	}{{0, 1, 1000}, {1, 2, 1500}, {3, 2, 1500}, {3.5, 1, 1000}} {
		p := two()
		both := 2
		p.Trim.Corrugator.MaxOrdersPerRun, p.Candidates, p.Most, p.Together = &both, mm(2000), 1, c.together
		p.Trim.Orders[0].Due, p.Trim.Orders[1].Due = day, day.AddDate(0, 0, 3)
		if r := solved(t, p, Options{Rounds: 5}); r.Stretches != c.parts || math.Abs(float64(r.Sets[0].Cost)-c.cost) > 1e-6 || len(r.Sets[0].Plan.Answers) != c.parts {
			t.Errorf("%v days: %d stretches for %v, by hand %d for %v", c.together, r.Stretches, float64(r.Sets[0].Cost), c.parts, c.cost)
		}
	}
}

// TestIdleWidths: nothing fits 800 mm, so it stands in no set of several, and
// the set that it stood in is shown without it.
func TestIdleWidths(t *testing.T) {
	p := two()
	p.Candidates, p.Most, p.KeepCost, p.Days = mm(800, 1800, 2200), 3, 365, 1
	r := solved(t, p, Options{Rounds: 5})
	var names []string
	for _, s := range r.Sets {
		names = append(names, fmt.Sprintf("%s at %.0f", s, float64(s.Cost)))
	}
	if want := []string{"1800, 2200 mm at 1002", "2200 mm at 1101", "1800 mm at 1351", "800 mm at 1"}; !slices.Equal(names, want) || r.Spare != 3 {
		t.Errorf("%v and %d spare, by hand %v and 3", names, r.Spare, want)
	}
}

// TestTooNarrow: Z fits no web of 1000 mm, so that set stands last, cheap as it is.
func TestTooNarrow(t *testing.T) {
	p := two()
	p.Candidates, p.Most = mm(1000, 2200), 1
	p.Trim.Orders[0].Slit = mm(450)[0]
	r := solved(t, p, Options{Rounds: 5})
	if last := r.Sets[1]; last.String() != "1000 mm" || !slices.Equal(last.Left, []string{"Z"}) || last.Cost >= r.Sets[0].Cost {
		t.Errorf("%+v", r.Sets)
	}
}

// TestOverTheMostTrim: by hand. With at most 50 mm of trim a side Z has no legal
// run on 1800; cut with 700 mm of trim all the same it takes 1000 m of it, 900 of money,
// beside the 450 of A's two outs. On 1000 it cannot be cut at all.
func TestOverTheMostTrim(t *testing.T) {
	p := two()
	fifty := 50 * quantity.Millimetre
	p.Trim.Corrugator.SideTrimMax, p.Candidates, p.Most = &fifty, mm(1000, 1800, 2200), 1
	for _, s := range solved(t, p, Options{Rounds: 5}).Sets {
		want := map[string]Set{
			"1000 mm": {Left: []string{"Z"}, Cost: 500}, "1800 mm": {Over: []string{"Z"}, Cost: 1350, OverCost: 900},
			"2200 mm": {Over: []string{"A"}, Cost: 1100, OverCost: 550},
		}[s.String()]
		if !slices.Equal(s.Left, want.Left) || !slices.Equal(s.Over, want.Over) || math.Abs(float64(s.Cost-want.Cost)) > 1e-6 || math.Abs(float64(s.OverCost-want.OverCost)) > 1e-6 {
			t.Errorf("%s: left %v, over %v for %v of %v; by hand %+v", s, s.Left, s.Over, float64(s.OverCost), float64(s.Cost), want)
		}
	}
}

// TestGradeKeepsItsWebs: a grade stocked in 2000 alone stays there among today's
// widths, and takes a width that the plant does not have yet.
func TestGradeKeepsItsWebs(t *testing.T) {
	p := two()
	p.Trim.Corrugator.Webs, p.Trim.Grades[0].Webs, p.Most = mm(1800, 2000), mm(2000), 1
	for _, s := range solved(t, p, Options{Rounds: 5}).Sets {
		if want := map[string]int{"1800 mm": 2, "2000 mm": 0, "2200 mm": 0}[s.String()]; len(s.Left) != want {
			t.Errorf("%s leaves %d, want %d", s, len(s.Left), want)
		}
	}
}

// TestGreedy: beyond MostExact sets the status says so, and the best of each
// number is among what was judged.
func TestGreedy(t *testing.T) {
	p := two()
	p.Candidates, p.Most = nil, 3
	for w := 1500.0; w <= 2700; w += 100 {
		p.Candidates = append(p.Candidates, mm(w)...)
	}
	done := 0
	r := solved(t, p, Options{Rounds: 1, OnProgress: func(v Progress) {
		if v.Done < done || v.Of < v.Done {
			t.Errorf("progress %+v after %d sets", v, done)
		}
		done = v.Done
	}})
	if r.Status != Greedy || r.Of != 13+78+286 || len(r.Sets)+r.Spare > greedySets(13, 3) {
		t.Errorf("%s, %d sets and %d spare of %d", r.Status, len(r.Sets), r.Spare, r.Of)
	}
	if r.Sets[0].String() != "1800, 2200 mm" || math.Abs(float64(r.Sets[0].Cost)-1000) > 1e-6 { // without waste, so a third width brings nothing
		t.Errorf("best is %s at %v", r.Sets[0], r.Sets[0].Cost)
	}
	if len(r.Best) != 2 {
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
	if err != nil || r.Status != Stopped || len(r.Sets) != 2 || r.Sets[0].Plan != nil {
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
		{"together_d", func(p *Problem) { p.Together = 0.1 }},
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
		"used":    func(r *Result) { r.Sets[0].Used[0].Length += quantity.Distance(quantity.Metre) },
		"idle":    func(r *Result) { r.Sets[0].Used[0].Length = 0 },
		"foreign": func(r *Result) { r.Sets[0].Webs[0] += quantity.Millimetre },
		"waste":   func(r *Result) { r.Sets[1].WastePct += 1 },
		"all":     func(r *Result) { r.All.Trim += 200 },
		"dearer than its part": func(r *Result) {
			r.Sets[0].Trim, r.Sets[1].Trim, r.Sets[0].Cost, r.Sets[1].Cost = 1300, 1250, 1300, 1250
		},
		"plan":      func(r *Result) { r.Sets[0].Plan.Answers[0].Runs[0].Web = mm(2000)[0] },
		"plan cost": func(r *Result) { r.Sets[0].Plan.Cost++ },
		"undercut":  func(r *Result) { r.Sets[0].Trim, r.Sets[0].Cost, r.All.Trim = 1040, 1040, 1040 },
		"left":      func(r *Result) { r.Sets[0].Plan.Unplanned++ },
		"a stretch": func(r *Result) { r.Sets[0].Plan.Answers = nil },
		"no set":    func(r *Result) { r.Sets = nil },
	} {
		r := solved(t, two(), Options{Rounds: 2})
		if spoil(&r); Check(two(), r) == nil {
			t.Errorf("%s passes", name)
		}
	}
}
