package combine

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestListingIsTheWalk: a listing holds the patterns that a walk finds, each
// once, at the same lengths. Property; the walk is what longer lanes are priced by.
func TestListingIsTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		p.Line.Orders = min(p.Line.Orders, 2)
		s := prepare(&p)
		r := newRoot(s, s.all())
		word := func(q *pattern) string {
			lanes := slices.Clone(q.lanes)
			slices.SortFunc(lanes, func(a, b lane) int { return int(a.item - b.item) })
			return fmt.Sprint(q.stock, lanes, q.least, q.most)
		}
		var walked, listed []string
		l := &lister{s: s, limit: math.MaxInt}
		l.visit = func(q *pattern) { walked = append(walked, word(q)) }
		r.visitAll(l, nil)
		for _, list := range newListing(s, s.all()).of {
			for k := range list {
				q := list[k].pattern(s, r.n)
				listed = append(listed, word(&q))
			}
		}
		slices.Sort(walked)
		slices.Sort(listed)
		if !slices.Equal(walked, listed) {
			t.Fatalf("walked %v\nlisted %v", walked, listed)
		}
	})
}

// TestListingPrices: the greatest ratio and each item's best are those of all
// patterns looked at one by one. Property.
func TestListingPrices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		p.Line.Orders = min(p.Line.Orders, 2)
		s := prepare(&p)
		r, n := newRoot(s, s.all()), len(s.Items)
		value := make([]float64, n+1)
		for i := range n {
			value[i] = rapid.Float64Range(0, 3).Draw(t, "value") * s.unit * float64(s.Items[i].Width)
		}
		top, best := 1.0, make([]float64, n)
		var coef [64]float64
		l := &lister{s: s, limit: math.MaxInt}
		l.visit = func(q *pattern) {
			c, v := r.column(q, coef[:]), 0.0
			for k, lane := range q.lanes {
				v += value[lane.item] * coef[k]
			}
			top = max(top, v/c)
			for _, lane := range q.lanes {
				best[lane.item] = max(best[lane.item], v/c)
			}
		}
		r.visitAll(l, nil)
		ratio, found := make([]float64, n+1), make([]*offered, n+1)
		got := newListing(s, s.all()).price(value, ratio, found)
		if math.Abs(got-top) > 1e-9*top {
			t.Fatalf("greatest ratio %v, one by one %v", got, top)
		}
		for i, want := range best {
			if want > 1+1e-6 && (math.Abs(ratio[i]-want) > 1e-9*want || found[i] == nil) {
				t.Fatalf("item %d: ratio %v, one by one %v", i, ratio[i], want)
			}
		}
	})
}

// TestPlanSums: what a plan leaves to be made, and its sums after lengths were
// changed, are those of its runs added up anew. Property.
func TestPlanSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		x := newSearch(prepare(&p), &Options{}, 1)
		x.first(nil)
		for q := range x.cur.runs {
			x.cur.relength(x.s, q, x.cur.runs[q].length+int64(rapid.IntRange(0, 300).Draw(t, "longer")))
		}
		fresh, left := x.s.newPlan(), x.s.newNeed()
		fresh.add(x.s, x.cur.runs...)
		left.reset(x.s)
		for q := range fresh.runs {
			left.add(x.s, &fresh.runs[q], 1)
		}
		if !slices.Equal(fresh.made, x.cur.made) || math.Abs(fresh.runCost-x.cur.runCost) > 1e-6*(1+fresh.runCost) {
			t.Fatalf("made %v at %v, anew %v at %v", x.cur.made, x.cur.runCost, fresh.made, fresh.runCost)
		}
		x.recount()
		n := x.need
		if !slices.Equal(n.least, left.least) || !slices.Equal(n.want, left.want) || !slices.Equal(n.most, left.most) || !slices.Equal(n.touched, left.touched) || !slices.Equal(n.left, left.left) {
			t.Fatalf("left %v, run by run %v", *n, *left)
		}
	})
}
