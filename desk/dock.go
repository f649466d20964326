package desk

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/trucks"
	"github.com/flutewright/flutewright/plant/trace"
)

// Scan is a unit's number read at the dock, before its truck.
type Scan struct {
	ID    ident.Fact // of the reading: a form sent twice changes nothing
	Code  string     // as read
	Plan  ident.Plan
	Truck int // of Plan
	Who   string
}

// Loaded is a unit taken onto its truck.
type Loaded struct {
	Unit    ident.Unit    `json:"unit"`
	Release ident.Release `json:"release"`
	Number  int           `json:"number"` // of the release's units, from 1
	Boxes   int           `json:"boxes"`
	New     bool          `json:"new"` // false: the same reading again
}

// TruckPlace is how the ledger names a truck of a plan.
func TruckPlace(p ident.Plan, truck int) string { return fmt.Sprintf("plan %d truck %d", p, truck) }

// ShippingPlan returns the plan in force for trucks, else the current one. fault.NotFound.
func (d *Desk) ShippingPlan(ctx context.Context) (*plan.Plan, PlanHead, error) {
	ruling, err := d.Store.Ruling(ctx)
	if err != nil {
		return nil, PlanHead{}, err
	}
	if id, ok := ruling[AreaTrucks]; ok {
		return d.Plan(ctx, id)
	}
	return d.Current(ctx)
}

// LoadUnit takes a unit onto a truck, or refuses in words: a number that is
// not this plant's or was never given out, a unit on hold, loaded already, or
// bound for another truck. Refusals are fault.Refused or fault.Violations; the
// ledger then stays as it is.
func (d *Desk) LoadUnit(ctx context.Context, scan Scan) (Loaded, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Loaded{}, err
	}
	p, _, err := d.Plan(ctx, scan.Plan)
	if err != nil {
		return Loaded{}, err
	}
	i := slices.IndexFunc(p.Trucks.Trucks, func(t trucks.Truck) bool { return t.Number == scan.Truck })
	if i < 0 {
		return Loaded{}, fmt.Errorf("truck %d of plan %d: %w", scan.Truck, scan.Plan, fault.NotFound)
	}
	u, err := s.unitOf(scan.Code)
	if err != nil {
		return Loaded{}, err
	}
	u.Boxes = boxesOf(p, u)
	facts, err := d.Store.Facts(ctx, FactQuery{Release: u.Release, Limit: 100_000})
	if err != nil {
		return Loaded{}, err
	}
	if known := slices.IndexFunc(facts, func(f trace.Fact) bool { return f.ID == scan.ID }); known >= 0 && facts[known].Unit == u.Unit {
		return u, nil
	}
	if err := mayLoad(s, p, p.Trucks.Trucks[i], scan, u, trace.Standing(facts)); err != nil {
		return Loaded{}, err
	}
	r, err := d.Record(ctx, trace.Fact{
		ID: scan.ID, At: d.Now(), Kind: trace.UnitShipped, Source: "desk", Who: named(scan.Who), Plan: scan.Plan,
		Release: u.Release, Unit: u.Unit, Good: u.Boxes, Place: TruckPlace(scan.Plan, scan.Truck),
	})
	u.New = r.New
	return u, err
}

// unitOf finds whose unit carries a number.
func (s *Snapshot) unitOf(code string) (Loaded, error) {
	serial, err := s.Plant.Tags.Serial(code)
	if err != nil {
		return Loaded{}, err
	}
	for i, key := range s.books.numbers.keys {
		if key == numbersNext {
			continue
		}
		if k := s.books.numbers.list[i].holds(serial); k > 0 {
			r, err := ident.ParseRelease(key)
			if err != nil {
				return Loaded{}, err
			}
			n, err := s.Plant.Tags.Number(serial)
			return Loaded{Unit: ident.Unit(n.ID), Release: r, Number: k}, err
		}
	}
	return Loaded{}, fault.Violations{{Field: "unit", Value: code, Rule: "was never given to a unit", Remedy: "print the tag of its order first"}}
}

// boxesOf is what a unit holds by the plan.
func boxesOf(p *plan.Plan, u Loaded) int {
	i := slices.IndexFunc(p.Loads, func(l loads.Load) bool { return l.Release == u.Release })
	switch {
	case i < 0:
		return 0
	case u.Number == p.Loads[i].Units && p.Loads[i].LastUnit > 0:
		return p.Loads[i].LastUnit
	}
	return p.Loads[i].PerUnit
}

func refused(format string, args ...any) error {
	return fmt.Errorf("%s: %w", fmt.Sprintf(format, args...), fault.Refused)
}

// mayLoad says why a unit must not go onto a truck, or nil.
func mayLoad(s *Snapshot, p *plan.Plan, t trucks.Truck, scan Scan, u Loaded, facts []trace.Fact) error {
	if h, held := heldAt(s, u); held {
		return refused("unit %s of %s is on hold since %s%s: it stays", u.Unit, u.Release, h.At.In(s.Zone()).Format("15:04 on 2 January"), because(h.Reason))
	}
	on := 0
	for _, f := range facts {
		if f.Kind != trace.UnitShipped {
			continue
		}
		if f.Unit == u.Unit {
			return refused("unit %s of %s was loaded already, at %s on %s", u.Unit, u.Release, f.At.In(s.Zone()).Format("15:04"), f.Place)
		}
		if f.Place == TruckPlace(scan.Plan, scan.Truck) {
			on++
		}
	}
	i := slices.IndexFunc(t.Parts, func(q trucks.Part) bool { return q.Release == u.Release })
	if i < 0 {
		return refused("unit %s of %s does not go on truck %d to %s: %s", u.Unit, u.Release, t.Number, t.Customer, whereGoes(p, u.Release))
	}
	if on >= t.Parts[i].Units {
		return refused("all %d units of %s that truck %d takes are on it: unit %s goes with another", on, u.Release, t.Number, u.Unit)
	}
	return nil
}

func because(reason string) string {
	if reason == "" {
		return ""
	}
	return " (" + reason + ")"
}

// heldAt finds the hold that keeps a unit: its own, or its whole release's.
func heldAt(s *Snapshot, u Loaded) (trace.Hold, bool) {
	if h, ok := s.Holds.Units[u.Unit]; ok {
		return h, true
	}
	h, ok := s.Holds.Releases[u.Release]
	return h, ok
}

// whereGoes names the trucks that take a release.
func whereGoes(p *plan.Plan, r ident.Release) string {
	var on []string
	for _, t := range p.Trucks.Trucks {
		if slices.ContainsFunc(t.Parts, func(q trucks.Part) bool { return q.Release == r }) {
			on = append(on, fmt.Sprintf("truck %d to %s", t.Number, t.Customer))
		}
	}
	if len(on) == 0 {
		return "no truck of this plan takes it"
	}
	return "it goes on " + strings.Join(on, ", ")
}

// OnTruck returns the units that the ledger has on a truck, oldest first.
func (d *Desk) OnTruck(ctx context.Context, id ident.Plan, t trucks.Truck) ([]trace.Fact, error) {
	var out []trace.Fact
	for _, q := range t.Parts {
		facts, err := d.Store.Facts(ctx, FactQuery{Release: q.Release, Limit: 100_000})
		if err != nil {
			return nil, errors.Join(fmt.Errorf("truck %d", t.Number), err)
		}
		for _, f := range trace.Standing(facts) {
			if f.Kind == trace.UnitShipped && f.Place == TruckPlace(id, t.Number) {
				out = append(out, f)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b trace.Fact) int { return a.At.Compare(b.At) })
	return out, nil
}
