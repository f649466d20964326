package desk

import (
	"context"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
)

// Areas beside the converting machines, whose codes are areas of their own.
const (
	AreaCorrugator = "corrugator"
	AreaTrucks     = "trucks"
)

// InForce says since when a plan rules an area, and who said so.
type InForce struct {
	Area string     `json:"area"`
	Plan ident.Plan `json:"plan"`
	At   time.Time  `json:"at"`
	Who  string     `json:"who"`
}

// Areas lists what a plan can be put in force for: corrugator, trucks, and
// each converting machine.
func (s *Snapshot) Areas() []string {
	out := []string{AreaCorrugator}
	for _, m := range s.Plant.Machines {
		out = append(out, string(m.Code))
	}
	return append(out, AreaTrucks)
}

// PutInForce makes a usable plan rule an area from now on. The plan before
// stays in the record. fault.NotFound, fault.Refused if the plan holds nothing.
func (d *Desk) PutInForce(ctx context.Context, id ident.Plan, area, who string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	if _, machine := s.Machine(ident.Machine(area)); !machine && area != AreaCorrugator && area != AreaTrucks {
		return fault.Violations{{Field: "area", Value: area, Rule: fmt.Sprintf("must be one of %v", s.Areas())}}
	}
	h, err := d.PlanHead(ctx, id)
	if err != nil {
		return err
	}
	if !h.State.Usable() {
		return noBody(h)
	}
	return d.Store.Force(ctx, InForce{Area: area, Plan: id, At: d.Clock(), Who: named(who)})
}

// InForce returns the plan in force per area; an area without one is left out.
func (d *Desk) InForce(ctx context.Context) (map[string]ident.Plan, error) {
	return d.Store.Ruling(ctx)
}

// ForceHistory returns what was put in force for an area, newest first; "" means all areas.
func (d *Desk) ForceHistory(ctx context.Context, area string) ([]InForce, error) {
	return d.Store.Forced(ctx, area)
}

// Current returns the plan in force on the corrugator, else the newest usable
// plan. fault.NotFound if there is none.
func (d *Desk) Current(ctx context.Context) (*plan.Plan, PlanHead, error) {
	ruling, err := d.Store.Ruling(ctx)
	if err != nil {
		return nil, PlanHead{}, err
	}
	if id, ok := ruling[AreaCorrugator]; ok {
		return d.Plan(ctx, id)
	}
	heads, err := d.Store.PlanHeads(ctx)
	if err != nil {
		return nil, PlanHead{}, err
	}
	for _, h := range heads {
		if h.State.Usable() {
			return d.Plan(ctx, h.ID)
		}
	}
	return nil, PlanHead{}, fmt.Errorf("no plan has been made yet: %w", fault.NotFound)
}
