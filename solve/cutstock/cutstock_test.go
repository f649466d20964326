package cutstock

import (
	"context"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
)

func items(pairs ...int) []Item {
	var out []Item
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, Item{int64(pairs[i]), pairs[i+1]})
	}
	return out
}

var published = []struct {
	source  string
	problem Problem
	optimum int
}{
	{"Wikipedia, Cutting stock problem, roll 5600 mm (data); optimum by arc-flow integer programme", Problem{5600, items(1380, 22, 1520, 25, 1560, 12, 1710, 14, 1820, 18, 1880, 18, 1930, 20, 2000, 10, 2050, 12, 2100, 14, 2140, 16, 2150, 18, 2200, 20)}, 73},
	{"Chvátal, Linear Programming 1983; GAMS library CUTSTOCK", Problem{100, items(45, 97, 36, 610, 31, 395, 14, 211)}, 453},
	{"Fourer, Gay & Kernighan, AMPL, ch. 15 (data from memory)", Problem{110, items(20, 48, 45, 35, 50, 24, 55, 10, 75, 8)}, 47},
	{"Sorrentino, AMPL cutting cases, in hundredths", Problem{6450, items(677, 10, 756, 40, 1746, 33, 1876, 10)}, 18},
}

func TestPublishedOptima(t *testing.T) {
	for _, c := range published {
		r, err := Solve(context.Background(), c.problem, Options{Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(c.problem, r); err != nil {
			t.Errorf("%s: %v", c.source, err)
		}
		if r.Pieces != c.optimum || r.Bound != c.optimum || r.Status != Optimal {
			t.Errorf("%s: %d pieces, bound %d, %s; optimum %d", c.source, r.Pieces, r.Bound, r.Status, c.optimum)
		}
		t.Logf("cutting stock | %s | stock pieces | %d | %d, bound %d | %d", c.source, c.optimum, r.Pieces, r.Bound, r.Pieces-c.optimum)
	}
}

// TestLaws: every plan passes Check, the bound is never under the material
// bound, and more demand never lowers the bound.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{Stock: rapid.Int64Range(20, 400).Draw(t, "stock")}
		area := int64(0)
		for range rapid.IntRange(1, 6).Draw(t, "n") {
			it := Item{rapid.Int64Range(1, p.Stock).Draw(t, "width"), rapid.IntRange(0, 40).Draw(t, "demand")}
			p.Items = append(p.Items, it)
			area += it.Width * int64(it.Demand)
		}
		r, err := Solve(context.Background(), p, Options{Rounds: 3})
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(p, r); err != nil {
			t.Fatal(err)
		}
		if int64(r.Bound) < (area+p.Stock-1)/p.Stock {
			t.Fatalf("bound %d is under the material bound %d/%d", r.Bound, area, p.Stock)
		}
		p.Items[0].Demand++
		more, err := Solve(context.Background(), p, Options{Rounds: 1})
		if err != nil || more.Bound < r.Bound {
			t.Fatalf("bound fell from %d to %d with more demand (%v)", r.Bound, more.Bound, err)
		}
	})
}

func TestRefusesWhatCannotBe(t *testing.T) {
	for _, p := range []Problem{{0, items(1, 1)}, {10, items(11, 1)}, {10, items(5, -1)}, {10, items(0, 1)}} {
		if _, err := Solve(context.Background(), p, Options{}); !errors.Is(err, fault.Invalid) {
			t.Errorf("%v: %v", p, err)
		}
	}
}
