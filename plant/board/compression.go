package board

import (
	"math"

	"github.com/flutewright/flutewright/base/quantity"
)

// McKeeConstant is the factor of the short formula. It is dimensionless: any
// coherent units agree. A plant may refit it.
const McKeeConstant = 5.87

// Band is how far the short formula is from single boxes, either way; common
// practice, and in line with the 25 % mean error that Popil ("Box Compression
// for Copy Paper Boxes", Georgia Tech) kept after refitting.
const Band = 0.25

// CompressionMcKee estimates the top-to-bottom compression strength of a
// regular slotted box by the short formula
//
//	BCT = k · ECT · √(h · Z)
//
// with k = McKeeConstant, ECT the edgewise crush of the board, h its caliper
// and Z the box's perimeter. It holds for one box, top to bottom, with the
// perimeter no more than 7 times the depth, in standard climate, freshly made.
//
// Source: McKee, Gander & Wachuta, Paperboard Packaging 48(8), 1963, as
// restated by R. Popil, "Predicting Box Compression Strength", slide 3.
func CompressionMcKee(ect quantity.LineLoad, perimeter, caliper quantity.Length) quantity.Force {
	return CompressionRefitted(McKeeConstant, ect, perimeter, caliper)
}

// CompressionRefitted is the short formula with a plant's own constant.
func CompressionRefitted(k float64, ect quantity.LineLoad, perimeter, caliper quantity.Length) quantity.Force {
	return quantity.Force(k * float64(ect) * math.Sqrt(caliper.Metres()*perimeter.Metres()))
}

// CompressionMcKeeExponents is the short formula before its exponents were
// rounded, BCT = 5.874 · ECT · h^0.508 · Z^0.492. It gives 4–5 % less than the
// rounded form; the two are not interchangeable.
//
// Source: McKee, Gander & Wachuta 1963, from memory.
func CompressionMcKeeExponents(ect quantity.LineLoad, perimeter, caliper quantity.Length) quantity.Force {
	return quantity.Force(5.874 * float64(ect) * math.Pow(caliper.Metres(), .508) * math.Pow(perimeter.Metres(), .492))
}

// CompressionMcKeeFull is the full formula
//
//	BCT = 2.028 · ECT^0.746 · (√(D_MD · D_CD))^0.254 · Z^0.492
//
// with D the bending stiffness per unit of width, in N·m. The constant is
// dimensionless (force exponents add to 1, length exponents to 0).
//
// Source: McKee, Gander & Wachuta 1963, as restated by Popil, slides 3–4.
func CompressionMcKeeFull(ect quantity.LineLoad, stiffnessMD, stiffnessCD float64, perimeter quantity.Length) quantity.Force {
	return quantity.Force(2.028 * math.Pow(float64(ect), .746) * math.Pow(math.Sqrt(stiffnessMD*stiffnessCD), .254) * math.Pow(perimeter.Metres(), .492))
}

// Low and High are the ends of the error band around an estimate.
func Low(f quantity.Force) quantity.Force { return f * (1 - Band) }

// High is the upper end; see Low.
func High(f quantity.Force) quantity.Force { return f * (1 + Band) }
