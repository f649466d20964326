package waste

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
)

// What is taken out of every good piece: slots and lap corners of a slotted box,
// the skeleton of a die-cut one.
const (
	Slots    = "slots and lap corners, as planned"
	Skeleton = "skeleton, as planned"
)

// CutOut is what is cut out of one good piece.
type CutOut struct {
	What string
	Area quantity.Area
}

// CutOutOf returns what an item's way cuts out of one piece of its sheet. The
// skeleton is known where the item states the area of its piece; else slots are
// worked out by the computed blank:
//
//	flaps of both ends × (3 slots + glue lap)
//
// Nothing for styles without slots or without a formula. Hand; half a slot beside
// the lap is left out.
//
// a are the allowances of the item's flute, nil where none are stated.
func CutOutOf(i order.Item, sheet box.Sheet, a *box.Allowance) CutOut {
	if i.PieceArea > 0 {
		return CutOut{Skeleton, max(0, sheet.Area()/quantity.Area(max(i.PiecesPerSheet, 1))-i.PieceArea)}
	}
	if a == nil {
		return CutOut{}
	}
	b, err := box.Compute(i.Style, i.Inside, i.Overlap, *a)
	if err != nil || b.SlotWidth == 0 {
		return CutOut{}
	}
	return CutOut{Slots, quantity.Area((b.Sheet.Slit - b.Depth).Metres() * (3*b.SlotWidth + b.Lap).Metres())}
}

// CutsOn reports which step of a box's way, given by the kinds of its machines,
// cuts it out: its die cutter, else its last step. Steps count from 1; 0 where
// there are none.
func CutsOn(steps []convert.Kind) int {
	if i := slices.Index(steps, convert.DieCutter); i >= 0 {
		return i + 1
	}
	return len(steps)
}
