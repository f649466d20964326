// Package flowshop sequences jobs that pass all machines in the same order, the
// same sequence on each, so that the last is done soonest: the permutation flow
// shop with makespan.
//
// The search is the constructive rule of Nawaz, Enscore and Ham (Omega 11
// (1983) 91–95), improved by iterated greedy (Ruiz and Stützle, European
// Journal of Operational Research 177 (2007) 2033–2049), both with the
// evaluation of all places of a job at once (Taillard, European Journal of
// Operational Research 47 (1990) 65–74). Small problems are then settled by
// branch and bound. Sources from memory.
package flowshop

import (
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
)

// Problem holds Times[job][machine], none negative, every row as long.
type Problem struct {
	Times [][]int
}

// Options for Solve; the zero value works.
type Options struct {
	Seed       uint64
	Rounds     int // of iterated greedy; 0: 2,000
	Nodes      int // of branch and bound; 0: 200,000, negative: none
	OnProgress func(Progress)
}

// Progress of Solve.
type Progress struct {
	Round    int `json:"round"`
	Makespan int `json:"makespan"`
	Bound    int `json:"bound"`
}

// Status says why the search ended.
type Status string

const (
	Optimal    Status = "optimal"
	Stopped    Status = "stopped"
	RoundLimit Status = "round limit"
)

// Result is a sequence of jobs, from 0.
type Result struct {
	Sequence []int  `json:"sequence"`
	Makespan int    `json:"makespan"`
	Bound    int    `json:"bound"`
	Status   Status `json:"status"`
}

// Validate returns every violation of the problem.
func (p Problem) Validate() error {
	var vs fault.Violations
	vs.Require(len(p.Times) > 0 && len(p.Times[0]) > 0, "times", "", "there must be a job and a machine")
	for j, row := range p.Times {
		vs.Require(len(row) == len(p.Times[0]), fmt.Sprintf("times[%d]", j), fmt.Sprint(len(row)), fmt.Sprintf("must have %d machines", len(p.Times[0])))
		for i, t := range row {
			vs.Require(t >= 0 && t <= 1_000_000_000, fmt.Sprintf("times[%d][%d]", j, i), fmt.Sprint(t), "must be 0 to 1,000,000,000")
		}
	}
	return vs.Err()
}

// Bound is the one of Taillard (European Journal of Operational Research 64
// (1993) 278–285): for each machine its work with the least head and tail, and
// for each job its whole time.
func (p Problem) Bound() int {
	best := 0
	for i := range p.Times[0] {
		head, tail, work := -1, -1, 0
		for _, row := range p.Times {
			h, t := 0, 0
			for k, v := range row {
				if k < i {
					h += v
				}
				if k > i {
					t += v
				}
			}
			if head < 0 || h < head {
				head = h
			}
			if tail < 0 || t < tail {
				tail = t
			}
			work += row[i]
		}
		best = max(best, head+work+tail)
	}
	for _, row := range p.Times {
		sum := 0
		for _, v := range row {
			sum += v
		}
		best = max(best, sum)
	}
	return best
}

// Check returns a fault.Infeasible error unless the sequence holds every job
// once, takes what the result says, and is not below the bound. It shares no
// code with Solve.
func Check(p Problem, r Result) error {
	seen := make([]bool, len(p.Times))
	for _, j := range r.Sequence {
		if j < 0 || j >= len(seen) || seen[j] {
			return fmt.Errorf("job %d stands twice or is none: %w", j, fault.Infeasible)
		}
		seen[j] = true
	}
	if len(r.Sequence) != len(p.Times) {
		return fmt.Errorf("%d of %d jobs in sequence: %w", len(r.Sequence), len(p.Times), fault.Infeasible)
	}
	ends := make([]int, len(p.Times[0]))
	for _, j := range r.Sequence {
		free := 0
		for i, t := range p.Times[j] {
			free = max(free, ends[i]) + t
			ends[i] = free
		}
	}
	if got := ends[len(ends)-1]; got != r.Makespan {
		return fmt.Errorf("makespan %d, stated %d: %w", got, r.Makespan, fault.Infeasible)
	}
	if r.Bound > r.Makespan || r.Status == Optimal && r.Bound != r.Makespan {
		return fmt.Errorf("bound %d, makespan %d, %s: %w", r.Bound, r.Makespan, r.Status, fault.Infeasible)
	}
	return nil
}
