package board

import (
	"math"

	"github.com/flutewright/flutewright/base/quantity"
)

// SineTakeUp returns the arc length of a pure sine of the pitch and height (peak
// to peak) over its chord, (1/2π) ∫ √(1 + (πh/p)² cos² θ) dθ over one turn. Real
// profiles are arcs with straight flanks and lie a few per cent above it: use
// it to see whether a measured take-up is possible, not in place of one.
func SineTakeUp(pitch, height quantity.Length) float64 {
	const steps = 256 // the trapezoid rule on a periodic integrand: exact to rounding
	slope := math.Pi * float64(height) / float64(pitch)
	sum := 0.0
	for i := range steps {
		c := slope * math.Cos(2*math.Pi*float64(i)/steps)
		sum += math.Sqrt(1 + c*c)
	}
	return sum / steps
}

// crushAICC is the crush allowance of CaliperAICC.
const crushAICC = 3 * quantity.Inch / 1000

// CaliperAICC is another rule for the board's thickness: flute height + Σ liner
// calipers − wear of the flute rolls − 0.003 in of crush; the medium does not count.
//
// Source: AICC, "What is the formula for determining board caliper", Ask Ralph, 10 February 2014.
func CaliperAICC(height, wear quantity.Length, liners ...quantity.Length) quantity.Length {
	sum := height - wear - crushAICC
	for _, l := range liners {
		sum += l
	}
	return sum
}

// MoistureFactor returns what the compression strength is multiplied by when
// board goes from one moisture content to another, both as mass fractions:
// 10^(3.01 · (from − to)).
//
// Source: Kellicutt & Landt, Fibre Containers, 1951, from memory.
func MoistureFactor(from, to float64) float64 { return math.Pow(10, 3.01*(from-to)) }
