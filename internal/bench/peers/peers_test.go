package peers

import (
	"context"
	"errors"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/internal/bench/trimcase"
	"github.com/flutewright/flutewright/solve/combine"
)

const oracle = "../../oracle"

// tiny is a book whose optimum is found by hand: webs of 1.5 and 2.0 m, two
// strips a run, runs of 100 m and more that lose 30 m, orders of 700 mm and 1,200 mm, 1,000 m of
// a strip each, at most 10 % more.
func tiny() combine.Problem {
	item := func(width int64) combine.Item {
		return combine.Item{Width: width, Length: 1, Kinds: []int{0}, Least: 1_000_000, Want: 1_000_000, Most: 1_100_000}
	}
	return combine.Problem{
		Line: combine.Line{
			TrimLeast: 20, TrimMost: 2000, Outs: 2, Orders: 2, Marks: math.MaxInt32,
			LevelOuts: []int{2, 2}, RunLeast: 100_000, RunLoss: 30_000,
		},
		Stocks: []combine.Stock{{Width: 1500, Price: 1e-6}, {Width: 2000, Price: 1e-6}},
		Items:  []combine.Item{item(700), item(1200)},
	}
}

// TestTinyBook: together on the 2.0 m web the two orders take one run of 1,000 m
// and 30 m of loss, 2,060 m². Apart, 700 mm twice on 1.5 m takes 500 m
// and 1,200 mm alone 1,000 m, 795 + 1,545 = 2,340 m². (hand)
func TestTinyBook(t *testing.T) {
	m, err := New(tiny())
	if err != nil {
		t.Fatal(err)
	}
	// 700 alone once and twice (1,420 with trim), 1,200 alone once, both (1,920): all others are too wide
	if written, all := m.Columns(); written != 4 || all != 4 {
		t.Fatalf("%d columns of %d, 4 lie on the webs", written, all)
	}
	eachSolver(t, func(t *testing.T, s Solver) {
		a := solved(t, s, m, 10)
		if math.Abs(a.Cost-2060) > 1e-3 || math.Abs(a.Bound-2060) > 1e-3 {
			t.Errorf("%s says cost %.6f and bound %.6f, by hand 2060", s.Name, a.Cost, a.Bound)
		}
		r, err := m.Judge(a.Values)
		if err != nil || math.Abs(r.Cost-2060) > 0.01 || len(r.Runs) != 1 {
			t.Errorf("judged: %.6f, %d runs, %v", r.Cost, len(r.Runs), err)
		}
	})
}

// TestSmallBooks: on made-up books of four orders the solvers prove an optimum, which
// the trim engine reaches by another way and never passes, and whose bound is not above it.
func TestSmallBooks(t *testing.T) {
	for _, seed := range []uint64{3, 5, 7, 9, 10} {
		p := trimcase.Continuous(4, seed)
		own := combine.Solve(&p, combine.Options{Rounds: 100, Seed: 1})
		m, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		if cost := m.Cost(own.Runs); math.Abs(cost-own.Cost) > 1e-6*cost {
			t.Errorf("seed %d: the engine says %.6f, its runs cost %.6f", seed, own.Cost, cost)
		}
		eachSolver(t, func(t *testing.T, s Solver) {
			a := solved(t, s, m, 20)
			if a.Bound < a.Cost*(1-2e-6) {
				t.Fatalf("seed %d: not proven: %.4f, bound %.4f, %s", seed, a.Cost, a.Bound, a.Status)
			}
			r, err := m.Judge(a.Values)
			if err != nil || math.Abs(r.Cost-a.Cost) > 1e-5*a.Cost {
				t.Errorf("seed %d: says %.6f, its runs cost %.6f, %v", seed, a.Cost, r.Cost, err)
			}
			if math.Abs(own.Cost-a.Cost) > 1e-5*a.Cost || own.Bound > a.Cost*(1+2e-6) {
				t.Errorf("seed %d: the engine %.6f with bound %.6f, %s %.6f", seed, own.Cost, own.Bound, s.Name, a.Cost)
			}
		})
	}
}

