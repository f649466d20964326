package oracle

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/flutewright/flutewright/plan/runs"
)

type question struct {
	ID int    `json:"id"`
	LP string `json:"lp"`
}

type reply struct {
	ID        int                `json:"id"`
	Status    string             `json:"status"`
	Objective float64            `json:"objective"`
	Columns   map[string]float64 `json:"columns"`
}

// number reads a whole number from the environment, for make oracle.
func number(name string, usual int) int {
	if v, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return v
	}
	return usual
}

// ask solves the programmes by HiGHS in one node process.
func ask(t *testing.T, list []question, seconds int) map[int]reply {
	t.Helper()
	missing := func(why string) {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s: the oracle must run here", why)
		}
		t.Skipf("NOT CHECKED against the oracle: %s", why)
	}
	if _, err := exec.LookPath("node"); err != nil {
		missing("node is not installed")
	}
	if _, err := os.Stat("node_modules/highs"); err != nil {
		missing("run npm ci in internal/oracle")
	}
	var in, out, errs bytes.Buffer
	for _, q := range list {
		raw, err := json.Marshal(q)
		if err != nil {
			t.Fatal(err)
		}
		in.Write(append(raw, '\n'))
	}
	cmd := exec.Command("node", "solve.mjs", fmt.Sprint(seconds))
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v: %s", err, errs.String())
	}
	replies := map[int]reply{}
	for d := json.NewDecoder(&out); d.More(); {
		var r reply
		if err := d.Decode(&r); err != nil {
			t.Fatal(err)
		}
		replies[r.ID] = r
	}
	return replies
}

// task is a problem with the engine's plan, and the orders which that leaves.
type task struct {
	seed    int
	problem runs.Problem
	answer  runs.Answer
	left    map[string]bool
}

// TestAgainstHiGHS compares the engine's plans of small problems with their
// proven optima: cost within 1e-4, bound never above, and no order left that a
// plan of all orders makes.
func TestAgainstHiGHS(t *testing.T) {
	n, most, rounds := number("ORACLE_PROBLEMS", 300), number("ORACLE_ORDERS", 6), number("ORACLE_ROUNDS", 300)
	first, seconds := number("ORACLE_FIRST", 1), number("ORACLE_SECONDS", 5)
	var tasks []task
	var list []question
	for seed := first; seed < first+n; seed++ {
		x := task{seed: seed, problem: draw(uint64(seed), most), left: map[string]bool{}}
		var err error
		if x.answer, err = runs.Solve(context.Background(), x.problem, runs.Options{Rounds: rounds, Seed: 1}); err != nil {
			t.Fatal(err)
		}
		if err := runs.Check(x.problem, x.answer); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
		for _, u := range x.answer.Unplanned {
			x.left[u.Order] = true
		}
		if lp, any := write(x.problem, x.left); any {
			list = append(list, question{2 * seed, lp})
		}
		if lp, any := write(x.problem, nil); any && len(x.left) > 0 {
			list = append(list, question{2*seed + 1, lp})
		}
		tasks = append(tasks, x)
	}
	replies := ask(t, list, seconds)
	s := score{t: t}
	for _, x := range tasks {
		if all, asked := replies[2*x.seed+1]; asked && all.Status == "Optimal" {
			s.miss(x, "%d orders are left, yet a plan of all costs %.4f", len(x.left), all.Objective)
		}
		if r, asked := replies[2*x.seed]; asked {
			s.compare(x, r)
		} else if len(x.answer.Runs) > 0 {
			t.Errorf("seed %d: the engine has runs, the oracle no pattern", x.seed)
		}
	}
	t.Logf("%d problems of up to %d orders: %d proven by HiGHS, %d not in %d s each, %d missed by the engine", n, most, s.proven, s.open, seconds, s.missed)
	if s.proven < n*3/4 {
		t.Errorf("only %d of %d problems were proven", s.proven, n)
	}
}

// score counts what the comparison finds.
type score struct {
	t                    *testing.T
	proven, open, missed int
}

func (s *score) miss(x task, format string, args ...any) {
	s.t.Helper()
	s.missed++
	s.t.Errorf("seed %d: "+format, append([]any{x.seed}, args...)...)
}

func (s *score) compare(x task, r reply) {
	s.t.Helper()
	if r.Status != "Optimal" {
		if s.open++; r.Status == "Infeasible" {
			s.t.Errorf("seed %d: the engine has a plan at %.4f, the oracle none", x.seed, x.answer.Totals.Cost)
		}
		return
	}
	s.proven++
	w := &model{p: x.problem, skip: x.left}
	own := runs.Of(x.problem, w.plan(r.Columns))
	if err := runs.Check(x.problem, own); err != nil {
		s.t.Errorf("seed %d: the oracle's plan is not legal, or its limits are read otherwise: %v", x.seed, err)
		return
	}
	if d := float64(own.Totals.Cost) - r.Objective; d > 1e-3 || d < -1e-3 {
		s.t.Errorf("seed %d: the oracle's plan costs %.4f by the interchange document, it says %.4f", x.seed, own.Totals.Cost, r.Objective)
	}
	cost, bound := float64(x.answer.Totals.Cost), float64(x.answer.Totals.Bound)
	if cost > r.Objective*(1+1e-4)+1e-6 {
		s.miss(x, "cost %.4f, %.4f is possible (%.3f %% dearer), %d orders", cost, r.Objective, 100*(cost/r.Objective-1), len(x.problem.Orders))
	}
	if bound > r.Objective*(1+1e-6)+1e-6 {
		s.t.Errorf("seed %d: bound %.4f is above the optimum %.4f", x.seed, bound, r.Objective)
	}
	if cost < r.Objective*(1-1e-5)-1e-5 {
		s.t.Errorf("seed %d: cost %.6f is below what the oracle calls the optimum, %.6f", x.seed, cost, r.Objective)
	}
}
