package peers

import (
	"bytes"
	"context"
	_ "embed" // the driver of HiGHS
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// Answer is what a solver says after its time, unjudged.
type Answer struct {
	Version string
	Status  string             // how it ended, in its own words
	Cost    float64            `json:"objective"` // 0 where it found no plan
	Bound   float64            // of the programme it was given; 0 where it says none
	Values  map[string]float64 // of the columns that are not 0
	Seconds float64            `json:"-"` // processor time of all its threads, reading included
}

// Solver is a general mixed-integer solver of this machine.
type Solver struct {
	Name  string
	Needs string // how to bring it where it is missing
	here  func() error
	solve func(ctx context.Context, dir, programme string, seconds float64) (Answer, error)
}

// Missing returns why the solver cannot run here, or nil.
func (s Solver) Missing() error {
	if err := s.here(); err != nil {
		return fmt.Errorf("%s is not here (%s): %w", s.Name, s.Needs, err)
	}
	return nil
}

// Solve gives a solver the programme and so many seconds of processor time.
// The context ends it for good.
func (s Solver) Solve(ctx context.Context, m *Model, seconds float64) (a Answer, err error) {
	dir, err := os.MkdirTemp("", "peer")
	if err != nil {
		return a, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	name := filepath.Join(dir, "book.mps")
	f, err := os.Create(name)
	if err != nil {
		return a, err
	}
	if err := errors.Join(m.Write(f), f.Close()); err != nil {
		return a, err
	}
	if a, err = s.solve(ctx, dir, name, seconds); err != nil {
		return a, fmt.Errorf("%s: %w", s.Name, err)
	}
	return a, nil
}

// All are the solvers known; oracle is the folder internal/oracle, which brings HiGHS.
func All(oracle string) []Solver { return []Solver{highs(oracle), cbc()} }

//go:embed highs.mjs
var driver []byte

// highs is HiGHS compiled to WebAssembly, in node (Huangfu & Hall, Mathematical
// Programming Computation 10 (2018) 119–142).
func highs(oracle string) Solver {
	return Solver{
		Name: "HiGHS", Needs: "node, and npm ci --prefix internal/oracle",
		here: func() error {
			_, err := exec.LookPath("node")
			_, none := os.Stat(filepath.Join(oracle, "node_modules", "highs"))
			return errors.Join(err, none)
		},
		solve: func(ctx context.Context, dir, programme string, seconds float64) (a Answer, err error) {
			folder, err := filepath.Abs(oracle)
			if err != nil {
				return a, err
			}
			script := filepath.Join(dir, "highs.mjs")
			if err := os.WriteFile(script, driver, 0o600); err != nil {
				return a, err
			}
			out, spent, err := run(exec.CommandContext(ctx, "node", script, folder, programme, fmt.Sprint(seconds)))
			if err != nil {
				return a, err
			}
			err = json.Unmarshal(out, &a)
			a.Seconds = spent
			return a, err
		},
	}
}

// cbc is COIN-OR's branch and cut (Forrest & Lougee-Heimer, INFORMS Tutorials
// (2005) 257–277), as a command.
func cbc() Solver {
	return Solver{
		Name: "CBC", Needs: "apt-get install coinor-cbc",
		here: func() error { _, err := exec.LookPath("cbc"); return err },
		solve: func(ctx context.Context, dir, programme string, seconds float64) (a Answer, err error) {
			plan := filepath.Join(dir, "plan.txt")
			out, spent, err := run(exec.CommandContext(ctx, "cbc", programme, "-timeMode", "cpu", "-seconds", fmt.Sprint(seconds),
				"-ratioGap", "1e-6", "-solve", "-solution", plan))
			if err != nil {
				return a, err
			}
			text, err := os.ReadFile(plan)
			if err != nil {
				return a, fmt.Errorf("no plan was written: %w: %s", err, last(out))
			}
			a, err = readCBC(string(out), string(text))
			a.Seconds = spent
			return a, err
		},
	}
}

// readCBC reads what the command prints and the plan that it writes: a line that
// says how it ended, then lines of number, name, value and reduced cost.
func readCBC(out, plan string) (Answer, error) {
	a := Answer{Values: map[string]float64{}}
	for _, line := range strings.Split(out, "\n") {
		word, rest, _ := strings.Cut(line, ":")
		switch value := strings.TrimSpace(rest); word {
		case "Version":
			a.Version = value
		case "Lower bound":
			bound, err := strconv.ParseFloat(value, 64)
			if err != nil {
				return a, err
			}
			a.Bound = bound
		}
	}
	head, rest, _ := strings.Cut(plan, "\n")
	status, cost, found := strings.Cut(head, " - objective value ")
	a.Status = status
	if !found || strings.Contains(strings.ToLower(status), "infeasible") || strings.Contains(status, "no integer") {
		return a, nil // what it writes then is no plan
	}
	var err error
	if a.Cost, err = strconv.ParseFloat(strings.TrimSpace(cost), 64); err != nil {
		return a, err
	}
	if status == "Optimal" {
		a.Bound = a.Cost
	}
	for _, line := range strings.Split(rest, "\n") {
		f := strings.Fields(strings.TrimPrefix(strings.TrimSpace(line), "**")) // ** marks what it knows to be outside its bounds
		if len(f) < 3 {
			continue
		}
		if a.Values[f[1]], err = strconv.ParseFloat(f[2], 64); err != nil {
			return a, err
		}
	}
	return a, nil
}

// run runs a command to its end and returns what it printed and its processor time.
func run(cmd *exec.Cmd) ([]byte, float64, error) {
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	cmd.WaitDelay = time.Second
	if err := cmd.Run(); err != nil {
		return nil, 0, fmt.Errorf("%w: %s", err, last(errs.Bytes()))
	}
	return out.Bytes(), (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds(), nil
}

// last is the end of what a command printed.
func last(out []byte) string {
	return strings.TrimSpace(string(out[max(0, len(out)-300):]))
}
