package desk

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// FaultyPart says which boxes of a release carry a fault.
type FaultyPart struct {
	Release ident.Release
	Boxes   int // 0: all of it
	From    int // the first unit that carries it, from 1; 0: the boxes made last
}

// Faulty is what carries a fault, and what does not. Whole units are held back:
// who sorts bundles out of one releases the rest.
type Faulty struct {
	FaultyPart
	Line    order.Line
	Made    int  // boxes there are
	Told    bool // by counts; else by the plan
	Bundle  int  // boxes a bundle; 0: no load is known
	Bundles int  // that the boxes fill, the last perhaps not whole
	Free    int  // boxes in units that do not carry it, are not on hold and have not left
	Hold    []FaultyUnit
	Goes    []FaultyUnit // free
	Left    []FaultyUnit // carry it and have left: somebody must ring the customer
	Refusal string       // why no units are known
	Trace   Traced
}

// FaultyUnit is one unit of a release.
type FaultyUnit struct {
	Number int        // of the release's units, from 1
	Unit   ident.Unit // "": its tag has not been printed
	Boxes  int
	Truck  int       // of the plan in force for trucks; 0: none takes it
	Leaves time.Time // that truck, at the latest
	Held   bool      // already
	Why    string    // it is held
	Sent   bool
}

// Fault returns what carries a fault of a release: run, rolls, stacks, jobs and
// units, and what may still go. fault.NotFound for a release that is not in the
// book; fault.Violations for more boxes or units than there are.
func (d *Desk) Fault(ctx context.Context, q FaultyPart) (Faulty, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Faulty{}, err
	}
	line, _, err := d.Line(ctx, q.Release)
	if err != nil {
		return Faulty{}, err
	}
	p, head, err := d.ShippingPlan(ctx)
	if err != nil {
		return Faulty{}, err
	}
	f := Faulty{FaultyPart: q, Line: line, Made: line.Quantity}
	if done := s.Done[q.Release]; done.Finished() > 0 {
		f.Made, f.Told = done.Finished(), true
	}
	var vs fault.Violations
	vs.Require(q.Boxes >= 0 && q.Boxes <= f.Made, "boxes", strconv.Itoa(q.Boxes), fmt.Sprintf("must be 1 to the %d there are", f.Made))
	if err := vs.Err(); err != nil {
		return Faulty{}, err
	}
	if f.Boxes == 0 {
		f.Boxes = f.Made
	}
	i := slices.IndexFunc(p.Loads, func(l loads.Load) bool { return l.Release == q.Release })
	if i < 0 || p.Loads[i].PerUnit == 0 {
		f.Refusal = "the plan builds no units of it"
		if i >= 0 && p.Loads[i].Refusal != "" {
			f.Refusal = s.planWords().Say(p.Loads[i].Refusal)
		}
		f.Free = max(0, f.Made-f.Boxes)
	} else if err := d.units(ctx, s, p, p.Loads[i], &f); err != nil {
		return Faulty{}, err
	}
	f.Trace, err = d.traced(ctx, s, p, head.ID, q.Release)
	return f, err
}

// units parts the units of a load into those that carry the fault and those that do not.
func (d *Desk) units(ctx context.Context, s *Snapshot, p *plan.Plan, l loads.Load, f *Faulty) error {
	f.Bundle = l.PerBundle
	if f.Bundle > 0 {
		f.Bundles = (f.Boxes + f.Bundle - 1) / f.Bundle
	}
	units := (f.Made + l.PerUnit - 1) / l.PerUnit
	first, last := f.Made-f.Boxes+1, f.Made // boxes, counted from 1 in the order of making
	if f.From > 0 {
		if f.From > units {
			return fault.Violations{{Field: "from", Value: strconv.Itoa(f.From), Rule: fmt.Sprintf("must be 1 to the %d units there are", units)}}
		}
		first = (f.From-1)*l.PerUnit + 1
		last = min(f.Made, first+f.Boxes-1)
	}
	facts, err := d.Store.Facts(ctx, FactQuery{Release: f.Release, Limit: 100_000})
	if err != nil {
		return err
	}
	sent := map[ident.Unit]bool{}
	for _, x := range trace.Standing(facts) {
		if x.Kind == trace.UnitShipped {
			sent[x.Unit] = true
		}
	}
	for k := 1; k <= units; k++ {
		v := FaultyUnit{Number: k, Boxes: min(l.PerUnit, f.Made-(k-1)*l.PerUnit)}
		v.Truck, v.Leaves = truckFor(p, f.Release, k)
		held := 0
		all := s.unitNumbers(f.Release, k)
		for i, u := range all {
			if i == 0 || sent[u] {
				v.Unit = u
			}
			v.Sent = v.Sent || sent[u]
			if h, on := heldAt(s, Loaded{Unit: u, Release: f.Release}); on {
				held++
				v.Why = h.Reason
			}
		}
		if h, whole := s.Holds.Releases[f.Release]; whole {
			held, v.Why = max(1, len(all)), h.Reason
		}
		v.Held = held > 0 && held >= len(all)
		carries := (k-1)*l.PerUnit+1 <= last && (k-1)*l.PerUnit+v.Boxes >= first
		switch {
		case carries && v.Sent:
			f.Left = append(f.Left, v)
		case carries || held > 0:
			f.Hold = append(f.Hold, v)
		case !v.Sent:
			f.Goes = append(f.Goes, v)
			f.Free += v.Boxes
		}
	}
	return nil
}

