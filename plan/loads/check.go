package loads

import (
	"fmt"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/load"
)

// Check judges loads against the problem from the loads alone; it shares no
// code with Solve. Bundles and units hold the boxes, no two bundles of a layer
// overlap, none reaches further over the deck than agreed, and a unit is not
// higher or heavier than allowed. A load with a refusal states no unit.
func Check(p Problem, list []Load) error {
	var faults []string
	if len(list) != len(p.Needs) {
		faults = append(faults, fmt.Sprintf("%d loads for %d needs", len(list), len(p.Needs)))
	}
	decks := map[ident.Pallet]load.Pallet{}
	for _, d := range p.Pallets {
		decks[d.Code] = d
	}
	for i := range min(len(list), len(p.Needs)) {
		for _, f := range judge(p.Needs[i], list[i], decks[list[i].Pallet]) {
			faults = append(faults, fmt.Sprintf("release %s: %s", list[i].Release, f))
		}
	}
	if len(faults) > 0 {
		return fmt.Errorf("%w: %s", fault.Infeasible, strings.Join(faults, "; "))
	}
	return nil
}

func judge(n Need, l Load, d load.Pallet) (faults []string) {
	say := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	if l.Release != n.Release || l.Boxes != n.Boxes || l.Bundles*l.PerBundle+l.OddBundle != n.Boxes || l.OddBundle >= l.PerBundle {
		say("%d bundles of %d and %d do not hold %d boxes", l.Bundles, l.PerBundle, l.OddBundle, n.Boxes)
	}
	if l.Refusal != "" {
		if l.Units != 0 {
			say("refused, and yet %d units", l.Units)
		}
		return faults
	}
	if len(l.Layer) != l.PerLayer || l.PerLayer < 1 || l.PerLayer > l.PerLayerBound || l.Layers < 1 {
		say("%d bundles drawn, %d a layer, bound %d, %d layers", len(l.Layer), l.PerLayer, l.PerLayerBound, l.Layers)
	}
	if l.PerUnit != l.PerBundle*l.PerLayer*l.Layers || (l.Units-1)*l.PerUnit+l.LastUnit != n.Boxes || l.LastUnit < 1 || l.LastUnit > l.PerUnit {
		say("%d units of %d and a last of %d do not hold %d boxes", l.Units, l.PerUnit, l.LastUnit, n.Boxes)
	}
	type rect struct{ x0, y0, x1, y1 quantity.Length }
	var rects []rect
	for _, q := range l.Layer {
		w, h := l.BundleLength, l.BundleWidth
		if q.Turned {
			w, h = h, w
		}
		r := rect{q.X, q.Y, q.X + w, q.Y + h}
		if over := max(-r.x0, -r.y0, r.x1-d.Length, r.y1-d.Width); over > n.Overhang || over > l.Overhang {
			say("a bundle overhangs by %s, agreed %s, stated %s", over, n.Overhang, l.Overhang)
		}
		for _, o := range rects {
			if r.x0 < o.x1 && o.x0 < r.x1 && r.y0 < o.y1 && o.y0 < r.y1 {
				say("two bundles overlap")
			}
		}
		rects = append(rects, r)
	}
	if n.UnitMaxHeight > 0 && l.UnitHeight > n.UnitMaxHeight {
		say("a unit is %s high, at most %s", l.UnitHeight, n.UnitMaxHeight)
	}
	if payload := l.UnitMass - d.Mass; d.MaxLoad > 0 && n.UnitMaxMass == 0 && payload > d.MaxLoad+1e-6 {
		say("a unit carries %.1f kg, the pallet %.1f", float64(payload), float64(d.MaxLoad))
	}
	return faults
}
