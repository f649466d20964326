package desk

import (
	"context"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/roll"
)

// CallOff is what a person calls off a supplier: the rows of one truck.
type CallOff struct {
	Supplier string
	Number   string // the supplier's order number; "" until it is known
	ETA      time.Time
	State    roll.Purchase // called or confirmed
	Rows     []CallRow
}

// CallRow is one paper at one width of a call; 0 rolls leave it out.
type CallRow struct {
	Paper      ident.Paper
	Web        quantity.Length
	Rolls      int
	LengthEach quantity.Distance // 0: as rolls of the paper usually hold
}

// CallOff enters a truck that was called off as expected deliveries, one a row,
// all or none, and returns their numbers. fault.Violations for what cannot be.
func (d *Desk) CallOff(ctx context.Context, c CallOff, who string) ([]string, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	now := d.Clock()
	var vs fault.Violations
	vs.Require(c.ETA.After(now), "eta", c.ETA.Format(time.DateTime), "must lie ahead")
	vs.Require(c.State == roll.Called || c.State == roll.Confirmed, "state", string(c.State), "must be called or confirmed")
	problem := s.supplyProblem(now)
	change := Change{At: now, Who: named(who), Why: "called off " + c.Supplier}
	var ids []string
	for _, r := range c.Rows {
		if r.Rolls == 0 {
			continue
		}
		if r.LengthEach == 0 {
			r.LengthEach = supply.RollLength(problem, r.Paper)
		}
		in := roll.Inbound{
			ID: s.freeInbound(now, ids), ETA: c.ETA, Paper: r.Paper, Width: r.Web, Rolls: r.Rolls, LengthEach: r.LengthEach,
			Supplier: c.Supplier, State: c.State, Number: c.Number, Called: now, CalledBy: named(who),
		}
		vs = append(vs, checkInbound(in, s)...)
		p, err := put(KindInbound, in.ID, in, 0)
		if err != nil {
			return nil, err
		}
		change.Puts = append(change.Puts, p)
		ids = append(ids, in.ID)
	}
	vs.Require(len(ids) > 0, "rolls", "0", "call off at least one roll")
	if err := vs.Err(); err != nil {
		return nil, err
	}
	return ids, d.apply(ctx, change)
}

// freeInbound is the next free number for a delivery that is called off on a day.
func (s *Snapshot) freeInbound(now time.Time, taken []string) string {
	for n := len(taken) + 1; ; n++ {
		id := fmt.Sprintf("C%s-%d", now.In(s.zone).Format("060102"), n)
		_, used := s.InboundOf(id)
		for _, t := range taken {
			used = used || t == id
		}
		if !used {
			return id
		}
	}
}

// supplyProblem is paper ahead without what a plan draws.
func (s *Snapshot) supplyProblem(now time.Time) supply.Problem {
	return supply.Problem{
		Rolls: s.Rolls, Inbound: s.Inbound, Supplies: s.Plant.Supplies, Catalogue: board.NewCatalogue(s.Plant.Papers, s.Plant.Flutes),
		Zone: s.zone, Closed: s.closed(), Now: now,
	}
}

// ArrivesAt is when rolls of a paper come that are called off now; zero where no lead time is stated.
func (s *Snapshot) ArrivesAt(paper ident.Paper, supplier string, now time.Time) time.Time {
	return s.supplyProblem(now).ArrivesAt(paper, supplier)
}