// TestBoundUnderTheirPlans: from thirteen orders on, the engine no longer searches every plan, and its bound
// looks at the partners of lanes. It is above no plan that another solver finds, nor are the solvers' bounds above the engine's plan.
func TestBoundUnderTheirPlans(t *testing.T) {
	for n, seed := range map[int]uint64{13: 1, 16: 3} {
		p := trimcase.Continuous(n, seed)
		own := combine.Solve(&p, combine.Options{Rounds: 1500, Seed: 1})
		m, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		eachSolver(t, func(t *testing.T, s Solver) {
			a := solved(t, s, m, 3)
			r, err := m.Judge(a.Values)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%d orders: the engine %.2f, bound %.2f; %s %.2f, bound %.2f", n, own.Cost, own.Bound, s.Name, r.Cost, a.Bound)
			if own.Bound > r.Cost*(1+1e-7) || a.Bound > own.Cost*(1+2e-6) {
				t.Errorf("%d orders: the engine %.6f with bound %.6f, %s %.6f with %.6f", n, own.Cost, own.Bound, s.Name, r.Cost, a.Bound)
			}
		})
	}
}

// TestKept: the columns kept make a plan, dearer than the relaxation of all.
func TestKept(t *testing.T) {
	m, err := New(trimcase.Continuous(12, 1))
	if err != nil {
		t.Fatal(err)
	}
	relaxed, err := m.Keep(120)
	if err != nil {
		t.Fatal(err)
	}
	if written, all := m.Columns(); written != 120 || all <= 120 {
		t.Fatalf("%d columns of %d", written, all)
	}
	eachSolver(t, func(t *testing.T, s Solver) {
		r, err := m.Judge(solved(t, s, m, 1).Values)
		if err != nil || r.Cost < relaxed {
			t.Errorf("%.4f, the relaxation %.4f: %v", r.Cost, relaxed, err)
		}
	})
}

// TestJudgeRefuses: answers that only look like plans.
func TestJudgeRefuses(t *testing.T) {
	m, err := New(tiny())
	if err != nil {
		t.Fatal(err)
	}
	for name, values := range map[string]map[string]float64{
		"nothing":                 {},
		"one order only":          {"y0": 1, "x0": 1000},
		"lengths that do not run": {"x0": 1000, "x1": 1000, "x2": 1000, "x3": 1000, "y0": 1e-7, "y3": 1e-7},
	} {
		if r, err := m.Judge(values); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v, %v", name, r, err)
		}
	}
}

func TestRefusesOtherBooks(t *testing.T) {
	whole := trimcase.Whole(4, 1)
	for name, p := range map[string]combine.Problem{"whole sheets": whole, "two grades": trimcase.Grades(4, 2, 1)} {
		if _, err := New(p); !errors.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestReadCBC reads answers as the command writes them (from a run of version 2.10.8).
func TestReadCBC(t *testing.T) {
	const out = "Welcome to the CBC MILP Solver \nVersion: 2.10.8 \n\nResult - Stopped on time limit\n\nObjective value:                153535.75765000\nLower bound:                    153299.112\nGap:                            0.00\n"
	a, err := readCBC(out, "Stopped on time - objective value 153535.75765000\n      9 x9              5777.146                       0\n**     71 y71            1.0000001                       0\n")
	if err != nil || a.Cost != 153535.75765 || a.Bound != 153299.112 || a.Version != "2.10.8" || a.Values["x9"] != 5777.146 || a.Values["y71"] != 1.0000001 || a.Status != "Stopped on time" {
		t.Errorf("%+v, %v", a, err)
	}
	a, err = readCBC(out, "Stopped on time (no integer solution - continuous used) - objective value 153000.0\n      9 x9              5777.146                       0\n")
	if err != nil || a.Cost != 0 || len(a.Values) > 0 {
		t.Errorf("a relaxation is read as a plan: %+v, %v", a, err)
	}
}

// eachSolver runs a check with each solver; all must be there where CI=true.
func eachSolver(t *testing.T, check func(*testing.T, Solver)) {
	t.Helper()
	for _, s := range All(oracle) {
		t.Run(s.Name, func(t *testing.T) {
			if err := s.Missing(); err != nil {
				if os.Getenv("CI") == "true" {
					t.Fatal(err)
				}
				t.Skip("NOT CHECKED with this solver: ", err)
			}
			check(t, s)
		})
	}
}

func solved(t *testing.T, s Solver, m *Model, seconds float64) Answer {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	a, err := s.Solve(ctx, m, seconds)
	if err != nil {
		t.Fatal(err)
	}
	if a.Cost == 0 || a.Version == "" || strings.TrimSpace(a.Status) == "" {
		t.Fatalf("%s found no plan: %+v", s.Name, a)
	}
	return a
}
