package pack

import (
	"context"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
)

// trial lays boxes cell by cell on a deck of whole cells and returns the most
// that lie: every corner is tried plain, turned and empty. It knows nothing of
// normal positions, bounds or blocks.
func trial(p Problem) int {
	w, h := int(p.DeckX), int(p.DeckY)
	full := make([]bool, w*h)
	var most func(cell, free int) int
	fits := func(cell, a, b int) bool {
		x, y := cell%w, cell/w
		if x+a > w || y+b > h {
			return false
		}
		for i := range a {
			for j := range b {
				if full[(y+j)*w+x+i] {
					return false
				}
			}
		}
		return true
	}
	set := func(cell, a, b int, on bool) {
		for i := range a {
			for j := range b {
				full[cell+j*w+i] = on
			}
		}
	}
	best := 0
	most = func(cell, laid int) int {
		best = max(best, laid)
		for cell < w*h && full[cell] {
			cell++
		}
		open := 0
		for _, f := range full[min(cell, w*h):] {
			if !f {
				open++
			}
		}
		if laid+open/int(p.BoxX*p.BoxY) <= best {
			return best
		}
		for _, s := range [][2]int{{int(p.BoxX), int(p.BoxY)}, {int(p.BoxY), int(p.BoxX)}} {
			if fits(cell, s[0], s[1]) {
				set(cell, s[0], s[1], true)
				most(cell+1, laid+1)
				set(cell, s[0], s[1], false)
			}
		}
		return most(cell+1, laid)
	}
	return most(0, 0)
}

func TestNoLayoutBeatsTheBoundAndOptimalIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := func(name string, lo, hi int) int64 { return int64(rapid.IntRange(lo, hi).Draw(t, name)) }
		p := Problem{size("deck x", 1, 9), size("deck y", 1, 7), size("box x", 2, 5), size("box y", 2, 5)}
		want := trial(p)
		r, err := Solve(context.Background(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(p, r.Places); err != nil {
			t.Fatal(p, err)
		}
		if r.Count > want || r.Bound < want || r.Optimal && r.Count != want || Bound(p) < want {
			t.Fatal(p, r.Count, r.Bound, r.Status, "by trial", want)
		}
		s := &search{grid: newGrid(p), ctx: context.Background()}
		for n := max(1, want-1); n <= want+1; n++ {
			boxes, done := s.exhaust(n, 1_000_000)
			if !done || (boxes != nil) != (n <= want) {
				t.Fatal(p, "every layout tried for", n, ":", len(boxes), done, "by trial", want)
			}
			if boxes != nil {
				if err := Check(p, s.places(boxes)); err != nil || len(boxes) != n {
					t.Fatal(p, len(boxes), err)
				}
			}
		}
	})
}

// Larger numbers, a turned deck and a turned box change neither count nor bound.
func TestScaleAndTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := func(name string, lo, hi int) int64 { return int64(rapid.IntRange(lo, hi).Draw(t, name)) }
		p := Problem{size("deck x", 300, 1300), size("deck y", 300, 1300), size("box x", 90, 700), size("box y", 90, 700)}
		base, err := Solve(context.Background(), p, Options{MaxWork: 20_000})
		if err != nil {
			t.Fatal(err)
		}
		const mm = 1_000_000
		for _, q := range []Problem{{p.DeckX * mm, p.DeckY * mm, p.BoxX * mm, p.BoxY * mm}, {p.DeckX, p.DeckY, p.BoxY, p.BoxX}} {
			r, err := Solve(context.Background(), q, Options{MaxWork: 20_000})
			if err != nil || Check(q, r.Places) != nil || r.Count != base.Count || r.Bound != base.Bound {
				t.Fatal(p, base.Count, base.Bound, q, r.Count, r.Bound, err)
			}
		}
		turned := Problem{p.DeckY, p.DeckX, p.BoxX, p.BoxY}
		if r, err := Solve(context.Background(), turned, Options{MaxWork: 20_000}); err != nil || Check(turned, r.Places) != nil || r.Bound != base.Bound && r.Optimal && base.Optimal {
			t.Fatal(p, base.Bound, r.Bound, err)
		}
	})
}

func TestTheEdges(t *testing.T) {
	for name, p := range map[string]Problem{"no deck": {0, 800, 4, 3}, "negative box": {1200, 800, -4, 3}, "dust": {1200, 800, 1, 1}} {
		if _, err := Solve(context.Background(), p, Options{}); !errors.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	r, err := Solve(context.Background(), Problem{1200, 1200, 1518, 1274}, Options{})
	if err != nil || r.Count != 0 || r.Bound != 0 || !r.Optimal {
		t.Errorf("a box larger than the deck: %+v, %v", r, err)
	}
	odd := Problem{20_000_000_001, 19_999_999_999, 703_000_003, 443_000_007} // nanometres without a common factor
	if r, err = Solve(context.Background(), odd, Options{}); err != nil || Check(odd, r.Places) != nil || r.Count > r.Bound || r.Count == 0 {
		t.Errorf("%v: %d, bound %d, %v", odd, r.Count, r.Bound, err)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	p := Problem{1200, 800, 176, 135}
	if r, err = Solve(stopped, p, Options{}); err != nil || r.Count == 0 || r.Optimal || r.Status != Stopped {
		t.Errorf("cancelled: %d, %s, %v", r.Count, r.Status, err)
	}
}

func TestCheckRefuses(t *testing.T) {
	p := Problem{10, 6, 4, 3}
	for name, places := range map[string][]Place{
		"over the far side":  {{7, 0, false}},
		"before the corner":  {{-1, 0, false}},
		"turned too high":    {{0, 3, true}},
		"one on the other":   {{0, 0, false}, {3, 2, false}},
		"turned on the next": {{0, 0, true}, {2, 0, false}},
	} {
		if err := Check(p, places); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
