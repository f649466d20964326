package desk

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// WasteSlots is what the machine that slots a box cuts out of every good one.
const WasteSlots = "slots and lap corners, as planned"

// slotsOf adds what was cut out of the good boxes that f counts. Wasted boxes
// are waste as a whole, and machines before the last cut no slots.
func (w *wasting) slotsOf(f trace.Fact) {
	l, ok := w.s.Line(f.Release)
	if !ok || f.Good == 0 || slices.Contains(w.s.way(f.Release).Before, f.Machine) {
		return
	}
	item, _ := w.s.Item(l.Item)
	if mass := quantity.Mass(float64(f.Good)) * w.boardMass(item.Grade, w.s.slotArea(item)); mass > 0 {
		w.add(WasteRow{Day: w.day(f.At), Place: string(f.Machine), Reason: WasteSlots, Planned: true}, 0, mass)
	}
}

// slotArea is what is cut out of one slotted box by its computed blank:
//
//	flaps of both ends × (3 slots + glue lap)
//
// 0 for styles without slots or without a formula: what a die leaves of a sheet
// is not known from the item. Hand; half a slot beside the lap is left out.
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
