package trucks

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/load"
)

// Solve fills trucks in the order in which parcels must leave. What is due at
// one dock on one day travels together as long as nothing leaves later than
// it would alone, or is still in time; the parts of a kit for one dock and day
// are not torn apart where those times and one trailer allow it; the least
// trailer that takes a trip is used. ctx is not waited for: it is quick (linear in units).
func Solve(_ context.Context, p Problem) (Answer, error) {
	a := Answer{Trucks: []Truck{}, Status: Filled}
	if len(p.Trailers) == 0 {
		return a, nil
	}
	trailers := slices.Clone(p.Trailers)
	slices.SortStableFunc(trailers, func(x, y load.Trailer) int {
		return cmp.Or(cmp.Compare(x.Length, y.Length), cmp.Compare(x.Payload, y.Payload))
	})
	var trips []*trip
	largest := trailers[len(trailers)-1]
	for _, parts := range together(p, waiting(p, trailers, &a)) {
		var whole bool
		if trips, whole = stowWhole(p, largest, trips, parts); whole {
			continue
		}
		for _, l := range parts {
			trips = stow(p, largest, trips, l)
		}
	}
	for _, t := range trips {
		a.Trucks = append(a.Trucks, t.truck(trailers))
	}
	slices.SortStableFunc(a.Trucks, func(x, y Truck) int {
		return cmp.Or(x.Leaves.Compare(y.Leaves), cmp.Compare(x.Customer, y.Customer), ident.Compare(x.Parts[0].Release, y.Parts[0].Release))
	})
	for i := range a.Trucks {
		a.Trucks[i].Number = i + 1
	}
	a.Bound = bound(p, trailers, a.Left)
	if len(a.Trucks) == a.Bound {
		a.Status = Optimal
	}
	return a, nil
}

// trip is a truck being filled.
type trip struct {
	lots  []lot
	mass  quantity.Mass
	ready time.Time
}

// waiting are the parcels that some trailer takes, by the time they must leave.
func waiting(p Problem, trailers []load.Trailer, a *Answer) []lot {
	var out []lot
	for _, c := range p.Parcels {
		if c.Units <= 0 {
			continue
		}
		if limit := refusal(c, trailers[len(trailers)-1]); limit != "" {
			a.Left = append(a.Left, Left{
				Release: c.Release, Units: c.Units, Limit: limit, Trailer: trailers[len(trailers)-1].Code,
				Height: c.Height + headroom, Mass: c.Mass, Length: c.Length, Width: c.Width,
			})
			continue
		}
		out = append(out, lot{c, 1, c.Units})
	}
	slices.SortStableFunc(out, func(x, y lot) int {
		return cmp.Or(x.Leave.Compare(y.Leave), ident.Compare(x.Release, y.Release))
	})
	return out
}

// refusal names the limit that keeps a unit off a trailer; "" where it goes on.
func refusal(c Parcel, t load.Trailer) string {
	switch {
	case t.Height > 0 && c.Height+headroom > t.Height:
		return limitHeight
	case t.Payload > 0 && c.Mass > t.Payload:
		return limitMass
	case len(stances(c, t.Width)) == 0 || floorOf([]lot{{c, 1, 1}}, t.Width) > t.Length:
		return limitFloor
	}
	return ""
}

// stow puts a lot on the first trips that take it, and on new ones for the rest.
func stow(p Problem, largest load.Trailer, trips []*trip, l lot) []*trip {
	for _, t := range trips {
		if !t.company(p, l) {
			continue
		}
		if n := t.room(largest, l); n > 0 {
			t.add(lot{l.Parcel, l.from, n})
			l.from, l.units = l.from+n, l.units-n
			if l.units == 0 {
				return trips
			}
		}
	}
	for l.units > 0 {
		t := &trip{}
		n := max(1, t.room(largest, l))
		t.add(lot{l.Parcel, l.from, n})
		l.from, l.units = l.from+n, l.units-n
		trips = append(trips, t)
	}
	return trips
}

