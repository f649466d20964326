package stock

import (
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// BlanketLeft is a blanket order and what its call-offs have left of it.
type BlanketLeft struct {
	Key     ident.Release   `json:"key"`
	Total   int             `json:"total"`
	Called  int             `json:"called"`          // boxes called off: as ordered where open, as shipped where closed
	Shipped int             `json:"shipped"`         // of Called
	Calls   []ident.Release `json:"calls"`           // releases of the same order and line, by key
	Ended   bool            `json:"ended,omitempty"` // its last call-off is stated: nothing is left to call
	Over    int             `json:"over,omitempty"`  // called beyond the total
}

// Left returns the boxes that may still be called off.
func (b BlanketLeft) Left() int {
	if b.Ended {
		return 0
	}
	return max(0, b.Total-b.Called)
}

func blankets(b plant.Book) []BlanketLeft {
	type orderLine struct{ order, line string }
	at := map[orderLine]int{}
	var out []BlanketLeft
	for _, l := range b.Lines {
		if l.Kind == order.Blanket && l.State != order.Closed {
			at[orderLine{l.Key.Order, l.Key.Line}] = len(out)
			out = append(out, BlanketLeft{Key: l.Key, Total: l.Quantity})
		}
	}
	for _, l := range b.Lines {
		n, called := at[orderLine{l.Key.Order, l.Key.Line}]
		if !called || l.Kind != order.Ordinary || l.Parent != "" { // a re-make replaces boxes of its call-off
			continue
		}
		done := b.Done[l.Key].Shipped
		boxes := max(l.Quantity, done)
		if l.State == order.Closed {
			boxes = done
		}
		k := &out[n]
		k.Calls = append(k.Calls, l.Key)
		k.Called += boxes
		k.Shipped += done
		k.Ended = k.Ended || l.Closes
	}
	for n := range out {
		out[n].Over = max(0, out[n].Called-out[n].Total)
		slices.SortFunc(out[n].Calls, ident.Compare)
	}
	slices.SortFunc(out, func(a, b BlanketLeft) int { return ident.Compare(a.Key, b.Key) })
	return out
}
