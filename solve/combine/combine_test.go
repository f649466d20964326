package combine

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// drawn makes a problem up: two kinds, a few widths, limits somewhere in play.
func drawn(t *rapid.T) Problem {
	n := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(t, name) }
	p := Problem{Line: Line{
		TrimLeast: int64(n("trim least", 0, 4)), TrimMost: int64(n("trim most", 20, 60)), Outs: n("outs", 2, 8),
		Orders: n("orders", 1, 3), Marks: n("marks", 4, 24), RunLeast: int64(n("run least", 1, 400)), Rejects: int64(n("rejects", 0, 2)),
		RunLoss: float64(n("run loss", 0, 50)), WidthLoss: float64(n("width loss", 0, 50)), KindLoss: float64(n("kind loss", 0, 50)),
	}}
	for range n("levels", 1, 3) {
		p.Line.LevelOuts = append(p.Line.LevelOuts, n("level outs", 2, 8))
	}
	p.Limits = []float64{float64(n("limit", 0, 40000))}
	for kind := range 2 {
		for range n("stocks", 1, 3) {
			s := Stock{Kind: kind, Width: int64(n("stock width", 120, 250)), Price: 1 + float64(kind)/2, Credit: float64(n("credit", 0, 1)) * .2}
			if n("limited", 0, 3) == 0 {
				s.Draws = []Draw{{0, 1}}
			}
			p.Stocks = append(p.Stocks, s)
		}
	}
	for range n("items", 1, 9) {
		want := int64(n("want", 5, 900))
		it := Item{
			Width: int64(n("width", 15, 130)), Length: int64(n("length", 40, 250)), Marks: n("item marks", 0, 2), Class: n("class", 0, 2),
			Least: want, Want: want, Most: want + want*int64(n("over", 0, 10))/100, Parts: n("parts", 0, 3), Kinds: []int{n("kind", 0, 1)},
		}
		if n("upgrade", 0, 2) == 0 && it.Kinds[0] == 0 {
			it.Kinds = []int{0, 1}
		}
		if n("short", 0, 2) == 0 {
			it.Least, it.Short, it.Over = want*9/10, float64(n("short cost", 0, 9000)), float64(n("over cost", 0, 500))
		}
		if n("barred", 0, 5) == 0 {
			it.Barred = []int{0}
		}
		it.Split = float64(n("split", 0, 1) * n("split cost", 0, 2000))
		p.Items = append(p.Items, it)
	}
	if k := len(p.Items); k > 1 && n("apart", 0, 2) == 0 {
		p.Apart = [][2]int{{0, k - 1}}
	}
	return p
}

// TestFrontAndHold: of a plan, some runs are frozen in front and some held; the
// new plan has both, and its bound is still none of its cost.
func TestFrontAndHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		a := Solve(&p, Options{Rounds: 10})
		q := p
		for k, r := range a.Runs {
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 0:
				if k == len(q.Front) {
					q.Front = append(q.Front, r)
				}
			case 1:
				q.Hold = append(q.Hold, r)
			case 2:
				r.Length = 0
				q.Hold = append(q.Hold, r)
			}
		}
		for _, start := range [][]Run{nil, a.Runs[len(q.Front):]} {
			b := Solve(&q, Options{Rounds: 25, Start: start})
			if err := Check(q, b); err != nil {
				t.Fatal(err)
			}
			if b.Bound > b.Cost*(1+1e-9)+1e-9 {
				t.Fatalf("bound %v is above the cost %v", b.Bound, b.Cost)
			}
			if start != nil && (len(b.Unheld) > 0 || len(b.Left) > len(a.Left) || len(b.Left) == len(a.Left) && b.Cost > a.Cost*(1+1e-9)+1e-6 && len(q.Front) == 0) {
				t.Fatalf("from the plan at %v: unheld %v, left %v, cost %v", a.Cost, b.Unheld, b.Left, b.Cost)
			}
		}
	})
}

// TestPlansAreLegal: every plan passes Check and costs no less than its bound.
func TestPlansAreLegal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		r := Solve(&p, Options{Rounds: 25})
		if err := Check(p, r); err != nil {
			t.Fatal(err)
		}
		if r.Bound > r.Cost*(1+1e-9)+1e-9 {
			t.Fatalf("bound %v is above the cost %v", r.Bound, r.Cost)
		}
	})
}

// TestSameSeedSamePlan, and a start is never made worse.
func TestSameSeedSamePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		a, b := Solve(&p, Options{Rounds: 15, Seed: 4}), Solve(&p, Options{Rounds: 15, Seed: 4})
		if !reflect.DeepEqual(a.Runs, b.Runs) || a.Cost != b.Cost {
			t.Fatal("the same seed and rounds gave two plans")
		}
		c := Solve(&p, Options{Rounds: 5, Seed: 9, Start: a.Runs})
		if len(a.Left) == len(c.Left) && c.Cost > a.Cost*(1+1e-9)+1e-9 {
			t.Fatalf("started from %v, ended at %v", a.Cost, c.Cost)
		}
	})
}

// TestUnequalPair is the balance of two items on one width: 1 + 3 strips, then
// 2 + 2, fill both; no strip of either alone is allowed by the trim.
func TestUnequalPair(t *testing.T) {
	p := Problem{
		Line:   Line{TrimLeast: 30, TrimMost: 250, Outs: 7, Orders: 2, Marks: 99, RunLeast: 100, LevelOuts: []int{7, 7}},
		Stocks: []Stock{{Width: 2350, Price: 1}},
		Items: []Item{
			{Width: 505, Length: 895, Least: 9000, Want: 9000, Most: 9270, Kinds: []int{0}},
			{Width: 589, Length: 1235, Least: 7500, Want: 7500, Most: 7725, Kinds: []int{0}},
		},
	}
	r := Solve(&p, Options{Rounds: 200})
	if err := Check(p, r); err != nil || len(r.Left) > 0 {
		t.Fatalf("%v, left %v", err, r.Left)
	}
	if len(r.Runs) > 3 {
		t.Errorf("%d runs, two do", len(r.Runs))
	}
}
