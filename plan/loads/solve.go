package loads

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/solve/pack"
)

// Solve stands each release on pallets: bundles, the layer, layers and units.
// An agreed pattern wins where it fits. A bundle that no layer takes within the
// agreed overhang is answered by a refusal in millimetres that names a deck
// which would take it. It returns fault.Violations for needs that cannot be.
func Solve(p Problem) ([]Load, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	s := &stander{p: p, limits: p.Limits.OrCommon(), layers: map[layerKey]pack.Result{}}
	out := []Load{}
	for _, n := range p.Needs {
		l, err := s.stand(n)
		if err != nil {
			return nil, fmt.Errorf("release %s: %w", n.Release, err)
		}
		out = append(out, l)
	}
	return out, nil
}

func (p Problem) validate() error {
	var v fault.Violations
	v.Require(len(p.Pallets) > 0, "pallets", "", "must name at least one deck")
	for _, d := range p.Pallets {
		v.Require(d.Length > 0 && d.Width > 0, "pallets."+string(d.Code), fmt.Sprint(d.Length, " × ", d.Width), "must have a length and a width")
	}
	for _, n := range p.Needs {
		at := func(f string) string { return n.Release.String() + "." + f }
		v.Require(n.Boxes > 0, at("boxes"), fmt.Sprint(n.Boxes), "must be at least 1")
		v.Require(n.Flat.Length > 0 && n.Flat.Width > 0, at("flat"), "", "must have a length and a width")
		v.Require(n.Caliper > 0 && n.Mass > 0, at("caliper, mass"), "", "must be positive")
		v.Require(n.PerBundle >= 0 && n.PerLayer >= 0 && n.Layers >= 0, at("pattern"), "", "must not be negative")
	}
	return v.Err()
}

type layerKey struct{ x, y, a, b quantity.Length }

// stander keeps layers that were computed: many releases share their sizes.
type stander struct {
	p      Problem
	limits load.Limits
	layers map[layerKey]pack.Result
}

// layerWork is the search effort for one layer: a planner has thousands of them.
const layerWork = 20_000

func (s *stander) layer(k layerKey) (pack.Result, error) {
	if r, ok := s.layers[k]; ok {
		return r, nil
	}
	r, err := pack.Solve(context.Background(), pack.Problem{DeckX: int64(k.x), DeckY: int64(k.y), BoxX: int64(k.a), BoxY: int64(k.b)}, pack.Options{MaxWork: layerWork})
	if err == nil {
		s.layers[k] = r
	}
	return r, err
}

func (s *stander) stand(n Need) (Load, error) {
	l := Load{Release: n.Release, Boxes: n.Boxes, PerBundle: n.PerBundle, Layer: []Place{}}
	if l.PerBundle == 0 {
		l.PerBundle = load.MostByHand(n.Flat, n.Folded, n.Caliper, n.Mass, s.limits)
	}
	b := load.NewBundle(l.PerBundle, n.Flat, n.Folded, n.Caliper, n.Mass)
	l.BundleLength, l.BundleWidth, l.BundleHeight, l.BundleMass = b.Length, b.Width, b.Height, b.Mass
	l.Bundles, l.OddBundle = n.Boxes/l.PerBundle, n.Boxes%l.PerBundle
	if !n.NoBundleNotice {
		l.Warnings = append(l.Warnings, b.HandNotices(s.limits)...)
	}
	deck, err := s.deck(n, b)
	if err != nil {
		return l, err
	}
	l.Pallet = deck.Code
	if err := s.lay(&l, n, b, deck); err != nil || l.Refusal != "" {
		return l, err
	}
	s.build(&l, n, b, deck)
	return l, nil
}

// deck is the agreed pallet, or the smallest that takes a bundle, or the largest there is.
func (s *stander) deck(n Need, b load.Bundle) (load.Pallet, error) {
	if n.Pallet != "" {
		for _, d := range s.p.Pallets {
			if d.Code == n.Pallet {
				return d, nil
			}
		}
		return load.Pallet{}, fault.Violations{{Field: "pallet", Value: string(n.Pallet), Rule: "is not a pallet of the plant"}}
	}
	list := s.bySize()
	for _, d := range list {
		if short(b, d, n.Overhang) == 0 {
			return d, nil
		}
	}
	return list[len(list)-1], nil
}

func (s *stander) bySize() []load.Pallet {
	list := slices.Clone(s.p.Pallets)
	slices.SortStableFunc(list, func(a, b load.Pallet) int {
		return cmp.Compare(a.Length.Metres()*a.Width.Metres(), b.Length.Metres()*b.Width.Metres())
	})
	return list
}

// short is how far one bundle, laid the better way, reaches over the deck and
// its agreed overhang on both sides together; 0 where it fits.
func short(b load.Bundle, d load.Pallet, overhang quantity.Length) quantity.Length {
	over := func(x, y quantity.Length) quantity.Length {
		return max(0, b.Length-x-2*overhang, b.Width-y-2*overhang)
	}
	return min(over(d.Length, d.Width), over(d.Width, d.Length))
}

