package combine

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestBoundOfLooserProblem: what binds less has no bound above a plan of what
// binds more: more webs, wider windows, fewer limits, shorter runs, no price for splits.
func TestBoundOfLooserProblem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tight := drawn(t)
		a := Solve(&tight, Options{Rounds: 20})
		loose := tight
		loose.Stocks, loose.Items, loose.Limits = slices.Clone(tight.Stocks), slices.Clone(tight.Items), slices.Clone(tight.Limits)
		switch rapid.IntRange(0, 5).Draw(t, "loosened") {
		case 0:
			more := tight.Stocks[0]
			more.Width += 37
			loose.Stocks = append(loose.Stocks, more)
		case 1:
			for i := range loose.Items {
				loose.Items[i].Least -= loose.Items[i].Least / 10
				loose.Items[i].Most += loose.Items[i].Most / 10
			}
		case 2:
			for k := range loose.Limits {
				loose.Limits[k] *= 3
			}
		case 3:
			loose.Line.RunLeast, loose.Line.TrimMost, loose.Apart = 1, 500, nil
		case 4:
			loose.Line.Outs, loose.Line.Marks = loose.Line.Outs+3, 99
			loose.Line.LevelOuts = append(slices.Clone(loose.Line.LevelOuts), 8)
		case 5:
			for i := range loose.Items {
				loose.Items[i].Split, loose.Items[i].Parts = 0, 0
			}
		}
		b := Solve(&loose, Options{Rounds: 5})
		if len(a.Left) == 0 && len(b.Left) == 0 && b.Bound > a.Cost*(1+1e-9)+1e-9 {
			t.Fatalf("bound %v of the looser problem, a plan of the tighter costs %v", b.Bound, a.Cost)
		}
	})
}

// TestBoundSeesLimits is an order that fits one strip on either of two webs. The
// narrow one is there for half of it, so half must be cut from the wide one: the
// optimum is 500·(1000 + 1500), worked by hand. A bound blind to the limit says 1,000,000.
func TestBoundSeesLimits(t *testing.T) {
	p := Problem{
		Line: Line{TrimMost: 1000, Outs: 4, Orders: 2, Marks: 9, RunLeast: 1, LevelOuts: []int{4}},
		Stocks: []Stock{
			{Width: 1000, Price: 1, Draws: []Draw{{0, 1}}},
			{Width: 1500, Price: 1},
		},
		Items:  []Item{{Width: 900, Length: 1, Least: 1000, Want: 1000, Most: 1000, Kinds: []int{0}}},
		Limits: []float64{500},
	}
	r := Solve(&p, Options{Rounds: 40})
	if err := Check(p, r); err != nil || r.Cost != 1250000 {
		t.Fatalf("cost %v, 1,250,000 by hand (%v)", r.Cost, err)
	}
	if r.Bound < 1249990 {
		t.Errorf("bound %v does not see that the narrow web runs out", r.Bound)
	}
}

// TestBoundCountsRuns is two orders that no run takes together: each needs its
// run, so both starts are in the bound, to the last unit but rounding. Worked by hand.
func TestBoundCountsRuns(t *testing.T) {
	p := Problem{
		Line:   Line{TrimMost: 500, Outs: 1, Orders: 1, Marks: 9, RunLeast: 1, LevelOuts: []int{1}, RunLoss: 100},
		Stocks: []Stock{{Width: 1000, Price: 1}},
		Items: []Item{
			{Width: 900, Length: 1, Least: 1000, Want: 1000, Most: 3000, Kinds: []int{0}},
			{Width: 800, Length: 1, Least: 500, Want: 500, Most: 1500, Kinds: []int{0}},
		},
	}
	r := Solve(&p, Options{Rounds: 20})
	if want := 1000.0 * (1000 + 500 + 2*100); r.Cost != want || r.Bound < want*(1-1e-6) || r.Status != Optimal {
		t.Errorf("cost %v, bound %v, both %v by hand", r.Cost, r.Bound, want)
	}
}

// TestCountersHold: lanes whose pieces sum to the least earn 1 or more under
// every counter, those of a degree and those found from a point.
func TestCountersHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		least := rapid.Int64Range(1, 5000).Draw(t, "least")
		c := counts(least, rapid.Int64Range(1, 7).Draw(t, "degree"))
		if rapid.Bool().Draw(t, "found") {
			var list []share
			for range rapid.IntRange(1, 6).Draw(t, "parts") {
				own := rapid.IntRange(1, cells-1).Draw(t, "cell")
				list = gather(list, share{own: own, partner: -1}, rapid.Float64Range(0, 1.5).Draw(t, "mass"))
			}
			found, miss := newWays(list).counterOf(rapid.Float64Range(0, 1.5).Draw(t, "full"), least, nil)
			if miss <= 1e-6 {
				return
			}
			c = found
		}
		sum, earned := int64(0), 0.0
		for sum < least {
			g := rapid.Int64Range(1, least).Draw(t, "pieces")
			sum += g
			earned += c.at(g)
		}
		if earned < 1-1e-6 {
			t.Fatalf("%d pieces earn %v of 1", sum, earned)
		}
		if c.at(least) != 1 {
			t.Fatalf("the whole item earns %v", c.at(least))
		}
	})
}

// TestThreadsDoNotMatter: the same rounds give the same plan and bound on one thread and on four.
func TestThreadsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		a := Solve(&p, Options{Rounds: 70, Workers: 1})
		b := Solve(&p, Options{Rounds: 70, Workers: 4})
		if a.Cost != b.Cost || a.Bound != b.Bound || len(a.Runs) != len(b.Runs) {
			t.Fatalf("cost %v and %v, bound %v and %v", a.Cost, b.Cost, a.Bound, b.Bound)
		}
	})
}

// TestSequenceAgainstEveryOther compares the sequence of up to six stocks with all others.
func TestSequenceAgainstEveryOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{Line: Line{WidthLoss: rapid.Float64Range(0, 40).Draw(t, "width loss"), KindLoss: rapid.Float64Range(0, 40).Draw(t, "kind loss")}}
		n := rapid.IntRange(2, 6).Draw(t, "stocks")
		for range n {
			p.Stocks = append(p.Stocks, Stock{
				Kind: rapid.IntRange(0, 2).Draw(t, "kind"), Width: 10 * rapid.Int64Range(150, 155).Draw(t, "web"), Price: float64(rapid.IntRange(1, 4).Draw(t, "price")),
			})
		}
		s := prepare(&p)
		if rapid.Bool().Draw(t, "front") {
			s.last = 0
		}
		on := slices.Repeat([]int32{1}, n)
		list, cost := s.arrange(on)
		along := func(list []int) float64 {
			sum, last := 0.0, s.last
			for _, st := range list {
				if last >= 0 {
					sum += s.change(&p.Stocks[last], &p.Stocks[st])
				}
				last = st
			}
			return sum
		}
		if got := along(list); got > cost*(1+1e-9)+1e-9 || got < cost*(1-1e-9)-1e-9 || len(list) != n {
			t.Fatalf("the sequence costs %v, stated %v", got, cost)
		}
		var every func(list []int, k int)
		every = func(list []int, k int) {
			if k == len(list) {
				if v := along(list); v < cost*(1-1e-9)-1e-9 {
					t.Fatalf("%v costs %v, found %v", list, v, cost)
				}
				return
			}
			for i := k; i < len(list); i++ {
				list[k], list[i] = list[i], list[k]
				every(list, k+1)
				list[k], list[i] = list[i], list[k]
			}
		}
		every(slices.Clone(list), 0)
	})
}
