package roll

import (
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/quantity"
)

// agreement is how far two ways to a roll's length may lie apart (common
// practice, no published source): beyond it caliper, grammage or label is wrong,
// or the roll has telescoped.
const agreement = 0.03

// CrossCheck sets the stated length against those that diameter and mass give,
// each where the roll states it, and says what is off by more than 3 %. It is
// empty for a roll that agrees with itself. A butt's mass is not asked: its
// core weighs too much in it.
func CrossCheck(r Roll, caliper quantity.Length, grammage quantity.Grammage) []string {
	var out []string
	against := func(what string, other quantity.Distance) {
		if r.Length <= 0 || other <= 0 {
			return
		}
		if off := float64(r.Length)/float64(other) - 1; math.Abs(off) > agreement {
			out = append(out, fmt.Sprintf("states %.0f m, its %s gives %.0f m (%+.1f %%)", r.Length.Metres(), what, other.Metres(), 100*off))
		}
	}
	if r.Diameter > 0 && caliper > 0 {
		against("diameter", LengthFromDiameter(r.Diameter, r.Core, caliper))
	}
	if r.Mass > 0 && grammage > 0 && !r.Butt {
		against("mass", LengthFromMass(r.Mass, r.Width, grammage))
	}
	return out
}
