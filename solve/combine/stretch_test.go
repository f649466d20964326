package combine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestStretch: choosing all lengths at once makes no plan dearer, keeps every item and resource within
// its limits and the plan's sums true; some of the plans drawn become cheaper.
func TestStretch(t *testing.T) {
	cheaper := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		for i := range p.Items { // lengths need not be whole cuts, so rounding costs next to nothing
			it := &p.Items[i]
			it.Least, it.Want, it.Most = it.Least*it.Length, it.Want*it.Length, it.Most*it.Length
			it.Short, it.Over, it.Length = it.Short/float64(it.Length), it.Over/float64(it.Length), 1
		}
		s := prepare(&p)
		x := newSearch(s, &Options{}, 1)
		x.build(nil)
		x.recount()
		for q := range x.cur.runs { // longer than need be, where that is allowed
			long := x.cur.runs[q].length
			x.setLength(x.cur, q, long+rapid.Int64Range(0, long/20).Draw(t, "longer"))
			if !x.sound(x.cur, q) {
				x.setLength(x.cur, q, long)
			}
		}
		before := s.total(x.cur)
		x.stretch(x.cur, s.all())
		after := s.total(x.cur)
		if after > before+1e-6 {
			t.Fatalf("%v before, %v after", before, after)
		}
		if after < before*(1-1e-6) {
			cheaper++
		}
		again, left := s.newPlan(), s.newNeed()
		again.add(s, x.cur.runs...)
		left.after(s, again)
		for i := range s.Items {
			it, n := &s.Items[i], again.made[i]
			if n != x.cur.made[i] || n > it.Most || again.parts[i] > 0 && n < it.Least {
				t.Fatalf("item %d: %d made, %d counted, %d to %d allowed", i, n, x.cur.made[i], it.Least, it.Most)
			}
		}
		for k, v := range left.left {
			if v < 0 || math.Abs(v-x.need.left[k]) > 1e-6*(1+math.Abs(v)) {
				t.Fatalf("resource %d: %v left, %v counted", k, v, x.need.left[k])
			}
		}
		if v := s.total(again); math.Abs(v-after) > 1e-6*(1+math.Abs(after)) {
			t.Fatalf("costs %v, counted %v", v, after)
		}
	})
	if cheaper == 0 {
		t.Error("no plan became cheaper")
	}
}
