package stock

import (
	"cmp"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// Kit is a release whose item goes out with parts, and the releases of those parts.
type Kit struct {
	Key     ident.Release `json:"key"`               // of the item that names the parts
	Parts   []Part        `json:"parts"`             // that item first
	Ordered int           `json:"ordered"`           // whole kits ordered
	Ready   int           `json:"ready"`             // whole kits that can go: those of the scarcest part
	Scarce  ident.Item    `json:"scarce,omitempty"`  // the part that holds back the others; "" where all have as many
	Missing []ident.Item  `json:"missing,omitempty"` // parts that the customer has no open release for
}

// Part is one part of a kit.
type Part struct {
	Release ident.Release `json:"release"`
	Item    ident.Item    `json:"item"`
	PerKit  int           `json:"pieces_per_kit"`
	Have    int           `json:"have"` // made and not shipped
	Kits    int           `json:"kits"` // whole kits that Have is enough for
}

// kits joins the open releases of items that are delivered together: for each
// part the release of the same customer, of the same order where there is one,
// else the one due nearest; each release is part of one kit.
func kits(b plant.Book, lines map[ident.Release]Line) []Kit {
	if !slices.ContainsFunc(b.Items, func(i order.Item) bool { return len(i.Kit) > 0 }) {
		return nil
	}
	items := map[ident.Item]order.Item{}
	for _, i := range b.Items {
		items[i.Code] = i
	}
	open := map[ident.Item][]order.Line{}
	for _, l := range b.Lines {
		if l.State != order.Closed && l.Kind == order.Ordinary {
			open[l.Item] = append(open[l.Item], l)
		}
	}
	taken := map[ident.Release]bool{}
	var out []Kit
	for _, l := range b.Lines {
		i := items[l.Item]
		if len(i.Kit) == 0 || l.State == order.Closed || l.Kind != order.Ordinary {
			continue
		}
		k := Kit{Key: l.Key, Ordered: l.Quantity / max(1, i.PiecesPerKit)}
		k.add(l, i, lines)
		for _, code := range i.Kit {
			if p, ok := partner(l, open[code], taken); ok {
				taken[p.Key] = true
				k.add(p, items[code], lines)
				k.Ordered = min(k.Ordered, p.Quantity/max(1, items[code].PiecesPerKit))
			} else {
				k.Missing = append(k.Missing, code)
			}
		}
		k.weigh()
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b Kit) int { return ident.Compare(a.Key, b.Key) })
	return out
}

func (k *Kit) add(l order.Line, i order.Item, lines map[ident.Release]Line) {
	n, per := lines[l.Key], max(1, i.PiecesPerKit)
	have := max(0, n.Have-n.Shipped) + n.FromStock
	k.Parts = append(k.Parts, Part{l.Key, l.Item, per, have, have / per})
}

// weigh finds the scarcest part; a part without a release lets no kit go.
func (k *Kit) weigh() {
	least := slices.MinFunc(k.Parts, func(a, b Part) int { return cmp.Compare(a.Kits, b.Kits) })
	most := slices.MaxFunc(k.Parts, func(a, b Part) int { return cmp.Compare(a.Kits, b.Kits) })
	k.Ready = least.Kits
	if least.Kits < most.Kits {
		k.Scarce = least.Item
	}
	if len(k.Missing) > 0 {
		k.Ready, k.Scarce = 0, k.Missing[0]
	}
}

func partner(l order.Line, list []order.Line, taken map[ident.Release]bool) (order.Line, bool) {
	var best order.Line
	found := false
	apart := func(p order.Line) (bool, int64) {
		return p.Key.Order != l.Key.Order, p.Due.Sub(l.Due).Abs().Nanoseconds()
	}
	for _, p := range list {
		if p.Customer != l.Customer || p.ShipTo != l.ShipTo || taken[p.Key] {
			continue
		}
		other, far := apart(p)
		bestOther, bestFar := apart(best)
		if !found || bestOther && !other || other == bestOther && (far < bestFar || far == bestFar && ident.Compare(p.Key, best.Key) < 0) {
			best, found = p, true
		}
	}
	return best, found
}

// KitOf returns the kit that a release is part of.
func (s Standing) KitOf(r ident.Release) (Kit, bool) {
	for _, k := range s.Kits {
		for _, p := range k.Parts {
			if p.Release == r {
				return k, true
			}
		}
	}
	return Kit{}, false
}

// BlanketOf returns the blanket order of a release: itself, or the one it calls off.
func (s Standing) BlanketOf(r ident.Release) (BlanketLeft, bool) {
	for _, b := range s.Blankets {
		if b.Key.Order == r.Order && b.Key.Line == r.Line {
			return b, true
		}
	}
	return BlanketLeft{}, false
}
