package flowshop_test

import (
	"context"
	"errors"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/solve/flowshop"
	"pgregory.net/rapid"
)

// taillard draws an instance as Taillard, European Journal of Operational
// Research 64 (1993) 278–285, prints it: machine by machine, times 1 to 99.
func taillard(seed int64, jobs, machines int) flowshop.Problem {
	p := flowshop.Problem{Times: make([][]int, jobs)}
	for i := range machines {
		for j := range jobs {
			if i == 0 {
				p.Times[j] = make([]int, machines)
			}
			k := seed / 127773
			if seed = 16807*(seed%127773) - 2836*k; seed < 0 {
				seed += 2147483647
			}
			p.Times[j][i] = 1 + int(float64(seed)/2147483647*99)
		}
	}
	return p
}

// car1 is the 11 × 5 instance of Carlier (1978), optimum 7038.
var car1 = flowshop.Problem{Times: [][]int{
	{375, 12, 142, 245, 412}, {632, 452, 758, 278, 398}, {12, 876, 124, 534, 765}, {460, 542, 523, 120, 499},
	{528, 101, 789, 124, 999}, {796, 245, 632, 375, 123}, {532, 230, 543, 896, 452}, {14, 124, 214, 543, 785},
	{257, 527, 753, 210, 463}, {896, 896, 214, 258, 259}, {532, 302, 501, 765, 988},
}}

func TestPublished(t *testing.T) {
	tests := []struct {
		source  string
		problem flowshop.Problem
		bound   int // as published; 0: none
		optimum int
	}{
		{"Carlier, RAIRO Recherche opérationnelle 12 (1978), car1", car1, 0, 7038},
		{"Taillard (1993), ta001", taillard(873654221, 20, 5), 1232, 1278},
		{"Taillard (1993), ta002", taillard(379008056, 20, 5), 1290, 1359},
		{"Taillard (1993), ta003", taillard(1866992158, 20, 5), 1073, 1081},
		{"Taillard (1993), ta004", taillard(216771124, 20, 5), 1268, 1293},
		{"Taillard (1993), ta005", taillard(495070989, 20, 5), 1198, 1235},
		{"Taillard (1993), ta006", taillard(402959317, 20, 5), 1180, 1195},
		{"Taillard (1993), ta007", taillard(1369363414, 20, 5), 1226, 1234},
		{"Taillard (1993), ta008", taillard(2021925980, 20, 5), 1170, 1206},
		{"Taillard (1993), ta009", taillard(573109518, 20, 5), 1206, 1230},
		{"Taillard (1993), ta010", taillard(88325120, 20, 5), 1082, 1108},
	}
	for _, tt := range tests {
		r, err := flowshop.Solve(context.Background(), tt.problem, flowshop.Options{Seed: 1, Nodes: 20_000})
		if err != nil {
			t.Fatal(err)
		}
		if err := flowshop.Check(tt.problem, r); err != nil {
			t.Errorf("%s: %v", tt.source, err)
		}
		if r.Makespan != tt.optimum || r.Bound > tt.optimum {
			t.Errorf("%s: %d with bound %d, optimum %d", tt.source, r.Makespan, r.Bound, tt.optimum)
		}
		if got := tt.problem.Bound(); tt.bound > 0 && got != tt.bound {
			t.Errorf("%s: bound %d, published %d", tt.source, got, tt.bound)
		}
		t.Logf("flow shop | %s | makespan, optimum | %d | %d, bound %d | %d", tt.source, tt.optimum, r.Makespan, r.Bound, r.Makespan-tt.optimum)
		if tt.bound > 0 {
			got := tt.problem.Bound()
			t.Logf("flow shop | %s | lower bound | %d | %d | %d", tt.source, tt.bound, got, got-tt.bound)
		}
	}
}

// The published optimal sequence of car1 takes what is published.
func TestCheckTakesThePublishedSequence(t *testing.T) {
	r := flowshop.Result{Sequence: []int{7, 3, 0, 2, 4, 10, 1, 6, 8, 5, 9}, Makespan: 7038, Bound: 7038, Status: flowshop.Optimal}
	if err := flowshop.Check(car1, r); err != nil {
		t.Error(err)
	}
	for name, spoil := range map[string]func(*flowshop.Result){
		"a job twice":     func(r *flowshop.Result) { r.Sequence = []int{7, 7, 0, 2, 4, 10, 1, 6, 8, 5, 9} },
		"a job lost":      func(r *flowshop.Result) { r.Sequence = r.Sequence[1:] },
		"makespan hidden": func(r *flowshop.Result) { r.Makespan-- },
		"bound above":     func(r *flowshop.Result) { r.Bound++ },
	} {
		bad := r
		spoil(&bad)
		if err := flowshop.Check(car1, bad); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Small problems are settled: the answer is the best of all sequences.
func TestAgainstAllSequences(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n, m := rapid.IntRange(1, 6).Draw(rt, "jobs"), rapid.IntRange(1, 4).Draw(rt, "machines")
		p := flowshop.Problem{Times: make([][]int, n)}
		for j := range p.Times {
			p.Times[j] = rapid.SliceOfN(rapid.IntRange(0, 30), m, m).Draw(rt, "times")
		}
		r, err := flowshop.Solve(context.Background(), p, flowshop.Options{Rounds: 20})
		if err != nil {
			rt.Fatal(err)
		}
		if err := flowshop.Check(p, r); err != nil {
			rt.Fatal(err)
		}
		if best := least(p, nil, make([]bool, n)); r.Makespan != best || r.Status != flowshop.Optimal {
			rt.Fatalf("%d (%s), best of all is %d", r.Makespan, r.Status, best)
		}
	})
}

func least(p flowshop.Problem, seq []int, used []bool) int {
	if len(seq) == len(used) {
		ends := make([]int, len(p.Times[0]))
		for _, j := range seq {
			free := 0
			for i, t := range p.Times[j] {
				free = max(free, ends[i]) + t
				ends[i] = free
			}
		}
		return ends[len(ends)-1]
	}
	best := -1
	for j := range used {
		if used[j] {
			continue
		}
		used[j] = true
		if v := least(p, append(seq, j), used); best < 0 || v < best {
			best = v
		}
		used[j] = false
	}
	return best
}

func TestFaultyProblems(t *testing.T) {
	for name, p := range map[string]flowshop.Problem{"empty": {}, "ragged": {Times: [][]int{{1, 2}, {1}}}, "negative": {Times: [][]int{{-1}}}} {
		if _, err := flowshop.Solve(context.Background(), p, flowshop.Options{}); !errors.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
