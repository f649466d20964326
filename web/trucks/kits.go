package trucks

import (
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/trucks"
)

// kit is what a truck carries of parts that are used together.
type kit struct {
	Name  string
	On    []ident.Release
	Apart []ident.Release // on other trucks too, or only there
}

// kits are those of a truck whose parts are more than one in the plan.
func kits(pl *plan.Plan, t trucks.Truck) []kit {
	var out []kit
	for _, q := range t.Parts {
		if q.Kit == "" || slices.ContainsFunc(out, func(k kit) bool { return k.Name == q.Kit }) {
			continue
		}
		k := kit{Name: q.Kit}
		for _, other := range pl.Trucks.Trucks {
			for _, part := range other.Parts {
				switch {
				case part.Kit != q.Kit:
				case other.Number == t.Number:
					k.On = append(k.On, part.Release)
				case !slices.Contains(k.Apart, part.Release):
					k.Apart = append(k.Apart, part.Release)
				}
			}
		}
		if len(k.On) > 1 || len(k.Apart) > 1 || len(k.Apart) == 1 && k.Apart[0] != k.On[0] {
			out = append(out, k)
		}
	}
	return out
}
