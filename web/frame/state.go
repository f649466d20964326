package frame

import (
	"math"

	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// States in the order of the way; the word beside an order's quantities.
var States = []string{"entered", "planned", "made", "loaded", "shipped", "on hold", "closed"}

// State derives the one word of a line from its quantities: it is never stored.
// Each word holds once the least quantity that the customer takes has come so far.
func State(l order.Line, q trace.Quantities, planned bool) string {
	least := int(math.Ceil(float64(l.Quantity) * (1 - l.UnderPct/100)))
	switch {
	case l.State == order.OnHold:
		return "on hold"
	case l.State == order.Closed:
		return "closed"
	case q.Shipped >= least:
		return "shipped"
	case q.InUnits >= least:
		return "loaded"
	case q.Finished() >= least:
		return "made"
	case planned:
		return "planned"
	}
	return "entered"
}
