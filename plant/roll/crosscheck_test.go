package roll

import (
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

// TestCrossCheck: a roll of 50 in on a 4 in core, 10 pt paper of 35 lb/MSF, 93 in
// wide holds 16,258 ft and weighs 4,410 lb (worked by hand).
func TestCrossCheck(t *testing.T) {
	whole := Roll{
		Diameter: 50 * quantity.Inch, Core: 4 * quantity.Inch, Width: 93 * quantity.Inch,
		Length: quantity.Distance(16258 * 12 * quantity.Inch), Mass: 4410 * quantity.Pound,
	}
	caliper, grammage := quantity.Inch/100, 35*quantity.PoundPerMSF
	if got := CrossCheck(whole, caliper, grammage); len(got) != 0 {
		t.Errorf("a roll that agrees: %v", got)
	}
	for name, c := range map[string]struct {
		roll func(*Roll)
		want int
	}{
		"2.9 % long":       {func(r *Roll) { r.Length = quantity.Distance(float64(r.Length) * 1.029) }, 0},
		"3.1 % long":       {func(r *Roll) { r.Length = quantity.Distance(float64(r.Length) * 1.031) }, 2},
		"4 % light":        {func(r *Roll) { r.Mass *= .96 }, 1},
		"a butt's mass":    {func(r *Roll) { r.Mass *= .5; r.Butt = true }, 0},
		"nothing measured": {func(r *Roll) { r.Mass, r.Diameter = 0, 0 }, 0},
	} {
		r := whole
		c.roll(&r)
		if got := CrossCheck(r, caliper, grammage); len(got) != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}
