package combine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestBranchingHolds: no bound is above a plan, however far plans are parted, and
// it never falls.
func TestBranchingHolds(t *testing.T) {
	parted := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		r := Solve(&p, Options{Rounds: 150})
		if len(r.Left) > 0 || len(p.Front)+len(p.Hold) > 0 {
			return
		}
		s := prepare(&p)
		for _, part := range s.split() {
			made := part.s.newPlan()
			for k := range r.Runs {
				if q := fromRun(&r.Runs[k]); part.place(&q) {
					made.add(part.s, q)
				}
			}
			if len(made.runs) == 0 {
				continue
			}
			own := part.s.total(made)
			x, last := newProof(part.s, made), 0.0
			for k := 0; k < 200 && x.round(math.Inf(1), func() bool { return false }); k++ {
				if v := x.bound(); v < last {
					t.Fatalf("the bound falls from %v to %v", last, v)
				} else if last = v; v > own*(1+1e-9)+1e-9 {
					t.Fatalf("bound %v, a plan costs %v", v, own)
				}
			}
			if x.branch != nil {
				parted++
			}
		}
	})
	if parted == 0 {
		t.Error("no plans were parted")
	}
}

// place gives the lanes of a run of the whole the part's numbers; false where it is of another part.
func (p *part) place(r *run) bool {
	for k, l := range r.lanes {
		at := int32(-1)
		for q, i := range p.items {
			if i == l.item {
				at = int32(q)
			}
		}
		if at < 0 {
			return false
		}
		r.lanes[k].item = at
	}
	return true
}
