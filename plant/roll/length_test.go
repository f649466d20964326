package roll_test

import (
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/roll"
)

// A roll 50 in across on a 4 in core, 93 in wide, of 10 pt, 35 lb/1000 ft²: by hand
// π/4 · (50² − 4²) / 0.010 in = 16,258 ft; 7.75 ft · 16,258 ft · 35/1000 = 4,410 lb.
func TestLengthAndMass(t *testing.T) {
	in := func(v float64) quantity.Length { return quantity.FromInches(v) }
	l := roll.LengthFromDiameter(in(50), in(4), in(0.010))
	if ft := l.Metres() / 0.3048; math.Abs(ft-16258) > 1 {
		t.Errorf("length %.1f ft, want 16,258 ft", ft)
	}
	m := roll.MassOf(l, in(93), 35*quantity.PoundPerMSF)
	if lb := float64(m / quantity.Pound); math.Abs(lb-4410) > 1 {
		t.Errorf("mass %.1f lb, want 4,410 lb", lb)
	}
	if back := roll.LengthFromMass(m, in(93), 35*quantity.PoundPerMSF); math.Abs(back.Metres()-l.Metres()) > 1e-6 {
		t.Errorf("length from mass %v, want %v", back, l)
	}
	if roll.LengthFromDiameter(in(4), in(50), in(1)) != 0 || roll.LengthFromMass(0, in(1), 1) != 0 {
		t.Error("a roll that cannot be has a length")
	}
}
