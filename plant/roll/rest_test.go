package roll_test

import (
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/roll"
)

// TestBreakEvenRest: hand. TL140 at 2350 costs 140 g/m² · 2.35 m · 505 a tonne =
// 0.1661 a metre; (6.5 + 2 · 3 · 0.1661) / 0.1661 = 45.1 m where waste brings
// nothing. The common figure is 50 to 80 m with the risk of a torn rest (common
// practice, no published source).
func TestBreakEvenRest(t *testing.T) {
	perMetre := quantity.Money(0.140 * 2.35 * 505 / 1000)
	if got := roll.BreakEvenRest(6.5, quantity.FromMetres(3), perMetre, perMetre); math.Abs(got.Metres()-45.1) > .05 {
		t.Errorf("%.2f m, 45.1 m worked by hand", got.Metres())
	}
	if roll.BreakEvenRest(6.5, quantity.FromMetres(3), 0, perMetre) != 0 {
		t.Error("what loses nothing is not kept")
	}
}
