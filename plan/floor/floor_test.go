package floor_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/floor"
)

var six = time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC)

func at(minute int) time.Time { return six.Add(time.Duration(minute) * time.Minute) }

func metres(m float64) quantity.Distance { return quantity.FromMetres(m) }

func stack(name string, order string, chop, in, out, run int) floor.Stack {
	s := floor.Stack{
		Name: ident.Stack(name), Release: ident.NewRelease(order, "", ""), Sheets: 100, Run: run,
		Chop: quantity.Length(chop) * quantity.Metre, Across: quantity.Metre, In: at(in),
	}
	if out > 0 {
		s.Out = at(out)
	}
	return s
}

func solve(t interface {
	Helper()
	Fatal(...any)
}, p floor.Problem) floor.Result {
	t.Helper()
	r, err := floor.Solve(context.Background(), p, floor.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := floor.Check(p, r); err != nil {
		t.Fatal(err)
	}
	return r
}

// Two lanes of 5 m; the figures follow by hand.
func TestByHand(t *testing.T) {
	lanes := []floor.Lane{{Name: "A", Length: metres(5)}, {Name: "B", Length: metres(5)}}
	p := floor.Problem{From: six, Until: at(600), Lanes: lanes, Stacks: []floor.Stack{
		stack("S1", "J1", 2, -60, 200, 0), stack("S2", "J1", 2, -50, 210, 0), stack("S3", "J2", 4, -10, 400, 0),
		stack("S4", "J3", 3, 60, 0, 7), stack("S5", "J4", 2, 90, 500, 8), stack("S6", "J4", 2, 300, 500, 8),
	}, Runs: []floor.Run{{Run: 7, Start: at(30), Latest: at(450)}, {Run: 8, Start: at(70), Latest: at(100)}}}
	r := solve(t, p)
	if r.Capacity != metres(10) || r.Peak != metres(13) || !r.PeakAt.Equal(at(90)) {
		t.Errorf("capacity %v, peak %v at %v", r.Capacity, r.Peak, r.PeakAt)
	}
	// 8 m stand; 3 m more do not go in at minute 60, 2 more at 90: at least 3 m stand outside.
	if !r.FullAt.Equal(at(60)) || r.Bound != metres(3) || r.Outside < r.Bound {
		t.Errorf("full at %v, outside %v, bound %v", r.FullAt, r.Outside, r.Bound)
	}
	// Run 7 is put off until 3 m are free for good: at minute 400 J2's 4 m go.
	d := r.Defer
	if d == nil || d.Run != 7 || !d.To.Equal(at(400)) || d.Late || !d.FullAt.IsZero() && d.FullAt.Before(at(90)) {
		t.Errorf("defer %+v", d)
	}
}

func TestAStatedLaneStays(t *testing.T) {
	s := stack("S1", "J1", 7, -60, 0, 0)
	s.Stated = "B"
	p := floor.Problem{From: six, Until: at(600), Stacks: []floor.Stack{s, stack("S2", "J2", 3, 5, 0, 3)},
		Lanes: []floor.Lane{{Name: "A", Length: metres(2)}, {Name: "B", Length: metres(5)}}}
	r := solve(t, p)
	if r.Placed[0].Lane != "B" || r.Placed[1].Lane != "" || r.Bound != metres(10-7-2) {
		t.Errorf("%+v", r)
	}
}

func TestSlitAlongAndGap(t *testing.T) {
	l := floor.Lane{Name: "A", Length: metres(10), BySlit: true, Gap: 150 * quantity.Millimetre}
	if got := l.Takes(stack("S", "J", 2, 0, 0, 0)); got != metres(1.15) {
		t.Errorf("%v", got)
	}
}

func floors(t *rapid.T, most int) floor.Problem {
	p := floor.Problem{From: six, Until: at(600)}
	for i := range rapid.IntRange(1, 3).Draw(t, "lanes") {
		p.Lanes = append(p.Lanes, floor.Lane{
			Name: fmt.Sprint("L", i), Length: metres(float64(rapid.IntRange(2, 9).Draw(t, "length"))),
			BySlit: rapid.Bool().Draw(t, "slit"), Gap: quantity.Length(rapid.IntRange(0, 2).Draw(t, "gap")) * 100 * quantity.Millimetre,
		})
	}
	for i := range rapid.IntRange(0, most).Draw(t, "stacks") {
		in := rapid.IntRange(-5, 60).Draw(t, "in") * 10
		out := rapid.IntRange(-1, 70).Draw(t, "out") * 10
		run := 0
		if in > 0 {
			run = rapid.IntRange(1, 3).Draw(t, "run")
		}
		s := stack(fmt.Sprint("S", i), rapid.SampledFrom([]string{"J1", "J2", "J3"}).Draw(t, "order"), rapid.IntRange(1, 4).Draw(t, "chop"), in, 0, run)
		if out > in {
			s.Out = at(out)
		}
		if run == 0 && rapid.Bool().Draw(t, "stated") {
			s.Stated = "L0"
		}
		p.Stacks = append(p.Stacks, s)
	}
	for r := 1; r <= 3; r++ {
		p.Runs = append(p.Runs, floor.Run{Run: r, Start: at(rapid.IntRange(1, 300).Draw(t, "start")), Latest: at(rapid.IntRange(1, 900).Draw(t, "latest"))})
	}
	return p
}

func TestEveryFloorPassesItsCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := floors(t, 25)
		a, b := solve(t, p), solve(t, p)
		if fmt.Sprint(a.Placed) != fmt.Sprint(b.Placed) {
			t.Fatal("the same seed stands stacks elsewhere")
		}
	})
}