// lay chooses the layer.
func (s *stander) lay(l *Load, n Need, b load.Bundle, d load.Pallet) error {
	if over := short(b, d, n.Overhang); over > 0 {
		l.Refusal = s.refusal(n, b, d, over)
		return nil
	}
	r, err := s.layer(layerKey{d.Length, d.Width, b.Length, b.Width})
	if err != nil {
		return err
	}
	if n.Overhang > 0 && (n.PerLayer == 0 || n.PerLayer > r.Count) { // edges stand over the deck only where that gains bundles
		wide, err := s.layer(layerKey{d.Length + 2*n.Overhang, d.Width + 2*n.Overhang, b.Length, b.Width})
		if err != nil {
			return err
		}
		if wide.Count > r.Count {
			r = wide
		}
	}
	l.PerLayer, l.PerLayerBound = r.Count, r.Bound
	places := r.Places
	switch {
	case n.PerLayer > r.Count:
		l.Warnings = append(l.Warnings, fmt.Sprintf("the agreed %d bundles a layer do not fit %s within %.0f mm of overhang a side: %d do; agree an overhang or a larger deck", n.PerLayer, d.Code, n.Overhang.Millimetres(), r.Count))
	case n.PerLayer > 0:
		l.PerLayer, l.Agreed = n.PerLayer, true
		places = places[:n.PerLayer]
	}
	s.place(l, places, b, d)
	return nil
}

// place centres the layer on the deck and measures its overhang.
func (s *stander) place(l *Load, places []pack.Place, b load.Bundle, d load.Pallet) {
	var x, y quantity.Length
	for _, q := range places {
		w, h := footprint(b, q.Turned)
		x, y = max(x, quantity.Length(q.X)+w), max(y, quantity.Length(q.Y)+h)
	}
	dx, dy := (d.Length-x)/2, (d.Width-y)/2
	for _, q := range places {
		l.Layer = append(l.Layer, Place{quantity.Length(q.X) + dx, quantity.Length(q.Y) + dy, q.Turned})
	}
	l.Overhang = max(0, -dx, -dy, dx+x-d.Length, dy+y-d.Width)
}

func footprint(b load.Bundle, turned bool) (x, y quantity.Length) {
	if turned {
		return b.Width, b.Length
	}
	return b.Length, b.Width
}

// refusal says by how much a bundle overhangs and which deck would take it.
func (s *stander) refusal(n Need, b load.Bundle, d load.Pallet, over quantity.Length) string {
	agreed := ""
	if n.Overhang > 0 {
		agreed = fmt.Sprintf(" beyond the agreed %.0f mm a side", n.Overhang.Millimetres())
	}
	text := fmt.Sprintf("a bundle of %.0f × %.0f mm overhangs %s by %.0f mm%s; agree %.0f mm of overhang a side", b.Length.Millimetres(), b.Width.Millimetres(), d.Code, over.Millimetres(), agreed, (n.Overhang + (over+1)/2).Millimetres())
	var fits []ident.Pallet
	for _, o := range s.bySize() {
		if short(b, o, n.Overhang) == 0 {
			fits = append(fits, o.Code)
		}
	}
	if len(fits) > 0 {
		return fmt.Sprintf("%s, or use %s", text, fits[0])
	}
	return fmt.Sprintf("%s, or get a deck of at least %.0f × %.0f mm", text, (b.Length - 2*n.Overhang).Millimetres(), (b.Width - 2*n.Overhang).Millimetres())
}

// build stacks layers into units of a constant count.
func (s *stander) build(l *Load, n Need, b load.Bundle, d load.Pallet) {
	high := cmp.Or(n.UnitMaxHeight, s.limits.UnitHeight)
	gross := n.UnitMaxMass
	if gross == 0 {
		gross = cmp.Or(d.MaxLoad, s.limits.UnitMass-d.Mass) + d.Mass
	}
	own := d.Mass + s.limits.Dunnage
	layerMass := b.Mass * quantity.Mass(l.PerLayer)
	byHeight := int(max(0, high-d.Height) / b.Height)
	byMass := int(max(0, gross-own) / layerMass)
	layers := min(byHeight, byMass)
	switch {
	case n.Layers > layers:
		l.Warnings = append(l.Warnings, fmt.Sprintf("the agreed %d layers are beyond %.0f mm or %.0f kg: %d are built", n.Layers, high.Millimetres(), float64(gross), layers))
	case n.Layers > 0:
		layers = n.Layers
	}
	if layers < 1 {
		l.Refusal = fmt.Sprintf("one layer is %.0f mm high with its pallet and weighs %.0f kg gross; the unit may be %.0f mm and %.0f kg: bundle fewer boxes, or agree a higher or heavier unit", (d.Height + b.Height).Millimetres(), float64(own+layerMass), high.Millimetres(), float64(gross))
		return
	}
	needed := (n.Boxes + l.PerBundle*l.PerLayer - 1) / (l.PerBundle * l.PerLayer)
	l.Layers = min(layers, needed)
	l.PerUnit = l.PerBundle * l.PerLayer * l.Layers
	l.Units = (n.Boxes + l.PerUnit - 1) / l.PerUnit
	l.LastUnit = n.Boxes - (l.Units-1)*l.PerUnit
	l.UnitHeight = d.Height + b.Height*quantity.Length(l.Layers)
	l.UnitMass = own + n.Mass*quantity.Mass(min(l.PerUnit, n.Boxes))
	if l.Overhang > 0 {
		l.Warnings = append(l.Warnings, fmt.Sprintf("bundles overhang by %.0f mm a side: edges take damage, and filled boxes lose 20 to 40 %% of their strength", l.Overhang.Millimetres()))
	}
}