// unitNumbers are the numbers that a release's k-th unit was ever given, the
// newest first: when more units are numbered all get new ones, and a tag of
// before may still hang on it.
func (s *Snapshot) unitNumbers(r ident.Release, k int) []ident.Unit {
	given, ok := s.books.numbers.get(r.String())
	if !ok {
		return nil
	}
	var out []ident.Unit
	ranges := append([]UnitRange{{given.First, given.Units}}, given.Before...)
	slices.Reverse(ranges[1:])
	for _, in := range ranges {
		if k > in.Units {
			continue
		}
		if n, err := s.Plant.Tags.Number(in.First + int64(k) - 1); err == nil { // a tag that cannot be printed has no number
			out = append(out, ident.Unit(n.ID))
		}
	}
	return out
}

// truckFor is the truck of a plan that takes a release's k-th unit; 0 where none does.
func truckFor(p *plan.Plan, r ident.Release, k int) (number int, latest time.Time) {
	for _, t := range p.Trucks.Trucks {
		for _, part := range t.Parts {
			if part.Release == r && k >= part.From && k < part.From+part.Units {
				return t.Number, t.Latest
			}
		}
	}
	return 0, time.Time{}
}

// HoldFault puts every unit that carries a fault on hold, each by a fact of its
// own; a unit without a number gets one, for its tag, and one whose tag may be
// an older one is held under that number too. Sent twice under one id
// it changes nothing. It returns the units held by now.
func (d *Desk) HoldFault(ctx context.Context, q FaultyPart, id ident.Fact, reason, who string) (int, error) {
	var vs fault.Violations
	vs.Require(id != "", "fact", "", "the form has lost its number: open it again")
	vs.Require(reason != "", "reason", "", "must say what is wrong: the dock reads it")
	if err := vs.Err(); err != nil {
		return 0, err
	}
	f, err := d.Fault(ctx, q)
	if err != nil {
		return 0, err
	}
	if len(f.Hold) == 0 {
		return 0, refused("no unit of %s that carries this is still here: hold the order as a whole instead", q.Release)
	}
	units := len(f.Hold) + len(f.Goes) + len(f.Left)
	for _, u := range slices.Concat(f.Hold, f.Goes, f.Left) {
		units = max(units, u.Number)
	}
	if _, err := d.NumberUnits(ctx, q.Release, units, named(who)); err != nil {
		return 0, err
	}
	s, err := d.Snapshot(ctx)
	if err != nil {
		return 0, err
	}
	for _, u := range f.Hold {
		if u.Held {
			continue
		}
		for i, number := range s.unitNumbers(q.Release, u.Number) {
			if _, on := heldAt(s, Loaded{Unit: number, Release: q.Release}); on {
				continue
			}
			fact := id + ident.Fact(fmt.Sprintf("-%d", u.Number))
			if i > 0 {
				fact += ident.Fact("-" + string(number))
			}
			if _, err := d.Record(ctx, trace.Fact{
				ID: fact, At: d.Now(), Kind: trace.Held, Source: "desk", Who: named(who),
				Release: q.Release, Unit: number, Good: u.Boxes, Reason: reason,
			}); err != nil {
				return 0, err
			}
		}
	}
	return len(f.Hold), nil
}

// mayShip refuses a unit that is on hold, in words, whoever says that it left.
// What left before it was held has left.
func mayShip(s *Snapshot, f trace.Fact) error {
	if f.Kind != trace.UnitShipped {
		return nil
	}
	if h, held := heldAt(s, Loaded{Unit: f.Unit, Release: f.Release}); held && f.At.After(h.At) {
		return refused("unit %s of %s is on hold since %s%s: it stays", f.Unit, f.Release, h.At.In(s.Zone()).Format("15:04 on 2 January"), because(h.Reason))
	}
	return nil
}
