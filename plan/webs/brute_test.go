package webs

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/solve/lp"
)

// drawn is a random problem without losses and tolerances, so that its relaxation
// is the plain covering programme of brute below.
func drawn(t *rapid.T) Problem {
	p := two()
	p.Trim.Orders = nil
	for i := range rapid.IntRange(1, 5).Draw(t, "orders") {
		p.Trim.Orders = append(p.Trim.Orders, runs.Order{
			Order: fmt.Sprint("O", i), Grade: "B", Slit: mm(float64(rapid.IntRange(300, 1900).Draw(t, "slit")))[0],
			Chop: mm(float64(rapid.IntRange(500, 2000).Draw(t, "chop")))[0], Sheets: rapid.IntRange(50, 400).Draw(t, "sheets"),
		})
	}
	both := 2
	p.Trim.Corrugator.MaxOrdersPerRun, p.Trim.Corrugator.KnifeLevels = &both, 2
	p.Trim.Corrugator.SideTrimMin = 15 * quantity.Millimetre
	p.Candidates = mm(1600, 1720, 1850, 1990, 2100, 2350)[:rapid.IntRange(1, 6).Draw(t, "candidates")]
	p.Most = rapid.IntRange(1, 3).Draw(t, "most")
	p.KeepCost, p.Days = quantity.Money(rapid.IntRange(0, 400).Draw(t, "keep")), 30
	return p
}

// brute prices one set by listing every way to lay one or two orders on every
// width of it and solving the covering programme over all of them:
//
//	min 0.5 Σ width·x   subject to   Σ outs·x ≥ sheets × chop of every order that fits
//
// x in metres. It shares the simplex with the engine and nothing else.
func brute(p Problem, set []quantity.Length) (cost float64, left int) {
	var fit []runs.Order
	widest := slices.Max(set) - 30*quantity.Millimetre
	for _, o := range p.Trim.Orders {
		if o.Slit <= widest {
			fit = append(fit, o)
		} else {
			left++
		}
	}
	var lo, hi []float64
	for _, o := range fit {
		lo, hi = append(lo, float64(o.Sheets)*o.Chop.Metres()), append(hi, math.Inf(1))
	}
	var s lp.Simplex
	s.Reset(lo, hi)
	for _, w := range set {
		room := w - 30*quantity.Millimetre
		for i, a := range fit {
			for n := quantity.Length(1); n*a.Slit <= room; n++ {
				s.Add(0.5*w.Metres(), 0, math.Inf(1), []int32{int32(i)}, []float64{float64(n)})
				for j := i + 1; j < len(fit); j++ {
					for m := quantity.Length(1); n*a.Slit+m*fit[j].Slit <= room; m++ {
						s.Add(0.5*w.Metres(), 0, math.Inf(1), []int32{int32(i), int32(j)}, []float64{float64(n), float64(m)})
					}
				}
			}
		}
	}
	s.Solve(100_000)
	return s.Objective() + float64(p.KeepCost)*30/365*float64(len(set)), left
}

// TestBruteForce: over every set of up to six widths the one found is the best,
// every set that is shown costs what brute says, and none that is not shown is better.
func TestBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		r := solved(t, p, Options{Rounds: 1})
		best, fewest, sets := math.Inf(1), math.MaxInt, 0
		for mask := 1; mask < 1<<len(p.Candidates); mask++ {
			var set []quantity.Length
			for k, w := range p.Candidates {
				if mask>>k&1 == 1 {
					set = append(set, w)
				}
			}
			if len(set) > p.Most {
				continue
			}
			sets++
			cost, left := brute(p, set)
			if left < fewest || left == fewest && cost < best {
				best, fewest = cost, left
			}
			if at := slices.IndexFunc(r.Sets, func(s Set) bool { return slices.Equal(s.Webs, set) }); at >= 0 {
				if s := r.Sets[at]; len(s.Left) != left || math.Abs(float64(s.Cost)-cost) > 1e-6*math.Max(1, cost) {
					t.Fatalf("%s costs %v with %d left, by brute force %v with %d", s, float64(s.Cost), len(s.Left), cost, left)
				}
			}
		}
		if s := r.Sets[0]; len(s.Left) != fewest || math.Abs(float64(s.Cost)-best) > 1e-6*math.Max(1, best) {
			t.Fatalf("best is %s for %v with %d left, by brute force %v with %d", s, float64(s.Cost), len(s.Left), best, fewest)
		}
		if len(r.Sets)+r.Spare != sets {
			t.Fatalf("%d sets and %d spare of %d", len(r.Sets), r.Spare, sets)
		}
	})
}

// TestMoreNeverCostMore: with one more candidate, or one more width allowed, and
// keeping free, the best set is no dearer and leaves no more orders.
func TestMoreNeverCostMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		p.KeepCost, p.Candidates, p.Most = 0, p.Candidates[:min(4, len(p.Candidates))], 1
		p.Trim.Corrugator.RunChangeLoss = quantity.Distance(rapid.IntRange(0, 20).Draw(t, "loss")) * quantity.Distance(quantity.Metre)
		wider, longer := p, p
		wider.Candidates = append(slices.Clone(p.Candidates), mm(2480)...)
		longer.Most = 2
		x := solved(t, p, Options{Rounds: 1}).Sets[0]
		for _, looser := range []Problem{wider, longer} {
			y := solved(t, looser, Options{Rounds: 1}).Sets[0]
			if len(y.Left) > len(x.Left) || len(y.Left) == len(x.Left) && y.Cost > x.Cost*(1+1e-6) {
				t.Fatalf("%s costs %v with %d left; with more to choose from %s costs %v with %d left", x, x.Cost, len(x.Left), y, y.Cost, len(y.Left))
			}
		}
	})
}
