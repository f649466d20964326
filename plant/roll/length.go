package roll

import (
	"math"

	"github.com/flutewright/flutewright/base/quantity"
)

// LengthFromDiameter returns the metres on a roll from its outer and core
// diameter and the paper's caliper: the ring's area over the thickness,
//
//	l = π/4 · (D² − d²) / h
//
// It returns 0 unless D > d ≥ 0 and h > 0. Winding tension and the paper's
// compressibility are left out; 3 % off is usual (common practice, no published source).
func LengthFromDiameter(diameter, core, caliper quantity.Length) quantity.Distance {
	if diameter <= core || core < 0 || caliper <= 0 {
		return 0
	}
	ring := math.Pi / 4 * (diameter.Metres()*diameter.Metres() - core.Metres()*core.Metres())
	return quantity.FromMetres(ring / caliper.Metres())
}

// LengthFromMass returns the metres of a paper from its mass, width and
// grammage, or 0 unless all three are positive.
func LengthFromMass(mass quantity.Mass, width quantity.Length, grammage quantity.Grammage) quantity.Distance {
	if !(mass > 0) || width <= 0 || !(grammage > 0) {
		return 0
	}
	return quantity.FromMetres(float64(mass) / (width.Metres() * float64(grammage)))
}

// MassOf returns what a length of paper weighs.
func MassOf(length quantity.Distance, width quantity.Length, grammage quantity.Grammage) quantity.Mass {
	return quantity.Mass(length.Metres() * width.Metres() * float64(grammage))
}
