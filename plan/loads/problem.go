package loads

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/load"
)

// Problem is a set of releases to be stood on pallets.
type Problem struct {
	Needs   []Need
	Pallets []load.Pallet // every deck the plant keeps; a refusal names one of these if one would do
	Limits  load.Limits   // zero fields take load.CommonLimits
}

// Need is one release as the load floor sees it.
type Need struct {
	Release ident.Release
	Boxes   int             // good boxes (or flat pieces) to be loaded, at least 1
	Flat    box.FoldedFlat  // footprint of one bundle lying flat
	Folded  bool            // a glued box folded flat is two boards thick; a flat piece is one
	Caliper quantity.Length // thickness of one board
	Mass    quantity.Mass   // one box

	PerBundle      int             // agreed boxes a bundle; 0: the most that hand limits allow
	PerLayer       int             // agreed bundles a layer; 0: computed
	Layers         int             // agreed layers a unit; 0: as many as height and mass allow
	Pallet         ident.Pallet    // "": the smallest deck that takes a bundle
	Overhang       quantity.Length // agreed with the customer, per side
	UnitMaxHeight  quantity.Length // with pallet; 0: the limits' own
	UnitMaxMass    quantity.Mass   // gross; 0: the pallet's greatest load and its own mass
	NoBundleNotice bool            // bundles are lifted by machine: no hand-lift notices
}
