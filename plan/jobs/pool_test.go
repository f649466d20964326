package jobs_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"pgregory.net/rapid"
)

func drawPool(rt *rapid.T, most int) jobs.Pool {
	p := jobs.Pool{Machines: []jobs.PoolMachine{{Machine: "A", CostPerHour: 60}, {Machine: "B", CostPerHour: quantity.Money(rapid.IntRange(0, 120).Draw(rt, "cost"))}}}
	for i := range rapid.IntRange(1, most).Draw(rt, "jobs") {
		j := jobs.PoolJob{Job: fmt.Sprint("j", i), Minutes: map[ident.Machine]quantity.Minutes{}, LatePerHour: quantity.Money(rapid.IntRange(0, 90).Draw(rt, "late")), LateOnce: 5}
		for _, m := range []ident.Machine{"A", "B"} {
			if rapid.IntRange(0, 3).Draw(rt, "can") > 0 {
				j.Minutes[m] = quantity.Minutes(rapid.IntRange(1, 60).Draw(rt, "minutes"))
			}
		}
		due := quantity.Minutes(rapid.IntRange(-20, 200).Draw(rt, "due"))
		j.Due, j.Release = &due, quantity.Minutes(rapid.IntRange(0, 40).Draw(rt, "release"))
		for b := range i {
			p.SetUps = append(p.SetUps, jobs.PoolSetUp{Before: fmt.Sprint("j", b), Next: j.Job, Minutes: quantity.Minutes(rapid.IntRange(0, 20).Draw(rt, "set-up"))})
		}
		p.Jobs = append(p.Jobs, j)
	}
	return p
}

// Every answer stands, its bound holds, and on small pools no way of all is
// below the bound, and none cheaper than the answer (hand: every machine and
// sequence is tried).
func TestPoolAgainstAllWays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawPool(rt, 5)
		a, err := jobs.SolvePool(context.Background(), p, jobs.Options{Rounds: 300})
		if err != nil {
			rt.Fatal(err)
		}
		if err := jobs.CheckPool(p, a); err != nil {
			rt.Fatal(err)
		}
		best := allWays(p, [][]int{nil, nil}, 0)
		if float64(a.Bound) > best+1e-6 || float64(a.Cost) > best+1e-3 {
			rt.Fatalf("cost %.3f, bound %.3f, best of all %.3f", float64(a.Cost), float64(a.Bound), best)
		}
	})
}

func allWays(p jobs.Pool, queues [][]int, next int) float64 {
	for next < len(p.Jobs) && len(p.Jobs[next].Minutes) == 0 {
		next++
	}
	if next == len(p.Jobs) {
		return price(p, queues)
	}
	best := math.Inf(1)
	for m := range queues {
		if _, ok := p.Jobs[next].Minutes[p.Machines[m].Machine]; !ok {
			continue
		}
		for at := range len(queues[m]) + 1 {
			with := append([][]int{}, queues...)
			with[m] = append(append(append([]int{}, queues[m][:at]...), next), queues[m][at:]...)
			best = min(best, allWays(p, with, next+1))
		}
	}
	return best
}

func price(p jobs.Pool, queues [][]int) (sum float64) {
	for m, queue := range queues {
		free, before := 0.0, ""
		for _, k := range queue {
			j := p.Jobs[k]
			start := max(free, float64(j.Release))
			end := start + float64(j.Minutes[p.Machines[m].Machine])
			for _, s := range p.SetUps {
				if s.Before == before && s.Next == j.Job {
					end += float64(s.Minutes)
				}
			}
			sum += (end - start) / 60 * float64(p.Machines[m].CostPerHour)
			if late := end - float64(*j.Due); late > 0 {
				sum += float64(j.LateOnce) + late/60*float64(j.LatePerHour)
			}
			free, before = end, j.Job
		}
	}
	return sum
}

func TestFaultyPools(t *testing.T) {
	bad := jobs.Pool{Machines: []jobs.PoolMachine{{Machine: "A"}, {Machine: "A"}}, Jobs: []jobs.PoolJob{{Job: "x", Minutes: map[ident.Machine]quantity.Minutes{"Z": -1}}}, SetUps: []jobs.PoolSetUp{{Next: "y"}}}
	if _, err := jobs.SolvePool(context.Background(), bad, jobs.Options{}); !errors.Is(err, fault.Invalid) {
		t.Errorf("got %v", err)
	}
	alone := jobs.Pool{Machines: []jobs.PoolMachine{{Machine: "A"}}, Jobs: []jobs.PoolJob{{Job: "x"}}}
	a, err := jobs.SolvePool(context.Background(), alone, jobs.Options{})
	if err != nil || len(a.Unplanned) != 1 || jobs.CheckPool(alone, a) != nil {
		t.Errorf("a job without a machine: %+v, %v", a, err)
	}
}
