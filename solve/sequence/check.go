package sequence

import (
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/fault"
)

// Check returns a fault.Infeasible error unless order holds every job once,
// costs what the result says, and is not below the bound. It shares no code with Solve.
func Check(p Problem, r Result) error {
	seen := make(map[int]bool)
	var clock int64
	var changes, lateness float64
	for k, j := range r.Order {
		if j < 0 || j >= len(p.Jobs) || seen[j] {
			return fmt.Errorf("%w: place %d holds job %d, which is none or stands earlier", fault.Infeasible, k, j)
		}
		seen[j] = true
		if p.Jobs[j].Release > clock {
			clock = p.Jobs[j].Release
		}
		if p.Change != nil {
			last := -1
			if k > 0 {
				last = r.Order[k-1]
			}
			between := p.Change(last, j)
			clock += between.Time
			changes += between.Cost
		}
		clock += p.Jobs[j].Time
		if clock > p.Jobs[j].Due {
			lateness += p.Jobs[j].Once + p.Jobs[j].Weight*float64(clock-p.Jobs[j].Due)
		}
	}
	if len(seen) != len(p.Jobs) {
		return fmt.Errorf("%w: %d of %d jobs", fault.Infeasible, len(seen), len(p.Jobs))
	}
	if p.Return != nil && len(r.Order) > 0 {
		changes += p.Return(r.Order[len(r.Order)-1])
	}
	const rounding = 1e-6 // relative, of sums in another order
	near := func(a, b float64) bool { return math.Abs(a-b) <= rounding*(1+math.Abs(a)+math.Abs(b)) }
	switch {
	case !near(changes, r.ChangeCost), !near(lateness, r.LateCost), !near(changes+lateness, r.Cost):
		return fmt.Errorf("%w: changes %g and lateness %g are stated as %g and %g", fault.Infeasible, changes, lateness, r.ChangeCost, r.LateCost)
	case r.Bound > r.Cost && !near(r.Bound, r.Cost):
		return fmt.Errorf("%w: bound %g above cost %g", fault.Infeasible, r.Bound, r.Cost)
	}
	return nil
}
