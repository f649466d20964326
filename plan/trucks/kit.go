package trucks

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/plant/load"
)

// together groups what waits: the parts of a kit for one dock and day stand in
// one group, in the place of the first that must leave; all else stands alone.
func together(p Problem, waiting []lot) [][]lot {
	var out [][]lot
	for _, l := range waiting {
		at := -1
		if l.Kit != "" {
			at = slices.IndexFunc(out, func(g []lot) bool {
				return g[0].Kit == l.Kit && oneDock(p.zone(), g[0].Parcel, l.Parcel)
			})
		}
		if at < 0 {
			out = append(out, []lot{l})
		} else {
			out[at] = append(out[at], l)
		}
	}
	return out
}

func (p Problem) zone() *time.Location {
	if p.Zone == nil {
		return time.UTC
	}
	return p.Zone
}

// oneDock reports whether two parcels must leave for one dock on one day.
func oneDock(zone *time.Location, a, b Parcel) bool {
	x, y := a.Leave.In(zone), b.Leave.In(zone)
	return a.Customer == b.Customer && a.ShipTo == b.ShipTo && x.YearDay() == y.YearDay() && x.Year() == y.Year()
}

// stowWhole puts all parts of a kit on the first trip that takes them whole,
// else on a trip of their own; false where no trailer or their times allow it.
func stowWhole(p Problem, largest load.Trailer, trips []*trip, parts []lot) ([]*trip, bool) {
	if len(parts) < 2 {
		return trips, false
	}
	for _, t := range append(slices.Clone(trips), &trip{}) {
		with := trip{slices.Clone(t.lots), t.mass, t.ready}
		if !with.takesAll(p, largest, parts) {
			continue
		}
		fresh := len(t.lots) == 0
		*t = with
		if fresh {
			trips = append(trips, t)
		}
		return trips, true
	}
	return trips, false
}

// takesAll adds the parts one by one; false at the first that finds no company or no room.
func (t *trip) takesAll(p Problem, largest load.Trailer, parts []lot) bool {
	for _, l := range parts {
		if !t.company(p, l) || t.room(largest, l) < l.units {
			return false
		}
		t.add(l)
	}
	return true
}