// No choice of lanes, all of them tried, keeps less outside than the bound.
func TestTheBoundHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := floors(t, 5)
		r := solve(t, p)
		least := everyWay(p)
		if r.Bound > least || r.Bound > r.Outside {
			t.Fatalf("bound %v, but %v can be reached; solved with %v", r.Bound, least, r.Outside)
		}
	})
}

// everyWay tries every lane for every stack, outside too, and returns the least that stands outside at once.
func everyWay(p floor.Problem) quantity.Distance {
	choices := len(p.Lanes) + 1
	total := 1
	for range p.Stacks {
		total *= choices
	}
	best := quantity.Distance(1 << 62)
	for way := range total {
		if out, ok := outside(p, way, choices); ok && out < best {
			best = out
		}
	}
	return best
}

func outside(p floor.Problem, way, choices int) (quantity.Distance, bool) {
	lane := make([]int, len(p.Stacks))
	for i := range lane {
		lane[i] = way % choices
		way /= choices
		if s := p.Stacks[i]; s.Stated == "L0" && !s.In.After(p.From) && lane[i] != 0 {
			return 0, false
		}
	}
	var most quantity.Distance
	for minute := 0; minute <= 600; minute += 10 {
		now := at(minute)
		used := make([]quantity.Distance, choices)
		over := make([]bool, choices) // by what is stated alone
		for i := range over {
			over[i] = true
		}
		for i, s := range p.Stacks {
			if s.In.After(now) || !s.Out.IsZero() && !s.Out.After(now) {
				continue
			}
			k := lane[i]
			if k == len(p.Lanes) {
				least := quantity.Distance(1 << 62)
				for _, l := range p.Lanes {
					least = min(least, l.Takes(s))
				}
				used[k] += least
				continue
			}
			used[k] += p.Lanes[k].Takes(s)
			over[k] = over[k] && s.Stated == "L0" && !s.In.After(p.From)
		}
		for k, l := range p.Lanes {
			if used[k] > l.Length && !over[k] {
				return 0, false
			}
		}
		most = max(most, used[len(p.Lanes)])
	}
	return most, true
}

func TestFaultyFloors(t *testing.T) {
	for _, p := range []floor.Problem{{From: six, Until: at(1)}, {From: six, Until: six, Lanes: []floor.Lane{{Name: "A", Length: 1}}}, {From: six, Until: at(1), Lanes: []floor.Lane{{}}}} {
		if _, err := floor.Solve(t.Context(), p, floor.Options{}); err == nil {
			t.Errorf("%+v was taken", p)
		}
	}
}

func TestCheckSeesWrongPlaces(t *testing.T) {
	p := floor.Problem{From: six, Until: at(600), Lanes: []floor.Lane{{Name: "A", Length: metres(3)}}, Stacks: []floor.Stack{stack("S1", "J1", 2, 5, 0, 1), stack("S2", "J1", 2, 6, 0, 1)}}
	good := solve(t, p)
	for name, spoil := range map[string]func(*floor.Result){
		"overfull":      func(r *floor.Result) { r.Placed[1].Lane = "A" },
		"unknown lane":  func(r *floor.Result) { r.Placed[0].Lane = "Z" },
		"another hour":  func(r *floor.Result) { r.FullAt = at(9) },
		"a wait":        func(r *floor.Result) { r.Placed[0].Waits = at(7) },
		"another curve": func(r *floor.Result) { r.Curve[0].Used++ },
		"too good":      func(r *floor.Result) { r.Outside = 0 },
	} {
		r := good
		r.Placed, r.Curve = append([]floor.Placed{}, good.Placed...), append([]floor.Point{}, good.Curve...)
		spoil(&r)
		if floor.Check(p, r) == nil {
			t.Errorf("%s passes", name)
		}
	}
}
