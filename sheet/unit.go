package sheet

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/loads"
)

// unit is one load to be tagged.
type unit struct {
	load   loads.Load
	serial int64
	number int // k of n
	of     int
	boxes  int
	mass   quantity.Mass
	height quantity.Length
}

// units parts a load into its units, the last one with what remains.
func (s *source) units(l loads.Load, first int64) []unit {
	deck := s.deck(l)
	var out []unit
	for k := range l.Units {
		u := unit{load: l, serial: first + int64(k), number: k + 1, of: l.Units, boxes: l.PerUnit, mass: l.UnitMass, height: l.UnitHeight}
		if k == l.Units-1 && l.LastUnit > 0 && l.LastUnit < l.PerUnit {
			u.boxes = l.LastUnit
			u.mass = deck.Mass + (l.UnitMass-deck.Mass)*quantity.Mass(l.LastUnit)/quantity.Mass(l.PerUnit)
			bundles := (l.LastUnit + max(1, l.PerBundle) - 1) / max(1, l.PerBundle)
			layers := (bundles + max(1, l.PerLayer) - 1) / max(1, l.PerLayer)
			u.height = deck.Height + l.BundleHeight*quantity.Length(layers)
		}
		out = append(out, u)
	}
	return out
}

// contents is "30 bundles × 25", with the odd bundle named.
func (u unit) contents(w words) string {
	per := max(1, u.load.PerBundle)
	out := fmt.Sprintf("%s × %d", w.plural(u.boxes/per, "bundle", "bundles"), per)
	if odd := u.boxes % per; odd > 0 {
		out += fmt.Sprintf(" + ODD %d", odd)
	}
	return out
}

// long and broad are the sides of a unit's footprint: the deck, and what stands out over it.
func (s *source) long(l loads.Load) quantity.Length {
	long, _ := l.Footprint(s.deck(l))
	return long
}

func (s *source) broad(l loads.Load) quantity.Length {
	_, broad := l.Footprint(s.deck(l))
	return broad
}
