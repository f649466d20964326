package load

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
)

// swell is how much thicker a bundle is than its boards: folds, lap and score
// zones stand a little proud (common practice, no published source).
const swell = 1.02

// Bundle is a stack of boxes strapped together.
type Bundle struct {
	Boxes         int
	Length, Width quantity.Length // footprint
	Height        quantity.Length
	Mass          quantity.Mass
}

// NewBundle returns the bundle of boxes lying flat. A folded box is two boards
// thick, a flat piece one; height = boxes · boards · caliper · 1.02.
func NewBundle(boxes int, flat box.FoldedFlat, folded bool, caliper quantity.Length, each quantity.Mass) Bundle {
	boards := 1
	if folded {
		boards = 2
	}
	return Bundle{
		Boxes: boxes, Length: flat.Length, Width: flat.Width,
		Height: (caliper * quantity.Length(boards*boxes)).Scale(swell), Mass: each * quantity.Mass(boxes),
	}
}

// MostByHand is the greatest number of boxes a bundle that hand limits allow; at least 1.
func MostByHand(flat box.FoldedFlat, folded bool, caliper quantity.Length, each quantity.Mass, l Limits) int {
	one := NewBundle(1, flat, folded, caliper, each)
	n := 1 << 20
	if one.Height > 0 {
		n = min(n, int(l.BundleHeight/one.Height))
	}
	if one.Mass > 0 {
		n = min(n, int(l.BundleMass/one.Mass))
	}
	return max(n, 1)
}

// HandNotices say where a bundle is beyond what is lifted or gripped by hand.
// The limits are common practice; local rules on lifting come first.
func (b Bundle) HandNotices(l Limits) []string {
	var out []string
	if b.Mass > l.BundleMass {
		out = append(out, fmt.Sprintf("a bundle of %d weighs %.1f kg, more than the %.0f kg lifted by hand: lift it by machine or bundle fewer", b.Boxes, float64(b.Mass), float64(l.BundleMass)))
	}
	if b.Height > l.BundleHeight {
		out = append(out, fmt.Sprintf("a bundle of %d is %.0f mm high, more than the %.0f mm gripped by hand: handle it by machine or bundle fewer", b.Boxes, b.Height.Millimetres(), l.BundleHeight.Millimetres()))
	}
	return out
}
