// Package cutstock cuts ordered widths from stock pieces of one width with as
// few pieces as can be: the one-dimensional cutting stock problem, and the core
// that the planning of webs grew from.
//
// The method is column generation with a knapsack for pricing (Gilmore & Gomory,
// Operations Research 9 (1961) 849–859 and 11 (1963) 863–888), a dive that fixes
// patterns from the relaxation, and restarts that fix them in another order.
package cutstock

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/flutewright/flutewright/base/fault"
)

// Item is a width and how many of it are wanted.
type Item struct {
	Width  int64
	Demand int
}

// Problem is one instance; Solve and Check never change it.
type Problem struct {
	Stock int64
	Items []Item
}

// Pattern is one way of cutting a stock piece, used Times times.
type Pattern struct {
	Count []int // indexed like Problem.Items
	Times int
}

// Status says why the search ended.
type Status string

const (
	Optimal    Status = "optimal" // pieces equal the bound
	Stopped    Status = "stopped"
	RoundLimit Status = "round limit"
)

// Result is the best plan. More than the demand may be cut.
type Result struct {
	Patterns   []Pattern
	Pieces     int
	Bound      int     // no plan uses fewer
	Relaxation float64 // value of the linear relaxation
	Status     Status
}

// Options of Solve; the zero value works.
type Options struct {
	Seed       uint64
	Rounds     int // restarts; 0: 200
	OnProgress func(round, pieces, bound int)
}

// Validate returns every violation of the problem.
func (p Problem) Validate() error {
	var v fault.Violations
	v.Require(p.Stock > 0, "stock", fmt.Sprint(p.Stock), "must be positive")
	for i, it := range p.Items {
		v.Require(it.Width > 0 && it.Width <= p.Stock, fmt.Sprintf("items[%d].width", i), fmt.Sprint(it.Width), fmt.Sprintf("must be from 1 to the stock's %d", p.Stock))
		v.Require(it.Demand >= 0 && it.Demand <= 10_000_000, fmt.Sprintf("items[%d].demand", i), fmt.Sprint(it.Demand), "must be from 0 to 10,000,000")
	}
	return v.Err()
}

// Solve returns the best plan found. Cancelling ctx is a normal end. It returns
// fault.Violations for a problem that cannot be.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	rounds := opt.Rounds
	if rounds == 0 {
		rounds = 200
	}
	m := newMaster(p)
	demand := make([]int, len(p.Items))
	for i, it := range p.Items {
		demand[i] = it.Demand
	}
	value := m.relax(demand)
	best := Result{Relaxation: value, Bound: int(math.Ceil(value - 1e-6)), Pieces: math.MaxInt, Status: Optimal}
	rnd := rand.New(rand.NewPCG(opt.Seed, 1961))
	for round := 1; ; round++ {
		noise := 0.0
		if round > 1 {
			noise = rnd.Float64()
		}
		if patterns, pieces := m.dive(demand, noise, rnd); pieces < best.Pieces {
			best.Patterns, best.Pieces = patterns, pieces
		}
		if opt.OnProgress != nil {
			opt.OnProgress(round, best.Pieces, best.Bound)
		}
		switch {
		case best.Pieces <= best.Bound:
			return best, nil
		case ctx.Err() != nil:
			best.Status = Stopped
			return best, nil
		case round >= rounds:
			best.Status = RoundLimit
			return best, nil
		}
	}
}

// Check returns a fault.Infeasible error unless every pattern fits the stock
// and every demand is met. It shares no code with Solve.
func Check(p Problem, r Result) error {
	cut := make([]int, len(p.Items))
	pieces := 0
	for k, pat := range r.Patterns {
		used := int64(0)
		for i, n := range pat.Count {
			if n < 0 || pat.Times < 1 {
				return fmt.Errorf("pattern %d: negative count or no use: %w", k, fault.Infeasible)
			}
			used += int64(n) * p.Items[i].Width
			cut[i] += n * pat.Times
		}
		if used > p.Stock {
			return fmt.Errorf("pattern %d: %d of %d used: %w", k, used, p.Stock, fault.Infeasible)
		}
		pieces += pat.Times
	}
	for i, n := range cut {
		if n < p.Items[i].Demand {
			return fmt.Errorf("item %d: %d cut, %d wanted: %w", i, n, p.Items[i].Demand, fault.Infeasible)
		}
	}
	if pieces != r.Pieces || r.Bound > pieces {
		return fmt.Errorf("%d pieces stated with bound %d, the patterns use %d: %w", r.Pieces, r.Bound, pieces, fault.Infeasible)
	}
	return nil
}
