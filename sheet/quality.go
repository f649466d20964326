package sheet

import (
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
)

// limit is one thing to watch on a machine and what is allowed.
type limit struct{ what, allowed string }

// Usual limits in converting. The plant's own limits rule where it has them.
// Joint: a trade association's question column on the manufacturer's joint,
// October 2023 (gap 1/8 to 1/2 in, never under 1/16 in, fish-tail 3/16 in).
// Caliper loss: a technical association's magazine, July 2023 (0.003 in).
// The rest is common practice, no published source.
const (
	gapLeast       = quantity.Inch / 8
	gapMost        = quantity.Inch / 2
	fishTail       = 3 * quantity.Inch / 16
	caliperLoss    = 3 * quantity.Inch / 1000
	panelSingle    = 2 * quantity.Millimetre
	panelDouble    = 3 * quantity.Millimetre
	colourRegister = 8 * quantity.Millimetre / 10
	printToCut     = 2 * quantity.Millimetre
	warpPerMetre   = 12 * quantity.Millimetre
)

// limits lists what to watch for an item on a machine, registers where it
// prints. Customers with case erectors get half the joint's spread and fish-tail.
func (s *source) limits(m convert.Machine, it order.Item, prints bool) []limit {
	w := s.words
	least, most, tail := gapLeast, gapMost, fishTail
	if s.customers[it.Customer].CaseErector {
		middle, half := (gapLeast+gapMost)/2, (gapMost-gapLeast)/4
		least, most, tail = middle-half, middle+half, fishTail/2
	}
	panel := panelSingle
	if s.grades[it.Grade].Walls() > 1 {
		panel = panelDouble
	}
	var out []limit
	if m.Kind != convert.DieCutter && it.Joint == "glued" {
		out = append(out, limit{"joint gap", w.Length(least) + " to " + w.size(most)}, limit{"fish-tail, at most", w.size(tail)})
	}
	if m.Kind == convert.FolderGluer {
		out = append(out, limit{"panel to panel, ±", w.size(panel)})
	}
	if prints && it.Colours > 1 {
		out = append(out, limit{"colour to colour, ±", w.size(colourRegister)})
	}
	if prints && m.Kind == convert.DieCutter {
		out = append(out, limit{"print to cut, ±", w.size(printToCut)})
	}
	return append(out,
		limit{"caliper lost in the machine, at most", w.Caliper(caliperLoss) + " " + w.CaliperUnit()},
		limit{"warp when fed, at most", s.warp()})
}

// warp is the bow allowed over a metre, or over a foot.
func (s *source) warp() string {
	if s.words.US {
		return s.words.Length(warpPerMetre.Scale(0.3048)) + " in per ft"
	}
	return s.words.Length(warpPerMetre) + " mm per m"
}
