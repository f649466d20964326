package combine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestLinksHold: lanes whose pieces sum to the least, and which make no more of
// any partner than may be made, earn 1 or more under every counter that looks at
// partners. The lanes are drawn without the cells that the counter is found in.
func TestLinksHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		least := rapid.Int64Range(20, 5000).Draw(t, "least")
		most := make([]int64, rapid.IntRange(1, 4).Draw(t, "partners"))
		for k := range most {
			most[k] = rapid.Int64Range(10, 3000).Draw(t, "most")
		}
		var list []share
		for range rapid.IntRange(1, 9).Draw(t, "shares") {
			h := share{own: rapid.IntRange(1, cells-1).Draw(t, "own"), partner: int32(rapid.IntRange(-1, len(most)-1).Draw(t, "partner"))}
			if h.partner >= 0 {
				h.theirs = rapid.IntRange(1, cells).Draw(t, "theirs")
			}
			list = gather(list, h, rapid.Float64Range(0, 1).Draw(t, "mass"))
		}
		c, miss := newWays(list).counterOf(rapid.Float64Range(0, .5).Draw(t, "full"), least, func(k int32) int64 { return most[k] })
		if miss < 1e-6 {
			return
		}
		made, earned, spare := int64(0), 0.0, append([]int64(nil), most...)
		for made < least {
			g := rapid.Int64Range(1, least).Draw(t, "pieces")
			v := c.at(g)
			if k := rapid.IntRange(-1, len(most)-1).Draw(t, "beside"); k >= 0 && spare[k] > 0 {
				h := rapid.Int64Range(1, spare[k]).Draw(t, "of the partner")
				spare[k] -= h
				v = min(v, c.beside(g, int32(k), h))
			}
			made += g
			earned += v
		}
		if earned < 1-1e-9 {
			t.Fatalf("%d pieces of %d earn %v of 1", made, least, earned)
		}
	})
}

// TestBoundWithLinks: the programme of runs, with counters that look at partners
// until none is broken, is never above a cost that the search of every plan has proven.
func TestBoundWithLinks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		r := Solve(&p, Options{Rounds: 60})
		if r.Status != Optimal || len(r.Left) > 0 {
			return
		}
		s := prepare(&p)
		made := s.newPlan()
		for _, q := range r.Runs {
			lanes := make([]lane, len(q.Lanes))
			for k, l := range q.Lanes {
				lanes[k] = lane{int32(l.Item), int32(l.Outs)}
			}
			made.add(s, run{stock: int32(q.Stock), length: q.Length, lanes: lanes})
		}
		f := newProof(s, made)
		for range 400 {
			more := f.round(r.Cost*2, func() bool { return false })
			if f.master != nil {
				f.master.links = true
			}
			if b := f.bound() + s.fixed; b > r.Cost*(1+1e-7)+1e-9 {
				t.Fatalf("bound %v, the cheapest plan costs %v", b, r.Cost)
			}
			if !more {
				break
			}
		}
	})
}

// TestCheapestWay: the way that is counted costs what is said, makes all cells, and keeps to every partner's limit.
func TestCheapestWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []share
		var price []float64
		for range rapid.IntRange(1, 9).Draw(t, "shares") {
			h := share{own: rapid.IntRange(1, cells-1).Draw(t, "own"), partner: int32(rapid.IntRange(-1, 2).Draw(t, "partner"))}
			if h.partner >= 0 {
				h.theirs = rapid.IntRange(1, cells).Draw(t, "theirs")
			}
			list = append(list, h)
			price = append(price, float64(rapid.IntRange(0, 8).Draw(t, "price"))/8)
		}
		w := newWays(list)
		w.settle(price)
		number := make([]int, len(list))
		v := w.cheapest(number)
		if math.IsInf(v, 1) {
			return
		}
		own, cost, theirs := 0, 0.0, map[int32]int{}
		for k, n := range number {
			own += n * list[k].own
			cost += float64(n) * price[k]
			theirs[list[k].partner] += n * (list[k].theirs * partnerCells / cells)
		}
		if own < cells || math.Abs(cost-v) > 1e-9 {
			t.Fatalf("%d cells for %v, said to cost %v", own, cost, v)
		}
		for p, n := range theirs {
			if p >= 0 && n > partnerCells {
				t.Fatalf("%d of %d cells of partner %d", n, partnerCells, p)
			}
		}
	})
}
