// Package sequence puts jobs on one machine in order: changes between
// neighbours cost time and money, jobs have release and due times, and lateness
// is paid by weight.
//
// Time is in whole units of the caller's choice, from 0 on.
package sequence

import (
	"math"
	"slices"
)

// Job is one job. It does not start, nor is its change made, before Release.
type Job struct {
	Time    int64 // without the change before it
	Release int64
	Due     int64   // may be negative: overdue
	Weight  float64 // cost of one unit of time late
	Once    float64 // cost of being late at all
}

// Change is what stands between two neighbours.
type Change struct {
	Time int64
	Cost float64
}

// Problem is one machine and its jobs. Neither is changed.
type Problem struct {
	Jobs []Job

	// Change returns what stands before job next, when it follows job before;
	// before −1 is the machine as it stands. Times are not negative. nil: nothing.
	Change func(before, next int) Change

	// Return is the cost of what follows the last job, e.g. of setting the
	// machine back. nil: nothing.
	Return func(last int) float64
}

// Status says why the search ended.
type Status string

const (
	Optimal    Status = "optimal" // cost equals bound
	Stopped    Status = "stopped"
	RoundLimit Status = "round limit"
)

// Options for Solve; the zero value works.
type Options struct {
	Seed       uint64
	Rounds     int   // moves tried; 0: 20,000; negative: construction only
	Start      []int // a sequence to start from beside the built ones
	OnProgress func(round int, cost float64)
}

// Result is a sequence and its cost. Cost = ChangeCost + LateCost.
type Result struct {
	Order      []int // job indexes, first to last
	Cost       float64
	ChangeCost float64 // with Return
	LateCost   float64
	Bound      float64 // no sequence costs less
	Status     Status
}

// lateness is what the job costs when it ends at at.
func (j *Job) lateness(at int64) float64 {
	if at <= j.Due {
		return 0
	}
	return j.Once + j.Weight*float64(at-j.Due)
}

func (p Problem) change(before, next int) Change {
	if p.Change == nil {
		return Change{}
	}
	return p.Change(before, next)
}

func (p Problem) back(last int) float64 {
	if p.Return == nil {
		return 0
	}
	return p.Return(last)
}

// LowerBound is the sum of two bounds that hold apart: of the change costs by
// the assignment relaxation (every job has one predecessor and one successor;
// over 200 jobs only the cheapest predecessor), and of lateness as if every job
// stood alone on the machine after its shortest change.
func (p Problem) LowerBound() float64 {
	n := len(p.Jobs)
	if n == 0 {
		return 0
	}
	var late, cheapest float64
	for j, job := range p.Jobs {
		in, quick := math.Inf(1), int64(math.MaxInt64)
		for i := -1; i < n; i++ {
			if i != j {
				c := p.change(i, j)
				in, quick = min(in, c.Cost), min(quick, c.Time)
			}
		}
		cheapest += in
		late += job.lateness(max(job.Release, 0) + quick + job.Time)
	}
	if n <= 200 {
		return p.assignmentBound() + late
	}
	home := math.Inf(1)
	for j := range p.Jobs {
		home = min(home, p.back(j))
	}
	return cheapest + home + late
}

// assignmentBound solves the assignment of predecessors (row 0 the machine as
// it stands, row i job i−1) to successors (the last column the end).
func (p Problem) assignmentBound() float64 {
	n := len(p.Jobs)
	cost := make([][]float64, n+1)
	for i := range cost {
		cost[i] = make([]float64, n+1)
		for j := range n {
			if i-1 == j {
				cost[i][j] = math.Inf(1)
			} else {
				cost[i][j] = p.change(i-1, j).Cost
			}
		}
		if i == 0 {
			cost[i][n] = math.Inf(1)
		} else {
			cost[i][n] = p.back(i - 1)
		}
	}
	return assignment(cost)
}

// assignment returns the least sum of one entry from every row and column; an
// infinite entry is forbidden, and an assignment without any must exist.
//
// Shortest augmenting paths with potentials: H. W. Kuhn, "The Hungarian method
// for the assignment problem", Naval Research Logistics Quarterly 2 (1955)
// 83–97, in the O(n³) form of J. Edmonds and R. M. Karp, Journal of the ACM 19
// (1972) 248–264. Citations from memory.
func assignment(cost [][]float64) float64 {
	n := len(cost)
	big := 1.0 // stands for a forbidden entry: dearer than any allowed assignment
	for _, row := range cost {
		for _, c := range row {
			if !math.IsInf(c, 1) {
				big += math.Abs(c)
			}
		}
	}
	at := func(i, j int) float64 { return min(cost[i][j], big) }
	u, v := make([]float64, n+1), make([]float64, n+1)
	rowOf, way := make([]int, n+1), make([]int, n+1) // columns from 1; column 0 is the root
	for i := 1; i <= n; i++ {
		rowOf[0] = i
		j0 := 0
		least := slices.Repeat([]float64{math.Inf(1)}, n+1)
		used := make([]bool, n+1)
		for rowOf[j0] != 0 {
			used[j0] = true
			i0, delta, j1 := rowOf[j0], math.Inf(1), 0
			for j := 1; j <= n; j++ {
				if used[j] {
					continue
				}
				if c := at(i0-1, j-1) - u[i0] - v[j]; c < least[j] {
					least[j], way[j] = c, j0
				}
				if least[j] < delta {
					delta, j1 = least[j], j
				}
			}
			for j := 0; j <= n; j++ {
				if used[j] {
					u[rowOf[j]] += delta
					v[j] -= delta
				} else {
					least[j] -= delta
				}
			}
			j0 = j1
		}
		for j0 != 0 {
			rowOf[j0], j0 = rowOf[way[j0]], way[j0]
		}
	}
	var sum float64
	for j := 1; j <= n; j++ {
		sum += at(rowOf[j]-1, j-1)
	}
	return sum
}
