package loads

import (
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/load"
)

// Footprint is the floor that a unit takes on a deck: along the deck's length
// and across it, with what stands out over its edges.
func (l Load) Footprint(deck load.Pallet) (length, width quantity.Length) {
	fromX, toX, fromY, toY := quantity.Length(0), deck.Length, quantity.Length(0), deck.Width
	for _, p := range l.Layer {
		long, broad := l.BundleLength, l.BundleWidth
		if p.Turned {
			long, broad = broad, long
		}
		fromX, toX = min(fromX, p.X), max(toX, p.X+long)
		fromY, toY = min(fromY, p.Y), max(toY, p.Y+broad)
	}
	return toX - fromX, toY - fromY
}
