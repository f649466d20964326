package combine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestDualsHoldForEveryPattern: no pattern, listed without any pruning and on every stock where it is legal, is
// worth more than it costs under the duals that the plain relaxation's bound comes from.
func TestDualsHoldForEveryPattern(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		for k := range p.Stocks { // a wider web may be the cheaper one
			p.Stocks[k].Rate = float64(rapid.IntRange(0, 3).Draw(t, "rate") * 150)
		}
		s := prepare(&p)
		var items []int32
		for i := range s.Items {
			if s.Items[i].Least > 0 {
				items = append(items, int32(i))
			}
		}
		if len(items) == 0 {
			return
		}
		r, l := newRoot(s, items), &lister{s: s}
		for k := 0; k < 300 && r.round(l, func() bool { return false }); k++ {
			continue
		}
		if r.dual == nil {
			return
		}
		all := &lister{s: s, limit: math.MaxInt}
		var coef [64]float64
		for _, q := range all.list(s.fullNeed(), items, nil) {
			_, most := s.reach(s.fullNeed(), q.lanes)
			for st := range s.Stocks {
				if q.stock = int32(st); !s.legal(q.stock, q.lanes) {
					continue
				}
				if q.most = min(most, s.capacity(s.fullNeed(), st)); q.most < q.least {
					continue
				}
				c, v := s.perLength(&q, coef[:]), 0.0
				for k, h := range q.lanes {
					v += r.dual[r.row[h.item]] * coef[k]
				}
				if v > c*(1+1e-6) {
					t.Fatalf("%v on web %d is worth %v and costs %v", q.lanes, s.Stocks[st].Width, v, c)
				}
			}
		}
	})
}

func (s *shop) fullNeed() *need {
	n := s.newNeed()
	n.reset(s)
	return n
}
