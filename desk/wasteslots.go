package desk

import (
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// What the machine that makes the last cut takes out of every good piece: slots
// and lap corners of a slotted box, the skeleton of a die-cut one.
const (
	WasteSlots    = "slots and lap corners, as planned"
	WasteSkeleton = "skeleton, as planned"
)

// slotsOf adds what was cut out of the good boxes that f counts. Wasted boxes
// are waste as a whole, and machines before the last cut no slots.
func (w *wasting) slotsOf(f trace.Fact) {
	l, ok := w.s.Line(f.Release)
	if !ok || f.Good == 0 || slices.Contains(w.s.way(f.Release).Before, f.Machine) {
		return
	}
	item, _ := w.s.Item(l.Item)
	reason, area := WasteSlots, w.s.slotArea(item)
	if item.PieceArea > 0 {
		reason, area = WasteSkeleton, w.s.skeletonArea(f.Release, item)
	}
	if mass := quantity.Mass(float64(f.Good)) * w.boardMass(item.Grade, area); mass > 0 {
		w.add(WasteRow{Day: w.day(f.At), Place: string(f.Machine), Reason: reason, Planned: true}, 0, mass)
	}
}

// skeletonArea is what a die leaves of a sheet for each of its pieces.
func (s *Snapshot) skeletonArea(r ident.Release, i order.Item) quantity.Area {
	return max(0, s.sheetOf(r).Area()/quantity.Area(max(i.PiecesPerSheet, 1))-i.PieceArea)
}

// slotArea is what is cut out of one slotted box by its computed blank:
//
//	flaps of both ends × (3 slots + glue lap)
//
// 0 for styles without slots or without a formula. Hand; half a slot beside the lap is left out.
func (s *Snapshot) slotArea(i order.Item) quantity.Area {
	g, _ := s.Grade(i.Grade)
	for _, a := range s.Plant.Allowances {
		if a.Flute != g.Flute {
			continue
		}
		b, err := box.Compute(i.Style, i.Inside, i.Overlap, a)
		if err != nil || b.SlotWidth == 0 {
			return 0
		}
		return quantity.Area((b.Sheet.Slit - b.Depth).Metres() * (3*b.SlotWidth + b.Lap).Metres())
	}
	return 0
}
