package plan

import (
	"context"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plan/trucks"
	"github.com/flutewright/flutewright/plant/order"
)

// ship stands the units that are still to leave on trailers.
func (m *maker) ship(ctx context.Context, p *Plan) error {
	problem := trucks.Problem{Trailers: m.ix.book.Plant.Trailers}
	var err error
	if problem.Zone, err = time.LoadLocation(m.ix.book.Plant.Calendar.Zone); err != nil {
		return fmt.Errorf("trucks: %w", err)
	}
	problem.Parcels = parcels(m, p)
	if p.Trucks, err = trucks.Solve(ctx, problem); err != nil {
		return fmt.Errorf("trucks: %w", err)
	}
	if err := trucks.Check(problem, p.Trucks); err != nil {
		return fmt.Errorf("trucks: %w", err)
	}
	return nil
}

// parcels are the units of every load that has a finish, less what has left.
func parcels(m *maker, p *Plan) []trucks.Parcel {
	ends := byKey(p.Clock.Finishes, func(f jobs.Finish) ident.Release { return f.Release })
	lines := byKey(m.ix.book.Lines, func(l order.Line) ident.Release { return l.Key })
	kits := map[ident.Release]string{}
	for _, k := range stock.Of(m.ix.book, p.Now).Kits {
		for _, part := range k.Parts {
			kits[part.Release] = k.Key.String()
		}
	}
	var out []trucks.Parcel
	for _, l := range p.Loads {
		f, ok := ends[l.Release]
		if !ok || l.Units == 0 || f.AtGate.IsZero() {
			continue
		}
		line, deck := lines[l.Release], m.ix.pallets[l.Pallet]
		c := trucks.Parcel{
			Release: l.Release, Customer: line.Customer, ShipTo: line.ShipTo, Ready: f.AtGate, Leave: latestGate(f),
			Units: l.Units - m.ix.book.Done[l.Release].Shipped/max(1, l.PerUnit), Height: l.UnitHeight, Mass: l.UnitMass,
			Kit: kits[l.Release],
		}
		c.Length, c.Width = l.Footprint(deck)
		if l.LastUnit > 0 && l.LastUnit < l.PerUnit {
			c.LastMass = deck.Mass + (l.UnitMass-deck.Mass)*quantity.Mass(l.LastUnit)/quantity.Mass(l.PerUnit)
		}
		out = append(out, c)
	}
	return out
}

// latestGate is when a release must have left the gate to be in time.
func latestGate(f jobs.Finish) time.Time {
	if f.DueAt == string(order.AtGate) {
		return f.Due
	}
	return f.Due.Add(-f.AtDock.Sub(f.AtGate))
}
