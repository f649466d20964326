package plan

import (
	"cmp"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plant/box"
)

// loadNeed is a release as the load floor sees it; false where nothing is left to load.
func loadNeed(ix *index, w want) (loads.Need, bool) {
	if w.line.Quantity <= 0 {
		return loads.Need{}, false
	}
	c := ix.customers[w.Customer]
	board := float64(w.grade.BoardGrammage(ix.catalogue))
	return loads.Need{
		Release: w.Release, Boxes: w.line.Quantity, Flat: flatSize(w), Folded: folded(w),
		Caliper: w.grade.Caliper(ix.catalogue), Mass: quantity.Mass(board * float64(w.Sheet.Area()) / float64(w.PerSheet)),
		PerBundle: w.item.BoxesPerBundle, PerLayer: w.item.BundlesPerLayer, Layers: w.item.LayersPerUnit,
		Pallet: cmp.Or(w.item.Pallet, c.Pallet), Overhang: c.Overhang, UnitMaxHeight: c.UnitMaxHeight,
	}, true
}

// folded reports whether a box leaves the plant folded flat, two boards thick.
func folded(w want) bool { return w.item.Joint != "" && w.item.Joint != "none" }

// flatSize is the footprint of a bundle: as the item states it, by formula for
// a computed style, else the sheet's share of one piece.
func flatSize(w want) box.FoldedFlat {
	switch {
	case w.item.BundleSize != nil:
		return *w.item.BundleSize
	case w.blank != nil && w.blank.FoldedFlat.Length > 0:
		return w.blank.FoldedFlat
	}
	return box.FoldedFlat{Length: w.Sheet.Chop, Width: w.Sheet.Slit / quantity.Length(w.PerSheet)}
}
