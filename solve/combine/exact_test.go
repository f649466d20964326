package combine

import (
	"testing"

	"pgregory.net/rapid"
)

// TestExactAgainstSearch: where all plans of a part were searched, the other
// search finds none that makes the same items for less, and what is proven is
// none above either.
func TestExactAgainstSearch(t *testing.T) {
	closed := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		for _, own := range prepare(&p).split() {
			w := &work{s: own.s, opt: &Options{Rounds: 10, Seed: 3}, parts: []*part{own}, seats: make(chan struct{}, 1)}
			w.start()
			w.beginProof(own)
			if !w.exhaust(own) {
				continue
			}
			closed++
			if v := own.s.total(own.best); v > own.cost*(1+1e-9)+1e-9 || v < own.cost*(1-1e-9)-1e-9 {
				t.Fatalf("the plan costs %v, stated %v", v, own.cost)
			}
			other := newSearch(own.s, &Options{Rounds: 60}, 7)
			other.rounds = 60
			other.first(nil)
			other.block(60)
			total, left := 0.0, make([]bool, len(own.items))
			for i, n := range other.best.parts {
				if left[i] = n == 0 && own.s.Items[i].Least > 0; !left[i] {
					total += own.s.itemCost(i, other.best.made[i], n)
				}
			}
			_, changes := own.s.arrange(other.best.on)
			total += other.best.runCost + changes
			if v := own.floorAt(left); v > total*(1+1e-9)+1e-9 {
				t.Fatalf("%v is proven, another plan costs %v", v, total)
			}
			if own.floorAt(left) > 0 && own.optimum > total*(1+1e-9)+1e-9 {
				t.Fatalf("the optimum is %v, another plan costs %v", own.optimum, total)
			}
			if count(left) < count(own.left()) && total < own.s.missing/reason {
				t.Fatalf("%v are left, another plan leaves %v", own.left(), left)
			}
		}
	})
	if closed == 0 {
		t.Error("no part was searched to the end")
	}
}

// TestSubsets counts the sets of n of so many: binomial coefficients.
func TestSubsets(t *testing.T) {
	for _, c := range []struct{ of, n, sets int }{{0, 0, 1}, {3, 0, 1}, {5, 2, 10}, {8, 4, 70}, {4, 4, 1}, {2, 3, 0}} {
		seen := map[string]bool{}
		for set := range subsets(c.of, c.n) {
			key := ""
			for k, v := range set {
				if v >= c.of || k > 0 && v <= set[k-1] {
					t.Fatalf("%d of %d: %v", c.n, c.of, set)
				}
				key += string(rune('a' + v))
			}
			seen[key] = true
		}
		if len(seen) != c.sets {
			t.Errorf("%d of %d: %d sets, %d there are", c.n, c.of, len(seen), c.sets)
		}
	}
}
