package trucks

import (
	"fmt"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/load"
)

// Check returns the first way in which an answer is not a legal one of the
// problem: a unit missing or twice, two units on one spot, a wall, the payload,
// the roof, two docks on one truck, or a kit torn apart that one trailer takes
// in time.
func Check(p Problem, a Answer) error {
	parcels := map[ident.Release]Parcel{}
	seen := map[ident.Release]map[int]bool{}
	for _, c := range p.Parcels {
		parcels[c.Release] = c
		seen[c.Release] = map[int]bool{}
	}
	trailers := map[string]load.Trailer{}
	for _, t := range p.Trailers {
		trailers[t.Code] = t
	}
	for _, t := range a.Trucks {
		tr, ok := trailers[t.Trailer]
		if !ok {
			return fmt.Errorf("truck %d: trailer %q is not known", t.Number, t.Trailer)
		}
		if err := checkTruck(t, tr, parcels, seen); err != nil {
			return fmt.Errorf("truck %d: %w", t.Number, err)
		}
	}
	if len(p.Trailers) == 0 {
		return nil
	}
	for _, l := range a.Left {
		for k := range l.Units {
			seen[l.Release][k+1] = true
		}
	}
	for r, c := range parcels {
		if len(seen[r]) != max(0, c.Units) {
			return fmt.Errorf("%s: %d of %d units are on a truck", r, len(seen[r]), c.Units)
		}
	}
	return checkKits(p, a)
}

type box struct{ x0, y0, x1, y1 quantity.Length }

func checkTruck(t Truck, tr load.Trailer, parcels map[ident.Release]Parcel, seen map[ident.Release]map[int]bool) error {
	var on []box
	mass := quantity.Mass(0)
	for _, pl := range t.Places {
		c := parcels[pl.Release]
		if c.Customer != t.Customer || c.ShipTo != t.ShipTo {
			return fmt.Errorf("%s goes to another dock", pl.Release)
		}
		if pl.Unit < 1 || pl.Unit > c.Units || seen[pl.Release][pl.Unit] {
			return fmt.Errorf("unit %d of %s is on twice or not wanted", pl.Unit, pl.Release)
		}
		seen[pl.Release][pl.Unit] = true
		b := box{pl.X, pl.Y, pl.X + c.Length, pl.Y + c.Width}
		if pl.Turned {
			b.x1, b.y1 = pl.X+c.Width, pl.Y+c.Length
		}
		if b.x0 < 0 || b.y0 < 0 || b.x1 > tr.Length || b.y1 > tr.Width || tr.Height > 0 && c.Height > tr.Height {
			return fmt.Errorf("unit %d of %s stands through a wall or the roof", pl.Unit, pl.Release)
		}
		for _, o := range on {
			if b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 {
				return fmt.Errorf("unit %d of %s stands in another", pl.Unit, pl.Release)
			}
		}
		on = append(on, b)
		if mass += c.Mass; pl.Unit == c.Units && c.LastMass > 0 {
			mass += c.LastMass - c.Mass
		}
	}
	if tr.Payload > 0 && mass > tr.Payload+1e-6 {
		return fmt.Errorf("%.0f kg on a payload of %.0f kg", float64(mass), float64(tr.Payload))
	}
	return nil
}
