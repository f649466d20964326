package trucks

import (
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/load"
)

// checkKits finds a kit on several trucks although some trailer takes it whole,
// each part in rows of its own one way round, and no part would wait too long.
func checkKits(p Problem, a Answer) error {
	on, left := map[ident.Release]map[int]bool{}, map[ident.Release]bool{}
	for _, t := range a.Trucks {
		for _, pl := range t.Places {
			if on[pl.Release] == nil {
				on[pl.Release] = map[int]bool{}
			}
			on[pl.Release][t.Number] = true
		}
	}
	for _, l := range a.Left {
		left[l.Release] = true
	}
	type trip struct {
		kit, customer, to, day string
	}
	kits := map[trip][]Parcel{}
	var order []trip
	for _, c := range p.Parcels {
		if c.Kit == "" || c.Units <= 0 || left[c.Release] {
			continue
		}
		day := c.Leave.UTC()
		if p.Zone != nil {
			day = c.Leave.In(p.Zone)
		}
		k := trip{c.Kit, string(c.Customer), c.ShipTo, day.Format("2006-01-02")}
		if kits[k] == nil {
			order = append(order, k)
		}
		kits[k] = append(kits[k], c)
	}
	for _, k := range order {
		trucks := map[int]bool{}
		for _, c := range kits[k] {
			for n := range on[c.Release] {
				trucks[n] = true
			}
		}
		if len(kits[k]) > 1 && len(trucks) > 1 && inTimeTogether(kits[k]) && fitsInOwnRows(kits[k], p.Trailers) {
			return fmt.Errorf("kit %s is on %d trucks, though one takes it in time", k.kit, len(trucks))
		}
	}
	return nil
}

// inTimeTogether says whether nobody who waits for the last part is late by it.
func inTimeTogether(parts []Parcel) bool {
	last := parts[0].Ready
	for _, c := range parts {
		if c.Ready.After(last) {
			last = c.Ready
		}
	}
	for _, c := range parts {
		if last.After(c.Leave) && last.After(c.Ready) {
			return false
		}
	}
	return true
}

// fitsInOwnRows judges the longest trailer, and of those the strongest: the one that trips are filled for.
func fitsInOwnRows(parts []Parcel, trailers []load.Trailer) bool {
	largest := trailers[0]
	for _, t := range trailers {
		if t.Length > largest.Length || t.Length == largest.Length && t.Payload > largest.Payload {
			largest = t
		}
	}
	floor, mass := 0.0, 0.0
	for _, c := range parts {
		least := math.Inf(1)
		for _, way := range [][2]quantity.Length{{c.Length, c.Width}, {c.Width, c.Length}} {
			if across := int(largest.Width / way[1]); across > 0 {
				least = min(least, math.Ceil(float64(c.Units)/float64(across))*float64(way[0]+gap))
			}
		}
		floor += least
		mass += float64(c.Mass) * float64(c.Units)
	}
	return floor <= float64(largest.Length) && (largest.Payload <= 0 || mass <= float64(largest.Payload))
}
