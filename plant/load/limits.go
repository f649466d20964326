package load

import "github.com/flutewright/flutewright/base/quantity"

// Limits are the plant's own figures for bundles and units.
type Limits struct {
	BundleMass   quantity.Mass   // lifted by hand
	BundleHeight quantity.Length // gripped by hand
	UnitHeight   quantity.Length // with pallet, where neither customer nor item states one
	UnitMass     quantity.Mass   // gross, where the pallet states no greatest load
	Dunnage      quantity.Mass   // sheets, straps and film on one unit
}

// CommonLimits are starting values; a plant states its own and local rules on
// lifting come first.
//
// Source: common practice, no published source.
var CommonLimits = Limits{
	BundleMass:   15,
	BundleHeight: 350 * quantity.Millimetre,
	UnitHeight:   2000 * quantity.Millimetre,
	UnitMass:     1500,
}

// OrCommon returns l with each zero limit taken from CommonLimits. Dunnage stays as it is.
func (l Limits) OrCommon() Limits {
	if l.BundleMass == 0 {
		l.BundleMass = CommonLimits.BundleMass
	}
	if l.BundleHeight == 0 {
		l.BundleHeight = CommonLimits.BundleHeight
	}
	if l.UnitHeight == 0 {
		l.UnitHeight = CommonLimits.UnitHeight
	}
	if l.UnitMass == 0 {
		l.UnitMass = CommonLimits.UnitMass
	}
	return l
}