func (t *trip) add(l lot) {
	t.lots = append(t.lots, l)
	t.mass += l.mass()
	if l.Ready.After(t.ready) {
		t.ready = l.Ready
	}
}

// company reports whether a lot may travel with a trip: one dock, one day, and
// nobody leaves later than alone unless still in time.
func (t *trip) company(p Problem, l lot) bool {
	if len(t.lots) > 0 && !oneDock(p.zone(), t.lots[0].Parcel, l.Parcel) {
		return false
	}
	leaves := t.ready
	if l.Ready.After(leaves) {
		leaves = l.Ready
	}
	for _, other := range append(slices.Clone(t.lots), l) {
		if leaves.After(other.Leave) && leaves.After(other.Ready) {
			return false
		}
	}
	return true
}

// room is how many more units of a lot the trailer takes beside what is on the trip.
func (t *trip) room(tr load.Trailer, l lot) int {
	fits := func(n int) bool {
		some := lot{l.Parcel, l.from, n}
		return (tr.Payload <= 0 || t.mass+some.mass() <= tr.Payload) && floorOf(append(slices.Clone(t.lots), some), tr.Width) <= tr.Length
	}
	least, most := 0, l.units // fits(least), greatest n that fits by halving: floor and mass grow with n
	for least < most {
		if n := (least + most + 1) / 2; fits(n) {
			least = n
		} else {
			most = n - 1
		}
	}
	return least
}

// truck sends a trip with the least trailer that takes it.
func (t *trip) truck(trailers []load.Trailer) Truck {
	with := trailers[len(trailers)-1]
	for _, tr := range trailers {
		if t.goesOn(tr) {
			with = tr
			break
		}
	}
	out := Truck{
		Customer: t.lots[0].Customer, ShipTo: t.lots[0].ShipTo, Trailer: with.Code, Leaves: t.ready,
		Latest: t.lots[0].Leave, Mass: t.mass, Floor: floorOf(t.lots, with.Width), Places: places(t.lots, with.Width),
	}
	for _, l := range t.lots {
		out.Parts = append(out.Parts, Part{l.Release, l.from, l.units, l.Kit})
		out.Units += l.units
		if l.Leave.Before(out.Latest) {
			out.Latest = l.Leave
		}
	}
	return out
}

func (t *trip) goesOn(tr load.Trailer) bool {
	for _, l := range t.lots {
		if refusal(l.Parcel, tr) != "" {
			return false
		}
	}
	return (tr.Payload <= 0 || t.mass <= tr.Payload) && floorOf(t.lots, tr.Width) <= tr.Length
}

// bound counts the trucks that floor area in rows and mass ask for at least, dock by dock.
func bound(p Problem, trailers []load.Trailer, left []Left) int {
	type dock struct {
		customer ident.Customer
		to       string
	}
	largest := trailers[len(trailers)-1]
	refused := map[ident.Release]bool{}
	for _, l := range left {
		refused[l.Release] = true
	}
	floor, mass := map[dock]float64{}, map[dock]float64{}
	for _, c := range p.Parcels {
		if c.Units <= 0 || refused[c.Release] {
			continue
		}
		d, each := dock{c.Customer, c.ShipTo}, 0.0
		for _, w := range stances(c, largest.Width) {
			if e := float64(w.depth) / float64(w.across); each == 0 || e < each {
				each = e
			}
		}
		floor[d] += each * float64(c.Units) / float64(largest.Length)
		if largest.Payload > 0 {
			mass[d] += float64(lot{c, 1, c.Units}.mass()) / float64(largest.Payload)
		}
	}
	n := 0
	for d, f := range floor {
		n += max(1, whole(max(f, mass[d])))
	}
	return n
}

// whole rounds up, forgiving what adding fractions loses.
func whole(x float64) int {
	n := int(x)
	if x-float64(n) > 1e-9 {
		n++
	}
	return n
}
